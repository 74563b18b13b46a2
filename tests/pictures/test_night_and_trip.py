"""The night and the trip as drawn: nothing cut off or crossed, bars and curve on one clock, energy kept in the band."""

from __future__ import annotations

import copy
import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest
import seen

import trailerlib as tl
from trailerlib import pictures, units
from trailerlib.pictures.canvas import PALETTE, Axis
from trailerlib.pictures.night_curve import MOST_BARS
from trailerlib.pictures.trip_curve import HEIGHT, WIDTH, no_trip, trip_curve
from trailerlib.pictures.trip_flows import _mean
from trailerlib.studies.trip.result import Span, TripPicture

LEAST_LETTERS = 11.5


@pytest.fixture(scope="session")
def demo() -> tl.Design:
    return tl.read_design(tl.shipped_trailers()["fen-survey"])


def crowd(design: tl.Design, count: int) -> tl.Design:
    """More loads in the night, some on twice, some only towards its end."""
    raw = copy.deepcopy(dict(design.raw))
    for number in range(count):
        name = f"lamp {number} with a name that is as long as it may be"[:40]
        lamp = {"name": name, "class": "led work light", "circuit": "work lights", "place": "ceiling", "power": "1 W"}
        raw["load"].append(lamp)
        raw["stay"][0]["on"][name] = ("04:00-05:00", "18:30-19:00, 23:00-01:00", "all")[number % 3]
    return tl.design_from(raw)


def trip(spans: list[tuple[str, str, float, float]], *, charger_w=240.0, sun_w=150.0, tow_w=0.0, start=1.0):
    """A plain trip of 5 min steps made here for the drawing alone; no physics of the project."""
    edges = np.arange(12 * spans[0][2], 12 * spans[-1][3] + 1) / 12
    middle = (edges[1:] + edges[:-1]) / 2
    supply = np.array([next((s for _, s, a, b in spans if a <= t < b), "") for t in middle])
    load = np.where(supply == "", 0.0, np.where((middle % 24 > 18) | (middle % 24 < 7), 48.0, 20.0))
    sun = sun_w * np.maximum(0.0, np.sin((middle % 24 - 6) / 12 * np.pi))
    mains = np.where(np.isin(supply, ["", "battery", "towing"]), 0.0, charger_w)
    tow = np.where(supply == "towing", tow_w, 0.0)
    charge = [start]
    for gain in (sun + mains + tow - load) / 12 / 1280:
        charge.append(min(1.0, max(0.0, charge[-1] + gain)))
    return TripPicture(
        edges, np.array(charge), 0.5, load, sun, mains, tow, tuple(Span(*s) for s in spans), charge[-1] >= start
    )


def days(count: int, day: tuple[str, str] = ("drying day", "generator"), **powers):
    spans = []
    for number in range(count):
        spans += [("night", "battery", 18.0 + 24 * number, 31.0 + 24 * number)]
        spans += [(*day, 33.0 + 24 * number, 41.0 + 24 * number)]
    return trip(spans, **powers)


MIXED = trip(
    [
        ("night", "battery", 18, 31), ("on the way", "towing", 32, 36), ("drying day", "generator", 37, 40),
        ("a very long name of forty letters, it is", "battery", 42, 55), ("camp with power", "shore", 55, 66),
    ],
    tow_w=95.0,
)  # fmt: skip
TRIPS = {
    "two days": days(2),
    "dark": days(1, sun_w=0.0, charger_w=0.0),
    "a week": days(7, ("a long road to the next of the fens", "towing"), sun_w=40.0, tow_w=90.0),
    "thirty days": days(30, sun_w=1650.0, charger_w=1200.0),
    "mixed": MIXED,
    "one hour": trip([("stop", "battery", 12.0, 13.0)], sun_w=0.0),
    "stands full": trip([("camp", "shore", 8.0, 20.0)], sun_w=900.0),
}


def sizes(svg: str) -> set[float]:
    return {float(e.attrib["font-size"]) for e in ET.fromstring(svg).iter(f"{seen.SVG}text")}


@pytest.mark.parametrize("ghost", [None, "two days", "mixed"])
@pytest.mark.parametrize("name", TRIPS)
def test_a_trip_is_sound(name, ghost):
    svg = trip_curve(TRIPS[name], TRIPS.get(ghost), ink="paper")
    assert seen.faults(svg) == []
    assert ET.fromstring(svg).attrib["viewBox"] == f"0 0 {WIDTH:g} {HEIGHT:g}"
    assert min(sizes(svg)) >= LEAST_LETTERS
    assert "var(" in trip_curve(TRIPS[name]) and "var(" not in svg
    drawn = any(len(line) > 2 for line in seen.polylines(svg, PALETTE["ghost"]))
    assert drawn is (ghost is not None and name != "one hour"), "that one ends before the ghost begins"


@pytest.mark.parametrize("name", TRIPS)
def test_every_kind_of_stay_is_told_in_words(name):
    """Name and supply stand in the box or beside its number; never a colour alone."""
    words = " ".join(text for text, _ in seen.letters(trip_curve(TRIPS[name], ink="paper")))
    said = {"battery": "battery alone", "towing": "on the road"}
    for span in TRIPS[name].spans:
        assert span.name in words
        assert said.get(span.supply, span.supply) in words


@pytest.mark.parametrize("name", TRIPS)
def test_the_curve_stands_at_its_hours(name):
    """The drawn line passes where the charge is, lowest point included."""
    picture = TRIPS[name]
    svg = trip_curve(picture, ink="paper")
    tint = PALETTE["stop" if picture.charge.min() < picture.floor else "holds"]
    curve = next(line for line in seen.polylines(svg, tint) if len(line) > 2 or tint == PALETTE["holds"])
    grid = {words: box for words, box in seen.letters(svg) if words in ("0 %", "100 %")}
    foot, top = (grid[w][3] - 0.22 * 11.5 - 4 for w in ("0 %", "100 %"))
    across = Axis(picture.edges_h[0], picture.edges_h[-1], 46.0, 510.0)
    drawn = np.interp([across(t) for t in picture.edges_h], *np.array(curve).T)
    asked = foot + picture.charge * (top - foot)
    columns_px = (across(24.0) - across(0.0)) / 24.0 * 3.0
    if columns_px > 10:
        assert np.abs(drawn - asked).max() < 1.5
    for day in np.unique(picture.edges_h // 24):  # on a long trip a column holds hours: its highest and lowest are kept
        here = picture.edges_h // 24 == day
        assert drawn[here].max() == pytest.approx(asked[here].max(), abs=0.5)
        assert drawn[here].min() == pytest.approx(asked[here].min(), abs=0.5)
    assert max(y for _, y in curve) == pytest.approx(asked.max(), abs=0.11)


def test_what_flows_is_neither_lost_nor_made_in_the_band():
    """Columns hold the mean of their time: their energy is that of the steps."""
    picture = TRIPS["a week"]
    hours = np.linspace(picture.edges_h[0], picture.edges_h[-1], 155)
    for power in (picture.solar_w, picture.tow_w, picture.load_w):
        columns = _mean(hours, picture.edges_h, power)
        assert columns @ np.diff(hours) == pytest.approx(power @ np.diff(picture.edges_h), rel=1e-12)
        assert columns.min() >= -1e-9 and columns.max() <= power.max() + 1e-9


def test_the_most_of_each_source_is_said_and_only_of_those_there_are():
    words = {text for text, _ in seen.letters(trip_curve(MIXED, ink="paper"))}
    assert {"sun to 150 W", "charger to 240 W", "tow to 95.0 W", "loads to 48.0 W"} <= words
    dark = {text for text, _ in seen.letters(trip_curve(TRIPS["dark"], ink="paper"))}
    assert "nothing comes in" in dark and not any(text.startswith(("sun", "charger", "tow")) for text in dark)


def area(polygon: list[seen.Flat]) -> float:
    return 0.5 * abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(polygon, [*polygon[1:], polygon[0]], strict=True)))


def test_areas_are_to_scale():
    """Sun to loads in drawn area as in energy, on one scale up and down."""
    picture = days(3, charger_w=0.0)
    svg = trip_curve(picture, ink="paper")
    sun, loads = (sum(map(area, seen.polygons(svg, PALETTE[tint]))) for tint in ("watch", "dc"))
    assert sun / loads == pytest.approx(picture.solar_w.sum() / picture.load_w.sum(), rel=0.01)


@pytest.mark.parametrize(("start", "word"), [(1.0, "not even"), (0.2, "even")])
def test_it_says_in_words_whether_the_trip_can_be_repeated(start, word):
    picture = days(2, sun_w=0.0 if start == 1.0 else 150.0, charger_w=0.0 if start == 1.0 else 240.0, start=start)
    first, last = (units.figures(100 * float(picture.charge[k])) for k in (0, -1))
    words = [text for text, _ in seen.letters(trip_curve(picture, ink="paper"))]
    assert f"charge, {first} % to {last} %: {word}" in words


def test_without_a_trip_the_reason_stands_there():
    svg = no_trip("the design has no battery", ink="paper")
    assert seen.faults(svg) == []
    assert " ".join(text for text, _ in seen.letters(svg)) == "Not checked: the design has no battery."


def bars(svg: str) -> list[seen.Box]:
    found = []
    for element in ET.fromstring(svg).iter(f"{seen.SVG}rect"):
        x, y, w, h = (float(element.attrib[key]) for key in ("x", "y", "width", "height"))
        found.append((x, y, x + w, y + h))
    return found


def changes() -> dict[str, dict[str, str]]:
    return {
        "demo": {}, "short": {"battery.capacity": "40 Ah"}, "large": {"battery.capacity": "390 Ah"},
        "lfp": {"battery.chemistry": "lfp"}, "a whole day": {"stay.night.to": "18:00"},
        "one hour": {"stay.night.to": "19:00"}, "cold": {"stay.night.ambient": "-20 °F"},
    }  # fmt: skip


@pytest.mark.parametrize("case", changes())
@pytest.mark.parametrize("more", [0, 2, 12])
def test_a_night_is_sound(case, more, demo):
    design = crowd(demo, more) if more else demo
    for path, value in changes()[case].items():
        design = design.replace(path, value)
    for ghost in (None, tl.study("night", demo), tl.study("night", demo.replace("battery.capacity", "60 Ah"))):
        assert seen.faults(pictures.night_curve(tl.study("night", design), ghost, "paper")) == []


def test_bars_stand_above_the_curve_on_its_clock(demo):
    answer = tl.study("night", demo)
    svg = pictures.night_curve(answer, None, "paper")
    across = Axis(18.0, 31.0, 46.0, 508.0)
    curve = max(seen.polylines(svg, PALETTE["holds"]), key=len)
    drawn = [box for box in bars(svg) if box[2] - box[0] > 0]
    assert max(box[3] for box in drawn) < min(y for _, y in curve)
    pieces = [(first, last) for parts in answer.picture.on.values() for first, last in parts]
    assert len(drawn) == len(pieces)
    for box, (first, last) in zip(drawn, pieces, strict=True):
        assert (box[0], box[2]) == pytest.approx((across(first), across(last)), abs=0.11)
    assert curve[0][0] == pytest.approx(across(18.0), abs=0.06) and curve[-1][0] == pytest.approx(
        across(31.0), abs=0.06
    )


@pytest.mark.parametrize("more", [0, 3, 4, 30])
def test_every_load_of_the_night_is_named_or_counted(more, demo):
    """The demo has six on at night; nine bars find room."""
    answer = tl.study("night", crowd(demo, more))
    names = list(answer.picture.on)
    assert len(names) == 6 + more
    words = [text for text, _ in seen.letters(pictures.night_curve(answer, None, "paper"))]
    shown = [
        name
        for name in names
        if any(text == name or (text[-1:] == "…" and name.startswith(text[:-1])) for text in words)
    ]
    counted = [int(found.group(1)) for text in words if (found := re.match(r"and (\d+) more: ", text))]
    assert len(shown) == min(len(names), MOST_BARS)
    assert counted == ([len(names) - MOST_BARS] if len(names) > MOST_BARS else [])
