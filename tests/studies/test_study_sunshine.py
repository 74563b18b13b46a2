"""The panels of a design through hours and days: what is not known is said, what is known adds up."""

from __future__ import annotations

import subprocess
import sys
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import trailerlib as tl
from trailerlib.design.design import design_from
from trailerlib.physics import sun
from trailerlib.studies import sunshine

SITE = {"elevation": "5200 ft", "latitude": 35.2, "longitude": -101.8, "day": "07-21"}
ROOF = {"name": "roof", "power": "200 W"}
TIED = {"name": "shed", "power": "100 W", "controller": "switching"}


@pytest.fixture(scope="module")
def raw() -> dict[str, Any]:
    return {**tl.read_design(tl.shipped_trailers()["fen-survey"]).raw}


def with_sun(raw: dict[str, Any], *panels: dict[str, Any], **site: Any) -> tl.Design:
    where = {key: value for key, value in {**SITE, **site}.items() if value is not None}
    return design_from({**raw, "site": where, "solar": list(panels or (ROOF,))})


def brought(design: tl.Design, start_h: float = 0.0, hours: float = 24.0, **more: Any) -> sunshine.Sunshine:
    found = sunshine.available_w(design, start_h, hours, **more)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("latitude", "the latitude of the site"),
        ("elevation", "the elevation of the site"),
        ("day", "the day of the year"),
    ],
)
def test_what_is_not_known_is_said(raw: dict[str, Any], key: str, words: str) -> None:
    design = with_sun(raw, **{key: None})
    assert sunshine.missing(design) == (words,)
    assert sunshine.available_w(design, 0, 24) is None and sunshine.basis(design) == ()


def test_all_that_is_not_known_is_said_together(raw: dict[str, Any]) -> None:
    assert len(sunshine.missing(with_sun(raw, latitude=None, elevation=None, day=None))) == 3


def test_weather_of_an_unknown_name_is_not_checked(raw: dict[str, Any]) -> None:
    design = with_sun(raw, weather="Atlantis")
    (said,) = sunshine.missing(design)
    assert '"Atlantis"' in said and "Greensboro" in said and sunshine.available_w(design, 0, 24) is None


def test_weather_needs_a_day_but_no_place(raw: dict[str, Any]) -> None:
    assert sunshine.missing(with_sun(raw, weather="Miami", latitude=None, elevation=None, longitude=None)) == ()
    assert sunshine.missing(with_sun(raw, weather="Miami", day=None)) == ("the day of the year",)


def test_without_panels_nothing_is_missing_and_nothing_comes() -> None:
    demo = tl.read_design(tl.shipped_trailers()["fen-survey"])
    code = (
        "import sys, trailerlib as tl; from trailerlib.studies import sunshine;"
        "d = tl.read_design(tl.shipped_trailers()['fen-survey']); d = d.replace('solar', None);"
        "print(sunshine.available_w(d, 0, 24).tracking_wh, 'pvlib' in sys.modules)"
    )
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert said.split() == ["0.0", "False"]
    bare = demo.replace("solar", None)
    assert sunshine.missing(bare) == () and sunshine.basis(bare) == ()
    none = brought(bare, 5.0, 2.0, step_h=0.5)
    assert none.tracking_w.tolist() == none.switching_a.tolist() == [0.0] * 4


def test_night_is_zero_and_noon_is_most(raw: dict[str, Any]) -> None:
    found = brought(with_sun(raw, ROOF, TIED))
    hours = found.edges_h[:-1]
    night = (hours < 4.5) | (hours > 20.5)
    assert (found.tracking_w[night] == 0).all() and (found.switching_a[night] == 0).all()
    assert 11.5 < hours[found.switching_a.argmax()] < 12.5 and (found.tracking_w >= 0).all()


def test_a_panel_by_hand_at_noon(raw: dict[str, Any]) -> None:
    """Two panels of 200 W, a tenth in shade, 15 % lost, air at 30 degC: from the light on the flat roof at noon."""
    design = with_sun(raw, {**ROOF, "count": 2, "shading": "10 %"}, {**TIED, "losses": "5 %"})
    found = brought(design, ambient_c=30.0)
    sky = sun.clear_sky(35.2, -101.8, 5200 * 0.3048, 202)
    at = int(sky.ghi.argmax())
    cell = 30 + sky.ghi[at] * np.exp(-2.98 - 0.0471) + sky.ghi[at] / 1000
    watts = 400 * sky.ghi[at] / 1000 * (1 - 0.00466 * (cell - 25)) * 0.9 * 0.85
    assert found.tracking_w[at] == pytest.approx(watts, rel=1e-9)
    assert found.switching_a[at] == pytest.approx(100 / 17.7 * sky.ghi[at] / 1000 * 0.95, rel=1e-9)


def test_each_row_of_panels_by_itself_is_part_of_the_sum(raw: dict[str, Any]) -> None:
    south = {"name": "south", "power": "90 W", "tilt": 35, "controller": "tracking"}
    both = brought(with_sun(raw, ROOF, south, TIED))
    assert list(both.power_w) == ["roof", "south"] and list(both.current_a) == ["shed"]
    alone = [brought(with_sun(raw, row)).tracking_w for row in (ROOF, south)]
    assert both.tracking_w == pytest.approx(sum(alone)) and both.power_w["south"] == pytest.approx(alone[1])


@settings(max_examples=20)
@given(cuts=st.lists(st.floats(0, 200), min_size=1, max_size=8), step=st.floats(0.02, 3.0))
def test_energy_does_not_depend_on_the_steps(raw: dict[str, Any], cuts: list[float], step: float) -> None:
    design = with_sun(raw, ROOF, TIED)
    edges = np.sort(np.array([6.3, *cuts, 200.0]))
    parts = sunshine.between(design, edges)
    start, hours = float(edges[0]), float(edges[-1] - edges[0])
    whole = brought(design, start, hours, step_h=step)
    assert parts is not None and (whole.step_h <= step + 1e-9).all()
    assert parts.tracking_wh == pytest.approx(whole.tracking_wh, rel=1e-9)
    assert parts.switching_ah == pytest.approx(whole.switching_ah, rel=1e-9)


def test_later_days_follow_and_the_year_turns(raw: dict[str, Any]) -> None:
    design = with_sun(raw, day="12-30")
    third = brought(design, 48.0).tracking_w
    assert third == pytest.approx(brought(with_sun(raw, day="01-01")).tracking_w, abs=0.3)  # a year later by the sun
    tenth = brought(with_sun(raw), 24.0 * 9).tracking_w
    assert tenth == pytest.approx(brought(with_sun(raw, day="07-30")).tracking_w, abs=1e-9)


@pytest.mark.parametrize("name", ["Greensboro", "Sand Point", "Miami"])
def test_a_week_of_weather_keeps_the_energy_of_the_file(raw: dict[str, Any], name: str) -> None:
    """The light that a tied panel turns into current, back to what fell: 177 W at 17.7 V give 10 A in full sun."""
    panel = {"name": "flat", "power": "177 W", "controller": "switching", "losses": "0 %"}
    found = brought(with_sun(raw, panel, weather=name, day="03-05"), 0, 168)
    row = tl.reference.table("weather_files").row(name=name)
    year = sun.read_hourly(row["file"], row["format"])
    begin = (31 + 28 + 4) * 24
    assert found.switching_ah * 100 == pytest.approx(year.ghi[begin : begin + 168].sum(), rel=1e-6)


def test_the_air_of_the_weather_counts_unless_it_is_given(raw: dict[str, Any]) -> None:
    """A week of January in Greensboro is colder than 30 degC."""
    design = with_sun(raw, weather="Greensboro", day="01-10")
    assert brought(design, 0, 168).tracking_wh > brought(design, 0, 168, ambient_c=30.0).tracking_wh


def test_the_air_of_a_clear_day_is_the_hottest_of_the_site_or_usual(raw: dict[str, Any]) -> None:
    usual, hot, given_air = (
        brought(with_sun(raw)), brought(with_sun(raw, hottest="40 °C")), brought(with_sun(raw, hottest="40 °C"), ambient_c=25.0),
    )  # fmt: skip
    assert usual.tracking_wh > hot.tracking_wh and given_air.tracking_wh == usual.tracking_wh
    assert any("taken as usual" in said for said in usual.basis) and any("hottest" in said for said in hot.basis)
    assert not any(said.startswith("air at") for said in given_air.basis)


def test_what_it_rests_on_is_said(raw: dict[str, Any]) -> None:
    clear = sunshine.basis(with_sun(raw))
    assert any("without clouds" in said for said in clear) and any("-7 h" in said for said in clear)
    unknown = sunshine.basis(with_sun(raw, longitude=None))
    assert any("solar time" in said for said in unknown) and any("haze 3" in said for said in unknown)
    weather = sunshine.basis(with_sun(raw, weather="Miami"))
    assert any("Miami, Florida, not of the site itself" in said for said in weather)


@settings(max_examples=15)
@given(low=st.floats(0.001, 0.9), more=st.floats(0, 0.09), tilt=st.integers(0, 90), azimuth=st.integers(0, 360))
def test_more_shade_never_brings_more(raw: dict[str, Any], low: float, more: float, tilt: int, azimuth: int) -> None:
    faces = {"tilt": tilt, "azimuth": azimuth}
    some, rest = (
        brought(
            with_sun(
                raw,
                {**ROOF, **faces, "shading": f"{100 * share:.6f} %"},
                {**TIED, **faces, "losses": f"{100 * share:.6f} %"},
            )
        )
        for share in (low, low + more)
    )
    assert (rest.tracking_w <= some.tracking_w).all() and (rest.switching_a <= some.switching_a).all()
    assert (rest.tracking_w >= 0).all()


def test_another_panel_asks_the_sky_only_once(raw: dict[str, Any], monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[tuple[Any, ...]] = []
    real = sun.clear_sky
    monkeypatch.setattr(sun, "clear_sky", lambda *args: asked.append(args) or real(*args))
    design = with_sun(raw, latitude=41.5)
    first = brought(design, 0, 168)
    for watts in (50, 110, 400):
        design = design.replace(("solar", "roof", "power"), f"{watts} W")
        again = brought(design, 0, 168, step_h=0.5)
        assert again.tracking_wh == pytest.approx(first.tracking_wh * watts / 200, rel=1e-9)
    assert len(asked) == 1
    brought(design.replace("site.latitude", 42.0))
    assert len(asked) == 2


def test_a_bank_of_24_v_takes_half_the_current_from_a_tied_panel(raw: dict[str, Any]) -> None:
    """Panels of 72 cells in place of 36: about twice the voltage for the same power."""
    twelve = with_sun(raw, TIED)
    double = twelve.replace("battery.nominal", "24 V")
    assert brought(double).switching_ah / brought(twelve).switching_ah == pytest.approx(17.7 / 36.6)


@pytest.mark.parametrize(
    ("start", "hours", "step"), [(-1, 3, 1), (5, -1, 1), (5, float("nan"), 1), (float("inf"), 3, 1), (5, 3, 0)]
)
def test_odd_hours_are_refused(raw: dict[str, Any], start: float, hours: float, step: float) -> None:
    with pytest.raises(ValueError, match="hours of sun"):
        sunshine.available_w(with_sun(raw), start, hours, step)
