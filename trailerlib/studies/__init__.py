"""One question each: a design goes in, an answer comes out. The only place where the three wings meet."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any

from trailerlib.design.design import Design
from trailerlib.design.errors import DesignError
from trailerlib.studies import closing, cooling, generator, loads, night, roof, towing, what_trips, wiring
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
APART = "trade-offs"  # about many designs, so never part of an assessment; loaded when it is asked
WITH_READINGS: dict[str, Callable[..., Answer]] = {"closing": closing.answer}  # asked with what was measured


def study(question: str, design: Design, **choices: Any) -> Answer:
    """The answer to one question about a design.

    Parameters
    ----------
    question : ``loads``, ``night``, ``trip``, ``wiring``, ``mains``, ``generator``, ``cooling``, ``roof``,
        ``towing``, ``closing`` or ``trade-offs``
    design : the design
    choices : what the study lets one choose, such as ``hours=9`` for the night

    Raises
    ------
    DesignError
        When there is no such question, or a choice names a part that does not exist.
    """
    known = {**STUDIES, **WITH_READINGS}
    if question == APART:
        return _trade_offs(design, **choices)
    if question not in known:
        raise DesignError(f'there is no question "{question}"; there are: {", ".join((*known, APART))}.')
    return known[question](design, **choices)


def _trade_offs(design: Design, **choices: Any) -> Answer:
    from trailerlib.studies import trade_offs

    return trade_offs.answer(design, **choices)


def assess(design: Design, readings: Mapping[str, float] | None = None) -> Assessment:
    """Every study of a design, and all findings together; with readings, those that are asked with them too.

    Parameters
    ----------
    design : the design
    readings : [inside unit] of the closing-in test by key of the line, empty when nothing is measured yet; None
        leaves the closing-in test out
    """
    answers = {question: ask(design) for question, ask in STUDIES.items()}
    if readings is not None:
        answers |= {question: ask(design, readings) for question, ask in WITH_READINGS.items()}
    return Assessment(design.title, design.units, MappingProxyType(answers))
