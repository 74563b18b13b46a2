"""A wire over time: what must hold whatever the numbers are, and the closed form against a stepwise solution."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.hot_wire import adiabatic_k, seconds_to_reach_c, settled_temperature_c
from trailerlib.physics.conductor import awg_area_m2, conductor_temperature_c, resistance_per_m
from trailerlib.physics.heating import (
    COPPER_J_PER_M3K,
    adiabatic_rate_k_s,
    growth_per_s,
    thermal_time_s,
    warming_c,
    warming_seconds,
)
from trailerlib.physics.protection import adiabatic_seconds
from trailerlib.physics.wire_damage import EMERGENCY_S, SHORT_S, damage_seconds, temperature_after_c

areas = st.floats(0.5e-6, 110e-6)
ambients = st.floats(-30.0, 50.0)
classes = st.sampled_from([(60.0, 85.0, 150.0), (75.0, 95.0, 150.0), (90.0, 105.0, 150.0), (105.0, 120.0, 150.0)])
WIRE = {"area_m2": 3.31e-6, "ampacity_a": 25.0, "ambient_c": 30.0, "rating_c": 60.0}
LIMITS = {"initial_c": 60.0, "short_c": 150.0, "emergency_c": 85.0}


def ampacity_of(area_m2: float) -> float:
    """A plausible ampacity: about 25 A at 3.3 mm², growing with the 0.6th power."""
    return float(25.0 * (area_m2 / 3.31e-6) ** 0.6)


@settings(max_examples=40)
@given(areas, ambients, classes, st.floats(0.0, 30.0), st.floats(0.01, 3.0))
def test_closed_form_is_what_a_stepwise_solution_gives(
    area_m2: float, ambient_c: float, limits: tuple[float, float, float], load: float, share: float
) -> None:
    """The balance is written here once more, with the resistance of ``conductor``, and solved by scipy."""
    from scipy.integrate import solve_ivp

    rating_c, ampacity_a = limits[0], ampacity_of(area_m2)
    current_a, start_c = load * ampacity_a, ambient_c + 0.4 * (rating_c - ambient_c)
    stored = COPPER_J_PER_M3K * area_m2 * 1.02  # the lay makes the strands longer and the metre heavier
    lost = ampacity_a**2 * resistance_per_m(area_m2, rating_c) / (rating_c - ambient_c)

    def slope(_: float, t: Any) -> Any:
        return (current_a**2 * resistance_per_m(area_m2, t) - lost * (t - ambient_c)) / stored

    seconds = share * float(thermal_time_s(area_m2, ampacity_a, ambient_c, rating_c)) / max(load, 1.0) ** 2
    theirs = solve_ivp(slope, (0.0, seconds), [start_c], rtol=1e-10, atol=1e-9).y[0, -1]
    ours = temperature_after_c(current_a, seconds, area_m2, ampacity_a, ambient_c, rating_c, start_c)
    assert ours == pytest.approx(theirs, rel=1e-6, abs=1e-5)
    if ours > start_c + 0.01:
        back = seconds_to_reach_c(current_a, ours, area_m2, ampacity_a, ambient_c, rating_c, start_c)
        # close to the settled temperature a millionth of a degree is a long time
        assert temperature_after_c(current_a, back, area_m2, ampacity_a, ambient_c, rating_c, start_c) == pytest.approx(
            ours, abs=1e-6
        )


@given(areas, classes, ambients)
def test_a_wire_at_its_ampacity_settles_at_its_rating_and_begins_there_at_rest(
    area_m2: float, limits: tuple[float, float, float], ambient_c: float
) -> None:
    rating_c, ampacity_a = limits[0], ampacity_of(area_m2)
    assert settled_temperature_c(ampacity_a, ampacity_a, ambient_c, rating_c) == pytest.approx(rating_c)
    for start_c in (ambient_c, rating_c):
        settled = temperature_after_c(ampacity_a, np.inf, area_m2, ampacity_a, ambient_c, rating_c, start_c)
        assert settled == pytest.approx(rating_c, abs=1e-6)


@given(st.floats(0.0, 1.6), classes, ambients)
def test_settled_temperature_differs_from_the_plain_one_by_the_resistance_only(
    load: float, limits: tuple[float, float, float], ambient_c: float
) -> None:
    """The plain formula keeps R at its value at the rating: its rise times R(settled) / R(rating) is ours."""
    rating_c = limits[0]
    plain = conductor_temperature_c(load, 1.0, ambient_c, rating_c)
    ours = settled_temperature_c(load, 1.0, ambient_c, rating_c)
    if np.isfinite(ours):
        ratio = resistance_per_m(1e-6, ours) / resistance_per_m(1e-6, rating_c)
        assert ours - ambient_c == pytest.approx((plain - ambient_c) * ratio, rel=1e-9, abs=1e-9)
        assert ours <= plain + 1e-9 if load <= 1.0 else ours >= plain


def test_a_current_that_outruns_the_loss_never_settles() -> None:
    """By hand: 1.1572 = 0.00393 x 30 K x (I/25 A)² at 78.3 A."""
    assert np.isfinite(settled_temperature_c(78.2, 25.0, 30.0, 60.0))
    assert np.isinf(settled_temperature_c(np.array([78.4, 150.0]), 25.0, 30.0, 60.0)).all()
    assert np.isfinite(seconds_to_reach_c(150.0, 1000.0, **WIRE, initial_c=30.0))  # the branch that runs away
    assert growth_per_s(150.0, 3.31e-6, thermal_time_s(**WIRE)) > 0.0 > growth_per_s(50.0, 3.31e-6, 200.0)


def test_no_loss_and_no_growth_are_the_limits_of_the_closed_form() -> None:
    assert warming_c(20.0, 3.0, 0.0, 10.0) == 50.0 and warming_seconds(20.0, 50.0, 3.0, 0.0) == 10.0
    assert warming_c(20.0, 3.0, 1e-13, 10.0) == pytest.approx(50.0)
    assert warming_seconds(20.0, 50.0, 3.0, 1e-13) == pytest.approx(10.0)
    assert warming_c(20.0, 0.0, 0.5, np.inf) == 20.0
    assert warming_c(20.0, 3.0, 0.0, np.inf) == np.inf and warming_c(20.0, 3.0, -0.1, np.inf) == pytest.approx(50.0)


def test_what_is_there_already_takes_no_time_and_what_cools_never_arrives() -> None:
    assert seconds_to_reach_c(10.0, 40.0, **WIRE, initial_c=50.0) == 0.0
    assert np.isinf(seconds_to_reach_c(0.0, 40.0, **WIRE, initial_c=30.0))
    assert np.isinf(seconds_to_reach_c(25.0, 60.001, **WIRE, initial_c=30.0))


@settings(max_examples=60)
@given(areas, st.floats(50.0, 5000.0), st.floats(20.0, 90.0), st.floats(10.0, 150.0), st.floats(0.05, 3.0))
def test_a_short_time_is_the_adiabatic_line(
    area_m2: float, current_a: float, initial_c: float, rise_c: float, ampacity_share: float
) -> None:
    """Within a hundredth of the thermal time the loss takes at most about 1 %: never sooner than I²t = k²S².

    0.4 %: the standard rounds 225.7 to 226 and 234.45 to 234.5, so its line lies up to 0.3 % later than exact copper.
    """
    ampacity_a = ampacity_of(area_m2) * ampacity_share
    k = adiabatic_k(initial_c, initial_c + rise_c)
    line = adiabatic_seconds(area_m2 * 1e6, current_a, k)
    ours = seconds_to_reach_c(current_a, initial_c + rise_c, area_m2, ampacity_a, 20.0, 90.0, initial_c)
    assert ours >= line * (1 - 4e-3)
    # the loss at the final temperature against the heat made at the beginning bounds what is lost on the way
    lost = (initial_c + rise_c - 20.0) / thermal_time_s(area_m2, ampacity_a, 20.0, 90.0)
    share = lost / adiabatic_rate_k_s(current_a, area_m2, initial_c)
    if share < 0.5:
        assert ours <= line / (1 - share) * (1 + 4e-3)


@given(areas, areas, st.floats(1.01, 200.0), classes)
def test_thicker_wire_is_damaged_later(a: float, b: float, overload: float, limits: tuple[float, float, float]) -> None:
    rating_c, emergency_c, short_c = limits
    current_a = overload * ampacity_of(min(a, b))
    thin, thick = (
        damage_seconds(current_a, s, ampacity_of(s), 30.0, rating_c, 40.0, short_c, emergency_c) for s in sorted((a, b))
    )
    assert thin <= thick * (1 + 1e-9)


@given(areas, ambients, classes, st.floats(0.0, 1.0))
def test_more_current_is_damage_earlier_and_the_ampacity_never(
    area_m2: float, ambient_c: float, limits: tuple[float, float, float], warm: float
) -> None:
    rating_c, emergency_c, short_c = limits
    ampacity_a, initial_c = ampacity_of(area_m2), ambient_c + warm * (limits[0] - ambient_c)
    loads = np.concatenate([[0.0, 0.5, 1.0], np.geomspace(1.000001, 500.0, 300)])
    initial_c = min(initial_c, rating_c)
    times = np.asarray(
        damage_seconds(loads * ampacity_a, area_m2, ampacity_a, ambient_c, rating_c, initial_c, short_c, emergency_c)
    )
    assert np.all(np.isinf(times[:3])) and np.all(np.isfinite(times[3:]))
    assert np.all(np.diff(times[3:]) <= 1e-9 * times[3:-1]) and times[3] >= EMERGENCY_S and times[-1] < SHORT_S


@given(st.floats(1.001, 300.0), classes, st.floats(0.0, 1.0))
def test_until_damage_the_wire_is_never_over_the_limit_of_the_moment(
    load: float, limits: tuple[float, float, float], share: float
) -> None:
    rating_c, emergency_c, short_c = limits
    area_m2, ampacity_a = 3.31e-6, 25.0
    end = float(damage_seconds(load * 25.0, area_m2, 25.0, 30.0, rating_c, 40.0, short_c, emergency_c))
    at = share * end * (1 - 1e-9)
    limit = short_c if at <= SHORT_S else emergency_c if at <= EMERGENCY_S else rating_c
    assert temperature_after_c(load * 25.0, at, area_m2, ampacity_a, 30.0, rating_c, 40.0) <= limit + 1e-6


def test_the_three_stretches_of_the_damage_curve() -> None:
    """By hand for 3.31 mm², 25 A, 60 degC insulation, warm at 60 degC."""
    times = damage_seconds(np.array([25.0, 26.0, 200.0, 2000.0]), **WIRE, **LIMITS)
    assert np.isinf(times[0]) and times[1] == EMERGENCY_S
    assert SHORT_S < damage_seconds(50.0, **WIRE, **LIMITS) < EMERGENCY_S
    assert times[3] == pytest.approx((adiabatic_k(60.0, 150.0) * 3.31 / 2000.0) ** 2, rel=5e-3)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"ambient_c": 60.0}, "cooler than the rating"),
        ({"ampacity_a": 0.0}, "above zero"),
        ({"area_m2": 0.0}, "above zero"),
        ({"ambient_c": float("nan")}, "cooler than the rating"),
        ({"ampacity_a": float("nan")}, "above zero"),
        ({"initial_c": 61.0}, "begins above its rating"),
        ({"emergency_c": 151.0}, "must fall"),
        ({"emergency_c": 59.0}, "must fall"),
        ({"short_c": float("nan")}, "must fall"),
    ],
)
def test_what_cannot_be_checked_is_refused(change: dict[str, float], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        damage_seconds(50.0, **{**WIRE, **LIMITS, **change})


def test_a_sweep_of_gauges_and_currents_at_once() -> None:
    area = awg_area_m2(np.arange(18.0, 0.0, -2.0))[:, np.newaxis]
    times = np.asarray(damage_seconds(np.geomspace(30, 3000, 7), area, 25.0, 30.0, 60.0, 40.0, 150.0, 85.0))
    assert times.shape == (9, 7) and np.ndim(damage_seconds(50.0, **WIRE, **LIMITS)) == 0
    assert times[3, 2] == damage_seconds(np.geomspace(30, 3000, 7)[2], area[3, 0], 25.0, 30.0, 60.0, 40.0, 150.0, 85.0)
