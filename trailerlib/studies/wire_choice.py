"""The thinnest wire that meets drop, ampacity and protection, and what forbids the next thinner one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from trailerlib.design.catalogue import wires
from trailerlib.design.design import Design
from trailerlib.design.model import Circuit
from trailerlib.physics.conductor import loop_drop_v
from trailerlib.physics.network import solve_dc
from trailerlib.studies import feeder as dc
from trailerlib.studies.ampacity import Ampacity
from trailerlib.studies.battery_side import BatterySide
from trailerlib.studies.circuits import air_c, may_carry, wire_temperature_c
from trailerlib.studies.loads import side_volts

THINNEST_M2, THICKEST_M2 = 0.7e-6, 60e-6


@dataclass(frozen=True)
class Choice:
    """What each size would do: drop as a share of nominal [-] by wire, the sizes the fuse or load forbids.

    ``smallest`` is the thinnest that does, None when no size does; ``binding`` says what forbids the next thinner one.
    """

    drops_by_wire: Mapping[str, float]
    unguarded: frozenset[str]
    smallest: str | None
    binding: str


@lru_cache(maxsize=8)
def _sizes(unit: str) -> tuple[str, ...]:
    return tuple(
        name for name, size in wires().items() if name.endswith(unit) and THINNEST_M2 < size.area_m2 < THICKEST_M2
    )


def candidates(wire: str) -> tuple[str, ...]:
    """The sizes that could stand in a wire's place: of the same standard, thin to thick."""
    return _sizes(wire.split()[1])


def choose(design: Design, circuit: Circuit, drops: Mapping[str, float], needed_a: float) -> Choice:
    """The thinnest wire of those tried that meets everything.

    Parameters
    ----------
    design : the design
    circuit : the circuit the wire is for
    drops : [-] share of the voltage lost with each size, thin to thick
    needed_a : [A] rating its loads ask for
    """
    unguarded: set[str] = set()
    if not drops and design.run_m(circuit) is None:
        return Choice({}, frozenset(), None, "a run that is not known")
    smallest: str | None = None
    binding, reason = "", "it is the thinnest in the table"
    for wire, drop in drops.items():
        forbidden = _forbids(circuit, may_carry(design, circuit, wire), needed_a)
        if forbidden is not None:
            unguarded.add(wire)
        elif not drop <= circuit.drop_limit:
            forbidden = "the drop"
        if smallest is None and forbidden is None:
            smallest, binding = wire, reason
        reason = forbidden or reason
    return Choice(dict(drops), frozenset(unguarded), smallest, binding or reason)


def _forbids(circuit: Circuit, carry: Ampacity, needed_a: float) -> str | None:
    guarded = carry.guarded_a
    if guarded is None:
        if carry.table_a is None:
            return "the table of ampacities"
        return "air that is not known" if carry.ambient is None else "a bundle that is not known"
    if guarded < needed_a:
        return "what it may carry"
    if circuit.protection is not None and guarded < circuit.protection:
        return "its breaker" if circuit.device == "breaker" else "its fuse"
    return None


def mains_drops(design: Design, circuit: Circuit, current_a: float) -> dict[str, float]:
    """Share of the mains voltage lost on a branch with each wire size [-]; nothing when its run is not known.

    Parameters
    ----------
    design : the design
    circuit : the branch
    current_a : [A] in it
    """
    run_m = design.run_m(circuit)
    if run_m is None:
        return {}
    sizes, volts, air = candidates(circuit.wire), side_volts(design, "mains"), air_c(design, circuit)
    hot = [wire_temperature_c(may_carry(design, circuit, wire), air, current_a) for wire in sizes]
    per_m = np.array([dc.ohm_per_m(wire, c) for wire, c in zip(sizes, hot, strict=True)])
    lost = np.asarray(loop_drop_v(current_a, per_m, run_m)) / volts
    return dict(zip(sizes, lost.tolist(), strict=True))


def battery_drops(design: Design, side: BatterySide, needed: Mapping[str, float]) -> dict[str, dict[str, float]]:
    """Share of the voltage lost on every dc circuit with each wire size in its place [-], solved in one call.

    Parameters
    ----------
    design : the design
    side : the battery side as it is
    needed : [A] rating the loads ask for, by circuit; stands in for the current where there is no solution

    Returns
    -------
    dict
        Circuit name to (wire size to share); NaN where the power could not be delivered.
    """
    if side.network is None or side.ohm is None or side.draw is None or side.emf_v is None:
        return {}
    taps = list(side.network.taps.values())
    sizes = [candidates(tap.circuit.wire) for tap in taps]
    ohm = np.repeat(side.ohm[:, None], sum(map(len, sizes)), axis=1)
    column = 0
    for tap, options in zip(taps, sizes, strict=True):
        columns = slice(column, column + len(options))
        current = side.current_a.get(tap.circuit.name, needed[tap.circuit.name])
        ohm[list(tap.nodes), columns] = _run_ohm(design, tap, options, current)
        column = columns.stop
    power, siemens, amps = side.draw
    solved = solve_dc(side.network.tree, side.emf_v, ohm, power_w=power, conductance_s=siemens, current_a=amps)
    return _read(taps, sizes, solved.voltage_v, side_volts(design, "dc"))


def _run_ohm(design: Design, tap: dc.Taps, options: Sequence[str], current_a: float) -> dc.Floats:
    """Resistance of each segment of a run with each size, shape (segments, sizes)."""
    circuit, air = tap.circuit, air_c(design, tap.circuit)
    hot = [wire_temperature_c(may_carry(design, circuit, wire), air, current_a) for wire in options]
    per_m = np.array([dc.ohm_per_m(wire, c) for wire, c in zip(options, hot, strict=True)])
    lengths = np.diff((0.0, *tap.runs_m))
    ohm: dc.Floats = 2.0 * lengths[:, None] * per_m
    ohm[0] += dc.run_ends_ohm(circuit)
    return ohm


def _read(
    taps: list[dc.Taps], sizes: list[tuple[str, ...]], volt: dc.Floats, nominal_v: float
) -> dict[str, dict[str, float]]:
    result, column = {}, 0
    for tap, options in zip(taps, sizes, strict=True):
        columns = slice(column, column + len(options))
        lost = (volt[dc.BATTERY_NODE, columns] - volt[tap.far_node, columns]) / nominal_v
        result[tap.circuit.name] = dict(zip(options, lost.tolist(), strict=True))
        column = columns.stop
    return result
