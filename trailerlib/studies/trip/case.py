"""A design's trip as numbers: the bank, what hangs on it, what charges it, step by step."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.model import Battery, Load
from trailerlib.physics.battery_bank import Bank
from trailerlib.physics.battery_week import Guards, Loads, Pad, Week, march
from trailerlib.reference import table
from trailerlib.studies import cells
from trailerlib.studies.feeder import Floats
from trailerlib.studies.loads import side_volts
from trailerlib.studies.running import running_in
from trailerlib.studies.trip.charge import Charge, charge
from trailerlib.studies.trip.timeline import Timeline, timeline

HOURS_IN_MONTH = 8766.0 / 12.0
# a battery in a closed box that is not insulated, and what its own mass holds; common practice, no source
BOX_LOSS_W_PER_K = 1.0  # of 100 Ah at 12 V, in proportion to its surface
HEAT_J_PER_K_AH = {"flooded": 240.0, "agm": 240.0, "gel": 240.0, "lfp": 120.0}  # of a 12 V block


@dataclass(frozen=True)
class Case:
    """Everything the march needs. ``names`` are the loads in the order of their groups; ``floor`` [-] should stay."""

    timeline: Timeline
    bank: Bank
    names: tuple[str, ...]
    loads: Loads
    charge: Charge
    guards: Guards
    pad: Pad | None
    start: float
    floor: float

    def march(self, charger_a: Floats | None = None, start: float | None = None, curves: bool = True) -> Week:
        """The trip marched through; by default as it is.

        Parameters
        ----------
        charger_a : [A] of the charger in each step, in place of the stays'
        start : [-] share of charge at the begin, in place of the battery's
        curves : whether every step is kept
        """
        sources = self.charge.sources
        if charger_a is not None:
            sources = replace(sources, charger_a=charger_a)
        begin = self.start if start is None else start
        lived = self.timeline
        return march(self.bank, lived.step_h, lived.air_c, self.loads, sources, begin, self.guards, self.pad, curves)


def case(design: Design, battery: Battery) -> Case:
    """The trip of a design as numbers; its temperatures must be known.

    Raises
    ------
    ValueError
        When an input cannot be marched, in words.
    """
    lived, bank, floor = timeline(design), bank_of(battery), floor_of(battery)
    loads = _on_the_battery(design, lived)
    return Case(
        lived,
        bank,
        tuple(load.name for load in loads),
        _loads(design, lived, loads),
        charge(design, battery, bank, floor, lived),
        Guards(battery.cut_off or 0.0),
        pad_of(battery),
        battery.start_charge,
        floor,
    )


def floor_of(battery: Battery) -> float:
    """What should stay in the battery [-]: stated, else the chemistry's."""
    return 1.0 - cells.limits(battery, "usable_depth") if battery.lowest_charge is None else battery.lowest_charge


def bank_of(battery: Battery) -> Bank:
    """The bank by the tables of its chemistry."""
    at_c, factor, ratio, takes, share, volts = _curves(battery.chemistry)
    return Bank(
        rated_ah=battery.bank_ah,
        hour_rate_h=battery.hour_rate,
        exponent=table("battery_peukert").number("exponent", chemistry=battery.chemistry),
        efficiency=cells.limits(battery, "coulombic_efficiency"),
        resistance_ohm=cells.battery_ohm(battery),
        tau_h=cells.limits(battery, "tail_tau_h"),
        rate_per_h=cells.limits(battery, "charge_rate_per_h"),
        absorption_v=cells.limits(battery, "absorption_v") * battery.blocks,
        ocv_share=share,
        ocv_v=volts * battery.blocks,
        at_c=at_c,
        capacity_factor=factor,
        resistance_ratio=ratio,
        acceptance=takes,
        charge_min_c=cells.limits(battery, "charge_min_c"),
        age=battery.age,
        self_discharge_per_h=cells.limits(battery, "self_discharge_per_month") / HOURS_IN_MONTH,
    )


@lru_cache(maxsize=8)
def _curves(chemistry: str) -> tuple[Floats, ...]:
    cold, takes, rest = (
        table(name).where(chemistry=chemistry) for name in ("battery_temperature", "battery_acceptance", "battery_ocv")
    )
    at_c = np.union1d(cold.floats("temperature_c"), takes.floats("temperature_c"))
    read = [
        np.interp(at_c, rows.floats("temperature_c"), rows.floats(column))
        for rows, column in ((cold, "fraction"), (takes, "resistance_ratio"), (takes, "acceptance_fraction"))
    ]
    return (at_c, *read, rest.floats("soc"), rest.floats("ocv_v"))


def pad_of(battery: Battery) -> Pad | None:
    """The heating pad; None without. Loss and heat of the box: common practice, no source."""
    if battery.heater is None:
        return None
    size_ah = battery.bank_ah * battery.blocks
    loss = BOX_LOSS_W_PER_K * (size_ah / 100.0) ** (2.0 / 3.0)
    return Pad(battery.heater, battery.heated_to, loss, HEAT_J_PER_K_AH[battery.chemistry] * size_ah)


def _on_the_battery(design: Design, lived: Timeline) -> tuple[Load, ...]:
    on: frozenset[str] = frozenset().union(*(part.on for part in lived.parts))
    return tuple(load for load in design.loads if load.name in on and load.typical.system == "dc")


def _loads(design: Design, lived: Timeline, loads: tuple[Load, ...]) -> Loads:
    """A group for each load, at its mean power while it is on, cut off by its own lowest voltage."""
    if not loads:
        return Loads()
    volts = side_volts(design, "dc")
    power, siemens, amps = (np.zeros((len(loads), len(lived.which))) for _ in range(3))
    for row, load in enumerate(loads):
        on = lived.steps_of(tuple(load.name in part.on for part in lived.parts))
        watts = load.running_w * _duties(design, lived, load) * on
        if load.typical.kind == "resistive":
            siemens[row] = watts / volts**2
        elif load.typical.kind == "constant current":
            amps[row] = watts / volts
        else:
            power[row] = watts
    return Loads(power, siemens, amps, np.array([load.lowest_v or 0.0 for load in loads]))


def _duties(design: Design, lived: Timeline, load: Load) -> Floats:
    """Share of the time a load runs in each step, the mean of its stay; 1 in a gap, where nothing is on [-]."""
    stays = [design.stay(span.name) for span in lived.spans]
    shares = [running_in(design, load, stay, design.site.coldest) for stay in stays]
    by_stretch: Floats = np.array([*shares, 1.0])[np.array(lived.span_of)]  # the gap's number is -1, the last
    return by_stretch[lived.which]
