"""Marches that can be reckoned by hand: a bank whose voltage at rest is a straight line, a few steps, one event each."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from trailerlib.physics.battery_bank import Bank
from trailerlib.physics.battery_week import FLOWS, Guards, Loads, Pad, Sources, Week, march

STEP = 1 / 12


def straight(rated_ah: Any = 10.0, **changes: Any) -> Bank:
    """12 V empty, 13 V full, 10 mohm, no Peukert, nothing lost in charging; half is left of it at -20 °C."""
    figures: dict[str, Any] = {
        "hour_rate_h": 20.0, "exponent": 1.0, "efficiency": 1.0, "resistance_ohm": 0.01, "tau_h": 1.0, "rate_per_h": 1.0,
        "absorption_v": 14.4, "ocv_share": np.array([0.0, 1.0]), "ocv_v": np.array([12.0, 13.0]),
        "at_c": np.array([-20.0, 20.0]), "capacity_factor": np.array([0.5, 1.0]),
        "resistance_ratio": np.array([2.0, 1.0]), "acceptance": np.array([1.0, 1.0]), **changes,
    }  # fmt: skip
    return Bank(rated_ah, **figures)


def marched(steps: int, loads: Loads, many: bool = False, rated_ah: float = 10.0, **given: Any) -> Week:
    """One bank, or two side by side of which the second must tell the same."""
    made = straight(np.array([2.5, 1.0]) * rated_ah if many else rated_ah, **given.pop("bank", {}))
    return march(made, np.full(steps, STEP), given.pop("at_c", 20.0), loads, **given)


def amps(*rows: Any) -> Loads:
    return Loads(0.0, 0.0, np.array(rows, dtype=float))


def last_of(values: Any, many: bool) -> Any:
    """The bank that is looked at."""
    return np.asarray(values)[..., 1] if many else np.asarray(values)


both = pytest.mark.parametrize("many", [False, True])


@both
def test_a_discharge_step_by_step(many: bool) -> None:
    """10 A from 10 Ah: a twelfth of it every five minutes, 13 V less half of that less 0.1 V."""
    week = marched(6, amps(np.full(6, 10.0)), many)
    k = np.arange(6)
    assert last_of(week.charge, many) == pytest.approx(1.0 - np.arange(7) / 12)
    assert last_of(week.bus_v, many) == pytest.approx(13.0 - (k + 0.5) / 12 - 0.1)
    assert last_of(week.stored_ah, many) == pytest.approx(10.0 - 10.0 * (k + 1) / 12)
    assert last_of(week.lowest_v, many) == pytest.approx(13.0 - 5.5 / 12 - 0.1)
    assert (last_of(week.lowest, many), last_of(week.lowest_at_h, many)) == (pytest.approx(0.5), pytest.approx(0.5))
    assert last_of(week.flows_wh["loads"], many) == pytest.approx(10.0 * (0.5 * 12.9 - 0.5 * 0.25))
    assert last_of(week.flows_wh["heat"], many) == pytest.approx(0.5) and week.imbalance_wh == pytest.approx(
        0.0, abs=1e-9
    )
    assert (
        np.isnan(week.cut_h).all() and not week.off_h.any() and not week.unmet_wh.any() and np.isnan(week.full_h).all()
    )


@both
def test_a_load_is_off_from_the_step_that_would_starve_it(many: bool) -> None:
    """12.9 - (k + 1/2) / 12 falls below 12.3 in step 7; it comes back at 13.3, which nothing reaches any more."""
    loads = Loads(0.0, 0.0, np.full((1, 12), 10.0), 12.3)
    week = marched(12, loads, many)
    assert last_of(week.cut_h[0], many) == pytest.approx(7 / 12) and last_of(week.off_h[0], many) == pytest.approx(
        5 / 12
    )
    rest = 13.0 - 7 / 12
    assert last_of(week.bus_v, many)[7:] == pytest.approx(rest)
    assert last_of(week.unmet_wh[0], many) == pytest.approx(5 / 12 * 10.0 * rest)
    assert last_of(week.last, many) == pytest.approx(5 / 12)


@both
def test_what_an_open_switch_withholds_of_all_three_kinds(many: bool) -> None:
    """Off from the begin at 13 V: 20 W, 0.5 S of 84.5 W, 3 A of 39 W, an hour of it; the other group gets its 0.1 A."""
    loads = Loads(*(np.array([np.full(12, x), np.full(12, y)]) for x, y in ((20.0, 0.0), (0.5, 0.0), (3.0, 0.1))),
                  np.array([13.5, 0.0]))  # fmt: skip
    week = marched(12, loads, many, rated_ah=1e6)
    assert last_of(week.unmet_wh, many) == pytest.approx([20.0 + 84.5 + 39.0, 0.0], rel=1e-3)
    assert last_of(week.off_h, many).tolist() == pytest.approx([1.0, 0.0])
    assert last_of(week.cut_h, many).tolist() == pytest.approx([0.0, np.nan], nan_ok=True)


@both
def test_it_comes_back_at_its_hysteresis_and_is_tried_anew(many: bool) -> None:
    """At rest 12.4167 V: with 0.1 V of hysteresis it comes back at once and is off again, as 10 A would still starve it;
    of 10, then 1 A it is fed the one."""
    loads = Loads(0.0, 0.0, np.where(np.arange(12) < 9, 10.0, 1.0)[None], 12.3, 0.1)
    week = marched(12, loads, many)
    assert last_of(week.cut_h[0], many) == pytest.approx(7 / 12) and last_of(week.off_h[0], many) == pytest.approx(
        2 / 12
    )
    assert last_of(week.current_a, many).tolist() == pytest.approx([10.0] * 7 + [0.0] * 2 + [1.0] * 3)
    never = marched(12, Loads(0.0, 0.0, loads.amps, 12.3, 0.12), many)
    assert last_of(never.off_h[0], many) == pytest.approx(5 / 12), "12.42 V are more than it has at rest"


@both
def test_of_two_the_fussier_goes_and_the_other_stays(many: bool) -> None:
    """Together 12.9 - (k + 1/2) / 12: below 12.5 in step 5. Alone, 4 A: 12.5833 - 0.04 - …, above its own 12.3 to the end."""
    loads = Loads(0.0, 0.0, np.array([np.full(12, 4.0), np.full(12, 6.0)]), np.array([12.3, 12.5]))
    week = marched(12, loads, many)
    assert np.isnan(last_of(week.cut_h[0], many)) and last_of(week.cut_h[1], many) == pytest.approx(5 / 12)
    assert last_of(week.current_a, many).tolist() == pytest.approx([10.0] * 5 + [4.0] * 7)
    assert last_of(week.off_h, many).tolist() == pytest.approx([0.0, 7 / 12])


@both
def test_what_draws_nothing_holds_no_cut_off_against_the_others(many: bool) -> None:
    """The fussy one draws nothing until step 8: it cannot be starved before."""
    loads = Loads(0.0, 0.0, np.array([np.full(12, 10.0), np.where(np.arange(12) < 8, 0.0, 1.0)]), np.array([0.0, 12.5]))
    week = marched(12, loads, many)
    assert last_of(week.cut_h[1], many) == pytest.approx(8 / 12) and np.isnan(last_of(week.cut_h[0], many))


@both
def test_the_bank_disconnects_itself_and_comes_back_with_charge_and_voltage(many: bool) -> None:
    """Below 12.3 V in step 7, as above. 4 A then charge it: it is back when it holds 0.64, at the begin of step 15."""
    sources = Sources(charger_a=np.where(np.arange(20) < 8, 0.0, 4.0))
    loads = amps(np.full(20, 10.0))
    week = marched(20, loads, many, sources=sources, guards=Guards(12.3, 0.2, 0.64), bank={"tau_h": 0.5})
    fed = last_of(week.flows_w["loads"], many) > 0.0
    held = last_of(week.charge, many)
    assert fed.tolist() == [True] * 7 + [False] * 8 + [True] * 5
    assert held[14] == pytest.approx(5 / 12 + 6 / 30) and held[15] == pytest.approx(5 / 12 + 7 / 30)
    assert last_of(week.off_h[0], many) == pytest.approx(8 / 12)


@both
def test_empty_within_a_step(many: bool) -> None:
    """10 A from 4.5 Ah: empty after 27 minutes, 0.4 of the way through step 5; the means are over the whole step."""
    week = marched(8, amps(np.full(8, 10.0)), many, start=0.45)
    assert last_of(week.cut_h[0], many) == pytest.approx(0.45) and last_of(week.off_h[0], many) == pytest.approx(
        8 / 12 - 0.45
    )
    assert last_of(week.current_a, many)[4:] == pytest.approx([10.0, 4.0, 0.0, 0.0])
    assert last_of(week.bus_v, many)[5] == pytest.approx(0.4 * (12.0 + 1 / 60 - 0.1) + 0.6 * 12.0, abs=1e-6)
    assert last_of(week.last, many) == pytest.approx(0.0, abs=1e-12)
    assert last_of(week.unmet_wh[0], many) == pytest.approx((8 / 12 - 0.45) * 10.0 * 12.0, rel=1e-6)


@both
def test_in_the_cold_half_of_it_is_left(many: bool) -> None:
    """At -20 °C empty is at 5 Ah; a start of 0.45 holds 7.25 Ah of charge, 2.25 of them to draw: 13.5 minutes."""
    week = marched(6, amps(np.full(6, 10.0)), many, start=0.45, at_c=-20.0)
    assert last_of(week.cut_h[0], many) == pytest.approx(0.225)
    assert last_of(week.stored_ah, many)[[0, -1]] == pytest.approx([7.25 - 10 / 12, 5.0])
    assert last_of(week.charge, many)[1] == pytest.approx((2.25 - 10 / 12) / 5.0)
    assert last_of(week.bus_v, many)[0] == pytest.approx(12.725 - 10 / 240 - 0.2)


@both
def test_it_leaks_until_nothing_is_left(many: bool) -> None:
    """2 Ah of 10 leak away at 6 A: four steps, and nothing more is leaked after."""
    week = marched(8, Loads(), many, start=0.2, bank={"self_discharge_per_h": 0.6})
    assert last_of(week.stored_ah, many) == pytest.approx([1.5, 1.0, 0.5, 0.0, 0.0, 0.0, 0.0, 0.0], abs=1e-12)
    assert last_of(week.flows_wh["leak"], many) == pytest.approx(2.0 * 12.1)


@both
@pytest.mark.parametrize("limit_h", [0.5, 0.25])
def test_the_end_of_a_charge_by_time(many: bool, limit_h: float) -> None:
    """Half an Ah lacks, so half an ampere goes in: a tail from the begin, at 14.4 V until the time is up; then 13.5 V."""
    sources = Sources(charger_a=20.0, float_v=13.5, absorption_limit_h=limit_h - 1e-9, tail_share=0.0)
    week = marched(12, Loads(), many, start=0.95, sources=sources)
    at = round(limit_h * 12)
    assert last_of(week.bus_v, many) == pytest.approx([14.4] * at + [13.5] * (12 - at), abs=1e-9)
    assert last_of(week.full_h, many) == pytest.approx(limit_h)
    assert last_of(week.charge, many)[at] == pytest.approx(1.0 - 0.05 * np.exp(-limit_h))


@both
def test_the_end_of_a_charge_by_its_tail(many: bool) -> None:
    """5 A fall to 4 % of 10 Ah in ln 12.5 hours, 2.5257 h: within step 30."""
    sources = Sources(charger_a=20.0, float_v=13.5, tail_share=0.04)
    week = marched(40, Loads(), many, start=0.5, sources=sources)
    assert last_of(week.full_h, many) == pytest.approx(np.log(12.5), rel=1e-9)
    assert last_of(week.bus_v, many) == pytest.approx([14.4] * 31 + [13.5] * 9, abs=1e-9)


@both
@pytest.mark.parametrize(("again", "back"), [(0.9, True), (0.6, False)])
def test_what_has_sunk_is_charged_in_full_again(many: bool, again: float, back: bool) -> None:
    """Full and floating; 30 A beside a charger of 20 take 0.0833 a step off it: below 0.9 after two."""
    sources = Sources(charger_a=20.0, float_v=13.5, tail_share=0.04, again_share=again)
    loads = amps(np.where((np.arange(24) >= 4) & (np.arange(24) < 7), 30.0, 0.0))
    week = marched(24, loads, many, start=0.98, sources=sources)
    assert last_of(week.full_h, many) == pytest.approx(STEP) or last_of(week.full_h, many) < STEP
    volts = last_of(week.bus_v, many)
    assert volts[:4] == pytest.approx([14.4, 13.5, 13.5, 13.5], abs=1e-9)
    assert (volts[9] == pytest.approx(14.4, abs=1e-9)) == back and (volts[9] == pytest.approx(13.5, abs=1e-9)) == (
        not back
    )


@both
def test_a_gap_in_the_sources_begins_the_charge_anew(many: bool) -> None:
    """Floating, then a step without sources, then at the absorption voltage again, whose hours count from nought."""
    there = np.where(np.isin(np.arange(14), (5, 10)), 0.0, 20.0)
    sources = Sources(charger_a=there, float_v=13.5, absorption_limit_h=3 * STEP - 1e-9, tail_share=0.0)
    week = marched(14, Loads(), many, start=0.95, sources=sources)
    volts = last_of(week.bus_v, many)
    high = np.abs(volts - 14.4) < 1e-9
    assert high.tolist() == [True] * 3 + [False] * 3 + [True] * 3 + [False] * 2 + [True] * 3
    assert volts[[3, 4, 9]] == pytest.approx(13.5) and last_of(week.full_h, many) == pytest.approx(3 * STEP)


@both
def test_a_pad_warms_by_its_exponential_and_stops_with_the_sources(many: bool) -> None:
    """60 W against 6 W/K and 36 kJ/K from -10 °C: 10 K (1 - e^-t/100 min); to hold 0 °C it takes 60 W, to hold -4 °C 36 W."""
    sources = Sources(charger_a=np.where(np.arange(30) < 24, 20.0, 0.0))
    given = {"sources": sources, "start": 0.2, "at_c": -10.0, "rated_ah": 1000.0}
    always = marched(30, Loads(), many, pad=Pad(60.0, 5.0, 6.0, 36e3), **given)
    assert last_of(always.flows_w["pad"], many) == pytest.approx([60.0] * 24 + [0.0] * 6)
    ends = marched(30, Loads(), many, pad=Pad(60.0, -4.0, 6.0, 36e3), **given)
    drawn = last_of(ends.flows_w["pad"], many)
    steps = int(np.log(2.5) * 100 / 5)  # 10 K (1 - e^-x) = 6 K at x = ln 2.5: 18.3 steps
    assert drawn[:steps] == pytest.approx(60.0) and drawn[steps + 1 : 24] == pytest.approx(36.0)
    warm = 10.0 * (1.0 - np.exp(-steps / 20))
    need = 6.0 * (6.0 - warm * np.exp(-1 / 20)) / (1.0 - np.exp(-1 / 20))
    assert drawn[steps] == pytest.approx(need) and not drawn[24:].any()


@both
def test_a_pad_under_an_empty_bank_takes_nine_tenths_of_what_the_sources_give(many: bool) -> None:
    """At -10 °C 3/8 cannot be drawn: empty at 12.375 V. 2 A are 24.75 W there, 22.3 W for the pad of 60; 8 A are enough."""
    for charger_a, watts in ((2.0, 0.9 * 2.0 * 12.375), (8.0, 60.0)):
        frost: dict[str, Any] = {"at_c": -10.0, "start": 0.0, "bank": {"charge_min_c": 0.0}, "rated_ah": 1000.0}
        week = marched(3, Loads(), many, sources=Sources(charger_a=charger_a), pad=Pad(60.0, 5.0, 6.0, 36e3), **frost)
        assert last_of(week.flows_w["pad"], many)[0] == pytest.approx(watts)


SCALARS = ("lowest", "lowest_at_h", "last", "lowest_v", "full_h", "stored_wh", "cut_h", "off_h", "unmet_wh")


@pytest.mark.parametrize("seed", range(3))
def test_without_curves_with_many_and_alone_everything_is_told_alike(seed: int) -> None:
    """Loads in two groups with cut-offs, charger and sun that come and go, two weathers, a pad for some."""
    rng, n = np.random.default_rng(seed), 144
    on = np.repeat(rng.random((2, 12)) < 0.6, 12, axis=1)
    loads = Loads(on * 40.0, on[::-1] * 0.3, on * 1.0, np.array([0.0, 12.25]), 0.25)
    there = np.repeat(rng.random(12) < 0.4, 12)
    sources = Sources(there * 12.0, there[::-1] * 80.0, 0.0, 0.0, np.where(there, 0.0, 13.0), 0.3, 8.0, None, 13.4)
    given: dict[str, Any] = {
        "sources": sources, "start": rng.uniform(0.3, 1.0), "guards": Guards(11.8, 0.3, 0.1),
        "pad": Pad(20.0, 5.0, 2.0, 2e4) if seed % 2 else None,
    }  # fmt: skip
    size, at_c = np.array([15.0, 40.0, 120.0]), np.where(np.arange(n) < 70, -8.0, 15.0)
    bank = {"exponent": 1.2, "efficiency": 0.9, "charge_min_c": 0.0, "self_discharge_per_h": 1e-3}
    steps = np.full(n, STEP)
    together = march(straight(size, **bank), steps, at_c, loads, **given)
    lean = march(straight(size, **bank), steps, at_c, loads, curves=False, **given)
    for at, one in enumerate(size):
        alone = march(straight(float(one), **bank), steps, at_c, loads, **given)
        sums = march(straight(float(one), **bank), steps, at_c, loads, curves=False, **given)
        for name in SCALARS:
            true = np.asarray(getattr(alone, name))
            for other in (np.asarray(getattr(w, name))[..., at] for w in (together, lean)):
                assert other == pytest.approx(true, abs=1e-7, nan_ok=True), name
            assert np.asarray(getattr(sums, name)) == pytest.approx(true, abs=1e-9, nan_ok=True), name
        for name in FLOWS:
            true = float(alone.flows_wh[name])
            assert float(sums.flows_wh[name]) == pytest.approx(true, abs=1e-9), name
            for week in (together, lean):
                assert week.flows_wh[name][at] == pytest.approx(true, abs=1e-6), name
        assert abs(float(alone.imbalance_wh)) < 1e-9
    assert lean.charge.size == 0 and lean.bus_v.shape == (0, 3) and lean.flows_w["loads"].size == 0
