"""What is asked of the layout: the circuits as far as their ways are concerned, and what they have in common.

A change leaves most circuits as they were, and what was asked of them then is asked again as the same object.
"""

from __future__ import annotations

import operator
import threading
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any, NamedTuple

from trailerlib.design.raceways import Point, Way, hashed_once

if TYPE_CHECKING:
    from trailerlib.design.design import Design
    from trailerlib.design.model import Circuit, Load


class End(NamedTuple):
    """One end of a circuit: the load there, if any; where [m]; how far along the wire it is said to be [m]."""

    load: str | None
    at: Point | None
    run: float | None


@dataclass(frozen=True)
class Ask:
    """One circuit as far as its way is concerned."""

    name: str
    system: str
    origin: Point | None
    ends: tuple[End, ...]
    run: float | None

    __hash__ = hashed_once

    @property
    def however_long(self) -> Ask:
        """The same for every run that is stated: its length moves no wire."""
        return self if self.run is None else replace(self, run=0.0)

    @cached_property
    def points(self) -> tuple[Point, ...]:
        """Where its wires begin or end [m]."""
        return tuple(point for point in (self.origin, *(end.at for end in self.ends)) if point is not None)


@dataclass(frozen=True)
class Room:
    """What all circuits have in common: the raceways, the air in each where it is stated [°C], the hottest air of the
    site [°C], how far a wire may go outside raceways and what is left at each end [m].
    """

    ways: tuple[Way, ...]
    air: tuple[float | None, ...]
    hottest: float | None
    reach: float | None
    loop_m: float

    __hash__ = hashed_once


class _Latest(threading.local):
    """What was last laid out: most changes leave all circuits but one as they were."""

    def __init__(self) -> None:
        self.fixed: tuple[Any, ...] = ()
        self.room: Room | None = None
        self.asks: dict[str, tuple[tuple[Circuit | Load, ...], Ask]] = {}


_LATEST = _Latest()


def asks_of(design: Design) -> tuple[Room, tuple[Ask, ...]]:
    """What all circuits of a design have in common, and what is asked of each.

    Parameters
    ----------
    design : the design
    """
    loads: dict[str, list[Load]] = {circuit.name: [] for circuit in design.circuits}
    for load in design.loads:
        loads[load.circuit].append(load)
    fixed = (design.places, design.raceways, design.site, design.routing, design.fuse_block, design.panel)
    if not _same(fixed, _LATEST.fixed):
        _LATEST.fixed, _LATEST.room, _LATEST.asks = fixed, room_of(design), {}
    places: dict[str, Point] = {}
    for circuit in design.circuits:
        parts: tuple[Circuit | Load, ...] = (circuit, *loads[circuit.name])
        known = _LATEST.asks.get(circuit.name)
        if known is None or not _same(parts, known[0]):
            places = places or {place.name: place.at for place in design.places}
            _LATEST.asks[circuit.name] = parts, ask_of(design, circuit, places, loads[circuit.name])
    assert _LATEST.room is not None
    return _LATEST.room, tuple(_LATEST.asks[circuit.name][1] for circuit in design.circuits)


def _same(these: tuple[Any, ...], those: tuple[Any, ...]) -> bool:
    """Whether two rows hold the very same parts."""
    return len(these) == len(those) and all(map(operator.is_, these, those))


def room_of(design: Design) -> Room:
    """What all circuits of a design have in common."""
    ways = tuple(Way(raceway.name, raceway.carries, raceway.path) for raceway in design.raceways)
    air, routing = tuple(raceway.ambient for raceway in design.raceways), design.routing
    return Room(ways, air, design.site.hottest, routing.reach, routing.service_loop)


def ask_of(design: Design, circuit: Circuit, places: Mapping[str, Point], loads: Sequence[Load]) -> Ask:
    """One circuit as far as its way is concerned; a load without a place hangs where its circuit is said to end.

    Parameters
    ----------
    design : the design
    circuit : one of its circuits
    places : [m] where its places are, by name
    loads : the loads of that circuit
    """
    start = circuit.origin or (design.fuse_block if circuit.system == "dc" else design.panel)
    to = places[circuit.to] if circuit.to is not None else None
    ends = [End(load.name, to if load.place is None else places[load.place], load.run) for load in loads]
    if to is not None:
        ends.append(End(None, to, None))
    return Ask(circuit.name, circuit.system, None if start is None else places[start], tuple(ends), circuit.run)
