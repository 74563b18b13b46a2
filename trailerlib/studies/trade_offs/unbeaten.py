"""Which candidates nothing else beats: none is better in one thing and no worse in all others."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from trailerlib.studies.trade_offs.axes import Floats

Bools = NDArray[np.bool_]
Ranks = NDArray[np.int32]
BLOCK = 256  # candidates held against one another at once


def ranks_of(values: Floats, better: str) -> Ranks:
    """Places of values among themselves, 0 the best; what is not known is the worst, and ties share a place.

    Parameters
    ----------
    values : [any] shape (n,), NaN where not known
    better : ``less`` or ``more``
    """
    signed = np.asarray(values, dtype=float) if better == "less" else -np.asarray(values, dtype=float)
    signed = np.where(np.isnan(signed), np.inf, signed) + 0.0
    unknown = np.isnan(np.asarray(values, dtype=float))
    found, place = np.unique(signed, return_inverse=True)
    ranks = place.astype(np.int32)
    ranks[unknown] = len(found)  # an infinite value that is known is better than none
    return ranks


def unbeaten(columns: Mapping[str, Floats] | Sequence[Floats], better: Sequence[str]) -> Bools:
    """Candidates that no other one beats.

    One beats another when it is no worse in everything and better in something. Two that are alike in everything do not
    beat each other. A value that is not known is worse than any that is.

    Parameters
    ----------
    columns : [any] the metrics, (n,) each
    better : ``less`` or ``more`` for each of them

    Returns
    -------
    Booleans, shape (n,).
    """
    found = list(columns.values()) if isinstance(columns, Mapping) else list(columns)
    if not found:
        raise ValueError("unbeaten: there is no metric to compare by.")
    ranks = np.array([ranks_of(column, way) for column, way in zip(found, better, strict=True)])
    distinct, back = _distinct(ranks)
    return _best(distinct)[back]


def _distinct(ranks: Ranks) -> tuple[Ranks, NDArray[np.intp]]:
    """The different rows, (metrics, m), and which of them each candidate is."""
    order = np.lexsort(ranks[::-1])
    sorted_ = ranks[:, order]
    new = np.concatenate([[True], (sorted_[:, 1:] != sorted_[:, :-1]).any(axis=0)])
    back = np.empty(len(order), dtype=np.intp)
    back[order] = np.cumsum(new) - 1
    return np.ascontiguousarray(sorted_[:, new]), back


def _best(ranks: Ranks) -> Bools:
    """Of different rows those that none beats. A row can only be beaten by one with a smaller sum of places."""
    order = np.argsort(ranks.sum(axis=0, dtype=np.int64), kind="stable")
    left, columns = order, np.ascontiguousarray(ranks[:, order])
    best = np.zeros(ranks.shape[1], dtype=bool)
    while left.size:
        head = columns[:, :BLOCK]
        kept = np.flatnonzero(_best_of_few(head))
        best[left[kept]] = True
        rest = np.ones(left.size, dtype=bool)
        rest[: head.shape[1]] = False
        left, columns = left[rest], np.ascontiguousarray(columns[:, rest])
        for k in kept:
            if not left.size:
                break
            stays = (columns < head[:, k, None]).any(axis=0)
            if stays.sum() < 0.9 * stays.size:
                left, columns = left[stays], np.ascontiguousarray(columns[:, stays])
            elif not stays.all():
                left, columns = left[stays], columns[:, stays]
    return best


def _best_of_few(ranks: Ranks) -> Bools:
    no_worse: Bools = np.asarray((ranks[:, :, None] <= ranks[:, None, :]).all(axis=0))
    np.fill_diagonal(no_worse, False)  # rows differ, so no worse in everything is better in something
    return np.asarray(~no_worse.any(axis=0))
