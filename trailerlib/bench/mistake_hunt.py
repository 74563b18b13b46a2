"""The bug hunt: tick what is wrong, commit, and only then see what the rules find; then mend it, one by one."""

from __future__ import annotations

from html import escape

import ipywidgets as widgets

from trailerlib.bench import lesson_words
from trailerlib.bench.keys import Keys
from trailerlib.bench.lesson_page import LessonPage
from trailerlib.bench.lesson_style import LESSON_STYLE
from trailerlib.bench.number_field import guarded
from trailerlib.design.design import Design
from trailerlib.rules.finding import Finding
from trailerlib.studies.lessons.mistakes import AS_IT_IS, FACTS, Changes, Fact, checks_of, left_over, shuffled, wrong

NAME = "Ten mistakes"
STYLE = """<style>
.trailer-lesson .trailer-fact { border-bottom:1px solid var(--trailer-grid); padding:3px 0; }
.trailer-lesson .trailer-fact label { font-size:14.5px; white-space:normal; }
.trailer-lesson .trailer-fact .widget-html-content { font-size:13.5px; line-height:1.35; max-width:84ch; }
</style>"""


class MistakeHunt(widgets.VBox):
    """The list of facts. Nothing of what the rules say is worked out before as many are ticked as are wrong."""

    def __init__(self, page: LessonPage) -> None:
        self._page, self.design = page, page.design
        self.facts = shuffled(FACTS)
        self._count = sum(bool(fact.mends) for fact in FACTS)
        self._wrong: dict[str, Finding] = {}
        self.ticks = {fact.key: self._tick(fact) for fact in self.facts}
        self.mends: dict[str, widgets.Dropdown] = {}
        self._notes = {fact.key: widgets.HTML() for fact in self.facts}
        self.commit = self._button("Commit", "Then the page says what is wrong", self.press, "commit")
        self.skip = self._button("Skip (owner)", "Show what is wrong without a choice", self.tell, "skip")
        self._said = widgets.HTML(self._asked())
        self._rows = {fact.key: widgets.VBox([self.ticks[fact.key], self._notes[fact.key]]) for fact in self.facts}
        for row in self._rows.values():
            row.add_class("trailer-fact")
        bar = widgets.HBox([self.commit, self.skip])
        super().__init__([widgets.HTML(LESSON_STYLE + STYLE), *self._rows.values(), bar, self._said, Keys()])
        self.add_class("trailer")
        self.add_class("trailer-lesson")
        page.when_open(self._as_owner)

    def _tick(self, fact: Fact) -> widgets.Checkbox:
        tick = widgets.Checkbox(description=fact.words(self.design), indent=False, layout={"width": "auto"})
        tick.observe(lambda change: self._say(self._asked()), "value")
        return tick

    def _button(self, words: str, tooltip: str, call: object, key: str) -> widgets.Button:
        button = widgets.Button(description=words, tooltip=tooltip, layout={"width": "auto"})
        button.add_class(f"trailer-mistakes-{key}")
        button.on_click(lambda _: call())  # type: ignore[operator]
        return button

    @property
    def told(self) -> bool:
        """Whether what is wrong has been shown."""
        return bool(self._wrong)

    @property
    def said(self) -> str:
        """What it last said, as HTML."""
        return str(self._said.value)

    def note(self, key: str) -> str:
        """What stands under a fact, as HTML; empty until it has been told."""
        return str(self._notes[key].value)

    def _say(self, html: str) -> None:
        if not self.told:
            self._said.value = html

    def _asked(self) -> str:
        ticked = sum(tick.value for tick in self.ticks.values()) if hasattr(self, "ticks") else 0
        return lesson_words.note("ticked", "○", "not checked", f"{ticked} of {self._count}.")

    def _as_owner(self) -> None:
        """The owner who skipped the lesson sees everything; a learner who committed a number still has to tick."""
        if self._page.found is None:
            self.tell()

    def press(self) -> None:
        """Commit what is ticked, when it is as many as there are mistakes."""
        with guarded(NAME, self._say):
            ticked = [key for key, tick in self.ticks.items() if tick.value]
            if len(ticked) != self._count:
                words = f"Tick {self._count} of the facts; {len(ticked)} are ticked now."
                self._say(lesson_words.trouble(words))
                return
            self._tell(ticked)

    def tell(self) -> None:
        """Show what is wrong without a choice."""
        with guarded(NAME, self._say):
            self._tell(None)

    def _tell(self, ticked: list[str] | None) -> None:
        if self.told:
            return
        found = wrong(FACTS, checks_of(self.design))
        right = 0 if ticked is None else len(set(ticked) & set(found))
        keep = self._page.progress.keep_count
        kept = "" if ticked is None else keep(self._page.lesson.key, "mistakes", right, len(found))
        for fact in self.facts:
            self._reveal(fact, found.get(fact.key), None if ticked is None else fact.key in ticked)
        self._wrong = found
        words = "Skipped." if ticked is None else f"{right} of {len(found)} found. {kept}"
        self._said.value = lesson_words.note("told", "✓", "holds", f"{words} Now mend them, one by one.")
        self.commit.disabled = self.skip.disabled = True

    def _reveal(self, fact: Fact, finding: Finding | None, ticked: bool | None) -> None:
        self.ticks[fact.key].disabled = True
        if finding is None:
            self._notes[fact.key].value = lesson_words.note(
                "in order" if ticked is not True else "in order after all",
                "✓",
                "holds",
                "The rule that looks at it holds.",
            )
            return
        seen = "" if ticked is None else " You saw it." if ticked else " You passed it."
        self._notes[fact.key].value = _finding(finding, self.design) + (seen and f"<small>{escape(seen)}</small>")
        choices = [("as it is", AS_IT_IS), *((mend.words, mend.changes) for mend in fact.mends)]
        pick = widgets.Dropdown(options=choices, description="Mend", layout={"width": "460px"})
        pick.observe(lambda change: self._mended(), "value")
        self.mends[fact.key] = pick
        self._rows[fact.key].children = (self.ticks[fact.key], self._notes[fact.key], pick)

    def changed(self) -> Design:
        """The trailer with every mend that is chosen now."""
        changes: dict[tuple[str, ...], object] = {}
        for pick in self.mends.values():
            chosen: Changes = pick.value
            changes |= dict(chosen)
        return self.design.replace_all(changes) if changes else self.design

    def _mended(self) -> None:
        """Ask all rules anew about the trailer as it is mended now."""
        with guarded(NAME, self._fail):
            design = self.changed()
            checks = checks_of(design)
            still, new = wrong(FACTS, checks), left_over(FACTS, checks)
            for key, first in self._wrong.items():
                now = still.get(key)
                self._notes[key].value = (
                    lesson_words.note(
                        "mended", "✓", "holds", f"The rule “{' '.join(first.rule.split('-'))}” holds now."
                    )
                    if now is None
                    else _finding(now, design)
                )
            done = len(self._wrong) - len(still)
            worse = "".join(_finding(found, design) for found in new)
            mark = ("all mended", "✓", "holds") if not still and not new else ("so far", "●", "note")
            self._said.value = lesson_words.note(*mark, f"{done} of {len(self._wrong)} mended.") + worse

    def _fail(self, html: str) -> None:
        self._said.value = html


def _finding(finding: Finding, design: Design) -> str:
    return lesson_words.note(finding.severity, finding.mark, finding.severity, finding.text(design.units))


def find_the_mistakes(page: LessonPage) -> MistakeHunt:
    """The bug hunt of a lesson's page."""
    return MistakeHunt(page)
