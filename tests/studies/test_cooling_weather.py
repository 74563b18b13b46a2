"""The hot day outside: the sun of a clear sky or an hourly file, the air by the design day, and what is missing for it."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from box_by_hand import FT, MIDDLE_H, by_hand

import trailerlib as tl
from trailerlib.physics import sun
from trailerlib.studies.cooling import case as heat
from trailerlib.studies.cooling import hold, weather


@pytest.fixture(scope="module")
def box(demo: tl.Design) -> tl.Design:
    return by_hand(demo)


@pytest.mark.filterwarnings("ignore:DatetimeIndex.dayofyear")
def test_the_clear_sky_is_the_librarys(box: tl.Design) -> None:
    """pvlib by itself: Ineichen and its map of haze, on the standard time of seven hours behind Greenwich."""
    from pvlib.location import Location

    place = Location(44.6, -103.5, "Etc/GMT+7", 5200 * FT)
    times = pd.date_range("2025-07-21 00:02:30", periods=288, freq="5min", tz=place.tz)
    sky, days = place.get_clearsky(times, model="ineichen"), weather.hot_days(box.site)
    for name in ("ghi", "dni", "dhi"):
        assert getattr(days, name) == pytest.approx(sky[name].to_numpy(), abs=0.5), name
    assert 900 < days.ghi.max() < 1100
    assert days.hour_h == pytest.approx(MIDDLE_H) and days.alike


def test_hottest_air_and_its_swing(box: tl.Design) -> None:
    """96 degF from 14 to 15 h, 28 degF under it at 5 h, straight lines between the hours of the table."""
    hot, swing = (96 - 32) / 1.8, 28 / 1.8
    air = weather.hot_days(box.site).air_c
    assert air.max() == pytest.approx(hot)
    assert {int(h) for h in MIDDLE_H[air > hot - 1e-9]} == {14}
    assert air.min() == pytest.approx(hot - swing, abs=0.001 * swing) and abs(MIDDLE_H[air.argmin()] - 5) < 0.1
    at = dict(zip(np.round(MIDDLE_H, 4), air, strict=True))
    assert at[12.0417] == pytest.approx(hot - swing * (0.13 + (0.05 - 0.13) * 2.5 / 60), abs=1e-6)
    assert at[0.0417] == pytest.approx(hot - swing * (0.82 + (0.88 - 0.82) * 2.5 / 60), abs=1e-6)


def test_a_swing_that_is_not_said_is_taken_as_usual_and_said(box: tl.Design) -> None:
    usual = box.replace("site.swing", None)
    air = weather.hot_days(usual.site).air_c
    assert np.ptp(air) == pytest.approx(20 / 1.8, rel=2e-3)
    assert "20.0 °F between day and night, taken as usual" in " ".join(tl.study("cooling", usual).text().split())
    assert "taken as usual" not in tl.study("cooling", box).text()


def test_an_hourly_file_ends_with_the_day_of_the_site(box: tl.Design) -> None:
    """Miami, 21 July: the air of the file, read at the end of each hour, straight between; the days before lead up."""
    design = box.replace_all({("site", "weather"): "Miami", ("site", "latitude"): None, ("site", "hottest"): None})
    year, case = sun.read_hourly("12839.tm2", "TMY2"), heat.case_of(design)
    first = 24 * (31 + 28 + 31 + 30 + 31 + 30 + 20)
    shown = heat.last_day(case.weather.air_c)
    assert len(case.weather.air_c) == 3 * 288 and not case.weather.alike
    ends = year.air_c[first - 1 : first + 24]
    assert shown == pytest.approx(np.interp(MIDDLE_H, np.arange(25), ends), abs=1e-9)
    light = hold.hourly(heat.last_day(case.weather.ghi))
    assert light == pytest.approx(year.ghi[first : first + 24], abs=1e-6)
    answer = tl.study("cooling", design)
    assert "Miami, Florida" in " ".join(answer.text().split()) and answer.value("free_c") > shown.max()
    assert {f.severity for f in answer.checks if f.rule == "set-point-held"} == {"holds"}
    assert len(answer.picture.day.outside_c) == 289 and answer.rows and answer.working


def test_an_hourly_file_begins_before_the_year_where_it_must(box: tl.Design) -> None:
    design = box.replace_all({("site", "weather"): "Sand Point", ("site", "day"): "01-01"})
    year, air = sun.read_hourly("703165TY.csv", "TMY3"), heat.case_of(design).weather.air_c
    assert air[-288:] == pytest.approx(np.interp(MIDDLE_H, np.arange(25), [year.air_c[-1], *year.air_c[:24]]), abs=1e-9)
    assert tl.study("cooling", design).value("needed_w") == 0.0, "nothing to cool in an Alaskan January"


@pytest.mark.parametrize(("gone", "words"), [
    ("day", "the day of the year"), ("elevation", "the elevation of the site"), ("latitude", "the latitude of the site"),
    ("hottest", "how hot it gets (site.hottest)"),
])  # fmt: skip
def test_what_is_missing_is_named(gone: str, words: str, box: tl.Design) -> None:
    answer = tl.study("cooling", box.replace(("site", gone), None))
    assert answer.sentence.startswith(f"Heat is not checked, it needs {words}.")
    assert answer.picture.heat is None and answer.picture.missing["heat"] == f"it needs {words}"


def test_weather_of_no_such_place(box: tl.Design) -> None:
    answer = tl.study("cooling", box.replace("site.weather", "Nowhere"))
    assert 'it needs hourly weather by the name of "Nowhere" (there is' in answer.sentence
