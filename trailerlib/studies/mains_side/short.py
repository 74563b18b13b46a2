"""What a dead short on the mains side draws: the most right behind the panel, the least at the far end of a branch."""

from __future__ import annotations

from trailerlib.design.design import Design
from trailerlib.design.model import Circuit, Supply
from trailerlib.design.voltages import BETWEEN_LEGS
from trailerlib.studies.legs import arriving_legs, leg_volts
from trailerlib.studies.mains_side.cord import (
    CORD_RATING_C,
    branch_parts,
    cord_of,
    inlet_ohm,
    loop_ohm,
    path_ohm,
    source_ohm,
)

COLD_C = 20.0


def prospective_a(design: Design, supply: Supply, between_legs: bool = False) -> float | None:
    """Greatest short-circuit current at the panel [A], leg to neutral or from leg to leg; None when it is not known.

    Cord and inlet wire are cold, no contact counts, and the source's impedance has the angle of a quarter turn or less
    that leaves the most. From leg to leg twice the voltage drives it round a loop of the same impedance, half of the
    source's on each wire; none flows where one leg arrives.
    """
    if between_legs and arriving_legs(design, supply) == 1:
        return None
    cord = cord_of(design, supply)
    if supply.prospective is None or cord is None:
        return None
    inside = source_ohm(supply)
    way = loop_ohm(design, cord.wire, cord.run_m, COLD_C) + inlet_ohm(design, COLD_C)
    times = BETWEEN_LEGS if between_legs else 1.0
    return times * max(_emfs(supply)) / min(abs(way + inside), abs(way + 1j * inside))


def far_end_a(design: Design, supply: Supply, circuit: str, tried: Circuit | None = None) -> float | None:
    """Least current of a dead short at the far end of a branch [A]; None when it is not known.

    Cord and wires are as hot as their rating, every contact counts, and the source's impedance adds in full.
    Of a circuit between legs it is the short from one leg to the frame, through a bond of the wire's size: half the
    voltage of that from leg to leg, and the same loop.

    Parameters
    ----------
    design : the design
    supply : the supply
    circuit : name of the circuit
    tried : the same circuit with another wire or breaker; as fitted when not given

    Raises
    ------
    DesignError
        When there is no such circuit.
    """
    branch = design.circuit(circuit) if tried is None else tried
    cord, run_m = cord_of(design, supply), design.run_m(branch)
    if supply.prospective is None or cord is None or run_m is None:
        return None
    rating_c = float(branch.insulation.split()[0])
    way = path_ohm(design, supply, cord, CORD_RATING_C) + loop_ohm(design, branch.wire, run_m, rating_c)
    way += sum(part.ohm for part in branch_parts(branch))
    return min(_emfs(supply)) / (source_ohm(supply) + abs(way))


def _emfs(supply: Supply) -> tuple[float, float]:
    """Voltage of a leg as it may be, nominal and measured [V]."""
    return leg_volts(supply), supply.voltage or leg_volts(supply)
