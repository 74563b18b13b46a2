"""Which wire, which fuse: drop, heat, ampacity and protection of every circuit, and the smallest wire that does."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from trailerlib import reference, units
from trailerlib.design.design import Design
from trailerlib.design.wire_sizes import wire as wire_size
from trailerlib.physics.conductor import (
    CMIL_M2,
    ambient_factor,
    awg_area_m2,
    conductor_temperature_c,
    loop_drop_v,
    required_area_cmil,
    resistance_per_m,
)
from trailerlib.physics.formula import Worked, worked
from trailerlib.physics.protection import prospective_current_a
from trailerlib.rules.finding import ORDER, Finding
from trailerlib.studies import battery_side, mains_side, sizes, wire_checks, wire_choice
from trailerlib.studies import feeder as dc
from trailerlib.studies import runs as laid
from trailerlib.studies.answer import Answer, Column, Later, Quantity, mapping
from trailerlib.studies.battery_side import CHARGE_AT_TEST, BatterySide
from trailerlib.studies.circuits import air_c
from trailerlib.studies.guard import Guard
from trailerlib.studies.mains_side import MainsSide
from trailerlib.studies.mains_side.shape import INLET
from trailerlib.studies.path import Path
from trailerlib.studies.runs import Run, suggested_protection_a


@dataclass(frozen=True)
class WiringPicture:
    """What the drawings need: the runs, voltage at the battery, the fuse block and every load [V].

    ``focus`` is the circuit the answer speaks of, ``main`` the main fuse.
    """

    runs: tuple[Run, ...]
    source_v: float | None
    block_v: float | None
    load_v: Mapping[str, float]
    focus: Run | None = None
    main: Guard | None = None
    find_path: Callable[[], Path | None] = field(default=lambda: None, compare=False, repr=False)

    @cached_property
    def path(self) -> Path | None:
        """Its way from the source and back, worked out when somebody looks at it."""
        return self.find_path()


def answer(design: Design, circuit: str | None = None, charge: float = CHARGE_AT_TEST) -> Answer:
    """Drop, heat, ampacity and protection of every circuit.

    Parameters
    ----------
    design : the design
    circuit : the circuit the sentence should speak of; default is the one with the least room
    charge : [-] how full the battery is while everything runs, 0..1

    Raises
    ------
    DesignError
        When there is no such circuit.
    """
    looked_at = None if circuit is None else design.circuit(circuit)
    side = battery_side.solve(design, charge, laid.trial_of(looked_at, "dc"))
    sides = mains_side.sides(design, laid.trial_of(looked_at, "mains"))
    runs = laid.runs(design, side, sides)
    main, focus = laid.main_guard(design, side), _focus(runs, side, circuit)
    checks = tuple(wire_checks.checks(design, side, sides, runs, main))
    return Answer(
        question="wiring",
        title="Which wire, which fuse?",
        system=design.units,
        sentence=_sentence(design, focus, side, _elsewhere(design, focus, checks)),
        numbers=Later(lambda: _numbers(side, focus, charge)),
        columns=COLUMNS,
        show_rows=lambda: [_row(run) for run in runs],
        checks=checks,
        picture=WiringPicture(
            tuple(runs),
            side.source_v,
            side.block_v,
            side.load_v,
            focus,
            main,
            lambda: _path(design, side, sides, focus),
        ),
        show_working=lambda: (*_working(design, side, focus), *_inlet_working(sides, focus)),
        show_beside=lambda: sizes.beside(design, focus),
    )


COLUMNS = (
    Column("name", "Circuit"),
    Column("wire", "Wire"),
    Column("run_m", "Run", "length"),
    Column("protection_a", "Fuse", "current"),
    Column("current_a", "Current", "current"),
    Column("drop_v", "Drop", "voltage"),
    Column("drop", "Drop", "fraction"),
    Column("wire_c", "Wire", "temperature"),
    Column("may_carry_a", "May carry", "current"),
    Column("short_a", "Far short", "current"),
    Column("smallest", "Thinnest"),
    Column("fuse_a", "With fuse", "current"),
    Column("binding", "Because of"),
)


def _row(run: Run) -> dict[str, object]:
    c, far, pair = run.circuit, run.guard.far_end, run.choice.pair
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
        "short_a": far.current_a if far else None,
        "smallest": pair.wire if pair else "none",
        "fuse_a": pair.fuse_a if pair else None,
        "binding": run.choice.pair_binding.removeprefix("it is "),
    }


def _path(design: Design, side: BatterySide, sides: Sequence[MainsSide], run: Run | None) -> Path | None:
    """The way of the current to the end of a circuit and back."""
    if run is None:
        return None
    if run.circuit.system == "dc":
        return battery_side.path(side, run.circuit.name)
    worst = laid.worst_side(sides, run.circuit.name)
    return None if worst is None else mains_side.path_of(design, worst, run.circuit.name, alone=True)


def _focus(runs: list[Run], side: BatterySide, name: str | None) -> Run | None:
    if name is not None:
        return next(run for run in runs if run.circuit.name == name)
    known = [run for run in runs if run.circuit.system == "mains" or side.network is not None]
    return max(known, key=lambda run: run.strain, default=None)


def _elsewhere(design: Design, focus: Run | None, checks: Sequence[Finding]) -> str:
    """What is wrong elsewhere, when this circuit is not among the worst: the verdict's word is that of all of them."""
    bad = [one for one in checks if one.severity in ("stop", "fix")]
    first = min((one.severity for one in bad), key=ORDER.index, default="holds")
    worst = [one for one in bad if one.severity == first]
    if not worst or focus is None or any(f'"{focus.circuit.name}"' in one.subject for one in worst):
        return ""
    return f"Yet {worst[0].text(design.units)}"


def _sentence(design: Design, run: Run | None, side: BatterySide, elsewhere: str) -> str:
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
    if elsewhere:
        return f"{lost}. {elsewhere}"
    if choice.smallest is None and choice.binding == wire_choice.NO_TABLE:
        return f"{lost}. Not checked is what it may carry: no table here says so of wires by their mm²."
    if choice.smallest is None:
        return f"{lost}. No wire in the table does: {choice.binding} is what binds."
    if choice.smallest == c.wire:
        return f"{lost}. It is the thinnest wire that does; what binds is {choice.binding.removeprefix('it is ')}."
    if wire_size(choice.smallest).area_m2 > wire_size(c.wire).area_m2:
        if c.wire in choice.unguarded:
            return f"{lost}, but the wire is too thin for its load or its fuse. {choice.smallest} does."
        return f"{lost}. {choice.smallest} brings it to {show(choice.drops_by_wire[choice.smallest], 'fraction')}."
    return f"{lost}. {choice.smallest} would do as well."


def _numbers(side: BatterySide, focus: Run | None, charge: float) -> Mapping[str, Quantity]:
    full = "half full" if charge == CHARGE_AT_TEST else f"{100 * charge:.0f} % full"
    return mapping(
        drop=Quantity("Lost on the way, this circuit", focus.drop if focus else None, "fraction"),
        current_a=Quantity("Current, this circuit", focus.current_a if focus else None, "current"),
        may_carry_a=Quantity("Its wire may carry", focus.may_carry.amps if focus else None, "current"),
        protection_a=Quantity(
            "Smallest protection that carries it", suggested_protection_a(focus) if focus else None, "current"
        ),
        total_a=Quantity("Battery current, all on", side.total_a, "current"),
        source_v=Quantity(f"At the battery, {full}, all on", side.source_v, "voltage"),
        short_a=Quantity("Short-circuit current at the battery", side.short_a, "current"),
        far_short_a=Quantity(
            "A short at its far end draws",
            focus.guard.far_end.current_a if focus and focus.guard.far_end else None,
            "current",
        ),
    )


def _working(design: Design, side: BatterySide, run: Run | None) -> Iterator[Worked]:
    if run is None or run.current_a is None or run.wire_c is None or run.run_m is None:
        return
    c, air, carry = run.circuit, air_c(design, run.circuit), run.may_carry
    size = wire_size(c.wire)
    if size.awg is not None:
        yield worked(awg_area_m2, awg_index=reference.table("wire_awg").number("index", awg=size.awg))
    yield worked(resistance_per_m, area_m2=size.area_m2, temperature_c=run.wire_c)
    yield worked(loop_drop_v, current_a=run.current_a, ohm_per_m=dc.ohm_per_m(c.wire, run.wire_c), run_m=run.run_m)
    if size.awg is not None and c.drop_limit > 0.0:
        by_hand = worked(
            required_area_cmil, current_a=run.current_a, loop_ft=units.outside(2.0 * run.run_m, "length", "us"),
            drop_v=c.drop_limit * design.volts_of(c),
        )  # fmt: skip
        yield replace(by_hand, title=f"{by_hand.title}; {c.wire} has {size.area_m2 / CMIL_M2:.0f}")
    if air is not None:
        yield worked(ambient_factor, rating_c=carry.rating_c, ambient_c=air)
    if air is not None and carry.amps:
        yield worked(
            conductor_temperature_c,
            current_a=run.current_a,
            ampacity_a=carry.amps,
            ambient_c=air,
            rating_c=carry.rating_c,
        )
    far = run.guard.far_end
    if c.system == "dc" and far is not None and side.emf_v is not None and side.ohm is not None:
        inside = float(side.ohm[dc.BATTERY_NODE])
        yield worked(
            prospective_current_a, emf_v=side.emf_v, source_ohm=inside, path_ohm=side.emf_v / far.current_a - inside
        )


def _inlet_working(sides: Sequence[MainsSide], run: Run | None) -> Iterator[Worked]:
    """What the wire from the inlet to the panel drops with this branch fully on, where the design has one."""
    worst = None if run is None else laid.worst_side(sides, run.circuit.name)
    if run is None or run.current_a is None or worst is None or worst.network is None or not worst.network.inlet.run_m:
        return
    inlet, hot = worst.network.inlet, float(worst.alone[run.circuit.name].temperature_c[INLET])
    step = worked(loop_drop_v, current_a=run.current_a, ohm_per_m=dc.ohm_per_m(inlet.wire, hot), run_m=inlet.run_m)
    yield replace(step, title=f"{step.title}, from the inlet to the panel")
