"""Each wire size in the place of a branch's own, solved: the branch fully on, with nothing else, behind one supply."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.model import Circuit
from trailerlib.physics.mains_network import solve_ac
from trailerlib.physics.network import Tree
from trailerlib.studies.kept import Kept
from trailerlib.studies.mains import leg_volts
from trailerlib.studies.mains_side.network import CORD, PANEL, PEDESTAL, Floats, Network, heated, opposed
from trailerlib.studies.mains_side.solved import MOST_ROUNDS, SETTLED_K, MainsSide, no_limit


@dataclass(frozen=True)
class Sized:
    """One size: drop from the panel as a share of nominal [-], current [A]; all is lost where the voltage collapses,
    and no current is known then.
    """

    drop: float
    current_a: float | None


_KEPT = Kept[dict[str, Sized]]()


def worst_of_each(
    design: Design, sides: Iterable[MainsSide], circuit: Circuit, sizes: Sequence[str]
) -> dict[str, Sized]:
    """The largest drop and the largest current with each size behind any supply; nothing when no supply says.

    Parameters
    ----------
    design : the design
    sides : its mains side behind each supply, solved
    circuit : the branch
    sizes : names of the wires
    """
    own = [side for side in sides if circuit.name in side.branches]
    return _KEPT.of(_rests_on(design, own, circuit, sizes), lambda: _worst(own, circuit, sizes))


def _rests_on(design: Design, sides: Sequence[MainsSide], circuit: Circuit, sizes: Sequence[str]) -> Iterator[Any]:
    yield from (design.practice, design.site, design.charger, design.battery, circuit, *sizes)
    yield from (design.layout.routes[circuit.name], design.bundle_of(circuit), design.air_of(circuit))
    yield from (load for load in design.loads_on(circuit.name))
    yield from (side.supply for side in sides)


def _worst(sides: Sequence[MainsSide], circuit: Circuit, sizes: Sequence[str]) -> dict[str, Sized]:
    found = [each_size(side, circuit, sizes) for side in sides]
    worst = {}
    for at, wire in enumerate(sizes if found else ()):
        currents = [sized[at].current_a for sized in found]
        worst[wire] = Sized(
            max(sized[at].drop for sized in found), max((a for a in currents if a is not None), default=None)
        )
    return worst


def each_size(side: MainsSide, circuit: Circuit, sizes: Sequence[str]) -> list[Sized]:
    """What each size would do on one branch behind one supply, in one call; each at the heat of its own current.

    Parameters
    ----------
    side : the mains side behind that supply
    circuit : the branch, one with nodes in the side's network
    sizes : names of the wires
    """
    assert side.network is not None
    lone = _lone(side.network, circuit)
    nets = [replace(lone, circuits=(circuit.model_copy(update={"wire": wire}),)) for wire in sizes]
    cold, rise = np.hstack([net.wire[0] for net in nets]), np.hstack([net.wire[1] for net in nets])
    heat = tuple(np.hstack([net.heat[part] for net in nets]) for part in range(3))
    power, siemens, amps = lone.drawn([{draw.name for draw in lone.draws}])
    hot = np.repeat(_first_guess(side, circuit), len(sizes), axis=1)
    for _ in range(MOST_ROUNDS):
        leg, neutral = opposed((cold, rise, lone.wire[2]), lone.contacts, hot)
        found = solve_ac(lone.tree, side.emf_v, leg + neutral, power_va=power, admittance_s=siemens, current_a=amps)
        used, hot = hot, heated(heat, no_limit(found.branch_current_a[lone.heads]))
        if np.abs(hot - used).max() < SETTLED_K:
            break
    volts = np.abs(found.voltage_v)
    (nodes,) = lone.nodes
    lost = (volts[PANEL] - volts[list(nodes)].min(axis=0)) / leg_volts(side.supply)
    drawn = np.abs(found.branch_current_a[nodes[0]])
    return [
        Sized(1.0, None) if np.isnan(drop) else Sized(drop, current)
        for drop, current in zip(lost.tolist(), drawn.tolist(), strict=True)
    ]


def _first_guess(side: MainsSide, circuit: Circuit) -> Floats:
    """Temperatures of cord and branch as they are with the fitted wire [°C], a column."""
    assert side.network is not None
    row = side.network.circuits.index(circuit) + 1
    return side.alone[circuit.name].temperature_c[[CORD, row], np.newaxis]


def _lone(net: Network, circuit: Circuit) -> Network:
    """The network with one branch alone."""
    nodes = net.nodes[net.circuits.index(circuit)]
    moved = {PEDESTAL: PEDESTAL, PANEL: PANEL} | {node: PANEL + 1 + k for k, node in enumerate(nodes)}
    parents = [-1, PEDESTAL, *(moved[net.tree.parents[node]] for node in nodes)]
    return Network(
        net.design,
        net.supply,
        net.cord,
        Tree.of(parents),
        (circuit,),
        (range(PANEL + 1, len(parents)),),
        tuple(net.lengths_m[node] for node in moved),
        tuple(replace(draw, node=moved[draw.node]) for draw in net.draws if draw.circuit == circuit.name),
        (),
    )
