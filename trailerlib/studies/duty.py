"""How much of the time a load runs while it is on: as stated, by the air where a thermostat decides, or its class’s."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

import numpy as np

from trailerlib import reference
from trailerlib.design.model import Load, Stay
from trailerlib.physics.cold_box import fridge_duty
from trailerlib.physics.formula import Number

LEAST_INSIDE_C = 15.0  # air inside a closed box with people and loads in it; common practice, no source


def keeps_cold(load: Load) -> bool:
    """Whether a load keeps something cold, so that the air round it says how much it runs."""
    return load.appliance in _cold_boxes()


def duty_share(load: Load, air_c: Number | None, least_c: float = LEAST_INSIDE_C) -> Number:
    """Share of the time a load runs while it is switched on [-], in the shape of the air.

    Where the air inside is not known a fridge's is that outside, and no colder than a box that is lived in.

    Parameters
    ----------
    load : the load
    air_c : [degC] air around it; None where it is not known, then the class's duty stands
    least_c : [degC] no colder than this
    """
    box = _cold_boxes().get(load.appliance)
    if load.duty is not None or box is None or air_c is None:
        return load.duty_share
    return fridge_duty(load.duty_share, box["duty_at_c"], box["inside_c"], np.maximum(air_c, least_c)[()])


def duty_in(load: Load, stay: Stay) -> float:
    """Share of the time a load runs while it is switched on in a stay [-]."""
    return float(duty_share(load, stay.ambient))


@lru_cache(maxsize=1)
def _cold_boxes() -> dict[str, Mapping[str, float]]:
    """The classes that keep something cold: inside [degC], and the air their duty stands for [degC]."""
    rows = reference.catalogue("cold_boxes").rows
    return {row["class"]: {key: float(row[key]) for key in ("inside_c", "duty_at_c")} for row in rows}
