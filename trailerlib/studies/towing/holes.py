"""What sits in openings and is no load: its mass and where it is."""

from __future__ import annotations

from trailerlib.design import catalogue
from trailerlib.design.model import Opening, Trailer
from trailerlib.studies.towing.result import Point


def opening_kg(opening: Opening) -> float | None:
    """Mass of what sits in an opening [kg]: as stated, else by its class and size; None where neither says.

    Parameters
    ----------
    opening : one that no load of its name sits in
    """
    if opening.mass is not None:
        return opening.mass
    if opening.kind == "roof fan":
        return catalogue.mass_kg("roof fan low")
    per_m2 = catalogue.mass_kg(opening.kind)
    return None if per_m2 is None else per_m2 * opening.area_m2


def opening_place(box: Trailer, opening: Opening) -> Point:
    """Its middle [m from the nose wall, from the road side, above the floor]."""
    first, second = opening.at
    return {
        "roof": (first, second, box.height),
        "road": (first, 0.0, second),
        "curb": (first, box.width, second),
        "nose": (0.0, first, second),
        "rear": (box.length, first, second),
    }[opening.wall]
