"""The balance from the side and from above: to scale, every mass with its name, loads with their limits, nothing on top."""

from __future__ import annotations

import itertools
import math
import random
import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from seen import SVG, faults, letters

from trailerlib.pictures.balance_scene import HEIGHT, WIDTH, Scene, groups, radius
from trailerlib.pictures.balance_view import balance_above, balance_side
from trailerlib.studies.towing import Box, Force, Strip, Thing, TowingPicture

Draw = Callable[..., str]
BOTH = pytest.mark.parametrize("draw", [balance_side, balance_above], ids=["side", "above"])
BLUE, PURPLE, GREEN = "#1f6f8b", "#6b4c7d", "#2f6f4f"

THINGS = (
    Thing("bare trailer", 1020.0, (1.95, 1.07, 0.4), bare=True),
    Thing("generator", 53.5, (-0.91, 1.07, 0.3)),
    Thing("battery", 30.0, (0.15, 0.46, 0.15)),
    Thing("field kit", 81.6, (1.22, 0.46, 0.46)),
    Thing("plant presses", 54.4, (3.66, 1.52, 0.61)),
    Thing("roof cooler", 42.0, (1.83, 1.07, 1.98)),
    Thing("kettle", 1.2, (1.83, 2.03, 0.91)),
    Thing("laptops", 4.4, (1.83, 2.03, 0.91)),
    Thing("entry light", 0.2, (1.37, 2.13, 1.83)),
)
BOX = Box(4.27, 2.13, 1.98, 0.61, -1.83, 0.51, (2.06, 2.92), 2.29)


FOCUS = "plant presses"


def force(name: str, x: float, y: float, load: float, rating: float | None, word: Any = "holds") -> Force:
    return Force(name, x, y, load, rating, word)


def strip(span: tuple[float, float] | None) -> tuple[Strip, ...]:
    return (Strip(FOCUS, 3.66, (0.0, 4.27), span, "words of the strip"),)


def scene(**changes: Any) -> TowingPicture:
    wheels = tuple(force("wheel", x, y, 320.0, 825.0) for x in BOX.axles for y in (-0.08, 2.21))
    told = TowingPicture(
        "a trailer", "us", BOX, THINGS, 1450.0, (1.96, 1.03), 0.125, (1.84, 2.05),
        force("coupler", -1.83, 1.07, 182.0, 227.0), tuple(force("axle", x, 1.07, 640.0, 1588.0) for x in BOX.axles),
        wheels, 0.53, "holds", strip((1.0, 4.0)),
    )  # fmt: skip
    return replace(told, **changes)


def circles(svg: str, fill: str) -> list[tuple[float, float, float]]:
    return [
        (float(e.attrib["cx"]), float(e.attrib["cy"]), float(e.attrib["r"]))
        for e in ET.fromstring(svg).iter(f"{SVG}circle")
        if e.attrib["fill"] == fill
    ]


@BOTH
def test_it_is_sound_and_nothing_lies_on_anything(draw: Draw) -> None:
    before = scene(things=(*THINGS[:4], replace(THINGS[4], at=(1.0, 1.52, 0.61)), *THINGS[5:]), centre=(1.8, 1.03))
    for ghost, focus in itertools.product((None, before), (FOCUS, None)):
        svg = draw(scene(), ghost, focus=focus, ink="paper")
        assert faults(svg) == []
        assert ET.fromstring(svg).attrib["viewBox"] == f"0 0 {WIDTH:g} {HEIGHT:g}"
        assert ("before the last move" in svg) is (ghost is not None)
        assert "var(--trailer-" in draw(scene(), ghost)


@BOTH
def test_the_area_of_a_mark_goes_with_the_mass(draw: Draw) -> None:
    """Nine things: one in focus, one a ring; two of the others at one place make one mark."""
    svg = draw(scene(), focus=FOCUS, ink="paper")
    (focus,) = circles(svg, PURPLE)
    sizes = sorted(r for _, _, r in circles(svg, BLUE))
    heavy = [53.5, 30.0, 81.6, 42.0, 5.6]
    assert len(sizes) == len(heavy) + 1
    for mass, size in zip(sorted(heavy), sizes[1:], strict=True):
        assert size**2 / mass == pytest.approx(focus[2] ** 2 / 54.4, rel=0.04), mass
    assert radius(Thing("a", 40.0, (0, 0, 0))) == pytest.approx(2 * radius(Thing("a", 10.0, (0, 0, 0))))


def test_places_are_to_scale_on_both() -> None:
    """The distance of two marks along the trailer is the same share of the drawn box as of the built one."""
    now = scene()
    for draw, second in ((balance_side, 2), (balance_above, 1)):
        marks = {round(r, 1): (x, y) for x, y, r in circles(draw(now, focus=FOCUS, ink="paper"), BLUE)}
        one, two = (next(t for t in THINGS if t.name == name) for name in ("generator", "field kit"))
        (xa, ya), (xb, yb) = (marks[round(radius(t), 1)] for t in (one, two))
        assert (xb - xa) / (two.at[0] - one.at[0]) == pytest.approx(Scene(now).px_per_m, rel=0.01)
        assert abs(yb - ya) / abs(two.at[second] - one.at[second]) == pytest.approx(Scene(now).px_per_m, rel=0.02)


@BOTH
def test_every_mass_has_its_name(draw: Draw) -> None:
    words = [text for text, _ in letters(draw(scene(), focus=FOCUS, ink="paper"))]
    for name in ("generator", "battery", "field kit", "plant presses", "roof cooler", "laptops, kettle"):
        assert name in words, name
    assert any(text.startswith("marks without a name") and "entry light" in text for text in words)
    assert any(text.startswith("bare trailer 2250 lb") for text in words)


def test_loads_stand_with_what_they_are_held_against() -> None:
    side = [text for text, _ in letters(balance_side(scene(), ink="paper"))]
    assert {"401 lb, 12.5 %", "of 500 lb", "1410 lb", "of 3500 lb"} <= set(side) and side.count("1410 lb") == 2
    above = [text for text, _ in letters(balance_above(scene(), ink="paper"))]
    assert above.count("705 lb") == 4 and above.count("of 1820 lb") == 4
    assert {"road side carries 53.0 %", "curb side carries 47.0 %"} <= set(above)
    metric = [text for text, _ in letters(balance_side(scene(system="metric"), ink="paper"))]
    assert {"182 kg, 12.5 %", "of 227 kg", "640 kg"} <= set(metric)


@BOTH
def test_what_is_over_its_rating_has_a_mark_and_not_a_colour_alone(draw: Draw) -> None:
    heavy = {"coupler": force("coupler", -1.83, 1.07, 300.0, 227.0, "stop"), "side_word": "fix", "left_share": 0.6}
    wheels = tuple(replace(w, load_kg=900.0, word="stop") for w in scene().wheels)
    svg = draw(scene(**heavy, wheels=wheels), ink="paper")
    words = [text for text, _ in letters(svg)]
    marked = "■ 661 lb, 12.5 %" if draw is balance_side else "■ 1980 lb"
    assert marked in words and faults(svg) == []
    assert draw is balance_side or "▲ road side carries 60.0 %" in words


@BOTH
def test_the_strip_says_whether_it_stands_well(draw: Draw) -> None:
    inside, outside, nowhere = (
        draw(scene(strips=strip(span)), focus=FOCUS, ink="paper") for span in ((1.0, 4.0), (1.0, 2.0), None)
    )
    assert "words of the strip" in inside and len({inside, outside, nowhere}) == 3
    bars = [svg.count(f'stroke="{GREEN}" stroke-width="5"') for svg in (inside, nowhere)]
    assert bars[0] == bars[1] + 1, "one green stretch less"


def test_what_is_not_known_is_said_and_nothing_is_made_up() -> None:
    blank = scene(centre=None, share=None, band=None, coupler=None, axles=(), wheels=(), left_share=None,
                  things=THINGS[1:], strips=(), missing="what the empty trailer weighs")  # fmt: skip
    for draw in (balance_side, balance_above):
        svg = draw(blank, ink="paper")
        assert "not checked: it is not said what the empty trailer weighs" in svg and faults(svg) == []
        assert not re.search(r"\d+ lb, ", svg) and "of 500 lb" not in svg and "bare trailer" not in svg
    assert "rating not known" in balance_side(scene(coupler=force("coupler", -1.83, 1.07, 182.0, None, "not checked")))


def test_names_from_a_hostile_file_come_out_as_words() -> None:
    odd = (*THINGS, Thing('A & "B" <i>', 20.0, (2.9, 0.3, 1.4)))
    assert any(text == 'A & "B" <i>' for text, _ in letters(balance_side(scene(things=odd), ink="paper")))


@BOTH
@pytest.mark.parametrize("seed", range(60))
def test_whatever_stands_where_nothing_is_cut_off_or_covered(seed: int, draw: Draw) -> None:
    """Invariant, drawn at random from a seed: boxes of 8 to 24 ft, one to three axles, up to 18 things."""
    dice = random.Random(seed)
    length, width, nose = dice.uniform(2.4, 7.3), dice.uniform(1.5, 2.5), dice.choice([0.0, 0.6])
    count = dice.randint(1, 3)
    axles = tuple(length * 0.58 + (k - (count - 1) / 2) * 0.85 for k in range(count))
    coupler = -nose - dice.uniform(0.9, 1.8)
    track = width + dice.choice([-0.3, 0.25])
    box = Box(length, width, dice.uniform(1.7, 2.3), nose, coupler, 0.5, axles, track)
    at = lambda: (dice.uniform(coupler + 0.2, length), dice.uniform(0, width), dice.uniform(0, box.height))  # noqa: E731
    things = tuple(
        Thing(f"thing number {k}", math.exp(dice.uniform(-1, 5.5)), at()) for k in range(dice.randint(0, 18))
    )
    word = dice.choice(["holds", "stop", "fix", "not checked"])
    told = scene(
        box=box, things=things, axles=tuple(force("axle", x, width / 2, 900.0, 1588.0, word) for x in axles),
        wheels=tuple(force("wheel", x, width / 2 + s * track / 2, 450.0, 825.0, word) for x in axles for s in (-1, 1)),
        coupler=force("coupler", coupler, width / 2, 250.0, 300.0, word), centre=(length * 0.5, width * 0.48),
        band=(length * 0.45, length * 0.55), strips=(), side_word=word,
    )  # fmt: skip
    assert faults(draw(told, ink="paper")) == []
    if things:
        first = things[0]
        may = Strip(first.name, first.at[0], (0.0, length), (0.3 * length, length), "words", first.at[1], (0.1, width))
        assert faults(draw(replace(told, strips=(may,)), focus=first.name, ink="paper")) == []


def test_what_stands_together_is_one_mark() -> None:
    joined = groups(THINGS)
    assert [t.name for t in joined][:3] == ["bare trailer", "field kit", "plant presses"]
    (bench,) = [t for t in joined if "," in t.name]
    assert (bench.name, bench.mass_kg) == ("laptops, kettle", pytest.approx(5.6))


def test_where_it_may_stand_across_is_to_scale_behind_the_rear_wall() -> None:
    """Green from 0.5 to 1.5 m from the road side, on a bar as long as the box is wide; the mark where it stands."""
    told = replace(strip((1.0, 4.0))[0], across=1.52, aside=(0.5, 1.5))
    shown, nowhere, unknown = (
        balance_above(scene(strips=(one,), left_share=share), focus=FOCUS, ink="paper")
        for one, share in ((told, 0.53), (replace(told, aside=None), 0.53), (told, None))
    )
    scale = Scene(scene(), FOCUS).px_per_m

    def upright(svg: str) -> dict[str, list[float]]:
        found = {}
        for line in ET.fromstring(svg).iter(f"{SVG}polyline"):
            points = [tuple(map(float, point.split(","))) for point in line.attrib["points"].split()]
            if line.attrib.get("stroke-width") == "5" and points[0][0] == points[-1][0]:
                found[line.attrib["stroke"]] = [y for _, y in points]
        return found

    bars = upright(shown)
    (grey,) = (ys for tint, ys in bars.items() if tint != GREEN)
    assert abs(grey[0] - grey[1]) == pytest.approx(2.13 * scale, abs=0.2)
    assert [(grey[0] - y) / scale for y in bars[GREEN]] == [pytest.approx(0.5, abs=0.01), pytest.approx(1.5, abs=0.01)]
    assert GREEN not in upright(nowhere) and upright(nowhere) and upright(unknown) == {}
    assert faults(shown) == []
    side = balance_side(scene(strips=(told,)), focus=FOCUS, ink="paper")
    assert upright(side) == {}, "from the side there is no across"
