"""One circuit as it is laid: the ways to its ends joined to a tree, as pieces of wire and as a feeder sees it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from trailerlib.design.raceways import Node, Point

DROP, LOOP = "drop", "service loop"
STILL_M = 1e-9  # pieces shorter than this are no pieces


@dataclass(frozen=True)
class Leg:
    """One straight piece of wire as laid, from ``start`` to ``end`` [m], ``length_m`` long.

    ``along`` is the raceway's name, ``drop`` or ``service loop``; ``parent`` is the number of the leg that
    feeds it, -1 at the block, and always smaller than its own.
    """

    start: Point
    end: Point
    length_m: float
    along: str
    parent: int


@dataclass(frozen=True)
class Branch:
    """One piece of a feeder between two nodes, ``length_m`` one way, and the loads that hang at its end.

    ``parent`` is the number of the branch that feeds it, -1 at the block, and always smaller than its own.
    """

    parent: int
    length_m: float
    loads: tuple[str, ...]


@dataclass
class _Spot:
    parent: int
    at: Point
    along: str
    length_m: float
    children: int = 0


class Tree:
    """The ways of one circuit, laid one after the other; what two ways share is there once."""

    def __init__(self, loop_m: float) -> None:
        self._loop_m = loop_m
        self._spots: list[_Spot] = []
        self._known: dict[tuple[int, Point, str], int] = {}
        self._ends: dict[int, list[str]] = {}

    def lay(self, names: Sequence[str], origin: Point, nodes: Sequence[Node], end: Point, load: str | None) -> None:
        """Add the way to one end.

        Parameters
        ----------
        names : of the raceways
        origin : [m] the block
        nodes : along the raceways, from the block to the end
        end : [m] the end
        load : what hangs there, if anything
        """
        here = self._step(-1, origin, LOOP, self._loop_m)
        if nodes:
            for corner in reversed(_corners(nodes[0][1], origin)[:-1]):
                here = self._go(here, corner, DROP)
            here = self._go(here, nodes[0][1], DROP)
        for before, node in zip(nodes, nodes[1:], strict=False):
            here = self._go(here, node[1], names[node[0]] if before[0] == node[0] else DROP)
        for corner in _corners(nodes[-1][1], end) if nodes else []:
            here = self._go(here, corner, DROP)
        here = self._step(here, end, LOOP, self._loop_m)
        self._ends.setdefault(here, []).extend([] if load is None else [load])

    def _go(self, here: int, to: Point, along: str) -> int:
        """A step to a point, unless it is where we are."""
        length = math.dist(self._spots[here].at, to)
        return here if length < STILL_M else self._step(here, to, along, length)

    def _step(self, here: int, to: Point, along: str, length_m: float) -> int:
        key = (here, to, along)
        if key not in self._known:
            self._known[key] = len(self._spots)
            self._spots.append(_Spot(here, to, along, length_m))
            if here >= 0:
                self._spots[here].children += 1
        return self._known[key]

    def legs(self) -> tuple[tuple[Leg, ...], dict[str, int], int | None]:
        """The pieces of wire, the piece at whose end each load hangs, and the piece at the far end."""
        legs: list[Leg] = []
        number: dict[int, int] = {-1: -1}
        straight = self._straight()
        start: dict[int, tuple[int, float]] = {}  # where the piece that ends at a spot began, how long it is
        for index, spot in enumerate(self._spots):
            begin, length = spot.parent, spot.length_m
            if begin in start and straight[begin]:
                begin, before = start[begin]
                length += before
            start[index] = (begin, length)
            if not straight[index]:
                at = self._spots[begin].at if begin >= 0 else spot.at
                number[index] = len(legs)
                legs.append(Leg(at, spot.at, length, spot.along, number[begin]))
        load_leg = {load: number[index] for index, loads in self._ends.items() for load in loads}
        return tuple(legs), load_leg, self._far(legs, [number[index] for index in self._ends])

    def _straight(self) -> list[bool]:
        """Whether the wire goes straight on at each spot, with nothing there."""
        straight = [False] * len(self._spots)
        for spot in self._spots:
            if spot.parent >= 0:
                before = self._spots[spot.parent]
                lone = before.children == 1 and spot.parent not in self._ends and before.along == spot.along != LOOP
                straight[spot.parent] = lone and before.parent >= 0 and self._on_line(before, spot)
        return straight

    def _on_line(self, middle: _Spot, end: _Spot) -> bool:
        start = self._spots[middle.parent].at
        return math.dist(start, end.at) > math.dist(start, middle.at) + math.dist(middle.at, end.at) - STILL_M

    @staticmethod
    def _far(legs: Sequence[Leg], ends: Sequence[int]) -> int | None:
        reach: list[float] = []
        for leg in legs:
            reach.append(leg.length_m + (reach[leg.parent] if leg.parent >= 0 else 0.0))
        return max(ends, key=lambda number: reach[number], default=None)


def _corners(foot: Point, place: Point) -> list[Point]:
    """From a raceway to a place along the axes: level with the raceway first, up or down last."""
    return [(place[0], foot[1], foot[2]), (place[0], place[1], foot[2]), place]


def branches_of(legs: Sequence[Leg], load_leg: Mapping[str, int], said: Mapping[str, float]) -> tuple[Branch, ...]:
    """A circuit as a feeder sees it: a branch between every two nodes where it divides or a load hangs.

    Parameters
    ----------
    legs : as laid
    load_leg : [-] number of the leg at whose end each load hangs
    said : [m] loads whose distance is stated; they hang on the way to the far end, or beyond it
    """
    loads: dict[int, tuple[str, ...]] = {}
    for load, number in load_leg.items():
        loads[number] = (*loads.get(number, ()), load)
    children = [0] * len(legs)
    for leg in legs:
        if leg.parent >= 0:
            children[leg.parent] += 1
    found: list[Branch] = []
    carried: dict[int, tuple[int, float]] = {-1: (-1, 0.0)}  # the branch a leg continues, what it adds to it
    for number, leg in enumerate(legs):
        parent, length = carried[leg.parent]
        length += leg.length_m
        if children[number] == 1 and number not in loads:
            carried[number] = (parent, length)
            continue
        carried[number] = (len(found), 0.0)
        found.append(Branch(parent, length, loads.get(number, ())))
    for load, metres in sorted(said.items(), key=lambda item: item[1]):
        found = _hung(found, load, metres)
    return tuple(found)


def _hung(branches: list[Branch], load: str, metres: float) -> list[Branch]:
    """The feeder with one more load so far along the way to its far end."""
    reach: list[float] = []
    for branch in branches:
        reach.append(branch.length_m + (reach[branch.parent] if branch.parent >= 0 else 0.0))
    here = max(range(len(branches)), key=lambda number: reach[number], default=-1)
    if here < 0 or metres > reach[here] + STILL_M:
        return [*branches, Branch(here, metres - (reach[here] if here >= 0 else 0.0), (load,))]
    while reach[here] - branches[here].length_m >= metres - STILL_M and branches[here].parent >= 0:
        here = branches[here].parent
    branch = branches[here]
    if abs(reach[here] - metres) <= STILL_M:
        return [*branches[:here], Branch(branch.parent, branch.length_m, (*branch.loads, load)), *branches[here + 1 :]]
    beyond = reach[here] - metres
    split = [Branch(branch.parent, branch.length_m - beyond, (load,)), Branch(here, beyond, branch.loads)]
    rest = [Branch(b.parent + 1 if b.parent >= here else b.parent, b.length_m, b.loads) for b in branches[here + 1 :]]
    return [*branches[:here], *split, *rest]


def chain(at_m: Mapping[str, float], run_m: float) -> tuple[Branch, ...]:
    """A run whose length is stated: its loads one behind the other, the end of the run the last.

    Parameters
    ----------
    at_m : [m] how far along it each load hangs
    run_m : [m] length of the run
    """
    found: list[Branch] = []
    place = 0.0
    for stop in sorted({*at_m.values(), run_m}):
        loads = tuple(load for load, metres in at_m.items() if metres == stop)
        found.append(Branch(len(found) - 1, stop - place, loads))
        place = stop
    return tuple(found)
