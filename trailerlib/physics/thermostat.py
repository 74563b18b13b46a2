"""A cooler that switches itself: on above the band, off below it, and a pause before it starts again.

Within a step the box is exact, and the moment of switching is found on its curve. One box at a time.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from trailerlib.physics.enclosure import Box, Floats, modes_of
from trailerlib.physics.enclosure_run import Drive, Run

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
        start = [float(part) for part in self.modes.split(air_c, mass_c)]
        switched: list[float] = []
        out = np.array(list(self._steps(rows, allowed, start, switched)))
        slow_slope, fast_slope = float(self.modes.slow_slope), float(self.modes.fast_slope)
        slow, fast, slow_sum, fast_sum, on_s, starts = out.T
        slow_mean, fast_mean, share = slow_sum / self.step_s, fast_sum / self.step_s, on_s / self.step_s
        run = Run(
            air_c, mass_c, slow + fast, slow_slope * slow + fast_slope * fast, slow_mean + fast_mean,
            slow_slope * slow_mean + fast_slope * fast_mean, -share * cold_w,
        )  # fmt: skip
        return Cycles(run, share, starts, tuple(switched))

    def _rest(self, drive: Drive, cold_w: Floats | float) -> tuple[Floats, Floats]:
        """Where the two parts would come to rest in each step, the cooler off or on."""
        air = (self.box.air_w_per_k * drive.outside_c + drive.air_w - cold_w) / self.box.air_j_per_k
        mass = (self.box.fabric_w_per_k * drive.fabric_c + drive.mass_w) / self.box.mass_j_per_k
        slow, fast = self.modes.split(air, mass)
        return np.asarray(-slow / self.modes.slow), np.asarray(-fast / self.modes.fast)

    def _steps(
        self, rows: list[list[tuple[float, float]]], allowed: list[bool], start: list[float], switched: list[float]
    ) -> Iterator[tuple[float, float, float, float, float, float]]:
        """The two parts at the end of each step, their sums over it, how long the cooler was on, and its starts.

        All in one, in plain numbers: to call something at each of a day's hundreds of switchings takes twice as long.
        """
        (slow, fast), (slow_rate, fast_rate), expm1 = start, self.rates, math.expm1
        on, wait, now = False, 0.0, 0.0
        for off_rest, on_rest, may in zip(*rows, allowed, strict=True):
            slow_sum, fast_sum, on_s, starts, left = 0.0, 0.0, 0.0, 0, self.step_s
            switches = on and not may
            while left > 0.0:
                ready, air = on or (may and wait <= NEAR_S), slow + fast
                if switches or (ready and (air <= self.low if on else air >= self.high)):
                    on, wait = not on, self.thermostat.pause_s if on else 0.0
                    ready, starts = on or (may and wait <= NEAR_S), starts + on
                    switched.append(now)
                slow_rest, fast_rest = on_rest if on else off_rest
                slow_away, fast_away = slow - slow_rest, fast - fast_rest
                if ready and on:
                    below = self.low - (slow_rest + fast_rest)
                    span = _first_reach((-slow_away, -fast_away), self.rates, below, left)
                elif ready:
                    below = slow_rest + fast_rest - self.high
                    span = _first_reach((slow_away, fast_away), self.rates, below, left)
                else:
                    span = min(left, wait) if wait > NEAR_S else left
                if left - span <= NEAR_S:  # the next step looks again
                    span = left
                switches = ready and span < left
                slow_gone, fast_gone = slow_away * expm1(slow_rate * span), fast_away * expm1(fast_rate * span)
                slow_sum += slow_rest * span + slow_gone / slow_rate
                fast_sum += fast_rest * span + fast_gone / fast_rate
                slow, fast, now, left = slow + slow_gone, fast + fast_gone, now + span, left - span
                wait, on_s = max(0.0, wait - span), on_s + span if on else on_s
            yield slow, fast, slow_sum, fast_sum, on_s, starts


def _first_reach(parts: tuple[float, float], rates: tuple[float, float], level: float, span: float) -> float:
    """First time at which a e^(pt) + b e^(qt) + level comes up to zero, at most the span; it is below zero at first."""
    (a, b), (p, q), exp, high = parts, rates, math.exp, span
    if a * exp(p * span) + b * exp(q * span) + level < 0.0:  # it may have come up and gone down again
        high = math.log(-b * q / (a * p)) / (p - q) if a * b < 0.0 else -1.0
        if not 0.0 < high < span or a * exp(p * high) + b * exp(q * high) + level < 0.0:
            return span
    low, t, slow, fast = 0.0, 0.0, a, b
    for _ in range(TRIES):
        here, slope = slow + fast + level, p * slow + q * fast
        low, high = (t, high) if here < 0.0 else (low, t)
        guess = t - here / slope if slope > 0.0 else -1.0
        guess = guess if low < guess < high else 0.5 * (low + high)
        if abs(guess - t) < NEAR_S or high - low < NEAR_S:
            return high if high - low < NEAR_S else guess
        t, slow, fast = guess, a * exp(p * guess), b * exp(q * guess)
    return high
