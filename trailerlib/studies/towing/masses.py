"""What is aboard, what it weighs and where it stands, as the design says it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np

from trailerlib.design import catalogue
from trailerlib.design.design import Design
from trailerlib.physics.balance import centre_from_scale_m, centre_of_mass
from trailerlib.studies.towing.result import Path, Point, Thing

WATER_KG_L = 0.99935  # 8.34 lb a US gallon: handbook, from memory
COPPER_KG_M3 = 8890.0  # IEC 60028
INSULATED = 1.35  # mass of a covered wire over its copper's: from memory
OVERHANG_M = 1.0  # what stands farther out than this is not on the trailer

Found = Thing | str  # a thing, or the words for what cannot be counted


def aboard(design: Design, *, parked: bool = False) -> tuple[tuple[Thing, ...], tuple[str, ...]]:
    """Everything that weighs, the bare trailer first, and the names of what cannot be counted.

    Parameters
    ----------
    design : the design
    parked : whether what is aboard only while it stands is counted too
    """
    found: list[Found] = [*_parts(design), *_stowed(design, parked=parked), *_wires(design)]
    bare = bare_trailer(design)
    things = tuple(one for one in found if isinstance(one, Thing) and one.mass_kg > 0)
    return ((bare, *things) if bare is not None else things), tuple(one for one in found if isinstance(one, str))


def bare_trailer(design: Design) -> Thing | None:
    """The empty trailer, by its papers or by two readings of a scale; None when neither says.

    Across the trailer its centre is taken as the middle.
    """
    box = design.trailer
    mass, centre = box.empty, box.empty_centre
    if box.coupler_scale is not None and box.axle_scale is not None and box.axle is not None:
        mass = box.coupler_scale + box.axle_scale
        centre = float(centre_from_scale_m(box.axle_scale, box.coupler_scale, box.axle - box.coupler_x))
    if mass is None or centre is None or mass <= 0:
        return None
    return Thing("bare trailer", mass, (box.coupler_x + centre, box.width / 2, 0.0), bare=True)


def _parts(design: Design) -> Iterator[Found]:
    """Battery, loads, generators and panels: their masses by name plate or class, their places by name."""
    battery = design.battery
    if battery is not None:
        yield _placed(design, "battery", battery.mass_each_kg, battery.count, battery.place, by_hand=True)
    for load in design.loads:
        yield _placed(design, load.name, load.mass_each_kg, load.count, load.place)
    for supply in design.supplies:
        place = supply.rides or supply.place
        if supply.is_generator and (place is None or _on_it(design, design.place(place).at)):
            yield _placed(design, supply.name, supply.mass_kg, 1, place, by_hand=True)
        elif supply.is_generator:
            yield f"{supply.name} (it is not said where it rides)"
    for panel in design.solar:
        yield _placed(design, panel.name, panel.mass_each_kg, panel.count, panel.place)


def _placed(
    design: Design, name: str, each_kg: float | None, count: int, place: str | None, *, by_hand: bool = False
) -> Found:
    if each_kg is None or place is None:
        return name
    path: Path | None = ("place", place, "at") if by_hand else None
    return Thing(name, each_kg * count, design.place(place).at, path=path)


def _on_it(design: Design, at: Point) -> bool:
    box = design.trailer
    return box.coupler_x - OVERHANG_M <= at[0] <= box.length + OVERHANG_M


def _stowed(design: Design, *, parked: bool) -> Iterator[Found]:
    """Water by its level, and cargo."""
    for tank in design.tanks:
        path = ("tank", tank.name, "at")
        yield (
            tank.name
            if tank.level is None
            else Thing(tank.name, tank.volume * tank.level * WATER_KG_L, tank.at, path=path)
        )
    for cargo in design.cargo:
        if parked or cargo.when == "always":
            yield Thing(cargo.name, cargo.mass, cargo.at, path=("cargo", cargo.name, "at"))


def _wires(design: Design) -> Iterator[Thing]:
    """All wires that are laid, as one mass at the middle of their legs."""
    pieces = [piece for circuit in design.circuits for piece in _legs(design, circuit.name, circuit.wire)]
    if pieces:
        masses = np.array([mass for mass, _ in pieces])
        points = np.array([point for _, point in pieces]).T
        total, middle = centre_of_mass(masses, points)
        x, y, z = (float(value) for value in middle)
        yield Thing("wires", float(np.max(total)), (x, y, z))


def _legs(design: Design, circuit: str, wire: str) -> Iterable[tuple[float, Point]]:
    """Each leg's mass [kg], out and back, and its middle."""
    per_m = 2.0 * catalogue.wire(wire).area_m2 * COPPER_KG_M3 * INSULATED
    for leg in design.layout.routes[circuit].legs:
        a, b = leg.start, leg.end
        yield per_m * leg.length_m, ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2)
