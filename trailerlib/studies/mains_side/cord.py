"""The way from the pedestal to the panel: the source, the plug, the cord, the inlet and its wire, the main breaker."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from trailerlib import reference
from trailerlib.design import supply_classes
from trailerlib.design.design import Design
from trailerlib.design.model import Circuit, Supply
from trailerlib.design.wire_sizes import wire as wire_size
from trailerlib.physics.conductor import ambient_factor
from trailerlib.studies.ampacity import Ampacity, ampacity, cord_a
from trailerlib.studies.feeder import Part, contact_ohm, resistance_line
from trailerlib.studies.legs import leg_volts
from trailerlib.studies.mains import rating_a

CORD_RATING_C = 60.0  # what the cord table stands for where the jacket is not marked for more (from memory)
CORD_TABLE_AIR_C = 30.0  # the air of the cord table
CONDUCTORS = 2  # that carry current in the wire behind the inlet
METRES_PER_KFT = 304.8
TABLE_HZ = 60.0
HZ = {"north-america": 60.0, "iec": 50.0}


@dataclass(frozen=True)
class Cord:
    """A wire in front of the panel, the cord of a supply or the one behind the inlet: size, one-way length [m], what it
    may carry, the air around it [°C].
    """

    wire: str
    run_m: float
    carry: Ampacity
    air_c: float | None

    @property
    def heat_known(self) -> bool:
        """Whether its temperature is known, or at least bounded by its rating."""
        return self.carry.amps is not None or self.carry.table_a is None


def cord_of(design: Design, supply: Supply) -> Cord | None:
    """The cord of a supply, the usual one of its kind where none is stated; None when neither says.

    It lies outside, in the hottest air of the site.
    """
    wire, run_m = supply.cord, supply.cord_run
    if not supply.is_generator:
        kind = supply_classes.every_supply()[supply.kind]
        wire, run_m = wire or kind.cord, run_m or kind.cord_run_m
    if wire is None or run_m is None:
        return None
    return _cord(wire, run_m, design.site.hottest)


@lru_cache(maxsize=256)
def _cord(wire: str, run_m: float, air: float | None) -> Cord:
    table_a = cord_a(wire)
    factor = None if air is None else float(ambient_factor(CORD_RATING_C, air))
    amps = None if table_a is None or factor is None else table_a * factor
    source = "table 400.5(A)(1)" if wire_size(wire).awg is not None else "BS 7671 table 4F3A"
    return Cord(wire, run_m, Ampacity(amps, table_a, factor, 1.0, None, CORD_RATING_C, source), air)


def inlet_carry(design: Design) -> Ampacity | None:
    """What the wire from the inlet to the panel may carry; None where its size is not given.

    It lies by itself in the hottest air of the site; the neutral of two legs carries what they do not share, and does
    not count (310.15(E), from memory).
    """
    mains = design.mains
    if mains.inlet_wire is None:
        return None
    return ampacity(mains.inlet_wire, mains.inlet_insulation, "mains", design.site.hottest, CONDUCTORS)


def inlet_of(design: Design) -> Cord | None:
    """The wire from the inlet to the panel; None where its size or its run is not known."""
    wire, carry, run_m = design.mains.inlet_wire, inlet_carry(design), design.inlet_run_m
    if wire is None or carry is None or run_m is None:
        return None
    return Cord(wire, run_m, carry, design.site.hottest)


def inlet_ohm(design: Design, temperature_c: float | None = None) -> complex:
    """Impedance of the wire from the inlet to the panel, out and back [ohm]; 0 where it is not known.

    Parameters
    ----------
    design : the design
    temperature_c : [°C] of the wire; None is that of its rating
    """
    wire = inlet_of(design)
    if wire is None:
        return 0j
    return loop_ohm(design, wire.wire, wire.run_m, wire.carry.rating_c if temperature_c is None else temperature_c)


def source_ohm(supply: Supply) -> float:
    """Loop impedance inside the source, out and back [ohm]; 0 when its short-circuit current is not known.

    Taken as resistance: a pedestal stands at the end of a long cable (common practice, no source).
    """
    return 0.0 if supply.prospective is None else leg_volts(supply) / supply.prospective


def breaker_ohm(rating_a: float | None) -> float:
    """Resistance of one pole of a breaker [ohm], from its voltage at the rated current; 0 when there is none.

    Parameters
    ----------
    rating_a : [A] rating, or None
    """
    return 0.0 if rating_a is None else contact_ohm("breaker_drop_at_rating_v") / rating_a


def panel_parts(supply: Supply) -> tuple[Part, ...]:
    """The contacts between the pedestal and the panel, out and back, as the current meets them.

    Every adapter on the way is one plug more.
    """
    return _panel_parts(rating_a(supply), supply.adapters)


@lru_cache(maxsize=64)
def _panel_parts(main_a: float, adapters: tuple[str, ...]) -> tuple[Part, ...]:
    plug = Part("plug", "out", "contact", contact_ohm("plug and inlet"))
    main = Part("main breaker", "out", "fuse", breaker_ohm(main_a))
    lug = Part("panel", "out", "contact", contact_ohm("lug"))
    way = [*(replace(plug, name=f"adapter {text}") for text in adapters), replace(plug, name="inlet")]
    back = [replace(part, way="back") for part in (replace(lug, name="neutral bar"), *reversed(way), plug)]
    return (plug, *way, main, lug, *back)


def panel_ohm(supply: Supply) -> tuple[float, float]:
    """Resistance of those contacts, out and back [ohm]."""
    return _panel_ohm(rating_a(supply), supply.adapters)


@lru_cache(maxsize=64)
def _panel_ohm(main_a: float, adapters: tuple[str, ...]) -> tuple[float, float]:
    return both_ways(_panel_parts(main_a, adapters))


def both_ways(parts: Sequence[Part]) -> tuple[float, float]:
    """Resistance of contacts on the way out and on the way back [ohm].

    Parameters
    ----------
    parts : the contacts
    """
    out, back = (sum(part.ohm for part in parts if part.way == way) for way in ("out", "back"))
    return out, back


def branch_parts(circuit: Circuit) -> tuple[Part, ...]:
    """The contacts of a branch, out and back: its breaker, and a terminal each way; between legs a pole each way."""
    return _branch_parts(circuit.protection, circuit.between_legs)


def branch_ohm(circuit: Circuit) -> tuple[float, float]:
    """Resistance of those contacts, out and back [ohm]."""
    return _branch_ohm(circuit.protection, circuit.between_legs)


@lru_cache(maxsize=64)
def _branch_ohm(rating_a: float | None, between_legs: bool) -> tuple[float, float]:
    return both_ways(_branch_parts(rating_a, between_legs))


@lru_cache(maxsize=64)
def _branch_parts(rating_a: float | None, between_legs: bool) -> tuple[Part, ...]:
    terminal = Part("terminal", "out", "contact", contact_ohm("spade"))
    breaker = Part("branch breaker", "out", "fuse", breaker_ohm(rating_a))
    second = (replace(breaker, name="branch breaker, second pole", way="back"),) if between_legs else ()
    return breaker, terminal, replace(terminal, way="back"), *second


def path_ohm(design: Design, supply: Supply, cord: Cord, cord_c: float) -> complex:
    """Impedance from the source's terminals to the panel, out and back, every contact counted [ohm].

    The wire behind the inlet is as warm as its rating lets it be.

    Parameters
    ----------
    design : the design
    supply : the supply
    cord : its cord
    cord_c : [°C] how warm the cord is
    """
    wires = loop_ohm(design, cord.wire, cord.run_m, cord_c) + inlet_ohm(design)
    return wires + sum(part.ohm for part in panel_parts(supply))


def loop_ohm(design: Design, wire: str, run_m: float, temperature_c: float) -> complex:
    """Impedance of a run, out and back [ohm].

    Parameters
    ----------
    design : the design
    wire : size of wire
    run_m : [m] one way
    temperature_c : [°C] of the wire
    """
    cold, rise = resistance_line(wire)
    return 2.0 * run_m * complex(cold + rise * temperature_c, reactance_per_m(wire, design.practice))


@lru_cache(maxsize=256)
def reactance_per_m(wire: str, practice: str) -> float:
    """Reactance of one conductor per metre [ohm/m], a cord's as that of a wire in plastic conduit.

    A size the table does not list, metric or thin, has that of the nearest by area; at 50 Hz it is 5/6.

    Source
    ------
    NFPA 70 chapter 9 table 9, copper in plastic conduit, 60 Hz; that a cord has the same: common practice, no source.
    """
    area = wire_size(wire).area_m2
    rows = reference.table("nec_table9_ac").rows
    nearest = min(rows, key=lambda row: abs(wire_size(f"{row['awg']} AWG").area_m2 - area))
    return float(nearest["x_ohm_per_kft"]) / METRES_PER_KFT * HZ[practice] / TABLE_HZ
