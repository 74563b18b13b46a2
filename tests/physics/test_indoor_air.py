"""Carbon dioxide and water over a night: closed forms, a reference solver, and what may never fall."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from trailerlib.physics import indoor_air, indoor_water
from trailerlib.physics.moist_air import ventilation_latent_w

EACH = 3.056e-6
FLOWS = st.lists(st.floats(0.0, 0.5), min_size=6, max_size=6)


def night(people: float, flows: list[float], each: float = EACH) -> np.ndarray:
    return indoor_air.co2_night_ppm(people, each, np.array(flows), 18.0, 1.5)


def test_constant_flow_is_the_closed_form_at_every_step() -> None:
    steps = 40
    found = indoor_air.co2_night_ppm(np.full(steps, 2.0), EACH, np.full(steps, 0.004), 18.0, 0.25, 600.0)
    steady = indoor_air.co2_steady_ppm(2.0, EACH, 0.004)
    hours = 0.25 * np.arange(steps + 1)
    assert found == pytest.approx(indoor_air.approach(600.0, steady, 0.004, 18.0, hours), rel=1e-12)


def test_changing_flow_and_people_agree_with_a_solver_of_differential_equations() -> None:
    people, flow = np.array([2.0, 2.0, 1.0, 0.0, 2.0, 2.0]), np.array([0.0, 0.002, 0.03, 0.01, 0.0005, 0.2])
    found = indoor_air.co2_night_ppm(people, EACH, flow, 18.0, 1.5)
    start = found[0]
    for k in range(6):

        def slope(_t: float, c: np.ndarray, k: int = k) -> np.ndarray:
            return np.asarray((1e6 * people[k] * EACH + flow[k] * (420.0 - c)) / 18.0)

        start = solve_ivp(slope, (0.0, 5400.0), [start], rtol=1e-10, atol=1e-8, method="LSODA").y[0, -1]
        assert found[k + 1] == pytest.approx(start, rel=1e-6)


def test_a_sealed_box_rises_in_a_straight_line() -> None:
    found = night(2.0, [0.0] * 6)
    assert np.diff(found) == pytest.approx([1e6 * 2 * EACH * 5400.0 / 18.0] * 6, rel=1e-12)
    almost = night(2.0, [1e-14] * 6)
    assert almost == pytest.approx(found, rel=1e-9), "no jump where the flow comes to nothing"


@given(FLOWS, st.integers(0, 5), st.floats(0.0, 0.3), st.floats(0.0, 4.0))
@settings(max_examples=80)
def test_more_air_from_outside_never_means_more_carbon_dioxide(
    flows: list[float], at: int, more: float, people: float
) -> None:
    wider = [f + (more if k == at else 0.0) for k, f in enumerate(flows)]
    assert np.all(night(people, wider) <= night(people, flows) * (1 + 1e-12))


@given(FLOWS, st.floats(0.0, 4.0), st.floats(0.0, 4.0))
@settings(max_examples=80)
def test_more_people_never_mean_less_carbon_dioxide(flows: list[float], people: float, more: float) -> None:
    assert np.all(night(people + more, flows) >= night(people, flows) * (1 - 1e-12))


def test_carbon_dioxide_adds_up_over_the_night() -> None:
    """What is given off either stays or leaves: the mean of a step by Simpson's rule on fine steps."""
    steps, step_h = 2000, 0.004
    found = indoor_air.co2_night_ppm(np.full(steps, 2.0), EACH, np.full(steps, 0.01), 18.0, step_h)
    left = np.trapezoid((found - 420.0) * 0.01, dx=3600.0 * step_h)
    stays = (found[-1] - found[0]) * 18.0
    assert left + stays == pytest.approx(1e6 * 2.0 * EACH * 3600.0 * step_h * steps, rel=1e-6)


def test_the_flow_for_a_mark_comes_to_that_mark_and_never_passes_it() -> None:
    flow = indoor_air.flow_for_co2_m3_s(2, EACH, 1000.0)
    assert indoor_air.co2_steady_ppm(2, EACH, flow) == pytest.approx(1000.0)
    assert night(2.0, [float(flow)] * 6).max() < 1000.0


def test_the_time_until_a_mark_is_when_the_curve_passes_it() -> None:
    steady = indoor_air.co2_steady_ppm(2, EACH, 0.002)
    hours = indoor_air.hours_until(420.0, 1000.0, steady, 0.002, 18.0)
    assert indoor_air.approach(420.0, steady, 0.002, 18.0, hours) == pytest.approx(1000.0)
    assert indoor_air.hours_until(420.0, np.array([1000.0, 1e5]), steady, 0.002, 18.0)[1] == np.inf
    assert indoor_air.hours_until(420.0, steady, steady, 0.002, 18.0) == np.inf


def test_thin_air_holds_the_same_mass_in_more_room() -> None:
    assert indoor_air.co2_at_height_m3_s(EACH, indoor_air.SEA_LEVEL_PA) == pytest.approx(EACH)
    assert indoor_air.co2_at_height_m3_s(EACH, 0.5 * indoor_air.SEA_LEVEL_PA) == pytest.approx(2 * EACH)


def test_nights_of_several_boxes_go_in_one_call() -> None:
    volumes, flows = np.array([10.0, 18.0, 30.0]), np.tile(np.linspace(0.0, 0.02, 8), (3, 1))
    people = np.full(8, 2.0)
    found = indoor_air.co2_night_ppm(people, EACH, flows, volumes, 1.0)
    assert found.shape == (3, 9)
    for row, volume in enumerate(volumes):
        assert found[row] == pytest.approx(indoor_air.co2_night_ppm(people, EACH, flows[row], float(volume), 1.0))


def test_water_comes_to_its_steady_value_and_goes_back() -> None:
    given, dry, outside = indoor_water.water_kg_s(27.0), 1.0, 0.005
    steady = outside + 2 * given / (dry * 0.01)  # mass balance: what two give off leaves with the air
    people = np.array([2.0] * 60 + [0.0] * 60)
    found = indoor_water.water_night(people, 27.0, np.full(120, 0.01), 18.0, dry, 0.25, outside, outside)
    assert found[60] == pytest.approx(steady, rel=1e-9) and found[-1] == pytest.approx(outside, rel=1e-9)
    assert np.all(np.diff(found[:61]) >= -1e-18)


def test_what_breath_brings_in_the_air_carries_out() -> None:
    """In the end the latent heat that leaves with the air is what the sleepers give off."""
    night = indoor_water.water_night(np.full(60, 2.0), 27.0, np.full(60, 0.01), 18.0, 0.95, 0.25, 0.005, 0.005)
    assert ventilation_latent_w(0.01, 0.95, night[-1], 0.005) == pytest.approx(2 * 27.0, rel=1e-12)


def test_the_inside_face_lies_between_the_two_airs() -> None:
    assert indoor_water.surface_c(20.0, -5.0, 1 / 0.15, 0.12) == pytest.approx(0.0)
    assert indoor_water.surface_c(20.0, -5.0, 0.0, 0.12) == 20.0
    better, worse = indoor_water.surface_c(20.0, -5.0, np.array([1.0, 5.0]), 0.12)
    assert better > worse, "a poorer wall is colder inside"
