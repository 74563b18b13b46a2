"""A wire as it is drawn from above: lines along its way, thick where it is thick."""

from __future__ import annotations

from collections.abc import Iterator

from trailerlib.design.layout import Route
from trailerlib.design.raceways import Point
from trailerlib.design.wire_sizes import wire as wire_size


def thick(wire: str) -> float:
    """Stroke of a wire [px]: with its diameter."""
    return float(0.3 + 1.15 * (wire_size(wire).area_m2 * 1e6) ** 0.5)


def paths(route: Route) -> Iterator[list[Point]]:
    """A route as lines without a break, points in m: each begins at the block or where it leaves another."""
    children: dict[int, list[int]] = {}
    for number, leg in enumerate(route.legs):
        children.setdefault(leg.parent, []).append(number)
    for number, leg in enumerate(route.legs):
        if leg.parent >= 0 and children[leg.parent][0] == number:
            continue
        path, here = [leg.start, leg.end], number
        while here in children:
            here = children[here][0]
            path.append(route.legs[here].end)
        yield path
