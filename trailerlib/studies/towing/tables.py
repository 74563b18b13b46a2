"""The two tables beside the masses: what carries the trailer against its plates, and what holds each heavy thing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from trailerlib import units
from trailerlib.design.model import Restrained, Trailer
from trailerlib.studies.answer import Beside, Column
from trailerlib.studies.towing.hold import Held
from trailerlib.studies.towing.result import TowingPicture

CARRY_COLUMNS = (
    Column("name", "What carries it"),
    Column("load_kg", "Carries", "mass"),
    Column("rating_kg", "May carry", "mass"),
    Column("left_kg", "Left", "mass"),
    Column("used", "Used", "fraction"),
    Column("plate", "By what plate"),
)
CARRY_NOTE = (
    "The empty trailer counts as it was weighed: weigh it again once walls and ceiling are lined. The smallest plate "
    "counts; never exceed one. A mass by its class, boards or size is an estimate (from memory). Measure coupler and "
    "axles with a scale before the first trip."
)
HOLD_NOTE = (
    "Asked and held in each direction, 49 CFR 393.102, and all tie-downs together, 393.106, against working load "
    "limits: written for commercial carriers, used here as a yardstick. What a box or wall contains is not asked for; "
    "the box must hold as much. Straps drawn to half their limit (common practice, no source), friction 0.3 (from "
    "memory)."
)
WAYS = {"forward": "Forward", "rearward": "Backward", "sideways": "Sideways", "downward": "Down"}


def besides(picture: TowingPicture, box: Trailer, held: Sequence[Held]) -> Beside:
    """What carries the trailer, and what holds each heavy thing where there is one.

    Parameters
    ----------
    picture : forces and weights
    box : the plates
    held : what has to be held
    """
    holding = None
    if held:
        rows = tuple(_hold_row(one, picture.system) for one in held)
        holding = Beside("What holds it on the road", _hold_columns(picture.system), rows, HOLD_NOTE)
    return Beside("What carries it", CARRY_COLUMNS, tuple(_carry_rows(picture, box)), CARRY_NOTE, holding)


def _carry_rows(picture: TowingPicture, box: Trailer) -> Iterator[Mapping[str, Any]]:
    ball = None if picture.coupler is None else picture.coupler.load_kg
    yield _carry("ball of the tow vehicle", ball, box.tongue_limit, "the tow vehicle's limit")
    yield _carry("coupler, the whole trailer", picture.gross_kg, box.coupler_rating, "stamped on the coupler")
    yield _carry("the whole trailer", picture.gross_kg, box.gross_rating, "gross rating")
    for axle in picture.axles:
        yield _carry(axle.name, axle.load_kg, box.axle_rating, "axle rating")
    for wheel in picture.wheels:
        yield _carry(wheel.name, wheel.load_kg, wheel.rating_kg, _tyre(box, picture.system))


def _tyre(box: Trailer, system: units.System) -> str:
    if box.tyre_pressure is None or box.tyre_full is None:
        return "tyre, as on its side wall"
    return f"tyre, at {units.show(min(box.tyre_pressure, box.tyre_full), 'pressure', system)}"


def _carry(name: str, load: float | None, rating: float | None, plate: str) -> Mapping[str, Any]:
    known = load is not None and rating is not None
    return {
        "name": name,
        "load_kg": load,
        "rating_kg": rating,
        "left_kg": rating - load if known and load is not None and rating is not None else None,
        "used": load / rating if known and load is not None and rating is not None else None,
        "plate": plate if rating is not None else "not known",
    }


def _hold_columns(system: units.System) -> tuple[Column, ...]:
    unit = units.unit("mass", system)
    return (
        Column("name", "What has to be held"),
        Column("mass_kg", "Mass", "mass"),
        Column("by", "By"),
        *(Column(way, f"{word}, asked / held [{unit}]") for way, word in WAYS.items()),
        Column("all", f"All tie-downs, asked / count [{unit}]"),
    )


def _hold_row(one: Held, system: units.System) -> Mapping[str, Any]:
    """A thing, what holds it, and in each direction what is asked and held."""
    ways = dict.fromkeys(WAYS, "contained")
    for way, asked in one.asked_kg.items():
        ways[way] = _two(asked, None if one.loose is None else one.holds_kg[way], system)
    both = _two(one.half_kg, one.counted_kg, system)
    return {"name": one.name, "mass_kg": one.mass_kg, "by": held_by(one.by, system), **ways, "all": both}


def _two(asked: float, held: float | None, system: units.System) -> str:
    first, second = (
        "not known" if value is None else units.figures(units.outside(value, "mass", system)) for value in (asked, held)
    )
    return f"{first} / {second}"


def held_by(part: Restrained, system: units.System) -> str:
    """Straps with their limit and angle, and bolts, in words.

    Parameters
    ----------
    part : what the design says of it
    system : ``us`` or ``metric``
    """
    if part.straps is None and part.bolts is None:
        return "not said"
    said = [*_straps(part, system), *_bolts(part, system)]
    return " and ".join(said) if said else "nothing"


def _straps(part: Restrained, system: units.System) -> Iterator[str]:
    if not part.straps:
        return
    way = "over it" if part.strap_way == "over" else "to it"
    angle = "angle not known" if part.strap_angle is None else f"{part.strap_angle:g}° from the floor"
    yield f"{part.straps} strap{'s' if part.straps > 1 else ''} {way}, {_limit(part.strap_limit, system)}, {angle}"


def _bolts(part: Restrained, system: units.System) -> Iterator[str]:
    if part.bolts:
        yield f"{part.bolts} bolt{'s' if part.bolts > 1 else ''}, {_limit(part.bolt_limit, system)}"


def _limit(value: float | None, system: units.System) -> str:
    return "limit not known" if value is None else f"{units.show(value, 'mass', system)} each"
