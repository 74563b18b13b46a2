"""A wire over time: how fast a current heats it, and where that ends.

The balance of one metre is m c dT/dt = I² R(T) - h (T - ambient). The loss h is the one that holds the wire exactly
at its rating when it carries its ampacity as laid. R rises in a straight line, so dT/dt = s + b (T - start) has a
closed answer. The lay of the strands lengthens copper and path alike and drops out.

Three simplifications, all on the safe side above the rating: the insulation stores no heat; the loss grows with the
first power of the rise, where air and radiation carry off more; the whole run is as warm as its warmest metre.
"""

from __future__ import annotations

import numpy as np

from trailerlib.physics.conductor import ALPHA_20_PER_K, RHO_20_OHM_M
from trailerlib.physics.formula import Number, formula

# IEC 60949 table 1 and the k of IEC 60364-5-54 annex A rest on this value (from memory); handbooks: 8960 kg/m³
# (IEC 60028: 8890) times 385 J/(kg K).
COPPER_J_PER_M3K = 3.45e6


@formula(
    r"\frac{1.7241 \times 10^{-8} \, \left( 1 + 0.00393 \, \left( @{temperature_c} - 20 \right) \right) "
    r"\, @{current_a}^{2}}{3.45 \times 10^{6} \, @{area_m2}^{2}}",
    symbols={"current_a": "I", "area_m2": "S", "temperature_c": r"\theta"},
    units={"current_a": "A", "area_m2": "m²", "temperature_c": "°C", "return": "K/s"},
    result="s_{0}",
    title="Heating of a wire that loses nothing",
    source="heat balance; IEC 60028, IEC 60949",
)
def adiabatic_rate_k_s(current_a: Number, area_m2: Number, temperature_c: Number) -> Number:
    """How fast copper warms while it keeps all its heat.

    Parameters
    ----------
    current_a : [A] current
    area_m2 : [m2] copper cross section
    temperature_c : [degC] conductor temperature at this moment

    Returns
    -------
    [K/s] broadcast shape

    Source
    ------
    Heat balance of one metre; resistivity IEC 60028, heat capacity IEC 60949.
    """
    resistivity = RHO_20_OHM_M * (1.0 + ALPHA_20_PER_K * (temperature_c - 20.0))
    return resistivity * current_a**2 / (COPPER_J_PER_M3K * area_m2**2)


@formula(
    r"\frac{3.45 \times 10^{6} \, @{area_m2}^{2} \, \left( @{rating_c} - @{ambient_c} \right)}"
    r"{1.7241 \times 10^{-8} \, \left( 1 + 0.00393 \, \left( @{rating_c} - 20 \right) \right) \, @{ampacity_a}^{2}}",
    symbols={"area_m2": "S", "ampacity_a": "I_{z}", "ambient_c": r"\theta_{a}", "rating_c": r"\theta_{r}"},
    units={"area_m2": "m²", "ampacity_a": "A", "ambient_c": "°C", "rating_c": "°C", "return": "s"},
    result=r"\tau",
    title="Thermal time constant of a wire",
    source="heat balance: at its ampacity the wire settles at its rating",
)
def thermal_time_s(area_m2: Number, ampacity_a: Number, ambient_c: Number, rating_c: Number) -> Number:
    """Time in which a wire without current loses 63 % of its rise.

    Parameters
    ----------
    area_m2 : [m2] copper cross section
    ampacity_a : [A] ampacity at this very ambient temperature (corrected, bundled), above zero
    ambient_c : [degC] surroundings of the wire
    rating_c : [degC] conductor temperature the ampacity stands for, above the ambient

    Returns
    -------
    [s] broadcast shape

    Raises
    ------
    ValueError
        When the surroundings are not cooler than the rating, or the ampacity or the area is not above zero.

    Source
    ------
    Heat balance; the loss follows from the ampacity, whose own source is the table it was read from.
    """
    if not np.all(np.asarray(rating_c) > ambient_c):
        raise ValueError("thermal_time_s: the ambient must be cooler than the rating; such a wire may carry nothing.")
    if not (np.all(np.asarray(ampacity_a) > 0.0) and np.all(np.asarray(area_m2) > 0.0)):
        raise ValueError("thermal_time_s: ampacity and area must be above zero; without them nothing can be checked.")
    return (rating_c - ambient_c) / adiabatic_rate_k_s(ampacity_a, area_m2, rating_c)


@formula(
    r"\frac{1.7241 \times 10^{-8} \, 0.00393 \, @{current_a}^{2}}{3.45 \times 10^{6} \, @{area_m2}^{2}}"
    r" - \frac{1}{@{thermal_s}}",
    symbols={"current_a": "I", "area_m2": "S", "thermal_s": r"\tau"},
    units={"current_a": "A", "area_m2": "m²", "thermal_s": "s", "return": "1/s"},
    result="b",
    title="Growth of the heating",
    source="heat balance: hotter copper makes more heat and loses more",
)
def growth_per_s(current_a: Number, area_m2: Number, thermal_s: Number) -> Number:
    """How the rate of warming changes with each kelvin: below zero it settles, above zero it runs away.

    Parameters
    ----------
    current_a : [A] current
    area_m2 : [m2] copper cross section
    thermal_s : [s] thermal time constant of the wire

    Returns
    -------
    [1/s] broadcast shape

    Source
    ------
    Heat balance with the resistance of IEC 60028.
    """
    return RHO_20_OHM_M * ALPHA_20_PER_K * current_a**2 / (COPPER_J_PER_M3K * area_m2**2) - 1.0 / thermal_s


@formula(
    r"@{initial_c} + @{rate_k_s} \, \frac{e^{@{growth} \, @{seconds}} - 1}{@{growth}}",
    symbols={"initial_c": r"\theta_{0}", "rate_k_s": "s", "growth": "b", "seconds": "t"},
    units={"initial_c": "°C", "rate_k_s": "K/s", "growth": "1/s", "seconds": "s", "return": "°C"},
    result=r"\theta",
    title="Temperature of a wire after a time",
    source="heat balance, solved",
)
def warming_c(initial_c: Number, rate_k_s: Number, growth: Number, seconds: Number) -> Number:
    """Temperature after a time, from the rate at the beginning and its growth.

    Parameters
    ----------
    initial_c : [degC] temperature at the beginning
    rate_k_s : [K/s] rate of warming at the beginning, loss taken off
    growth : [1/s] change of that rate with each kelvin
    seconds : [s] time, zero or more; may be without end

    Returns
    -------
    [degC] broadcast shape; inf where it runs away

    Source
    ------
    Solution of dT/dt = s + b (T - T0).
    """
    rate, b, t = np.broadcast_arrays(*(np.asarray(x, dtype=float) for x in (rate_k_s, growth, seconds)))
    with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
        stretched = np.where(b == 0.0, t, np.expm1(b * t) / b)
        return (initial_c + np.where(rate == 0.0, 0.0, rate * stretched))[()]


@formula(
    r"\frac{1}{@{growth}} \, \ln \left( 1 + \frac{@{growth} \, \left( @{final_c} - @{initial_c} \right)}"
    r"{@{rate_k_s}} \right)",
    symbols={"initial_c": r"\theta_{0}", "final_c": r"\theta_{1}", "rate_k_s": "s", "growth": "b"},
    units={"initial_c": "°C", "final_c": "°C", "rate_k_s": "K/s", "growth": "1/s", "return": "s"},
    result="t",
    title="Time until a wire reaches a temperature",
    source="heat balance, solved",
)
def warming_seconds(initial_c: Number, final_c: Number, rate_k_s: Number, growth: Number) -> Number:
    """Time to warm from one temperature to another, from the rate at the beginning and its growth.

    Parameters
    ----------
    initial_c : [degC] temperature at the beginning
    final_c : [degC] temperature to reach
    rate_k_s : [K/s] rate of warming at the beginning, loss taken off
    growth : [1/s] change of that rate with each kelvin

    Returns
    -------
    [s] broadcast shape; 0 where it is there already, inf where it settles below or cools

    Source
    ------
    Solution of dT/dt = s + b (T - T0).
    """
    rate, b = np.asarray(rate_k_s, dtype=float), np.asarray(growth, dtype=float)
    rise = np.asarray(final_c, dtype=float) - initial_c
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        share = b * rise / rate
        taken = np.where(b == 0.0, rise / rate, np.log1p(share) / b)
        never = (rate <= 0.0) | (share <= -1.0)
    return np.where(rise <= 0.0, 0.0, np.where(never, np.inf, taken))[()]


@formula(
    r"@{ohm} \, \left( \frac{@{emf_v}}{@{ohm} + @{emf_v} / @{full_a}} \right)^{2}",
    symbols={"ohm": "R", "full_a": "I", "emf_v": "E"},
    units={"ohm": "Ω", "full_a": "A", "emf_v": "V", "return": "W"},
    result="P",
    title="Heat of a bad joint",
    source="Joule's law; the rest of the circuit taken as the resistance that draws I from E",
)
def joint_heat_w(ohm: Number, full_a: Number, emf_v: Number) -> Number:
    """Heat that an extra resistance makes in a circuit that draws so much when it is sound.

    Parameters
    ----------
    ohm : [ohm] the extra resistance
    full_a : [A] current of the sound circuit, above 0
    emf_v : [V] voltage that drives it

    Returns
    -------
    [W] heat, broadcast shape; I²R while R is small, and at most a quarter of E I
    """
    return ohm * (emf_v / (ohm + emf_v / full_a)) ** 2
