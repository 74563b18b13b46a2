"""A motor starting behind a supply, a cord and a branch: current, voltage and speed over two seconds.

At every speed the circuit is one of impedances, solved exactly; what is stepped through time is the speed and the inner
voltage of a regulated set. What else runs is taken as an admittance at the panel.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics.alternator import Source
from trailerlib.physics.formula import Number
from trailerlib.physics.impedance import Phasor
from trailerlib.physics.motor import NODES, UP_TO_SPEED, Motor

Floats = NDArray[np.float64]
Phasors = NDArray[np.complex128]

SHOWN_S, STEPS = 2.0, 200
NOTHING = np.zeros(1, dtype=complex)  # [S] of a motor that is not there


@dataclass(frozen=True)
class Way:
    """What lies between a supply and a motor, impedances out and back [ohm]: cord to the panel, branch to the motor.

    ``others_s`` is the admittance of all else that runs, at the panel [S].
    """

    cord_ohm: Phasor
    branch_ohm: Phasor
    others_s: Phasor = 0j


@dataclass(frozen=True)
class Start:
    """A start as it happens, t moments, then the shape of the variants.

    ``time_s`` [s] (t,); ``speed`` [-] share of synchronous, ``inner_v`` [V]; effective phasors ``supply_v``,
    ``panel_v``, ``motor_v`` [V], ``supply_a``, ``motor_a`` [A], with the inner voltage as reference. ``before_v`` is
    the voltage at the panel before [V]. Of the shape of the variants: ``reached_s`` when it is up to speed [s], NaN
    when it is not within the time shown; ``off_s`` when the set switched off [s], NaN when it did not.
    """

    time_s: Floats
    speed: Floats
    inner_v: Floats
    supply_v: Phasors
    panel_v: Phasors
    motor_v: Phasors
    supply_a: Phasors
    motor_a: Phasors
    before_v: Floats
    reached_s: Floats
    off_s: Floats

    @property
    def starts(self) -> NDArray[np.bool_]:
        """Whether it comes up to speed in the time shown."""
        return ~np.isnan(self.reached_s)

    @property
    def dip_v(self) -> Floats:
        """Voltage at the motor in the moment it is switched on [V]."""
        return np.asarray(np.abs(self.motor_v[0]))

    @property
    def lowest_v(self) -> Floats:
        """Lowest voltage at the motor in the time shown [V]."""
        return np.asarray(np.abs(self.motor_v).min(axis=0))


@dataclass(frozen=True)
class _Circuit:
    """The circuit at a row of speeds, for one volt inside; ``whole_ohm`` is what that voltage meets."""

    whole_ohm: Phasors
    supply: Phasors
    panel: Phasors
    motor: Phasors
    motor_s: Phasors


def _circuit(source: Source, way: Way, motor_s: Phasors) -> _Circuit:
    below_s = way.others_s + motor_s / (1.0 + way.branch_ohm * motor_s)
    line = np.asarray(source.ohm) + way.cord_ohm
    share = 1.0 / (1.0 + line * below_s)
    amps = below_s * share
    with np.errstate(divide="ignore", invalid="ignore"):
        whole = 1.0 / amps
    return _Circuit(whole, 1.0 - source.ohm * amps, share, share / (1.0 + way.branch_ohm * motor_s), motor_s)


def start(motor: Motor, source: Source, way: Way, shown_s: float = SHOWN_S, steps: int = STEPS) -> Start:
    """Switch a motor on and follow it.

    Parameters
    ----------
    motor : the motor and what it turns
    source : the supply
    way : cord, branch and what else runs
    shown_s : [s] how long it is followed
    steps : [-] steps of time, all alike

    Returns
    -------
    Start
        Fields of motor, source and way broadcast; their common shape follows the time.

    Source
    ------
    Equivalent circuit of the induction motor; equation of motion; each step is that of the exponential
    Rosenbrock-Euler method, second order.
    """
    (motor, source, way), shape = _flat(motor, source, way)
    inner = _inner_before(source, way)
    before = inner * np.abs(np.atleast_1d(_circuit(source, way, NOTHING).panel))
    rows = (*_tables(motor, source, way), inner, *_limits(source))
    time = np.linspace(0.0, shown_s, steps + 1)
    count = max(1, math.prod(shape))
    walked = [_walk(time, *(column(row, count, k) for row in rows)) for k in range(count)]
    speed, held, off = (np.array(part) for part in zip(*walked, strict=True))
    return _read((motor, source, way), time, speed.T, held.T, before, off, shape)


def column(values: Any, count: int, k: int) -> Any:
    """What belongs to variant k of so many: a list where there is a row for every speed, else a number.

    Parameters
    ----------
    values : [-] shape (speeds, variants) or (variants,), either 1 or ``count`` of them
    count : [-] variants
    k : [-] which one
    """
    array = np.asarray(values, dtype=float)
    if array.ndim == 2:
        return array[:, k if array.shape[1] == count else 0].tolist()
    return float(array.ravel()[k if array.size == count else 0])


def _flat(motor: Motor, source: Source, way: Way) -> tuple[tuple[Motor, Source, Way], tuple[int, ...]]:
    """The three parts with all arrays in one row of variants, and the shape they had."""
    parts = (motor, source, way)
    fields = [list(vars(part).values()) for part in parts]
    shape = np.broadcast_shapes(*(np.shape(value) for row in fields for value in row))
    flat = [
        type(part)(*(np.broadcast_to(v, shape).ravel() if np.ndim(v) else v for v in row))
        for part, row in zip(parts, fields, strict=True)
    ]
    return (flat[0], flat[1], flat[2]), shape  # type: ignore[return-value]


def _inner_before(source: Source, way: Way) -> Floats:
    """Inner voltage before the start: what a regulator needs to hold the terminals, else what the supply holds."""
    at_terminals = np.abs(_circuit(source, way, NOTHING).supply)
    held = np.where(np.isfinite(source.recovery_s), source.volts / at_terminals, source.volts)
    return np.minimum(held, np.asarray(source.ceiling) * source.volts)


def _tables(motor: Motor, source: Source, way: Way) -> tuple[Floats, ...]:
    """Rows by speed, (speeds, variants): drive for a volt squared inside [1/(V² s)], brake [1/s], voltage at the
    terminals for a volt inside [-], what the inner voltage meets [ohm]."""
    speed = np.linspace(0.0, 1.0, NODES)[:, np.newaxis]
    at = _circuit(source, way, motor.admittance_s(speed))
    rate = motor.running_torque_w * np.asarray(motor.inertia_s)
    drive = motor.torque_w(speed) * (np.abs(at.motor) / motor.rated_v) ** 2 / rate
    return drive, motor.load_w(speed) / rate, np.abs(at.supply), np.abs(at.whole_ohm)


def _limits(source: Source) -> tuple[Number, ...]:
    return (
        source.volts,
        source.limit_a,
        source.hold_s,
        source.recovery_s,
        np.asarray(source.ceiling) * source.volts,
    )


def _walk(
    time: Floats,
    drive: list[float],
    brake: list[float],
    terminal: list[float],
    whole: list[float],
    inner: float,
    volts: float,
    limit_a: float,
    hold_s: float,
    recovery_s: float,
    top_v: float,
) -> tuple[list[float], list[float], float]:
    """Speed and inner voltage at every moment, and when the set switched off.

    Between two speeds of the tables drive and brake are straight lines: a step is the exact answer to such a line.
    A regulator takes half a step before and half after.
    """
    step, cells, last = float(time[1]), len(drive) - 1, len(drive) - 2
    half, limited, on = step / recovery_s / 2.0, math.isfinite(limit_a), True
    squeezed = [d * (limit_a * ohm) ** 2 for d, ohm in zip(drive, whole, strict=True)] if limited else drive
    speed, cell, part, over, off = 0.0, 0, 0.0, 0.0, math.nan
    speeds, held = [0.0], [min(inner, limit_a * whole[0])]
    for now in time[1:].tolist():
        if half and on:
            share = terminal[cell] + part * (terminal[cell + 1] - terminal[cell])
            inner = _regulated(inner, volts / share, half * share, top_v)
        low, high = inner * inner * drive[cell], inner * inner * drive[cell + 1]
        if limited and squeezed[cell] + part * (squeezed[cell + 1] - squeezed[cell]) < low + part * (high - low):
            low, high, over = squeezed[cell], squeezed[cell + 1], over + step
            if over > hold_s and on:
                on, off, inner, low, high, limited = False, now, 0.0, 0.0, 0.0, False
        low, high = low - brake[cell], high - brake[cell + 1]
        slope, push = (high - low) * cells, low + part * (high - low)
        turned = slope * step
        speed += push * (step if abs(turned) < 1e-9 else math.expm1(turned if turned < 50.0 else 50.0) / slope)
        speed = 0.0 if speed < 0.0 else 1.0 if speed > 1.0 else speed
        cell = int(speed * cells)
        cell = last if cell > last else cell
        part = speed * cells - cell
        if half and on:
            share = terminal[cell] + part * (terminal[cell + 1] - terminal[cell])
            inner = _regulated(inner, volts / share, half * share, top_v)
        speeds.append(speed)
        held.append(min(inner, limit_a * (whole[cell] + part * (whole[cell + 1] - whole[cell]))))
    return speeds, held, off


def _regulated(inner: float, wanted: float, time_share: float, top_v: float) -> float:
    """Inner voltage after a while of the regulator closing the gap at the terminals."""
    closed = wanted + (inner - wanted) * math.exp(-time_share)
    return closed if closed < top_v else top_v


def _read(
    parts: tuple[Motor, Source, Way],
    time: Floats,
    speed: Floats,
    held: Floats,
    before: Floats,
    off: Floats,
    shape: tuple[int, ...],
) -> Start:
    motor, source, way = parts
    at = _circuit(source, way, motor.admittance_s(speed))
    drawn = np.where(np.isinf(at.whole_ohm), 0.0, held / at.whole_ohm)
    volts = held * at.motor
    running = UP_TO_SPEED * (1.0 - np.asarray(motor.slip))
    reached = [_crossing(time, row, float(r)) for row, r in zip(speed.T, itertools.cycle(_each(running)), strict=False)]
    found = (speed, held, held * at.supply, held * at.panel, volts, drawn, volts * at.motor_s)
    return Start(
        time,
        *(np.asarray(np.broadcast_to(row, speed.shape).reshape(len(time), *shape)) for row in found),
        *(
            np.broadcast_to(np.asarray(row), (speed.shape[1],)).reshape(shape)
            for row in (before, np.array(reached), off)
        ),
    )


def _each(values: Number) -> Iterable[Any]:
    return np.atleast_1d(values).tolist()  # type: ignore[no-any-return]


def _crossing(time: Floats, speed: Floats, level: float) -> float:
    above = np.flatnonzero(speed >= level)
    if len(above) == 0 or above[0] == 0:
        return math.nan
    k = int(above[0])
    part = (level - speed[k - 1]) / (speed[k] - speed[k - 1])
    return float(time[k - 1] + part * (time[k] - time[k - 1]))


def seen_by_motor(source: Source, way: Way) -> tuple[Floats, Phasors]:
    """What a motor meets in the moment it is switched on: open voltage and impedance, others running included.

    Parameters
    ----------
    source : the supply, its limit left out
    way : cord, branch and what else runs

    Returns
    -------
    Voltage before [V] and impedance [ohm], broadcast shape

    Source
    ------
    Thevenin's theorem.
    """
    line = np.asarray(source.ohm) + way.cord_ohm
    share = 1.0 / (1.0 + line * way.others_s)
    inner = _inner_before(source, way).reshape(np.shape(share) or 1)
    return np.asarray(np.abs(share) * inner).reshape(np.shape(share)), np.asarray(way.branch_ohm + line * share)
