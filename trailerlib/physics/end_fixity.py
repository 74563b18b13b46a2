"""How the ends of a span are held, and the moments that hold them.

How an end is held is its fixity f, from 0 (pinned, turns freely) to 1 (clamped, does not turn). Between them it stands
for a rotational spring of stiffness k = 3 E I f / (L (1 - f)): of the turning that a moment at this end brings about,
the other end pinned, the share f is the bow's own and 1 - f the spring's.
"""

from __future__ import annotations

from trailerlib.physics.formula import Number, formula

_THEORY = "elastic theory of slender beams"
_PINNED = "beam tables, simple span: from memory; closed form of the elastic line"
_SEMI_RIGID = "end-fixity factor of members with springs at their ends: from memory; derived here"


@formula(
    r"\frac{@{fixity} \, \left( 2 \, @{turn_nm} - @{far_fixity} \, @{far_turn_nm} \right)}"
    r"{4 - @{fixity} \, @{far_fixity}}",
    symbols={"fixity": "f_{1}", "far_fixity": "f_{2}", "turn_nm": r"\tau_{1}", "far_turn_nm": r"\tau_{2}"},
    units={"fixity": "-", "far_fixity": "-", "turn_nm": "N·m", "far_turn_nm": "N·m", "return": "N·m"},
    result="M_{1}",
    title="Moment that holds an end",
    source=_SEMI_RIGID,
)
def end_moment_nm(fixity: Number, far_fixity: Number, turn_nm: Number, far_turn_nm: Number) -> Number:
    """Moment at an end, tension on top: half of what would clamp it alone, less what the other end takes off.

    Parameters
    ----------
    fixity : [-] of this end
    far_fixity : [-] of the other end
    turn_nm : [N m] 6 E I / L times the turning of this end were both pinned
    far_turn_nm : [N m] the same of the other end

    Returns
    -------
    [N m] broadcast shape

    Source
    ------
    Turning of the pinned span, of its end moments and of the springs agree at both ends.
    """
    return fixity * (2.0 * turn_nm - far_fixity * far_turn_nm) / (4.0 - fixity * far_fixity)


@formula(
    r"\frac{@{force_n} \, @{at_m} \, \left( @{span_m} - @{at_m} \right) \, \left( 2 \, @{span_m} - @{at_m} \right)}"
    r"{@{span_m}^{2}}",
    symbols={"force_n": "P", "at_m": "a", "span_m": "L"},
    units={"force_n": "N", "at_m": "m", "span_m": "m", "return": "N·m"},
    result=r"\tau_{1}",
    title="Turning of a pinned end under one load, times 6EI/L",
    source=_PINNED,
)
def point_turn_nm(force_n: Number, at_m: Number, span_m: Number) -> Number:
    """What turns the near end of a pinned span under one load, as a moment: 6 E I / L times the angle.

    Parameters
    ----------
    force_n : [N] downward
    at_m : [m] from this end
    span_m : [m] between the ends

    Returns
    -------
    [N m] broadcast shape

    Source
    ------
    Elastic line of a simple span.
    """
    return force_n * at_m * (span_m - at_m) * (2.0 * span_m - at_m) / span_m**2


@formula(
    r"\frac{@{per_m_n} \, @{span_m}^{2}}{4}",
    symbols={"per_m_n": "w", "span_m": "L"},
    units={"per_m_n": "N/m", "span_m": "m", "return": "N·m"},
    result=r"\tau_{1}",
    title="Turning of a pinned end under a uniform load, times 6EI/L",
    source=_PINNED,
)
def uniform_turn_nm(per_m_n: Number, span_m: Number) -> Number:
    """What turns an end of a pinned span under a uniform load, as a moment: 6 E I / L times the angle.

    Parameters
    ----------
    per_m_n : [N/m] downward
    span_m : [m] between the ends

    Returns
    -------
    [N m] broadcast shape

    Source
    ------
    Elastic line of a simple span.
    """
    return per_m_n * span_m**2 / 4.0


@formula(
    r"\frac{6 \, @{ei_nm2} \, @{sunk_m}}{@{span_m}^{2}}",
    symbols={"ei_nm2": "EI", "sunk_m": r"\delta", "span_m": "L"},
    units={"ei_nm2": "N·m²", "sunk_m": "m", "span_m": "m", "return": "N·m"},
    result=r"\tau_{1}",
    title="Turning of a pinned end when the other end has sunk, times 6EI/L",
    source=_THEORY,
)
def sunk_turn_nm(ei_nm2: Number, sunk_m: Number, span_m: Number) -> Number:
    """What turns the near end of a pinned span whose far end has sunk, as a moment; the far end the other way.

    Parameters
    ----------
    ei_nm2 : [N m2] E times I
    sunk_m : [m] of the far end, downward
    span_m : [m] between the ends

    Returns
    -------
    [N m] broadcast shape

    Source
    ------
    Geometry of a small angle.
    """
    return 6.0 * ei_nm2 * sunk_m / span_m**2
