"""A week with a battery: nothing from nothing, never over full, never under empty, and what is cut off when."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from banks import bank
from scipy.integrate import solve_ivp

from trailerlib.physics.battery import peukert_drain_a
from trailerlib.physics.battery_bank import Bank, Curve
from trailerlib.physics.battery_week import FLOWS, Guards, Loads, Pad, Sources, Week, march

STEPS = 2016
STEP_H = np.full(STEPS, 1 / 12)
CLOCK = np.arange(STEPS) / 12
CHEMISTRIES = ("flooded", "agm", "gel", "lfp")


def random_week(seed: int) -> dict[str, Any]:
    """Everything a week can hold, drawn at random: loads of three kinds in two groups, all sources, weather, cut-offs."""
    rng = np.random.default_rng(seed)
    day = CLOCK % 24
    on = np.repeat(rng.random((2, 168)) < 0.5, 12, axis=1)
    sun = np.maximum(0.0, np.sin((day - 6) / 12 * np.pi)) * rng.uniform(0.2, 1.0, 7).repeat(288)
    parked = np.repeat(rng.random(42) < 0.3, 48)
    return {
        "bank": bank(CHEMISTRIES[seed % 4], float(rng.uniform(60, 300)), age=float(rng.uniform(0.6, 1.0)),
                     self_discharge_per_h=float(rng.uniform(0, 1e-4))),
        "temperature_c": rng.uniform(-25, 30) + rng.uniform(0, 10) * np.sin((day - 9) / 12 * np.pi),
        "loads": Loads(on * rng.uniform(5, 120, (2, 1)), on[::-1] * rng.uniform(0, 0.4), on * rng.uniform(0, 2),
                       np.array([0.0, rng.choice([0.0, 11.2, 11.8])]), 0.6),
        "sources": Sources(parked * rng.uniform(0, 40), sun * rng.uniform(0, 400), sun * rng.uniform(0, 8),
                           ~parked * rng.choice([0.0, 12.0]), np.where(parked[::-1], rng.choice([0.0, 13.6, 14.4]), 0.0),
                           rng.uniform(0.02, 0.3), 25.0, None, float(rng.choice([13.3, 13.6]))),
        "start": float(rng.uniform(0.05, 1.0)),
        "guards": Guards(float(rng.choice([0.0, 10.5]))),
        "pad": Pad(60.0, 5.0, 1.5, 3e4) if seed % 3 == 0 else None,
    }  # fmt: skip


def marched(given: dict[str, Any], **changes: Any) -> Week:
    merged = {**given, **changes}
    return march(merged.pop("bank"), STEP_H, merged.pop("temperature_c"), merged.pop("loads"), **merged)


@pytest.mark.parametrize("seed", range(100))
def test_a_random_week_makes_nothing_from_nothing(seed: int) -> None:
    given = random_week(seed)
    week, made = marched(given), given["bank"]
    turned = sum(float(week.flows_wh[name]) for name in FLOWS[:4]) + float(week.flows_wh["loads"])
    assert abs(float(week.imbalance_wh)) < 1e-9 * turned
    assert week.charge.min() >= 0.0 and week.charge.max() <= 1.0
    assert week.stored_ah.max() <= float(made.capacity_ah) * (1 + 1e-12)
    for name in FLOWS:
        assert week.flows_w[name].min() >= -1e-6, name
    sent = sum(np.where(week.current_a < 0.0, -week.current_a, 0.0) * STEP_H)
    gained = week.stored_ah[-1] - (made.capacity_ah * (1 - week_factor(made, given) * (1 - given["start"])))
    assert gained <= float(made.efficiency) * sent + 1e-9


def week_factor(made: Bank, given: dict[str, Any]) -> float:
    return float(made.at(given["temperature_c"][0])[0])


@pytest.mark.parametrize("seed", range(100))
def test_no_source_gives_more_than_it_has(seed: int) -> None:
    given = random_week(seed)
    week, sources = marched(given), given["sources"]
    volts = week.bus_v + 0.5 * (week.bus_v.max() - week.bus_v.min())  # mean over parts of a step: generous upwards
    assert (week.flows_w["charger"] <= sources.charger_a * volts + 1e-6).all()
    assert (week.flows_w["solar"] <= sources.solar_w + sources.solar_a * volts + 1e-6).all()
    assert (
        week.flows_w["tow"]
        <= np.asarray(sources.tow_v) * np.minimum(np.asarray(sources.tow_v) / sources.tow_ohm, 25.0) + 1e-6
    ).all()
    assert (week.flows_w["tow"][np.asarray(sources.tow_v) == 0.0] == 0.0).all()


@pytest.mark.parametrize("seed", range(0, 100, 5))
def test_the_balance_is_not_arranged(seed: int) -> None:
    """Charge counted anew from currents alone, heat anew from I²R: both agree where no source is at work."""
    given = random_week(seed)
    made = replace(given["bank"], self_discharge_per_h=0.0)
    week = marched(given, bank=made, sources=None, pad=None, guards=Guards(), start=1.0)
    until = int(np.argmax(week.charge < 1e-6)) - 1 if (week.charge < 1e-6).any() else STEPS
    current = week.current_a[:until]
    drain = peukert_drain_a(current, made.rated_ah, made.hour_rate_h, made.exponent)
    assert week.stored_ah[:until] == pytest.approx(
        float(made.capacity_ah) - np.cumsum(drain * STEP_H[:until]), abs=1e-8
    )
    ohm = made.at(given["temperature_c"])[1][:until]
    assert week.flows_w["heat"][:until] == pytest.approx(current**2 * ohm, abs=1e-7)


def test_a_varying_discharge_against_a_general_solver() -> None:
    """Constant power, resistance and current together, changing every hour, 24 h: 0.1 % asked."""
    made, steps = bank("flooded", 150.0), 288
    hour = np.arange(steps) // 12
    watts, siemens, amps = 20.0 + 90.0 * (hour % 3 == 0), 0.1 * (hour % 2), 2.0 * (hour % 5 == 1)
    ohm = float(made.at(25.0)[1])

    def slope(_: float, share: np.ndarray, k: int) -> list[float]:
        emf = float(np.interp(share[0], made.ocv_share, made.ocv_v)) - amps[k] * ohm
        lean = 1.0 + siemens[k] * ohm
        volts = (emf + np.sqrt(emf**2 - 4 * ohm * watts[k] * lean)) / (2 * lean)
        drawn = watts[k] / volts + siemens[k] * volts + amps[k]
        return [-drawn * max(1.0, drawn * 20.0 / 150.0) ** (float(made.exponent) - 1.0) / 150.0]

    theirs = [1.0]
    for k in range(0, steps, 12):
        theirs += (
            solve_ivp(slope, (0.0, 1.0), [theirs[-1]], args=(k,), t_eval=np.arange(1, 13) / 12, rtol=1e-10, atol=1e-12)
            .y[0]
            .tolist()
        )
    ours = march(made, np.full(steps, 1 / 12), 25.0, Loads(watts[None], siemens[None], amps[None]))
    assert 0.1 < ours.last < 0.3
    assert ours.charge == pytest.approx(np.array(theirs), abs=2e-6)


@pytest.mark.parametrize("seed", range(12))
def test_many_banks_side_by_side_are_each_what_they_are_alone(seed: int) -> None:
    given = random_week(seed)
    sizes = np.array([0.4, 1.0, 2.5]) * float(given["bank"].rated_ah)
    together = marched(given, bank=replace(given["bank"], rated_ah=sizes))
    lean = marched(given, bank=replace(given["bank"], rated_ah=sizes), curves=False)
    for at, size in enumerate(sizes):
        alone = marched(given, bank=replace(given["bank"], rated_ah=float(size)))
        assert together.charge[:, at] == pytest.approx(alone.charge, abs=1e-9)
        assert together.unmet_wh[:, at] == pytest.approx(alone.unmet_wh, abs=1e-6)
        for name in FLOWS:
            assert together.flows_wh[name][at] == pytest.approx(float(alone.flows_wh[name]), abs=1e-6)
            assert lean.flows_wh[name][at] == pytest.approx(float(alone.flows_wh[name]), abs=1e-6)
        assert np.array([lean.lowest[at], lean.last[at], lean.full_h[at]]) == pytest.approx(
            np.array([float(alone.lowest), float(alone.last), float(alone.full_h)]), abs=1e-9, nan_ok=True
        )


def lasting_h(made: Bank, temperature_c: float, watts: np.ndarray, amps: np.ndarray) -> float:
    """Hours until it is empty, on loads of constant power and current, without sources; a week when it never is."""
    week = march(made, STEP_H, temperature_c, Loads(watts[None], 0.0, amps[None]))
    return float(week.cut_h[0]) if np.isfinite(week.cut_h[0]) else 168.0


@pytest.mark.parametrize("seed", range(100))
def test_colder_is_never_longer_and_bigger_never_shorter(seed: int) -> None:
    """Holds for constant power and constant current from a full bank without sources or cut-offs of single loads."""
    rng = np.random.default_rng(1000 + seed)
    on = np.repeat(rng.random(168) < 0.6, 12)
    watts, amps = on * rng.uniform(5, 150), on * rng.uniform(0, 5)
    made = bank(CHEMISTRIES[seed % 4], float(rng.uniform(60, 250)))
    cold, warm = sorted(rng.uniform(-20, 40, 2))
    assert lasting_h(made, cold, watts, amps) <= lasting_h(made, warm, watts, amps) + 1e-9
    bigger = bank(CHEMISTRIES[seed % 4], float(made.rated_ah) * rng.uniform(1.05, 2.0))
    assert lasting_h(bigger, warm, watts, amps) >= lasting_h(made, warm, watts, amps) - 1e-9


def test_where_colder_is_longer_for_a_reason() -> None:
    """A resistive load takes less at the lower voltage: with the capacity held, a cold bank feeds it longer."""
    warm = replace(bank("flooded", 100.0), capacity_factor=np.ones(len(bank("flooded").at_c)))
    loads = Loads(0.0, np.full((1, STEPS), 0.8))
    hours = [float(march(warm, STEP_H, t, loads).cut_h[0]) for t in (-20.0, 25.0)]
    assert hours[0] > hours[1]


def test_a_load_that_is_cut_off_lets_the_others_last_longer() -> None:
    """So a bank with a fussy load can outlast, for the rest, one whose loads stay on."""
    watts = np.full((2, STEPS), 20.0)
    plain = march(bank("flooded"), STEP_H, 25.0, Loads(watts))
    fussy = march(bank("flooded"), STEP_H, 25.0, Loads(watts, cut_off_v=np.array([0.0, 12.1]), hysteresis_v=2.0))
    assert fussy.cut_h[1] < plain.cut_h[0] < fussy.cut_h[0]
    assert fussy.unmet_wh[1] == pytest.approx(20.0 * fussy.off_h[1])
    assert fussy.off_h[1] == pytest.approx(168.0 - fussy.cut_h[1])


def test_the_fussiest_goes_first_and_comes_back_last() -> None:
    watts = np.zeros((2, STEPS))
    watts[0], watts[1] = 30.0, 60.0
    sources = Sources(charger_a=np.where(CLOCK > 60.0, 30.0, 0.0))
    week = march(bank("agm"), STEP_H, 25.0, Loads(watts, cut_off_v=np.array([11.9, 12.2]), hysteresis_v=0.8), sources)
    assert week.cut_h[1] < week.cut_h[0] < 60.0
    assert week.off_h[0] > 0.0 and week.flows_w["loads"][-1] == pytest.approx(90.0)
    before = round(float(week.cut_h[1]) * 12)
    assert week.bus_v[before - 1] >= 12.2 - 1e-9 and week.flows_w["loads"][before] == pytest.approx(30.0)


def test_the_banks_own_disconnect_takes_all_and_gives_back_with_charge() -> None:
    watts = np.full((2, STEPS), 25.0)
    sources = Sources(charger_a=np.where(CLOCK > 80.0, 30.0, 0.0))
    week = march(bank("agm"), STEP_H, 25.0, Loads(watts), sources, guards=Guards(11.9, 0.8, 0.1))
    assert week.cut_h[0] == week.cut_h[1] < 40.0
    off = week.flows_w["loads"] == 0.0
    assert off[int(week.cut_h[0] * 12) + 1] and not off[-1]
    assert week.charge[1:][off].min() > 0.0


def test_an_empty_bank_is_empty_to_the_minute() -> None:
    """5 A from 100 Ah at 20 h: empty at 20 h and nothing afterwards; the step is cut where it happens."""
    ours = march(bank("agm"), STEP_H, 25.0, Loads(0.0, 0.0, np.full((1, STEPS), 5.0)))
    assert float(ours.cut_h[0]) == pytest.approx(20.0, abs=1e-9) and float(ours.last) == 0.0
    odd = march(bank("agm", 101.0, exponent=1.0), STEP_H, 25.0, Loads(0.0, 0.0, np.full((1, STEPS), 5.0)))
    assert float(odd.cut_h[0]) == pytest.approx(20.2, abs=1e-9)
    assert odd.current_a[242] == pytest.approx(5.0 * 0.4) and odd.current_a[243] == 0.0


def test_a_load_beyond_what_can_be_delivered_gets_what_there_is() -> None:
    made = bank("agm", 20.0)
    ohm, steps = float(made.at(25.0)[1]), np.full(1, 1e-6)
    week = march(made, steps, 25.0, Loads(np.full((1, 1), 5000.0)))
    assert week.flows_w["loads"][0] == pytest.approx(12.85**2 / 4 / ohm, rel=1e-4)
    assert week.unmet_wh[0] == pytest.approx(5000.0 * 1e-6 - week.flows_wh["loads"], rel=1e-9)
    assert week.bus_v[0] == pytest.approx(12.85 / 2, rel=1e-4)


def test_warming_and_cooling_alone_change_no_charge() -> None:
    swing = 15.0 + 25.0 * np.sin(CLOCK)
    week = march(bank("flooded"), STEP_H, swing, Loads(), start=0.7)
    assert np.ptp(week.stored_ah) < 1e-9 and week.stored_wh == pytest.approx(0.0, abs=1e-9)
    assert np.ptp(week.charge) > 0.1


def test_it_leaks_and_stops_at_nothing() -> None:
    leaky = bank("agm", self_discharge_per_h=1e-3)
    assert march(leaky, STEP_H, 25.0, Loads()).stored_ah[-1] == pytest.approx(100.0 - 16.8)
    gone = march(leaky, STEP_H, 25.0, Loads(), start=0.05)
    assert gone.stored_ah[-1] == pytest.approx(0.0, abs=0.01) and gone.charge.min() >= 0.0


def test_a_heated_lithium_bank_takes_charge_in_the_frost() -> None:
    pad, sun = Pad(60.0, 5.0, 1.5, 3e4), Sources(charger_a=np.where(CLOCK % 24 < 6, 20.0, 0.0))
    loads = Loads(np.full((1, STEPS), 10.0))
    without = march(bank("lfp"), STEP_H, -10.0, loads, sun, 0.5)
    heated = march(bank("lfp"), STEP_H, -10.0, loads, sun, 0.5, pad=pad)
    assert without.flows_wh["pad"] == 0.0 and (without.current_a >= -1e-9).all()
    assert heated.last > without.last and (heated.current_a < -1.0).any()
    drawn = heated.flows_w["pad"]
    assert drawn[CLOCK % 24 >= 6].max() == 0.0 and drawn.max() == pytest.approx(60.0)
    holding = drawn[(CLOCK > 5.0) & (CLOCK < 5.9)]
    assert holding == pytest.approx(1.5 * 15.0, rel=1e-3)
    first = int(np.argmax(heated.current_a < -1.0))
    # 10 K by 60 W against 1.5 W/K and 30 kJ/K: 30000 / 1.5 ln(60 / (60 - 15)) s = 1.6 h
    assert first == pytest.approx(30e3 / 1.5 * np.log(60 / 45) / 300, abs=1.01), "it must warm up before it may charge"


def test_a_pad_too_small_for_the_frost_never_lets_it_charge() -> None:
    week = march(bank("lfp"), STEP_H, -20.0, Loads(), Sources(charger_a=20.0), 0.5, pad=Pad(10.0, 5.0, 1.5, 3e4))
    assert (week.current_a >= -1e-9).all() and week.flows_wh["pad"] == pytest.approx(10.0 * 168.0)


@pytest.mark.parametrize("changes", [
    {"temperature_c": float("nan")}, {"start": 1.2}, {"start": float("nan")}, {"loads": Loads(np.full((1, STEPS), np.nan))},
    {"loads": Loads(np.full(STEPS, 3.0))}, {"loads": Loads(np.full((1, 5), 3.0))}, {"sources": Sources(charger_a=-1.0)},
    {"sources": Sources(solar_w=np.ones(7))}, {"loads": Loads(0.0, 0.0, np.full((1, STEPS), 5000.0))},
])  # fmt: skip
def test_what_cannot_be_is_refused(changes: dict[str, Any]) -> None:
    given = {"bank": bank(), "temperature_c": 20.0, "loads": Loads(), **changes}
    with pytest.raises(ValueError):
        marched(given)


def test_steps_are_five_minutes_at_most() -> None:
    with pytest.raises(ValueError, match="five minutes"):
        march(bank(), np.full(10, 0.1), 20.0, Loads())


def test_the_curve_reads_like_a_table_and_its_area_like_a_sum() -> None:
    curve = Curve(np.array([0.0, 0.25, 1.0]), np.array([10.0, 12.0, 13.0]), None)
    assert [curve.read(x) for x in (-0.5, 0.0, 0.125, 0.25, 1.0, 1.4)] == [10.0, 10.0, 11.0, 12.0, 13.0, 13.0]
    assert [curve.area(x) for x in (-0.1, 0.25, 1.0)] == pytest.approx([-1.0, 2.75, 2.75 + 9.375])
    wide = Curve(np.array([0.0, 1.0]), np.array([[10.0, 20.0], [12.0, 26.0]]), 2)
    assert wide.read(np.array([0.5, 0.5])).tolist() == [11.0, 23.0] and wide.area(np.array([1.0, 0.5])).tolist() == [
        11.0,
        10.75,
    ]


@pytest.mark.parametrize("chemistry", CHEMISTRIES)
@pytest.mark.parametrize("many", [False, True])
def test_a_full_bank_on_a_tow_wire_alone_is_not_held_at_a_voltage_that_nothing_reaches(
    chemistry: str, many: bool
) -> None:
    """Full, it lacks nothing: that alone once counted as the end of a charge, and the loads lived on it for a step."""
    size = np.array([20.0, 100.0]) if many else 20.0
    week = march(bank(chemistry, size), STEP_H[:24], 20.0, Loads(power_w=3.0), Sources(tow_v=13.8, tow_ohm=0.09))
    assert np.abs(week.imbalance_wh).max() < 1e-9
    assert week.bus_v.max() < 13.8
