"""The sun on a panel: nothing at night, nothing below zero, energy kept, and what takes away never gives."""

from __future__ import annotations

import subprocess
import sys
import warnings

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays

from trailerlib.physics import solar_panel, sun

JULY, JANUARY = 202, 21  # 21 July, 21 January
FILES = [("723170TYA.CSV", "TMY3"), ("703165TY.csv", "TMY3"), ("12839.tm2", "TMY2")]
latitudes = st.floats(-66, 66)
shares = st.floats(0, 1)


def day(latitude: float = 35.2, first: int = JULY, longitude: float | None = -101.8, **more: float) -> sun.Sky:
    return sun.clear_sky(latitude, longitude, 1585.0, first, **more)


def daylight_h(sky: sun.Sky) -> float:
    return float((sky.ghi > 0).sum()) * sun.STEP_H


def test_importing_brings_no_heavy_library() -> None:
    code = "import sys, trailerlib.physics.sun; print(' '.join(sys.modules))"
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split()
    assert not {"pvlib", "pandas", "scipy", "h5py"} & set(loaded)


def test_nothing_warns() -> None:
    """The map of haze is read as well: another place than in the other tests."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        sky = sun.clear_sky(48.3, 11.2, 520.0, 80, days=2)
    assert sky.ghi.shape == (576,) and sky.ghi.max() > 500


@settings(max_examples=25)
@given(latitudes, st.integers(1, 365), st.floats(0, 90), st.floats(0, 360))
def test_light_is_never_negative_and_the_night_is_dark(
    latitude: float, first: int, tilt: float, azimuth: float
) -> None:
    sky = day(latitude, first, longitude=None)
    plane = sun.plane_irradiance(sky, tilt, azimuth)
    assert np.isfinite(plane).all() and (plane >= 0).all()
    assert (plane[sky.zenith_deg > 91] == 0).all() and plane.max() < 1500


@pytest.mark.parametrize(("file", "form"), FILES)
def test_the_night_is_dark_in_a_file_too(file: str, form: str) -> None:
    sky = sun.file_sky(sun.read_hourly(file, form), 1, 365)
    plane = sun.plane_irradiance(sky, 30, 180)
    assert (plane >= 0).all() and (sky.dni <= sun.SOLAR_CONSTANT_W_M2).all() and (sky.dhi >= -1e-9).all()
    assert (plane[sky.zenith_deg > 96] == 0).all()  # an hour with twilight only is spread evenly: 30 min are 6 deg


@given(st.floats(10, 60), st.integers(-10, 10))
@settings(max_examples=15)
def test_winter_days_are_short_in_the_north_and_long_in_the_south(latitude: float, shift: int) -> None:
    north = [day(latitude, first + shift, None) for first in (JULY, JANUARY)]
    south = [day(-latitude, first + shift, None) for first in (JULY, JANUARY)]
    assert daylight_h(north[0]) > daylight_h(north[1]) and north[0].ghi.sum() > north[1].ghi.sum()
    assert daylight_h(south[0]) < daylight_h(south[1]) and south[0].ghi.sum() < south[1].ghi.sum()


def test_a_flat_panel_gets_what_falls_on_the_ground() -> None:
    sky = day()
    assert sun.plane_irradiance(sky, 0, 180) == pytest.approx(sky.ghi, abs=1e-9)


def test_a_panel_that_looks_to_the_sun_gets_more_and_one_that_looks_away_less() -> None:
    sky = day(first=JANUARY)
    south, flat, north = (sun.plane_irradiance(sky, tilt, az).sum() for tilt, az in ((40, 180), (0, 0), (40, 0)))
    assert south > 1.4 * flat and north < 0.5 * flat


def test_haze_takes_light_and_height_gives_it() -> None:
    assert day(turbidity=2).ghi.sum() > day(turbidity=3).ghi.sum() > day(turbidity=5).ghi.sum()
    low, high = (sun.clear_sky(35.2, -101.8, metres, JULY, turbidity=3).ghi.sum() for metres in (0.0, 2000.0))
    assert high > low


@pytest.mark.parametrize(
    ("longitude", "zone"), [(None, 0), (-101.8, -7), (-97.4, -6), (0, 0), (7.4, 0), (7.6, 1), (180, 12), (-180, -12)]
)
def test_the_zone_of_a_longitude(longitude: float | None, zone: int) -> None:
    assert sun.zone_h(longitude) == zone


@pytest.mark.parametrize("longitude", [-105.0, -101.8, -98.0])
def test_the_sun_is_late_west_of_the_middle_of_its_zone(longitude: float) -> None:
    """One degree is four minutes; 105 deg west is the middle of its zone."""
    middle, here = (int(day(longitude=place).zenith_deg.argmin()) for place in (-105.0, longitude))
    late_h = (-105.0 - longitude) / 15 + sun.zone_h(longitude) + 7
    assert (here - middle) * sun.STEP_H == pytest.approx(late_h, abs=1.1 * sun.STEP_H)


def test_several_days_are_the_days_one_by_one() -> None:
    both = day(days=2)
    single = [day(first=first) for first in (JULY, JULY + 1)]
    assert both.ghi == pytest.approx(np.concatenate([sky.ghi for sky in single]), abs=1e-9)


@given(
    arrays.arrays(float, 24, elements=st.floats(0, 1200)),
    arrays.arrays(float, 288, elements=st.floats(0, 1) | st.just(0.0)),
)
def test_the_energy_of_every_hour_is_kept(hourly: np.ndarray, weight: np.ndarray) -> None:
    laid = sun.spread_hours(hourly, weight)
    assert laid.reshape(24, 12).mean(axis=1) == pytest.approx(hourly, rel=1e-9, abs=1e-9) and (laid >= 0).all()


def test_an_hour_without_weight_is_spread_evenly() -> None:
    for nothing in (0.0, 5e-324, 1e-310):  # the last two are so small that their shares would be rounded away
        assert (sun.spread_hours(np.array([7.0]), np.full(12, nothing)) == 7.0).all()


@pytest.mark.parametrize(("file", "form"), FILES)
def test_the_energy_of_a_file_is_kept_hour_by_hour(file: str, form: str) -> None:
    year = sun.read_hourly(file, form)
    sky = sun.file_sky(year, 1, 365)
    assert sky.ghi.reshape(-1, 12).mean(axis=1) == pytest.approx(year.ghi, rel=1e-9, abs=1e-9)
    assert sky.dhi.sum() / 12 == pytest.approx(year.dhi.sum(), rel=3e-3)  # what is above the solar constant goes to it
    flat = sun.plane_irradiance(sky, 0, 180)
    assert flat.reshape(-1, 12).mean(axis=1) == pytest.approx(year.ghi, rel=1e-6, abs=1e-6)


def test_air_and_wind_of_a_file_are_read_at_the_end_of_the_hour() -> None:
    year = sun.read_hourly(*FILES[0])
    sky = sun.file_sky(year, 12)
    assert sky.air_c is not None and sky.wind_m_s is not None
    for ours, readings in ((sky.air_c, year.air_c), (sky.wind_m_s, year.wind_m_s)):
        for hour in (0, 1, 13, 23):  # from the reading that ends the hour before to the one that ends this
            before, after = readings[11 * 24 + hour - 1], readings[11 * 24 + hour]
            by_hand = before + (after - before) * (np.arange(12) + 0.5) / 12
            assert ours[12 * hour : 12 * hour + 12] == pytest.approx(by_hand)


def test_after_the_last_day_of_a_file_comes_the_first() -> None:
    year = sun.read_hourly(*FILES[0])
    turn = sun.file_sky(year, 365, 2)
    assert turn.ghi[288:].reshape(-1, 12).mean(axis=1) == pytest.approx(year.ghi[:24], abs=1e-9)


def test_other_forms_and_files_are_refused() -> None:
    with pytest.raises(ValueError, match="TMY3 and TMY2"):
        sun.read_hourly("723170TYA.CSV", "EPW")
    with pytest.raises(OSError):
        sun.read_hourly("no such file.csv", "TMY3")


@given(shares, shares, shares, st.floats(0, 1300), st.floats(-40, 90))
def test_more_shade_or_loss_never_gives_more(low: float, high: float, loss: float, light: float, cell: float) -> None:
    low, high = sorted((low, high))
    for shade in ("shading", "losses"):
        other = {"losses" if shade == "shading" else "shading": loss}
        powers = [solar_panel.panel_power_w(200.0, light, cell, **{shade: share}, **other) for share in (low, high)]
        amps = [solar_panel.switching_current_a(200.0, 17.7, light, **{shade: share}, **other) for share in (low, high)]
        assert powers[0] >= powers[1] >= 0 and amps[0] >= amps[1] >= 0


def test_a_panel_by_hand() -> None:
    """200 W at 800 W/m2 with cells at 45 degC, a tenth shaded, 15 % lost: 160 W, less 9 %, then 0.9 and 0.85."""
    assert solar_panel.panel_power_w(200, 800, 45, -0.0045, 0.1, 0.15) == pytest.approx(200 * 0.8 * 0.91 * 0.9 * 0.85)
    assert solar_panel.switching_current_a(177, 17.7, 500, 0.2, 0.0) == pytest.approx(4.0)
    assert solar_panel.cell_temperature_c(0.0, -7.0) == -7.0


def test_panels_like_it_cold_and_windy() -> None:
    light, air = np.linspace(0, 1200, 7), 30.0
    calm, windy = solar_panel.cell_temperature_c(light, air, 0.0), solar_panel.cell_temperature_c(light, air, 8.0)
    assert (calm[1:] > windy[1:]).all() and (np.diff(calm) > 0).all()
    assert (solar_panel.panel_power_w(100, light, windy)[1:] > solar_panel.panel_power_w(100, light, calm)[1:]).all()
    assert solar_panel.panel_power_w(100, 1000, 25) == 100 and solar_panel.panel_power_w(100, 1000, 400) == 0


def test_a_switching_controller_loses_what_lies_between_the_voltages() -> None:
    """At 13 V and 25 degC the battery gets 13 / 17.7 of the panel's power, whatever the light."""
    light = np.linspace(1, 1100, 5)
    into = 13.0 * solar_panel.switching_current_a(100, 17.7, light)
    assert into / solar_panel.panel_power_w(100, light, 25.0) == pytest.approx(13.0 / 17.7)
