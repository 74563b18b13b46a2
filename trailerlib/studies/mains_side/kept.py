"""The mains side behind every supply, kept while nothing it rests on has changed: most moves are on the other side."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Iterator
from typing import Any

from trailerlib.design.design import Design
from trailerlib.studies.mains_side.solved import MainsSide, solve

MOST = 32
_KEPT: OrderedDict[tuple[Any, ...], tuple[tuple[Any, ...], tuple[MainsSide, ...]]] = OrderedDict()


def sides(design: Design) -> tuple[MainsSide, ...]:
    """The mains side behind each supply, solved.

    A changed design shares its unchanged parts with the one before, so the parts themselves tell whether anything
    has changed; they are held as long as the answer is, so that none can be taken for another.
    """
    parts = tuple(_rests_on(design))
    key = tuple(part if isinstance(part, str | float | int | None) else id(part) for part in parts)
    if key in _KEPT:
        _KEPT.move_to_end(key)
        return _KEPT[key][1]
    found = tuple(solve(design, supply) for supply in design.supplies)
    _KEPT[key] = (parts, found)
    while len(_KEPT) > MOST:
        _KEPT.popitem(last=False)
    return found


def _rests_on(design: Design) -> Iterator[Any]:
    yield design.practice
    yield design.site
    yield design.charger
    yield design.battery
    for circuit in design.circuits_of("mains"):
        yield circuit
        yield design.layout.routes[circuit.name]
        yield design.bundle_of(circuit)
        yield design.air_of(circuit)
    for load in design.loads:
        if load.typical.system == "mains":
            yield load
    yield from design.stays
    yield from design.supplies
