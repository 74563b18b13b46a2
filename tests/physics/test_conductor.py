"""Wire: what must hold whatever the numbers are."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trailerlib.physics.conductor import (
    CMIL_M2,
    ambient_factor,
    awg_area_m2,
    awg_diameter_m,
    conductor_temperature_c,
    loop_drop_v,
    required_area_cmil,
    resistance_per_m,
    resistance_ratio,
)

gauges = st.integers(-3, 24)
warm = st.floats(-40.0, 120.0)


@given(gauges, warm, st.floats(0.1, 200.0), st.floats(0.1, 60.0))
def test_thicker_wire_never_drops_more(gauge: int, temperature_c: float, current_a: float, run_m: float) -> None:
    thin, thick = (resistance_per_m(awg_area_m2(n), temperature_c) for n in (gauge, gauge - 1))
    assert loop_drop_v(current_a, thick, run_m) < loop_drop_v(current_a, thin, run_m)


@given(st.floats(0.1, 60.0), st.floats(0.0, 60.0), st.floats(0.1, 200.0))
def test_a_longer_run_never_drops_less(run_m: float, more_m: float, current_a: float) -> None:
    assert loop_drop_v(current_a, 0.005, run_m + more_m) >= loop_drop_v(current_a, 0.005, run_m)


def test_the_drop_counts_both_conductors() -> None:
    assert loop_drop_v(10.0, 0.01, 5.0) == 2 * 10.0 * 0.01 * 5.0


@given(warm, warm, warm)
def test_temperature_ratios_chain(a: float, b: float, c: float) -> None:
    assert resistance_ratio(a, b) * resistance_ratio(b, c) == pytest.approx(resistance_ratio(a, c), rel=1e-12)


@given(warm)
def test_both_ways_to_warm_copper_agree(temperature_c: float) -> None:
    # 0.00393 per kelvin from 20 degC puts the zero at -234.45 degC, so 234.5 differs by 0.02 % of the rise
    ways = resistance_per_m(1e-6, temperature_c) / resistance_per_m(1e-6, 20.0), resistance_ratio(20.0, temperature_c)
    assert ways[0] == pytest.approx(ways[1], rel=3e-4)


def test_lay_is_a_plain_factor_of_two_percent() -> None:
    assert resistance_per_m(1e-6, 20.0) == pytest.approx(1.02 * resistance_per_m(1e-6, 20.0, 1.0))
    assert resistance_per_m(1e-6, 20.0, 1.0) == pytest.approx(0.017241)


@given(st.sampled_from([60.0, 75.0, 90.0, 105.0]), st.floats(-20.0, 130.0))
def test_ambient_factor_falls_to_nothing(rating_c: float, ambient_c: float) -> None:
    factor = ambient_factor(rating_c, ambient_c)
    assert factor >= ambient_factor(rating_c, ambient_c + 1.0)
    assert (factor == 0.0) == (ambient_c >= rating_c)


def test_ambient_factor_is_one_at_its_own_base_and_refuses_an_impossible_one() -> None:
    assert ambient_factor(90.0, 30.0) == 1.0 and ambient_factor(90.0, 40.0, 40.0) == 1.0
    with pytest.raises(ValueError, match="below rating_c"):
        ambient_factor(30.0, 20.0)


@given(st.sampled_from([60.0, 75.0, 90.0]), st.floats(0.0, 50.0), st.floats(1.0, 100.0))
def test_a_wire_at_its_corrected_ampacity_is_at_its_rating(rating_c: float, ambient_c: float, table_a: float) -> None:
    ampacity_a = table_a * ambient_factor(rating_c, ambient_c)
    assert conductor_temperature_c(ampacity_a, ampacity_a, ambient_c, rating_c) == pytest.approx(rating_c)
    assert conductor_temperature_c(0.0, ampacity_a, ambient_c, rating_c) == ambient_c


@given(st.floats(0.0, 50.0), st.floats(1.0, 30.0))
def test_heat_grows_with_the_square_so_correction_and_rise_agree(ambient_c: float, current_a: float) -> None:
    """The same current, seen from the 30 degC table: the rise over ambient must not depend on the ambient."""
    rise = conductor_temperature_c(current_a, 40.0 * ambient_factor(90.0, ambient_c), ambient_c, 90.0) - ambient_c
    assert rise == pytest.approx(60.0 * (current_a / 40.0) ** 2, rel=1e-9, abs=1e-9)


def test_the_hand_formula_agrees_with_the_resistance_at_29_degrees() -> None:
    area_cmil = required_area_cmil(10.0, 40.0, 0.36)
    ohm_m = resistance_per_m(area_cmil * CMIL_M2, 29.3, 1.0)
    assert loop_drop_v(10.0, ohm_m, 20.0 * 0.3048) == pytest.approx(0.36, rel=1e-3)  # 10.75 is rounded


def test_scalars_come_back_as_scalars_and_arrays_as_arrays() -> None:
    assert np.ndim(awg_diameter_m(12)) == 0 and np.ndim(ambient_factor(90.0, 40.0)) == 0
    assert np.shape(resistance_per_m(awg_area_m2(np.arange(3.0))[:, np.newaxis], np.array([20.0, 75.0]))) == (3, 2)
