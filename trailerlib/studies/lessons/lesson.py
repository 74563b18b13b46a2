"""A lesson: what can be seen, the number to commit, why, one slider with its consequence, transfer, shop rule."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from trailerlib import units
from trailerlib.design.design import Design
from trailerlib.studies.lessons.making import Draft, Kind, fair, made
from trailerlib.studies.lessons.problem import Problem

Seen = tuple[tuple[str, str], ...]  # what it is, and its value in words


@dataclass(frozen=True)
class Told:
    """What a position of the slider does: a sentence, the word for it, whether that is the failure."""

    sentence: str
    word: str
    fails: bool


@dataclass(frozen=True)
class Turn:
    """The one slider: its words and stops (shown, value); what a stop makes of the design, and what it does.

    ``first`` is the stop it begins at. ``drawn`` is whatever the picture needs beside the design.
    """

    label: str
    stops: tuple[tuple[str, Any], ...]
    first: int
    at: Callable[[Design, Any], Design]
    tells: Callable[[Design, Any], Told]
    drawn: Callable[[Design, Any], Any] = field(default=lambda design, stop: None)


@dataclass(frozen=True)
class Lesson:
    """One lesson. ``trailer`` is the shipped trailer it is about, ``other`` that of the transfer task.

    ``why`` is read after the number is committed; ``rule`` is the line that stays. Without a ``turn`` something else
    stands in its place on the page. ``recalls`` are the terms of earlier lessons that this one uses.
    """

    key: str
    title: str
    notebook: str
    trailer: str
    other: str
    see: Callable[[Design], Seen]
    ask: Callable[[Design], Draft]
    transfer: Callable[[Design], Draft]
    why: tuple[str, ...]
    watch: str
    rule: str
    kinds: tuple[Kind, ...]
    turn: Turn | None = None
    recalls: tuple[str, ...] = ()
    setup: Callable[[Design], Design] = field(default=lambda design: design)

    def question(self, design: Design) -> Problem:
        """The number to commit, with the numbers of a design in it."""
        return fair(f"{self.key}/question", self.ask(self.setup(design)), design.units)

    def task(self, design: Design) -> Problem:
        """The transfer task on another trailer."""
        return fair(f"{self.key}/transfer", self.transfer(design), design.units)

    def problem(self, number: int, system: units.System = "us") -> Problem:
        """The bench problem of a number.

        Parameters
        ----------
        number : [-] which, from 1
        system : ``us`` or ``metric``
        """
        return made(self.key, self.kinds, number, system)


@dataclass(frozen=True)
class Bar:
    """One bar: its name, its value in the unit of the chart, and the value in words; None is no value at all."""

    name: str
    value: float | None
    words: str


@dataclass(frozen=True)
class Bars:
    """Bars against one limit: title with unit, bars, name of the one that is looked at, limit and its words.

    ``sense`` says which side of the limit is good: ``at least`` or ``at most``.
    """

    title: str
    bars: tuple[Bar, ...]
    here: str
    limit: float
    limit_words: str
    sense: str

    def fails(self, bar: Bar) -> bool:
        """Whether a bar is on the wrong side of the limit."""
        if bar.value is None:
            return True
        return bar.value < self.limit if self.sense == "at least" else bar.value > self.limit
