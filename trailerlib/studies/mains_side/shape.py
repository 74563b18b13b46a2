"""What lies behind the panel as a tree: node 0 the pedestal, 1 the panel, then the pieces of every branch laid out."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from trailerlib.design.design import Design
from trailerlib.design.model import Circuit
from trailerlib.physics.mains_network import Phasors
from trailerlib.physics.network import Tree
from trailerlib.physics.protection import required_rating_a
from trailerlib.studies.ampacity import Ampacity
from trailerlib.studies.circuits import air_c, may_carry
from trailerlib.studies.feeder import resistance_line
from trailerlib.studies.mains_side.cord import branch_ohm, reactance_per_m

Floats = NDArray[np.float64]
Places = NDArray[np.intp]
PEDESTAL, PANEL = 0, 1
CORD, INLET, FIRST = 0, 1, 2  # rows of the temperatures: the cord, the wire behind the inlet, the first of the branches


class Draw(NamedTuple):
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
    """What lies behind the panel, the same for every supply and whatever its lengths are. A circuit whose run is not
    known has no nodes: its loads draw at the panel.

    What runs between two legs is no part of it where one arrives: it is dead there, and ``dead`` names its circuits.

    ``circuits`` are those with nodes, ``nodes`` theirs, near to far; ``unplaced`` the names of the others that
    have something to run. ``draws`` holds all that is switched on. ``design`` and ``circuits`` are as they were when
    such a shape was first met: of a circuit all counts here but its run.
    """

    design: Design
    tree: Tree
    circuits: tuple[Circuit, ...]
    nodes: tuple[range, ...]
    draws: tuple[Draw, ...]
    unplaced: tuple[str, ...]
    dead: tuple[str, ...] = ()

    @cached_property
    def placed(self) -> tuple[Draw, ...]:
        """What draws on one of the circuits."""
        return tuple(draw for draw in self.draws if draw.circuit in self.on)

    @property
    def placed_nodes(self) -> Places:
        """The node of each of them."""
        return np.array([draw.node for draw in self.placed], dtype=np.intp)

    @property
    def placed_rows(self) -> Places:
        """The circuit of each of them."""
        row = {name: k for k, name in enumerate(self.on)}
        return np.array([row[draw.circuit] for draw in self.placed], dtype=np.intp)

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
    def heat(self) -> Floats:
        """Ampacity [A] and air [°C] (NaN where not known), rating [°C] of the wire of each circuit, (circuits, 3)."""
        each = [heat_of(carry, air_c(self.design, c)) for carry, c in zip(self.carries, self.circuits, strict=True)]
        return np.array(each).reshape(-1, 3)

    @cached_property
    def lines(self) -> tuple[Phasors, Floats]:
        """Impedance at 0 °C [ohm/m] and its rise [ohm/m/K] of the wire in front of each node, one conductor, (nodes,)
        each; 0 in front of pedestal and panel.
        """
        lines = [line_of(circuit.wire, self.design.practice) for circuit in self.circuits]
        own = np.array(lines).reshape(-1, 3)[self.outline.rows[FIRST:-1] - FIRST].T
        cold, rise, reactance = np.concatenate([np.zeros((3, FIRST)), own], axis=1)
        return cold + 1j * reactance, rise

    @cached_property
    def contacts(self) -> tuple[Floats, Floats]:
        """Resistance of breaker and terminals on leg and neutral in front of each node [ohm], (nodes,) each."""
        leg, neutral = np.zeros((2, len(self.tree.parents)))
        for nodes, circuit in zip(self.nodes, self.circuits, strict=True):
            leg[nodes[0]], neutral[nodes[0]] = branch_ohm(circuit)
        return leg, neutral

    @cached_property
    def outline(self) -> Outline:
        """How its nodes hang together."""
        return outline_of(self.tree.parents, self.nodes)

    @cached_property
    def from_panel(self) -> Tree:
        """The tree without the pedestal."""
        return Tree.of([-1, *(parent - PANEL for parent in self.tree.parents[FIRST:])])

    @cached_property
    def each(self) -> tuple[Phasors, Phasors, Phasors]:
        """Held power [VA], admittance [S] and held current [A] of each draw at its node, (nodes, draws) each."""
        power, siemens, amps = np.zeros((3, len(self.tree.parents), len(self.draws)), dtype=complex)
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
        each: dict[int, int] = {}
        places = [each.setdefault(id(names), len(each)) for names in cases]  # many cases are one and the same
        own = list({id(names): names for names in cases}.values())
        on = np.array([[draw.name in names for names in own] for draw in self.draws], dtype=float)
        on = on.reshape(len(self.draws), len(own))[:, places]  # also where nothing draws
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

    def lone(self, branch: Circuit) -> tuple[Shape, list[int]]:
        """One branch alone, as it is tried, and which of the nodes are left.

        Parameters
        ----------
        branch : one with nodes, with another wire or breaker
        """
        nodes = self.nodes[[circuit.name for circuit in self.circuits].index(branch.name)]
        moved = {PEDESTAL: PEDESTAL, PANEL: PANEL} | {node: FIRST + k for k, node in enumerate(nodes)}
        parents = [-1, PEDESTAL, *(moved[self.tree.parents[node]] for node in nodes)]
        draws = tuple(draw._replace(node=moved[draw.node]) for draw in self.draws if draw.circuit == branch.name)
        return Shape(self.design, Tree.of(parents), (branch,), (range(FIRST, len(parents)),), draws, ()), list(moved)


class Outline(NamedTuple):
    """How nodes hang together, n of them on c circuits.

    ``rows`` is the row of its temperature for each piece of wire: one in front of every node, and last the wire behind
    the inlet, (n + 1,); ``heads`` the node whose current flows in the cord, in the wire behind the inlet and in each
    circuit, (c + 2,). ``below`` is 1 where node j hangs on node k or is it, else 0, (k, j), ``above`` the same the
    other way round; ``owns`` is 1 where a node belongs to a circuit, (n, c).
    """

    rows: Places
    heads: Places
    below: Phasors
    above: Phasors
    owns: Floats


@lru_cache(maxsize=64)
def outline_of(parents: tuple[int, ...], spans: tuple[range, ...]) -> Outline:
    """How nodes hang together.

    Parameters
    ----------
    parents : [-] the node each hangs on, -1 of the first
    spans : [-] the nodes of each circuit
    """
    own = [row for row, nodes in enumerate(spans, start=FIRST) for _ in nodes]
    hangs = np.eye(len(parents))
    for node in range(len(parents) - 1, PEDESTAL, -1):
        hangs[parents[node]] += hangs[node]
    owns = np.zeros((len(parents), len(spans)))
    for column, nodes in enumerate(spans):
        owns[list(nodes), column] = 1.0
    rows, heads = np.array([CORD, CORD, *own, INLET]), np.array([PANEL, PANEL, *(nodes[0] for nodes in spans)])
    below = hangs.astype(complex)
    return Outline(rows, heads, below, below.T.copy(), owns)


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
