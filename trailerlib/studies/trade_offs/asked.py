"""Asking once for all candidates that are alike in what is read, and handing every candidate its answer."""

from __future__ import annotations

import itertools
import time
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.errors import DesignError
from trailerlib.studies import reads
from trailerlib.studies.trade_offs.axes import Floats, Index, Span, Steps
from trailerlib.studies.trade_offs.candidates import Rows
from trailerlib.studies.trade_offs.desk import Desk
from trailerlib.studies.trade_offs.distinct import Distinct

MOST_ASKED = 60_000  # times one question is asked in one sweep; more would take hours


class Ask:
    """One question with a few numbers for its answer, asked once for all candidates alike in what it reads.

    ``question`` gets a design and gives a tuple of plain numbers (None is not known) or one thing of any kind, which
    then stands in ``things``. ``wide``: its arithmetic takes arrays where a range is varied, and no branch of it
    looks at them. ``straight`` names ranges in which its numbers are straight lines: they are asked of both ends.
    """

    def __init__(
        self,
        desk: Desk,
        name: str,
        question: Callable[[Design], Any],
        *,
        wide: bool = False,
        straight: Sequence[str] = (),
        thing: bool = False,
    ) -> None:
        self.desk, self.name, self.question, self.wide, self.is_thing = desk, name, question, wide, thing
        self.straight = tuple(straight)
        self._corners: dict[tuple[float, ...], Ask] = {}
        self.reads: tuple[int, ...] = ()
        self.spent_s, self.done = 0.0, 0
        self._distinct = Distinct(())
        self._answers: list[Any] = []
        self._table: Floats | None = None

    @property
    def ranges(self) -> tuple[int, ...]:
        """Axes that are ranges among those it reads."""
        return tuple(n for n in self.reads if isinstance(self.desk.watched.axes[n], Span))

    @property
    def stepped(self) -> list[int]:
        """Axes with values to choose from among those it reads."""
        return [n for n in self.reads if isinstance(self.desk.watched.axes[n], Steps)]

    def of(self, rows: Rows) -> Floats:
        """Its answer for every candidate, (numbers, n); NaN where not known.

        Parameters
        ----------
        rows : the candidates
        """
        if rows.count == 0:
            return np.empty((1, 0))
        if not self._answers and self._table is None:
            self._first(rows)
        while True:
            known = self.reads
            found = self._wide_of(rows) if self.ranges else self._stepped(rows)
            if self.reads == known and found is not None:
                reads.note(self.reads)
                return found

    def things_of(self, rows: Rows) -> tuple[Index, list[Any]]:
        """Number of every candidate's answer, and the answers by number."""
        if not self._answers:
            self._first(rows)
        while True:
            known = self.reads
            if self.ranges:
                self._refuse()
            number = self._numbers(rows)
            if number is not None and self.reads == known:
                reads.note(self.reads)
                return number, self._answers

    def _first(self, rows: Rows) -> None:
        """What it reads of the first candidate."""
        _, read = self._answer(rows, 0, {})
        self._grow(read)

    def _grow(self, read: frozenset[int]) -> None:
        more = read - set(self.reads)
        if not more:
            return
        self.reads = tuple(sorted({*self.reads, *more}))
        axes = self.desk.watched.axes
        sizes = [len(axis.choices) for n in self.reads if isinstance(axis := axes[n], Steps)]
        self._distinct, self._answers, self._table = Distinct(sizes), [], None

    def _numbers(self, rows: Rows) -> Index | None:
        """Number of every row's combination, each new one asked; None where it was found to read more."""
        number, fresh = self._distinct.number([rows.at[n] for n in self.stepped], rows.count)
        if self._distinct.count > MOST_ASKED:
            raise DesignError(
                f"{self.name} would have to be asked more than {MOST_ASKED} times: it rests on {self._names()}; "
                "give these axes fewer values, or leave it out."
            )
        for row in fresh.tolist():
            answer, read = self._answer(rows, row, {})
            if not read <= set(self.reads):
                self._grow(read)
                return None
            self._answers.append(answer)
        return number

    def _stepped(self, rows: Rows) -> Floats | None:
        if not self.reads and self._table is not None:
            return np.broadcast_to(self._table, (len(self._table), rows.count))
        number = self._numbers(rows)
        if number is None:
            return None
        if self._table is None or self._table.shape[1] != len(self._answers):
            longest = max(map(len, self._answers))
            padded = [(*answer, *(np.nan,) * (longest - len(answer))) for answer in self._answers]
            self._table = np.array(padded, dtype=float).T
        return self._table[:, number]

    def _wide_of(self, rows: Rows) -> Floats | None:
        """Each combination of the stepped axes at once, with arrays in place of what lies on a range."""
        if rows.part_of is not None:
            whole = self._wide_of(rows.part_of[0])
            return None if whole is None else whole[:, rows.part_of[1]]
        key = (self, self.reads)
        if key not in rows.kept:
            found = self._wide_whole(rows)
            if found is None:
                return None
            rows.kept[key] = found
        return rows.kept[key]

    def _wide_whole(self, rows: Rows) -> Floats | None:
        if all(self.desk.watched.axes[n].name in self.straight for n in self.ranges):
            return self._between_corners(rows)
        if not self.wide:
            self._refuse()
        number, _ = Distinct(self._distinct.sizes).number([rows.at[n] for n in self.stepped], rows.count)
        order = np.argsort(number, kind="stable")
        cuts = np.flatnonzero(np.diff(number[order])) + 1
        found: Floats | None = None
        for part in np.split(order, cuts):
            arrays = {n: self.desk.span_values(n, rows.at[n][part]) for n in self.ranges}
            answer, read = self._answer(rows, int(part[0]), arrays)
            if not read <= set(self.reads):
                self._grow(read)
                return None
            if found is None:
                found = np.empty((len(answer), rows.count))
            for k, value in enumerate(answer):
                found[k, part] = value
        return found

    def _between_corners(self, rows: Rows) -> Floats:
        """Read between the ends of all ranges, where every number is a straight line in each of them."""
        parts = []
        for corner in itertools.product((0.0, 1.0), repeat=len(self.ranges)):
            at, share = list(rows.at), np.ones(rows.count)
            for n, end in zip(self.ranges, corner, strict=True):
                share = share * (rows.at[n] if end else 1.0 - rows.at[n])
                at[n] = np.full(rows.count, end)
            ask = self._corners.setdefault(corner, _Corner(self.desk, self.name, self.question))
            parts.append(share * ask.of(Rows(rows.axes, at)))
        return np.asarray(np.sum(parts, axis=0))

    def _refuse(self) -> None:
        raise self._refusal(self.ranges[0])

    def _refusal(self, mark: int) -> DesignError:
        axis = self.desk.watched.axes[mark].name
        return DesignError(
            f"{axis} is a range, and {self.name} has to be asked anew for every value of it: "
            "give that axis values to choose from (“evenly”), or leave out what needs it."
        )

    def _names(self) -> str:
        return ", ".join(self.desk.watched.axes[n].name for n in self.reads)

    def _answer(self, rows: Rows, row: int, wide: dict[int, Any]) -> tuple[Any, frozenset[int]]:
        begun = time.perf_counter()
        changed = self.desk.watched
        design = changed.design(rows.changes(row), wide) if wide else self.desk.design(rows, row, self.reads)
        with reads.heard(passing_on=False) as heard:
            try:
                found = self.question(design)
            except (ValueError, TypeError) as error:
                if not wide:
                    raise
                raise self._refusal(next(iter(wide))) from error  # a branch of it looked at an array
        if not self.is_thing:
            found = tuple(np.nan if value is None else value for value in found)
        self.desk.asked += 1
        self.spent_s, self.done = self.spent_s + time.perf_counter() - begun, self.done + 1
        self.desk.go_on()
        return found, frozenset(heard)


class _Corner(Ask):
    """The same question where all that lies on a range is at one of its ends."""

    @property
    def ranges(self) -> tuple[int, ...]:
        """None: it is asked of one place on each."""
        return ()
