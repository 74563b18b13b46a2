"""The code's rules for the supplies of a design: cord, inlet, generator, and what cannot run on one leg."""

from __future__ import annotations

from collections.abc import Iterator

from trailerlib.design.design import Design
from trailerlib.design.model import Supply
from trailerlib.rules import grounding
from trailerlib.rules import plugs as plug_rules
from trailerlib.rules import supply_chain as rules
from trailerlib.rules.finding import Finding
from trailerlib.studies import plugs
from trailerlib.studies.ampacity import cord_a
from trailerlib.studies.circuits import charger_name
from trailerlib.studies.legs import arriving_legs, leg_volts
from trailerlib.studies.mains import everything, moments, rating_a
from trailerlib.studies.timetable import stays_on

HIGHEST_FLOOR_M = 0.9  # above the ground, common practice, no source


def checks(design: Design, supply: Supply) -> list[Finding]:
    """Every rule about a supply: the cord of a generator, and of the trailer's own assembly inlet and cord."""
    subject = f'supply "{supply.name}"'
    if supply.is_generator:
        plate_va, outlet_a = rating_a(supply) * leg_volts(supply), plugs.receptacle_of(supply).rating_a
        need = min(rules.generator_conductor_need_a(plate_va, leg_volts(supply)), outlet_a)
        may = None if supply.cord is None else cord_a(supply.cord)
        floats = None if supply.neutral is None else supply.neutral == "floating"
        return [rules.generator_conductor(subject, may, need), grounding.floating_neutral(subject, floats)]
    if not _own_assembly(design, supply):
        return []
    place = design.mains.inlet_place or supply.place
    if place is None or design.mains.inlet is None:
        return [rules.inlet_place(subject, None), rules.cord_length(subject, supply.cord_run, None)]
    (x, y, z), wall, box = design.place(place).at, entry_wall(design, place), design.trailer
    return [
        rules.inlet_place(subject, rules.entry_is_elsewhere(wall, box.length - x, y, box.width)),
        rules.cord_length(subject, supply.cord_run, _least_cord_m(supply.cord_run, wall, z, box.floor)),
    ]


def _least_cord_m(cord_m: float | None, wall: str, above_floor_m: float, floor_m: float | None) -> float | None:
    """Where the floor's height is not given, the limit is known only where it cannot matter."""
    floors = (0.0, HIGHEST_FLOOR_M) if floor_m is None else (floor_m, floor_m)
    low, high = (rules.least_cord_m(wall, above_floor_m + floor) for floor in floors)
    if cord_m is None or cord_m < low - 1e-9:
        return low
    return high if cord_m >= high - 1e-9 else None


def _own_assembly(design: Design, supply: Supply) -> bool:
    """Whether a supply is the trailer's own assembly: its plug is the inlet's, or the inlet is not known.

    A household cord with an adapter is none, and the clauses about inlet and cord do not speak of it.
    """
    return design.mains.inlet is None or plugs.receptacle_of(supply).name == design.mains.inlet


def entry_wall(design: Design, place: str) -> str:
    """The wall a place is at, ``road``, ``curb``, ``rear`` or ``nose``: what it is farthest beyond, or nearest to."""
    x, y, _ = design.place(place).at
    beyond = {"road": -y, "curb": y - design.trailer.width, "rear": x - design.trailer.length, "nose": -x}
    return max(beyond, key=lambda wall: beyond[wall])


def dead(design: Design, supply: Supply) -> Iterator[Finding]:
    """Of every circuit between two legs that feeds something, whether it can run on a supply."""
    single = arriving_legs(design, supply) == 1
    rests: bool | None = True if single else (None if design.mains.inlet is None else False)
    wanted = {name for stay in stays_on(design, supply.name) for m in moments(design, stay, 1) for name in m.dead}
    everything_dead = everything(design, 1).dead
    for circuit in design.circuits_of("mains"):
        fed = [load.name for load in design.loads_on(circuit.name)]
        if design.charger is not None and design.charger.circuit == circuit.name:
            fed.append(charger_name(design))
        if circuit.between_legs and not set(fed).isdisjoint(everything_dead):
            subject = f'circuit "{circuit.name}" on supply "{supply.name}"'
            judged = plug_rules.two_leg_circuit_rests
            if not wanted.isdisjoint(fed):
                judged = plug_rules.two_leg_circuit_dead
            yield judged(subject, rests)


def sources(design: Design) -> list[Finding]:
    """Two sources must never meet; with one there is nothing to keep apart."""
    kinds = {supply.is_generator for supply in design.supplies}
    if len(kinds) < 2:
        return []
    transfer = design.mains.transfer
    return [rules.one_transfer(None if transfer is None else transfer == "none")]
