"""Every circuit as it is laid and fed: current, drop, heat, ampacity, protection, and what each wire size would do."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property, partial
from typing import Any

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.layout import Route
from trailerlib.design.model import Circuit
from trailerlib.physics.protection import smallest_rating_a
from trailerlib.studies import battery_side, devices, mains_side, wire_choice
from trailerlib.studies import guard as guarding
from trailerlib.studies.ampacity import Ampacity, ratings
from trailerlib.studies.battery_side import BatterySide
from trailerlib.studies.battery_sizes import battery_behind, battery_far_a
from trailerlib.studies.circuits import (
    air_c,
    as_laid,
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
from trailerlib.studies.mains_side import MainsSide, Sized
from trailerlib.studies.trial import Trial
from trailerlib.studies.wire_choice import Behind, Choice


@dataclass(frozen=True)
class Run:
    """One circuit as worked out: current [A], drop [V] and as a share of nominal [-], wire heat [°C].

    ``may_carry`` is its ampacity as laid, ``needed_a`` the rating its loads ask for at nominal voltage [A] and
    ``solved_a`` the one that what really flows asks for; ``route`` says where it runs, ``guard`` what its protection
    does. ``choice``, what each wire size would do, is worked out when looked at.
    """

    circuit: Circuit
    current_a: float | None
    drop_v: float | None
    drop: float | None
    wire_c: float | None
    may_carry: Ampacity
    needed_a: float
    solved_a: float | None
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
        """What its wire and its fuse must carry [A], what runs three hours or more counted 125 %.

        The larger of what really flows, a load that holds its power drawing more as its voltage sags, and what the
        loads ask for at nominal voltage, which a full battery or a stiff pedestal gives.
        """
        return self.needed_a if self.solved_a is None else max(self.solved_a, self.needed_a)


def runs(design: Design, side: BatterySide, sides: Sequence[MainsSide]) -> list[Run]:
    """Every circuit, the battery side first.

    Parameters
    ----------
    design : the design
    side : its battery side, solved
    sides : its mains side behind each supply, solved
    """
    # no sides are the same nothing in every design without a supply, so they alone do not tell that a load has changed
    mains = _MAINS.of([sides, *mains_side.rests_on(design)], lambda: mains_runs(design, sides))
    # a side is the same object for as long as nothing of the battery side has changed
    dc = _DC.of([side, design.charger], lambda: _dc_runs(design, side))
    return [*dc, *mains]


_DC, _MAINS = Kept[list[Run]](), Kept[list[Run]]()


def _dc_runs(design: Design, side: BatterySide) -> list[Run]:
    at_block = battery_side.at_block_a(design, side)
    return [_dc_run(design, side, circuit, at_block) for circuit in design.circuits_of("dc")]


def mains_runs(design: Design, sides: Sequence[MainsSide]) -> list[Run]:
    """Every circuit of the mains side.

    Parameters
    ----------
    design : the design
    sides : its mains side behind each supply, solved
    """
    known = [one.supply for one in sides if one.supply.prospective is not None]
    at_panel: dict[bool, float | None] = {
        between: max(
            (a for s in known if (a := mains_side.prospective_a(design, s, between)) is not None), default=None
        )
        for between in (False, True)
    }
    ahead = (design.practice, design.site, design.mains, design.inlet_run_m, design.charger, design.battery)
    supplies = [side.supply for side in sides]
    return [
        _RUN.of(
            [*ahead, *_rests_on(design, circuit, sides), *supplies, at_panel[circuit.between_legs]],
            partial(_mains_run, design, circuit, sides, at_panel[circuit.between_legs]),
        )
        for circuit in design.circuits_of("mains")
    ]


_RUN = Kept[Run](512)


def _rests_on(design: Design, circuit: Circuit, sides: Sequence[MainsSide]) -> Iterator[Any]:
    """What else a run of the mains side depends on: a branch that another's length leaves as it is stays as it was."""
    yield from as_laid(design, circuit)
    yield from design.loads_on(circuit.name)
    for side in sides:
        branch = side.branches.get(circuit.name)
        yield from (None,) if branch is None else (branch.current_a, branch.asked_a, branch.wire_c, branch.drop)


def _dc_run(design: Design, side: BatterySide, circuit: Circuit, at_block_a: float | None) -> Run:
    volts, current = side.end_v.get(circuit.name), side.current_a.get(circuit.name)
    lost = None if volts is None or side.source_v is None else side.source_v - volts
    carry, needed = may_carry(design, circuit), needed_a(design, circuit)

    def choose() -> Choice:
        fitted = battery_behind(design, side, circuit, [circuit.protection]).get(circuit.protection)
        unknown = "" if side.complete else wire_choice.OTHER_RUN
        ask = wire_choice.Ask(circuit, needed, battery_far_a(design, side, circuit), at_block_a, unknown=unknown)
        return wire_choice.choose(
            design, ask, {} if fitted is None else fitted.drops, fitted,
            lambda fuse: battery_behind(design, side, circuit, [fuse]).get(fuse),
        )  # fmt: skip

    return Run(
        circuit,
        current,
        lost,
        None if lost is None else lost / side_volts(design, "dc"),
        None if current is None else side.wire_c[circuit.name],
        carry,
        needed,
        side.asked_a.get(circuit.name),
        design.layout.routes[circuit.name],
        guard_of(design, circuit, carry, at_block_a, battery_side.far_end_a(design, side, circuit.name), current),
        choose,
    )


def main_device(design: Design) -> devices.Found:
    """The main fuse of the battery side; None and why where there is none."""
    feeder = design.feeder
    if feeder is None or feeder.protection is None:
        return None, "no main fuse is given"
    return devices.device(feeder.device, feeder.protection)


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
    carry, needed, volts = may_carry(design, circuit), needed_a(design, circuit), design.volts_of(circuit)
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

        def far_behind(breaker: float | None) -> dict[str, float]:
            branch = circuit if breaker == circuit.protection else circuit.model_copy(update={"protection": breaker})
            return mains_side.far_ends_a(design, supplies, branch, sizes)

        def behind(breaker: float | None) -> Behind | None:
            tried = mains_side.worst_of_each(design, sides, circuit, sizes, breaker)
            return _behind(tried, far_behind(breaker)) if tried else None

        fitted = behind(circuit.protection)
        far_a = far_behind(circuit.protection) if fitted is None else fitted.far_a
        ask = wire_choice.Ask(circuit, needed, far_a, at_panel_a)
        drops = wire_choice.mains_drops(design, circuit, current, factor) if fitted is None else fitted.drops
        return wire_choice.choose(design, ask, drops, fitted, behind)

    supplies = [side.supply for side in sides]
    far_a = mains_side.far_ends_a(design, supplies, circuit, [circuit.wire]).get(circuit.wire)
    said = [side.branches[circuit.name].asked_a for side in sides if circuit.name in side.branches]
    asked = [a for a in said if a is not None]
    return Run(
        circuit,
        solved,
        None if drop is None else drop * volts,
        drop,
        hot,
        carry,
        needed,
        max(asked, default=None),
        design.layout.routes[circuit.name],
        guard_of(design, circuit, carry, at_panel_a, far_a, solved),
        choose,
    )


def trial_of(circuit: Circuit | None, system: str) -> Trial | None:
    """The sizes that are tried on a circuit of one side when its choice is asked for; None where it is of the other.

    Parameters
    ----------
    circuit : the circuit that is looked at, if one is
    system : ``dc`` or ``mains``
    """
    if circuit is None or circuit.system != system:
        return None
    return Trial(circuit.name, wire_choice.candidates(circuit.wire))


def _behind(sized: Mapping[str, Sized], far_a: Mapping[str, float]) -> Behind:
    return Behind(
        {wire: one.drop for wire, one in sized.items()},
        far_a,
        {wire: one.current_a for wire, one in sized.items() if one.current_a is not None},
        {wire: one.asked_a for wire, one in sized.items() if one.asked_a is not None},
    )


def _asked(design: Design, circuit: Circuit) -> tuple[float, float]:
    """What a mains circuit draws with all of it on, at nominal voltage [A], and its power factor [-]."""
    loads = [load for load in design.loads_on(circuit.name) if load.on]
    current = sum(running_current_a(load) for load in loads)
    watts = sum(load.running_w for load in loads)
    if design.charger is not None and design.charger.circuit == circuit.name:
        current, watts = current + charger_input_a(design), watts + charger_input_w(design)
    volt_amperes = current * design.volts_of(circuit)
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
        fuse: devices.Found = (None, "no fuse or breaker is given")
    else:
        fuse = devices.device(circuit.device, circuit.protection)
    wire = guarding.wire(circuit.wire, circuit.insulation, carry, air_c(design, circuit))
    return guarding.guard(fuse, wire, prospective_a, far_a, load_a)


def main_guard(design: Design, side: BatterySide) -> Guard | None:
    """The main fuse of the battery side against the feeder; None without a feeder."""
    feeder, carry = design.feeder, feeder_may_carry(design)
    if feeder is None or carry is None:
        return None
    wire = guarding.wire(feeder.wire, feeder.insulation, carry, design.site.hottest)
    far_a = battery_side.far_end_a(design, side, None)
    return guarding.guard(main_device(design), wire, side.short_a, far_a, side.total_a)


def suggested_protection_a(run: Run) -> float | None:
    """The smallest standard rating that carries the loads and still guards the wire [A]; None when there is none."""
    guarded = run.may_carry.guarded_a
    try:
        rating = float(smallest_rating_a(max(run.asked_a, 1e-9), np.array(ratings(run.circuit.device))))
    except ValueError:
        return None
    return rating if guarded is not None and rating <= guarded else None
