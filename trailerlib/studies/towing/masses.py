"""What is aboard, what it weighs and where it stands, as the design says it: everything once."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.frame import Cabinet
from trailerlib.design.model import Cargo, Load, Opening, Solar, Supply, Tank
from trailerlib.physics.balance import centre_from_scale_m, centre_of_mass
from trailerlib.studies.answer import names
from trailerlib.studies.kept import Kept
from trailerlib.studies.towing.holes import opening_kg, opening_place
from trailerlib.studies.towing.result import Path, Point, Thing
from trailerlib.studies.towing.wires import wire_masses

WATER_KG_L = 0.99935  # 8.34 lb a US gallon: handbook, from memory
HEAVY_KG = 15.0  # an appliance from this on has to be held; common practice, no source
OVERHANG_M = 1.0  # what stands farther out than this is not on the trailer
STATED, CLASS = "as stated", "its class"

Found = Thing | str  # a thing, or the words for what cannot be counted
Aboard = tuple[tuple[Thing, ...], tuple[str, ...]]
_ABOARD: Kept[Aboard] = Kept(8)  # a move of one control asks it of the same design ten times


def aboard(design: Design, *, parked: bool = False) -> Aboard:
    """Everything that weighs, the bare trailer first, and the names of what cannot be counted.

    Parameters
    ----------
    design : the design
    parked : whether what is aboard only while it stands is counted too
    """
    return _ABOARD.of((design, parked), lambda: _aboard(design, parked))


def _aboard(design: Design, parked: bool) -> Aboard:
    found: list[Found] = [*_parts(design), *_built_in(design), *_stowed(design, parked=parked), *_wires(design)]
    bare = bare_trailer(design)
    things = tuple(one for one in found if isinstance(one, Thing) and one.mass_kg > 0)
    return ((bare, *things) if bare is not None else things), tuple(one for one in found if isinstance(one, str))


def bare_trailer(design: Design) -> Thing | None:
    """The empty trailer, by its papers or by two readings of a scale; None when neither says.

    Across the trailer its centre is taken as the middle.
    """
    box = design.trailer
    mass, centre, by = box.empty, box.empty_centre, "its papers"
    if box.coupler_scale is not None and box.axle_scale is not None and box.axle is not None:
        mass, by = box.coupler_scale + box.axle_scale, "a scale"
        centre = float(centre_from_scale_m(box.axle_scale, box.coupler_scale, box.axle - box.coupler_x))
    if mass is None or centre is None or mass <= 0:
        return None
    return Thing("bare trailer", mass, (box.coupler_x + centre, box.width / 2, 0.0), bare=True, by=by)


def _parts(design: Design) -> Iterator[Found]:
    """Battery, loads, generators and panels: their masses by name plate or class, their places by name."""
    yield from battery(design)
    for load in design.loads:
        yield of_load(design, load)
    for supply in design.supplies:
        yield from of_supply(design, supply)
    for panel in design.solar:
        yield of_panel(design, panel)


def battery(design: Design) -> Iterator[Found]:
    """The bank, where there is one."""
    found = design.battery
    if found is not None:
        by = CLASS if found.mass is None else STATED
        yield _placed(design, "battery", found.mass_each_kg, found.count, found.place, by, "battery")


def of_supply(design: Design, supply: Supply) -> Iterator[Found]:
    """A generator that rides on the trailer; nothing of any other supply."""
    place = supply.rides or supply.place
    by = CLASS if supply.mass is None else STATED
    if supply.is_generator and (place is None or _on_it(design, design.place(place).at)):
        yield _placed(design, supply.name, supply.mass_kg, 1, place, by, f'supply "{supply.name}"')
    elif supply.is_generator:
        yield f"{supply.name} (it is not said where it rides)"


def of_panel(design: Design, panel: Solar) -> Found:
    """Solar panels, where they lie."""
    by = CLASS if panel.mass is None else STATED
    return _placed(design, panel.name, panel.mass_each_kg, panel.count, panel.place, by)


def _placed(
    design: Design,
    name: str,
    each_kg: float | None,
    count: int,
    place: str | None,
    by: str,
    part: str | None = None,
    *,
    moved: bool = True,
) -> Found:
    """A thing at a named place; what straps hold is ``moved`` by hand, but for what is wired or built in."""
    if each_kg is None or place is None:
        return name
    path: Path | None = None if part is None or not moved else ("place", place, "at")
    return Thing(name, each_kg * count, design.place(place).at, path=path, by=by, part=part)


def of_load(design: Design, load: Load) -> Found:
    """A load; one that sits in an opening of its name has that one's mass, where it is said, and its place."""
    hole = next((opening for opening in design.openings if opening.name == load.name), None)
    each, by = load.mass_each_kg, CLASS if load.mass is None else STATED
    if hole is not None and hole.mass is not None:
        each, by = hole.mass, STATED
    if hole is not None and load.place is None and each is not None:
        return Thing(load.name, each * load.count, opening_place(design.trailer, hole), by=by)
    heavy = hole is None and each is not None and (each * load.count >= HEAVY_KG or load.straps or load.bolts)
    part = f'load "{load.name}"' if heavy else None
    return _placed(design, load.name, each, load.count, load.place, by, part, moved=False)


def _on_it(design: Design, at: Point) -> bool:
    box = design.trailer
    return box.coupler_x - OVERHANG_M <= at[0] <= box.length + OVERHANG_M


def _built_in(design: Design) -> Iterator[Found]:
    """Cabinets, and what sits in openings and is no load; a door came with the trailer unless its mass is said."""
    for cabinet in design.cabinets:
        yield of_cabinet(cabinet)
    for opening in design.openings:
        yield from of_opening(design, opening)


def of_cabinet(cabinet: Cabinet) -> Found:
    """A cabinet with what is kept in it, or by its boards, empty."""
    mass, by = cabinet.mass_kg, "its boards, about" if cabinet.mass is None else STATED
    part = f'cabinet "{cabinet.name}"'
    return cabinet.name if mass is None else Thing(cabinet.name, mass, cabinet.middle, by=by, part=part)


def of_opening(design: Design, opening: Opening) -> Iterator[Found]:
    """What sits in an opening that no load of its name sits in; nothing of a door without a mass."""
    came_with_it = opening.kind == "door" and opening.mass is None
    if not came_with_it and not any(load.name == opening.name for load in design.loads):
        yield _in_hole(design, opening)


def _in_hole(design: Design, opening: Opening) -> Found:
    mass, by = opening_kg(opening), STATED if opening.mass is not None else "its size, about"
    return opening.name if mass is None else Thing(opening.name, mass, opening_place(design.trailer, opening), by=by)


def _stowed(design: Design, *, parked: bool) -> Iterator[Found]:
    """Water by its level, and cargo."""
    for tank in design.tanks:
        yield of_tank(tank)
    for cargo in design.cargo:
        if parked or cargo.when == "always":
            yield of_cargo(cargo)


def of_tank(tank: Tank) -> Found:
    """The water in a tank."""
    if tank.level is None:
        return tank.name
    path = ("tank", tank.name, "at")
    mass = tank.volume * tank.level * WATER_KG_L
    return Thing(tank.name, mass, tank.at, path=path, by="how full it is", part=f'tank "{tank.name}"')


def of_cargo(cargo: Cargo) -> Found:
    """A piece of cargo; what is aboard only while the trailer stands need not be held."""
    path, part = ("cargo", cargo.name, "at"), f'cargo "{cargo.name}"' if cargo.when == "always" else None
    return Thing(cargo.name, cargo.mass, cargo.at, path=path, by=STATED, part=part)


def _wires(design: Design) -> Iterator[Found]:
    """All wires that are laid as one mass at the middle of their legs, and whose length or place is not known."""
    pieces, unknown = wire_masses(design)
    if pieces:
        masses = np.array([mass for mass, _ in pieces])
        total, middle = centre_of_mass(masses, np.array([point for _, point in pieces]).T)
        x, y, z = (float(value) for value in middle)
        yield Thing("wires", float(np.max(total)), (x, y, z), by="their length")
    if unknown:
        yield f"wire of {names(unknown)}"
