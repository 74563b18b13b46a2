"""Where the wires run: worked by hand in a simple box, by brute force, and by another library's shortest paths."""

from __future__ import annotations

import copy
import itertools
import math
from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import trailerlib as tl
from trailerlib.design import asked
from trailerlib.design import layout as room
from trailerlib.design.tree import Branch, Leg

LOOP = 0.1
Point = tuple[float, float, float]


def metres(point: Point) -> list[str]:
    return [f"{value:.9f} m" for value in point]


def box(places: dict[str, Point], raceways: list[list[Point]], loads: dict[str, str], **more: Any) -> tl.Design:
    """A trailer of 6 × 3 × 2 m with one dc circuit from the place ``block`` to the loads at their places."""
    return tl.design_from({
        "title": "A box", "trailer": {"length": "6 m", "width": "3 m", "height": "2 m"}, "fuse_block": "block",
        "routing": {"service_loop": f"{LOOP} m", **more.get("routing", {})},
        "place": [{"name": name, "at": metres(at)} for name, at in places.items()],
        "raceway": [{"name": f"way {n}", "kind": "conduit", "path": [metres(p) for p in path], **more.get(f"way {n}", {})}
                    for n, path in enumerate(raceways)],
        "circuit": [{"name": "lights", "system": "dc", "wire": "14 AWG", **more.get("circuit", {})}],
        "load": [{"name": load, "class": "led work light", "circuit": "lights", "place": place, **more.get(load, {})}
                 for load, place in loads.items()],
    })  # fmt: skip


def route(design: tl.Design) -> room.Route:
    return design.layout.routes["lights"]


# ── by hand ───────────────────────────────────────────────────────────────────────────────────────────────

# The block at the nose, 1 m up. Way 0 runs along the left wall at 2 m, way 1 crosses it at x = 3 m to the right
# wall, way 2 lies in the floor on its own.
WAYS: list[list[Point]] = [[(0, 0, 2), (6, 0, 2)], [(3, 0, 2), (3, 3, 2)], [(0, 2, 0), (6, 2, 0)]]
PLACES: dict[str, Point] = {"block": (0.5, 0, 1), "lamp": (5, 0.2, 1.5), "far": (3.4, 3, 1), "low": (4, 2.5, 0)}


@pytest.mark.parametrize(
    ("loads", "runs", "wire"),
    [
        # up 1, along 4.5, out 0.2, down 0.5
        ({"a": "lamp"}, {"a": 1 + 4.5 + 0.2 + 0.5}, 6.2),
        # up 1, along 2.5, across 3, on 0.4, down 1
        ({"a": "far"}, {"a": 1 + 2.5 + 3 + 0.4 + 1}, 7.9),
        # both share up 1 and along 2.5: 3.5 once instead of twice; three loops, one more than a single run
        ({"a": "lamp", "b": "far"}, {"a": 6.2, "b": 7.9}, 6.2 + 7.9 - 3.5 + LOOP),
        # to the floor chase 1 down and 2 across, along 3.5, across 0.5: shorter than over the top
        ({"a": "low"}, {"a": 1 + 2 + 3.5 + 0.5}, 7.0),
        ({"a": "block"}, {"a": 0.0}, 0.0),
    ],
)
def test_a_simple_box_by_hand(loads: dict[str, str], runs: dict[str, float], wire: float) -> None:
    found = route(box(PLACES, WAYS, loads))
    assert dict(found.load_run_m) == pytest.approx({name: run + 2 * LOOP for name, run in runs.items()})
    assert found.run_m == pytest.approx(max(runs.values()) + 2 * LOOP)
    assert found.wire_m == pytest.approx(wire + 2 * LOOP)
    assert not found.stated and not found.reason


def test_the_pieces_of_the_first_example() -> None:
    legs = route(box(PLACES, WAYS, {"a": "lamp"})).legs
    assert [(leg.along, round(leg.length_m, 6), leg.parent) for leg in legs] == [
        ("service loop", 0.1, -1), ("drop", 1.0, 0), ("way 0", 4.5, 1), ("drop", 0.2, 2), ("drop", 0.5, 3), ("service loop", 0.1, 4),
    ]  # fmt: skip


def test_a_tap_in_the_middle_by_hand() -> None:
    """One branch of 3.6 to the crossing, then 2.7 and 0.1 of loop to the lamp, 4.4 and 0.1 to the far end."""
    found = route(box(PLACES, WAYS, {"a": "lamp", "b": "far"}))
    assert [(b.parent, round(b.length_m, 6), b.loads) for b in found.branches] == [
        (-1, 3.6, ()), (0, 2.8, ("a",)), (0, 4.5, ("b",)),
    ]  # fmt: skip


def test_what_is_stated_wins() -> None:
    stated = route(box(PLACES, WAYS, {"a": "lamp", "b": "far"}, circuit={"run": "20 m", "bundle": 9}, a={"run": "3 m"}))
    assert stated.stated and stated.run_m == 20.0 and dict(stated.load_run_m) == {"a": 3.0, "b": 20.0}
    assert stated.branches == (Branch(-1, 3.0, ("a",)), Branch(0, 17.0, ("b",)))
    assert stated.legs, "it still lies where the layout puts it"
    design = box(PLACES, WAYS, {"a": "lamp"}, circuit={"bundle": 9, "ambient": "50 °C"})
    circuit = design.circuit("lights")
    assert design.bundle_of(circuit) == 9 and design.air_of(circuit) == pytest.approx(50.0)


def test_a_load_with_a_stated_run_hangs_on_the_way_to_the_far_end() -> None:
    """The far end is 8.1 off; the branch there is cut at 3.0 (before the crossing at 3.6), or goes on to 12."""
    near = route(box(PLACES, WAYS, {"a": "lamp", "b": "far", "c": "low"}, c={"run": "3 m"}))
    assert near.load_run_m["c"] == 3.0 and near.run_m == pytest.approx(8.1)
    assert [(b.parent, round(b.length_m, 6), b.loads) for b in near.branches] == [
        (-1, 3.0, ("c",)), (0, 0.6, ()), (1, 2.8, ("a",)), (1, 4.5, ("b",)),
    ]  # fmt: skip
    beyond = route(box(PLACES, WAYS, {"b": "far", "c": "low"}, c={"run": "12 m"}))
    assert beyond.load_run_m["c"] == pytest.approx(12.0) and beyond.run_m == pytest.approx(12.0)


def test_bundles_and_air_by_hand(demo: tl.Design) -> None:
    """Across the nose go lights, entry, work lights, fan and usb: 5 × 2 wires; the fridge's chase is its own."""
    found = demo.layout.bundles
    nose = ("ceiling lights", "entry and alarm", "work lights", "roof fan", "usb")
    assert {found[name].circuits for name in nose} == {nose}
    assert {found[name].conductors for name in nose} == {10} and found["fridge"].conductors == 2
    assert (
        found["roof cooler"].circuits == ("roof cooler", "outdoor road side") and found["roof cooler"].conductors == 4
    )
    assert found["usb"].raceway == "curb side trim" and found["fridge"].raceway == "nose chase"
    hot, room_air = (125 - 32) / 1.8, (96 - 32) / 1.8
    assert found["roof fan"].air_c == pytest.approx(hot) and found["usb"].air_c == pytest.approx(room_air)
    assert demo.replace("site.hottest", None).layout.bundles["roof fan"].air_c is None
    assert demo.bundle_of(demo.circuit("roof fan")) == 12, "stated"


def test_a_raceway_with_both_systems_is_listed(demo: tl.Design) -> None:
    assert demo.layout.shared == ()
    open_floor = demo.replace_all({"raceway.floor chase.carries": "both", "raceway.nose chase.carries": "mains"})
    (shared,) = open_floor.layout.shared
    assert (shared.raceway, shared.dc) == ("floor chase", ("fridge", "usb"))
    assert set(shared.mains) == {"outdoor curb side", "bench outlets"}
    assert shared.length_m == pytest.approx(
        (81 - 8 + 48) * 0.0254
    )  # across the floor from the fuse block, along to the bench


def test_every_run_of_the_demo_is_near_what_was_measured(demo: tl.Design) -> None:
    """Runs as they were stated before the layout knew them [ft]; an estimate by eye, so within a third."""
    eye = {"ceiling lights": 19, "entry and alarm": 14, "work lights": 22, "usb": 20, "roof cooler": 12,
           "outdoor road side": 16, "outdoor curb side": 24, "bench outlets": 18, "charger": 6}  # fmt: skip
    for name, feet in eye.items():
        assert demo.layout.routes[name].run_m == pytest.approx(feet * 0.3048, rel=1 / 3), name


@pytest.mark.parametrize(("apart_in", "joined"), [(0.5, True), (0.99, True), (1.01, False), (3.0, False)])
def test_raceways_within_an_inch_open_into_each_other(apart_in: float, joined: bool) -> None:
    """Way 1 passes under way 0; the block may reach the one only, the lamp the other."""
    z = 2 - apart_in * 0.0254
    ways: list[list[Point]] = [[(0, 0, 2), (6, 0, 2)], [(3, -0.5, z), (3, 3, z)]]
    found = route(box({"block": (0, 0, 2), "lamp": (3, 3, z)}, ways, {"a": "lamp"}, routing={"reach": "1 m"}))
    assert found.run_m == (pytest.approx(6 + apart_in * 0.0254 + 2 * LOOP) if joined else None)


def test_only_the_geometry_decides(demo: tl.Design) -> None:
    changed = demo.replace_all(
        {"circuit.usb.wire": "10 AWG", "load.kettle.power": "900 W", "circuit.fridge.protection": "20 A"}
    )
    assert changed.layout is demo.layout, "kept, not worked out again"
    assert demo.replace("place.bunk.at", ["11 ft", "1 ft", "3 ft"]).layout is not demo.layout


# ── against methods that share nothing with it ────────────────────────────────────────────────────────────


TINY = 1e-6  # scipy takes a length near nothing for no way at all


def dense(raceways: list[list[Point]], start: Point, end: Point) -> float:
    """The way over a grid of points on square raceways, every pair joined that may be, by scipy's Dijkstra."""
    from scipy.sparse.csgraph import dijkstra

    spots: list[tuple[int, Point]] = []
    for number, path in enumerate(raceways):
        for a, b in itertools.pairwise(path):
            steps = max(1, round(math.dist(a, b) / 0.25))
            spots += [
                (number, tuple(p + k / steps * (q - p) for p, q in zip(a, b, strict=True))) for k in range(steps + 1)
            ]  # type: ignore[misc]
    at = np.array([point for _, point in spots])
    which = np.array([number for number, _ in spots])
    apart = np.linalg.norm(at[:, None] - at[None], axis=2)
    joined = ((which[:, None] == which[None]) & (apart < 0.2501)) | (apart < 0.0254)
    weights = np.zeros((len(at) + 2, len(at) + 2))
    weights[:-2, :-2] = np.where(joined, np.maximum(apart, TINY), 0.0)
    weights[-2, :-2] = np.maximum(np.abs(at - start).sum(axis=1), TINY)
    weights[:-2, -1] = np.maximum(np.abs(at - end).sum(axis=1), TINY)
    return float(dijkstra(weights, indices=len(at))[-1])


grid = st.integers(0, 12).map(lambda k: k * 0.25)
points = st.tuples(grid, grid, grid)


@st.composite
def square_paths(draw: Any) -> list[Point]:
    """A raceway of pieces square to the walls, on a grid of 25 cm."""
    path = [draw(points)]
    for _ in range(draw(st.integers(1, 3))):
        axis = draw(st.integers(0, 2))
        value = draw(grid.filter(lambda v, here=path[-1][axis]: v != here))
        path.append(tuple(value if k == axis else path[-1][k] for k in range(3)))  # type: ignore[arg-type]
    return path


def straight_ways(raceways: list[list[Point]]) -> bool:
    return all(len(set(path)) == len(path) for path in raceways)


@given(st.lists(square_paths(), min_size=1, max_size=4).filter(straight_ways), points, points)
@settings(max_examples=120, deadline=None)
def test_as_short_as_another_library_finds(raceways: list[list[Point]], start: Point, end: Point) -> None:
    """Every crossing of square raceways on the grid is a grid point, so both see the same ways."""
    found = route(box({"block": start, "lamp": end}, raceways, {"a": "lamp"}))
    want = 0.0 if start == end else dense(raceways, start, end)
    assert found.run_m == pytest.approx(want + 2 * LOOP, abs=1e-4)


def simple_ways(edges: dict[str, dict[str, float]], here: str, end: str, seen: tuple[str, ...]) -> Iterator[float]:
    if here == end:
        yield 0.0
        return
    for there, length in edges[here].items():
        if there not in seen:
            yield from (length + rest for rest in simple_ways(edges, there, end, (*seen, there)))


@given(st.lists(st.floats(0.5, 2.5), min_size=4, max_size=4))
@settings(max_examples=30, deadline=None)
def test_a_ladder_by_every_simple_path(rungs: list[float]) -> None:
    """Two rails of 5 m and four rungs: every way from corner to corner written out as a graph and tried."""
    spots = list(itertools.accumulate(rungs, initial=0.0))[:4]
    scale = 5.0 / max(spots[-1], 1e-9)
    xs = [x * scale for x in spots]
    raceways: list[list[Point]] = [
        [(0, 0, 2), (5, 0, 2)],
        [(0, 2, 2), (5, 2, 2)],
        *([(x, 0, 2), (x, 2, 2)] for x in xs),
    ]
    found = route(box({"block": (0.7, 0, 1), "lamp": (4.1, 2, 1)}, raceways, {"a": "lamp"}, routing={"reach": "1 m"}))
    edges: dict[str, dict[str, float]] = {}
    for rail in "ab":
        stops = sorted(
            [*((x, f"{rail}{k}") for k, x in enumerate(xs)), (0.7, "block") if rail == "a" else (4.1, "lamp")]
        )
        for (x, one), (y, two) in itertools.pairwise(stops):
            edges.setdefault(one, {})[two] = edges.setdefault(two, {})[one] = y - x
    for k in range(4):
        edges[f"a{k}"][f"b{k}"] = edges[f"b{k}"][f"a{k}"] = 2.0
    assert found.run_m == pytest.approx(min(simple_ways(edges, "block", "lamp", ("block",))) + 2.0 + 2 * LOOP, abs=1e-5)


# ── what holds for any raceways ───────────────────────────────────────────────────────────────────────────

anywhere = st.tuples(st.floats(0, 6), st.floats(0, 3), st.floats(0, 2)).map(lambda p: tuple(round(v, 3) for v in p))
any_path = st.lists(anywhere, min_size=2, max_size=4).filter(lambda p: all(a != b for a, b in itertools.pairwise(p)))
any_ways = st.lists(any_path, min_size=1, max_size=4)


@given(any_ways, any_path, anywhere, anywhere)
@settings(max_examples=80, deadline=None)
def test_another_raceway_never_makes_it_longer(raceways: Any, more: Any, start: Any, end: Any) -> None:
    places = {"block": start, "lamp": end}
    without, with_it = (route(box(places, ways, {"a": "lamp"})).run_m for ways in (raceways, [*raceways, more]))
    assert without is not None and with_it is not None and with_it <= without + 1e-4


@given(any_ways, anywhere, anywhere)
@settings(max_examples=80, deadline=None)
def test_never_shorter_than_straight_and_the_same_back(raceways: Any, start: Any, end: Any) -> None:
    there = route(box({"block": start, "lamp": end}, raceways, {"a": "lamp"})).run_m
    back = route(box({"block": end, "lamp": start}, raceways, {"a": "lamp"})).run_m
    assert there is not None and there >= math.dist(start, end) + 2 * LOOP - 1e-6
    assert there == pytest.approx(back, abs=1e-4)


@given(any_ways, anywhere, anywhere, anywhere, anywhere)
@settings(max_examples=60, deadline=None)
def test_a_tree_holds_together(raceways: Any, start: Any, a: Any, b: Any, c: Any) -> None:
    """Every piece begins where the one before it ends; no end is farther than there is wire; branches add up."""
    found = route(box({"block": start, "p": a, "q": b, "r": c}, raceways, {"a": "p", "b": "q", "c": "r"}))
    assert found.run_m is not None and found.wire_m is not None
    for number, leg in enumerate(found.legs):
        assert leg.parent < number
        assert leg.start == (found.legs[leg.parent].end if leg.parent >= 0 else start)
        assert leg.length_m == pytest.approx(math.dist(leg.start, leg.end) if leg.along != "service loop" else LOOP)
    total = sum(leg.length_m for leg in found.legs)
    assert total == pytest.approx(found.wire_m) and total >= found.run_m - 1e-9
    for load, at in {"a": a, "b": b, "c": c}.items():
        assert found.legs[found.load_leg[load]].end == at
        assert reach(found.legs, found.load_leg[load]) == pytest.approx(found.load_run_m[load])
    assert all(branch.parent < number for number, branch in enumerate(found.branches))


def reach(legs: tuple[Leg, ...], number: int) -> float:
    return 0.0 if number < 0 else legs[number].length_m + reach(legs, legs[number].parent)


@given(st.lists(square_paths(), min_size=1, max_size=4), points, points, st.floats(0.1, 0.9))
@settings(max_examples=60, deadline=None)
def test_a_raceway_drawn_in_two_parts_is_the_same_raceway(raceways: Any, start: Any, end: Any, share: float) -> None:
    whole = route(box({"block": start, "lamp": end}, raceways, {"a": "lamp"})).run_m
    (first, second, *rest), *others = raceways
    middle = tuple(p + share * (q - p) for p, q in zip(first, second, strict=True))
    parts = [[first, middle], [middle, second, *rest], *others]
    assert route(box({"block": start, "lamp": end}, parts, {"a": "lamp"})).run_m == pytest.approx(whole, abs=1e-4)


def test_one_change_after_another_is_laid(demo: tl.Design, monkeypatch: pytest.MonkeyPatch) -> None:
    """What was asked of the circuits before stands ready for each change, and not for the fresh design beside it."""
    changes: list[tuple[str, Any]] = [
        ("circuit.usb.run", "31 ft"), ("load.kettle.place", "bunk"), ("circuit.roof cooler.run", "22 ft"),
        ("routing.service_loop", "2 ft"), ("place.bunk.at", ["9 ft", "1 ft", "2 ft"]), ("load.USB at the bunk.run", "9 ft"),
        ("circuit.usb.run", None), ("site.hottest", "49 C"), ("circuit.bench outlets.to", "bunk"),
    ]  # fmt: skip
    design = demo
    for path, value in changes:
        design = design.replace(path, value)
        ours = design.layout
        with monkeypatch.context() as patched:
            patched.setattr(asked, "_LATEST", asked._Latest())
            fresh = tl.design_from(copy.deepcopy(dict(design.raw))).layout
        assert (ours.routes, ours.bundles, ours.shared) == (fresh.routes, fresh.bundles, fresh.shared), path
