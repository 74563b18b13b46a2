"""The trailer from above on the start page: wires lie where the layout lays them."""

from __future__ import annotations

import re

import pytest

import trailerlib as tl
from trailerlib.pictures import plan


@pytest.fixture(scope="module")
def demo() -> tl.Design:
    """The shipped trailer."""
    return tl.read_design(tl.shipped_trailers()["fen-survey"])


def lines(design: tl.Design) -> list[str]:
    """What is drawn as a line, each with its stroke."""
    return re.findall(r"<(?:path|polyline)[^>]*>", plan(design, ink="paper"))


def test_a_raceway_that_moves_takes_its_wires_with_it(demo: tl.Design) -> None:
    path = demo.get("raceway.nose chase.path")
    other = [[x, y, z] for (x, _, z), y in zip(path, ("8 in", "5 ft", "5 ft"), strict=True)]
    moved = demo.replace("raceway.nose chase.path", other)
    assert set(lines(moved)) != set(lines(demo))


def test_a_thicker_wire_is_drawn_thicker(demo: tl.Design) -> None:
    before, after = lines(demo), lines(demo.replace("circuit.fridge.wire", "4 AWG"))
    assert len(before) == len(after)
    assert sum(a != b for a, b in zip(before, after, strict=True)) >= 1


def test_a_way_that_is_not_known_is_a_broken_line(demo: tl.Design) -> None:
    broken = [line for line in lines(demo.replace("raceway", None)) if "dasharray" in line]
    assert len(broken) > len([line for line in lines(demo) if "dasharray" in line])


def test_what_stands_far_away_is_marked_at_the_edge_of_the_picture() -> None:
    """The pottery cart's generator stands 25 ft ahead of it, set down on the yard: still inside the picture."""
    svg = plan(tl.read_design(tl.shipped_trailers()["kiln-cart"]), ink="paper")
    width = float(re.search(r'viewBox="0 0 ([\d.]+)', svg)[1])  # type: ignore[index]
    places = [float(x) for x in re.findall(r'<text x="(-?[\d.]+)"', svg)]
    assert len(places) > 10 and min(places) >= 0.0 and max(places) <= width
    assert re.search(r'<polygon points="2,', svg), "an arrow at the left edge says that it is farther away"


@pytest.mark.parametrize("name", sorted(tl.shipped_trailers()))
def test_each_side_is_named_beside_its_own_wall(name: str) -> None:
    """With the nose on the left the curb side is on top; its name stands over that wall, the other under its own."""
    design = tl.read_design(tl.shipped_trailers()[name])
    drawing = plan(design, ink="paper")
    at = {words: float(y) for y, words in re.findall(r'<text[^>]* y="([\d.]+)"[^>]*>(curb side|road side)<', drawing)}
    box = re.search(r'<path d="M([^"]+)"|<polygon points="([^"]+)"', drawing)
    assert box is not None
    walls = [float(y) for y in re.findall(r"[\d.]+[ ,]([\d.]+)", next(part for part in box.groups() if part))]
    assert at["curb side"] < min(walls) < max(walls) < at["road side"]
