"""Cases of the same kind as the recorded ones, drawn with numpy and solved by whatever solver is handed in."""

from __future__ import annotations

from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from trailerlib.design.design import Design

from .fault import HEALTHY, Done, Fault, draw_fault, kept
from .netlist import GIVES_UP
from .plan import (
    COPPER_PER_K,
    EMF_V,
    FEEDER,
    INSIDE,
    LEAST,
    MILLIVOLT_RANGE_V,
    MILLIVOLTS,
    POWER,
    SPREADS,
    VOLTS,
    WARMTH_K,
    Draw,
    Element,
    Plan,
    Reading,
    accuracy,
    plan_of,
    readings,
    shown,
)
from .recorded import Case

Floats = NDArray[np.float64]


class Solved(Protocol):
    """What a solver hands back: (nodes, states) each; NaN in a state without a solution."""

    @property
    def voltage_v(self) -> Floats: ...
    @property
    def branch_current_a(self) -> Floats: ...


class Solve(Protocol):
    """A solver of a tree: emf [V], ohms out and back of each branch (nodes, 1), loads (nodes, states).

    ``parents`` gives the feeding node of each node, -1 for node 0 behind the battery's inside resistance.
    """

    def __call__(
        self,
        parents: tuple[int, ...],
        emf_v: float,
        ohm: Floats,
        *,
        power_w: Floats,
        conductance_s: Floats,
        current_a: Floats,
    ) -> Solved: ...


def draw_with(design: Design, seed: int, solve: Solve, *, healthy: bool = False, trailer: str = "") -> Case:
    """A case of the same distribution as the recorded ones, without ngspice.

    Parameters
    ----------
    design : one whose battery side is all known (see ``plan_of``)
    seed : [-] the same seed draws the same case
    solve : the solver, such as ``lambda parents, emf_v, ohm, **loads: solve_dc(Tree.of(parents), emf_v, ohm, **loads)``
    healthy : nothing is wrong, instead of one fault
    trailer : name to put on the case
    """
    plan = plan_of(design, trailer)
    fault = HEALTHY if healthy else draw_fault(plan, seed)
    chance = np.random.default_rng([seed, 13])
    true = exact(plan, fault, chance.standard_normal(plan.draws), solve)
    every = readings(plan)
    even = chance.uniform(-1.0, 1.0, len(every))
    read = {one.key: shown(one, _metered(one, true[one.key], even[k])) for k, one in enumerate(every)}
    half = tuple(every[k].key for k in kept(len(every), seed))
    return Case(trailer, seed, fault, read, half)


def _metered(reading: Reading, value: float, even: float) -> float:
    over = reading.meter == MILLIVOLTS and abs(value) > MILLIVOLT_RANGE_V
    share, fixed = accuracy(VOLTS if over else reading.meter)
    return value + (share * abs(value) + fixed) * even


def exact(plan: Plan, fault: Fault, normals: Floats, solve: Solve) -> dict[str, float]:
    """Every routine reading before the meter, by key, for given standard normal draws.

    Parameters
    ----------
    plan : the battery side
    fault : what is wrong
    normals : [-] one draw for each thing that is never exactly as drawn, (plan.draws,)
    solve : the solver
    """
    side = _Side(plan, Done(plan, fault), normals, solve)
    return {one.key: side.read(one) for one in readings(plan)}


def _share(spread: float, normal: float) -> float:
    return max(LEAST, 1.0 + spread * normal)


class _Side:
    """A battery side as it really is, solved in every state."""

    def __init__(self, plan: Plan, done: Done, normals: Floats, solve: Solve) -> None:
        self.plan, self.done, self.normals = plan, done, normals
        self.ohm = {one.name: self._ohm(one) for one in plan.elements}
        self.state = {name: k for k, (name, _) in enumerate(plan.states)}
        branch = np.zeros((len(plan.parents), 1))
        branch[0] = plan.inside_ohm * done.inside() * _share(INSIDE, normals[1])
        for one in plan.elements:
            where = one.branch if one.part != "fuse" else plan.first[done.position(one.circuit)]
            branch[where] += self.ohm[one.name]
        emf = plan.emf_v - done.lower_v() + EMF_V * normals[0]
        self.volt, self.amps = self._solved(emf, branch, solve)

    def _ohm(self, one: Element) -> float:
        ohm = one.ohm * self.done.times(one) * _share(SPREADS[one.kind], self.normals[one.draw])
        warm = 1.0 + COPPER_PER_K * WARMTH_K * self.normals[2] if one.kind == "wire" else 1.0
        return float(ohm * warm + self.done.extra_ohm(one))

    def _drawn(self) -> dict[str, Floats]:
        """What is drawn in every state as power, conductance and current, (nodes, states)."""
        shape = (len(self.plan.parents), len(self.plan.states))
        drawn = {name: np.zeros(shape) for name in ("power_w", "conductance_s", "current_a")}
        for k, (_, on) in enumerate(self.plan.states):
            for load in map(self.plan.load, on):
                sort, amount = self._sort(load)
                drawn[sort][load.node, k] += amount
        return drawn

    def _sort(self, load: Draw) -> tuple[str, float]:
        watts = load.watts * self.done.draws(load.name) * _share(POWER, self.normals[load.draw])
        if load.kind == "resistive":
            return "conductance_s", watts / self.plan.nominal_v**2
        watts = 0.0 if self.done.turned(load.name) else watts
        return ("current_a", watts / self.plan.nominal_v) if load.kind == "constant current" else ("power_w", watts)

    def _solved(self, emf: float, ohm: Floats, solve: Solve) -> tuple[Floats, Floats]:
        """Voltages and currents; electronics below 70 % of the nominal voltage draw like a resistor.

        Starts with all of them as resistors, which always has a solution, and lets those with volts enough go over.
        """
        drawn, limit = self._drawn(), GIVES_UP * self.plan.nominal_v
        electronic = (drawn["power_w"] > 0.0) | (drawn["current_a"] > 0.0)
        dull = electronic
        for _ in range(20):
            lost = drawn["power_w"] / limit**2 + drawn["current_a"] / limit
            found = solve(
                self.plan.parents, emf, ohm,
                power_w=np.where(dull, 0.0, drawn["power_w"]),
                conductance_s=drawn["conductance_s"] + np.where(dull, lost, 0.0),
                current_a=np.where(dull, 0.0, drawn["current_a"]),
            )  # fmt: skip
            now = electronic & ~(found.voltage_v > limit)
            if np.array_equal(now, dull) and not np.isnan(found.voltage_v).any():
                return found.voltage_v, found.branch_current_a
            dull = now
        raise ArithmeticError("The loads do not settle between holding their power and drawing like a resistor.")

    def read(self, reading: Reading) -> float:
        """The true value on a line."""
        k = self.state[reading.state]
        spots = reading.spots
        if spots[0][0] == "lead":
            where = spots[0][1]
            return float(self.amps[1 if where == FEEDER else self.plan.first[self.done.position(where)], k])
        if spots[0][0] == "over":
            part = next(one for one in self.plan.of(FEEDER, "out") if one.part == spots[0][1])
            return float(self.ohm[part.name] * self.amps[1, k])
        plus, less = (self.potential(spot, k) for spot in spots)
        return plus - less

    def potential(self, spot: tuple[str, ...], k: int) -> float:
        """Potential of a spot over the battery's minus post in a state [V]."""
        post, feeder_a = float(self.volt[0, k]), float(self.amps[1, k])
        out = self.plan.of(FEEDER, "out")
        stud = post - feeder_a * sum(self.ohm[one.name] for one in out)
        bus = feeder_a * sum(self.ohm[one.name] for one in self.plan.of(FEEDER, "back"))
        if spot[0] == "switched":
            last = max((n for n, one in enumerate(out) if one.part in ("main fuse", "disconnect")), default=-1)
            return post - feeder_a * sum(self.ohm[one.name] for one in out[: last + 1])
        if spot[0] == "blade":
            return stud - self._over_fuse(spot[1], k)
        if spot[0] in ("plus", "less"):
            load = self.plan.load(spot[1])
            if (spot[0] == "plus") != self.done.turned(load.name):
                return stud - self._over_fuse(self.done.position(load.circuit), k) - self._along(load, "out", k)
            return bus + self._along(load, "back", k)
        return {"post": post, "minus": 0.0, "stud": stud, "bus": bus}[spot[0]]

    def _over_fuse(self, circuit: str, k: int) -> float:
        """Drop over the fuse that a circuit is drawn at: the current of whatever is wired to it."""
        fuse = self.plan.fuse(circuit)
        amps = float(self.amps[self.plan.first[self.done.position(circuit)], k])
        return 0.0 if fuse is None else self.ohm[fuse.name] * amps

    def _along(self, load: Draw, side: str, k: int) -> float:
        """Drop of terminal and wire on one side, up to a load."""
        way = self.plan.way_to(load.circuit, load.piece)
        on_way = (one for one in self.plan.of(load.circuit, side) if one.part != "fuse")
        return float(
            sum(
                self.ohm[one.name] * self.amps[one.branch, k]
                for one in on_way
                if one.part != "wire" or one.position in way
            )
        )
