"""The battery side as a list of single things: what the current meets on the way out and on the way back."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from trailerlib import read_design, reference
from trailerlib.design.design import Design
from trailerlib.studies import cells, feeder

TRAILERS = ("fen-survey", "kiln-cart", "one-lamp")
AIR_C = 20.0
FEEDER = "feeder"
MILLIVOLTS, VOLTS, CLAMP = "millivolts dc", "volts dc 20", "amps dc clamp"
MILLIVOLT_RANGE_V = 0.2  # above it the same meter goes on with its range in volts
FOLDER = Path(__file__).parents[2] / "data" / "trailers"

# One standard deviation of what is never exactly as drawn: common practice, no source.
EMF_V, INSIDE, WARMTH_K, POWER = 0.08, 0.25, 10.0, 0.1
SPREADS = {"wire": 0.04, "fuse": 0.2, "contact": 0.5}  # share of an element's own; a run's for all of its wire
COPPER_PER_K = 0.00393  # IEC 60028, at 20 °C
LEAST = 0.05  # no contact, run or load is smaller than this share of itself: the bell curve would go below nothing


@dataclass(frozen=True)
class Element:
    """One thing in the way of the current: ``side`` "out" or "back", circuit or "feeder", position, part, ohms at 20 °C.

    ``position`` counts along its side for the feeder; in a circuit it is the number of the piece of the run, 0 for the
    fuse and the terminals. ``branch`` is the node that it feeds in the tree of the side. ``draw`` is the number of the
    standard normal draw of its own (a run has one for all of its wire).
    """

    side: str
    circuit: str
    position: int
    part: str
    kind: str
    ohm: float
    branch: int
    draw: int

    @property
    def name(self) -> tuple[str, str, int, str]:
        """The name that a fault is recorded under."""
        return (self.side, self.circuit, self.position, self.part)


@dataclass(frozen=True)
class Draw:
    """What one load draws: kind of class, watts at the nominal voltage, number of its own draw."""

    name: str
    circuit: str
    piece: int
    node: int
    kind: str
    watts: float
    draw: int


@dataclass(frozen=True)
class Plan:
    """The battery side of a design with all that is drawn for it. Draws 0, 1, 2 are voltage, inside and warmth."""

    trailer: str
    emf_v: float
    inside_ohm: float
    nominal_v: float
    parents: tuple[int, ...]
    elements: tuple[Element, ...]
    loads: tuple[Draw, ...]
    runs: dict[str, tuple[int, ...]]
    first: dict[str, int]
    draws: int

    @property
    def states(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """States of the switches and what is on in each."""
        names = tuple(load.name for load in self.loads)
        return (("rest", ()), *((f"alone/{name}", (name,)) for name in names), ("all", names))

    def of(self, circuit: str, side: str) -> tuple[Element, ...]:
        """Elements of a circuit or the feeder on one side, as they were listed."""
        return tuple(one for one in self.elements if one.circuit == circuit and one.side == side)

    def fuse(self, circuit: str) -> Element | None:
        """The fuse that a circuit is drawn at."""
        return next((one for one in self.of(circuit, "out") if one.part == "fuse"), None)

    def load(self, name: str) -> Draw:
        """A load by name."""
        return next(load for load in self.loads if load.name == name)

    def way_to(self, circuit: str, piece: int) -> tuple[int, ...]:
        """Pieces of a run from the fuse block to the end of one of them."""
        way = [piece]
        while (above := self.runs[circuit][way[0]]) >= 0:
            way.insert(0, above)
        return tuple(way)

    def full_a(self, element: Element) -> float:
        """Current through an element with everything on, at the nominal voltage [A]."""
        here = (load for load in self.loads if element.circuit in (FEEDER, load.circuit))
        wire = element.kind == "wire" and element.circuit != FEEDER
        through = (one for one in here if not wire or element.position in self.way_to(one.circuit, one.piece))
        return sum(one.watts for one in through) / self.nominal_v


@dataclass(frozen=True)
class Reading:
    """A routine line: its key, its meter, and the spots of the two probes (or of the clamp) in a state."""

    key: str
    meter: str
    state: str
    spots: tuple[tuple[str, ...], ...]


def trailer(name: str) -> Design:
    """One of the trailers that come with the workbook."""
    return read_design(FOLDER / f"{name}.toml")


@lru_cache(maxsize=8)
def accuracy(meter: str) -> tuple[float, float]:
    """Share of the reading [-] and fixed part [V or A] of a meter, plus or minus."""
    row = reference.table("meters").row(meter=meter)
    return float(row["share"]), float(row["fixed"])


def plan_of(design: Design, name: str = "") -> Plan:
    """The battery side of a design.

    Raises ValueError for a design without battery and feeder, or one whose dc runs or switched loads are not all known.
    """
    net, parts = feeder.network(design), feeder.feeder_parts(design, AIR_C)
    if design.battery is None or not parts or net.unplaced or not all(load.on for load in net.loads):
        raise ValueError("These cases want a battery, a feeder, a run for every dc circuit and loads that are all on.")
    elements = tuple(_elements(net, parts))
    runs = {circuit: taps.parents for circuit, taps in net.taps.items()}
    first = {circuit: taps.nodes[0] for circuit, taps in net.taps.items()}
    drawn = 1 + max(one.draw for one in elements)
    loads = tuple(
        Draw(
            load.name, load.circuit, net.load_node[load.name] - first[load.circuit], net.load_node[load.name],
            load.typical.kind, load.running_w, drawn + k,
        )
        for k, load in enumerate(net.loads)
    )  # fmt: skip
    emf = float(cells.open_circuit_v(design.battery, design.battery.start_charge))
    inside = float(cells.battery_ohm(design.battery))
    return Plan(
        name, emf, inside, net.nominal_v, tuple(net.tree.parents), elements, loads, runs, first, drawn + len(loads)
    )


def _elements(net: feeder.Network, parts: tuple[feeder.Part, ...]) -> Iterator[Element]:
    draw, place = 4, {"out": 0, "back": 0}
    for part in parts:
        own = 3 if part.kind == "wire" else draw
        draw += part.kind != "wire"
        yield Element(part.way, FEEDER, place[part.way], part.name, part.kind, part.ohm, feeder.BLOCK_NODE, own)
        place[part.way] += 1
    for circuit, taps in net.taps.items():
        for part in feeder.end_parts(taps.circuit.protection):
            if part.name != "fuse" or taps.circuit.protection is not None:
                yield Element(part.way, circuit, 0, part.name, part.kind, part.ohm, taps.nodes[0], draw)
                draw += 1
        per_m = feeder.ohm_per_m(taps.circuit.wire, AIR_C)
        for piece, (length, node) in enumerate(zip(taps.lengths_m, taps.nodes, strict=True)):
            for side in ("out", "back"):
                yield Element(side, circuit, piece, "wire", "wire", per_m * length, node, draw)
        draw += 1


def readings(plan: Plan) -> tuple[Reading, ...]:
    """Every routine line of the battery side: where the probes are.

    Spots: ("post",), ("minus",), ("switched",) behind main fuse and disconnect, ("stud",), ("bus",), ("blade", circuit)
    on the load side of a fuse, ("plus", load) and ("less", load) for the terminals of a load; a clamp is on ("lead",
    circuit or "feeder"); ("over", part) is a part of the feeder.
    """
    return tuple(_readings(plan))


def _readings(plan: Plan) -> Iterator[Reading]:
    battery, block = (("post",), ("minus",)), (("stud",), ("bus",))
    yield Reading("rest/battery volts", VOLTS, "rest", battery)
    yield Reading("rest/block volts", VOLTS, "rest", block)
    for load in plan.loads:
        state, at = f"alone/{load.name}", (("plus", load.name), ("less", load.name))
        yield Reading(f"{state}/volts", VOLTS, state, at)
        yield Reading(f"{state}/feed drop", MILLIVOLTS, state, (("blade", load.circuit), at[0]))
        yield Reading(f"{state}/return drop", MILLIVOLTS, state, (at[1], ("bus",)))
        if plan.fuse(load.circuit) is not None:
            yield Reading(f"{state}/fuse drop", MILLIVOLTS, state, (("stud",), ("blade", load.circuit)))
        yield Reading(f"{state}/fuse amps", CLAMP, state, (("lead", load.circuit),))
    yield Reading("all/battery volts", VOLTS, "all", battery)
    yield Reading("all/block volts", VOLTS, "all", block)
    yield Reading("all/feeder feed drop", MILLIVOLTS, "all", (("switched",), ("stud",)))
    yield Reading("all/feeder return drop", MILLIVOLTS, "all", (("bus",), ("minus",)))
    for part in ("main fuse", "disconnect"):
        if any(one.part == part for one in plan.of(FEEDER, "out")):
            yield Reading(f"all/{part} drop", MILLIVOLTS, "all", (("over", part),))
    yield Reading("all/feeder amps", CLAMP, "all", (("lead", FEEDER),))
    for load in plan.loads:
        yield Reading(f"all/{load.name}/volts", VOLTS, "all", (("plus", load.name), ("less", load.name)))
    for circuit in plan.runs:
        if any(load.circuit == circuit for load in plan.loads):
            yield Reading(f"all/{circuit}/fuse amps", CLAMP, "all", (("lead", circuit),))


def shown(reading: Reading, value: float) -> float:
    """A reading as the display shows it: 0.1 mV on the range of millivolts, else 0.01 V or 0.01 A."""
    fine = reading.meter == MILLIVOLTS and abs(value) <= MILLIVOLT_RANGE_V
    return round(value, 4 if fine else 2) + 0.0
