"""Raceways as a net: where they meet, where a place may reach them, and the shortest way along them.

Everything here is plain numbers and hashable, so that a way once found is kept until the geometry changes.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, NamedTuple

Point = tuple[float, float, float]
Node = tuple[int, Point]  # number of the raceway, where on it [m]
Stretch = tuple[Node, Node]  # the two ends of a piece of raceway, in order

TOUCH_M = 0.0254  # raceways that pass within an inch open into each other
FREE_COSTS = 1.0 + 1e-6  # of two ways equally long, the one with less wire outside a raceway is taken
_ORIGIN: Node = (-1, (0.0, 0.0, 0.0))


class Way(NamedTuple):
    """One raceway as plain data: its name, what it carries, its points [m]."""

    name: str
    carries: str
    path: tuple[Point, ...]

    def takes(self, system: str) -> bool:
        """Whether wires of a system may lie in it."""
        return self.carries in ("both", system)


def hashed_once(part: Any) -> int:
    """The hash of a frozen dataclass by all its fields, worked out the first time it is asked for."""
    kept: dict[str, Any] = part.__dict__
    if "_hashed" not in kept:
        kept["_hashed"] = hash(tuple(kept[field] for field in part.__dataclass_fields__))
    found: int = kept["_hashed"]
    return found


@dataclass(frozen=True)
class Ground:
    """All that decides the ways: the raceways, the places that wires begin or end at [m], how far a drop may go [m].

    Every way is looked up by it, so its hash is worked out once.
    """

    ways: tuple[Way, ...]
    points: tuple[Point, ...]
    reach: float | None

    __hash__ = hashed_once


@lru_cache(maxsize=64)
def ground(ways: tuple[Way, ...], points: tuple[Point, ...], reach: float | None) -> Ground:
    """The same again for the same, so that comparing two is looking whether they are one.

    Parameters
    ----------
    ways : the raceways
    points : [m] where wires begin or end
    reach : [m] how far a drop may go
    """
    return Ground(ways, points, reach)


@dataclass(frozen=True)
class _Net:
    """``stretches`` are pieces of raceway, ``links`` steps between two; ``feet`` says how far each place is [m]."""

    stretches: tuple[Stretch, ...]
    links: tuple[Stretch, ...]
    feet: Mapping[Point, Mapping[Node, float]]


def axis_m(a: Point, b: Point) -> float:
    """Distance along the axes [m], as wire is laid along walls."""
    return abs(a[0] - b[0]) + abs(a[1] - b[1]) + abs(a[2] - b[2])


@lru_cache(maxsize=2048)
def shortest(ground: Ground, system: str, origin: Point, end: Point) -> tuple[Node, ...] | None:
    """The nodes along the shortest way from a place to a place; empty when they are one, None when there is no way.

    Parameters
    ----------
    ground : the raceways and places
    system : ``dc`` or ``mains``
    origin : [m] where the wire begins, one of the points of the ground
    end : [m] where it ends, another
    """
    if origin == end:
        return ()
    before, cost = _search(ground, system, origin)
    feet = {node: cost[node] + drop * FREE_COSTS for node, drop in _net(ground).feet[end].items() if node in cost}
    if not feet:
        return None
    node = min(feet, key=feet.__getitem__)
    nodes = []
    while node != _ORIGIN:
        nodes.append(node)
        node = before[node][0]
    return tuple(reversed(nodes))


@lru_cache(maxsize=256)
def _search(ground: Ground, system: str, origin: Point) -> tuple[Mapping[Node, list[Node]], Mapping[Node, float]]:
    """The node before each on its shortest way, and how far it is. A place is never passed through."""
    import networkx as nx

    net = _net(ground)
    open_ways = {number for number, way in enumerate(ground.ways) if way.takes(system)}
    graph = nx.Graph()
    graph.add_node(_ORIGIN)
    graph.add_weighted_edges_from(
        (a, b, cost)
        for pieces, costs in ((net.stretches, 1.0), (net.links, FREE_COSTS))
        for a, b in pieces
        if a[0] in open_ways and b[0] in open_ways
        for cost in (math.dist(a[1], b[1]) * costs,)
    )
    graph.add_weighted_edges_from(
        (_ORIGIN, node, drop * FREE_COSTS) for node, drop in net.feet[origin].items() if node[0] in open_ways
    )
    before, cost = nx.dijkstra_predecessor_and_distance(graph, _ORIGIN)
    return before, cost


@lru_cache(maxsize=64)
def _net(ground: Ground) -> _Net:
    pieces = _pieces(ground.ways)
    on_piece: list[set[Point]] = [{a, b} for _, a, b in pieces]
    links = set()
    for (one, p), (two, q) in _crossings(ground.ways):
        on_piece[one].add(p)
        on_piece[two].add(q)
        if (pieces[one][0], p) != (pieces[two][0], q):
            links.add(_ordered((pieces[one][0], p), (pieces[two][0], q)))
    feet: dict[Point, dict[Node, float]] = {point: {} for point in ground.points}
    for point, found in feet.items():
        for number, (way, a, b) in enumerate(pieces):
            for foot in _feet(point, a, b):
                drop = axis_m(point, foot)
                if ground.reach is None or drop <= ground.reach + 1e-9:
                    on_piece[number].add(foot)
                    found[way, foot] = drop
    stretches = {
        _ordered((way, p), (way, q)): None
        for (way, a, _), points in zip(pieces, on_piece, strict=True)
        for p, q in itertools.pairwise(point for _, point in sorted((math.dist(a, point), point) for point in points))
    }
    return _Net(tuple(stretches), tuple(sorted(links)), feet)


def _ordered(a: Node, b: Node) -> Stretch:
    return (a, b) if a <= b else (b, a)


def stretches_of(nodes: Iterable[Node]) -> Iterator[Stretch]:
    """The pieces of raceway along a way, without the steps from one raceway into another."""
    for a, b in itertools.pairwise(nodes):
        if a[0] == b[0]:
            yield _ordered(a, b)


def _feet(point: Point, a: Point, b: Point) -> set[Point]:
    """Where a wire may leave a piece of raceway for a place: level with it along each axis, or at the nearest end."""
    feet = set()
    for p, start, end in zip(point, a, b, strict=True):
        if abs(end - start) > 1e-12:
            feet.add(_along(a, b, (p - start) / (end - start)))
    return feet


def _along(a: Point, b: Point, share: float) -> Point:
    """The point at a share of the way from a to b, kept between them."""
    if share <= 0.0:
        return a
    if share >= 1.0:
        return b
    x, y, z = (round(start + share * (end - start), 9) for start, end in zip(a, b, strict=True))
    return x, y, z


@lru_cache(maxsize=64)
def _pieces(ways: tuple[Way, ...]) -> tuple[tuple[int, Point, Point], ...]:
    """Every straight piece: number of its raceway, its two ends."""
    return tuple((number, a, b) for number, way in enumerate(ways) for a, b in itertools.pairwise(way.path))


@lru_cache(maxsize=64)
def _crossings(ways: tuple[Way, ...]) -> tuple[tuple[tuple[int, Point], tuple[int, Point]], ...]:
    """Where pieces cross or touch: number of each piece and the point on it."""
    pieces = _pieces(ways)
    found = []
    for one, two in _near(pieces):
        (way, a, b), (other, c, d) = pieces[one], pieces[two]
        if way == other and two == one + 1:
            continue  # neighbours share their point already
        found += [((one, p), (two, q)) for p, q in _meetings(a, b, c, d) if math.dist(p, q) <= TOUCH_M + 1e-9]
    return tuple(found)


def _near(pieces: tuple[tuple[int, Point, Point], ...]) -> Iterator[tuple[int, int]]:
    """Pairs of pieces whose boxes come within touch."""
    import numpy as np

    if not pieces:
        return
    ends = np.array([(a, b) for _, a, b in pieces])
    low, high = ends.min(axis=1), ends.max(axis=1) + TOUCH_M + 1e-9
    for one in range(len(pieces) - 1):
        close = ((low[one + 1 :] <= high[one]) & (low[one] <= high[one + 1 :])).all(axis=1)
        yield from ((one, one + 1 + int(k)) for k in np.flatnonzero(close))


def _meetings(a: Point, b: Point, c: Point, d: Point) -> Iterator[tuple[Point, Point]]:
    """Pairs of points, one on each piece, among which the nearest are."""
    for end in (a, b):
        yield end, _nearest(end, c, d)
    for end in (c, d):
        yield _nearest(end, a, b), end
    u, v, w = _less(b, a), _less(d, c), _less(a, c)
    uu, uv, vv, uw, vw = _dot(u, u), _dot(u, v), _dot(v, v), _dot(u, w), _dot(v, w)
    slant = uu * vv - uv * uv
    if slant > 1e-12 * uu * vv:
        yield _along(a, b, (uv * vw - vv * uw) / slant), _along(c, d, (uu * vw - uv * uw) / slant)


def _nearest(point: Point, a: Point, b: Point) -> Point:
    way = _less(b, a)
    return _along(a, b, _dot(_less(point, a), way) / _dot(way, way))


def _less(a: Point, b: Point) -> Point:
    return a[0] - b[0], a[1] - b[1], a[2] - b[2]


def _dot(a: Point, b: Point) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
