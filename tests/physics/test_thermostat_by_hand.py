"""The thermostat where it has to decide: at the edges of band, step and pause, in a box whose air runs in straight lines."""

from __future__ import annotations

import numpy as np
import pytest
from boxes import BOX, hold
from scipy.optimize import brentq

from trailerlib.physics.enclosure import Box
from trailerlib.physics.enclosure_run import Drive, free_run
from trailerlib.physics.thermostat import Cycles, Thermostat, _first_reach, thermostat_run

STRAIGHT = Box(1000.0, 1e9, 0.0, 1e-6, 1e-6)  # hardly anything passes its skin: 1 K/s for every 1000 W
PAUSED = Thermostat(25.0, 2.0, 7.0)  # on at 26, off at 24


def warmed(watts: float, seconds: int) -> Drive:
    return Drive(hold(25, seconds), hold(25, seconds), hold(watts, seconds), hold(0, seconds))


def test_on_and_off_at_the_band_in_straight_lines() -> None:
    """From 25 at +0.5 K/s: on at 2 s; at -0.5 K/s off at 6 s; up again, on at 10 s, off at 14 s."""
    found = thermostat_run(STRAIGHT, warmed(500.0, 15), 1.0, 25.0, 25.0, hold(1000.0, 15), Thermostat(25.0, 2.0))
    assert found.switched_s == pytest.approx((2.0, 6.0, 10.0, 14.0), abs=1e-5)
    assert found.on_share == pytest.approx([0, 0, 1, 1, 1, 1, 0, 0, 0, 0, 1, 1, 1, 1, 0], abs=1e-5)
    assert np.add.accumulate(found.starts)[[1, 3, 9, 11, 14]].tolist() == [0.0, 1.0, 1.0, 2.0, 2.0]
    assert found.run.air_c[[1, 3, 5, 7, 9]] == pytest.approx([26, 25, 24, 25, 26], abs=1e-4)
    assert found.run.added_w == pytest.approx(-1000.0 * found.on_share)
    assert found.run.air_mean_c[[0, 4]] == pytest.approx([25.25, 24.75], abs=1e-4)


def test_a_pause_is_waited_for_and_then_no_longer() -> None:
    """Off at 6 s; at 26 again at 10 s, but it may start at 13 s only, 27.5 by then; 3.5 K down at 0.5 K/s: off at 20 s."""
    found = thermostat_run(STRAIGHT, warmed(500.0, 25), 1.0, 25.0, 25.0, hold(1000.0, 25), PAUSED)
    assert found.switched_s == pytest.approx((2.0, 6.0, 13.0, 20.0), abs=1e-5)
    assert found.run.air_c[12] == pytest.approx(27.5, abs=1e-4)
    inside = thermostat_run(STRAIGHT, warmed(500.0, 10), 2.5, 25.0, 25.0, hold(1000.0, 10), PAUSED)
    assert inside.switched_s == pytest.approx((2.0, 6.0, 13.0, 20.0), abs=1e-5), "the pause ends within a step"
    assert inside.on_share[[0, 2, 5, 8]] == pytest.approx([0.2, 0.4, 0.8, 0.0], abs=1e-5)


def test_a_cooler_switched_off_from_outside_keeps_its_pause_too() -> None:
    """It runs from the begin at 27 and is switched off at 3 s, at 25.5; allowed at 4 s; 26 at 4 s; pause over at 10 s."""
    cold = np.where(np.arange(15) == 3, 0.0, 1000.0)
    found = thermostat_run(STRAIGHT, warmed(500.0, 15), 1.0, 27.0, 25.0, cold, PAUSED)
    assert found.switched_s[:3] == pytest.approx((0.0, 3.0, 10.0), abs=1e-5)
    free = thermostat_run(STRAIGHT, warmed(500.0, 15), 1.0, 27.0, 25.0, cold, Thermostat(25.0, 2.0))
    assert free.switched_s[:3] == pytest.approx((0.0, 3.0, 4.0), abs=1e-5)
    assert found.on_share[3] == 0.0 and found.starts[0] == 1.0 and found.starts[1:10].sum() == 0.0


def test_at_the_very_edge_it_switches() -> None:
    """On the upper edge at the begin it starts; a hair below it waits until it gets there."""
    at = thermostat_run(STRAIGHT, warmed(0.0, 3), 1.0, 26.0, 25.0, hold(1000.0, 3), PAUSED)
    assert at.switched_s == (0.0, pytest.approx(2.0, abs=1e-5)) and at.starts.tolist() == [1.0, 0.0, 0.0]
    below = thermostat_run(STRAIGHT, warmed(0.0, 3), 1.0, 25.9, 25.0, hold(1000.0, 3), PAUSED)
    assert below.switched_s == () and below.run.air_c == pytest.approx(25.9, abs=1e-5)


@pytest.mark.parametrize("early_s", [9e-8, 3e-8, -3e-8])
def test_a_start_at_the_end_of_a_step_is_counted_in_the_next(early_s: float) -> None:
    """The band is met as near to the end of the first step as makes no difference."""
    work = Drive(hold(36, 6), hold(48, 6), hold(900, 6), hold(0, 6))
    ends = [float(free_run(BOX, work, 1.0 - early_s, air, 29.0).air_c[0]) for air in (25.0, 26.0)]
    begin = 25.0 + (25.6 - ends[0]) / (ends[1] - ends[0])
    found = thermostat_run(BOX, work, 1.0, begin, 29.0, hold(2600.0, 6), Thermostat(25.0, 1.2, 180.0))
    assert found.starts.tolist() == [0.0, 1.0, 0.0, 0.0, 0.0, 0.0] and found.on_share[0] == 0.0


def test_what_is_cold_enough_at_the_end_of_a_step_does_not_run_through_the_next() -> None:
    """The lower edge is met at the end of the first step; in the second the box would warm though the cooler ran."""
    work = Drive(hold(25, 3), hold(25, 3), np.array([0.0, 3000.0, 3000.0]), hold(0, 3))
    end = float(
        free_run(STRAIGHT, Drive(hold(25, 1), hold(25, 1), hold(-1000, 1), hold(0, 1)), 1.0, 25.0, 25.0).air_c[0]
    )
    for over in (0.0, 1e-11, 1e-9, 3e-8):
        low = end + over
        found = thermostat_run(
            STRAIGHT, work, 1.0, 25.0, 25.0, hold(1000.0, 3), Thermostat((25.0 + low) / 2, 25.0 - low, 60.0)
        )
        assert found.switched_s == pytest.approx((0.0, 1.0), abs=1e-7) and found.on_share[1:] == pytest.approx(
            0.0, abs=1e-7
        )


def test_a_narrow_band_and_no_pause_are_allowed() -> None:
    assert Thermostat(25.0, 0.01, 0.0) == Thermostat(25.0, 0.01)
    for band, pause, words in ((0.0099, 0.0, "0.01 K"), (1.0, -1e-9, "pause"), (1.0, float("nan"), "pause")):
        with pytest.raises(ValueError, match=words):
            Thermostat(25.0, band, pause)
    with pytest.raises(AttributeError):
        PAUSED.set_c = 20.0  # type: ignore[misc]


def test_starts_an_hour_where_there_are_none_and_where_there_is_no_whole_hour() -> None:
    found = thermostat_run(STRAIGHT, warmed(500.0, 15), 1.0, 25.0, 25.0, hold(1000.0, 15), PAUSED)
    none = Cycles(found.run, found.on_share, np.empty(0), ())
    assert none.starts_per_h(300.0) == 0.0
    some = Cycles(found.run, found.on_share, np.array([2.0, 1.0, 0.0, 4.0]), ())
    assert some.starts_per_h(7200.0) == 4.0 and some.starts_per_h(3600.0) == 4.0
    assert some.starts_per_h(1800.0) == 4.0 and some.starts_per_h(1200.0) == 5.0 and some.starts_per_h(1.0) == 7.0


@pytest.mark.parametrize(
    ("parts", "rates", "level"),
    [
        ((-1.0, -2.0), (-1e-3, -3e-2), 1.0),
        ((-5.0, 0.0), (-1e-3, -1e-2), 4.5),
        ((0.0, -5.0), (-1e-3, -1e-2), 0.5),
        ((-4.0, 3.0), (-1e-2, -5e-2), 0.9),
        ((2.0, -3.0), (-1e-2, -1e-1), -0.5),  # up and down again
        ((3.0, -6.0), (-2e-2, -5e-2), -0.2),
    ],
)
def test_the_first_moment_of_two_decays_to_a_tenth_of_a_millionth(
    parts: tuple[float, float], rates: tuple[float, float], level: float
) -> None:
    """Independent: a bracket from a fine row of times, then a general root finder."""

    def height(t: float) -> float:
        return float(parts[0] * np.exp(rates[0] * t) + parts[1] * np.exp(rates[1] * t) + level)

    times = np.linspace(0.0, 400.0, 4001)
    k = int(np.argmax([height(t) >= 0.0 for t in times]))
    assert k > 0 and height(0.0) < 0.0
    first = brentq(height, times[k - 1], times[k], xtol=1e-13)
    for span in (400.0, first + 1e-3, first + 3.0):
        assert _first_reach(parts, rates, level, span) == pytest.approx(first, abs=1.1e-7)
    for span in (0.5 * first, first - 1e-3):
        assert _first_reach(parts, rates, level, span) == span
    assert _first_reach(parts, rates, level - 10.0, 400.0) == 400.0
