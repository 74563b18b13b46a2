"""The bench of “What trips first?”."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import ipywidgets as widgets

from trailerlib import units
from trailerlib.bench.base import Bench
from trailerlib.bench.choices import parts
from trailerlib.bench.controls import Changes, Control, pick, slider, tick
from trailerlib.design import supply_classes
from trailerlib.design.design import Design
from trailerlib.pictures import mains_bars, panel_front, run_together
from trailerlib.studies import what_trips as study
from trailerlib.studies.ampacity import ratings
from trailerlib.studies.answer import Answer
from trailerlib.studies.circuits import charger_name
from trailerlib.studies.legs import leg_volts
from trailerlib.studies.wire_choice import candidates

ON = "on_"
LOWEST_SHARE, HIGHEST_SHARE = 0.8, 1.1  # of the nominal voltage: how far a pedestal strays


class MainsBench(Bench):
    """One supply at a time: what is switched on, the voltage and the cord; see what holds and what opens."""

    name = "What trips first?"
    pictures: Mapping[str, str] = {
        "panel": "the panel",
        "card": "run-together card",
        "supplies": "every supply",
    }

    def __init__(self, design: Design) -> None:
        self._supply = next(iter(sorted(design.supplies, key=lambda s: s.is_generator)), None)
        self._supply_name = None if self._supply is None else self._supply.name
        self._switches = [load.name for load in design.loads if load.typical.system == "mains" and load.on]
        self._now = set(self._switches) | set(_charger(design))
        super().__init__(design)

    def make_controls(self) -> Sequence[Control]:
        """Supply, voltage there, cord and its length, main breaker, and a tick for everything that can be on."""
        system = self.design.units
        return (
            pick("supply", "Plugged into", self._supplies, lambda d: self._supply_name, None),
            self._voltage(),
            pick("cord", "Cord", self._wires, self._cord, self._put("cord")),
            slider(
                "cord_run",
                "Cord length",
                self._path("cord_run"),
                lambda d: None if self._supply_name is None else d.supply(self._supply_name).cord_run,
                "length",
                {"us": (5.0, 200.0, 1.0), "metric": (2.0, 60.0, 0.5)},
                system,
            ),
            pick("main", "Main breaker", self._mains, lambda d: d.mains.main, self._put_main),
            *self._ticks(),
        )

    @property
    def now(self) -> frozenset[str]:
        """What is on at this moment."""
        return frozenset(self._now)

    def _ticks(self) -> Iterator[Control]:
        """What is on now: a what-if, not a part of the design."""
        for name in (*self._switches, *_charger(self.design)):
            one = tick(ON + _key(name), name, lambda d: (), lambda d, n=name: n in self._now)  # type: ignore[misc]
            one.put = None
            one.widget.indent = False
            one.widget.layout = {"width": "160px", "height": "26px", "margin": "0 2px"}
            yield one

    def arrange(self) -> Sequence[widgets.Widget]:
        """The ticks stand two on a line below the rest, in a box of their own that scrolls when there are many."""
        ticks = [c.widget for key, c in self.controls.items() if key.startswith(ON)]
        rest = [c.widget for key, c in self.controls.items() if not key.startswith(ON)]
        words = widgets.HTML("<b>On now</b>", layout={"margin": "2px 4px 0 4px"})
        layout = {"flex_flow": "row wrap", "overflow": "auto", "max_height": "118px", "width": "342px"}
        return [*rest, words, widgets.Box(ticks, layout=layout)]

    def _voltage(self) -> Control:
        """What a meter shows at the pedestal with nothing plugged in; the ends follow the supply."""
        volts = (90.0, 132.0, 0.5)
        control = slider(
            "voltage",
            "Voltage there",
            self._path("voltage"),
            self._volts,
            "voltage",
            {"us": volts, "metric": volts},
            self.design.units,
        )

        def fit(design: Design) -> None:
            if self._supply_name is not None:
                nominal = leg_volts(design.supply(self._supply_name))
                low, high = LOWEST_SHARE * nominal, HIGHEST_SHARE * nominal
                now = control.widget.value
                control.widget.min, control.widget.max = min(low, now), max(high, now)
                control.widget.value = min(max(self._volts(design) or nominal, low), high)
                control.widget.min, control.widget.max = low, high

        control.fit = fit
        return control

    def _volts(self, design: Design) -> float | None:
        if self._supply_name is None:
            return None
        supply = design.supply(self._supply_name)
        return leg_volts(supply) if supply.voltage is None else supply.voltage

    def _supplies(self, design: Design) -> list[tuple[str, str]]:
        return [(f"{s.name} ({s.kind})" if s.name not in s.kind else s.kind, s.name) for s in design.supplies]

    def _path(self, key: str) -> Any:
        return lambda design: None if self._supply_name is None else ("supply", self._supply_name, key)

    def _put(self, key: str) -> Any:
        return lambda design, value: {("supply", str(self._supply_name), key): value}

    def _cord(self, design: Design) -> str | None:
        if self._supply_name is None:
            return None
        supply = design.supply(self._supply_name)
        kind = supply_classes.every_supply().get(supply.kind)
        return supply.cord or (kind.cord if kind is not None else None)

    def _wires(self, design: Design) -> list[tuple[str, str]]:
        cord = self._cord(design)
        return parts(candidates(cord)) if cord is not None else []

    def _mains(self, design: Design) -> list[tuple[str, float]]:
        return [(units.show(a, "current", design.units), a) for a in ratings("breaker") if 15.0 <= a <= 60.0]

    def _put_main(self, design: Design, value: float) -> Changes:
        return {("mains", "main"): f"{value:g} A"}

    def on_focus(self, key: str, value: Any) -> None:
        """The supply the other controls speak of, or a load that is switched on or off."""
        if key == "supply":
            self._supply_name = value
            return
        name = next(n for n in (*self._switches, *_charger(self.design)) if ON + _key(n) == key)
        (self._now.add if value else self._now.discard)(name)

    def ask(self, design: Design) -> Answer:
        """What holds with what is on now, on the supply in focus."""
        self.focus = self._supply_name
        if self._supply_name is None:
            return study.answer(design)
        return study.answer(design, self._supply_name, self.now)

    def draw(self, answer: Answer, ghost: Answer | None) -> str:
        """The panel with what is on now, the card of this supply, or all supplies side by side."""
        if self.shown == "panel":
            return panel_front(answer.picture.panel, None if ghost is None else ghost.picture.panel)
        if self.shown == "card" and answer.picture.together is not None:
            return run_together(answer.picture.together)
        return mains_bars(answer, ghost)


def _key(name: str) -> str:
    """A load's name as a part of a class on the page."""
    return "".join(letter if letter.isalnum() else "-" for letter in name)


def _charger(design: Design) -> list[str]:
    """The charger among what is switched, where there is one."""
    return [] if design.charger is None else [charger_name(design)]


def mains(design: Design) -> MainsBench:
    """The bench of “What trips first?” for a design."""
    return MainsBench(design)
