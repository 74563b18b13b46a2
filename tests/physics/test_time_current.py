"""Bands of fuses and breakers: against made-up limits, so that the arithmetic shows, and over the shipped table."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.hot_wire import settled_temperature_c
from trailerlib.physics.time_current import (
    Device,
    band,
    chart_currents_a,
    coordinates,
    device_of,
    guards_wire,
    opening_at_far_end,
)
from trailerlib.physics.wire_damage import damage_seconds
from trailerlib.reference import table

ROWS = table("time_current").rows
SHIPPED = [
    (str(row["device"]), float(row["rating_a"]))
    for row in table("protection_ratings").rows
] + [("terminal", a) for a in (30.0, 100.0, 300.0)] + [("class t", a) for a in (30.0, 60.0, 100.0, 200.0, 400.0)]  # fmt: skip


def rows(*points: tuple[float, str, str], beyond: str = "i2t") -> list[dict[str, str]]:
    return [
        {
            "device": "x", "rating_from_a": "1", "rating_to_a": "50", "multiple": str(m),
            "least_s": least, "most_s": most, "beyond": beyond,
        }
        for m, least, most in points
    ]  # fmt: skip


PLAIN = rows((1.1, "1000", ""), (2.0, "1", "100"), (8.0, "0.01", "1"))


def test_the_band_passes_through_its_points_and_straight_between() -> None:
    least, most = band(device_of(PLAIN, "x", 10.0), np.array([20.0, 40.0, 80.0]))
    assert least == pytest.approx([1.0, 0.1, 0.01]) and most == pytest.approx([100.0, 10.0, 1.0])


def test_below_hold_it_never_opens_and_before_the_table_it_need_not() -> None:
    least, most = band(device_of(PLAIN, "x", 10.0), np.array([0.0, 10.9, 11.0, 19.9]))
    assert np.isinf(least[:2]).all() and least[2] == pytest.approx(1000.0) and np.isinf(most).all()
    assert 1.0 < least[3] < 1000.0


def test_a_hold_point_without_a_time_opens_the_fast_edge_at_once() -> None:
    thing = device_of(rows((1.0, "inf", ""), (2.0, "10", "100")), "x", 10.0)
    least, _ = band(thing, np.array([10.0, 10.1, 20.0]))
    assert np.isinf(least[0]) and least[1:] == pytest.approx([10.0, 10.0])


def test_beyond_the_table_energy_is_constant_or_the_mechanism_sets_the_time() -> None:
    fuse, breaker = device_of(PLAIN, "x", 10.0), device_of([{**r, "beyond": "level"} for r in PLAIN], "x", 10.0)
    least, most = band(fuse, 160.0)
    assert (least, most) == (pytest.approx(0.0025), pytest.approx(0.25))
    assert band(breaker, 160.0) == (pytest.approx(0.0025), pytest.approx(1.0))
    assert fuse.published_to_a == 80.0


@pytest.mark.parametrize(
    ("table_rows", "name", "rating", "words"),
    [
        (PLAIN, "y", 10.0, "no published limits for a y of 10 A"),
        (PLAIN, "x", 51.0, "no published limits"),
        (rows((1.1, "10", ""), (2.0, "20", "100")), "x", 10.0, "must fall"),
        (rows((1.1, "10", ""), (1.1, "5", "100")), "x", 10.0, "must fall"),
        (rows((1.1, "10", "")), "x", 10.0, "both edges"),
        (rows((1.1, "10", "20"), beyond="?"), "x", 10.0, "both edges"),
    ],
)
def test_a_table_that_cannot_be_read_is_refused(
    table_rows: list[dict[str, str]], name: str, rating: float, words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        device_of(table_rows, name, rating)


@pytest.mark.parametrize(("name", "rating"), SHIPPED)
def test_every_device_on_offer_has_a_band_that_falls(name: str, rating: float) -> None:
    thing = device_of(ROWS, name, rating)
    least, most = band(thing, np.geomspace(0.5, 100.0, 2000) * rating)
    assert np.all(least <= most) and np.all(least > 0.0)
    with np.errstate(invalid="ignore"):
        assert not np.any(np.diff(least) > 1e-9 * least[:-1]) and not np.any(np.diff(most) > 1e-9 * most[:-1])
    assert np.isinf(band(thing, rating * 0.999)[0]) and np.isfinite(band(thing, thing.certain_a)[1])
    assert 1.0 < thing.certain_a / rating <= 1.35 * (1 + 1e-9)
    assert np.isinf(band(thing, thing.certain_a * 0.999)[1])


@pytest.mark.parametrize(("name", "rating"), SHIPPED)
def test_a_published_point_is_met_at_every_rating(name: str, rating: float) -> None:
    """1e-6: a steep stretch of the breaker's edge multiplies the last binary digit of the current."""
    thing = device_of(ROWS, name, rating)
    for edge, side in ((thing.least, 0), (thing.most, 1)):
        assert np.asarray(band(thing, edge[0] * rating)[side]) == pytest.approx(edge[1], rel=1e-6)


@pytest.mark.parametrize("current", [-1.0, float("nan"), np.array([1.0, np.nan])])
def test_a_missing_current_is_no_answer(current: float) -> None:
    with pytest.raises(ValueError, match="not checked"):
        band(device_of(PLAIN, "x", 10.0), current)


def test_a_large_fuse_waits_for_a_small_one_and_two_alike_do_not() -> None:
    small, large = device_of(ROWS, "blade", 10.0), device_of(ROWS, "bolt-down", 150.0)
    currents = chart_currents_a(small, 2000.0)
    assert coordinates(large, small, currents[currents < 900.0]) == ()
    overlap = coordinates(small, small, currents)
    assert overlap[0][0] == pytest.approx(11.0, rel=0.02) and overlap[-1][1] == 2000.0


def test_both_holding_is_no_conflict_and_a_slow_device_behind_is_one() -> None:
    fast, slow = device_of(PLAIN, "x", 10.0), device_of(PLAIN, "x", 30.0)
    assert coordinates(slow, fast, np.linspace(1.0, 10.0, 50)) == ()
    (stretch,) = coordinates(fast, slow, np.linspace(1.0, 400.0, 400))
    assert stretch == (11.0, 400.0)


@given(st.floats(1.0, 50.0), st.floats(1.0, 20.0))
def test_a_device_further_up_never_overlaps_more(rating: float, step: float) -> None:
    small = device_of(PLAIN, "x", rating)
    currents = np.geomspace(rating, 200.0 * rating, 300)
    up = [Device("up", rating * f, small.hold, small.least, small.most, True) for f in (step, step * 1.5)]
    near, far = (sum(b - a for a, b in coordinates(u, small, currents)) for u in up)
    assert far <= near + 1e-9


def test_a_wire_is_guarded_left_of_its_curve_and_the_rest_is_named() -> None:
    currents = np.array([10.0, 20.0, 30.0, 40.0, 50.0])
    damage = np.array([np.inf, 50.0, 20.0, 10.0, 5.0])
    assert guards_wire(currents, np.array([np.inf, 40.0, 20.0, 9.0, 4.0]), damage) == ()
    assert guards_wire(currents, np.array([np.inf, np.inf, 30.0, 9.0, 6.0]), damage) == ((20.0, 30.0), (50.0, 50.0))
    with pytest.raises(ValueError, match="not checked"):
        guards_wire(currents, np.array([np.nan, 1.0, 1.0, 1.0, 1.0]), damage)
    with pytest.raises(ValueError, match="rise"):
        guards_wire(currents[::-1], damage, damage)


def guarded(rating: float, area_m2: float, ampacity_a: float) -> tuple[tuple[float, float], ...]:
    thing = device_of(ROWS, "blade", rating)
    currents = chart_currents_a(thing, 1000.0)
    damage = np.asarray(damage_seconds(currents, area_m2, ampacity_a, 30.0, 60.0, 60.0, 150.0, 85.0))
    return guards_wire(currents, np.asarray(band(thing, currents)[1]), damage)


def test_a_blade_fuse_of_half_the_ampacity_guards_all_and_one_of_twice_does_not() -> None:
    assert guarded(15.0, 3.31e-6, 30.0) == ()
    assert guarded(30.0, 0.82e-6, 10.0)[0][0] == 30.0


def test_a_fuse_at_the_ampacity_leaves_the_slow_overload_and_nothing_else() -> None:
    """A fuse need not see up to 135 %, where the wire settles at 90.3 degC (84.7 by the plain law), and is slow to 160 %.

    By hand at 33.75 A: 30 + 54.675 x 1.0393 / (1.1572 - 0.2149).
    """
    ((low, high),) = guarded(25.0, 3.31e-6, 25.0)
    certain = device_of(ROWS, "blade", 25.0).certain_a
    assert 25.0 < low < 25.5 and certain < high < 1.6 * 25.0
    assert settled_temperature_c(certain, 25.0, 30.0, 60.0) == pytest.approx(90.3, abs=0.1)


def test_the_far_end_tells_a_fuse_that_blows_from_one_that_glows() -> None:
    fuse = device_of(ROWS, "blade", 20.0)
    wire = (0.82e-6, 10.0, 30.0, 60.0, 40.0)
    least, most, hot = opening_at_far_end(fuse, np.array([120.0, 25.0]), *wire)
    assert (least[0], most[0]) == (pytest.approx(0.02), pytest.approx(0.1)) and hot[0] < 90.0
    assert np.isinf(most[1]) and hot[1] == pytest.approx(settled_temperature_c(25.0, 10.0, 30.0, 60.0)) and hot[1] > 200


@pytest.mark.parametrize(("share", "late"), [(0.97, True), (1.03, False)])
def test_three_percent_decide_for_the_wire_and_for_the_device_behind(share: float, late: bool) -> None:
    currents, most = np.array([20.0, 40.0, 80.0]), np.array([100.0, 10.0, 1.0])
    assert bool(guards_wire(currents, most, most * share)) is late
    behind = device_of(PLAIN, "x", 10.0)
    front = Device("front", 10.0, 1.1, (behind.most[0], behind.most[1] * share), behind.most, True)
    assert bool(coordinates(front, behind, currents)) is late


def test_chart_currents_hold_every_published_multiple_and_refuse_a_short_below_the_rating() -> None:
    thing = device_of(PLAIN, "x", 10.0)
    currents = chart_currents_a(thing, 500.0, 5)
    assert set(currents) >= {10.0, 11.0, 20.0, 80.0, 500.0} and np.all(np.diff(currents) > 0)
    with pytest.raises(ValueError, match="no more than the rating"):
        chart_currents_a(thing, 10.0)
