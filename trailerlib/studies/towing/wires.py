"""What the wires weigh: copper by gauge and length, every conductor of the cable, and its cover."""

from __future__ import annotations

from trailerlib.design import wire_sizes
from trailerlib.design.design import Design
from trailerlib.design.model import Circuit
from trailerlib.studies.breakers import panel_legs
from trailerlib.studies.towing.result import Point

COPPER_KG_M3 = 8890.0  # IEC 60028
INSULATED = 1.35  # mass of a covered wire over its copper's: from memory
CONDUCTORS = {"dc": 2, "mains": 3}  # out and back; hot, neutral (or the other hot) and ground

Piece = tuple[float, Point]


def wire_masses(design: Design) -> tuple[tuple[Piece, ...], tuple[str, ...]]:
    """Mass [kg] and middle [m] of every piece of wire, and whose wire cannot be counted.

    Parameters
    ----------
    design : the design; a stated run wins over the layout, whose legs then only say where it lies
    """
    pieces: list[Piece] = []
    unknown: list[str] = []
    ahead = [("the feeder", of_feeder(design)), ("the inlet", of_inlet(design))]
    for name, found in [*ahead, *((c.name, of_circuit(design, c)) for c in design.circuits)]:
        if found is None:
            unknown.append(name)
        else:
            pieces += found
    return tuple(pieces), tuple(unknown)


def _kg_m(wire: str, conductors: int) -> float:
    return conductors * wire_sizes.wire(wire).area_m2 * COPPER_KG_M3 * INSULATED


def of_feeder(design: Design) -> list[Piece] | None:
    """From the battery to the fuse block; nothing where the design has no feeder."""
    feeder, battery, run = design.feeder, design.battery, design.feeder_run_m
    if feeder is None:
        return []
    if run is None or battery is None or battery.place is None or design.fuse_block is None:
        return None
    ends = design.place(battery.place).at, design.place(design.fuse_block).at
    return [(run * _kg_m(feeder.wire, CONDUCTORS["dc"]), _middle(*ends))]


def of_inlet(design: Design) -> list[Piece] | None:
    """From the inlet to the panel; nothing where its size is not given."""
    wire, run = design.mains.inlet_wire, design.inlet_run_m
    if wire is None:
        return []
    inlet, panel = design.inlet_place, design.panel
    if run is None or inlet is None or panel is None:
        return None
    ends = design.place(inlet).at, design.place(panel).at
    return [(run * _kg_m(wire, CONDUCTORS["mains"] + panel_legs(design) - 1), _middle(*ends))]


def of_circuit(design: Design, circuit: Circuit) -> list[Piece] | None:
    """Each leg of a circuit; the whole of it between its ends where only its length is known."""
    route, per_m = design.layout.routes[circuit.name], _kg_m(circuit.wire, CONDUCTORS[circuit.system])
    laid = sum(leg.length_m for leg in route.legs)
    wire = laid if route.wire_m is None else route.wire_m
    if laid > 0.0:
        return [(per_m * leg.length_m * wire / laid, _middle(leg.start, leg.end)) for leg in route.legs]
    ends = _ends(design, circuit)
    if wire <= 0.0 or not ends:
        return None
    return [(per_m * wire / len(ends), end) for end in ends]


def _ends(design: Design, circuit: Circuit) -> list[Point]:
    """The middles between the block and each known end."""
    start = circuit.origin or (design.fuse_block if circuit.system == "dc" else design.panel)
    places = [load.place or circuit.to for load in design.loads_on(circuit.name)] or [circuit.to]
    known = [design.place(place).at for place in places if place is not None]
    return [] if start is None else [_middle(design.place(start).at, end) for end in known]


def _middle(one: Point, other: Point) -> Point:
    return (one[0] + other[0]) / 2, (one[1] + other[1]) / 2, (one[2] + other[2]) / 2
