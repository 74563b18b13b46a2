"""Every circuit as it is laid and fed: current, drop, heat, ampacity, protection, and what each wire size would do."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.layout import Route
from trailerlib.design.model import Circuit
from trailerlib.physics.protection import smallest_rating_a
from trailerlib.studies import battery_side, mains_side, wire_choice
from trailerlib.studies import guard as guarding
from trailerlib.studies.ampacity import Ampacity, ratings
from trailerlib.studies.battery_side import BatterySide
from trailerlib.studies.circuits import (
    air_c,
    charger_input_a,
    charger_input_w,
    feeder_may_carry,
    may_carry,
    needed_a,
    wire_temperature_c,
)
from trailerlib.studies.guard import Guard
from trailerlib.studies.kept import Kept
from trailerlib.studies.loads import running_current_a, side_volts
from trailerlib.studies.mains_side import MainsSide
from trailerlib.studies.wire_choice import Choice


@dataclass(frozen=True)
class Run:
    """One circuit as worked out: current [A], drop [V] and as a share of nominal [-], wire heat [°C].

    ``may_carry`` is its ampacity as laid, ``needed_a`` the rating its loads ask for [A]; ``route`` says where it
    runs, ``guard`` what its protection does. ``choice``, what each wire size would do, is worked out when looked at.
    """

    circuit: Circuit
    current_a: float | None
    drop_v: float | None
    drop: float | None
    wire_c: float | None
    may_carry: Ampacity
    needed_a: float
    route: Route
    guard: Guard
    choose: Callable[[], Choice] = field(compare=False, repr=False)

    @cached_property
    def choice(self) -> Choice:
        """What each wire size would do, and the thinnest that does."""
        return self.choose()

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

    @property
    def asked_a(self) -> float:
        """What its wire must carry [A]: the larger of what it does carry and the rating its loads ask for."""
        return self.needed_a if self.current_a is None else max(self.current_a, self.needed_a)


def runs(design: Design, side: BatterySide, sides: Sequence[MainsSide]) -> list[Run]:
    """Every circuit, the battery side first.

    Parameters
    ----------
    design : the design
    side : its battery side, solved
    sides : its mains side behind each supply, solved
    """
    at_block = battery_side.at_block_a(design, side)
    mains = _MAINS.of([sides, *design.circuits_of("mains")], lambda: _mains_runs(design, sides))
    return [*(_dc_run(design, side, c, at_block) for c in design.circuits_of("dc")), *mains]


_MAINS = Kept[list[Run]]()


def _mains_runs(design: Design, sides: Sequence[MainsSide]) -> list[Run]:
    known = [one.supply for one in sides if one.supply.prospective is not None]
    at_panel = max((a for s in known if (a := mains_side.prospective_a(design, s)) is not None), default=None)
    return [_mains_run(design, circuit, sides, at_panel) for circuit in design.circuits_of("mains")]


def _dc_run(design: Design, side: BatterySide, circuit: Circuit, at_block_a: float | None) -> Run:
    volts, current = side.end_v.get(circuit.name), side.current_a.get(circuit.name)
    lost = None if volts is None or side.source_v is None else side.source_v - volts
    carry, needed = may_carry(design, circuit), needed_a(design, circuit)

    def choose() -> Choice:
        def behind(*fuses: float) -> dict[float, wire_choice.Behind]:
            return wire_choice.battery_behind(design, side, circuit, needed, fuses)

        fitted = None if circuit.protection is None else behind(circuit.protection).get(circuit.protection)
        if fitted is None:
            drops = wire_choice.battery_drops(design, side, {circuit.name: needed}).get(circuit.name, {})
        else:
            drops = dict(fitted.drops)
        far = wire_choice.battery_far_a(design, side, circuit)
        unknown = "" if side.complete else wire_choice.OTHER_RUN
        ask = wire_choice.Ask(circuit, needed, far, at_block_a, {circuit.wire: current or 0.0}, unknown)
        return wire_choice.choose(design, ask, drops, fitted, lambda: behind(*ratings(circuit.device)))

    return Run(
        circuit,
        current,
        lost,
        None if lost is None else lost / side_volts(design, "dc"),
        None if current is None else side.wire_c[circuit.name],
        carry,
        needed,
        design.layout.routes[circuit.name],
        guard_of(design, circuit, carry, at_block_a, battery_side.far_end_a(design, side, circuit.name), current),
        choose,
    )


def worst_side(sides: Sequence[MainsSide], circuit: str) -> MainsSide | None:
    """The supply behind which a mains circuit loses the most; None when none says.

    Parameters
    ----------
    sides : the mains side behind each supply, solved
    circuit : name of the circuit
    """
    said = [side for side in sides if circuit in side.branches and side.branches[circuit].drop is not None]
    return max(said, key=lambda side: side.branches[circuit].drop or 0.0, default=None)


def _mains_run(design: Design, circuit: Circuit, sides: Sequence[MainsSide], at_panel_a: float | None) -> Run:
    """A branch from the panel, all of it on; behind the supply where it loses the most."""
    carry, needed, volts = may_carry(design, circuit), needed_a(design, circuit), side_volts(design, "mains")
    current, factor = _asked(design, circuit)
    side = worst_side(sides, circuit.name)
    if side is not None:
        branch = side.branches[circuit.name]
        solved, drop, hot = branch.current_a, branch.drop, branch.wire_c
    else:
        drop = wire_choice.mains_drops(design, circuit, current, factor).get(circuit.wire)
        solved, hot = current, wire_temperature_c(carry, air_c(design, circuit), current)

    def choose() -> Choice:
        sizes = wire_choice.candidates(circuit.wire)
        tried = mains_side.worst_of_each(design, sides, circuit, sizes)
        drops = {wire: sized.drop for wire, sized in tried.items()}
        carried = {wire: sized.current_a for wire, sized in tried.items() if sized.current_a is not None}
        if not tried:
            drops = wire_choice.mains_drops(design, circuit, current, factor)
        if drops and drop is not None:
            drops[circuit.wire] = drop  # the network's own figure for the wire that is fitted
        shorts = {wire: a for wire in drops if (a := _least_far_a(design, circuit, sides, wire)) is not None}
        return wire_choice.choose(design, wire_choice.Ask(circuit, needed, shorts, at_panel_a, carried), drops)

    far_a = _least_far_a(design, circuit, sides)
    return Run(
        circuit,
        solved,
        None if drop is None else drop * volts,
        drop,
        hot,
        carry,
        needed,
        design.layout.routes[circuit.name],
        guard_of(design, circuit, carry, at_panel_a, far_a, solved),
        choose,
    )


def _least_far_a(design: Design, circuit: Circuit, sides: Sequence[MainsSide], wire: str | None = None) -> float | None:
    """Least far-end short behind any supply that says what it drives [A]."""
    far = [mains_side.far_end_a(design, one.supply, circuit.name, wire) for one in sides]
    return min((a for a in far if a is not None), default=None)


def _asked(design: Design, circuit: Circuit) -> tuple[float, float]:
    """What a mains circuit draws with all of it on, at nominal voltage [A], and its power factor [-]."""
    loads = [load for load in design.loads_on(circuit.name) if load.on]
    current = sum(running_current_a(design, load) for load in loads)
    watts = sum(load.running_w for load in loads)
    if design.charger is not None and design.charger.circuit == circuit.name:
        current, watts = current + charger_input_a(design), watts + charger_input_w(design)
    volt_amperes = current * side_volts(design, "mains")
    return current, min(1.0, watts / volt_amperes) if volt_amperes else 1.0


def guard_of(
    design: Design,
    circuit: Circuit,
    carry: Ampacity,
    prospective_a: float | None,
    far_a: float | None,
    load_a: float | None,
) -> Guard:
    """What protects a circuit, against its wire.

    Parameters
    ----------
    design : the design
    circuit : the circuit
    carry : what its wire may carry
    prospective_a : [A] short-circuit current right behind its device
    far_a : [A] short-circuit current at its far end
    load_a : [A] in use
    """
    if circuit.protection is None:
        fuse: guarding.Found = (None, "no fuse or breaker is given")
    else:
        fuse = guarding.device(circuit.device, circuit.protection)
    wire = guarding.wire(circuit.wire, circuit.insulation, carry, air_c(design, circuit))
    return guarding.guard(fuse, wire, prospective_a, far_a, load_a)


def main_guard(design: Design, side: BatterySide) -> Guard | None:
    """The main fuse of the battery side against the feeder; None without a feeder."""
    feeder, carry = design.feeder, feeder_may_carry(design)
    if feeder is None or carry is None:
        return None
    if feeder.protection is None:
        fuse: guarding.Found = (None, "no main fuse is given")
    else:
        fuse = guarding.device(feeder.device, feeder.protection)
    wire = guarding.wire(feeder.wire, feeder.insulation, carry, design.site.hottest)
    return guarding.guard(fuse, wire, side.short_a, battery_side.far_end_a(design, side, None), side.total_a)


def suggested_protection_a(run: Run) -> float | None:
    """The smallest standard rating that carries the loads and still guards the wire [A]; None when there is none."""
    guarded = run.may_carry.guarded_a
    try:
        rating = float(smallest_rating_a(max(run.needed_a, 1e-9), np.array(ratings(run.circuit.device))))
    except ValueError:
        return None
    return rating if guarded is not None and rating <= guarded else None
