"""What has been worked out, kept while nothing it rests on has changed: most moves touch one side only."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Iterable
from typing import Any, Generic, TypeVar

from trailerlib.design.design import Design
from trailerlib.studies import reads

T = TypeVar("T")
MOST = 32
_BY_VALUE = frozenset({str, float, int, bool, type(None)})


class _Shelf(threading.local):
    """Where results stand; a sweep at work in a thread of its own has its own shelf."""

    def __init__(self) -> None:
        self.kept: OrderedDict[tuple[Any, ...], tuple[tuple[Any, ...], Any, frozenset[int]]] = OrderedDict()


class Kept(Generic[T]):
    """Results by the very objects they rest on.

    A changed design shares its unchanged parts with the one before, so the parts themselves tell whether anything
    has changed; they are held as long as the result is, so that none can be taken for another.
    """

    def __init__(self, most: int = MOST) -> None:
        self._shelf, self._most = _Shelf(), most

    def of(self, rests_on: Iterable[Any], make: Callable[[], T]) -> T:
        """The result for these parts, made when it is not there.

        Parameters
        ----------
        rests_on : all that the result depends on; text and numbers count by value, all else by identity
        make : works it out
        """
        parts = tuple(rests_on)
        key = tuple([part if part.__class__ in _BY_VALUE else id(part) for part in parts])
        kept = self._shelf.kept
        if key in kept:
            kept.move_to_end(key)
            _, result, read = kept[key]
            reads.note(read)  # whoever is handed a kept result has read what it was made from
            found: T = result
            return found
        with reads.heard() as heard:
            result = make()
        kept[key] = (parts, result, frozenset(heard))
        while len(kept) > self._most:
            kept.popitem(last=False)
        return result


_SETS = Kept[tuple[Any, ...]](4 * MOST)


def as_one(design: Design, name: str, parts: Callable[[], Iterable[Any]]) -> tuple[Any, ...]:
    """Parts of a design that are asked for together, as one object, the same for all designs that have them in common.

    What rests on many parts is found by one of them then.

    Parameters
    ----------
    design : the design
    name : what these parts are called
    parts : gives them
    """
    found: tuple[Any, ...] | None = design.aside.get(name)
    if found is None:
        whole = (name, *parts())
        found = design.aside[name] = _SETS.of(whole, lambda: whole)
    return found
