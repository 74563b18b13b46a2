"""Fuses and breakers: standard sizes, short-circuit current, and what a wire survives."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics.formula import Number, formula

_ROUNDING = 1e-9  # 1.25 x 16 A must stay a 20 A fuse whatever the last binary digit says


def smallest_rating_a(need_a: Number, ratings_a: Sequence[float] | NDArray[np.float64]) -> Number:
    """Smallest standard rating that is not below the need.

    Parameters
    ----------
    need_a : [A] least rating wanted, any shape
    ratings_a : [A] the standard ratings, in any order

    Returns
    -------
    [A] rating, shape of the need; a need above a rating by one part in 1e9 or less counts as equal

    Raises
    ------
    ValueError
        When no rating is large enough; the text names the largest. Also when the need is not a number.

    Source
    ------
    NFPA 70 240.6(A) lists the ratings; rounding up, never down, is the rule's own sense.
    """
    ratings = np.unique(np.asarray(ratings_a, dtype=float))
    need = np.asarray(need_a, dtype=float)
    if ratings.size == 0:
        raise ValueError("smallest_rating_a: there are no ratings to choose from.")
    place = np.searchsorted(ratings, need * (1.0 - _ROUNDING))
    if np.any(place == ratings.size):
        worst = float(need[np.isnan(need)][0] if np.isnan(need).any() else need.max())
        raise ValueError(
            f"no standard rating reaches {worst:g} A; the largest is {ratings[-1]:g} A. "
            "Split the load over more circuits or take another kind of device."
        )
    return ratings[place]


@formula(
    r"1.25 \, @{continuous_a} + @{other_a}",
    symbols={"continuous_a": "I_{c}", "other_a": "I_{o}"},
    units={"continuous_a": "A", "other_a": "A", "return": "A"},
    result="I_{n}",
    title="Least rating of a protective device",
    source="NFPA 70 210.20(A)",
)
def required_rating_a(continuous_a: Number, other_a: Number) -> Number:
    """Least rating of a fuse or breaker for continuous and other load.

    Parameters
    ----------
    continuous_a : [A] load that lasts three hours or more
    other_a : [A] all other load

    Returns
    -------
    [A] least rating, broadcast shape

    Source
    ------
    NFPA 70 (2023) 210.20(A), 215.3.
    """
    return 1.25 * continuous_a + other_a


@formula(
    r"\frac{@{emf_v}}{@{source_ohm} + @{path_ohm}}",
    symbols={"emf_v": "E", "source_ohm": "R_{i}", "path_ohm": "R_{p}"},
    units={"emf_v": "V", "source_ohm": "Ω", "path_ohm": "Ω", "return": "A"},
    result="I_{sc}",
    title="Prospective short-circuit current",
    source="Ohm's law",
)
def prospective_current_a(emf_v: Number, source_ohm: Number, path_ohm: Number) -> Number:
    """Current into a dead short.

    Parameters
    ----------
    emf_v : [V] open-circuit voltage of the source
    source_ohm : [ohm] resistance inside the source
    path_ohm : [ohm] resistance of the path to the fault, out and back

    Returns
    -------
    [A] current, broadcast shape

    Source
    ------
    Ohm's law.
    """
    return emf_v / (source_ohm + path_ohm)


@formula(
    r"\left( \frac{@{k} \, @{area_mm2}}{@{current_a}} \right)^{2}",
    symbols={"area_mm2": "S", "current_a": "I", "k": "k"},
    units={"area_mm2": "mm²", "current_a": "A", "k": "A·s^½/mm²", "return": "s"},
    result="t",
    title="Time a wire survives a short circuit",
    source="IEC 60364-5-54 543.1.2",
)
def adiabatic_seconds(area_mm2: Number, current_a: Number, k: Number) -> Number:
    """Time until a short circuit heats a wire to the limit of its insulation, no heat lost.

    Parameters
    ----------
    area_mm2 : [mm2] copper cross section
    current_a : [A] fault current
    k : [A s^0.5/mm2] constant of the insulation and its two temperatures; 115 for PVC on copper

    Returns
    -------
    [s] time, broadcast shape; the formula is meant for 0.1 s to 5 s

    Source
    ------
    IEC 60364-5-54, 543.1.2.
    """
    return (k * area_mm2 / current_a) ** 2
