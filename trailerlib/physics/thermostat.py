"""A cooler that switches itself: on above the band, off below it, and a pause before it starts again.

Within a step the box is exact, and the moment of switching is found on its curve. One box at a time.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from trailerlib.physics.enclosure import Box, Drive, Floats, Run, modes_of

NEAR_S = 1e-7  # a switching time is this near
TRIES = 80
LEAST_BAND_K = 0.01  # narrower, and a day has more switchings than any thermostat lives through


@dataclass(frozen=True)
class Thermostat:
    """On at ``set_c`` + half of ``band_k``, off at ``set_c`` - half of it [degC, K].

    ``pause_s`` [s] is how long a cooler stays off before it may start again, for the pressure in it to even out.

    Raises
    ------
    ValueError
        When the band is narrower than a hundredth of a kelvin, or the pause below zero.
    """

    set_c: float
    band_k: float
    pause_s: float = 0.0

    def __post_init__(self) -> None:
        if not self.band_k >= LEAST_BAND_K:
            raise ValueError(f"band_k must be at least {LEAST_BAND_K} K from on to off, not {self.band_k}.")
        if not self.pause_s >= 0.0:
            raise ValueError(f"pause_s must not be below zero, not {self.pause_s}.")


@dataclass(frozen=True)
class Cycles:
    """A run with its switching: ``on_share`` [-] of each step and ``starts`` in it, shape (steps,); ``switched_s`` [s]
    the moments of switching, first on, then off, and so on.
    """

    run: Run
    on_share: Floats
    starts: Floats
    switched_s: tuple[float, ...]

    def starts_per_h(self, step_s: float) -> float:
        """Starts in the busiest hour; all of them where the run is shorter than one.

        Parameters
        ----------
        step_s : [s] length of a step; an hour must be a whole number of them

        Returns
        -------
        [1/h]
        """
        steps = max(1, min(round(3600.0 / step_s), len(self.starts)))
        counted = np.convolve(self.starts, np.ones(steps), mode="valid") if len(self.starts) else self.starts
        return float(counted.max(initial=0.0))


def thermostat_run(
    box: Box,
    drive: Drive,
    step_s: float,
    start_air_c: float,
    start_mass_c: float,
    cold_w: Floats,
    thermostat: Thermostat,
) -> Cycles:
    """The box with a cooler that goes on and off.

    Parameters
    ----------
    box : one box, plain numbers
    drive : shape (steps,)
    step_s : [s] length of a step
    start_air_c : [degC] air at the beginning
    start_mass_c : [degC] linings and contents at the beginning
    cold_w : [W] for the air alone while it runs, shape (steps,); 0 where the cooler is switched off
    thermostat : when it switches

    Returns
    -------
    Cycles

    Source
    ------
    ``enclosure``'s balance; switching on the exact curve.
    """
    return _March(box, step_s, thermostat).over(drive, start_air_c, start_mass_c, cold_w)


class _March:
    def __init__(self, box: Box, step_s: float, thermostat: Thermostat) -> None:
        self.box, self.step_s, self.thermostat = box, step_s, thermostat
        self.modes = modes_of(box)
        self.rates = float(self.modes.slow), float(self.modes.fast)
        self.high = thermostat.set_c + 0.5 * thermostat.band_k
        self.low = thermostat.set_c - 0.5 * thermostat.band_k

    def over(self, drive: Drive, air_c: float, mass_c: float, cold_w: Floats) -> Cycles:
        """All steps in turn."""
        rest = [self._rest(drive, 0.0), self._rest(drive, cold_w)]
        rows = [list(zip(*(part.tolist() for part in pair), strict=True)) for pair in rest]
        allowed = (np.asarray(cold_w) > 0.0).tolist()
        self.z = tuple(float(part) for part in self.modes.split(air_c, mass_c))
        self.on, self.wait, self.now = False, 0.0, 0.0
        self.switched: list[float] = []
        out = np.array(list(self._steps(rows, allowed)))
        slow_slope, fast_slope = float(self.modes.slow_slope), float(self.modes.fast_slope)
        slow, fast, slow_sum, fast_sum, on_s, starts = out.T
        slow_mean, fast_mean, share = slow_sum / self.step_s, fast_sum / self.step_s, on_s / self.step_s
        run = Run(
            air_c, mass_c, slow + fast, slow_slope * slow + fast_slope * fast, slow_mean + fast_mean,
            slow_slope * slow_mean + fast_slope * fast_mean, -share * cold_w,
        )  # fmt: skip
        return Cycles(run, share, starts, tuple(self.switched))

    def _rest(self, drive: Drive, cold_w: Floats | float) -> tuple[Floats, Floats]:
        """Where the two parts would come to rest in each step, the cooler off or on."""
        air = (self.box.air_w_per_k * drive.outside_c + drive.air_w - cold_w) / self.box.air_j_per_k
        mass = (self.box.fabric_w_per_k * drive.fabric_c + drive.mass_w) / self.box.mass_j_per_k
        slow, fast = self.modes.split(air, mass)
        return np.asarray(-slow / self.modes.slow), np.asarray(-fast / self.modes.fast)

    def _steps(
        self, rows: list[list[tuple[float, float]]], allowed: list[bool]
    ) -> Iterator[tuple[float, float, float, float, float, float]]:
        for off, on, may in zip(*rows, allowed, strict=True):
            if self.on and not may:
                self._switch(False)
            self.sums = [0.0, 0.0]
            on_s, starts, left = 0.0, 0, self.step_s
            while left > 0.0:
                starts += self._settle(may)
                rest = on if self.on else off
                span, reached = self._until(rest, left, may)
                if left - span <= NEAR_S:  # the next step looks again
                    span, reached = left, False
                self._move(rest, span)
                on_s += span if self.on else 0.0
                left -= span
                if reached:
                    starts += self._switch(not self.on)
            yield self.z[0], self.z[1], self.sums[0], self.sums[1], on_s, starts

    def _settle(self, may: bool) -> int:
        """Switches where the air stands at or beyond the band; 1 when the cooler starts."""
        air = self.z[0] + self.z[1]
        if self.on and air <= self.low:
            return self._switch(False)
        if not self.on and may and self.wait <= NEAR_S and air >= self.high:
            return self._switch(True)
        return 0

    def _switch(self, on: bool) -> int:
        self.on, self.wait = on, 0.0 if on else self.thermostat.pause_s
        self.switched.append(self.now)
        return int(on)

    def _until(self, rest: tuple[float, float], left: float, may: bool) -> tuple[float, bool]:
        """How long until the air comes to where it switches, or pause or step ends [s]; whether it is the air."""
        if not self.on and self.wait > NEAR_S:
            return min(left, self.wait), False
        if not self.on and not may:
            return left, False
        sign = -1.0 if self.on else 1.0
        level = self.low if self.on else self.high
        parts = sign * (self.z[0] - rest[0]), sign * (self.z[1] - rest[1])
        span = _first_reach(parts, self.rates, sign * (rest[0] + rest[1] - level), left)
        return span, span < left

    def _move(self, rest: tuple[float, float], span: float) -> None:
        moved = []
        for i in (0, 1):
            gone = math.expm1(self.rates[i] * span)
            away = self.z[i] - rest[i]
            self.sums[i] += rest[i] * span + away * gone / self.rates[i]
            moved.append(self.z[i] + away * gone)
        self.z = (moved[0], moved[1])
        self.now += span
        self.wait = max(0.0, self.wait - span)


def _first_reach(parts: tuple[float, float], rates: tuple[float, float], level: float, span: float) -> float:
    """First time at which a e^(pt) + b e^(qt) + level comes up to zero, at most the span; it is below zero at first."""
    (a, b), (p, q) = parts, rates

    def height(t: float) -> float:
        return a * math.exp(p * t) + b * math.exp(q * t) + level

    end = span
    if height(span) < 0.0:  # it may have come up and gone down again
        turn = math.log(-b * q / (a * p)) / (p - q) if a * b < 0.0 else -1.0
        if not 0.0 < turn < span or height(turn) < 0.0:
            return span
        end = turn
    low, high, t = 0.0, end, 0.0
    for _ in range(TRIES):
        slow, fast = a * math.exp(p * t), b * math.exp(q * t)
        here, slope = slow + fast + level, p * slow + q * fast
        low, high = (t, high) if here < 0.0 else (low, t)
        guess = t - here / slope if slope > 0.0 else -1.0
        guess = guess if low < guess < high else 0.5 * (low + high)
        if abs(guess - t) < NEAR_S or high - low < NEAR_S:
            return high if high - low < NEAR_S else guess
        t = guess
    return high
