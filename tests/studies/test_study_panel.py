"""The panel: sums by hand from the raw file, the best legs against every division, and the chain of plugs."""

from __future__ import annotations

import itertools
import random
from typing import Any

import by_hand
import pytest

import trailerlib as tl
from trailerlib.design.design import design_from
from trailerlib.design.plug_types import adapter, plugs
from trailerlib.studies import breakers, leg_balance
from trailerlib.studies import panel as panels
from trailerlib.studies import plugs as plugs_of
from trailerlib.studies.breakers import Breaker
from trailerlib.studies.leg_balance import best_legs
from trailerlib.studies.panel import panel


def two_legs(*circuits: tuple[str, int | None, str, int, str], **more: Any) -> tl.Design:
    """A trailer of 50 A on two legs; each circuit: name, leg, class, pieces, breaker."""
    return design_from(
        {
            "title": "Kiln cart",
            "trailer": {"length": "16 ft", "width": "7 ft", "height": "7 ft"},
            "mains": {"inlet": "14-50", "main": "50 A"},
            "circuit": [
                {"name": n, "system": "mains", "wire": "12 AWG", "protection": a, "device": "breaker"}
                | ({"leg": leg} if leg else {})
                for n, leg, _, _, a in circuits
            ],
            "load": [{"name": f"on {n}", "class": c, "circuit": n, "count": k} for n, _, c, k, _ in circuits],
            "supply": [{"name": "shore", "kind": "shore 50 A"}],
        }
        | more
    )


def amps(raw: Any, circuit: str, names: set[str] | None = None) -> float:
    """Current of a circuit from the raw file, without the charger [A]."""
    on = [one for one in raw["load"] if one["circuit"] == circuit and one.get("on", True)]
    each = [
        by_hand.lagging(by_hand.volt_amperes(one), by_hand.factor(one))
        for one in on
        if names is None or one["name"] in names
    ]
    return abs(sum(each)) / 120.0


@pytest.mark.parametrize("on", [None, {"roof cooler"}, {"kettle", "laptops"}, set()])
def test_every_breaker_carries_the_sum_of_its_loads(demo: tl.Design, on: set[str] | None) -> None:
    whole = panel(demo, on=on)
    assert [b.name for b in whole.breakers] == [c["name"] for c in demo.raw["circuit"] if c["system"] == "mains"]
    for b in whole.breakers:
        if b.name != "charger":
            assert b.now_a == pytest.approx(amps(demo.raw, b.name, on))
            assert b.all_a == pytest.approx(amps(demo.raw, b.name))
    (leg,) = whole.legs
    assert leg.now_a == pytest.approx(abs(sum(b.now for b in whole.breakers))) and whole.main_a == 30.0
    assert leg.number == 1 and whole.balance is None and whole.unplaced_a == 0.0


def test_the_panel_and_the_mains_question_agree(demo: tl.Design) -> None:
    assert panel(demo).legs[0].all_a == pytest.approx(tl.study("mains", demo, supply="shore").value("all_a"))


def test_the_charger_is_on_its_circuit_by_hand(demo: tl.Design) -> None:
    """20 A at 14.4 or 14.7 V (absorption of agm) over 85 % and 0.7, at 120 V."""
    volts = float(tl.reference.table("battery_limits").row(chemistry="agm")["absorption_v"])
    (own,) = [b for b in panel(demo).breakers if b.name == "charger"]
    assert own.all_a == pytest.approx(20 * volts / 0.85 / 0.7 / 120) and own.feeds == ("charger",)
    (off,) = [b for b in panel(demo, on={"kettle"}).breakers if b.name == "charger"]
    assert off.now_a == 0.0 and off.all_a == own.all_a


def test_shares_and_the_words_of_the_schedule(demo: tl.Design) -> None:
    rows = {row["name"]: row for row in panels.rows(demo)}
    assert rows["roof cooler"]["share"] == pytest.approx(12.9 / 20), "by its name plate"
    assert rows["bench outlets"]["receptacles"] == "3 × 5-15" and rows["bench outlets"]["gfci"] == "yes"
    assert rows["charger"]["receptacles"] == "wired in" and rows["charger"]["feeds"] == "charger"
    assert rows["main"]["rating_a"] == 30.0 and rows["main"]["share"] == pytest.approx(rows["main"]["all_a"] / 30.0)
    assert {column.key for column in panels.COLUMNS} >= {key for row in rows.values() for key in row}


def test_the_busiest_moment_is_that_of_the_stays_and_none_without(demo: tl.Design) -> None:
    """The curb-side dryer is in no timetable; the other runs in one."""
    busy = {b.name: b.busiest_a for b in panel(demo).breakers}
    assert busy["outdoor curb side"] == 0.0 and busy["outdoor road side"] == pytest.approx(1000 / 120)
    assert busy["bench outlets"] == pytest.approx(amps(demo.raw, "bench outlets"))
    bare = design_from({key: value for key, value in demo.raw.items() if key != "stay"})
    assert all(b.busiest_a is None for b in panel(bare).breakers)


def test_a_load_that_is_switched_off_or_more_of_them(demo: tl.Design) -> None:
    changed = demo.replace_all({"load.kettle.on": False, "load.laptops.count": 5})
    (own,) = [b for b in panel(changed).breakers if b.name == "bench outlets"]
    assert own.all_a == pytest.approx((5 * 65 / 0.9 + 15 / 0.9) / 120)


def breaker(name: str, leg: int | None, all_a: float) -> Breaker:
    return Breaker(name, 20.0, leg, "12 AWG", (), "wired in", None, all_a, None, all_a)


def heavier(loads: list[float], ways: tuple[int, ...]) -> float:
    return max(sum(a for a, leg in zip(loads, ways, strict=True) if leg == number) for number in (1, 2))


@pytest.mark.parametrize("seed", range(60))
def test_the_best_legs_are_the_best_of_all_divisions(seed: int) -> None:
    chance = random.Random(seed)
    loads = [chance.choice([0.0, 5.0, 8.0, chance.uniform(0.1, 25.0)]) for _ in range(chance.randint(1, 10))]
    legs = [chance.choice([1, 2]) for _ in loads]
    found = best_legs([breaker(f"c{n}", leg, a) for n, (leg, a) in enumerate(zip(legs, loads, strict=True))])
    assert found is not None
    least = min(heavier(loads, ways) for ways in itertools.product((1, 2), repeat=len(loads)))
    assert found.best_a == pytest.approx(least, abs=1e-9)
    assert heavier(loads, tuple(found.best.values())) == pytest.approx(found.best_a)
    assert found.present_a == pytest.approx(heavier(loads, tuple(legs)))
    assert set(found.moves) == {n for (n, to), at in zip(found.best.items(), legs, strict=True) if to != at}
    assert bool(found.moves) is (found.present_a > least + 1e-9)
    assert len(found.moves) <= len(loads) / 2, "its mirror needs fewer moves"


def test_forty_circuits_are_still_exact_and_more_are_refused() -> None:
    """Forty alike but for one: half and half is the best there is."""
    loads = [3.0] * 39 + [1.0]
    found = best_legs([breaker(f"c{n}", 1, a) for n, a in enumerate(loads)])
    assert found is not None and found.best_a == pytest.approx(60.0) and found.present_a == pytest.approx(118.0)
    with pytest.raises(ValueError, match="41 circuits"):
        best_legs([breaker(f"c{n}", 1, 1.0) for n in range(41)])
    assert best_legs([]) is None


def test_legs_are_summed_apart_and_a_circuit_without_a_leg_is_said() -> None:
    design = two_legs(
        ("kiln", 1, "space heater", 2, "30 A"),
        ("cooler", 1, "roof cooler 13500", 1, "20 A"),
        ("kettle", 2, "kettle", 1, "15 A"),
        ("lamps", None, "task lamp", 6, "15 A"),
    )
    whole = panel(design)
    first, second = whole.legs
    cooler = 1500 / 0.97 / 120 * complex(0.97, (1 - 0.97**2) ** 0.5)
    assert first.all_a == pytest.approx(abs(2 * 12.5 + cooler)) and second.all_a == pytest.approx(1300 / 120)
    assert whole.unplaced_a == pytest.approx(6 * 15 / 0.9 / 120) and whole.worst_leg.number == 1
    assert whole.balance is not None and whole.balance.present_a is None
    assert "Not every circuit says its leg" in leg_balance.balance_words(whole.balance)
    even = panel(design.replace_all({("circuit", "cooler", "leg"): 2, ("circuit", "lamps", "leg"): 1})).balance
    assert (
        even is not None
        and even.present_a is not None
        and even.present_a == pytest.approx(abs(25 + 90 / 0.9 / 120 * complex(0.9, 0.19**0.5)))
    )
    assert leg_balance.balance_words(None) == "" and "–" not in leg_balance.balance_words(even)


def test_legs_by_inlet_and_without_one_by_circuits_and_supplies() -> None:
    design = two_legs(("a", 1, "kettle", 1, "15 A"), ("b", 2, "kettle", 1, "15 A"))
    assert breakers.panel_legs(design) == 2 and breakers.panel_legs(design.replace("mains.inlet", "TT-30")) == 1
    assert breakers.panel_legs(design.replace("mains.inlet", None)) == 2
    assert len(panel(design.replace("mains.inlet", "TT-30")).legs) == 1


WAYS: list[tuple[str, list[str], str, bool, float, int, bool]] = [
    # kind, adapters, inlet, fits, limit, hot wires, one hot wire on both legs
    ("shore 30 A", [], "TT-30", True, 30.0, 1, False),
    ("household 15 A", ["5-15 to TT-30"], "TT-30", True, 15.0, 1, False),
    ("household 20 A", ["5-15 to TT-30"], "TT-30", True, 15.0, 1, False),  # the plug of 15 A goes into 20 A and limits it
    ("household 15 A", ["5-20 to TT-30"], "TT-30", False, 15.0, 1, False),  # the other way round it does not
    ("household 15 A", [], "TT-30", False, 15.0, 1, False),
    ("shore 50 A", ["14-50 to TT-30"], "TT-30", True, 30.0, 1, False),
    ("shore 30 A", ["TT-30 to 14-50"], "14-50", True, 30.0, 1, True),
    ("household 20 A", ["5-20 to TT-30", "TT-30 to 14-50"], "14-50", True, 20.0, 1, True),
    ("shore 30 A", ["TT-30 to 5-20", "5-15 to TT-30"], "TT-30", True, 15.0, 1, False),
    ("portable 6500 W", ["L5-30 to TT-30"], "TT-30", True, 30.0, 1, False),
    ("portable 2000 W", ["TT-30 to 5-20"], "TT-30", False, 20.0, 1, False),
    ("shore 50 A", ["14-50 to L14-30", "L14-30 to 14-50"], "14-50", True, 30.0, 2, False),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "adapters", "inlet", "fits", "limit", "legs", "one_hot"), WAYS)
def test_the_chain_of_plugs(
    kind: str, adapters: list[str], inlet: str, fits: bool, limit: float, legs: int, one_hot: bool
) -> None:
    design = two_legs(("a", 1, "kettle", 1, "15 A"), mains={"inlet": inlet},
                      supply=[{"name": "s", "kind": kind, "adapters": adapters}])  # fmt: skip
    way = plugs_of.chain(design, design.supplies[0])
    assert (way.fits, way.limit_a, way.legs, way.one_hot) == (fits, limit, legs, one_hot)
    assert bool(way.apart) is not fits and way.adapters == len(adapters)
    for text in (*adapters, f"{inlet} inlet", "R →"):
        assert text in way.words
    assert plugs()[inlet].rating_a >= way.limit_a or way.limit_a <= min(adapter(a).plug.rating_a for a in adapters)


def test_the_words_of_a_chain(demo: tl.Design) -> None:
    household = next(supply for supply in demo.supplies if supply.name == "household")
    way = plugs_of.chain(demo, household)
    assert way.words == "5-15R → 5-15 to TT-30 → TT-30 inlet" and way.limited_by == "5-15R"
    bare = plugs_of.chain(demo.replace("mains.inlet", None), household)
    assert bare.fits is None and bare.words == "5-15R → 5-15 to TT-30 → inlet not given"
