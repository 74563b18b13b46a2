"""The working of a night: what was put into each formula, and what came out."""

from __future__ import annotations

from trailerlib.physics.battery import effective_capacity_ah, peukert_drain_a
from trailerlib.physics.battery_gas import hydrogen_flow_m3_h, vent_opening_cm2
from trailerlib.physics.charging import full_hours
from trailerlib.physics.formula import Worked, worked
from trailerlib.studies import cells
from trailerlib.studies.discharge import Discharge


def working(run: Discharge) -> tuple[Worked, ...]:
    """Capacity in the cold, drain, refill, and air for the gas."""
    battery = run.battery
    mean_a = run.used_ah / run.stay.hours
    steps = [
        worked(
            effective_capacity_ah, capacity_ah=battery.bank_ah, temperature_factor=run.factor, age_factor=battery.age
        )
    ]
    if mean_a > 0:
        steps.append(
            worked(
                peukert_drain_a,
                current_a=mean_a,
                capacity_ah=battery.bank_ah,
                hour_rate_h=battery.hour_rate,
                exponent=run.exponent,
            )
        )
    rests_on = run.refill
    if rests_on is not None and rests_on["missing_ah"] > 0:
        steps.append(worked(full_hours, **rests_on))
    gas = cells.limits(battery, "gas_boost_ma_per_ah")
    if gas > 0:
        flow = worked(hydrogen_flow_m3_h, cells=6 * battery.blocks, gas_ma_per_ah=gas, capacity_ah=battery.bank_ah)
        steps += [flow, worked(vent_opening_cm2, flow_m3_h=flow.value)]
    return tuple(steps)
