"""The shape behind the panel of a design, the same one again for as long as nothing but lengths has changed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from trailerlib.design.design import Design
from trailerlib.design.layout import Route
from trailerlib.design.model import Circuit
from trailerlib.physics.network import Tree
from trailerlib.studies.circuits import charger_name, charger_va, load_va
from trailerlib.studies.kept import Kept, as_one
from trailerlib.studies.mains_side.shape import PANEL, PEDESTAL, Draw, Shape

_SHAPES = Kept[Shape]()


def shape_of(design: Design, single: bool) -> tuple[Shape, tuple[float, ...]]:
    """What lies behind the panel, and the length of the wire in front of each node [m], 0 at pedestal and panel.

    The same shape again while nothing of it has changed but lengths. The charger hangs at the far end of its circuit.

    Parameters
    ----------
    design : the design
    single : whether one leg arrives
    """
    mains, routes = design.circuits_of("mains"), design.layout.routes
    laid = [(c, route) for c in mains if not (single and c.between_legs) and (route := routes[c.name]).branches]
    form = [part for c in mains for part in (*c.but_for_run, design.air_of(c), design.bundle_of(c))]
    ways = [route.form for _, route in laid]
    rests_on = (single, design.practice, design.charger, design.battery, _loads(design), *form, *ways)
    lengths = (0.0, 0.0, *(piece.length_m for _, route in laid for piece in route.branches))
    return _SHAPES.of(rests_on, lambda: _shape(design, single, laid)), lengths


def _loads(design: Design) -> tuple[Any, ...]:
    return as_one(design, "mains loads", lambda: (one for one in design.loads if one.typical.system == "mains"))


def _shape(design: Design, single: bool, laid: Sequence[tuple[Circuit, Route]]) -> Shape:
    parents, spans = [-1, PEDESTAL], list[range]()
    node_of, far = dict[str, int](), dict[str, int]()
    for circuit, route in laid:
        first = len(parents)
        for k, piece in enumerate(route.branches):
            parents.append(PANEL if piece.parent < 0 else first + piece.parent)
            node_of.update(dict.fromkeys(piece.loads, first + k))
        spans.append(range(first, len(parents)))
        far[circuit.name] = first + route.far_end
    dead = tuple(circuit.name for circuit in design.circuits_of("mains") if single and circuit.between_legs)
    draws = tuple(draw for draw in _draws(design, node_of, far) if draw.circuit not in dead)
    unplaced = tuple(dict.fromkeys(draw.circuit for draw in draws if draw.circuit not in far))
    circuits = tuple(circuit for circuit, _ in laid)
    return Shape(design, Tree.of(parents), circuits, tuple(spans), draws, unplaced, dead)


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
