"""A fault hidden on one circuit: measure, commit what it is, be told right or wrong and why, then see it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from html import escape

import ipywidgets as widgets

from trailerlib.bench import lesson_words
from trailerlib.bench.button import button
from trailerlib.bench.keys import Keys
from trailerlib.bench.lesson_page import LessonPage
from trailerlib.bench.lesson_style import CLOSED, LESSON_STYLE
from trailerlib.bench.number_field import guarded
from trailerlib.design.learner import Attempt
from trailerlib.pictures.fault_way import fault_way
from trailerlib.studies.lessons.way_fault import CHOICES, PLACES, WayFault, hidden

NAME, TASK = "Fault on the way", "hidden fault"
FIRST, MOST = 1, 999
STYLE = """<style>
.trailer-lesson .trailer-place .widget-html-content { font-size:13.5px; line-height:1.3; }
.trailer-lesson .trailer-place { border-bottom:1px solid var(--trailer-grid); padding:1px 0; min-height:40px;
  align-items:center; }
.trailer-lesson .trailer-place b { font-weight:600; }
</style>"""


class WayHunt(widgets.VBox):
    """The places, the picture, what it is taken for. Nothing is hidden, let alone told, before the number stands."""

    def __init__(self, page: LessonPage) -> None:
        self._page = page
        self._fault: WayFault | None = None
        self._number, self._tried, self._done = FIRST, False, False
        self.measured: tuple[str, ...] = ()
        self._said = widgets.HTML(layout={"min_height": "84px"})
        self._picture = widgets.HTML()
        self._picture.add_class("trailer-lesson-picture")
        self._head = widgets.HTML()
        self.guess = widgets.Dropdown(
            options=[("…", ""), *((words, key) for key, words in CHOICES.items())], description="It is this",
            layout={"width": "430px"}, style={"description_width": "84px"},
        )  # fmt: skip
        self.commit = button("Commit", "Then the page says whether that is it, and why", self.press, "way-commit")
        self.show = button("Show the fault", "Open after the first commit", self.tell, "way-show")
        self.another = button("Another fault", "Hide another one and begin again", self._next, "way-another")
        self.meters = {place: self._meter(place) for place in PLACES}
        self._read = {place: widgets.HTML() for place in PLACES}
        self._style = widgets.HTML(LESSON_STYLE + STYLE)
        super().__init__([self._style, widgets.HTML(CLOSED)])
        self.add_class("trailer")
        self.add_class("trailer-lesson")
        page.add(self)

    def _meter(self, place: str) -> widgets.Button:
        meter = button("Measure", f"Hold the meter {PLACES[place]}", lambda: self.measure(place), "way-measure")
        meter.layout = {"width": "82px", "flex": "0 0 auto"}
        return meter

    @property
    def fault(self) -> WayFault:
        """What is hidden now; worked out when it is first needed."""
        if self._fault is None:
            self._fault = hidden(self._page.design, self._number)
        return self._fault

    @property
    def said(self) -> str:
        """What it last said, as HTML."""
        return str(self._said.value)

    @property
    def picture_text(self) -> str:
        """The picture as SVG text; empty while it is closed."""
        return str(self._picture.value)

    def lock(self) -> None:
        """Somebody else is here: nothing is hidden before that number stands."""
        self._number, self._fault = FIRST, None
        self._picture.value = self._head.value = self._said.value = ""
        parts: tuple[widgets.Widget, ...] = (self._style, widgets.HTML(CLOSED))
        self.children = parts

    def put_back(self, kept: Sequence[Attempt]) -> None:
        """The last hidden fault that was guessed, with what was measured and what was said of the guess.

        Parameters
        ----------
        kept : what this learner has committed in this lesson
        """
        guesses = [one for one in kept if re.fullmatch(rf"{TASK} \d{{1,3}}", one.task) and one.said is not None]
        if not guesses or not self._picture.value:
            return
        with guarded(NAME, self._say):
            last = guesses[-1]
            self._number = max(int(last.task.split()[-1]), FIRST)
            self._begin()
            guess, *measured = last.chosen or ("",)
            for place in measured:
                if place in PLACES:
                    self.measure(place)
            self._tried = True
            self._enable()
            if guess in CHOICES and self.measured:
                self.guess.value = guess
                self._judge()

    def unlock(self) -> None:
        """Put places, picture and guess on the page."""
        with guarded(NAME, self._say):
            rows = [widgets.HBox([self.meters[place], self._read[place]]) for place in PLACES]
            for row in rows:
                row.add_class("trailer-place")
            left = widgets.VBox(rows, layout={"flex": "1 1 330px", "min_width": "320px"})
            right = widgets.VBox([self._picture], layout={"flex": "1 1 400px", "min_width": "360px"})
            name = widgets.HBox([self.guess, self.commit], layout={"align_items": "center"})
            beside = {"flex_flow": "row wrap", "align_items": "flex-start", "grid_gap": "0 10px"}
            both = widgets.HBox([left, right], layout=beside)
            buttons = widgets.HBox([self.show, self.another])
            parts: tuple[widgets.Widget, ...] = (self._style, self._head, name, self._said, both, buttons, Keys())
            self.children = parts
            self._begin()

    def _begin(self) -> None:
        self._fault, self.measured, self._tried, self._done = None, (), False, False
        self.guess.value = ""
        for place in PLACES:
            self._read[place].value = escape(PLACES[place])
        self._enable()
        self._say(lesson_words.note("hidden", "○", "not checked", "Measure, then say what it is."))
        self._draw()

    def _enable(self) -> None:
        for place, meter in self.meters.items():
            meter.disabled = self._done or place in self.measured
        self.commit.disabled = self.guess.disabled = self._done
        self.show.disabled = self._done or not (self._tried or self._page.found is None)

    def _draw(self) -> None:
        count = f"{len(self.measured)} of {len(PLACES)} measured"
        self._head.value = f'<p class="trailer-read"><b>Hidden fault {self._number}.</b> {count}.</p>'
        self._picture.value = fault_way(self.fault, self.measured)

    def _say(self, html: str) -> None:
        self._said.value = html

    def measure(self, place: str) -> None:
        """Hold the meter at a place.

        Parameters
        ----------
        place : one of ``PLACES``
        """
        with guarded(NAME, self._say):
            if self._done or place in self.measured:
                return
            self.measured = (*self.measured, place)
            should = self.fault.expected(place).value
            assert should is not None
            mark = "▲ off" if self.fault.differs(place) else "✓ fits"
            reads = f"{self.fault.shown(place, self.fault.read(place))}, {self.fault.shown(place, should)} expected"
            self._read[place].value = f"{escape(PLACES[place])}<br><b>{escape(reads)}  {mark}</b>"
            self._enable()
            self._draw()

    def press(self) -> None:
        """Commit what it is taken for; a wrong one may be tried again, and each is kept."""
        with guarded(NAME, self._say):
            if self._done:
                return
            if not self.measured or not self.guess.value:
                words = "Measure at one place first." if not self.measured else "Say first what it is."
                self._say(lesson_words.trouble(words))
                return
            right = self.fault.judge(self.guess.value, self.measured).right
            page, chosen = self._page, (self.guess.value, *self.measured)
            self._judge(page.progress.keep_count(page.lesson.key, f"{TASK} {self._number}", int(right), 1, chosen))

    def _judge(self, kept: str = "") -> None:
        """Say what the guess is worth, and why."""
        found = self.fault.judge(self.guess.value, self.measured)
        self._tried, self._done = True, found.right
        if found.right:
            count = f"{len(self.measured)} reading{'' if len(self.measured) == 1 else 's'}"
            told = f"{found.why} {self.fault.truth} Found with {count}. {kept}"
            self._say(lesson_words.note("right", "✓", "holds", told))
        else:
            self._say(lesson_words.note("not it", "▲", "fix", f"{found.why} {kept}"))
        self._enable()

    def tell(self) -> None:
        """Show what is hidden, without a further guess."""
        with guarded(NAME, self._say):
            if not self._done and (self._tried or self._page.found is None):
                self._done = True
                self._say(lesson_words.note("shown", "●", "note", self.fault.truth))
                self._enable()

    def _next(self) -> None:
        with guarded(NAME, self._say):
            self._number = self._number % MOST + 1
            self._begin()


def fault_on_the_way(page: LessonPage) -> WayHunt:
    """The hunt of a lesson's page for a fault on one circuit."""
    return WayHunt(page)
