"""A bank as the march over time sees it: its figures, its curves, and the arithmetic for one bank or for many.

One bank is reckoned with plain numbers, many side by side with arrays. Both run through the same formulas: only the
handful of operations in ``ONE`` and ``MANY`` differ.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics.formula import Number

Floats = NDArray[np.float64]
NARROW = 1e-7  # a smaller width would cost the quotient its digits; the middle is right to its square
Value = Any  # a plain number for one bank, an array for many


class Arithmetic(NamedTuple):
    """What differs between one bank and many."""

    choose: Callable[[Value, Value, Value], Value]
    low: Callable[[Value, Value], Value]
    high: Callable[[Value, Value], Value]
    exp: Callable[[Value], Value]
    log: Callable[[Value], Value]
    anywhere: Callable[[Value], bool]


ONE = Arithmetic(lambda test, yes, no: yes if test else no, min, max, math.exp, math.log, bool)
MANY = Arithmetic(np.where, np.minimum, np.maximum, np.exp, np.log, lambda test: bool(np.any(test)))


class Curve:
    """Straight lines between points, with the area beneath; beyond the ends the end value holds."""

    def __init__(self, xs: Floats, ys: Floats, many: int | None) -> None:
        """Lay the points out.

        Parameters
        ----------
        xs : [-] positions, strictly rising, shape (points,)
        ys : [-] values, shape (points,) or (points, banks)
        many : [-] number of banks side by side, None for one
        """
        xs, ys = np.asarray(xs, dtype=float), np.asarray(ys, dtype=float)
        if xs.ndim != 1 or len(xs) < 2 or not np.all(np.diff(xs) > 0) or ys.shape[0] != len(xs):
            raise ValueError("Curve: xs must be two points or more, strictly rising, and ys have a row for each.")
        if not (np.isfinite(xs).all() and np.isfinite(ys).all()):
            raise ValueError("Curve: a point is not a number.")
        knots = np.concatenate([[xs[0] - 1.0], xs, [xs[-1] + 1.0]])
        wide = ys.reshape(len(xs), -1)
        values = np.concatenate([wide[:1], wide, wide[-1:]])
        steps = np.diff(knots)[:, np.newaxis]
        pieces = 0.5 * (values[1:] + values[:-1]) * steps
        area = np.concatenate([np.zeros((1, wide.shape[1])), np.cumsum(pieces, axis=0)])[:-1] - pieces[:1]
        slopes = np.diff(values, axis=0) / steps
        self._bounds: Any = xs
        self._many = many if wide.shape[1] > 1 else None
        self._columns = np.arange(wide.shape[1])
        base = np.repeat(knots[:-1], wide.shape[1])
        self._knot, self._value, self._slope, self._area = (
            array.ravel() if many else array.ravel().tolist() for array in (base, values[:-1], slopes, area)
        )
        self._find: Any = self._find_many if many else bisect_right
        if not many:
            self._bounds = xs.tolist()

    def _find_many(self, bounds: Floats, x: Value) -> Value:
        at = np.searchsorted(bounds, x, side="right")
        return at * len(self._columns) + self._columns if self._many else at

    def read(self, x: Value) -> Value:
        """The value at ``x``.

        Parameters
        ----------
        x : where to read, a number or shape (banks,)
        """
        at = self._find(self._bounds, x)
        return self._value[at] + self._slope[at] * (x - self._knot[at])

    def lines(self, x: Value) -> tuple[Value, Value]:
        """The value at ``x`` and the slope of the line it lies on.

        Parameters
        ----------
        x : where to read, a number or shape (banks,)
        """
        at = self._find(self._bounds, x)
        slope = self._slope[at]
        return self._value[at] + slope * (x - self._knot[at]), slope

    def area(self, x: Value) -> Value:
        """The area from the first point to ``x``.

        Parameters
        ----------
        x : where to end, a number or shape (banks,)
        """
        at = self._find(self._bounds, x)
        beyond = x - self._knot[at]
        return self._area[at] + (self._value[at] + 0.5 * self._slope[at] * beyond) * beyond

    def mean(self, begin: Value, end: Value) -> Value:
        """The mean of the value from ``begin`` to ``end``: the middle of one line, or the area over the width.

        Parameters
        ----------
        begin : one end, a number or shape (banks,)
        end : the other
        """
        at = self._find(self._bounds, begin)
        middle = self._value[at] + self._slope[at] * (0.5 * (begin + end) - self._knot[at])
        crosses = self._find(self._bounds, end) != at
        if isinstance(crosses, bool):
            narrow = -NARROW < end - begin < NARROW
            return middle if not crosses or narrow else (self.area(end) - self.area(begin)) / (end - begin)
        crosses &= np.abs(end - begin) >= NARROW
        if not crosses.any():
            return middle
        width = np.where(crosses, end - begin, 1.0)
        return np.where(crosses, (self.area(end) - self.area(begin)) / width, middle)


@dataclass(frozen=True)
class Bank:
    """A bank, or many side by side: a figure is one number or (banks,), a curve (points,) or (points, banks).

    ``rated_ah`` at ``hour_rate_h`` [h] is the whole bank's capacity when new [Ah]; ``age`` the share left of it [-].
    ``resistance_ohm`` is that at 25 °C; ``tau_h`` [h] and ``rate_per_h`` [1/h], the largest charge current over the
    capacity, are those of a warm battery at ``absorption_v`` [V]. ``ocv_v`` [V] stands at ``ocv_share`` [-] of full,
    ``capacity_factor``, ``resistance_ratio`` and ``acceptance`` [-] at ``at_c`` [°C]; below ``charge_min_c`` [°C]
    nothing is taken in. ``self_discharge_per_h`` [1/h] of the capacity leaks away.

    Full is the same charge in any weather. In the cold the last part of it cannot be drawn: the bank is empty at
    (1 - capacity factor) of full. So warming and cooling neither make charge nor lose it.
    """

    rated_ah: Number
    hour_rate_h: Number
    exponent: Number
    efficiency: Number
    resistance_ohm: Number
    tau_h: Number
    rate_per_h: Number
    absorption_v: Number
    ocv_share: Floats
    ocv_v: Floats
    at_c: Floats
    capacity_factor: Floats
    resistance_ratio: Floats
    acceptance: Floats
    charge_min_c: Number = -273.0
    age: Number = 1.0
    self_discharge_per_h: Number = 0.0

    def __post_init__(self) -> None:
        for name in ("rated_ah", "hour_rate_h", "efficiency", "resistance_ohm", "tau_h", "age"):
            if not np.all(np.asarray(getattr(self, name)) > 0.0):
                raise ValueError(f"Bank: {name} must be above 0.")
        if not (np.all(np.asarray(self.efficiency) <= 1.0) and np.all(np.asarray(self.exponent) >= 1.0)):
            raise ValueError("Bank: the efficiency is at most 1 and Peukert's exponent at least 1.")
        if np.any(np.asarray(self.acceptance) < 0.0) or np.any(np.asarray(self.capacity_factor) <= 0.0):
            raise ValueError("Bank: a share of acceptance or capacity is below 0.")
        if not np.all(np.max(self.ocv_v, axis=0) < np.asarray(self.absorption_v)):
            raise ValueError("Bank: the absorption voltage must lie above the voltage at rest.")

    @property
    def capacity_ah(self) -> Number:
        """Charge between full and empty at 25 °C [Ah]."""
        return np.asarray(self.rated_ah * np.asarray(self.age, dtype=float))[()]

    def at(self, temperature_c: Number) -> tuple[Floats, Floats, Floats]:
        """Capacity factor [-], resistance [ohm] and acceptance [-] at a temperature.

        Parameters
        ----------
        temperature_c : [degC] of the battery, any shape whose last axis is the banks when there are many
        """
        at = np.asarray(temperature_c, dtype=float)
        if np.isnan(at).any():
            raise ValueError("Bank: the temperature is not a number.")
        factor, ratio, takes = (_read(at, self.at_c, rows) for rows in self._rows())
        takes = np.where(at < np.asarray(self.charge_min_c), 0.0, takes)
        return factor, ratio * np.asarray(self.resistance_ohm), takes

    def _rows(self) -> tuple[Floats, Floats, Floats]:
        return self.capacity_factor, self.resistance_ratio, self.acceptance


def _read(at: Floats, xs: Floats, ys: Floats) -> Floats:
    rows = np.asarray(ys, dtype=float)
    if rows.ndim == 1:
        return np.asarray(np.interp(at, xs, rows))
    wide = np.broadcast_to(at, np.broadcast_shapes(at.shape, (rows.shape[1],)))
    curve = Curve(np.asarray(xs, dtype=float), rows, rows.shape[1])
    return np.asarray(curve.read(wide))
