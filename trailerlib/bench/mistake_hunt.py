"""The bug hunt: tick what is wrong, commit, and only then see what the rules find; then mend it, one by one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape

import ipywidgets as widgets

from trailerlib.bench import lesson_words
from trailerlib.bench.button import button
from trailerlib.bench.keys import Keys
from trailerlib.bench.lesson_page import LessonPage
from trailerlib.bench.lesson_style import LESSON_STYLE
from trailerlib.bench.mend_pane import NAME, MendPane
from trailerlib.bench.number_field import guarded
from trailerlib.bench.style import tone
from trailerlib.design.design import Design
from trailerlib.design.learner import Attempt
from trailerlib.rules.finding import Finding
from trailerlib.studies.lessons.mistakes import FACTS, Fact, along_the_way, checks_of, left_over, shuffled, wrong
from trailerlib.studies.lessons.problem import unbroken

TASK, MENDED = "mistakes", "mended"
MARKS = {  # by whether it is wrong and whether it was ticked: severity, mark, word
    (True, True): ("holds", "✓", "found"),
    (True, False): ("stop", "■", "missed"),
    (True, None): ("stop", "■", "wrong"),
    (False, True): ("fix", "▲", "in order"),
    (False, False): ("holds", "✓", "in order"),
    (False, None): ("holds", "✓", "in order"),
}
STYLE = """<style>
.trailer-lesson .trailer-facts { display:grid; grid-template-columns:repeat(auto-fit, minmax(330px, 1fr)); gap:0 22px; }
.trailer-lesson .trailer-facts h4 { font-size:13.5px; font-weight:650; margin:8px 0 2px 0; color:var(--trailer-ink); }
.trailer-lesson .trailer-fact { border-bottom:1px solid var(--trailer-grid); align-items:center; min-height:34px; }
.trailer-lesson .trailer-fact .widget-html, .trailer-lesson .trailer-fact .widget-html-content { line-height:1.3;
  margin:0; min-height:0; }
.trailer-lesson .trailer-fact > .widget-html { padding-left:8px; box-sizing:border-box; }
.trailer-lesson .trailer-fact .widget-checkbox { height:auto; flex:1 1 auto; width:auto; margin:0; }
.trailer-lesson .trailer-fact label { display:flex; align-items:flex-start; font-size:13.5px; line-height:1.3;
  padding:2px 0; white-space:normal; }
.trailer-lesson .trailer-fact input { flex:0 0 auto; margin:2px 7px 0 0; }
.trailer-lesson .trailer-fact .trailer-mark { font-size:13px; font-weight:600; color:var(--tone); white-space:nowrap; }
.trailer-lesson .trailer-hunt-bar { align-items:center; min-height:62px; }
.trailer-lesson .trailer-hunt-bar .widget-html { flex:1 1 auto; width:auto; }
.trailer-lesson .trailer-mend .widget-toggle-buttons .jupyter-button { height:34px; font-size:14px; padding:0 12px; }
.trailer-lesson .trailer-mend > .widget-hbox { margin-top:10px; }
</style>"""


class MistakeHunt(widgets.VBox):
    """The list of facts. Nothing of what the rules say is worked out before as many are ticked as are wrong.

    The list keeps its height when it is told, so that the count stands beside the button that was pressed.
    """

    def __init__(self, page: LessonPage) -> None:
        self._page, self.design = page, page.design
        self.facts = shuffled(FACTS)
        self._count = sum(bool(fact.mends) for fact in FACTS)
        self._wrong: dict[str, Finding] = {}
        self._kept_mended, self._told_words = False, ""
        self.ticks = {fact.key: self._tick(fact) for fact in self.facts}
        self._marks = {fact.key: widgets.HTML(layout={"flex": "0 0 84px"}) for fact in self.facts}
        self.commit = button("Commit", "Then the page says what is wrong", self.press, "mistakes-commit")
        self.skip = button("Skip (owner)", "Show what is wrong without a choice", self.tell, "mistakes-skip")
        self._said = widgets.HTML(self._asked())
        self.pane = MendPane(self.design, self._asked_anew, self._mended)
        bar = widgets.HBox([self.commit, self.skip, self._said])
        bar.add_class("trailer-hunt-bar")
        super().__init__([widgets.HTML(LESSON_STYLE + STYLE), self._list(), bar, self.pane, Keys()])
        self.add_class("trailer")
        self.add_class("trailer-lesson")
        page.add(self)

    def _list(self) -> widgets.Widget:
        """The facts under their heads, those of battery and wires in one column."""
        boxes = [
            widgets.VBox([widgets.HTML(f"<h4>{escape(head)}</h4>"), *(self._row(fact) for fact in here)])
            for head, here in along_the_way(FACTS)
        ]
        grid = widgets.Box([widgets.VBox(boxes[:2]), *boxes[2:]])
        grid.add_class("trailer-facts")
        return grid

    def _row(self, fact: Fact) -> widgets.HBox:
        row = widgets.HBox([self.ticks[fact.key], self._marks[fact.key]])
        row.add_class("trailer-fact")
        return row

    def _tick(self, fact: Fact) -> widgets.Checkbox:
        tick = widgets.Checkbox(description=unbroken(fact.words(self.design)), indent=False, layout={"width": "auto"})
        tick.observe(lambda change: self._say(self._asked()), "value")
        return tick

    @property
    def told(self) -> bool:
        """Whether what is wrong has been shown."""
        return bool(self._wrong)

    @property
    def said(self) -> str:
        """What it last said beside the button, as HTML."""
        return str(self._said.value)

    @property
    def mends(self) -> Mapping[str, widgets.ToggleButtons]:
        """What could be done about each mistake; empty until they have been told."""
        return self.pane.picks

    def mark(self, key: str) -> str:
        """What stands beside a fact, as HTML; empty until it has been told."""
        return str(self._marks[key].value)

    def _say(self, html: str) -> None:
        if not self.told:
            self._said.value = html

    def _asked(self) -> str:
        ticked = sum(tick.value for tick in self.ticks.values())
        return lesson_words.note("ticked", "○", "not checked", f"{ticked} of {self._count}.")

    def unlock(self) -> None:
        """The owner who skipped the lesson sees everything; a learner who committed a number still has to tick."""
        if self._page.found is None:
            self.tell()

    def lock(self) -> None:
        """Somebody else is here: nothing is ticked and nothing told."""
        self._wrong, self._kept_mended = {}, False
        self.pane.end()
        for fact in self.facts:
            self._marks[fact.key].value = ""
            self.ticks[fact.key].disabled = self.ticks[fact.key].value = False
        self.commit.disabled = self.skip.disabled = False
        self._said.value = self._asked()

    def put_back(self, kept: Sequence[Attempt]) -> None:
        """What this learner ticked first, and the mends once all were made.

        Parameters
        ----------
        kept : what this learner has committed in this lesson
        """
        with guarded(NAME, self._say):
            ticked = next((one.chosen for one in kept if one.task == TASK and one.chosen), None)
            if ticked is None or self.told:
                return
            for key, tick in self.ticks.items():
                tick.value = key in ticked
            self._tell(list(ticked), "Put back.")
            done = next((set(one.chosen) for one in kept if one.task == MENDED), set())
            self._kept_mended = bool(done)
            self.pane.put_back(done)

    def press(self) -> None:
        """Commit what is ticked, when it is as many as there are mistakes."""
        with guarded(NAME, self._say):
            ticked = [key for key, tick in self.ticks.items() if tick.value]
            if len(ticked) != self._count:
                words = f"Tick {self._count} of the facts; {len(ticked)} are ticked now."
                self._say(lesson_words.trouble(words))
                return
            found = wrong(FACTS, checks_of(self.design))
            self._tell(ticked, self._keep(TASK, len(set(ticked) & set(found)), ticked))

    def _keep(self, task: str, right: int, chosen: Sequence[str]) -> str:
        return self._page.progress.keep_count(self._page.lesson.key, task, right, self._count, chosen)

    def tell(self) -> None:
        """Show what is wrong without a choice."""
        with guarded(NAME, self._say):
            self._tell(None, "")

    def _tell(self, ticked: list[str] | None, kept: str) -> None:
        if self.told:
            return
        found = wrong(FACTS, checks_of(self.design))
        right = 0 if ticked is None else len(set(ticked) & set(found))
        for fact in self.facts:
            severity, mark, word = MARKS[fact.key in found, None if ticked is None else fact.key in ticked]
            shade = tone(severity)
            self._marks[fact.key].value = f'<span class="trailer-mark" style="--tone:{shade}">{mark} {word}</span>'
            self.ticks[fact.key].disabled = True
        self._told_words = "Skipped." if ticked is None else f"{right} of {len(found)} found. {kept}"
        self._wrong = found
        self.commit.disabled = self.skip.disabled = True
        self.pane.begin(self.facts, found)

    def changed(self) -> Design:
        """The trailer with every mend that is chosen now."""
        changes = self.pane.changes()
        return self.design.replace_all(changes) if changes else self.design

    def _asked_anew(self) -> tuple[Mapping[str, Finding], Sequence[Finding]]:
        """What is wrong with the trailer as it is mended now: by fact, and what belongs to none."""
        checks = checks_of(self.changed())
        return wrong(FACTS, checks), left_over(FACTS, checks)

    def _mended(self, done: int, all_of_it: bool) -> None:
        """Say how many are mended; all of them are kept once."""
        with guarded(NAME, self._fail):
            if all_of_it and not self._kept_mended:
                self._keep(MENDED, done, self.pane.chosen)
                self._kept_mended = True
            mark = ("all mended", "✓", "holds") if all_of_it else ("told", "●", "note")
            self._said.value = lesson_words.note(*mark, f"{self._told_words} {done} of {len(self._wrong)} mended.")

    def _fail(self, html: str) -> None:
        self._said.value = html


def find_the_mistakes(page: LessonPage) -> MistakeHunt:
    """The bug hunt of a lesson's page."""
    return MistakeHunt(page)
