"""The code's rules for a whole design: each clause just met, broken, and with what it needs left out."""

from __future__ import annotations

from typing import Any

import pytest

import trailerlib as tl
from trailerlib.design.design import design_from
from trailerlib.rules import branches, compressors, plugs, supply_chain
from trailerlib.rules.finding import Finding
from trailerlib.rules.grounding import receptacle_fits
from trailerlib.studies.mains_rules import checks
from trailerlib.studies.supply_checks import entry_wall

FT = 0.3048


def found(design: tl.Design, rule: str, subject: str = "") -> list[Finding]:
    return [c for c in checks(design) if c.rule == rule and subject in c.subject]


def word(design: tl.Design, rule: str, subject: str = "") -> str:
    """The severity of the one finding of a rule, ``not asked`` when there is none."""
    severities = {c.severity for c in found(design, rule, subject)}
    assert len(severities) <= 1, f"{rule} is said in two ways"
    return severities.pop() if severities else "not asked"


def with_circuits(demo: tl.Design, count: int, **mains: Any) -> tl.Design:
    """The demo with so many 15 A circuits on mains beside its own five."""
    raw = dict(demo.raw)
    more = [{"name": f"c{n}", "system": "mains", "wire": "14 AWG", "protection": "15 A"} for n in range(count - 5)]
    return design_from({**raw, "circuit": [*raw["circuit"], *more], "mains": {**raw["mains"], **mains}})


def without_kettle(demo: tl.Design) -> tl.Design:
    """The demo with no more than 30 A running together on the pedestal."""
    return demo.replace(("stay", "camp with power", "on", "kettle"), None)


# a 15 A plug behind 20 A of a house, on the stay that asks for 23.7 A; a circuit between two legs; two legs that arrive
HOUSE: dict[Any, Any] = {
    "supply.household.kind": "household 20 A", "stay.camp with power.supply": "household",
    "supply.household.adapters": ["5-20 to TT-30", "TT-30 to 5-20", "5-15 to TT-30"],
}  # fmt: skip
BETWEEN: dict[Any, Any] = {"circuit.bench outlets.leg": "both"}
TWO_HOT: dict[Any, Any] = {"mains.inlet": "14-50", "supply.shore.kind": "shore 50 A"}

# what is changed in the demo, which rule, about whom, what it then says
CASES: list[tuple[dict[Any, Any], str, str, str]] = [
    ({}, "branch-count", "", "holds"),
    ({"mains.inlet": None}, "branch-count", "", "not checked"),
    ({"mains.inlet": "5-20"}, "branch-count", "", "stop"),
    ({"mains.inlet": "5-20", "use.sleepers": 0}, "branch-count", "", "not asked"),
    ({"mains.inlet": "5-20", "use.sleepers": 0}, "branch-count-work-trailer", "", "note"),
    ({"mains.inlet": "14-50"}, "branch-count", "", "not asked"),
    ({"mains.managed": True}, "branch-count", "", "not asked"),
    ({"circuit.charger.protection": None}, "branch-count", "", "holds"),  # five, one of them of unknown size: at most five
    ({"mains.inlet": "5-20", "circuit.charger.protection": None}, "branch-count", "", "stop"),  # four are too many already
    ({}, "thermostat-appliances", "", "holds"),
    ({}, "thermostat-appliances-plugged", "", "note"),  # a cooler and two dryers
    ({"load.roof cooler.count": 3}, "thermostat-appliances", "", "stop"),
    ({"mains.inlet": None}, "thermostat-appliances", "", "not checked"),
    ({"mains.managed": True}, "thermostat-appliances", "", "not asked"),
    ({"mains.inlet": "14-50"}, "thermostat-appliances", "", "not asked"),
    ({}, "breaker-single-appliance", "", "not asked"),  # 12.9 A is under 13.3 A
    ({"load.roof cooler.rated_current": "13.4 A"}, "breaker-single-appliance", "", "holds"),
    ({"load.roof cooler.rated_current": "13.4 A", "circuit.roof cooler.protection": "25 A"}, "breaker-single-appliance", "", "stop"),
    ({"load.roof cooler.rated_current": "13.4 A", "circuit.roof cooler.protection": None}, "breaker-single-appliance", "", "not checked"),
    ({"load.roof cooler.rated_current": "13.4 A", "load.kettle.circuit": "roof cooler"}, "breaker-single-appliance", "", "not asked"),
    ({}, "breaker-name-plate", "", "holds"),
    ({"load.roof cooler.largest_breaker": None}, "breaker-name-plate", "", "not checked"),
    ({"load.roof cooler.largest_breaker": "20 A"}, "breaker-name-plate", "", "holds"),
    ({"load.roof cooler.largest_breaker": "15 A"}, "breaker-name-plate", "", "stop"),
    ({"load.roof cooler.largest_breaker": "20 A", "circuit.roof cooler.protection": None}, "breaker-name-plate", "", "not checked"),
    ({"load.kettle.largest_breaker": "10 A"}, "breaker-name-plate", "kettle", "stop"),
    ({}, "compressor-breaker-most", "", "holds"),
    ({"load.roof cooler.rated_current": None}, "compressor-breaker-most", "", "not checked"),
    ({"load.roof cooler.rated_current": "12 A"}, "compressor-breaker-usual", "", "holds"),  # 21 A
    ({"load.roof cooler.rated_current": "11 A"}, "compressor-breaker-usual", "", "note"),  # 19.25 A
    ({"load.roof cooler.rated_current": "11 A"}, "compressor-breaker-most", "", "holds"),  # 24.75 A
    ({"load.roof cooler.rated_current": "8.8 A"}, "compressor-breaker-most", "", "stop"),  # 19.8 A
    ({"load.roof cooler.rated_current": "8.8 A"}, "compressor-breaker-usual", "", "not asked"),
    ({"load.roof cooler.rated_current": "4 A", "circuit.roof cooler.protection": "15 A"}, "compressor-breaker-most", "", "holds"),
    ({"load.roof cooler.rated_current": "12 A"}, "compressor-conductor", "", "holds"),
    ({"load.roof cooler.rated_current": "16 A"}, "compressor-conductor", "", "holds"),  # 20 A at 60 degC terminals
    ({"load.roof cooler.rated_current": "16.1 A"}, "compressor-conductor", "", "stop"),
    ({"load.roof cooler.rated_current": "12 A", "site.hottest": None}, "compressor-conductor", "", "not checked"),
    ({}, "compressor-conductor", "", "holds"),
    ({"load.roof cooler.rated_current": None}, "compressor-conductor", "", "not checked"),
    ({"circuit.outdoor road side.receptacle": "5-15"}, "receptacle-rating", "road side", "stop"),  # single, 15 A on 20 A
    ({"circuit.outdoor road side.receptacle": "5-15", "circuit.outdoor road side.outlets": 2}, "receptacle-rating", "road side", "holds"),
    ({"circuit.outdoor road side.receptacle": "5-15", "circuit.outdoor road side.outlets": None}, "receptacle-rating", "road side", "not checked"),
    ({"circuit.outdoor road side.outlets": None}, "receptacle-rating", "road side", "holds"),
    ({"circuit.bench outlets.receptacle": "5-20"}, "receptacle-rating", "bench", "stop"),  # three, 20 A on 15 A
    ({"circuit.bench outlets.protection": None}, "receptacle-rating", "bench", "not checked"),
    ({"circuit.outdoor road side.gfci": False}, "receptacle-gfci", "road side", "stop"),
    ({"circuit.outdoor road side.gfci": None}, "receptacle-gfci", "road side", "not checked"),
    ({"circuit.bench outlets.gfci": False}, "receptacle-gfci", "bench", "not asked"),
    ({"circuit.bench outlets.to": "outlet road side"}, "receptacle-gfci", "bench", "holds"),
    ({"load.kettle.power": "1440 W"}, "plug-load-share", "kettle", "holds"),  # 12 A, 80 % of 15 A
    ({"load.kettle.power": "1441 W"}, "plug-load-share", "kettle", "stop"),
    ({"circuit.bench outlets.protection": None}, "plug-load-share", "kettle", "not checked"),
    ({"load.kettle.power": "1800 W", "circuit.bench outlets.outlets": 1}, "plug-load-share", "kettle", "holds"),  # alone
    ({"load.kettle.power": "1801 W", "circuit.bench outlets.outlets": 1}, "plug-load-share", "kettle", "stop"),
    ({"load.kettle.power": "1441 W", "circuit.bench outlets.outlets": None}, "plug-load-share", "kettle", "not checked"),
    ({"load.kettle.power": "1440 W", "circuit.bench outlets.outlets": None}, "plug-load-share", "kettle", "holds"),
    ({"load.kettle.power": "1801 W", "circuit.bench outlets.outlets": None}, "plug-load-share", "kettle", "stop"),
    ({"charger.circuit": "bench outlets"}, "fixed-load-share", "bench", "holds"),  # 4.09 A of 7.5 A
    ({"charger.circuit": "bench outlets", "charger.current": "37 A"}, "fixed-load-share", "bench", "stop"),
    ({"charger.circuit": "bench outlets", "circuit.bench outlets.protection": None}, "fixed-load-share", "bench", "not checked"),
    ({}, "fixed-load-share", "", "not asked"),
    ({"load.roof cooler.circuit": "bench outlets"}, "fixed-load-share", "bench", "stop"),
    ({}, "main-breaker-inlet", "", "holds"),
    ({"mains.main": "35 A"}, "main-breaker-inlet", "", "stop"),
    ({"mains.main": None}, "main-breaker-inlet", "", "not checked"),
    ({"mains.inlet": None}, "main-breaker-inlet", "", "not checked"),
    ({"mains.main": None}, "main-breaker-needed", "", "not checked"),
    ({}, "main-breaker-needed", "", "holds"),
    ({"mains.main": None, "mains.has_main": False}, "main-breaker-needed", "", "stop"),
    ({"mains.main": None, "mains.has_main": False}, "main-breaker-inlet", "", "not asked"),
    ({"mains.main": None, "mains.has_main": True}, "main-breaker-needed", "", "holds"),
    ({"mains.inlet": "L5-30"}, "inlet-type", "", "stop"),
    ({"mains.inlet": "14-50"}, "inlet-type", "", "holds"),
    ({"mains.inlet": None}, "inlet-type", "", "not checked"),
    ({}, "inlet-wire", "", "holds"),  # 10 AWG, 30 A at 60 degC terminals, behind 30 A
    ({"mains.inlet_wire": "12 AWG"}, "inlet-wire", "", "stop"),
    ({"mains.inlet_wire": "12 AWG", "mains.inlet": "5-20", "mains.main": "20 A"}, "inlet-wire", "", "holds"),  # main guards
    ({"mains.inlet_wire": "12 AWG", "mains.inlet": "5-20"}, "inlet-wire", "", "stop"),  # 30 A of the pedestal, main of 30 A
    ({"mains.inlet_insulation": "60 C"}, "inlet-wire", "", "stop"),  # 30 A x sqrt(24.4 / 30) at 96 degF
    ({"mains.inlet_wire": "8 AWG", "mains.inlet_insulation": "60 C"}, "inlet-wire", "", "holds"),  # 36 A
    ({"mains.inlet_wire": "10 AWG", **TWO_HOT}, "inlet-wire", "", "stop"),  # 50 A in front of it
    ({"mains.inlet_wire": "6 AWG", **TWO_HOT}, "inlet-wire", "", "holds"),
    ({"mains.inlet_wire": "18 AWG"}, "inlet-wire", "", "stop"),
    ({"mains.inlet_wire": "20 AWG"}, "inlet-wire", "", "not checked"),  # no table lists it
    ({"mains.inlet_wire": None}, "inlet-wire", "", "not checked"),
    ({"site.hottest": None}, "inlet-wire", "", "not checked"),
    ({"panel": None}, "inlet-wire", "", "not checked"),  # its run is not known
    ({"panel": None, "mains.inlet_run": "12 ft"}, "inlet-wire", "", "holds"),
    ({"panel": None, "mains.inlet_wire": "12 AWG"}, "inlet-wire", "", "stop"),  # too thin whatever its run
    ({"mains.inlet": None}, "inlet-wire", "", "not checked"),
    ({"mains.inlet": None, "mains.inlet_wire": "12 AWG"}, "inlet-wire", "", "stop"),  # the pedestal brings 30 A
    ({"mains.main": None}, "inlet-wire", "", "holds"),
    ({"mains.main": None, "supply.shore.kind": "shore 50 A"}, "inlet-wire", "", "not checked"),  # does a main guard it?
    ({"mains.main": None, "mains.has_main": False, "supply.shore.kind": "shore 50 A"}, "inlet-wire", "", "stop"),
    ({"supply.shore.kind": "shore 50 A"}, "inlet-wire", "", "holds"),  # the main of 30 A guards it
    ({"mains.inlet_labelled": False}, "inlet-label", "", "stop"),
    ({"mains.inlet_labelled": None}, "inlet-label", "", "not checked"),
    ({"mains.panel_clear": False}, "panel-clear", "", "stop"),
    ({"mains.panel_clear": None}, "panel-clear", "", "not checked"),
    ({"mains.neutral_isolated": False}, "neutral-isolated", "", "stop"),
    ({"mains.neutral_isolated": None}, "neutral-isolated", "", "not checked"),
    ({"mains.skin_bonded": False}, "skin-bonded", "", "stop"),
    ({"mains.skin_bonded": None}, "skin-bonded", "", "not checked"),
    ({}, "frame-bond", "", "holds"),
    ({"mains.frame_bond": "10 AWG"}, "frame-bond", "", "stop"),
    ({"mains.frame_bond": "6 mm2"}, "frame-bond", "", "stop"),
    ({"mains.frame_bond": "10 mm2"}, "frame-bond", "", "holds"),
    ({"mains.frame_bond": None}, "frame-bond", "", "not checked"),
    ({"mains.transfer": "none"}, "one-transfer", "", "stop"),
    ({"mains.transfer": "interlock"}, "one-transfer", "", "holds"),
    ({"mains.transfer": None}, "one-transfer", "", "not checked"),
    ({"supply.generator.kind": "household 15 A", "mains.transfer": "none"}, "one-transfer", "", "not asked"),
    ({}, "generator-conductor", "", "holds"),  # 30 A against 26.8 A
    ({"supply.generator.running": "2608 W", "supply.generator.cord": "12 AWG"}, "generator-conductor", "", "holds"),  # 24.99 of 25 A
    ({"supply.generator.running": "2609 W", "supply.generator.cord": "12 AWG"}, "generator-conductor", "", "stop"),  # 25.003 A
    ({"supply.generator.running": "9 kW"}, "generator-conductor", "", "holds"),  # its receptacle gives 30 A, no more
    ({"supply.generator.cord": None}, "generator-conductor", "", "not checked"),
    ({}, "floating-neutral", "", "note"),
    ({"supply.generator.neutral": "bonded"}, "floating-neutral", "", "holds"),
    ({"supply.generator.neutral": None}, "floating-neutral", "", "not checked"),
    ({}, "inlet-place", "", "holds"),
    ({"supply.shore.place": None}, "inlet-place", "", "not checked"),
    ({"supply.shore.place": "outlet curb side"}, "inlet-place", "", "note"),
    ({"supply.shore.place": "rear wall outside"}, "inlet-place", "", "note"),  # right of the middle
    ({}, "cord-length", "", "holds"),  # the inlet is 3 ft above the ground
    ({"trailer.floor": "1 ft 9 in"}, "cord-length", "", "stop"),  # an inch more of height, an inch more of cord
    ({"trailer.floor": None}, "cord-length", "", "not checked"),  # it depends on how high the floor stands
    ({"supply.shore.cord_run": "24 ft 11 in"}, "cord-length", "", "stop"),
    ({"supply.shore.cord_run": "28 ft"}, "cord-length", "", "holds"),
    ({"supply.shore.cord_run": None}, "cord-length", "", "not checked"),
    ({"supply.shore.place": None}, "cord-length", "", "not checked"),
    ({"supply.shore.place": "rear wall outside", "supply.shore.cord_run": "30 ft"}, "cord-length", "", "stop"),  # 6 ft high
    ({"supply.shore.cord_run": "24 ft"}, "cord-length", "household", "not asked"),
    ({}, "plug-chain-fits", "household", "holds"),
    ({"supply.household.adapters": ["5-20 to TT-30"]}, "plug-chain-fits", "household", "fix"),
    ({"supply.household.adapters": None}, "adapter-missing", "household", "fix"),
    ({"mains.inlet": None}, "plug-chain-fits", "household", "not checked"),
    ({"mains.inlet": None}, "adapter-missing", "", "not asked"),
    ({"mains.inlet": "14-50", "supply.shore.adapters": ["TT-30 to 14-50"]}, "one-hot-on-both-legs", "shore", "note"),
    ({"mains.inlet": "14-50", "supply.shore.adapters": ["TT-30 to 14-50"]}, "plug-chain-fits", "shore", "holds"),
    ({}, "one-hot-on-both-legs", "", "not asked"),
    ({}, "plug-chain-overheats", "", "not asked"),
    ({**HOUSE, "mains.main": "30 A"}, "plug-chain-overheats", "household", "stop"),  # 23.7 A through 15 A behind 20 A
    ({**HOUSE, "mains.main": "15 A"}, "plug-chain-limit", "household", "fix"),  # the main opens first
    ({**HOUSE, "mains.main": "15 A"}, "adapter-behind-larger-breaker", "household", "note"),
    ({**HOUSE, "mains.main": "30 A"}, "plug-not-guarded", "household", "fix"),
    ({**HOUSE, "mains.main": None}, "plug-not-guarded", "household", "not checked"),
    ({**HOUSE, "mains.main": None, "mains.has_main": False}, "plug-not-guarded", "household", "fix"),
    ({**HOUSE, "mains.main": None, "mains.has_main": False}, "plug-chain-overheats", "household", "stop"),
    ({"load.kettle.rated_voltage": "240 V"}, "load-voltage-low", "kettle", "fix"),
    ({"load.kettle.rated_voltage": "240 V"}, "load-voltage-high", "kettle", "holds"),
    ({"load.kettle.rated_voltage": "109 V"}, "load-voltage-high", "kettle", "stop"),
    ({"load.kettle.rated_voltage": "133 V"}, "load-voltage-low", "kettle", "holds"),
    ({"load.kettle.rated_voltage": "134 V"}, "load-voltage-low", "kettle", "fix"),
    ({}, "load-voltage-low", "", "not asked"),
    ({"circuit.bench outlets.receptacle": "6-15"}, "receptacle-voltage", "bench", "stop"),
    ({}, "receptacle-voltage", "bench", "holds"),
    (BETWEEN, "receptacle-voltage", "bench", "stop"),
    ({**BETWEEN, "circuit.bench outlets.receptacle": "6-15"}, "receptacle-voltage", "bench", "holds"),
    (BETWEEN, "two-leg-circuit-dead", 'bench outlets" on supply "shore', "fix"),
    (BETWEEN, "two-leg-circuit-rests", 'bench outlets" on supply "household', "note"),
    ({**BETWEEN, **TWO_HOT}, "two-leg-circuit-dead", 'bench outlets" on supply "shore', "holds"),
    ({**BETWEEN, **TWO_HOT, "mains.inlet": None}, "two-leg-circuit-dead", 'bench outlets" on supply "shore', "not checked"),
    ({"circuit.charger.leg": "both"}, "two-leg-circuit-rests", 'charger" on supply "household', "note"),
    ({"circuit.charger.leg": "both"}, "two-leg-circuit-dead", 'charger" on supply "shore', "fix"),
    ({**TWO_HOT, "supply.shore.adapters": ["14-50 to 6-50", "6-50 to 14-50"]}, "plug-chain-fits", "shore", "fix"),  # no neutral
    ({"supply.shore.kind": "shore 50 A", "supply.shore.adapters": ["14-50 to TT-30"]}, "adapter-behind-larger-breaker", "shore", "note"),
    ({}, "adapter-behind-larger-breaker", "shore", "holds"),
    ({"mains.inlet": None}, "adapter-behind-larger-breaker", "shore", "not checked"),
    ({}, "converter-size", "", "holds"),
    ({"load.roof fan.power": "200 W"}, "converter-size", "", "note"),  # 29 A of loads: 24.5 A against 20 A
]  # fmt: skip


@pytest.mark.parametrize(("changes", "rule", "subject", "severity"), CASES)
def test_each_rule_on_the_demo(
    demo: tl.Design, changes: dict[Any, Any], rule: str, subject: str, severity: str
) -> None:
    assert word(demo.replace_all(changes), rule, subject) == severity


def test_every_rule_of_these_modules_is_tried_above() -> None:
    from trailerlib.rules.finding import all_rules

    own = {f"trailerlib.rules.{name}" for name in ("branches", "compressors", "grounding", "plugs", "supply_chain")}
    rules = {name for name, (_, function) in all_rules().items() if function.__module__ in own}
    elsewhere = {"single-circuit-gfci", "iec-mains-practice"}
    assert rules == {rule for _, rule, _, _ in CASES} | elsewhere


@pytest.mark.parametrize(
    ("count", "charger_alone", "kettle", "severity", "limit"),
    [
        (5, True, False, "holds", 6), (6, True, False, "holds", 6), (7, True, False, "stop", 6),
        (5, True, True, "holds", 5), (6, True, True, "stop", 5),  # with the kettle more than 30 A run together
        (5, False, False, "holds", 5), (6, False, False, "stop", 5),
    ],
)  # fmt: skip
def test_five_circuits_on_thirty_amperes_and_a_sixth_for_the_converter(
    demo: tl.Design, count: int, charger_alone: bool, kettle: bool, severity: str, limit: int
) -> None:
    design = with_circuits(demo if kettle else without_kettle(demo), count)
    if not charger_alone:
        design = design.replace("charger.circuit", "bench outlets")
    (finding,) = found(design, "branch-count")
    assert finding.severity == severity and finding.measured == count and finding.limit == limit


def test_a_sixth_circuit_is_not_passed_where_no_stay_says_what_runs(demo: tl.Design) -> None:
    stays = [stay for stay in demo.raw["stay"] if stay["supply"] != "shore"]
    assert word(with_circuits(demo.replace("stay", stays), 6), "branch-count") == "not checked"
    assert word(with_circuits(demo.replace("stay", stays), 5), "branch-count") == "holds"
    assert word(with_circuits(demo.replace("stay", stays), 7), "branch-count") == "stop"


def test_a_circuit_whose_breaker_is_not_said_may_be_one_too_many(demo: tl.Design) -> None:
    design = with_circuits(without_kettle(demo), 7).replace("circuit.c0.protection", None)
    assert word(design, "branch-count") == "not checked"
    assert word(design.replace("circuit.c1.protection", "30 A"), "branch-count") == "holds"


def one_circuit(**circuit: Any) -> tl.Design:
    own = {"name": "only", "system": "mains", "wire": "12 AWG", "protection": "20 A", **circuit}
    return design_from({"title": "t", "trailer": {"length": "10 ft", "width": "6 ft", "height": "6 ft"}, "circuit": [own],
                        "mains": {"inlet": "5-20"}})  # fmt: skip


@pytest.mark.parametrize(("gfci", "severity"), [(True, "holds"), (False, "stop"), (None, "not checked")])
def test_an_only_circuit_is_protected_where_the_supply_enters(gfci: bool | None, severity: str) -> None:
    design = one_circuit(**({} if gfci is None else {"gfci": gfci}))
    assert word(design, "single-circuit-gfci") == severity and word(design, "branch-count") == "holds"
    assert word(one_circuit(gfci=False, protection="30 A"), "single-circuit-gfci") == "not asked"


@pytest.mark.parametrize(
    ("stay", "adapters", "severity"),
    [(True, ["5-15 to TT-30"], "not asked"), (True, ["5-20 to TT-30", "TT-30 to 5-20", "5-15 to TT-30"], "stop"),
     (False, ["5-20 to TT-30", "TT-30 to 5-20", "5-15 to TT-30"], "not checked")],
)  # fmt: skip
def test_what_an_adapter_limits(demo: tl.Design, stay: bool, adapters: list[str], severity: str) -> None:
    """A chain of adapters with a 15 A plug in it behind 20 A; the cooler and the kettle ask for 23.7 A and more.

    Nothing on the way opens under 20 A, so what is too much there overheats.
    """
    changes: dict[Any, Any] = {"supply.household.adapters": adapters}
    if adapters[0].startswith("5-20"):
        changes["supply.household.kind"] = "household 20 A"
    if stay:
        changes["stay.camp with power.supply"] = "household"
    (*others,) = found(demo.replace_all(changes), "plug-chain-overheats", "household")
    assert [c.severity for c in others] == ([] if severity == "not asked" else [severity])
    for finding in others:
        assert finding.limit == 15.0


def test_two_hot_wires_hold_only_when_one_alone_would(demo: tl.Design) -> None:
    """What a 50 A supply gives through a 30 A adapter: how the loads lie on the legs is not known."""
    base = {"mains.inlet": "14-50", "supply.shore.kind": "shore 50 A",
            "supply.shore.adapters": ["14-50 to L14-30", "L14-30 to 14-50"]}  # fmt: skip
    said = {}
    for power in ("500 W", "1800 W", "6 kW"):
        design = demo.replace_all({**base, "load.roof cooler.power": power})  # a main of 30 A guards the adapter
        (finding,) = found(design, "plug-chain-limit", "shore")
        said[power] = finding.severity
    assert said == {"500 W": "holds", "1800 W": "not checked", "6 kW": "fix"}


def test_under_iec_practice_one_note_says_that_nothing_is_checked_but_the_wire_behind_the_inlet(
    demo: tl.Design,
) -> None:
    raw = {key: value for key, value in demo.raw.items() if key not in ("supply", "stay")}
    raw["mains"] = {**raw["mains"], "inlet_run": "15 ft"}
    only, wire = checks(design_from({**raw, "practice": "iec"}))
    assert (wire.rule, wire.severity) == ("inlet-wire", "holds")
    assert (only.rule, only.severity) == ("iec-mains-practice", "note") and "60364-7-721" in only.text("metric")


def test_without_a_mains_side_nothing_is_asked(lamp: tl.Design) -> None:
    assert checks(lamp) == ()


@pytest.mark.parametrize(
    ("at", "wall"),
    [(["13 ft", "-2 in", "2 ft"], "road"), (["13 ft", "1 in", "2 ft"], "road"), (["9 ft", "7 ft 2 in", "2 ft"], "curb"),
     (["14 ft 2 in", "1 ft", "2 ft"], "rear"), (["-2 ft", "3 ft", "2 ft"], "nose")],
)  # fmt: skip
def test_the_wall_an_inlet_is_at(demo: tl.Design, at: list[str], wall: str) -> None:
    assert entry_wall(demo.replace("place.inlet.at", at), "inlet") == wall


@pytest.mark.parametrize(
    ("wall", "rear_ft", "left_in", "elsewhere"),
    [("road", 15.0, -2, False), ("road", 15.01, -2, True), ("curb", 2.0, 86, True), ("nose", 16.0, 10, True),
     ("rear", -0.2, 18.0, False), ("rear", -0.2, 18.1, True), ("rear", -0.2, 60.0, True)],
)  # fmt: skip
def test_where_an_inlet_may_sit(wall: str, rear_ft: float, left_in: float, elsewhere: bool) -> None:
    assert supply_chain.entry_is_elsewhere(wall, rear_ft * FT, left_in * 0.0254, 7 * FT) is elsewhere


def test_the_limits_of_the_clauses() -> None:
    """551.42, 551.43(A), 440.22(A), 210.21(B), 551.46(B), 445.13(A): at, below and above what each speaks of."""
    assert [branches.circuits_allowed(a, 1, False) for a in (15.0, 20.0, 30.0)] == [1, 1, 5]
    assert [branches.circuits_allowed(30.0, 1, True, a) for a in (29.9, 30.0, 30.1, None)] == [6, 6, 5, 5]
    assert branches.circuits_allowed(20.0, 1, True, 10.0) == 1
    assert branches.circuits_allowed(50.0, 2, False) is None and branches.circuits_allowed(30.0, 2, False) == 5
    assert branches.single_appliance_limit_a(13.29) is None and branches.single_appliance_limit_a(13.3) == 20.0
    assert branches.single_appliance_limit_a(16.0) == pytest.approx(24.0)
    assert compressors.compressor_breaker_limit_a(8.0, 1.75) == 15.0
    assert compressors.compressor_breaker_limit_a(16.0, 1.75) == pytest.approx(28.0)
    assert compressors.compressor_breaker_limit_a(16.0, 2.25) == pytest.approx(36.0)
    single = {(r, c): receptacle_fits(r, c, True) for r in (15.0, 20.0, 30.0) for c in (15.0, 20.0, 30.0)}
    assert all(fits is (r >= c) for (r, c), fits in single.items())
    several = {(r, c) for r in (15.0, 20.0, 30.0) for c in (15.0, 20.0, 25.0, 30.0) if receptacle_fits(r, c, False)}
    assert several == {(15.0, 15.0), (15.0, 20.0), (20.0, 20.0), (30.0, 30.0)}
    assert supply_chain.least_cord_m("road", 3 * FT) == pytest.approx(25 * FT)
    assert supply_chain.least_cord_m("rear", 4 * FT) == pytest.approx(31 * FT)
    assert [plugs.converter_need_a(a) for a in (0.0, 20.0, 40.0, 60.0)] == [0.0, 20.0, 30.0, 35.0]


def test_a_generator_near_sleepers_without_an_alarm_is_a_stop(demo: tl.Design) -> None:
    """The platform in front of the nose is nearer than 20 ft: it runs only when carried away, and never without an alarm."""
    answer = tl.study("generator", demo.replace("safety.co_alarm", False))
    said = {c.rule: c for c in answer.checks}
    assert said["carbon-monoxide-alarm"].severity == "stop"
    near = said["generator-distance"]
    assert near.severity == "fix" and near.measured is not None and near.measured < 20 * FT
    assert "only carried away" in near.mend("us") and "generator-distance-work-trailer" not in said
    silent = {c.rule: c for c in tl.study("generator", demo.replace("use.sleepers", None)).checks}
    assert silent["generator-distance"].severity == "fix", "nobody has said that no one sleeps"
    work = {c.rule: c for c in tl.study("generator", demo.replace("use.sleepers", 0)).checks}
    assert work["generator-distance-work-trailer"].severity == "note" and "generator-distance" not in work
    assert {c.rule: c for c in tl.study("generator", demo).checks}["carbon-monoxide-alarm"].severity == "holds"


BAD: dict[Any, Any] = {
    "mains.inlet": "TT-30", "mains.main": "40 A", "mains.transfer": "none", "mains.neutral_isolated": False, "mains.frame_bond": "12 AWG",
    "mains.skin_bonded": False, "mains.inlet_labelled": False, "mains.panel_clear": False, "circuit.roof cooler.protection": "30 A",
    "load.roof cooler.rated_current": "13 A", "load.roof cooler.largest_breaker": "20 A", "circuit.outdoor road side.gfci": False,
    "circuit.bench outlets.receptacle": "5-20", "load.kettle.power": "1800 W", "supply.shore.place": "outlet curb side",
    "supply.shore.cord_run": "20 ft", "supply.generator.cord": "14 AWG", "supply.household.adapters": ["5-20 to TT-30"],
    "charger.circuit": "bench outlets", "load.roof cooler.count": 3,
}  # fmt: skip


@pytest.mark.parametrize(
    "changes", [{}, BAD, {**BAD, "mains.inlet": "L5-30"}], ids=["demo", "bad", "bad with another inlet"]
)
def test_less_information_is_never_a_pass(demo: tl.Design, changes: dict[Any, Any]) -> None:
    """Whatever key is taken out, no rule that did not hold holds then, and none that was not asked is passed."""
    import test_missing_input as missing

    parts = {*missing.PARTS, "supply.*.adapters", "load.*.count"}  # plugged straight in; one piece instead of several
    design = demo.replace_all(changes)
    before = {(c.rule, c.subject): c.severity for c in checks(design)}
    tried = 0
    for path in missing.removable(design.raw):
        less = missing.without(design, path)
        if less is None or missing.pattern(path) in parts:
            continue
        tried += 1
        after = {(c.rule, c.subject): c.severity for c in checks(less)}
        turned = {key for key, word in after.items() if word == "holds" and before.get(key) != "holds"}
        assert not turned, path
    assert tried > 60
