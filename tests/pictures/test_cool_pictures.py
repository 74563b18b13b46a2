"""The box, the hot day and the night's air: bands by their watts, nothing cut off, every mark with its words."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from seen import SVG, faults, letters, polygons, polylines

from trailerlib.pictures import box_heat, hot_day, night_air
from trailerlib.pictures.canvas import PALETTE
from trailerlib.studies.answer import Answer, mapping
from trailerlib.studies.cooling.picture import CoolingPicture, HeatFlows, HeatPart, HotDay, NightAir

SIDES = ("roof", "floor", "road", "curb", "nose", "rear")
HOURS = np.linspace(0.0, 24.0, 289)


def heat(roof_w: float = 900.0, floor_w: float = -45.0, **more: Any) -> HeatFlows:
    parts = (
        HeatPart("roof", "roof", roof_w, 70.0), HeatPart("wall", "curb", 150.0, 40.0), HeatPart("side door", "curb", 90.0),
        HeatPart("door window", "curb", 230.0), HeatPart("wall", "road", 260.0, 44.0), HeatPart("wall", "nose", 80.0, 38.0),
        HeatPart("wall", "rear", 70.0, 36.0), HeatPart("rear ramp", "rear", 110.0, 36.0),
        HeatPart("floor", "floor", floor_w, 34.0), HeatPart("people", "inside", 140.0), HeatPart("loads", "inside", 95.0),
        HeatPart("leaks", "inside", 120.0),
    )  # fmt: skip
    return replace(HeatFlows(parts, 15.5, 35.6, 24.4, 90.0, (4.27, 2.13, 1.98)), **more)


def day(sun_k: float = 25.0, cooler: bool = True) -> HotDay:
    outside = 27.0 + 8.0 * np.cos((HOURS - 15.0) / 24.0 * 2 * np.pi)
    roof = outside + sun_k * np.maximum(0.0, np.sin((HOURS - 6.0) / 12.0 * np.pi))
    free = 29.0 + 9.0 * np.cos((HOURS - 16.5) / 24.0 * 2 * np.pi)
    held = np.minimum(free, 24.4 + 0.5 * np.sign(np.sin(HOURS * 12.0))) if cooler else None
    runs = tuple((float(h), float(h) + 0.2) for h in np.arange(10.0, 20.0, 0.5)) if cooler else ()
    return HotDay(HOURS, outside, roof, free, held, 24.4 if cooler else None, runs)


def night(fan_ppm: float | None = 720.0, shut_ppm: float = 6800.0, mark: float | None = 1000.0) -> NightAir:
    hours = np.linspace(22.0, 31.0, 109)
    share = 1.0 - np.exp(-(hours - 22.0) * 0.5)
    fan = None if fan_ppm is None else 420.0 + (fan_ppm - 420.0) * share
    return NightAir(hours, fan, 420.0 + (shut_ppm - 420.0) * share, mark, "night", 2)


def answer(picture: CoolingPicture | None = None, system: str = "us") -> Answer:
    shown = CoolingPicture(heat(), day(), night(), {}) if picture is None else picture
    return Answer("cooling", "Will it stay cool?", system, "Holds.", mapping(), (), lambda: (), (), picture=shown)  # type: ignore[arg-type]


PICTURES: dict[str, Callable[..., str]] = {"heat": box_heat, "day": hot_day, "night": night_air}
OTHER = answer(CoolingPicture(heat(1400.0, 60.0), day(45.0, cooler=False), night(None, 2400.0, None), {}))


@pytest.mark.parametrize("name", PICTURES)
@pytest.mark.parametrize("system", ["us", "metric"])
def test_it_is_sound_and_nothing_lies_on_words(name: str, system: str) -> None:
    now = answer(system=system)
    for shown, ghost in ((now, None), (now, OTHER), (OTHER, now), (OTHER, None)):
        assert faults(PICTURES[name](shown, ghost, "paper")) == []
        assert "var(" in PICTURES[name](shown, ghost) and "var(" not in PICTURES[name](shown, ghost, "paper")


@pytest.mark.parametrize("name", PICTURES)
def test_what_cannot_be_drawn_says_what_is_missing(name: str) -> None:
    bare = answer(CoolingPicture(None, None, None, {name: "the layers of the walls are not given"}))
    words = " ".join(text for text, _ in letters(PICTURES[name](bare, answer(), "paper")))
    assert "Nothing to draw: the layers of the walls are not given." in words
    assert "Nothing to draw" in PICTURES[name](answer(CoolingPicture(None, None, None, {})), None, "paper")


def areas(svg: str, tint: str) -> list[float]:
    """The area of every filled shape of a colour [px²]."""
    found = []
    for corners in polygons(svg, PALETTE[tint]):
        x, y = np.array(corners).T
        found.append(abs(float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))) / 2)
    return found


def stripes(svg: str, tint: str) -> list[float]:
    """Widths of the bands [px]: the short side of every four-cornered shape of a colour."""
    shapes = [np.array(corners) for corners in polygons(svg, PALETTE[tint]) if len(corners) == 4]
    return [float(np.hypot(*(shape[1] - shape[0]))) for shape in shapes]


@given(st.floats(50.0, 4000.0), st.floats(20.0, 4000.0))
@settings(max_examples=25)
def test_bands_are_as_wide_as_their_watts(roof_w: float, wall_w: float) -> None:
    parts = (HeatPart("roof", "roof", roof_w, 60.0), HeatPart("wall", "rear", wall_w, 40.0))
    shown = answer(CoolingPicture(heat(parts=parts), None, None, {}))
    wide, thin = stripes(box_heat(shown, None, "paper"), "watch")
    assert wide / thin == pytest.approx(roof_w / wall_w, rel=0.02, abs=0.25 / min(wide, thin) * max(wide, thin))
    assert 20.0 < max(wide, thin) <= 36.1


def test_heat_that_leaves_points_out_in_another_colour_and_says_so() -> None:
    svg = box_heat(answer(), None, "paper")
    assert len(areas(svg, "dc")) == 2 and "floor 45 W out" in svg
    inward = box_heat(OTHER, None, "paper")
    assert areas(inward, "dc") == [] and "floor 60 W" in inward


def test_every_side_has_its_watts_and_the_whole_is_their_sum() -> None:
    words = [text for text, _ in letters(box_heat(answer(), OTHER, "paper"))]
    for said in (
        "roof 900 W",
        "road side 260 W",
        "curb side 470 W",
        "nose 80 W",
        "rear 180 W",
        "people 140 W",
        "leaks 120 W",
    ):
        assert said in words
    assert "2200 W in all" in words and heat().total_w == pytest.approx(2200.0)
    assert any("before 2805 W" in text for text in words) and any("nose to the east" in text for text in words)


def test_the_day_names_every_curve_with_its_height() -> None:
    words = " ".join(text for text, _ in letters(hot_day(answer(), OTHER, "paper")))
    for said in (
        "roof in the sun",
        "outside 95 °F",
        "inside, no power",
        "inside, cooler on",
        "set point 76 °F",
        "before the last move",
    ):
        assert said in words
    assert "cooler on" not in hot_day(OTHER, None, "paper") and "set point" not in hot_day(OTHER, None, "paper")


def test_the_cooler_runs_where_its_bars_are() -> None:
    root = ET.fromstring(hot_day(answer(), None, "paper"))
    bars = [e for e in root.iter(f"{SVG}rect") if e.attrib["fill"] == PALETTE["mains"]]
    assert len(bars) == len(day().on_h)
    left, right = 46.0, 508.0
    assert float(bars[0].attrib["x"]) == pytest.approx(left + 10.0 / 24.0 * (right - left), abs=0.1)
    assert float(bars[0].attrib["width"]) == pytest.approx(0.2 / 24.0 * (right - left), abs=0.1)


def test_a_sawtooth_keeps_its_top() -> None:
    svg = hot_day(answer(), None, "paper")
    (held,) = polylines(svg, PALETTE["holds"])[-1:]
    free = polylines(svg, PALETTE["watch"])[-1]
    assert min(y for _, y in free) < min(y for _, y in held), "higher on the sheet is hotter"


def test_the_night_says_what_its_mark_is_and_is_not() -> None:
    words = " ".join(text for text, _ in letters(night_air(answer(), OTHER, "paper")))
    assert "1000 ppm asked for" in words and "not a limit" in words and "62.1" in words
    assert "5000 ppm: eight-hour limit at work" in words and "outside 420 ppm" in words
    assert "fan as set: 720 ppm" in words or "fan as set: 717 ppm" in words
    calm = " ".join(text for text, _ in letters(night_air(OTHER, None, "paper")))
    assert "asked for" not in calm and "fan as set" not in calm and "eight-hour" not in calm


def test_too_much_carbon_dioxide_is_no_green_line() -> None:
    stuffy = answer(CoolingPicture(None, None, night(1400.0), {}))
    svg = night_air(stuffy, None, "paper")
    assert not polylines(svg, PALETTE["holds"]) and len(polylines(svg, PALETTE["stop"])) >= 3
    assert polylines(night_air(answer(), None, "paper"), PALETTE["holds"])
