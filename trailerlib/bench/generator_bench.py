"""The bench of “Which generator?”."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from trailerlib.bench.base import Bench
from trailerlib.bench.choices import hours_in_stay, parts
from trailerlib.bench.controls import Changes, Control, pick, slider, tick
from trailerlib.design.catalogue import generator_kinds
from trailerlib.design.design import Design
from trailerlib.pictures import generator_bars
from trailerlib.studies import generator as study
from trailerlib.studies.answer import Answer
from trailerlib.studies.timetable import stays_on


class GeneratorBench(Bench):
    """Class, height, heat and what runs; see whether it runs and starts it all."""

    name = "Which generator?"

    def __init__(self, design: Design) -> None:
        self._supply = next((s.name for s in design.supplies if s.is_generator), None)
        mains = [load.name for load in design.loads if load.typical.system == "mains"]
        self._load = next((n for n in mains if design.load(n).typical.start_multiple > 2), mains[0] if mains else None)
        super().__init__(design)

    def make_controls(self) -> Sequence[Control]:
        """Class, elevation, air, charger, a load with its hours and its soft starter."""
        system = self.design.units
        amps = (5.0, 80.0, 1.0)
        return (
            pick("kind", "Generator", lambda d: parts(list(generator_kinds())), self._kind, self._put_kind),
            slider(
                "elevation",
                "Elevation",
                lambda d: ("site", "elevation"),
                lambda d: d.site.elevation,
                "elevation",
                {"us": (0.0, 12000.0, 100.0), "metric": (0.0, 3600.0, 50.0)},
                system,
            ),
            slider(
                "hottest",
                "Hottest air",
                lambda d: ("site", "hottest"),
                lambda d: d.site.hottest,
                "temperature",
                {"us": (40.0, 125.0, 1.0), "metric": (5.0, 50.0, 1.0)},
                system,
            ),
            slider(
                "charger",
                "Charger",
                lambda d: ("charger", "current") if d.charger else None,
                lambda d: d.charger.current if d.charger else None,
                "current",
                {"us": amps, "metric": amps},
                system,
            ),
            pick("load", "Load", self._mains_loads, lambda d: self._load, None),
            hours_in_stay(lambda d: self._load, self._stay, "On in its stay"),
            tick("soft_start", "soft starter fitted", self._load_path("soft_start"), self._soft),
        )

    def _kind(self, design: Design) -> str | None:
        return None if self._supply is None else design.supply(self._supply).kind

    def _put_kind(self, design: Design, value: str) -> Changes:
        name = str(self._supply)
        own = [key for key in ("running", "starting") if design.get(("supply", name, key))]
        return {("supply", name, "kind"): value, **{("supply", name, key): None for key in own}}

    def _stay(self, design: Design) -> str | None:
        stays = stays_on(design, self._supply) if self._supply is not None else ()
        return stays[0].name if stays else None

    def _mains_loads(self, design: Design) -> list[tuple[str, str]]:
        return parts([load.name for load in design.loads if load.typical.system == "mains"])

    def _load_path(self, key: str) -> Any:
        return lambda design: None if self._load is None else ("load", self._load, key)

    def _soft(self, design: Design) -> bool | None:
        if self._load is None or design.load(self._load).typical.start_multiple <= 2:
            return None
        return design.load(self._load).soft_start

    def on_focus(self, key: str, value: Any) -> None:
        """The load whose hours and starter are shown."""
        self._load = value

    def ask(self, design: Design) -> Answer:
        """The generator of the design."""
        self.focus = self._kind(design)
        return study.answer(design, self._supply)

    def draw(self, answer: Answer, ghost: Answer | None) -> str:
        """The classes side by side."""
        return generator_bars(answer, ghost)


def generator(design: Design) -> GeneratorBench:
    """The bench of “Which generator?” for a design."""
    return GeneratorBench(design)
