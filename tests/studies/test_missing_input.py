"""Taking information away never turns anything into a pass."""

from __future__ import annotations

import functools
from collections.abc import Iterator, Mapping
from typing import Any

import pytest

import trailerlib as tl
from trailerlib.studies.answer import Answer

Path = tuple[str, ...]
Words = dict[tuple[str, str, str], str]
Said = tuple[str, str, bool]
WORSE = ("stop", "fix", "note", "not checked")

# What these keys hold is not knowledge about the trailer but a part of it, or how much of it there is: without them it is
# another trailer, with less in it. A rule about what is gone may then hold.
PARTS: dict[str, str] = {
    "battery": "no battery", "charger": "no charger", "feeder": "no feeder", "circuit.*.protection": "no fuse", "load.*.count": "one piece instead of several",
    "feeder.protection": "no main fuse", "feeder.disconnect": "no disconnect", "stay.*.on": "nothing runs", "stay.*.on.*": "this does not run",
    "supply.*.cord": "the usual cord of this supply", "supply.*.cord_run": "the usual cord", "battery.count": "one battery",
    "load.*.power": "the class's power", "load.*.duty": "the class's duty", "load.*.starting": "the class's start", "load.*.soft_start": "no soft starter",
    "load.*.on": "switched on", "load.*.lowest_voltage": "the class's lowest voltage", "battery.resistance": "the chemistry's resistance",
    "battery.lowest_charge": "the chemistry's floor", "supply.*.running": "the class's power", "supply.*.starting": "the class's surge",
    "load.*.run": "at the end of the run", "circuit.*.run": "as the layout measures it", "circuit.*.bundle": "as the layout counts it", "units": "how it is shown", "practice": "the usual rules", "charger.efficiency": "a usual charger",
    "charger.power_factor": "a usual charger", "circuit.*.drop_limit": "the stricter limit of 3 %", "battery.nominal": "12 V", "battery.hour_rate": "the trade's 20 h",
    "feeder.interrupting": "the class's rating", "battery.start_charge": "full when the stay begins",
    "site.latitude": "no rule asks for it", "opening": "no openings", "supply": "no supplies", "battery.contained": "held by its straps alone", "cargo.*.contained": "held by its straps alone",
    "supply.*.contained": "held by its straps alone", "circuit.*.device": "the usual device",
    "circuit.*.receptacle": "wired in", "supply.*.adapters": "plugged straight in", "load.*.rated_current": "the class's current", "load.*.locked_rotor": "the class's start",
}  # fmt: skip


def pattern(path: Path) -> str:
    if path[0] in ("place", "raceway", "load", "circuit", "supply", "stay", "opening", "cargo", "tank"):
        return ".".join([path[0], "*", *path[2:3], *("*" for _ in path[3:])]) if len(path) > 1 else path[0]
    return ".".join(path)


def removable(raw: Any) -> Iterator[Path]:
    """Every key of the file as a path: tables, their keys, the keys of the parts of the lists, the loads of a timetable."""
    for key, value in raw.items():
        yield (key,)
        if isinstance(value, dict):
            yield from ((key, inner) for inner in value)
        for part in value if isinstance(value, list) else ():
            for inner, cell in part.items():
                yield key, part["name"], inner
                yield from ((key, part["name"], inner, deeper) for deeper in cell) if isinstance(cell, dict) else ()


def without(design: tl.Design, path: Path) -> tl.Design | None:
    """The design without one key; None when the file cannot do without it."""
    try:
        return design.replace(path, None)
    except tl.DesignError:
        return None


def words(design: tl.Design) -> Words:
    return words_of(tl.assess(design).answers)


def words_of(answers: Mapping[str, Answer]) -> Words:
    return {(question, check.rule, check.subject): check.severity
            for question, answer in answers.items() for check in answer.checks}  # fmt: skip


# A trailer in which as much as possible is wrong or close to it, so that a pass that should not be one would show.
POOR: dict[Any, Any] = {
    "battery.chemistry": "lfp", "battery.capacity": "40 Ah", "battery.age": "60 %", "battery.start_charge": "70 %", "battery.hour_rate": "10 h",
    "site.hottest": "120 °F", "site.coldest": "10 °F", "site.elevation": "9000 ft", "stay.night.ambient": "20 °F", "feeder.wire": "10 AWG",
    "feeder.insulation": "60 C", "feeder.fuse_from_battery": "30 in", "feeder.interrupting": "1 kA", "feeder.disconnect": False,
    "safety.co_alarm": False, "safety.smoke_alarm": False, "safety.battery_vented": False,
    "supply.shore.cord": "14 AWG", "supply.household.cord": "18 AWG", "charger.current": "90 A",
    **{f"circuit.{c}.insulation": "60 C" for c in ("ceiling lights", "usb", "fridge", "roof fan", "roof cooler", "bench outlets", "charger")},
    **{f"circuit.{c}.bundle": 30 for c in ("usb", "work lights", "fridge", "roof cooler", "outdoor road side")},
    **{f"circuit.{c}.ambient": "130 °F" for c in ("usb", "roof cooler", "charger")},
    **{f"circuit.{c}.drop_limit": "1 %" for c in ("fridge", "usb", "roof cooler")},
    "load.USB at the bunk.power": "200 W", "load.USB at the bench.power": "60 W", "load.kettle.power": "1700 W",
    "load.specimen fridge.lowest_voltage": "12.4 V", "supply.generator.running": "1 kW", "supply.generator.starting": "1100 W",
    "load.specimen fridge.duty": "60 %", "load.kettle.duty": "100 %", "load.roof cooler.starting": "9 kW", "battery.lowest_charge": "60 %",
}  # fmt: skip


@functools.cache
def trailers() -> dict[str, tl.Design]:
    demo = tl.read_design(tl.shipped_trailers()["fen-survey"])
    lead: dict[Any, Any] = {"battery.chemistry": "flooded", "site.coldest": "-30 °F", "stay.night.ambient": "-25 °F"}
    return {
        "the demo": demo,
        "a poor one": demo.replace_all(POOR),
        "a poor one on lead": demo.replace_all({**POOR, **lead}),
    }


@functools.cache
def swept(name: str) -> tuple[tuple[Path, Words, tuple[Said, ...]], ...]:
    """What is said without each key that a trailer can do without: the word of every check, and each answer in words."""
    found = []
    for path in removable(trailers()[name].raw):
        changed = without(trailers()[name], path)
        if changed is not None:
            answers = tl.assess(changed).answers
            said = tuple((one.sentence, one.word, bool(one.checks)) for one in answers.values())
            found.append((path, words_of(answers), said))
    return tuple(found)


@pytest.mark.parametrize("name", ["the demo", "a poor one", "a poor one on lead"])
def test_less_information_is_never_a_pass(name: str) -> None:
    design = trailers()[name]
    before = words(design)
    removed, wrong = 0, []
    for path, after, _ in swept(name):
        removed += 1
        if pattern(path) in PARTS:
            continue
        turned = [key for key, word in after.items() if word == "holds" and before.get(key) in WORSE]
        new = [key for key, word in after.items() if word == "holds" and key not in before]
        wrong += [
            f"without {'.'.join(path)}: {key[1]} of {key[2]} in {key[0]} holds, was {before.get(key)}"
            for key in turned + new
        ]
        if sum(word == "holds" for word in after.values()) > sum(word == "holds" for word in before.values()) and not (
            turned or new
        ):
            wrong.append(f"without {'.'.join(path)}: more checks hold than before")
    assert removed > 90, "the sweep removes what can be removed"
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("name", ["the demo", "a poor one"])
def test_nothing_found_goes_away_unsaid(name: str) -> None:
    """What was wrong is still wrong, or not checked, without a key that is no part: it is never left out of the list."""
    design = trailers()[name]
    before, gone = words(design), []
    for path, after, _ in swept(name):
        if pattern(path) in PARTS:
            continue
        if len(path) == 1 and isinstance(design.raw[path[0]], list):
            continue  # whole lists: their parts are gone with them
        gone += [f"without {'.'.join(path)}: {key[1]} of {key[2]} in {key[0]} ({before[key]}) is not listed any more"
                 for key in before if before[key] in WORSE and key not in after]  # fmt: skip
    assert not gone, "\n".join(gone)


def test_every_answer_of_the_sweep_reads_well() -> None:
    for path, _, said in swept("the demo"):
        for sentence, word, checked in said:
            assert sentence.endswith(".") and "None" not in sentence and "nan" not in sentence, (path, sentence)
            assert not sentence.startswith("Not checked") or word == "not checked" or checked, path


@pytest.mark.parametrize("key", ["hottest", "coldest", "elevation"])
def test_a_site_key_that_is_missing_shows(key: str) -> None:
    design = trailers()["the demo"]
    if key == "coldest":
        design = design.replace("stay.night.ambient", None)
    lost = [k for k, word in words(design.replace(("site", key), None)).items() if word == "not checked"]
    assert lost, f"nothing depends on {key}"


# What each rule of a short needs, as (subject, what is taken away): then it reads "not checked", with it it is judged.
AIR, RACEWAYS, BATTERY = {"site.hottest": None}, {"raceway": None}, {"battery": None}
FEEDER, FEEDER_RUN = {"feeder": None}, {"feeder.run": None, "battery.place": None}
FUSE, MADE_BY_NONE = {"circuit.fridge.protection": None}, {"circuit.fridge.protection": "60 A"}
RUN = {"circuit.fridge.run": None, "load.specimen fridge.place": None}
MAIN = {"feeder.protection": None}
SHORTS: dict[tuple[str, str], tuple[dict[str, Any], ...]] = {
    ("far-end-short", 'circuit "fridge"'): (AIR, RACEWAYS, BATTERY, FEEDER, FEEDER_RUN, FUSE, MADE_BY_NONE, RUN),
    ("short-heats-wire", 'circuit "fridge"'): (AIR, RACEWAYS, BATTERY, FEEDER, FEEDER_RUN, FUSE, MADE_BY_NONE, RUN),
    ("guards-at-every-current", 'circuit "fridge"'): (AIR, RACEWAYS, BATTERY, FEEDER, FEEDER_RUN, FUSE, MADE_BY_NONE),
    ("slow-overload", 'circuit "fridge"'): (AIR, RACEWAYS, FUSE, MADE_BY_NONE),
    ("branch-opens-first", 'circuit "fridge"'): (BATTERY, FEEDER, FEEDER_RUN, FUSE, MADE_BY_NONE, MAIN),
    ("standard-rating", 'circuit "fridge"'): (FUSE,),
    ("branch-interrupting", "fuse block"): (BATTERY, FEEDER, FEEDER_RUN),
    ("far-end-short", "main fuse"): (AIR, BATTERY, FEEDER_RUN, MAIN),
    ("short-heats-wire", "main fuse"): (AIR, BATTERY, FEEDER_RUN, MAIN),
    ("guards-at-every-current", "main fuse"): (AIR, BATTERY, MAIN),
    ("slow-overload", "main fuse"): (AIR, MAIN),
}


@pytest.mark.parametrize(("rule", "subject"), SHORTS)
def test_a_short_is_not_checked_without_what_it_takes(rule: str, subject: str) -> None:
    design = trailers()["the demo"]
    assert words(design)["wiring", rule, subject] not in ("not checked",)
    for gone in SHORTS[rule, subject]:
        assert words(design.replace_all(gone))["wiring", rule, subject] == "not checked", gone


def test_the_sweep_holds_every_rule_of_a_short() -> None:
    for design in trailers().values():
        assert {(rule, subject) for _, rule, subject in words(design)} >= set(SHORTS)
