"""A fridge in other air: what is rated, the two ends, and a heat balance by Carnot's machine."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trailerlib.physics.cold_box import fridge_duty

airs = st.floats(-20.0, 50.0)


def test_in_the_air_of_its_rating_it_runs_as_rated() -> None:
    assert fridge_duty(0.4, 25.0, 4.0, 25.0) == pytest.approx(0.4, rel=1e-15)


def test_in_air_no_warmer_than_its_inside_it_rests_and_it_never_runs_more_than_always() -> None:
    assert fridge_duty(0.4, 25.0, 4.0, 4.0) == 0.0 == fridge_duty(0.4, 25.0, 4.0, -15.0)
    assert fridge_duty(0.9, 25.0, 4.0, 45.0) == 1.0


def test_by_a_heat_balance() -> None:
    """One watt per kelvin leaks in; a machine of 30 % of Carnot's efficiency at 48 W takes it out again."""

    def duty(air_c: float) -> float:
        carnot = (4.0 - 10.0 + 273.15) / ((air_c + 10.0) - (4.0 - 10.0))
        return 1.0 * (air_c - 4.0) / (0.3 * carnot * 48.0)

    for air_c in (10.0, 15.0, 32.0, 38.0):
        assert fridge_duty(duty(25.0), 25.0, 4.0, air_c) == pytest.approx(duty(air_c), rel=1e-12)


@given(st.floats(0.05, 1.0), airs, airs)
def test_warmer_air_never_rests_it_more(rated: float, one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert fridge_duty(rated, 25.0, 4.0, low) <= fridge_duty(rated, 25.0, 4.0, high) + 1e-12
