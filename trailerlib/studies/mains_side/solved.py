"""The mains side behind one supply, solved: its busiest moment, and every branch fully on with nothing else."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.model import Supply
from trailerlib.physics.mains_network import Phasors, solve_ac
from trailerlib.physics.split_phase import solve_split_phase
from trailerlib.studies.mains import Moment, busiest, leg_volts, legs
from trailerlib.studies.mains_side.cord import cord_of
from trailerlib.studies.mains_side.network import CHARGER, CORD, PANEL, PEDESTAL, Floats, Network, network

SETTLED_K = 0.05  # a change of temperature that moves a resistance by 0.02 %
MOST_ROUNDS = 8  # each round leaves about a fiftieth of the error
GUESSES = 3


@dataclass(frozen=True)
class Flow:
    """One solved state, complex, effective values, n nodes: voltage of each leg to neutral [V] and current on it [A],
    (legs, n); current back on the neutral as leg 1 sees it [A] and both impedances [ohm], (n,); temperatures [°C].
    """

    leg_v: Phasors
    leg_a: Phasors
    neutral_a: Phasors
    leg_ohm: Phasors
    neutral_ohm: Phasors
    temperature_c: Floats


@dataclass(frozen=True)
class Branch:
    """One branch. ``current_a`` [A] and ``wire_c`` [°C] are with all of it on and nothing else.

    ``drop`` is the share of the nominal voltage lost from the panel to its lowest end then [-]. ``total_drop`` is that
    from the pedestal, and ``end_v`` the voltage there [V]: the worse of that case and the busiest moment. Where the
    voltage collapses all is lost: 1 and 0 V. None is not known. ``heat_known`` is false where the wire's temperature
    is only assumed, its rating. ``on`` says whether anything on it can run, ``in_moment`` whether it does then.
    """

    circuit: str
    leg: int | None
    current_a: float | None
    wire_c: float | None
    drop: float | None
    total_drop: float | None
    end_v: float | None
    heat_known: bool
    on: bool
    in_moment: bool


@dataclass(frozen=True)
class MainsSide:
    """The mains side behind one supply. Voltages [V] and currents [A] are those of its busiest moment.

    ``gap`` says why nothing is known, ``moment_gap`` why the busiest moment is not; empty when it is. ``complete`` is
    false while a run, the cord's air or what the charger draws is missing: then the voltages are a little too good to
    pass anything. Where a leg's voltage collapses it is 0 V. ``pedestal_known`` says whether the voltage and the
    short-circuit current at the pedestal are measured; if not, the nominal voltage stands, held whatever is drawn.
    ``load_v`` is the lowest a load gets, in that moment or with its branch alone.
    """

    supply: Supply
    moment: Moment
    emf_v: float
    gap: str = ""
    moment_gap: str = ""
    complete: bool = False
    pedestal_v: tuple[float, ...] = ()
    panel_v: tuple[float, ...] = ()
    leg_a: tuple[float, ...] = ()
    neutral_a: float | None = None
    cord_c: float | None = None
    branches: Mapping[str, Branch] = field(default_factory=dict)
    load_v: Mapping[str, float] = field(default_factory=dict)
    network: Network | None = None
    at_moment: Flow | None = None
    alone: Mapping[str, Flow] = field(default_factory=dict)

    @property
    def unplaced(self) -> tuple[str, ...]:
        """Circuits with something to run whose run is not known."""
        return () if self.network is None else self.network.unplaced

    @property
    def pedestal_known(self) -> bool:
        """Whether the voltage at the pedestal and how it gives way under load are measured."""
        return self.supply.voltage is not None and self.supply.prospective is not None


def solve(design: Design, supply: Supply) -> MainsSide:
    """What is switched on in the busiest moment of a supply's stays, and every branch on its own.

    All loads at once would trip the supply, and a voltage under a tripped supply means nothing; without a stay it
    is everything at once. Each wire is at its own temperature. The voltage at no load is as measured, else nominal.
    """
    at = busiest(design, supply.name)
    emf = leg_volts(supply) if supply.voltage is None else supply.voltage
    cord = cord_of(design, supply)
    if cord is None:
        return MainsSide(supply, at, emf, gap=f"the cord of “{supply.name}” or its length is not given")
    net = network(design, supply, cord)
    running = _running(design, at)
    gap = _moment_gap(net)
    alone = [{draw.name for draw in net.draws if draw.circuit == circuit.name} for circuit in net.circuits]
    if legs(supply) == 1:
        now, *each = _two_wire(net, emf, [running, *alone])
        return _read(net, at, emf, gap, running, now, each)
    each = _two_wire(net, emf, alone) if alone else []
    return _read(net, at, emf, gap, running, None if gap else _three_wire(net, emf, running), each)


def _running(design: Design, at: Moment) -> frozenset[str]:
    """The last of the names of a moment is the charger's, where there is one."""
    return frozenset((*at.on[:-1], CHARGER) if design.charger is not None else at.on)


def _moment_gap(net: Network) -> str:
    if legs(net.supply) == 1:
        return ""
    for name in dict.fromkeys(draw.circuit for draw in net.draws):
        if net.design.circuit(name).leg is None:
            return f"the leg that “{name}” hangs on is not given"
    return ""


def _two_wire(net: Network, emf: float, cases: Sequence[AbstractSet[str]]) -> list[Flow]:
    """Every case on a leg and a neutral of its own."""
    power, siemens, amps = net.drawn(cases)
    hot = _warm(net, emf, (power, siemens, amps))
    for _ in range(MOST_ROUNDS):
        leg, neutral = net.impedances(hot)
        found = solve_ac(net.tree, emf, leg + neutral, power_va=power, admittance_s=siemens, current_a=amps)
        used, hot = hot, net.temperatures(no_limit(found.branch_current_a[net.heads]))
        if np.abs(hot - used).max() < SETTLED_K:
            break
    volt, amp = found.voltage_v, found.branch_current_a
    return [
        Flow(volt[None, :, k], amp[None, :, k], amp[:, k], leg[:, k], neutral[:, k], hot[:, k])
        for k in range(len(cases))
    ]


def _three_wire(net: Network, emf: float, running: frozenset[str]) -> Flow:
    """The busiest moment on two legs that share the neutral; the cord is as warm as its fuller leg."""
    on_leg = [
        {d.name for d in net.draws if d.name in running and net.design.circuit(d.circuit).leg == k} for k in (1, 2)
    ]
    loads = net.drawn(on_leg)
    power, siemens, amps = ((load[:, :1], load[:, 1:], 0.0) for load in loads)
    hot = _warm(net, emf, loads).max(axis=1, keepdims=True)
    for _ in range(MOST_ROUNDS):
        leg, neutral = net.impedances(hot)
        found = solve_split_phase(
            net.tree, emf, leg, leg, neutral, power_va=power, admittance_s=siemens, current_a=amps
        )
        used, hot = hot, net.temperatures(no_limit(found.leg_current_a[:, net.heads]).max(axis=0))
        if np.abs(hot - used).max() < SETTLED_K:
            break
    return Flow(
        found.leg_v[..., 0], found.leg_current_a[..., 0], found.neutral_a[:, 0], leg[:, 0], neutral[:, 0], hot[:, 0]
    )


def _warm(net: Network, emf: float, loads: tuple[Phasors, Phasors, Phasors]) -> Floats:
    """A first guess of the temperatures [°C]: a few rounds of drawing at the voltages of the round before.

    Only a guess: the network is solved with it, and again for as long as the temperatures still move.
    """
    power, siemens, amps = loads
    volt = np.full(power.shape, emf, dtype=complex)
    for _ in range(GUESSES):
        flows = net.below @ ((power / volt).conj() + siemens * volt + amps * volt / np.abs(volt))
        hot = net.temperatures(np.abs(flows[net.heads]))
        leg, neutral = net.impedances(hot)
        lost = net.below.T @ ((leg + neutral) * flows)
        volt = np.where(np.abs(lost) < emf / 2.0, emf - lost, emf / 2.0)
    return hot


def no_limit(current_a: Phasors) -> Floats:
    """Sizes of currents [A]; where the voltage collapses no current is too large."""
    return np.nan_to_num(np.abs(current_a), nan=np.inf, posinf=np.inf)


def _read(
    net: Network, at: Moment, emf: float, gap: str, running: frozenset[str], now: Flow | None, each: list[Flow]
) -> MainsSide:
    moment = None if now is None else _Read(now)
    alone = [_Read(flow) for flow in each]
    branches = {
        circuit.name: _branch(net, row, running, moment, alone[row], gap) for row, circuit in enumerate(net.circuits)
    }
    unknown_charger = net.design.charger is not None and net.design.battery is None
    return MainsSide(
        net.supply,
        at,
        emf,
        moment_gap=gap,
        complete=not net.unplaced and net.cord.heat_known and not unknown_charger,
        pedestal_v=() if moment is None else tuple(volts[PEDESTAL] for volts in moment.volts),
        panel_v=() if moment is None else tuple(volts[PANEL] for volts in moment.volts),
        leg_a=() if moment is None else tuple(amps[PANEL] for amps in moment.amps),
        neutral_a=None if now is None or moment is None or moment.collapsed else float(abs(now.neutral_a[PANEL])),
        cord_c=None if now is None else float(now.temperature_c[CORD]),
        branches=branches,
        load_v=_load_voltages(net, running, moment, alone),
        network=net,
        at_moment=now,
        alone={circuit.name: flow for circuit, flow in zip(net.circuits, each, strict=True)},
    )


class _Read:
    """Sizes of the voltages [V] and currents [A] of a state as plain numbers, (legs, n); 0 where it collapsed."""

    def __init__(self, flow: Flow) -> None:
        self.volts: list[list[float]] = np.abs(flow.leg_v).tolist()
        self.amps: list[list[float]] = np.abs(flow.leg_a).tolist()
        self.collapsed = math.isnan(self.volts[0][PEDESTAL])
        if self.collapsed:
            self.volts = self.amps = [[0.0] * len(row) for row in self.volts]
        self.hot: list[float] = flow.temperature_c.tolist()

    def leg_of(self, leg: int | None) -> int:
        """Which of its legs a circuit hangs on; the only one where there is one."""
        return leg - 1 if leg is not None and len(self.volts) > 1 else 0


def _branch(net: Network, row: int, running: frozenset[str], moment: _Read | None, alone: _Read, gap: str) -> Branch:
    circuit, nodes = net.circuits[row], net.nodes[row]
    names, nominal = {d.name for d in net.draws if d.circuit == circuit.name}, leg_volts(net.supply)
    volts = alone.volts[0]
    end = min(volts[node] for node in nodes)
    ends, losses = [end], [(volts[PEDESTAL] - end) / nominal]
    if moment is not None:
        then = moment.volts[moment.leg_of(circuit.leg)]
        ends.append(min(then[node] for node in nodes))
        losses.append(1.0 if moment.collapsed else (then[PEDESTAL] - ends[-1]) / nominal)
    known = not gap
    carry = net.carries[row + 1]
    return Branch(
        circuit.name,
        circuit.leg,
        None if alone.collapsed else alone.amps[0][nodes[0]],
        alone.hot[row + 1],
        1.0 if alone.collapsed else (volts[PANEL] - end) / nominal,
        (1.0 if alone.collapsed else max(losses)) if known else None,
        min(ends) if known else None,
        carry.amps is not None or carry.table_a is None,
        bool(names),
        not names.isdisjoint(running),
    )


def _load_voltages(net: Network, running: frozenset[str], moment: _Read | None, alone: list[_Read]) -> dict[str, float]:
    """The lowest voltage each load gets; without those of a moment or a run that is not known."""
    found: dict[str, float] = {}
    row = {circuit.name: k for k, circuit in enumerate(net.circuits)}
    for draw in net.draws:
        if draw.name == CHARGER or draw.circuit not in row:
            continue
        volts = alone[row[draw.circuit]].volts[0][draw.node]
        if draw.name in running:
            if moment is None:
                continue
            leg = moment.leg_of(net.design.circuit(draw.circuit).leg)
            volts = min(volts, moment.volts[leg][draw.node])
        found[draw.name] = volts
    return found
