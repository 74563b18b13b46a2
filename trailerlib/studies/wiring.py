"""Which wire, which fuse: drop, heat, ampacity and protection of every circuit, and the smallest wire that does."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from trailerlib import reference, units
from trailerlib.design.catalogue import wire as wire_size
from trailerlib.design.design import Design
from trailerlib.design.layout import Route
from trailerlib.design.model import Circuit
from trailerlib.physics.conductor import ambient_factor, conductor_temperature_c, loop_drop_v, resistance_per_m
from trailerlib.physics.formula import Worked, worked
from trailerlib.physics.protection import smallest_rating_a
from trailerlib.rules import wiring as rules
from trailerlib.rules.finding import Finding
from trailerlib.studies import battery_side, wire_choice
from trailerlib.studies import feeder as dc
from trailerlib.studies.ampacity import Ampacity, low_voltage_table_a, ratings
from trailerlib.studies.answer import Answer, Column, Quantity, mapping
from trailerlib.studies.battery_side import BatterySide
from trailerlib.studies.circuits import (
    air_c,
    charger_input_a,
    feeder_may_carry,
    may_carry,
    needed_a,
    wire_temperature_c,
)
from trailerlib.studies.loads import running_current_a, side_volts
from trailerlib.studies.wire_choice import Choice


@dataclass(frozen=True)
class Run:
    """One circuit as worked out: current [A], drop [V] and as a share of nominal [-], wire heat [°C].

    ``may_carry`` is its ampacity as laid, ``needed_a`` the rating its loads ask for [A];
    ``choice`` says what each wire size would do, ``route`` where it runs.
    """

    circuit: Circuit
    current_a: float | None
    drop_v: float | None
    drop: float | None
    wire_c: float | None
    may_carry: Ampacity
    needed_a: float
    choice: Choice
    route: Route

    @property
    def run_m(self) -> float | None:
        """One-way length of its run [m]; None when it is not known."""
        return self.route.run_m

    @property
    def heat_known(self) -> bool:
        """Whether its wire's temperature is known, or at least bounded by its rating."""
        return self.may_carry.amps is not None or self.may_carry.table_a is None

    @property
    def strain(self) -> float:
        """How much of the allowed drop is used [-]; infinite when nothing arrives, 0 when its run is not known."""
        if self.run_m is None:
            return 0.0
        if self.drop is None:
            return float("inf")
        return self.drop / self.circuit.drop_limit if self.circuit.drop_limit else self.drop * 1e9


@dataclass(frozen=True)
class WiringPicture:
    """What the drawing needs: the runs, voltage at the battery, the fuse block and every load [V]."""

    runs: tuple[Run, ...]
    source_v: float | None
    block_v: float | None
    load_v: Mapping[str, float]


def answer(design: Design, circuit: str | None = None) -> Answer:
    """Drop, heat, ampacity and protection of every circuit.

    Parameters
    ----------
    design : the design
    circuit : the circuit the sentence should speak of; default is the one with the least room

    Raises
    ------
    DesignError
        When there is no such circuit.
    """
    if circuit is not None:
        design.circuit(circuit)
    side = battery_side.solve(design)
    runs = _dc_runs(design, side) + [_mains_run(design, c) for c in design.circuits_of("mains")]
    focus = _focus(runs, side, circuit)
    return Answer(
        question="wiring",
        title="Which wire, which fuse?",
        system=design.units,
        sentence=_sentence(design, focus, side),
        numbers=_numbers(side, focus),
        columns=COLUMNS,
        rows=tuple(_row(run) for run in runs),
        checks=tuple(_checks(design, side, runs)),
        show_working=lambda: _working(design, focus),
        picture=WiringPicture(tuple(runs), side.source_v, side.block_v, side.load_v),
    )


COLUMNS = (
    Column("name", "Circuit"),
    Column("wire", "Wire"),
    Column("run_m", "Run, one way", "length"),
    Column("protection_a", "Protection", "current"),
    Column("current_a", "Current", "current"),
    Column("drop_v", "Drop", "voltage"),
    Column("drop", "Drop", "fraction"),
    Column("wire_c", "Wire", "temperature"),
    Column("may_carry_a", "May carry", "current"),
    Column("smallest", "Thinnest that does"),
    Column("binding", "Because of"),
)


def _row(run: Run) -> dict[str, object]:
    c = run.circuit
    return {
        "name": c.name,
        "wire": c.wire,
        "run_m": run.run_m,
        "protection_a": c.protection,
        "current_a": run.current_a,
        "drop_v": run.drop_v,
        "drop": run.drop,
        "wire_c": run.wire_c,
        "may_carry_a": run.may_carry.guarded_a,
        "smallest": run.choice.smallest or "none",
        "binding": run.choice.binding,
    }


def _dc_runs(design: Design, side: BatterySide) -> list[Run]:
    circuits = design.circuits_of("dc")
    needed = {c.name: needed_a(design, c) for c in circuits}
    drops = wire_choice.battery_drops(design, side, needed)
    return [_dc_run(design, side, c, needed[c.name], drops.get(c.name, {})) for c in circuits]


def _dc_run(design: Design, side: BatterySide, circuit: Circuit, needed: float, drops: Mapping[str, float]) -> Run:
    volts, current = side.end_v.get(circuit.name), side.current_a.get(circuit.name)
    lost = None if volts is None or side.source_v is None else side.source_v - volts
    return Run(
        circuit,
        current,
        lost,
        None if lost is None else lost / side_volts(design, "dc"),
        None if current is None else side.wire_c[circuit.name],
        may_carry(design, circuit),
        needed,
        wire_choice.choose(design, circuit, drops, max(needed, current or 0.0)),
        design.layout.routes[circuit.name],
    )


def _mains_run(design: Design, circuit: Circuit) -> Run:
    """A branch from the panel: resistance only, from the panel's nominal voltage."""
    current = sum(running_current_a(design, load) for load in design.loads_on(circuit.name) if load.on)
    if design.charger is not None and design.charger.circuit == circuit.name:
        current += charger_input_a(design)
    carry, needed = may_carry(design, circuit), needed_a(design, circuit)
    hot = wire_temperature_c(carry, air_c(design, circuit), current)
    run_m = design.run_m(circuit)
    lost = None if run_m is None else float(loop_drop_v(current, dc.ohm_per_m(circuit.wire, hot), run_m))
    choice = wire_choice.choose(design, circuit, wire_choice.mains_drops(design, circuit, current), needed)
    drop = None if lost is None else lost / side_volts(design, "mains")
    route = design.layout.routes[circuit.name]
    return Run(circuit, current, lost, drop, hot, carry, needed, choice, route)


def suggested_protection_a(run: Run) -> float | None:
    """The smallest standard rating that carries the loads and still guards the wire [A]; None when there is none."""
    guarded = run.may_carry.guarded_a
    try:
        rating = float(smallest_rating_a(max(run.needed_a, 1e-9), np.array(ratings(run.circuit.device))))
    except ValueError:
        return None
    return rating if guarded is not None and rating <= guarded else None


def _focus(runs: list[Run], side: BatterySide, name: str | None) -> Run | None:
    if name is not None:
        return next(run for run in runs if run.circuit.name == name)
    known = [run for run in runs if run.circuit.system == "mains" or side.network is not None]
    return max(known, key=lambda run: run.strain, default=None)


def _sentence(design: Design, run: Run | None, side: BatterySide) -> str:
    if run is None or (run.circuit.system == "dc" and side.network is None):
        return "Not checked: the wires need a battery, a feeder and at least one circuit."
    c, show, choice = run.circuit, units.show, run.choice
    if run.run_m is None:
        return f"Not checked: the run of {c.name} is not known: {run.route.reason}."
    wire = f"{show(run.run_m, 'length', design.units)} of {c.wire}"
    if run.drop is None:
        mend = f"{choice.smallest} would do on {c.name}." if choice.smallest else "Shorten the run or split the load."
        return (
            f"{c.name}, {wire}: the battery side cannot deliver this, the voltage collapses; "
            f"{show(side.delivered, 'fraction')} of the power is the most that arrives. {mend}"
        )
    lost = f"{c.name} loses {show(run.drop, 'fraction')} over {wire}; {c.drop_limit * 100:g} % is allowed"
    if choice.smallest is None:
        return f"{lost}. No wire in the table does: {choice.binding} is what binds."
    if choice.smallest == c.wire:
        return f"{lost}. It is the thinnest wire that does; what binds is {choice.binding.removeprefix('it is ')}."
    if wire_size(choice.smallest).area_m2 > wire_size(c.wire).area_m2:
        if c.wire in choice.unguarded:
            return f"{lost}, but the wire is too thin for its load or its fuse. {choice.smallest} does."
        return f"{lost}. {choice.smallest} brings it to {show(choice.drops_by_wire[choice.smallest], 'fraction')}."
    return f"{lost}. {choice.smallest} would do as well."


def _numbers(side: BatterySide, focus: Run | None) -> Mapping[str, Quantity]:
    return mapping(
        drop=Quantity("Lost on the way, this circuit", focus.drop if focus else None, "fraction"),
        current_a=Quantity("Current, this circuit", focus.current_a if focus else None, "current"),
        may_carry_a=Quantity("Its wire may carry", focus.may_carry.amps if focus else None, "current"),
        protection_a=Quantity(
            "Smallest protection that carries it", suggested_protection_a(focus) if focus else None, "current"
        ),
        total_a=Quantity("Battery current, all on", side.total_a, "current"),
        source_v=Quantity("At the battery, half full, all on", side.source_v, "voltage"),
        short_a=Quantity("Short-circuit current at the battery", side.short_a, "current"),
    )


def _checks(design: Design, side: BatterySide, runs: list[Run]) -> list[Finding]:
    checks = [check for run in runs for check in _run_checks(run, run.circuit.system == "mains" or side.complete)]
    heat_known = {run.circuit.name: run.heat_known for run in runs}
    if design.circuits_of("dc") or design.battery is not None:
        checks += _feeder_checks(design, side)
    for load in design.loads:
        if load.typical.system == "dc" and load.on:
            volts, lowest = side.load_v.get(load.name), load.lowest_v
            known = heat_known[load.circuit] and (side.complete or (volts is not None and volts < (lowest or 0.0)))
            checks.append(rules.lowest_voltage(f'load "{load.name}"', volts if known else None, lowest))
    return checks


def _run_checks(run: Run, complete: bool) -> list[Finding]:
    """With a run that is not known, a drop that is too large is too large; one that is not may be."""
    c, subject = run.circuit, f'circuit "{run.circuit.name}"'
    drop = run.drop if run.heat_known and (complete or (run.drop or 0.0) > c.drop_limit) else None
    asked = run.needed_a if run.current_a is None else max(run.current_a, run.needed_a)
    checks = [
        rules.drop(subject, drop, c.drop_limit),
        rules.ampacity(subject, asked, run.may_carry.amps),
        rules.fuse_guards_wire(subject, c.protection, run.may_carry.guarded_a),
        rules.fuse_carries_load(subject, c.protection, run.needed_a),
    ]
    if c.system == "dc" and low_voltage_table_a(c.wire) is not None:
        checks.append(rules.low_voltage_table(subject, c.protection, low_voltage_table_a(c.wire)))
    return checks


def _feeder_checks(design: Design, side: BatterySide) -> list[Finding]:
    feeder, carry = design.feeder, feeder_may_carry(design)
    allowed = carry.amps if carry is not None else None
    fuse = feeder.protection if feeder is not None else None
    return [
        rules.delivers("battery side", side.delivered),
        rules.ampacity("feeder", side.total_a, allowed),
        rules.fuse_guards_wire("main fuse", fuse, allowed),
        rules.fuse_carries_load("main fuse", fuse, sum(needed_a(design, c) for c in design.circuits_of("dc"))),
        rules.main_fuse_distance(feeder.fuse_from_battery if feeder else None),
        rules.main_fuse_interrupting(_interrupting_a(design), side.short_a),
        rules.battery_disconnect(feeder.disconnect if feeder else None),
    ]


def _interrupting_a(design: Design) -> float | None:
    """Interrupting rating of the main fuse [A]: as typed, else the lowest of its class."""
    feeder = design.feeder
    if feeder is None or feeder.protection is None:
        return None
    if feeder.interrupting is not None:
        return feeder.interrupting
    rows = [row for row in reference.table("fuse_interrupting").rows if row["device"].lower().startswith(feeder.device)]
    return min((float(row["rating_a"]) for row in rows), default=None)


def _working(design: Design, run: Run | None) -> tuple[Worked, ...]:
    if run is None or run.current_a is None or run.wire_c is None or run.run_m is None:
        return ()
    c, air = run.circuit, air_c(design, run.circuit)
    steps = [
        worked(resistance_per_m, area_m2=wire_size(c.wire).area_m2, temperature_c=run.wire_c),
        worked(loop_drop_v, current_a=run.current_a, ohm_per_m=dc.ohm_per_m(c.wire, run.wire_c), run_m=run.run_m),
    ]
    if air is not None:
        steps.append(worked(ambient_factor, rating_c=run.may_carry.rating_c, ambient_c=air))
    if air is not None and run.may_carry.amps:
        steps.append(
            worked(
                conductor_temperature_c,
                current_a=run.current_a,
                ampacity_a=run.may_carry.amps,
                ambient_c=air,
                rating_c=run.may_carry.rating_c,
            )
        )
    return tuple(steps)
