"""Ranges of hours against a grid of minutes counted by hand."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trailerlib import units
from trailerlib.design.hours import overlap_h, read_ranges, write_range

MINUTE = st.integers(0, 24 * 60 - 1)
PAIRS = st.lists(st.tuples(MINUTE, MINUTE), min_size=0, max_size=5)


def word(minute: int) -> str:
    return f"{minute // 60:02d}:{minute % 60:02d}"


def text_of(pairs: list[tuple[int, int]]) -> str:
    return ", ".join(f"{word(first)}-{word(last)}" for first, last in pairs)


def on_at(pairs: list[tuple[int, int]], minute: int) -> bool:
    """Whether the minute that begins here is covered; a range that does not end later runs past midnight."""
    at = minute % (24 * 60)
    return any(first <= at < last if last > first else at >= first or at < last for first, last in pairs)


@given(PAIRS, MINUTE, st.integers(1, 24 * 60))
@settings(max_examples=300, deadline=None)
def test_overlap_equals_counted_minutes(pairs: list[tuple[int, int]], start: int, minutes: int) -> None:
    counted = sum(on_at(pairs, minute) for minute in range(start, start + minutes))
    got = overlap_h(read_ranges(text_of(pairs)), start / 60, (start + minutes) / 60)
    assert got * 60 == pytest.approx(counted, abs=1e-6)


@pytest.mark.parametrize(
    ("text", "ranges"),
    [("18:00-22:30", ((18.0, 22.5),)), ("18:00-22:30, 06:00-07:00", ((18.0, 22.5), (6.0, 7.0))), ("22:00-06:00", ((22.0, 30.0),)),
     ("all", ((0.0, 24.0),)), ("", ()), (" , ", ()), ("18:00 – 19:00", ((18.0, 19.0),)), ("00:00-24:00", ((0.0, 24.0),))],
)  # fmt: skip
def test_ranges_are_read(text: str, ranges: tuple[tuple[float, float], ...]) -> None:
    assert read_ranges(text) == ranges


@pytest.mark.parametrize(
    "text", ["25:00-26:00", "18:00", "18:00-", "-18:00", "always", "18-22", "18:00-19:00-20:00", "18:00 19:00"]
)
def test_what_is_no_range_is_refused_in_one_sentence(text: str) -> None:
    with pytest.raises(units.UnitError) as caught:
        read_ranges(text)
    assert (
        str(caught.value).endswith(".")
        and "\n" not in str(caught.value)
        and "such as" in str(caught.value).replace("like", "such as")
    )


def test_what_overlaps_is_counted_once() -> None:
    assert overlap_h(read_ranges("18:00-20:00, 19:00-21:00, 18:30-18:45"), 17.0, 22.0) == pytest.approx(3.0)


@given(MINUTE, st.floats(0, 30))
@settings(max_examples=200, deadline=None)
def test_a_written_range_lasts_as_long_as_was_asked(start: int, hours: float) -> None:
    """To the minute the file can hold; 24 h and over is the whole stay, nothing is never."""
    got = sum(last - first for first, last in read_ranges(write_range(start / 60, hours)))
    assert got == pytest.approx(min(hours, 24.0), abs=1.0 / 60 + 1e-9)


@pytest.mark.parametrize(
    ("hours", "text"), [(0.0, ""), (-1.0, ""), (24.0, "all"), (4.5, "18:00-22:30"), (12.0, "18:00-06:00"), (0.005, "")]
)
def test_how_a_range_is_written(hours: float, text: str) -> None:
    assert write_range(18.0, hours) == text
