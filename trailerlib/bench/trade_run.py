"""What may change, ticked axis by axis, and the run over every combination: how far it is, and a button to stop it."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable, Sequence
from typing import Any

import ipywidgets as widgets

from trailerlib import times
from trailerlib.studies.trade_offs import Progress, Result, Steps
from trailerlib.studies.trade_offs.axes import Axis
from trailerlib.studies.trade_offs.choose import axis_words
from trailerlib.studies.trade_offs.question import many

POLLED_S = 0.12
LONG_S = 90.0  # from here on minutes are told
Look = Callable[[Sequence[Steps]], Callable[..., Result]]


class AxesRow:
    """The ticks, how many designs they make together, and the run.

    ``look`` makes of the ticked axes what is run; ``arrived`` gets the sweep, ``failed`` what went wrong on the way.
    """

    def __init__(
        self,
        axes: Sequence[Steps],
        ticked: Sequence[Axis],
        look: Look,
        arrived: Callable[[Result], None],
        failed: Callable[[Exception], None],
    ) -> None:
        self._look, self._arrived, self._failed = look, arrived, failed
        self._axes: tuple[Steps, ...] = ()
        self.ticks: list[widgets.Checkbox] = []
        self._box = widgets.Box(layout={"flex_flow": "row wrap", "width": "100%"})
        self._box.add_class("trailer-trade-axes")
        self.go = widgets.Button(icon="search", layout={"width": "218px"})
        self.stop = widgets.Button(description="Cancel", disabled=True, layout={"width": "84px"})
        self._bar = widgets.FloatProgress(min=0.0, max=1.0, layout={"width": "220px"})
        self._said = widgets.Label()
        for widget, key in ((self.go, "look"), (self.stop, "cancel"), (self._bar, "progress"), (self._said, "left")):
            widget.add_class(f"trailer-trade-{key}")
        self.go.tooltip = "Look at every combination of what is ticked"
        self.stop.tooltip = "Stop looking; what was there before stays"
        self.go.on_click(lambda _: self.begin())
        self.stop.on_click(lambda _: self.cancel())
        row = widgets.HBox([self.go, self.stop, self._bar, self._said], layout={"align_items": "center"})
        row.add_class("trailer-row")
        self.widget = widgets.VBox([self._box, row])
        self._thread: threading.Thread | None = None
        self._cancelled = threading.Event()
        self._progress: Progress | None = None
        self._outcome: Result | Exception | None = None
        self.offer(axes, ticked)

    def offer(self, axes: Sequence[Steps], ticked: Sequence[Axis]) -> None:
        """Other axes to tick.

        Parameters
        ----------
        axes : all that may be ticked
        ticked : those that are
        """
        self._axes, on = tuple(axes), {axis.path for axis in ticked}
        self.ticks = [self._tick(axis, axis.path in on) for axis in axes]
        self._box.children = self.ticks
        self._count()

    def _tick(self, axis: Steps, on: bool) -> widgets.Checkbox:
        words = f"{axis_words(axis)} ({len(axis.choices)})"
        tick = widgets.Checkbox(
            value=on,
            description=words,
            indent=False,
            layout={"width": "auto", "height": "22px", "margin": "0 12px 0 0"},
        )
        tick.tooltip = ", ".join(str(choice) for choice in axis.choices)
        tick.observe(lambda change: self._count(), "value")
        return tick

    @property
    def chosen(self) -> tuple[Steps, ...]:
        """The axes that are ticked."""
        return tuple(axis for axis, tick in zip(self._axes, self.ticks, strict=True) if tick.value)

    @property
    def running(self) -> bool:
        """Whether a sweep is on its way."""
        return self._thread is not None

    def _count(self) -> None:
        count = 1
        for axis in self.chosen:
            count *= len(axis.choices)
        self.go.description = f"Look at {many(count)} designs" if self.chosen else "Tick what may change"
        self.go.disabled = self.running_or_empty()

    def running_or_empty(self) -> bool:
        """Whether there is nothing to begin at the moment."""
        return self.running or not self.chosen

    def begin(self) -> None:
        """Look at every combination of what is ticked, in a thread of its own so that Cancel is heard."""
        if self.running_or_empty():
            return
        work = self._look(self.chosen)
        self._cancelled.clear()
        self._progress, self._outcome = None, None
        self._thread = threading.Thread(target=self._work, args=(work,), daemon=True)
        self.go.disabled, self.stop.disabled = True, False
        self._bar.value, self._said.value = 0.0, "finding out what rests on what"
        self._thread.start()
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            self._thread.join()
            self._poll(None)
        else:
            loop.call_later(POLLED_S, self._poll, loop)

    def cancel(self) -> None:
        """Stop at the next opportunity."""
        self._cancelled.set()
        self._said.value = "stopping"

    def _work(self, work: Callable[..., Result]) -> None:
        try:
            self._outcome = work(progress=self._note, cancelled=self._cancelled.is_set)
        except Exception as error:
            self._outcome = error

    def _note(self, progress: Progress) -> None:
        self._progress = progress

    def _poll(self, loop: Any) -> None:
        """Show how far it is; hand out what came of it once it is through."""
        thread = self._thread
        if thread is not None and thread.is_alive():
            self._show()
            loop.call_later(POLLED_S, self._poll, loop)
            return
        self._thread = None
        self.stop.disabled = True
        self._count()
        outcome, self._outcome = self._outcome, None
        self._bar.value = 0.0 if not isinstance(outcome, Result) or not outcome.complete else 1.0
        self._said.value = ""
        if isinstance(outcome, Result):
            self._arrived(outcome)
        elif outcome is not None:
            self._failed(outcome)

    def _show(self) -> None:
        now = self._progress
        if now is None or self._cancelled.is_set():
            return
        self._bar.value = now.done
        if now.left_s is None:
            self._said.value = "finding out what rests on what"
        else:
            left = times.span(now.left_s / 3600.0) if now.left_s > LONG_S else f"{now.left_s:.0f} s"
            self._said.value = f"{now.done:.0%}, about {left} more"
