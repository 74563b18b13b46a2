"""Fuses, short circuits and what a wire survives."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trailerlib.physics.protection import (
    adiabatic_seconds,
    prospective_current_a,
    required_rating_a,
    smallest_rating_a,
)

RATINGS = [5.0, 30.0, 7.5, 10.0, 15.0, 20.0]


@given(st.floats(0.0, 30.0))
def test_the_rating_chosen_is_enough_and_the_next_smaller_is_not(need_a: float) -> None:
    rating = float(smallest_rating_a(need_a, RATINGS))
    assert rating in RATINGS and rating >= need_a * (1 - 1e-9)
    assert all(smaller < need_a for smaller in RATINGS if smaller < rating)


def test_a_need_equal_to_a_rating_takes_it() -> None:
    assert smallest_rating_a(required_rating_a(16.0, 0.0), RATINGS) == 20.0
    assert smallest_rating_a(20.000000000000004, RATINGS) == 20.0
    assert smallest_rating_a(20.001, RATINGS) == 30.0


def test_a_need_beyond_the_largest_is_refused_with_its_name() -> None:
    with pytest.raises(ValueError, match="31 A; the largest is 30 A"):
        smallest_rating_a(31.0, RATINGS)
    with pytest.raises(ValueError, match="largest is 30 A"):
        smallest_rating_a(np.array([3.0, 300.0]), RATINGS)


@pytest.mark.parametrize(("need", "ratings"), [(float("nan"), RATINGS), (5.0, [])])
def test_nonsense_is_refused(need: float, ratings: list[float]) -> None:
    with pytest.raises(ValueError):
        smallest_rating_a(need, ratings)


def test_many_needs_at_once() -> None:
    assert np.asarray(smallest_rating_a(np.array([[0.0, 6.0], [10.0, 29.0]]), RATINGS)).tolist() == [[5, 7.5], [10, 30]]


def test_only_the_continuous_part_is_raised() -> None:
    assert required_rating_a(8.0, 4.0) == 14.0 and required_rating_a(0.0, 4.0) == 4.0


def test_short_circuit_current_drives_the_whole_voltage_through_the_loop() -> None:
    assert prospective_current_a(12.8, 0.004, 0.0024) == pytest.approx(2000.0)


@given(st.floats(0.001, 0.1), st.floats(0.0, 1.0))
def test_a_longer_path_never_gives_more_short_circuit_current(source_ohm: float, path_ohm: float) -> None:
    assert prospective_current_a(12.8, source_ohm, path_ohm) <= prospective_current_a(12.8, source_ohm, 0.0)


@given(st.floats(0.5, 70.0), st.floats(50.0, 5000.0), st.floats(80.0, 180.0))
def test_energy_let_through_is_what_the_wire_holds(area_mm2: float, current_a: float, k: float) -> None:
    seconds = adiabatic_seconds(area_mm2, current_a, k)
    assert current_a**2 * seconds == pytest.approx((k * area_mm2) ** 2)
    assert adiabatic_seconds(area_mm2, 2 * current_a, k) == pytest.approx(seconds / 4)
