"""One motor that starts on one supply: name plate, cord, branch and neighbours put together, and what then happens."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import cached_property

from trailerlib import reference
from trailerlib.design.design import Design
from trailerlib.design.model import Load, Supply
from trailerlib.physics.alternator import Source, inverter_set, pedestal, wound_set
from trailerlib.physics.motor import LEAST_SHARE, Motor, induction_motor
from trailerlib.physics.motor_start import Start, Way, start
from trailerlib.physics.starting import protector_s
from trailerlib.studies.circuits import charger_name, charger_va, load_va
from trailerlib.studies.generator.asked import Asked, asked_of, is_motor, piece_start_va
from trailerlib.studies.generator.classes import kind_of
from trailerlib.studies.generator.site import gives, site_factors
from trailerlib.studies.legs import arriving_legs, leg_volts
from trailerlib.studies.mains_side.cord import (
    CORD_RATING_C,
    branch_parts,
    cord_of,
    loop_ohm,
    path_ohm,
    source_ohm,
)

SECONDS = 3600.0


@dataclass(frozen=True)
class StartCase:
    """A start of one piece of a load. ``gap`` says why it is not worked out, "" when it is; then the rest is given.

    ``rated_a`` and ``locked_a`` are the currents at rated voltage, ``least_v`` the lowest voltage it starts with,
    ``surge_a`` what an inverter set gives for a moment, else None. ``others`` are the loads that run beside it.
    ``source_known`` is false where a pedestal is held at its voltage because nobody measured it.
    """

    load: str
    supply: str
    soft: bool
    gap: str = ""
    rated_v: float = 0.0
    rated_a: float = 0.0
    locked_a: float = 0.0
    soft_a: float | None = None
    least_v: float = 0.0
    surge_a: float | None = None
    others: tuple[str, ...] = ()
    source_known: bool = True
    source: Source | None = field(default=None, compare=False, repr=False)
    way: Way | None = field(default=None, compare=False, repr=False)
    motor: Motor | None = field(default=None, compare=False, repr=False)

    @cached_property
    def curve(self) -> Start | None:
        """The two seconds; None where there is a gap."""
        if self.motor is None or self.source is None or self.way is None:
            return None
        return start(self.motor, self.source, self.way)

    @property
    def dip_v(self) -> float | None:
        """Voltage at the motor in the moment it is switched on [V]."""
        return None if self.curve is None else float(self.curve.dip_v)

    @property
    def reached_s(self) -> float | None:
        """When it is up to speed [s]; None when it is not within the time shown."""
        if self.curve is None or not self.curve.starts:
            return None
        return float(self.curve.reached_s)

    @property
    def stalls(self) -> bool | None:
        """Whether it is still not up to speed at the end; None when not worked out."""
        return None if self.curve is None else not bool(self.curve.starts)

    @property
    def ends_s(self) -> float | None:
        """After how long a stalled motor's protector opens [s], or the set switches off when that is sooner."""
        if self.curve is None or self.curve.starts:
            return None
        amps = float(abs(self.curve.motor_a[0]))
        opens = math.inf if amps == 0 else float(protector_s(amps, self.soft_a or self.locked_a))
        hold = math.inf if self.source is None or self.surge_a is None else float(self.source.hold_s)
        return min(opens, hold)


def motors(design: Design) -> tuple[Load, ...]:
    """The mains loads whose start can be followed: induction motors, which draw much more standing still."""
    return tuple(load for load in design.loads if load.on and is_motor(load))


def start_case(
    design: Design, supply: Supply, load: str, soft: bool | None = None, asked: Asked | None = None
) -> StartCase:
    """What happens when a load starts with the most beside it that its stays know.

    Parameters
    ----------
    design : the design
    supply : what feeds it
    load : name of the load
    soft : whether it has a soft starter; None is as fitted
    asked : what is asked of the supply, where it is known already

    Raises
    ------
    DesignError
        When there is no such load.
    """
    thing = design.load(load)
    fitted = thing.soft_start if soft is None else soft
    if not is_motor(thing):
        return StartCase(load, supply.name, fitted, f"{load} has no motor that draws much more when it starts")
    if design.circuit(thing.circuit).between_legs:
        return StartCase(load, supply.name, fitted, _between(design, supply))
    found = _source(design, supply)
    if isinstance(found, str):
        return StartCase(load, supply.name, fitted, found)
    source, surge, known = found
    beside = (asked_of(design, supply) if asked is None else asked).beside(load)
    others = tuple(name for name in beside.on if name != load)
    way = _way(design, supply, thing, others)
    if isinstance(way, str):
        return StartCase(load, supply.name, fitted, way)
    return _case(thing, supply, fitted, source, surge, known, others, way)


def _between(design: Design, supply: Supply) -> str:
    """Why a start between two legs is not followed: a set here gives one voltage only, and so does a single leg."""
    if arriving_legs(design, supply) == 1:
        return f"it runs between two legs and “{supply.name}” brings one: it cannot run there"
    return "a start between two legs is not worked out"


def _case(
    thing: Load,
    supply: Supply,
    fitted: bool,
    source: Source,
    surge_a: float | None,
    known: bool,
    others: tuple[str, ...],
    way: Way,
) -> StartCase:
    volts = thing.circuit_v
    locked_a = piece_start_va(thing, False) / volts
    soft_a = piece_start_va(thing, True) / volts if fitted else None
    seconds = thing.start_time * SECONDS if thing.start_time is not None else thing.typical.start_s
    rated = load_va(thing) / thing.count
    factor, rated_a = rated.real / abs(rated), abs(rated) / volts
    try:
        motor = induction_motor(
            volts, rated.real, factor, locked_a, seconds, soft_a=math.nan if soft_a is None else soft_a
        )
    except ValueError as error:
        return StartCase(thing.name, supply.name, fitted, str(error).rstrip("."))
    return StartCase(
        thing.name, supply.name, fitted, "", volts, rated_a, locked_a, soft_a,
        LEAST_SHARE * volts, surge_a, others, known, source, way, motor,
    )  # fmt: skip


def _source(design: Design, supply: Supply) -> tuple[Source, float | None, bool] | str:
    """What stands behind the terminals, its surge current [A] if any, whether it is known; or what is missing."""
    kind = kind_of(supply)
    if kind is None:
        volts = leg_volts(supply) if supply.voltage is None else supply.voltage
        return pedestal(volts, source_ohm(supply)), None, supply.prospective is not None
    row = reference.table("alternators").row(type=kind.alternator)
    if kind.alternator == "inverter":
        surge = gives(kind.starting_w, site_factors(design))
        if surge is None:
            return "the elevation or the hottest air of the site is missing"
        made = inverter_set(kind.volts, kind.running_w, surge, float(row["resistance_pu"]), float(row["hold_s"]))
        return made, surge / kind.volts, True
    inside = (float(row[key]) for key in ("resistance_pu", "reactance_pu", "recovery_s", "ceiling"))
    return wound_set(kind.volts, kind.running_w, *inside), None, True


def _way(design: Design, supply: Supply, load: Load, others: tuple[str, ...]) -> Way | str:
    """Cord and branch as warm as their rating allows, and what else runs as an admittance at the panel."""
    circuit = design.circuit(load.circuit)
    cord, run_m = cord_of(design, supply), design.run_m(circuit)
    if cord is None:
        return f"the cord of “{supply.name}” or its length is not given"
    if run_m is None:
        return f"the run of “{circuit.name}” is not known"
    rating_c = float(circuit.insulation.split()[0])
    cord_ohm = path_ohm(design, supply, cord, CORD_RATING_C)
    branch_ohm = loop_ohm(design, circuit.wire, run_m, rating_c) + sum(p.ohm for p in branch_parts(circuit))
    return Way(cord_ohm, branch_ohm, _others_s(design, load, others))


def _others_s(design: Design, load: Load, others: tuple[str, ...]) -> complex:
    """Admittance of all that runs beside the piece that starts [S]."""
    beside = [other for other in design.loads if other.name in others]
    va = sum((load_va(other) for other in beside), load_va(load) * (load.count - 1) / load.count)
    if charger_name(design) in others:
        va += charger_va(design)
    return va.conjugate() / load.circuit_v**2
