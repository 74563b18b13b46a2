"""Bolts that hold a unit's frame to the roof: pull from lift and overturning, and shear, shared by a stiff plate.

The plate does not bend and the bolts are alike. They are tightened, so that the joint stays closed and gives way evenly
both ways: a bolt below zero is not pushed, its part of the gasket is. Forces act at the unit's centre of mass, at a
height above the plane of the bolts. Along the trailer, places are measured backward; across it, from the left.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics.formula import Number, formula

Floats = NDArray[np.float64]

_PLATE = "a stiff plate on bolts alike: their pull runs straight from side to side; statics"


@formula(
    r"\frac{@{lift_n}}{@{bolts}} + \frac{@{push_n} \, @{height_m} \, @{arm_m}}{@{squares_m2}}",
    symbols={"lift_n": "F", "bolts": "n", "push_n": "H", "height_m": "h", "arm_m": "a", "squares_m2": r"\Sigma a^{2}"},
    units={"lift_n": "N", "bolts": "-", "push_n": "N", "height_m": "m", "arm_m": "m", "squares_m2": "m²",
           "return": "N"},
    result="T",
    title="Pull of one bolt of an even group",
    source=_PLATE,
)  # fmt: skip
def even_bolt_n(
    lift_n: Number, bolts: Number, push_n: Number, height_m: Number, arm_m: Number, squares_m2: Number
) -> Number:
    """Pull of one bolt where the bolts lie evenly about the centre of mass and the push is along one of their axes.

    Parameters
    ----------
    lift_n : [N] upward
    bolts : [-] how many
    push_n : [N] level, by braking or in a bend
    height_m : [m] of the centre of mass above the bolts
    arm_m : [m] of this bolt from the middle, against the push
    squares_m2 : [m2] sum of the squares of the arms of all bolts

    Returns
    -------
    [N] broadcast shape

    Source
    ------
    Bolt group, stiff plate.
    """
    return lift_n / bolts + push_n * height_m * arm_m / squares_m2


def pull_n(
    at_m: Floats, centre_m: Floats, height_m: Number, lift_n: Number, forward_n: Number, leftward_n: Number
) -> Floats:
    """Pull of every bolt of any group, under lift and level forces that come from anywhere.

    Parameters
    ----------
    at_m : [m] of the bolts, along and across, shape (bolts, 2)
    centre_m : [m] of the centre of mass, along and across, shape (..., 2)
    height_m : [m] of the centre of mass above the bolts, shape (...)
    lift_n : [N] upward, below zero for weight, shape (...)
    forward_n : [N] toward the coupler, shape (...)
    leftward_n : [N] toward the left wall, shape (...)

    Returns
    -------
    [N] shape (..., bolts), below zero where the gasket is pressed

    Raises
    ------
    ValueError
        When the bolts lie on one line: they hold no overturning across it.

    Source
    ------
    Force and both moments balance; the pull is a plane over the places of the bolts.
    """
    at, centre = np.asarray(at_m, dtype=float), np.asarray(centre_m, dtype=float)
    plane = np.concatenate([np.ones((at.shape[0], 1)), at - at.mean(axis=0)], axis=1)
    if np.linalg.matrix_rank(plane) < 3:
        raise ValueError("Bolts: at least three that do not lie on one line are needed to hold a plate.")
    off = centre - at.mean(axis=0)
    lift = np.asarray(lift_n, dtype=float)
    along, across = lift * off[..., 0] + forward_n * height_m, lift * off[..., 1] + leftward_n * height_m
    asked = np.stack(np.broadcast_arrays(lift, along, across), axis=-1)
    return np.asarray(np.linalg.solve(plane.T @ plane, asked[..., None])[..., 0] @ plane.T)


def shear_n(at_m: Floats, centre_m: Floats, forward_n: Number, leftward_n: Number) -> Floats:
    """Shear of every bolt: the level force evenly, and what turns the plate about the middle of the bolts.

    Parameters
    ----------
    at_m : [m] of the bolts, along and across, shape (bolts, 2)
    centre_m : [m] of the centre of mass, along and across, shape (..., 2)
    forward_n : [N] toward the coupler, shape (...)
    leftward_n : [N] toward the left wall, shape (...)

    Returns
    -------
    [N] shape (..., bolts)

    Raises
    ------
    ValueError
        When all bolts are in one place.

    Source
    ------
    Elastic bolt group: even share, and in proportion to the distance from the middle.
    """
    at, centre = np.asarray(at_m, dtype=float), np.asarray(centre_m, dtype=float)
    arm, off = at - at.mean(axis=0), centre - at.mean(axis=0)
    squares = np.sum(arm**2)
    if not squares > 0.0:
        raise ValueError("Bolts: they must not all be in one place.")
    forward, leftward = np.asarray(forward_n, dtype=float)[..., None], np.asarray(leftward_n, dtype=float)[..., None]
    turn = (off[..., :1] * leftward - off[..., 1:] * forward) / squares
    count = at.shape[0]
    return np.asarray(np.hypot(forward / count - turn * arm[:, 1], leftward / count + turn * arm[:, 0]))
