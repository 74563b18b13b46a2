"""Each wire size and breaker in the place of a branch's own, solved: the branch fully on, alone, behind one supply."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.model import Circuit
from trailerlib.design.voltages import BETWEEN_LEGS
from trailerlib.studies.circuits import air_c, may_carry
from trailerlib.studies.kept import Kept
from trailerlib.studies.legs import leg_volts
from trailerlib.studies.mains_side.columns import Columns, columns
from trailerlib.studies.mains_side.network import FIRST, PANEL, Network, heat_of, line_of
from trailerlib.studies.mains_side.solved import MainsSide


@dataclass(frozen=True)
class Sized:
    """One size behind one breaker: drop from the panel as a share of nominal [-], current, rating it asks for [A].

    All is lost where the voltage collapses, and no current is known then.
    """

    drop: float
    current_a: float | None
    asked_a: float | None


_KEPT = Kept[dict[str, Sized]]()


def worst_of_each(
    design: Design, sides: Iterable[MainsSide], circuit: Circuit, sizes: Sequence[str], breaker_a: float | None
) -> dict[str, Sized]:
    """The largest drop and the largest current with each size behind any supply; nothing when no supply says.

    Parameters
    ----------
    design : the design
    sides : its mains side behind each supply, solved
    circuit : the branch
    sizes : names of the wires
    breaker_a : [A] rating of its breaker; None stands for a branch without one
    """
    own = [side for side in sides if circuit.name in side.branches]
    branch = circuit if circuit.protection == breaker_a else circuit.model_copy(update={"protection": breaker_a})
    return _KEPT.of([*_rests_on(design, own, circuit, sizes), breaker_a], lambda: _worst(own, circuit, branch, sizes))


def _rests_on(design: Design, sides: Sequence[MainsSide], circuit: Circuit, sizes: Sequence[str]) -> Iterator[Any]:
    yield from (design.practice, design.site, design.charger, design.battery, circuit, *sizes)
    yield from (design.mains, design.inlet_run_m)
    yield from (design.layout.routes[circuit.name], design.bundle_of(circuit), design.air_of(circuit))
    yield from (load for load in design.loads_on(circuit.name))
    yield from (side.supply for side in sides)


def _worst(sides: Sequence[MainsSide], fitted: Circuit, branch: Circuit, sizes: Sequence[str]) -> dict[str, Sized]:
    found = each_size(sides, fitted, branch, sizes) if sides else []
    return {wire: _worse([sized[at] for sized in found]) for at, wire in enumerate(sizes if found else ())}


def _worse(sized: Sequence[Sized]) -> Sized:
    flows = [one.current_a for one in sized if one.current_a is not None]
    asked = [one.asked_a for one in sized if one.asked_a is not None]
    return Sized(max(one.drop for one in sized), max(flows, default=None), max(asked, default=None))


def each_size(sides: Sequence[MainsSide], fitted: Circuit, branch: Circuit, sizes: Sequence[str]) -> list[list[Sized]]:
    """What each size would do on one branch behind each supply, in one call; each at the heat of its own current.

    Parameters
    ----------
    sides : the mains side behind each of some supplies
    fitted : the branch, one with nodes in the networks of all
    branch : the same, behind the breaker it is tried with
    sizes : names of the wires
    """
    nets = [side.network for side in sides if side.network is not None]
    lone, emf = nets[0].shape.lone(fitted, branch), [side.emf_v for side in sides]
    behind = [Network(lone, net.supply, net.cord, net.inlet) for net in nets]
    tried = _with_each(columns(behind, emf, len(sizes)), branch, sizes)
    loads = tuple(np.repeat(part, tried.emf_v.size, axis=1) for part in lone.drawn([{d.name for d in lone.draws}]))
    solved = tried.two_wire((loads[0], loads[1], loads[2]), np.full(tried.emf_v.size, branch.between_legs))
    nodes = list(lone.nodes[0])
    volts, amps = np.abs(solved.volt), solved.amp[nodes[0]]
    times = BETWEEN_LEGS if branch.between_legs else 1.0
    nominal = np.repeat([times * leg_volts(net.supply) for net in nets], len(sizes))
    lost = (volts[PANEL] - volts[nodes].min(axis=0)) / nominal
    asked = lone.asked_a(lone.owns, solved.volt, amps)
    each = zip(lost.tolist(), np.abs(amps).tolist(), asked.tolist(), strict=True)
    found = [Sized(1.0, None, None) if drop != drop else Sized(drop, *flows) for drop, *flows in each]
    return [found[k : k + len(sizes)] for k in range(0, len(found), len(sizes))]


def _with_each(tried: Columns, branch: Circuit, sizes: Sequence[str]) -> Columns:
    """The states with each size in turn on the one branch there is, over and over."""
    lone, design = tried.shape, tried.shape.design
    count, pieces = tried.emf_v.size // len(sizes), list(lone.nodes[0])
    lengths, air = np.array(lone.lengths_m)[pieces, np.newaxis], air_c(design, branch)
    cold, rise, reactance = np.tile(np.array([line_of(wire, design.practice) for wire in sizes]).T, count)
    tried.cold[pieces], tried.rise[pieces] = lengths * (cold + 1j * reactance), lengths * rise
    tried.heat[:, FIRST] = np.tile(np.array([heat_of(may_carry(design, branch, wire), air) for wire in sizes]).T, count)
    return tried
