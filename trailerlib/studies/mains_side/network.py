"""The mains side as a tree: node 0 the pedestal, 1 the panel, then the pieces of every branch whose run is known."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from trailerlib.design.design import Design
from trailerlib.design.model import Circuit, Supply
from trailerlib.physics.mains_network import Phasors
from trailerlib.physics.network import Tree
from trailerlib.physics.protection import required_rating_a
from trailerlib.studies.ampacity import Ampacity
from trailerlib.studies.circuits import air_c, charger_name, charger_va, heated, load_va, may_carry
from trailerlib.studies.feeder import resistance_line
from trailerlib.studies.legs import arriving_legs
from trailerlib.studies.mains_side.cord import (
    Cord,
    branch_parts,
    inlet_of,
    panel_parts,
    reactance_per_m,
    source_ohm,
)

Floats = NDArray[np.float64]
PEDESTAL, PANEL = 0, 1
CORD, INLET, FIRST = 0, 1, 2  # rows of the temperatures: the cord, the wire behind the inlet, the first of the branches


@dataclass(frozen=True)
class Draw:
    """What one load or the charger draws: its name, the node and circuit it hangs on, its kind, its power [VA] at the
    nominal voltage of its circuit [V]; ``long`` says whether it runs for three hours or more.
    """

    name: str
    circuit: str
    node: int
    kind: str
    va: complex
    volts: float
    long: bool


@dataclass(frozen=True)
class Network:
    """The shape of the mains side. A circuit whose run is not known has no nodes: its loads draw at the panel.

    ``inlet`` is the wire from the inlet to the panel, in a row with the cord; of no length where it is not known.
    What runs between two legs is no part of it where one arrives: it is dead there, and ``dead`` names its circuits.

    ``circuits`` are those with nodes, ``nodes`` theirs, near to far; ``unplaced`` the names of the others that
    have something to run. ``draws`` holds all that is switched on. Temperatures have a row for the cord, one for
    the wire behind the inlet and one for each circuit.
    """

    design: Design
    supply: Supply
    cord: Cord
    inlet: Cord
    tree: Tree
    circuits: tuple[Circuit, ...]
    nodes: tuple[range, ...]
    lengths_m: tuple[float, ...]
    draws: tuple[Draw, ...]
    unplaced: tuple[str, ...]
    dead: tuple[str, ...] = ()

    @cached_property
    def carries(self) -> tuple[Ampacity, ...]:
        """What the cord, the wire behind the inlet and the wire of each circuit may carry."""
        return (self.cord.carry, self.inlet.carry, *(may_carry(self.design, circuit) for circuit in self.circuits))

    @cached_property
    def heads(self) -> list[int]:
        """The node whose current flows in the cord, in the wire behind the inlet and in each circuit."""
        return [PANEL, PANEL, *(nodes[0] for nodes in self.nodes)]

    @cached_property
    def below(self) -> Floats:
        """1 where node j hangs on node k or is it, else 0, shape (k, j)."""
        hangs = np.eye(len(self.lengths_m))
        for node in range(len(self.lengths_m) - 1, PEDESTAL, -1):
            hangs[self.tree.parents[node]] += hangs[node]
        return hangs

    @cached_property
    def heat(self) -> tuple[Floats, Floats, Floats]:
        """Ampacity [A] (NaN where not known), air [°C] and rating [°C] of each row, as columns."""
        air = [self.cord.air_c, self.inlet.air_c, *(air_c(self.design, circuit) for circuit in self.circuits)]
        rows = [
            (c.amps or np.nan, np.nan if a is None else a, c.rating_c) for c, a in zip(self.carries, air, strict=True)
        ]
        amps, around, rating = np.array(rows).T[:, :, np.newaxis]
        return amps, around, rating

    def temperatures(self, current_a: Floats) -> Floats:
        """Temperature of every row [°C]; its rating where it is not known.

        Parameters
        ----------
        current_a : [A] in the wire of each row, shape (rows, variants)
        """
        return heated(self.heat, current_a)

    @cached_property
    def wire(self) -> tuple[Phasors, Floats, Floats]:
        """Of each piece of wire, one conductor: impedance at 0 °C, ohms a kelvin, row of its temperature.

        A piece in front of each node, and last the wire behind the inlet, which lies in front of the panel too.
        """
        wires = [self.cord.wire, self.inlet.wire, *(circuit.wire for circuit in self.circuits)]
        lines = [(*resistance_line(wire), reactance_per_m(wire, self.design.practice)) for wire in wires]
        rows = [CORD, CORD, *(row for row, nodes in enumerate(self.nodes, start=FIRST) for _ in nodes), INLET]
        cold, rise, reactance = np.array(lines).T[:, rows] * np.array([*self.lengths_m, self.inlet.run_m])
        return (cold + 1j * reactance)[:, np.newaxis], rise[:, np.newaxis], np.array(rows)

    @cached_property
    def contacts(self) -> tuple[Floats, Floats]:
        """Resistance of the contacts on the leg and on the neutral in front of each node [ohm], (nodes, 1) each.

        At the pedestal it is the source's, half on each.
        """
        leg, neutral = np.zeros((2, len(self.lengths_m), 1))
        leg[PEDESTAL] = neutral[PEDESTAL] = source_ohm(self.supply) / 2.0
        fronts = [(PANEL, panel_parts(self.supply))]
        fronts += [(nodes[0], branch_parts(c)) for nodes, c in zip(self.nodes, self.circuits, strict=True)]
        for node, parts in fronts:
            leg[node] = sum(part.ohm for part in parts if part.way == "out")
            neutral[node] = sum(part.ohm for part in parts if part.way == "back")
        return leg, neutral

    def impedances(self, temperature_c: Floats) -> tuple[Phasors, Phasors]:
        """Impedance in front of every node, on the leg and on the neutral, one way [ohm], (nodes, variants) each.

        Parameters
        ----------
        temperature_c : [°C] of each row, shape (rows, variants)
        """
        return opposed(self.wire, self.contacts, temperature_c)

    def asked_a(self, nodes: Iterable[int], voltage_v: Phasors, current_a: Phasors) -> Floats:
        """Rating that what really flows in a branch asks for [A]: 125 % of what runs three hours or more.

        Parameters
        ----------
        nodes : [-] those of the branch
        voltage_v : [V] at every node with all of the branch on, (nodes, ...variants)
        current_a : [A] in the branch, (...variants)
        """
        here = list(nodes)
        volt = voltage_v[here]
        drawn = self.drawn([{draw.name for draw in self.draws if draw.long}])
        power, siemens, amps = (part[here].reshape(-1, *(1,) * (volt.ndim - 1)) for part in drawn)
        with np.errstate(
            invalid="ignore"
        ):  # a branch that collapses has no voltages, and asks for what is not a number
            long = (np.conj(power / volt) + siemens * volt + amps * volt / np.abs(volt)).sum(axis=0)
        return np.asarray(required_rating_a(np.abs(long), np.abs(current_a - long)))

    def between(self, name: str) -> bool:
        """Whether a circuit runs from one leg to the other."""
        return self.design.circuit(name).between_legs

    def drawn(self, cases: Sequence[Collection[str]]) -> tuple[Phasors, Phasors, Phasors]:
        """Constant power [VA], admittance [S] and constant current [A] at every node, (nodes, cases) each.

        Parameters
        ----------
        cases : names of what runs, for every case
        """
        power, siemens, amps = np.zeros((3, len(self.lengths_m), len(cases)), dtype=complex)
        for draw in self.draws:
            on = [column for column, names in enumerate(cases) if draw.name in names]
            if draw.kind == "resistive":
                siemens[draw.node, on] += draw.va.conjugate() / draw.volts**2
            elif draw.kind == "constant current":
                amps[draw.node, on] += draw.va.conjugate() / draw.volts
            else:
                power[draw.node, on] += draw.va
        return power, siemens, amps


def opposed(
    wire: tuple[Phasors, Floats, Floats], contacts: tuple[Floats, Floats], temperature_c: Floats
) -> tuple[Phasors, Phasors]:
    """Impedance in front of every node, on the leg and on the neutral, one way [ohm], (nodes, variants) each.

    Parameters
    ----------
    wire : [ohm], [ohm/K], [-] of each piece one conductor: impedance at 0 °C, its rise, row of its temperature
    contacts : [ohm] on the leg and on the neutral in front of each node
    temperature_c : [°C] of each row, shape (rows, variants)
    """
    (cold, rise, rows), (leg, neutral) = wire, contacts
    pieces = cold + rise * temperature_c[rows]
    warm = pieces[:-1]
    warm[PANEL] += pieces[-1]
    return warm + leg, warm + neutral


def network(design: Design, supply: Supply, cord: Cord) -> Network:
    """The shape of the mains side behind one supply.

    The charger hangs at the far end of its circuit.
    """
    parents, lengths = [-1, PEDESTAL], [0.0, cord.run_m]
    circuits: list[Circuit] = []
    spans: list[range] = []
    node_of: dict[str, int] = {}
    far: dict[str, int] = {}
    single = arriving_legs(design, supply) == 1
    dead = [circuit.name for circuit in design.circuits_of("mains") if single and circuit.between_legs]
    for circuit in design.circuits_of("mains"):
        if circuit.name in dead:
            continue
        pieces, first = design.layout.routes[circuit.name].branches, len(parents)
        if not pieces:
            continue
        reach: list[float] = []
        for k, piece in enumerate(pieces):
            parents.append(PANEL if piece.parent < 0 else first + piece.parent)
            lengths.append(piece.length_m)
            reach.append(piece.length_m + (reach[piece.parent] if piece.parent >= 0 else 0.0))
            node_of.update(dict.fromkeys(piece.loads, first + k))
        circuits.append(circuit)
        spans.append(range(first, len(parents)))
        far[circuit.name] = first + max(range(len(reach)), key=reach.__getitem__)
    draws = tuple(draw for draw in _draws(design, node_of, far) if draw.circuit not in dead)
    unplaced = tuple(dict.fromkeys(draw.circuit for draw in draws if draw.circuit not in far))
    return Network(
        design, supply, cord, inlet_of(design) or replace(cord, run_m=0.0), Tree.of(parents), tuple(circuits),
        tuple(spans), tuple(lengths), draws, unplaced, tuple(dead),
    )  # fmt: skip


def _draws(design: Design, node_of: Mapping[str, int], far: Mapping[str, int]) -> list[Draw]:
    found = [
        Draw(
            load.name,
            load.circuit,
            node_of.get(load.name, PANEL),
            load.typical.kind,
            load_va(load),
            load.circuit_v,
            load.typical.continuous,
        )
        for load in design.loads
        if load.on and load.typical.system == "mains"
    ]
    charger, va = design.charger, charger_va(design)
    if charger is not None and va:
        node, volts = far.get(charger.circuit, PANEL), design.volts_of(design.circuit(charger.circuit))
        found.append(Draw(charger_name(design), charger.circuit, node, "constant power", va, volts, True))
    return found
