"""One question each: a design goes in, an answer comes out. The only place where the three wings meet."""

from __future__ import annotations

from collections.abc import Callable
from types import MappingProxyType
from typing import Any

from trailerlib.design.design import Design
from trailerlib.design.errors import DesignError
from trailerlib.studies import cooling, generator, loads, night, roof, towing, what_trips, wiring
from trailerlib.studies.answer import Answer, Assessment
from trailerlib.studies.trip import question as trip_question

STUDIES: dict[str, Callable[..., Answer]] = {
    "loads": loads.answer,
    "night": night.answer,
    "trip": trip_question.answer,
    "wiring": wiring.answer,
    "mains": what_trips.answer,
    "generator": generator.answer,
    "cooling": cooling.answer,
    "roof": roof.answer,
    "towing": towing.answer,
}


def study(question: str, design: Design, **choices: Any) -> Answer:
    """The answer to one question about a design.

    Parameters
    ----------
    question : ``loads``, ``night``, ``trip``, ``wiring``, ``mains``, ``generator``, ``cooling``, ``roof`` or
        ``towing``
    design : the design
    choices : what the study lets one choose, such as ``hours=9`` for the night

    Raises
    ------
    DesignError
        When there is no such question, or a choice names a part that does not exist.
    """
    if question not in STUDIES:
        raise DesignError(f'there is no question "{question}"; there are: {", ".join(STUDIES)}.')
    return STUDIES[question](design, **choices)


def assess(design: Design) -> Assessment:
    """Every study of a design, and all findings together."""
    answers = {question: ask(design) for question, ask in STUDIES.items()}
    return Assessment(design.title, design.units, MappingProxyType(answers))
