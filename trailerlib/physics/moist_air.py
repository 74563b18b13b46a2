"""Air with water in it: its water, its dry part, and what ventilation carries.

The properties are psychrolib's (ASHRAE Fundamentals, psychrometrics); here they take arrays and keep to one system of
units.
"""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np

from trailerlib.physics.formula import Number, formula

DRY_AIR_J_PER_KGK = 1006.0
VAPOUR_J_PER_KGK = 1860.0
EVAPORATION_J_PER_KG = 2.501e6


@cache
def _psychrolib() -> Any:
    """Imported late; its unit system is one for the whole process, and is set once."""
    import psychrolib  # type: ignore[import-untyped]

    psychrolib.SetUnitSystem(psychrolib.SI)
    return psychrolib


def _each(name: str, *inputs: Number) -> Number:
    function = getattr(_psychrolib(), name)
    if all(np.ndim(value) == 0 for value in inputs):
        return float(function(*(float(value) for value in inputs)))
    filled: Number = np.vectorize(function, otypes=[float])(*inputs)
    return filled


def humidity_ratio(air_c: Number, relative_humidity: Number, pressure_pa: Number) -> Number:
    """Water in the air for each kilogram of dry air.

    Parameters
    ----------
    air_c : [degC] air
    relative_humidity : [-] 0 to 1
    pressure_pa : [Pa] of the air

    Returns
    -------
    [kg/kg] broadcast shape

    Source
    ------
    psychrolib, ASHRAE Fundamentals.
    """
    return _each("GetHumRatioFromRelHum", air_c, relative_humidity, pressure_pa)


def humidity_ratio_of_dew(dew_c: Number, pressure_pa: Number) -> Number:
    """Water in the air by its dew point.

    Parameters
    ----------
    dew_c : [degC] dew point
    pressure_pa : [Pa] of the air

    Returns
    -------
    [kg/kg] broadcast shape

    Source
    ------
    psychrolib, ASHRAE Fundamentals.
    """
    return _each("GetHumRatioFromTDewPoint", dew_c, pressure_pa)


def relative_humidity(air_c: Number, water: Number, pressure_pa: Number) -> Number:
    """Share of the water that the air could hold.

    Parameters
    ----------
    air_c : [degC] air
    water : [kg/kg] humidity ratio
    pressure_pa : [Pa] of the air

    Returns
    -------
    [-] broadcast shape

    Source
    ------
    psychrolib, ASHRAE Fundamentals.
    """
    return _each("GetRelHumFromHumRatio", air_c, water, pressure_pa)


def wet_bulb_c(air_c: Number, relative_humidity: Number, pressure_pa: Number) -> Number:
    """Wet bulb of air.

    Parameters
    ----------
    air_c : [degC] air
    relative_humidity : [-] 0 to 1
    pressure_pa : [Pa] of the air

    Returns
    -------
    [degC] broadcast shape

    Source
    ------
    psychrolib, ASHRAE Fundamentals.
    """
    return _each("GetTWetBulbFromRelHum", air_c, relative_humidity, pressure_pa)


def dew_point_c(air_c: Number, relative_humidity: Number) -> Number:
    """Temperature of a surface on which the air begins to leave its water.

    Parameters
    ----------
    air_c : [degC] air
    relative_humidity : [-] above 0, up to 1

    Returns
    -------
    [degC] broadcast shape

    Source
    ------
    psychrolib, ASHRAE Fundamentals.
    """
    return _each("GetTDewPointFromRelHum", air_c, relative_humidity)


def dry_air_kg_m3(air_c: Number, water: Number, pressure_pa: Number) -> Number:
    """Dry air in a cubic metre of moist air: what humidity ratios and heat contents count by.

    Parameters
    ----------
    air_c : [degC] air
    water : [kg/kg] humidity ratio
    pressure_pa : [Pa] of the air

    Returns
    -------
    [kg/m3] broadcast shape

    Source
    ------
    psychrolib, ASHRAE Fundamentals.
    """
    return 1.0 / _each("GetMoistAirVolume", air_c, water, pressure_pa)


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
