"""Will it stay cool, and is there air: every rule broken once, what is not known, what is said, and what it all adds up to."""

from __future__ import annotations

from math import isnan
from typing import Any

import pytest
from box_by_hand import FOAM, by_hand

import trailerlib as tl
from trailerlib.rules import air
from trailerlib.rules.finding import Finding, Rule
from trailerlib.studies.answer import Answer
from trailerlib.studies.cooling import result

HEATER = {"name": "heater", "class": "space heater", "circuit": "bench outlets", "place": "bench"}
HEAT, CONDENSES = {"set-point-held", "cooler-starts", "hot-without-power"}, "wall-condensation"
BREATH = {"air-carbon-dioxide", "air-carbon-dioxide-harm"}


@pytest.fixture(scope="module")
def box(demo: tl.Design) -> tl.Design:
    return by_hand(demo)


@pytest.fixture(scope="module")
def cart() -> tl.Design:
    return tl.read_design(tl.shipped_trailers()["kiln-cart"])


@pytest.fixture(scope="module")
def well(box: tl.Design) -> tl.Design:
    """A design of which every rule of air and heat is asked and holds: a mild place, a leaky box, the generator far off."""
    fan_by_day = {**box.get("stay.drying day.on"), "roof fan": "all"}
    return changed(
        box, site__hottest="84 °F", envelope__shade="80 %", envelope__leakage=3, comfort__band="8 °F", comfort__heater="electric",
        load=[*box.get("load"), HEATER, {**HEATER, "name": "second heater"}, {**HEATER, "name": "third heater"}],
        stay__camp__on__kettle=None, **{"stay__drying day__on": fan_by_day, "place__nose platform__at": ["-30 ft", "3 ft", "1 ft"],
                                        "load__roof cooler__cooling": "6000 Btu/h"})  # fmt: skip


def changed(design: tl.Design, **changes: Any) -> tl.Design:
    return design.replace_all({tuple(key.split("__")): value for key, value in changes.items()})


def asked(design: tl.Design) -> Answer:
    return tl.study("cooling", design)


def words_of(design: tl.Design) -> dict[str, str]:
    """Severity by rule; each rule is asked once here."""
    checks = asked(design).checks
    assert len({check.rule for check in checks}) == len(checks)
    return {check.rule: check.severity for check in checks}


def check(design: tl.Design, rule: str) -> Finding:
    (found,) = [f for f in asked(design).checks if f.rule == rule]
    return found


# ── every rule ───────────────────────────────────────────────────────────────────────────────────────────────────────

BROKEN: dict[str, tuple[str, dict[str, Any]]] = {
    "air-carbon-dioxide": ("fix", {"comfort__co2": 450}),
    "air-carbon-dioxide-harm": ("stop", {"envelope__leakage": 0, "stay__night__people": 6, "stay__night__on__roof fan": None}),
    "fan-without-inlet": ("fix", {"opening__door window__gap": "0 in"}),
    "air-with-the-fan-off": ("note", {"envelope__leakage": 0.2}),
    "open-flame-heater": ("stop", {"comfort__heater": "open flame"}),
    "carbon-monoxide-alarm": ("stop", {"safety__co_alarm": False}),
    "fan-draws-exhaust": ("stop", {"place__nose platform__at": ["-3 ft", "3 ft 6 in", "1 ft"]}),
    "set-point-held": ("fix", {"load__roof cooler__cooling": "1500 Btu/h"}),
    "cooler-starts": ("note", {"comfort__band": "0.5 °F"}),
    "wall-condensation": ("note", {"site__coldest": "-30 °F", "opening__door window__gap": "0.2 in", "envelope__leakage": 0.3}),
    "heater-holds": ("fix", {"load__heater__power": "200 W", "load__second heater__on": False, "load__third heater__on": False}),
    "hot-without-power": ("note", {"site__hottest": "110 °F"}),
}  # fmt: skip


def test_a_design_of_which_all_holds(well: tl.Design) -> None:
    answer = asked(well)
    assert {f.rule: f.severity for f in answer.checks} == dict.fromkeys(BROKEN, "holds"), answer.findings_text()
    assert answer.word == "holds" and answer.findings_text() == "12 of 12 checks hold."


def test_every_rule_of_the_air_is_broken_here() -> None:
    assert {rule.id for rule in vars(air).values() if isinstance(rule, Rule)} == set(BROKEN)


@pytest.mark.parametrize("rule", BROKEN)
def test_a_design_that_breaks_it(rule: str, well: tl.Design) -> None:
    severity, changes = BROKEN[rule]
    answer = asked(changed(well, **changes))
    (found,) = [f for f in answer.checks if f.rule == rule]
    assert found.severity == severity
    assert found.text("us") in " ".join(answer.findings_text().split()) and found.mend("us")
    if severity == "stop":
        assert answer.word == "stop" and found.text("us") in answer.sentence, "said first, and in the verdict"


def test_what_is_measured_is_what_the_answer_says(well: tl.Design) -> None:
    answer = asked(well)
    measured = {f.rule: f.measured for f in answer.checks}
    for rule, key in {"air-carbon-dioxide": "co2_ppm", "air-with-the-fan-off": "leaks", "set-point-held": "held_c",
                      "cooler-starts": "starts", "hot-without-power": "free_c"}.items():  # fmt: skip
        assert measured[rule] == pytest.approx(answer.value(key)), rule
    limits = {f.rule: f.limit for f in answer.checks}
    assert limits["set-point-held"] == pytest.approx((76 + 4 - 32) / 1.8) and limits["air-carbon-dioxide"] == 1000
    assert limits["heater-holds"] == pytest.approx(answer.value("heater_w")) and measured["heater-holds"] == 4500
    assert limits[CONDENSES] == pytest.approx(answer.value("dew_c"))
    assert limits["air-with-the-fan-off"] == pytest.approx(answer.value("needed_flow"))


# ── what is not known ────────────────────────────────────────────────────────────────────────────────────────────────

ASLEEP = {*BREATH, "air-with-the-fan-off", "set-point-held", "hot-without-power", CONDENSES}
MISSING: list[tuple[str, set[str]]] = [
    *((f"face__{name}__layers", {*HEAT, CONDENSES, "heater-holds"}) for name in ("roof", "floor")),
    ("face__walls", {*HEAT, CONDENSES, "heater-holds"}),
    ("envelope__skin", {*HEAT, CONDENSES, "heater-holds"}),
    ("envelope__heading", {*HEAT, CONDENSES, "heater-holds"}),
    ("envelope__leakage", {*HEAT, *BREATH, "air-with-the-fan-off", CONDENSES, "heater-holds"}),
    ("opening__door window__glazing", {*HEAT, CONDENSES, "heater-holds"}),
    ("opening__door window__gap", {*BREATH, CONDENSES, "fan-without-inlet"}),
    ("site__elevation", {*HEAT, *BREATH, "air-with-the-fan-off", CONDENSES, "heater-holds"}),
    ("site__latitude", HEAT),
    ("site__day", HEAT),
    ("site__hottest", HEAT),
    ("site__coldest", {CONDENSES, "heater-holds"}),
    ("comfort__set_point", {"set-point-held", "cooler-starts"}),
    ("comfort__heat_to", {CONDENSES, "heater-holds"}),
    ("comfort__heater", {"open-flame-heater", "heater-holds"}),
    ("comfort__co2", {"air-carbon-dioxide", "air-with-the-fan-off"}),
    ("stay__night__people", ASLEEP),
    ("stay__night__activity", ASLEEP),
    ("stay__camp__people", {"set-point-held", "hot-without-power"}),
    ("stay__camp__activity", {"set-point-held", "hot-without-power"}),
    ("use__sleepers", {"open-flame-heater", "carbon-monoxide-alarm"}),
    ("safety__co_alarm", {"carbon-monoxide-alarm"}),
    ("supply__generator__place", {"fan-draws-exhaust"}),
]  # fmt: skip


@pytest.mark.parametrize(("gone", "rules"), MISSING)
def test_what_is_not_known_is_not_checked(gone: str, rules: set[str], well: tl.Design) -> None:
    """Never a pass, and nothing else is lost; what hangs on the night alone is not asked where there is none."""
    design = (
        well.replace("face", [f for f in well.get("face") if f["name"] != "walls"]) if gone == "face__walls" else None
    )
    answer = asked(design or changed(well, **{gone: None}))
    found = {f.rule: f.severity for f in answer.checks}
    assert {rule: found.get(rule) for rule in rules} == dict.fromkeys(rules, "not checked")
    of_the_night = {"fan-without-inlet"} if "night" in answer.picture.missing else set()
    assert {rule for rule, word in found.items() if word == "not checked"} == rules
    assert set(BROKEN) - set(found) <= of_the_night
    assert answer.word == "not checked" and answer.text() and answer.findings_text()


@pytest.mark.parametrize(
    "path", ["envelope.skin", "face.roof.layers", "site.hottest", "envelope.leakage", "site.elevation"]
)
def test_nothing_of_the_heat_is_told_where_it_is_not_known(path: str, box: tl.Design) -> None:
    answer = asked(box.replace(path, None))
    for key in ("ua", "free_c", "worst_h", "asked_w", "needed_w", "smallest_w", "held_c", "duty", "starts", "day_wh"):
        assert isnan(answer.value(key)), key
    assert answer.sentence.startswith("Heat is not checked, it needs ") and answer.rows == () and answer.beside is None
    assert answer.picture.heat is None and answer.picture.day is None and "heat" in answer.picture.missing


def test_a_heat_that_is_too_much_already_is_said_whoever_is_not_counted(box: tl.Design) -> None:
    """People not counted only add to it: what breaks without them breaks, what holds without them is not known."""
    small = changed(box, **{"load__roof cooler__cooling": "1500 Btu/h", "stay__camp__people": None})
    assert check(small, "set-point-held").severity == "fix" and check(small, "hot-without-power").severity == "note"
    unsaid = asked(changed(box, stay__camp__people=None))
    assert unsaid.sentence.startswith("76 °F is held as far as people are counted")
    assert "not counted: how many people are in “camp” and what they do" in " ".join(unsaid.text().split())
    nobody = changed(box, stay__camp__people=0, stay__camp__activity=None)
    assert check(nobody, "set-point-held").severity == "holds", "none is said, and needs no doing"


def test_without_stays_nothing_set_free_is_counted_and_that_is_said(well: tl.Design) -> None:
    answer = asked(well.replace("stay", None))
    assert {f.severity for f in answer.checks if f.rule in {"set-point-held", "hot-without-power"}} == {"not checked"}
    assert "no stay says who is in it" in " ".join(answer.text().split())


def test_a_dew_point_that_is_not_known_is_said(box: tl.Design) -> None:
    assert "(site.dew_point)" in asked(box.replace("site.dew_point", None)).text()
    assert "(site.dew_point)" not in asked(box).text()


@pytest.mark.parametrize(("cooling", "band", "said", "word"), [
    ("1.5 kW", "3 °F", "is not held: it gets", "fix"), ("1.85 kW", "0.2 °F", "is not held: it gets", "fix"),
    ("1.75 kW", "3 °F", "is held within its band", "holds"), ("1.85 kW", "3 °F", "is held: the worst hour", "holds"),
])  # fmt: skip
def test_the_verdict_and_the_finding_say_the_same(
    cooling: str, band: str, said: str, word: str, box: tl.Design
) -> None:
    design = changed(box, comfort__band=band, **{"load__roof cooler__cooling": cooling})
    assert said in asked(design).sentence and check(design, "set-point-held").severity == word
    assert ("would take a cooler of" in asked(design).sentence) is (cooling == "1.5 kW")


# ── nobody asleep, no cooler, no fan ─────────────────────────────────────────────────────────────────────────────────


def test_nobody_sleeps_asks_nothing_of_the_night(well: tl.Design) -> None:
    by_day = [stay for stay in well.get("stay") if stay["name"] != "night"]
    for design in (well.replace("use.sleepers", 0), changed(well, use__sleepers=0, stay=by_day)):
        found = words_of(design)
        assert not {*BREATH, "air-with-the-fan-off", "fan-without-inlet", CONDENSES} & set(found)
        assert found["open-flame-heater"] == found["carbon-monoxide-alarm"] == "holds" == found["set-point-held"]
        assert words_of(design.replace("comfort.heater", None))["open-flame-heater"] == "holds"
        assert asked(design).sentence.endswith("Nobody sleeps in it.") and "not checked" not in found.values()
        assert asked(design).picture.missing["night"] == "nobody sleeps in it"


def test_a_fan_that_draws_exhaust_in_by_day_is_a_stop_though_nobody_sleeps(well: tl.Design) -> None:
    near = changed(well, use__sleepers=0, **{"place__nose platform__at": ["-3 ft", "3 ft 6 in", "1 ft"]})
    found = check(near, "fan-draws-exhaust")
    assert found.severity == "stop" and "drying day" in found.subject and "exhaust" in asked(near).sentence
    shut = changed(near, **{"opening__door window__gap": "0 in"})
    assert check(shut, "fan-draws-exhaust").severity == "holds"
    still = near.replace(("stay", "drying day", "on", "roof fan"), None)
    assert "fan-draws-exhaust" not in words_of(still)


def test_exhaust_is_not_checked_until_every_window_is_known(well: tl.Design) -> None:
    """Near it: one open is enough; all shut has to be said of each. Far off it does not matter what stands open."""
    second = {"name": "bunk window", "kind": "window", "wall": "road", "at": ["11 ft", "4 ft"], "size": ["3 ft", "2 ft"],
              "glazing": "double glass"}  # fmt: skip
    two = well.replace("opening", [*well.get("opening"), second])
    for place, gap, word in (("-3 ft", "3 in", "stop"), ("-3 ft", "0 in", "not checked"), ("-3 ft", None, "not checked"),
                             ("-30 ft", None, "holds")):  # fmt: skip
        design = changed(two, **{"place__nose platform__at": [place, "3 ft", "1 ft"], "opening__door window__gap": gap})
        assert check(design, "fan-draws-exhaust").severity == word, (place, gap)
    doors = [hole for hole in well.get("opening") if hole["kind"] != "window"]
    near = changed(well, opening=doors, **{"place__nose platform__at": ["-3 ft", "3 ft", "1 ft"]})
    assert check(near, "fan-draws-exhaust").severity == "not checked"


def test_without_a_cooler(box: tl.Design) -> None:
    bare = box.replace("load.roof cooler.on", False)
    answer = asked(bare)
    assert "there is no cooler; one of " in answer.sentence and check(bare, "set-point-held").subject == "the box"
    assert check(bare, "set-point-held").severity == "fix" and "cooler-starts" not in words_of(bare)
    assert isnan(answer.value("held_c")) and isnan(answer.value("day_wh"))
    assert answer.value("needed_w") == pytest.approx(asked(box).value("needed_w"))
    assert answer.picture.day.held_c is None and answer.picture.day.on_h == () and answer.rows and answer.working
    no_mark = bare.replace("comfort.set_point", None)
    assert "set-point-held" not in words_of(no_mark) and not isnan(asked(no_mark).value("free_c"))


def test_without_a_fan(box: tl.Design) -> None:
    loads = [load for load in box.get("load") if load["name"] != "roof fan"]
    stays = [{**stay, "on": {k: v for k, v in stay["on"].items() if k != "roof fan"}} for stay in box.get("stay")]
    bare = changed(box, load=loads, stay=stays)
    answer = asked(bare)
    assert (
        "fan-without-inlet" not in words_of(bare) and isnan(answer.value("fan_flow")) and isnan(answer.value("gap_m"))
    )
    assert answer.value("co2_ppm") == answer.value("shut_ppm") and check(bare, "air-carbon-dioxide").severity == "fix"
    assert answer.sentence.endswith("Shut, the sleepers wake in 2390 ppm of carbon dioxide.")
    assert answer.picture.night.fan_ppm is None and not any(
        r["change"].startswith("the fan") for r in answer.beside.rows
    )


def test_a_fan_that_is_not_on_at_night(box: tl.Design) -> None:
    answer = asked(box.replace(("stay", "night", "on", "roof fan"), None))
    assert "The fan is not on at night: the sleepers wake in 2390 ppm" in answer.sentence
    assert not isnan(answer.value("fan_flow")), "what it would move"


def test_the_smallest_class_that_does() -> None:
    assert result.smallest_class(1.0) == ("roof cooler 11000", pytest.approx(3224))
    assert result.smallest_class(3224.0) == ("roof cooler 11000", pytest.approx(3224)), "just as much is enough"
    assert result.smallest_class(3900.0) == ("roof cooler 13500", pytest.approx(3956))
    assert result.smallest_class(50_000.0) is None


# ── what is said ─────────────────────────────────────────────────────────────────────────────────────────────────────


@pytest.mark.parametrize("system", ["us", "metric"])
@pytest.mark.parametrize("name", ["fen-survey", "kiln-cart", "one-lamp", "a bare box"])
def test_everything_is_said_of_every_trailer(name: str, system: str) -> None:
    if name == "a bare box":
        design = tl.design_from({"title": "Bare", "trailer": {"length": "10 ft", "width": "5 ft", "height": "5 ft"}})
    else:
        design = tl.read_design(tl.shipped_trailers()[name])
    answer = asked(design.replace("units", system))
    known = name in ("fen-survey", "kiln-cart")
    assert answer.text().startswith(answer.mark) and answer.findings_text() and answer.sentence.count(".") >= 2
    assert bool(answer.rows) is bool(answer.working) is (answer.beside is not None) is known
    assert {f.severity for f in answer.checks if not known} <= {"not checked"}
    assert "nan" not in answer.text() and "None" not in answer.text()
    if known:
        assert ("°F" in answer.text()) is (system == "us") and ("°C" in answer.text()) is (system == "metric")
        assert sum(row["watts"] for row in answer.rows) == pytest.approx(answer.value("asked_w"))
        watts = [row["watts"] for row in answer.rows]
        assert watts == sorted(watts, reverse=True) and answer.table().shape == (len(watts), 7)


def test_us_and_metric_are_the_same_trailer(box: tl.Design) -> None:
    one, two = asked(box), asked(box.replace("units", "metric"))
    for key in one.numbers:
        assert one.value(key) == pytest.approx(two.value(key)), key


def test_the_foam_by_its_slider_changes_the_answer(box: tl.Design) -> None:
    path = ("face", "walls", "layers", FOAM)
    before, answers = asked(box).value("needed_w"), []
    for inches in (0.5, 1, 2, 3):
        answers.append(asked(box.replace(path, f"{inches} in")))
    needs, passes = ([a.value(key) for a in answers] for key in ("needed_w", "ua"))
    assert needs == sorted(needs, reverse=True) and len({round(n) for n in needs}) == 4
    assert passes == sorted(passes, reverse=True) and needs[1] == pytest.approx(before)
    assert asked(box).value("needed_w") == before, "the design itself stays as it is"


def test_foam_as_thick_as_may_be_has_no_inch_more(box: tl.Design) -> None:
    answer = asked(box.replace(("face", "walls", "layers", FOAM), "19 in"))
    assert answer.beside is not None
    assert [row["change"] for row in answer.beside.rows if "one inch" in row["change"]] == [
        f"one inch more {FOAM} in the roof"
    ]


def test_a_white_roof_is_offered_to_a_darker_one_only(box: tl.Design) -> None:
    for skin, offered in (("white paint", False), ("mid colour", True), ("bare aluminium", False)):
        rows = asked(box.replace("envelope.roof_skin", skin)).beside.rows
        assert any(row["change"] == "a white roof" for row in rows) is offered
    shaded = asked(box.replace("envelope.shade", "85 %")).beside.rows
    assert not any(row["change"].startswith("shade") for row in shaded)


def test_the_working_leads_to_the_numbers(box: tl.Design) -> None:
    answer = asked(box)
    values = {step.title: step.value for step in answer.working}
    assert values["Heater that holds a temperature"] == pytest.approx(answer.value("heater_w"))
    assert values["Where the fan and the openings meet"] == pytest.approx(answer.value("fan_flow"))
    assert values["Air changes an hour"] == pytest.approx(answer.value("changes"))
    assert values["Air from outside that keeps carbon dioxide down"] == pytest.approx(answer.value("needed_flow"))
    parts = {part.name: part for part in answer.picture.heat.parts}
    assert values["Warmth that comes in with air"] == pytest.approx(parts["leaks"].watts)
    assert values["Sol-air temperature"] == pytest.approx(parts["roof"].skin_c)


def test_what_is_drawn_is_what_is_told(box: tl.Design) -> None:
    answer = asked(box)
    heat, day = answer.picture.heat, answer.picture.day
    assert heat.total_w == pytest.approx(answer.value("asked_w")) and heat.hour_h == answer.value("worst_h")
    assert day.hour_h[0] == 0.0 and day.hour_h[-1] == 24.0 and day.free_c.max() == pytest.approx(answer.value("free_c"))
    assert len({len(row) for row in (day.hour_h, day.outside_c, day.roof_c, day.free_c, day.held_c)}) == 1
    assert all(a < b for a, b in day.on_h) and day.on_h[-1][1] <= 24.0
    assert answer.picture.missing == {}


def test_a_cooler_that_never_stops_is_drawn_to_midnight(box: tl.Design) -> None:
    """So hot a night that it runs on: one span, that ends with the day and not with a switching."""
    hot = changed(box, site__hottest="120 °F", site__swing="2 °F", **{"load__roof cooler__cooling": "1 kW"})
    (span,) = asked(hot).picture.day.on_h
    assert span[0] < 1 and span[1] == 24.0


PLACES = [
    ("site",),
    ("envelope",),
    ("comfort",),
    ("use",),
    ("safety",),
    ("face", "walls"),
    ("opening", "door window"),
    ("stay", "night"),
]


def test_any_key_may_be_missing(box: tl.Design) -> None:
    """Each taken away alone: the answer says all it says, and never gets better for it."""
    for place in PLACES:
        for key in box.get(place):
            try:
                design = box.replace((*place, key), None)
            except tl.DesignError:
                continue  # a key without which there is no such part
            answer = asked(design)
            assert answer.text() and answer.findings_text() and answer.rows is not None and answer.working is not None
