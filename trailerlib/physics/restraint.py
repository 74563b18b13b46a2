"""What holds a heavy thing on the road: straps by their angle, friction under what is pressed down, bolts.

Forces are said as the weight they equal [kg], as straps are marked; times 9.80665 they are newtons.
"""

from __future__ import annotations

import numpy as np

from trailerlib.physics.formula import Number, formula

_YARDSTICK = "49 CFR 393.102, 393.106; written for commercial carriers and used as a yardstick"


@formula(
    r"@{share} \, @{mass_kg}",
    symbols={"share": "a/g", "mass_kg": "m"},
    units={"share": "-", "mass_kg": "kg", "return": "kg"},
    result="F",
    title="To be held",
    source=_YARDSTICK,
)
def asked_kg(mass_kg: Number, share: Number) -> Number:
    """Force to be held, as a weight.

    Parameters
    ----------
    mass_kg : [kg] of the thing
    share : [-] acceleration over that of gravity

    Returns
    -------
    [kg] broadcast shape

    Source
    ------
    Newton's second law; shares from 49 CFR 393.102.
    """
    return share * mass_kg


@formula(
    r"@{straps} \, @{limit_kg} \, \cos \left( \frac{\pi \, @{angle_deg}}{180} \right)",
    symbols={"straps": "n", "limit_kg": "L", "angle_deg": r"\alpha"},
    units={"straps": "-", "limit_kg": "kg", "angle_deg": "°", "return": "kg"},
    result="F_{h}",
    title="Straps along the floor",
    source="a strap's pull along the floor goes with the cosine of its angle from it",
)
def straps_along_kg(straps: Number, limit_kg: Number, angle_deg: Number) -> Number:
    """What straps that pull one way hold along the floor, at their working load limit.

    Parameters
    ----------
    straps : [-] how many pull this way
    limit_kg : [kg] working load limit of one
    angle_deg : [deg] from the floor

    Returns
    -------
    [kg] broadcast shape

    Source
    ------
    Parallelogram of forces.
    """
    return straps * limit_kg * np.cos(np.pi * angle_deg / 180.0)


@formula(
    r"@{ends} \, @{tension_kg} \, \sin \left( \frac{\pi \, @{angle_deg}}{180} \right)",
    symbols={"ends": "n_{e}", "tension_kg": "P", "angle_deg": r"\alpha"},
    units={"ends": "-", "tension_kg": "kg", "angle_deg": "°", "return": "kg"},
    result="F_{d}",
    title="Straps pressing down",
    source="a strap's pull downward goes with the sine of its angle from the floor",
)
def straps_down_kg(ends: Number, tension_kg: Number, angle_deg: Number) -> Number:
    """What strap ends under a tension press a thing down with.

    Parameters
    ----------
    ends : [-] how many ends come down to the floor: two of a strap that passes over, one of another
    tension_kg : [kg] in the strap
    angle_deg : [deg] from the floor

    Returns
    -------
    [kg] broadcast shape

    Source
    ------
    Parallelogram of forces.
    """
    return ends * tension_kg * np.sin(np.pi * angle_deg / 180.0)


@formula(
    r"@{friction} \, @{pressed_kg}",
    symbols={"friction": r"\mu", "pressed_kg": "F_{d}"},
    units={"friction": "-", "pressed_kg": "kg", "return": "kg"},
    result="F_{f}",
    title="Friction under what is pressed down",
    source="Coulomb's law of friction; its own weight is not counted, a rough road takes it away",
)
def friction_kg(pressed_kg: Number, friction: Number) -> Number:
    """What friction holds, as a weight.

    Parameters
    ----------
    pressed_kg : [kg] pressing down
    friction : [-] coefficient

    Returns
    -------
    [kg] broadcast shape

    Source
    ------
    Coulomb's law of friction.
    """
    return friction * pressed_kg


@formula(
    r"@{part} \, @{straps} \, @{limit_kg} + @{bolts_kg}",
    symbols={"part": "c", "straps": "n", "limit_kg": "L", "bolts_kg": "B"},
    units={"part": "-", "straps": "-", "limit_kg": "kg", "bolts_kg": "kg", "return": "kg"},
    result="S",
    title="Tie-downs together",
    source="49 CFR 393.106(d): half of each that ends at the thing, the whole of each that passes over it",
)
def counted_kg(straps: Number, limit_kg: Number, part: Number, bolts_kg: Number) -> Number:
    """Working load limits of all tie-downs together as they count.

    Parameters
    ----------
    straps : [-] how many
    limit_kg : [kg] working load limit of one
    part : [-] what of each counts: 1 of one that passes over, 1/2 of one that ends at the thing
    bolts_kg : [kg] of all bolts

    Returns
    -------
    [kg] broadcast shape

    Source
    ------
    49 CFR 393.106(d), read in a copy of the source.
    """
    return part * straps * limit_kg + bolts_kg
