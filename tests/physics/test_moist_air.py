"""Air with water in it: there and back, its limits, arrays, and what ventilation carries."""

from __future__ import annotations

from typing import Any

import numpy as np
import psychrolib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trailerlib.physics import moist_air
from trailerlib.physics.engine import saturation_pressure_pa

SEA_PA, HIGH_PA = 101325.0, 83682.2
psychrolib.SetUnitSystem(psychrolib.SI)
AIR, SHARE, PRESSURE = st.floats(1.0, 45.0), st.floats(0.05, 1.0), st.floats(70e3, 105e3)


@given(AIR, SHARE, PRESSURE)
@settings(max_examples=25)
def test_water_comes_back_from_every_way_to_state_it(air: float, share: float, pressure: float) -> None:
    water = moist_air.humidity_ratio(air, share, pressure)
    assert moist_air.relative_humidity(air, water, pressure) == pytest.approx(share, rel=1e-9)
    wet = moist_air.wet_bulb_c(air, share, pressure)
    dew = moist_air.dew_point_c(air, share)
    assert dew <= wet + 2e-3 and wet <= air + 1e-3
    assert psychrolib.GetHumRatioFromTWetBulb(air, wet, pressure) == pytest.approx(water, rel=2e-3, abs=2e-6)
    if dew > 0.5:  # the curve over ice has a kink at the freezing point
        assert moist_air.humidity_ratio_of_dew(dew, pressure) == pytest.approx(water, rel=2e-4)


@given(AIR, SHARE, PRESSURE)
@settings(max_examples=25)
def test_dry_air_is_a_gas_as_if_it_were_alone(air: float, share: float, pressure: float) -> None:
    """Dalton: 287.04 J/(kg K) under what the steam leaves of the pressure."""
    water = moist_air.humidity_ratio(air, share, pressure)
    steam_pa = pressure * water / (0.62198 + water)
    dry = (pressure - steam_pa) / (287.04 * (air + 273.15))
    assert moist_air.dry_air_kg_m3(air, water, pressure) == pytest.approx(dry, rel=2e-4)


@given(st.floats(0.0, 45.0), SHARE)
@settings(max_examples=25)
def test_saturation_agrees_with_the_curve_the_engine_uses(air: float, share: float) -> None:
    """Two formulas of different origin; the curve over water of ``engine`` is good to half a per cent."""
    water = moist_air.humidity_ratio(air, share, SEA_PA)
    steam_pa = share * saturation_pressure_pa(air)
    assert water == pytest.approx(0.62198 * steam_pa / (SEA_PA - steam_pa), rel=6e-3)


def test_full_of_water_all_temperatures_are_one() -> None:
    for air in (5.0, 20.0, 35.0):
        assert moist_air.wet_bulb_c(air, 1.0, HIGH_PA) == pytest.approx(air, abs=2e-3)
        assert moist_air.dew_point_c(air, 1.0) == pytest.approx(air, abs=2e-3)


def test_heat_content_rises_by_the_heat_capacities_and_the_water() -> None:
    """psychrolib, ASHRAE Fundamentals: J/kg of dry air, from dry air and liquid water at 0 degC."""
    heat = psychrolib.GetMoistAirEnthalpy
    assert heat(21.0, 0.0) - heat(20.0, 0.0) == pytest.approx(moist_air.DRY_AIR_J_PER_KGK)
    assert heat(0.0, 0.01) == pytest.approx(0.01 * moist_air.EVAPORATION_J_PER_KG)
    step = heat(21.0, 0.01) - heat(20.0, 0.01)
    assert step == pytest.approx(moist_air.DRY_AIR_J_PER_KGK + 0.01 * moist_air.VAPOUR_J_PER_KGK)


@given(AIR, AIR, SHARE, SHARE)
@settings(max_examples=25)
def test_warmth_and_water_together_are_the_heat_content_that_comes_in(
    outside: float, inside: float, damp: float, dry: float
) -> None:
    """Exact where the warmth goes by the water outside and the water leaves as steam at the temperature inside."""
    w_out, w_in = moist_air.humidity_ratio(outside, damp, SEA_PA), moist_air.humidity_ratio(inside, dry, SEA_PA)
    both = moist_air.ventilation_sensible_w(0.02, 1.15, w_out, outside, inside) + moist_air.ventilation_latent_w(
        0.02, 1.15, w_out, w_in
    )
    steam = 0.02 * 1.15 * moist_air.VAPOUR_J_PER_KGK * (w_out - w_in) * inside
    heat = psychrolib.GetMoistAirEnthalpy(outside, w_out) - psychrolib.GetMoistAirEnthalpy(inside, w_in)
    assert both + steam == pytest.approx(0.02 * 1.15 * heat, rel=1e-9, abs=1e-6)


@pytest.mark.parametrize(
    ("function", "inputs"),
    [
        (moist_air.humidity_ratio, (np.array([20.0, 30.0]), 0.5, np.array([[SEA_PA], [HIGH_PA]]))),
        (moist_air.humidity_ratio_of_dew, (np.array([5.0, 15.0]), np.array([[SEA_PA], [HIGH_PA]]))),
        (moist_air.relative_humidity, (np.array([20.0, 30.0]), 0.01, np.array([[SEA_PA], [HIGH_PA]]))),
        (moist_air.wet_bulb_c, (np.array([20.0, 30.0]), 0.4, np.array([[SEA_PA], [HIGH_PA]]))),
        (moist_air.dew_point_c, (np.array([20.0, 30.0]), np.array([[0.3], [0.7]]))),
        (moist_air.dry_air_kg_m3, (np.array([20.0, 30.0]), 0.01, np.array([[SEA_PA], [HIGH_PA]]))),
    ],
    ids=lambda value: getattr(value, "__name__", ""),
)
def test_arrays_are_their_numbers_one_by_one(function: Any, inputs: tuple[Any, ...]) -> None:
    many = function(*inputs)
    assert many.shape == (2, 2) and many.dtype == float
    wide = np.broadcast_arrays(*inputs)
    for row in range(2):
        for column in range(2):
            one = function(*(float(part[row, column]) for part in wide))
            assert isinstance(one, float) and one == many[row, column]
    assert len(np.unique(many)) > 1


def test_integers_are_taken_as_numbers() -> None:
    """101325 Pa over 287.04 J/(kg K) and 303.15 K."""
    assert moist_air.dry_air_kg_m3(np.array([20, 30]), 0, 101325)[1] == pytest.approx(1.16445, rel=1e-4)
