"""Wires that lie together are drawn side by side: each circuit gets a lane that nothing beside it has."""

from __future__ import annotations

from functools import lru_cache

from trailerlib.design.tree import Leg

Flat = tuple[float, float]
GAP_PX = 3.6  # from one lane to the next
MOST_LANES = 9
NEAR_PX = 4.0  # wires closer than this would be drawn on one another
_VIEWS = ((0, 1), (0, 2))  # from above, from the side


def lanes(circuits: tuple[tuple[str, tuple[Leg, ...]], ...], px_per_m: float) -> dict[str, float]:
    """How far each circuit is drawn beside its true way [px], right and down or up alike; the middle lane is 0.

    Parameters
    ----------
    circuits : names and pieces of wire
    px_per_m : [px/m] scale of the drawing
    """
    return dict(_lanes(tuple(sorted(circuits, key=lambda circuit: circuit[0])), round(px_per_m, 3)))


@lru_cache(maxsize=64)
def _lanes(circuits: tuple[tuple[str, tuple[Leg, ...]], ...], px_per_m: float) -> tuple[tuple[str, float], ...]:
    flat = [_flat(legs) for _, legs in circuits]
    near = NEAR_PX / px_per_m
    chosen: list[int] = []
    for number, pieces in enumerate(flat):
        used = {chosen[other] for other in range(number) if _beside(pieces, flat[other], near)}
        free = [lane for lane in range(MOST_LANES) if lane not in used]
        chosen.append(free[0] if free else number % MOST_LANES)
    middle = max(chosen, default=0) / 2
    return tuple(((name, (lane - middle) * GAP_PX) for (name, _), lane in zip(circuits, chosen, strict=True)))


Piece = tuple[int, int, float, float, float]  # view, axis it runs along, where across, from, to


def _flat(legs: tuple[Leg, ...]) -> list[Piece]:
    """The pieces as both views show them, those square to the walls only."""
    found = []
    for leg in legs:
        for view, axes in enumerate(_VIEWS):
            for along, across in (axes, axes[::-1]):
                a, b = leg.start, leg.end
                if abs(a[across] - b[across]) < 1e-6 < abs(a[along] - b[along]):
                    found.append((view, along, a[across], min(a[along], b[along]), max(a[along], b[along])))
    return found


def _beside(one: list[Piece], two: list[Piece], near: float) -> bool:
    return any(
        a[0] == b[0] and a[1] == b[1] and abs(a[2] - b[2]) < near and min(a[4], b[4]) - max(a[3], b[3]) > near
        for a in one
        for b in two
    )
