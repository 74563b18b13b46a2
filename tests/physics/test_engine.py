"""Engines in thin and warm air, and what they burn."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trailerlib.physics.engine import (
    FOOT_M,
    dry_pressure_pa,
    fuel_l_per_h,
    j1349_factor,
    j1349_power_fraction,
    saturation_pressure_pa,
    shop_rule_fraction,
    standard_pressure_pa,
    tank_hours,
)

heights = st.floats(0.0, 4000.0)
warmths = st.floats(-30.0, 50.0)


@given(heights, st.floats(1.0, 500.0))
def test_higher_is_thinner(height: float, more: float) -> None:
    assert standard_pressure_pa(height + more) < standard_pressure_pa(height)


@given(heights)
def test_pressure_falls_by_the_weight_of_the_air(height: float) -> None:
    """Hydrostatics: dp/dh = -g p / (R T), seen over a step of 2 m; T of the US Standard Atmosphere 1976."""
    slope = (standard_pressure_pa(height + 1.0) - standard_pressure_pa(height - 1.0)) / 2.0
    air = standard_pressure_pa(height) / (287.053 * (288.15 - 0.0065 * height))
    assert slope == pytest.approx(-9.80665 * air, rel=2e-4)  # rounded constants of the short form


@given(heights, warmths, st.floats(0.0, 1.0))
def test_damp_air_is_less_air(height: float, warmth: float, humidity: float) -> None:
    dry = dry_pressure_pa(height, warmth, humidity)
    assert dry == pytest.approx(standard_pressure_pa(height) - humidity * saturation_pressure_pa(warmth))
    assert dry_pressure_pa(height, warmth, 0.0) == standard_pressure_pa(height)


@given(st.floats(55000.0, 100000.0), warmths)
def test_power_falls_with_height_and_heat(pressure: float, warmth: float) -> None:
    left = j1349_power_fraction(pressure, warmth)
    assert left > j1349_power_fraction(pressure - 1000.0, warmth)
    assert left > j1349_power_fraction(pressure, warmth + 1.0)
    assert left * j1349_factor(pressure, warmth) == pytest.approx(1.0)


def test_the_shop_rule_by_hand() -> None:
    assert shop_rule_fraction(0.0, (60.0 - 32.0) / 1.8) == pytest.approx(1.0)
    assert shop_rule_fraction(5000 * FOOT_M, (100.0 - 32.0) / 1.8) == pytest.approx(1.0 - 0.175 - 0.04)


@given(st.floats(-400.0, 20000.0), st.floats(-40.0, 60.0))
def test_the_shop_rule_credits_nothing_and_never_goes_below_nothing(height: float, warmth: float) -> None:
    assert 0.0 <= shop_rule_fraction(height, warmth) <= 1.0
    assert shop_rule_fraction(max(height, 0.0), max(warmth, 15.0)) == pytest.approx(shop_rule_fraction(height, warmth))


def test_fuel_and_tank() -> None:
    burnt = fuel_l_per_h(np.array([0.0, 1000.0, 2000.0]), 0.4, 0.35)
    assert burnt == pytest.approx([0.4, 0.75, 1.1])
    assert tank_hours(11.0, burnt) * burnt == pytest.approx([11.0] * 3)
