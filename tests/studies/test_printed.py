"""Printed tables: as narrow as their lines allow, whatever they hold, and as a search width by width finds them."""

from __future__ import annotations

from collections import Counter

from hypothesis import given, settings
from hypothesis import strategies as st

from trailerlib.studies import printed
from trailerlib.studies.printed import Strip

words = st.sampled_from(
    ["a", "spacer,", "12", "in", "lb", "1.50", "upright", "a-word-longer-than-a-column-may-be", "of", "%", "–"]
)
texts = st.lists(words, max_size=12).map(" ".join)
strips = st.builds(Strip, texts, st.lists(texts, min_size=1, max_size=4).map(tuple), st.booleans())


@settings(max_examples=120, deadline=None)
@given(strips, st.integers(1, 6), st.integers(1, 6))
def test_the_width_is_that_of_a_search_one_by_one(strip: Strip, head: int, rows: int) -> None:
    """Independent: every width from the least on is tried until the text breaks into few enough lines."""
    width = printed._least(strip)
    while len(printed._broken(strip.head, width)) > head or any(
        len(printed._broken(c, width)) > rows for c in strip.cells
    ):
        width += 1
    assert printed._width(strip, head, rows) == width


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(texts, texts, texts), min_size=1, max_size=5))
def test_nothing_is_lost_between_the_lines(rows: list[tuple[str, ...]]) -> None:
    columns = [Strip(f"h{n}", tuple(row[n] for row in rows), False) for n in range(3)]
    lines = printed.table(columns)
    assert max(len(line) for line in lines) <= printed.WIDTH
    told, printed_letters = Counter("".join("".join(row) for row in rows)), Counter("".join(lines))
    assert all(printed_letters[letter] >= count for letter, count in told.items() if letter != " ")
