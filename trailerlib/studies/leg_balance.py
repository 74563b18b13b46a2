"""Balancing a panel of two legs: the division of its circuits whose heavier leg is lightest."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from trailerlib.design.model import BOTH, OnLeg
from trailerlib.studies.answer import names
from trailerlib.studies.breakers import Breaker

MOST_VECTORS = 16  # circuits up to which currents are added as vectors; above, as what a clamp meter shows of each
MOST_BALANCED = 40  # circuits; half of them make 2^20 sums


@dataclass(frozen=True)
class Balance:
    """Circuits on two legs: the heavier leg now, None while a leg is not given, and at best [A].

    ``best`` is the leg of each circuit then, ``moves`` the circuits that change their leg for it; what stands on both
    stays there.
    """

    present_a: float | None
    best_a: float
    best: Mapping[str, OnLeg]
    moves: tuple[str, ...]


def best_legs(breakers: Sequence[Breaker]) -> Balance | None:
    """The division of circuits over two legs whose heavier leg is lightest with everything on; exact.

    The sums of all divisions of each half of the circuits are made once; for each of the one half the sum of the
    other that comes nearest to an even share is looked up. Of a division and its mirror the one with fewer moves wins.
    What runs between the legs loads both alike and cannot move.

    Raises
    ------
    ValueError
        When there are more circuits than can be gone through.
    """
    if len(breakers) > MOST_BALANCED:
        raise ValueError(f"best_legs: {len(breakers)} circuits are too many; give at most {MOST_BALANCED}.")
    if not breakers:
        return None
    single = [b for b in breakers if not b.two_pole]
    if len(single) <= MOST_VECTORS:
        both = sum((b.every for b in breakers if b.two_pole), 0j)
        every = _sums([b.every for b in single])
        best = int(np.argmin(np.maximum(np.abs(every + both), np.abs(every[-1] - every + both))))
        return _balance(breakers, [bool(best >> k & 1) for k in range(len(single))])
    amps = [b.all_a for b in single]
    half = len(amps) // 2
    first, second = _sums(amps[:half]), _sums(amps[half:])
    order = np.argsort(second, kind="stable")
    ranked = second[order]
    want = sum(amps) / 2.0 - first
    above = np.minimum(np.searchsorted(ranked, want), len(ranked) - 1)
    below = np.maximum(above - 1, 0)
    gap_above, gap_below = np.abs(ranked[above] - want), np.abs(ranked[below] - want)
    pick = int(np.argmin(np.minimum(gap_above, gap_below)))
    other = int(order[above[pick] if gap_above[pick] <= gap_below[pick] else below[pick]])
    ones = [bool(pick >> k & 1) for k in range(half)] + [bool(other >> k & 1) for k in range(len(amps) - half)]
    return _balance(breakers, ones)


def _sums(amps: Sequence[complex]) -> Any:
    """Sum of every set of them; set number n holds those whose bit of n is one."""
    sums = np.zeros(1)
    for value in amps:
        sums = np.concatenate([sums, sums + value])
    return sums


def _balance(breakers: Sequence[Breaker], on_one: Sequence[bool]) -> Balance:
    """A division, told for those that can move in the order they come."""
    ways = (_placed(breakers, on_one, 1, 2), _placed(breakers, on_one, 2, 1))
    best = min(ways, key=lambda way: sum(b.leg != leg for b, leg in zip(breakers, way, strict=True)))
    stated = [b.leg for b in breakers if b.leg is not None]
    present = _heavier(breakers, stated) if len(stated) == len(breakers) else None
    best_a = _heavier(breakers, best)
    if present is not None and present <= best_a + 1e-9:
        best, best_a = stated, present
    moves = tuple(b.name for b, leg in zip(breakers, best, strict=True) if b.leg != leg)
    return Balance(present, best_a, dict(zip((b.name for b in breakers), best, strict=True)), moves)


def _placed(breakers: Sequence[Breaker], on_one: Sequence[bool], one: OnLeg, other: OnLeg) -> list[OnLeg]:
    turns = iter(on_one)
    return [BOTH if b.two_pole else one if next(turns) else other for b in breakers]


def _heavier(breakers: Sequence[Breaker], legs: Sequence[OnLeg]) -> float:
    return max(
        abs(sum(b.every for b, leg in zip(breakers, legs, strict=True) if leg in (number, BOTH))) for number in (1, 2)
    )


def balance_words(balance: Balance | None) -> str:
    """What balancing would bring, as a sentence; empty on one leg.

    Parameters
    ----------
    balance : the balance of a panel
    """
    from trailerlib.units import figures

    if balance is None:
        return ""
    best = f"{figures(balance.best_a)} A"
    if balance.present_a is None:
        return f"Not every circuit says its leg; at best the heavier leg carries {best} with everything on."
    if not balance.moves:
        return f"The legs are as even as these circuits can be: {best} on the heavier one with everything on."
    return f"Moving {names(balance.moves)} brings the heavier leg from {figures(balance.present_a)} A to {best}."
