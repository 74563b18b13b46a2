"""Copper that heats: what standards and a plain heat balance say, beside the march of the wire's own temperature."""

from __future__ import annotations

from typing import Any

import numpy as np

from trailerlib.physics.heating import adiabatic_rate_k_s, growth_per_s, thermal_time_s, warming_seconds


def adiabatic_k(initial_c: Any, final_c: Any) -> Any:
    """Short-circuit constant of copper between two temperatures [A s^0.5/mm2], broadcast shape: IEC 60364-5-54 annex A."""
    return 226.0 * np.sqrt(np.log(1.0 + (final_c - initial_c) / (234.5 + initial_c)))


def seconds_to_reach_c(
    current_a: Any, final_c: Any, area_m2: Any, ampacity_a: Any, ambient_c: Any, rating_c: Any, initial_c: Any
) -> Any:
    """Time [s] until a current has warmed a wire to a temperature, by the parts of its heat balance; broadcast shape."""
    thermal = thermal_time_s(area_m2, ampacity_a, ambient_c, rating_c)
    rate = adiabatic_rate_k_s(current_a, area_m2, initial_c) - (initial_c - ambient_c) / thermal
    return warming_seconds(initial_c, final_c, rate, growth_per_s(current_a, area_m2, thermal))


def settled_temperature_c(current_a: Any, ampacity_a: Any, ambient_c: Any, rating_c: Any) -> Any:
    """Temperature [degC] a wire settles at while its resistance rises; inf where it never does; broadcast shape.

    Heat made equals heat lost: (I / Iz)² (rating - ambient) R(settled) / R(rating) = settled - ambient, with the
    0.00393 per kelvin of IEC 60028.
    """
    load = np.asarray((current_a / ampacity_a) ** 2 * (rating_c - ambient_c))
    left = 1.0 + 0.00393 * (rating_c - 20.0) - 0.00393 * load
    with np.errstate(divide="ignore"):
        rise = load * (1.0 + 0.00393 * (ambient_c - 20.0)) / left
    return (ambient_c + np.where(left > 0.0, rise, np.inf))[()]
