"""Will the roof carry it? Design → bows, openings and what they meet, build-up and spacer frames, ways out."""

from __future__ import annotations

from trailerlib.design.design import Design
from trailerlib.design.errors import DesignError
from trailerlib.design.model import Opening
from trailerlib.studies.answer import Answer
from trailerlib.studies.roof import words
from trailerlib.studies.roof.checks import findings
from trailerlib.studies.roof.drawn import picture_of
from trailerlib.studies.roof.result import on_roof, result_of
from trailerlib.studies.roof.working import working


def answer(design: Design, opening: str | None = None) -> Answer:
    """Whether the bows carry what sits in the roof, and whether every opening fits where it is cut.

    Parameters
    ----------
    design : the design
    opening : name of the opening that is looked at; None takes the first of the roof

    Raises
    ------
    DesignError
        When the design has no opening of that name.
    """
    focus = focus_of(design, opening)
    found = result_of(design)
    checks = findings(design, found)
    return Answer(
        question="roof",
        title="Will the roof carry it?",
        system=design.units,
        sentence=words.sentence(found, design, checks),
        numbers=words.numbers(found, design, focus),
        columns=words.COLUMNS,
        show_rows=lambda: words.rows(design, found),
        checks=checks,
        picture=picture_of(design, found, checks, focus),
        show_working=lambda: tuple(working(design, found, focus)),
        show_beside=lambda: words.beside(design, found),
    )


def focus_of(design: Design, name: str | None) -> Opening | None:
    """The opening of that name; without one the first of the roof, else the first of all."""
    if name is None:
        return next(iter((*on_roof(design), *design.openings)), None)
    found = next((o for o in design.openings if o.name == name), None)
    if found is None:
        offer = ", ".join(f'"{o.name}"' for o in design.openings) or "none yet"
        raise DesignError(f'there is no opening called "{name}"; there are: {offer}.')
    return found
