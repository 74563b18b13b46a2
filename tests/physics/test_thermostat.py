"""A cooler that switches itself: a solver that finds the moments by events, the band, the pause, and what adds up."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from boxes import BOX, STEP_S, STEPS_PER_HOUR, drive, hold, slope_of, solved
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from trailerlib.physics.enclosure import Box
from trailerlib.physics.enclosure_run import Drive, free_run, held_run
from trailerlib.physics.thermostat import Cycles, Thermostat, thermostat_run

WORK = drive()
SWITCH = Thermostat(25.0, 1.2, 180.0)
COLD = 2600.0 - 12.0 * (WORK.outside_c - 30.0)
FIELDS = ("air_j_per_k", "mass_j_per_k", "air_w_per_k", "film_w_per_k", "fabric_w_per_k")
BOXES = st.builds(
    Box, st.floats(8e4, 5e5), st.floats(3e5, 5e6), st.floats(0.0, 60.0), st.floats(200.0, 900.0), st.floats(10.0, 80.0)
)


@pytest.fixture(scope="module")
def days() -> Cycles:
    """Three days, the cooler free to start."""
    return thermostat_run(BOX, WORK, STEP_S, 24.0, 27.0, COLD, SWITCH)


def spans_s(cycles: Cycles, end_s: float) -> tuple[np.ndarray, np.ndarray]:
    """How long it was on each time, and how long off between [s]."""
    ends = [*cycles.switched_s, end_s] if len(cycles.switched_s) % 2 else [*cycles.switched_s]
    lengths = np.diff(ends)
    return lengths[::2], lengths[1::2]


def adds_up(cycles: Cycles, box: Box, work: Drive, cold: np.ndarray, step_s: float = STEP_S) -> None:
    scale = np.abs(cold).max() + box.film_w_per_k * 20.0
    for left in cycles.run.left_over_w(box, work, step_s):
        assert np.abs(left).max() < 1e-9 * scale
    assert np.array_equal(cycles.run.added_w, -cycles.on_share * cold)


def test_three_days_between_the_moments_of_switching_agree_with_an_adaptive_solver(days: Cycles) -> None:
    on_from = days.switched_s[::2]

    def cold_at(begin: float) -> float:
        switched = np.searchsorted(days.switched_s, begin + 1e-6)
        return float(COLD[int((begin + 1e-6) // STEP_S)]) if switched % 2 else 0.0

    truth, at_cut = solved(BOX, WORK, (24.0, 27.0), cold_at, days.switched_s)
    assert len(on_from) > 50, "it must switch, or the test shows nothing"
    assert np.abs(days.run.air_c - truth[0]).max() < 1e-4 and np.abs(days.run.mass_c - truth[1]).max() < 1e-4
    for n, moment in enumerate(days.switched_s):
        waited = n > 0 and moment - days.switched_s[n - 1] < SWITCH.pause_s + 1e-6
        if n % 2 == 0 and waited:
            assert at_cut[moment][0] >= 25.6 - 1e-6
        else:
            assert at_cut[moment][0] == pytest.approx(25.6 if n % 2 == 0 else 24.4, abs=1e-5)


def by_events(box: Box, work: Drive, start: tuple[float, float], cold_w: float, switch: Thermostat) -> list[float]:
    """The same cooler written anew: an adaptive solver that stops by itself at the band, at the pause, at the hour."""
    high, low = switch.set_c + switch.band_k / 2, switch.set_c - switch.band_k / 2
    now, state, on, ready, moments = 0.0, np.array(start), False, 0.0, []
    end = STEP_S * len(work.outside_c)
    while now < end - 1e-9:
        if on and state[0] <= low + 1e-9:
            on, ready = False, now + switch.pause_s
            moments.append(now)
        elif not on and state[0] >= high - 1e-9 and now >= ready - 1e-9:
            on = True
            moments.append(now)
        stop = min(end, 3600.0 * (np.floor((now + 1e-6) / 3600.0) + 1.0))
        if not on and now < ready - 1e-9:
            stop = min(stop, ready)
        k = int((now + 1e-6) // STEP_S)
        slope = slope_of(
            box, work.outside_c[k], work.fabric_c[k], work.air_w[k] - (cold_w if on else 0.0), work.mass_w[k]
        )

        def reaches(_t: float, y: np.ndarray, on: bool = on) -> float:
            return float(y[0] - (low if on else high))

        reaches.terminal, reaches.direction = True, -1.0 if on else 1.0  # type: ignore[attr-defined]
        watched: Any = reaches if on or now >= ready - 1e-9 else None
        run = solve_ivp(
            slope, (now, stop), state, method="DOP853", events=watched, rtol=1e-10, atol=1e-10, max_step=60.0
        )
        now, state = float(run.t[-1]), run.y[:, -1]
    return moments


def test_it_switches_when_a_solver_with_events_says() -> None:
    work = drive(12, high_c=39.0)
    found = thermostat_run(BOX, work, STEP_S, 24.0, 27.0, hold(2100.0, len(work.air_w)), SWITCH)
    truth = by_events(BOX, work, (24.0, 27.0), 2100.0, SWITCH)
    assert len(truth) > 30 and len(found.switched_s) == len(truth)
    assert np.abs(np.array(found.switched_s) - truth).max() < 1e-3


def test_the_books_of_three_days_are_in_order(days: Cycles) -> None:
    adds_up(days, BOX, WORK, COLD)
    end_s = STEP_S * len(WORK.air_w)
    on, off = spans_s(days, end_s)
    assert on.sum() == pytest.approx(days.on_share.sum() * STEP_S, abs=1e-3)
    assert days.starts.sum() == len(days.switched_s[::2]) and np.all(np.diff(days.switched_s) > 0.0)
    assert np.all(off >= SWITCH.pause_s - 1e-6) and off.min() < 3600.0
    assert np.all((days.on_share >= 0.0) & (days.on_share <= 1.0 + 1e-12))
    counted = [
        sum(1 for t in days.switched_s[::2] if h * STEP_S <= t < h * STEP_S + 3600.0)
        for h in range(len(WORK.air_w) - 11)
    ]
    assert days.starts_per_h(STEP_S) == max(counted) > 2


@given(BOXES, st.floats(0.3, 3.0), st.floats(15.0, 23.0), st.sampled_from([0.0, 60.0, 180.0]))
@settings(max_examples=25)
def test_heat_adds_up_and_the_pause_is_kept_in_any_box(box: Box, band: float, set_c: float, pause: float) -> None:
    work = drive(12)
    cold = np.where(np.arange(144) % 48 < 6, 0.0, 3500.0)
    found = thermostat_run(box, work, STEP_S, 26.0, 28.0, cold, Thermostat(set_c, band, pause))
    adds_up(found, box, work, cold)
    on, off = spans_s(found, STEP_S * 144)
    assert np.all(off >= pause - 1e-6) and on.sum() == pytest.approx(found.on_share.sum() * STEP_S, abs=1e-3)
    assert np.all(found.on_share[cold == 0.0] == 0.0)


@given(BOXES, st.floats(0.3, 3.0), st.floats(20.0, 26.0))
@settings(max_examples=25)
def test_air_stays_in_the_band_when_the_cooler_is_large_enough(box: Box, band: float, set_c: float) -> None:
    """No pause, and more cold than holding the lower edge ever takes."""
    work = Drive(*(np.repeat(getattr(drive(8), key), 5) for key in Drive.__dataclass_fields__))
    low = set_c - band / 2
    need = -held_run(box, work, 60.0, low, 40.0, low, np.inf).added_w.min()
    cold = hold(1.3 * need + 200.0, len(work.air_w))
    found = thermostat_run(box, work, 60.0, set_c, set_c, cold, Thermostat(set_c, band))
    assert found.run.air_c.max() <= set_c + band / 2 + 1e-9
    if found.starts.sum() and found.run.air_c.min() < low - 1e-9:
        assert work.outside_c.min() < low, "only the weather may take it below"


def test_nothing_is_warmer_than_the_band_and_only_the_pause_lets_it_be(days: Cycles) -> None:
    fine = Drive(*(np.repeat(getattr(WORK, key), 10) for key in Drive.__dataclass_fields__))
    strict = thermostat_run(BOX, fine, 30.0, 24.0, 27.0, np.repeat(COLD, 10), Thermostat(25.0, 1.2))
    paused = thermostat_run(BOX, fine, 30.0, 24.0, 27.0, np.repeat(COLD, 10), Thermostat(25.0, 1.2, 900.0))
    assert strict.run.air_c.max() <= 25.6 + 1e-9
    assert strict.run.air_c.max() + 0.05 < paused.run.air_c.max() and paused.starts.sum() < strict.starts.sum()
    assert np.array(days.switched_s)[:2] == pytest.approx(
        thermostat_run(BOX, fine, 30.0, 24.0, 27.0, np.repeat(COLD, 10), SWITCH).switched_s[:2], abs=1e-5
    ), "the length of the steps does not matter"


def test_a_small_cooler_runs_without_stopping_as_the_held_run_does() -> None:
    work = drive(high_c=45.0)
    cold = hold(300.0, len(work.air_w))
    found = thermostat_run(BOX, work, STEP_S, 32.0, 33.0, cold, SWITCH)
    held = held_run(BOX, work, STEP_S, 32.0, 33.0, 0.0, cold)
    assert found.switched_s == (0.0,) and np.all(found.on_share == pytest.approx(1.0))
    assert found.run.air_c == pytest.approx(held.air_c, abs=1e-8)
    assert found.run.mass_mean_c == pytest.approx(held.mass_mean_c, abs=1e-8)


def test_it_starts_above_the_band_even_where_the_air_falls_by_itself() -> None:
    work = Drive(hold(12, 12), hold(12, 12), hold(0, 12), hold(0, 12))
    found = thermostat_run(BOX, work, STEP_S, 25.65, 20.0, hold(1500.0, 12), SWITCH)
    assert found.switched_s[0] == 0.0 and len(found.switched_s) == 2 and found.run.air_c[-1] < 24.4


def test_a_narrow_band_takes_the_cold_that_holding_takes() -> None:
    cold = hold(3000.0, len(WORK.air_w))
    found = thermostat_run(BOX, WORK, STEP_S, 25.0, 25.0, cold, Thermostat(25.0, 0.1))
    held = held_run(BOX, WORK, STEP_S, 25.0, 25.0, 25.0, 3000.0)
    assert found.run.added_w.sum() == pytest.approx(held.added_w.sum(), rel=0.01)


def cycle_s(room_j_per_k: float, band_k: float, load_w: float, sensible_w: float) -> float:
    """From one start to the next by the heat balance of the air alone: warmed by the load, cooled by what is left."""
    return room_j_per_k * band_k / load_w + room_j_per_k * band_k / (sensible_w - load_w)


def test_the_cycle_of_the_air_alone_is_the_closed_form() -> None:
    """Hardly any film and no leaks: what comes in is a constant heat, and a cycle is two straight lines."""
    box = Box(165e3, 1.2e6, 0.0, 1e-3, 1e-3)
    steps = 12 * STEPS_PER_HOUR
    work = Drive(hold(25, steps), hold(25, steps), hold(700, steps), hold(0, steps))
    found = thermostat_run(box, work, STEP_S, 25.5, 25.0, hold(2000.0, steps), Thermostat(25.0, 1.0))
    starts = np.array(found.switched_s[::2])
    assert np.diff(starts) == pytest.approx(cycle_s(165e3, 1.0, 700.0, 2000.0), rel=1e-5)
    whole = (found.switched_s[-1] - found.switched_s[0]) if len(found.switched_s) % 2 else found.switched_s[-2]
    assert found.on_share.sum() * STEP_S == pytest.approx(0.35 * whole, rel=0.05)


def test_it_does_not_run_while_it_is_switched_off() -> None:
    cold = np.where(np.arange(len(WORK.air_w)) // STEPS_PER_HOUR % 24 < 8, 0.0, 2600.0)
    found = thermostat_run(BOX, WORK, STEP_S, 24.0, 27.0, cold, SWITCH)
    assert np.all(found.on_share[cold == 0.0] == 0.0) and np.all(found.starts[cold == 0.0] == 0)
    adds_up(found, BOX, WORK, cold)
    assert found.run.air_c[cold == 0.0].max() > 25.6, "nothing holds it then"


@pytest.mark.parametrize("early_s", [9e-8, 3e-8, 0.0, -3e-8])
def test_switching_at_the_very_end_of_a_step_keeps_the_books(early_s: float) -> None:
    """The air reaches the band as near to the end of the first step as makes no difference."""
    work = Drive(hold(36, 6), hold(48, 6), hold(900, 6), hold(0, 6))
    ends = [float(free_run(BOX, work, 1.0 - early_s, air, 29.0).air_c[0]) for air in (25.0, 26.0)]
    start = 25.0 + (25.6 - ends[0]) / (ends[1] - ends[0])
    found = thermostat_run(BOX, work, 1.0, start, 29.0, hold(2600.0, 6), SWITCH)
    adds_up(found, BOX, work, hold(2600.0, 6), 1.0)
    assert found.switched_s == (pytest.approx(1.0, abs=2e-7),) and found.on_share[1:] == pytest.approx(1.0)


def test_a_box_that_passes_next_to_nothing_still_comes_to_an_end() -> None:
    """Where it would come to rest is so far off that the band is lost in the rounding."""
    box = Box(165e3, 1.2e6, 0.0, 1e-7, 1e-7)
    work = Drive(hold(25, 12), hold(25, 12), hold(700, 12), hold(0, 12))
    found = thermostat_run(box, work, STEP_S, 25.4, 25.0, hold(2000.0, 12), Thermostat(25.0, 1.0))
    assert np.diff(found.switched_s[::2]) == pytest.approx(cycle_s(165e3, 1.0, 700.0, 2000.0), rel=1e-4)


def test_the_busiest_hour_has_sixty_minutes(days: Cycles) -> None:
    often = Cycles(days.run, days.on_share, np.array([0.0, 1.0, 2.0, 1.0, 1.0, 3.0, 0.0]), ())
    assert often.starts_per_h(1800.0) == 4.0 and often.starts_per_h(1200.0) == 5.0 and often.starts_per_h(300.0) == 8.0
    assert Cycles(days.run, days.on_share, np.ones(288), ()).starts_per_h(300.0) == 12.0


def test_the_busiest_hour_needs_no_whole_hour_of_steps() -> None:
    work = drive(1)
    short = Drive(*(getattr(work, key)[:6] for key in Drive.__dataclass_fields__))
    found = thermostat_run(BOX, short, STEP_S, 26.0, 30.0, hold(9000.0, 6), Thermostat(25.0, 0.5))
    assert found.starts_per_h(STEP_S) == found.starts.sum() > found.starts.max() > 0


@pytest.mark.parametrize("band", [0.0, -1.0, float("nan")])
def test_a_thermostat_without_a_band_is_refused(band: float) -> None:
    with pytest.raises(ValueError, match="band"):
        Thermostat(25.0, band)


def test_a_thermostat_with_a_pause_below_zero_is_refused() -> None:
    with pytest.raises(ValueError, match="pause"):
        Thermostat(25.0, 1.0, -1.0)


def test_off_times_are_between_on_times(days: Cycles) -> None:
    assert all(later > earlier for earlier, later in pairwise(days.switched_s))
