"""The diagnosis on 2 510 filled-in sheets of the battery side whose truth is known, half of each sheet missing.

490 sheets (320 with a fault) were filled in by ngspice, network and noise alike; the rest by numpy and the solver, after
the same plan. Single faults, meter errors even within the stated accuracy. What is asked: the true fault in the leading
suspicion of 90 % of the faulty sheets, in the first three of 98 %; no fault claimed on 97 % of the sound ones. How often
each kind of fault is drawn and how often the diagnosis takes it to be met are the same guess: common practice, no source.
"""

from __future__ import annotations

from functools import cache

import pytest

from tests.closing_cases.fault import KINDS
from tests.closing_cases.judge import FAULTY, WELL, Judged, drawn, judge, score
from tests.closing_cases.plan import TRAILERS
from tests.closing_cases.recorded import cases

FIRST, IN_THREE, UNCLAIMED = 0.90, 0.98, 0.97


@cache
def recorded() -> tuple[Judged, ...]:
    return tuple(judge(case) for case in cases())


@cache
def here(trailer: str) -> tuple[Judged, ...]:
    return tuple(judge(case) for case in drawn((trailer,)))


def test_sheets_filled_in_by_a_circuit_simulator() -> None:
    found = score(recorded())
    assert found.faulty == 320 and found.healthy == 170
    assert found.first >= FIRST and found.in_three >= IN_THREE and found.unclaimed >= UNCLAIMED, found


@pytest.mark.parametrize("trailer", TRAILERS)
def test_sheets_drawn_here(trailer: str) -> None:
    found = score(here(trailer))
    assert found.faulty == FAULTY[trailer] and found.healthy == WELL
    assert found.first >= FIRST and found.in_three >= IN_THREE and found.unclaimed >= UNCLAIMED, found


def test_at_least_two_thousand_sheets_were_asked_for_and_no_kind_was_left_out() -> None:
    assert sum(FAULTY.values()) + 3 * WELL >= 2_000
    assert {one.truth.kind for one in recorded()} == {*KINDS, "healthy"}


def test_a_suspicion_names_few_faults() -> None:
    """To be first means little if the leading suspicion were everything; half of the right ones name one fault alone."""
    right = sorted(one.alike for one in recorded() if one.place == 1)
    assert right[len(right) // 2] == 1 and sum(right) / len(right) < 3.0


@pytest.mark.parametrize("kind", KINDS)
def test_a_claim_of_each_kind_is_hardly_ever_wrong(kind: str) -> None:
    """Where a fault is claimed, the true one is among the first three; said so of at least nine in ten of each kind."""
    claimed = [one for one in recorded() if one.truth.kind == kind and one.claimed]
    assert len(claimed) >= 5 and sum(1 <= one.place <= 3 for one in claimed) >= 0.9 * len(claimed)
