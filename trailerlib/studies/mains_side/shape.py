"""What lies behind the panel as a tree: node 0 the pedestal, 1 the panel, then the pieces of every branch laid out."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from trailerlib.design.design import Design
from trailerlib.design.model import Circuit
from trailerlib.physics.mains_network import Phasors
from trailerlib.physics.network import Tree
from trailerlib.physics.protection import required_rating_a
from trailerlib.studies.ampacity import Ampacity
from trailerlib.studies.circuits import air_c, charger_name, charger_va, load_va, may_carry
from trailerlib.studies.feeder import Part, resistance_line
from trailerlib.studies.mains_side.cord import branch_parts, reactance_per_m

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
class Shape:
    """What lies behind the panel, the same for every supply. A circuit whose run is not known has no nodes: its loads
    draw at the panel.

    What runs between two legs is no part of it where one arrives: it is dead there, and ``dead`` names its circuits.

    ``circuits`` are those with nodes, ``nodes`` theirs, near to far; ``unplaced`` the names of the others that
    have something to run. ``draws`` holds all that is switched on. ``lengths_m`` is 0 at the panel: its wire is the
    supply's.
    """

    design: Design
    tree: Tree
    circuits: tuple[Circuit, ...]
    nodes: tuple[range, ...]
    lengths_m: tuple[float, ...]
    draws: tuple[Draw, ...]
    unplaced: tuple[str, ...]
    dead: tuple[str, ...] = ()

    @cached_property
    def carries(self) -> tuple[Ampacity, ...]:
        """What the wire of each circuit may carry."""
        return tuple(may_carry(self.design, circuit) for circuit in self.circuits)

    @cached_property
    def on(self) -> dict[str, frozenset[str]]:
        """Names of what is switched on, by circuit."""
        found: dict[str, list[str]] = {circuit.name: [] for circuit in self.circuits}
        for draw in self.draws:
            if draw.circuit in found:
                found[draw.circuit].append(draw.name)
        return {name: frozenset(names) for name, names in found.items()}

    @cached_property
    def heat(self) -> list[tuple[float, float, float]]:
        """Ampacity [A] and air [°C] (NaN where not known), rating [°C] of the wire of each circuit."""
        return [heat_of(carry, air_c(self.design, c)) for carry, c in zip(self.carries, self.circuits, strict=True)]

    @cached_property
    def wires(self) -> list[tuple[float, float, float]]:
        """Resistance at 0 °C, its rise a kelvin, reactance [ohm/m] of the wire of each circuit."""
        return [line_of(circuit.wire, self.design.practice) for circuit in self.circuits]

    @cached_property
    def rows(self) -> NDArray[np.intp]:
        """The row of its temperature for each piece: one in front of every node, and last the wire behind the inlet."""
        own = [row for row, nodes in enumerate(self.nodes, start=FIRST) for _ in nodes]
        return np.array([CORD, CORD, *own, INLET])

    @cached_property
    def contacts(self) -> tuple[Floats, Floats]:
        """Resistance of breaker and terminals on leg and neutral in front of each node [ohm], (nodes,) each."""
        leg, neutral = np.zeros((2, len(self.lengths_m)))
        for nodes, circuit in zip(self.nodes, self.circuits, strict=True):
            leg[nodes[0]], neutral[nodes[0]] = both_ways(branch_parts(circuit))
        return leg, neutral

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
    def from_panel(self) -> Tree:
        """The tree without the pedestal."""
        return Tree.of([-1, *(parent - PANEL for parent in self.tree.parents[FIRST:])])

    @cached_property
    def each(self) -> tuple[Phasors, Phasors, Phasors]:
        """Held power [VA], admittance [S] and held current [A] of each draw at its node, (nodes, draws) each."""
        power, siemens, amps = np.zeros((3, len(self.lengths_m), len(self.draws)), dtype=complex)
        for k, draw in enumerate(self.draws):
            if draw.kind == "resistive":
                siemens[draw.node, k] = draw.va.conjugate() / draw.volts**2
            elif draw.kind == "constant current":
                amps[draw.node, k] = draw.va.conjugate() / draw.volts
            else:
                power[draw.node, k] = draw.va
        return power, siemens, amps

    def drawn(self, cases: Sequence[Collection[str]]) -> tuple[Phasors, Phasors, Phasors]:
        """Constant power [VA], admittance [S] and constant current [A] at every node, (nodes, cases) each.

        Parameters
        ----------
        cases : names of what runs, for every case
        """
        on = np.array([[draw.name in names for names in cases] for draw in self.draws], dtype=float)
        on = on.reshape(len(self.draws), len(cases))  # also where nothing draws
        power, siemens, amps = (part @ on for part in self.each)
        return power, siemens, amps

    @cached_property
    def long(self) -> tuple[Phasors, Phasors, Phasors]:
        """The same of what runs for three hours or more, (nodes, 1) each."""
        return self.drawn([{draw.name for draw in self.draws if draw.long}])

    def asked_a(self, owns: Floats, voltage_v: Phasors, current_a: Phasors) -> Floats:
        """Rating that what really flows in a branch asks for [A]: 125 % of what runs three hours or more.

        Parameters
        ----------
        owns : [-] 1 where a node belongs to the branch of a variant, else 0, (nodes, variants) or (nodes, 1)
        voltage_v : [V] at every node with all of the branch on, (nodes, variants)
        current_a : [A] in the branch, (variants,)
        """
        power, siemens, amps = self.long
        # a branch that collapses has no voltages, and asks for what is not a number
        with np.errstate(invalid="ignore"):
            flows = np.conj(power / voltage_v) + siemens * voltage_v + amps * voltage_v / np.abs(voltage_v)
            long = (owns * flows).sum(axis=0)
        return np.asarray(required_rating_a(np.abs(long), np.abs(current_a - long)))

    @cached_property
    def owns(self) -> Floats:
        """1 where a node belongs to a circuit, else 0, (nodes, circuits)."""
        own = np.zeros((len(self.lengths_m), len(self.nodes)))
        for column, nodes in enumerate(self.nodes):
            own[list(nodes), column] = 1.0
        return own

    def lone(self, fitted: Circuit, branch: Circuit) -> Shape:
        """One branch alone, as it is tried.

        Parameters
        ----------
        fitted : the branch, one with nodes
        branch : the same with another wire or breaker
        """
        nodes = self.nodes[self.circuits.index(fitted)]
        moved = {PEDESTAL: PEDESTAL, PANEL: PANEL} | {node: FIRST + k for k, node in enumerate(nodes)}
        parents = [-1, PEDESTAL, *(moved[self.tree.parents[node]] for node in nodes)]
        return Shape(
            self.design,
            Tree.of(parents),
            (branch,),
            (range(FIRST, len(parents)),),
            tuple(self.lengths_m[node] for node in moved),
            tuple(replace(draw, node=moved[draw.node]) for draw in self.draws if draw.circuit == fitted.name),
            (),
        )


def both_ways(parts: Sequence[Part]) -> tuple[float, float]:
    """Resistance of contacts on the way out and on the way back [ohm].

    Parameters
    ----------
    parts : the contacts
    """
    out, back = (sum(part.ohm for part in parts if part.way == way) for way in ("out", "back"))
    return out, back


def heat_of(carry: Ampacity, air: float | None) -> tuple[float, float, float]:
    """Ampacity and air (NaN where not known), and rating of a wire: [A], [°C], [°C].

    Parameters
    ----------
    carry : what the wire may carry
    air : [°C] around it, or None
    """
    return carry.amps or np.nan, np.nan if air is None else air, carry.rating_c


def line_of(wire: str, practice: str) -> tuple[float, float, float]:
    """Resistance at 0 °C [ohm/m], its rise [ohm/m/K] and reactance [ohm/m] of a wire.

    Parameters
    ----------
    wire : its size
    practice : ``north-america`` or ``iec``
    """
    return *resistance_line(wire), reactance_per_m(wire, practice)


def shape_of(design: Design, single: bool) -> Shape:
    """What lies behind the panel.

    The charger hangs at the far end of its circuit.

    Parameters
    ----------
    design : the design
    single : whether one leg arrives
    """
    parents, lengths = [-1, PEDESTAL], [0.0, 0.0]
    circuits: list[Circuit] = []
    spans: list[range] = []
    node_of: dict[str, int] = {}
    far: dict[str, int] = {}
    mains = design.circuits_of("mains")
    dead = [circuit.name for circuit in mains if single and circuit.between_legs]
    for circuit in mains:
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
    return Shape(design, Tree.of(parents), tuple(circuits), tuple(spans), tuple(lengths), draws, unplaced, tuple(dead))


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
