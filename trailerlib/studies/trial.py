"""What is tried in place of what is fitted, in the same call that solves a side as it is."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Trial:
    """The sizes that are tried on one circuit, behind the fuse or breaker it has."""

    circuit: str
    sizes: tuple[str, ...]


def words(trial: Trial | None) -> tuple[str, ...]:
    """What a trial is kept by, as text; nothing where nothing is tried.

    Parameters
    ----------
    trial : what is tried
    """
    return () if trial is None else (trial.circuit, *trial.sizes)
