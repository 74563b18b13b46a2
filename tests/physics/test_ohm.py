"""Ohm's law at one spot, and the gauges as ratios: against what anybody can check by hand."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trailerlib.physics import balance, conductor, ohm

some = st.floats(0.01, 1000.0)


def test_by_hand() -> None:
    assert ohm.drawn_a(1500.0, 120.0) == pytest.approx(12.5)
    assert ohm.drawn_a(600.0, 120.0, 0.5) == pytest.approx(10.0)
    assert ohm.lost_v(4.0, 0.025) == pytest.approx(0.1)
    assert ohm.heat_w(10.0, 0.05) == pytest.approx(5.0)
    assert ohm.extra_ohm(0.5, 0.2, 6.0) == pytest.approx(0.05)
    assert ohm.taken_ah(48.0, 0.5, 10.0, 12.0) == pytest.approx(20.0)
    assert ohm.together_a(2400.0, 120.0, 5.0) == pytest.approx(25.0)
    assert ohm.room_w(20.0, 0.8, 6.0, 120.0) == pytest.approx(1200.0)


def test_a_lamp_loses_a_third_of_its_light_with_a_tenth_of_its_voltage() -> None:
    """Lamp makers' rule of thumb (from memory): 90 % of the volts leave about 70 % of the light."""
    assert ohm.light_share(10.8, 12.0) == pytest.approx(0.70, abs=0.01)


@given(some, some, st.floats(0.3, 1.0))
def test_power_comes_back(watts: float, volts: float, factor: float) -> None:
    assert volts * ohm.drawn_a(watts, volts, factor) * factor == pytest.approx(watts)


@given(some, some)
def test_heat_is_loss_times_current(amps: float, resistance: float) -> None:
    assert ohm.heat_w(amps, resistance) == pytest.approx(amps * ohm.lost_v(amps, resistance))


def test_a_measured_diameter_gives_the_area_of_its_gauge() -> None:
    """NEC chapter 9 table 8: solid 14 AWG, 0.064 in across, 4110 circular mils."""
    assert conductor.round_area_m2(0.064 * 0.0254) / conductor.CMIL_M2 == pytest.approx(4110, rel=0.004)


@given(st.integers(-3, 24), st.integers(-3, 24))
def test_a_drop_follows_the_areas(first: int, second: int) -> None:
    areas = conductor.awg_area_m2(first) / conductor.awg_area_m2(second)
    assert conductor.drop_of_gauge_v(0.3, first, second) == pytest.approx(0.3 * areas)


def test_three_numbers_double_the_drop() -> None:
    """ASTM B258, the rule of thumb of the trade: three gauges, half the copper."""
    assert conductor.drop_of_gauge_v(1.0, 12, 15) == pytest.approx(2.0, rel=0.01)
    assert np.isclose(conductor.drop_of_gauge_v(1.0, 12, 22), 10.0, rtol=0.02)


@given(some, st.floats(0.0, 6.0), st.floats(-2.0, 2.0), st.floats(2.0, 6.0))
def test_moving_a_thing_is_the_difference_of_two_places(mass: float, place: float, moved: float, axle: float) -> None:
    before, after = (balance.tongue_kg(mass, at, axle) for at in (place, place - moved))
    assert balance.moved_tongue_kg(mass, moved, axle) == pytest.approx(after - before, abs=1e-9 * mass)
