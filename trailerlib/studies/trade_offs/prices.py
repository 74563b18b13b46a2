"""What the parts that are traded cost, by an invented list: the sum says nothing of a real shop, only which is dearer.

Counted are the bank, the charger, panels, generators, coolers, fans and fridges, the wire of every circuit, of the
inlet and of every cord, the foam and the paint. What stands in no list is left out of the sum, and named.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import lru_cache, partial
from typing import Any

from trailerlib import reference
from trailerlib.design import box_classes
from trailerlib.design.design import Design
from trailerlib.studies.breakers import panel_legs
from trailerlib.studies.mains_side.cord import cord_of
from trailerlib.studies.sizes import price_per_m
from trailerlib.studies.towing.wires import CONDUCTORS
from trailerlib.studies.trade_offs.watched import part_of

Item = tuple[str, Callable[[Design], Any]]  # what it is, and what it costs in a design; None where no list has it


@lru_cache(maxsize=256)
def price_of(thing: str) -> float | None:
    """Invented price of one piece, or of one unit as the list says; None where it has none.

    Parameters
    ----------
    thing : a class of the catalogue, a material or a colour
    """
    rows = reference.catalogue("prices").where(thing=thing).rows
    return float(rows[0]["price"]) if rows else None


def items(base: Design) -> Iterator[Item]:
    """Everything of a design that has a price, by name; the same things where designs differ in values only."""
    yield "battery", _battery
    yield "charger", _charger
    yield "the wire of the feeder", _feeder
    yield "the wire of the inlet", _inlet
    for circuit in base.circuits:
        yield f"the wire of {circuit.name}", partial(_circuit, name=circuit.name)
    for supply in base.supplies:
        yield supply.name, partial(_supply, name=supply.name)
    for load in base.loads:
        yield load.name, partial(_load, name=load.name)
    for panel in base.solar:
        yield panel.name, partial(_panel, name=panel.name)
    for face in base.faces:
        yield f"the foam of the {face.name}", partial(_foam, name=face.name)
    yield "the paint", _paint


def cost_of(design: Design) -> float:
    """What the parts of a design cost together, by the invented list [-]; what has no price counts nothing.

    Parameters
    ----------
    design : the design
    """
    return float(sum(price or 0.0 for _, find in items(design) for price in [find(design)]))


def _times(price: float | None, amount: Any) -> Any:
    return None if price is None or amount is None else price * amount


def _battery(design: Design) -> Any:
    battery = design.battery
    if battery is None:
        return 0.0
    return _times(price_of(f"battery {battery.chemistry}"), battery.bank_ah * battery.blocks)


def _charger(design: Design) -> Any:
    return 0.0 if design.charger is None else _times(price_of("charger"), design.charger.current)


def _feeder(design: Design) -> Any:
    feeder = design.feeder
    return 0.0 if feeder is None else _times(price_per_m(feeder.wire), _wire_m(design.feeder_run_m, CONDUCTORS["dc"]))


def _inlet(design: Design) -> Any:
    wire = design.mains.inlet_wire
    conductors = CONDUCTORS["mains"] + panel_legs(design) - 1
    return 0.0 if wire is None else _times(price_per_m(wire), _wire_m(design.inlet_run_m, conductors))


def _wire_m(run_m: Any, conductors: int) -> Any:
    return None if run_m is None else run_m * conductors


def _circuit(design: Design, name: str) -> Any:
    circuit = design.circuit(name)
    run_m = circuit.run if circuit.run is not None else design.layout.routes[name].wire_m
    return _times(price_per_m(circuit.wire), _wire_m(run_m, CONDUCTORS[circuit.system]))


def _supply(design: Design, name: str) -> Any:
    """A generator with its cord; of what is there already only the cord."""
    supply = design.supply(name)
    cord = cord_of(design, supply)
    wire = 0.0 if cord is None else _times(price_per_m(cord.wire), _wire_m(cord.run_m, CONDUCTORS["mains"]))
    own = price_of(supply.kind) if supply.is_generator else 0.0
    return None if wire is None or own is None else wire + own


def _load(design: Design, name: str) -> Any:
    """What is built in or cooled; a lamp or a kettle counts nothing, whatever is traded."""
    load = design.load(name)
    each = price_of(load.appliance)
    if each is None:
        return None if load.cooling_w is not None or load.fan is not None else 0.0
    starter = price_of("soft starter") if load.soft_start else 0.0
    return (each + (starter or 0.0)) * load.count


def _panel(design: Design, name: str) -> Any:
    panel = part_of(design, "solar", name)
    return _times(price_of("solar panel"), panel.power * panel.count)


def _foam(design: Design, name: str) -> Any:
    face = design.face(name)
    soft = [(thick, name) for name, thick in face.layers or () if box_classes.material(name).between_studs]
    each = [_times(price_of(material), thick) for thick, material in soft]
    if any(price is None for price in each):
        return None
    return sum(each) * _areas(design)[name]


def _areas(design: Design) -> dict[str, float]:
    """Whole sides of the box, openings not taken off [m²]; a door is a part of the walls."""
    box = design.trailer
    walls = 2.0 * (box.length + box.width) * box.height
    return {"walls": walls, "roof": box.length * box.width, "floor": box.length * box.width, "door": 0.0}


def _paint(design: Design) -> Any:
    skin, roof = design.envelope.skin, design.envelope.roof_colour
    areas = _areas(design)
    parts = [_times(price_of(colour), areas[name]) for colour, name in ((skin, "walls"), (roof, "roof")) if colour]
    return None if any(part is None for part in parts) else sum(parts)
