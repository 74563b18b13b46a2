"""Batteries: capacity at rate and temperature, state of charge, and voltage under load."""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics.formula import Number, formula


@formula(
    r"@{hour_rate_h} \, \left( \frac{@{capacity_ah}}{@{current_a} \, @{hour_rate_h}} \right)^{@{exponent}}",
    symbols={"capacity_ah": "C", "hour_rate_h": "H", "current_a": "I", "exponent": "k"},
    units={"capacity_ah": "Ah", "hour_rate_h": "h", "current_a": "A", "exponent": "-", "return": "h"},
    result="t",
    title="Discharge time by Peukert",
    source="Peukert 1897, form with the rated capacity",
)
def peukert_hours(capacity_ah: Number, hour_rate_h: Number, current_a: Number, exponent: Number) -> Number:
    """Hours a battery lasts at a steady current, by Peukert's formula alone.

    Below the rated current it gives more than the rated capacity, which makers do not promise:
    ``peukert_drain_a`` is the capped form for a night's sum.

    Parameters
    ----------
    capacity_ah : [Ah] rated capacity, at the hour rate
    hour_rate_h : [h] discharge time the capacity is rated for, usually 20
    current_a : [A] steady current
    exponent : [-] Peukert's k, 1 or more

    Returns
    -------
    [h] time to empty, broadcast shape

    Source
    ------
    Peukert 1897. The capacity is the rated one, not that at 1 A.
    """
    return hour_rate_h * (capacity_ah / (current_a * hour_rate_h)) ** exponent


@formula(
    r"@{current_a} \, \max \left( 1 , \frac{@{current_a} \, @{hour_rate_h}}{@{capacity_ah}} \right)"
    r"^{@{exponent} - 1}",
    symbols={"current_a": "I", "capacity_ah": "C", "hour_rate_h": "H", "exponent": "k"},
    units={"current_a": "A", "capacity_ah": "Ah", "hour_rate_h": "h", "exponent": "-", "return": "A"},
    result="I_{eq}",
    title="Equivalent drain by Peukert",
    source="Peukert 1897; no credit below the rated current",
)
def peukert_drain_a(current_a: Number, capacity_ah: Number, hour_rate_h: Number, exponent: Number) -> Number:
    """Current that, taken from the rated capacity, empties the battery as fast as the real one does.

    At or below the rated current it is the current itself: no more than the rated capacity is ever
    credited. A negative current (charging) is handed back as it is.

    Parameters
    ----------
    current_a : [A] current drawn
    capacity_ah : [Ah] rated capacity, at the hour rate
    hour_rate_h : [h] discharge time the capacity is rated for
    exponent : [-] Peukert's k, 1 or more

    Returns
    -------
    [A] equivalent drain, broadcast shape

    Source
    ------
    Peukert 1897; the cap is common practice, no source.
    """
    return current_a * np.maximum(1.0, current_a * hour_rate_h / capacity_ah) ** (exponent - 1.0)


@formula(
    r"@{capacity_ah} \, @{temperature_factor} \, @{age_factor}",
    symbols={"capacity_ah": "C", "temperature_factor": r"f_{\theta}", "age_factor": "f_{age}"},
    units={"capacity_ah": "Ah", "temperature_factor": "-", "age_factor": "-", "return": "Ah"},
    result="C_{eff}",
    title="Capacity as it is today",
    source="factors from the capacity tables",
)
def effective_capacity_ah(capacity_ah: Number, temperature_factor: Number, age_factor: Number) -> Number:
    """Capacity left by cold and age.

    Parameters
    ----------
    capacity_ah : [Ah] rated capacity
    temperature_factor : [-] share left at the battery's temperature
    age_factor : [-] share left by age

    Returns
    -------
    [Ah] capacity, broadcast shape

    Source
    ------
    The two factors are taken as independent: common practice, no source.
    """
    return capacity_ah * temperature_factor * age_factor


def lookup(
    x: Number, xs: NDArray[np.float64], ys: NDArray[np.float64], edge: Literal["raise", "hold"] = "raise"
) -> Number:
    """Straight-line reading between the points of a table.

    Parameters
    ----------
    x : [-] where to read, any shape, in the unit of ``xs``
    xs : [-] table positions, strictly rising, shape (points,)
    ys : [-] table values, shape (points,)
    edge : 'raise' refuses to read outside the table, 'hold' keeps the end value

    Returns
    -------
    Value in the unit of ``ys``, shape of ``x``

    Raises
    ------
    ValueError
        When ``x`` lies outside the table and ``edge`` is 'raise', when it is not a number,
        or when the table is no table.
    """
    at, points, values = np.asarray(x, dtype=float), np.asarray(xs, dtype=float), np.asarray(ys, dtype=float)
    if points.ndim != 1 or points.shape != values.shape or not np.all(np.diff(points) > 0):
        raise ValueError("lookup: xs and ys must be two rows of equal length, xs strictly rising.")
    if edge not in ("raise", "hold"):
        raise ValueError(f"lookup: edge must be 'raise' or 'hold', not {edge!r}.")
    if np.isnan(at).any():
        raise ValueError("lookup: x is not a number.")
    outside = (at < points[0]) | (at > points[-1])
    if edge == "raise" and outside.any():
        raise ValueError(f"lookup: {at[outside].flat[0]:g} lies outside the table, {points[0]:g} to {points[-1]:g}.")
    read: NDArray[np.float64] = np.interp(at, points, values)
    return read[()]


def state_of_charge(
    drain_a: NDArray[np.float64], step_h: Number, capacity_ah: Number, start_fraction: Number
) -> NDArray[np.float64]:
    """State of charge at the end of each step.

    Parameters
    ----------
    drain_a : [A] drain in each step, charging negative, shape (..., steps)
    step_h : [h] length of a step, one number or shape (steps,)
    capacity_ah : [Ah] capacity, one number or shape (...)
    start_fraction : [-] state of charge before the first step, 0 to 1, one number or shape (...)

    Returns
    -------
    [-] state of charge, shape (..., steps); never below empty and never above full

    Raises
    ------
    ValueError
        When the start is not between 0 and 1 or the capacity is not above 0.

    Source
    ------
    Counting of ampere-hours.
    """
    start, capacity = np.asarray(start_fraction, dtype=float), np.asarray(capacity_ah, dtype=float)
    if not np.all((start >= 0.0) & (start <= 1.0)):
        raise ValueError("state_of_charge: start_fraction must lie between 0 (empty) and 1 (full).")
    if not np.all(capacity > 0.0):
        raise ValueError("state_of_charge: capacity_ah must be above 0.")
    taken = np.asarray(drain_a, dtype=float) * step_h / capacity[..., np.newaxis]
    taken = np.broadcast_to(taken, (*np.broadcast_shapes(taken.shape[:-1], start.shape), taken.shape[-1]))
    if (taken >= 0.0).all() or (taken <= 0.0).all():  # one way only: the limit is met once, a running sum will do
        counted: NDArray[np.float64] = np.clip(start[..., np.newaxis] - np.cumsum(taken, axis=-1), 0.0, 1.0)
        return counted
    fraction = np.empty(taken.shape)
    level: NDArray[np.float64] = start
    for step in range(taken.shape[-1]):
        level = np.clip(level - taken[..., step], 0.0, 1.0)
        fraction[..., step] = level
    return fraction


@formula(
    r"\frac{@{emf_v} - @{current_a} \, @{resistance_ohm} + \sqrt{\left( @{emf_v} - @{current_a} \, @{resistance_ohm} "
    r"\right)^{2} - 4 \, @{resistance_ohm} \, @{power_w} \, \left( 1 + @{conductance_s} \, @{resistance_ohm} \right)}}"
    r"{2 \, \left( 1 + @{conductance_s} \, @{resistance_ohm} \right)}",
    symbols={
        "emf_v": "U_{0}", "resistance_ohm": "R_{i}", "power_w": "P", "conductance_s": "G", "current_a": "I",
    },
    units={
        "emf_v": "V", "resistance_ohm": "Ω", "power_w": "W", "conductance_s": "S", "current_a": "A", "return": "V",
    },
    result="U",
    title="Voltage where a battery meets its loads",
    source="Kirchhoff's current law",
)  # fmt: skip
def busbar_v(
    emf_v: Number, resistance_ohm: Number, power_w: Number, conductance_s: Number, current_a: Number
) -> Number:
    """Voltage at a bus fed by a voltage behind a resistance, with loads of all three kinds on it.

    Where the loads ask more power than can be delivered there is no voltage: below zero under the root.

    Parameters
    ----------
    emf_v : [V] voltage at rest
    resistance_ohm : [ohm] resistance before the bus
    power_w : [W] loads of constant power, sources of constant power below 0
    conductance_s : [S] resistive loads
    current_a : [A] loads of constant current, sources of constant current below 0

    Returns
    -------
    [V] the higher of the two voltages that fit, broadcast shape

    Source
    ------
    Kirchhoff's current law, (U0 - U) / R = P / U + G U + I; a quadratic.
    """
    lean = 1.0 + conductance_s * resistance_ohm
    push = emf_v - current_a * resistance_ohm
    return (push + (push * push - 4.0 * resistance_ohm * power_w * lean) ** 0.5) / (2.0 * lean)
