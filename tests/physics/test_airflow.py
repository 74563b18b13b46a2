"""Openings and the fan: closed form against a root finder, limits, and what may never fall."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from trailerlib.physics import airflow, fan

INCH2_M2 = 0.0254**2
CURVE = (0.42475, 74.73)  # free air [m3/s] and shut-off pressure [Pa] of a full-speed fan
OPENINGS = st.floats(0.0, 0.5)
FREE, SHUT, SPEED = st.floats(0.05, 1.0), st.floats(5.0, 200.0), st.floats(0.1, 1.0)


def test_the_pressure_of_an_opening_goes_with_the_square_of_the_flow_and_with_the_density() -> None:
    pressure = airflow.opening_pressure_pa(0.2, 0.03, 1.05)
    assert airflow.opening_pressure_pa(np.array([0.1, 0.4]), 0.03, 1.05) == pytest.approx(
        pressure * np.array([0.25, 4])
    )
    assert airflow.opening_pressure_pa(0.2, 0.03, 2.1) == pytest.approx(2 * pressure)


def test_openings_side_by_side_add_and_a_screen_takes_its_share() -> None:
    one, two = airflow.effective_m2(0.02), airflow.effective_m2(0.03, airflow.SCREEN_PASSES)
    assert one == pytest.approx(0.61 * 0.02) and two == pytest.approx(0.61 * 0.015)
    alone = airflow.opening_pressure_pa(0.1, one)
    assert airflow.opening_pressure_pa(0.1 * two / one, two) == pytest.approx(alone, rel=1e-12)
    assert airflow.opening_pressure_pa(0.1 * (1 + two / one), one + two) == pytest.approx(alone, rel=1e-12)


def fan_pressure_pa(flow: float, free: float, shut: float, speed: float, density: float) -> float:
    """Pressure a fan makes: a parabola through free air and shut-off, moved by the fan laws.

    Flow goes with the speed, pressure with its square and with the density of the air (fan laws, any handbook).
    """
    return shut * speed**2 * density / airflow.SEA_LEVEL_KG_M3 * (1.0 - (flow / (speed * free)) ** 2)


@given(st.floats(0.001, 0.5), FREE, SHUT, SPEED, st.floats(0.7, 1.3))
@settings(max_examples=60)
def test_the_closed_form_is_where_the_two_curves_cross(
    opening: float, free: float, shut: float, speed: float, density: float
) -> None:
    def apart(flow: float) -> float:
        made = fan_pressure_pa(flow, free, shut, speed, density)
        return float(made - airflow.opening_pressure_pa(flow, opening, density))

    crossing = brentq(apart, 0.0, speed * free, xtol=1e-14, rtol=1e-13)
    assert fan.fan_flow_m3_s(opening, free, shut, speed) == pytest.approx(crossing, rel=1e-9)


@given(OPENINGS, st.floats(0.0, 0.2), FREE, SHUT, SPEED)
@settings(max_examples=100)
def test_a_wider_gap_never_lowers_the_flow(opening: float, more: float, free: float, shut: float, speed: float) -> None:
    flows = fan.fan_flow_m3_s(np.array([opening, opening + more]), free, shut, speed)
    assert flows[1] >= flows[0] * (1 - 1e-12) and 0.0 <= flows[0] <= speed * free * (1 + 1e-12)


def test_nothing_open_means_no_air_and_all_open_means_free_air() -> None:
    assert fan.fan_flow_m3_s(0.0, *CURVE) == 0.0
    assert fan.fan_flow_m3_s(1e6, *CURVE) == pytest.approx(CURVE[0])


def test_speed_moves_the_flow_in_proportion() -> None:
    full = fan.fan_flow_m3_s(0.02, *CURVE)
    assert fan.fan_flow_m3_s(0.02, *CURVE, 0.48) == pytest.approx(0.48 * full, rel=1e-12)


def test_the_opening_for_a_flow_gives_that_flow_back_and_none_does_beyond_free_air() -> None:
    for wanted in (0.01, 0.1, 0.3):
        opening = fan.opening_for_flow_m2(wanted, *CURVE, 0.82)
        assert fan.fan_flow_m3_s(opening, *CURVE, 0.82) == pytest.approx(wanted, rel=1e-12)
    assert fan.opening_for_flow_m2(np.array([0.83, 1.0]) * CURVE[0], *CURVE, 0.82).tolist() == [np.inf, np.inf]


def test_run_backwards_it_blows_in_and_moves_less() -> None:
    blown = fan.reversed_flow_m3_s(0.2)
    assert blown < 0.0 and abs(blown) < 0.2


def test_air_changes_and_leakage_are_each_other_the_other_way_round() -> None:
    assert airflow.air_changes_per_h(airflow.leakage_m3_s(0.5, 18.0), 18.0) == pytest.approx(0.5)
