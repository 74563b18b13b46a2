"""The small bench for practice: one hidden fault, found with as few measurements as possible."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import ipywidgets as widgets

from trailerlib.bench import panes
from trailerlib.bench.controls import Control, pick
from trailerlib.bench.sheet_bench import SheetBench
from trailerlib.design.design import Design
from trailerlib.design.errors import DesignError
from trailerlib.studies.answer import Answer
from trailerlib.studies.closing.block import Fault
from trailerlib.studies.closing.diagnose import Diagnosis
from trailerlib.studies.closing.hunt import Told, faults_of, hunt, told
from trailerlib.studies.closing.planted import Planted, plant

FIRST, MOST_SEEDS = 1, 999


class FaultHunt(SheetBench):
    """A planted fault: measure line by line with a button, name it, and only then see what it was and the score.

    Nothing of it is ever written beside the design.
    """

    name = "Find the fault"
    typed = False

    def __init__(self, design: Design) -> None:
        self._seed = FIRST
        self._planted: Planted | None = None
        self._read = dict[str, float]()
        self._kind: str | None = None
        self._guess: str | None = None
        self._told: Told | None = None
        super().__init__(design)

    @property
    def planted(self) -> Planted:
        """The trailer with its hidden fault; the same number hides the same fault."""
        if self._planted is None:
            try:
                self._planted = plant(self.design, self._seed)
            except ValueError as error:
                raise DesignError(str(error)) from None
        return self._planted

    def make_controls(self) -> Sequence[Control]:
        """Number of the hidden fault; side and round; what it is taken for: its kind and where."""
        seed = widgets.BoundedIntText(value=FIRST, min=FIRST, max=MOST_SEEDS, description="Fault no.")
        seed.layout, seed.tooltip = {"width": "336px", "height": "32px"}, "The same number hides the same fault again"
        seed.add_class("trailer-control-seed")
        return (
            Control("seed", seed, lambda d: self._seed),
            *super().make_controls(),
            pick(
                "kind",
                "It is",
                lambda d: [("…", ""), *((k, k) for k in self._kinds())],
                lambda d: self._kind or "",
                None,
            ),
            pick("guess", "Where", lambda d: [("…", ""), *self._subjects()], lambda d: self._guess or "", None),
        )

    def _faults(self) -> tuple[Fault, ...]:
        return faults_of(self.planted) if self.sheet.blocks and self.sheet.expected else ()

    def _kinds(self) -> list[str]:
        return list(dict.fromkeys(fault.kind for fault in self._faults()))

    def _subjects(self) -> list[tuple[str, str]]:
        return [(fault.subject, fault.key) for fault in self._faults() if fault.kind == self._kind]

    @property
    def readings(self) -> Mapping[str, float]:
        """What has been measured in this hunt, in its order."""
        return self._read

    def ask(self, design: Design) -> Answer:
        """The hunt so far; what was hidden only once a fault has been named."""
        return hunt(self.planted, self._read, self._told, design.units)

    def diagnosis(self, answer: Answer) -> Diagnosis:
        """Nothing before a fault has been named, the truth afterwards."""
        found: Diagnosis = answer.picture
        return found

    def enter(self, key: str, text: str) -> None:
        """Measure a line of the hidden trailer; a line is measured once."""
        if self._told is not None:
            self._say("This hunt is over; begin another.")
        elif key in self.planted.keys:
            self._read = {**self._read, key: self.planted.read(key)}

    def on_focus(self, key: str, value: Any) -> None:
        """Another hidden fault, another round, or what it is taken for."""
        if key == "seed":
            self._begin(int(value))
        elif key == "kind":
            self._kind, self._guess = value or None, None
        elif key == "guess":
            self._guess = value or None
        else:
            super().on_focus(key, value)

    def _begin(self, seed: int) -> None:
        self._seed, self._planted, self._told = seed, None, None
        self._read, self._kind, self._guess = {}, None, None

    def commit(self) -> None:
        """Name the fault; then what was hidden is told."""
        with self._guarded(keep_verdict=True):
            if self._guess is None:
                self._say("Say first what it is, and where.", warn=True)
            elif self._told is not None:
                self._say("This hunt is over; begin another.")
            else:
                self._told = told(self.planted, self._read, self._guess)
                self.at = self.focus = self.planted.shown_by
                self._say("")
                self._fresh()

    def another(self) -> None:
        """The next hidden fault."""
        self._restart(self._seed % MOST_SEEDS + 1)

    def reset(self) -> None:
        """The same hidden fault from the beginning."""
        self._restart(self._seed)

    def _restart(self, seed: int) -> None:
        with self._guarded(keep_verdict=True):
            self._begin(seed)
            self._say("")
            self._fresh()

    def spoken(self, answer: Answer) -> str:
        """The verdict says whether the fault is found, not how the trailer stands."""
        tone, mark, shown = ("note", "?", "hidden")
        if self._told is not None:
            tone, mark, shown = ("holds", "✓", "found") if self._told.right else ("fix", "✗", "not it")
        return panes.spoken(tone, mark, answer.sentence, shown)

    def arrange(self) -> Sequence[widgets.Widget]:
        """Number, side and round, and their lines."""
        return [*(self.controls[key].widget for key in ("seed", "stage", "round")), self.form]

    def above(self) -> Sequence[widgets.Widget]:
        """What the fault is taken for: its kind, and where."""
        box = widgets.HBox([self.controls[key].widget for key in ("kind", "guess")], layout={"height": "42px"})
        box.add_class("trailer-next")
        return (box,)

    def _buttons(self) -> widgets.Widget:
        self._said.add_class("trailer-said")
        pressed = self.buttons(
            ("commit", "That is it", "Name the fault; then the truth and the score are shown", self.commit),
            ("another", "Another fault", "Hide another fault and begin again", self.another),
            ("reset", "Start over", "The same fault again, with nothing measured", self.reset),
        )
        note = widgets.HTML('<div class="trailer-small">Practice: nothing here is kept among the readings.</div>')
        row = widgets.HBox([*pressed, note, self._said], layout={"align_items": "center"})
        row.add_class("trailer-row")
        return row


def find_the_fault(design: Design) -> FaultHunt:
    """The practice bench: find the fault that is hidden in this design."""
    return FaultHunt(design)
