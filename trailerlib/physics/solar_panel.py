"""What a solar panel makes of the light that falls on it: how warm its cells get, its power, its current."""

from __future__ import annotations

import numpy as np

from trailerlib.physics.formula import Number, formula

LIGHT_WIND_M_S = 1.0


@formula(
    r"@{air_c} + @{irradiance_w_m2} \, e^{@{a} + @{b} \, @{wind_m_s}} + \frac{@{irradiance_w_m2}}{1000} \, @{inside_k}",
    symbols={
        "irradiance_w_m2": "G", "air_c": r"\theta_{air}", "wind_m_s": "v", "a": "a", "b": "b",
        "inside_k": r"\Delta\theta",
    },
    units={"irradiance_w_m2": "W/m²", "air_c": "°C", "wind_m_s": "m/s", "a": "-", "b": "s/m", "inside_k": "K",
           "return": "°C"},
    result=r"\theta_{cell}",
    title="Temperature of the cells of a panel",
    source="King, Boyson, Kratochvil, SAND2004-3535, close to the roof",
)  # fmt: skip
def cell_temperature_c(
    irradiance_w_m2: Number,
    air_c: Number,
    wind_m_s: Number = LIGHT_WIND_M_S,
    a: Number = -2.98,
    b: Number = -0.0471,
    inside_k: Number = 1.0,
) -> Number:
    """How warm the cells of a panel get.

    Parameters
    ----------
    irradiance_w_m2 : [W/m2] on the panel
    air_c : [degC] air around it
    wind_m_s : [m/s] at 10 m height
    a : [-] the panel's mounting; the default stands close above a roof
    b : [s/m] the same
    inside_k : [K] cells above the back of the panel at 1000 W/m2

    Returns
    -------
    [degC] broadcast shape

    Source
    ------
    King, Boyson, Kratochvil, Photovoltaic array performance model, SAND2004-3535, table 1, glass on glass, close to the
    roof, as pvlib has it.
    """
    return air_c + irradiance_w_m2 * np.exp(a + b * wind_m_s) + irradiance_w_m2 / 1000.0 * inside_k


@formula(
    r"@{rated_w} \, \frac{@{irradiance_w_m2}}{1000} \, \max \left( 0, 1 + @{per_k} \, \left( @{cell_c} - 25 \right) "
    r"\right) \, \left( 1 - @{shading} \right) \, \left( 1 - @{losses} \right)",
    symbols={"rated_w": "P_{0}", "irradiance_w_m2": "G", "cell_c": r"\theta_{cell}", "per_k": r"\gamma",
             "shading": "s", "losses": "l"},
    units={"rated_w": "W", "irradiance_w_m2": "W/m²", "cell_c": "°C", "per_k": "1/K", "shading": "-", "losses": "-",
           "return": "W"},
    result="P",
    title="Power of a panel",
    source="standard test conditions, IEC 60904-3: 1000 W/m², 25 °C",
)  # fmt: skip
def panel_power_w(
    rated_w: Number,
    irradiance_w_m2: Number,
    cell_c: Number,
    per_k: Number = -0.0045,
    shading: Number = 0.0,
    losses: Number = 0.0,
) -> Number:
    """What a panel sends through a tracking controller.

    Parameters
    ----------
    rated_w : [W] on the plate, at standard test conditions
    irradiance_w_m2 : [W/m2] on the panel
    cell_c : [degC] of its cells
    per_k : [1/K] change of power with temperature
    shading : [-] share of the sun that is taken away
    losses : [-] share that wire, dirt and controller take

    Returns
    -------
    [W] at the battery, broadcast shape, never negative

    Source
    ------
    Linear in the light and the temperature from standard test conditions (IEC 60904-3), as pvlib's PVWatts.
    """
    warmth = np.maximum(0.0, 1.0 + per_k * (cell_c - 25.0))
    return rated_w * irradiance_w_m2 / 1000.0 * warmth * (1.0 - shading) * (1.0 - losses)


@formula(
    r"\frac{@{rated_w}}{@{working_v}} \, \frac{@{irradiance_w_m2}}{1000} \, \left( 1 - @{shading} \right) \, "
    r"\left( 1 - @{losses} \right)",
    symbols={"rated_w": "P_{0}", "working_v": "V_{mp}", "irradiance_w_m2": "G", "shading": "s", "losses": "l"},
    units={"rated_w": "W", "working_v": "V", "irradiance_w_m2": "W/m²", "shading": "-", "losses": "-", "return": "A"},
    result="I",
    title="Current of a panel tied to the battery",
    source="definition of the rated current at standard test conditions",
)
def switching_current_a(
    rated_w: Number,
    working_v: Number,
    irradiance_w_m2: Number,
    shading: Number = 0.0,
    losses: Number = 0.0,
) -> Number:
    """What a panel sends through a controller that only switches it on to the battery.

    The panel works at the battery's voltage with about its rated current; what lies between the two voltages is lost.
    Its short-circuit current, some 7 % more, would flow at a very low battery only. Known limit: with cells above some
    60 degC the rated voltage of a panel for the same battery comes down to the absorption voltage, and less flows.

    Parameters
    ----------
    rated_w : [W] on the plate
    working_v : [V] rated voltage at full power
    irradiance_w_m2 : [W/m2] on the panel
    shading : [-] share of the sun that is taken away
    losses : [-] share that dirt takes

    Returns
    -------
    [A] into the battery, broadcast shape

    Source
    ------
    Definition of the rated current; current is linear in the light.
    """
    return rated_w / working_v * irradiance_w_m2 / 1000.0 * (1.0 - shading) * (1.0 - losses)
