"""The bones every bench shares: verdict, controls, picture, panes, Keep, Undo, Reset."""

from __future__ import annotations

import math
import threading
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from html import escape
from typing import Any

import ipywidgets as widgets

from trailerlib.bench import ahead, faults, fittings, panes
from trailerlib.bench.controls import Control
from trailerlib.bench.keys import Keys
from trailerlib.bench.later import Later, undisturbed
from trailerlib.bench.past import Past
from trailerlib.bench.style import STYLE
from trailerlib.design.design import Design
from trailerlib.design.errors import DesignError
from trailerlib.studies.answer import Answer

SAME_MOVE_S = 1.5  # moves of one control closer together than this are one step of Undo
FRAME_S = 0.010  # the picture follows the move after this long; in one message with the verdict it would hold it up
LEAST_S = 0.005  # ... and the verdict after this long, however long the answer took
HAND_RESTS_S = 0.08  # the table follows after this long without a move
STALE = "trailer-stale"
PANES = ("What each does", "Findings", "The working")


class Bench(widgets.VBox):
    """One question with its sliders, picture and table. Subclasses say what is asked and what can be moved.

    A slider never changes the design that was passed in: ``design`` is the present one, and
    ``Keep`` writes it to its file.
    """

    name = "bench"

    def __init__(self, design: Design) -> None:
        self.design = design
        self.focus: str | None = None
        self._past = Past(design)
        self._moved: tuple[str, float] = ("", 0.0)
        self._ghost: Answer | None = None
        self._quiet = False
        self._under_hand: Control | None = None  # moved, and the others not yet fitted to it
        self._begun = time.monotonic()
        self._followers: list[Callable[[Answer, Answer | None], None]] = []
        self._later, self._ahead = Later(), ahead.Ahead()
        self._hand = threading.RLock()  # a page's first move comes on another thread than those after it
        self._verdict, self._picture = widgets.HTML(), widgets.HTML()
        self._verdict.add_class("trailer-verdict-box")
        self._picture.add_class("trailer-picture")
        self._pages, self._tabs = fittings.panes(PANES)
        self._stale_pages: set[int] = set()
        self._said = widgets.HTML()
        self.answer: Answer | None = None
        self.controls = {control.key: control for control in self.make_controls()}
        super().__init__([widgets.HTML(STYLE), self._verdict, *self.body(), self._buttons(), Keys()])
        for kind in ("trailer", "trailer-bench", *self.kinds):
            self.add_class(kind)
        for control in self.controls.values():
            control.widget.observe(lambda change, c=control: self._on_move(c, change["new"]), "value")
        self._tabs.observe(lambda change: self._on_page(), "selected_index")
        with self._guarded():
            self._answer_first()
            self._write_picture()
            self._write_pages()

    kinds: Sequence[str] = ()  # further classes for the style sheet
    pictures: Mapping[str, str] = {}  # names of the pictures to switch between and their words; none for one alone

    def actions(self) -> Sequence[tuple[str, str, Callable[[], None]]]:
        """Further buttons: words, what they do in a sentence, and what to call."""
        return ()

    def follow(self, show: Callable[[Answer, Answer | None], None]) -> None:
        """Let something else on the page follow this bench; it is called with every answer and the one before.

        Parameters
        ----------
        show : called at once with the present answer, then after every change
        """
        self._followers.append(show)
        if self.answer is not None:
            show(self.answer, self._ghost)

    def make_controls(self) -> Sequence[Control]:
        """The controls of this bench, top to bottom."""
        raise NotImplementedError

    def ask(self, design: Design) -> Answer:
        """The answer to this question. It may be asked of designs nobody is at, so it changes nothing but the focus."""
        raise NotImplementedError

    def draw(self, answer: Answer, ghost: Answer | None) -> str:
        """The picture of an answer as SVG text."""
        raise NotImplementedError

    def spoken(self, answer: Answer) -> str:
        """The verdict of an answer as HTML."""
        return panes.verdict(answer)

    @property
    def verdict_text(self) -> str:
        """What the verdict says, as HTML."""
        return str(self._verdict.value)

    @property
    def picture_text(self) -> str:
        """The picture as SVG text."""
        return str(self._picture.value)

    @property
    def said(self) -> str:
        """What the bench last said beside its buttons."""
        return str(self._said.value)

    def move(self, key: str, value: Any) -> None:
        """Move a control as a hand would.

        Parameters
        ----------
        key : name of the control
        value : [shown unit] where to
        """
        self.controls[key].widget.value = value

    def arrange(self) -> Sequence[widgets.Widget]:
        """The controls as they stand in their column; a bench may put several on one line."""
        return [control.widget for control in self.controls.values()]

    def body(self) -> Sequence[widgets.Widget]:
        """What stands between verdict and buttons."""
        return (self._middle(), self._tabs)

    def _middle(self) -> widgets.Widget:
        return fittings.middle(self.arrange(), self._side())

    def _side(self, height: int = 310) -> widgets.Widget:
        """The picture, with the switch above it where there are several; so many pixels in all."""
        if not self.pictures:
            return fittings.framed(self._picture, height)
        self._shown = fittings.switch(self.pictures)
        self._shown.observe(lambda change: self._write_picture(), "value")
        return fittings.switched(self._shown, self._picture, height)

    @property
    def shown(self) -> str:
        """Name of the picture that is shown, of those to switch between."""
        return str(self._shown.value)

    def _buttons(self) -> widgets.Widget:
        more = [self._action(*action) for action in self.actions()]
        return fittings.row(self.keep, self.undo, self.reset, more, self._said)

    def _action(self, words: str, tooltip: str, call: Callable[[], None]) -> widgets.Button:
        button = widgets.Button(description=words, tooltip=tooltip)
        button.add_class("trailer-action")
        button.on_click(lambda _: self._act(call))
        return button

    def _act(self, call: Callable[[], None]) -> None:
        with self._guarded(keep_verdict=True):
            call()

    def take(self, design: Design, words: str) -> None:
        """Take another design as it is, as one step of Undo.

        Parameters
        ----------
        design : the design
        words : what is said beside the buttons
        """
        self._past.note(self.design)
        before, self.design = self.answer, design
        self._fresh()
        self._ghost = before
        self._follow(FRAME_S, self._write_picture)
        self._say(words)

    def _on_move(self, control: Control, value: Any) -> None:
        with self._hand, undisturbed():
            self._moved_to(control, value)

    def _moved_to(self, control: Control, value: Any) -> None:
        if self._quiet or (control.put is not None and self._says_already(control, value)):
            return
        self._begun = time.monotonic()
        with self._guarded():
            if control.put is None:
                self._moved = ("", 0.0)
                self.focus = value
                self.on_focus(control.key, value)
                self._ghost = None
                self._answer_first()
            else:
                self._change(control, value)
                self._under_hand = control
                self._renew()

    def _says_already(self, control: Control, value: Any) -> bool:
        """Whether the design says this already; a reloaded page sends its sliders back, rounded in another way."""
        now = control.get(self.design)
        numbers = isinstance(value, float) and isinstance(now, float)
        return math.isclose(now, value, rel_tol=1e-9, abs_tol=1e-9) if numbers else False

    def on_focus(self, key: str, value: Any) -> None:
        """A pick list that only moves the focus was used; benches with several of them tell them apart here."""

    def _change(self, control: Control, value: Any) -> None:
        assert control.put is not None
        changes = control.put(self.design, value)
        changed = self._ahead.design(self.design, changes) or self.design.replace_all(changes)
        self._ahead.moved(control, control.get(self.design), value)
        now = time.monotonic()
        if self._moved[0] != control.key or now - self._moved[1] > SAME_MOVE_S:
            self._past.note(self.design)
            self._ghost = self.answer
        self._moved = (control.key, now)
        self.design = changed

    def _fit_others(self) -> None:
        """Other controls may show the same thing in other words; the one under the finger is left alone."""
        moved, self._under_hand = self._under_hand, None
        if moved is not None:
            with self._silence():
                for control in self.controls.values():
                    if control is not moved:
                        control.show(self.design)

    def keep(self) -> None:
        """Write the design to its file; a newer file is never overwritten."""
        with self._guarded(keep_verdict=True):
            self.design = self._past.keep(self.design)
            self._moved = ("", 0.0)
            self._say(f"Kept as revision {self.design.revision}.")

    def undo(self) -> None:
        """Take back the last move, or, when nothing has moved since, the last Keep."""
        with self._guarded(keep_verdict=True):
            before = self._past.back()
            if before is None:
                self._say("There is nothing to take back.")
                return
            self.design, words = before
            self._say(words)
            self._fresh()

    def reset(self) -> None:
        """Go back to what the design file says now."""
        with self._guarded(keep_verdict=True):
            self.design = self._past.reset(self.design)
            self._say("Back to what the design file says.")
            self._fresh()

    def _fresh(self) -> None:
        self._ghost, self._moved = None, ("", 0.0)
        self._answer_first()

    def _answer_first(self) -> None:
        """The verdict goes to the page before the controls are set; they are set whatever comes of the answer."""
        try:
            self._renew()
        finally:
            self._under_hand = None
            self._set_controls()

    def _set_controls(self) -> None:
        with self._silence():
            for control in self.controls.values():
                control.show(self.design)

    @contextmanager
    def _silence(self) -> Iterator[None]:
        before, self._quiet = self._quiet, True
        try:
            yield
        finally:
            self._quiet = before

    def _renew(self) -> None:
        """Work out the answer and show it: the verdict at once, the picture a frame later, then the open page."""
        self.answer, self.focus = self._ahead.answer(self.design, self._asked)
        self._verdict.value = self.spoken(self.answer)
        self._stale_pages = set(range(len(PANES)))
        self._follow(max(LEAST_S, self._begun + FRAME_S - time.monotonic()), self._write_picture)
        self._follow(HAND_RESTS_S, self._write_pages)

    def _asked(self, design: Design) -> tuple[Answer, str | None]:
        """The answer of a design, and what is in focus with it."""
        return self.ask(design), self.focus

    def _plan_ahead(self) -> None:
        self._later.perhaps("look ahead", ahead.REST_S, self._look_ahead)

    def _look_ahead(self) -> None:
        """Ask for a step the hand may take next. An error there is none of the present design's: the verdict stays."""
        with self._hand:
            focus = self.focus
            try:
                if self._ahead.look(self.design, self._asked):
                    self._plan_ahead()
            except Exception as error:
                faults.record(self.name, error)
            finally:
                self.focus = focus

    def _follow(self, delay_s: float, work: Callable[[], None]) -> None:
        self._later.do(work.__name__, delay_s, work)

    def _write_picture(self) -> None:
        with self._guarded():
            if self.answer is not None:
                self._picture.value = self.draw(self.answer, self._ghost)
                self._mark_stale(False)
                self._fit_others()
                self._plan_ahead()
                if self._followers:
                    self._follow(HAND_RESTS_S, self._show_followers)

    def _show_followers(self) -> None:
        with self._guarded():
            for show in self._followers:
                if self.answer is not None:
                    show(self.answer, self._ghost)

    def _write_pages(self) -> None:
        with self._guarded():
            self._on_page()
            if self.answer is None:
                return
            count = len(self.answer.findings)
            title = f"Findings ({count})" if count else "Findings: none"
            if self._tabs.titles[1] != title:
                self._tabs.set_title(1, title)

    def _on_page(self) -> None:
        """A page is written when it is looked at; the closed ones wait."""
        with self._guarded():
            page = self._tabs.selected_index
            if page not in self._stale_pages or self.answer is None:
                return
            makers = (lambda a: panes.numbers_and_table(a, self.focus), panes.findings, panes.working)
            self._pages[page].value = makers[page](self.answer)
            self._stale_pages.discard(page)

    def _mark_stale(self, stale: bool) -> None:
        for widget in (self._picture, self._tabs):
            (widget.add_class if stale else widget.remove_class)(STALE)

    @contextmanager
    def _guarded(self, keep_verdict: bool = False) -> Iterator[None]:
        """One hand at a time. No error of a callback is lost: it stands as the verdict, or beside the buttons."""
        with self._hand:
            try:
                yield
            except DesignError as error:
                if keep_verdict:
                    self._say(str(error), warn=True)
                else:
                    self._fail(error)
            except Exception as error:
                self._fail(error)

    def _fail(self, error: Exception) -> None:
        faults.record(self.name, error)
        self.answer = None
        self._later.drop()
        words = str(error) if isinstance(error, DesignError) else f"{type(error).__name__}: {error}"
        self._verdict.value = panes.not_valid(words)
        self._mark_stale(True)

    def _say(self, words: str, warn: bool = False) -> None:
        mark = "▲ " if warn else ""
        tint = "stop" if warn else "ink"
        self._said.value = f'<span style="color:var(--trailer-{tint})">{mark}{escape(words)}</span>'
