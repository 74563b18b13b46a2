"""Lines of the test sheet as a form: a fixed number of rows that are labelled anew for every round."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from html import escape

import ipywidgets as widgets

from trailerlib.bench.style import tone
from trailerlib.design.typed import unit_of
from trailerlib.pictures.closing_gauges import MARKS, band
from trailerlib.studies.closing import words
from trailerlib.studies.closing.drawn import Gauge
from trailerlib.studies.closing.line import Line
from trailerlib.studies.closing.rounds import AT_ONCE, Round

WIDTH = 402
TONES = {"agrees": "holds", "differs": "stop", "not measured": "not checked", "not checked": "not checked"}
FORM_STYLE = """<style>
.trailer .trailer-line { border-bottom:1px solid var(--trailer-grid); padding:3px 0 2px 8px; margin:0; overflow:hidden;
  flex:0 0 auto; }
.trailer .trailer-line .widget-label { white-space:normal; line-height:1.2; height:auto; min-height:30px; display:flex;
  align-items:center; text-align:left; justify-content:flex-start; font-size:13px; }
.trailer .trailer-line input { height:32px; font-size:15px; }
.trailer .trailer-line button { height:34px; font-size:14px; }
.trailer .trailer-line .widget-text { height:auto; min-height:34px; align-items:center; }
.trailer .trailer-line .widget-html { height:auto; margin:0; }
.trailer .trailer-line .widget-html-content { line-height:1.25; }
.trailer .trailer-asked { font-size:13px; line-height:1.2; color:var(--trailer-ink); }
.trailer .trailer-mark { font-size:13px; font-weight:600; white-space:nowrap; padding-left:2px; }
.trailer .trailer-small { font-size:12px; color:var(--trailer-ghost); }
.trailer .trailer-wrong { font-size:12.5px; color:var(--trailer-stop); }
.trailer .trailer-here { box-shadow:inset 4px 0 0 var(--trailer-dc); }
.trailer .trailer-told { font-size:13px; line-height:1.3; color:var(--trailer-ink); }
.trailer .trailer-told b { font-weight:600; }
.trailer .trailer-next { border-left:6px solid var(--trailer-dc); padding-left:10px; margin:4px 0 0 0; }
.trailer .trailer-next button { height:38px; }
.trailer .trailer-next .trailer-told { font-size:12.5px; line-height:1.2; display:-webkit-box; -webkit-line-clamp:3;
  -webkit-box-orient:vertical; overflow:hidden; }
.trailer .trailer-next .widget-html { height:auto; margin:0; }
.trailer-form { scrollbar-width:thin; scrollbar-gutter:stable; }
.trailer.trailer-sheet .trailer-verdict span { font-size:14.5px; line-height:1.2; -webkit-line-clamp:3; }
.trailer.trailer-sheet .trailer-picture svg { height:366px; }
.trailer.trailer-sheet .trailer-page-box { height:78px !important; }
.trailer.trailer-sheet table td:not(:last-child), .trailer.trailer-sheet table td.n { white-space:normal; }
</style>"""


@dataclass(frozen=True)
class Shown:
    """One line as the form shows it: the line with its reading, what stands in its field, what is wrong with that."""

    gauge: Gauge
    text: str
    wrong: str


class _Row:
    """One row: label and field, or label and button; mark and word; what it should read."""

    def __init__(self, number: int, act: Callable[[str, str], None], typed: bool) -> None:
        self.key, self._quiet, self._act = "", False, act
        self.mark, self.small, self._label = widgets.HTML(), widgets.HTML(), widgets.HTML()
        self.mark.layout = {"width": "120px"}
        self.field: widgets.Text | widgets.Button
        if typed:
            self.field = widgets.Text(
                continuous_update=False, layout={"width": "270px"}, style={"description_width": "170px"}
            )
            self.field.observe(lambda change: self._on_text(change["new"]), "value")
            parts: list[widgets.Widget] = [self.field, self.mark]
        else:
            self._label.layout = {"width": "168px"}
            self.field = widgets.Button(description="Measure", layout={"width": "100px"})
            self.field.on_click(lambda _: self._act(self.key, ""))
            parts = [self._label, self.field, self.mark]
        self.field.add_class(f"trailer-reading-{number}")
        self.box = widgets.VBox([widgets.HBox(parts, layout={"align_items": "center"}), self.small])
        self.box.add_class("trailer-line")

    def _on_text(self, text: str) -> None:
        if not self._quiet:
            self._act(self.key, text)

    def show(self, one: Shown | None, here: bool, shared: str) -> None:
        """Label it anew; without a line it goes away."""
        self.box.layout.display = "none" if one is None else ""
        if one is None:
            self.key = ""
            return
        line = one.gauge.line
        typed = isinstance(self.field, widgets.Text)
        where, told = line.where[:1].upper() + line.where[1:], asked(one.gauge, shared, typed)
        self._quiet, self.key = True, line.key
        try:
            self.field.tooltip = f"{where}. {line.state}. {line.setting}. Should read {band(one.gauge)}. {line.why}"
            if isinstance(self.field, widgets.Text):
                self.field.description, self.field.value = where, one.text
            else:
                self._label.value = f'<div class="trailer-asked">{escape(where)}</div>'
                self.field.disabled = one.gauge.read is not None or one.gauge.expected.value is None
        finally:
            self._quiet = False
        self.mark.value = _mark(one, not typed)
        self.small.value = (
            f'<div class="trailer-wrong">▲ {escape(one.wrong)}</div>'
            if one.wrong
            else f'<div class="trailer-small">{escape(told)}</div>'
        )
        (self.box.add_class if here else self.box.remove_class)("trailer-here")


def _mark(one: Shown, with_reading: bool) -> str:
    verdict = "not checked" if one.wrong else one.gauge.verdict
    words_ = f"{MARKS[verdict]} {'unclear' if one.wrong else verdict}"
    if with_reading and one.gauge.read is not None:
        words_ = f"{words.reading(one.gauge.read, one.gauge.line.asks)} {MARKS[verdict]}"
    return f'<div class="trailer-mark" style="color:{tone(TONES[verdict])}">{escape(words_)}</div>'


def asked(gauge: Gauge, shared: str, typed: bool = True) -> str:
    """What a line should read, in which unit a bare number is taken, and the meter where the round has not one for all.

    Parameters
    ----------
    gauge : the line
    shared : setting of the meter that all lines of the round have, else ""
    typed : whether a reading is typed, so that the unit of a bare number matters
    """
    line = gauge.line
    if gauge.expected.value is None:
        return f"Not checked: {gauge.expected.missing}."
    unit = unit_of(line)
    parts = [f"should read {band(gauge)}"]
    if typed:
        parts.append(f"a bare number is in {unit}" if unit else "write yes or no")
    if line.setting and line.setting != shared:
        parts.append(line.setting)
    return "; ".join(parts)


class SheetForm(widgets.VBox):
    """The rows, under a head that says how the switches and the meter are.

    ``act`` is called with the key of a line and what was typed into it, or with "" when its button was pressed.
    """

    def __init__(self, act: Callable[[str, str], None], typed: bool = True) -> None:
        self._head = widgets.HTML(layout={"margin": "2px 0"})
        self._rows = [_Row(number, act, typed) for number in range(AT_ONCE)]
        super().__init__([self._head, *(row.box for row in self._rows)], layout={"flex": "0 0 auto"})

    def show(self, round_: Round | None, shown: Mapping[str, Shown], here: str | None) -> None:
        """Show a round.

        Parameters
        ----------
        round_ : which; None when there is nothing to measure
        shown : its lines by key
        here : key of the line in focus
        """
        lines = () if round_ is None else tuple(one.line for one in round_.lines)
        shared = shared_setting(lines)
        self._head.value = head(lines, shared)
        for number, row in enumerate(self._rows):
            key = lines[number].key if number < len(lines) else None
            row.show(None if key is None else shown[key], key == here, shared)

    def focus_on(self, key: str) -> None:
        """Put the keyboard on the field of a line, when it is shown."""
        for row in self._rows:
            if row.key == key:
                row.field.focus()


def shared_setting(lines: Sequence[Line]) -> str:
    """The setting of the meter when all lines have the same, else nothing."""
    settings = {line.setting for line in lines}
    return settings.pop() if len(settings) == 1 else ""


def head(lines: Sequence[Line], shared: str) -> str:
    """How the switches are, and the meter where one setting is for all."""
    if not lines:
        return '<div class="trailer-told">Nothing to measure yet: put in a battery, circuits and loads first.</div>'
    states = list(dict.fromkeys(line.state for line in lines))
    state = states[0] if len(states) == 1 else "as each line says below"
    meter = f" <b>Meter:</b> {escape(shared)}." if shared else ""
    return f'<div class="trailer-told"><b>State:</b> {escape(state)}.{meter}</div>'
