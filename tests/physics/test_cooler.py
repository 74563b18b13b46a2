"""A small cooler away from its rating and at part of its load."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trailerlib.physics import cooler
from trailerlib.physics.cooler import cooling_w, drawn_w, running_share

WET, OUTSIDE = st.floats(12.78, 23.89), st.floats(18.0, 46.11)


def test_at_its_rating_it_makes_and_draws_what_is_rated() -> None:
    at = (67.0 - 32.0) / 1.8, 35.0  # 95 degF outside, 80/67 degF inside
    assert cooling_w(2640.0, *at) == pytest.approx(2640.0, rel=2e-4)
    assert drawn_w(900.0, *at) == pytest.approx(900.0, rel=2e-4)


@given(WET, OUTSIDE, st.floats(0.0, 15.0))
@settings(max_examples=50)
def test_hotter_outside_is_less_cold_for_more_power(wet: float, outside: float, more: float) -> None:
    """Where it runs in summer; below 24 degC outside the power curve is flat."""
    near, far = outside, min(outside + more, 46.11)
    assert cooling_w(1.0, wet, far) <= cooling_w(1.0, wet, near) + 1e-12
    ratio = [drawn_w(1.0, wet, t) / cooling_w(1.0, wet, t) for t in (near, far)]
    assert ratio[1] >= ratio[0] - 1e-12 or near < 24.0


@given(OUTSIDE, WET, st.floats(0.0, 5.0))
@settings(max_examples=50)
def test_damper_air_inside_gives_more_cold(outside: float, wet: float, more: float) -> None:
    assert cooling_w(1.0, min(wet + more, 23.89), outside) >= cooling_w(1.0, wet, outside) - 1e-12


def test_beyond_the_range_of_the_curves_their_edge_stands() -> None:
    assert cooling_w(1000.0, 19.4, 55.0) == cooling_w(1000.0, 19.4, 46.11) < cooling_w(1000.0, 19.4, 46.0)
    assert drawn_w(1000.0, 30.0, -5.0) == drawn_w(1000.0, 23.89, 18.0)
    assert cooling_w(1000.0, 5.0, 30.0) == cooling_w(1000.0, 12.78, 30.0) < cooling_w(1000.0, 12.9, 30.0)
    for wet, outside in ((12.78, 18.0), (12.78, 46.11), (23.89, 18.0), (23.89, 46.11), (17.0, 30.0)):
        inside_it = cooler.capacity_curve(wet, outside)
        assert cooling_w(1.0, wet, outside) == inside_it, "no edge inside of it"
        assert drawn_w(1.0, wet, outside) == inside_it * cooler.input_curve(wet, outside)


def test_a_day_of_air_goes_in_one_call() -> None:
    outside, wet = np.linspace(15.0, 50.0, 24), np.array([[14.0], [19.4]])
    many = drawn_w(900.0, wet, outside)
    assert many.shape == (2, 24)
    assert many[1, 7] == drawn_w(900.0, 19.4, float(outside[7]))


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0))
@settings(max_examples=50)
def test_starting_costs_and_never_at_full_load(some: float, more: float) -> None:
    less, most = running_share(np.array(sorted((some, more))))
    assert min(some, more) <= less <= most <= 1.0
    assert running_share(0.0) == 0.0 and running_share(1.0) == 1.0 and running_share(3.0) == 1.0
    assert running_share(0.5) == pytest.approx(0.5 / 0.925)
