"""Places and raceways decide where every circuit runs: its run, its branches, what lies beside it, how hot it is there.

A wire goes from its block to each of its loads along the shortest way: straight along the axes from the place to a
raceway, along raceways, and down again. A service loop is left at each end.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING, NamedTuple

from trailerlib.design.asked import Ask, Room, asks_of
from trailerlib.design.raceways import Ground, Stretch, Way, ground, shortest, stretches_of
from trailerlib.design.tree import DROP, Branch, Leg, Tree, branches_of, chain

if TYPE_CHECKING:
    from trailerlib.design.design import Design

CONDUCTORS = 2  # current-carrying conductors of a two-wire circuit
BLOCKS = {"dc": "fuse block", "mains": "mains panel"}
SIDE_WORDS = {"dc": "battery side", "mains": "mains"}

__all__ = ["DROP", "Branch", "Bundle", "Layout", "Leg", "Route", "Shared"]


@dataclass(frozen=True)
class Route:
    """Where one circuit runs. Lengths are one way [m] and hold a service loop at each end.

    ``run_m`` is the way to the far end, as stated or by the layout, None when neither says; ``reason`` then says why.
    ``legs`` are the pieces as laid, empty when the layout cannot say; ``branches`` the same as a feeder sees
    it, with the loads by their distance ``load_run_m``. ``wire_m`` is all the cable it takes.
    ``load_leg`` gives the leg at whose end each load hangs, ``far_leg`` the one at the far end.
    """

    circuit: str
    run_m: float | None
    stated: bool
    reason: str = ""
    legs: tuple[Leg, ...] = ()
    branches: tuple[Branch, ...] = ()
    load_run_m: Mapping[str, float] = field(default_factory=dict)
    wire_m: float | None = None
    load_leg: Mapping[str, int] = field(default_factory=dict)
    far_leg: int | None = None

    @cached_property
    def form(self) -> str:
        """All of its branches but their lengths, as a text to be kept by."""
        return repr([(branch.parent, branch.loads) for branch in self.branches] + [(self.far_end, self.circuit)])

    @cached_property
    def far_end(self) -> int:
        """The branch whose end is the furthest from the block."""
        reach = _reach(self.branches)
        return max(range(len(reach)), key=reach.__getitem__, default=0)


@dataclass(frozen=True)
class Bundle:
    """The fullest stretch on a circuit's way: current-carrying conductors [-], its raceway, the circuits in it.

    ``air_c`` is the hottest air along the whole way [°C], None when it is not known. Only wires whose way is
    known are counted.
    """

    circuit: str
    conductors: int
    raceway: str
    circuits: tuple[str, ...]
    air_c: float | None


@dataclass(frozen=True)
class Shared:
    """A raceway in which wires of both systems lie side by side, over ``length_m`` [m] in all."""

    raceway: str
    dc: tuple[str, ...]
    mains: tuple[str, ...]
    length_m: float


@dataclass(frozen=True)
class Layout:
    """Every circuit's route, and the bundle of those whose way is known, by circuit name; raceways shared by both."""

    routes: Mapping[str, Route]
    bundles: Mapping[str, Bundle]
    shared: tuple[Shared, ...]


class _Laid(NamedTuple):
    route: Route
    stretches: frozenset[Stretch]


def layout(design: Design) -> Layout:
    """Where every circuit of a design runs."""
    return laid_out(*asks_of(design))


@lru_cache(maxsize=64)
def laid_out(room: Room, asks: tuple[Ask, ...]) -> Layout:
    """Where circuits run, by what is asked of each.

    Parameters
    ----------
    room : what they have in common
    asks : the circuits as far as their ways are concerned
    """
    points = {point: None for ask in asks for point in ask.points}
    known = ground(room.ways, tuple(points), room.reach)
    laid = {ask.name: _laid(known, room.loop_m, ask) for ask in asks}
    along = tuple((ask.name, ask.system, laid[ask.name].stretches, bool(laid[ask.name].route.legs)) for ask in asks)
    return Layout({name: found.route for name, found in laid.items()}, *_together(along, room))


@lru_cache(maxsize=64)
def _together(
    along: tuple[tuple[str, str, frozenset[Stretch], bool], ...], room: Room
) -> tuple[Mapping[str, Bundle], tuple[Shared, ...]]:
    """What lies beside each circuit that is laid, and what the two systems share; a length stated anew changes neither.

    Parameters
    ----------
    along : name, system, stretches of raceway, and whether it is laid, of every circuit
    room : what they have in common
    """
    stretches = {name: there for name, _, there, _ in along}
    lying = _lying(stretches)
    bundles = {name: _bundle(name, there, lying, room) for name, _, there, laid in along if laid}
    return bundles, _shared(lying, room.ways, {name: system for name, system, _, _ in along})


@lru_cache(maxsize=4096)
def _laid(ground: Ground, loop_m: float, ask: Ask) -> _Laid:
    reason, stretches, (legs, load_leg, far_leg) = _way(ground, loop_m, ask.however_long)
    if ask.run is None and reason:
        return _Laid(Route(ask.name, None, False, reason), frozenset())
    said = {end.load: end.run for end in ask.ends if end.load is not None and end.run is not None}
    if ask.run is None:
        branches = branches_of(legs, load_leg, said)
    else:
        at = {end.load: min(end.run or ask.run, ask.run) for end in ask.ends if end.load is not None}
        branches = chain(at, ask.run)
    reach = _reach(branches)
    loads = {load: reach[number] for number, branch in enumerate(branches) for load in branch.loads}
    run, wire = max(reach), sum(branch.length_m for branch in branches)
    route = Route(ask.name, run, ask.run is not None, "", legs, branches, loads, wire, load_leg, far_leg)
    return _Laid(route, stretches)


_Legs = tuple[tuple[Leg, ...], Mapping[str, int], int | None]


@lru_cache(maxsize=4096)
def _way(ground: Ground, loop_m: float, ask: Ask) -> tuple[str, frozenset[Stretch], _Legs]:
    """Why the layout cannot say where a circuit runs, the stretches of raceway it lies in, and its legs."""
    reason, to_lay = _problem(ground, ask), [end for end in ask.ends if end.run is None or ask.run is not None]
    tree, stretches = Tree(loop_m), frozenset[Stretch]()
    if not reason and ask.origin is not None:
        names = [way.name for way in ground.ways]
        for end in to_lay:
            if end.at is not None and (nodes := shortest(ground, ask.system, ask.origin, end.at)) is not None:
                tree.lay(names, ask.origin, nodes, end.at, end.load)
                stretches |= frozenset(stretches_of(nodes))
    return reason, stretches, tree.legs()


def _reach(branches: tuple[Branch, ...]) -> list[float]:
    """How far the end of each branch is from the block [m]."""
    reach: list[float] = []
    for branch in branches:
        reach.append(branch.length_m + (reach[branch.parent] if branch.parent >= 0 else 0.0))
    return reach


def _problem(ground: Ground, ask: Ask) -> str:
    """Why the layout cannot say where a circuit runs; empty when it can."""
    if not ask.ends:
        return "it has no load and no “to”, so that it leads nowhere"
    ends = [end for end in ask.ends if end.run is None or ask.run is not None]
    if not ends:
        return ""
    for end in ends:
        if end.at is None:
            return f"load “{end.load}” has no place"
    if not ground.ways:
        return "no run is stated and there is no raceway"
    if ask.origin is None:
        return f"the {BLOCKS[ask.system]} has no place"
    if not any(way.takes(ask.system) for way in ground.ways):
        return f"no raceway carries the {SIDE_WORDS[ask.system]}"
    for end in ends:
        if end.at is not None and shortest(ground, ask.system, ask.origin, end.at) is None:
            where = f"load “{end.load}”" if end.load is not None else "its end"
            return f"no raceway that it may use leads to {where}"
    return ""


def _lying(stretches: Mapping[str, frozenset[Stretch]]) -> Mapping[Stretch, tuple[str, ...]]:
    """The circuits in every stretch of raceway."""
    lying: dict[Stretch, tuple[str, ...]] = {}
    for name, there in stretches.items():
        for stretch in there:
            lying[stretch] = (*lying.get(stretch, ()), name)
    return lying


def _bundle(
    name: str,
    stretches: frozenset[Stretch],
    lying: Mapping[Stretch, tuple[str, ...]],
    room: Room,
) -> Bundle:
    """Outside the raceways, and in one whose air is not stated, a wire is in the hottest air of the site."""
    fullest = min(stretches, key=lambda stretch: (-len(lying[stretch]), stretch), default=None)
    beside = (name,) if fullest is None else lying[fullest]
    raceway = "" if fullest is None else room.ways[fullest[0][0]].name
    stated = [c for number in {start[0] for start, _ in stretches} if (c := room.air[number]) is not None]
    air_c = None if room.hottest is None else max([room.hottest, *stated])
    return Bundle(name, CONDUCTORS * len(beside), raceway, beside, air_c)


def _shared(
    lying: Mapping[Stretch, tuple[str, ...]], ways: tuple[Way, ...], system: Mapping[str, str]
) -> tuple[Shared, ...]:
    found: dict[int, tuple[dict[str, None], float]] = {}
    for (start, end), names in sorted(lying.items()):
        if {system[name] for name in names} == {"dc", "mains"}:
            before, length = found.get(start[0], ({}, 0.0))
            found[start[0]] = ({**before, **dict.fromkeys(names)}, length + math.dist(start[1], end[1]))
    return tuple(
        Shared(
            ways[number].name,
            tuple(name for name in names if system[name] == "dc"),
            tuple(name for name in names if system[name] == "mains"),
            length,
        )
        for number, (names, length) in sorted(found.items())
    )
