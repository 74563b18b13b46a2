"""The bench of “What would I trade?”."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from html import escape
from typing import Any

import ipywidgets as widgets
import numpy as np

from trailerlib.bench import panes
from trailerlib.bench.base import Bench
from trailerlib.bench.controls import Control, pick
from trailerlib.bench.trade_limits import limit_at, limit_slider
from trailerlib.bench.trade_run import AxesRow
from trailerlib.design.design import Design
from trailerlib.design.errors import DesignError
from trailerlib.pictures.trade_axes import trade_axes
from trailerlib.pictures.trade_marks import title_of
from trailerlib.pictures.trade_scatter import trade_scatter
from trailerlib.studies import trade_offs as study
from trailerlib.studies.answer import Answer
from trailerlib.studies.trade_offs import Limits, Result
from trailerlib.studies.trade_offs.choose import changed_words, nearest, why
from trailerlib.studies.trade_offs.question import BY, KEYS, Trade, first_look, many, trade_of, usual_limits

HARD = ("stop", "fix")


class TradeBench(Bench):
    """Tick what may change, look at every combination, move limits, and take the candidate you like into the design."""

    name = "What would I trade?"
    pictures: Mapping[str, str] = {"axes": "side by side", "scatter": "one against another"}

    def __init__(self, design: Design) -> None:
        self.result = first_look(design)
        self._row: int | None = None
        self._across, self._up = "cost", "reserve_h"
        self._hard = True
        self._limits: dict[str, float | None] = {}
        self._told = widgets.HTML()
        self._told.add_class("trailer-trade-told")
        self.axes = AxesRow(study.usual_axes(design), self.result.axes, self._look, self._arrived, self._failed)
        super().__init__(design)

    @property
    def trade(self) -> Trade:
        """The sweep with the limits of the bench, and the present design beside it."""
        if self.answer is None:
            raise DesignError("nothing is worked out at the moment.")
        found: Trade = self.answer.picture
        return found

    @property
    def row(self) -> int | None:
        """Number of the candidate in focus."""
        return self._row

    @property
    def limits(self) -> Limits:
        """Least and most by metric, as the bench has them."""
        usual = usual_limits(self.result)
        hard = {key: ends for key, ends in usual.items() if key in HARD and self._hard}
        return hard | {
            key: (None, end) if self.result.better(key) == "less" else (end, None)
            for key, end in self._limits.items()
            if end is not None
        }

    def make_controls(self) -> Sequence[Control]:
        """The candidate, a limit for each metric, findings, and what the second picture shows."""
        best = widgets.IntSlider(value=1, min=1, max=1, description="Of the best, no.", layout=WIDE, style=STYLE)
        number = widgets.BoundedIntText(value=0, min=0, max=0, description="Candidate no.", layout=WIDE, style=STYLE)
        hard = widgets.Checkbox(description="No more to stop or fix than now", indent=False, layout=WIDE)
        for key, widget in (("best", best), ("candidate", number), ("hard", hard)):
            widget.add_class(f"trailer-control-{key}")
        return (
            Control("best", best, lambda d: self._place(), fit=lambda d: self._fit_best(best)),
            Control("candidate", number, lambda d: self._row, fit=lambda d: self._fit_number(number)),
            *(limit_slider(key, lambda: self.result, lambda k=key: self._limits.get(k)) for key in BY),  # type: ignore[misc]
            Control("hard", hard, lambda d: self._hard),
            pick("across", "Across", lambda d: METRIC_PICKS, lambda d: self._across, None),
            pick("up", "Up", lambda d: METRIC_PICKS, lambda d: self._up, None),
        )

    def arrange(self) -> Sequence[widgets.Widget]:
        """Candidate and number, the limits, findings; the two pick lists side by side."""
        *rest, across, up = (control.widget for control in self.controls.values())
        for one in (across, up):
            one.layout, one.style = {"width": "168px", "height": "28px"}, {"description_width": "44px"}
        return [*rest, widgets.HBox([across, up])]

    def body(self) -> Sequence[widgets.Widget]:
        """What may change, the middle, what is said of the candidate in focus, the tabs."""
        row = super()._buttons()
        row.layout.height = "40px"
        for button in row.children[:-1]:
            button.layout = {"width": "auto", "flex": "0 0 auto"}
        return (widgets.HTML(LOOK), self.axes.widget, self._middle(), self._told, row, self._tabs)

    def _buttons(self) -> widgets.Widget:
        """They stand above the tabs: what is picked in the picture is taken without scrolling."""
        return widgets.Box()

    def actions(self) -> Sequence[tuple[str, str, Callable[[], None]]]:
        """Take, the nearest that passes, what matters, how sure it is."""
        return (
            (
                "Take this one",
                "Put the values of the candidate in focus into the design; Undo takes it back",
                self.take_it,
            ),
            ("Nearest", "Go to the candidate that keeps the limits with the fewest values changed", self.go_nearest),
            ("What matters", "How much each value that may change moves the reserve and the cost", self.say_matters),
            ("How sure", "In how many cases it still holds when every load draws up to a fifth more", self.say_sure),
        )

    def on_focus(self, key: str, value: Any) -> None:
        """The candidate, a limit, or what the second picture shows."""
        if key == "best":
            order = self.trade.unbeaten
            self._row = int(order[min(value, len(order)) - 1]) if len(order) else None
        elif key == "candidate":
            self._row = int(value)
        elif key == "hard":
            self._hard = bool(value)
        elif key in ("across", "up"):
            self._across, self._up = (value, self._up) if key == "across" else (self._across, value)
        else:
            self._limits[key] = limit_at(self.result, key, value)

    def ask(self, design: Design) -> Answer:
        """The sweep with the limits as they stand; a design that differs elsewhere is looked at anew."""
        if not self._fits(design):
            self._begin_anew(design)
        seen = trade_of(self.result, design, BY, self.limits)
        if self._row is None or self._row >= self.result.count:
            self._row = int(seen.unbeaten[0]) if len(seen.unbeaten) else None
        self.focus = None if self._row is None else self._row  # type: ignore[assignment]
        return study.answer(design, seen, self._row)

    def _fits(self, design: Design) -> bool:
        """Whether a design differs from the one that was varied on the axes at most."""
        base = self.result.base
        if design is base:
            return True
        own = {axis.path: base.get(axis.path) for axis in self.result.axes}
        return design.replace_all(own).raw == base.raw

    def _begin_anew(self, design: Design) -> None:
        self.result, self._row, self._limits = first_look(design), None, {}
        self.axes.offer(study.usual_axes(design), self.result.axes)

    def draw(self, answer: Answer, ghost: Answer | None) -> str:
        """Upright axes side by side, or one metric against another."""
        if self.shown == "axes":
            return trade_axes(answer, ghost, focus=self._row)
        return trade_scatter(answer, ghost, focus=self._row, across=self._across, up=self._up)

    def _renew(self) -> None:
        super()._renew()
        if self.answer is not None:
            self._tell(self.about_candidate())

    def spoken(self, answer: Answer) -> str:
        """The verdict says how the present design stands among the others."""
        word = {"fix": "outside your limits", "note": "beaten", "holds": "nothing beats yours"}
        return panes.spoken(answer.word, answer.mark, answer.sentence, word.get(answer.word, answer.word))

    def about_candidate(self) -> str:
        """What the candidate in focus changes, and why it lost or what speaks for it."""
        if self._row is None:
            return "No candidate is in focus: none keeps your limits. Give way on one of them, or let more change."
        said = why(self.result, self._row, BY, self.limits).sentence
        return f"Candidate {self._row}: {changed_words(self.result, self._row)}. {said}"

    def _tell(self, words: str) -> None:
        self._told.value = f'<div class="trailer-told">{escape(words)}</div>'

    def take_it(self) -> None:
        """Put the values of the candidate in focus into the design, as one step of Undo."""
        if self._row is None:
            raise DesignError("no candidate is in focus; pick one first.")
        self.take(
            self.design.replace_all(self.result.changes(self._row)), f"Took candidate {self._row}. Keep writes it."
        )

    def go_nearest(self) -> None:
        """The candidate that keeps the limits with the fewest values changed."""
        found = nearest(self.result, self.limits, self._row_of_design())
        if found.row is not None:
            self._row = found.row
            self._fresh()
        self._say(found.sentence, warn=found.row is None)

    def _row_of_design(self) -> int | None:
        """The candidate that says what the present design says; None where there is none."""
        return self.result.row_of(self.design)

    def say_matters(self) -> None:
        """How much each axis moves the reserve and the cost."""
        self._tell(" ".join(study.matters(self.design, self.result.axes, key).sentence for key in self.moving()))

    def moving(self) -> list[str]:
        """The metrics of which it is said what matters: those of the second picture that are known."""
        chosen = dict.fromkeys((self._up, self._across))
        return [key for key in chosen if not np.isnan(self.trade.here[key])]

    def say_sure(self) -> None:
        """In how many cases the design holds when its loads draw more."""
        self._tell(study.tolerance(self.design, self.limits).sentence)

    def _place(self) -> int | None:
        order = self.trade.unbeaten if self.answer is not None else np.empty(0)
        here = np.flatnonzero(order == self._row) if self._row is not None else np.empty(0)
        return None if not len(order) else int(here[0]) + 1 if here.size else 1

    def _fit_best(self, slider: widgets.IntSlider) -> None:
        slider.max = max(1, len(self.trade.unbeaten) if self.answer is not None else 1)

    def _fit_number(self, number: widgets.BoundedIntText) -> None:
        number.max = max(0, self.result.count - 1)

    def _look(self, axes: Sequence[study.Steps]) -> Callable[..., Result]:
        """How the ticked axes are looked at; the present design is the one that is varied."""
        design = self.design
        return lambda **told: study.sweep(design, axes, KEYS, **told)

    def _arrived(self, result: Result) -> None:
        """A sweep is through; one that was stopped changes nothing."""
        with self._guarded():
            if not result.complete:
                self._say(f"Stopped after {many(result.count)} designs; what was there before stays.")
                return
            self.result, self._row = result, None
            self._limits = {key: end for key, end in self._limits.items() if end is not None}
            self._say(f"Looked at {many(result.count)} designs.")
            self._fresh()

    def _failed(self, error: Exception) -> None:
        """An error on the way: what a design says wrong is said, all else is a fault."""
        with self._guarded(keep_verdict=True):
            raise error

    def in_words(self) -> str:
        """Verdict, numbers and the best candidates as plain text, and what is said of the one in focus."""
        told = "" if self.answer is None else self.answer.text()
        return f"{told}\n\n{self.about_candidate()}"


LOOK = """<style>
.trailer .trailer-trade-told { height:54px; overflow:auto; margin:0 2px; }
.trailer .trailer-trade-told .trailer-told { font-size:13px; line-height:1.35; color:var(--trailer-ink); }
.trailer .trailer-trade-axes .widget-checkbox { width:auto; }
.trailer .trailer-trade-axes label, .trailer .widget-checkbox label { color:var(--trailer-ink); }
.trailer .trailer-said { max-height:36px; overflow:hidden; line-height:1.3; }
.trailer .trailer-trade-progress { margin:0 8px; }
</style>"""
WIDE = {"width": "336px", "height": "28px", "margin": "1px 2px"}
STYLE = {"description_width": "122px"}
METRIC_PICKS = [(title_of(key), key) for key in BY]


def trade(design: Design) -> TradeBench:
    """The bench of “What would I trade?” for a design."""
    return TradeBench(design)
