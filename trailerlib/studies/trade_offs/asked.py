"""Asking once for all candidates that are alike in what is read, and handing every candidate its answer."""

from __future__ import annotations

import itertools
import time
from collections import OrderedDict
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trailerlib.design.design import Design
from trailerlib.design.errors import DesignError
from trailerlib.studies import reads
from trailerlib.studies.trade_offs.axes import Floats, Index, Path, Rows, Span, Steps
from trailerlib.studies.trade_offs.watched import Watched, inside

AT_ONCE = 65_536  # candidates for which what lies on ranges is laid out at once
MOST_DESIGNS = 2000  # watched designs that are kept for the next question
AT_A_TIME = 2048  # candidates worked on at once: what they need stays in the processor's cache
MOST_ASKED = 60_000  # times one question is asked in one sweep; more would take hours
DENSE = 20_000_000  # combinations up to which a plain list says where each one's answer is


class Stopped(Exception):
    """The sweep was asked to stop."""


class Desk:
    """What the questions of one sweep share: the watched design, whether to go on, how much was asked."""

    def __init__(self, watched: Watched, go_on: Callable[[], None] = lambda: None) -> None:
        self.watched, self.go_on = watched, go_on
        self.asked = 0
        self._designs: OrderedDict[tuple[Any, ...], Design] = OrderedDict()
        self._usual: tuple[Any, ...] | None = None
        self.ends = {
            number: inside(watched, axis) for number, axis in enumerate(watched.axes) if isinstance(axis, Span)
        }

    def design(self, rows: Rows, row: int, marks: Sequence[int]) -> Design:
        """A watched design that stands for a candidate in what is read of it; the rest as the first candidate has it.

        Questions that read the same axes so are asked of the very same design.

        Parameters
        ----------
        rows : the candidates
        row : [-] number of one of them
        marks : the axes that are read, as far as is known
        """
        own = tuple(at[row].item() for at in rows.at)
        self._usual = own if self._usual is None else self._usual
        here = tuple(own[n] if n in marks else usual for n, usual in enumerate(self._usual))
        found = self._designs.get(here)
        if found is None:
            try:
                found = self.watched.design(self._changes(here))
            except DesignError:  # valid as it stands, it need not be beside the values of another
                here, found = own, self.watched.design(self._changes(own))
            self._designs[here] = found
            while len(self._designs) > MOST_DESIGNS:
                self._designs.popitem(last=False)
        return found

    def _changes(self, places: tuple[Any, ...]) -> dict[Path, Any]:
        return {axis.path: axis.value(at) for axis, at in zip(self.watched.axes, places, strict=True)}

    def span_values(self, number: int, share: Floats) -> Any:
        """Where shares of a range lie in inside units: an array, or one for each number of a list."""
        low, high = self.ends[number]
        if isinstance(low, tuple):
            return tuple(a + (b - a) * share if a != b else a for a, b in zip(low, high, strict=True))
        return low + (high - low) * share


class Distinct:
    """The distinct combinations of some axes among candidates, numbered as they are met."""

    def __init__(self, sizes: Sequence[int]) -> None:
        self.sizes = tuple(sizes)
        total = 1
        for size in sizes:
            total *= size
        self.total = total
        self._dense = np.full(total, -1, dtype=np.int32) if total <= DENSE else None
        self._sparse: dict[int, int] = {}
        self.count = 0

    def number(self, at: Sequence[NDArray[Any]], count: int) -> tuple[Index, Index]:
        """Number of every row's combination, and a row for each combination not met before, in its order.

        Parameters
        ----------
        at : places on the axes, (n,) each
        count : [-] rows, n
        """
        code: NDArray[np.int64] = np.zeros(count, dtype=np.int64)
        for size, column in zip(self.sizes, at, strict=True):
            code *= size
            code += column
        if self._dense is not None:
            fresh = self._dense[code] < 0
            codes = code[fresh]
            found, first = np.unique(codes, return_index=True)
            rows = np.flatnonzero(fresh)[first]
            self._dense[found] = np.arange(self.count, self.count + len(found), dtype=np.int32)
            self.count += len(found)
            return self._dense[code].astype(np.intp), rows
        found, first, back = np.unique(code, return_index=True, return_inverse=True)
        numbers, new = np.empty(len(found), dtype=np.intp), list[int]()
        for k, value in enumerate(found.tolist()):
            if value not in self._sparse:
                self._sparse[value] = self.count
                self.count += 1
                new.append(int(first[k]))
            numbers[k] = self._sparse[value]
        return numbers[back], np.array(new, dtype=np.intp)


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
