"""Every check on the wires: drop, ampacity, protection, what a short does, the feeder, the raceways."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from trailerlib.design.design import Design
from trailerlib.design.model import Circuit
from trailerlib.physics.time_current import Device
from trailerlib.rules import guarding as guard_rules
from trailerlib.rules import wiring as rules
from trailerlib.rules.finding import Finding
from trailerlib.studies import devices, mains_side
from trailerlib.studies.ampacity import Ampacity, low_voltage_table_a, ratings
from trailerlib.studies.battery_side import BatterySide
from trailerlib.studies.circuits import feeder_may_carry, needed_a
from trailerlib.studies.guard import Guard
from trailerlib.studies.kept import Kept
from trailerlib.studies.mains_side import MainsSide
from trailerlib.studies.runs import Run


def checks(
    design: Design, side: BatterySide, sides: Sequence[MainsSide], runs: list[Run], main: Guard | None
) -> list[Finding]:
    """Every check on the wires of a design.

    Parameters
    ----------
    design : the design
    side : its battery side, solved
    sides : its mains side behind each supply, solved
    runs : its circuits, worked out
    main : its main fuse
    """
    dc = [run for run in runs if run.circuit.system == "dc"]
    mains = [run for run in runs if run.circuit.system == "mains"]
    each, others = _BATTERY.of([side, design.charger, *dc], lambda: _battery_checks(design, side, dc, main))
    found = [*each, *_mains_run_checks(design, mains), *others]
    return [*found, *mains_side.checks(design, sides), *panel_checks(runs), *raceway_checks(design)]


_BATTERY = Kept[tuple[list[Finding], list[Finding]]]()


def _battery_checks(
    design: Design, side: BatterySide, runs: list[Run], main: Guard | None
) -> tuple[list[Finding], list[Finding]]:
    """What is judged of each run of the battery side, and of all of them together."""
    whole, fuse = side.complete, None if main is None else main.device
    each = [check for run in runs for check in _run_checks(design, run, whole)]
    found = [check for run in runs for check in short_checks(run.circuit.name, run.guard, fuse)]
    if design.circuits_of("dc") or design.battery is not None:
        at_block = next((run.guard.prospective_a for run in runs), None)
        found += [*_feeder_checks(design, side, main), *block_check([run.circuit for run in runs], at_block)]
    return each, [*found, *_voltage_checks(design, side, runs)]


def mains_checks(design: Design, sides: Sequence[MainsSide], runs: list[Run]) -> list[Finding]:
    """Every check on the wires of the mains side alone.

    Parameters
    ----------
    design : the design
    sides : its mains side behind each supply, solved
    runs : its mains circuits, worked out
    """
    return [*_mains_run_checks(design, runs), *mains_side.checks(design, sides), *panel_checks(runs)]


_MAINS, _SHORTS = Kept[list[Finding]](128), Kept[list[Finding]](128)


def _mains_run_checks(design: Design, runs: Sequence[Run]) -> list[Finding]:
    """What is judged of each run of the mains side; a run is the same object while nothing of it has changed."""
    practice = design.practice
    return [c for run in runs for c in _MAINS.of((run, practice), partial(_run_checks, design, run, True))]


def panel_checks(runs: list[Run]) -> list[Finding]:
    """What a short does on the mains side: one line for the panel where nothing is known of the pedestal."""
    fed = [run for run in runs if run.circuit.system == "mains"]
    if not fed:
        return []
    breaks = devices.interrupting_a("mains breaker")
    at_panel = max((run.guard.prospective_a for run in fed if run.guard.prospective_a is not None), default=None)
    found = [guard_rules.branch_interrupting("mains panel", breaks, at_panel)]
    if all(run.guard.prospective_a is None for run in fed):
        return [*found, guard_rules.far_end_short("mains side", None, None)]
    return found + [check for run in fed for check in _SHORTS.of((run,), partial(_shorts, run))]


def _shorts(run: Run) -> list[Finding]:
    return far_end_checks(f'circuit "{run.circuit.name}"', run.guard)


def _voltage_checks(design: Design, side: BatterySide, runs: list[Run]) -> list[Finding]:
    heat_known, found = {run.circuit.name: run.heat_known for run in runs}, []
    for load in design.loads:
        if load.typical.system == "dc" and load.on:
            volts, lowest = side.load_v.get(load.name), load.lowest_v
            known = heat_known[load.circuit] and (side.complete or (volts is not None and volts < (lowest or 0.0)))
            found.append(rules.lowest_voltage(f'load "{load.name}"', volts if known else None, lowest))
    return found


def _run_checks(design: Design, run: Run, complete: bool) -> list[Finding]:
    """With a run that is not known, a drop that is too large is too large; one that is not may be."""
    c, subject = run.circuit, f'circuit "{run.circuit.name}"'
    drop = run.drop if run.heat_known and (complete or (run.drop or 0.0) > c.drop_limit) else None
    guards, *others = rating_checks(c, run.may_carry, design.practice)
    return [
        rules.drop(subject, drop, c.drop_limit),
        rules.ampacity(subject, run.asked_a, run.may_carry.amps),
        guards,
        rules.fuse_carries_load(subject, c.protection, run.asked_a),
        *others,
    ]


def rating_checks(circuit: Circuit, carry: Ampacity, practice: str = "north-america") -> list[Finding]:
    """The rating of a circuit's device against its wire, whatever flows.

    Parameters
    ----------
    circuit : the circuit
    carry : what its wire may carry
    practice : ``north-america`` or ``iec``, whose breakers have ratings of their own
    """
    subject, rating = f'circuit "{circuit.name}"', circuit.protection
    found = [
        rules.fuse_guards_wire(subject, rating, carry.guarded_a),
        guard_rules.standard_rating(
            subject, None if rating is None else rating not in ratings(circuit.device, practice)
        ),
    ]
    if circuit.system == "dc" and low_voltage_table_a(circuit.wire) is not None:
        found.append(rules.low_voltage_table(subject, rating, low_voltage_table_a(circuit.wire)))
    return found


def short_checks(circuit: str, guard: Guard, main: Device | None) -> list[Finding]:
    """What a short on a circuit of the battery side does to its device and its wire.

    Parameters
    ----------
    circuit : its name
    guard : its device and its wire
    main : the main fuse
    """
    subject = f'circuit "{circuit}"'
    return [
        *far_end_checks(subject, guard),
        guard_rules.branch_opens_first(subject, guard.main_from_a(main), guard.prospective_a),
    ]


def far_end_checks(subject: str, guard: Guard) -> list[Finding]:
    """Whether a short at the far end opens the device in time, and whether it guards the wire at every current.

    Parameters
    ----------
    subject : what it is about
    guard : the device and its wire
    """
    far, found = guard.far_end, []
    if guard.device is None or guard.device.name != "breaker":
        found.append(guard_rules.slow_overload(subject, guard.slow_from_a, guard.opens_a))
    return [
        *found,
        guard_rules.far_end_short(subject, far.current_a if far else None, guard.opens_a),
        guard_rules.short_heats_wire(subject, far.wire_c if far else None, guard.limit_c),
        guard_rules.guards_at_every_current(subject, guard.guarded_to_a, guard.prospective_a),
    ]


def _feeder_checks(design: Design, side: BatterySide, main: Guard | None) -> list[Finding]:
    feeder, carry = design.feeder, feeder_may_carry(design)
    allowed = carry.amps if carry is not None else None
    fuse = feeder.protection if feeder is not None else None
    asked = max(sum(needed_a(design, c) for c in design.circuits_of("dc")), sum(side.asked_a.values()))
    guards, *others = main_fuse_checks(design, side, main)
    return [
        rules.delivers("battery side", side.delivered),
        rules.ampacity("feeder", None if side.total_a is None else max(asked, side.total_a), allowed),
        guards,
        rules.fuse_carries_load("main fuse", fuse, max(asked, side.total_a or 0.0)),
        *others,
    ]


def main_fuse_checks(design: Design, side: BatterySide, main: Guard | None) -> list[Finding]:
    """The main fuse and the feeder, whatever flows.

    Parameters
    ----------
    design : the design
    side : its battery side; need not be solved
    main : its main fuse
    """
    feeder, carry = design.feeder, feeder_may_carry(design)
    found = [
        rules.fuse_guards_wire("main fuse", feeder.protection if feeder else None, carry.amps if carry else None),
        rules.main_fuse_distance(feeder.fuse_from_battery if feeder else None),
        rules.main_fuse_interrupting(_interrupting_a(design), side.short_a),
        rules.battery_disconnect(feeder.disconnect if feeder else None),
    ]
    return found if main is None else [*found, *far_end_checks("main fuse", main)]


def block_check(fed: Sequence[Circuit], at_block_a: float | None) -> list[Finding]:
    """The weakest device at the fuse block against a short right behind it: one line for the block.

    Parameters
    ----------
    fed : the circuits of the battery side
    at_block_a : [A] short-circuit current right behind the block
    """
    if not fed:
        return []
    breaks = [devices.interrupting_a(circuit.device) for circuit in fed]
    least = None if any(a is None for a in breaks) else min(a for a in breaks if a is not None)
    return [guard_rules.branch_interrupting("fuse block", least, at_block_a)]


def _interrupting_a(design: Design) -> float | None:
    """Interrupting rating of the main fuse [A]: as typed, else the lowest of its class."""
    feeder = design.feeder
    if feeder is None or feeder.protection is None:
        return None
    return feeder.interrupting if feeder.interrupting is not None else devices.interrupting_a(feeder.device)


def raceway_checks(design: Design) -> list[Finding]:
    """Wires of both sides in one raceway."""
    both = {shared.raceway for shared in design.layout.shared}
    return [
        guard_rules.raceway_holds_both(f'raceway "{raceway.name}"', raceway.name in both) for raceway in design.raceways
    ]
