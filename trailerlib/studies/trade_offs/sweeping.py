"""Every candidate measured: a chunk at a time, with word of how far it is, and a way to stop."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.errors import DesignError
from trailerlib.studies.trade_offs.axes import Floats, Steps
from trailerlib.studies.trade_offs.candidates import Asked, Candidates, grid, listed
from trailerlib.studies.trade_offs.desk import Desk, Stopped
from trailerlib.studies.trade_offs.metrics import COUNTED, METRICS, QUESTIONS, Measuring, measured
from trailerlib.studies.trade_offs.result import Result
from trailerlib.studies.trade_offs.watched import Watched

if TYPE_CHECKING:
    import pandas as pd

CHUNK = 250_000
TOLD_EVERY_S = 0.2
PROBED = 12  # candidates that are measured first, to know what rests on what and how long it takes
CLOSE = 1e-9
KNOWN_AFTER_S = 0.5  # of work; an estimate from less is none


@dataclass(frozen=True)
class Progress:
    """How far a sweep is: ``done`` of it [-], candidates so far and in all, about how long it will still take [s].

    ``left_s`` is None while that is not known yet.
    """

    done: float
    rows: int
    count: int
    left_s: float | None


def sweep(
    design: Design,
    axes: Asked | Candidates | pd.DataFrame,
    metrics: Sequence[str] | None = None,
    *,
    questions: Sequence[str] | None = None,
    chunk: int = CHUNK,
    progress: Callable[[Progress], None] | None = None,
    cancelled: Callable[[], bool] = lambda: False,
    proof: int = 2,
) -> Result:
    """Many designs that differ in some values, each measured as its own studies would measure it.

    Parameters
    ----------
    design : the design that is varied
    axes : mapping of path (as ``design.replace`` takes it) to the values that may stand there, for every combination of
        them; or a table with a column for each path; or candidates (``grid``, ``sampled``, ``listed``)
    metrics : keys of ``METRICS`` and severities; None takes all
    questions : whose findings are counted, of ``QUESTIONS``; None takes all
    chunk : [-] candidates measured before the next are laid out: what bounds the memory
    progress : called a few times a second with how far it is
    cancelled : asked a few times a second whether to stop; what is measured by then is handed out
    proof : [-] how many candidates are measured again by their own studies, to be sure

    Returns
    -------
    Result, a row a candidate.

    Raises
    ------
    DesignError
        When an axis leads nowhere, a value is not valid, a metric is not known, or a question would have to be asked
        too often.
    """
    candidates = _candidates(axes)
    keys, asked = _keys(metrics), _questions(questions)
    run = _Run(design, candidates, keys, asked, progress, cancelled)
    found, rows = run.measure(max(1, chunk))
    result = Result(design, candidates, keys, asked, found, rows, rows == candidates.count)
    _prove(result, proof)
    return result


def _candidates(axes: Asked | Candidates | pd.DataFrame) -> Candidates:
    if isinstance(axes, Candidates):
        return axes
    if isinstance(axes, Mapping | Sequence):
        return grid(axes)
    return listed(axes)


def _keys(asked: Sequence[str] | None) -> tuple[str, ...]:
    known = (*METRICS, *COUNTED)
    keys = known if asked is None else tuple(dict.fromkeys(asked))
    for key in keys:
        if key not in known:
            raise DesignError(f'there is no metric "{key}"; there are: {", ".join(known)}.')
    return keys


def _questions(asked: Sequence[str] | None) -> tuple[str, ...]:
    found = tuple(QUESTIONS) if asked is None else tuple(dict.fromkeys(asked))
    for question in found:
        if question not in QUESTIONS:
            raise DesignError(f'there is no question "{question}"; there are: {", ".join(QUESTIONS)}.')
    return found


class _Run:
    """One sweep on its way."""

    def __init__(
        self,
        design: Design,
        candidates: Candidates,
        keys: tuple[str, ...],
        questions: tuple[str, ...],
        progress: Callable[[Progress], None] | None,
        cancelled: Callable[[], bool],
    ) -> None:
        self.candidates, self._progress, self._cancelled = candidates, progress, cancelled
        self._told_s, self.rows, self._gather_s, self._probed = 0.0, 0, 0.0, False
        desk = Desk(Watched(design, candidates.axes), self._tick)
        self.measuring = Measuring(desk, design, keys, questions)
        self.keys = keys

    def measure(self, chunk: int) -> tuple[dict[str, Floats], int]:
        """Every metric of the candidates, chunk by chunk, and how many of them there are."""
        count = self.candidates.count
        found = {key: np.full(count, np.nan) for key in self.keys}
        try:
            self._probe()
            while self.rows < count:
                begun, spent = time.perf_counter(), self._spent_s()
                last = min(count, self.rows + chunk)
                for key, values in self.measuring.of(self.candidates.rows(self.rows, last)).items():
                    found[key][self.rows : last] = values
                self.rows = last
                self._gather_s += time.perf_counter() - begun - (self._spent_s() - spent)
                self._tick()
        except Stopped:
            found = {key: values[: self.rows] for key, values in found.items()}
        self._tell()
        return found, self.rows

    def _probe(self) -> None:
        """A few candidates from all over, so that what rests on what is known before the first chunk.

        What they took is forgotten: the first of all is slow, and says nothing of the others.
        """
        count = self.candidates.count
        rows = dict.fromkeys(np.linspace(0, count - 1, min(PROBED, count)).astype(int).tolist())
        self.measuring.of(self.candidates.chosen(list(rows)))
        self._probed = True
        for part in self.measuring.parts:
            part.spent_s, part.done = 0.0, 0

    def _spent_s(self) -> float:
        return sum(part.spent_s for part in self.measuring.parts)

    def _tick(self) -> None:
        now = time.perf_counter()
        if now - self._told_s < TOLD_EVERY_S:
            return
        self._told_s = now
        if self._cancelled():
            raise Stopped
        self._tell()

    def _tell(self) -> None:
        if self._progress is None:
            return
        count, gone, left = self.candidates.count, self._spent_s() + self._gather_s, 0.0
        if not self._probed:
            self._progress(Progress(0.0, 0, count, None))
            return
        for part in self.measuring.parts:
            each = part.spent_s / max(1, part.done)
            left += max(0, self._distinct(part.reads) - part.done) * each if self.rows < count else 0.0
        left += self._gather_s / max(1, self.rows) * (count - self.rows)
        done = self.rows / count if gone + left == 0 else gone / (gone + left)
        known = self.rows == count or gone > KNOWN_AFTER_S
        whole = 1.0 if self.rows == count else min(done, 0.999) if known else 0.0
        self._progress(Progress(whole, self.rows, count, left if known else None))

    def _distinct(self, marks: Sequence[int]) -> int:
        """How many combinations there are at most of some axes."""
        total = 1
        for mark in marks:
            axis = self.candidates.axes[mark]
            total *= len(axis.choices) if isinstance(axis, Steps) else self.candidates.count
        return min(total, self.candidates.count)


def _prove(result: Result, count: int) -> None:
    """Measure some candidates by their own studies; nothing else would show that a figure was gathered wrongly."""
    for row in dict.fromkeys(np.linspace(0, result.count - 1, min(count, result.count)).astype(int).tolist()):
        own = measured(result.design_of(row), result.keys, result.questions)
        for key, value in own.items():
            here = float(result.metrics[key][row])
            if not (np.isnan(value) and np.isnan(here)) and not abs(here - value) <= CLOSE * max(1.0, abs(value)):
                raise AssertionError(
                    f"sweep: candidate {row} has {key} = {here!r}, its own study says {value!r}; please report this."
                )
