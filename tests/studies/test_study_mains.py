"""What does it ask of its supply: sums by the minute from the raw file and the catalogue."""

from __future__ import annotations

from typing import Any

import by_hand
import pytest

import trailerlib as tl
from trailerlib.rules.finding import Finding
from trailerlib.studies.answer import Answer
from trailerlib.studies.mains import everything, moments


def checks(answer: Answer, rule: str, subject: str = "") -> list[Finding]:
    return [c for c in answer.checks if c.rule == rule and subject in c.subject]


def supply_row(answer: Answer, supply: str) -> Any:
    (found,) = [r for r in answer.rows if r["name"] == supply]
    return found


def amps_by_minute(raw: Any, supply: str) -> list[list[float]]:
    """Current of each minute of each stay on a supply, the charger at full current."""
    return [[by_hand.mains_va(raw, by_hand.running(raw, stay, at)) / 120.0 for at in by_hand.minutes_of(stay)]
            for stay in raw["stay"] if stay["supply"] == supply]  # fmt: skip


def lasting(stays: list[list[float]]) -> float:
    """The largest current that is never undercut for three hours on end."""
    return max((min(amps[at : at + 180]) for amps in stays for at in range(len(amps) - 179)), default=0.0)


MORE: list[dict[str, Any]] = [
    {}, {"stay.camp with power.on.dryer curb side": "07:00-10:00"}, {"stay.camp with power.to": "02:00"}, {"charger": None},
    {"stay.camp with power.on.roof cooler": "16:30-17:30, 17:15-18:00"}, {"load.roof cooler.count": 2}, {"load.kettle.on": False},
    {"stay.camp with power.to": "09:00"}, {"charger.efficiency": "50 %", "charger.power_factor": "100 %"}, {"battery.chemistry": "lfp"},
    {"stay.drying day.supply": "shore"},
]  # fmt: skip


@pytest.mark.parametrize("changes", MORE, ids=str)
def test_the_busiest_moment_and_what_lasts(demo: tl.Design, changes: dict[str, Any]) -> None:
    design = demo.replace_all(changes)
    stays, answer = amps_by_minute(design.raw, "shore"), tl.study("mains", design, supply="shore")
    assert answer.value("stay_a") == pytest.approx(max(max(amps) for amps in stays))
    (total,) = checks(answer, "supply-total", "shore")
    assert total.measured == pytest.approx(max(max(amps) for amps in stays)) and total.limit == 30.0
    (long,) = checks(answer, "supply-continuous", "shore")
    assert long.measured == pytest.approx(lasting(stays)) and long.limit == pytest.approx(24.0)
    on = [load for load in design.raw["load"] if load.get("on", True)]
    assert answer.value("all_a") == pytest.approx(by_hand.mains_va(design.raw, on) / 120.0)
    assert supply_row(answer, "shore")["all_a"] == answer.value("all_a")


def test_the_busiest_moment_begins_when_it_does(demo: tl.Design) -> None:
    (amps,) = amps_by_minute(demo.raw, "shore")
    first = 7 * 60 + amps.index(max(amps))
    assert supply_row(tl.study("mains", demo), "shore")["when"] == f"{first // 60:02d}:{first % 60:02d}"


def cooler_and(design: tl.Design, *others: str) -> tl.Design:
    on = dict.fromkeys(("roof cooler", *others), "all")
    return design.replace_all({"charger": None, "stay.camp with power.on": on})


def test_a_cooler_two_heaters_and_a_kettle_cannot_run_on_thirty_amperes(demo: tl.Design) -> None:
    """Common practice, no source: a 13 500 Btu/h cooler, two heating loads of 1000 W outside and a kettle trip a 30 A inlet."""
    cooler = 12.9 * complex(0.97, (1 - 0.97**2) ** 0.5)  # its name plate
    answer = tl.study("mains", cooler_and(demo, "dryer road side", "dryer curb side", "kettle"))
    (total,) = checks(answer, "supply-total", "shore")
    assert total.severity == "fix" and total.measured == pytest.approx(abs(cooler + 2 * 1000 / 120 + 1300 / 120))
    assert "trips" in answer.sentence and answer.word == "fix"
    for load in ("roof cooler", "dryer road side", "dryer curb side", "kettle"):
        assert load in answer.sentence


def test_a_cooler_and_one_heater_run_on_thirty_amperes(demo: tl.Design) -> None:
    """Common practice, no source: one large load beside the cooler is what a 30 A inlet stands."""
    answer = tl.study("mains", cooler_and(demo, "dryer road side"))
    (total,) = checks(answer, "supply-total", "shore")
    assert total.severity == "holds"


def test_nothing_large_runs_beside_a_cooler_on_fifteen_amperes(demo: tl.Design) -> None:
    """Common practice, no source: a household outlet runs the cooler alone, if at all."""
    design = cooler_and(demo, "dryer road side").replace("stay.camp with power.supply", "household")
    (total,) = checks(tl.study("mains", design, supply="household"), "supply-total", "household")
    assert total.severity == "fix"
    alone = cooler_and(demo).replace("stay.camp with power.supply", "household")
    (total,) = checks(tl.study("mains", alone, supply="household"), "supply-total", "household")
    assert total.severity == "holds"


def test_a_supply_without_a_stay_is_not_checked(demo: tl.Design) -> None:
    """What runs on it is not said, so that it holds cannot be said either, and the gap must be listed."""
    answer = tl.study("mains", demo)
    assert [c.severity for c in checks(answer, "supply-total", "household")] == ["not checked"]
    assert [c.severity for c in checks(answer, "supply-continuous", "household")] == ["not checked"]


def test_one_leg_of_a_large_inlet_carries_no_more_than_its_rating(demo: tl.Design) -> None:
    """50 A at 120/240 V: a load of 7200 W at 120 V is 60 A on the one leg it hangs on, whatever the other leg does."""
    design = cooler_and(demo, "kettle").replace_all(
        {"supply.shore.kind": "shore 50 A", "supply.shore.cord": "6 AWG", "load.kettle.power": "7200 W"}
    )
    (total,) = checks(tl.study("mains", design, supply="shore"), "supply-total", "shore")
    assert total.severity != "holds"


def test_a_large_inlet_gives_fifty_amperes_on_each_leg(demo: tl.Design) -> None:
    answer = tl.study(
        "mains", demo.replace_all({"supply.shore.kind": "shore 50 A", "supply.shore.cord": "6 AWG"}), supply="shore"
    )
    assert answer.value("rating_a") == 50.0 and not [
        c for c in checks(answer, "supply-total", "shore") if c.severity == "fix"
    ]


@pytest.mark.parametrize(
    ("kind", "cord", "word"),
    [("shore 30 A", "10 AWG", "holds"), ("shore 30 A", "12 AWG", "stop"), ("household 15 A", "14 AWG", "holds"), ("household 15 A", "18 AWG", "stop"),
     ("household 20 A", "14 AWG", "stop"), ("shore 50 A", "6 AWG", "holds"), ("shore 50 A", "8 AWG", "stop"), ("shore 30 A", "4 mm2", "holds"),
     ("shore 30 A", "2.5 mm2", "stop"), ("shore 30 A", "6 mm2", "not checked")],
)  # fmt: skip
def test_cords(demo: tl.Design, kind: str, cord: str, word: str) -> None:
    """Table 400.5(A)(1), two current-carrying conductors: 18, 14, 12, 10, 8, 6 AWG carry 10, 18, 25, 30, 40, 55 A (from memory).

    BS 7671 table 4F3A: 2.5 and 4 mm2 carry 25 and 32 A; there it ends.
    """
    answer = tl.study("mains", demo.replace_all({"supply.shore.kind": kind, "supply.shore.cord": cord}))
    assert [c.severity for c in checks(answer, "supply-cord", "shore")] == [word]


def renamed(design: tl.Design, word: Any) -> tl.Design:
    """The demo with other names for its two outdoor circuits."""
    circuits = [{**c, "name": word(c["name"])} for c in design.raw["circuit"]]
    loads = [{**load, "circuit": word(load["circuit"])} for load in design.raw["load"]]
    return design.replace_all({"circuit": circuits, "load": loads, "charger.circuit": word("charger")})


@pytest.mark.parametrize(("guarded", "word"), [(True, "holds"), (False, "stop"), (None, "not checked")])
@pytest.mark.parametrize("name", [str, lambda n: n.replace("outdoor", "Outdoor"), lambda n: n.replace("outdoor", "drying press")],
                         ids=["outdoor", "Outdoor", "another name, outlet outside the box"])  # fmt: skip
def test_outdoor_receptacles(demo: tl.Design, guarded: bool | None, word: str, name: Any) -> None:
    """551.41(C). Both outlets lie outside the walls of the demo, whatever their circuits are called."""
    said = {("circuit", f"outdoor {side} side", "gfci"): guarded for side in ("road", "curb")}
    design = renamed(demo.replace_all(said), name)
    assert [c.severity for c in checks(tl.study("mains", design), "receptacle-gfci")] == [word, word]


def test_a_mains_side_without_a_supply_is_not_checked(demo: tl.Design) -> None:
    stays = [stay for stay in demo.raw["stay"] if stay["supply"] == "battery"]
    answer = tl.study("mains", demo.replace_all({"supply": [], "stay": stays}))
    assert answer.sentence.startswith("Not checked") and [c.severity for c in checks(answer, "supply-total")] == [
        "not checked"
    ]


def test_a_generator_can_be_asked_about_too(demo: tl.Design) -> None:
    answer = tl.study("mains", demo, supply="generator")
    assert answer.value("rating_a") == pytest.approx(2800 / 120)
    assert answer.value("stay_a") == pytest.approx(max(amps_by_minute(demo.raw, "generator")[0]))


def test_the_focus_is_the_supply_with_the_least_room_in_its_stays(demo: tl.Design) -> None:
    assert tl.study("mains", demo).sentence.startswith("shore")
    moved = demo.replace("stay.drying day.supply", "household")
    assert tl.study("mains", moved).sentence.startswith(
        "shore" if max(amps_by_minute(moved.raw, "household")[0]) / 15 < 37.5 / 30 else "household"
    )


@pytest.mark.parametrize(("path", "value"), [
    ("load.kettle.power", "700 W"), ("load.kettle.on", False), ("charger.current", "12 A"), ("battery.chemistry", "lfp"),
    ("charger", None), ("stay.camp with power.on.kettle", "05:00-05:30"),
])  # fmt: skip
def test_no_moment_is_kept_past_a_change(path, value, demo):
    """What the mains side draws, asked before and after one of the parts it rests on has changed."""
    asked = [
        ([moments(design, stay, legs) for stay in design.stays for legs in (1, 2)], everything(design))
        for design in (demo, demo.replace(path, value), demo)
    ]
    assert asked[0] == asked[2] != asked[1]
