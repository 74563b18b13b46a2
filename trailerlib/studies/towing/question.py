"""Will it tow straight? Design → weights, coupler, axles and tyres against their ratings, and what holds things."""

from __future__ import annotations

from collections.abc import Sequence

from trailerlib.design.design import Design
from trailerlib.design.errors import DesignError
from trailerlib.design.model import Trailer
from trailerlib.physics import tyre
from trailerlib.rules import road, tyres
from trailerlib.rules.finding import Finding, Severity, not_so, worst
from trailerlib.studies.answer import Answer
from trailerlib.studies.towing import hold, tables, words
from trailerlib.studies.towing.lie import USUAL_FLOOR_M, Lie, axles_of, lie_of, strips_of, tyre_kg
from trailerlib.studies.towing.masses import aboard
from trailerlib.studies.towing.result import Box, Force, Strip, Thing, TowingPicture
from trailerlib.studies.towing.working import working

ORDINAL = ("front", "middle", "rear")


def answer(design: Design, thing: str | None = None, parked: bool = False) -> Answer:
    """How the loaded trailer lies on coupler, axles and tyres, and where one thing may stand.

    Parameters
    ----------
    design : the design
    thing : name of something that is moved by hand (battery, generator, cargo, tank), to say where it may stand
    parked : with what is aboard only while the trailer stands; ratings for the road are then not asked

    Raises
    ------
    DesignError
        When nothing of that name is aboard and moved by hand.
    """
    things, left_out = aboard(design, parked=parked)
    lie = lie_of(design.trailer, things)
    found = [] if parked else checks(design, left_out, lie)
    picture = picture_of(design, things, lie, found)
    focus = _focus(picture, thing)
    held = hold.held(design, things)
    standing = lie if parked else lie_of(design.trailer, aboard(design, parked=True)[0])
    found = [*found, road.coupler_stays_down(None if standing is None else standing.tongue_kg)]
    found += [] if parked else hold.checks(held)
    return Answer(
        question="towing",
        title="Will it tow straight?",
        system=design.units,
        sentence=words.standing(picture) if parked else words.sentence(picture, found, design.units),
        numbers=words.numbers(picture, lie, focus),
        columns=words.COLUMNS,
        show_rows=lambda: words.rows(picture, lie),
        checks=tuple(found),
        picture=picture,
        show_working=lambda: tuple(working(design, lie, focus, picture, held)),
        show_beside=lambda: tables.besides(picture, design.trailer, held),
    )


def _focus(picture: TowingPicture, name: str | None) -> Strip | None:
    if name is None:
        return None
    movable = [thing.name for thing in picture.things if thing.path is not None]
    if name not in movable:
        offer = ", ".join(f'"{one}"' for one in movable) or "none yet"
        raise DesignError(f'there is nothing called "{name}" aboard that is moved by hand; there are: {offer}.')
    return picture.strip_of(name)


def checks(design: Design, left_out: Sequence[str], lie: Lie | None) -> list[Finding]:
    """Coupler, gross, axles, tyres and sides; what is left out."""
    box, subject = design.trailer, "trailer"
    gross, tongue, share = (None, None, None) if lie is None else (lie.gross_kg, lie.tongue_kg, lie.share)
    found = [
        road.tongue_light(subject, share),
        road.tongue_heavy(subject, share),
        road.tongue_limit(subject, tongue, box.tongue_limit),
        road.gross_rating(subject, gross, box.gross_rating),
        road.coupler_rating(subject, gross, box.coupler_rating),
    ]
    for force in _axles(box_of(design), lie, box.axle_rating):
        found.append(road.axle_rating(force.name, force.load_kg, force.rating_kg))
    if lie is None:
        found.append(road.axle_rating("axles", None, box.axle_rating))
    wheels = _wheels(box_of(design), lie, tyre_kg(box))
    for wheel in wheels:
        found.append(tyres.tyre_rating(wheel.name, wheel.load_kg, wheel.rating_kg))
    if wheels:
        heaviest = max(wheels, key=lambda wheel: wheel.load_kg)
        found.append(tyres.tyre_reserve(heaviest.name, heaviest.load_kg, heaviest.rating_kg))
        found.append(tyres.tyre_pressure(heaviest.name, box.tyre_pressure, _air_needed_pa(box, heaviest.load_kg)))
    else:
        found.append(tyres.tyre_rating("tyres", None, box.tyre_rating))
        found.append(tyres.tyre_pressure("tyres", box.tyre_pressure, None))
    found.append(tyres.tyre_hard(box.tyre_pressure, box.tyre_full))
    found.append(tyres.tyres_match_axle(None if box.tyre_rating is None else 2 * box.tyre_rating, box.axle_rating))
    side, part = _heavier(lie)
    found.append(road.side_to_side(side, part))
    if box.axles > 1:
        found.append(road.axles_share(not_so(box.equaliser)))
    return [*found, *(road.left_out(name, True) for name in left_out)]


def _air_needed_pa(box: Trailer, load_kg: float) -> float | None:
    if box.tyre_rating is None or box.tyre_full is None:
        return None
    return float(tyre.needs_pa(load_kg, box.tyre_rating, box.tyre_full))


def _heavier(lie: Lie | None) -> tuple[str, float | None]:
    if lie is None or lie.sides_kg is None or lie.wheels_kg <= 0:
        return "one side", None
    left, right = lie.sides_kg
    return ("the road side", left / lie.wheels_kg) if left >= right else ("the curb side", right / lie.wheels_kg)


def box_of(design: Design) -> Box:
    """The trailer as it is drawn; what is not given is drawn as is usual."""
    box = design.trailer
    return Box(
        box.length,
        box.width,
        box.height,
        box.nose,
        box.coupler_x,
        USUAL_FLOOR_M if box.floor is None else box.floor,
        axles_of(box),
        box.width if box.track is None else box.track,
        design.openings,
    )


def picture_of(design: Design, things: tuple[Thing, ...], lie: Lie | None, found: Sequence[Finding]) -> TowingPicture:
    """What is drawn, each force with the worst word said of it."""
    box, trailer = box_of(design), design.trailer
    lacks = words.missing(trailer, any(thing.bare for thing in things))
    coupler = None
    if lie is not None:
        word = _word(found, ("tongue-too-light", "tongue-too-heavy", "tongue-limit"), "trailer")
        coupler = Force("coupler", box.coupler_x, box.width / 2, lie.tongue_kg, trailer.tongue_limit, word)
    sides = None if lie is None or lie.sides_kg is None or lie.wheels_kg <= 0 else lie.sides_kg[0] / lie.wheels_kg
    return TowingPicture(
        design.title,
        design.units,
        box,
        things,
        None if lie is None else lie.gross_kg,
        None if lie is None else lie.centre,
        None if lie is None else lie.share,
        words.band(lie, box.coupler_x),
        coupler,
        tuple(_worded(force, found, ("axle-rating",)) for force in _axles(box, lie, trailer.axle_rating)),
        tuple(_worded(force, found, ("tyre-rating", "tyre-pressure")) for force in _wheels(box, lie, tyre_kg(trailer))),
        sides,
        _word(found, ("side-to-side",), None),
        strips_of(trailer, things, lie, design.units),
        lacks,
    )


def _worded(force: Force, found: Sequence[Finding], rules: tuple[str, ...]) -> Force:
    return Force(force.name, force.x, force.y, force.load_kg, force.rating_kg, _word(found, rules, force.name))


def _word(found: Sequence[Finding], rules: tuple[str, ...], subject: str | None) -> Severity:
    """The worst word that some rules say of a subject."""
    return worst([f for f in found if f.rule in rules and subject in (None, f.subject)])


def _axles(box: Box, lie: Lie | None, rating: float | None) -> list[Force]:
    if lie is None:
        return []
    names = _names(len(box.axles))
    return [
        Force(f"{name}axle", x, box.width / 2, load, rating)
        for name, x, load in zip(names, box.axles, lie.axle_kg, strict=True)
    ]


def _names(count: int) -> list[str]:
    return {1: [""], 2: ["front ", "rear "]}.get(count, [f"{word} " for word in ORDINAL])


def _wheels(box: Box, lie: Lie | None, rating: float | None) -> list[Force]:
    if lie is None or lie.sides_kg is None:
        return []
    middle = box.width / 2
    return [
        Force(f"{name}{side} wheel", x, middle + way * box.track / 2, load * share, rating)
        for name, x, share in zip(_names(len(box.axles)), box.axles, lie.shares, strict=True)
        for side, way, load in (("left", -1, lie.sides_kg[0]), ("right", 1, lie.sides_kg[1]))
    ]
