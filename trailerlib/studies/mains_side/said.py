"""What a solved state of the mains side says: voltages, currents and heat behind one supply, branch by branch."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

from trailerlib.design.model import BOTH, OnLeg, Supply
from trailerlib.design.voltages import BETWEEN_LEGS
from trailerlib.physics.mains_network import Phasors
from trailerlib.studies.circuits import charger_name
from trailerlib.studies.legs import leg_volts
from trailerlib.studies.mains import Moment
from trailerlib.studies.mains_side.columns import Solved
from trailerlib.studies.mains_side.network import Network
from trailerlib.studies.mains_side.readings import Own
from trailerlib.studies.mains_side.shape import CORD, INLET, PANEL, PEDESTAL, Floats, Shape
from trailerlib.studies.mains_side.tried import Sized
from trailerlib.studies.trial import Trial


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


class Branch(NamedTuple):
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
    ``trial`` is what was tried with it, ``sized`` what each of its sizes does.
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
    trial: Trial | None = None
    sized: Sequence[Sized] = ()

    @property
    def unplaced(self) -> tuple[str, ...]:
        """Circuits with something to run whose run is not known."""
        return () if self.network is None else self.network.shape.unplaced

    @property
    def dead(self) -> tuple[str, ...]:
        """Circuits between two legs where one arrives; empty when nothing is known."""
        return () if self.network is None else self.network.shape.dead

    @property
    def pedestal_known(self) -> bool:
        """Whether the voltage at the pedestal and how it gives way under load are measured."""
        return self.supply.voltage is not None and self.supply.prospective is not None


class Alone(Mapping[str, Flow]):
    """The state of every branch with all of it on and nothing else, by circuit; each laid out when it is asked for."""

    def __init__(self, solved: Solved, places: Mapping[str, int]) -> None:
        self._solved, self._places = solved, places

    def __getitem__(self, circuit: str) -> Flow:
        return flow_of(self._solved, self._places[circuit])

    def __iter__(self) -> Iterator[str]:
        return iter(self._places)

    def __len__(self) -> int:
        return len(self._places)


def flow_of(solved: Solved, place: int) -> Flow:
    """One of many states on two wires.

    Parameters
    ----------
    solved : the states
    place : [-] which of them
    """
    return Flow(
        solved.volt[None, :, place], solved.amp[None, :, place], solved.amp[:, place], solved.leg_ohm[:, place],
        solved.back_ohm[:, place], solved.hot_c[:, place],
    )  # fmt: skip


@dataclass(frozen=True)
class States:
    """What was solved behind one supply: its busiest moment, None and why where it is not known; every branch on its
    own, what is read off it, and the voltage each draw gets then [V]; what each size of a trial does.
    """

    now: Flow | None
    gap: str = ""
    alone: Mapping[str, Flow] = field(default_factory=dict)
    own: Sequence[Own] = ()
    at_draws_v: Sequence[float] = ()
    trial: Trial | None = None
    sized: Sequence[Sized] = ()


def said(net: Network, at: Moment, emf_v: float, states: States) -> MainsSide:
    """A mains side from its states.

    Parameters
    ----------
    net : the network
    at : the busiest moment of its supply
    emf_v : [V] voltage of a leg at no load
    states : what was solved
    """
    shape, running, now = net.shape, frozenset(at.on), states.now
    moment, leg_v = None if now is None else _Read(now), leg_volts(net.supply)
    branches = {
        circuit.name: _branch(shape, row, leg_v, running, moment, states) for row, circuit in enumerate(net.circuits)
    }
    unknown_charger = shape.design.charger is not None and shape.design.battery is None
    return MainsSide(
        net.supply,
        at,
        emf_v,
        moment_gap=states.gap,
        complete=not shape.unplaced and net.cord.heat_known and net.inlet.heat_known and not unknown_charger,
        pedestal_v=() if moment is None else tuple(volts[PEDESTAL] for volts in moment.volts),
        panel_v=() if moment is None else tuple(volts[PANEL] for volts in moment.volts),
        leg_a=() if moment is None else tuple(amps[PANEL] for amps in moment.amps),
        neutral_a=None if now is None or moment is None or moment.collapsed else float(abs(now.neutral_a[PANEL])),
        cord_c=None if now is None else float(now.temperature_c[CORD]),
        inlet_c=None if now is None or not net.inlet.run_m else float(now.temperature_c[INLET]),
        branches=branches,
        load_v=_load_voltages(shape, running, moment, states),
        network=net,
        at_moment=now,
        alone=states.alone,
        trial=states.trial,
        sized=states.sized,
    )


class _Read:
    """Sizes of the voltages [V] and currents [A] of a state as plain numbers, (legs, n); 0 where it collapsed."""

    def __init__(self, flow: Flow) -> None:
        self.volts: list[list[float]] = np.abs(flow.leg_v).tolist()
        self.amps: list[list[float]] = np.abs(flow.leg_a).tolist()
        self.between: list[float] = np.abs(flow.leg_v.sum(axis=0)).tolist()
        self.collapsed = self.volts[0][PEDESTAL] != self.volts[0][PEDESTAL]
        if self.collapsed:
            self.volts = self.amps = [[0.0] * len(row) for row in self.volts]
            self.between = self.volts[0]

    def across(self, leg: OnLeg | None) -> list[float]:
        """Voltages a circuit on a leg gets, or on both; on the only one where there is one."""
        if leg is None or len(self.volts) == 1:
            return self.volts[0]
        return self.between if leg == BOTH else self.volts[leg - 1]


def _branch(
    shape: Shape, row: int, leg_v: float, running: frozenset[str], moment: _Read | None, states: States
) -> Branch:
    circuit, nodes, alone = shape.circuits[row], shape.nodes[row], states.own[row]
    names, fell = shape.on[circuit.name], alone.collapsed
    nominal = leg_v * (BETWEEN_LEGS if circuit.between_legs else 1.0)
    total = 1.0 if fell else (alone.pedestal_v - alone.end_v) / nominal
    end = 0.0 if fell else alone.end_v
    if moment is not None:
        then = moment.across(circuit.leg)
        low = min([then[node] for node in nodes])
        end, total = min(end, low), max(total, 1.0 if moment.collapsed else (then[PEDESTAL] - low) / nominal)
    carry = shape.carries[row]
    return Branch(
        circuit.name,
        circuit.leg,
        None if fell else alone.current_a,
        None if fell else alone.asked_a,
        alone.wire_c,
        1.0 if fell else (alone.panel_v - alone.end_v) / nominal,
        None if states.gap else total,
        None if states.gap else end,
        carry.amps is not None or carry.table_a is None,
        bool(names),
        not names.isdisjoint(running),
    )


def _load_voltages(shape: Shape, running: frozenset[str], moment: _Read | None, states: States) -> dict[str, float]:
    """The lowest voltage each load gets; without those of a moment or a run that is not known."""
    found: dict[str, float] = {}
    charger = charger_name(shape.design)
    for draw, alone_v in zip(shape.placed, states.at_draws_v, strict=True):
        if draw.name == charger or (draw.name in running and moment is None):
            continue
        volts = 0.0 if alone_v != alone_v else alone_v
        if draw.name in running and moment is not None:
            volts = min(volts, moment.across(shape.design.circuit(draw.circuit).leg)[draw.node])
        found[draw.name] = volts
    return found
