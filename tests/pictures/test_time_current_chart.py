"""The chart of time and current: curves where the physics puts them, words clear of each other and of every line."""

from __future__ import annotations

import itertools
import math
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest
from seen import Flat, faults, letters, polygons, polylines

from trailerlib.physics.time_current import band
from trailerlib.pictures import time_current_chart
from trailerlib.pictures.canvas import PALETTE
from trailerlib.studies.ampacity import ampacity
from trailerlib.studies.devices import device
from trailerlib.studies.guard import Guard, Wire, guard, wire


def laid(size: str, insulation: str = "105 C", system: str = "dc", ambient_c: float = 50.0, bundle: int = 6) -> Wire:
    found = wire(size, insulation, ampacity(size, insulation, system, ambient_c, bundle), ambient_c)
    assert found is not None
    return found


GOOD = guard(device("blade", 10.0), laid("14 AWG"), 1300.0, 96.0, 4.9)
BAD = guard(device("blade", 30.0), laid("18 AWG"), 1300.0, 46.0, 4.9)
THIN = guard(device("breaker", 20.0), laid("18 AWG"), 2000.0, 90.0, 12.0)
BREAKER = guard(device("breaker", 20.0), laid("12 AWG", "75 C", "mains", 35.0, 2), 2000.0, 310.0, 12.0)
MAIN = guard(device("maxi", 60.0), laid("6 AWG"), 2500.0, 900.0, 30.0)
NO_WIRE = guard(device("blade", 10.0), None, 1300.0, 96.0, 4.9)
NO_DEVICE = guard(device("class t", 1000.0), laid("14 AWG"), 1300.0, 96.0, 4.9)
NO_SOURCE = guard(device("blade", 10.0), laid("14 AWG"), None, None, 4.9)
NOTHING = guard(device("no such thing", 10.0), None, None, None, None)
WEAK = guard(device("blade", 30.0), laid("10 AWG"), 25.0, 20.0, 4.9)
GUARDS = {
    "good": GOOD, "bad": BAD, "thin": THIN, "breaker": BREAKER, "main": MAIN, "no wire": NO_WIRE, "no device": NO_DEVICE,
    "no source": NO_SOURCE, "nothing": NOTHING, "weak": WEAK,
    "class t": guard(device("class t", 200.0), laid("1/0 AWG"), 8000.0, 5000.0, 120.0),
    "near together": guard(device("blade", 15.0), laid("14 AWG"), 20.0, 18.0, 17.0),
    "all the same": guard(device("blade", 20.0), laid("14 AWG"), 19.0, 18.5, 18.0),
    "no load": guard(device("blade", 5.0), laid("16 AWG"), 900.0, 40.0, None),
    "hardly a load": guard(device("blade", 30.0), laid("10 AWG"), 900.0, 400.0, 0.05),
    **{
        f"{kind} {amps} on {size}": guard(device(kind, amps), laid(size), 40.0 * amps, 40.0 * amps * share, 0.7 * amps)
        for (kind, amps), size, share in itertools.product(
            (("blade", 3.0), ("blade", 40.0), ("maxi", 80.0), ("bolt-down", 150.0), ("terminal", 100.0), ("breaker", 50.0)),
            ("18 AWG", "10 AWG", "2 AWG"), (0.05, 0.9),
        )
    },
}  # fmt: skip


@pytest.mark.parametrize("name", GUARDS)
def test_no_word_is_cut_off_or_covered(name: str) -> None:
    long = "a very long name of forty letters, it is " * 2
    for ghost, others in ((None, ()), (GOOD, (MAIN,)), (BAD, (MAIN, WEAK)), (NO_WIRE, (NO_DEVICE,)), (BREAKER, ())):
        assert faults(time_current_chart(GUARDS[name], ghost, title=long, others=others, ink="paper")) == []


def paper(svg: str) -> tuple[float, float, float, float]:
    """The scales read off the axes: pixel = a + b log10 of the current, pixel = c + d log10 of the time."""
    at: dict[str, Flat] = {w: ((b[0] + b[2]) / 2, b[3] - 0.22 * 12 - 4) for w, b in letters(svg)}
    (a1, x1), (a2, x2) = [(float(w), x) for w, (x, _) in at.items() if w in ("10", "100")]
    y1, y2 = at["0.01 s"][1], at["1 h"][1]
    b = (x2 - x1) / math.log10(a2 / a1)
    d = (y2 - y1) / math.log10(3600 / 0.01)
    return x1 - b * math.log10(a1), b, y1 - d * math.log10(0.01), d


def height(lines: list[list[Flat]], x: float) -> list[float]:
    """Where lines pass a place across [px]."""
    return [
        y0 + (y1 - y0) * (x - x0) / (x1 - x0)
        for points in lines
        for (x0, y0), (x1, y1) in itertools.pairwise(points)
        if x0 <= x <= x1 and x1 - x0 > 1e-6
    ]


@pytest.mark.parametrize("name", ["good", "bad", "breaker", "thin"])
def test_the_curves_lie_where_the_physics_puts_them(name: str) -> None:
    """Read off the drawing with its own axes, at currents between the published ones."""
    shown = GUARDS[name]
    svg = time_current_chart(shown, ink="paper")
    a, b, c, d = paper(svg)
    assert shown.device is not None and shown.wire is not None
    seen = 0
    for current in (13.0, 17.0, 26.0, 43.0, 57.0, 77.0, 130.0, 260.0):
        x = a + b * math.log10(current)
        least, most = band(shown.device, current)
        blue = height(polylines(svg, PALETTE["dc"]), x)
        for seconds in (float(least), float(most)):
            if 0.011 < seconds < 9000.0:
                assert min(abs(y - (c + d * math.log10(seconds))) for y in blue) < 1.5, (current, seconds)
                seen += 1
        damage = float(shown.wire.damage_s(current))
        if 0.011 < damage < 9000.0:
            red = height(polylines(svg, PALETTE["stop"]), x)
            assert min(abs(y - (c + d * math.log10(damage))) for y in red) < 1.5, (current, damage)
            seen += 1
    assert seen >= 12


def test_the_published_part_is_whole_and_the_continuation_dashed() -> None:
    svg = time_current_chart(GOOD, ink="paper")
    a, b, _, _ = paper(svg)
    assert GOOD.device is not None
    edge = a + b * math.log10(GOOD.device.published_to_a)
    for element in ET.fromstring(svg).iter("{http://www.w3.org/2000/svg}polyline"):
        points = [tuple(map(float, p.split(","))) for p in element.attrib["points"].split()]
        if element.attrib["stroke"] == PALETTE["dc"] and points[0][1] > 60:
            whole = "stroke-dasharray" not in element.attrib
            assert (max(x for x, _ in points) <= edge + 2.5) if whole else (min(x for x, _ in points) >= edge - 2.5)
    assert "beyond its table" in svg


def test_the_currents_stand_where_they_belong_and_are_named() -> None:
    svg = time_current_chart(GOOD, ink="paper")
    a, b, _, _ = paper(svg)
    words = [w for w, _ in letters(svg)]
    assert GOOD.wire is not None
    named = {
        "load": 4.9,
        "wire carries": GOOD.wire.ampacity_a,
        "short at the far end": 96.0,
        "short at the fuse": 1300.0,
    }
    upright = [p[-1][0] for p in polylines(svg) if p[-1][0] == p[-2][0] and p[-1][1] - p[-2][1] > 100]
    for name, amps in named.items():
        (said,) = [w for w in words if w.startswith(f"{name} ")]
        assert float(said.split()[-2]) == pytest.approx(amps, rel=5e-3)
        assert min(abs(x - (a + b * math.log10(amps))) for x in upright) < 0.6, name


def test_where_the_wire_is_not_guarded_the_stretch_is_filled() -> None:
    """Filled where the slow edge lies above the damage curve, and nowhere where it does not."""

    def strong(svg: str) -> list[list[Flat]]:
        return [
            points for tint in ("stop", "watch") for points in polygons(svg.replace('fill-opacity="0.08"', ""), PALETTE[tint])
        ]  # fmt: skip

    def marked(svg: str) -> int:
        return svg.count('fill-opacity="0.5"')

    assert marked(time_current_chart(GOOD, ink="paper")) == 0
    assert "too late" not in time_current_chart(GOOD)
    svg = time_current_chart(BAD, ink="paper")
    assert marked(svg) == 2 and len(strong(svg)) == 3 and "✗ may open too late" in svg
    a, b, c, d = paper(svg)
    assert BAD.device is not None and BAD.wire is not None
    shapes = strong(svg)[1:]
    for points in shapes:
        for x, y in points:
            amps, seconds = 10 ** ((x - a) / b), 10 ** ((y - c) / d)
            least, most = float(BAD.wire.damage_s(amps)), float(band(BAD.device, amps * (1 + 1e-3))[1])
            assert 0.9 * least <= seconds <= 1.6 * most or seconds <= 0.0101 or seconds > 9000


def sentence(shown: Guard, **how: object) -> str:
    svg = time_current_chart(shown, ink="paper", **how)  # type: ignore[arg-type]
    return " ".join(w for w, b in letters(svg) if b[0] < 10 and b[1] > 250)


def test_the_sentence_says_what_a_far_short_does() -> None:
    """14 AWG from 105 °C: 96 A for 0.039 s warm it by half a kelvin."""
    assert (
        sentence(GOOD)
        == "A short at the far end draws 96.0 A: opens within 0.039 s, the wire reaches 222 °F of 302 °F."
    )
    assert "106 °C of 150 °C" in sentence(GOOD, system="metric")
    assert "0.33 s to 2.0 min, the wire reaches over 482 °F" in sentence(BAD) and sentence(BAD).startswith("■")
    assert "need not open" in sentence(WEAK) and "need never open" in sentence(WEAK)


def test_a_main_that_may_open_first_is_said() -> None:
    small = guard(device("blade", 15.0), laid("10 AWG"), 2500.0, 900.0, 12.0)
    weak_main = guard(device("blade", 20.0), laid("6 AWG"), 2500.0, 900.0, 12.0)
    first = small.main_from_a(weak_main.device)
    assert first is not None and first < 2500.0
    assert f"From {first:.1f} A on the 20 A blade fuse may open first." in sentence(small, others=[weak_main])
    svg = time_current_chart(small, others=[weak_main], ink="paper")
    assert polygons(svg, PALETTE["ghost"]) and not polygons(time_current_chart(small, ink="paper"), PALETTE["ghost"])


@pytest.mark.parametrize(
    ("name", "why"), [("no wire", "the air"), ("no device", "no published"), ("no source", "source")]
)
def test_what_is_known_is_drawn_and_what_is_not_is_said(name: str, why: str) -> None:
    shown = GUARDS[name]
    svg = time_current_chart(shown, ink="paper")
    assert sentence(shown).startswith("○ Not checked: ") and why in sentence(shown)
    assert bool(polygons(svg, PALETTE["dc"])) is (shown.device is not None)
    assert bool(polygons(svg, PALETTE["stop"])) is (shown.wire is not None)
    assert "surely open" not in svg or shown.device is not None
    assert "✓" not in svg and "holds" not in " ".join(w for w, _ in letters(svg))


def test_with_neither_device_nor_wire_nothing_is_drawn() -> None:
    svg = time_current_chart(NOTHING, ink="paper")
    words = " ".join(w for w, _ in letters(svg))
    assert words.startswith("Nothing to draw. Not checked: no published limits") and not polylines(svg)


def test_the_ghost_shows_only_what_has_changed() -> None:
    assert time_current_chart(GOOD, GOOD) == time_current_chart(GOOD)
    thicker = guard(device("blade", 10.0), laid("10 AWG"), 1300.0, 96.0, 4.9)
    pale = [len(polylines(time_current_chart(GOOD, g, ink="paper"), PALETTE["ghost"])) for g in (None, thicker, BAD)]
    assert pale[0] < pale[1] < pale[2]
    copy = replace(GOOD, device=replace(GOOD.device))  # type: ignore[type-var]
    assert time_current_chart(GOOD, copy) == time_current_chart(GOOD)


def test_hostile_names_stay_text() -> None:
    evil = '<script>alert("1")</script>&'
    svg = time_current_chart(replace(NO_WIRE, reason=evil), title=evil)
    assert "<script" not in svg and evil in [w for w, _ in letters(svg)]
    assert any(evil in w for w, b in letters(svg) if b[1] > 250)


@pytest.mark.parametrize("ink", ["screen", "paper"])
def test_ink(ink: str) -> None:
    svg = time_current_chart(GOOD, BAD, others=[MAIN], ink=ink)  # type: ignore[arg-type]
    assert ("var(" in svg) is (ink == "screen")
    assert ET.fromstring(svg).attrib["viewBox"] == "0 0 520 346"
