"""Errors met in callbacks: shown on the bench, kept here, and raised where somebody checks."""

from __future__ import annotations

import logging

_log = logging.getLogger("trailerlib.bench")
_faults: list[tuple[str, Exception]] = []


class BenchFault(AssertionError):
    """A callback of a bench failed earlier; the text says which and how."""


def record(bench: str, error: Exception) -> None:
    """Keep an error of a callback, and write it to the notebook's log."""
    _faults.append((bench, error))
    _log.error("%s: %s", bench, error, exc_info=error)


def recorded() -> tuple[tuple[str, Exception], ...]:
    """What has gone wrong in callbacks since the last clearing: bench and error."""
    return tuple(_faults)


def clear() -> None:
    """Forget what has been recorded."""
    _faults.clear()


def assert_sound() -> None:
    """Nothing may have gone wrong in a callback; the last cell of every notebook asks this.

    Raises
    ------
    BenchFault
        With the first error that was recorded as its cause.
    """
    if _faults:
        bench, error = _faults[0]
        raise BenchFault(f"{bench}: {error} ({len(_faults)} recorded)") from error
