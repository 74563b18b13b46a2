"""Seen from above with the nose on the left, what is on the left when driving is below: every plan the same way round."""

from __future__ import annotations

import pytest
from seen import letters

import trailerlib as tl
from trailerlib import pictures


@pytest.fixture(scope="module")
def demo() -> tl.Design:
    return tl.read_design(tl.shipped_trailers()["fen-survey"])


def height_of(svg: str, words: str) -> float:
    """How far down the text with these words and fewest others stands [px]."""
    return min((len(text), box[3]) for text, box in letters(svg) if words in text)[1]


def test_the_plan(demo: tl.Design) -> None:
    svg = pictures.plan(demo, ink="paper")
    assert height_of(svg, "road side") > height_of(svg, "curb side")
    low, high = (battery_mark(demo, y) for y in ("0 ft", "7 ft"))
    assert low > high, "moved to the curb side, the battery's mark goes up"


def battery_mark(demo: tl.Design, y: str) -> float:
    """How far down the battery's mark, the first, stands when its box is so far from the road side [px]."""
    moved = demo.replace(("place", "battery box", "at"), ["6 in", y, "6 in"])
    return next(box[3] for text, box in letters(pictures.plan(moved, ink="paper")) if text == "1")


def test_the_balance_from_above(demo: tl.Design) -> None:
    svg = pictures.balance_above(tl.study("towing", demo).picture, ink="paper")
    assert height_of(svg, "road side") > height_of(svg, "curb side")
    for y, lower in (("1 ft", True), ("6 ft", False)):
        moved = demo.replace(("cargo", "plant presses", "at"), ["12 ft", y, "2 ft"])
        there = pictures.balance_above(tl.study("towing", moved).picture, ink="paper", focus="plant presses")
        middle = (height_of(there, "road side") + height_of(there, "curb side")) / 2
        assert (height_of(there, "plant presses") > middle) is lower


def test_the_wires_from_above(demo: tl.Design) -> None:
    heights = []
    for y in ("-2 in", "7 ft 2 in"):
        moved = demo.replace(("place", "outlet road side", "at"), ["9 ft", y, "3 ft"])
        heights.append(
            height_of(pictures.route_plan(tl.study("wiring", moved), None, moved, ink="paper"), "outdoor road")
        )
    assert heights[0] > heights[1]


def test_the_roof(demo: tl.Design) -> None:
    svg = pictures.from_outside(tl.study("roof", demo, opening="roof cooler"), ink="paper")
    assert height_of(svg, "road side") > height_of(svg, "curb side")
