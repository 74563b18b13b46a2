"""A run on the mains side: its resistance, a load that lags, and the drop by the trade's hand formula."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics.conductor import resistance_ratio
from trailerlib.physics.formula import Number, formula

Phasor = complex | NDArray[np.complex128] | Number


@formula(
    r"2 \, @{ohm_per_m} \, @{run_m} \, \frac{234.5 + @{to_c}}{234.5 + @{from_c}}",
    symbols={"ohm_per_m": "r", "run_m": "L", "from_c": r"\theta_{1}", "to_c": r"\theta_{2}"},
    units={"ohm_per_m": "Ω/m", "run_m": "m", "from_c": "°C", "to_c": "°C", "return": "Ω"},
    result="R",
    title="Resistance of a run, out and back",
    source="Ohm's law; IEC 60028 for the temperature",
)
def branch_resistance_ohm(ohm_per_m: Number, run_m: Number, from_c: Number = 75.0, to_c: Number = 75.0) -> Number:
    """Resistance of a two-wire run, out and back, at the temperature of its conductors.

    Parameters
    ----------
    ohm_per_m : [ohm/m] resistance of one conductor at ``from_c``
    run_m : [m] one-way length
    from_c : [degC] conductor temperature the resistance is known for
    to_c : [degC] conductor temperature in use

    Returns
    -------
    [ohm] of both conductors, broadcast shape

    Source
    ------
    Ohm's law, with the 234.5 rule for annealed copper (IEC 60028).
    """
    return 2.0 * ohm_per_m * run_m * resistance_ratio(from_c, to_c)


@formula(
    r"@{power_w} \, \sqrt{\frac{1}{@{power_factor}^{2}} - 1}",
    symbols={"power_w": "P", "power_factor": r"\lambda"},
    units={"power_w": "W", "power_factor": "-", "return": "var"},
    result="Q",
    title="Reactive power of a load that lags",
    source="definition of power factor",
)
def reactive_var(power_w: Number, power_factor: Number) -> Number:
    """Reactive power of a lagging load from its real power.

    Parameters
    ----------
    power_w : [W] real power
    power_factor : [-] above 0, at most 1

    Returns
    -------
    [var] reactive power, broadcast shape

    Source
    ------
    Definition of power factor.
    """
    return power_w * np.sqrt(1.0 / np.square(power_factor) - 1.0)


@formula(
    r"@{current_a} \, \left( @{resistance_ohm} \, @{power_factor} "
    r"+ @{reactance_ohm} \, \sqrt{1 - @{power_factor}^{2}} \right)",
    symbols={"current_a": "I", "resistance_ohm": "R", "reactance_ohm": "X", "power_factor": r"\lambda"},
    units={"current_a": "A", "resistance_ohm": "Ω", "reactance_ohm": "Ω", "power_factor": "-", "return": "V"},
    result=r"\Delta V",
    title="Voltage drop by effective impedance",
    source="NFPA 70 chapter 9 table 9 note 2",
)
def effective_drop_v(current_a: Number, resistance_ohm: Number, reactance_ohm: Number, power_factor: Number) -> Number:
    """Voltage lost by the trade's hand formula, as a check on the network: a good approximation, never above it.

    Parameters
    ----------
    current_a : [A] current
    resistance_ohm : [ohm] of the run, out and back
    reactance_ohm : [ohm] of the run, out and back
    power_factor : [-] of the load, lagging, 0 to 1

    Returns
    -------
    [V] drop of the size of the voltage, broadcast shape

    Source
    ------
    NFPA 70 (2023) chapter 9 table 9 note 2: effective Z = R cos + X sin (wording from memory).
    """
    sine = np.sqrt(1.0 - np.square(power_factor))
    return current_a * (resistance_ohm * power_factor + reactance_ohm * sine)
