"""The box over time: air and what follows it at once, linings and contents that follow slowly, sun and weather outside.

What drives it is constant within a step, so each step is exact. The mean of a step is worked out by itself, so that the
heat balance of each step is a test and no identity.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import chain

import numpy as np

from trailerlib.physics.enclosure import Box, Floats, Modes, modes_of
from trailerlib.physics.enclosure_step import Step, step_of
from trailerlib.physics.formula import Number


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
    step = replace(step_of(box, step_s), cool_c=cool_c, heat_c=heat_c)
    start = [np.broadcast_to(z, shape[:-1]) for z in modes.split(start_air_c, start_mass_c)]
    before: Sequence[Number] = start
    out = np.empty((shape[-1], 5, *shape[:-1]))
    for k, (*after, added) in enumerate(step.march(zip(*rows, strict=True), start, step.held_by_many())):
        for n, value in enumerate(step.told([row[k] for row in rows], before, after, added)):
            out[k, n] = value
        before = after
    return Run(start_air_c, start_mass_c, *(np.moveaxis(out[:, n], 0, -1) for n in range(5)))


def _one_run(
    box: Box, drive: Drive, step_s: float, air_c: Number, mass_c: Number, held_c: tuple[Number, ...],
    most_w: tuple[Number, ...],
) -> Run:  # fmt: skip
    """One box in plain numbers, several times as fast as arrays of one."""
    modes, step = _plain_step(box, step_s)
    along = (*modes.split(*_pushes(box, drive)), *most_w)
    rows = np.array(np.broadcast_arrays(*along))
    cool_c, heat_c = (float(end) for end in held_c)
    step = replace(step, cool_c=cool_c, heat_c=heat_c)
    start = [float(part) for part in modes.split(air_c, mass_c)]
    marched = step.march(zip(*rows.tolist(), strict=True), start, step.held_by_one())
    *after, added = np.fromiter(chain.from_iterable(marched), dtype=float).reshape(-1, 3).T
    before = [np.append(first, part[:-1]) for first, part in zip(start, after, strict=True)]
    return Run(air_c, mass_c, *step.told(rows, before, after, added))


@lru_cache(maxsize=128)
def _plain_step(box: Box, step_s: float) -> tuple[Modes, Step]:
    """What a box of plain numbers does in a step; the same box is asked for many stretches."""
    step = step_of(box, step_s)
    return modes_of(box), Step(**{name: float(part) for name, part in vars(step).items()})


def _pushes(box: Box, drive: Drive) -> tuple[Number, Number]:
    """How fast air and mass would warm by what is outside and what is set free [K/s], steps along the last axis."""
    air = (_last(box.air_w_per_k) * drive.outside_c + drive.air_w) / _last(box.air_j_per_k)
    return air, (_last(box.fabric_w_per_k) * drive.fabric_c + drive.mass_w) / _last(box.mass_j_per_k)


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


def _last(value: Number) -> Number:
    """A value of the box with room for the axis of time."""
    return value if np.ndim(value) == 0 else np.asarray(value)[..., None]


def _steps_of(start: Number, ends: Floats) -> Floats:
    first = np.broadcast_to(np.asarray(start), ends.shape[:-1])[..., None]
    return np.diff(ends, axis=-1, prepend=first)
