"""The mains side behind one supply, solved: its busiest moment, and every branch fully on with nothing else."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from trailerlib.design.design import Design
from trailerlib.design.model import BOTH, OnLeg, Supply
from trailerlib.design.voltages import BETWEEN_LEGS
from trailerlib.physics.mains_network import Phasors, solve_ac
from trailerlib.physics.split_phase import solve_split_phase
from trailerlib.studies.circuits import charger_name
from trailerlib.studies.legs import arriving_legs, leg_volts
from trailerlib.studies.mains import Moment, busiest
from trailerlib.studies.mains_side.cord import cord_of
from trailerlib.studies.mains_side.network import CORD, FIRST, INLET, PANEL, PEDESTAL, Floats, Network, network

SETTLED_K = 1e-3  # a change of temperature that moves a resistance by four parts in a million
MOST_ROUNDS = 8  # each round leaves about a fiftieth of the error
GUESSES = 3


@dataclass(frozen=True)
class Flow:
    """One solved state, complex, effective values, n nodes: voltage of each leg to neutral [V] and current on it [A],
    (legs, n); current back on the neutral as leg 1 sees it [A] and both impedances [ohm], (n,); temperatures [°C].

    A circuit between two legs that is solved on its own has one voltage, that from leg to leg, and what stands for the
    neutral is the second leg.
    """

    leg_v: Phasors
    leg_a: Phasors
    neutral_a: Phasors
    leg_ohm: Phasors
    neutral_ohm: Phasors
    temperature_c: Floats


@dataclass(frozen=True)
class Branch:
    """One branch. ``current_a`` [A] and ``wire_c`` [°C] are with all of it on and nothing else; ``asked_a`` is the
    rating that current asks for, what runs three hours or more counted 125 % [A].

    ``drop`` is the share of the nominal voltage lost from the panel to its lowest end then [-]. ``total_drop`` is that
    from the pedestal, and ``end_v`` the voltage there [V], between legs from one to the other: the worse of that case
    and the busiest moment. Where the
    voltage collapses all is lost: 1 and 0 V. None is not known. ``heat_known`` is false where the wire's temperature
    is only assumed, its rating. ``on`` says whether anything on it can run, ``in_moment`` whether it does then.
    """

    circuit: str
    leg: OnLeg | None
    current_a: float | None
    asked_a: float | None
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
    false while a run, the air outside or what the charger draws is missing: then the voltages are a little too good to
    pass anything. Where a leg's voltage collapses it is 0 V. ``pedestal_known`` says whether the voltage and the
    short-circuit current at the pedestal are measured; if not, the nominal voltage stands, held whatever is drawn.
    ``load_v`` is the lowest a load gets, in that moment or with its branch alone. ``inlet_c`` is None without its wire.
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
    inlet_c: float | None = None
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
    def dead(self) -> tuple[str, ...]:
        """Circuits between two legs where one arrives; empty when nothing is known."""
        return () if self.network is None else self.network.dead

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
    running = frozenset(at.on)
    gap = _moment_gap(net)
    alone = [{draw.name for draw in net.draws if draw.circuit == circuit.name} for circuit in net.circuits]
    between = [circuit.between_legs for circuit in net.circuits]
    if arriving_legs(design, supply) == 1:
        now, *each = _two_wire(net, emf, [running, *alone], [False, *between])
        return _read(net, at, emf, gap, running, now, each)
    each = _two_wire(net, emf, alone, between) if alone else []
    return _read(net, at, emf, gap, running, None if gap else _three_wire(net, emf, running), each)


def _moment_gap(net: Network) -> str:
    if arriving_legs(net.design, net.supply) == 1:
        return ""
    for name in dict.fromkeys(draw.circuit for draw in net.draws):
        if net.design.circuit(name).leg is None:
            return f"the leg that “{name}” hangs on is not given"
    return ""


def _two_wire(net: Network, emf: float, cases: Sequence[AbstractSet[str]], between: Sequence[bool]) -> list[Flow]:
    """Every case on a leg and a neutral of its own, or on two legs where it runs between them."""
    power, siemens, amps = net.drawn(cases)
    both = np.array(between)
    emfs = emf * np.where(both, BETWEEN_LEGS, 1.0)
    hot = _warm(net, emfs, (power, siemens, amps), both)
    for _ in range(MOST_ROUNDS):
        leg, neutral = net.impedances(hot)
        neutral = np.where(both, leg, neutral)
        found = solve_ac(net.tree, emfs, leg + neutral, power_va=power, admittance_s=siemens, current_a=amps)
        used, hot = hot, net.temperatures(no_limit(found.branch_current_a[net.heads]))
        if np.abs(hot - used).max() < SETTLED_K:
            break
    volt, amp = found.voltage_v, found.branch_current_a
    return [
        Flow(volt[None, :, k], amp[None, :, k], amp[:, k], leg[:, k], neutral[:, k], hot[:, k])
        for k in range(len(cases))
    ]


def _three_wire(net: Network, emf: float, running: frozenset[str]) -> Flow:
    """The busiest moment on two legs that share the neutral; cord and inlet wire are as warm as the fuller leg."""
    on_leg = [
        {d.name for d in net.draws if d.name in running and net.design.circuit(d.circuit).leg == k}
        for k in (1, 2, BOTH)
    ]
    loads = net.drawn(on_leg)
    power, siemens, amps = ((load[:, :1], load[:, 1:2], load[:, 2:]) for load in loads)
    both = np.array([False, False, True])
    hot = _warm(net, emf * np.where(both, BETWEEN_LEGS, 1.0), loads, both).max(axis=1, keepdims=True)
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


def _warm(net: Network, emf: Floats, loads: tuple[Phasors, Phasors, Phasors], both: NDArray[np.bool_]) -> Floats:
    """A first guess of the temperatures [°C]: a few rounds of drawing at the voltages of the round before.

    Only a guess: the network is solved with it, and again for as long as the temperatures still move.
    """
    power, siemens, amps = loads
    volt = np.full(power.shape, emf, dtype=complex)  # each case at its own
    for _ in range(GUESSES):
        flows = net.below @ ((power / volt).conj() + siemens * volt + amps * volt / np.abs(volt))
        hot = net.temperatures(np.abs(flows[net.heads]))
        leg, neutral = net.impedances(hot)
        lost = net.below.T @ ((leg + np.where(both, leg, neutral)) * flows)
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
        complete=not net.unplaced and net.cord.heat_known and net.inlet.heat_known and not unknown_charger,
        pedestal_v=() if moment is None else tuple(volts[PEDESTAL] for volts in moment.volts),
        panel_v=() if moment is None else tuple(volts[PANEL] for volts in moment.volts),
        leg_a=() if moment is None else tuple(amps[PANEL] for amps in moment.amps),
        neutral_a=None if now is None or moment is None or moment.collapsed else float(abs(now.neutral_a[PANEL])),
        cord_c=None if now is None else float(now.temperature_c[CORD]),
        inlet_c=None if now is None or not net.inlet.run_m else float(now.temperature_c[INLET]),
        branches=branches,
        load_v=_load_voltages(net, running, moment, alone),
        network=net,
        at_moment=now,
        alone={circuit.name: flow for circuit, flow in zip(net.circuits, each, strict=True)},
    )


class _Read:
    """Sizes of the voltages [V] and currents [A] of a state as plain numbers, (legs, n); 0 where it collapsed."""

    def __init__(self, flow: Flow) -> None:
        self.flow = flow
        self.volts: list[list[float]] = np.abs(flow.leg_v).tolist()
        self.amps: list[list[float]] = np.abs(flow.leg_a).tolist()
        self.collapsed = math.isnan(self.volts[0][PEDESTAL])
        if self.collapsed:
            self.volts = self.amps = [[0.0] * len(row) for row in self.volts]
        self.between: list[float] = [0.0] * len(self.volts[0]) if self.collapsed else np.abs(flow.leg_v.sum(0)).tolist()
        self.hot: list[float] = flow.temperature_c.tolist()

    def across(self, leg: OnLeg | None) -> list[float]:
        """Voltages a circuit on a leg gets, or on both; on the only one where there is one."""
        if leg is None or len(self.volts) == 1:
            return self.volts[0]
        return self.between if leg == BOTH else self.volts[leg - 1]


def _branch(net: Network, row: int, running: frozenset[str], moment: _Read | None, alone: _Read, gap: str) -> Branch:
    circuit, nodes = net.circuits[row], net.nodes[row]
    names = {d.name for d in net.draws if d.circuit == circuit.name}
    nominal = leg_volts(net.supply) * (BETWEEN_LEGS if circuit.between_legs else 1.0)
    volts = alone.volts[0]
    end = min(volts[node] for node in nodes)
    ends, losses = [end], [(volts[PEDESTAL] - end) / nominal]
    if moment is not None:
        then = moment.across(circuit.leg)
        ends.append(min(then[node] for node in nodes))
        losses.append(1.0 if moment.collapsed else (then[PEDESTAL] - ends[-1]) / nominal)
    known = not gap
    carry = net.carries[row + FIRST]
    return Branch(
        circuit.name,
        circuit.leg,
        None if alone.collapsed else alone.amps[0][nodes[0]],
        None if alone.collapsed else float(net.asked_a(nodes, alone.flow.leg_v[0], alone.flow.leg_a[0, nodes[0]])),
        alone.hot[row + FIRST],
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
        if draw.name == charger_name(net.design) or draw.circuit not in row:
            continue
        volts = alone[row[draw.circuit]].volts[0][draw.node]
        if draw.name in running:
            if moment is None:
                continue
            volts = min(volts, moment.across(net.design.circuit(draw.circuit).leg)[draw.node])
        found[draw.name] = volts
    return found
