"""Sun on the skin of a box: what falls on each face, and the air temperature that would heat the skin as much.

The sky itself is ``physics.sun``'s. Here its parts are laid on faces that look anywhere, with shade that keeps off the
direct part alone.
"""

from __future__ import annotations

import numpy as np

from trailerlib.physics.formula import Number, formula

SKY_LOSS_W_M2 = 63.0  # what a level black face sends to a clear sky beyond what it gets; ASHRAE, from memory
OUTSIDE_W_M2K = 17.0  # film outside with light wind, of a painted face; ASHRAE's 3.0 Btu/(h ft2 F)
PAINTED_EMITTANCE = 0.9
RADIATION_W_M2K = 6.2  # 4 sigma T³ at 301 K: the share of the film that goes by radiation, for an emittance of 1


def facing_cosine(zenith_deg: Number, sun_azimuth_deg: Number, tilt_deg: Number, azimuth_deg: Number) -> Number:
    """Cosine of the angle between the sun and what stands straight up from a face.

    Parameters
    ----------
    zenith_deg : [deg] of the sun, 0 is overhead
    sun_azimuth_deg : [deg] of the sun, 180 is south
    tilt_deg : [deg] of the face, 0 is a roof, 90 a wall
    azimuth_deg : [deg] where the face looks

    Returns
    -------
    [-] broadcast shape; 0 where the sun is behind the face or under the horizon

    Source
    ------
    Spherical trigonometry (Duffie and Beckman, eq. 1.6.3, from memory).
    """
    high, tilt = np.radians(zenith_deg), np.radians(tilt_deg)
    turn = np.radians(np.asarray(sun_azimuth_deg) - azimuth_deg)
    cosine = np.cos(high) * np.cos(tilt) + np.sin(high) * np.sin(tilt) * np.cos(turn)
    return np.where(np.cos(high) > 0.0, np.maximum(cosine, 0.0), 0.0)[()]


@formula(
    r"\left( 1 - @{shade} \right) \, @{dni} \, @{facing} + @{dhi} \, @{sky_share} + @{albedo} \, @{ghi} \, "
    r"\left( 1 - @{sky_share} \right)",
    symbols={"dni": "I_{b}", "dhi": "I_{d}", "ghi": "I_{g}", "facing": "c", "sky_share": "F", "shade": "s",
             "albedo": r"\rho"},
    units={"dni": "W/m²", "dhi": "W/m²", "ghi": "W/m²", "facing": "-", "sky_share": "-", "shade": "-", "albedo": "-",
           "return": "W/m²"},
    result="I",
    title="Sun on a face",
    source="Liu and Jordan: scattered light alike from the whole sky",
)  # fmt: skip
def face_irradiance_w_m2(
    dni: Number,
    dhi: Number,
    ghi: Number,
    facing: Number,
    sky_share: Number,
    shade: Number = 0.0,
    albedo: Number = 0.2,
) -> Number:
    """What falls on a face: straight from the sun, from the sky, and back from the ground.

    Parameters
    ----------
    dni : [W/m2] straight from the sun
    dhi : [W/m2] from the rest of the sky, on level ground
    ghi : [W/m2] both, on level ground
    facing : [-] cosine of the angle to the sun, as ``facing_cosine`` gives it
    sky_share : [-] of what the face looks at: 1 for a roof, 0.5 for a wall, 0 for the underside
    shade : [-] share of the direct sun that is kept off
    albedo : [-] share of the light that the ground throws back

    Returns
    -------
    [W/m2] broadcast shape

    Source
    ------
    Liu and Jordan, as pvlib's isotropic sky.
    """
    return (1.0 - shade) * dni * facing + dhi * sky_share + albedo * ghi * (1.0 - sky_share)


@formula(
    r"17 + 6.2 \, \left( @{emittance} - 0.9 \right)",
    symbols={"emittance": r"\varepsilon"},
    units={"emittance": "-", "return": "W/(m²·K)"},
    result="h_{o}",
    title="Film of air outside, light wind",
    source="ASHRAE Fundamentals: 17 W/(m²·K) for paint; radiation by 4σT³ at 301 K",
)
def outside_film_w_m2k(emittance: Number) -> Number:
    """How well a skin gives off heat in light wind.

    Parameters
    ----------
    emittance : [-] of the skin for warmth; bright metal sends out little

    Returns
    -------
    [W/(m2 K)] same shape

    Source
    ------
    17 W/(m2 K) for painted faces, as ASHRAE's sol-air temperature takes it; what a bare one lacks is radiation.
    """
    return OUTSIDE_W_M2K + RADIATION_W_M2K * (emittance - PAINTED_EMITTANCE)


@formula(
    r"@{air_c} + \frac{@{absorptance} \, @{irradiance_w_m2} - @{sky_loss_w_m2}}{@{film_w_m2k}}",
    symbols={"air_c": r"\theta_{o}", "irradiance_w_m2": "I", "absorptance": r"\alpha",
             "sky_loss_w_m2": r"\varepsilon \, \Delta R", "film_w_m2k": "h_{o}"},
    units={"air_c": "°C", "irradiance_w_m2": "W/m²", "absorptance": "-", "sky_loss_w_m2": "W/m²",
           "film_w_m2k": "W/(m²·K)", "return": "°C"},
    result=r"\theta_{sol}",
    title="Sol-air temperature",
    source="ASHRAE Fundamentals, sol-air temperature",
)  # fmt: skip
def sol_air_c(
    air_c: Number, irradiance_w_m2: Number, absorptance: Number, sky_loss_w_m2: Number, film_w_m2k: Number
) -> Number:
    """Temperature that air without sun would need to heat a skin as much as air and sun do.

    Parameters
    ----------
    air_c : [degC] air outside
    irradiance_w_m2 : [W/m2] on the face
    absorptance : [-] share of the sun the skin takes up
    sky_loss_w_m2 : [W/m2] what it sends to a clear sky beyond what it gets, emittance counted
    film_w_m2k : [W/(m2 K)] how well it gives off heat

    Returns
    -------
    [degC] broadcast shape

    Source
    ------
    ASHRAE Fundamentals, sol-air temperature.
    """
    return air_c + (absorptance * irradiance_w_m2 - sky_loss_w_m2) / film_w_m2k


def sky_loss_w_m2(emittance: Number, tilt_deg: Number) -> Number:
    """What a skin sends to a clear sky beyond what it gets back.

    Parameters
    ----------
    emittance : [-] of the skin for warmth
    tilt_deg : [deg] 0 is a roof, 90 a wall: what a wall loses to the sky it gets from warm ground

    Returns
    -------
    [W/m2] broadcast shape

    Source
    ------
    ASHRAE Fundamentals (from memory): 63 W/m2 for a level face, none for an upright one; between by the cosine.
    """
    return SKY_LOSS_W_M2 * emittance * np.maximum(np.cos(np.radians(tilt_deg)), 0.0)


@formula(
    r"@{highest_c} - @{below} \, @{range_k}",
    symbols={"highest_c": r"\theta_{max}", "below": "p", "range_k": "r"},
    units={"highest_c": "°C", "below": "-", "range_k": "K", "return": "°C"},
    result=r"\theta_{o}",
    title="Air of a design day at one hour",
    source="ASHRAE Fundamentals, share of the daily range (from memory)",
)
def design_air_c(highest_c: Number, below: Number, range_k: Number) -> Number:
    """Air outside at one hour of a design day.

    Parameters
    ----------
    highest_c : [degC] of the day
    below : [-] how far under the highest, as a share of the range: 0 in mid afternoon, 1 before sunrise
    range_k : [K] between the highest and the lowest of the day

    Returns
    -------
    [degC] broadcast shape

    Source
    ------
    ASHRAE Fundamentals, share of the daily range by the hour (from memory; table ``design_day``).
    """
    return highest_c - below * range_k
