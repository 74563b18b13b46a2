"""One slider, one consequence: closed until the number is committed, then a picture that follows."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import ipywidgets as widgets

from trailerlib.bench import lesson_words
from trailerlib.bench.keys import Keys
from trailerlib.bench.later import Later
from trailerlib.bench.lesson_pictures import draw
from trailerlib.bench.lesson_style import CLOSED, LESSON_STYLE
from trailerlib.bench.number_field import guarded
from trailerlib.design.design import Design
from trailerlib.design.learner import Attempt
from trailerlib.studies.lessons.lesson import Lesson, Turn

PLAY_MS = 900
HAND_RESTS_S = 0.03


class TurnBox(widgets.VBox):
    """The slider of a lesson; without a turn it says what stands in its place."""

    def __init__(self, lesson: Lesson, design: Design) -> None:
        self._lesson, self._design = lesson, design
        self._words, self._picture, self._watch = widgets.HTML(CLOSED), widgets.HTML(), widgets.HTML()
        self._picture.add_class("trailer-lesson-picture")
        self._style = widgets.HTML(LESSON_STYLE)
        self.slider: Any = None
        self._later = Later()
        super().__init__([self._style, self._words])
        self.add_class("trailer")
        self.add_class("trailer-lesson")

    @property
    def picture_text(self) -> str:
        """The picture as SVG text; empty while it is closed."""
        return str(self._picture.value)

    @property
    def words_text(self) -> str:
        """What it says, as HTML."""
        return str(self._words.value)

    def unlock(self) -> None:
        """Put the slider on the page."""
        turn = self._lesson.turn
        if turn is None or self.slider is not None:
            return
        self._design = self._lesson.setup(self._design)
        self._words.value = ""
        self._watch.value = lesson_words.prose((self._lesson.watch,))
        self.slider = widgets.SelectionSlider(
            options=list(turn.stops), index=turn.first, description=turn.label, continuous_update=True,
            layout={"width": "620px"}, style={"description_width": "166px"},
        )  # fmt: skip
        self.slider.add_class("trailer-turn")
        self.slider.observe(lambda change: self._follow(turn), "value")
        play = widgets.Play(min=0, max=len(turn.stops) - 1, interval=PLAY_MS, value=turn.first)
        play.show_repeat, play.repeat = False, False
        play.observe(lambda change: self._go(change["new"]), "value")
        bar = widgets.HBox([self.slider, play], layout={"align_items": "center"})
        parts: tuple[widgets.Widget, ...] = (self._style, self._watch, bar, self._words, self._picture, Keys())
        self.children = parts
        self._show(turn)

    def lock(self) -> None:
        """Take slider and picture off the page."""
        self._later.drop()
        self.slider, self._words.value, self._picture.value, self._watch.value = None, CLOSED, "", ""
        parts: tuple[widgets.Widget, ...] = (self._style, self._words)
        self.children = parts

    def put_back(self, kept: Sequence[Attempt]) -> None:
        """Where the slider stood is not kept."""

    def _go(self, number: int) -> None:
        self.slider.index = number

    def _follow(self, turn: Turn) -> None:
        """Of many moves in a row only the last is worked out; at once where no loop runs."""
        self._later.do("show", HAND_RESTS_S, lambda: self._show(turn))

    def _show(self, turn: Turn) -> None:
        if self.slider is None:
            return
        with guarded(self._lesson.title, self._fail):
            stop = self.slider.value
            self._words.value = lesson_words.told(turn.tells(self._design, stop))
            self._picture.value = draw(self._lesson.key, turn.drawn(self._design, stop))

    def _fail(self, html: str) -> None:
        """No old picture stands beside a new slider."""
        self._words.value, self._picture.value = html, ""
