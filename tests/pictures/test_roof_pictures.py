"""A side from outside, the bows, the build-up: to scale, the right way round, every thing named, nothing cut off."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from seen import SVG, faults, letters, polylines

from trailerlib.pictures import bows_carry, build_up, from_outside
from trailerlib.pictures.canvas import PALETTE
from trailerlib.pictures.outside_words import kept, pieces
from trailerlib.studies.answer import Answer, mapping
from trailerlib.studies.roof.picture import Bar, BowCarries, BuildUp, FromOutside, Hole, Mark, RoofPicture

Box = tuple[float, float, float, float]
LONG = 'the very long & <odd> name of a hatch that nobody "can" read in one go'
WALLS = ("roof", "road", "curb", "nose", "rear")


def hole(name: str = "roof cooler", x: float = 1.5, y: float = 1.07, **more: Any) -> Hole:
    return replace(Hole(name, "roof cooler", x, y, 0.36, 0.36, 0.05, None, "holds"), **more)


def bow(x: float, cut: bool = False, kind: str = "bow") -> Bar:
    return Bar(kind, (x, 0.0), (x, 2.13), 0.025, cut)  # type: ignore[arg-type]


def roof(**more: Any) -> FromOutside:
    bars = (
        *(bow(0.3 + 0.61 * k, cut=k == 2) for k in range(7)),
        Bar("trimmer", (0.91, 0.89), (2.13, 0.89), 0.025), Bar("trimmer", (0.91, 1.25), (2.13, 1.25), 0.025),
        Bar("header", (1.32, 0.89), (1.32, 1.25), 0.025), Bar("header", (1.68, 0.89), (1.68, 1.25), 0.025),
    )  # fmt: skip
    marks = (
        Mark(1.5, 1.07, "roof cooler cuts 1 of the bows and nothing carries its ends.", "fix"),
        Mark(1.5, 1.07, '"roof cooler" and "roof fan" overlap, flange and cover counted', "stop"),
        Mark(3.4, 0.76, '"roof fan" is cut through the raceway "ceiling cavity"', "note"),
    )
    holes = (hole(shroud=(1.0, 0.74), word="fix"), hole("roof fan", 3.4))
    ways = (("ceiling cavity", ((-0.6, 0.76), (4.1, 0.76))), ("to the fan", ((3.4, 1.07), (3.4, 0.76))))
    cabinets = (("nose cabinet", 0.0, 0.0, 0.5, 1.5),)
    return replace(FromOutside("roof", 4.27, 2.13, holes, bars, ways, cabinets, marks, "roof cooler"), **more)


def one_hole(wall: str, x: float, y: float) -> FromOutside:
    size = (4.27, 2.13) if wall in ("roof", "road", "curb") else (2.13, 1.98)
    return FromOutside(wall, *size, (hole("it", x, y, flange=None),), (), (), (), (), "it")  # type: ignore[arg-type]


def bows(
    count: int = 7, stress: Callable[[int], float] = lambda k: 60e6 + 5e6 * k, **more: Any
) -> tuple[BowCarries, ...]:
    first = BowCarries("", 0.0, 1.0 / count, 0.0, 190e6, 0.004, 0.0118, False, "ends held 50 %", "holds")
    return tuple(
        replace(first, name=f"bow {k + 1}", x=0.3 + 0.4 * k, stress_pa=stress(k), **more) for k in range(count)
    )


LAYERS = (("aluminium", 0.00076), ("extruded polystyrene", 0.0254), ("plywood", 0.0064))


def wall(**more: Any) -> BuildUp:
    return replace(BuildUp("window", LAYERS, (0.038, 0.045), 0.00544, "fix"), **more)


def answer(
    outside: Any = None, carried: Any = None, layers: Any = None, system: str = "us", lacks: Any = None
) -> Answer:
    shown = RoofPicture("Test", system, outside, carried, layers, lacks or {})  # type: ignore[arg-type]
    return Answer("roof", "Will the roof carry it?", system, "Holds.", mapping(), (), lambda: (), (), picture=shown)  # type: ignore[arg-type]


def words_of(svg: str) -> str:
    return " ".join(text for text, _ in letters(svg))


def place_of(svg: str, words: str) -> tuple[float, float]:
    """The middle of a text."""
    box = next(box for text, box in letters(svg) if text == words)
    return (box[0] + box[2]) / 2, (box[1] + box[3]) / 2


def rects(svg: str, **wanted: str) -> list[Box]:
    """Every rectangle whose attributes are as wanted."""
    found = []
    for element in ET.fromstring(svg).iter(f"{SVG}rect"):
        if all(element.attrib.get(key.replace("_", "-")) == value for key, value in wanted.items()):
            x, y, w, h = (float(element.attrib[key]) for key in ("x", "y", "width", "height"))
            found.append((x, y, x + w, y + h))
    return found


SIX = tuple(
    hole(name, 0.4 + 0.68 * k, 0.5 + 0.5 * (k % 3), word=word)
    for k, (name, word) in enumerate(
        [
            ("front hatch", "holds"),
            (LONG, "fix"),
            ("fan", "note"),
            ("<b>", "stop"),
            ("x", "not checked"),
            ("y", "holds"),
        ]
    )
)
NINE_MARKS = tuple(Mark(0.4 + 0.4 * k, 0.5 + 0.5 * (k % 3), f"{LONG} number {k} meets it", "fix") for k in range(9))
DOOR = hole("side door", 1.2, 0.84, kind="door", length=0.81, width=1.63, flange=None)
PANE = hole("door window", 1.2, 1.2, kind="window", length=0.46, width=0.6, word="fix")
STUDS = tuple(bow(0.2 + 0.4 * k, cut=k == 7, kind="stud") for k in range(11))
SIDES = {
    "roof": roof(),
    "six": roof(holes=SIX, focus=LONG, marks=NINE_MARKS),
    "curb": roof(wall="curb", holes=(DOOR, PANE, hole("wide", 3.1, 1.3, length=0.9)), bars=STUDS, focus="wide"),
    "nose": roof(wall="nose", length=2.13, bars=(), holes=(hole(LONG, 0.6, 1.2),), focus=LONG),
    "narrow": roof(wall="rear", length=0.9, bars=(), holes=(hole("hatch", 0.3, 1.2),), focus="hatch"),
    "long": roof(length=9.5),
    "bare": roof(holes=(), bars=(), raceways=(), cabinets=(), marks=(), focus=None),
    "over": roof(
        holes=(hole(x=4.2, y=0.1, word="stop"), hole("far", 30.0, -4.0)), marks=(Mark(30.0, -4.0, "far", "fix"),)
    ),
}
BOWS = {
    "seven": bows(),
    "one": bows(1),
    "fourteen": bows(14, lambda k: 240e6 if k in (4, 5) else 60e6),
    "forty cut": bows(40, lambda k: 10e6 * (k + 1), cut=True, sag_m=0.02, word="fix"),
    "long names": tuple(replace(b, name=f"{LONG} {b.name}", word="not checked", cut=True) for b in bows(4)),
}
WALLS_IN_SECTION = {
    "spacer": wall(),
    "fits": wall(made_for=(0.025, 0.04), spacer=0.0, word="holds"),
    "too thick": wall(made_for=(0.01, 0.02), spacer=-0.01256),
    "skin alone": wall(layers=LAYERS[:1], made_for=(0.002, 0.1), spacer=0.00124),
    "unknown": wall(made_for=None, spacer=None, word="not checked"),
    "one size": wall(name=LONG, made_for=(0.12, 0.12), spacer=0.08744),
    "twelve": wall(layers=LAYERS * 4, made_for=(0.14, 0.15), spacer=0.00976),
}
DRAWN = (
    *((from_outside, f"outside {name}", {"outside": side}) for name, side in SIDES.items()),
    *((bows_carry, f"bows {name}", {"carried": row}) for name, row in BOWS.items()),
    *((build_up, f"build-up {name}", {"layers": told}) for name, told in WALLS_IN_SECTION.items()),
)
OTHER = {"outside": roof(holes=(hole(x=2.6, y=1.3),)), "carried": bows(14, lambda k: 120e6),
         "layers": wall(layers=(*LAYERS, ("softwood", 0.019)), made_for=(0.02, 0.06))}  # fmt: skip


@pytest.mark.parametrize("system", ["us", "metric"])
@pytest.mark.parametrize(("draw", "name", "part"), DRAWN, ids=[name for _, name, _ in DRAWN])
def test_it_is_sound_and_nothing_lies_on_words(draw: Callable[..., str], name: str, part: Any, system: str) -> None:
    now, then = answer(**part, system=system), answer(**OTHER, system=system)
    for shown, ghost in ((now, None), (now, then)):
        assert faults(draw(shown, ghost, "paper")) == []
        assert "var(" in draw(shown, ghost) and "var(" not in draw(shown, ghost, "paper")
    assert "<odd>" not in draw(now) and "<b>" not in draw(now)


@pytest.mark.parametrize(("draw", "part"), [(from_outside, "outside"), (bows_carry, "bows"), (build_up, "build-up")])
def test_what_cannot_be_drawn_says_what_is_missing(draw: Callable[..., str], part: str) -> None:
    bare = answer(lacks={part: "it needs roof.metal"})
    assert "Nothing to draw: it needs roof.metal." in words_of(draw(bare, answer(**OTHER), "paper"))
    assert "Nothing to draw" in draw(answer())


def focus_of(svg: str) -> Box:
    """The rectangle with the thickest edge."""
    (found,) = rects(svg, stroke_width="2.8")
    return found


@given(st.sampled_from(WALLS), st.floats(0.3, 1.8), st.floats(0.3, 1.6), st.floats(0.1, 0.4), st.floats(0.1, 0.4))
@settings(max_examples=40)
def test_one_scale_along_and_up(wall: str, x: float, y: float, long: float, tall: float) -> None:
    side = one_hole(wall, x, y)
    side = replace(side, holes=(replace(side.holes[0], length=long, width=tall),))
    svg = from_outside(answer(side), None, "paper")
    (ground,) = rects(svg, fill=PALETTE["wash"])
    it, px = focus_of(svg), (ground[2] - ground[0]) / side.length
    assert (ground[3] - ground[1]) / side.height == pytest.approx(px, rel=0.01)
    assert (it[2] - it[0], it[3] - it[1]) == (pytest.approx(long * px, abs=0.2), pytest.approx(tall * px, abs=0.2))
    left, right = (it[0] + it[2]) / 2 - ground[0], ground[2] - (it[0] + it[2]) / 2
    assert (right if wall in ("curb", "nose") else left) == pytest.approx(x * px, abs=0.2)
    assert ground[3] - (it[1] + it[3]) / 2 == pytest.approx(y * px, abs=0.2)


def test_flange_and_cover_lie_round_the_hole_to_scale() -> None:
    svg = from_outside(answer(roof()), None, "paper")
    (x, y, x2, y2), (ground,) = focus_of(svg), rects(svg, fill=PALETTE["wash"])
    px = (ground[2] - ground[0]) / 4.27
    flange = next(box for box in rects(svg, stroke=PALETTE["watch"], stroke_dasharray="4 3"))
    assert flange == pytest.approx((x - 0.05 * px, y - 0.05 * px, x2 + 0.05 * px, y2 + 0.05 * px), abs=0.2)
    cover = max(rects(svg, stroke=PALETTE["ghost"], stroke_width="0.9"), key=lambda box: box[1])
    assert (cover[2] - cover[0], cover[3] - cover[1]) == pytest.approx((px, 0.74 * px), abs=0.2)
    assert (cover[0] + cover[2], cover[1] + cover[3]) == pytest.approx((x + x2, y + y2), abs=0.4)


# Facing the trailer from the road side one sees its nose on the left, from the curb side on the right; from the front
# the road side (left in the way it drives) is on the right, from behind on the left; from above, nose to the left, it is
# below. The hole lies near the nose or, on the nose and rear walls, near the road side.
@pytest.mark.parametrize(
    ("wall", "near", "end", "leftwards"),
    [("roof", "nose", "rear", True), ("road", "nose", "rear", True), ("curb", "nose", "rear", False),
     ("nose", "road side", "curb side", False), ("rear", "road side", "curb side", True)],
)  # fmt: skip
def test_each_side_is_the_right_way_round(wall: str, near: str, end: str, leftwards: bool) -> None:
    svg = from_outside(answer(one_hole(wall, 0.4, 0.4)), None, "paper")
    it = (focus_of(svg)[0] + focus_of(svg)[2]) / 2
    at, other = place_of(svg, near)[0], place_of(svg, end)[0]
    assert (at < other) is leftwards
    assert abs(it - at) < abs(it - other)


def test_on_the_roof_what_is_near_the_road_side_is_drawn_near_its_word() -> None:
    svg = from_outside(answer(one_hole("roof", 2.0, 0.3)), None, "paper")
    it, road, curb = focus_of(svg)[1], place_of(svg, "road side")[1], place_of(svg, "curb side")[1]
    assert curb < it < road and road - it < it - curb


@pytest.mark.parametrize(("system", "words", "metres"), [("us", "5 ft", 1.524), ("metric", "1 m", 1.0)])
def test_the_ruler_is_as_long_as_it_says(system: str, words: str, metres: float) -> None:
    svg = from_outside(answer(roof(), system=system), None, "paper")
    (ground,) = rects(svg, fill=PALETTE["wash"])
    (ruler,) = [line for line in polylines(svg, PALETTE["ink"]) if len(line) == 4]
    assert words in words_of(svg)
    assert ruler[3][0] - ruler[0][0] == pytest.approx(metres * (ground[2] - ground[0]) / 4.27, abs=0.3)


def test_where_the_hole_lies_and_how_large_it_is_stand_in_words() -> None:
    words = words_of(from_outside(answer(roof()), None, "paper"))
    assert "4.92 ft from the nose, 3.51 ft from the road side" in words  # 1.5 m and 1.07 m
    assert "hole 14.2 by 14.2 in, flange 1.97 in, cover 39.4 by 29.1 in" in words


def test_what_is_cut_is_dashed_in_the_hole_and_nowhere_else() -> None:
    svg = from_outside(answer(roof(marks=())), None, "paper")
    it, red = focus_of(svg), [line for line in polylines(svg, PALETTE["stop"]) if line[0][0] == line[-1][0]]
    assert red and all(it[1] - 2 <= y <= it[3] + 2 for line in red for _, y in line)
    whole = roof(marks=(), bars=tuple(replace(bar, cut=False) for bar in roof().bars))
    assert polylines(from_outside(answer(whole), None, "paper"), PALETTE["stop"]) == []


def test_a_stud_ends_at_a_door_and_is_not_called_cut() -> None:
    door = roof(
        wall="curb", holes=(DOOR,), bars=(bow(1.2, cut=True, kind="stud"),), marks=(), raceways=(), focus=DOOR.name
    )
    svg = from_outside(answer(door), None, "paper")
    it = focus_of(svg)
    upright = [line for line in polylines(svg, PALETTE["ink"]) if len(line) == 2 and line[0][0] == line[1][0]]
    assert len(upright) >= 2 and not any(it[1] + 1 < y < it[3] - 1 for line in upright for _, y in line)
    assert [line for line in polylines(svg, PALETTE["stop"]) if line[0][0] == line[1][0]] == []


def test_a_window_in_a_door_cuts_no_stud_that_another_opening_cuts() -> None:
    side = roof(wall="road", holes=(DOOR, PANE), bars=(bow(1.2, cut=True, kind="stud"),), marks=(), focus=PANE.name)
    svg = from_outside(answer(side), None, "paper")
    assert [line for line in polylines(svg, PALETTE["stop"]) if line[0][0] == line[1][0]] == []


def test_every_opening_and_cabinet_has_its_name_or_a_letter_in_the_list() -> None:
    for name in ("roof", "curb", "nose", "narrow"):
        words = words_of(from_outside(answer(SIDES[name]), None, "paper"))
        for thing in SIDES[name].holes:
            assert thing.name[:30] in words
        assert "nose cabinet" in words
    svg = from_outside(answer(SIDES["curb"]), None, "paper")
    key = next(
        text
        for text, box in letters(svg)
        if box[1] > 240 and text in ("A", "B") and _right_of(svg, box) == "▲ door window"
    )
    at = [box for text, box in letters(svg) if text == key and box[1] < 230]
    pane = rects(svg, stroke=PALETTE["watch"], stroke_width="1.3")
    assert any(p[0] <= box[0] and box[2] <= p[2] and p[1] <= box[1] and box[3] <= p[3] for p in pane for box in at)


def _right_of(svg: str, box: Box) -> str:
    """The text that follows one on its row."""
    row = [(b[0], text) for text, b in letters(svg) if abs(b[3] - box[3]) < 1 and b[0] > box[2]]
    return min(row)[1] if row else ""


def test_conflicts_stand_at_their_places_with_their_words_in_the_list() -> None:
    svg = from_outside(answer(roof()), None, "paper")
    words = words_of(svg)
    assert all(mark.words in words for mark in roof().marks)
    it, third = focus_of(svg), min((box for text, box in letters(svg) if text == "3"), key=lambda box: box[1])
    first = min((box for text, box in letters(svg) if text == "1"), key=lambda box: box[1])
    assert it[0] < first[0] < it[2] and it[1] < first[1] < it[3]
    fan = rects(svg, stroke=PALETTE["ink"], stroke_width="1.3")[0]
    assert fan[0] < third[0] < fan[2] and third[1] > fan[3] - 3
    assert "and 8 more, see the findings" in words_of(from_outside(answer(roof(marks=NINE_MARKS)), None, "paper"))


def test_the_ghost_is_where_the_hole_was() -> None:
    was = answer(roof(holes=(hole(x=2.6, y=1.3),)))
    svg = from_outside(answer(roof()), was, "paper")
    (ghost,) = rects(svg, stroke=PALETTE["ghost"], stroke_width="1.6")
    assert ghost == pytest.approx(focus_of(from_outside(was, None, "paper")), abs=0.2)
    assert "before" in words_of(svg)
    for same in (answer(roof()), answer(roof(wall="road")), answer(roof(holes=(hole("roof fan", 2.0),))), None):
        assert rects(from_outside(answer(roof()), same, "paper"), stroke=PALETTE["ghost"], stroke_width="1.6") == []


def test_the_drawing_keeps_its_scale_whatever_is_found() -> None:
    grounds = [rects(from_outside(answer(roof(marks=marks)), None, "paper"), fill=PALETTE["wash"])
               for marks in ((), roof().marks, NINE_MARKS)]  # fmt: skip
    assert grounds[0] == grounds[1] == grounds[2]


@given(st.tuples(*[st.floats(0.0, 10.0)] * 4), st.lists(st.tuples(*[st.floats(0.0, 10.0)] * 4), max_size=4))
@settings(max_examples=60)
def test_a_line_and_what_it_leaves_out_are_the_whole_line(ends: Box, corners: list[Box]) -> None:
    line = ((ends[0], ends[1]), (ends[2], ends[3]))
    boxes = [(min(a, c), min(b, d), max(a, c), max(b, d)) for a, b, c, d in corners]
    left = pieces(line, boxes)
    for a, b in left:
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        assert not any(x + 1e-6 < middle[0] < x2 - 1e-6 and y + 1e-6 < middle[1] < y2 - 1e-6 for x, y, x2, y2 in boxes)
    if len(boxes) == 1:
        inside = sum(math.dist(*part) for part in kept(line, boxes[0]))
        assert sum(math.dist(*part) for part in left) + inside == pytest.approx(math.dist(*line), abs=1e-4)


def bars_of(svg: str) -> list[Box]:
    """The bars of the bows from the nose backwards."""
    tints = (PALETTE[name] for name in ("holds", "watch", "stop", "ink", "ghost"))
    found = [box for tint in tints for box in rects(svg, fill=tint) if box[1] > 60]
    return sorted(found, key=lambda box: box[1])


def limit_of(svg: str) -> float:
    (line,) = polylines(svg, PALETTE["stop"])
    assert line[0][0] == line[1][0]
    return line[0][0]


@given(st.lists(st.floats(5e6, 400e6), min_size=1, max_size=12), st.sampled_from(["us", "metric"]))
@settings(max_examples=30)
def test_bars_are_as_long_as_their_stress_and_end_at_the_limit_when_all_is_used(
    stress: list[float], system: str
) -> None:
    svg = bows_carry(answer(carried=bows(len(stress), lambda k: stress[k]), system=system), None, "paper")
    drawn, limit = bars_of(svg), limit_of(svg)
    assert len(drawn) == len(stress)
    for box, value in zip(drawn, stress, strict=True):
        assert (box[2] - box[0]) / (limit - box[0]) == pytest.approx(value / 190e6, abs=0.01)


def test_stress_is_said_in_psi_or_megapascal() -> None:
    row = bows(1, lambda k: 100e6)
    us, metric = (
        words_of(bows_carry(answer(carried=row, system=system), None, "paper")) for system in ("us", "metric")
    )
    assert (
        "14500" in us and "psi" in us and "allowed 27600 psi" in us and "0.157" in us and "allowed 0.465 in" in us
    )  # 1 psi is 6894.757 Pa
    assert "100" in metric and "allowed 190 MPa" in metric and "4.00" in metric


def test_the_worst_bow_is_named_with_its_case() -> None:
    row = bows(7, lambda k: 180e6 if k == 3 else 60e6)
    words = words_of(bows_carry(answer(carried=row), None, "paper"))
    assert "✓ bow 4 bends most: 95 % of the limit, ends held 50 %" in words
    sagging = tuple(replace(b, sag_m=0.02, word="fix") if b.name == "bow 2" else b for b in row)
    words = words_of(bows_carry(answer(carried=sagging), None, "paper"))
    assert "▲ bow 2 sags most: 169 % of the limit" in words and "▲ 0.787" in words


def test_a_bow_has_its_word_its_share_and_whether_it_is_cut() -> None:
    row = [*bows(5, lambda k: 60e6, share=0.0)]
    row[1], row[2] = replace(row[1], share=0.62), replace(row[2], share=0.0, cut=True)
    row[3] = replace(row[3], share=0.62, stress_pa=200e6, word="fix")
    svg = bows_carry(answer(carried=tuple(row)), None, "paper")
    words = words_of(svg)
    assert (
        words.count("62 %") == 2
        and "leans" in words
        and "a cut bow leans" in words
        and "▲ bow 4" in words
        and "▲ 29000" in words
    )
    cut = next(box for text, box in letters(svg) if text == "cut")
    third = next(box for text, box in letters(svg) if text == "bow 3")
    assert cut[3] == pytest.approx(third[3], abs=1.5)
    assert len(rects(svg, fill=PALETTE["watch"])) == 2, "its bar and its key"
    assert "cut" not in [text for text, _ in letters(bows_carry(answer(carried=bows()), None, "paper"))]


def test_many_bows_share_rows_and_the_worst_keeps_its_own() -> None:
    row = bows(14, lambda k: 150e6 if k == 6 else 60e6, share=0.05)
    svg = bows_carry(answer(carried=row), None, "paper")
    names = [text for text, box in letters(svg) if text.startswith("bow ") and box[1] > 60]
    assert len(bars_of(svg)) == 12 and "bow 7" in names and names[0] == "bow 1 to 3"
    shares = [int(text.removesuffix(" %")) for text, box in letters(svg) if text.endswith(" %") and box[1] > 60]
    assert sum(shares) == 14 * 5
    assert len(bars_of(bows_carry(answer(carried=bows(12)), None, "paper"))) == 12
    alike = letters(bows_carry(answer(carried=bows(14, lambda k: 60e6)), None, "paper"))
    assert [text for text, box in alike if text.startswith("bow ") and box[1] > 60][:2] == ["bow 1", "bow 2 to 4"]


def test_the_ghost_of_the_bows_is_their_former_stress() -> None:
    now, then = answer(carried=bows(3, lambda k: 100e6)), answer(carried=bows(3, lambda k: 150e6 if k == 1 else 100e6))
    svg = bows_carry(now, then, "paper")
    (ghost,) = [box for box in rects(svg, stroke=PALETTE["ghost"]) if box[1] > 60]
    second = bars_of(svg)[1]
    assert ghost[1] < second[1] < second[3] < ghost[3]
    assert (ghost[2] - ghost[0]) / (second[2] - second[0]) == pytest.approx(1.5, rel=0.01)
    assert "before the last move" in words_of(svg) and "before" not in words_of(bows_carry(now, now, "paper"))


def layers_of(svg: str) -> list[Box]:
    """The layers from outside to inside."""
    return sorted(rects(svg, stroke=PALETTE["ink"]))


@given(st.lists(st.floats(0.0005, 0.05), min_size=1, max_size=6), st.sampled_from(["us", "metric"]))
@settings(max_examples=30)
def test_layers_are_as_wide_as_they_are_thick(sizes: list[float], system: str) -> None:
    told = wall(layers=tuple((f"layer {k}", size) for k, size in enumerate(sizes)), made_for=None, spacer=None)
    drawn = layers_of(build_up(answer(layers=told, system=system), None, "paper"))
    px = (drawn[-1][2] - drawn[0][0]) / told.thickness
    for box, size in zip(drawn, sizes, strict=True):
        assert box[2] - box[0] == pytest.approx(max(size * px, 1.0), abs=0.02 * size * px + 0.6)
    assert 340.0 / 2 <= drawn[-1][2] - drawn[0][0] <= 353.0


def test_the_bracket_runs_over_what_it_is_made_for_and_the_spacer_fills_what_is_missing() -> None:
    svg = build_up(answer(layers=wall()), None, "paper")
    drawn, (bracket,) = layers_of(svg), rects(svg, fill=PALETTE["dc"])
    px = (drawn[-1][2] - drawn[0][0]) / wall().thickness
    assert (bracket[0] - drawn[0][0], bracket[2] - drawn[0][0]) == pytest.approx((0.038 * px, 0.045 * px), abs=0.5)
    measure = next(line for line in polylines(svg, PALETTE["ink"]) if len(line) == 2 and line[0][1] == line[1][1])
    assert [x for x, _ in measure] == pytest.approx([drawn[0][0], drawn[-1][2]], abs=0.3)
    ruler = polylines(svg, PALETTE["ink"])[-1]
    assert ruler[3][0] - ruler[0][0] == pytest.approx(0.25 * 0.0254 * px, abs=0.3) and "0.25 in" in words_of(svg)
    (spacer,) = rects(svg, stroke=PALETTE["watch"], stroke_width="2")
    assert spacer[0] == pytest.approx(drawn[-1][2], abs=0.3) and spacer[2] == pytest.approx(bracket[0], abs=0.5)
    hatch = [line for line in polylines(svg, PALETTE["watch"]) if len(line) == 2]
    assert hatch and all(spacer[0] - 0.2 <= x <= spacer[2] + 0.2 for line in hatch for x, _ in line)
    words = words_of(svg)
    assert "▲ window: needs a spacer frame of 0.214 in or more" in words  # 5.44 mm
    assert "made for 1.50 in to 1.77 in" in words and "wall 1.28 in" in words
    assert "aluminium" in words and "0.250 in" not in words and "0.252 in" in words and "spacer frame 0.214 in" in words
    assert place_of(svg, "outside")[0] < drawn[0][0] and place_of(svg, "inside")[0] > spacer[2]


def test_too_thick_a_wall_is_hatched_where_it_must_go() -> None:
    svg = build_up(answer(layers=WALLS_IN_SECTION["too thick"], system="metric"), None, "paper")
    drawn, (bracket,) = layers_of(svg), rects(svg, fill=PALETTE["dc"])
    (away,) = rects(svg, stroke=PALETTE["watch"], stroke_width="2")
    assert away[2] == pytest.approx(drawn[-1][2], abs=0.3) and away[0] == pytest.approx(bracket[2], abs=0.5)
    assert "the wall is 12.6 mm too thick" in words_of(svg)


def test_what_fits_needs_no_frame_and_what_is_not_known_is_not_checked() -> None:
    fits = build_up(answer(layers=WALLS_IN_SECTION["fits"]), None, "paper")
    assert "✓ window: the wall is as thick as it should be" in words_of(fits)
    assert "frame" not in words_of(fits) and polylines(fits, PALETTE["watch"]) == []
    unknown = build_up(answer(layers=WALLS_IN_SECTION["unknown"]), None, "paper")
    assert "○ window: not checked" in words_of(unknown) and "made for is not known" in words_of(unknown)
    assert rects(unknown, fill=PALETTE["dc"]) == []


def test_many_layers_are_numbered_and_all_of_them_listed() -> None:
    svg = build_up(answer(layers=WALLS_IN_SECTION["twelve"], system="metric"), None, "paper")
    texts = [text for text, _ in letters(svg)]
    assert all(texts.count(str(number)) == 2 for number in range(1, 14)) and "13" in texts
    assert sum(text.endswith("0.760 mm") for text in texts) == 4 and "spacer frame 9.76 mm" in texts


def test_the_ghost_of_the_wall_is_its_former_thickness() -> None:
    then = wall(layers=(*LAYERS, ("softwood", 0.019)), made_for=(0.03, 0.06))
    svg = build_up(answer(layers=wall()), answer(layers=then), "paper")
    former, bracket = sorted(rects(svg, stroke=PALETTE["ghost"]), key=lambda box: -box[3])
    drawn = layers_of(svg)
    px = (drawn[-1][2] - drawn[0][0]) / wall().thickness
    assert former[2] - former[0] == pytest.approx(then.thickness * px, rel=0.01)
    assert bracket[2] - bracket[0] == pytest.approx(0.03 * px, rel=0.02)
    for same in (answer(layers=wall()), answer(layers=replace(then, name="another")), answer()):
        assert rects(build_up(answer(layers=wall()), same, "paper"), stroke=PALETTE["ghost"]) == []
