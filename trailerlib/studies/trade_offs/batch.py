"""Working something out for many candidates at once, once for all that are alike in what it rests on."""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np

from trailerlib.studies import reads
from trailerlib.studies.trade_offs.axes import Floats, Span, Steps
from trailerlib.studies.trade_offs.candidates import Rows
from trailerlib.studies.trade_offs.desk import Desk
from trailerlib.studies.trade_offs.distinct import Distinct

AT_ONCE = 65_536  # candidates for which what lies on ranges is laid out at once
AT_A_TIME = 2048  # candidates worked on at once: what they need stays in the processor's cache


class Batch:
    """Something that is worked out for many candidates at once, once for all that are alike in what it rests on.

    ``work`` gets candidates and gives its figures, (figures, n). Where one of the axes it rests on is a range, no two
    are alike and it works on every candidate.
    """

    def __init__(self, desk: Desk, work: Callable[[Rows], Floats], at_a_time: int = AT_A_TIME) -> None:
        self.desk, self.work, self.at_a_time = desk, work, at_a_time
        self.reads: tuple[int, ...] = ()
        self.spent_s, self.done, self._begun = 0.0, 0, False
        self._distinct = Distinct(())
        self._table: Floats | None = None

    def of(self, rows: Rows) -> Floats:
        """Its figures for every candidate, (figures, n).

        Parameters
        ----------
        rows : the candidates
        """
        if not self._begun:
            self._begun = True
            self._worked(rows.some(slice(0, 1)))
        while True:
            known = self.reads
            axes = self.desk.watched.axes
            if any(isinstance(axes[n], Span) for n in known):
                found = self._worked(rows)
            else:
                number, fresh = self._distinct.number([rows.at[n] for n in known], rows.count)
                more = self._worked(rows.some(fresh)) if fresh.size or self._table is None else None
                if self.reads != known:
                    continue
                if more is not None:
                    self._table = more if self._table is None else np.concatenate([self._table, more], axis=1)
                assert self._table is not None
                found = self._table[:, number]
            if self.reads == known:
                reads.note(known)
                return found

    def _worked(self, rows: Rows) -> Floats:
        """The figures, so many candidates at a time that the processor keeps them at hand."""
        pieces = []
        for outer in range(0, rows.count, AT_ONCE):
            group = rows.alone(slice(outer, outer + AT_ONCE))
            for first in range(0, group.count, self.at_a_time):
                begun = time.perf_counter()
                with reads.heard(passing_on=False) as heard:
                    pieces.append(self.work(group.some(slice(first, first + self.at_a_time))))
                self.spent_s, self.done = self.spent_s + time.perf_counter() - begun, self.done + pieces[-1].shape[1]
                self.desk.go_on()
                if not heard <= set(self.reads):
                    self._grow(heard)
                    return np.empty((len(pieces[0]), 0))
        return np.concatenate(pieces, axis=1)

    def _grow(self, read: set[int]) -> None:
        self.reads = tuple(sorted({*self.reads, *read}))
        axes = self.desk.watched.axes
        sizes = [len(axis.choices) for n in self.reads if isinstance(axis := axes[n], Steps)]
        self._distinct, self._table = Distinct(sizes), None
