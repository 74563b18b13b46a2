"""Problems at the bench: a number for an answer, as many tries as it takes, a hint that names the slip."""

from __future__ import annotations

from collections.abc import Callable
from html import escape

import ipywidgets as widgets

from trailerlib.bench import lesson_words
from trailerlib.bench.keys import Keys
from trailerlib.bench.lesson_style import CLOSED, LESSON_STYLE
from trailerlib.bench.number_field import NumberField, guarded
from trailerlib.bench.progress import Progress
from trailerlib.studies.lessons.problem import Problem, judge, unbroken

FIRST, MOST = 1, 9999


class ProblemBox(widgets.VBox):
    """One problem at a time. ``make`` gives the problem of a number; it is asked anew whenever it is needed.

    ``numbered`` boxes are open at once and go from problem to problem; the others wait for ``unlock``.
    """

    def __init__(self, name: str, make: Callable[[int], Problem], progress: Progress, numbered: bool = True) -> None:
        self._name, self._make, self._progress = name, make, progress
        self._tries, self._done = 0, False
        self._words, self._after = widgets.HTML(CLOSED), widgets.HTML()
        self.field = NumberField(name, "Check", self.take)
        self.number = widgets.BoundedIntText(
            value=FIRST, min=FIRST, max=MOST, description="Problem", layout={"width": "180px"},
            style={"description_width": "70px"},
        )  # fmt: skip
        self.number.add_class("trailer-problem-number")
        self.number.observe(lambda change: self._ask(), "value")
        self.another = self._button("Another", "The next problem", self._next)
        self.show_working = self._button("Show the working", "Open after the first try; then it is no longer counted",
                                         self.give_up)  # fmt: skip
        self._style = widgets.HTML(LESSON_STYLE)
        super().__init__([self._style, self._words])
        self.add_class("trailer")
        self.add_class("trailer-lesson")
        self._numbered = numbered
        if numbered:
            self.unlock()

    def _button(self, words: str, tooltip: str, call: Callable[[], None]) -> widgets.Button:
        button = widgets.Button(description=words, tooltip=tooltip, layout={"width": "auto"})
        button.on_click(lambda _: call())
        return button

    @property
    def problem(self) -> Problem:
        """The problem that is asked now."""
        return self._make(int(self.number.value))

    @property
    def after(self) -> str:
        """What stands under the field, as HTML: the working, once it has been opened."""
        return str(self._after.value)

    def unlock(self) -> None:
        """Put the problem on the page."""
        first = [widgets.HBox([self.number, self.another])] if self._numbered else []
        rest = [self._words, self.field, widgets.HBox([self.show_working]), self._after, Keys()]
        self.children = (self._style, *first, *rest)
        self._ask()

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
