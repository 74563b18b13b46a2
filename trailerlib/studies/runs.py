"""Every circuit as it is laid and fed: current, drop, heat, ampacity, protection, and what each wire size would do."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.layout import Route
from trailerlib.design.model import Circuit
from trailerlib.physics.conductor import loop_drop_v
from trailerlib.physics.protection import smallest_rating_a
from trailerlib.studies import battery_side, wire_choice
from trailerlib.studies import feeder as dc
from trailerlib.studies import guard as guarding
from trailerlib.studies.ampacity import Ampacity, ratings
from trailerlib.studies.battery_side import BatterySide
from trailerlib.studies.circuits import air_c, charger_input_a, feeder_may_carry, may_carry, needed_a, wire_temperature_c
from trailerlib.studies.guard import Guard
from trailerlib.studies.loads import running_current_a, side_volts
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


def runs(design: Design, side: BatterySide) -> list[Run]:
    """Every circuit, the battery side first.

    Parameters
    ----------
    design : the design
    side : its battery side, solved
    """
    at_block = battery_side.at_block_a(design, side)
    return [
        *(_dc_run(design, side, c, at_block) for c in design.circuits_of("dc")),
        *(_mains_run(design, c) for c in design.circuits_of("mains")),
    ]


def _dc_run(design: Design, side: BatterySide, circuit: Circuit, at_block_a: float | None) -> Run:
    volts, current = side.end_v.get(circuit.name), side.current_a.get(circuit.name)
    lost = None if volts is None or side.source_v is None else side.source_v - volts
    carry, needed = may_carry(design, circuit), needed_a(design, circuit)

    def choose() -> Choice:
        drops = wire_choice.battery_drops(design, side, {circuit.name: needed}).get(circuit.name, {})
        far = wire_choice.battery_far_a(design, side, circuit)
        ask = wire_choice.Ask(circuit, max(needed, current or 0.0), far, at_block_a)
        return wire_choice.choose(design, ask, drops)

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


def _mains_run(design: Design, circuit: Circuit) -> Run:
    """A branch from the panel: resistance only, from the panel's nominal voltage."""
    current = sum(running_current_a(design, load) for load in design.loads_on(circuit.name) if load.on)
    if design.charger is not None and design.charger.circuit == circuit.name:
        current += charger_input_a(design)
    carry, needed = may_carry(design, circuit), needed_a(design, circuit)
    hot = wire_temperature_c(carry, air_c(design, circuit), current)
    run_m = design.run_m(circuit)
    lost = None if run_m is None else float(loop_drop_v(current, dc.ohm_per_m(circuit.wire, hot), run_m))
    return Run(
        circuit,
        current,
        lost,
        None if lost is None else lost / side_volts(design, "mains"),
        hot,
        carry,
        needed,
        design.layout.routes[circuit.name],
        guard_of(design, circuit, carry, None, None, current),
        lambda: wire_choice.choose(
            design, wire_choice.Ask(circuit, needed, {}), wire_choice.mains_drops(design, circuit, current)
        ),
    )


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
