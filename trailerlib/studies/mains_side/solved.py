"""The mains side solved behind its supplies: the busiest moment of each, every branch fully on with nothing else."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.model import BOTH, Supply
from trailerlib.studies.legs import arriving_legs, leg_volts
from trailerlib.studies.mains import Moment, busiest
from trailerlib.studies.mains_side.columns import Solved, columns
from trailerlib.studies.mains_side.cord import Cord, cord_of
from trailerlib.studies.mains_side.network import Network, behind_inlet
from trailerlib.studies.mains_side.said import Flow, MainsSide, States, said
from trailerlib.studies.mains_side.shape import Shape, shape_of
from trailerlib.studies.mains_side.tried import Sized, fit, read, row_of
from trailerlib.studies.trial import Trial


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
        shape = shape_of(design, single)
        sides = (_on_one_leg if single else _on_two_legs)(shape, [one for _, one in asked], trial)
        found |= dict(zip((place for place, _ in asked), sides, strict=True))
    return tuple(found[place] for place in range(len(supplies)))


@dataclass(frozen=True)
class _Asked:
    """One supply, its busiest moment, the voltage of a leg at no load [V], its cord."""

    supply: Supply
    moment: Moment
    emf_v: float
    cord: Cord

    def network(self, shape: Shape) -> Network:
        return Network(shape, self.supply, self.cord, behind_inlet(shape.design, self.cord))


def _on_one_leg(shape: Shape, asked: Sequence[_Asked], trial: Trial | None) -> Iterator[MainsSide]:
    nets, alone = [one.network(shape) for one in asked], list(shape.on.values())
    between = [False, *(circuit.between_legs for circuit in shape.circuits)]
    found = _solved(shape, asked, nets, [[one.moment.on, *alone] for one in asked], between, trial)
    for one, net, ((now, *flows), sized) in zip(asked, nets, found, strict=True):
        yield said(net, one.moment, one.emf_v, States(now, flows, "", *sized))


def _on_two_legs(shape: Shape, asked: Sequence[_Asked], trial: Trial | None) -> Iterator[MainsSide]:
    nets, alone, gap = [one.network(shape) for one in asked], list(shape.on.values()), _moment_gap(shape)
    now: Sequence[Flow | None] = [None] * len(nets) if gap else _moments(shape, nets, asked)
    between = [circuit.between_legs for circuit in shape.circuits]
    found = _solved(shape, asked, nets, [alone for _ in asked], between, trial)
    for one, net, moment, (flows, sized) in zip(asked, nets, now, found, strict=True):
        yield said(net, one.moment, one.emf_v, States(moment, flows, gap, *sized))


_Tried = tuple[Trial | None, Sequence[Sized]]


def _solved(
    shape: Shape,
    asked: Sequence[_Asked],
    nets: Sequence[Network],
    cases: Sequence[Sequence[Collection[str]]],
    between: Sequence[bool],
    trial: Trial | None,
) -> list[tuple[list[Flow], _Tried]]:
    """Every case of every supply on two wires, and behind it every size that is tried."""
    row, first = row_of(shape, trial), len(between)
    sizes = trial.sizes if trial is not None and row is not None else ()
    each = first + len(sizes)
    if not each:
        return [([], (None, ())) for _ in nets]
    whole = columns(nets, [one.emf_v for one in asked], each)
    own: list[Collection[str]] = []
    legs: list[bool] = []
    places: list[int] = []
    if row is not None:
        branch = shape.circuits[row]
        own, legs = [shape.on[branch.name]] * len(sizes), [branch.between_legs] * len(sizes)
        places = [k * each + first + at for k in range(len(nets)) for at in range(len(sizes))]
        fit(whole, row, branch, sizes, places)
    drawn = shape.drawn([names for case in cases for names in (*case, *own)])
    solved = whole.two_wire(drawn, np.tile([*between, *legs], len(nets)))
    flows = [_flows(solved, range(k * each, k * each + first)) for k in range(len(nets))]
    if trial is None or row is None:
        return [(flow, (None, ())) for flow in flows]
    found = read(shape, solved, row, nets, places)
    return [(flow, (trial, sized)) for flow, sized in zip(flows, found, strict=True)]


def _moment_gap(shape: Shape) -> str:
    for name in dict.fromkeys(draw.circuit for draw in shape.draws):
        if shape.design.circuit(name).leg is None:
            return f"the leg that “{name}” hangs on is not given"
    return ""


def _flows(solved: Solved, places: range) -> list[Flow]:
    return [
        Flow(
            solved.volt[None, :, k], solved.amp[None, :, k], solved.amp[:, k], solved.leg_ohm[:, k],
            solved.back_ohm[:, k], solved.hot_c[:, k],
        )
        for k in places
    ]  # fmt: skip


def _moments(shape: Shape, nets: Sequence[Network], asked: Sequence[_Asked]) -> list[Flow]:
    """The busiest moment of each supply on two legs that share the neutral."""
    on = {k: {draw.name for draw in shape.draws if shape.design.circuit(draw.circuit).leg == k} for k in (1, 2, BOTH)}
    loads = [shape.drawn([names.intersection(one.moment.on) for one in asked]) for names in on.values()]
    power, siemens, amps = zip(*loads, strict=True)
    found, leg, neutral, hot = columns(nets, [one.emf_v for one in asked]).three_wire((power, siemens, amps))
    return [
        Flow(
            found.leg_v[..., k], found.leg_current_a[..., k], found.neutral_a[:, k], leg[:, k], neutral[:, k],
            hot[:, k],
        )
        for k in range(len(nets))
    ]  # fmt: skip
