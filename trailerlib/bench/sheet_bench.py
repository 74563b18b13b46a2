"""What the closing-in test and the hunt for a fault share: a form on the left, pictures and pages on the right."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import ipywidgets as widgets

from trailerlib.bench.base import LEAST_S, Bench
from trailerlib.bench.button import button
from trailerlib.bench.controls import Control, pick
from trailerlib.bench.later import undisturbed
from trailerlib.bench.sheet_form import FORM_STYLE, WIDTH, SheetForm, Shown
from trailerlib.design.design import Design
from trailerlib.pictures.closing_plan import closing_plan
from trailerlib.pictures.closing_stairs import closing_stairs
from trailerlib.studies.answer import Answer
from trailerlib.studies.closing.diagnose import Diagnosis
from trailerlib.studies.closing.drawn import Gauge, picture_of
from trailerlib.studies.closing.line import STAGE_NAMES, STAGES
from trailerlib.studies.closing.rounds import Round, rounds_of
from trailerlib.studies.closing.sheet import Sheet, sheet_of

HEIGHT = 508  # [px] of the form, and of the pictures with the pages under them


class SheetBench(Bench):
    """A bench over the test sheet of one design: which side, which round, its lines, and the line in focus."""

    kinds = ("trailer-sheet",)
    pictures: Mapping[str, str] = {"path": "along the way", "plan": "where to look"}
    typed = True  # whether readings are typed, or taken with a button

    def __init__(self, design: Design) -> None:
        self.sheet: Sheet = sheet_of(design)
        self.rounds: tuple[Round, ...] = rounds_of(self.sheet)
        self.at: str | None = next((key for one in self.rounds for key in one.keys), None)
        self.form = SheetForm(self._on_entry, self.typed)
        super().__init__(design)

    def make_controls(self) -> Sequence[Control]:
        """Which side of the test, and which round of it."""
        return (
            pick("stage", "Stage", lambda d: self._stages(), lambda d: self._now("stage"), None),
            pick("round", "Round", lambda d: self._rounds_here(), lambda d: self._now("name"), None),
        )

    @property
    def readings(self) -> Mapping[str, float]:
        """What has been read, in the inside unit, by key of the line."""
        raise NotImplementedError

    def diagnosis(self, answer: Answer) -> Diagnosis:
        """What may be shown as suspected."""
        raise NotImplementedError

    def shown_line(self, key: str) -> Shown:
        """A line as the form shows it."""
        return Shown(Gauge(self.sheet.of(key), self.readings.get(key)), "", "")

    def enter(self, key: str, text: str) -> None:
        """Something was typed into a line, or its button was pressed."""
        raise NotImplementedError

    def _on_entry(self, key: str, text: str) -> None:
        self._begun = time.monotonic()
        with self._guarded(), undisturbed():
            self.at = self.focus = key
            self.enter(key, text)
            self._renew()

    def _stages(self) -> list[tuple[str, str]]:
        there = {one.stage for one in self.rounds}
        return [(STAGE_NAMES[stage], stage) for stage in STAGES if stage in there]

    def _rounds_here(self) -> list[tuple[str, str]]:
        here = self._now("stage")
        return [(self._counted(one), one.name) for one in self.rounds if one.stage == here]

    def _counted(self, one: Round) -> str:
        read = sum(key in self.readings for key in one.keys)
        return f"{one.title} · {read} of {len(one.keys)} read"

    @property
    def round(self) -> Round | None:
        """The round that the line in focus is part of."""
        return next((one for one in self.rounds if self.at in one.keys), None)

    def _now(self, what: str) -> Any:
        return None if self.round is None else getattr(self.round, what)

    def on_focus(self, key: str, value: Any) -> None:
        """Go to a side of the test or to a round: to its first line that has not been read."""
        rounds = [one for one in self.rounds if value == (one.stage if key == "stage" else one.name)]
        keys = [name for one in rounds for name in one.keys]
        self.at = next((name for name in keys if name not in self.readings), keys[0] if keys else None)

    def go_to(self, key: str) -> None:
        """Turn the form to a line and put the keyboard on it.

        Parameters
        ----------
        key : key of the line
        """
        with self._guarded():
            self.at = self.focus = key
            self._renew()
            self._write_form()  # at once: the keyboard is put on a line of it
            self.form.focus_on(key)

    def body(self) -> Sequence[widgets.Widget]:
        """The form in one column, the picture with the pages under it in the other."""
        for control in self.controls.values():
            control.widget.layout.width = f"{WIDTH - 8}px"
            control.widget.style.description_width = "64px"
        column = widgets.VBox(
            list(self.arrange()),
            layout={"width": f"{WIDTH + 14}px", "min_width": f"{WIDTH + 14}px", "height": f"{HEIGHT}px",
                    "overflow": "hidden auto", "padding": "4px 6px 0 0"},
        )  # fmt: skip
        column.add_class("trailer-form")
        self._tabs.layout = {"margin": "4px 0 0 0"}
        right = widgets.VBox([self._side(394), self._tabs], layout={"flex": "1 1 auto", "min_width": "300px"})
        both = widgets.HBox([column, right], layout={"height": f"{HEIGHT + 2}px"})
        both.add_class("trailer-middle")
        return (widgets.HTML(FORM_STYLE), *self.above(), both)

    def above(self) -> Sequence[widgets.Widget]:
        """What stands over form and picture."""
        return ()

    def arrange(self) -> Sequence[widgets.Widget]:
        """Side and round above the form."""
        return [*super().arrange(), self.form]

    def draw(self, answer: Answer, ghost: Answer | None) -> str:
        """The way of the current with bands and readings, or the suspects on the plan."""
        found = picture_of(self.design, self.sheet, self.diagnosis(answer), self.readings, self.at)
        return closing_plan(found, self.design) if self.shown == "plan" else closing_stairs(found)

    def _renew(self) -> None:
        super()._renew()
        self._follow(LEAST_S, self._write_form)

    def _write_form(self) -> None:
        with self._guarded():
            self._set_controls()
            self.show_form()

    def show_form(self) -> None:
        """Show the round with its readings; it follows the verdict."""
        here = self.round
        self.form.show(here, {key: self.shown_line(key) for key in (here.keys if here else ())}, self.at)

    def buttons(self, *parts: tuple[str, str, str, Callable[[], None]]) -> list[widgets.Button]:
        """Buttons from their class, words, tooltip and what they do."""
        return [button(said, tooltip, call, key) for key, said, tooltip, call in parts]
