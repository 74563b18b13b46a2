"""The steps of a start one by one, on tables that can be seen through: straight lines of drive and brake over speed."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from trailerlib.physics.alternator import Source, pedestal
from trailerlib.physics.motor import Motor
from trailerlib.physics.motor_start import (
    Way,
    _crossing,
    _inner_before,
    _regulated,
    _walk,
    column,
    seen_by_motor,
    start,
)

CELLS, SPEED = 100, np.linspace(0.0, 1.0, 101)
FREE = {"inner": 10.0, "volts": 10.0, "limit_a": math.inf, "hold_s": 0.35, "recovery_s": math.inf, "top_v": 15.0}


def walked(drive: Any, brake: Any = 0.0, terminal: Any = 1.0, whole: Any = 4.0, **given: float) -> Any:
    """Eleven moments, a tenth of a second apart."""
    rows = [
        np.broadcast_to(np.asarray(row, dtype=float), (CELLS + 1,)).tolist() for row in (drive, brake, terminal, whole)
    ]
    speeds, held, off = _walk(np.linspace(0.0, 1.0, 11), *rows, **{**FREE, **given})
    return np.array(speeds), np.array(held), off


TIME = np.linspace(0.0, 1.0, 11)


def test_a_steady_drive_is_a_straight_line() -> None:
    """0.005 for a volt squared at 10 V: 0.5 in a second, less the brake."""
    speeds, held, off = walked(0.005)
    assert speeds == pytest.approx(0.5 * TIME) and held == pytest.approx(10.0) and math.isnan(off)
    assert walked(0.005, 0.2)[0] == pytest.approx(0.3 * TIME)


def test_it_turns_neither_backwards_nor_beyond_synchronous_speed() -> None:
    assert walked(0.005, 0.7)[0] == pytest.approx(0.0, abs=1e-15)
    assert walked(0.02)[0] == pytest.approx(np.minimum(2.0 * TIME, 1.0))


def test_a_brake_that_grows_with_speed_is_an_exponential() -> None:
    """d speed / dt = 0.5 - 2 speed: 0.25 (1 - e^-2t); drive that grows, 0.1 + 0.5 speed: 0.2 (e^t/2 - 1)."""
    assert walked(0.005, 2.0 * SPEED)[0] == pytest.approx(0.25 * (1.0 - np.exp(-2.0 * TIME)))
    assert walked(0.001 + 0.005 * SPEED)[0] == pytest.approx(0.2 * np.expm1(0.5 * TIME))


def test_what_limits_its_current_drives_with_what_is_left_and_then_goes_off() -> None:
    """2 A into 4 ohm are 8 V: 0.32 in a second. More than 0.35 s of it: off at 0.4 s; from then on it only slows down."""
    speeds, held, off = walked(0.005, limit_a=2.0)
    assert off == pytest.approx(0.4)
    assert speeds == pytest.approx(np.minimum(0.32 * TIME, 0.096))
    assert held == pytest.approx(np.where(TIME < 0.35, 8.0, 0.0))
    slowing = walked(0.005, 0.02, limit_a=2.0)[0]
    assert slowing == pytest.approx(np.where(TIME < 0.35, 0.3 * TIME, 0.09 - 0.02 * (TIME - 0.3)))


def test_what_is_borne_for_long_enough_never_goes_off() -> None:
    speeds, held, off = walked(0.005, limit_a=2.0, hold_s=1.05)
    assert math.isnan(off) and speeds == pytest.approx(0.32 * TIME) and held == pytest.approx(8.0)
    assert math.isnan(walked(0.005, limit_a=2.6)[2]), "10.4 V: nothing is limited"


def test_a_limit_ends_where_what_is_met_has_grown() -> None:
    """1 A into 8 ohm and 8 more a tenth of speed: limited below a speed of 0.025 alone, where 1 A is 10 V."""
    speeds, held, off = walked(0.005, whole=8.0 + 80.0 * SPEED, limit_a=1.0)
    assert math.isnan(off) and held[0] == pytest.approx(8.0) and held[1:] == pytest.approx(10.0)
    assert 0.5 * 0.64 * 0.1 < speeds[1] < 0.5 * 0.1 and np.diff(speeds)[1:] == pytest.approx(0.05)


def test_between_two_rows_of_the_table_the_lesser_line_counts() -> None:
    """Begun at rest: drive falls from 0.01 to nothing over all speeds, 1 - speed in a second at 10 V, without a limit;
    behind 9 V it is 0.81 of that at every speed."""
    falling = 0.01 * (1.0 - SPEED)
    assert walked(falling)[0] == pytest.approx(1.0 - np.exp(-TIME))
    assert walked(falling, limit_a=2.25, hold_s=9.0)[0] == pytest.approx(1.0 - np.exp(-0.81 * TIME))
    assert walked(falling, limit_a=2.75, hold_s=0.0)[0] == pytest.approx(1.0 - np.exp(-TIME))


def test_a_regulator_closes_the_gap_at_the_terminals() -> None:
    """A volt inside is 0.8 at the terminals: it goes from 10 towards 12.5 V, in 0.5 s by 1 - 1/e^0.8; 11.5 V is its top."""
    held = walked(0.0, terminal=0.8, recovery_s=0.5)[1]
    assert held == pytest.approx(12.5 - 2.5 * np.exp(-0.8 * TIME / 0.5))
    assert walked(0.0, terminal=0.8, recovery_s=0.5, top_v=11.5)[1] == pytest.approx(np.minimum(held, 11.5))
    assert walked(0.0, terminal=1.25, recovery_s=0.5)[1] == pytest.approx(8.0 + 2.0 * np.exp(-1.25 * TIME / 0.5))
    assert _regulated(10.0, 12.0, 0.0, 15.0) == 10.0 and _regulated(10.0, 12.0, 50.0, 11.0) == 11.0


def test_a_regulator_that_has_switched_off_stays_off() -> None:
    speeds, held, off = walked(0.005, limit_a=2.0, recovery_s=0.5)
    assert off == pytest.approx(0.4) and held == pytest.approx(np.where(TIME < 0.35, 8.0, 0.0))
    assert speeds[4:] == pytest.approx(0.096)


def test_half_a_step_before_and_half_after() -> None:
    """The drive of a step is that of the voltage in its middle: by hand for the first step."""
    speeds, held, _ = walked(0.005, terminal=0.8, recovery_s=0.5)
    middle = 12.5 - 2.5 * math.exp(-0.8 * 0.05 / 0.5)
    assert speeds[1] == pytest.approx(0.1 * 0.005 * middle**2) and held[1] == pytest.approx(
        12.5 - 2.5 * math.exp(-0.16)
    )


def test_the_moment_it_is_up_to_speed() -> None:
    time, speed = np.array([0.0, 1.0, 3.0, 4.0]), np.array([0.0, 0.4, 0.8, 0.8])
    assert _crossing(time, speed, 0.6) == pytest.approx(2.0) and _crossing(time, speed, 0.4) == pytest.approx(1.0)
    assert math.isnan(_crossing(time, speed, 0.81)) and math.isnan(_crossing(time, speed, 0.0))
    assert _crossing(time, speed, 0.8) == pytest.approx(3.0)


def test_what_belongs_to_a_variant() -> None:
    assert column(3.0, 4, 2) == 3.0 and column(np.array([1.0, 2.0, 3.0]), 3, 2) == 3.0
    rows = np.array([[1.0, 2.0], [3.0, 4.0]])
    assert column(rows, 2, 1) == [2.0, 4.0] and column(rows[:, :1], 2, 1) == [1.0, 3.0] and column([7.0], 2, 1) == 7.0


def regulated(**changes: Any) -> Source:
    made: dict[str, Any] = {**vars(pedestal(120.0, 1.0)), "recovery_s": 0.3, "ceiling": 1.5, **changes}
    return Source(**made)


def test_what_a_set_holds_inside_before_the_start_by_hand() -> None:
    """1 ohm inside, 1 ohm of cord, 10 ohm of others: 12 ohm, 11 of them at the terminals: 120 V there are 130.9 inside."""
    way = Way(1.0, 0.5, 0.1)
    assert float(np.ravel(_inner_before(regulated(), way))[0]) == pytest.approx(120.0 * 12 / 11)
    assert float(np.ravel(_inner_before(regulated(ceiling=1.05), way))[0]) == pytest.approx(126.0)
    assert float(np.ravel(_inner_before(regulated(recovery_s=math.inf), way))[0]) == pytest.approx(120.0)


@pytest.mark.parametrize(("source", "inner"), [(pedestal(120.0, 1.0), 120.0), (regulated(), 120.0 * 12 / 11)])
def test_what_a_motor_meets_by_hand(source: Source, inner: float) -> None:
    """Open: 10 of 12 ohm. Inwards: 0.5 ohm of branch, then 2 ohm beside 10."""
    volts, ohm = seen_by_motor(source, Way(1.0, 0.5, 0.1))
    assert float(volts) == pytest.approx(inner * 10 / 12) and complex(ohm) == pytest.approx(0.5 + 2 * 10 / 12)


def test_the_voltages_of_the_first_moment_by_hand() -> None:
    """A motor of 1.5 + 2j ohm standing, 0.5 ohm of branch: 2 + 2j beside 10 ohm, behind 1 + 1 ohm."""
    made = Motor(120.0, 1.0, 0.5, 2.0, 0.0, 0.05, 0.4, 0.2, math.nan, 0.85)
    found = start(made, pedestal(120.0, 1.0), Way(1.0, 0.5, 0.1), shown_s=0.5, steps=5)
    below = 1 / (0.1 + 1 / (2 + 2j))
    amps = 120.0 / (2 + below)
    at_motor = amps * below / (2 + 2j)
    assert found.time_s == pytest.approx([0.0, 0.1, 0.2, 0.3, 0.4, 0.5])
    assert found.supply_a[0] == pytest.approx(amps) and found.supply_v[0] == pytest.approx(120.0 - amps)
    assert found.panel_v[0] == pytest.approx(amps * below) and found.motor_a[0] == pytest.approx(at_motor)
    assert found.motor_v[0] == pytest.approx(at_motor * (1.5 + 2j))
    assert found.before_v == pytest.approx(100.0) and float(found.dip_v) == pytest.approx(abs(at_motor) * 2.5)
    assert float(found.lowest_v) == pytest.approx(np.abs(found.motor_v).min()) and found.speed.shape == (6,)


def test_the_lowest_voltage_is_that_of_each_variant() -> None:
    """Two pedestals and three branches: each as if alone, the lowest over the time and not over the others."""
    made = Motor(120.0, 1.0, 0.5, 2.0, 0.0, 0.05, 0.4, 0.2, math.nan, 0.85)
    volts, branch = np.array([[100.0], [120.0]]), np.array([0.1, 0.3, 0.5])
    found = start(made, pedestal(volts, 1.0), Way(0.2, branch, 0.1), shown_s=0.5, steps=5)
    assert found.lowest_v.shape == (2, 3) == found.dip_v.shape
    for row, place in np.ndindex(2, 3):
        alone = start(made, pedestal(float(volts[row, 0]), 1.0), Way(0.2, float(branch[place]), 0.1), 0.5, 5)
        assert found.lowest_v[row, place] == pytest.approx(float(alone.lowest_v))
        assert found.dip_v[row, place] == pytest.approx(float(alone.dip_v))


def test_what_a_limit_leaves_between_two_rows_of_the_table() -> None:
    """0.4 A into 20 ohm at rest and 20 more for a unit of speed: 8 V, and in proportion after."""
    speeds, held, off = walked(0.0005, whole=20.0 * (1.0 + SPEED), limit_a=0.4, hold_s=9.0)
    assert math.isnan(off) and held == pytest.approx(8.0 * (1.0 + speeds), rel=1e-12)
    assert 0.0 < speeds[1] < 0.005 and np.all(np.diff(held) > 0.0)
