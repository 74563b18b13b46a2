"""The bench of “Will the roof carry it?”."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from trailerlib import units
from trailerlib.bench.base import Bench
from trailerlib.bench.choices import parts
from trailerlib.bench.controls import Changes, Control, pick, slider, tick
from trailerlib.design import frame_classes
from trailerlib.design.design import Design
from trailerlib.design.model import Opening
from trailerlib.pictures import bows_carry, build_up, from_outside
from trailerlib.studies import roof as study
from trailerlib.studies.answer import Answer
from trailerlib.studies.roof.carry import mass_of

ALONG, UP = 0, 1  # which number of a place


class RoofBench(Bench):
    """Which opening, where it lies, what sits in it, and the bows; see it from outside, the bows, the build-up."""

    name = "Will the roof carry it?"
    pictures: Mapping[str, str] = {"outside": "from outside", "bows": "the bows", "build-up": "the build-up"}

    def __init__(self, design: Design) -> None:
        roof = [o for o in design.openings if o.wall == "roof"]
        self._opening = next((o.name for o in (*roof, *design.openings)), None)
        super().__init__(design)

    def make_controls(self) -> Sequence[Control]:
        """The opening in focus, its place and mass, headers; metal, depth and spacing of the bows, and the road."""
        system, box = self.design.units, self.design.trailer
        length, width, height = (units.outside(v, "length", system) for v in (box.length, box.width, box.height))
        step = {"us": 0.25, "metric": 0.05}[system]
        return (
            pick("opening", "Opening", lambda d: parts([o.name for o in d.openings]), lambda d: self._opening, None),
            self._place("along", "From the nose", ALONG, (0.0, round(max(length, width), 2), step)),
            self._place("across", "Across or up", UP, (0.0, round(max(width, height), 2), step)),
            slider(
                "mass",
                "What sits in it",
                self._mass_path,
                self._mass,
                "mass",
                {"us": (5.0, 200.0, 5.0), "metric": (2.0, 90.0, 1.0)},
                system,
            ),
            tick("headers", "Headers", self._headers_path, self._headers),
            pick(
                "metal",
                "Bows of",
                lambda d: parts(list(frame_classes.metals())),
                lambda d: d.roof.metal,
                lambda d, v: {("roof", "metal"): v},
            ),
            slider(
                "depth",
                "Depth of bows",
                lambda d: ("roof", "depth"),
                lambda d: d.roof.depth,
                "small length",
                {"us": (0.75, 4.0, 0.25), "metric": (20.0, 100.0, 5.0)},
                system,
            ),
            slider(
                "spacing",
                "Bows every",
                lambda d: ("roof", "spacing"),
                lambda d: d.roof.spacing,
                "small length",
                {"us": (12.0, 36.0, 1.0), "metric": (300.0, 900.0, 25.0)},
                system,
            ),
        )

    def _place(self, key: str, label: str, axis: int, ends: tuple[float, float, float]) -> Control:
        """A slider over one number of the opening's place; the other stays as it is written."""
        system = self.design.units

        def read(design: Design) -> float | None:
            found = self._now(design)
            return None if found is None else found.at[axis]

        where = ("opening", "", "at")
        control = slider(key, label, lambda d: where, read, "length", {"us": ends, "metric": ends}, system)

        def put(design: Design, value: float) -> Changes:
            if self._now(design) is None:
                return {}
            path = ("opening", str(self._opening), "at")
            written = list(design.get(path))
            written[axis] = units.written(value, "length", system)
            return {path: written}

        control.put = put
        return control

    def _now(self, design: Design) -> Opening | None:
        return next((o for o in design.openings if o.name == self._opening), None)

    def _mass_path(self, design: Design) -> tuple[str, ...] | None:
        """Only the roof is bent by what sits in it."""
        found = self._now(design)
        return None if found is None or found.wall != "roof" else ("opening", found.name, "mass")

    def _mass(self, design: Design) -> float | None:
        found = self._now(design)
        return None if found is None else mass_of(design, found)

    def _headers_path(self, design: Design) -> tuple[str, ...] | None:
        return None if self._now(design) is None else ("opening", str(self._opening), "headers")

    def _headers(self, design: Design) -> bool | None:
        found = self._now(design)
        return None if found is None else bool(found.headers)

    def on_focus(self, key: str, value: Any) -> None:
        """The opening that is looked at."""
        self._opening = value

    def ask(self, design: Design) -> Answer:
        """The roof and the openings, the one in focus looked at."""
        self.focus = self._opening
        return study.answer(design, self._opening)

    def draw(self, answer: Answer, ghost: Answer | None) -> str:
        """The side from outside, how the bows carry, or the layers at the opening."""
        return {"outside": from_outside, "bows": bows_carry, "build-up": build_up}[self.shown](answer, ghost)


def roof(design: Design) -> RoofBench:
    """The bench of “Will the roof carry it?” for a design."""
    return RoofBench(design)
