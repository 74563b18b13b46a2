"""All that is worked out for this question."""

from __future__ import annotations

from dataclasses import dataclass

from trailerlib.design.design import Design
from trailerlib.design.model import Opening
from trailerlib.studies.kept import Kept
from trailerlib.studies.roof import build_up, carry, frame, placing
from trailerlib.studies.roof.frame import Framing


@dataclass(frozen=True)
class Result:
    """``carried`` by the name of the opening, those of the roof alone; ``lacks`` what is not known of the bows."""

    framing: Framing | None
    carried: dict[str, carry.Carrying]
    person: carry.Person | None
    conflicts: tuple[placing.Conflict, ...]
    frames: tuple[build_up.Frame, ...]
    lacks: tuple[str, ...]


_FRAMINGS: Kept[Framing] = Kept()
_HUNG: Kept[carry.Hung | None] = Kept()
_CARRIED: Kept[carry.Carrying | None] = Kept()
_PERSONS: Kept[carry.Person | None] = Kept()


def result_of(design: Design) -> Result:
    """The bows, what they carry, what is in the way, and the frames to make."""
    lacks = tuple(frame.missing(design))
    framing = (
        None if lacks else _FRAMINGS.of((design.trailer, design.roof, *design.faces), lambda: frame.framing_of(design))
    )
    carried = {} if framing is None else _all_carried(design, framing)
    person = None
    if framing is not None:
        hung = tuple(carried.values())
        person = _PERSONS.of((framing, design.roof, *hung), lambda: carry.person_on(design, framing, hung))
    return Result(framing, carried, person, placing.conflicts(design), tuple(build_up.frames(design)), lacks)


def _all_carried(design: Design, framing: Framing) -> dict[str, carry.Carrying]:
    """Each opening of the roof with what others, each alone, hang on the same bows.

    None of those of which one cuts a bow that the other hangs on: that is for somebody who answers for it.
    """
    openings = on_roof(design)
    clear = [
        one for one in openings if not any(framing.entangled(one, other) for other in openings if other is not one)
    ]
    together = {}
    for one in clear:
        bows = set(framing.reached_by(one))
        beside = (other for other in clear if other is not one and bows & set(framing.reached_by(other)))
        others = tuple(hung for other in beside if (hung := _hung(design, framing, other)) is not None)
        carried = _carried(design, framing, one, others)
        if carried is not None:
            together[one.name] = carried
    return together


def _hung(design: Design, framing: Framing, opening: Opening) -> carry.Hung | None:
    mass = carry.mass_of(design, opening)
    return _HUNG.of((framing, opening, mass), lambda: carry.hung(design, framing, opening))


def _carried(
    design: Design, framing: Framing, opening: Opening, others: tuple[carry.Hung, ...]
) -> carry.Carrying | None:
    mass = carry.mass_of(design, opening)
    return _CARRIED.of(
        (framing, opening, design.roof, mass, *others), lambda: carry.carrying(design, framing, opening, others)
    )


def on_roof(design: Design) -> tuple[Opening, ...]:
    """The openings of the roof."""
    return tuple(opening for opening in design.openings if opening.wall == "roof")
