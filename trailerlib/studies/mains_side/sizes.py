"""Each wire size and breaker in the place of a branch's own, solved: the branch fully on, alone, behind one supply."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.model import Circuit
from trailerlib.design.voltages import BETWEEN_LEGS
from trailerlib.physics.mains_network import solve_ac
from trailerlib.physics.network import Tree
from trailerlib.studies.circuits import heated
from trailerlib.studies.kept import Kept
from trailerlib.studies.legs import leg_volts
from trailerlib.studies.mains_side.network import CORD, FIRST, INLET, PANEL, PEDESTAL, Floats, Network, opposed
from trailerlib.studies.mains_side.solved import MOST_ROUNDS, SETTLED_K, MainsSide, no_limit


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
    found = [each_size(side, fitted, branch, sizes) for side in sides]
    return {wire: _worse([sized[at] for sized in found]) for at, wire in enumerate(sizes if found else ())}


def _worse(sized: Sequence[Sized]) -> Sized:
    flows = [one.current_a for one in sized if one.current_a is not None]
    asked = [one.asked_a for one in sized if one.asked_a is not None]
    return Sized(max(one.drop for one in sized), max(flows, default=None), max(asked, default=None))


def each_size(side: MainsSide, fitted: Circuit, branch: Circuit, sizes: Sequence[str]) -> list[Sized]:
    """What each size would do on one branch behind one supply, in one call; each at the heat of its own current.

    Parameters
    ----------
    side : the mains side behind that supply
    fitted : the branch, one with nodes in the side's network
    branch : the same, behind the breaker it is tried with
    sizes : names of the wires
    """
    assert side.network is not None
    circuit, lone = fitted, _lone(side.network, fitted, branch)
    nets = [replace(lone, circuits=(branch.model_copy(update={"wire": wire}),)) for wire in sizes]
    cold, rise = np.hstack([net.wire[0] for net in nets]), np.hstack([net.wire[1] for net in nets])
    heat = tuple(np.hstack([net.heat[part] for net in nets]) for part in range(3))
    power, siemens, amps = lone.drawn([{draw.name for draw in lone.draws}])
    hot = np.repeat(_first_guess(side, circuit), len(sizes), axis=1)
    times = BETWEEN_LEGS if circuit.between_legs else 1.0
    for _ in range(MOST_ROUNDS):
        leg, neutral = opposed((cold, rise, lone.wire[2]), lone.contacts, hot)
        back = leg if circuit.between_legs else neutral
        emf = times * side.emf_v
        found = solve_ac(lone.tree, emf, leg + back, power_va=power, admittance_s=siemens, current_a=amps)
        used, hot = hot, heated(heat, no_limit(found.branch_current_a[lone.heads]))
        if np.abs(hot - used).max() < SETTLED_K:
            break
    volts = np.abs(found.voltage_v)
    (nodes,) = lone.nodes
    lost = (volts[PANEL] - volts[list(nodes)].min(axis=0)) / (times * leg_volts(side.supply))
    drawn = found.branch_current_a[nodes[0]]
    each = zip(lost.tolist(), np.abs(drawn).tolist(), lone.asked_a(nodes, found.voltage_v, drawn).tolist(), strict=True)
    return [Sized(1.0, None, None) if np.isnan(drop) else Sized(drop, *flows) for drop, *flows in each]


def _first_guess(side: MainsSide, circuit: Circuit) -> Floats:
    """Temperatures of cord, inlet wire and branch as they are with the fitted wire [°C], a column."""
    assert side.network is not None
    row = side.network.circuits.index(circuit) + FIRST
    return side.alone[circuit.name].temperature_c[[CORD, INLET, row], np.newaxis]


def _lone(net: Network, circuit: Circuit, branch: Circuit) -> Network:
    """The network with one branch alone, as it is tried."""
    nodes = net.nodes[net.circuits.index(circuit)]
    moved = {PEDESTAL: PEDESTAL, PANEL: PANEL} | {node: PANEL + 1 + k for k, node in enumerate(nodes)}
    parents = [-1, PEDESTAL, *(moved[net.tree.parents[node]] for node in nodes)]
    return Network(
        net.design,
        net.supply,
        net.cord,
        net.inlet,
        Tree.of(parents),
        (branch,),
        (range(PANEL + 1, len(parents)),),
        tuple(net.lengths_m[node] for node in moved),
        tuple(replace(draw, node=moved[draw.node]) for draw in net.draws if draw.circuit == circuit.name),
        (),
    )
