"""The box: what holds and passes heat, the two decays that come of it, and the heater that keeps it warm.

    C_air dT_air/dt   = G_air (outside - T_air) + H (T_mass - T_air) + heat into the air
    C_mass dT_mass/dt = H (T_air - T_mass) + G_fabric (sol-air - T_mass) + heat into the mass

Both rates are real and below zero for every box.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics.formula import Number, formula

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Box:
    """What holds and passes heat; floats or arrays of one shape, all above zero but ``air_w_per_k``, which may be 0.

    ``air_j_per_k`` and ``mass_j_per_k`` [J/K] are held; ``air_w_per_k`` [W/K] is what leaks and glass pass from outside
    straight to the air, ``film_w_per_k`` [W/K] what passes between air and linings, ``fabric_w_per_k`` [W/K] between
    linings and the sol-air temperature.
    """

    air_j_per_k: Number
    mass_j_per_k: Number
    air_w_per_k: Number
    film_w_per_k: Number
    fabric_w_per_k: Number


@dataclass(frozen=True)
class Modes:
    """The box as two decays that do not touch: air = z1 + z2, mass = s1 z1 + s2 z2; rates [1/s], slopes [-]."""

    slow: Number
    fast: Number
    slow_slope: Number
    fast_slope: Number

    def split(self, air: Number, mass: Number) -> tuple[Number, Number]:
        """A pair of values at air and mass as its two parts.

        Parameters
        ----------
        air : [any] at the air
        mass : [any] at the mass, same unit

        Returns
        -------
        Slow and fast part in the same unit, broadcast shape
        """
        apart = self.slow_slope - self.fast_slope
        return (mass - self.fast_slope * air) / apart, (self.slow_slope * air - mass) / apart


def modes_of(box: Box) -> Modes:
    """The two decays of a box.

    Parameters
    ----------
    box : the box

    Returns
    -------
    Modes, broadcast shape of the box

    Raises
    ------
    ValueError
        When something that must be above zero is not.
    """
    for name in ("air_j_per_k", "mass_j_per_k", "film_w_per_k", "fabric_w_per_k"):
        if not np.all(np.asarray(getattr(box, name)) > 0.0):
            raise ValueError(f"{name} must be above zero; a box without linings, contents or walls is none.")
    if not np.all(np.asarray(box.air_w_per_k) >= 0.0):
        raise ValueError("air_w_per_k must not be below zero.")
    a11 = -(box.air_w_per_k + box.film_w_per_k) / box.air_j_per_k
    a12 = box.film_w_per_k / box.air_j_per_k
    a21 = box.film_w_per_k / box.mass_j_per_k
    a22 = -(box.film_w_per_k + box.fabric_w_per_k) / box.mass_j_per_k
    middle, half = 0.5 * (a11 + a22), np.sqrt((0.5 * (a11 - a22)) ** 2 + a12 * a21)
    fast = middle - half
    slow = (a11 * a22 - a12 * a21) / fast
    return Modes(slow, fast, (slow - a11) / a12, (fast - a11) / a12)


@formula(
    r"\frac{1}{\frac{1}{@{ua_w_per_k}} - \frac{1}{@{film_w_per_k}}}",
    symbols={"ua_w_per_k": "UA", "film_w_per_k": "H"},
    units={"ua_w_per_k": "W/K", "film_w_per_k": "W/K", "return": "W/K"},
    result="G",
    title="From the sol-air temperature to the linings",
    source="resistances in series",
)
def fabric_w_per_k(ua_w_per_k: Number, film_w_per_k: Number) -> Number:
    """What is left of the faces' heat path when the film of air inside is taken off.

    Parameters
    ----------
    ua_w_per_k : [W/K] of all faces, air to air
    film_w_per_k : [W/K] between air and linings, above it

    Returns
    -------
    [W/K] broadcast shape

    Source
    ------
    Resistances in series: air to air the sum of U times area stands exactly.
    """
    return 1.0 / (1.0 / ua_w_per_k - 1.0 / film_w_per_k)


@formula(
    r"\max \left( 0 , @{ua_w_per_k} \, \left( @{inside_c} - @{outside_c} \right) - @{gains_w} \right)",
    symbols={"ua_w_per_k": "UA", "inside_c": r"\theta_{i}", "outside_c": r"\theta_{o}", "gains_w": r"\Phi_{g}"},
    units={"ua_w_per_k": "W/K", "inside_c": "°C", "outside_c": "°C", "gains_w": "W", "return": "W"},
    result=r"\Phi_{h}",
    title="Heater that holds a temperature",
    source="heat balance in a steady state",
)
def heater_w(ua_w_per_k: Number, inside_c: Number, outside_c: Number, gains_w: Number = 0.0) -> Number:
    """Heat that holds a temperature inside through a long cold night.

    Parameters
    ----------
    ua_w_per_k : [W/K] of faces, glass and leaks together
    inside_c : [degC] to hold
    outside_c : [degC] air outside
    gains_w : [W] what people and loads give

    Returns
    -------
    [W] broadcast shape, never below 0

    Source
    ------
    Heat balance in a steady state. Warming the box up in the evening takes more.
    """
    return np.maximum(0.0, ua_w_per_k * (inside_c - outside_c) - gains_w)
