"""What a dead short on the mains side draws: the most right behind the panel, the least at the far end of a branch."""

from __future__ import annotations

from trailerlib.design.design import Design
from trailerlib.design.model import Supply
from trailerlib.studies.mains import leg_volts
from trailerlib.studies.mains_side.cord import (
    CORD_RATING_C,
    Cord,
    branch_parts,
    cord_of,
    panel_parts,
    reactance_per_m,
    resistance_line,
    source_ohm,
)

COLD_C = 20.0


def prospective_a(design: Design, supply: Supply) -> float | None:
    """Greatest short-circuit current at the panel [A], leg to neutral; None when it is not known.

    The cord is cold, no contact counts, and the source's impedance has the angle of a quarter turn or less that
    leaves the most.
    """
    cord = cord_of(design, supply)
    if supply.prospective is None or cord is None:
        return None
    inside, way = source_ohm(supply), _loop_ohm(design, cord.wire, cord.run_m, COLD_C)
    return max(_emfs(supply)) / min(abs(way + inside), abs(way + 1j * inside))


def far_end_a(design: Design, supply: Supply, circuit: str, wire: str | None = None) -> float | None:
    """Least current of a dead short at the far end of a branch [A]; None when it is not known.

    Cord and wire are at the temperature of their rating, every contact counts, and the source's impedance adds in full.

    Parameters
    ----------
    design : the design
    supply : the supply
    circuit : name of the circuit
    wire : another size in its place; as fitted when not given

    Raises
    ------
    DesignError
        When there is no such circuit.
    """
    branch = design.circuit(circuit)
    cord, run_m = cord_of(design, supply), design.run_m(branch)
    if supply.prospective is None or cord is None or run_m is None:
        return None
    rating_c = float(branch.insulation.split()[0])
    way = _cord_ohm(design, supply, cord) + _loop_ohm(design, wire or branch.wire, run_m, rating_c)
    way += sum(part.ohm for part in branch_parts(branch))
    return min(_emfs(supply)) / (source_ohm(supply) + abs(way))


def _cord_ohm(design: Design, supply: Supply, cord: Cord) -> complex:
    contacts = sum(part.ohm for part in panel_parts(supply))
    return _loop_ohm(design, cord.wire, cord.run_m, CORD_RATING_C) + contacts


def _loop_ohm(design: Design, wire: str, run_m: float, temperature_c: float) -> complex:
    """Impedance out and back [ohm]."""
    cold, rise = resistance_line(wire)
    return 2.0 * run_m * complex(cold + rise * temperature_c, reactance_per_m(wire, design.practice))


def _emfs(supply: Supply) -> tuple[float, float]:
    """Voltage of a leg as it may be, nominal and measured [V]."""
    return leg_volts(supply), supply.voltage or leg_volts(supply)
