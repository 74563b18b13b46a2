"""A lesson on the page: nothing of the answer is worked out, let alone shown, until a number has been committed."""

from __future__ import annotations

import os
from collections.abc import Callable
from html import escape

import ipywidgets as widgets

from trailerlib.bench import lesson_words
from trailerlib.bench.keys import Keys
from trailerlib.bench.lesson_style import CLOSED, LESSON_STYLE
from trailerlib.bench.lesson_turn import TurnBox
from trailerlib.bench.look_here import LookHere
from trailerlib.bench.number_field import NumberField, guarded
from trailerlib.bench.problem_box import ProblemBox
from trailerlib.bench.progress import Progress
from trailerlib.design.files import read_design, shipped_trailers
from trailerlib.studies.lessons.book import lesson as lesson_of
from trailerlib.studies.lessons.problem import Judged, Problem, judge, unbroken

OWNER_VARIABLE = "TRAILERLIB_OWNER"


class LessonPage:
    """The parts of one lesson, each to be shown in a cell of its own; all but the first open with the commit."""

    def __init__(self, key: str) -> None:
        self.lesson = lesson_of(key)
        self.design, self.other = (
            read_design(shipped_trailers()[name]) for name in (self.lesson.trailer, self.lesson.other)
        )
        self.progress = Progress()
        self.found: Judged | None = None
        self.opened = False
        self._when: list[Callable[[], None]] = []
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
        self.when_open(self.turn.unlock)
        self.when_open(self.transfer.unlock)
        if os.environ.get(OWNER_VARIABLE):
            self._open(None)

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

    def when_open(self, call: Callable[[], None]) -> None:
        """Do something once the number has been committed."""
        self._when.append(call)
        if self.opened:
            call()

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
        self.opened, self.found = True, found
        self.commit.close_field()
        for call in self._when:
            call()

    def _reveal(self) -> str:
        return lesson_words.compared(self.question, self.found) + lesson_words.prose(self.lesson.why)


class CommitBox(widgets.VBox):
    """The question, the field, and the two ways on."""

    def __init__(self, page: LessonPage) -> None:
        problem = page.question
        words = widgets.HTML(f'<p class="trailer-read"><b>{escape(unbroken(problem.words))}</b></p>')
        self._field = NumberField(page.lesson.title, "Commit", page.take)
        self._field.ask(problem)
        self._skip = widgets.Button(description="Skip (owner)", layout={"width": "auto"})
        self._skip.tooltip = "Open everything without a number; with a name above, it is kept as a skip"
        self._skip.add_class("trailer-skip")
        self._skip.on_click(lambda _: page.skip())
        self.field = self._field
        super().__init__([
            widgets.HTML(LESSON_STYLE), words, widgets.HTML(lesson_words.recalled(page.lesson.recalls)),
            page.progress.name, self._field,
            widgets.HBox([self._skip]), Keys(), LookHere(),
        ])  # fmt: skip
        self.add_class("trailer")
        self.add_class("trailer-lesson")

    def say(self, html: str) -> None:
        """Show this under the field."""
        self._field.say(html)

    def close_field(self) -> None:
        """A number is committed once."""
        self._field.enable(False)
        self._skip.disabled = True


class Opening(widgets.VBox):
    """Something that is made, not merely shown, once the number has been committed."""

    def __init__(self, page: LessonPage, make: Callable[[], str]) -> None:
        self._words = widgets.HTML(CLOSED)
        self._make, self._name = make, page.lesson.title
        super().__init__([widgets.HTML(LESSON_STYLE), self._words])
        self.add_class("trailer")
        self.add_class("trailer-lesson")
        page.when_open(self._open)

    def _open(self) -> None:
        with guarded(self._name, self._show):
            self._words.value = self._make()

    def _show(self, html: str) -> None:
        self._words.value = html

    @property
    def html(self) -> str:
        """What it shows."""
        return str(self._words.value)


def lesson(key: str) -> LessonPage:
    """The parts of a lesson by its key, such as ``L1``."""
    return LessonPage(key)
