"""What a bank of its chemistry does: resting voltage, what the cold leaves and lets in, resistance inside, limits."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from trailerlib import reference
from trailerlib.design.model import Battery
from trailerlib.physics.battery import lookup

Floats = NDArray[np.float64]


@lru_cache(maxsize=64)
def _curve(table: str, chemistry: str, x: str, y: str) -> tuple[Floats, Floats]:
    rows = reference.table(table).where(chemistry=chemistry)
    xs, ys = rows.floats(x), rows.floats(y)
    order = np.argsort(xs)
    return xs[order], ys[order]


def open_circuit_v(battery: Battery, charge: Floats | float) -> Floats | float:
    """Voltage of the resting bank at a state of charge [V].

    Parameters
    ----------
    battery : the bank
    charge : [-] state of charge 0..1, number or array
    """
    socs, volts = _curve("battery_ocv", battery.chemistry, "soc", "ocv_v")
    return lookup(charge, socs, volts * battery.blocks)


def temperature_factor(battery: Battery, temperature_c: float) -> float:
    """Share of the rated capacity that is there at a temperature [-]; outside its table the end value holds.

    Parameters
    ----------
    battery : the bank
    temperature_c : [°C] of the battery
    """
    temperatures, factors = _curve("battery_temperature", battery.chemistry, "temperature_c", "fraction")
    return float(lookup(temperature_c, temperatures, factors, edge="hold"))


def acceptance(battery: Battery, temperature_c: float) -> float:
    """Share of its warm tail current that a battery takes in at a temperature [-]; 0 where it must not be charged.

    Parameters
    ----------
    battery : the bank
    temperature_c : [°C] of the battery
    """
    if temperature_c < limits(battery, "charge_min_c"):
        return 0.0
    temperatures, shares = _curve("battery_acceptance", battery.chemistry, "temperature_c", "acceptance_fraction")
    return float(lookup(temperature_c, temperatures, shares, edge="hold"))


def battery_ohm(battery: Battery) -> float:
    """Resistance inside the whole bank [ohm]: the data sheet's when given, else the class value."""
    if battery.resistance is not None:
        return battery.resistance * battery.blocks / battery.count
    mohm = limits(battery, "resistance_mohm_per_100ah")
    return mohm * 1e-3 * 100.0 / battery.bank_ah * battery.blocks


@lru_cache(maxsize=64)
def _limit(chemistry: str, column: str) -> float:
    text = reference.table("battery_limits").row(chemistry=chemistry)[column]
    return float(text) if text else float("nan")


def limits(battery: Battery, column: str) -> float:
    """One limit of the battery's chemistry, in the unit its column's name carries; NaN where there is none."""
    return _limit(battery.chemistry, column)
