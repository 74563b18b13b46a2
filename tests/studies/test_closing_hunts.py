"""The suggested next line beats going down the sheet; counted on planted faults of three trailers."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from tests.closing_cases.hunts import Hunt, figure, hunt, told
from tests.closing_cases.plan import TRAILERS, trailer
from trailerlib.studies.closing import next_line
from trailerlib.studies.closing.diagnose import of_sheet
from trailerlib.studies.closing.planted import plant
from trailerlib.studies.closing.sheet import sheet_of

SEEDS = range(200, 204)


@cache
def hunts(name: str) -> tuple[Hunt, ...]:
    return tuple(hunt((name, seed)) for seed in SEEDS)


@pytest.mark.parametrize("name", TRAILERS)
def test_the_telling_line_needs_less_than_half_as_many_measurements(name: str) -> None:
    found = hunts(name)
    assert 2 * sum(one.telling for one in found) < sum(one.walk for one in found)


def test_the_telling_line_is_seldom_later_than_the_walk() -> None:
    every = [one for name in TRAILERS for one in hunts(name)]
    assert sum(one.telling <= one.walk for one in every) >= 0.9 * len(every)


def test_a_side_where_nothing_was_read_is_suggested_too() -> None:
    """One sound reading on the dead side: the battery side has more that may be wrong, so it comes next."""
    hidden = plant(trailer("fen-survey"), 2)
    first = hidden.sheet.routine[0].line.key
    after = of_sheet(hidden.sheet, {first: hidden.read(first)}).next
    assert after is not None and after.line.key.startswith("all/")
    assert "dead comes before power" in after.why


def test_what_a_line_tells_first_is_worth_less_once_a_fault_is_settled() -> None:
    """With a fault all but sure on one side, an untouched side is asked last."""
    sheet = sheet_of(trailer("fen-survey"))
    low = {"rest/battery volts": 11.0, "rest/block volts": 11.0, "all/battery volts": 10.9, "all/block volts": 10.8}
    after = of_sheet(sheet, low).next
    untouched = next_line._untouched(sheet, sheet.blocks[-1], next_line.unread(sheet.blocks[-1], low), 1e-9, low)
    assert untouched is not None and untouched.bits < 1e-6
    assert after is None or after.line.key not in {line.key for line in sheet.blocks[-1].lines}


def test_the_table_and_the_figure_hold_every_hunt() -> None:
    every = [one for name in TRAILERS for one in hunts(name)]
    table, drawing = told(every), figure(every)
    assert f"| all | {len(every)} |" in table and all(f"| {name} | {len(SEEDS)} |" in table for name in TRAILERS)
    assert f"{len(every)} planted faults" in drawing and drawing.startswith("<svg")


@pytest.mark.parametrize("value", [0.0, 1.0, -500.0, 5e3, 1e9])
def test_any_single_reading_leaves_a_next_line_or_none_without_a_fault_of_its_own(value: float) -> None:
    sheet = sheet_of(trailer("one-lamp"))
    with np.errstate(all="raise", under="ignore"):
        for one in sheet.expected:
            after = of_sheet(sheet, {one.line.key: value}).next
            assert after is None or after.bits >= 0.0
