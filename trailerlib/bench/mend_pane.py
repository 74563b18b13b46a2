"""One mistake at a time: what its rule says, what could be done, and at once what that does."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from html import escape

import ipywidgets as widgets

from trailerlib.bench import lesson_words
from trailerlib.bench.button import button
from trailerlib.bench.number_field import guarded
from trailerlib.design.design import Design
from trailerlib.rules.finding import Finding
from trailerlib.studies.lessons.mistakes import AS_IT_IS, Changes, Fact
from trailerlib.studies.lessons.problem import unbroken

WAITS = '<div class="trailer-closed">Here you mend them, one by one, once they are committed.</div>'
NAME = "Ten mistakes"
Ask = Callable[[], tuple[Mapping[str, Finding], Sequence[Finding]]]


class MendPane(widgets.VBox):
    """The mistakes in their order. ``ask`` says what is wrong now, by fact, and what else is; ``mended`` is told."""

    def __init__(self, design: Design, ask: Ask, mended: Callable[[int, bool], None]) -> None:
        self._design, self._ask, self._mended = design, ask, mended
        self._head, self._says, self._worse = widgets.HTML(), widgets.HTML(), widgets.HTML()
        self._facts: tuple[Fact, ...] = ()
        self._first: dict[str, Finding] = {}
        self._at = 0
        self.picks: dict[str, widgets.ToggleButtons] = {}
        self.back = button("Back", "The mistake before", lambda: self.show(self._at - 1), "mend-back")
        self.next = button("Next mistake", "The next one", lambda: self.show(self._at + 1), "mend-next")
        self._waits = widgets.HTML(WAITS)
        super().__init__([self._waits], layout={"min_height": "216px"})
        self.add_class("trailer-mend")

    def begin(self, facts: Sequence[Fact], first: Mapping[str, Finding]) -> None:
        """Take the mistakes; nothing of them was on the page before.

        Parameters
        ----------
        facts : all that can be seen, in their order
        first : what is wrong, by fact
        """
        self._first = dict(first)
        self._facts = tuple(fact for fact in facts if fact.key in first)
        self.picks = {fact.key: self._pick(fact) for fact in self._facts}
        self.show(0)

    def end(self) -> None:
        """Take all of it off the page."""
        self._facts, self._first, self.picks = (), {}, {}
        self._head.value = self._says.value = self._worse.value = ""
        parts: tuple[widgets.Widget, ...] = (self._waits,)
        self.children = parts

    def _pick(self, fact: Fact) -> widgets.ToggleButtons:
        choices = [("as it is", AS_IT_IS), *((mend.words, mend.changes) for mend in fact.mends)]
        pick = widgets.ToggleButtons(options=choices, style={"button_width": "auto"})
        pick.observe(lambda change: self.renew(), "value")
        return pick

    def show(self, number: int) -> None:
        """Go to a mistake.

        Parameters
        ----------
        number : [-] which, from 0; past the last comes the first
        """
        self._at = number % len(self._facts)
        fact = self._facts[self._at]
        buttons = widgets.HBox([self.back, self.next])
        parts: tuple[widgets.Widget, ...] = (self._head, self._says, self.picks[fact.key], buttons, self._worse)
        self.children = parts
        self.renew()

    def changes(self) -> dict[tuple[str, ...], object]:
        """What all chosen mends change in the design."""
        found: dict[tuple[str, ...], object] = {}
        for pick in self.picks.values():
            chosen: Changes = pick.value
            found |= dict(chosen)
        return found

    @property
    def chosen(self) -> tuple[str, ...]:
        """What is chosen for each mistake, as it is kept."""
        return tuple(f"{key}: {pick.label}" for key, pick in self.picks.items())

    def put_back(self, chosen: Collection[str]) -> None:
        """Choose again what was kept.

        Parameters
        ----------
        chosen : as ``chosen`` gave it
        """
        for key, pick in self.picks.items():
            pick.value = next((value for words, value in pick.options if f"{key}: {words}" in chosen), pick.value)

    def renew(self) -> None:
        """Ask all rules anew, and say what they find of this mistake and of what was in order before."""
        with guarded(NAME, self._fail):
            self._renew()

    def _fail(self, html: str) -> None:
        self._says.value = html

    def _renew(self) -> None:
        still, new = self._ask()
        fact = self._facts[self._at]
        count = f"Mistake {self._at + 1} of {len(self._facts)}."
        words = f"<b>{count}</b> {escape(unbroken(fact.words(self._design)))}"
        self._head.value = f'<p class="trailer-read">{words}</p>'
        now = still.get(fact.key)
        self._says.value = self._holds(fact) if now is None else finding_note(now, self._design)
        self._worse.value = "".join(finding_note(found, self._design) for found in new)
        self._mended(len(self._first) - len(still), not still and not new)

    def _holds(self, fact: Fact) -> str:
        rule = " ".join(self._first[fact.key].rule.split("-"))
        return lesson_words.note("mended", "✓", "holds", f"The rule “{rule}” holds now.")


def finding_note(finding: Finding, design: Design) -> str:
    """A finding as a line of a lesson.

    Parameters
    ----------
    finding : it
    design : whose units are read
    """
    return lesson_words.note(finding.severity, finding.mark, finding.severity, finding.text(design.units))
