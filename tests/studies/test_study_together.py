"""What may run together: currents and limits by hand, every set against plain sums, what is missing, what opens."""

from __future__ import annotations

import copy
import itertools
import math
import random
from typing import Any

import by_hand
import pytest

import trailerlib as tl
from trailerlib.studies import together
from trailerlib.studies.generator import site_factors
from trailerlib.studies.together.result import duration
from trailerlib.studies.together.switches import drawn_a

COOLER_A = complex(1500.0, 1500.0 * math.tan(math.acos(0.97))) / 120.0
CHARGER_W = 20.0 * 14.4 / 0.85


def lowest_v() -> float:
    """Shore at its 30 A: 25 ft of 10 AWG as warm as it may get in the hottest air, behind the inlet 15 ft 1 in of 10 AWG
    at its rating of 90 °C, 0.1 ohm inside, every contact.
    """
    site = by_hand.number(tl.read_design(tl.shipped_trailers()["fen-survey"]).raw["site"]["hottest"])
    hot = max(60.0, site + 30.0)
    ohm = 2 * 7.62 * by_hand.ohm_per_m("10 AWG", hot) + 4 * 0.002 + 0.1 / 30.0 + 2 * 0.0002
    inlet_ft = 181 / 12
    ohm += 2 * inlet_ft * 0.3048 * by_hand.ohm_per_m("10 AWG", 90.0)
    return 120.0 - 30.0 * (abs(complex(ohm, 2 * (25 + inlet_ft) * 0.050 / 1000.0)) + 120.0 / 1200.0)


LOWEST_V = lowest_v()
BY_HAND = {  # what holds its power at the lowest voltage the panel gets, what heats at that of no load
    "roof cooler": COOLER_A * 120.0 / LOWEST_V,
    "dryer road side": 1000.0 / 120.0,
    "dryer curb side": 1000.0 / 120.0,
    "kettle": 1300.0 / 120.0,
    "laptops": 2 * complex(65.0, 65.0 * math.tan(math.acos(0.9))) / LOWEST_V,
    "microscope lamp": complex(15.0, 15.0 * math.tan(math.acos(0.9))) / LOWEST_V,
}
BENCH = ("kettle", "laptops", "microscope lamp")


PLATE = ("rated_current", "locked_rotor", "largest_breaker", "start_time")


@pytest.fixture(scope="module")
def demo() -> tl.Design:
    """The demo with its cooler as the catalogue has it, without a name plate."""
    design = tl.read_design(tl.shipped_trailers()["fen-survey"])
    return design.replace_all({("load", "roof cooler", key): None for key in PLATE})


def two_legs(demo: tl.Design, **mains: Any) -> tl.Design:
    """The demo on 50 A, 240/120 V: cooler and charger on leg 1, all else on leg 2."""
    raw = copy.deepcopy(dict(demo.raw))
    raw["supply"] = [{"name": "park", "kind": "shore 50 A", "cord": "6 AWG", "cord_run": "25 ft"}]
    raw["stay"], raw["mains"] = [], {"inlet": "14-50", "main": "50 A", **mains}
    for circuit in raw["circuit"]:
        if circuit["system"] == "mains":
            circuit["leg"] = 1 if circuit["name"] in ("roof cooler", "charger") else 2
    return tl.design_from(raw)


def parts(names: Any) -> list[set[str]]:
    return [set(on) for k in range(len(names) + 1) for on in itertools.combinations(names, k)]


def sizes(found: together.Together) -> dict[str, complex]:
    return {switch.name: switch.amps for switch in found.switches}


def test_currents_by_hand(demo: tl.Design) -> None:
    amps = sizes(together.of(demo, "shore"))
    for name, value in BY_HAND.items():
        assert amps[name] == pytest.approx(value, rel=1e-4), name
    assert together.of(demo, "shore").lowest_v == pytest.approx(LOWEST_V, abs=2e-3) and LOWEST_V < 116.0
    assert abs(amps["charger"]) == pytest.approx(CHARGER_W / 0.7 / LOWEST_V, rel=0.06), "absorption voltage within 6 %"
    assert set(amps) == {*BY_HAND, "charger"}


def test_a_low_pedestal_draws_more_in_motors_and_less_in_heaters(demo: tl.Design) -> None:
    low, full = sizes(together.of(demo, "shore", 108.0)), sizes(together.of(demo, "shore", 120.0))
    assert abs(low["roof cooler"]) == pytest.approx(abs(full["roof cooler"]) / 0.9)
    assert abs(low["charger"]) == pytest.approx(abs(full["charger"]) / 0.9)
    assert abs(low["kettle"]) == pytest.approx(abs(full["kettle"]) * 0.9)
    assert drawn_a("constant current", 120.0 + 0j, 108.0, 120.0) == 1.0
    measured = together.of(demo.replace("supply.shore.voltage", "108 V"), "shore")
    assert measured.volts_are == "measured" and measured.volts == 108.0 > measured.lowest_v > 101.0
    assert abs(sizes(measured)["roof cooler"]) == pytest.approx(abs(low["roof cooler"]) * 108.0 / measured.lowest_v)
    assert sizes(measured)["kettle"] == low["kettle"]
    assert together.of(demo, "shore", 108.0).volts_are == "supposed"


def test_every_set_on_shore_against_plain_sums(demo: tl.Design) -> None:
    found = together.of(demo, "shore")
    amps = {**BY_HAND, "charger": sizes(found)["charger"]}
    watts = {s.name: s.watts for s in found.switches}
    assert found.checked and watts["roof cooler"] == pytest.approx(1500.0) and watts["kettle"] == pytest.approx(1300.0)
    for on in parts(amps):
        plain = abs(sum(amps[n] for n in on)) <= 30.0 and abs(sum(amps[n] for n in on & set(BENCH))) <= 15.0
        free = {s.name for s in found.free}
        with_free = abs(sum(amps[n] for n in on | free)) <= 30.0
        assert found.allows(on) == plain == with_free, on


def test_sixty_panels_against_plain_sums(demo: tl.Design) -> None:
    rng = random.Random(4)
    for _ in range(60):
        changes: dict[Any, Any] = {("mains", "main"): rng.choice(("15 A", "20 A", "30 A"))}
        for name in ("roof cooler", "dryer road side", "dryer curb side", "kettle"):
            changes["load", name, "power"] = f"{rng.randint(300, 1800)} W"
            changes["load", name, "on"] = rng.random() < 0.9
        design = demo.replace_all(changes)
        for supply, rating in (("shore", 30.0), ("household", 15.0)):
            found = together.of(design, supply)
            most, amps = min(rating, design.mains.main or 0.0), sizes(found)
            branch = {s.name: s.circuit for s in found.switches}
            for on in parts(amps):
                plain = abs(sum(amps[n] for n in on)) <= most * (1 + 1e-9) and all(
                    abs(sum(amps[n] for n in on if branch[n] == c.name)) <= (c.protection or 0.0)
                    for c in design.circuits_of("mains")
                )
                assert found.allows(on) == plain
            for one in found.combinations:
                assert found.allows(one.on) and not any(
                    found.allows({*one.on, s.name}) for s in found.deciding if s.name not in one.on
                )
            for bad in found.forbidden:
                assert found.allows(bad.on) is False and all(found.allows(set(bad.on) - {n}) for n in bad.on)


def test_for_good_is_125_per_cent_of_what_lasts(demo: tl.Design) -> None:
    found = together.of(demo, "shore")
    amps, lasts = sizes(found), {s.name: s.lasts for s in found.switches}
    assert not lasts["kettle"] and lasts["roof cooler"] and lasts["dryer road side"] and lasts["charger"]
    base = {s.name for s in found.free}

    def good(on: set[str]) -> bool:
        return abs(sum(amps[n] * (1.25 if lasts[n] else 1.0) for n in on | base)) <= 30.0

    for one in found.for_good:
        assert good(set(one.on))
        assert not any(good({*one.on, s.name}) for s in found.deciding if s.name not in one.on)
    for one in found.combinations:
        assert one.lasts == good(set(one.on))
    assert found.under_three_hours and all(not one.lasts for one in found.under_three_hours)
    heaters = together.of(demo.replace("load.kettle.class", "space heater"), "shore")
    assert not any({"kettle", "dryer road side"} <= set(one.on) for one in heaters.for_good), (
        "20.8 A of heaters, 26 counted"
    )


def test_counts_and_order(demo: tl.Design) -> None:
    found = together.of(demo, "shore")
    names = [s.name for s in found.deciding]
    holding = [on for on in parts(names) if found.allows(on)]
    largest = [on for on in holding if not any(on < other for other in holding)]
    assert found.combinations_count == len(largest) == len(found.combinations)
    assert {frozenset(one.on) for one in found.combinations} == {frozenset(on) for on in largest}
    watts = [one.watts for one in found.combinations]
    assert watts == sorted(watts, reverse=True)
    assert found.under_three_hours_count == len(found.under_three_hours)
    assert [len(one.on) for one in found.forbidden] == sorted(len(one.on) for one in found.forbidden)
    sizes_a = [s.size_a for s in found.deciding]
    assert sizes_a == sorted(sizes_a, reverse=True)


def test_everything_at_once_opens_the_main_and_what_to_switch_off(demo: tl.Design) -> None:
    bad = together.of(demo, "shore").everything
    assert bad is not None
    amps = {**BY_HAND, "charger": sizes(together.of(demo, "shore"))["charger"]}
    total, watts = abs(sum(amps.values())), {s.name: s.watts for s in together.of(demo, "shore").switches}
    assert bad.first.limit.name == "30 A main" and bad.first.value == pytest.approx(total, rel=1e-4)
    assert 120.0 < bad.first.most_s < 3600.0, "between 135 and 200 %"
    assert {trip.limit.kind for trip in bad.stops} == {"cord", "inlet wire", "adapter"}
    fewest = min(
        k
        for k in range(8)
        for off in itertools.combinations(amps, k)
        if abs(sum(amps[n] for n in amps if n not in off)) <= 30.0
    )
    assert len(bad.switch_off) == fewest
    kept = [
        sum(watts[n] for n in amps if n not in off)
        for off in itertools.combinations(amps, fewest)
        if abs(sum(amps[n] for n in amps if n not in off)) <= 30.0 and "roof cooler" not in off
    ]
    assert kept and "roof cooler" not in bad.switch_off, "a compressor is spared where there is a choice"
    assert sum(watts[n] for n in amps if n not in bad.switch_off) == pytest.approx(max(kept))


def test_a_compressor_is_switched_off_last(demo: tl.Design) -> None:
    bad = together.of(demo, "household").everything
    assert bad is not None and "roof cooler" in bad.switch_off
    assert bad.switch_off[-1] == "roof cooler" and bad.rests


def test_the_branch_opens_before_the_main(demo: tl.Design) -> None:
    design = demo.replace("load.kettle.count", 4)
    bad = together.ask(design, "shore", ["kettle"])
    assert bad is not None
    fine = BY_HAND["laptops"] + BY_HAND["microscope lamp"]  # always on
    value = abs(4 * BY_HAND["kettle"] + fine)
    assert bad.first.limit.name == "15 A “bench outlets”" and bad.first.value == pytest.approx(value, abs=0.2)
    main = next(trip for trip in bad.trips if trip.limit.name == "30 A main")
    assert bad.first.most_s < 120.0 < main.most_s < 3600.0, "297 % of the branch, 149 % of the main"
    assert together.ask(demo, "shore", ["kettle"]) is None


def test_up_to_135_per_cent_no_time_is_promised(demo: tl.Design) -> None:
    bad = together.ask(demo, "shore", ["roof cooler", "kettle", "dryer road side"])
    assert bad is not None
    assert 1.0 < bad.first.value / 30.0 < 1.35 and math.isinf(bad.first.most_s)
    assert bad.first.when == "may hold for hours or open"


def test_a_thin_cord_heats_and_nothing_opens(demo: tl.Design) -> None:
    design = demo.replace("supply.shore.cord", "14 AWG")
    bad = together.ask(design, "shore", ["roof cooler", "dryer road side"])
    assert bad is not None and bad.first.limit.name == "14 AWG cord" and bad.first.stop
    assert bad.first.limit.rating == 18.0 and "nothing" in bad.first.when


def test_an_adapter_limits_what_lies_behind_it(demo: tl.Design) -> None:
    design = demo.replace("supply.shore.adapters", ["TT-30 to 5-15", "5-15 to TT-30"])
    bad = together.ask(design, "shore", ["roof cooler", "dryer road side"])
    assert bad is not None and {t.limit.name for t in bad.trips} == {"adapter TT-30 to 5-15", "adapter 5-15 to TT-30"}


def test_each_leg_has_its_own_limit(demo: tl.Design) -> None:
    found = together.of(two_legs(demo), "park")
    assert found.checked and found.everything is None, "17 A on one leg, 28 A on the other"
    small = together.of(two_legs(demo, main="20 A"), "park")
    assert small.allows(["roof cooler", "charger", "kettle", "dryer road side"])
    assert small.allows(["dryer road side", "dryer curb side", "kettle"]) is False
    bad = together.ask(two_legs(demo, main="20 A"), "park", ["dryer road side", "dryer curb side", "kettle"])
    assert bad is not None and bad.first.limit.name == "20 A main, leg 2"


def test_one_leg_behind_joins_both(demo: tl.Design) -> None:
    design = two_legs(demo).replace("supply.park.adapters", ["14-50 to TT-30", "TT-30 to 14-50"])
    found = together.of(design, "park")
    assert all(limit.leg is None for limit in found.limits)
    assert found.allows(["roof cooler", "dryer road side", "kettle"]) is False, "31.8 A through 30 A adapters"


def test_a_leg_that_is_not_given(demo: tl.Design) -> None:
    open_one = two_legs(demo, main="40 A").replace("circuit.roof cooler.leg", None)
    found = together.of(open_one, "park")
    assert any("leg of “roof cooler”" in gap for gap in found.gaps), "44 A do not hold on one leg"
    assert found.allows(["roof cooler"]) is None, "a set that holds is no pass while something is missing"
    assert not together.of(two_legs(demo).replace("circuit.roof cooler.leg", None), "park").gaps, (
        "44 A on a leg of 50 A"
    )


@pytest.mark.parametrize(
    ("path", "supply", "words"),
    [
        ("mains.main", "shore", "main breaker"),
        ("supply.generator.cord", "generator", "cord of “generator”"),
        ("site.elevation", "generator", "height and heat"),
        ("circuit.bench outlets.protection", "shore", "breaker of “bench outlets”"),
        ("battery", "shore", "charger draws"),
    ],
)
def test_what_is_missing_is_not_checked(demo: tl.Design, path: str, supply: str, words: str) -> None:
    found = together.of(demo.replace(path, None), supply)
    assert any(words in gap for gap in found.gaps) and not found.checked
    assert not any(words in gap for gap in together.of(demo, supply).gaps)
    assert found.allows([]) is None and found.allows([s.name for s in found.switches]) is not True


def test_a_generator_by_power_and_by_current(demo: tl.Design) -> None:
    found = together.of(demo, "generator")
    left = site_factors(demo).formula
    assert left is not None
    power = next(limit for limit in found.limits if limit.kind == "power")
    assert power.rating == pytest.approx(2800.0 * left)
    assert next(limit for limit in found.limits if limit.kind == "generator").rating == pytest.approx(2800.0 / 120.0)
    watts = {s.name: s.watts for s in found.switches}
    for on in parts(watts):
        if sum(watts[n] for n in on) > 2800.0 * left:
            assert found.allows(on) is False
    bad = together.ask(demo, "generator", ["roof cooler", "kettle"])
    assert bad is not None and bad.first.limit.kind == "power" and "overloads" in bad.first.when


def test_a_compressor_that_starts_only_first(demo: tl.Design) -> None:
    soft = demo.replace("load.roof cooler.soft_start", True).replace("supply.generator.kind", "portable 4500 W")
    left = site_factors(demo).formula or 0.0
    start = next(s.start_a for s in together.of(soft, "generator").switches if s.name == "roof cooler")
    assert start == pytest.approx(1.8 * 1500.0 / 0.97 / 120.0)
    assert start < 4500.0 * left / 120.0 < start + 1300.0 / 120.0, "it starts alone, not beside the kettle"
    found = together.of(soft, "generator")
    beside = next(one for one in found.combinations if {"roof cooler", "kettle"} <= set(one.on))
    assert beside.starts[0].first == ("roof cooler",) and "thermostat" in beside.starts[0].words
    assert together.of(demo, "generator").not_starting == ("roof cooler",), "without its soft starter"
    assert not any(one.starts for one in together.of(demo, "shore").combinations), "60 A is far from ten times 20 A"


def test_the_name_plate_wins(demo: tl.Design) -> None:
    plate = demo.replace("load.roof cooler.rated_current", "13.5 A").replace("load.roof cooler.locked_rotor", "62 A")
    cooler = next(s for s in together.of(plate, "shore", 120.0).switches if s.name == "roof cooler")
    assert cooler.size_a == pytest.approx(13.5) and cooler.start_a == pytest.approx(62.0)


def test_what_never_decides_is_free(demo: tl.Design) -> None:
    found = together.of(demo, "household")
    assert [s.name for s in found.free] == ["microscope lamp"] and found.free_lasts
    assert abs(BY_HAND["roof cooler"] + 2.0 * BY_HAND["dryer road side"]) > 30.0, "too much at the lowest voltage"
    assert [s.name for s in together.of(demo, "shore").free] == ["laptops", "microscope lamp"]
    near = demo.replace("mains.inlet_wire", "8 AWG")
    assert not together.of(near, "shore").free, "here two dryers and the cooler hold, and leave less than the lamp"
    one = demo.replace_all({("load", n, "on"): False for n in BY_HAND if n != "kettle"}).replace("charger", None)
    alone = together.of(one.replace("load.kettle.class", "space heater"), "shore")
    assert alone.everything is None and not alone.free_lasts, "12.5 A of a 15 A breaker, three hours at most"
    nothing = together.of(demo.replace("stay", None).replace("load", None).replace("charger", None), "shore")
    assert nothing.switches == () and nothing.everything is None


def test_more_than_can_be_looked_at_is_not_checked(demo: tl.Design) -> None:
    raw = copy.deepcopy(dict(demo.raw))
    raw["load"] += [{"name": f"plate {k}", "class": "induction plate", "circuit": "bench outlets"} for k in range(25)]
    found = together.of(tl.design_from(raw), "shore")
    assert "more than 22" in found.too_many and not found.checked and found.allows(["kettle"]) is None
    with pytest.raises(ValueError, match="more than 22"):
        together.ask(tl.design_from(raw), "shore", ["kettle"])


def test_the_same_object_while_nothing_changes(demo: tl.Design) -> None:
    first = together.of(demo, "shore")
    assert together.of(demo.replace("battery.capacity", "100 Ah"), "shore").combinations == first.combinations
    assert together.of(demo.replace("circuit.usb.run", "9 ft"), "shore") is first
    assert together.of(demo.replace("load.kettle.power", "900 W"), "shore") is not first
    assert together.of(demo, "shore", 120.0) is not first


def test_wrong_questions_are_refused(demo: tl.Design) -> None:
    with pytest.raises(tl.DesignError):
        together.of(demo, "moon")
    with pytest.raises(ValueError, match="above zero"):
        together.of(demo, "shore", 0.0)
    with pytest.raises(ValueError, match="no switch called"):
        together.of(demo, "shore").allows(["toaster"])


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (0.02, "1 s"),
        (7.2, "8 s"),
        (41.0, "50 s"),
        (120.0, "2 min"),
        (241.0, "5 min"),
        (1559.0, "30 min"),
        (3600.0, "1 h"),
    ],
)
def test_times_are_rounded_up(seconds: float, words: str) -> None:
    assert duration(seconds) == words


def test_what_does_not_start_alone_is_in_no_set_and_is_named(demo: tl.Design) -> None:
    """Ohm's law of a start: 1500 W of cooler asks some 59 A locked, more than a class of 3000 W gives for a moment."""
    found = together.of(demo, "generator")
    assert found.not_starting == ("roof cooler",)
    every = [one.on for one in (*found.for_good, *found.combinations)] + [one.on for one in found.forbidden]
    assert every and not any("roof cooler" in on for on in every)
    assert not any(not start.first for one in found.for_good for start in one.starts)
    assert "roof cooler" in {s.name for s in found.switches}, "a fact of the supply, not of the switches"
    assert together.of(demo, "shore").not_starting == ()
    assert any("roof cooler" in one.on for one in together.of(demo, "shore").for_good)


def test_with_a_larger_generator_it_starts_and_is_listed(demo: tl.Design) -> None:
    larger = demo.replace("supply.generator.kind", "portable 6500 W").replace("supply.generator.starting", "12000 W")
    found = together.of(larger, "generator")
    assert found.not_starting == () and any("roof cooler" in one.on for one in found.for_good)
