"""Each wire size and breaker in the place of a branch's own, solved: the branch fully on, alone, behind one supply."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.model import Circuit
from trailerlib.studies.circuits import as_laid
from trailerlib.studies.kept import Kept
from trailerlib.studies.mains_side.columns import blank
from trailerlib.studies.mains_side.readings import Readings
from trailerlib.studies.mains_side.said import MainsSide
from trailerlib.studies.mains_side.tried import Sized, fit, sized
from trailerlib.studies.trial import Trial

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
    if breaker_a == circuit.protection and own and all(side.trial == Trial(circuit.name, tuple(sizes)) for side in own):
        return _worst([side.sized for side in own], sizes)
    branch = circuit if circuit.protection == breaker_a else circuit.model_copy(update={"protection": breaker_a})
    rests_on = [*_rests_on(design, own, circuit, sizes), breaker_a]
    return _KEPT.of(rests_on, lambda: _worst(each_size(own, branch, sizes), sizes))


def _rests_on(design: Design, sides: Sequence[MainsSide], circuit: Circuit, sizes: Sequence[str]) -> Iterator[Any]:
    yield from (design.practice, design.site, design.charger, design.battery, *sizes)
    yield from (design.mains, design.inlet_run_m)
    yield from as_laid(design, circuit)
    yield from (load for load in design.loads_on(circuit.name))
    yield from (side.supply for side in sides)


def _worst(found: Sequence[Sequence[Sized]], sizes: Sequence[str]) -> dict[str, Sized]:
    return {wire: _worse([sized[at] for sized in found]) for at, wire in enumerate(sizes if found else ())}


def _worse(sized: Sequence[Sized]) -> Sized:
    flows = [one.current_a for one in sized if one.current_a is not None]
    asked = [one.asked_a for one in sized if one.asked_a is not None]
    return Sized(max(one.drop for one in sized), max(flows, default=None), max(asked, default=None))


def each_size(sides: Sequence[MainsSide], branch: Circuit, sizes: Sequence[str]) -> list[list[Sized]]:
    """What each size would do on one branch behind each supply, in one call; each at the heat of its own current.

    Parameters
    ----------
    sides : the mains side behind each of some supplies
    branch : one with nodes in the networks of all, behind the breaker it is tried with
    sizes : names of the wires
    """
    nets = [side.network for side in sides if side.network is not None]
    if not nets:
        return []
    lone, left = nets[0].shape.lone(branch)
    places, lengths = range(len(nets) * len(sizes)), [nets[0].lengths_m[node] for node in left]
    ahead = [replace(net, shape=lone).ahead for net in nets]
    states = blank(lone, ahead, [side.emf_v for side in sides], len(sizes))
    fit(states, 0, branch, sizes, places)
    loads = lone.drawn([lone.on[branch.name]] * len(places))
    solved = states.of(lengths).two_wire(loads, np.full(len(places), branch.between_legs))
    own, each = Readings(lone, solved, np.array(places), np.zeros(len(places), dtype=int)).own, len(sizes)
    return [sized(net, branch, own[k * each : (k + 1) * each]) for k, net in enumerate(nets)]
