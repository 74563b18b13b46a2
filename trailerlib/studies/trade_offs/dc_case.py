"""The battery side of many candidates as arrays: its tree, what stands in front of every node, what every load draws.

Each figure is asked of the part it belongs to, so that one circuit's wire is asked once a size, not once a candidate.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np

from trailerlib.design.design import Design
from trailerlib.physics.network import Tree
from trailerlib.studies import cells
from trailerlib.studies import circuits as laid
from trailerlib.studies import feeder as dc
from trailerlib.studies.battery_side import CHARGE_AT_TEST
from trailerlib.studies.loads import side_volts
from trailerlib.studies.trade_offs.asked import Ask
from trailerlib.studies.trade_offs.axes import Floats, Index, Steps
from trailerlib.studies.trade_offs.candidates import Rows
from trailerlib.studies.trade_offs.desk import Desk

KINDS = ("constant power", "resistive", "constant current")
Shape = tuple[
    tuple[int, ...], tuple[tuple[str, ...], ...]
]  # of one circuit: parents of its pieces, loads at their ends


@dataclass(frozen=True)
class Circuit:
    """What is asked of one circuit."""

    name: str
    loads: tuple[str, ...]
    shape: Ask
    lengths: Ask
    wire: Ask
    carry: Ask
    need: Ask


@dataclass(frozen=True)
class Built:
    """Candidates whose battery sides are of one shape: their rows, the tree, the nodes of circuits and loads.

    ``unplaced`` are the circuits whose run is not known.
    """

    rows: Index
    tree: Tree
    nodes: dict[str, tuple[int, ...]]
    load_node: dict[str, int]
    unplaced: tuple[str, ...]


class BatterySides:
    """Everything that is asked about battery sides, for whoever solves them."""

    def __init__(self, desk: Desk, base: Design) -> None:
        self.desk = desk
        self.circuits = [self._circuit(desk, base, circuit.name) for circuit in base.circuits_of("dc")]
        names = {circuit.name for circuit in base.circuits_of("dc")}
        self.loads = tuple(load.name for load in base.loads if load.circuit in names)
        self.there = Ask(desk, "whether there is a battery side", _there, wide=True)
        self.battery = Ask(desk, "the battery", _battery, wide=True)
        self.feeder = Ask(desk, "the feeder", _feeder, wide=True)
        self.load = {name: Ask(desk, f"load {name}", partial(_load, name=name), wide=True) for name in self.loads}
        self.volts = Ask(desk, "the nominal voltage", lambda design: (side_volts(design, "dc"),))

    def _circuit(self, desk: Desk, base: Design, name: str) -> Circuit:
        loads = base.loads_on(name)
        simple = _run_is_stated(desk, base, name) and not any(_has_run(desk, load.name, load.run) for load in loads)
        names = tuple(load.name for load in loads)
        shape: Callable[[Design], Any] = (lambda design: ((-1,), (names,))) if simple else partial(_shape, name=name)
        lengths = partial(_stated if simple else _lengths, name=name)
        words = f"circuit {name}"
        return Circuit(
            name,
            names,
            Ask(desk, words, shape, thing=True),
            Ask(desk, words, lengths, wide=simple),
            Ask(desk, words, partial(_wire, name=name), wide=True),
            Ask(desk, words, partial(_carry, name=name)),
            Ask(desk, words, partial(_need, name=name)),
        )

    def built(self, rows: Rows) -> Iterator[Built]:
        """The candidates by the shape of their battery side."""
        numbers, shapes = np.zeros(rows.count, dtype=np.int64), []
        for circuit in self.circuits:
            number, found = circuit.shape.things_of(rows)
            numbers = numbers * max(1, len(found)) + number
            shapes.append((number, found))
        for value in np.unique(numbers):
            here = np.flatnonzero(numbers == value)
            yield self._built(here, [found[number[here[0]]] for number, found in shapes])

    def _built(self, here: Index, shapes: list[Shape | None]) -> Built:
        parents, nodes, load_node = [-1, dc.BATTERY_NODE], {}, {}
        unplaced = []
        for circuit, shape in zip(self.circuits, shapes, strict=True):
            if shape is None:
                unplaced.append(circuit.name)
                load_node.update(dict.fromkeys(circuit.loads, dc.BLOCK_NODE))
                continue
            first = len(parents)
            parents += [dc.BLOCK_NODE if parent < 0 else first + parent for parent in shape[0]]
            nodes[circuit.name] = tuple(range(first, len(parents)))
            load_node.update({load: first + k for k, loads in enumerate(shape[1]) for load in loads})
        return Built(here, Tree.of(parents), nodes, load_node, tuple(unplaced))

    def fronts(self, rows: Rows, built: Built) -> Fronts:
        """What stands in front of every node of candidates of one shape.

        Parameters
        ----------
        rows : those candidates alone
        built : their shape
        """
        contacts = np.zeros((len(built.tree.parents), rows.count))
        cold, rise = np.zeros_like(contacts), np.zeros_like(contacts)
        contacts[dc.BATTERY_NODE] = self.battery.of(rows)[2]
        feeder = self.feeder.of(rows)
        contacts[dc.BLOCK_NODE], cold[dc.BLOCK_NODE], rise[dc.BLOCK_NODE] = feeder[:3]
        heat_row = np.zeros(len(built.tree.parents), dtype=int)
        for number, circuit in enumerate(self.circuits, start=1):
            if circuit.name not in built.nodes:
                continue
            nodes, (ends, per_m, more) = list(built.nodes[circuit.name]), circuit.wire.of(rows)[:3]
            lengths = 2.0 * circuit.lengths.of(rows)[: len(nodes)]
            contacts[nodes[0]], cold[nodes], rise[nodes], heat_row[nodes] = (
                ends,
                per_m * lengths,
                more * lengths,
                number,
            )
        return Fronts(contacts, cold, rise, heat_row)

    def drawn(
        self, built: Built, watts: dict[str, Floats], kinds: dict[str, Floats], volts: Floats
    ) -> tuple[Floats, ...]:
        """Constant power [W], conductance [S] and constant current [A] at every node, (nodes, n) each.

        Parameters
        ----------
        built : the shape
        watts : [W] at nominal voltage by load, (n,)
        kinds : [-] number of the kind by load, (n,)
        volts : [V] nominal, (n,)
        """
        count = len(volts)
        power, siemens, amps = (np.zeros((len(built.tree.parents), count)) for _ in KINDS)
        for name, drawn in watts.items():
            node, kind = built.load_node[name], kinds[name]
            power[node] += np.where(kind == 0, drawn, 0.0)
            siemens[node] += np.where(kind == 1, drawn / volts**2, 0.0)
            amps[node] += np.where(kind == 2, drawn / volts, 0.0)
        return power, siemens, amps


@dataclass(frozen=True)
class Fronts:
    """Resistance in front of every node as a straight line in the temperature of its wire [ohm], (nodes, n) each.

    ``heat_row`` is the row of the temperatures, the feeder first, then the circuits in their order.
    """

    contacts: Floats
    cold: Floats
    rise: Floats
    heat_row: Index

    def ohm(self, wire_c: Floats) -> Floats:
        """Resistances out and back [ohm], (nodes, n).

        Parameters
        ----------
        wire_c : [degC] of the feeder and of every circuit, (1 + circuits, n)
        """
        found: Floats = self.contacts + self.cold + self.rise * wire_c[self.heat_row]
        return found


def _run_is_stated(desk: Desk, base: Design, name: str) -> bool:
    axes = [axis for axis in desk.watched.axes if axis.path == ("circuit", name, "run")]
    if axes:
        return not (isinstance(axes[0], Steps) and None in axes[0].choices)
    return base.circuit(name).run is not None


def _has_run(desk: Desk, name: str, run: float | None) -> bool:
    varied = any(axis.path[:2] == ("load", name) and axis.path[-1] in ("run", "circuit") for axis in desk.watched.axes)
    return run is not None or varied


def _there(design: Design) -> tuple[Any, ...]:
    return (design.battery is not None and design.feeder_run_m is not None and bool(design.circuits_of("dc")),)


def _battery(design: Design) -> tuple[Any, ...]:
    battery = design.battery
    if battery is None:
        return np.nan, np.nan, np.nan
    emf, full = (cells.open_circuit_v(battery, charge) for charge in (CHARGE_AT_TEST, 1.0))
    return emf, full, cells.battery_ohm(battery)


def _feeder(design: Design) -> tuple[Any, ...]:
    """Contacts, resistance at 0 degC and its rise, ampacity, rating, air, insulation, protection; zeros without one."""
    feeder, run, hottest = design.feeder, design.feeder_run_m, design.site.hottest
    if feeder is None or run is None:
        return 0.0, 0.0, 0.0, None, 0.0, hottest, 0.0, None
    cold, rise = dc.resistance_line(feeder.wire)
    carry = laid.feeder_may_carry(design)
    rating = float(feeder.insulation.split()[0])
    amps = None if carry is None else carry.amps
    return (
        dc.feeder_contacts_ohm(feeder),
        2.0 * run * cold,
        2.0 * run * rise,
        amps,
        rating,
        hottest,
        rating,
        feeder.protection,
    )


def _shape(design: Design, name: str) -> Shape | None:
    route = design.layout.routes[name]
    if route.run_m is None:
        return None
    return tuple(piece.parent for piece in route.branches), tuple(piece.loads for piece in route.branches)


def _lengths(design: Design, name: str) -> tuple[float, ...]:
    return tuple(piece.length_m for piece in design.layout.routes[name].branches) or (0.0,)


def _stated(design: Design, name: str) -> tuple[Any, ...]:
    return (design.circuit(name).run,)


def _wire(design: Design, name: str) -> tuple[Any, ...]:
    """Ends, resistance per metre at 0 degC and its rise, rating of the insulation, allowed drop, protection."""
    circuit = design.circuit(name)
    cold, rise = dc.resistance_line(circuit.wire)
    ends, rating = dc.run_ends_ohm(circuit.protection), float(circuit.insulation.split()[0])
    return ends, cold, rise, rating, circuit.drop_limit, circuit.protection


def _carry(design: Design, name: str) -> tuple[Any, ...]:
    """Ampacity as laid, air, rating, and whether the heat is known or bounded."""
    circuit = design.circuit(name)
    carry = laid.may_carry(design, circuit)
    return carry.amps, laid.air_c(design, circuit), carry.rating_c, carry.amps is not None or carry.table_a is None


def _need(design: Design, name: str) -> tuple[Any, ...]:
    return (laid.needed_a(design, design.circuit(name)),)


def _load(design: Design, name: str) -> tuple[Any, ...]:
    """Whether it is on, its power, its kind, the lowest voltage it works at, whether it lasts."""
    load = design.load(name)
    return load.on, load.running_w, _kind(load.typical.kind), load.lowest_v, load.typical.continuous


def _kind(kind: str) -> int:
    return KINDS.index(kind) if kind in KINDS else 0
