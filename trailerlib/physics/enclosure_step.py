"""One step of the box over time: the matrix exponential by its two eigenvalues, exact for what is constant in it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from trailerlib.physics.enclosure import Box, modes_of
from trailerlib.physics.formula import Number


def step_of(box: Box, step_s: float) -> Step:
    """One step of a box that nothing holds.

    Parameters
    ----------
    box : the box
    step_s : [s] length of the step

    Returns
    -------
    Step, broadcast shape of the box
    """
    modes = modes_of(box)
    unit = modes.split(1.0 / box.air_j_per_k, 0.0)
    slow_x, fast_x = modes.slow * step_s, modes.fast * step_s
    return Step(
        np.exp(slow_x), np.exp(fast_x), _phi1(slow_x), _phi1(fast_x), _phi2(slow_x) * step_s, _phi2(fast_x) * step_s,
        unit[0], unit[1], modes.slow_slope, modes.fast_slope, np.inf, -np.inf, step_s,
    )  # fmt: skip


@dataclass(frozen=True)
class Step:
    """One step of the box: how its two parts decay, their means, what a push and a watt do to them, what is held."""

    slow_decay: Number
    fast_decay: Number
    slow_mean: Number
    fast_mean: Number
    slow_lag: Number
    fast_lag: Number
    slow_unit: Number
    fast_unit: Number
    slow_slope: Number
    fast_slope: Number
    cool_c: Number
    heat_c: Number
    step_s: float

    def held_by_many(self) -> Callable[[Number, Number, Number], Number]:
        """What holds the air of many boxes [W], by where it would come to [degC], most cold and most heat [W]."""
        lift, cool_c, heat_c = self._lift, self.cool_c, self.heat_c

        def held(free: Number, cold: Number, heat: Number) -> Number:
            warmed = np.minimum(np.maximum((heat_c - free) / lift, 0.0), heat)
            return warmed + np.maximum(np.minimum((cool_c - free) / lift, 0.0), -cold)

        return held

    def held_by_one(self) -> Callable[[float, float, float], float]:
        """The same of one box in plain numbers: to choose is quicker than to take the least and the most."""
        lift, cool_c, heat_c = float(self._lift), float(self.cool_c), float(self.heat_c)

        def held(free: float, cold: float, heat: float) -> float:
            if free > cool_c:
                return 0.0 + max((cool_c - free) / lift, -cold)  # 0.0: a cooler that is off adds no minus nought
            return min((heat_c - free) / lift, heat) if free < heat_c else 0.0

        return held

    @property
    def _lift(self) -> Number:
        """How much warmer a watt makes the air over a step [K/W]."""
        slow_whole, fast_whole = self.slow_mean * self.step_s, self.fast_mean * self.step_s
        return self.slow_unit * slow_whole + self.fast_unit * fast_whole

    def march(
        self, rows: Iterable[tuple[Any, ...]], start: Sequence[Number], held: Callable[..., Any]
    ) -> Iterator[tuple[Number, Number, Number]]:
        """The slow and the fast part at the end of each step [K], and what was added [W].

        Parameters
        ----------
        rows : of each step the two pushes [K/s], most cold and most heat [W]
        start : [K] the slow and the fast part at the beginning
        held : what is added where the air would come to so much, by most cold and most heat
        """
        slow, fast = start
        # looked up once and not at every step: half the time of plain numbers
        slow_whole, fast_whole = self.slow_mean * self.step_s, self.fast_mean * self.step_s
        slow_decay, fast_decay, slow_unit, fast_unit = self.slow_decay, self.fast_decay, self.slow_unit, self.fast_unit
        for push0, push1, cold, heat in rows:
            free = slow * slow_decay + fast * fast_decay + push0 * slow_whole + push1 * fast_whole
            added = held(free, cold, heat)
            slow = slow * slow_decay + (push0 + slow_unit * added) * slow_whole
            fast = fast * fast_decay + (push1 + fast_unit * added) * fast_whole
            yield slow, fast, added

    def told(self, rows: Any, before: Sequence[Number], after: Sequence[Number], added: Number) -> tuple[Any, ...]:
        """Air and mass at the end of steps, their means, and what was added; all of one shape.

        Parameters
        ----------
        rows : the two pushes [K/s], as ``march`` was given them
        before : [K] the slow and the fast part before each step
        after : [K] the two at its end
        added : [W] what was added
        """
        mean0 = before[0] * self.slow_mean + (rows[0] + self.slow_unit * added) * self.slow_lag
        mean1 = before[1] * self.fast_mean + (rows[1] + self.fast_unit * added) * self.fast_lag
        return (
            after[0] + after[1], self.slow_slope * after[0] + self.fast_slope * after[1],
            mean0 + mean1, self.slow_slope * mean0 + self.fast_slope * mean1, added,
        )  # fmt: skip


def _phi1(x: Number) -> Number:
    """(e^x - 1) / x for x below zero."""
    return np.expm1(x) / x


def _phi2(x: Number) -> Number:
    """(e^x - 1 - x) / x²; by its series where the difference would lose its figures."""
    small = np.abs(x) < 1e-2
    series = 0.5 + x / 6.0 + x**2 / 24.0 + x**3 / 120.0 + x**4 / 720.0
    return np.where(small, series, (np.expm1(x) - x) / np.where(small, 1.0, x**2))[()]
