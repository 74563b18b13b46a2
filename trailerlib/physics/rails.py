"""Two rails across the bows, as beams between them: stiffness, what stands on them, and the pieces they bend in.

The nodes are the bows. At each a rail has two freedoms, in this order: how far it sags [m] and its slope along the
trailer [-]. What stands between two bows presses on their nodes as it would on the ends of a clamped span; what stands
out over the last bow, by its force and moment there.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics.bending import Pieces
from trailerlib.physics.formula import Number

Floats = NDArray[np.float64]
SAME_M = 1e-6  # a bow just off the end of a rail is under it
_GAUSS = (0.5 - 0.75**0.5 / 3.0, 0.5 + 0.75**0.5 / 3.0)


@dataclass(frozen=True)
class Rails:
    """Two rails alike: ``across_m`` [m] from the left wall, ``ei_nm2`` [N·m²], from ``begin_m`` to ``end_m`` [m].

    ``begin_m`` and ``end_m`` are measured along the trailer; ``ei_nm2`` is one number or an array of shape (...).
    """

    across_m: tuple[float, float]
    ei_nm2: Number
    begin_m: float
    end_m: float


@dataclass(frozen=True)
class RailLoads:
    """What stands on the two rails.

    ``force_n`` [N] (..., 2, n) at ``at_m`` [m] (n,) along the trailer; a uniform load ``per_m_n`` [N/m] (..., 2)
    from the one to the other place of ``over_m`` [m].
    """

    force_n: Floats = field(default_factory=lambda: np.zeros((2, 0)))
    at_m: Floats = field(default_factory=lambda: np.zeros(0))
    per_m_n: Floats = field(default_factory=lambda: np.zeros(2))
    over_m: tuple[float, float] | None = None


def looked_at(rails: Rails, loads: RailLoads) -> None:
    """Refuse what cannot be.

    Parameters
    ----------
    rails : the two rails
    loads : what stands on them

    Raises
    ------
    ValueError
        When a rail has no length or stiffness, or a load does not stand on it.
    """
    over = loads.over_m or (rails.begin_m, rails.begin_m)
    at = np.array([*np.asarray(loads.at_m, dtype=float), *over])
    if not rails.begin_m < rails.end_m or not np.all(np.asarray(rails.ei_nm2) > 0.0):
        raise ValueError("Rails: they must have a length and a stiffness above zero.")
    if loads.over_m is None and np.any(np.asarray(loads.per_m_n) != 0.0):
        raise ValueError("Rails: a uniform load needs the stretch it stands on (over_m).")
    on = (at >= rails.begin_m - SAME_M) & (at <= rails.end_m + SAME_M)
    if not np.all(on) or over[0] > over[1]:
        raise ValueError("Rails: every load must stand between the two ends of the rails.")


def stiffness(node_m: Floats, ei_nm2: Number) -> Floats:
    """Stiffness of one rail that nothing holds.

    Parameters
    ----------
    node_m : [m] along the trailer, of the bows, shape (nodes,), rising
    ei_nm2 : [N m2] E times I, shape (...)

    Returns
    -------
    [N/m, N, N m] shape (..., 2 nodes, 2 nodes)

    Source
    ------
    Slender beams by the displacement method; cubic elements are exact between loads.
    """
    shape = np.zeros((2 * node_m.size, 2 * node_m.size))
    for i, h in enumerate(np.diff(node_m)):
        shape[2 * i : 2 * i + 4, 2 * i : 2 * i + 4] += _element(h)
    return np.asarray(np.asarray(ei_nm2)[..., None, None] * shape)


def as_forces(node_m: Floats, loads: RailLoads) -> tuple[Floats, Floats]:
    """All that stands on the rails as forces that press on the nodes alike.

    What a force between two bows presses on them goes with the third power of its place, and two forces at Gauss
    points stand for a uniform load on each stretch exactly up to that power.

    Parameters
    ----------
    node_m : [m] along the trailer, shape (nodes,)
    loads : what stands on the rails

    Returns
    -------
    tuple
        Forces [N] shape (..., 2, m) and their places [m] shape (m,).

    Source
    ------
    Gauss quadrature with two points.
    """
    force, at, per_m = (np.asarray(part, dtype=float) for part in (loads.force_n, loads.at_m, loads.per_m_n))
    if loads.over_m is None:
        return force, at
    begin, end = loads.over_m
    marks = np.array([begin, *node_m[(node_m > begin) & (node_m < end)], end])
    length = np.diff(marks)
    even = np.repeat(per_m[..., None] * length / 2.0, 2, axis=-1)
    middle = (marks[:-1, None] + length[:, None] * _GAUSS).ravel()
    lead = np.broadcast_shapes(force.shape[:-1], even.shape[:-1])
    parts = [np.broadcast_to(part, (*lead, part.shape[-1])) for part in (force, even)]
    return np.concatenate(parts, axis=-1), np.concatenate([at, middle])


def pressed(node_m: Floats, loads: RailLoads) -> Floats:
    """What presses on the nodes of each rail.

    Parameters
    ----------
    node_m : [m] along the trailer, shape (nodes,)
    loads : what stands on the rails

    Returns
    -------
    [N, N m] shape (..., 2, 2 nodes)

    Source
    ------
    Forces and moments of a clamped span, by the cubic shapes of its ends.
    """
    force, at = as_forces(node_m, loads)
    lay = np.array([_shape(node_m, place) for place in at]).reshape(at.size, 2 * node_m.size)
    return np.asarray(force @ lay)


def bent(rails: Rails, loads: RailLoads, node_m: Floats, moved: Floats, up_n: Floats, turned_nm: Floats) -> Pieces:
    """The rails as pieces, once it is known how the bows hold them.

    Parameters
    ----------
    rails : the two rails
    loads : what stands on them
    node_m : [m] along the trailer, shape (nodes,)
    moved : [m, -] sag and slope in turn, shape (..., 2, 2 nodes)
    up_n : [N] by which each bow holds each rail up, shape (..., 2, nodes)
    turned_nm : [N m] by which each bow resists the slope of each rail, shape (..., 2, nodes)

    Returns
    -------
    Pieces, fields of shape (..., 2, pieces), places along the trailer

    Source
    ------
    Statics from the begin of the rail; the elastic line onward and backward from the bows.
    """
    force, at = np.asarray(loads.force_n, dtype=float), np.asarray(loads.at_m, dtype=float)
    over = loads.over_m or (rails.begin_m, rails.begin_m)
    ends = np.array([rails.begin_m, rails.end_m, *over])
    place = np.concatenate([ends, at, node_m])
    lead = np.broadcast_shapes(force.shape[:-1], up_n.shape[:-1], (*np.shape(rails.ei_nm2), 1))
    push, hold = np.zeros((*lead, place.size)), np.zeros((*lead, place.size))
    push[..., ends.size : -node_m.size], push[..., -node_m.size :] = -force, up_n
    hold[..., -node_m.size :] = -turned_nm
    order = np.argsort(place, kind="stable")
    place, push, hold = place[order], push[..., order], hold[..., order]
    h, middle = np.diff(place), (place[:-1] + place[1:]) / 2.0
    even = np.asarray(loads.per_m_n, dtype=float)[..., None] * ((middle > over[0]) & (middle < over[1]))
    loss = np.cumsum(even * h, axis=-1) - even * h
    shear = np.cumsum(push, axis=-1)[..., :-1] - loss
    grown = np.cumsum(shear * h - even * h**2 / 2.0, axis=-1)
    moment = np.cumsum(hold, axis=-1)[..., :-1] + np.concatenate([0.0 * grown[..., :1], grown[..., :-1]], axis=-1)
    ei = np.asarray(rails.ei_nm2, dtype=float)[..., None, None]
    flat = Pieces.of(place[:-1], h, 0.0 * moment, 0.0 * moment, moment, shear, even, ei)
    sag, slope = _laid_on(flat, order - (place.size - node_m.size), moved)
    return Pieces.of(place[:-1], h, sag, slope, moment, shear, even, ei)


def _laid_on(flat: Pieces, node: NDArray[np.intp], moved: Floats) -> tuple[Floats, Floats]:
    """Sag and slope where each piece begins: from the bow before it, or before the first bow from that one back."""
    turn, drop = flat.slope_after(flat.length_m), flat.deflection_after(flat.length_m)
    h, count = flat.length_m, node.size
    sag, slope = (np.zeros((*flat.moment_nm.shape[:-1], count)) for _ in range(2))
    first = int(np.argmax(node >= 0))
    for k in range(first, count):
        if node[k] >= 0:
            sag[..., k], slope[..., k] = moved[..., 2 * node[k]], moved[..., 2 * node[k] + 1]
        else:
            sag[..., k] = sag[..., k - 1] + slope[..., k - 1] * h[..., k - 1] + drop[..., k - 1]
            slope[..., k] = slope[..., k - 1] + turn[..., k - 1]
    for k in range(first - 1, -1, -1):
        slope[..., k] = slope[..., k + 1] - turn[..., k]
        sag[..., k] = sag[..., k + 1] - slope[..., k] * h[..., k] - drop[..., k]
    return sag[..., :-1], slope[..., :-1]


def _shape(node_m: Floats, at_m: float) -> Floats:
    """What one newton at a place presses on the nodes, (2 nodes,)."""
    found = np.zeros(2 * node_m.size)
    if not node_m[0] <= at_m <= node_m[-1]:
        end = 0 if at_m < node_m[0] else node_m.size - 1
        found[2 * end : 2 * end + 2] = 1.0, at_m - node_m[end]
        return found
    i = min(int(np.searchsorted(node_m, at_m, side="right")) - 1, node_m.size - 2)
    h = node_m[i + 1] - node_m[i]
    s = (at_m - node_m[i]) / h
    far, near_turn, far_turn = s**2 * (3.0 - 2.0 * s), h * s * (1.0 - s) ** 2, -h * s**2 * (1.0 - s)
    found[2 * i : 2 * i + 4] = 1.0 - far, near_turn, far, far_turn
    return found


def _element(h: float) -> Floats:
    rows = [
        [12.0, 6.0 * h, -12.0, 6.0 * h],
        [6.0 * h, 4.0 * h**2, -6.0 * h, 2.0 * h**2],
        [-12.0, -6.0 * h, 12.0, -6.0 * h],
        [6.0 * h, 2.0 * h**2, -6.0 * h, 4.0 * h**2],
    ]
    return np.asarray(np.array(rows) / h**3)
