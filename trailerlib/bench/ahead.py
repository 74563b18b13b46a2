"""The step a hand takes next if it keeps its pace, asked for while it rests: the verdict is there when it is taken."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import Any

from trailerlib.bench.controls import Changes, Control
from trailerlib.design.design import Design
from trailerlib.design.errors import DesignError
from trailerlib.studies.answer import Answer

REST_S = 0.005  # after the picture; what the page has still to be told goes before
MOST_S = 0.020  # an answer that takes longer would be in the way of a hand that goes elsewhere


@dataclass(frozen=True)
class Expected:
    """A change nobody has made yet: ``before`` it and after it, and what ``design`` answers, with what in focus."""

    before: Design
    changes: Changes
    design: Design
    answer: Answer
    focus: Any


@dataclass(frozen=True)
class _Step:
    """The last move: of which control, where to, how far, when, how long after the last; how far the next may go."""

    control: Control
    value: float
    far: float
    at_s: float
    pace_s: float
    next_far: tuple[float, ...]


class Ahead:
    """What the next move may ask for: as far as the last one, at the pace of both, or one notch less or more."""

    def __init__(self) -> None:
        self._step: _Step | None = None
        self._expected: list[Expected] = []
        self._took_s = 0.0

    def moved(self, control: Control, came_from: Any, value: Any) -> None:
        """Note a move.

        Parameters
        ----------
        control : that was moved
        came_from : [shown unit] where it stood
        value : [shown unit] where it stands
        """
        now, last, notch = time.monotonic(), self._step, getattr(control.widget, "step", None)
        if notch is None or not (_number(came_from) and _number(value)):
            self._step = None
            return
        far = steady = value - came_from
        pace = float("inf")
        if last is not None and last.control is control:
            pace, steady = now - last.at_s, 2 * last.far - far  # notches break an even pace: 2, 2, 1, 3, 2
        self._step = _Step(control, value, far, now, pace, _apart((far, steady, far - notch, far + notch), notch))

    def design(self, before: Design, changes: Changes) -> Design | None:
        """The design these changes lead to, where that was a step expected.

        Parameters
        ----------
        before : design that is changed
        changes : values by path
        """
        there = (one.design for one in self._expected if one.before is before and one.changes == changes)
        return next(there, None)

    def answer(self, design: Design, ask: Callable[[Design], tuple[Answer, Any]]) -> tuple[Answer, Any]:
        """Answer and focus of a design, asked for unless they are there. What was expected is over then, for whoever
        asks may have changed more than the design.

        Parameters
        ----------
        design : the present one
        ask : gives its answer, and what is in focus with it
        """
        expected, self._expected = self._expected, []
        found = next((one for one in expected if one.design is design), None)
        if found is not None:
            return found.answer, found.focus
        begun = time.monotonic()
        asked = ask(design)
        self._took_s = time.monotonic() - begun
        return asked

    def look(self, before: Design, ask: Callable[[Design], tuple[Answer, Any]]) -> bool:
        """Ask for one of the next steps, where there is one and the hand leaves the time.

        Parameters
        ----------
        before : the present design
        ask : gives the answer of a design, and what is in focus with it

        Returns
        -------
        Whether there may be another.
        """
        step = self._step
        if step is None or not step.next_far or step.control.put is None or self._took_s > MOST_S:
            return False
        if time.monotonic() - step.at_s + self._took_s > step.pace_s:
            return False
        far, *others = step.next_far
        self._step = replace(step, next_far=tuple(others))
        value, widget = step.value + far, step.control.widget
        if widget.min <= value <= widget.max:
            self._expect(before, step.control.put, value, ask)
        return bool(others)

    def _expect(
        self,
        before: Design,
        put: Callable[[Design, Any], Changes],
        value: float,
        ask: Callable[[Design], tuple[Answer, Any]],
    ) -> None:
        with suppress(DesignError):  # nobody has gone there: whoever does is told what is wrong with it
            changes = put(before, value)
            design = before.replace_all(changes)
            self._expected.append(Expected(before, changes, design, *ask(design)))


def _apart(strides: Iterable[float], notch: float) -> tuple[float, ...]:
    """Those that are at least a notch, each once."""
    notches = dict.fromkeys(round(far / notch) for far in strides)
    return tuple(count * notch for count in notches if count)


def _number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)
