"""A single-phase induction motor by its name plate: what it draws and how hard it turns at every speed.

One branch of stator resistance, leakage reactance and rotor resistance over slip, with a susceptance beside it for
magnetising and run capacitor together. Speeds are shares of synchronous speed, torques watts at synchronous speed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics.formula import Number
from trailerlib.physics.impedance import Phasor

Floats = NDArray[np.float64]
Phasors = NDArray[np.complex128]

SLIP = 0.04  # [-] at the name plate's load: 3450 of 3600 turns a minute (from memory)
LOCKED_POWER_FACTOR = 0.65  # [-] standing still: 0.6 to 0.7 for small motors (from memory)
SOFT_POWER_FACTOR = 0.95  # [-] behind a soft starter with its start capacitor (from memory)
LEAST_SHARE = 0.85  # [-] of the rated voltage a compressor still starts with (common practice, no source)
HAND_OVER_SLIPS = 1.5  # [-] at so many rated slips a soft starter lets the motor run by itself
UP_TO_SPEED = 0.9  # [-] of its running speed: from here on it counts as started
MOST_EFFICIENT = 0.95  # [-] share of what a soft-started motor draws that can turn it
LEAST_MULTIPLE = 2.0  # [-] locked-rotor over running current: below it no induction motor
NODES = 101


@dataclass(frozen=True)
class Motor:
    """A motor with what it turns; every field a number or an array that broadcasts with the others.

    ``rated_v`` [V], ``stator_ohm``, ``rotor_ohm``, ``reactance_ohm`` [ohm], ``shunt_s`` [S], ``slip`` at the name
    plate's load [-]. ``idle_share`` is the load's torque standing still over that at running speed [-]. In
    ``inertia_s`` [s] the running torque alone would bring it to synchronous speed. ``soft_a`` is what a soft starter
    draws at rated voltage [A], NaN without one; ``least_share`` the share of the rated voltage it starts with [-].
    """

    rated_v: Number
    stator_ohm: Number
    rotor_ohm: Number
    reactance_ohm: Number
    shunt_s: Number
    slip: Number
    idle_share: Number
    inertia_s: Number
    soft_a: Number
    least_share: Number

    @property
    def running_torque_w(self) -> Number:
        """Torque at the name plate's load [W at synchronous speed]."""
        return self._circuit_torque_w(1.0 - np.asarray(self.slip))

    def admittance_s(self, speed: Number) -> Phasors:
        """What it draws a volt, soft starter included, complex.

        Parameters
        ----------
        speed : [-] share of synchronous speed, 0 to 1

        Returns
        -------
        [S] admittance, broadcast shape

        Source
        ------
        Equivalent circuit of the induction motor: textbooks of electrical machines.
        """
        own = self._branch_s(speed) - 1j * np.asarray(self.shunt_s)
        soft = self.soft_a / self.rated_v * _lagging(SOFT_POWER_FACTOR)
        return np.where(self._is_soft(speed), soft, own)

    def torque_w(self, speed: Number) -> Floats:
        """Torque at rated voltage; it falls with the square of the voltage.

        Behind a soft starter it is taken to be just so much above the load that the least share of the voltage still
        starts it, and never more than what is drawn allows.

        Parameters
        ----------
        speed : [-] share of synchronous speed, 0 to 1

        Returns
        -------
        [W] at synchronous speed, broadcast shape

        Source
        ------
        Power across the air gap of the equivalent circuit; the soft starter: common practice, no source.
        """
        drawn = np.asarray(self.soft_a) * self.rated_v * SOFT_POWER_FACTOR
        soft = np.minimum(self.load_w(speed) / np.asarray(self.least_share) ** 2, MOST_EFFICIENT * drawn)
        return np.where(self._is_soft(speed), soft, self._circuit_torque_w(speed))

    def load_w(self, speed: Number) -> Floats:
        """Torque of the compressor: what it needs to break away, then growing with the square of the speed.

        Parameters
        ----------
        speed : [-] share of synchronous speed, 0 to 1

        Returns
        -------
        [W] at synchronous speed, broadcast shape

        Source
        ------
        Common practice, no source.
        """
        share = np.asarray(speed) / (1.0 - np.asarray(self.slip))
        return np.asarray(self.running_torque_w * (self.idle_share + (1.0 - np.asarray(self.idle_share)) * share**2))

    def _is_soft(self, speed: Number) -> NDArray[np.bool_]:
        return ~np.isnan(self.soft_a) & (np.asarray(speed) < 1.0 - HAND_OVER_SLIPS * np.asarray(self.slip))

    def _branch_s(self, speed: Number) -> Phasors:
        return np.asarray(1.0 / (self.stator_ohm + self.rotor_ohm / _slip(speed) + 1j * np.asarray(self.reactance_ohm)))

    def _circuit_torque_w(self, speed: Number) -> Floats:
        return np.asarray((np.abs(self._branch_s(speed)) * self.rated_v) ** 2 * self.rotor_ohm / _slip(speed))


def _slip(speed: Number) -> Floats:
    """How far it is behind synchronous speed [-], never quite nothing."""
    return np.maximum(1.0 - np.asarray(speed), 1e-9)


def _lagging(power_factor: float) -> complex:
    return complex(power_factor, -math.sqrt(1.0 - power_factor**2))


def standing_ohm(
    rated_v: Number, locked_a: Number, soft_a: Number = math.nan, locked_power_factor: Number = LOCKED_POWER_FACTOR
) -> Phasor:
    """Impedance of a motor that stands still, or of its soft starter, from the current the name plate gives.

    Parameters
    ----------
    rated_v : [V] rated voltage
    locked_a : [A] locked-rotor current at that voltage
    soft_a : [A] what a soft starter draws at that voltage instead, NaN without one
    locked_power_factor : [-] of the standing motor

    Returns
    -------
    [ohm] complex, broadcast shape

    Source
    ------
    Ohm's law.
    """
    soft = np.isnan(soft_a)
    factor = np.where(soft, locked_power_factor, SOFT_POWER_FACTOR)
    size = rated_v / np.where(soft, locked_a, soft_a)
    return np.asarray(size * (factor + 1j * np.sqrt(1.0 - factor**2)))


def induction_motor(
    rated_v: Number,
    running_w: Number,
    power_factor: Number,
    locked_a: Number,
    start_s: Number,
    *,
    soft_a: Number = math.nan,
    slip: Number = SLIP,
    locked_power_factor: Number = LOCKED_POWER_FACTOR,
    least_share: Number = LEAST_SHARE,
) -> Motor:
    """The motor that draws what its name plate says, running and standing still.

    The shunt follows from asking that one leakage reactance fits both states: a quadratic. The load breaks away at
    just the least share of the rated voltage, and the inertia is what makes the start last as long as it does on a
    stiff supply.

    Parameters
    ----------
    rated_v : [V] rated voltage
    running_w : [W] drawn at the name plate's load
    power_factor : [-] then
    locked_a : [A] locked-rotor current
    start_s : [s] from rest to 90 % of running speed at rated voltage, without soft starter
    soft_a : [A] what a soft starter draws while it starts, NaN without one
    slip : [-] at the name plate's load
    locked_power_factor : [-] standing still
    least_share : [-] of the rated voltage it starts with

    Raises
    ------
    ValueError
        When no induction motor draws both currents.

    Source
    ------
    Equivalent circuit of the induction motor, magnetising branch at the terminals: textbooks of electrical machines.
    """
    _refuse_unless(np.isfinite(locked_a) & (np.asarray(locked_a) > 0))
    going = running_w / np.asarray(rated_v) ** 2
    lag = going * np.sqrt(1.0 / np.asarray(power_factor) ** 2 - 1.0)
    stand = 1.0 / standing_ohm(rated_v, locked_a, locked_power_factor=locked_power_factor)
    g, b = stand.real, -stand.imag
    _refuse_unless(np.hypot(g, b) >= LEAST_MULTIPLE * np.hypot(going, lag))
    shunt = _shunt_s(going, lag, g, b)
    ohm_stand, ohm_run = 1.0 / (g - 1j * (b + shunt)), 1.0 / (going - 1j * (lag + shunt))
    rotor = (ohm_run - ohm_stand).real / (1.0 / np.asarray(slip) - 1.0)
    stator, reactance = np.asarray(ohm_stand.real - rotor), np.asarray(ohm_stand.imag, dtype=float)
    _refuse_unless((stator > 0) & (rotor > 0) & (reactance > 0))
    bare = Motor(rated_v, stator, rotor, reactance, -shunt, slip, 1.0, 1.0, soft_a, least_share)
    at_rest = bare._circuit_torque_w(0.0) / bare.running_torque_w
    peak = (np.asarray(rated_v) ** 2 / 2.0) / (stator + np.hypot(stator, reactance)) / bare.running_torque_w
    _refuse_unless(peak > 1.05)
    idle = np.minimum(at_rest * np.asarray(least_share) ** 2, 1.0)
    return Motor(
        rated_v, stator, rotor, reactance, -shunt, slip, idle, _inertia_s(bare, idle, start_s), soft_a, least_share
    )


def _refuse_unless(sound: NDArray[np.bool_] | np.bool_) -> None:
    if not np.all(sound):
        raise ValueError(
            "no induction motor draws these currents; the locked-rotor current is 3 to 7 times the running current."
        )


def _shunt_s(going: Number, lag: Number, g: Number, b: Number) -> Number:
    """The susceptance that leaves one reactance for both states: the greater root."""
    apart = b - np.asarray(lag)
    half = (b + np.asarray(lag)) / 2.0 - (np.asarray(going) ** 2 - g**2) / (2.0 * apart)
    rest = b * np.asarray(lag) - (b * np.asarray(going) ** 2 - lag * g**2) / apart
    with np.errstate(invalid="ignore"):
        return np.asarray(-half + np.sqrt(half**2 - rest))


def _inertia_s(bare: Motor, idle: Number, start_s: Number) -> Number:
    """Time constant that makes the start at rated voltage last as long as it does."""
    speed = np.linspace(0.0, 1.0, 401).reshape(-1, *(1,) * np.ndim(idle)) * UP_TO_SPEED * (1.0 - np.asarray(bare.slip))
    share = speed / (1.0 - np.asarray(bare.slip))
    load = idle + (1.0 - np.asarray(idle)) * share**2
    net = bare._circuit_torque_w(speed) / bare.running_torque_w - load
    slow = np.trapezoid(1.0 / net, speed, axis=0)
    return np.asarray(start_s / slow)
