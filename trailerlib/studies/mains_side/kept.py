"""The mains side behind every supply, kept while nothing it rests on has changed."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from trailerlib.design.design import Design
from trailerlib.studies.circuits import side_as_laid
from trailerlib.studies.kept import Kept
from trailerlib.studies.mains_side.said import MainsSide
from trailerlib.studies.mains_side.solved import solve
from trailerlib.studies.trial import Trial, words

_KEPT = Kept[tuple[MainsSide, ...]]()


def sides(design: Design, trial: Trial | None = None) -> tuple[MainsSide, ...]:
    """The mains side behind each supply, solved; the same object again while nothing on it has changed.

    Parameters
    ----------
    design : the design
    trial : sizes to be tried on one circuit in the same call
    """
    return _KEPT.of([*rests_on(design), *words(trial)], lambda: solve(design, design.supplies, trial))


def rests_on(design: Design) -> Iterator[Any]:
    """All parts of a design that its mains side depends on."""
    yield from (design.practice, design.site, design.mains, design.charger, design.battery, design.inlet_run_m)
    yield side_as_laid(design, "mains")
    yield from design.stays
    yield from design.supplies
