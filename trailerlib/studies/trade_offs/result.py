"""What a sweep found: a row a candidate, its values on the axes and its metrics."""

from __future__ import annotations

import importlib
import os
import tempfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from trailerlib.design.design import Design
from trailerlib.design.errors import DesignError
from trailerlib.studies.trade_offs.axes import Axis, Floats, Span, Steps
from trailerlib.studies.trade_offs.candidates import Candidates
from trailerlib.studies.trade_offs.metrics import measured, words_of

if TYPE_CHECKING:
    import pandas as pd

T = TypeVar("T")


@dataclass(frozen=True)
class Result:
    """A sweep: the design it began with, the candidates and their metrics, (count,) each, NaN where not known.

    ``complete`` is false where it was stopped; then only the first ``count`` candidates are there.
    """

    base: Design
    candidates: Candidates
    keys: tuple[str, ...]
    questions: tuple[str, ...]
    metrics: Mapping[str, Floats]
    count: int
    complete: bool
    _kept: dict[Any, Any] = field(default_factory=dict, init=False, compare=False, repr=False)

    @property
    def axes(self) -> tuple[Axis, ...]:
        """What is varied."""
        return self.candidates.axes

    def better(self, key: str) -> str:
        """Which way a metric is better: ``less`` or ``more``."""
        return words_of(key)[2]

    def here(self) -> Mapping[str, float]:
        """The metrics of the design it began with."""
        return self.kept_for("here", self.keys, lambda: measured(self.base, self.keys, self.questions))

    def here_of(self, design: Design) -> Mapping[str, float]:
        """The metrics of another design, such as the one a candidate was taken into.

        Parameters
        ----------
        design : the design
        """
        if design is self.base:
            return self.here()
        key = ("here of", self.keys, (id(design),))
        _, found = self.kept_for(*key[:2], lambda: (design, measured(design, self.keys, self.questions)), key[2])
        return found

    def kept_for(self, what: str, by: tuple[str, ...], make: Callable[[], T], more: tuple[object, ...] = ()) -> T:
        """Something that was worked out from this sweep, made when it is not there.

        Parameters
        ----------
        what : what it is
        by : the metrics it rests on
        make : works it out
        more : what else it rests on
        """
        key = (what, by, more)
        if key not in self._kept:
            self._kept[key] = make()
        found: T = self._kept[key]
        return found

    def changes(self, row: int) -> dict[tuple[str, ...], Any]:
        """What a candidate changes in the design, path to value.

        Parameters
        ----------
        row : [-] number of the candidate
        """
        return self.candidates.rows(row, row + 1).changes(0)

    def design_of(self, row: int) -> Design:
        """The design a candidate stands for.

        Parameters
        ----------
        row : [-] number of the candidate
        """
        return self.base.replace_all(self.changes(row))

    def row_of(self, design: Design) -> int | None:
        """The candidate that says what a design says on every axis; None where there is none.

        Parameters
        ----------
        design : the design
        """
        rows = np.arange(self.count)
        for axis, at in zip(self.axes, self.candidates.rows(0, self.count).at, strict=True):
            if isinstance(axis, Span):
                return None
            now = design.get(axis.path)
            same = [k for k, choice in enumerate(axis.choices) if choice == now]
            rows = rows[np.isin(at[rows], same)]
        return int(rows[0]) if rows.size else None

    def places(self) -> tuple[NDArray[Any], ...]:
        """Where every candidate is on each axis: number of the value, or share of the range."""
        return self.candidates.rows(0, self.count).at

    def frame(self) -> pd.DataFrame:
        """A row a candidate: a column for each axis by its path, then the metrics in inside units."""
        import pandas as pd

        columns: dict[str, Any] = {}
        for axis, at in zip(self.axes, self.places(), strict=True):
            if isinstance(axis, Steps):
                names = [str(choice) for choice in axis.choices]
                codes: NDArray[np.int32] = at.astype(np.int32)
                whole = len(set(names)) == len(names)
                columns[axis.name] = pd.Categorical.from_codes(codes, pd.Index(names)) if whole else np.array(names)[at]
            else:
                columns[axis.name] = _numbers(axis, at)
        return pd.DataFrame({**columns, **self.metrics})

    def write_parquet(self, path: str | Path) -> Path:
        """Write the table as a Parquet file, in one step.

        Parameters
        ----------
        path : where to

        Raises
        ------
        DesignError
            When the library that writes such files is not installed.
        """
        try:
            importlib.import_module("pyarrow")
        except ImportError:
            raise DesignError(
                'Parquet files need one library more: install it with pip install "trailer-workbook[parquet]", or use '
                "frame().to_csv."
            ) from None
        target = Path(path)
        handle, name = tempfile.mkstemp(dir=target.parent, suffix=".parquet")
        os.close(handle)
        try:
            self.frame().to_parquet(name, index=False)
            os.replace(name, target)
        finally:
            Path(name).unlink(missing_ok=True)
        return target


def _numbers(axis: Span, share: Floats) -> Any:
    """The number in the unit of the range; of a list the numbers that move."""
    ends, lists = axis._ends
    moving = [low + (high - low) * share for low, high, _ in ends if low != high]
    if not lists or len(moving) == 1:
        return moving[0] if moving else np.full(len(share), ends[0][0])
    return [tuple(row) for row in np.array(moving).T]
