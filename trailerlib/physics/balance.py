"""How a trailer lies on its coupler, axles and wheels: statics of a stiff body, distances from the coupler."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics.formula import Number, formula

Floats = NDArray[np.float64]

_STATICS = "moments of weight about the coupler; statics of a stiff body"


def centre_of_mass(mass_kg: Floats, place_m: Floats) -> tuple[Floats, Floats]:
    """Mass of all things together and where its centre lies.

    Parameters
    ----------
    mass_kg : [kg] shape (..., n)
    place_m : [m] shape (..., n), measured from anywhere

    Returns
    -------
    tuple
        Total [kg] and centre [m], each of shape (...).

    Source
    ------
    Definition of the centre of mass.
    """
    total = np.sum(mass_kg, axis=-1)
    return total, np.sum(np.asarray(mass_kg) * place_m, axis=-1) / total


def holding_axle_m(axles_m: Floats, *, shared: bool) -> Floats:
    """The one axle that would carry what several carry together: how far behind the coupler it would stand.

    With an equaliser the axles carry alike, so it is their middle. With springs alike and none, the body tilts about
    the coupler and an axle carries in proportion to its distance.

    Parameters
    ----------
    axles_m : [m] behind the coupler, shape (..., n)
    shared : whether an equaliser shares the load

    Returns
    -------
    [m] shape (...)

    Source
    ------
    Statics; for springs without an equaliser, a stiff body on springs alike.
    """
    if shared:
        return np.asarray(np.mean(axles_m, axis=-1))
    return np.asarray(np.sum(np.square(axles_m), axis=-1) / np.sum(axles_m, axis=-1))


def axle_shares(axles_m: Floats, *, shared: bool) -> Floats:
    """What each axle carries of the load on all of them.

    Parameters
    ----------
    axles_m : [m] behind the coupler, shape (..., n)
    shared : whether an equaliser shares the load

    Returns
    -------
    [-] shape (..., n), together 1

    Source
    ------
    Statics; for springs without an equaliser, a stiff body on springs alike.
    """
    axles = np.asarray(axles_m, dtype=float)
    return np.full_like(axles, 1.0 / axles.shape[-1]) if shared else axles / np.sum(axles, axis=-1, keepdims=True)


@formula(
    r"@{gross_kg} \, \left( 1 - \frac{@{centre_m}}{@{axle_m}} \right)",
    symbols={"gross_kg": "W", "centre_m": "x_{c}", "axle_m": "x_{a}"},
    units={"gross_kg": "kg", "centre_m": "m", "axle_m": "m", "return": "kg"},
    result="T",
    title="On the coupler",
    source=_STATICS,
)
def tongue_kg(gross_kg: Number, centre_m: Number, axle_m: Number) -> Number:
    """What the coupler carries; below zero it would rise.

    Parameters
    ----------
    gross_kg : [kg] the whole trailer
    centre_m : [m] its balance point, behind the coupler
    axle_m : [m] the axle that carries, behind the coupler

    Returns
    -------
    [kg] broadcast shape

    Source
    ------
    Moments about the coupler.
    """
    return gross_kg * (1.0 - centre_m / axle_m)


@formula(
    r"@{gross_kg} \, \frac{@{centre_m}}{@{axle_m}}",
    symbols={"gross_kg": "W", "centre_m": "x_{c}", "axle_m": "x_{a}"},
    units={"gross_kg": "kg", "centre_m": "m", "axle_m": "m", "return": "kg"},
    result="A",
    title="On the wheels",
    source=_STATICS,
)
def wheels_kg(gross_kg: Number, centre_m: Number, axle_m: Number) -> Number:
    """What all wheels carry together.

    Parameters
    ----------
    gross_kg : [kg] the whole trailer
    centre_m : [m] its balance point, behind the coupler
    axle_m : [m] the axle that carries, behind the coupler

    Returns
    -------
    [kg] broadcast shape

    Source
    ------
    Moments about the coupler.
    """
    return gross_kg * centre_m / axle_m


@formula(
    r"\frac{@{wheels_kg} \, @{axle_m}}{@{wheels_kg} + @{coupler_kg}}",
    symbols={"wheels_kg": "A", "coupler_kg": "T", "axle_m": "x_{a}"},
    units={"wheels_kg": "kg", "coupler_kg": "kg", "axle_m": "m", "return": "m"},
    result="x_{c}",
    title="Balance point from two readings of a scale",
    source=_STATICS,
)
def centre_from_scale_m(wheels_kg: Number, coupler_kg: Number, axle_m: Number) -> Number:
    """Where the balance point of a trailer lies that was weighed at coupler and wheels.

    Parameters
    ----------
    wheels_kg : [kg] under all wheels
    coupler_kg : [kg] under the coupler, the trailer level
    axle_m : [m] the axle that carries, behind the coupler

    Returns
    -------
    [m] behind the coupler, broadcast shape

    Source
    ------
    Moments about the coupler.
    """
    return wheels_kg * axle_m / (wheels_kg + coupler_kg)


@formula(
    r"\frac{@{gross_kg} \, @{centre_m} - @{coupler_kg} \, @{ball_m} - @{wheels_kg} \, @{left_m}}{@{track_m}}",
    symbols={"gross_kg": "W", "centre_m": "y_{c}", "coupler_kg": "T", "ball_m": "y_{b}", "wheels_kg": "A",
             "left_m": "y_{l}", "track_m": "t"},
    units={"gross_kg": "kg", "centre_m": "m", "coupler_kg": "kg", "ball_m": "m", "wheels_kg": "kg", "left_m": "m",
           "track_m": "m", "return": "kg"},
    result="R",
    title="On the right wheels",
    source="moments of weight about the left wheels; the coupler turns freely and holds no roll",
)  # fmt: skip
def right_wheels_kg(
    gross_kg: Number,
    centre_m: Number,
    coupler_kg: Number,
    ball_m: Number,
    wheels_kg: Number,
    left_m: Number,
    track_m: Number,
) -> Number:
    """What the right wheels carry together.

    Parameters
    ----------
    gross_kg : [kg] the whole trailer
    centre_m : [m] its balance point from the left wall
    coupler_kg : [kg] on the coupler
    ball_m : [m] the coupler from the left wall
    wheels_kg : [kg] on all wheels
    left_m : [m] the left wheels from the left wall, below zero outside
    track_m : [m] from wheel to wheel across

    Returns
    -------
    [kg] broadcast shape

    Source
    ------
    Moments about the left wheels.
    """
    return (gross_kg * centre_m - coupler_kg * ball_m - wheels_kg * left_m) / track_m


@formula(
    r"\frac{@{mass_kg} \, @{forward_m}}{@{axle_m}}",
    symbols={"mass_kg": "m", "forward_m": "d", "axle_m": "a"},
    units={"mass_kg": "kg", "forward_m": "m", "axle_m": "m", "return": "kg"},
    result=r"\Delta T",
    title="More on the coupler when a thing is moved forward",
    source="moments about the axle",
)
def moved_tongue_kg(mass_kg: Number, forward_m: Number, axle_m: Number) -> Number:
    """How much more the coupler carries when a thing is moved forward; backward it carries less.

    Parameters
    ----------
    mass_kg : [kg] of the thing
    forward_m : [m] towards the coupler, below zero away from it
    axle_m : [m] the axle that carries, behind the coupler

    Returns
    -------
    [kg] broadcast shape

    Source
    ------
    Moments about the axle: the difference of ``tongue_kg`` before and after.
    """
    return mass_kg * forward_m / axle_m


@formula(
    r"@{axle_m} \, \left( 1 - \frac{@{wanted_kg} - @{without_kg}}{@{mass_kg}} \right)",
    symbols={"axle_m": "x_{a}", "wanted_kg": "T", "without_kg": "T_{0}", "mass_kg": "m"},
    units={"axle_m": "m", "wanted_kg": "kg", "without_kg": "kg", "mass_kg": "kg", "return": "m"},
    result="x",
    title="Where a thing has to stand",
    source=_STATICS,
)
def place_for_tongue_m(axle_m: Number, wanted_kg: Number, without_kg: Number, mass_kg: Number) -> Number:
    """How far behind the coupler a thing has to stand for so much on the coupler.

    Parameters
    ----------
    axle_m : [m] the axle that carries, behind the coupler
    wanted_kg : [kg] on the coupler
    without_kg : [kg] on the coupler without this thing
    mass_kg : [kg] of the thing

    Returns
    -------
    [m] behind the coupler, broadcast shape

    Source
    ------
    Moments about the coupler.
    """
    return axle_m * (1.0 - (wanted_kg - without_kg) / mass_kg)


@formula(
    r"@{gross_kg} \, \left( 1 + \frac{2 \, @{off_m}}{@{track_m}} \right) - 2 \, @{side_kg}",
    symbols={"gross_kg": "W", "off_m": "y", "track_m": "t", "side_kg": "S"},
    units={"gross_kg": "kg", "off_m": "m", "track_m": "m", "side_kg": "kg", "return": "kg"},
    result="T",
    title="On the coupler when a side carries so much",
    source="moments of weight about the middle; the coupler stands there and holds no roll",
)
def tongue_for_side_kg(gross_kg: Number, off_m: Number, track_m: Number, side_kg: Number) -> Number:
    """What is on the coupler when the wheels of one side carry so much: with less on it they carry more.

    Parameters
    ----------
    gross_kg : [kg] the whole trailer
    off_m : [m] its balance point from the middle, toward that side
    track_m : [m] from wheel to wheel across
    side_kg : [kg] on the wheels of that side

    Returns
    -------
    [kg] broadcast shape

    Source
    ------
    Moments about the middle of the trailer.
    """
    return gross_kg * (1.0 + 2.0 * off_m / track_m) - 2.0 * side_kg
