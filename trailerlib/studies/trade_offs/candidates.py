"""The candidates that axes span: a full grid, a sample spread evenly, or the rows of a table, row by row."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from trailerlib.design.errors import DesignError
from trailerlib.studies.trade_offs.axes import NUMBER, Axis, Floats, Path, Span, Steps, path_of, steps, written

if TYPE_CHECKING:
    import pandas as pd

MOST_STEPS = 2000  # a column of a table with more values than this, all numbers of one unit, is a range


class Rows:
    """Some of the candidates: where on each axis every one of them is, (n,) each.

    ``part_of`` are those they were taken from and which of them, so that what is worked out for all is not worked out
    again for each part; ``kept`` holds it.
    """

    def __init__(
        self,
        axes: tuple[Axis, ...],
        at: Sequence[NDArray[Any]],
        part_of: tuple[Rows, NDArray[Any] | slice] | None = None,
    ) -> None:
        self.axes, self.at, self.part_of = axes, tuple(at), part_of
        self.count = len(at[0]) if at else 0
        self.kept: dict[Any, Floats] = {}

    def some(self, rows: NDArray[Any] | slice) -> Rows:
        """Those of some rows, in their order."""
        return Rows(self.axes, [column[rows] for column in self.at], (self, rows))

    def alone(self, rows: slice) -> Rows:
        """The same, on their own."""
        return Rows(self.axes, [column[rows] for column in self.at])

    def changes(self, row: int) -> dict[Path, Any]:
        """What one of them changes in the design, path to value."""
        return {axis.path: axis.value(at[row].item()) for axis, at in zip(self.axes, self.at, strict=True)}


class Candidates:
    """All designs that are looked at, one a row; a full grid is never laid out in full."""

    def __init__(self, axes: Sequence[Axis], count: int, at: Sequence[NDArray[Any]] | None = None) -> None:
        self.axes, self.count, self._at = tuple(axes), count, at
        names = [axis.name for axis in self.axes]
        twice = next((name for name in names if names.count(name) > 1), None)
        if twice is not None:
            raise DesignError(f"{twice} is on two axes; give each value one axis.")
        if not names:
            raise DesignError(
                'there is no axis; give at least one, such as {"battery.capacity": ["100 Ah", "200 Ah"]}.'
            )

    def rows(self, first: int, last: int) -> Rows:
        """The candidates from one row up to another."""
        if self._at is not None:
            return Rows(self.axes, [column[first:last] for column in self._at])
        number, at = np.arange(first, last, dtype=np.int64), []
        for axis in reversed(self.axes):
            assert isinstance(axis, Steps)
            number, here = np.divmod(number, len(axis.choices))
            at.append(here.astype(np.int32))
        return Rows(self.axes, at[::-1])

    def chosen(self, numbers: Sequence[int]) -> Rows:
        """Some candidates by their numbers, in that order."""
        found = [self.rows(number, number + 1).at for number in numbers]
        return Rows(self.axes, [np.concatenate(column) for column in zip(*found, strict=True)])


Asked = Mapping[str, Sequence[Any]] | Sequence[Axis]


def axes_of(asked: Asked) -> tuple[Axis, ...]:
    """Axes from a mapping of path to values, or as they are."""
    if isinstance(asked, Mapping):
        return tuple(steps(path, choices) for path, choices in asked.items())
    return tuple(asked)


def grid(asked: Asked) -> Candidates:
    """Every combination of the values of all axes, the last axis running fastest.

    Parameters
    ----------
    asked : mapping of path to values, or axes

    Raises
    ------
    DesignError
        When an axis is a range: it has no values to combine.
    """
    axes, count = axes_of(asked), 1
    for axis in axes:
        if not isinstance(axis, Steps):
            raise DesignError(f"{axis.name} is a range; for a full grid give values (“evenly”), or take a sample.")
        count *= len(axis.choices)
    return Candidates(axes, count)


def sampled(asked: Asked, count: int, seed: int = 1) -> Candidates:
    """Candidates spread evenly over all axes together: a scrambled Sobol sequence, the same for the same seed.

    Parameters
    ----------
    asked : mapping of path to values, or axes
    count : [-] how many
    seed : [-] of the scrambling
    """
    from scipy.stats import qmc

    axes = axes_of(asked)
    base = max(1, int(np.ceil(np.log2(max(count, 1)))))
    spread = qmc.Sobol(len(axes), scramble=True, rng=np.random.default_rng(seed)).random_base2(base)[:count]
    return Candidates(axes, count, [placed(axis, column) for axis, column in zip(axes, spread.T, strict=True)])


def placed(axis: Axis, share: Floats) -> NDArray[Any]:
    """Where shares between 0 and 1 lie on an axis; the values to choose from have equal parts.

    Parameters
    ----------
    axis : the axis
    share : [-] shape (n,)
    """
    if isinstance(axis, Span):
        return np.ascontiguousarray(share)
    return np.minimum((share * len(axis.choices)).astype(np.int32), len(axis.choices) - 1)


def listed(table: pd.DataFrame) -> Candidates:
    """The rows of a table, a column for each path; a value stands as it would in the design file.

    Parameters
    ----------
    table : the candidates

    Raises
    ------
    DesignError
        When the table is empty.
    """
    if not len(table):
        raise DesignError("the table of candidates is empty; give it at least one row.")
    axes, at = [], []
    for name in table.columns:
        axis, where = _column(str(name), table[name])
        axes.append(axis)
        at.append(where)
    return Candidates(axes, len(table), at)


def _column(name: str, column: pd.Series[Any]) -> tuple[Axis, NDArray[Any]]:
    texts = column.map(lambda value: tuple(value) if isinstance(value, list) else value)
    codes, values = texts.factorize(use_na_sentinel=True)
    choices: list[Any] = [list(v) if isinstance(v, tuple) else v.item() if hasattr(v, "item") else v for v in values]
    if len(choices) > MOST_STEPS and (found := _as_range(name, choices)) is not None:
        return found[0], found[1][codes]
    if (codes < 0).any():
        choices.append(None)
    return Steps(path_of(name), tuple(choices)), np.where(codes < 0, len(choices) - 1, codes).astype(np.int32)


def _as_range(name: str, choices: list[Any]) -> tuple[Span, Floats] | None:
    """A column of very many numbers in one unit, as places on a range."""
    found = [NUMBER.fullmatch(str(choice)) for choice in choices]
    if any(one is None for one in found) or len({one[2] for one in found if one is not None}) != 1:
        return None
    numbers = np.array([float(one[1]) for one in found if one is not None])
    low, high = float(numbers.min()), float(numbers.max())
    unit = found[0][2] if found[0] is not None and isinstance(choices[0], str) else None
    return Span(path_of(name), written(low, unit), written(high, unit)), (numbers - low) / (high - low)
