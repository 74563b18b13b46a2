"""Charging: constant current, then a tail; what the shop's hand check makes of it; what the charger draws."""

from __future__ import annotations

import math

import numpy as np
import pytest
from banks import bank
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from trailerlib.physics.battery_week import Loads, Sources, hours_to_full, march
from trailerlib.physics.charging import acceptance_a, charger_input_va, charger_input_w, full_hours

CHEMISTRIES = ["flooded", "agm", "gel", "lfp"]


def independent_charge(
    chemistry: str, amps: float, start: float, hours: np.ndarray, temperature_c: float = 25.0
) -> np.ndarray:
    """Charge [-] by a general solver: current the lesser of what is sent and what the voltage lets in."""
    made = bank(chemistry)
    _, _, takes = made.at(temperature_c)
    tau, eta = float(made.tau_h), float(made.efficiency)
    most = min(amps, float(made.rate_per_h) * 100.0 * float(takes))

    def slope(_: float, share: np.ndarray) -> list[float]:
        return [eta * min(most, float(takes) * (1.0 - share[0]) * 100.0 / (eta * tau)) / 100.0]

    return solve_ivp(slope, (0.0, hours[-1]), [start], t_eval=hours, rtol=1e-10, atol=1e-12, max_step=0.01).y[0]


@pytest.mark.parametrize("chemistry", CHEMISTRIES)
@pytest.mark.parametrize(("amps", "start"), [(10.0, 0.2), (19.0, 0.5), (45.0, 0.05)])
def test_charge_curve_against_a_general_solver(chemistry: str, amps: float, start: float) -> None:
    """0.1 % of the capacity asked; the march lays constant current and tail end to end without error."""
    steps = np.full(240, 1 / 12)
    week = march(bank(chemistry), steps, 25.0, Loads(), Sources(charger_a=amps), start)
    theirs = independent_charge(chemistry, amps, start, np.arange(241) / 12)
    assert week.charge == pytest.approx(theirs, abs=1e-6)


def test_a_charge_beside_loads_against_a_general_solver() -> None:
    """Constant power beside a charger: the current left over follows the voltage; full to 0.1 % of the capacity."""
    made = bank("flooded")
    siemens_at = lambda s: (1.0 - s) * 100.0 / (0.85 * 1.5) / (14.4 - np.interp(s, made.ocv_share, made.ocv_v))  # noqa: E731

    def slope(_: float, share: np.ndarray) -> list[float]:
        rest, siemens = float(np.interp(share[0], made.ocv_share, made.ocv_v)), siemens_at(share[0])
        emf, path = rest + 15.0 / siemens, 1.0 / siemens
        volts = min(14.4, (emf + math.sqrt(emf**2 - 4 * path * 60.0)) / 2.0)
        return [0.85 * (volts - rest) * siemens / 100.0]

    hours = np.arange(241) / 12
    theirs = solve_ivp(slope, (0.0, 20.0), [0.3], t_eval=hours, rtol=1e-9, atol=1e-11, max_step=0.01).y[0]
    ours = march(made, np.full(240, 1 / 12), 25.0, Loads(np.full((1, 240), 60.0)), Sources(charger_a=15.0), 0.3)
    assert ours.charge == pytest.approx(theirs, abs=1e-3)
    assert np.abs(ours.charge - theirs).max() < 5e-4


@pytest.mark.parametrize("chemistry", CHEMISTRIES)
@given(amps=st.floats(3.0, 19.9), start=st.floats(0.0, 0.97))
def test_the_closed_form_says_when_the_march_is_full(chemistry: str, amps: float, start: float) -> None:
    made = bank(chemistry)
    by_hand = full_hours((1 - start) * 100.0, amps, made.efficiency, made.tau_h, 2.0)
    assert hours_to_full(made, Sources(charger_a=amps), start) == pytest.approx(float(by_hand), abs=1e-6)


def test_sources_together_are_sooner_than_each_and_never_sooner_than_the_sum() -> None:
    made = bank("agm")
    alone = [
        float(hours_to_full(made, s, 0.4))
        for s in (Sources(charger_a=8.0), Sources(solar_w=120.0), Sources(converter_a=5.0))
    ]
    both = float(hours_to_full(made, Sources(charger_a=8.0, solar_w=120.0, converter_a=5.0), 0.4))
    assert both < min(alone)
    bulk = 60.0 / 0.95
    assert both > bulk / (8.0 + 5.0 + 120.0 / 12.2)


def test_a_plain_tow_wire_never_finishes_a_charge() -> None:
    towed = Sources(tow_v=13.4, tow_ohm=0.1)
    assert hours_to_full(bank("flooded"), towed, 0.5, limit_h=24.0) == math.inf
    week = march(bank("flooded"), np.full(288, 1 / 12), 25.0, Loads(), towed, 0.5)
    assert 0.6 < week.last < 1.0 and week.bus_v.max() <= 13.4


def test_lithium_below_freezing_takes_nothing_from_any_source() -> None:
    steps = np.full(288, 1 / 12)
    many = Sources(charger_a=20.0, solar_w=200.0, solar_a=4.0, converter_a=10.0, tow_v=14.2, tow_ohm=0.05)
    for temperature in (-0.01, -15.0):
        cold = march(bank("lfp"), steps, temperature, Loads(), many, 0.5)
        assert (cold.current_a == 0.0).all() and cold.last == 0.5 and cold.charge.max() == 0.5
        carried = march(bank("lfp"), steps, temperature, Loads(np.full((1, 288), 50.0)), many, 0.5)
        assert (carried.current_a >= -1e-9).all() and carried.last == pytest.approx(0.5, abs=1e-9)
        assert carried.flows_wh["loads"] == pytest.approx(50.0 * 24.0)
    assert march(bank("lfp"), steps, 0.0, Loads(), many, 0.5).last > 0.9


@pytest.mark.parametrize("chemistry", CHEMISTRIES)
def test_the_cold_and_the_rate_limit_hold_a_charge_back(chemistry: str) -> None:
    steps, made = np.full(24, 1 / 12), bank(chemistry)
    currents = [-march(made, steps, t, Loads(), Sources(charger_a=300.0), 0.2).current_a for t in (25.0, 10.0, 1.0)]
    assert currents[0].max() <= float(made.rate_per_h) * 100.0 + 1e-9
    assert currents[0].sum() > currents[1].sum() > currents[2].sum() > 0.0


def test_absorption_then_float_then_absorption_again() -> None:
    day = np.arange(576) / 12 % 24
    sources = Sources(charger_a=np.where(day < 20, 20.0, 0.0), float_v=13.5)
    week = march(bank("agm"), np.full(576, 1 / 12), 25.0, Loads(np.full((1, 576), 20.0)), sources, 0.5)
    assert float(week.full_h) == pytest.approx(7.0, abs=3.0)
    after = int(float(week.full_h) * 12) + 2
    assert week.bus_v[after : 20 * 12] == pytest.approx(13.5) and week.bus_v[: after - 4].max() == pytest.approx(14.6)
    assert week.bus_v[24 * 12 : 26 * 12].max() > 14.5


def test_absorption_ends_when_its_time_is_up() -> None:
    sources = Sources(charger_a=20.0, float_v=13.5, absorption_limit_h=1.0)
    week = march(bank("agm"), np.full(120, 1 / 12), 25.0, Loads(), sources, 0.5)
    held = (week.bus_v > 14.6 - 1e-9).sum()
    assert held in (11, 12, 13)
    longer = march(bank("agm"), np.full(120, 1 / 12), 25.0, Loads(), Sources(charger_a=20.0), 0.5)
    assert week.last < longer.last and week.bus_v[-1] == 13.5


def test_what_the_charger_draws() -> None:
    week = march(bank("agm"), np.full(24, 1 / 12), 25.0, Loads(), Sources(charger_a=20.0), 0.3)
    drawn = charger_input_w(-week.current_a, week.bus_v, 0.85)
    assert drawn == pytest.approx(week.flows_w["charger"] / 0.85)
    assert charger_input_va(drawn, 0.7) == pytest.approx(drawn / 0.7)


def test_acceptance_is_what_the_tail_needs() -> None:
    assert acceptance_a(10.0, 0.85, 1.5, 1.0) == pytest.approx(7.843137)
    assert acceptance_a(10.0, 0.85, 1.5, 0.0) == 0.0
