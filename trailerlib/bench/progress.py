"""Keeping what a learner commits: the name on the page, and the file that goes with it."""

from __future__ import annotations

import datetime
from dataclasses import replace

import ipywidgets as widgets

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
from trailerlib.studies.lessons.problem import Judged, Problem


class Progress:
    """The learner on this page. Without a name nothing is kept, and the page says so."""

    def __init__(self) -> None:
        self.name = widgets.Text(
            description="Your name", value=_only_one(), placeholder="to keep what you commit",
            layout={"width": "320px"}, style={"description_width": "92px"},
        )  # fmt: skip
        self.name.add_class("trailer-learner")

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

    def keep_count(self, lesson: str, task: str, found: int, of: int) -> str:
        """Add a hunt to the learner's file: how many were found of how many.

        Parameters
        ----------
        lesson : its key
        task : what the hunt is called in the file
        found : [-] found
        of : [-] there were

        Raises
        ------
        DesignError
            When the name is none, or the file cannot be written.
        """
        result = "right" if found == of else "off"
        return self._add(Attempt(lesson, task, float(found), float(of), "found", result, "", _today()))

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
