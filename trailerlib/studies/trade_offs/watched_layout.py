"""A layout that says, route by route, which of the watched values it rests on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from trailerlib.design.asked import Ask
from trailerlib.design.design import Design
from trailerlib.design.errors import DesignError
from trailerlib.design.layout import Bundle, Route
from trailerlib.studies import reads


def single(ask: Ask) -> Ask:
    """The same circuit with one number where an array stands for many; itself where there is none.

    Parameters
    ----------
    ask : one circuit as far as its way is concerned
    """
    run, origin = _first(ask.run), _first(ask.origin)
    ends = tuple(end._replace(at=_first(end.at), run=_first(end.run)) for end in ask.ends)
    pairs: list[tuple[Any, Any]] = [(run, ask.run), (origin, ask.origin)]
    pairs += [(new, old) for pair in zip(ends, ask.ends, strict=True) for new, old in zip(*pair, strict=True)]
    return ask if all(new is old for new, old in pairs) else replace(ask, run=run, origin=origin, ends=ends)


def _first(value: Any) -> Any:
    if isinstance(value, tuple) and any(isinstance(part, np.ndarray) for part in value):
        return tuple(_first(part) for part in value)
    return float(value.flat[0]) if isinstance(value, np.ndarray) else value


class Places(dict[str, Any]):
    """Places by name, each looked up when it is asked for."""

    def __init__(self, design: Design) -> None:
        super().__init__()
        self._design = design

    def __missing__(self, name: str) -> Any:
        return self._design.place(name).at


class Noted(dict[str, Any]):
    """Routes or bundles by circuit that say what they rest on when one is looked at."""

    def __init__(self, found: Mapping[str, Route | Bundle], marks: Mapping[str, set[int]], spread: set[str]) -> None:
        super().__init__(found)
        self._marks, self._spread = marks, spread

    def __getitem__(self, name: str) -> Any:
        self._say(name)
        return super().__getitem__(name)

    def get(self, name: str, default: Any = None) -> Any:
        """One of them by name."""
        self._say(name)
        return super().get(name, default)

    def _say(self, name: str) -> None:
        reads.note(self._marks.get(name, ()))
        if name in self._spread:
            raise DesignError(
                f"the way of “{name}” has to be found anew for every length or place of it: give that axis values to "
                "choose from (“evenly”), or leave out what needs it."
            )

    def values(self) -> Any:
        """All of them."""
        return [self[name] for name in self]

    def items(self) -> Any:
        """All of them with their names."""
        return [(name, self[name]) for name in self]


def noted_row(found: Sequence[Any], marks: set[int]) -> tuple[Any, ...]:
    """Shared raceways that say what they rest on when they are looked at.

    Parameters
    ----------
    found : the raceways
    marks : [-] the numbers of what they rest on
    """

    class Row(tuple[Any, ...]):
        __slots__ = ()

        def __iter__(self) -> Iterator[Any]:
            reads.note(marks)
            return super().__iter__()

        def __len__(self) -> int:
            reads.note(marks)
            return super().__len__()

    return Row(found)
