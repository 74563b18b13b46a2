"""Keeping what a learner commits: the name on the page, the file that goes with it, and what it holds already."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import ipywidgets as widgets

from trailerlib import quantities, units
from trailerlib.bench.same_browser import SameBrowser
from trailerlib.design.errors import DesignError
from trailerlib.design.learner import (
    END,
    Attempt,
    Learner,
    learner_path,
    learners_folder,
    read_learner,
    save_learner,
)
from trailerlib.studies.lessons.problem import Judged, Problem, judge
from trailerlib.units import shorten


class Progress:
    """The learner on this page. Without a name nothing is kept, and the page says so."""

    def __init__(self) -> None:
        self.name = widgets.Text(
            description="Your name", value=_only_one(), placeholder="to keep what you commit", continuous_update=False,
            layout={"width": "320px"}, style={"description_width": "92px"},
        )  # fmt: skip
        self.name.add_class("trailer-learner")
        self.browser = SameBrowser(name=self.name.value)
        self.name.observe(self._tell_browser, "value")
        self.browser.observe(self._hear_browser, "name")

    def _tell_browser(self, change: Any) -> None:
        self.browser.name = self.name.value.strip()

    def _hear_browser(self, change: Any) -> None:
        """The name that was last used in this browser, where no name stands yet."""
        if not self.name.value.strip():
            self.name.value = self.browser.name

    @property
    def file(self) -> str:
        """The name of this learner's file; empty without a name.

        Raises
        ------
        DesignError
            When the name has no letters.
        """
        return learner_path(self.name.value).name if self.name.value.strip() else ""

    def of(self, lesson: str) -> tuple[Attempt, ...]:
        """What this learner has committed in a lesson, in its order; nothing without a name or a file.

        Parameters
        ----------
        lesson : its key

        Raises
        ------
        DesignError
            When the name is none, or the file cannot be read.
        """
        if not self.name.value.strip() or not (file := learner_path(self.name.value)).exists():
            return ()
        return tuple(one for one in read_learner(file).attempts if one.lesson == lesson)

    def keep(self, problem: Problem, found: Judged | None, shown: bool) -> str:
        """Add an attempt to the learner's file, and say what became of it.

        Parameters
        ----------
        problem : what was asked
        found : how the number was judged; None when it was skipped
        shown : whether the answer has been shown with it

        Raises
        ------
        DesignError
            When the name is none, or the file cannot be written.
        """
        return self._add(attempt(problem, found, shown))

    def keep_count(self, lesson: str, task: str, found: int, of: int, chosen: Sequence[str] = ()) -> str:
        """Add a hunt to the learner's file: how many were found of how many, and by what.

        Parameters
        ----------
        lesson : its key
        task : what the hunt is called in the file
        found : [-] found
        of : [-] there were
        chosen : what was ticked, measured or mended, so that it can be put back

        Raises
        ------
        DesignError
            When the name is none, or the file cannot be written.
        """
        result = "right" if found == of else "off"
        return self._add(Attempt(lesson, task, float(found), float(of), "found", result, "", _today(), tuple(chosen)))

    def _add(self, one: Attempt) -> str:
        if not self.name.value.strip():
            return "Not kept: there is no name above."
        file = learner_path(self.name.value)
        learner = read_learner(file) if file.exists() else Learner(self.name.value.strip())
        save_learner(learner.with_(one), file)
        return f"Kept in {file.parent.name}/{file.name}."


def attempt(problem: Problem, found: Judged | None, shown: bool) -> Attempt:
    """A judged number as it is kept.

    Parameters
    ----------
    problem : what was asked
    found : how the number was judged; None when it was skipped
    shown : whether the answer has been shown with it
    """
    lesson, _, task = problem.key.partition("/")
    size = problem.unit_size
    answer = float(f"{problem.value / size:.4g}") if shown else None
    day = _today()
    if found is None:
        return Attempt(lesson, task, None, answer, problem.unit, "skipped", "", day)
    kept = Attempt(lesson, task, float(f"{found.said / size:.6g}"), answer, problem.unit, found.verdict, "", day)
    return kept if found.slip is None else replace(kept, slip=found.slip.name)


def judged_then(problem: Problem, kept: Attempt) -> Judged:
    """What the number that was committed then is worth.

    Parameters
    ----------
    problem : what was asked
    kept : an attempt with a number

    Raises
    ------
    DesignError
        When it was asked in a unit that is none of this problem's.
    """
    assert kept.said is not None
    try:
        unit_size = quantities.read(f"1 {kept.asked_in.replace('Ω', 'ohm')}", problem.asks)
    except units.UnitError:
        raise DesignError(
            f'the number kept for this is in "{shorten(kept.asked_in, 20)}", in which it is not asked; commit one anew.'
        ) from None
    return judge(problem, kept.said * unit_size)


def _today() -> str:
    return datetime.date.today().isoformat()


def _only_one() -> str:
    """The name of the learner when there is exactly one file; one that cannot be read is left for when it is used."""
    folder = learners_folder()
    files = list(folder.glob(f"*{END}")) if folder.is_dir() else []
    if len(files) != 1:
        return ""
    try:
        return read_learner(files[0]).name
    except DesignError:
        return ""
