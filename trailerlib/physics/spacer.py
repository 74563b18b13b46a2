"""A window or fan made for a thicker wall: spacer and clamp, and the frame of strips that makes up what is missing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from trailerlib.physics.formula import Number, formula

_SUM = "arithmetic of thicknesses"
_BOARD = "arithmetic of a saw: each strip but the last costs a kerf"
_EXACT = 1e-9  # a board that holds its strips to the last shaving is not to lose one to rounding


@dataclass(frozen=True)
class Piece:
    """Pieces of a frame that are alike: ``length_m`` [m] at the longest, both ends square or mitred."""

    name: Literal["level", "upright"]
    count: int
    length_m: float
    ends: Literal["square", "mitre"]


@formula(
    r"@{made_for_m} - @{actual_m}",
    symbols={"made_for_m": "t_{d}", "actual_m": "t"},
    units={"made_for_m": "m", "actual_m": "m", "return": "m"},
    result="t_{s}",
    title="Spacer",
    source=_SUM,
)
def spacer_m(made_for_m: Number, actual_m: Number) -> Number:
    """Thickness that is missing; below zero the wall is too thick by so much.

    Parameters
    ----------
    made_for_m : [m] thickness the unit is made for
    actual_m : [m] of skin, wall and lining together

    Returns
    -------
    [m] broadcast shape

    Source
    ------
    Arithmetic.
    """
    return made_for_m - actual_m


@formula(
    r"@{inner_m} + 2 \, @{strip_m}",
    symbols={"inner_m": "d", "strip_m": "w"},
    units={"inner_m": "m", "strip_m": "m", "return": "m"},
    result="D",
    title="Outer size of a frame",
    source=_SUM,
)
def outer_m(inner_m: Number, strip_m: Number) -> Number:
    """Outer size of a frame of strips; below twice the strip there is no hole in it.

    Parameters
    ----------
    inner_m : [m] of the hole, one way
    strip_m : [m] width of the strips

    Returns
    -------
    [m] broadcast shape

    Source
    ------
    Arithmetic.
    """
    return inner_m + 2.0 * strip_m


@formula(
    r"\lfloor \frac{@{board_m} + @{kerf_m}}{@{strip_m} + @{kerf_m}} \rfloor",
    symbols={"board_m": "W", "kerf_m": "k", "strip_m": "w"},
    units={"board_m": "m", "kerf_m": "m", "strip_m": "m", "return": "-"},
    result="n",
    title="Strips from a board",
    source=_BOARD,
)
def strips(board_m: Number, strip_m: Number, kerf_m: Number) -> Number:
    """How many strips a board gives, or how many pieces a bar.

    Parameters
    ----------
    board_m : [m] width of the board or length of the bar
    strip_m : [m] width of a strip or length of a piece
    kerf_m : [m] what the saw takes

    Returns
    -------
    [-] whole, broadcast shape

    Source
    ------
    Arithmetic.
    """
    return np.floor((board_m + kerf_m) / (strip_m + kerf_m) + _EXACT)


@formula(
    r"\max \left( 0, @{board_m} - @{count} \, \left( @{strip_m} + @{kerf_m} \right) \right)",
    symbols={"board_m": "W", "count": "n", "strip_m": "w", "kerf_m": "k"},
    units={"board_m": "m", "count": "-", "strip_m": "m", "kerf_m": "m", "return": "m"},
    result="R",
    title="Left over of a board",
    source=_BOARD,
)
def left_over_m(board_m: Number, count: Number, strip_m: Number, kerf_m: Number) -> Number:
    """What is left of a board once the strips are off.

    Parameters
    ----------
    board_m : [m] width of the board
    count : [-] strips cut from it
    strip_m : [m] width of a strip
    kerf_m : [m] what the saw takes

    Returns
    -------
    [m] broadcast shape

    Source
    ------
    Arithmetic.
    """
    return np.maximum(0.0, board_m - count * (strip_m + kerf_m))


@formula(
    r"@{board_m} - @{count} \, @{strip_m} - @{left_m}",
    symbols={"board_m": "W", "count": "n", "strip_m": "w", "left_m": "R"},
    units={"board_m": "m", "count": "-", "strip_m": "m", "left_m": "m", "return": "m"},
    result="K",
    title="Sawdust of a board",
    source=_BOARD,
)
def sawdust_m(board_m: Number, count: Number, strip_m: Number, left_m: Number) -> Number:
    """What the saw takes of a board's width altogether.

    Parameters
    ----------
    board_m : [m] width of the board
    count : [-] strips cut from it
    strip_m : [m] width of a strip
    left_m : [m] what is left over

    Returns
    -------
    [m] broadcast shape

    Source
    ------
    Arithmetic.
    """
    return board_m - count * strip_m - left_m


@formula(
    r"@{clamp_m} + @{flange_m} + @{bite_m}",
    symbols={"clamp_m": "t_{c}", "flange_m": "t_{f}", "bite_m": "b"},
    units={"clamp_m": "m", "flange_m": "m", "bite_m": "m", "return": "m"},
    result="l",
    title="Length of the fasteners",
    source=_SUM,
)
def fastener_m(clamp_m: Number, flange_m: Number, bite_m: Number) -> Number:
    """Length under the head of what draws flange and clamp ring together.

    Parameters
    ----------
    clamp_m : [m] wall and spacer between flange and ring
    flange_m : [m] what it passes through on the head's side
    bite_m : [m] thread that must hold

    Returns
    -------
    [m] broadcast shape

    Source
    ------
    Arithmetic.
    """
    return clamp_m + flange_m + bite_m


def frame_pieces(
    inner_width_m: float, inner_height_m: float, strip_m: float, corner: Literal["butt", "mitre"]
) -> tuple[Piece, Piece]:
    """Cut list of a frame: two level pieces, two upright ones; at butt corners the level ones run through.

    Parameters
    ----------
    inner_width_m : [m] of the hole
    inner_height_m : [m] of the hole
    strip_m : [m] width of the strips
    corner : how the pieces meet

    Returns
    -------
    The level and the upright pieces, mitred ones from long point to long point.

    Raises
    ------
    ValueError
        When a size is not above zero or a corner is neither.
    """
    if not all(size > 0.0 for size in (inner_width_m, inner_height_m, strip_m)):
        raise ValueError("Frame: the hole and the strips must be wider than nothing.")
    wide, high = float(outer_m(inner_width_m, strip_m)), float(outer_m(inner_height_m, strip_m))
    if corner == "mitre":
        return Piece("level", 2, wide, "mitre"), Piece("upright", 2, high, "mitre")
    if corner == "butt":
        return Piece("level", 2, wide, "square"), Piece("upright", 2, float(inner_height_m), "square")
    raise ValueError(f"Frame: a corner is butt or mitre, not {corner}.")
