"""A field for a number, its button, and what is said about it; used wherever a learner commits."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from html import escape

import ipywidgets as widgets

from trailerlib.bench import faults, lesson_words
from trailerlib.design.errors import DesignError
from trailerlib.design.learner import Attempt
from trailerlib.studies.lessons.problem import NotANumber, Problem, read_typed


class NumberField(widgets.VBox):
    """``take`` is called with the number, in the inside unit; what cannot be read is answered here."""

    def __init__(self, name: str, words: str, take: Callable[[float], None]) -> None:
        self._name, self._take = name, take
        self._problem: Problem | None = None
        self.text = widgets.Text(
            description="Your number", continuous_update=True, layout={"width": "300px"},
            style={"description_width": "92px"},
        )  # fmt: skip
        self.text.add_class("trailer-number")
        self.text.on_msg(self._heard)
        self.unit = widgets.HTML()
        self.button = widgets.Button(description=words, layout={"width": "auto"})
        self.button.add_class("trailer-commit")
        self.button.on_click(lambda _: self.press())
        self.said = widgets.HTML()
        self.said.add_class("trailer-said-number")
        line = widgets.HBox([self.text, self.unit, self.button], layout={"align_items": "center"})
        super().__init__([line, self.said])

    def ask(self, problem: Problem) -> None:
        """Take numbers for another problem; of the problem only its unit goes to the page."""
        self._problem = problem
        self.text.value, self.said.value = "", ""
        percent = f"{100.0 * problem.tolerance:g}"
        self.unit.value = f"<span>in {escape(problem.unit)}, right within {percent} %</span>"
        self.enable(True)

    def put_back(self, kept: Attempt) -> None:
        """Show the number that was committed then; nothing where it was skipped."""
        self.text.value = "" if kept.said is None else f"{kept.said:g} {kept.asked_in}"

    def enable(self, on: bool) -> None:
        """Whether a number can be committed."""
        self.text.disabled = self.button.disabled = not on

    def _heard(self, field: object, content: Mapping[str, object], buffers: object) -> None:
        """The return key is the button."""
        if content.get("event") == "submit" and not self.button.disabled:
            self.press()

    def press(self) -> None:
        """Read what is in the field and hand it on."""
        if self._problem is None:
            return
        with guarded(self._name, self.say):
            try:
                number = read_typed(self._problem, self.text.value)
            except NotANumber as error:
                self.say(lesson_words.trouble(str(error)))
                return
            self._take(number)

    def say(self, html: str) -> None:
        """Show this under the field."""
        self.said.value = html


class guarded:
    """No error of a callback is lost: what a person can mend is said, the rest is recorded and said too."""

    def __init__(self, name: str, say: Callable[[str], None]) -> None:
        self._name, self._say = name, say

    def __enter__(self) -> None:
        return None

    def __exit__(self, kind: object, error: BaseException | None, trace: object) -> bool:
        if error is None or not isinstance(error, Exception):
            return False
        if not isinstance(error, DesignError):
            faults.record(self._name, error)
        words = str(error) if isinstance(error, DesignError) else f"{type(error).__name__}: {error}"
        self._say(lesson_words.trouble(words))
        return True
