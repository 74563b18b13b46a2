"""The battery side as a network: battery, feeder, fuse block, runs with their taps."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache, cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from trailerlib import reference
from trailerlib.design import wire_sizes
from trailerlib.design.design import Design
from trailerlib.design.model import Circuit, Feeder, Load
from trailerlib.physics.conductor import resistance_per_m, resistance_ratio
from trailerlib.physics.network import Tree
from trailerlib.physics.protection import required_rating_a
from trailerlib.studies.loads import side_volts
from trailerlib.studies.path import Kind, Way

Floats = NDArray[np.float64]
Index = NDArray[np.intp]
BATTERY_NODE, BLOCK_NODE = 0, 1
CONTACT = "contacts"


@cache
def contact_ohm(name: str) -> float:
    """Resistance of one contact in good order [ohm]."""
    return reference.catalogue(CONTACT).number("resistance_ohm", contact=name)


def fuse_ohm(rating_a: float | None) -> float:
    """Resistance of a blade fuse [ohm], from its voltage at the rated current; 0 when there is none.

    Parameters
    ----------
    rating_a : [A] rating, or None
    """
    return 0.0 if rating_a is None else contact_ohm("fuse_drop_at_rating_v") / rating_a


@dataclass(frozen=True)
class Part:
    """One thing in the way of the current: its name, out or back, what it is, its resistance [ohm]."""

    name: str
    way: Way
    kind: Kind
    ohm: float


@dataclass(frozen=True)
class Taps:
    """One circuit as a tree behind the fuse block: each piece of its run [m one way] and the node at the piece's end.

    ``parents`` gives for each piece the number of the piece that feeds it, -1 for the first.
    """

    circuit: Circuit
    lengths_m: tuple[float, ...]
    nodes: tuple[int, ...]
    parents: tuple[int, ...]

    def way_to(self, node: int) -> tuple[int, ...]:
        """Numbers of the pieces from the block to a node, in the order of the current."""
        way, here = [], self.nodes.index(node)
        while here >= 0:
            way.append(here)
            here = self.parents[here]
        return tuple(reversed(way))

    def length_m(self, node: int) -> float:
        """One-way length to a node [m]."""
        return sum(self.lengths_m[piece] for piece in self.way_to(node))


@dataclass(frozen=True)
class Network:
    """The shape of the battery side. ``load_node`` gives the node of each dc load by name.

    A circuit whose run is not known has no taps: its loads draw at the fuse block, and ``unplaced`` names them,
    since their own voltage cannot be known.
    """

    design: Design
    tree: Tree
    taps: Mapping[str, Taps]
    load_node: Mapping[str, int]
    nominal_v: float
    unplaced: frozenset[str] = frozenset()

    @property
    def loads(self) -> tuple[Load, ...]:
        """The dc loads in the order of the design."""
        return tuple(load for load in self.design.loads if load.name in self.load_node)

    @cached_property
    def long_draw(self) -> tuple[Floats, Floats, Floats]:
        """Power [W], conductance [S] and current [A] at every node of what is on for three hours or more, (nodes,)."""
        return self.draw({load.name: load.running_w for load in self.loads if load.on and load.typical.continuous})

    def asked_a(self, taps: Taps, voltage_v: Floats, current_a: Floats) -> Floats:
        """Rating that what really flows in a circuit asks for [A]: 125 % of what runs three hours or more.

        Parameters
        ----------
        taps : the circuit
        voltage_v : [V] at every node, (nodes, ...variants)
        current_a : [A] in the circuit, (...variants)
        """
        here = list(taps.nodes)
        volt = voltage_v[here]
        power, siemens, amps = (part[here].reshape(-1, *(1,) * (volt.ndim - 1)) for part in self.long_draw)
        long = (power / volt + siemens * volt + amps).sum(axis=0)
        return np.asarray(required_rating_a(long, current_a - long))

    def asked_each(self, voltage_v: Floats, in_run: Mapping[str, float]) -> dict[str, float]:
        """The same of every circuit as it is [A].

        Parameters
        ----------
        voltage_v : [V] at every node, (nodes,)
        in_run : [A] current of each circuit by name
        """
        power, siemens, amps = self.long_draw
        flows = (power / voltage_v + siemens * voltage_v + amps).tolist()
        long = {name: sum(flows[node] for node in taps.nodes) for name, taps in self.taps.items()}
        return {name: float(required_rating_a(long[name], in_run[name] - long[name])) for name in self.taps}

    def resistances(self, battery_ohm: float, feeder_c: float, wire_c: Mapping[str, float]) -> Floats:
        """Resistance of every branch out and back [ohm], shape (nodes,).

        Parameters
        ----------
        battery_ohm : [ohm] inside the battery
        feeder_c : [°C] of the feeder's wire
        wire_c : [°C] of each circuit's wire, by circuit name
        """
        ohm = np.zeros(len(self.tree.parents))
        ohm[BATTERY_NODE] = battery_ohm
        ohm[BLOCK_NODE] = feeder_ohm(self.design, feeder_c)
        for name, taps in self.taps.items():
            per_m = ohm_per_m(taps.circuit.wire, wire_c[name])
            for length, node, parent in zip(taps.lengths_m, taps.nodes, taps.parents, strict=True):
                ohm[node] = 2.0 * per_m * length + (run_ends_ohm(taps.circuit.protection) if parent < 0 else 0.0)
        return ohm

    def draw(self, watts: Mapping[str, Floats | float], shape: tuple[int, ...] = ()) -> tuple[Floats, Floats, Floats]:
        """Power, conductance and current drawn at every node for loads of so many watts at nominal voltage.

        Parameters
        ----------
        watts : [W] by load name, numbers or arrays of ``shape``
        shape : [-] shape of the variants

        Returns
        -------
        tuple of arrays
            Constant power [W], conductance [S], constant current [A], each (nodes, ...shape).
        """
        power, siemens, amps = (np.zeros((len(self.tree.parents), *shape)) for _ in range(3))
        for load in self.loads:
            node, w = self.load_node[load.name], watts.get(load.name, 0.0)
            if load.typical.kind == "resistive":
                siemens[node] += np.asarray(w) / self.nominal_v**2
            elif load.typical.kind == "constant current":
                amps[node] += np.asarray(w) / self.nominal_v
            else:
                power[node] += w
        return power, siemens, amps


@lru_cache(maxsize=4096)
def ohm_per_m(wire: str, temperature_c: float) -> float:
    """Resistance of a wire size per metre of one conductor [ohm/m].

    Parameters
    ----------
    wire : size such as ``12 AWG``
    temperature_c : [°C] of the conductor
    """
    size = wire_sizes.wire(wire)
    if size.ohm_per_m_20c is None:
        return float(resistance_per_m(size.area_m2, temperature_c))
    return size.ohm_per_m_20c * float(resistance_ratio(20.0, temperature_c))


@lru_cache(maxsize=256)
def resistance_line(wire: str) -> tuple[float, float]:
    """Resistance of one conductor as a straight line in its temperature: at 0 °C [ohm/m], per kelvin [ohm/(m K)]."""
    cold, hot = ohm_per_m(wire, 0.0), ohm_per_m(wire, 100.0)
    return cold, (hot - cold) / 100.0


def feeder_parts(design: Design, temperature_c: float) -> tuple[Part, ...]:
    """Everything between the battery and the fuse block, out and back, as the current meets it.

    Parameters
    ----------
    design : the design
    temperature_c : [°C] of the wire
    """
    feeder, run_m = design.feeder, design.feeder_run_m
    return () if feeder is None or run_m is None else _feeder_parts(feeder, run_m, temperature_c)


@lru_cache(maxsize=1024)
def _feeder_parts(feeder: Feeder, run_m: float, temperature_c: float) -> tuple[Part, ...]:
    lug, wire = contact_ohm("lug"), ohm_per_m(feeder.wire, temperature_c) * run_m
    parts = [Part("battery lug", "out", "contact", lug)]
    if feeder.protection is not None:
        parts.append(Part("main fuse", "out", "fuse", contact_ohm("main fuse")))
    if feeder.disconnect:
        parts.append(Part("disconnect", "out", "contact", contact_ohm("disconnect")))
    return (
        *parts,
        Part("feeder", "out", "wire", wire),
        Part("fuse block lug", "out", "contact", lug),
        Part("fuse block lug", "back", "contact", lug),
        Part("feeder back", "back", "wire", wire),
        Part("battery lug", "back", "contact", lug),
    )


def feeder_contacts_ohm(feeder: Feeder) -> float:
    """Lugs, main fuse and disconnect between the battery and the fuse block, out and back [ohm].

    Parameters
    ----------
    feeder : the feeder
    """
    fuse = 0.0 if feeder.protection is None else contact_ohm("main fuse")
    return 4.0 * contact_ohm("lug") + fuse + (contact_ohm("disconnect") if feeder.disconnect else 0.0)


def feeder_ohm(design: Design, temperature_c: float) -> float:
    """Battery to fuse block, out and back, with lugs, main fuse and disconnect [ohm].

    Parameters
    ----------
    design : the design
    temperature_c : [°C] of the wire
    """
    return sum(part.ohm for part in feeder_parts(design, temperature_c))


@lru_cache(maxsize=128)
def end_parts(protection_a: float | None) -> tuple[Part, Part, Part]:
    """The fuse and the terminal at the beginning of a run, and the terminal at the end of its way back.

    Parameters
    ----------
    protection_a : [A] rating of the fuse, or None
    """
    spade = contact_ohm("spade")
    return (
        Part("fuse", "out", "fuse", fuse_ohm(protection_a)),
        Part("terminal", "out", "contact", spade),
        Part("terminal", "back", "contact", spade),
    )


def run_ends_ohm(protection_a: float | None) -> float:
    """Fuse and the two terminals of a run [ohm].

    Parameters
    ----------
    protection_a : [A] rating of the fuse, or None
    """
    return sum(part.ohm for part in end_parts(protection_a))


def network(design: Design, circuits: Sequence[Circuit] | None = None) -> Network:
    """The shape of the battery side: node 0 the battery post, 1 the fuse block, then the taps of every dc circuit.

    Parameters
    ----------
    design : the design
    circuits : those of its circuits that are looked at; None takes all of the battery side
    """
    parents = [-1, BATTERY_NODE]
    taps: dict[str, Taps] = {}
    load_node: dict[str, int] = {}
    unplaced: list[str] = []
    for circuit in design.circuits_of("dc") if circuits is None else circuits:
        loads = design.loads_on(circuit.name)
        route, run_m = design.layout.routes[circuit.name], design.run_m(circuit)
        if run_m is None:
            unplaced += [load.name for load in loads]
            load_node.update({load.name: BLOCK_NODE for load in loads})
            continue
        first = len(parents)
        parents += [BLOCK_NODE if piece.parent < 0 else first + piece.parent for piece in route.branches]
        taps[circuit.name] = Taps(
            circuit,
            tuple(piece.length_m for piece in route.branches),
            tuple(range(first, len(parents))),
            tuple(piece.parent for piece in route.branches),
        )
        load_node.update({load: first + k for k, piece in enumerate(route.branches) for load in piece.loads})
    return Network(design, Tree.of(parents), taps, load_node, side_volts(design, "dc"), frozenset(unplaced))
