"""A trailer of one's own from a dozen answers: a whole design file, every line that was not asked marked as assumed.

What is assumed is common practice of a small box trailer, no source: each such line ends in ``# assumed`` and wants to
be looked at. What would be a guess with consequences (masses, ratings, what a plate says) is left out instead, so that
what depends on it reads "not checked".
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

from trailerlib import units
from trailerlib.design.begin_answers import NONE, Answers
from trailerlib.design.begin_box import BoxLines
from trailerlib.design.begin_pen import MARK, Pen
from trailerlib.design.begin_stays import StayLines
from trailerlib.design.begin_wiring import WiringLines
from trailerlib.design.design import Design, Origin, design_from
from trailerlib.design.errors import DesignError
from trailerlib.design.keeping import digest, keep, parse
from trailerlib.design.model import plain_text

SMALLEST_M = (2.4, 1.4, 1.4)


def begun(answers: Answers) -> str:
    """The text of a design file.

    Parameters
    ----------
    answers : what was asked

    Raises
    ------
    DesignError
        When an answer makes no trailer.
    """
    _sound(answers)
    text = "\n".join(_lines(answers)) + "\n"
    design_from(parse(text))
    return text


def begin(answers: Answers, file: Path, before: Design | None) -> Design:
    """Write a begun design to a file; the design that was there goes into the history, never lost.

    Parameters
    ----------
    answers : what was asked
    file : where
    before : the design that is open there; None when there is no file yet

    Raises
    ------
    DesignError
        When an answer makes no trailer, or the file has changed on disk since it was opened.
    """
    body = begun(answers)

    def render(_: str | None, revision: int) -> str:
        return body.replace("revision = 1", f"revision = {revision}", 1)

    text = keep(
        file.resolve(), None if before is None else before.origin, 1 if before is None else before.revision, render
    )
    made = design_from(parse(text))
    made._origin = Origin(str(file.resolve()), digest(text))
    return made


def assumed_lines(text: str) -> int:
    """How many lines of a design file are still marked as assumed.

    Parameters
    ----------
    text : the file
    """
    return sum(line.rstrip().endswith(f"# {MARK}") for line in text.splitlines())


def _sound(answers: Answers) -> None:
    try:
        plain_text(answers.title)
    except ValueError as error:
        raise DesignError(f"the name of the trailer: {error}") from None
    if not answers.title.strip():
        raise DesignError("the trailer has no name yet; write one, such as My trailer.")
    show = [units.show(one, "length", answers.system) for one in SMALLEST_M]
    for words, value, least, least_shown in zip(
        ("length", "width", "height"), (answers.length, answers.width, answers.height), SMALLEST_M, show, strict=True
    ):
        if value < least:
            raise DesignError(
                f"the {words} of the box is under {least_shown}; nobody works in less. Measure it inside."
            )
    if answers.coldest > answers.hottest:
        raise DesignError("the coldest night is warmer than the hottest day; exchange the two.")
    if answers.cooler != NONE and not answers.has_mains:
        raise DesignError("a roof cooler wants a supply or a generator; pick one, or no cooler.")


def _lines(ask: Answers) -> Iterator[str]:
    """The whole file, part by part."""
    box, wiring, pen = BoxLines(ask), WiringLines(ask), Pen(ask)
    yield f"# {ask.title}: begun from a dozen answers."
    yield f"# A line that ends in “{MARK}” was not asked: look at it, measure, change it, then take the mark away."
    yield "# Masses, ratings and what stands on plates are left out: what depends on them reads “not checked”."
    yield ""
    yield f"title = {json.dumps(ask.title, ensure_ascii=False)}"
    yield "revision = 1"
    yield f'units = "{ask.system}"'
    yield pen.kept("practice", '"north-america"')
    yield 'fuse_block = "fuse block"'
    if ask.has_mains:
        yield 'panel = "mains panel"'
    for part in (box.who, box.box, box.places, box.raceways, wiring.battery, wiring.battery_loads):
        yield from part()
    if ask.has_mains:
        yield from wiring.mains()
    for part in (StayLines(ask).stays, box.shell, box.openings):
        yield from part()
