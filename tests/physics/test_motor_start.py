"""A motor that starts: against an integrator, the name plate, the closed form of its first moment, and the power balance."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from trailerlib.physics.alternator import Source, inverter_set, pedestal, wound_set
from trailerlib.physics.motor import HAND_OVER_SLIPS, LEAST_SHARE, SLIP, Motor, induction_motor, standing_ohm
from trailerlib.physics.motor_start import Start, Way, seen_by_motor, start
from trailerlib.physics.starting import standing_v, start_dip_v

VOLTS, WATTS, FACTOR, LOCKED, SECONDS = 120.0, 1500.0, 0.97, 59.3, 0.3
STIFF, NO_WAY = pedestal(VOLTS, 0.0), Way(0j, 0j)
WAY = Way(0.12 + 0.011j, 0.09 + 0.004j, (1000 + 300 - 200j) / VOLTS**2)
SOFT_A = 1.8 * WATTS / FACTOR / VOLTS

SOURCES = {
    "stiff": STIFF,
    "pedestal": pedestal(118.0, 0.1),
    "wound 3.7 kW": wound_set(VOLTS, 3700.0, 0.04, 0.22, 0.35, 1.5),
    "wound 5.5 kW": wound_set(VOLTS, 5500.0, 0.04, 0.22, 0.35, 1.5),
    "inverter 5 kVA": inverter_set(VOLTS, 4000.0, 5000.0, 0.02, 3.0),
    "inverter 9 kVA": inverter_set(VOLTS, 8000.0, 9000.0, 0.02, 3.0),
}


def motor(soft: bool = False, **more: Any) -> Motor:
    return induction_motor(VOLTS, WATTS, FACTOR, LOCKED, SECONDS, soft_a=SOFT_A if soft else math.nan, **more)


# ── the name plate ───────────────────────────────────────────────────────────────────────────────────


def test_on_a_stiff_supply_it_is_the_name_plate() -> None:
    """Locked-rotor current at once, up to speed when it should be, then rated current and power."""
    found = start(motor(), STIFF, NO_WAY)
    assert abs(found.motor_a[0]) == pytest.approx(LOCKED, rel=1e-12)
    assert float(found.reached_s) == pytest.approx(SECONDS, rel=2e-3)
    assert abs(found.motor_a[-1]) == pytest.approx(WATTS / FACTOR / VOLTS, rel=1e-6)
    power = found.motor_v[-1] * np.conj(found.motor_a[-1])
    assert power.real == pytest.approx(WATTS, rel=1e-6) and power.real / abs(power) == pytest.approx(FACTOR, rel=1e-6)
    assert found.speed[-1] == pytest.approx(1 - SLIP, rel=1e-9)


@given(st.floats(3.2, 6.8), st.floats(0.78, 0.99), st.floats(100.0, 2500.0), st.sampled_from([115.0, 120.0, 230.0]))
@settings(max_examples=60, deadline=None)
def test_any_plate_of_the_trade_is_met_at_both_ends(multiple: float, factor: float, watts: float, volts: float) -> None:
    rated = watts / factor / volts
    made = induction_motor(volts, watts, factor, multiple * rated, 0.4)
    assert abs(made.admittance_s(0.0)) * volts == pytest.approx(multiple * rated, rel=1e-9)
    running = complex(made.admittance_s(1 - SLIP)) * volts**2
    assert running.real == pytest.approx(watts, rel=1e-9)
    assert -running.imag == pytest.approx(watts * math.sqrt(1 / factor**2 - 1), rel=1e-6, abs=1e-6 * watts)
    speeds = np.linspace(0, 1, 201)
    drawn = (made.admittance_s(speeds) * volts**2).real
    assert np.all(made.torque_w(speeds) <= drawn + 1e-9), "no more turns it than it draws"
    below = speeds[speeds < 0.99 * (1 - SLIP)]
    assert np.all(made.torque_w(below) > made.load_w(below)) and float(made.inertia_s) > 0, "it pulls through"


def test_no_induction_motor_draws_the_same_standing_and_running() -> None:
    for locked in (5.0, 12.0, 16.0, math.nan):
        with pytest.raises(ValueError, match="3 to 7 times"):
            induction_motor(VOLTS, WATTS, FACTOR, locked, SECONDS)


# ── against an integrator ────────────────────────────────────────────────────────────────────────────


def voltages(made: Motor, source: Source, way: Way, speed: float, inner: float) -> tuple[float, float]:
    """At the terminals and at the motor, by series and parallel [V]."""
    own = 1 / complex(made.admittance_s(speed)) + way.branch_ohm
    below = 1 / (way.others_s + 1 / own)
    whole = source.ohm + way.cord_ohm + below
    inner = min(inner, float(source.limit_a) * abs(whole))
    amps = inner / whole
    at_panel = amps * below
    return abs(inner - amps * source.ohm), abs(at_panel / own / complex(made.admittance_s(speed)))


def integrated(made: Motor, source: Source, way: Way) -> tuple[float, float]:
    """When it is up to speed [s] and its speed after two seconds [-], by solve_ivp."""
    regulated = math.isfinite(float(source.recovery_s))

    def slopes(_: float, state: Any) -> list[float]:
        speed, inner = state
        terminal, at_motor = voltages(made, source, way, speed, inner)
        net = float(made.torque_w(speed)) * (at_motor / VOLTS) ** 2 - float(made.load_w(speed))
        push = net / float(made.running_torque_w * made.inertia_s)
        top = inner >= float(source.ceiling * source.volts) and terminal < source.volts
        return [
            max(push, 0.0) if speed <= 0 else push,
            (float(source.volts) - terminal) / float(source.recovery_s) if regulated and not top else 0.0,
        ]

    def up_to_speed(_: float, state: Any) -> float:
        return float(state[0] - 0.9 * (1 - SLIP))

    inner = float(source.volts)
    if regulated and way.others_s:
        whole = source.ohm + way.cord_ohm + 1 / way.others_s
        inner /= abs(1 - source.ohm / whole)
    found = solve_ivp(
        slopes, (0, 2), [0.0, inner], rtol=1e-9, atol=1e-11, max_step=5e-3, events=up_to_speed, method="RK45"
    )
    times = found.t_events[0]
    return (float(times[0]) if len(times) else math.nan), float(found.y[0, -1])


@pytest.mark.parametrize("soft", [False, True], ids=["direct", "soft"])
@pytest.mark.parametrize("name", SOURCES)
def test_against_an_integrator(name: str, soft: bool) -> None:
    """0.1 %: second order in steps of 10 ms, torque by straight lines over 1 % of speed."""
    made, source = motor(soft), SOURCES[name]
    seconds, speed = integrated(made, source, WAY)
    found = start(made, source, WAY)
    assert float(found.reached_s) == pytest.approx(seconds, rel=1e-3, nan_ok=True)
    assert float(found.speed[-1]) == pytest.approx(speed, abs=5e-4)


def test_a_finer_step_changes_little() -> None:
    for source in SOURCES.values():
        coarse, fine = (start(motor(), source, WAY, steps=n) for n in (200, 3200))
        assert coarse.speed[-1] == pytest.approx(fine.speed[-1], abs=1e-4)
        assert float(coarse.reached_s) == pytest.approx(float(fine.reached_s), rel=5e-4, nan_ok=True)


# ── every moment ─────────────────────────────────────────────────────────────────────────────────────


@pytest.mark.parametrize("soft", [False, True], ids=["direct", "soft"])
@pytest.mark.parametrize("name", SOURCES)
def test_power_in_is_power_out_and_lost_at_every_moment(name: str, soft: bool) -> None:
    made, source = motor(soft), SOURCES[name]
    found = start(made, source, WAY)
    given = found.inner_v * np.conj(found.supply_a)
    lost = np.abs(found.supply_a) ** 2 * (source.ohm + WAY.cord_ohm)
    others = np.abs(found.panel_v) ** 2 * np.conj(WAY.others_s)
    branch = np.abs(found.motor_a) ** 2 * WAY.branch_ohm
    own = found.motor_v * np.conj(found.motor_a)
    assert given == pytest.approx(lost + others + branch + own, rel=1e-9)
    assert found.supply_v == pytest.approx(found.inner_v - found.supply_a * source.ohm, rel=1e-9)


@pytest.mark.parametrize("name", SOURCES)
def test_what_the_motor_draws_is_turning_and_heat(name: str) -> None:
    """Direct start: stator heat, rotor heat (slip's share of the air gap) and shaft are all of it."""
    made, found = motor(), start(motor(), SOURCES[name], WAY)
    own = (found.motor_v * np.conj(found.motor_a)).real
    branch_a = np.abs(found.motor_a + 1j * float(made.shunt_s) * found.motor_v)
    gap = made.torque_w(found.speed) * (np.abs(found.motor_v) / VOLTS) ** 2
    shaft, rotor = gap * found.speed, gap * (1 - found.speed)
    assert own == pytest.approx(shaft + rotor + branch_a**2 * float(made.stator_ohm), rel=1e-9)


@pytest.mark.parametrize("soft", [False, True], ids=["direct", "soft"])
@pytest.mark.parametrize("name", [n for n in SOURCES if n != "inverter 5 kVA"])
def test_the_first_moment_is_the_voltage_divider(name: str, soft: bool) -> None:
    made, source = motor(soft), SOURCES[name]
    found = start(made, source, WAY)
    own = complex(standing_ohm(VOLTS, LOCKED, SOFT_A if soft else math.nan))
    open_v, path = seen_by_motor(source, WAY)
    divided = standing_v(float(open_v), path.real, path.imag, own.real, own.imag)
    assert float(found.dip_v) == pytest.approx(float(divided), rel=1e-9)
    panel = 1 / (WAY.others_s + 1 / (own + WAY.branch_ohm))
    inner = float(found.inner_v[0])
    by_hand = abs(inner * panel / (panel + source.ohm + WAY.cord_ohm) * own / (own + WAY.branch_ohm))
    assert float(found.dip_v) == pytest.approx(by_hand, rel=1e-9)
    if math.isfinite(float(source.recovery_s)):
        rest = 1 / (source.ohm + WAY.cord_ohm + 1 / WAY.others_s)
        assert abs(inner * (1 - source.ohm * rest)) == pytest.approx(VOLTS, rel=1e-9), "held at its terminals before"


@given(st.floats(0.0, 2.0), st.floats(0.0, 2.0), st.floats(5.0, 80.0))
def test_the_divider_and_the_hand_formula_agree_where_all_is_in_phase(inside: float, way: float, amps: float) -> None:
    left = standing_v(VOLTS, inside + way, 0.0, VOLTS / amps, 0.0)
    assert VOLTS - left == pytest.approx(float(start_dip_v(VOLTS, inside, way, amps)), abs=1e-9)


# ── low voltage ──────────────────────────────────────────────────────────────────────────────────────


def at_share(share: float, soft: bool = False) -> Start:
    return start(motor(soft), pedestal(share * VOLTS, 0.0), NO_WAY, shown_s=20.0, steps=4000)


@given(st.floats(0.87, 1.1), st.floats(0.005, 0.1), st.booleans())
@settings(max_examples=30, deadline=None)
def test_a_lower_voltage_is_slower(share: float, less: float, soft: bool) -> None:
    high, low = at_share(share, soft), at_share(max(share - less, 0.86), soft)
    assert float(low.reached_s) >= float(high.reached_s) - 1e-9


@pytest.mark.parametrize("soft", [False, True], ids=["direct", "soft"])
def test_below_the_pull_up_torque_it_stalls_and_goes_on_drawing(soft: bool) -> None:
    assert at_share(LEAST_SHARE + 0.005, soft).starts
    below = at_share(LEAST_SHARE - 0.005, soft)
    assert not below.starts and below.speed.max() == 0.0
    locked = (SOFT_A if soft else LOCKED) * (LEAST_SHARE - 0.005)
    assert np.abs(below.motor_a) == pytest.approx(locked, rel=1e-9)


def test_a_soft_starter_draws_less_for_longer() -> None:
    direct, soft = (start(motor(s), STIFF, NO_WAY) for s in (False, True))
    assert np.abs(soft.motor_a).max() == pytest.approx(SOFT_A, rel=0.05) and SOFT_A < 0.4 * LOCKED
    assert 1.3 * float(direct.reached_s) < float(soft.reached_s) < 4 * float(direct.reached_s)
    assert abs(soft.motor_a[-1]) == pytest.approx(abs(direct.motor_a[-1]), rel=1e-6)
    assert HAND_OVER_SLIPS > 1


# ── the sets ─────────────────────────────────────────────────────────────────────────────────────────


def test_a_regulator_brings_the_terminals_back() -> None:
    found = start(motor(), SOURCES["wound 5.5 kW"], WAY, shown_s=8.0, steps=1600)
    assert abs(found.supply_v[0]) < 0.9 * VOLTS
    assert abs(found.supply_v[-1]) == pytest.approx(VOLTS, rel=1e-4)  # straight lines over 1 % of speed
    assert np.abs(found.supply_v).max() > VOLTS, "it overshoots when the current falls away"
    assert found.inner_v.max() <= 1.5 * VOLTS + 1e-9


def test_an_inverter_never_gives_more_than_its_surge_and_then_switches_off() -> None:
    limit = 3200.0 / VOLTS
    found = start(motor(), inverter_set(VOLTS, 2800.0, 3200.0, 0.02, 1.0), WAY)
    amps = np.abs(found.supply_a)
    assert amps.max() <= limit * (1 + 2e-4) and amps[10] == pytest.approx(limit, rel=2e-4)
    assert float(found.off_s) == pytest.approx(1.0, abs=0.03) and not found.starts
    assert np.all(amps[found.time_s > 1.05] == 0) and np.all(np.abs(found.motor_v[found.time_s > 1.05]) == 0)
    assert np.isnan(start(motor(), STIFF, NO_WAY).off_s)


def test_a_short_overload_is_borne() -> None:
    found = start(motor(), SOURCES["inverter 9 kVA"], WAY)
    assert np.isnan(found.off_s) and found.starts


def test_variants_are_as_if_alone() -> None:
    locked, source = np.array([50.0, 59.3, 65.0]), pedestal(np.array([[118.0], [122.0]]), np.array([[0.05], [0.2]]))
    made = induction_motor(VOLTS, WATTS, FACTOR, locked, SECONDS, soft_a=np.array([math.nan, math.nan, SOFT_A]))
    together = start(made, source, WAY)
    assert together.speed.shape == (201, 2, 3) and together.reached_s.shape == (2, 3)
    for row, (volts, ohm) in enumerate([(118.0, 0.05), (122.0, 0.2)]):
        for at, amps in enumerate(locked):
            soft = SOFT_A if at == 2 else math.nan
            one = induction_motor(VOLTS, WATTS, FACTOR, float(amps), SECONDS, soft_a=soft)
            alone = start(one, pedestal(volts, ohm), WAY)
            assert together.motor_v[:, row, at] == pytest.approx(alone.motor_v, rel=1e-9)
            assert together.reached_s[row, at] == pytest.approx(float(alone.reached_s), rel=1e-9, nan_ok=True)
            assert together.before_v[row, at] == pytest.approx(float(alone.before_v), rel=1e-9)
