"""The bench of “Will it stay cool, and is there air?”."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from trailerlib.bench.base import Bench
from trailerlib.bench.choices import parts
from trailerlib.bench.controls import Changes, Control, Path, count, of, pick, slider
from trailerlib.design import box_classes
from trailerlib.design.design import Design
from trailerlib.pictures import box_heat, hot_day, night_air
from trailerlib.studies import cooling as study
from trailerlib.studies.answer import Answer

POINTS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")


class CoolBench(Bench):
    """Foam, colour, heading, shade, set point, sleepers, fan, window; see the heat, the hot day, the night's air."""

    name = "Will it stay cool?"
    pictures: Mapping[str, str] = {"heat": "heat by side", "day": "the hot day", "night": "the night's air"}

    def __init__(self, design: Design) -> None:
        self._night = next((stay.name for stay in design.stays if stay.activity == "asleep"), None)
        self._fan = next((load.name for load in design.loads if load.fan is not None), None)
        can_open = [o for o in design.openings if o.kind in ("window", "hatch")]
        cracked = [o for o in can_open if o.gap is not None]
        self._window = next((o.name for o in cracked or can_open), None)
        super().__init__(design)

    def make_controls(self) -> Sequence[Control]:
        """Foam in walls and roof, colour of the roof, heading, shade, set point, sleepers, fan, and a window's gap."""
        system, share = self.design.units, (0.0, 100.0, 5.0)
        return (
            self._foam("walls", "Foam, walls"),
            self._foam("roof", "Foam, roof"),
            pick(
                "colour",
                "Roof colour",
                lambda d: parts(list(box_classes.skins())),
                lambda d: d.envelope.roof_colour,
                lambda d, v: {("envelope", "roof_skin"): v},
            ),
            pick(
                "heading",
                "Nose points to",
                lambda d: [(words, 45.0 * n) for n, words in enumerate(POINTS)],
                lambda d: d.envelope.heading,
                lambda d, v: {("envelope", "heading"): v},
            ),
            slider(
                "shade",
                "Shade",
                lambda d: ("envelope", "shade"),
                lambda d: d.envelope.shade,
                "fraction",
                {"us": share, "metric": share},
                system,
            ),
            slider(
                "set_point",
                "Cool to",
                lambda d: ("comfort", "set_point"),
                lambda d: d.comfort.set_point,
                "temperature",
                {"us": (65.0, 85.0, 1.0), "metric": (18.0, 30.0, 0.5)},
                system,
            ),
            count("people", "Sleepers", self._of_night("people"), self._people, 6),
            pick("fan", "Fan", lambda d: parts(list(box_classes.fans())), self._fan_class, self._put_fan),
            slider(
                "gap",
                "Window open",
                of("opening", lambda: self._window, "gap"),
                self._gap,
                "small length",
                {"us": (0.0, 12.0, 0.25), "metric": (0.0, 300.0, 5.0)},
                system,
            ),
        )

    def _foam(self, face: str, label: str) -> Control:
        """A slider over the thickest soft layer of a face."""

        def layer(design: Design) -> str | None:
            return next((f.insulation for f in design.faces if f.name == face), None)

        def path(design: Design) -> Path | None:
            material = layer(design)
            return None if material is None else ("face", face, "layers", material)

        def read(design: Design) -> float | None:
            material = layer(design)
            return None if material is None else design.face(face).thickness_of(material)

        return slider(
            f"foam_{face}",
            label,
            path,
            read,
            "small length",
            {"us": (0.25, 4.0, 0.25), "metric": (5.0, 100.0, 5.0)},
            self.design.units,
        )

    def _of_night(self, key: str) -> Any:
        return of("stay", lambda: self._night, key)

    def _people(self, design: Design) -> int | None:
        return None if self._night is None else design.stay(self._night).people

    def _fan_class(self, design: Design) -> str | None:
        return None if self._fan is None else design.load(self._fan).appliance

    def _put_fan(self, design: Design, value: str) -> Changes:
        own = [key for key in ("power", "starting") if design.get(("load", str(self._fan), key))]
        return {("load", str(self._fan), "class"): value, **{("load", str(self._fan), key): None for key in own}}

    def _gap(self, design: Design) -> float | None:
        return next((o.gap for o in design.openings if o.name == self._window), None)

    def ask(self, design: Design) -> Answer:
        """The heat and the air of the design."""
        return study.answer(design)

    def draw(self, answer: Answer, ghost: Answer | None) -> str:
        """Heat through each side, the hot day hour by hour, or the air of the night."""
        return {"heat": box_heat, "day": hot_day, "night": night_air}[self.shown](answer, ghost)


def cool(design: Design) -> CoolBench:
    """The bench of “Will it stay cool, and is there air?” for a design."""
    return CoolBench(design)
