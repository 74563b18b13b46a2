"""The box over time: air and what follows it at once, linings and contents that follow slowly, sun and weather outside.

    C_air dT_air/dt   = G_air (outside - T_air) + H (T_mass - T_air) + heat into the air
    C_mass dT_mass/dt = H (T_air - T_mass) + G_fabric (sol-air - T_mass) + heat into the mass

What drives it is constant within a step, so each step is exact: the matrix exponential by its two eigenvalues, which
are real and below zero for every box. The mean of a step is worked out by itself, so that the heat balance of each step
is a test and no identity.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import chain
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics.formula import Number, formula

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Box:
    """What holds and passes heat; floats or arrays of one shape, all above zero but ``air_w_per_k``, which may be 0.

    ``air_j_per_k`` and ``mass_j_per_k`` [J/K] are held; ``air_w_per_k`` [W/K] is what leaks and glass pass from outside
    straight to the air, ``film_w_per_k`` [W/K] what passes between air and linings, ``fabric_w_per_k`` [W/K] between
    linings and the sol-air temperature.
    """

    air_j_per_k: Number
    mass_j_per_k: Number
    air_w_per_k: Number
    film_w_per_k: Number
    fabric_w_per_k: Number


@dataclass(frozen=True)
class Drive:
    """What works on the box, constant in each step; time is the last axis, shape (..., steps).

    ``outside_c`` and ``fabric_c`` [degC] are the air and the sol-air temperature that the faces see together;
    ``air_w`` and ``mass_w`` [W] the heat set free in the air and on linings and contents.
    """

    outside_c: Floats
    fabric_c: Floats
    air_w: Floats
    mass_w: Floats


@dataclass(frozen=True)
class Run:
    """What comes of it; shape (..., steps). ``air_c`` and ``mass_c`` [degC] at the end of each step, ``air_mean_c``
    and ``mass_mean_c`` [degC] over it, ``added_w`` [W] what heater (above zero) and cooler (below) put in, as a mean.
    """

    start_air_c: Number
    start_mass_c: Number
    air_c: Floats
    mass_c: Floats
    air_mean_c: Floats
    mass_mean_c: Floats
    added_w: Floats

    def left_over_w(self, box: Box, drive: Drive, step_s: float) -> tuple[Floats, Floats]:
        """What does not add up in each step, at the air and at the mass.

        Parameters
        ----------
        box : the box that was run
        drive : what worked on it
        step_s : [s] length of a step

        Returns
        -------
        [W] two arrays of shape (..., steps): heat that came in less heat that is held
        """
        between = _last(box.film_w_per_k) * (self.mass_mean_c - self.air_mean_c)
        air_in = _last(box.air_w_per_k) * (drive.outside_c - self.air_mean_c) + between + drive.air_w + self.added_w
        mass_in = _last(box.fabric_w_per_k) * (drive.fabric_c - self.mass_mean_c) - between + drive.mass_w
        air_held = _last(box.air_j_per_k) * _steps_of(self.start_air_c, self.air_c) / step_s
        mass_held = _last(box.mass_j_per_k) * _steps_of(self.start_mass_c, self.mass_c) / step_s
        return air_in - air_held, mass_in - mass_held


@dataclass(frozen=True)
class Modes:
    """The box as two decays that do not touch: air = z1 + z2, mass = s1 z1 + s2 z2; rates [1/s], slopes [-]."""

    slow: Number
    fast: Number
    slow_slope: Number
    fast_slope: Number

    def split(self, air: Number, mass: Number) -> tuple[Number, Number]:
        """A pair of values at air and mass as its two parts.

        Parameters
        ----------
        air : [any] at the air
        mass : [any] at the mass, same unit

        Returns
        -------
        Slow and fast part in the same unit, broadcast shape
        """
        apart = self.slow_slope - self.fast_slope
        return (mass - self.fast_slope * air) / apart, (self.slow_slope * air - mass) / apart


def modes_of(box: Box) -> Modes:
    """The two decays of a box.

    Parameters
    ----------
    box : the box

    Returns
    -------
    Modes, broadcast shape of the box

    Raises
    ------
    ValueError
        When something that must be above zero is not.
    """
    for name in ("air_j_per_k", "mass_j_per_k", "film_w_per_k", "fabric_w_per_k"):
        if not np.all(np.asarray(getattr(box, name)) > 0.0):
            raise ValueError(f"{name} must be above zero; a box without linings, contents or walls is none.")
    if not np.all(np.asarray(box.air_w_per_k) >= 0.0):
        raise ValueError("air_w_per_k must not be below zero.")
    a11 = -(box.air_w_per_k + box.film_w_per_k) / box.air_j_per_k
    a12 = box.film_w_per_k / box.air_j_per_k
    a21 = box.film_w_per_k / box.mass_j_per_k
    a22 = -(box.film_w_per_k + box.fabric_w_per_k) / box.mass_j_per_k
    middle, half = 0.5 * (a11 + a22), np.sqrt((0.5 * (a11 - a22)) ** 2 + a12 * a21)
    fast = middle - half
    slow = (a11 * a22 - a12 * a21) / fast
    return Modes(slow, fast, (slow - a11) / a12, (fast - a11) / a12)


@formula(
    r"\frac{1}{\frac{1}{@{ua_w_per_k}} - \frac{1}{@{film_w_per_k}}}",
    symbols={"ua_w_per_k": "UA", "film_w_per_k": "H"},
    units={"ua_w_per_k": "W/K", "film_w_per_k": "W/K", "return": "W/K"},
    result="G",
    title="From the sol-air temperature to the linings",
    source="resistances in series",
)
def fabric_w_per_k(ua_w_per_k: Number, film_w_per_k: Number) -> Number:
    """What is left of the faces' heat path when the film of air inside is taken off.

    Parameters
    ----------
    ua_w_per_k : [W/K] of all faces, air to air
    film_w_per_k : [W/K] between air and linings, above it

    Returns
    -------
    [W/K] broadcast shape

    Source
    ------
    Resistances in series: air to air the sum of U times area stands exactly.
    """
    return 1.0 / (1.0 / ua_w_per_k - 1.0 / film_w_per_k)


@formula(
    r"\max \left( 0 , @{ua_w_per_k} \, \left( @{inside_c} - @{outside_c} \right) - @{gains_w} \right)",
    symbols={"ua_w_per_k": "UA", "inside_c": r"\theta_{i}", "outside_c": r"\theta_{o}", "gains_w": r"\Phi_{g}"},
    units={"ua_w_per_k": "W/K", "inside_c": "°C", "outside_c": "°C", "gains_w": "W", "return": "W"},
    result=r"\Phi_{h}",
    title="Heater that holds a temperature",
    source="heat balance in a steady state",
)
def heater_w(ua_w_per_k: Number, inside_c: Number, outside_c: Number, gains_w: Number = 0.0) -> Number:
    """Heat that holds a temperature inside through a long cold night.

    Parameters
    ----------
    ua_w_per_k : [W/K] of faces, glass and leaks together
    inside_c : [degC] to hold
    outside_c : [degC] air outside
    gains_w : [W] what people and loads give

    Returns
    -------
    [W] broadcast shape, never below 0

    Source
    ------
    Heat balance in a steady state. Warming the box up in the evening takes more.
    """
    return np.maximum(0.0, ua_w_per_k * (inside_c - outside_c) - gains_w)


def free_run(box: Box, drive: Drive, step_s: float, start_air_c: Number, start_mass_c: Number) -> Run:
    """The box without heater and cooler.

    Parameters
    ----------
    box : floats, or arrays of shape (...)
    drive : shape (..., steps)
    step_s : [s] length of a step
    start_air_c : [degC] air at the beginning
    start_mass_c : [degC] linings and contents at the beginning

    Returns
    -------
    Run
    """
    return held_run(box, drive, step_s, start_air_c, start_mass_c, np.inf, 0.0)


def held_run(
    box: Box,
    drive: Drive,
    step_s: float,
    start_air_c: Number,
    start_mass_c: Number,
    cool_c: Number,
    cold_w: Number,
    heat_c: Number = -np.inf,
    heat_w: Number = 0.0,
) -> Run:
    """The box with the cold or heat that brings the air to the set point at the end of each step, up to what there is.

    Parameters
    ----------
    box : floats, or arrays of shape (...)
    drive : shape (..., steps)
    step_s : [s] length of a step
    start_air_c : [degC] air at the beginning
    start_mass_c : [degC] linings and contents at the beginning
    cool_c : [degC] not to be passed upwards; inf is no cooler
    cold_w : [W] most cold, for the air alone; a float or shape (..., steps), 0 where the cooler is off
    heat_c : [degC] not to be passed downwards, below ``cool_c``; -inf is no heater
    heat_w : [W] most heat, a float or shape (..., steps)

    Returns
    -------
    Run; ``added_w`` is what was needed and there.
    """
    plain = (*vars(box).values(), start_air_c, start_mass_c, cool_c, heat_c)
    along = (*vars(drive).values(), cold_w, heat_w)
    if all(isinstance(value, float) for value in plain) and all(np.ndim(part) <= 1 for part in along):
        return _one_run(box, drive, step_s, start_air_c, start_mass_c, (cool_c, heat_c), (cold_w, heat_w))
    modes = modes_of(box)
    shape = np.broadcast_shapes(
        *(np.shape(_last(value)) for value in plain), *(part.shape for part in vars(drive).values()), np.shape(cold_w),
        np.shape(heat_w),
    )  # fmt: skip
    parts = Modes(*(_last(part) for part in (modes.slow, modes.fast, modes.slow_slope, modes.fast_slope)))
    along = (*parts.split(*_pushes(box, drive)), cold_w, heat_w)
    rows = [np.moveaxis(np.broadcast_to(part, shape), -1, 0) for part in along]
    rules = replace(_rules_of(box, step_s), cool_c=cool_c, heat_c=heat_c)
    start = [np.broadcast_to(z, shape[:-1]) for z in modes.split(start_air_c, start_mass_c)]
    before: Sequence[Number] = start
    out = np.empty((shape[-1], 5, *shape[:-1]))
    for k, (*after, added) in enumerate(rules.march(zip(*rows, strict=True), start, rules.held_by_many())):
        for n, value in enumerate(rules.told([row[k] for row in rows], before, after, added)):
            out[k, n] = value
        before = after
    return Run(start_air_c, start_mass_c, *(np.moveaxis(out[:, n], 0, -1) for n in range(5)))


def _one_run(
    box: Box, drive: Drive, step_s: float, air_c: Number, mass_c: Number, held_c: tuple[Number, ...],
    most_w: tuple[Number, ...],
) -> Run:  # fmt: skip
    """One box in plain numbers, several times as fast as arrays of one."""
    modes, rules = _plain_rules(box, step_s)
    along = (*modes.split(*_pushes(box, drive)), *most_w)
    rows = np.array(np.broadcast_arrays(*along))
    cool_c, heat_c = (float(end) for end in held_c)
    rules = replace(rules, cool_c=cool_c, heat_c=heat_c)
    start = [float(part) for part in modes.split(air_c, mass_c)]
    marched = rules.march(zip(*rows.tolist(), strict=True), start, rules.held_by_one())
    *after, added = np.fromiter(chain.from_iterable(marched), dtype=float).reshape(-1, 3).T
    before = [np.append(first, part[:-1]) for first, part in zip(start, after, strict=True)]
    return Run(air_c, mass_c, *rules.told(rows, before, after, added))


@lru_cache(maxsize=128)
def _plain_rules(box: Box, step_s: float) -> tuple[Modes, _Rules]:
    """What a box of plain numbers does in a step; the same box is asked for many stretches."""
    rules = _rules_of(box, step_s)
    return modes_of(box), _Rules(**{name: float(part) for name, part in vars(rules).items()})


def _pushes(box: Box, drive: Drive) -> tuple[Number, Number]:
    """How fast air and mass would warm by what is outside and what is set free [K/s], steps along the last axis."""
    air = (_last(box.air_w_per_k) * drive.outside_c + drive.air_w) / _last(box.air_j_per_k)
    return air, (_last(box.fabric_w_per_k) * drive.fabric_c + drive.mass_w) / _last(box.mass_j_per_k)


def _rules_of(box: Box, step_s: float) -> _Rules:
    """One step of a box that nothing holds."""
    modes = modes_of(box)
    unit = modes.split(1.0 / box.air_j_per_k, 0.0)
    slow_x, fast_x = modes.slow * step_s, modes.fast * step_s
    return _Rules(
        np.exp(slow_x), np.exp(fast_x), _phi1(slow_x), _phi1(fast_x), _phi2(slow_x) * step_s, _phi2(fast_x) * step_s,
        unit[0], unit[1], modes.slow_slope, modes.fast_slope, np.inf, -np.inf, step_s,
    )  # fmt: skip


@dataclass(frozen=True)
class _Rules:
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


def settled_start(box: Box, drive: Drive, step_s: float) -> tuple[Number, Number]:
    """Air and mass with which a free run ends as it began: the day after many days alike.

    Parameters
    ----------
    box : floats, or arrays of shape (...)
    drive : one day, shape (..., steps)
    step_s : [s] length of a step

    Returns
    -------
    [degC] air and mass at the beginning
    """
    modes = modes_of(box)
    end = free_run(box, drive, step_s, 0.0, 0.0)
    slow, fast = modes.split(end.air_c[..., -1], end.mass_c[..., -1])
    span = step_s * end.air_c.shape[-1]
    slow, fast = slow / -np.expm1(modes.slow * span), fast / -np.expm1(modes.fast * span)
    return slow + fast, modes.slow_slope * slow + modes.fast_slope * fast


def _phi1(x: Number) -> Number:
    """(e^x - 1) / x for x below zero."""
    return np.expm1(x) / x


def _phi2(x: Number) -> Number:
    """(e^x - 1 - x) / x²; by its series where the difference would lose its figures."""
    small = np.abs(x) < 1e-2
    series = 0.5 + x / 6.0 + x**2 / 24.0 + x**3 / 120.0 + x**4 / 720.0
    return np.where(small, series, (np.expm1(x) - x) / np.where(small, 1.0, x**2))[()]


def _last(value: Number) -> Number:
    """A value of the box with room for the axis of time."""
    return value if np.ndim(value) == 0 else np.asarray(value)[..., None]


def _steps_of(start: Number, ends: Floats) -> Floats:
    first = np.broadcast_to(np.asarray(start), ends.shape[:-1])[..., None]
    return np.diff(ends, axis=-1, prepend=first)
