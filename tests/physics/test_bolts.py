"""Bolts of a unit's frame: forces and moments balance, an even group agrees with the short formula."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trailerlib.physics import bolts, strength

FOUR = np.array([[2.0, 0.8], [2.0, 1.16], [2.36, 0.8], [2.36, 1.16]])
number = st.floats(-900.0, 900.0)


@settings(max_examples=40)
@given(st.lists(st.tuples(st.floats(0, 1), st.floats(0, 1)), min_size=1, max_size=5), number, number, number)
def test_pull_and_shear_hold_what_acts(
    more: list[tuple[float, float]], lift: float, forward: float, leftward: float
) -> None:
    """Invariant: lift and both overturning moments by the pulls, least of all planes that do it."""
    at = np.array([(0.0, 0.0), (1.0, 0.1), (0.2, 0.9), *more])
    centre, height = np.array([0.4, 0.7]), 0.15
    pull = bolts.pull_n(at, centre, height, lift, forward, leftward)
    assert pull.sum() == pytest.approx(lift, abs=1e-8)
    assert (pull @ at).tolist() == pytest.approx(
        [lift * 0.4 + forward * height, lift * 0.7 + leftward * height], abs=1e-8
    )
    plane = np.linalg.lstsq(np.column_stack([np.ones(len(at)), at]), pull, rcond=None)[0]
    np.testing.assert_allclose(np.column_stack([np.ones(len(at)), at]) @ plane, pull, atol=1e-7)  # a stiff plate


def test_an_even_group_agrees_with_the_short_formula() -> None:
    centre = FOUR.mean(axis=0)
    arm = FOUR[:, 0] - centre[0]
    pull = bolts.pull_n(FOUR, centre, 0.15, 970.0, 353.0, 0.0)
    short = bolts.even_bolt_n(970.0, 4.0, 353.0, 0.15, arm, np.sum(arm**2))
    assert pull == pytest.approx(short, rel=1e-12)
    assert pull[2] > pull[0], "braking lifts the rear"
    side = bolts.pull_n(FOUR, centre, 0.15, 0.0, 0.0, 200.0)
    assert side[1] > 0 > side[0], "a push to the left lifts the right"


def test_a_force_through_the_middle_shears_evenly_and_one_beside_it_turns() -> None:
    even = bolts.shear_n(FOUR, FOUR.mean(axis=0), 300.0, 400.0)
    assert even == pytest.approx(np.full(4, 125.0))
    off = FOUR.mean(axis=0) + np.array([0.0, 0.1])
    turned = bolts.shear_n(FOUR, off, 400.0, 0.0)
    # 40 N·m on four bolts 0.18 m off both ways: each 40 x 0.18 / 0.2592 each way
    step = 40.0 * 0.18 / (8 * 0.18**2)
    assert turned == pytest.approx([np.hypot(100 + s * step, step) for s in (-1, 1, -1, 1)])


def test_shear_of_any_group_balances_force_and_turning() -> None:
    """Independent: the bolts as springs under a stiff plate, solved as such."""
    at = np.array([[0.0, 0.0], [0.5, 0.1], [0.2, 0.6], [0.7, 0.4], [0.1, 0.3]])
    centre, forward, leftward = np.array([0.45, 0.2]), 250.0, -130.0
    x, y = (at - 0.0).T
    stiff = np.array([[5, 0, y.sum()], [0, 5, -x.sum()], [y.sum(), -x.sum(), (x**2 + y**2).sum()]])
    moved = np.linalg.solve(stiff, [forward, leftward, forward * centre[1] - leftward * centre[0]])
    each = np.hypot(moved[0] + moved[2] * y, moved[1] - moved[2] * x)
    assert bolts.shear_n(at, centre, forward, leftward) == pytest.approx(each, rel=1e-9)


def test_cases_side_by_side() -> None:
    lift = np.array([[0.0], [500.0]])
    centre = np.tile(FOUR.mean(axis=0), (2, 3, 1))
    found = bolts.pull_n(FOUR, centre, 0.15, lift, np.array([0.0, 100.0, 200.0]), 50.0)
    assert found.shape == (2, 3, 4)
    assert found[1, 2] == pytest.approx(bolts.pull_n(FOUR, FOUR.mean(axis=0), 0.15, 500.0, 200.0, 50.0))
    assert bolts.shear_n(FOUR, centre, lift, 50.0).shape == (2, 3, 4)
    assert strength.shaken_n(441.0, 2.0) == 882.0


def test_bolts_on_one_line_or_in_one_place_are_refused() -> None:
    with pytest.raises(ValueError, match="one line"):
        bolts.pull_n(FOUR[:2], FOUR[0], 0.15, 1.0, 0.0, 0.0)
    with pytest.raises(ValueError, match="one place"):
        bolts.shear_n(FOUR[[0, 0]], FOUR[0], 1.0, 0.0)
