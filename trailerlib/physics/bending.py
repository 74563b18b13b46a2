"""A beam as pieces between its loads: what bends where, and the largest of it, exactly.

Downward is positive for loads and deflection; a moment is positive when it sags, tension at the bottom.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
_MOST_STEPS = 200  # halving alone would need about 60; Newton needs a handful


@dataclass(frozen=True)
class Largest:
    """The largest of each along a beam, with its sign, and how far from the beam's begin it is found.

    ``moment_nm`` [N·m], ``deflection_m`` [m], ``shear_n`` [N]; the places [m]. Where several are alike, the first.
    """

    moment_nm: Floats
    moment_at_m: Floats
    deflection_m: Floats
    deflection_at_m: Floats
    shear_n: Floats
    shear_at_m: Floats

    def mirrored(self, span_m: Floats) -> Largest:
        """The same, looked at from the other end.

        Parameters
        ----------
        span_m : [m] from end to end, shape (...)

        Returns
        -------
        Largest
        """
        places = (span_m - at for at in (self.moment_at_m, self.deflection_at_m, self.shear_at_m))
        moment_at, deflection_at, shear_at = places
        return Largest(self.moment_nm, moment_at, self.deflection_m, deflection_at, -self.shear_n, shear_at)

    def larger(self, other: Largest) -> Largest:
        """Of each the larger one of two beams.

        Parameters
        ----------
        other : of the other beam, places measured from the same point

        Returns
        -------
        Largest
        """
        found: list[Floats] = []
        for value, place in (_NAMES[0:2], _NAMES[2:4], _NAMES[4:6]):
            mine, theirs = getattr(self, value), getattr(other, value)
            keep = np.abs(mine) >= np.abs(theirs)
            found += [np.where(keep, mine, theirs), np.where(keep, getattr(self, place), getattr(other, place))]
        return Largest(*found)

    def of(self, number: int) -> Largest:
        """Those of one beam of several along a first axis.

        Parameters
        ----------
        number : [-] from 0

        Returns
        -------
        Largest
        """
        return Largest(*(getattr(self, name)[number] for name in _NAMES))

    @classmethod
    def side_by_side(cls, each: Sequence[Largest]) -> Largest:
        """Those of several beams along a last axis.

        Parameters
        ----------
        each : of k beams, fields of shapes (...) that broadcast

        Returns
        -------
        Largest, each field of shape (..., k)
        """
        parts = ([getattr(one, name) for one in each] for name in _NAMES)
        return cls(*(np.stack(_of_one_shape(values), axis=-1) for values in parts))


_NAMES = tuple(Largest.__dataclass_fields__)


@dataclass(frozen=True)
class Pieces:
    """Pieces of a beam in order along the last axis, each with the state at its begin.

    ``start_m`` and ``length_m`` [m], ``deflection_m`` [m], ``slope`` [-], ``moment_nm`` [N·m], ``shear_n`` [N]; over
    the piece the uniform load ``per_m_n`` [N/m] and the stiffness ``ei_nm2`` [N·m²] do not change.
    """

    start_m: Floats
    length_m: Floats
    deflection_m: Floats
    slope: Floats
    moment_nm: Floats
    shear_n: Floats
    per_m_n: Floats
    ei_nm2: Floats

    @classmethod
    def of(cls, *fields: Floats) -> Pieces:
        """Pieces with all fields brought to one shape.

        Parameters
        ----------
        fields : [SI] in the order of the class, shapes that broadcast; the last axis runs along the beam

        Returns
        -------
        Pieces, all fields of shape (..., pieces)
        """
        return cls(*(np.array(field, dtype=float) for field in np.broadcast_arrays(*fields)))

    def moment_after(self, s_m: Floats) -> Floats:
        """Moment so far into each piece.

        Parameters
        ----------
        s_m : [m] from the begin of the piece, shape (..., pieces)

        Returns
        -------
        [N m] shape (..., pieces)
        """
        return self.moment_nm + self.shear_n * s_m - self.per_m_n * s_m**2 / 2.0

    def slope_after(self, s_m: Floats) -> Floats:
        """Slope so far into each piece.

        Parameters
        ----------
        s_m : [m] from the begin of the piece, shape (..., pieces)

        Returns
        -------
        [-] shape (..., pieces)
        """
        turned = self.moment_nm * s_m + self.shear_n * s_m**2 / 2.0 - self.per_m_n * s_m**3 / 6.0
        return self.slope - turned / self.ei_nm2

    def deflection_after(self, s_m: Floats) -> Floats:
        """Deflection so far into each piece.

        Parameters
        ----------
        s_m : [m] from the begin of the piece, shape (..., pieces)

        Returns
        -------
        [m] shape (..., pieces)
        """
        bent = self.moment_nm * s_m**2 / 2.0 + self.shear_n * s_m**3 / 6.0 - self.per_m_n * s_m**4 / 24.0
        return self.deflection_m + self.slope * s_m - bent / self.ei_nm2

    def read(self, x_m: Floats) -> tuple[Floats, Floats, Floats]:
        """Deflection, moment and shear at places along the beam; at a load, the shear just behind it.

        Parameters
        ----------
        x_m : [m] from the beam's begin, shape (points,)

        Returns
        -------
        tuple
            Deflection [m], moment [N m], shear [N], each of shape (..., points).
        """
        places = np.asarray(x_m, dtype=float)
        behind = np.sum(places[:, None] >= self.start_m[..., None, 1:], axis=-1)
        here = Pieces(*(np.take_along_axis(getattr(self, name), behind, axis=-1) for name in _FIELDS))
        s = places - here.start_m
        return here.deflection_after(s), here.moment_after(s), here.shear_n - here.per_m_n * s

    def largest(self) -> Largest:
        """The largest moment, deflection and shear along the beam.

        A moment is largest at the end of a piece or where the shear is nothing; a deflection at the end of a piece
        or where the slope is nothing. The slope only rises or only falls between two places without moment, so every
        one of its zeros is found.

        Returns
        -------
        Largest, each field of shape (...)
        """
        ends = np.stack([np.zeros_like(self.length_m), self.length_m])
        flat = np.clip(_over(self.shear_n, self.per_m_n), 0.0, self.length_m)
        level = self._level_m()
        real = self.length_m > 0.0  # two loads at one place leave a piece without length, and no shear to speak of
        shear = np.where(real, np.stack([self.shear_n, self.shear_n - self.per_m_n * self.length_m]), 0.0)
        moment_at = np.concatenate([ends, flat[None]])
        deflection_at = np.concatenate([ends, level])
        return Largest(
            *self._pick(self.moment_after(moment_at), moment_at),
            *self._pick(self.deflection_after(deflection_at), deflection_at),
            *self._pick(shear, ends),
        )

    def largest_moment_nm(self) -> Floats:
        """The largest moment along the beam, with its sign.

        Returns
        -------
        [N m] shape (...)
        """
        flat = np.clip(_over(self.shear_n, self.per_m_n), 0.0, self.length_m)
        at = np.stack([np.zeros_like(self.length_m), self.length_m, flat])
        return self._pick(self.moment_after(at), at)[0]

    def _pick(self, values: Floats, s_m: Floats) -> tuple[Floats, Floats]:
        """The largest of each beam and where, of values of shape (marks, ..., pieces)."""
        lead, inward = values.shape[1:-1], (*range(1, values.ndim), 0)
        flat, at = (
            part.transpose(inward).reshape(-1, values.shape[0] * values.shape[-1])
            for part in (values, s_m + self.start_m)
        )
        size = np.abs(flat)
        best = size >= size.max(axis=-1, keepdims=True) * (1.0 - 1e-12)  # alike but for rounding: the first
        here = np.arange(len(flat)), best.argmax(axis=-1)
        return flat[here].reshape(lead), at[here].reshape(lead)

    def _level_m(self) -> Floats:
        """Where the slope is nothing, shape (3, ..., pieces); where it never is, an end of the stretch."""
        marks = np.sort(np.stack([np.zeros_like(self.length_m), *self._moment_zeros_m(), self.length_m]), axis=0)
        low, high = marks[:-1].copy(), marks[1:].copy()
        rising = self.slope_after(low) < 0.0
        crossed = (self.slope_after(high) < 0.0) != rising
        at = np.where(crossed, (low + high) / 2.0, low)
        same, near = 1e-13 * self.length_m, 1e-6 * self.length_m
        for _ in range(_MOST_STEPS):
            slope = self.slope_after(at)
            before = (slope < 0.0) == rising
            low, high = np.where(crossed & before, at, low), np.where(crossed & ~before, at, high)
            step = at + _over(slope * self.ei_nm2, self.moment_after(at))
            inside = (step >= low - near) & (step <= high + near)  # a zero at the end of a piece is stepped over
            step = np.where(inside, np.minimum(np.maximum(step, low), high), (low + high) / 2.0)
            after = np.where(crossed, step, at)
            if np.all(np.abs(after - at) <= same):
                return after
            at = after
        return at

    def _moment_zeros_m(self) -> tuple[Floats, Floats]:
        """Roots of the moment in each piece; where there is none, its begin."""
        a, b, c = -self.per_m_n / 2.0, self.shear_n, self.moment_nm
        inner = b**2 - 4.0 * a * c
        q = -(b + np.where(b < 0.0, -1.0, 1.0) * np.sqrt(np.maximum(inner, 0.0))) / 2.0
        roots = (np.where(inner < 0.0, 0.0, root) for root in (_over(q, a), _over(c, q)))
        first, second = (np.clip(root, 0.0, self.length_m) for root in roots)
        return first, second


_FIELDS = tuple(Pieces.__dataclass_fields__)


def _of_one_shape(arrays: Sequence[Floats]) -> Sequence[Floats]:
    return arrays if len({part.shape for part in arrays}) == 1 else np.broadcast_arrays(*arrays)


def largest_of(each: Sequence[Pieces]) -> list[Largest]:
    """The largest along each of several beams, looked for in one go: that costs hardly more than one of them.

    Parameters
    ----------
    each : fields of any shape (..., pieces)

    Returns
    -------
    list
        A ``Largest`` for each, fields of shape (...)
    """
    rows = [one.start_m[..., 0].size for one in each]
    together = np.zeros((len(_FIELDS), sum(rows), max(one.start_m.shape[-1] for one in each)))
    together[_FIELDS.index("ei_nm2")] = 1.0  # where a beam has fewer pieces there follow some of no length
    ends = np.cumsum(rows)
    for one, begin, end in zip(each, ends - rows, ends, strict=True):
        for into, name in zip(together, _FIELDS, strict=True):
            part = getattr(one, name)
            into[begin:end, : part.shape[-1]] = part.reshape(end - begin, -1)
    found = Pieces(*together).largest()
    values = [getattr(found, name) for name in _NAMES]
    return [
        Largest(*(value[begin:end].reshape(one.start_m.shape[:-1]) for value in values))
        for one, begin, end in zip(each, ends - rows, ends, strict=True)
    ]


def _over(top: Floats, bottom: Floats) -> Floats:
    """Quotient of two arrays of one shape, and nothing where the bottom is nothing."""
    with np.errstate(over="ignore"):
        return np.divide(top, bottom, out=np.zeros(top.shape), where=bottom != 0.0)
