"""Will it stay cool, and is there air? Design → heat of the hot day, the cooler, the cold night, the sleepers' air."""

from __future__ import annotations

from trailerlib.design.design import Design
from trailerlib.studies.answer import Answer, Later
from trailerlib.studies.cooling import words
from trailerlib.studies.cooling.checks import findings
from trailerlib.studies.cooling.drawn import picture_of
from trailerlib.studies.cooling.result import result_of
from trailerlib.studies.cooling.working import working
from trailerlib.studies.loads import side_volts


def answer(design: Design) -> Answer:
    """How warm the box gets, what the cooler and the heater must do, and what the sleepers breathe.

    Parameters
    ----------
    design : the design
    """
    found = result_of(design)
    checks = findings(design, found)
    picture = picture_of(found, design)
    return Answer(
        question="cooling",
        title="Will it stay cool, and is there air?",
        system=design.units,
        sentence=words.sentence(found, design, checks),
        numbers=Later(lambda: words.numbers(found, side_volts(design, "dc"))),
        columns=words.COLUMNS,
        show_rows=lambda: words.rows(picture.heat, found),
        checks=checks,
        picture=picture,
        show_working=lambda: working(found, design),
        show_beside=lambda: words.beside(found, design),
    )
