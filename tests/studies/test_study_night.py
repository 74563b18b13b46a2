"""Will it last the night: an integration of our own in small steps, and what must always be so."""

from __future__ import annotations

import math
import re
from functools import partial
from typing import Any

import by_hand
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import trailerlib as tl
from trailerlib.rules.finding import Finding
from trailerlib.studies import trip as trips
from trailerlib.studies.answer import Answer
from trailerlib.studies.trip.beside import smallest_ah

STEP_MIN = 2


@pytest.fixture(scope="module")
def demo(demo: tl.Design) -> tl.Design:
    """The demo with the duty of its fridge stated: that it rests more in the cold has tests of its own."""
    return demo.replace("load.specimen fridge.duty", "40 %")


def check(answer: Answer, rule: str) -> Finding:
    (found,) = [c for c in answer.checks if c.rule == rule]
    return found


def rated_share_per_h(raw: Any, amps: float, factor: float) -> float:
    """Share of the charge lost in an hour: one over Peukert's t = H (C / I H)^k; below the rated current plain C / I."""
    battery = raw["battery"]
    capacity = by_hand.number(battery["capacity"]) * battery.get("count", 1)
    hours = by_hand.number(battery.get("hour_rate", "20 h"))
    exponent = by_hand.cell("tables/battery_peukert", "exponent", chemistry=battery["chemistry"])
    if amps <= 0:
        return 0.0
    time_h = hours * (capacity / (amps * hours)) ** exponent if amps * hours > capacity else capacity / amps
    return 1.0 / (time_h * factor)


def integrate(design: tl.Design, stay_name: str) -> dict[str, float]:
    """Charge minute by minute: voltage of the resting battery, current of what is on with its duty counted, charge lost."""
    raw = design.raw
    stay, battery = by_hand.named(raw, "stay", stay_name), raw["battery"]
    air = by_hand.number(stay["ambient"]) if "ambient" in stay else by_hand.number(raw["site"]["coldest"])
    factor = by_hand.curve("tables/battery_temperature", "temperature_c", "fraction", battery["chemistry"], air)
    factor *= by_hand.number(battery.get("age", "100 %"))
    warm = by_hand.number(raw["site"]["hottest"])
    charge = by_hand.number(battery.get("start_charge", "100 %"))
    lowest, used = charge, 0.0
    known: dict[tuple[Any, ...], float] = {}
    for at in by_hand.minutes_of(stay)[::STEP_MIN]:
        on = {load["name"]: by_hand.watts(load) * by_hand.duty(load, air) for load in by_hand.running(raw, stay, at)}
        emf = by_hand.curve("tables/battery_ocv", "soc", "ocv_v", battery["chemistry"], charge)
        key = (*sorted(on), round(emf, 3))
        if key not in known:
            known[key] = by_hand.battery_side(raw, round(emf, 3), on, warm, warm)["amps"]
        charge = max(0.0, charge - rated_share_per_h(raw, known[key], factor) * STEP_MIN / 60.0)
        used += known[key] * STEP_MIN / 60.0
        lowest = min(lowest, charge)
    return {
        "lowest": lowest,
        "used": used,
        "capacity": by_hand.number(battery["capacity"]) * battery.get("count", 1) * factor,
    }


DEMO_CASES: list[dict[str, Any]] = [
    {}, {"battery.capacity": "200 Ah"}, {"battery.capacity": "60 Ah"}, {"battery.capacity": "35 Ah"}, {"battery.chemistry": "flooded"},
    {"battery.chemistry": "lfp"}, {"battery.chemistry": "gel", "battery.hour_rate": "10 h"}, {"stay.night.ambient": "-10 °C"},
    {"stay.night.ambient": None}, {"battery.age": "70 %"}, {"battery.start_charge": "80 %"}, {"battery.count": 2, "battery.capacity": "40 Ah"},
    {"load.ceiling lights.count": 20, "battery.capacity": "80 Ah"}, {"load.ceiling lights.class": "filament lamp"},
    {"load.ceiling lights.class": "water pump"}, {"stay.night.on.USB at the bench": "19:00-23:00"},
    {"load.specimen fridge.duty": None, "envelope.leakage": None},
    {"load.specimen fridge.duty": None, "envelope.leakage": None, "stay.night.ambient": "95 °F"},
]  # fmt: skip


@pytest.mark.parametrize("changes", DEMO_CASES, ids=str)
def test_the_demo_against_our_own_integration(demo: tl.Design, changes: dict[str, Any]) -> None:
    """Within 0.2 % of charge: steps of two minutes here against five there."""
    design = demo.replace_all(changes)
    hand, answer = integrate(design, "night"), tl.study("night", design)
    assert answer.value("lowest") == pytest.approx(hand["lowest"], abs=0.002)
    assert answer.value("used_ah") == pytest.approx(hand["used"], rel=0.002)
    assert answer.value("capacity_ah") == pytest.approx(hand["capacity"], rel=1e-9)


@pytest.mark.parametrize(
    "changes", [{}, {"load.lamp.count": 4}, {"battery.capacity": "15 Ah"}, {"battery.chemistry": "lfp"}], ids=str
)
def test_one_lamp_against_our_own_integration(lamp: tl.Design, changes: dict[str, Any]) -> None:
    design = lamp.replace_all(changes)
    hand, answer = integrate(design, "evening"), tl.study("night", design)
    assert answer.value("lowest") == pytest.approx(hand["lowest"], abs=0.002)
    assert answer.value("used_ah") == pytest.approx(hand["used"], rel=0.002)


def test_the_voltage_at_the_end_of_the_night(lamp: tl.Design) -> None:
    """With the lamp alone on all evening its lowest voltage stands at the end, at the lowest charge."""
    answer = tl.study("night", lamp)
    emf = by_hand.curve("tables/battery_ocv", "soc", "ocv_v", "flooded", answer.value("lowest"))
    air = by_hand.number("86 °F")
    volts = by_hand.battery_side(lamp.raw, emf, {"lamp": by_hand.watts(lamp.raw["load"][0])}, air, air)
    assert answer.value("fussiest_v") == pytest.approx(volts["lamp"], rel=1e-6)


def test_energy_of_the_stay_balances(demo: tl.Design) -> None:
    """What the loads use is what the stay asks for; their shares make one."""
    answer = tl.study("night", demo)
    stay = by_hand.named(demo.raw, "stay", "night")
    counted = (
        sum(
            by_hand.watts(load) * by_hand.duty(load, by_hand.number(stay["ambient"]))
            for at in by_hand.minutes_of(stay)
            for load in by_hand.running(demo.raw, stay, at)
        )
        / 60
    )
    assert sum(row["energy_wh"] for row in answer.rows) == pytest.approx(counted)
    assert sum(row["share"] for row in answer.rows) == pytest.approx(1.0)
    full_v, lowest_v = (
        by_hand.curve("tables/battery_ocv", "soc", "ocv_v", "agm", c) for c in (1.0, answer.value("lowest"))
    )
    assert answer.value("used_ah") * lowest_v < counted * 1.03, "the wires take no more than a few per cent"
    assert answer.value("used_ah") * full_v > counted, "no more can be used than is taken out"


def value(design: tl.Design, key: str) -> float:
    got = tl.study("night", design).value(key)
    assert got == got
    return got


@given(st.integers(20, 400), st.integers(1, 100), st.sampled_from(["flooded", "agm", "gel", "lfp"]))
@settings(max_examples=12, deadline=None)
def test_a_bigger_battery_is_never_worse(demo: tl.Design, capacity: int, more: int, chemistry: str) -> None:
    small = demo.replace_all({"battery.capacity": f"{capacity} Ah", "battery.chemistry": chemistry})
    big = small.replace("battery.capacity", f"{capacity + more} Ah")
    assert value(big, "lowest") >= value(small, "lowest") - 1e-9
    assert value(big, "reserve_h") >= value(small, "reserve_h") - 1e-6


@given(st.integers(-40, 45), st.integers(1, 30), st.sampled_from(["flooded", "agm", "gel", "lfp"]))
@settings(max_examples=12, deadline=None)
def test_colder_is_never_longer(demo: tl.Design, warm: int, less: int, chemistry: str) -> None:
    base = demo.replace("battery.chemistry", chemistry)
    mild, cold = (base.replace("stay.night.ambient", f"{c} °C") for c in (warm, max(warm - less, -60)))
    assert value(cold, "lowest") <= value(mild, "lowest") + 1e-9
    assert value(cold, "reserve_h") <= value(mild, "reserve_h") + 1e-6


@given(
    st.sampled_from(["ceiling lights", "entry light", "CO alarm", "roof fan", "specimen fridge", "USB at the bunk"]),
    st.integers(1, 6),
)
@settings(max_examples=12, deadline=None)
def test_more_load_is_never_longer(demo: tl.Design, load: str, count: int) -> None:
    few, many = (demo.replace(f"load.{load}.count", n) for n in (count, count + 1))
    assert value(many, "lowest") <= value(few, "lowest") + 1e-9
    assert value(many, "reserve_h") <= value(few, "reserve_h") + 1e-6


@given(st.integers(0, 12))
@settings(max_examples=8, deadline=None)
def test_warmer_wires_never_give_more_voltage(demo: tl.Design, celsius: int) -> None:
    """The hottest air warms the copper; 0 °C is a temperature like any other."""
    cool, warm = (demo.replace("site.hottest", f"{c} °C") for c in (celsius, celsius + 2))
    assert value(warm, "fussiest_v") <= value(cool, "fussiest_v") + 1e-12


def test_a_battery_that_falls_short_says_until_when_and_how_short(demo: tl.Design) -> None:
    answer = tl.study("night", demo.replace("battery.capacity", "60 Ah"))
    match = re.match(r"Lasts until (\d\d):(\d\d), (?:(\d+) h ?)?(?:(\d+) min)? short\.", answer.sentence)
    assert match is not None, answer.sentence
    until = int(match[1]) * 60 + int(match[2])
    short = int(match[3] or 0) * 60 + int(match[4] or 0)
    assert (until + short) % 1440 == pytest.approx(7 * 60, abs=1)
    assert answer.value("reserve_h") * 60 == pytest.approx(-short, abs=0.5)
    assert check(answer, "battery-depth").severity == "fix" and answer.numbers["reserve_h"].title == "Short by"


def test_it_falls_short_at_the_minute_our_own_integration_says(demo: tl.Design) -> None:
    """Shorten the night to the very moment: the charge is then the half that should stay."""
    design = demo.replace("battery.capacity", "60 Ah")
    answer = tl.study("night", design)
    until = 7 + answer.value("reserve_h")
    clock = f"{int(until % 24):02d}:{round(until % 1 * 60):02d}"
    assert integrate(design.replace("stay.night.to", clock), "night")["lowest"] == pytest.approx(0.5, abs=0.002)


def test_what_is_in_reserve_is_what_is_left_at_the_mean_drain(demo: tl.Design) -> None:
    answer = tl.study("night", demo)
    hand = integrate(demo, "night")
    left = (hand["lowest"] - 0.5) * hand["capacity"]
    assert answer.value("reserve_h") == pytest.approx(left / (hand["used"] / 13.0), rel=0.01)
    assert answer.sentence.startswith("Lasts the night") and check(answer, "battery-depth").severity == "holds"


@pytest.mark.parametrize(
    ("chemistry", "coldest", "ambient", "word"),
    [("lfp", "28 °F", "46 °F", "stop"), ("lfp", "40 °F", "46 °F", "holds"), ("lfp", "0 °C", "46 °F", "holds"), ("lfp", "-1 °C", "46 °F", "stop"),
     ("lfp", None, None, "not checked"), ("lfp", "40 °F", "-5 °C", "stop"), ("lfp", None, "-5 °C", "stop"), ("lfp", None, "46 °F", "not checked"),
     ("agm", "28 °F", "46 °F", "holds"), ("agm", "-30 °C", "46 °F", "stop")],
)  # fmt: skip
def test_charging_in_frost(
    demo: tl.Design, chemistry: str, coldest: str | None, ambient: str | None, word: str
) -> None:
    design = demo.replace_all({"battery.chemistry": chemistry, "site.coldest": coldest, "stay.night.ambient": ambient})
    assert check(tl.study("night", design), "battery-cold-charge").severity == word


@pytest.mark.parametrize(
    ("chemistry", "vented", "words"),
    [("flooded", True, ["holds"]), ("flooded", False, ["stop"]), ("agm", None, ["not checked"]), ("lfp", None, []), ("lfp", False, [])],
)  # fmt: skip
def test_gas(demo: tl.Design, chemistry: str, vented: bool | None, words: list[str]) -> None:
    design = demo.replace_all({"battery.chemistry": chemistry, "safety.battery_vented": vented})
    assert [c.severity for c in tl.study("night", design).checks if c.rule == "battery-gas"] == words


@pytest.mark.parametrize(
    ("changes", "word"),
    [({"battery": None}, "battery"), ({"feeder": None}, "feeder"), ({"stay": []}, "stay"), ({"stay.night.supply": "shore"}, "stay")],
    ids=str,
)  # fmt: skip
def test_what_is_missing_is_not_checked(demo: tl.Design, changes: dict[str, Any], word: str) -> None:
    answer = tl.study("night", demo.replace_all(changes))
    assert answer.word == "not checked" and answer.sentence.startswith("Not checked") and word in answer.sentence
    assert check(answer, "battery-depth").severity == "not checked"


def test_a_night_of_unknown_cold_is_not_said_to_last(demo: tl.Design) -> None:
    """Without any temperature the capacity is not known, so the sentence must not promise the night."""
    answer = tl.study("night", demo.replace_all({"stay.night.ambient": None, "site.coldest": None}))
    assert check(answer, "battery-depth").severity == "not checked"
    assert not answer.sentence.startswith("Lasts the night"), answer.sentence


def test_nothing_on_stays_full(demo: tl.Design) -> None:
    answer = tl.study("night", demo.replace("stay.night.on", {}))
    assert answer.value("lowest") == 1.0 and answer.value("used_ah") == 0.0 and "Nothing is on" in answer.sentence


@pytest.mark.parametrize(("hours", "to"), [(1, "19:00"), (9, "03:00"), (13, "07:00"), (23.5, "17:30"), (24, "18:00")])
def test_another_length_is_the_same_as_another_end(demo: tl.Design, hours: float, to: str) -> None:
    chosen, written = tl.study("night", demo, hours=hours), tl.study("night", demo.replace("stay.night.to", to))
    assert chosen.value("lowest") == pytest.approx(written.value("lowest"), abs=1e-9)


@pytest.mark.parametrize("hours", [30, 36, 48])
def test_a_longer_choice_meets_the_morning_twice(demo: tl.Design, hours: float) -> None:
    """From 18:00: a fridge on from midnight to six runs six hours a night, whole nights counted."""
    design = demo.replace("stay.night.on.specimen fridge", "00:00-06:00")
    (row,) = [r for r in tl.study("night", design, hours=hours).rows if r["name"] == "specimen fridge"]
    nights = sum(1 for at in range(18 * 60, int((18 + hours) * 60)) if at % 1440 < 360) / 60
    assert row["hours"] == pytest.approx(nights)


def test_wires_that_collapse_at_night_are_a_stop(demo: tl.Design) -> None:
    """The fridge at the end of 600 ft: nothing on that side gets a voltage, and the night must not pass over it."""
    answer = tl.study("night", demo.replace_all({"circuit.fridge.run": "600 ft", "battery.capacity": "400 Ah"}))
    assert answer.word == "stop", answer.sentence
    assert not answer.sentence.startswith("Lasts the night"), answer.sentence


def test_a_load_without_enough_voltage_is_found(demo: tl.Design) -> None:
    answer = tl.study("night", demo.replace("load.specimen fridge.lowest_voltage", "12.3 V"))
    (finding,) = [c for c in answer.checks if c.rule == "load-voltage" and "specimen fridge" in c.subject]
    assert finding.severity == "fix"


def charge_by_steps(missing: float, current: float, efficiency: float, tau: float, end_a: float) -> float:
    """Constant current, then one that falls with what is lacking, walked through in steps of a few seconds."""
    left, hours, step = missing / efficiency, 0.0, 1e-3
    while (flow := min(current, left / tau)) > end_a:
        left, hours = left - flow * step, hours + step
    return hours


@pytest.mark.parametrize("changes", [
    {}, {"charger.current": "10 A"}, {"battery.chemistry": "lfp"}, {"battery.chemistry": "flooded"},
    {"stay.night.ambient": "20 °F"}, {"charger.current": "60 A"},
], ids=str)  # fmt: skip
def test_hours_to_refill(demo: tl.Design, changes: dict[str, Any]) -> None:
    """Until 2 A flow into 100 Ah; the cold slows the tail, and no more goes in than the chemistry stands."""
    design = demo.replace_all(changes)
    answer, chemistry = tl.study("night", design), design.raw["battery"]["chemistry"]
    missing = (1 - answer.value("lowest")) * answer.value("capacity_ah")
    limit = partial(by_hand.cell, "tables/battery_limits", chemistry=chemistry)
    air = by_hand.number(design.raw["stay"][0]["ambient"])
    takes = by_hand.curve("tables/battery_acceptance", "temperature_c", "acceptance_fraction", chemistry, air)
    amps = min(by_hand.number(design.raw["charger"]["current"]), 100.0 * takes * limit("charge_rate_per_h"))
    by_steps = charge_by_steps(missing, amps, limit("coulombic_efficiency"), limit("tail_tau_h") / takes, 2.0)
    assert answer.value("refill_h") == pytest.approx(by_steps, rel=0.003)


def test_the_night_and_the_trip_agree_on_when_it_is_full(demo: tl.Design) -> None:
    """One night and one way to reckon: they differ only by the charge they begin from, a fifth of a percent."""
    night, trip = tl.study("night", demo), trips.of(demo.replace("trip", {"stays": ["night"]}))
    assert night.value("refill_h") == pytest.approx(trip.full_h["charger"], rel=0.015)


def test_lithium_in_frost_is_never_refilled(demo: tl.Design) -> None:
    frost = demo.replace_all({"battery.chemistry": "lfp", "stay.night.ambient": "20 °F"})
    answer = tl.study("night", frost)
    assert math.isnan(answer.value("refill_h")) and check(answer, "battery-refill").severity == "not checked"


def test_refill_against_the_longest_stay_on_a_supply(demo: tl.Design) -> None:
    """Camp with power lasts eleven hours; a charger of 2.5 A needs longer than that."""
    finding = check(tl.study("night", demo), "battery-refill")
    assert finding.limit == pytest.approx(11.0) and finding.severity == "holds"
    assert check(tl.study("night", demo.replace("charger.current", "2.5 A")), "battery-refill").severity == "note"
    assert check(tl.study("night", demo.replace("charger", None)), "battery-refill").severity == "not checked"


def test_charge_rate(demo: tl.Design) -> None:
    """A fifth of 100 Ah is 20 A for lead-acid; half for lithium."""
    assert check(tl.study("night", demo), "battery-charge-rate").severity == "holds"
    assert check(tl.study("night", demo.replace("charger.current", "21 A")), "battery-charge-rate").severity == "note"
    lfp = demo.replace_all({"charger.current": "50 A", "battery.chemistry": "lfp"})
    assert check(tl.study("night", lfp), "battery-charge-rate").severity == "holds"


def test_a_stay_that_is_not_on_the_battery_is_no_night(demo: tl.Design) -> None:
    """On shore power the battery is charged, not drained."""
    try:
        answer = tl.study("night", demo, stay="camp with power")
    except tl.DesignError:
        return
    assert answer.word == "not checked", answer.sentence


@pytest.mark.parametrize(
    "changes",
    [{"feeder": None}, {"stay": []}, {"stay.night.ambient": None, "site.coldest": None}, {"circuit.fridge.run": "600 ft"}, {"charger": None}],
    ids=str,
)  # fmt: skip
def test_gas_in_a_closed_box_is_a_stop_whatever_else_is_missing(demo: tl.Design, changes: dict[Any, Any]) -> None:
    """The box is not vented: nothing about wires, stays or cold makes that go away."""
    shut: dict[Any, Any] = {"battery.chemistry": "flooded", "safety.battery_vented": False}
    answer = tl.study("night", demo.replace_all({**shut, **changes}))
    assert [c.severity for c in answer.checks if c.rule == "battery-gas"] == ["stop"]


@pytest.mark.parametrize("changes", [{"feeder": None}, {"stay": []}, {"circuit.fridge.run": "600 ft"}], ids=str)
def test_frost_is_a_stop_whatever_else_is_missing(demo: tl.Design, changes: dict[Any, Any]) -> None:
    answer = tl.study("night", demo.replace_all({"battery.chemistry": "lfp", **changes}))
    assert [c.severity for c in answer.checks if c.rule == "battery-cold-charge"] == ["stop"]


def test_the_trip_stands_with_the_night(demo: tl.Design) -> None:
    night, trip = tl.study("night", demo), tl.study("trip", demo)
    assert night.picture.trip is not None and "night" in {span.name for span in night.picture.trip.spans}
    assert trip.value("lowest") == night.picture.trip.charge.min()
    assert {"trip-depth", "trip-even", "load-cut-off"} <= {c.rule for c in trip.checks}
    assert trip.beside is not None and "on mains a day" in trip.beside.note


def test_what_switching_down_buys(demo: tl.Design) -> None:
    """The best first; a fan at high goes to medium, a fridge has no smaller class and runs half the hours."""
    design = demo.replace("load.roof fan.class", "roof fan high")
    rows = tl.study("night", design).beside.rows  # type: ignore[union-attr]
    gained = [row["gained_h"] for row in rows]
    assert gained == sorted(gained, reverse=True) and all(hours > 0 for hours in gained)
    steps = {row["name"]: row["step"] for row in rows}
    assert steps["roof fan"] == "roof fan medium" and steps["specimen fridge"] == "half the hours"
    then = tl.study("night", design.replace("load.roof fan.class", "roof fan medium"))
    before = tl.study("night", design).value("reserve_h")
    (fan,) = [row for row in rows if row["name"] == "roof fan"]
    assert fan["gained_h"] == pytest.approx(then.value("reserve_h") - before) and fan["lowest"] == then.value("lowest")


@pytest.mark.parametrize("chemistry", ["flooded", "agm", "gel", "lfp"])
def test_smallest_battery_lasts_and_the_next_smaller_does_not(demo: tl.Design, chemistry: str) -> None:
    design = demo.replace("battery.chemistry", chemistry)
    assert design.battery is not None
    size = smallest_ah(design, design.battery, design.stay("night"))
    assert size is not None and size % 5 == 0 and f"{size:.0f} Ah" in design_note(design)
    floor = check(tl.study("night", design), "battery-depth").limit
    assert floor is not None
    needed = floor + 0.2 * (1 - floor)
    lowest = [
        tl.study("night", design.replace("battery.capacity", f"{ah} Ah")).value("lowest") for ah in (size, size - 5)
    ]
    assert lowest[0] >= needed > lowest[1]


def design_note(design: tl.Design) -> str:
    beside = tl.study("night", design).beside
    assert beside is not None
    return beside.note


@pytest.mark.parametrize("age", range(70, 101))
def test_the_smallest_battery_leaves_a_fifth_and_the_next_smaller_does_not(demo: tl.Design, age: int) -> None:
    """The margin is a fifth of what may be used (common practice, no source); trade steps of 5 Ah."""
    from trailerlib.studies.trip.beside import smallest_ah

    design = demo.replace("battery.age", f"{age} %")
    assert design.battery is not None
    found = smallest_ah(design, design.battery, design.stay("night"))
    assert found is not None

    def left(size_ah: float) -> float:
        """Share of what may be used that is left in the morning; half of a lead-acid battery may be used."""
        return (tl.study("night", design.replace("battery.capacity", f"{size_ah:g} Ah")).value("lowest") - 0.5) / 0.5

    assert left(found) >= 0.2 - 1e-9 > left(found - 5.0)
