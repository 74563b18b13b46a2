"""What the questions of one sweep share: the watched designs, whether to go on, how much was asked."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Sequence
from typing import Any

from trailerlib.design.design import Design
from trailerlib.design.errors import DesignError
from trailerlib.studies.trade_offs.axes import Floats, Path, Span
from trailerlib.studies.trade_offs.candidates import Rows
from trailerlib.studies.trade_offs.watched import Watched, inside

MOST_DESIGNS = 2000  # watched designs that are kept for the next question


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
