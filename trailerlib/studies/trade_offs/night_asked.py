"""What is asked of a design about its first night on the battery, part by part, so that each rests on little."""

from __future__ import annotations

from typing import Any

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.model import Stay
from trailerlib.physics.battery import effective_capacity_ah
from trailerlib.reference import table
from trailerlib.rules.finding import not_so
from trailerlib.studies import cells, night
from trailerlib.studies.discharge import floor_of, warm_c
from trailerlib.studies.running import running_in
from trailerlib.studies.timetable import Stretch, battery_stays, mains_stays, stretches
from trailerlib.studies.trade_offs.axes import Floats

Curve = tuple[Floats, Floats]


def first_night(design: Design) -> Stay | None:
    """The first stay that lives on the battery; None without one."""
    return next(iter(battery_stays(design)), None)


def air_c(design: Design, stay: Stay) -> float | None:
    """Air of a stay, else the coldest of the site [degC]; None where neither is known.

    Parameters
    ----------
    design : the design
    stay : one of its stays
    """
    return design.site.coldest if stay.ambient is None else stay.ambient


def lacking(design: Design) -> tuple[Any, ...]:
    """Whether the night cannot be worked out."""
    return (night.missing(design, first_night(design)) is not None,)


def timetable(design: Design) -> tuple[Stretch, ...]:
    """The night cut at every switching."""
    stay = first_night(design)
    return () if stay is None else stretches(design, stay)


def curve_of(design: Design) -> Curve:
    """State of charge [-] and resting voltage of the bank [V], point by point."""
    if design.battery is None:
        return np.array([0.0, 1.0]), np.zeros(2)
    rows = table("battery_ocv").where(chemistry=design.battery.chemistry)
    socs, volts = rows.floats("soc"), rows.floats("ocv_v")
    order = np.argsort(socs)
    return socs[order], volts[order] * design.battery.blocks


def bank_tonight(design: Design) -> tuple[Any, ...]:
    """Capacity tonight and as rated [Ah], hour rate [h], exponent, floor, start, age [-], end and length [h]."""
    battery, stay = design.battery, first_night(design)
    if battery is None or stay is None:
        return (None,) * 9
    air = air_c(design, stay)
    factor = 1.0 if air is None else cells.temperature_factor(battery, air)
    return (
        effective_capacity_ah(battery.bank_ah, factor, battery.age),
        battery.bank_ah,
        battery.hour_rate,
        table("battery_peukert").number("exponent", chemistry=battery.chemistry),
        floor_of(battery),
        battery.start_charge,
        battery.age,
        stay.start + stay.hours,
        stay.hours,
    )


def filling(design: Design) -> tuple[Any, ...]:
    """Current of the charger, what the cold lets in, efficiency, time constant of the tail, greatest rate."""
    battery, charger, stay = design.battery, design.charger, first_night(design)
    air = None if stay is None else air_c(design, stay)
    if battery is None or charger is None or air is None:
        return None, 0.0, 1.0, 1.0, 1.0
    return (
        charger.current,
        cells.acceptance(battery, air),
        cells.limits(battery, "coulombic_efficiency"),
        cells.limits(battery, "tail_tau_h"),
        cells.limits(battery, "charge_rate_per_h"),
    )


def wire_heat(design: Design) -> tuple[float, ...]:
    """How warm the feeder and the wire of every circuit of the battery side are taken [degC]."""
    feeder = 0.0 if design.feeder is None else warm_c(design, design.feeder.insulation)
    return (feeder, *(warm_c(design, circuit.insulation) for circuit in design.circuits_of("dc")))


def at_rest(design: Design) -> tuple[Any, ...]:
    """Coldest air and the coldest to charge in, the charger's current and its limit, whether it gasses, unvented."""
    battery, charger, stay, vented = design.battery, design.charger, first_night(design), design.safety.battery_vented
    if battery is None or stay is None:
        return (None,) * 6
    lowest = cells.limits(battery, "charge_min_c")
    return (
        night.coldest_c(design, air_c(design, stay), lowest),
        lowest,
        charger.current if charger else None,
        cells.limits(battery, "charge_rate_per_h") * battery.bank_ah,
        cells.limits(battery, "gas_boost_ma_per_ah") > 0,
        not_so(vented),
    )


def duty_of(design: Design, name: str) -> tuple[float, ...]:
    """Share of the night that a load runs while it is on [-].

    Parameters
    ----------
    design : the design
    name : name of the load
    """
    stay = first_night(design)
    return (1.0 if stay is None else running_in(design, design.load(name), stay, air_c(design, stay)),)


def longest_with_power(design: Design) -> tuple[float | None, ...]:
    """The longest stay that is not on the battery [h]; None without one."""
    return (max((stay.hours for stay in mains_stays(design)), default=None),)
