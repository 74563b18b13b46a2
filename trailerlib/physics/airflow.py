"""Air through what is cracked open: openings, screens, air changes, leaks.

Wind and the lift of warm air are left out: they may help a fan, and they may stand against it.
"""

from __future__ import annotations

from trailerlib.physics.formula import Number, formula

SEA_LEVEL_KG_M3 = 1.2041  # dry air of 20 degC, for which fans are rated
SHARP_EDGE = 0.61
SCREEN_PASSES = 0.5  # an insect screen takes 35 to 50 % of the flow (from memory); the safe end


@formula(
    r"@{coefficient} \, @{free_m2} \, @{passes}",
    symbols={"free_m2": "A", "passes": "s", "coefficient": "C_{d}"},
    units={"free_m2": "m²", "passes": "-", "coefficient": "-", "return": "m²"},
    result="C_{d} A",
    title="What an opening is worth to the air",
    source="sharp-edged opening, fluid mechanics handbooks (from memory)",
)
def effective_m2(free_m2: Number, passes: Number = 1.0, coefficient: Number = SHARP_EDGE) -> Number:
    """An opening as an ideal nozzle of less area; openings side by side add.

    Parameters
    ----------
    free_m2 : [m2] that stands open
    passes : [-] share of the flow that a screen lets through; 1 without one
    coefficient : [-] discharge coefficient of its edge

    Returns
    -------
    [m2] broadcast shape

    Source
    ------
    Sharp-edged opening, 0.60 to 0.65 (from memory).
    """
    return coefficient * free_m2 * passes


@formula(
    r"\frac{@{density_kg_m3}}{2} \, \left( \frac{@{flow_m3_s}}{@{effective_m2}} \right)^{2}",
    symbols={"flow_m3_s": r"q", "effective_m2": "C_{d} A", "density_kg_m3": r"\rho"},
    units={"flow_m3_s": "m³/s", "effective_m2": "m²", "density_kg_m3": "kg/m³", "return": "Pa"},
    result=r"\Delta p",
    title="Pressure it takes to draw air through an opening",
    source="Bernoulli's equation with a discharge coefficient (NISTIR 6921)",
)
def opening_pressure_pa(flow_m3_s: Number, effective_m2: Number, density_kg_m3: Number = SEA_LEVEL_KG_M3) -> Number:
    """Pressure that a flow needs to pass the openings.

    Parameters
    ----------
    flow_m3_s : [m3/s] through all openings
    effective_m2 : [m2] of all openings, above zero
    density_kg_m3 : [kg/m3] of the air

    Returns
    -------
    [Pa] broadcast shape

    Source
    ------
    Bernoulli's equation with a discharge coefficient, as NISTIR 6921 writes it, solved for the pressure.
    """
    return 0.5 * density_kg_m3 * (flow_m3_s / effective_m2) ** 2


@formula(
    r"\frac{3600 \, @{flow_m3_s}}{@{volume_m3}}",
    symbols={"flow_m3_s": r"q", "volume_m3": "V"},
    units={"flow_m3_s": "m³/s", "volume_m3": "m³", "return": "1/h"},
    result="n",
    title="Air changes an hour",
    source="definition",
)
def air_changes_per_h(flow_m3_s: Number, volume_m3: Number) -> Number:
    """How often the air inside is renewed.

    Parameters
    ----------
    flow_m3_s : [m3/s] from outside
    volume_m3 : [m3] of the box

    Returns
    -------
    [1/h] broadcast shape

    Source
    ------
    Definition.
    """
    return 3600.0 * flow_m3_s / volume_m3


def leakage_m3_s(changes_per_h: Number, volume_m3: Number) -> Number:
    """Air that comes in with all shut.

    Parameters
    ----------
    changes_per_h : [1/h] air changes with all shut
    volume_m3 : [m3] of the box

    Returns
    -------
    [m3/s] broadcast shape

    Source
    ------
    ``air_changes_per_h`` the other way round.
    """
    return changes_per_h * volume_m3 / 3600.0
