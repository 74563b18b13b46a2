"""The elastic line of one span, formula by formula: pinned under its loads, and lifted by the moments at its ends."""

from __future__ import annotations

import numpy as np

from trailerlib.physics.formula import Number, formula

_THEORY = "elastic theory of slender beams"
_PINNED = "beam tables, simple span: from memory; closed form of the elastic line"


@formula(
    r"\frac{@{force_n} \, \min \left( @{at_m}, @{x_m} \right) \, "
    r"\left( @{span_m} - \max \left( @{at_m}, @{x_m} \right) \right)}{@{span_m}}",
    symbols={"force_n": "P", "at_m": "a", "span_m": "L", "x_m": "x"},
    units={"force_n": "N", "at_m": "m", "span_m": "m", "x_m": "m", "return": "N·m"},
    result="M",
    title="Moment of one load on a pinned span",
    source=_PINNED,
)
def point_moment_nm(force_n: Number, at_m: Number, span_m: Number, x_m: Number) -> Number:
    """Moment of a pinned span at a place, under one load.

    Parameters
    ----------
    force_n : [N] downward
    at_m : [m] of the load, from the left end
    span_m : [m] between the ends
    x_m : [m] of the place, from the left end

    Returns
    -------
    [N m] broadcast shape

    Source
    ------
    Statics.
    """
    return force_n * np.minimum(at_m, x_m) * (span_m - np.maximum(at_m, x_m)) / span_m


@formula(
    r"\frac{@{force_n} \, \min \left( @{at_m}, @{x_m} \right) \, "
    r"\left( @{span_m} - \max \left( @{at_m}, @{x_m} \right) \right) \, \left( 2 \, @{span_m} \, "
    r"\max \left( @{at_m}, @{x_m} \right) - @{at_m}^{2} - @{x_m}^{2} \right)}{6 \, @{ei_nm2} \, @{span_m}}",
    symbols={"force_n": "P", "at_m": "a", "span_m": "L", "ei_nm2": "EI", "x_m": "x"},
    units={"force_n": "N", "at_m": "m", "span_m": "m", "ei_nm2": "N·m²", "x_m": "m", "return": "m"},
    result="y",
    title="Sag of a pinned span under one load",
    source=_PINNED,
)
def point_sag_m(force_n: Number, at_m: Number, span_m: Number, ei_nm2: Number, x_m: Number) -> Number:
    """Deflection of a pinned span at a place, under one load.

    Parameters
    ----------
    force_n : [N] downward
    at_m : [m] of the load, from the left end
    span_m : [m] between the ends
    ei_nm2 : [N m2] E times I
    x_m : [m] of the place, from the left end

    Returns
    -------
    [m] downward, broadcast shape

    Source
    ------
    Elastic line of a simple span.
    """
    near, far = np.minimum(at_m, x_m), np.maximum(at_m, x_m)
    return force_n * near * (span_m - far) * (2.0 * span_m * far - at_m**2 - x_m**2) / (6.0 * ei_nm2 * span_m)


@formula(
    r"\frac{@{per_m_n} \, @{x_m} \, \left( @{span_m} - @{x_m} \right)}{2}",
    symbols={"per_m_n": "w", "span_m": "L", "x_m": "x"},
    units={"per_m_n": "N/m", "span_m": "m", "x_m": "m", "return": "N·m"},
    result="M",
    title="Moment of a uniform load on a pinned span",
    source=_PINNED,
)
def uniform_moment_nm(per_m_n: Number, span_m: Number, x_m: Number) -> Number:
    """Moment of a pinned span at a place, under a uniform load.

    Parameters
    ----------
    per_m_n : [N/m] downward
    span_m : [m] between the ends
    x_m : [m] of the place, from the left end

    Returns
    -------
    [N m] broadcast shape

    Source
    ------
    Statics.
    """
    return per_m_n * x_m * (span_m - x_m) / 2.0


@formula(
    r"\frac{@{per_m_n} \, @{x_m} \, \left( @{span_m}^{3} - 2 \, @{span_m} \, @{x_m}^{2} + @{x_m}^{3} \right)}"
    r"{24 \, @{ei_nm2}}",
    symbols={"per_m_n": "w", "span_m": "L", "ei_nm2": "EI", "x_m": "x"},
    units={"per_m_n": "N/m", "span_m": "m", "ei_nm2": "N·m²", "x_m": "m", "return": "m"},
    result="y",
    title="Sag of a pinned span under a uniform load",
    source=_PINNED,
)
def uniform_sag_m(per_m_n: Number, span_m: Number, ei_nm2: Number, x_m: Number) -> Number:
    """Deflection of a pinned span at a place, under a uniform load.

    Parameters
    ----------
    per_m_n : [N/m] downward
    span_m : [m] between the ends
    ei_nm2 : [N m2] E times I
    x_m : [m] of the place, from the left end

    Returns
    -------
    [m] downward, broadcast shape

    Source
    ------
    Elastic line of a simple span.
    """
    return per_m_n * x_m * (span_m**3 - 2.0 * span_m * x_m**2 + x_m**3) / (24.0 * ei_nm2)


@formula(
    r"\frac{@{x_m} \, \left( @{span_m} - @{x_m} \right) \, \left( @{left_nm} \, \left( 2 \, @{span_m} - @{x_m} \right)"
    r" + @{right_nm} \, \left( @{span_m} + @{x_m} \right) \right)}{6 \, @{ei_nm2} \, @{span_m}}",
    symbols={"left_nm": "M_{1}", "right_nm": "M_{2}", "span_m": "L", "ei_nm2": "EI", "x_m": "x"},
    units={"left_nm": "N·m", "right_nm": "N·m", "span_m": "m", "ei_nm2": "N·m²", "x_m": "m", "return": "m"},
    result="y_{M}",
    title="What the moments at the ends lift the span by",
    source=_THEORY,
)
def held_up_m(left_nm: Number, right_nm: Number, span_m: Number, ei_nm2: Number, x_m: Number) -> Number:
    """How far the moments at its ends lift a span at a place.

    Parameters
    ----------
    left_nm : [N m] at the left end, tension on top
    right_nm : [N m] at the right end, tension on top
    span_m : [m] between the ends
    ei_nm2 : [N m2] E times I
    x_m : [m] of the place, from the left end

    Returns
    -------
    [m] upward, broadcast shape

    Source
    ------
    Elastic line under end moments.
    """
    lifted = x_m * (span_m - x_m) * (left_nm * (2.0 * span_m - x_m) + right_nm * (span_m + x_m))
    return lifted / (6.0 * ei_nm2 * span_m)
