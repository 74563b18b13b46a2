"""Sliders, pick lists and ticks, each tied to one value of the design, in the units the design is shown in."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import ipywidgets as widgets
from ipywidgets.widgets.widget import JUPYTER_WIDGETS_ECHO

from trailerlib import times as day_times
from trailerlib import units
from trailerlib.design.design import Design

Path = tuple[str, ...]
Changes = Mapping[Path, Any]
WIDTH = "336px"
_LAYOUT = {"width": WIDTH, "height": "28px", "margin": "1px 2px"}
_STYLE = {"description_width": "122px"}


@dataclass
class Control:
    """One widget and how it speaks with the design.

    ``get`` reads the widget's value off a design, ``put`` gives the changes a value makes; a control
    without ``put`` only moves the focus. ``fit`` renews choices and ends for another design or focus.
    """

    key: str
    widget: Any
    get: Callable[[Design], Any]
    put: Callable[[Design, Any], Changes] | None = None
    fit: Callable[[Design], None] = field(default=lambda design: None)

    def show(self, design: Design) -> None:
        """Set the widget to what the design says.

        Ends and value go to the page together: between the two it would put the old value on the new steps and say
        that it was moved.
        """
        with self.widget.hold_sync():
            self.fit(design)
            value = self.get(design)
            self.widget.disabled = value is None
            if value is not None and self.widget.value != value:
                self.widget.value = value


class _EndsFirst:
    """The page takes what it is told one by one: a value put on the old ends is clipped, and said to be moved."""

    def get_state(self, key: Any = None, drop_defaults: bool = False) -> dict[str, Any]:
        """What the page is told, the value last."""
        state = super().get_state(key, drop_defaults)  # type: ignore[misc]
        return dict(sorted(state.items(), key=lambda told: told[0] in ("value", "index")))

    def trait_metadata(self, traitname: str, key: Any, default: Any = None) -> Any:
        """What a trait is marked with; none is sent back before the move has been answered."""
        return False if key == "echo_update" else super().trait_metadata(traitname, key, default)  # type: ignore[misc]

    def set_state(self, sync_data: Mapping[str, Any]) -> None:
        """Take what the page says. What other windows follow the hand by is sent once the verdict is out."""
        try:
            super().set_state(sync_data)  # type: ignore[misc]
        finally:
            state = self.get_state([name for name in sync_data if name in self.keys])  # type: ignore[attr-defined]
            if JUPYTER_WIDGETS_ECHO and state:
                self._send({"method": "echo_update", "state": state, "buffer_paths": []})  # type: ignore[attr-defined]


class FloatSlider(_EndsFirst, widgets.FloatSlider):
    """A slider whose ends move with what is looked at."""


class IntSlider(_EndsFirst, widgets.IntSlider):
    """The same over whole numbers."""


class SelectionRangeSlider(_EndsFirst, widgets.SelectionRangeSlider):
    """The same with two ends over a list."""


def at(*path: str) -> Callable[[Design], Path]:
    """A path that does not depend on the focus."""
    return lambda design: path


def of(kind: str, name: Callable[[], str | None], key: str) -> Callable[[Design], Path | None]:
    """The path to a key of the part in focus; None while no part is.

    Parameters
    ----------
    kind : of part, such as ``stay``
    name : says which part is in focus now
    key : of that part
    """

    def path(design: Design) -> Path | None:
        found = name()
        return None if found is None else (kind, found, key)

    return path


def readout(step: float) -> str:
    """The number format beside a slider, fine enough to tell its steps apart.

    Parameters
    ----------
    step : [shown unit] from one value to the next
    """
    return ".0f" if step >= 1 else ".1f" if step >= 0.1 else ".2f"


def slider(
    key: str,
    label: str,
    path: Callable[[Design], Path | None],
    read: Callable[[Design], float | None],
    kind: str,
    ends: Mapping[units.System, tuple[float, float, float]],
    system: units.System,
) -> Control:
    """A slider over a quantity; its ends and step are given in the shown unit of each system.

    Parameters
    ----------
    key : name of the control, also its class on the page
    label : words before the unit
    path : where the value stands, None when there is nothing to set
    read : the value in the inside unit, None when the part is missing
    kind : one of the names in ``units.KINDS``
    ends : [shown unit] low, high and step by system
    system : ``us`` or ``metric``
    """
    low, high, step = ends[system]
    widget = FloatSlider(
        value=low,
        min=low,
        max=high,
        step=step,
        description=f"{label} [{units.unit(kind, system)}]",
        readout_format=readout(step),
        layout=_LAYOUT,
        style=_STYLE,
    )

    def get(design: Design) -> float | None:
        value = read(design) if path(design) is not None else None
        if value is None:
            return low if path(design) is not None else None
        return round(units.outside(value, kind, system), 6)  # as a file is written

    def fit(design: Design) -> None:
        value = get(design)
        if value is None or not math.isfinite(value):
            return
        # the page moves a value that lies between two steps to the next and says that it was moved
        off = (value - low) % step
        start = low if min(off, step - off) < 1e-6 * step else round(low + off, 6)
        widget.min, widget.max = min(start, value), max(high, value, widget.max)

    def put(design: Design, value: float) -> Changes:
        where = path(design)
        return {} if where is None else {where: units.written(value, kind, system)}

    return _named(Control(key, widget, get, put, fit))


def count(
    key: str, label: str, path: Callable[[Design], Path | None], read: Callable[[Design], int | None], high: int
) -> Control:
    """A slider over a whole number from 1.

    Parameters
    ----------
    key : name of the control
    label : words
    path : where the value stands
    read : the value
    high : [-] largest value
    """
    widget = IntSlider(value=1, min=1, max=high, description=label, layout=_LAYOUT, style=_STYLE)

    def get(design: Design) -> int | None:
        return None if path(design) is None else read(design) or 1

    def fit(design: Design) -> None:
        widget.max = max(high, read(design) or 1)

    def put(design: Design, value: int) -> Changes:
        where = path(design)
        return {} if where is None else {where: value}

    return _named(Control(key, widget, get, put, fit))


def pick(
    key: str,
    label: str,
    choices: Callable[[Design], Sequence[tuple[str, Any]]],
    read: Callable[[Design], Any],
    put: Callable[[Design, Any], Changes] | None,
) -> Control:
    """A pick list; its choices may depend on the design and the focus.

    Parameters
    ----------
    key : name of the control
    label : words
    choices : (shown, value) pairs
    read : the value that is chosen, None when there is nothing to choose
    put : the changes a choice makes; None when it only moves the focus
    """
    widget = widgets.Dropdown(options=[("–", None)], description=label, layout=_LAYOUT, style=_STYLE)

    def fit(design: Design) -> None:
        options, value = list(choices(design)), read(design)
        if value is not None and value not in [choice for _, choice in options]:
            options.append((str(value), value))
        if list(widget.options) != options:
            widget.options = options or [("–", None)]

    return _named(Control(key, widget, read, put, fit))


def tick(key: str, label: str, path: Callable[[Design], Path | None], read: Callable[[Design], bool | None]) -> Control:
    """A box to tick."""
    widget = widgets.Checkbox(description=label, indent=True, layout=_LAYOUT, style=_STYLE)

    def put(design: Design, value: bool) -> Changes:
        where = path(design)
        return {} if where is None else {where: bool(value)}

    return _named(Control(key, widget, read, put))


def _named(control: Control) -> Control:
    control.widget.add_class(f"trailer-control-{control.key}")
    control.widget.tooltip = control.widget.description
    return control


def clock_range(
    key: str,
    label: str,
    edges: Callable[[Design], tuple[int, int] | None],
    read: Callable[[Design], tuple[int, int] | None],
    put: Callable[[Design, tuple[int, int]], Changes],
) -> Control:
    """A slider with two ends over times of day, in half hours; it reads as a clock.

    Parameters
    ----------
    key : name of the control
    label : words
    edges : [min after midnight of the first day] first and last time, None when there is nothing to set
    read : [min] from and to; both alike is never
    put : the changes that a from and a to make
    """
    widget = SelectionRangeSlider(
        options=[("00:00", 0), ("24:00", DAY_MIN)],
        value=(0, DAY_MIN),
        description=label,
        layout=_LAYOUT,
        style=_STYLE,
    )
    widget.add_class("trailer-clock-range")

    def fit(design: Design) -> None:
        ends, now = edges(design), read(design)
        if ends is not None:
            half_hours = range(-(-ends[0] // STEP_MIN) * STEP_MIN, ends[1] + 1, STEP_MIN)
            times = sorted({*ends, *half_hours, *(now or ())})
            options = [(_time(minute, ends[0]), minute) for minute in times]
            if list(widget.options) != options:
                widget.options = options

    return _named(Control(key, widget, read, put, fit))


STEP_MIN, DAY_MIN = 30, 24 * 60
# two times of day are wider than one number
RANGE_STYLE = "<style>.trailer .trailer-clock-range .widget-readout { min-width:84px; max-width:92px; }</style>"


def _time(minute: int, first: int) -> str:
    """A time of day; the two ends of a whole day must read apart."""
    return day_times.clock(minute / 60) + (" next day" if minute >= first + DAY_MIN else "")
