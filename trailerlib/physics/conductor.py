"""Wire: gauge geometry, resistance and temperature, ampacity and its correction for heat."""

from __future__ import annotations

import numpy as np

from trailerlib.physics.formula import Number, formula

CMIL_M2 = np.pi / 4 * 2.54e-5**2  # one circular mil: the area of a circle one thousandth of an inch across
RHO_20_OHM_M = 1.7241e-8
ALPHA_20_PER_K = 0.00393


@formula(
    r"0.000127 \, 92^{\frac{36 - @{awg_index}}{39}}",
    symbols={"awg_index": "n"},
    units={"awg_index": "-", "return": "m"},
    result="d",
    title="Diameter of a gauge",
    source="ASTM B258",
)
def awg_diameter_m(awg_index: Number) -> Number:
    """Diameter of a solid wire of an American gauge.

    Parameters
    ----------
    awg_index : [-] gauge number: 12 for 12 AWG, 0 for 1/0, -1 for 2/0, -3 for 4/0; any shape

    Returns
    -------
    [m] diameter, same shape

    Source
    ------
    ASTM B258: 0.005 in at 36 AWG, 0.46 in at 4/0, geometric between.
    """
    return 0.127e-3 * 92.0 ** ((36.0 - awg_index) / 39.0)


@formula(
    r"\frac{\pi}{4} \, \left( 0.000127 \, 92^{\frac{36 - @{awg_index}}{39}} \right)^{2}",
    symbols={"awg_index": "n"},
    units={"awg_index": "-", "return": "m²"},
    result="S",
    title="Copper area of a gauge",
    source="ASTM B258",
)
def awg_area_m2(awg_index: Number) -> Number:
    """Copper area of an American gauge.

    Parameters
    ----------
    awg_index : [-] gauge number: 12 for 12 AWG, 0 for 1/0, -3 for 4/0; any shape

    Returns
    -------
    [m2] cross section, same shape

    Source
    ------
    ASTM B258.
    """
    return np.pi / 4 * awg_diameter_m(awg_index) ** 2


@formula(
    r"\frac{\pi}{4} \, @{diameter_m}^{2}",
    symbols={"diameter_m": "d"},
    units={"diameter_m": "m", "return": "m²"},
    result="S",
    title="Copper area of a round wire",
    source="area of a circle",
)
def round_area_m2(diameter_m: Number) -> Number:
    """Copper area of one round wire.

    Parameters
    ----------
    diameter_m : [m] across, as a caliper shows it on the bare copper

    Returns
    -------
    [m2] cross section, same shape

    Source
    ------
    Area of a circle.
    """
    return np.pi / 4 * diameter_m**2


@formula(
    r"@{drop_v} \, 92^{\frac{2 \, \left( @{to_index} - @{from_index} \right)}{39}}",
    symbols={"drop_v": r"\Delta V_{1}", "from_index": "n_{1}", "to_index": "n_{2}"},
    units={"drop_v": "V", "from_index": "-", "to_index": "-", "return": "V"},
    result=r"\Delta V_{2}",
    title="Drop after a change of gauge",
    source="ASTM B258: the areas of the gauges follow one ratio",
)
def drop_of_gauge_v(drop_v: Number, from_index: Number, to_index: Number) -> Number:
    """Drop of the same run and current with a wire of another gauge.

    Parameters
    ----------
    drop_v : [V] with the first gauge
    from_index : [-] first gauge number, 12 for 12 AWG
    to_index : [-] second gauge number

    Returns
    -------
    [V] broadcast shape

    Source
    ------
    ASTM B258. Three numbers halve or double the area, ten make ten times, both nearly.
    """
    return drop_v * 92.0 ** (2.0 * (to_index - from_index) / 39.0)


@formula(
    r"@{lay} \, \frac{1.7241 \times 10^{-8} \, \left( 1 + 0.00393 \, \left( @{temperature_c} - 20 \right) \right)}"
    r"{@{area_m2}}",
    symbols={"area_m2": "S", "temperature_c": r"\theta", "lay": "k_{lay}"},
    units={"area_m2": "m²", "temperature_c": "°C", "lay": "-", "return": "Ω/m"},
    result="r",
    title="Resistance of one metre of copper wire",
    source="IEC 60028",
)
def resistance_per_m(area_m2: Number, temperature_c: Number, lay: Number = 1.02) -> Number:
    """Resistance of one metre of a single copper conductor at its own temperature.

    Parameters
    ----------
    area_m2 : [m2] copper cross section, any shape
    temperature_c : [degC] conductor temperature, any shape
    lay : [-] extra length of twisted strands, 1.0 for solid wire

    Returns
    -------
    [ohm/m] of one conductor, one way, broadcast shape

    Source
    ------
    IEC 60028: 1.7241e-8 ohm m at 20 degC, 0.00393 per kelvin.
    """
    return lay * RHO_20_OHM_M * (1.0 + ALPHA_20_PER_K * (temperature_c - 20.0)) / area_m2


@formula(
    r"2 \, @{current_a} \, @{ohm_per_m} \, @{run_m}",
    symbols={"current_a": "I", "ohm_per_m": "r", "run_m": "L"},
    units={"current_a": "A", "ohm_per_m": "Ω/m", "run_m": "m", "return": "V"},
    result=r"\Delta V",
    title="Voltage drop there and back",
    source="Ohm's law",
)
def loop_drop_v(current_a: Number, ohm_per_m: Number, run_m: Number) -> Number:
    """Voltage lost in a two-wire run, out and back.

    Parameters
    ----------
    current_a : [A] current
    ohm_per_m : [ohm/m] of one conductor
    run_m : [m] one-way length

    Returns
    -------
    [V] drop over both conductors, broadcast shape

    Source
    ------
    Ohm's law.
    """
    return 2.0 * current_a * ohm_per_m * run_m


@formula(
    r"\frac{234.5 + @{to_c}}{234.5 + @{from_c}}",
    symbols={"from_c": r"\theta_{1}", "to_c": r"\theta_{2}"},
    units={"from_c": "°C", "to_c": "°C", "return": "-"},
    result=r"\frac{R_{2}}{R_{1}}",
    title="Resistance of copper at another temperature",
    source="IEC 60028; FAA AC 43.13-1B, 11-66",
)
def resistance_ratio(from_c: Number, to_c: Number) -> Number:
    """Resistance of the same copper at another temperature, as a ratio.

    Parameters
    ----------
    from_c : [degC] temperature at which the resistance is known
    to_c : [degC] temperature at which it is wanted

    Returns
    -------
    [-] R(to) / R(from), broadcast shape

    Source
    ------
    The 234.5 rule for annealed copper, which holds from any temperature (IEC 60028; FAA AC 43.13-1B, 11-66).
    """
    return (234.5 + to_c) / (234.5 + from_c)


@formula(
    r"\sqrt{\frac{\max \left( @{rating_c} - @{ambient_c} , 0 \right)}{@{rating_c} - @{base_c}}}",
    symbols={"rating_c": r"\theta_{c}", "ambient_c": r"\theta_{a}", "base_c": r"\theta_{b}"},
    units={"rating_c": "°C", "ambient_c": "°C", "base_c": "°C", "return": "-"},
    result="F_{a}",
    title="Ampacity correction for ambient temperature",
    source="NFPA 70 310.15(B), equation 310.15(B)",
)
def ambient_factor(rating_c: Number, ambient_c: Number, base_c: Number = 30.0) -> Number:
    """What is left of an ampacity in warmer (or cooler) surroundings than its table was made for.

    Parameters
    ----------
    rating_c : [degC] temperature rating of the insulation
    ambient_c : [degC] surroundings of the wire
    base_c : [degC] surroundings the ampacity table was made for, below the rating

    Returns
    -------
    [-] factor on the ampacity, 0 where the surroundings reach the rating; broadcast shape

    Raises
    ------
    ValueError
        When the table's own surroundings are not cooler than the rating.

    Source
    ------
    NFPA 70 (2023) 310.15(B).
    """
    if np.any(np.asarray(base_c) >= rating_c):
        raise ValueError("ambient_factor: base_c must be below rating_c; a table has no ampacity at its own limit.")
    return np.sqrt(np.maximum(rating_c - np.asarray(ambient_c), 0.0) / (rating_c - np.asarray(base_c)))[()]


@formula(
    r"@{ambient_c} + \left( @{rating_c} - @{ambient_c} \right) \, "
    r"\left( \frac{@{current_a}}{@{ampacity_a}} \right)^{2}",
    symbols={"current_a": "I", "ampacity_a": "I_{z}", "ambient_c": r"\theta_{a}", "rating_c": r"\theta_{r}"},
    units={"current_a": "A", "ampacity_a": "A", "ambient_c": "°C", "rating_c": "°C", "return": "°C"},
    result=r"\theta",
    title="Conductor temperature in steady use",
    source="heat balance: rise grows with the square of the current",
)
def conductor_temperature_c(current_a: Number, ampacity_a: Number, ambient_c: Number, rating_c: Number) -> Number:
    """Temperature a conductor settles at.

    Parameters
    ----------
    current_a : [A] steady current
    ampacity_a : [A] ampacity at this very ambient temperature (corrected, bundled)
    ambient_c : [degC] surroundings of the wire
    rating_c : [degC] conductor temperature the ampacity stands for

    Returns
    -------
    [degC] conductor temperature, broadcast shape

    Source
    ------
    Heat made grows with the current squared and heat lost with the rise. Computed here; the aircraft
    circular FAA AC 43.13-1B 11-66 takes a first power of the current, which is warmer below the ampacity.
    """
    return ambient_c + (rating_c - ambient_c) * (current_a / ampacity_a) ** 2


@formula(
    r"\frac{@{k} \, @{current_a} \, @{loop_ft}}{@{drop_v}}",
    symbols={"current_a": "I", "loop_ft": "L", "drop_v": "E", "k": "K"},
    units={"current_a": "A", "loop_ft": "ft", "drop_v": "V", "k": "Ω·cmil/ft", "return": "cmil"},
    result="CM",
    title="Copper area by the circular-mil hand formula",
    source="marine practice, ABYC E-11 form; K = 10.75 is copper at about 29 °C",
)
def required_area_cmil(current_a: Number, loop_ft: Number, drop_v: Number, k: Number = 10.75) -> Number:
    """Least copper area by the hand formula in feet and circular mils, a check on the drop of the wire alone.

    Parameters
    ----------
    current_a : [A] current
    loop_ft : [ft] length out and back
    drop_v : [V] drop allowed
    k : [ohm cmil/ft] resistivity; 10.75 is copper at about 29 degC, 12.9 stranded copper at 75 degC

    Returns
    -------
    [cmil] least area, broadcast shape

    Source
    ------
    ABYC E-11 form.
    """
    return k * current_a * loop_ft / drop_v
