"""Which limits a set passes, what opens first and about when, by the limits the standard sets on breakers."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from trailerlib.physics.time_current import band
from trailerlib.physics.together import SLACK, Floats
from trailerlib.studies.devices import device
from trailerlib.studies.together.limits import Limit
from trailerlib.studies.together.result import Trip


def trips(rows: Sequence[Limit], values: Floats) -> list[tuple[Trip, ...]]:
    """The limits each of several sets passes, the first to open in front.

    Parameters
    ----------
    rows : the limits
    values : [A or W] what flows through each, shape (limits, sets)
    """
    found: list[list[Trip]] = [[] for _ in range(values.shape[1])]
    for row, flows in zip(rows, values, strict=True):
        over = np.flatnonzero(flows > row.rating * (1.0 + SLACK))
        if not over.size:
            continue
        least, most = _times(row, flows[over])
        for k, at in enumerate(over.tolist()):
            found[at].append(Trip(row, float(flows[at]), float(least[k]), float(most[k])))
    return [tuple(sorted(each, key=_rank)) for each in found]


def _times(row: Limit, flows: Floats) -> tuple[Floats, Floats]:
    """Soonest and latest opening [s]; infinite where nothing is published or nothing opens."""
    breaker = device(row.device, row.rating)[0] if row.device else None
    if breaker is None:
        return np.full(flows.shape, np.inf), np.full(flows.shape, np.inf)
    least, most = band(breaker, flows)
    return np.asarray(least), np.asarray(most)


def _rank(trip: Trip) -> tuple[int, float]:
    """A set past its power gives way within seconds (common practice, no source); then breakers by latest opening.

    Below the first time the standard sets, the one that is furthest over its rating; what only heats comes last.
    """
    over = trip.value / trip.limit.rating
    if trip.limit.kind in ("generator", "power"):
        return 0, -over
    if trip.stop:
        return 3, -over
    return (2, -over) if np.isinf(trip.most_s) else (1, trip.most_s)
