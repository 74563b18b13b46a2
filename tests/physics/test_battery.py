"""Batteries: never more than is in them, never full before it is sent in."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trailerlib.physics.battery import effective_capacity_ah, lookup, peukert_drain_a, peukert_hours, state_of_charge
from trailerlib.physics.battery_gas import hydrogen_flow_m3_h, vent_opening_cm2
from trailerlib.physics.charging import charger_input_w, full_hours

exponents = st.floats(1.0, 1.6)
currents = st.floats(0.01, 300.0)


@given(currents, exponents)
def test_peukert_never_credits_above_the_rated_capacity(current_a: float, exponent: float) -> None:
    drain = peukert_drain_a(current_a, 100.0, 20.0, exponent)
    assert drain >= current_a
    assert current_a * (100.0 / drain) <= 100.0 * (1 + 1e-12)


@given(st.floats(5.0, 300.0), exponents)
def test_above_the_rated_current_the_drain_is_peukerts_time(current_a: float, exponent: float) -> None:
    hours = 100.0 / peukert_drain_a(current_a, 100.0, 20.0, exponent)
    assert hours == pytest.approx(float(peukert_hours(100.0, 20.0, current_a, exponent)), rel=1e-9)


@given(exponents)
def test_at_the_rated_current_the_rated_hours_come_out(exponent: float) -> None:
    assert peukert_hours(100.0, 20.0, 5.0, exponent) == pytest.approx(20.0)


def test_at_or_below_the_rated_current_and_in_charge_the_drain_is_the_current() -> None:
    assert peukert_drain_a(np.array([-20.0, 0.0, 2.0, 5.0]), 100.0, 20.0, 1.3).tolist() == [-20.0, 0.0, 2.0, 5.0]


def test_capacity_factors_multiply() -> None:
    assert effective_capacity_ah(200.0, 0.8, 0.9) == pytest.approx(144.0)


XS, YS = np.array([0.0, 1.0, 3.0]), np.array([10.0, 12.0, 11.0])


def test_lookup_reads_points_and_between() -> None:
    assert lookup(1.0, XS, YS) == 12.0 and lookup(2.0, XS, YS) == 11.5 and np.ndim(lookup(2.0, XS, YS)) == 0
    assert np.asarray(lookup(np.array([[0.0, 0.5], [3.0, 1.0]]), XS, YS)).tolist() == [[10.0, 11.0], [11.0, 12.0]]


@pytest.mark.parametrize("x", [-0.001, 3.001, np.array([1.0, 9.0])])
def test_lookup_refuses_to_guess_outside(x: float) -> None:
    with pytest.raises(ValueError, match="outside the table, 0 to 3"):
        lookup(x, XS, YS)
    held = np.asarray(lookup(x, XS, YS, edge="hold"))
    assert held.min() >= 10.0 and held.max() <= 12.0


def test_lookup_holds_the_end_value_when_told() -> None:
    assert lookup(-5.0, XS, YS, edge="hold") == 10.0 and lookup(5.0, XS, YS, edge="hold") == 11.0


@pytest.mark.parametrize("edge", ["raise", "hold"])
def test_lookup_refuses_what_is_not_a_number(edge: str) -> None:
    with pytest.raises(ValueError, match="not a number"):
        lookup(float("nan"), XS, YS, edge=edge)  # type: ignore[arg-type]


def test_lookup_refuses_bad_tables_and_bad_edges() -> None:
    for xs, ys in (([0.0, 0.0], [1.0, 2.0]), ([1.0, 0.0], [1.0, 2.0]), ([0.0, 1.0], [1.0])):
        with pytest.raises(ValueError, match="strictly rising"):
            lookup(0.0, np.array(xs), np.array(ys))
    with pytest.raises(ValueError, match="'raise' or 'hold'"):
        lookup(0.0, XS, YS, edge="clamp")  # type: ignore[arg-type]


@given(st.lists(st.floats(-50.0, 50.0), min_size=1, max_size=40), st.floats(0.0, 1.0))
def test_charge_stays_between_empty_and_full(drains: list[float], start: float) -> None:
    fraction = state_of_charge(np.array(drains), 0.5, 100.0, start)
    assert fraction.shape == (len(drains),) and fraction.min() >= 0.0 and fraction.max() <= 1.0


@given(st.lists(st.floats(0.0, 5.0), min_size=1, max_size=10))
def test_between_the_ends_what_is_taken_is_what_is_missing(drains: list[float]) -> None:
    fraction = state_of_charge(np.array(drains), 1.0, 100.0, 1.0)
    assert fraction == pytest.approx(1.0 - np.cumsum(drains) / 100.0)


def test_an_empty_battery_owes_nothing() -> None:
    """Taking from an empty battery must not be paid back before charging shows."""
    assert state_of_charge(np.array([20.0, 20.0, -5.0]), 1.0, 10.0, 0.5).tolist() == [0.0, 0.0, 0.5]
    assert state_of_charge(np.array([-5.0, -50.0, 5.0]), 1.0, 10.0, 0.5).tolist() == [1.0, 1.0, 0.5]


def test_batteries_side_by_side() -> None:
    drain = np.full((2, 3, 4), 5.0)
    fraction = state_of_charge(drain, 1.0, np.array([50.0, 100.0, 200.0]), np.array([[1.0], [0.5]]))
    assert fraction.shape == (2, 3, 4)
    assert fraction[1, 2] == pytest.approx(state_of_charge(drain[1, 2], 1.0, 200.0, 0.5))
    assert state_of_charge(np.array([10.0, 10.0]), np.array([1.0, 0.5]), 100.0, 1.0) == pytest.approx([0.9, 0.85])


@pytest.mark.parametrize(("capacity", "start"), [(0.0, 0.5), (-1.0, 0.5), (100.0, 1.2), (100.0, -0.1), (100.0, np.nan)])
def test_impossible_batteries_are_refused(capacity: float, start: float) -> None:
    with pytest.raises(ValueError):
        state_of_charge(np.array([1.0]), 1.0, capacity, start)


def refill_by_steps(missing: float, charge: float, efficiency: float, tau: float, end: float) -> float:
    """The same charge walked through in small steps: constant, then a current that falls with what is still to send."""
    left, hours, step = missing / efficiency, 0.0, 1e-4
    while (current := min(charge, left / tau)) > end:
        left, hours = left - current * step, hours + step
    return hours


@pytest.mark.parametrize(("missing", "tau"), [(80.0, 1.2), (40.0, 0.3), (10.0, 1.2)])
def test_refill_equals_the_walk_in_small_steps(missing: float, tau: float) -> None:
    formula_h = full_hours(missing, 25.0, 0.85, tau, 0.5)
    assert formula_h == pytest.approx(refill_by_steps(missing, 25.0, 0.85, tau, 0.5), abs=3e-4)


@given(st.floats(1e-3, 200.0), st.floats(0.0, 50.0), st.floats(1.0, 100.0))
def test_more_missing_never_fills_sooner(missing: float, more: float, charge: float) -> None:
    args = (charge, 0.9, 1.0, 0.5)
    assert full_hours(missing + more, *args) >= full_hours(missing, *args) - 1e-12


def test_a_charger_draws_more_than_it_gives() -> None:
    assert charger_input_w(40.0, 14.0, 0.8) == pytest.approx(700.0)


def test_gas_grows_with_cells_and_capacity() -> None:
    assert hydrogen_flow_m3_h(12, 5.0, 100.0) == pytest.approx(2 * hydrogen_flow_m3_h(6, 5.0, 100.0))
    assert vent_opening_cm2(hydrogen_flow_m3_h(6, 0.0, 100.0)) == 0.0
