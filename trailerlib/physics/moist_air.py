"""What a flow of outside air carries into a room: warmth, and the heat of its water."""

from __future__ import annotations

from trailerlib.physics.formula import Number, formula

DRY_AIR_J_PER_KGK = 1006.0
VAPOUR_J_PER_KGK = 1860.0
EVAPORATION_J_PER_KG = 2.501e6


@formula(
    r"@{flow_m3_s} \, @{dry_kg_m3} \, \left( 1006 + 1860 \, @{water} \right) \, "
    r"\left( @{outside_c} - @{inside_c} \right)",
    symbols={"flow_m3_s": r"q", "dry_kg_m3": r"\rho", "water": "w", "outside_c": r"\theta_{o}",
             "inside_c": r"\theta_{i}"},
    units={"flow_m3_s": "m³/s", "dry_kg_m3": "kg/m³", "water": "kg/kg", "outside_c": "°C", "inside_c": "°C",
           "return": "W"},
    result=r"\Phi_{s}",
    title="Warmth that comes in with air",
    source="heat balance; ASHRAE Fundamentals: 1.08 Btu/(h·cfm·°F) at sea level",
)  # fmt: skip
def ventilation_sensible_w(
    flow_m3_s: Number, dry_kg_m3: Number, water: Number, outside_c: Number, inside_c: Number
) -> Number:
    """Warmth that a flow of outside air brings in; negative where it is cooler.

    Parameters
    ----------
    flow_m3_s : [m3/s] of the air
    dry_kg_m3 : [kg/m3] dry air in it, which falls with the pressure: at a height 1.08 falls as the pressure does
    water : [kg/kg] humidity ratio
    outside_c : [degC] air outside
    inside_c : [degC] air inside

    Returns
    -------
    [W] broadcast shape

    Source
    ------
    Heat balance; heat capacities as in ASHRAE Fundamentals.
    """
    return flow_m3_s * dry_kg_m3 * (DRY_AIR_J_PER_KGK + VAPOUR_J_PER_KGK * water) * (outside_c - inside_c)


@formula(
    r"2.501 \times 10^{6} \, @{flow_m3_s} \, @{dry_kg_m3} \, \left( @{outside_water} - @{inside_water} \right)",
    symbols={"flow_m3_s": r"q", "dry_kg_m3": r"\rho", "outside_water": "w_{o}", "inside_water": "w_{i}"},
    units={"flow_m3_s": "m³/s", "dry_kg_m3": "kg/m³", "outside_water": "kg/kg", "inside_water": "kg/kg",
           "return": "W"},
    result=r"\Phi_{l}",
    title="Heat of the water that comes in with air",
    source="heat balance; ASHRAE Fundamentals: 0.68 Btu/(h·cfm·grain) at sea level",
)  # fmt: skip
def ventilation_latent_w(flow_m3_s: Number, dry_kg_m3: Number, outside_water: Number, inside_water: Number) -> Number:
    """Heat that it takes to condense the water that a flow of outside air brings in; negative where it is drier.

    Parameters
    ----------
    flow_m3_s : [m3/s] of the air
    dry_kg_m3 : [kg/m3] dry air in it
    outside_water : [kg/kg] humidity ratio outside
    inside_water : [kg/kg] humidity ratio inside

    Returns
    -------
    [W] broadcast shape

    Source
    ------
    Heat balance; heat of evaporation at 0 degC. The trade's 0.68 takes 1076 Btu/lb, 0.07 % more.
    """
    return EVAPORATION_J_PER_KG * flow_m3_s * dry_kg_m3 * (outside_water - inside_water)
