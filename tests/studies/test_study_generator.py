"""Which generator: sums by the minute, derating worked again, the smallest class by trying each."""

from __future__ import annotations

import math
from typing import Any

import by_hand
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import trailerlib as tl
from trailerlib.rules.finding import Finding
from trailerlib.studies.answer import Answer

CLASSES = ("portable 1000 W", "portable 2000 W", "portable 3000 W", "portable 4500 W", "portable 6500 W")


def check(answer: Answer, rule: str) -> Finding:
    (found,) = [c for c in answer.checks if c.rule == rule]
    return found


def left(elevation_m: float, celsius: float) -> float:
    """SAE J1349 turned round, in mbar of dry air: standard atmosphere less 30 % of the Magnus pressure; no more than all."""
    standard = 1013.25 * (1 - 2.25577e-5 * elevation_m) ** 5.25588
    dry = standard - 0.3 * 6.112 * math.exp(17.62 * celsius / (243.12 + celsius))
    return min(1.0, 1 / (1.18 * (990 / dry) * math.sqrt((celsius + 273) / 298) - 0.18))


def moments(raw: Any, supply: str) -> list[list[Any]]:
    """What is on in every minute of the stays on a supply."""
    return [
        by_hand.running(raw, stay, at)
        for stay in raw["stay"]
        if stay["supply"] == supply
        for at in by_hand.minutes_of(stay)
    ]


def worst_start(raw: Any, loads: list[Any]) -> float:
    """All others running and the hardest one starting [VA]."""
    mains = [load for load in loads if not by_hand.is_dc(load)]
    running = by_hand.mains_va(raw, loads)
    return max(
        (running - by_hand.volt_amperes(load) + by_hand.start_volt_amperes(load) for load in mains), default=running
    )


MORE: list[dict[str, Any]] = [
    {}, {"stay.drying day.on.roof cooler": "10:00-12:00"}, {"load.roof cooler.soft_start": True, "stay.drying day.on.roof cooler": "10:00-12:00"},
    {"charger": None}, {"load.laptops.count": 5}, {"stay.drying day.to": "01:00"}, {"site.elevation": "0 ft", "site.hottest": "60 °F"},
    {"supply.generator.running": "2 kW", "supply.generator.starting": "2.2 kW"}, {"site.elevation": "-100 ft"},
]  # fmt: skip


@pytest.mark.parametrize("changes", MORE, ids=str)
def test_running_starting_derating_and_fuel(demo: tl.Design, changes: dict[str, Any]) -> None:
    design = demo.replace_all(changes)
    raw, answer = design.raw, tl.study("generator", design)
    minutes = moments(raw, "generator")
    assert answer.value("running_va") == pytest.approx(max(by_hand.mains_va(raw, on) for on in minutes))
    assert answer.value("start_va") == pytest.approx(max(worst_start(raw, on) for on in minutes))
    share = left(by_hand.number(raw["site"]["elevation"]), by_hand.number(raw["site"]["hottest"]))
    assert answer.value("left") == pytest.approx(share, rel=1e-6)
    supply = by_hand.named(raw, "supply", "generator")
    rated = (
        by_hand.number(supply["running"])
        if "running" in supply
        else by_hand.cell("catalogue/generators", "running_w", **{"class": supply["kind"]})
    )
    surge = (
        by_hand.number(supply["starting"])
        if "starting" in supply
        else by_hand.cell("catalogue/generators", "starting_w", **{"class": supply["kind"]})
    )
    assert answer.value("gives_w") == pytest.approx(rated * share, rel=1e-6)
    assert answer.value("surge_w") == pytest.approx(surge * share, rel=1e-6)
    idle, slope, tank = (
        by_hand.cell("catalogue/generators", key, **{"class": supply["kind"]})
        for key in ("idle_l_per_h", "slope_l_per_kwh", "tank_l")
    )
    litres = sum(idle + slope * by_hand.mains_w(raw, on) / 1000 for on in minutes) / 60
    assert answer.value("litres") == pytest.approx(litres)
    assert answer.value("tank_h") == pytest.approx(tank / (litres / (len(minutes) / 60)))


def test_the_worst_start_need_not_be_the_busiest_moment(demo: tl.Design) -> None:
    """Two presses run in the morning; in the afternoon the cooler starts, alone: less running, far more starting."""
    on = {"dryer road side": "09:00-12:00", "dryer curb side": "09:00-12:00", "roof cooler": "14:00-16:00"}
    design = demo.replace_all({"stay.drying day.on": on, "charger": None, "supply.generator.kind": "portable 4500 W"})
    answer = tl.study("generator", design)
    cooler = 1500 * 4.6 / 0.97
    assert answer.value("start_va") == pytest.approx(cooler)
    assert check(answer, "generator-starting").severity == "fix", answer.sentence
    assert "does not start the roof cooler" in answer.sentence


def test_the_shop_rule_stands_beside(demo: tl.Design) -> None:
    """Common practice, no source: 3.5 % off each 1000 ft and 1 % off each 10 °F over 60 °F."""
    assert tl.study("generator", demo).value("shop") == pytest.approx(1 - 0.035 * 5.2 - 0.001 * 36, rel=1e-6)


@given(st.integers(-300, 5000), st.integers(1, 900), st.integers(-20, 45), st.integers(1, 15))
@settings(max_examples=40, deadline=None)
def test_higher_and_hotter_never_gives_more(demo: tl.Design, metres: int, more: int, celsius: int, warmer: int) -> None:
    here = demo.replace_all({"site.elevation": f"{metres} m", "site.hottest": f"{celsius} °C"})
    higher, hotter = (
        here.replace("site.elevation", f"{metres + more} m"),
        here.replace("site.hottest", f"{celsius + warmer} °C"),
    )
    for key in ("left", "shop", "gives_w", "surge_w"):
        at = tl.study("generator", here).value(key)
        assert (
            at > 0 and tl.study("generator", higher).value(key) <= at and tl.study("generator", hotter).value(key) <= at
        )


def works(design: tl.Design) -> bool:
    answer = tl.study("generator", design)
    return check(answer, "generator-running").severity == check(answer, "generator-starting").severity == "holds"


def smallest_by_trying(design: tl.Design) -> str | None:
    return next((kind for kind in CLASSES if works(design.replace("supply.generator.kind", kind))), None)


@pytest.mark.parametrize("feet", [0, 5200, 12_000])
@pytest.mark.parametrize(
    "on",
    [{"laptops": "all"}, {"dryer road side": "all"}, {"dryer road side": "all", "dryer curb side": "all"}, {"kettle": "all", "laptops": "all"},
     {"roof cooler": "all"}, {"roof cooler": "all", "kettle": "all", "dryer road side": "all", "dryer curb side": "all"}],
    ids=lambda on: "+".join(on),
)  # fmt: skip
def test_the_smallest_class_that_does_by_trying_each(demo: tl.Design, on: dict[str, str], feet: int) -> None:
    design = demo.replace_all({"stay.drying day.on": on, "charger": None, "site.elevation": f"{feet} ft"})
    expected = smallest_by_trying(design)
    answer = tl.study("generator", design)
    does = [row["name"] for row in answer.rows if row["does"] == "yes"]
    assert (does[0] if does else None) == expected
    assert does == [kind for kind in CLASSES if works(design.replace("supply.generator.kind", kind))]
    assert [bar.name for bar in answer.picture.bars if bar.does] == does
    if expected is None:
        assert "No class" in answer.sentence
    elif expected != "portable 3000 W":
        assert expected in answer.sentence


@pytest.mark.parametrize("key", ["site.elevation", "site.hottest"])
def test_without_height_or_heat_it_is_not_checked(demo: tl.Design, key: str) -> None:
    answer = tl.study("generator", demo.replace(key, None))
    assert {check(answer, "generator-running").severity, check(answer, "generator-starting").severity} == {
        "not checked"
    }
    assert answer.sentence.startswith("Not checked") and all(row["does"] == "not checked" for row in answer.rows)
    assert answer.value("left") != answer.value("left")


@pytest.mark.parametrize(
    ("sleepers", "alarm", "word"),
    [(2, True, "holds"), (2, False, "stop"), (1, False, "stop"), (2, None, "not checked"), (0, False, "holds"), (0, None, "holds"),
     (None, None, "not checked"), (None, False, "not checked")],
)  # fmt: skip
def test_who_sleeps_beside_a_generator_needs_an_alarm(
    demo: tl.Design, sleepers: int | None, alarm: bool | None, word: str
) -> None:
    answer = tl.study("generator", demo.replace_all({"use.sleepers": sleepers, "safety.co_alarm": alarm}))
    assert check(answer, "generator-co-alarm").severity == word


def test_how_far_the_exhaust_is_from_an_opening(demo: tl.Design) -> None:
    """The platform is 3 ft before the nose wall, 1 ft up; the nearest is the door's centre or its window's."""
    platform = (-3.0, 3.5, 1.0)
    centres = [(4, 7, 3), (4, 7, 4.5), (14, 3.5, 3), (6, 3.5, 6.5), (11, 3.5, 6.5)]
    nearest_ft = min(math.dist(platform, centre) for centre in centres)
    finding = check(tl.study("generator", demo), "generator-distance")
    assert finding.measured == pytest.approx(nearest_ft * 0.3048) and finding.severity == "note"
    far = check(
        tl.study("generator", demo.replace("place.nose platform.at", ["-20 ft", "0 ft", "0 ft"])), "generator-distance"
    )
    assert far.severity == "holds"


@pytest.mark.parametrize("changes", [{"opening": []}, {"supply.generator.place": None}], ids=str)
def test_without_a_place_or_an_opening_the_distance_is_not_checked(demo: tl.Design, changes: dict[str, Any]) -> None:
    assert check(tl.study("generator", demo.replace_all(changes)), "generator-distance").severity == "not checked"


def test_a_trailer_without_a_generator_is_not_checked(demo: tl.Design) -> None:
    supplies = [s for s in demo.raw["supply"] if s["name"] != "generator"]
    stays = [s for s in demo.raw["stay"] if s["supply"] != "generator"]
    answer = tl.study("generator", demo.replace_all({"supply": supplies, "stay": stays}))
    assert answer.sentence.startswith("Not checked") and answer.word == "not checked"


def test_asked_about_an_inlet_it_does_not_deny_the_generator(demo: tl.Design) -> None:
    try:
        sentence = tl.study("generator", demo, supply="shore").sentence
    except tl.DesignError as error:
        sentence = str(error)
    assert "has no generator" not in sentence


def test_without_a_stay_everything_at_once_is_asked(demo: tl.Design) -> None:
    stays = [s for s in demo.raw["stay"] if s["supply"] != "generator"]
    answer = tl.study("generator", demo.replace("stay", stays))
    assert answer.value("running_va") == pytest.approx(by_hand.mains_va(demo.raw, demo.raw["load"]))
    assert answer.value("litres") != answer.value("litres")
