"""What is read while something is worked out: a note for each part of a design that somebody watches.

Nothing is watched in everyday use and then nothing is noted. ``studies/trade_offs`` watches the parts it varies, so
that a question is asked once for all designs that are alike in what it reads.
"""

from __future__ import annotations

import threading
from collections.abc import Iterable, Iterator
from contextlib import contextmanager


class _Listeners(threading.local):
    """Who listens, the last one first told; each thread has its own."""

    def __init__(self) -> None:
        self.frames: list[set[int]] = []


_LISTENERS = _Listeners()


def note(marks: Iterable[int]) -> None:
    """Say that what goes by these marks was read; nothing where nobody listens.

    Parameters
    ----------
    marks : [-] the numbers under which the watched parts go
    """
    if _LISTENERS.frames:
        _LISTENERS.frames[-1].update(marks)


@contextmanager
def heard(*, passing_on: bool = True) -> Iterator[set[int]]:
    """Listen for a while: the set that is handed out fills with what is read.

    Parameters
    ----------
    passing_on : whether whoever listens already is told as well
    """
    frame: set[int] = set()
    _LISTENERS.frames.append(frame)
    try:
        yield frame
    finally:
        _LISTENERS.frames.pop()
        if passing_on:
            note(frame)
