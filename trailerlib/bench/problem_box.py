"""Problems at the bench: a number for an answer, as many tries as it takes, a hint that names the slip."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from html import escape

import ipywidgets as widgets

from trailerlib.bench import lesson_words
from trailerlib.bench.button import button
from trailerlib.bench.keys import Keys
from trailerlib.bench.lesson_style import CLOSED, LESSON_STYLE
from trailerlib.bench.number_field import NumberField, guarded
from trailerlib.bench.progress import Progress, judged_then
from trailerlib.design.learner import Attempt
from trailerlib.studies.lessons.problem import Problem, judge, unbroken

FIRST, MOST = 1, 9999


class ProblemBox(widgets.VBox):
    """One problem at a time. ``make`` gives the problem of a number; it is asked anew whenever it is needed.

    ``numbered`` boxes are open at once and go from problem to problem; the others wait for ``unlock``.
    """

    def __init__(self, name: str, make: Callable[[int], Problem], progress: Progress, numbered: bool = True) -> None:
        self._name, self._make, self._progress = name, make, progress
        self._tries, self._done, self._on_page = 0, False, False
        self._words, self._after, self._tally = widgets.HTML(CLOSED), widgets.HTML(), widgets.HTML()
        self.field = NumberField(name, "Check", self.take)
        self.number = widgets.BoundedIntText(
            value=FIRST, min=FIRST, max=MOST, description="Problem", layout={"width": "180px"},
            style={"description_width": "70px"},
        )  # fmt: skip
        self.number.add_class("trailer-problem-number")
        self.number.observe(lambda change: self._ask(), "value")
        self.another = button("Another", "The next problem", self._next)
        self.show_working = button(
            "Show the working", "Open after the first try; then it is no longer counted", self.give_up
        )
        self._style = widgets.HTML(LESSON_STYLE)
        super().__init__([self._style, self._words])
        self.add_class("trailer")
        self.add_class("trailer-lesson")
        self._numbered = numbered
        if numbered:
            self.unlock()

    @property
    def problem(self) -> Problem:
        """The problem that is asked now."""
        return self._make(int(self.number.value))

    @property
    def after(self) -> str:
        """What stands under the field, as HTML: the working, once it has been opened."""
        return str(self._after.value)

    def unlock(self) -> None:
        """Put the problem on the page, where it is not there yet."""
        if self._on_page:
            return
        self._on_page = True
        line = widgets.HBox([self.number, self.another, self._tally], layout={"align_items": "center"})
        first = [line] if self._numbered else []
        rest = [self._words, self.field, widgets.HBox([self.show_working]), self._after, Keys()]
        self.children = (self._style, *first, *rest)
        self._ask()

    def lock(self) -> None:
        """Somebody else is here: the first problem, or none where it waits for the commit."""
        if self._numbered:
            self.number.value = FIRST
            self._tally.value = ""
            self._ask()
        else:
            self._words.value, self._after.value, self._on_page = CLOSED, "", False
            parts: tuple[widgets.Widget, ...] = (self._style, self._words)
            self.children = parts

    def put_back(self, kept: Sequence[Attempt]) -> None:
        """The last number at the problem that was tried last; its answer only where it was right.

        Parameters
        ----------
        kept : what this learner has committed in this lesson
        """
        with guarded(self._name, self.field.say):
            tried = [int(one.task) for one in kept if one.task.isdecimal() and FIRST <= int(one.task) <= MOST]
            if self._numbered and tried:
                self.number.value = tried[-1]
                self._count(kept)
            if not self._on_page:
                return  # it waits for the number that is committed first
            task = str(self.number.value) if self._numbered else "transfer"
            here = [one for one in kept if one.task == task and one.said is not None]
            if here:
                self._again(here)

    def _again(self, here: Sequence[Attempt]) -> None:
        problem, last = self.problem, here[-1]
        found = judged_then(problem, last)
        self._tries = len(here)
        self.field.put_back(last)
        self.show_working.disabled = found.verdict == "right"
        self.field.say(lesson_words.judged(found))
        if found.verdict == "right":
            self._end(problem)

    def _count(self, kept: Sequence[Attempt]) -> None:
        tried = {one.task for one in kept if one.task.isdecimal()}
        right = {one.task for one in kept if one.task.isdecimal() and one.result == "right"}
        self._tally.value = f'<span class="trailer-closed">{len(right)} right of {len(tried)} tried so far</span>'

    def _ask(self) -> None:
        with guarded(self._name, self.field.say):
            self._tries, self._done, self._after.value = 0, False, ""
            self.show_working.disabled = True
            problem = self.problem
            self._words.value = f'<p class="trailer-read"><b>{escape(unbroken(problem.words))}</b></p>'
            self.field.ask(problem)

    def take(self, said: float) -> None:
        """Judge a number; the answer stays hidden until it is right.

        Parameters
        ----------
        said : [inside unit of what is asked] the number
        """
        problem = self.problem
        found = judge(problem, said)
        right = found.verdict == "right"
        kept = self._progress.keep(problem, found, right)
        self._tries += 1
        self.show_working.disabled = right
        self.field.say(lesson_words.judged(found) + f'<div class="trailer-closed">{escape(kept)}</div>')
        if self._numbered and (all_kept := self._progress.of(self._name)):
            self._count(all_kept)
        if right:
            self._end(problem)

    def give_up(self) -> None:
        """Show answer and working after at least one try."""
        with guarded(self._name, self.field.say):
            if self._tries and not self._done:
                self._end(self.problem)

    def _end(self, problem: Problem) -> None:
        self._done = True
        self.field.enable(False)
        self.show_working.disabled = True
        answer = f'<p class="trailer-read">The answer is <b>{escape(problem.answer)}</b>.</p>'
        self._after.value = answer + lesson_words.formulas(problem.working, problem.system)

    def _next(self) -> None:
        self.number.value = self.number.value % MOST + 1
