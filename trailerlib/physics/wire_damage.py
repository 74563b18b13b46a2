"""What a current does to a wire in a time, and when its insulation has had too much, on the wire's heat balance."""

from __future__ import annotations

import numpy as np

from trailerlib.physics.formula import Number
from trailerlib.physics.heating import (
    adiabatic_rate_k_s,
    growth_per_s,
    thermal_time_s,
    warming_c,
    warming_seconds,
)

SHORT_S = 5.0  # IEC 60364-4-43 434.5.2: the short-circuit limit of an insulation stands for five seconds
EMERGENCY_S = 3600.0  # common practice, no source: UL 489 and IEC 60898-1 let an overload run for an hour


def temperature_after_c(
    current_a: Number,
    seconds: Number,
    area_m2: Number,
    ampacity_a: Number,
    ambient_c: Number,
    rating_c: Number,
    initial_c: Number,
) -> Number:
    """Temperature of a wire after a current has flowed for a time.

    Parameters
    ----------
    current_a : [A] current
    seconds : [s] time, zero or more; may be without end
    area_m2 : [m2] copper cross section
    ampacity_a : [A] ampacity at this very ambient temperature (corrected, bundled), above zero
    ambient_c : [degC] surroundings of the wire
    rating_c : [degC] conductor temperature the ampacity stands for
    initial_c : [degC] temperature at the beginning

    Returns
    -------
    [degC] broadcast shape

    Raises
    ------
    ValueError
        When the surroundings are not cooler than the rating, or the ampacity or the area is not above zero.

    Source
    ------
    ``warming_c`` on the heat balance of the wire. Far above 250 degC copper no longer follows a straight line.
    """
    rate, growth = _law(current_a, area_m2, ampacity_a, ambient_c, rating_c, initial_c)
    return warming_c(initial_c, rate, growth, seconds)


def damage_seconds(
    current_a: Number,
    area_m2: Number,
    ampacity_a: Number,
    ambient_c: Number,
    rating_c: Number,
    initial_c: Number,
    short_c: Number,
    emergency_c: Number,
) -> Number:
    """Time until a current has heated a wire past what its insulation stands for that long.

    The limit falls with the time the current lasts: ``short_c`` for the first 5 s, ``emergency_c`` up to an hour,
    ``rating_c`` after that. The wire is damaged at the first moment it is hotter than the limit of that moment, so the
    curve follows I²t = k²S² at short times, may stand still at 5 s and at an hour, never rises with the current, and
    has the ampacity for its asymptote.

    Parameters
    ----------
    current_a : [A] current
    area_m2 : [m2] copper cross section
    ampacity_a : [A] ampacity at this very ambient temperature (corrected, bundled), above zero
    ambient_c : [degC] surroundings of the wire
    rating_c : [degC] conductor temperature the ampacity stands for
    initial_c : [degC] temperature at the beginning, at most the rating; the rating itself is the safe side
    short_c : [degC] limit up to 5 s, table ``insulation_limits``
    emergency_c : [degC] limit up to an hour, not above ``short_c``, not below the rating

    Returns
    -------
    [s] broadcast shape; inf at the ampacity and below

    Raises
    ------
    ValueError
        When the limits do not fall in that order, the wire begins above its rating, the surroundings are not cooler
        than the rating, or the ampacity or the area is not above zero.

    Source
    ------
    IEC 60364-4-43 434.5.2 for the first 5 s; the steps after it: common practice, no source.
    """
    if not (np.all(np.asarray(short_c) >= emergency_c) and np.all(np.asarray(emergency_c) >= rating_c)):
        raise ValueError("damage_seconds: the limits must fall: short_c, then emergency_c, then rating_c.")
    if not np.all(np.asarray(initial_c) <= rating_c):
        raise ValueError("damage_seconds: the wire begins above its rating; lower the load or take a thicker wire.")
    rate, growth = _law(current_a, area_m2, ampacity_a, ambient_c, rating_c, initial_c)
    steps = ((short_c, 0.0), (emergency_c, SHORT_S), (rating_c, EMERGENCY_S))
    times = [np.maximum(warming_seconds(initial_c, limit, rate, growth), start) for limit, start in steps]
    first = np.minimum(np.minimum(times[0], times[1]), times[2])
    return np.where(np.asarray(current_a) <= ampacity_a, np.inf, first)[()]


def _law(
    current_a: Number, area_m2: Number, ampacity_a: Number, ambient_c: Number, rating_c: Number, initial_c: Number
) -> tuple[Number, Number]:
    """Rate of warming at the beginning [K/s], and its growth [1/s]."""
    thermal = thermal_time_s(area_m2, ampacity_a, ambient_c, rating_c)
    rate = adiabatic_rate_k_s(current_a, area_m2, initial_c) - (initial_c - ambient_c) / thermal
    return rate, growth_per_s(current_a, area_m2, thermal)
