"""The mains side solved behind its supplies: the busiest moment of each, every branch fully on with nothing else."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.model import BOTH, Supply
from trailerlib.studies.kept import Kept
from trailerlib.studies.legs import arriving_legs, leg_volts
from trailerlib.studies.mains import Moment, busiest
from trailerlib.studies.mains_side.columns import Blank, Loads, blank
from trailerlib.studies.mains_side.cord import Cord, cord_of
from trailerlib.studies.mains_side.network import Ahead, Network, behind_inlet
from trailerlib.studies.mains_side.readings import Readings
from trailerlib.studies.mains_side.said import Alone, Flow, MainsSide, States, flow_of, said
from trailerlib.studies.mains_side.shape import Shape
from trailerlib.studies.mains_side.shaped import shape_of
from trailerlib.studies.mains_side.tried import fit, row_of, sized
from trailerlib.studies.trial import Trial, words


def solve(design: Design, supplies: Sequence[Supply], trial: Trial | None = None) -> tuple[MainsSide, ...]:
    """What is switched on in the busiest moment of each supply's stays, and every branch on its own.

    All loads at once would trip the supply, and a voltage under a tripped supply means nothing; without a stay it
    is everything at once. Each wire is at its own temperature. The voltage at no load is as measured, else nominal.
    Supplies on which as many legs arrive are solved in one call.

    Parameters
    ----------
    design : the design
    supplies : of its supplies those that are wanted
    trial : sizes to be tried on one circuit in the same call
    """
    found: dict[int, MainsSide] = {}
    alike: dict[bool, list[tuple[int, _Asked]]] = {}
    for place, supply in enumerate(supplies):
        at, cord = busiest(design, supply.name), cord_of(design, supply)
        emf = leg_volts(supply) if supply.voltage is None else supply.voltage
        if cord is None:
            gap = f"the cord of “{supply.name}” or its length is not given"
            found[place] = MainsSide(supply, at, emf, gap=gap)
        else:
            single = arriving_legs(design, supply) == 1
            alike.setdefault(single, []).append((place, _Asked(supply, at, emf, cord)))
    for single, asked in alike.items():
        shape, lengths = shape_of(design, single)
        nets = [one.network(design, shape, lengths) for _, one in asked]
        ready = _READY.of(
            (shape, *_ahead_of_it(design), *words(trial), *(part for _, one in asked for part in one.parts)),
            partial(_Ready, shape, [one for _, one in asked], [net.ahead for net in nets], single, trial),
        )
        sides = (_on_one_leg if single else _on_two_legs)(ready, [one for _, one in asked], nets)
        found |= dict(zip((place for place, _ in asked), sides, strict=True))
    return tuple(found[place] for place in range(len(supplies)))


@dataclass(frozen=True)
class _Asked:
    """One supply, its busiest moment, the voltage of a leg at no load [V], its cord."""

    supply: Supply
    moment: Moment
    emf_v: float
    cord: Cord

    @property
    def parts(self) -> tuple[Any, ...]:
        return self.supply, self.moment, self.cord

    def network(self, design: Design, shape: Shape, lengths_m: tuple[float, ...]) -> Network:
        return Network(shape, lengths_m, self.supply, self.cord, behind_inlet(design, self.cord))


def _ahead_of_it(design: Design) -> tuple[Any, ...]:
    """What the wire behind the inlet rests on."""
    return design.practice, design.site, design.mains, design.inlet_run_m


class _Ready:
    """All states of a shape behind some supplies, ready to be solved once the lengths are known.

    On two wires: the moment of every supply where one leg arrives, every branch on its own, every size that is tried;
    those of one supply stand next to one another, in this order. Where two legs arrive, the moments on three wires.
    """

    def __init__(
        self, shape: Shape, asked: Sequence[_Asked], ahead: Sequence[Ahead], single: bool, trial: Trial | None
    ) -> None:
        row, count = row_of(shape, trial), len(asked)
        sizes = () if trial is None or row is None else trial.sizes
        emf, lead = [one.emf_v for one in asked], 1 if single else 0
        self.shape, self.trial, self.row = shape, None if row is None else trial, row
        self.rows = [*range(len(shape.circuits)), *([] if row is None else [row] * len(sizes))]
        self.lead, self.each = lead, lead + len(self.rows)
        self.starts = range(0, self.each * count, self.each) if self.each else range(0)
        self.states = blank(shape, ahead, emf, self.each)
        first = lead + len(shape.circuits)
        if row is not None:
            places = [start + first + k for start in self.starts for k in range(len(sizes))]
            fit(self.states, row, shape.circuits[row], sizes, places)
        alone = [shape.on[shape.circuits[k].name] for k in self.rows]
        self.loads = shape.drawn([names for one in asked for names in [one.moment.on] * lead + alone])
        between = [False] * lead + [shape.circuits[k].between_legs for k in self.rows]
        self.between = np.tile(np.array(between, dtype=bool), count)
        self.own_places = np.array(
            [start + lead + k for start in self.starts for k in range(len(self.rows))], dtype=int
        )
        self.own_rows = np.array(self.rows * count, dtype=int)
        self.at_draws = shape.placed_nodes, np.add.outer(np.array(self.starts, dtype=int), lead + shape.placed_rows)
        self.gap = "" if single else _moment_gap(shape)
        self.legs = None if single or self.gap else (blank(shape, ahead, emf), _on_each_leg(shape, asked))

    def solved(self, nets: Sequence[Network]) -> list[States]:
        """What the states on two wires say behind each supply, their lengths as in the networks."""
        shape = self.shape
        if not self.each:
            return [States(None) for _ in nets]
        solved = self.states.of(nets[0].lengths_m).two_wire(self.loads, self.between)
        readings = Readings(shape, solved, self.own_places, self.own_rows)
        at_draws = readings.sizes_v[self.at_draws].tolist()
        found, branches = [], len(shape.circuits)
        for k, (net, start) in enumerate(zip(nets, self.starts, strict=True)):
            own = readings.own[k * len(self.rows) : (k + 1) * len(self.rows)]
            alone = {circuit.name: start + self.lead + at for at, circuit in enumerate(shape.circuits)}
            found.append(
                States(
                    flow_of(solved, start) if self.lead else None,
                    "",
                    Alone(solved, alone),
                    own[:branches],
                    at_draws[k],
                    self.trial,
                    [] if self.row is None else sized(net, shape.circuits[self.row], own[branches:]),
                )
            )
        return found


_READY = Kept[_Ready]()


def _on_one_leg(ready: _Ready, asked: Sequence[_Asked], nets: Sequence[Network]) -> Iterator[MainsSide]:
    for one, net, states in zip(asked, nets, ready.solved(nets), strict=True):
        yield said(net, one.moment, one.emf_v, states)


def _on_two_legs(ready: _Ready, asked: Sequence[_Asked], nets: Sequence[Network]) -> Iterator[MainsSide]:
    moments: Sequence[Flow | None] = [None] * len(nets) if ready.legs is None else _moments(*ready.legs, nets)
    for one, net, now, states in zip(asked, nets, moments, ready.solved(nets), strict=True):
        yield said(net, one.moment, one.emf_v, replace(states, now=now, gap=ready.gap))


def _moment_gap(shape: Shape) -> str:
    for name in dict.fromkeys(draw.circuit for draw in shape.draws):
        if shape.design.circuit(name).leg is None:
            return f"the leg that “{name}” hangs on is not given"
    return ""


def _on_each_leg(shape: Shape, asked: Sequence[_Asked]) -> tuple[Loads, Loads, Loads]:
    """Held powers, admittances and held currents in the busiest moment of each supply: on leg 1, leg 2 and between."""
    on = {k: {draw.name for draw in shape.draws if shape.design.circuit(draw.circuit).leg == k} for k in (1, 2, BOTH)}
    loads = [shape.drawn([names.intersection(one.moment.on) for one in asked]) for names in on.values()]
    power, siemens, amps = zip(*loads, strict=True)
    return power, siemens, amps


def _moments(states: Blank, loads: tuple[Loads, Loads, Loads], nets: Sequence[Network]) -> list[Flow]:
    """The busiest moment of each supply on two legs that share the neutral."""
    found = states.of(nets[0].lengths_m).three_wire(loads)
    neutral = found.neutral_a
    return [
        Flow(
            found.leg_v[..., k], found.leg_a[..., k], neutral[:, k], found.leg_ohm[:, k], found.neutral_ohm[:, k],
            found.hot_c[:, k],
        )
        for k in range(len(nets))
    ]  # fmt: skip
