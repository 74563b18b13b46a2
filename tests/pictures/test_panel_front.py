"""The panel from the front: bars on the scale of their ratings, words beside every colour, nothing over anything."""

from __future__ import annotations

import itertools
import xml.etree.ElementTree as ET

import pytest
from seen import SVG, faults, letters, polylines

from trailerlib.design.model import OnLeg
from trailerlib.pictures.breaker_marks import FULL
from trailerlib.pictures.canvas import PALETTE
from trailerlib.pictures.panel_front import panel_front
from trailerlib.studies.breakers import Breaker
from trailerlib.studies.panel import Leg, Panel

LONG = "a very long name of forty letters, it is"


def breaker(name: str, now_a: float, rating_a: float | None = 20.0, leg: OnLeg | None = None) -> Breaker:
    return Breaker(name, rating_a, leg, "12 AWG", ("load",), "12 × L14-20", True, now_a, now_a, now_a)


def panel(breakers: list[Breaker], legs: int = 1, main_a: float | None = 30.0, asked: str = "everything on") -> Panel:
    sums = tuple(
        Leg(n, total := sum(b.now_a for b in breakers if legs == 1 or b.on_leg(n)), total) for n in range(1, legs + 1)
    )
    unplaced = sum(b.now_a for b in breakers if legs == 2 and b.leg is None)
    return Panel(tuple(breakers), main_a, sums, unplaced, asked, None)


def some(count: int, legs: int = 1, name: str = "branch") -> Panel:
    loads = (0.0, 8.3, 16.0, 16.1, 19.99, 20.0, 24.0, 61.0)
    return panel(
        [breaker(f"{name} {n}", loads[n % 8], (15.0, 20.0, 30.0)[n % 3], (1, 2, 1, None)[n % 4] if legs == 2 else None)
         for n in range(count)],
        legs,
    )  # fmt: skip


PANELS = {
    **{f"{n} on {legs}": some(n, legs) for n, legs in itertools.product((0, 1, 5, 8, 13, 24, 60), (1, 2))},
    "long names": some(8, 1, LONG),
    "long names on two": some(8, 2, LONG),
    "no ratings": panel([breaker("a", 5.0, None), breaker("b", 0.0, None)], main_a=None),
    "all on one leg": panel([breaker(f"c{n}", 9.0, 20.0, 1) for n in range(8)], 2),
    "two poles": panel([breaker(f"c{n}", 9.0 + n, 20.0, (1, 2, "both")[n % 3]) for n in range(6)], 2),
    "two poles only": panel([breaker(f"c{n}", 9.0 * n, 20.0, "both") for n in range(4)], 2),
    "many and two poles": panel([breaker(f"{LONG} {n}", 9.0 + n, 20.0, "both" if n < 3 else 1) for n in range(14)], 2),
    "two poles on one leg": panel([breaker("a", 9.0, 20.0), breaker(LONG, 0.0, 20.0, "both")]),
    "great loads": panel([breaker("a", 1234.5), breaker("b", 0.00123)]),
    "long words": panel([breaker("a", 5.0)], asked=LONG + " " + LONG),
}


@pytest.mark.parametrize("name", PANELS)
@pytest.mark.parametrize("ink", ["screen", "paper"])
def test_no_word_is_cut_off_or_covered(name: str, ink: str) -> None:
    for ghost in (None, some(5), some(8, 2)):
        svg = panel_front(PANELS[name], ghost, ink)  # type: ignore[arg-type]
        assert faults(svg if ink == "paper" else in_paper_colours(svg)) == []


def in_paper_colours(svg: str) -> str:
    """The same drawing with the values in place of the page's variables."""
    for tint, value in PALETTE.items():
        svg = svg.replace(f"var(--trailer-{tint}, {value})", value)
    return svg


@pytest.mark.parametrize("name", PANELS)
def test_one_size_on_the_screen_and_as_tall_as_needed_on_paper(name: str) -> None:
    box = [float(v) for v in ET.fromstring(panel_front(PANELS[name])).attrib["viewBox"].split()]
    assert box == [0, 0, 520, 305]
    paper = ET.fromstring(panel_front(PANELS[name], ink="paper")).attrib["viewBox"].split()
    assert float(paper[2]) == 800 and float(paper[3]) >= 282
    words = [w for w, _ in letters(panel_front(PANELS[name], ink="paper"))]
    assert not any("more, on paper" in w for w in words)
    for b in (b for b in PANELS[name].breakers if len(b.name) > 3):
        assert any(len(w) > 3 and b.name.startswith(w.split(" (leg")[0].rstrip("…")) for w in words)


@pytest.mark.parametrize("legs", [1, 2])
def test_on_the_screen_the_fullest_are_shown_and_the_others_counted(legs: int) -> None:
    whole = some(60, legs)
    words = [w for w, _ in letters(panel_front(whole))]
    shown = {w.split(" (leg")[0] for w in words if w.startswith("branch")}
    (more,) = [w for w in words if w.startswith("and ")]
    assert len(shown) == 8 and int(more.split()[1]) == 52
    hidden = [b.share for b in whole.breakers if b.name not in shown]
    bound = float(more.split("under ")[1].split(" %")[0]) / 100
    assert max(hidden) < bound <= max(hidden) + 0.0101
    assert all(b.share >= max(hidden) for b in whole.breakers if b.name in shown)


def test_on_the_screen_an_unknown_rating_is_shown_before_one_with_room() -> None:
    whole = panel([*(breaker(f"idle {n}", 1.0) for n in range(9)), breaker("not known", 1.0, None)])
    words = [w for w, _ in letters(panel_front(whole))]
    assert "not known" in words and "1.00 A, not checked" in words
    assert "not every rating is known; nothing that is known is over its rating" in words


def test_on_the_screen_a_current_on_no_given_leg_is_said() -> None:
    whole = panel([breaker("one", 5.0, 20.0, 1), breaker("none", 7.0)], 2, 50.0)
    words = " ".join(w for w, _ in letters(panel_front(whole)))
    assert "7.00 A on no given leg, in no sum" in words and "none (leg ?)" in words


def test_on_the_screen_each_leg_has_its_column_or_every_breaker_its_leg() -> None:
    apart = dict(letters(panel_front(panel([breaker(f"c{n}", 9.0, 20.0, 1 + n % 2) for n in range(8)], 2))))
    assert all(apart[f"c{n}"][0] < 260 for n in (0, 2, 4, 6)) and all(apart[f"c{n}"][0] > 260 for n in (1, 3, 5, 7))
    assert set(dict(letters(panel_front(PANELS["all on one leg"])))) >= {f"c{n} (leg 1)" for n in range(8)}


@pytest.mark.parametrize("name", PANELS)
def test_letters_on_the_screen_are_large(name: str) -> None:
    sizes = [float(e.attrib["font-size"]) for e in ET.fromstring(panel_front(PANELS[name])).iter(f"{SVG}text")]
    assert min(sizes) >= 11.5


@pytest.mark.parametrize("now", [0.1, 16.0, 19.0, 26.0])
def test_on_the_screen_the_bar_is_as_long_as_its_share(now: float) -> None:
    svg = in_paper_colours(panel_front(panel([breaker("a", now)], main_a=None)))
    ((left, length, tint),) = bars(svg)
    (full, *_) = [p[0][0] for p in polylines(svg, PALETTE["stop"])]
    assert length == pytest.approx((full - left) * now / 20.0, abs=0.15)
    assert tint == ("holds" if now <= 16 else "watch" if now <= 20 else "stop")


def bars(svg: str) -> list[tuple[float, float, str]]:
    """Left end, length and colour of every filled load bar."""
    tints = {PALETTE[t]: t for t in ("holds", "watch", "stop")}
    return [
        (float(e.attrib["x"]), float(e.attrib["width"]), tints[e.attrib["fill"]])
        for e in ET.fromstring(svg).iter(f"{SVG}rect")
        if e.attrib["fill"] in tints and float(e.attrib["height"]) != 10.0
    ]


@pytest.mark.parametrize("now", [0.1, 7.0, 15.99, 16.01, 19.99, 20.01, 26.0])
def test_a_bar_is_as_long_as_its_share_and_the_marks_lie_at_80_and_100(now: float) -> None:
    """The rating of 20 A lies at the same share of the bar's frame for every breaker."""
    svg = panel_front(panel([breaker("a", now)], main_a=None), ink="paper")
    ((left, length, tint),) = bars(svg)
    full = [p[0][0] for p in polylines(svg, PALETTE["stop"]) if p[0][0] == p[-1][0] and p[0][1] < 200]
    assert length == pytest.approx((full[0] - left) * now / 20.0, abs=0.15)
    long = [p[0][0] for p in polylines(svg, PALETTE["ink"]) if p[0][0] == p[-1][0] and p[0][1] < 200]
    assert (long[0] - left) / (full[0] - left) == pytest.approx(0.8, abs=0.01)
    assert tint == ("holds" if now <= 16 else "watch" if now <= 20 else "stop")


def test_a_bar_far_beyond_its_rating_ends_in_an_arrow() -> None:
    svg = panel_front(panel([breaker("a", 60.0)], main_a=None), ink="paper")
    ((_, length, tint),) = bars(svg)
    frame = length + 1.0
    assert tint == "stop" and length < frame / FULL
    assert len([p for p in polylines(svg, PALETTE["paper"]) if len(p) == 3]) == 1
    assert not list(polylines(panel_front(panel([breaker("a", 21.0)], main_a=None), ink="paper"), PALETTE["paper"]))


@pytest.mark.parametrize(
    ("now", "word"),
    [(0.0, "idle"), (8.0, "holds"), (16.0, "holds"), (16.1, "not for 3 h"), (20.0, "not for 3 h"), (24.0, "over by 4.0 A")],
)  # fmt: skip
def test_every_colour_has_its_word(now: float, word: str) -> None:
    words = [w for w, _ in letters(panel_front(panel([breaker("a", now)], main_a=100.0), ink="paper"))]
    assert word in words and any(w.endswith("of 20 A") for w in words)


def test_the_main_says_how_far_it_is_over() -> None:
    words = [w for w, _ in letters(panel_front(panel([breaker("a", 18.0), breaker("b", 18.0)]), ink="paper"))]
    assert "36.0 of 30 A, over by 6.0 A" in words and "the main is over its rating, no branch is" in words
    words = [w for w, _ in letters(panel_front(panel([breaker("a", 23.0)]), ink="paper"))]
    assert "over its rating: a" in words


def test_an_unknown_rating_is_not_checked() -> None:
    words = [w for w, _ in letters(panel_front(PANELS["no ratings"], ink="paper"))]
    assert words.count("?") == 3 and sum("not checked" in w for w in words) == 3
    assert not any(w in ("holds", "idle") for w in words)


def test_two_legs_have_a_column_each_and_a_sum_each() -> None:
    whole = panel([breaker("one", 5.0, 20.0, 1), breaker("two", 6.0, 20.0, 2), breaker("none", 7.0)], 2, 50.0)
    places = {w: b[0] for w, b in letters(panel_front(whole, ink="paper"))}
    assert places["one"] < 400 < places["two"] and "none (leg ?)" in places
    assert "Leg 1 of the main" in places and "5.00 of 50 A, holds" in places and "6.00 of 50 A, holds" in places


def test_one_leg_fills_both_columns_in_turn() -> None:
    places = dict(letters(panel_front(some(4), ink="paper")))
    assert places["branch 0"][0] < 400 < places["branch 1"][0] and places["branch 2"][0] < 400
    assert places["branch 0"][1] == places["branch 1"][1] < places["branch 2"][1]


def test_the_ghost_is_outlined_only_where_something_moved() -> None:
    now = panel([breaker("a", 5.0), breaker("b", 6.0)])
    assert panel_front(now, now) == panel_front(now)
    svg = panel_front(now, panel([breaker("a", 9.0), breaker("b", 6.0)]), "paper")
    dashed = [e for e in ET.fromstring(svg).iter(f"{SVG}rect") if e.attrib.get("stroke") == PALETTE["ghost"]
              and "stroke-dasharray" in e.attrib]  # fmt: skip
    assert len(dashed) == 3  # the main, the branch that moved, and the key
    assert "before" in [w for w, _ in letters(svg)]


def test_hostile_names_stay_text() -> None:
    evil = '<script>alert("1")</script>&'
    svg = panel_front(panel([breaker(evil, 30.0)], asked=evil))
    ET.fromstring(svg)
    assert "<script" not in svg


def test_ink() -> None:
    assert "var(" in panel_front(some(3)) and "var(" not in panel_front(some(3), ink="paper")
