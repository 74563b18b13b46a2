"""Water in the air of a box with people in it, and where it settles.

The air inside is taken as well mixed. What goes into walls and bedding, and what settles on glass, is left out, so
water is reckoned too high rather than too low.
"""

from __future__ import annotations

import numpy as np

from trailerlib.physics.formula import Number, formula
from trailerlib.physics.indoor_air import Floats, mixed_air
from trailerlib.physics.moist_air import EVAPORATION_J_PER_KG


def water_night(
    people: Number,
    latent_w: Number,
    flow_m3_s: Number,
    volume_m3: Number,
    dry_kg_m3: Number,
    step_h: float,
    start: Number,
    outside: Number,
) -> Floats:
    """Water in the air over a night; beyond what the air can hold, the rest is what would settle.

    Parameters
    ----------
    people : [-] inside, shape (..., steps)
    latent_w : [W] heat of the water that one gives off; a float or shape (..., steps)
    flow_m3_s : [m3/s] air from outside, not below zero; shape (..., steps)
    volume_m3 : [m3] of the box, a float or shape (...)
    dry_kg_m3 : [kg/m3] dry air in the air inside
    step_h : [h] length of a step
    start : [kg/kg] humidity ratio at first
    outside : [kg/kg] humidity ratio outside

    Returns
    -------
    [kg/kg] shape (..., steps + 1), the first is the start

    Source
    ------
    Mass balance of well-mixed air; water by its heat of evaporation.
    """
    given = np.asarray(people) * water_kg_s(latent_w) / dry_kg_m3
    return mixed_air(given, flow_m3_s, volume_m3, step_h, start, outside)


@formula(
    r"\frac{@{latent_w}}{2.501 \times 10^{6}}",
    symbols={"latent_w": r"\Phi_{l}"},
    units={"latent_w": "W", "return": "kg/s"},
    result=r"q_{m}",
    title="Water that one person gives off",
    source="heat of evaporation at 0 °C",
)
def water_kg_s(latent_w: Number) -> Number:
    """Water that goes with a latent heat.

    Parameters
    ----------
    latent_w : [W] heat of the water given off

    Returns
    -------
    [kg/s] same shape

    Source
    ------
    Heat of evaporation at 0 degC, as all latent heat here is counted.
    """
    return latent_w / EVAPORATION_J_PER_KG


@formula(
    r"@{inside_c} - @{u} \, @{inside_r} \, \left( @{inside_c} - @{outside_c} \right)",
    symbols={"inside_c": r"\theta_{i}", "outside_c": r"\theta_{o}", "u": "U", "inside_r": "R_{i}"},
    units={"inside_c": "°C", "outside_c": "°C", "u": "W/(m²·K)", "inside_r": "m²·K/W", "return": "°C"},
    result=r"\theta_{s}",
    title="Inside face of a wall",
    source="resistances in series",
)
def surface_c(inside_c: Number, outside_c: Number, u: Number, inside_r: Number) -> Number:
    """Temperature of the inside face: water settles on it where it is under the dew point.

    Parameters
    ----------
    inside_c : [degC] air inside
    outside_c : [degC] air outside
    u : [W/(m2 K)] of the face there, air to air
    inside_r : [m2 K/W] film of air inside

    Returns
    -------
    [degC] broadcast shape

    Source
    ------
    Resistances in series: the film of air takes its share of the difference.
    """
    return inside_c - u * inside_r * (inside_c - outside_c)
