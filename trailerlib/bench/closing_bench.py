"""The bench of “Can the walls close?”."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from html import escape

import ipywidgets as widgets

from trailerlib.bench.past import MOST_STEPS
from trailerlib.bench.sheet_bench import SheetBench
from trailerlib.bench.sheet_form import Shown
from trailerlib.design.design import Design
from trailerlib.design.errors import DesignError
from trailerlib.design.readings import Reading, Readings, read_readings, read_typed, save_readings
from trailerlib.studies import closing as study
from trailerlib.studies.answer import Answer
from trailerlib.studies.closing.diagnose import Diagnosis
from trailerlib.studies.closing.drawn import Gauge
from trailerlib.studies.closing.rounds import title_of

Past = tuple[Readings, dict[str, str], dict[str, str], set[str]]


class ClosingBench(SheetBench):
    """The test sheet round by round: type what the meter shows, see what it says, and what to measure next."""

    name = "Can the walls close?"

    def __init__(self, design: Design) -> None:
        self._taken, self._trouble = Readings(), ""
        self._typed, self._wrong, self._new = dict[str, str](), dict[str, str](), set[str]()
        self._before, self._worked_out = list[Past](), dict[str, float]()
        self.date = widgets.Text(description="Date", placeholder="2026-03-01", continuous_update=True)
        self.by = widgets.Text(description="Initials", continuous_update=True)
        self._next, self._go = widgets.HTML(), widgets.Button(description="Go there")
        self._load(design)
        super().__init__(design)
        if self._trouble:
            self._say(self._trouble, warn=True)

    def _load(self, design: Design) -> None:
        """The readings beside the design; a file that cannot be read is said, and left as it is."""
        self._taken, self._trouble = Readings(), ""
        if design.origin is not None:
            try:
                self._taken = read_readings(design.origin.path)
            except DesignError as error:
                self._trouble = str(error)
        self._typed, self._wrong, self._new = {}, {}, set()

    @property
    def readings(self) -> Mapping[str, float]:
        """What counts: every reading but those whose field now says something that is not understood."""
        return {key: value for key, value in self._taken.values().items() if key not in self._wrong}

    def ask(self, design: Design) -> Answer:
        """What the readings so far say; asked anew only when they have changed."""
        values = dict(self.readings)
        if self.answer is not None and values == self._worked_out:
            return self.answer
        self._worked_out = values
        return study.answer(design, values)

    def diagnosis(self, answer: Answer) -> Diagnosis:
        """What the readings accuse."""
        found: Diagnosis = answer.picture
        return found

    def in_words(self) -> str:
        """Verdict, numbers and suspicions as plain text, and how far each round has come."""
        told = "" if self.answer is None else replace(self.answer, columns=()).text()
        routine = [one for one in self.rounds if one.routine]
        wide = max((len(one.name) for one in routine), default=0)
        read = [(one, sum(key in self.readings for key in one.keys)) for one in routine]
        return "\n".join([told, "", *(f"{one.name:<{wide}}  {count} of {len(one.keys)} read" for one, count in read)])

    def shown_line(self, key: str) -> Shown:
        """A line with what stands in its field: the text as it was typed, else the reading as it is kept."""
        taken = self._taken.get(key)
        text = self._typed.get(key, "" if taken is None else taken.text())
        return Shown(Gauge(self.sheet.of(key), self.readings.get(key)), text, self._wrong.get(key, ""))

    def enter(self, key: str, text: str) -> None:
        """Take what was typed into a line; what cannot be read is said under it and stays in its field."""
        line = self.sheet.of(key).line
        self._remember()
        self._typed[key] = text
        self._wrong.pop(key, None)
        try:
            value = read_typed(line, text)
        except DesignError as error:
            self._wrong[key] = str(error).removeprefix(f"{line.where}: ")
            return
        self._new.add(key)
        self._taken = self._taken.without(key) if value is None else self._taken.with_(key, Reading(value, line.asks))

    def _remember(self) -> None:
        now = (self._taken, dict(self._typed), dict(self._wrong), set(self._new))
        self._before = [*self._before[-MOST_STEPS:], now]

    def show_form(self) -> None:
        """The round, and what to measure next."""
        super().show_form()
        following = None if self.answer is None else self.diagnosis(self.answer).next
        self._go.disabled = following is None
        if following is None:
            self._next.value = '<div class="trailer-told"><b>Measure next:</b> nothing more would tell anything.</div>'
            return
        line = following.line
        self._next.value = (
            f'<div class="trailer-told"><b>Measure next,</b> {escape(title_of(line))}: {escape(line.where)}. '
            f"{escape(following.why)}</div>"
        )

    def go(self) -> None:
        """Turn the form to the line that tells the most."""
        following = None if self.answer is None else self.diagnosis(self.answer).next
        if following is not None:
            self.go_to(following.line.key)

    def above(self) -> Sequence[widgets.Widget]:
        """What to measure next, and the way there."""
        self._go.layout, self._next.layout = {"width": "96px", "min_width": "96px"}, {"flex": "1 1 auto"}
        self._go.tooltip = "Turn the form to that line"
        self._go.add_class("trailer-go")
        self._go.on_click(lambda _: self.go())
        box = widgets.HBox([self._next, self._go], layout={"align_items": "center", "height": "48px"})
        box.add_class("trailer-next")
        return (box,)

    def _buttons(self) -> widgets.Widget:
        self.date.layout, self.by.layout = {"width": "168px"}, {"width": "128px"}
        for field, key in ((self.date, "date"), (self.by, "by")):
            field.style = {"description_width": "initial"}
            field.add_class(f"trailer-{key}")
        self.date.tooltip = "The day of the readings: year, month, day"
        self.by.tooltip = "Who read the meter"
        self._said.add_class("trailer-said")
        pressed = self.buttons(
            (
                "keep",
                "Keep readings",
                "Write the readings beside the design, with the date and the initials",
                self.keep,
            ),
            ("undo", "Undo", "Take back the last entry", self.undo),
            ("clear", "Clear this line", "The marked line counts as not measured", self.clear),
            ("reset", "Read again", "Back to the readings that are kept beside the design", self.reset),
        )
        row = widgets.HBox([self.date, self.by, *pressed, self._said], layout={"align_items": "flex-start"})
        row.add_class("trailer-row")
        return row

    def clear(self) -> None:
        """The line in focus counts as not measured."""
        if self.at is not None:
            self._on_entry(self.at, "")

    def keep(self) -> None:
        """Write the readings beside the design, in one step; a newer file is never overwritten."""
        with self._guarded(keep_verdict=True):
            if self.design.origin is None:
                raise DesignError("The design has no file yet: keep it in one first, then the readings beside it.")
            if not self.date.value.strip():
                raise DesignError("Type the date of the readings first, such as 2026-03-01; nothing was written.")
            self._taken = save_readings(self._dated(), self.design.origin.path)
            self._new = set()
            left = f" Not kept, not understood: {len(self._wrong)}." if self._wrong else ""
            self._say(f"Kept {len(self._taken)} readings beside the design.{left}", warn=bool(left))

    def _dated(self) -> Readings:
        """The readings, those entered since the last Keep with the date and the initials."""
        found, day, who = self._taken, self.date.value.strip(), self.by.value.strip()
        for key in sorted(self._new):
            one = found.get(key)
            if one is not None:
                found = found.with_(key, Reading(one.value, one.asks, day, who, one.note))
        return found

    def undo(self) -> None:
        """Take back the last entry."""
        with self._guarded(keep_verdict=True):
            if not self._before:
                self._say("There is nothing to take back.")
                return
            taken, self._typed, self._wrong, self._new = self._before.pop()
            self._taken = Readings(taken.taken, self._taken.revision, self._taken.origin)
            self._say("Took back the last entry.")
            self._fresh()

    def reset(self) -> None:
        """Read the readings that are kept beside the design; what was not kept is gone."""
        with self._guarded(keep_verdict=True):
            self._remember()
            self._load(self.design)
            self._say(self._trouble or "Back to the readings that are kept.", warn=bool(self._trouble))
            self._fresh()


def closing(design: Design) -> ClosingBench:
    """The bench of “Can the walls close?” for a design."""
    return ClosingBench(design)
