"""Spacer frames: what is cut goes together to what was asked, and no board loses a strip to rounding."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trailerlib.physics import spacer

IN = 0.0254
size = st.floats(0.1, 1.2)


def test_a_wall_with_its_spacer_is_as_thick_as_it_is_made_for() -> None:
    made, wall = 0.038, np.linspace(0.02, 0.045, 11)
    np.testing.assert_allclose(wall + spacer.spacer_m(made, wall), made, atol=1e-12)
    assert np.asarray(spacer.spacer_m(made, wall))[-1] < 0, "a wall that is too thick"
    assert spacer.fastener_m(made, 0.002, 0.006) == pytest.approx(0.046)


@settings(max_examples=40)
@given(size, size, st.floats(0.02, 0.08))
def test_both_corners_make_the_same_frame(width: float, height: float, strip: float) -> None:
    """Invariant: area of the pieces is that of the frame; a mitre takes half a square off each end."""
    area = (width + 2 * strip) * (height + 2 * strip) - width * height
    for corner, lost in (("butt", 0.0), ("mitre", strip)):
        pieces = spacer.frame_pieces(width, height, strip, corner)  # type: ignore[arg-type]
        assert [one.name for one in pieces] == ["level", "upright"] and {one.count for one in pieces} == {2}
        assert sum(one.count * (one.length_m - lost) * strip for one in pieces) == pytest.approx(area, rel=1e-9)
    assert [one.ends for one in spacer.frame_pieces(width, height, strip, "mitre")] == ["mitre", "mitre"]
    assert spacer.frame_pieces(width, height, strip, "butt")[1].length_m == height


@settings(max_examples=60)
@given(st.integers(1, 40), st.floats(0.01, 0.1), st.floats(0.0, 0.005), st.floats(0.0, 0.999))
def test_strips_are_as_many_as_the_saw_gives(count: int, strip: float, kerf: float, more: float) -> None:
    """Independent: cut one after another until the board is used up."""
    board = count * strip + (count - 1) * kerf + more * (strip + kerf) * (1 - 1e-6)
    left, cut = board, 0
    while left >= strip - 1e-10:
        left, cut = left - strip - kerf, cut + 1
    assert spacer.strips(board, strip, kerf) == cut == count
    over = spacer.left_over_m(board, count, strip, kerf)
    assert over == pytest.approx(max(0.0, left), abs=1e-9)
    dust = spacer.sawdust_m(board, count, strip, over)
    assert -1e-12 <= float(np.asarray(dust)) <= count * kerf + 1e-12
    assert float(np.asarray(dust)) >= (count - 1) * kerf - 1e-12


def test_a_board_gives_all_its_strips_to_the_last_shaving_and_not_one_more() -> None:
    n = np.arange(1, 60)
    for strip, kerf in ((1.5 * IN, IN / 8), (0.1, 0.003), (0.7 * IN, 0.1 * IN)):
        np.testing.assert_array_equal(spacer.strips(n * strip + (n - 1) * kerf, strip, kerf), n)
        np.testing.assert_array_equal(spacer.strips(n * strip + (n - 1.05) * kerf, strip, kerf), n - 1)
    assert spacer.strips(0.03, 0.038, 0.003) == 0


def test_a_frame_without_a_hole_or_with_odd_corners_is_refused() -> None:
    with pytest.raises(ValueError, match="wider than nothing"):
        spacer.frame_pieces(0.0, 0.3, 0.03, "butt")
    with pytest.raises(ValueError, match="butt or mitre"):
        spacer.frame_pieces(0.3, 0.3, 0.03, "lap")  # type: ignore[arg-type]
