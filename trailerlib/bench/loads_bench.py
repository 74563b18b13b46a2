"""The bench of “What must it run?”."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from trailerlib.bench.base import Bench
from trailerlib.bench.choices import hours_in_stay, load_class, parts
from trailerlib.bench.controls import Control, count, of, pick, readout, slider, tick
from trailerlib.design.design import Design
from trailerlib.pictures import load_bars
from trailerlib.studies import loads as study
from trailerlib.studies.answer import Answer


class LoadsBench(Bench):
    """Pick an appliance, change its class, number and hours; see what the two sides are asked for."""

    name = "What must it run?"

    def __init__(self, design: Design) -> None:
        self._load = design.loads[0].name if design.loads else None
        self._stay = design.stays[0].name if design.stays else None
        super().__init__(design)

    def make_controls(self) -> Sequence[Control]:
        """Appliance, class, pieces, power, on or off, stay, hours."""

        def load_path(key: str) -> Any:
            return of("load", lambda: self._load, key)

        def of_load(key: str) -> Any:
            return lambda design: None if self._load is None else getattr(design.load(self._load), key)

        return (
            pick("load", "Appliance", lambda d: parts([x.name for x in d.loads]), lambda d: self._load, None),
            load_class(lambda d: self._load),
            count("count", "Pieces", load_path("count"), of_load("count"), 12),
            self._power(load_path("power"), of_load("each_w")),
            tick("on", "switched on", load_path("on"), of_load("on")),
            pick("stay", "Stay", lambda d: parts([x.name for x in d.stays]), lambda d: self._stay, None),
            hours_in_stay(lambda d: self._load, lambda d: self._stay),
        )

    def _power(self, path: Any, read: Any) -> Control:
        """Power of one piece between the ends of its class."""
        ends = (1.0, 100.0, 1.0)
        control = slider("power", "Each draws", path, read, "power", {"us": ends, "metric": ends}, self.design.units)

        def fit(design: Design) -> None:
            if self._load is None:
                return
            load = design.load(self._load)
            low, high = min(load.typical.power_low_w, load.each_w), max(load.typical.power_high_w, load.each_w)
            step = 10.0 if high > 500 else 1.0 if high > 20 else 0.5
            control.widget.max = max(high, control.widget.min)
            control.widget.min, control.widget.max, control.widget.step = low, high, step
            control.widget.readout_format = readout(step)

        control.fit = fit
        return control

    def on_focus(self, key: str, value: Any) -> None:
        """The appliance or the stay whose hours are shown."""
        if key == "stay":
            self._stay = value
        else:
            self._load = value
        self.focus = self._load

    def ask(self, design: Design) -> Answer:
        """Loads, alone and together."""
        self.focus = self._load
        return study.answer(design)

    def draw(self, answer: Answer, ghost: Answer | None) -> str:
        """A bar a load."""
        return load_bars(answer, ghost, focus=self._load)


def loads(design: Design) -> LoadsBench:
    """The bench of “What must it run?” for a design."""
    return LoadsBench(design)
