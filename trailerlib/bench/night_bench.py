"""The bench of “Will it last the night?”."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import ipywidgets as widgets

from trailerlib import times
from trailerlib.bench.base import Bench
from trailerlib.bench.choices import charger_amps, load_class, loads_of, panel_watts, range_in_stay, which_range
from trailerlib.bench.controls import RANGE_STYLE, WIDTH, Changes, Control, count, of, pick, slider
from trailerlib.design.design import Design
from trailerlib.pictures import night_curve
from trailerlib.pictures.trip_curve import no_trip, trip_curve
from trailerlib.studies import night as study
from trailerlib.studies import trip
from trailerlib.studies.answer import Answer
from trailerlib.studies.timetable import battery_stays

CHEMISTRIES = (("flooded lead-acid", "flooded"), ("AGM", "agm"), ("gel", "gel"), ("lithium iron phosphate", "lfp"))


class NightBench(Bench):
    """Battery, cold, hours, loads and what charges it; see how far the charge falls in a night and over the trip."""

    name = "Will it last the night?"
    pictures: Mapping[str, str] = {"night": "the night", "trip": "the trip"}

    def __init__(self, design: Design) -> None:
        dc = [load.name for load in design.loads if load.typical.system == "dc"]
        self._load = next((n for n in dc if "fan" in n), dc[0] if dc else None)
        stays = battery_stays(design)
        self._stay = stays[0].name if stays else None
        self._nth = 0
        super().__init__(design)

    def make_controls(self) -> Sequence[Control]:
        """Capacity, batteries, chemistry, air, length of the night, a load with class and hours, charger, panels."""
        system = self.design.units
        ah, length = (20.0, 400.0, 5.0), (1.0, 24.0, 0.5)
        return (
            slider(
                "capacity",
                "Battery",
                lambda d: ("battery", "capacity") if d.battery else None,
                lambda d: d.battery.capacity if d.battery else None,
                "charge",
                {"us": ah, "metric": ah},
                system,
            ),
            count(
                "batteries",
                "Side by side",
                lambda d: ("battery", "count") if d.battery else None,
                lambda d: d.battery.count if d.battery else None,
                6,
            ),
            pick(
                "chemistry",
                "Chemistry",
                lambda d: CHEMISTRIES,
                lambda d: d.battery.chemistry if d.battery else None,
                lambda d, v: {("battery", "chemistry"): v},
            ),
            slider(
                "ambient",
                "Air at night",
                self._stay_path("ambient"),
                self._ambient,
                "temperature",
                {"us": (-20.0, 110.0, 1.0), "metric": (-30.0, 45.0, 1.0)},
                system,
            ),
            self._length(length),
            pick("load", "Load", loads_of("dc"), lambda d: self._load, None),
            load_class(lambda d: self._load),
            which_range(lambda d: self._load, lambda d: self._stay, lambda: self._nth),
            range_in_stay(lambda d: self._load, lambda d: self._stay, lambda: self._nth),
            charger_amps(system),
            panel_watts("panels", "Solar panel", system),
        )

    def arrange(self) -> Sequence[widgets.Widget]:
        """The load and its class stand on one line: together they say what is on; the class needs no word before it."""
        load, kind = (self.controls[key].widget for key in ("load", "class"))
        load.layout, load.style = {"width": "166px", "height": "28px"}, {"description_width": "38px"}
        kind.layout, kind.description = {"width": "160px", "height": "28px"}, ""
        pair = widgets.HBox([load, kind], layout={"width": WIDTH, "margin": "1px 2px"})
        lines = [c.widget for key, c in self.controls.items() if key != "class"]
        lines[lines.index(load)] = pair
        return [widgets.HTML(RANGE_STYLE, layout={"display": "none"}), *lines]

    def _stay_path(self, key: str) -> Any:
        return of("stay", lambda: self._stay, key)

    def _ambient(self, design: Design) -> float | None:
        if self._stay is None:
            return None
        own = design.stay(self._stay).ambient
        return own if own is not None else design.site.coldest

    def _length(self, ends: tuple[float, float, float]) -> Control:
        control = slider(
            "length",
            "Night lasts",
            self._stay_path("to"),
            lambda d: None if self._stay is None else d.stay(self._stay).hours,
            "duration",
            {"us": ends, "metric": ends},
            "us",
        )

        def put(design: Design, value: float) -> Changes:
            assert self._stay is not None
            return {("stay", self._stay, "to"): times.clock(design.stay(self._stay).start + value)}

        control.put = put
        return control

    def on_focus(self, key: str, value: Any) -> None:
        """The load whose class and hours are shown, and which of its hours."""
        if key == "which":
            self._nth = value
        else:
            self._load, self._nth = value, 0

    def ask(self, design: Design) -> Answer:
        """The night of the first stay on the battery."""
        self.focus = self._load
        return study.answer(design, self._stay)

    def draw(self, answer: Answer, ghost: Answer | None) -> str:
        """Charge over the hours of the night, or over the days of the trip."""
        if self.shown == "night":
            return night_curve(answer, ghost)
        now, before = (None if a is None or a.picture is None else a.picture.trip for a in (answer, ghost))
        if now is None:
            return no_trip(trip.of(self.design).missing or "the night could not be worked out")
        return trip_curve(now, before)


def night(design: Design) -> NightBench:
    """The bench of “Will it last the night?” for a design."""
    return NightBench(design)
