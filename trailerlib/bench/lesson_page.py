"""A lesson on the page: nothing of the answer is worked out, let alone shown, until a number has been committed.

What a learner committed earlier is put back from the learner's file, when the page is run anew or a name is written.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from html import escape
from typing import Any, Protocol

import ipywidgets as widgets

from trailerlib.bench import lesson_words
from trailerlib.bench.button import button
from trailerlib.bench.keys import Keys
from trailerlib.bench.lesson_style import CLOSED, LESSON_STYLE
from trailerlib.bench.lesson_turn import TurnBox
from trailerlib.bench.look_here import LookHere
from trailerlib.bench.number_field import NumberField, guarded
from trailerlib.bench.problem_box import ProblemBox
from trailerlib.bench.progress import Progress, judged_then
from trailerlib.design.errors import DesignError
from trailerlib.design.files import read_design, shipped_trailers
from trailerlib.design.learner import Attempt
from trailerlib.studies.lessons.book import lesson as lesson_of
from trailerlib.studies.lessons.problem import Judged, Problem, judge, unbroken

OWNER_VARIABLE = "TRAILERLIB_OWNER"


class Part(Protocol):
    """A part of the page that opens with the commit, closes when somebody else comes, and can be put back."""

    def unlock(self) -> None:
        """The number stands."""

    def lock(self) -> None:
        """Somebody else is here, who has committed nothing yet."""

    def put_back(self, kept: Sequence[Attempt]) -> None:
        """Show again what this learner has committed in this lesson."""


class LessonPage:
    """The parts of one lesson, each to be shown in a cell of its own; all but the first open with the commit."""

    def __init__(self, key: str) -> None:
        self.lesson = lesson_of(key)
        self.design, self.other = (
            read_design(shipped_trailers()[name]) for name in (self.lesson.trailer, self.lesson.other)
        )
        self.progress = Progress()
        self.found: Judged | None = None
        self.opened, self._whose = False, ""
        self._parts: list[Part] = []
        self.commit = CommitBox(self)
        self.reveal = Opening(self, self._reveal)
        self.formula = Opening(self, lambda: lesson_words.formulas(self.question.working, self.design.units))
        self.rule = Opening(self, lambda: lesson_words.rule(self.lesson))
        self.turn = TurnBox(self.lesson, self.design)
        self.transfer = ProblemBox(
            self.lesson.key, lambda number: self.lesson.task(self.other), self.progress, numbered=False
        )
        self.practice = ProblemBox(
            self.lesson.key, lambda number: self.lesson.problem(number, self.design.units), self.progress
        )
        for part in (self.turn, self.transfer, self.practice):
            self.add(part)
        if os.environ.get(OWNER_VARIABLE):
            self._open(None)
        else:
            self.progress.name.observe(self._somebody, "value")
            self._somebody()

    @property
    def question(self) -> Problem:
        """The number to commit; worked out anew each time, so that it lies nowhere in wait."""
        return self.lesson.question(self.design)

    @property
    def seen(self) -> str:
        """What can be seen and measured, as text."""
        rows = self.lesson.see(self.design)
        wide = max(len(name) for name, _ in rows)
        return "\n".join(f"{name:<{wide}}  {value}" for name, value in rows)

    def add(self, part: Part) -> None:
        """Let a part open and close with the page, and put back in it what was committed there.

        Parameters
        ----------
        part : it
        """
        self._parts.append(part)
        if self.opened:
            part.unlock()
        part.put_back(self._kept())

    def _kept(self) -> tuple[Attempt, ...]:
        """What this learner has committed here; nothing where the file cannot be read, as is said elsewhere."""
        try:
            return self.progress.of(self.lesson.key)
        except DesignError:
            return ()

    def _somebody(self, change: Any = None) -> None:
        """Another name stands on the page: what that learner committed is put back, and nobody else's stays."""
        with guarded(self.lesson.title, self.commit.say):
            if self.opened and not self._whose:
                return  # opened here and now without a name
            kept, whose = self.progress.of(self.lesson.key), self.progress.file
            if whose == self._whose:
                return
            if self._whose:
                self._close()
            self._whose = whose
            first = next((one for one in kept if one.task == "question"), None)
            if first is not None:
                self._again(first)
            for part in self._parts:
                part.put_back(kept)

    def _again(self, first: Attempt) -> None:
        """The number that was committed first stands again, with all that opens with it."""
        problem = self.question
        found = None if first.said is None else judged_then(problem, first)
        on = f" on {first.on}" if first.on else ""
        words = "Skipped" if found is None else f"{problem.shown(found.said)}, committed"
        by = self.progress.name.value.strip()
        words = f"{words} by {by}{on}. Somebody else writes another name."
        self.commit.say(lesson_words.note("put back", "✓", "holds", words))
        self.commit.field.put_back(first)
        self._open(found)

    def take(self, said: float) -> None:
        """Commit a number.

        Parameters
        ----------
        said : [inside unit of what is asked] the number
        """
        problem = self.question
        found = judge(problem, said)
        kept = self.progress.keep(problem, found, True)
        self.commit.say(lesson_words.note("committed", "✓", "holds", f"{problem.shown(said)}. {kept}"))
        self._open(found)

    def skip(self) -> None:
        """Open everything without a number, for the owner; with a name on the page the skip is kept as one."""
        with guarded(self.lesson.title, self.commit.say):
            kept = self.progress.keep(self.question, None, True) if self.progress.name.value.strip() else ""
            self.commit.say(lesson_words.note("skipped", "●", "note", kept or "Nothing is kept."))
            self._open(None)

    def _open(self, found: Judged | None) -> None:
        if self.opened:
            return
        self.opened, self.found, self._whose = True, found, self.progress.file
        self.commit.close_field(True)
        for part in self._parts:
            part.unlock()

    def _close(self) -> None:
        self.opened, self.found, self._whose = False, None, ""
        self.commit.close_field(False)
        self.commit.clear()
        for part in self._parts:
            part.lock()

    def _reveal(self) -> str:
        return lesson_words.compared(self.question, self.found) + lesson_words.prose(self.lesson.why)


class CommitBox(widgets.VBox):
    """The question, the field, and the two ways on."""

    def __init__(self, page: LessonPage) -> None:
        problem = page.question
        words = widgets.HTML(f'<p class="trailer-read"><b>{escape(unbroken(problem.words))}</b></p>')
        self.field = NumberField(page.lesson.title, "Commit", page.take)
        self.field.ask(problem)
        told = "Open everything without a number; with a name above, it is kept as a skip"
        self._skip = button("Skip (owner)", told, page.skip, "skip")
        super().__init__([
            widgets.HTML(LESSON_STYLE), words, widgets.HTML(lesson_words.recalled(page.lesson.recalls)),
            page.progress.name, self.field,
            widgets.HBox([self._skip]), Keys(), LookHere(), page.progress.browser,
        ])  # fmt: skip
        self.add_class("trailer")
        self.add_class("trailer-lesson")

    def say(self, html: str) -> None:
        """Show this under the field."""
        self.field.say(html)

    def close_field(self, closed: bool) -> None:
        """A number is committed once by each learner."""
        self.field.enable(not closed)
        self._skip.disabled = closed

    def clear(self) -> None:
        """No number and no word under it."""
        self.field.text.value = ""
        self.say("")


class Opening(widgets.VBox):
    """Something that is made, not merely shown, once the number has been committed."""

    def __init__(self, page: LessonPage, make: Callable[[], str]) -> None:
        self._words = widgets.HTML(CLOSED)
        self._make, self._name = make, page.lesson.title
        super().__init__([widgets.HTML(LESSON_STYLE), self._words])
        self.add_class("trailer")
        self.add_class("trailer-lesson")
        page.add(self)

    def unlock(self) -> None:
        """Make it and show it."""
        with guarded(self._name, self._show):
            self._words.value = self._make()

    def lock(self) -> None:
        """Take it off the page."""
        self._words.value = CLOSED

    def put_back(self, kept: Sequence[Attempt]) -> None:
        """It shows nothing of its own."""

    def _show(self, html: str) -> None:
        self._words.value = html

    @property
    def html(self) -> str:
        """What it shows."""
        return str(self._words.value)


def lesson(key: str) -> LessonPage:
    """The parts of a lesson by its key, such as ``L1``."""
    return LessonPage(key)
