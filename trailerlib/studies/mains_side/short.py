"""What a dead short on the mains side draws: the most right behind the panel, the least at the far end of a branch."""

from __future__ import annotations

from collections.abc import Iterable

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


def far_ends_a(design: Design, supplies: Iterable[Supply], branch: Circuit, wires: Iterable[str]) -> dict[str, float]:
    """Least current of a dead short at the far end of a branch behind any of several supplies, with each wire size [A].

    Cord and wires are as hot as their rating, every contact counts, and the source's impedance adds in full.
    Of a circuit between legs it is the short from one leg to the frame, through a bond of the wire's size: half the
    voltage of that from leg to leg, and the same loop.

    Parameters
    ----------
    design : the design
    supplies : the supplies; one that does not say what it drives is left out
    branch : the branch, with the breaker it is tried with
    wires : sizes in place of its own

    Returns
    -------
    dict
        Size to current; empty when it is not known.
    """
    run_m = design.run_m(branch)
    known = [(s, cord) for s in supplies if s.prospective is not None and (cord := cord_of(design, s)) is not None]
    if run_m is None or not known:
        return {}
    rating_c, ends = float(branch.insulation.split()[0]), sum(part.ohm for part in branch_parts(branch))
    ahead = [
        (min(_emfs(supply)), source_ohm(supply), path_ohm(design, supply, cord, CORD_RATING_C) + ends)
        for supply, cord in known
    ]
    far = {}
    for wire in wires:
        own = loop_ohm(design, wire, run_m, rating_c)
        far[wire] = min(emf / (inside + abs(way + own)) for emf, inside, way in ahead)
    return far


def _emfs(supply: Supply) -> tuple[float, float]:
    """Voltage of a leg as it may be, nominal and measured [V]."""
    return leg_volts(supply), supply.voltage or leg_volts(supply)
