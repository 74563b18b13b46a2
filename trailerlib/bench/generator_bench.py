"""The bench of “Which generator?”."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from trailerlib.bench.base import Bench
from trailerlib.bench.choices import charger_amps, loads_of, parts
from trailerlib.bench.controls import Changes, Control, of, pick, slider, tick
from trailerlib.design.design import Design
from trailerlib.design.supply_classes import generator_kinds
from trailerlib.pictures import generator_bars
from trailerlib.pictures.start_curve import start_curve
from trailerlib.studies import generator as study
from trailerlib.studies.answer import Answer
from trailerlib.studies.wire_choice import candidates


class GeneratorBench(Bench):
    """Class, height, heat, cord and what starts; see whether it runs all of it, and a start as it happens."""

    name = "Which generator?"
    pictures: Mapping[str, str] = {"classes": "the classes", "start": "a start as it happens"}

    def __init__(self, design: Design) -> None:
        self._supply = next((s.name for s in design.supplies if s.is_generator), None)
        mains = [load.name for load in design.loads if load.typical.system == "mains"]
        self._load = next((n for n in mains if design.load(n).typical.start_multiple > 2), mains[0] if mains else None)
        super().__init__(design)

    def make_controls(self) -> Sequence[Control]:
        """Class, elevation, air, cord, charger, the load that starts and its soft starter."""
        system = self.design.units
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
                "cord_run",
                "Cord, one way",
                self._cord("cord_run"),
                self._cord_value("cord_run"),
                "length",
                {"us": (5.0, 150.0, 5.0), "metric": (2.0, 50.0, 1.0)},
                system,
            ),
            pick("cord", "Cord", self._cords, self._cord_value("cord"), self._put_cord),
            charger_amps(system),
            pick("load", "What starts", loads_of("mains"), lambda d: self._load, None),
            tick("soft_start", "soft starter fitted", self._load_path("soft_start"), self._soft),
        )

    def _kind(self, design: Design) -> str | None:
        return None if self._supply is None else design.supply(self._supply).kind

    def _put_kind(self, design: Design, value: str) -> Changes:
        name = str(self._supply)
        own = [key for key in ("running", "starting") if design.get(("supply", name, key))]
        return {("supply", name, "kind"): value, **{("supply", name, key): None for key in own}}

    def _cord(self, key: str) -> Any:
        return of("supply", lambda: self._supply, key)

    def _cord_value(self, key: str) -> Any:
        return lambda design: None if self._supply is None else getattr(design.supply(self._supply), key)

    def _cords(self, design: Design) -> list[tuple[str, str]]:
        fitted = None if self._supply is None else design.supply(self._supply).cord
        return parts(candidates(fitted)) if fitted is not None else []

    def _put_cord(self, design: Design, value: str) -> Changes:
        return {("supply", str(self._supply), "cord"): value}

    def _load_path(self, key: str) -> Any:
        return of("load", lambda: self._load, key)

    def _soft(self, design: Design) -> bool | None:
        if self._load is None or design.load(self._load).typical.start_multiple <= 2:
            return None
        return design.load(self._load).soft_start

    def on_focus(self, key: str, value: Any) -> None:
        """The load whose start and starter are shown."""
        self._load = value

    def ask(self, design: Design) -> Answer:
        """The generator of the design."""
        self.focus = self._kind(design)
        return study.answer(design, self._supply)

    def draw(self, answer: Answer, ghost: Answer | None) -> str:
        """The classes side by side, or two seconds of a load's start."""
        if self.shown == "classes":
            return generator_bars(answer, ghost)
        now, before = (self._start_of(a) for a in (answer, ghost))
        return start_curve(now, before, system=answer.system)

    def _start_of(self, answer: Answer | None) -> study.StartCase | None:
        return None if answer is None or self._load is None else answer.picture.start_of(self._load)


def generator(design: Design) -> GeneratorBench:
    """The bench of “Which generator?” for a design."""
    return GeneratorBench(design)
