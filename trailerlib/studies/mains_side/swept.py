"""Currents up the tree, voltages down it, over and over until nothing moves, every wire at the heat of its own current.

Quick where little is lost on the way, each round leaving about that share of the error. States that do not settle so
are told, and left to Newton's steps.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics.mains_network import Phasors

Floats = NDArray[np.float64]
SETTLED_V = 1e-8  # a round that moves no voltage by more; as each halves the error at least, so much is left at most
FIRST_LOOK = 7  # rounds before it is looked at whether all has settled; a look costs as much as a third of a round
MOST_ROUNDS = 36

Round = Callable[[Phasors], tuple[Phasors, Phasors, Floats]]


@dataclass(frozen=True)
class Swept:
    """States after the last round: voltages [V], currents [A], temperatures [°C], a column a state, and which of the
    states have settled, (c,); of the others the numbers mean nothing.
    """

    volt: Phasors
    amp: Phasors
    hot_c: Floats
    settled: NDArray[np.bool_]


def swept(one_round: Round, volt: Phasors) -> Swept:
    """Rounds until every state has settled, or has not come nearer by half and is given up.

    A state stays as it was when it settled, however long its neighbours take.

    Parameters
    ----------
    one_round : from voltages to those a round later [V], the currents drawn [A] and the temperatures [°C]
    volt : [V] to begin with, (..., nodes, c)
    """
    axes = tuple(range(volt.ndim - 1))
    settled, going = np.zeros(volt.shape[-1], dtype=bool), np.ones(volt.shape[-1], dtype=bool)
    before = np.full(volt.shape[-1], np.inf)
    kept: tuple[Phasors, Phasors, Floats] | None = None
    with np.errstate(all="ignore"):
        for number in range(MOST_ROUNDS):
            found = one_round(volt)
            if number >= FIRST_LOOK:
                moved = np.abs(found[0] - volt).max(axis=axes)
                done = going & (moved <= SETTLED_V)
                kept = found if kept is None else _taken(done, found, kept)
                settled |= done
                going &= ~done & (moved < 0.5 * before)
                if not going.any():
                    break
                before = moved
            volt = found[0]
    assert kept is not None
    return Swept(*kept, settled)


def _taken(
    here: NDArray[np.bool_], new: tuple[Phasors, Phasors, Floats], old: tuple[Phasors, Phasors, Floats]
) -> tuple[Phasors, Phasors, Floats]:
    volt, amp, hot = (np.where(here, one, other) for one, other in zip(new, old, strict=True))
    return volt, amp, hot
