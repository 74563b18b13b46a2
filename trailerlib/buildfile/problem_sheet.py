"""Problems on paper: a sheet to work on, and the key with every working, from the same numbers."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

from trailerlib import units
from trailerlib.buildfile import mathtext
from trailerlib.buildfile.free_place import write_free
from trailerlib.buildfile.paper import compiled
from trailerlib.design.errors import DesignError
from trailerlib.physics.formula import Worked, number_latex
from trailerlib.studies.lessons.book import lesson
from trailerlib.studies.lessons.letters import letters
from trailerlib.studies.lessons.problem import Problem, unbroken

TEMPLATE = Path(__file__).with_name("problem-sheet.typ")
MOST, LAST = 40, 9999


def write_problem_sheet(
    folder: str | os.PathLike[str], key: str, first: int = 1, count: int = 8, system: units.System = "us"
) -> dict[str, Path]:
    """Write the sheet and its answer key as PDF.

    Parameters
    ----------
    folder : where; it is made when it does not exist, and nothing there is overwritten
    key : of the lesson, such as ``L1``
    first : [-] number of the first problem, from 1
    count : [-] how many
    system : ``us`` or ``metric``

    Returns
    -------
    dict of str to Path
        ``problems`` and ``answers``.

    Raises
    ------
    DesignError
        When there is no such lesson, the numbers are none, or the folder cannot be written.
    """
    if not 1 <= count <= MOST or not 1 <= first <= LAST - MOST:
        raise DesignError(f"a sheet has 1 to {MOST} problems, the first from 1 to {LAST - MOST}; write such numbers.")
    span = f"{first}-{first + count - 1}"
    return {
        name: write_free(
            Path(folder), f"{key} {name} {span} {system}", ".pdf", sheet(key, first, count, system, answers)
        )
        for name, answers in (("problems", False), ("answers", True))
    }


def sheet(key: str, first: int, count: int, system: units.System, answers: bool) -> bytes:
    """One sheet as PDF; the same numbers give the same bytes.

    Parameters
    ----------
    key : of the lesson
    first : [-] number of the first problem
    count : [-] how many
    system : ``us`` or ``metric``
    answers : whether it is the key

    Raises
    ------
    DesignError
        When there is no such lesson.
    """
    one = lesson(key)
    numbers = range(first, first + count)
    data = {
        "lesson": key,
        "title": one.title,
        "answers": answers,
        "metric": system == "metric",
        "rule": one.rule,
        "problems": [_problem(number, one.problem(number, system), answers) for number in numbers],
    }
    return compiled(TEMPLATE, {"data": json.dumps(data, ensure_ascii=False)})


def _problem(number: int, problem: Problem, answers: bool) -> dict[str, Any]:
    """What stands on the page; the sheet to work on is handed nothing of the answer."""
    found: dict[str, Any] = {
        "number": number,
        "words": unbroken(problem.words),
        "unit": problem.unit,
        "within": f"{100.0 * problem.tolerance:g} %",
    }
    if answers:
        known = [slip for slip in problem.slips if "thousand" not in slip.name]
        found["answer"] = problem.answer
        found["steps"] = [_step(step, problem.system) for step in problem.working]
        found["slips"] = [[slip.name, problem.shown(slip.value).replace(" ", "\u00a0")] for slip in known]
    return found


def _step(step: Worked, system: units.System) -> dict[str, Any]:
    """A step: the formula is in metres and kilograms, so what the words give otherwise is said below it."""
    values = dict.fromkeys(letter.value for letter in letters(step, system) if " = " in letter.value)
    return {
        "read": [*values],
        "title": step.title,
        "source": step.source,
        "maths": " \\ &= ".join(
            (
                f"{mathtext.typeset(step.result_symbol)} &= {mathtext.typeset(step.formula)}",
                mathtext.typeset(step.substitution),
                mathtext.typeset(number_latex(step.value)) + mathtext.unit(step.unit),
            )
        ),
    }
