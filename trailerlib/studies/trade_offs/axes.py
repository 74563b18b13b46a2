"""What is varied: axes over values of the design file, with values to choose from or every number between two."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trailerlib.design.errors import DesignError
from trailerlib.units import shorten

Floats = NDArray[np.float64]
Index = NDArray[np.intp]
Path = tuple[str, ...]
NUMBER = re.compile(r"\s*([+-]?\d+(?:\.\d+)?(?:[eE][+-]?\d+)?)\s*(.*?)\s*")


def path_of(path: str | Sequence[str]) -> Path:
    """A path as ``design.replace`` takes it, as its steps."""
    return tuple(path.split(".")) if isinstance(path, str) else tuple(path)


@dataclass(frozen=True)
class Steps:
    """An axis with values to choose from, each as it would stand in the design file; None removes the key."""

    path: Path
    choices: tuple[Any, ...]

    @property
    def name(self) -> str:
        """Its path in one piece."""
        return ".".join(self.path)

    def value(self, at: int) -> Any:
        """What stands in the file at a place of the axis."""
        return self.choices[at]


@dataclass(frozen=True)
class Span:
    """An axis over every number between two, each end as it would stand in the file; lists go number by number."""

    path: Path
    low: Any
    high: Any
    _ends: tuple[tuple[tuple[float, float, str | None], ...], bool] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        lists = isinstance(self.low, list | tuple)
        pairs = list(zip(self.low, self.high, strict=True)) if lists else [(self.low, self.high)]
        object.__setattr__(self, "_ends", (tuple(_ends(self.name, *pair) for pair in pairs), lists))

    @property
    def name(self) -> str:
        """Its path in one piece."""
        return ".".join(self.path)

    def value(self, at: float) -> Any:
        """What stands in the file at a place of the axis, 0 at its low end and 1 at its high one."""
        ends, lists = self._ends
        texts = [written(low + (high - low) * at, unit) for low, high, unit in ends]
        return texts if lists else texts[0]

    def place(self, value: Any) -> float | None:
        """Where a value of the file lies on the axis; None where it does not, or is in another unit."""
        ends, lists = self._ends
        values = list(value) if lists and isinstance(value, list | tuple) else [value]
        if len(values) != len(ends):
            return None
        found = set[float]()
        for one, (low, high, unit) in zip(values, ends, strict=True):
            number = NUMBER.fullmatch(str(one))
            if number is None or (unit is not None and number[2] != unit):
                return None
            if low != high:
                found.add((float(number[1]) - low) / (high - low))
            elif float(number[1]) != low:
                return None
        return found.pop() if len(found) == 1 else None


Axis = Steps | Span


def _ends(name: str, low: Any, high: Any) -> tuple[float, float, str | None]:
    if not isinstance(low, str) and not isinstance(high, str):
        return float(low), float(high), None
    found = [NUMBER.fullmatch(str(end)) for end in (low, high)]
    if found[0] is None or found[1] is None or found[0][2] != found[1][2]:
        raise DesignError(
            f'{name}: "{shorten(str(low))}" to "{shorten(str(high))}" is no range; write both ends as one number in '
            'the same unit, such as "80 Ah" and "300 Ah".'
        )
    return float(found[0][1]), float(found[1][1]), found[0][2]


def written(number: float, unit: str | None) -> Any:
    """A number as it stands in the design file.

    Parameters
    ----------
    number : [the unit] number
    unit : its unit; None where the file has a bare number
    """
    return float(number) if unit is None else f"{float(number):.17g} {unit}".rstrip()


def steps(path: str | Sequence[str], choices: Sequence[Any]) -> Steps:
    """An axis with values to choose from.

    Parameters
    ----------
    path : where the value stands, as ``design.replace`` takes it
    choices : what may stand there, such as ``["100 Ah", "200 Ah"]``

    Raises
    ------
    DesignError
        When there is nothing to choose from.
    """
    if isinstance(choices, str) or not len(choices):
        raise DesignError(f'{".".join(path_of(path))}: an axis needs a list of values, such as ["100 Ah", "200 Ah"].')
    return Steps(path_of(path), tuple(choices))


def span(path: str | Sequence[str], low: Any, high: Any) -> Span:
    """An axis over every number between two ends in one unit.

    Parameters
    ----------
    path : where the value stands, as ``design.replace`` takes it
    low : the low end, such as ``"80 Ah"``; a place is a list of three
    high : the high end
    """
    return Span(path_of(path), low, high)


def evenly(path: str | Sequence[str], low: Any, high: Any, count: int) -> Steps:
    """An axis with so many values from one end to the other.

    Parameters
    ----------
    path : where the value stands
    low : the low end, such as ``"80 Ah"``; a place is a list of three
    high : the high end, in the same unit
    count : [-] how many, both ends among them
    """
    whole = span(path, low, high)
    return Steps(whole.path, tuple(whole.value(float(at)) for at in np.linspace(0.0, 1.0, count)))
