"""Will it last the night: state of charge over a stay on the battery, hours in reserve, refill."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from trailerlib import times, units
from trailerlib.design.design import Design
from trailerlib.design.model import BATTERY_SUPPLY, Stay
from trailerlib.rules import battery as rules
from trailerlib.rules import wiring as wiring_rules
from trailerlib.rules.finding import Finding, not_so
from trailerlib.studies import cells
from trailerlib.studies import trip as trips
from trailerlib.studies.answer import Answer, Column, Quantity, mapping
from trailerlib.studies.discharge import STEP_H, Discharge
from trailerlib.studies.loads import energy_wh
from trailerlib.studies.night_working import working
from trailerlib.studies.timetable import battery_stays, hours_on, mains_stays
from trailerlib.studies.trip.beside import beside, vent_number
from trailerlib.studies.yet import yet


def answer(design: Design, stay: str | None = None, hours: float | None = None) -> Answer:
    """Lowest charge and when, hours in reserve, the fussiest load's voltage, and how long it takes to refill.

    Parameters
    ----------
    design : the design
    stay : name of the stay; default is the first one that lives on the battery
    hours : [h] length of the stay if it should be another than in the design

    Raises
    ------
    DesignError
        When there is no such stay.
    """
    chosen = _stay(design, stay, hours)
    battery = design.battery
    lacks = missing(design, chosen)
    if lacks is not None or battery is None or chosen is None:
        ambient = chosen.ambient if chosen is not None else None
        standing = standing_checks(design, ambient)
        refill = () if battery is None else (rules.refill("the battery", None, None),)
        open_checks = (rules.depth("battery", None, None), *refill, *standing, *_open_checks(design, chosen))
        return _empty(design, f"Not checked: {lacks}.", open_checks)
    run = Discharge(design, battery, chosen)
    if not run.solved:
        return _collapsed(design, run)
    checks = tuple(_checks(design, run))
    return Answer(
        question="night",
        title="Will it last the night?",
        system=design.units,
        sentence=_sentence(design, run) + yet(checks, design.units, ("battery-depth",)),
        numbers=mapping(**_numbers(run), vent=vent_number(battery)),
        columns=COLUMNS,
        show_rows=lambda: _rows(run),
        checks=checks,
        show_working=lambda: working(run),
        picture=replace(run.picture(), show_trip=lambda: trips.of(design).picture),
        show_beside=lambda: beside(run),
    )


COLUMNS = (
    Column("name", "Load"),
    Column("hours", "On", "duration"),
    Column("duty", "Of that running", "fraction"),
    Column("running_w", "While it runs", "power"),
    Column("energy_wh", "Used", "energy"),
    Column("share", "Share", "fraction"),
    Column("lowest_v", "Lowest at the load", "voltage"),
    Column("needs_v", "Needs", "voltage"),
)


def _stay(design: Design, name: str | None, hours: float | None) -> Stay | None:
    stays = battery_stays(design)
    stay = design.stay(name) if name is not None else (stays[0] if stays else None)
    if stay is None or hours is None:
        return stay
    return stay.model_copy(update={"end": stay.start + min(max(hours, STEP_H), 48.0)})


def _sentence(design: Design, run: Discharge) -> str:
    costly = max(_rows(run), key=lambda row: row["energy_wh"], default=None)
    cost = f" The largest share goes to the {costly['name']}." if costly and costly["energy_wh"] > 0 else ""
    low = units.show(run.lowest, "fraction", design.units)
    reached = run.reached_h
    if reached is not None:
        return f"Lasts until {times.clock(reached)}, {times.span(run.reserve_h)} short.{cost}"
    if run.reserve_h == float("inf"):
        return f"Nothing is on: the battery stays at {low}."
    spare, end = times.span(run.reserve_h), times.clock(run.end_h)
    return f"Lasts the night with {spare} to spare; lowest charge {low} at {end}.{cost}"


def _numbers(run: Discharge) -> Mapping[str, Quantity]:
    fussiest = _fussiest(run)
    return {
        "lowest": Quantity("Lowest charge", run.lowest, "fraction"),
        "lowest_at": Quantity("At", float(run.start_h[run.charge.argmin()] + run.step_h[run.charge.argmin()]), "clock"),
        "reserve_h": Quantity(
            "Short by" if run.reserve_h < 0 else "In reserve",
            None if run.reserve_h == float("inf") else run.reserve_h,
            "duration",
        ),
        "used_ah": Quantity("Taken from the battery", run.used_ah, "charge"),
        "capacity_ah": Quantity("In the battery tonight", run.capacity_ah, "charge"),
        "fussiest_v": Quantity(
            f"Lowest voltage at the {fussiest}" if fussiest else "Lowest voltage at a load",
            run.lowest_v.get(fussiest) if fussiest else None,
            "voltage",
        ),
        "refill_h": Quantity("Charger needs to refill it", run.refill_h, "duration"),
    }


def _fussiest(run: Discharge) -> str | None:
    """The load with the least voltage to spare."""
    room = {
        name: volts - lowest
        for name, volts in run.lowest_v.items()
        if (lowest := run.design.load(name).lowest_v) is not None and not np.isnan(volts)
    }
    return min(room, key=room.__getitem__, default=None)


def _rows(run: Discharge) -> list[dict[str, Any]]:
    on = [(load, hours_on(run.stay, load)) for load in run.net.loads]
    total = sum(energy_wh(load, hours, run.duty(load)) for load, hours in on) or 1.0
    return [
        {
            "name": load.name,
            "hours": hours,
            "duty": run.duty(load),
            "running_w": load.running_w,
            "energy_wh": energy_wh(load, hours, run.duty(load)),
            "share": energy_wh(load, hours, run.duty(load)) / total,
            "lowest_v": run.lowest_v.get(load.name),
            "needs_v": load.lowest_v,
        }
        for load, hours in on
        if hours > 0
    ]


def _checks(design: Design, run: Discharge) -> list[Finding]:
    longest = max((stay.hours for stay in mains_stays(design)), default=None)
    return [
        rules.depth(f'stay "{run.stay.name}"', run.lowest, run.floor),
        *standing_checks(design, run.ambient_c),
        rules.refill("the battery", run.refill_h, longest),
        *(
            wiring_rules.lowest_voltage(
                f'load "{name}" at the end of “{run.stay.name}”', volts, design.load(name).lowest_v
            )
            for name, volts in run.lowest_v.items()
        ),
    ]


def _unknown_run(design: Design) -> str | None:
    """Which run is not known, and why; None when all are."""
    for circuit in design.circuits_of("dc"):
        if design.run_m(circuit) is None and design.loads_on(circuit.name):
            return f"the run of “{circuit.name}” is not known: {design.layout.routes[circuit.name].reason}"
    return None


def _open_checks(design: Design, stay: Stay | None) -> tuple[Finding, ...]:
    """What a run that is not known leaves open."""
    if stay is None or _unknown_run(design) is None:
        return ()
    dc_loads = [load for load in design.loads if load.typical.system == "dc" and hours_on(stay, load) > 0]
    return (
        rules.depth(f'stay "{stay.name}"', None, None),
        *(
            wiring_rules.lowest_voltage(f'load "{load.name}" at the end of “{stay.name}”', None, load.lowest_v)
            for load in dc_loads
        ),
    )


def standing_checks(design: Design, ambient_c: float | None = None) -> tuple[Finding, ...]:
    """What can be judged of the battery however the night goes.

    Parameters
    ----------
    design : the design
    ambient_c : [degC] air of the stay, None where it is not known
    """
    battery, charger = design.battery, design.charger
    if battery is None:
        return ()
    lowest_c, rate = cells.limits(battery, "charge_min_c"), cells.limits(battery, "charge_rate_per_h")
    checks = [
        rules.cold_charge(coldest_c(design, ambient_c, lowest_c), lowest_c),
        rules.charge_rate(charger.current if charger else None, rate * battery.bank_ah),
    ]
    if cells.limits(battery, "gas_boost_ma_per_ah") > 0:
        vented = design.safety.battery_vented
        checks.append(rules.gas(not_so(vented)))
    return tuple(checks)


def coldest_c(design: Design, ambient_c: float | None, lowest_c: float) -> float | None:
    """The coldest air that is known [degC]; None when the site's is not and no known air settles it already.

    Parameters
    ----------
    design : the design
    ambient_c : [degC] air of the stay, None where it is not known
    lowest_c : [degC] the battery may be charged at
    """
    known = [c for c in (design.site.coldest, ambient_c) if c is not None]
    coldest = min(known, default=None)
    if design.site.coldest is None and (coldest is None or coldest >= lowest_c):
        return None
    return coldest


def missing(design: Design, stay: Stay | None) -> str | None:
    """What is not there that the night cannot do without, in words; None when all is.

    Parameters
    ----------
    design : the design
    stay : the stay that is asked about
    """
    if design.battery is None:
        return "the design has no battery"
    if design.feeder is None:
        return "the design has no feeder"
    if design.feeder_run_m is None:
        return "the run from the battery to the fuse block is not known"
    if stay is None:
        return "the design has no stay on the battery"
    if stay.supply != BATTERY_SUPPLY:
        return f"“{stay.name}” does not live on the battery"
    if stay.ambient is None and design.site.coldest is None:
        return "how cold the night gets is not given"
    return _unknown_run(design)


def _collapsed(design: Design, run: Discharge) -> Answer:
    return _empty(
        design,
        "The wires cannot carry what is switched on: the voltage collapses before the power arrives.",
        (
            wiring_rules.delivers(f'stay "{run.stay.name}"', run.deliverable),
            rules.depth("battery", None, None),
            rules.refill("the battery", None, None),
            *standing_checks(design, run.ambient_c),
        ),
    )


def _empty(design: Design, sentence: str, checks: tuple[Finding, ...]) -> Answer:
    unknown = {
        "lowest": Quantity("Lowest charge", None, "fraction"),
        "lowest_at": Quantity("At", None, "clock"),
        "reserve_h": Quantity("In reserve", None, "duration"),
        "used_ah": Quantity("Taken from the battery", None, "charge"),
        "capacity_ah": Quantity("In the battery tonight", None, "charge"),
        "fussiest_v": Quantity("Lowest voltage at a load", None, "voltage"),
        "refill_h": Quantity("Charger needs to refill it", None, "duration"),
        "vent": vent_number(design.battery),
    }
    return Answer(
        "night", "Will it last the night?", design.units, sentence, mapping(**unknown), COLUMNS, tuple, checks
    )
