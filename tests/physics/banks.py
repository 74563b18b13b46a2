"""Banks of the ordinary chemistries from the shipped tables, for the tests of this room."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from trailerlib.physics.battery_bank import Bank
from trailerlib.reference import table


def bank(chemistry: str = "agm", rated_ah: Any = 100.0, **changes: Any) -> Bank:
    """A 12 V bank; its resistance follows from its size, whatever else is changed."""

    def limit(column: str) -> float:
        return table("battery_limits").number(column, chemistry=chemistry)

    rest, cold = (
        table("battery_ocv").where(chemistry=chemistry),
        table("battery_temperature").where(chemistry=chemistry),
    )
    takes = table("battery_acceptance").where(chemistry=chemistry)
    at = np.union1d(cold.floats("temperature_c"), takes.floats("temperature_c"))
    made = Bank(
        rated_ah=rated_ah,
        hour_rate_h=20.0,
        exponent=table("battery_peukert").number("exponent", chemistry=chemistry),
        efficiency=limit("coulombic_efficiency"),
        resistance_ohm=limit("resistance_mohm_per_100ah") * 0.1 / np.asarray(rated_ah),
        tau_h=limit("tail_tau_h"),
        rate_per_h=limit("charge_rate_per_h"),
        absorption_v=limit("absorption_v"),
        ocv_share=rest.floats("soc"),
        ocv_v=rest.floats("ocv_v"),
        at_c=at,
        capacity_factor=np.interp(at, cold.floats("temperature_c"), cold.floats("fraction")),
        resistance_ratio=np.interp(at, takes.floats("temperature_c"), takes.floats("resistance_ratio")),
        acceptance=np.interp(at, takes.floats("temperature_c"), takes.floats("acceptance_fraction")),
        charge_min_c=limit("charge_min_c"),
    )
    return replace(made, **changes)
