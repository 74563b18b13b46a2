"""Charging: constant current, then constant voltage with a tail, and what the charger draws for it.

A battery held at its absorption voltage takes a current in proportion to what it lacks: I = a (C - q) / (eta tau).
That is the resistance R = (U_abs - U_0) eta tau / (a (C - q)) in series with the voltage at rest: small when empty,
without limit when full. It gives the tail its time constant tau, and below the absorption voltage it says how high the
terminals rise while a current limit holds. Ohm's resistance of the block is what remains when it is the larger one.
"""

from __future__ import annotations

import numpy as np

from trailerlib.physics.formula import Number, formula

TAIL_END = 0.02  # of the capacity: the charge counts as finished when no more amperes than that still flow


@formula(
    r"\frac{@{acceptance} \, @{lack_ah}}{@{efficiency} \, @{tau_h}}",
    symbols={"lack_ah": "Q", "efficiency": r"\eta", "tau_h": r"\tau", "acceptance": "a"},
    units={"lack_ah": "Ah", "efficiency": "-", "tau_h": "h", "acceptance": "-", "return": "A"},
    result="I",
    title="Current a battery takes at its absorption voltage",
    source="the exponential tail, from memory",
)
def acceptance_a(lack_ah: Number, efficiency: Number, tau_h: Number, acceptance: Number) -> Number:
    """Current a battery takes in while it is held at its absorption voltage.

    Parameters
    ----------
    lack_ah : [Ah] charge it lacks until full
    efficiency : [-] charge taken up over charge sent in
    tau_h : [h] time constant of the tail when warm
    acceptance : [-] share that the cold leaves, 0 when it takes nothing

    Returns
    -------
    [A] current, broadcast shape

    Source
    ------
    d(lack)/dt = - efficiency x current makes the tail exp(-t acceptance / tau): usual model, from memory.
    """
    return acceptance * lack_ah / (efficiency * tau_h)


@formula(
    r"\frac{\max \left( \frac{@{missing_ah}}{@{efficiency}} - @{charge_a} \, @{tau_h} , 0 \right)}{@{charge_a}} + "
    r"@{tau_h} \, \max \left( 0 , \ln \left( \frac{\min \left( @{charge_a} , "
    r"\frac{@{missing_ah}}{@{efficiency} \, @{tau_h}} \right)}{@{tail_a}} \right) \right)",
    symbols={"missing_ah": "Q", "charge_a": "I", "efficiency": r"\eta", "tau_h": r"\tau", "tail_a": "I_{end}"},
    units={"missing_ah": "Ah", "charge_a": "A", "efficiency": "-", "tau_h": "h", "tail_a": "A", "return": "h"},
    result="t",
    title="Hours to full, constant current then constant voltage",
    source="the exponential tail, from memory",
)
def full_hours(missing_ah: Number, charge_a: Number, efficiency: Number, tau_h: Number, tail_a: Number) -> Number:
    """Hours until the current has fallen to ``tail_a``: the closed answer of the charge that is marched elsewhere.

    Parameters
    ----------
    missing_ah : [Ah] charge to put back, measured at the battery, above 0
    charge_a : [A] the smaller of what the source sends and what the battery may take
    efficiency : [-] charge taken up over charge sent in
    tau_h : [h] time constant of the tail at this temperature
    tail_a : [A] current at which the charge counts as finished, at most ``charge_a``

    Returns
    -------
    [h] time, broadcast shape

    Source
    ------
    The tail begins where ``acceptance_a`` meets the current; from there its exponential. From memory.
    """
    sent_ah = missing_ah / efficiency
    begins_a = np.minimum(charge_a, sent_ah / tau_h)
    tail_h = tau_h * np.maximum(0.0, np.log(begins_a / tail_a))
    return np.maximum(sent_ah - charge_a * tau_h, 0.0) / charge_a + tail_h


@formula(
    r"\frac{@{charge_a} \, @{charge_v}}{@{efficiency}}",
    symbols={"charge_a": "I", "charge_v": "U", "efficiency": r"\eta"},
    units={"charge_a": "A", "charge_v": "V", "efficiency": "-", "return": "W"},
    result="P",
    title="What a charger draws",
    source="definition of efficiency",
)
def charger_input_w(charge_a: Number, charge_v: Number, efficiency: Number) -> Number:
    """Power a charger draws from its supply.

    Parameters
    ----------
    charge_a : [A] charging current
    charge_v : [V] charging voltage
    efficiency : [-] power out over power in

    Returns
    -------
    [W] real power in, broadcast shape

    Source
    ------
    Definition of efficiency.
    """
    return charge_a * charge_v / efficiency


@formula(
    r"\frac{@{input_w}}{@{power_factor}}",
    symbols={"input_w": "P", "power_factor": r"\cos \varphi"},
    units={"input_w": "W", "power_factor": "-", "return": "VA"},
    result="S",
    title="Volt-amperes a charger draws",
    source="definition of power factor",
)
def charger_input_va(input_w: Number, power_factor: Number) -> Number:
    """Volt-amperes a charger draws: what its breaker and the generator feel.

    Parameters
    ----------
    input_w : [W] real power in
    power_factor : [-] of the charger

    Returns
    -------
    [VA] broadcast shape

    Source
    ------
    Definition of power factor.
    """
    return input_w / power_factor
