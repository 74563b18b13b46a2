"""The axes one would trade on a trailer: what it has of bank, wires, charger, generator, foam, paint and places."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trailerlib import units
from trailerlib.design import box_classes, supply_classes, wire_sizes
from trailerlib.design.design import Design
from trailerlib.studies import wiring
from trailerlib.studies.trade_offs.axes import Steps
from trailerlib.studies.wire_choice import candidates

FACTORS = (0.5, 0.75, 1.0, 1.5, 2.0, 3.0)
CHEMISTRIES = ("flooded", "agm", "gel", "lfp")
COLOURS = ("white paint", "light grey", "dark paint")
PLACES = 5


def usual_axes(design: Design) -> tuple[Steps, ...]:
    """Axes over what a design has, the value it has now among those of each.

    Parameters
    ----------
    design : the design
    """
    found = [*_bank(design), *_wires(design), *_sets(design), *_box(design), *_places(design)]
    return tuple(axis for axis in found if len(axis.choices) > 1)


def _bank(design: Design) -> Iterator[Steps]:
    if design.battery is not None:
        yield _scaled(design, ("battery", "capacity"), design.battery.capacity, "charge", FACTORS)
        yield Steps(("battery", "chemistry"), CHEMISTRIES)
    if design.charger is not None:
        yield _scaled(design, ("charger", "current"), design.charger.current, "current", (0.5, 1.0, 1.5, 2.0))
    for panel in design.solar[:1]:
        yield _scaled(design, ("solar", panel.name, "power"), panel.power, "power", (0.5, 1.0, 2.0))


def _scaled(design: Design, path: tuple[str, ...], value: float, kind: str, factors: Sequence[float]) -> Steps:
    """A number of the file in so many sizes; the present one as it is written."""
    shown = units.outside(value, kind, design.units)
    texts = [
        design.get(path) if factor == 1.0 else units.written(float(f"{factor * shown:.3g}"), kind, design.units)
        for factor in factors
    ]
    return Steps(path, tuple(dict.fromkeys(texts)))


def _wires(design: Design) -> Iterator[Steps]:
    """The feeder, and the circuit of the battery side that loses the most of what it may lose."""
    if design.feeder is not None:
        yield _sizes(("feeder", "wire"), design.feeder.wire, design.get("feeder.wire"))
    runs = [run for run in wiring.answer(design).picture.runs if run.circuit.system == "dc" and run.run_m is not None]
    worst = max(runs, key=lambda run: run.strain, default=None)
    if worst is not None:
        path = ("circuit", worst.circuit.name, "wire")
        yield _sizes(path, worst.circuit.wire, design.get(path))


def _sizes(path: tuple[str, ...], wire: str, written: str) -> Steps:
    """One size thinner to two thicker."""
    sizes = sorted(candidates(wire), key=lambda name: wire_sizes.wire(name).area_m2)
    at = sizes.index(wire)
    near = sizes[max(0, at - 1) : at + 3]
    return Steps(path, tuple(written if size == wire else size for size in near))


def _sets(design: Design) -> Iterator[Steps]:
    for supply in design.supplies:
        if supply.is_generator:
            yield Steps(("supply", supply.name, "kind"), tuple(supply_classes.generator_kinds()))
            return


def _box(design: Design) -> Iterator[Steps]:
    for name in ("roof", "walls"):
        face = next((face for face in design.faces if face.name == name), None)
        if face is not None and face.insulation is not None:
            path = ("face", name, "layers", face.insulation)
            yield _scaled(design, path, face.thickness_of(face.insulation) or 0.0, "small length", (0.5, 1.0, 1.5, 2.0))
    skin = design.envelope.skin
    if skin is not None:
        own = design.get("envelope.skin")
        others = [colour for colour in COLOURS if box_classes.skin(colour).name != skin]
        yield Steps(("envelope", "skin"), (own, *others))


def _places(design: Design) -> Iterator[Steps]:
    """The heaviest thing that is stowed, at places along the trailer."""
    cargo = max((c for c in design.cargo if c.when == "always"), key=lambda c: c.mass, default=None)
    if cargo is None:
        return
    path = ("cargo", cargo.name, "at")
    now = list(design.get(path))
    length = units.outside(design.trailer.length, "length", design.units)
    along = [units.written(round(length * (k + 0.5) / PLACES, 1), "length", design.units) for k in range(PLACES)]
    yield Steps(path, (now, *([x, *now[1:]] for x in along if x != now[0])))
