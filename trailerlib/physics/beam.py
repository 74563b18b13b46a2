"""A roof bow between two walls under loads from above: pinned, clamped or anything between, solved exactly.

By superposition of closed forms: the same span pinned, and the moments of its two ends. What fixity means is said in
``end_fixity``. Places are measured from the left end; downward is positive, and so is a moment that sags.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics import elastic_line as line
from trailerlib.physics import end_fixity as ends
from trailerlib.physics.bending import Pieces
from trailerlib.physics.formula import Number

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Bow:
    """A bow: ``span_m`` [m], ``ei_nm2`` [N·m²] E times I, fixity ``left`` and ``right`` [-] from 0 to 1.

    ``sunk_m`` [m] is how far its right end has given way. Every field is a number or an array of shape (...).
    """

    span_m: Number
    ei_nm2: Number
    left: Number = 0.0
    right: Number = 0.0
    sunk_m: Number = 0.0


@dataclass(frozen=True)
class Loads:
    """Loads from above: ``force_n`` [N] at ``at_m`` [m] from the left end, (..., n); ``per_m_n`` [N/m] all along."""

    force_n: Floats = field(default_factory=lambda: np.zeros(0))
    at_m: Floats = field(default_factory=lambda: np.zeros(0))
    per_m_n: Number = 0.0

    def plus(self, force_n: Floats, at_m: Floats) -> Loads:
        """The same with more forces.

        Parameters
        ----------
        force_n : [N] shape (..., m)
        at_m : [m] from the left end, shape (..., m)

        Returns
        -------
        Loads
        """
        force, at = _together(self.force_n, force_n), _together(self.at_m, at_m)
        return Loads(force, at, self.per_m_n)


def solved(bow: Bow, loads: Loads) -> Solved:
    """A bow under loads: the moments of both ends from what the loads would turn them, and by them all the rest.

    Parameters
    ----------
    bow : the bow, fields of shape (...)
    loads : what is on it

    Returns
    -------
    Solved

    Raises
    ------
    ValueError
        When a load is not on the span, a size not above zero or a fixity not from 0 to 1.

    Source
    ------
    ``end_fixity`` for the moments, superposition and statics for the rest.
    """
    span, ei, force, at = _spread(bow, loads)
    even = ends.uniform_turn_nm(np.asarray(loads.per_m_n), np.asarray(bow.span_m))
    sunk = ends.sunk_turn_nm(bow.ei_nm2, bow.sunk_m, bow.span_m)
    turn = np.sum(ends.point_turn_nm(force, at, span), axis=-1) + even
    left, right = turn + sunk, np.sum(ends.point_turn_nm(force, span - at, span), axis=-1) + even - sunk
    at_left = np.asarray(ends.end_moment_nm(bow.left, bow.right, left, right))
    at_right = np.asarray(ends.end_moment_nm(bow.right, bow.left, right, left))
    return Solved(bow, loads.per_m_n, span, ei, force, at, at_left, at_right, turn)


@dataclass(frozen=True)
class Solved:
    """A bow whose ends are known, to be asked for all the rest; by superposition and statics.

    ``at_left`` and ``at_right`` are the moments that hold the ends, tension on top [N m], and ``turn_left`` is what
    turns the left one, each of shape (...). ``span``, ``ei``, ``force`` and ``at`` have a last axis for the forces.
    """

    bow: Bow
    per_m_n: Number
    span: Floats
    ei: Floats
    force: Floats
    at: Floats
    at_left: Floats
    at_right: Floats
    turn_left: Floats

    def reactions_n(self) -> tuple[Floats, Floats]:
        """What the walls carry, left and right [N] upward on the bow, each of shape (...)."""
        force, at, span = self.force, self.at, self.span
        even = np.asarray(self.per_m_n) * self.bow.span_m / 2.0
        turned = (self.at_left - self.at_right) / self.bow.span_m
        left = np.sum(force * (span - at) / span, axis=-1) + even + turned
        return left, np.sum(force * at / span, axis=-1) + even - turned

    def moment_nm(self, x_m: Floats) -> Floats:
        """Bending moment along the bow [N m], tension at the bottom, shape (..., points).

        Parameters
        ----------
        x_m : [m] from the left end, shape (points,) or (..., points)
        """
        x = np.asarray(x_m, dtype=float)
        force, at, span = self.force[..., None, :], self.at[..., None, :], self.span
        points = line.point_moment_nm(force, at, span[..., None], x[..., None])
        pinned = np.sum(points, axis=-1) + line.uniform_moment_nm(_last(self.per_m_n), span, x)
        return np.asarray(pinned - self.at_left[..., None] * (1.0 - x / span) - self.at_right[..., None] * x / span)

    def deflection_m(self, x_m: Floats) -> Floats:
        """How far the bow sags [m], downward, shape (..., points).

        Parameters
        ----------
        x_m : [m] from the left end, shape (points,) or (..., points)
        """
        x = np.asarray(x_m, dtype=float)
        force, at, span, ei = self.force[..., None, :], self.at[..., None, :], self.span, self.ei
        points = line.point_sag_m(force, at, span[..., None], ei[..., None], x[..., None])
        pinned = np.sum(points, axis=-1) + line.uniform_sag_m(_last(self.per_m_n), span, ei, x)
        held = line.held_up_m(self.at_left[..., None], self.at_right[..., None], span, ei, x)
        return np.asarray(pinned - held + _last(self.bow.sunk_m) * x / span)

    def shear_n(self, x_m: Floats) -> Floats:
        """Shear along the bow [N], the left part pushed up, shape (..., points); at a load, that just to its right.

        Parameters
        ----------
        x_m : [m] from the left end, shape (points,) or (..., points)
        """
        x = np.asarray(x_m, dtype=float)
        left, _ = self.reactions_n()
        passed = np.sum(self.force[..., None, :] * (self.at[..., None, :] <= x[..., None]), axis=-1)
        return np.asarray(left[..., None] - _last(self.per_m_n) * x - passed)

    def slope_at_left(self) -> Floats:
        """How the bow slopes at its left end [-], shape (...)."""
        bow = self.bow
        bent = (self.turn_left - 2.0 * self.at_left - self.at_right) * bow.span_m / (6.0 * bow.ei_nm2)
        return np.asarray(bent + bow.sunk_m / bow.span_m)

    def pieces(self) -> Pieces:
        """The bow cut at its n forces, ready to be asked for the largest of each: fields of shape (..., n + 1).

        The slope is by the moments of force and load about each place.
        """
        left, _ = self.reactions_n()
        span, ei, force, at = self.span, self.ei, self.force, self.at
        lead = np.broadcast_shapes(span.shape[:-1], force.shape[:-1], at.shape[:-1])
        force, at = (np.broadcast_to(part, (*lead, part.shape[-1])) for part in np.broadcast_arrays(force, at))
        order = np.argsort(at, axis=-1, kind="stable")
        force, at = np.take_along_axis(force, order, -1), np.take_along_axis(at, order, -1)
        nothing = np.zeros((*lead, 1))
        start = np.concatenate([nothing, at], axis=-1)
        length = np.diff(np.concatenate([start, nothing + span], axis=-1), axis=-1)
        carried = np.concatenate([nothing, np.cumsum(force, axis=-1)], axis=-1)
        per_m, up = _last(self.per_m_n), left[..., None]
        past = np.maximum(start[..., None] - at[..., None, :], 0.0)
        turned = -self.at_left[..., None] * start + up * start**2 / 2.0 - per_m * start**3 / 6.0
        turned = turned - np.sum(force[..., None, :] * past**2, axis=-1) / 2.0
        return Pieces.of(
            start,
            length,
            self.deflection_m(start),
            self.slope_at_left()[..., None] - turned / ei,
            self.moment_nm(start),
            up - per_m * start - carried,
            per_m,
            ei,
        )


def flexibility_m_n(bow: Bow, at_m: Floats) -> Floats:
    """How far the bow gives way at each of some places under one newton at each of them.

    Parameters
    ----------
    bow : the bow, fields of shape (...)
    at_m : [m] from the left end, shape (places,)

    Returns
    -------
    [m/N] shape (..., places, places), symmetric

    Raises
    ------
    ValueError
        As in ``solved``.

    Source
    ------
    Superposition; Maxwell's theorem for the symmetry.
    """
    still = Bow(*(_last(part) for part in (bow.span_m, bow.ei_nm2, bow.left, bow.right)))
    at = np.asarray(at_m, dtype=float)
    return solved(still, Loads(np.ones((at.size, 1)), at[:, None])).deflection_m(at)


def _last(value: Number) -> Floats:
    return np.asarray(value, dtype=float)[..., None]


def _together(one: Floats, other: Floats) -> Floats:
    one, other = np.asarray(one, dtype=float), np.asarray(other, dtype=float)
    lead = np.broadcast_shapes(one.shape[:-1], other.shape[:-1])
    parts = [np.broadcast_to(part, (*lead, part.shape[-1])) for part in (one, other)]
    return np.concatenate(parts, axis=-1)


def _spread(bow: Bow, loads: Loads) -> tuple[Floats, Floats, Floats, Floats]:
    """Span, stiffness, forces and their places, with an axis for the forces; all of it looked at first."""
    span, ei = _last(bow.span_m), _last(bow.ei_nm2)
    force, at = np.asarray(loads.force_n, dtype=float), np.asarray(loads.at_m, dtype=float)
    if not (np.all(span > 0.0) and np.all(ei > 0.0)):
        raise ValueError("Bow: span and stiffness must be above zero.")
    if not all(np.all((np.asarray(f) >= 0.0) & (np.asarray(f) <= 1.0)) for f in (bow.left, bow.right)):
        raise ValueError("Bow: a fixity must be from 0 (pinned) to 1 (clamped).")
    if not np.all((at >= 0.0) & (at <= span)):
        raise ValueError("Loads: every force must stand on the span, from 0 to its length.")
    return span, ei, force, at
