"""Every rule below, at and above its limit, and with a number missing."""

from __future__ import annotations

import importlib
import math
import pkgutil
import re
from collections.abc import Callable
from dataclasses import dataclass, fields

import pytest

import trailerlib.rules
from trailerlib import units
from trailerlib.rules import (
    air,
    battery,
    branches,
    closing,
    compressors,
    engine,
    grounding,
    guarding,
    mains,
    openings,
    plugs,
    restraint,
    road,
    roof,
    safety,
    supply_chain,
    towing_charge,
    trade_offs,
    tyres,
    wiring,
)
from trailerlib.rules.finding import MARKS, ORDER, Finding, Rule, all_rules, in_order, judge, worst

SYSTEMS: tuple[units.System, ...] = ("us", "metric")
for _module in pkgutil.iter_modules(trailerlib.rules.__path__):
    importlib.import_module(f"trailerlib.rules.{_module.name}")

Number = float | None
Apply = Callable[[Number, Number], Finding]


@dataclass(frozen=True)
class Case:
    """How a rule is applied, what it must be, and a limit to try it at; ``fixed`` when the limit is not handed in."""

    apply: Apply
    severity: str
    sense: str
    limit: float
    fixed: bool = False


# 18 in = 0.4572 m (552.10) and 20 ft = 6.096 m (CDC and CPSC): from memory
NUMBERS = {
    "wire-drop": Case(lambda m, x: wiring.drop('circuit "a"', m, x), "fix", "at most", 0.03),
    "wire-delivers": Case(lambda m, _: wiring.delivers("battery side", m), "stop", "at least", 1.0, fixed=True),
    "load-voltage": Case(lambda m, x: wiring.lowest_voltage('load "a"', m, x), "fix", "at least", 10.5),
    "wire-ampacity": Case(lambda m, x: wiring.ampacity('circuit "a"', m, x), "stop", "at most", 20.0),
    "fuse-guards-wire": Case(lambda m, x: wiring.fuse_guards_wire('circuit "a"', m, x), "stop", "at most", 20.0),
    "fuse-carries-load": Case(lambda m, x: wiring.fuse_carries_load('circuit "a"', m, x), "fix", "at least", 12.5),
    "low-voltage-table": Case(lambda m, x: wiring.low_voltage_table('circuit "a"', m, x), "note", "at most", 15.0),
    "main-fuse-distance": Case(lambda m, _: wiring.main_fuse_distance(m), "stop", "at most", 0.4572, fixed=True),
    "main-fuse-interrupting": Case(wiring.main_fuse_interrupting, "stop", "at least", 2500.0),
    "battery-depth": Case(lambda m, x: battery.depth('stay "a"', m, x), "fix", "at least", 0.5),
    "battery-cold-charge": Case(battery.cold_charge, "stop", "at least", 0.0),
    "battery-charge-rate": Case(battery.charge_rate, "note", "at most", 20.0),
    "battery-refill": Case(lambda m, x: battery.refill("the battery", m, x), "note", "at most", 8.0),
    "generator-running": Case(lambda m, x: engine.running('generator "a"', m, x), "fix", "at most", 2200.0),
    "generator-starting": Case(lambda m, x: engine.starting('generator "a"', m, x), "fix", "at most", 2500.0),
    "generator-distance": Case(lambda m, _: engine.exhaust_distance(m), "fix", "at least", 6.096, fixed=True),
    "generator-distance-work-trailer": Case(
        lambda m, _: engine.exhaust_distance_at_work(m), "note", "at least", 6.096, fixed=True
    ),
    "supply-total": Case(lambda m, x: mains.supply_total('supply "a"', m, x), "fix", "at most", 30.0),
    "supply-continuous": Case(lambda m, x: mains.supply_continuous('supply "a"', m, x), "note", "at most", 24.0),
    "supply-cord": Case(lambda m, x: mains.cord('supply "a"', m, x), "stop", "at most", 30.0),
    "far-end-short": Case(lambda m, x: guarding.far_end_short('circuit "a"', m, x), "fix", "at least", 60.0),
    "short-heats-wire": Case(lambda m, x: guarding.short_heats_wire('circuit "a"', m, x), "stop", "at most", 150.0),
    "guards-at-every-current": Case(
        lambda m, x: guarding.guards_at_every_current('circuit "a"', m, x), "stop", "at least", 900.0
    ),
    "slow-overload": Case(lambda m, x: guarding.slow_overload('circuit "a"', m, x), "note", "at least", 40.0),
    "branch-opens-first": Case(
        lambda m, x: guarding.branch_opens_first('circuit "a"', m, x), "note", "at least", 900.0
    ),
    "branch-interrupting": Case(
        lambda m, x: guarding.branch_interrupting("fuse block", m, x), "fix", "at least", 900.0
    ),
    "mains-total-drop": Case(lambda m, x: guarding.total_drop('circuit "a"', m, x), "note", "at most", 0.05),
    "power-outside-class": Case(lambda m, x: safety.power_in_class('load "a"', m, x), "note", "at most", 1500.0),
    "branch-count": Case(lambda m, x: branches.branch_count("panel", m, x), "stop", "at most", 5.0),
    "branch-count-work-trailer": Case(
        lambda m, x: branches.branch_count_at_work("panel", m, x), "note", "at most", 1.0
    ),
    "thermostat-appliances": Case(lambda m, x: branches.thermostat_appliances("panel", m, x), "stop", "at most", 2.0),
    "thermostat-appliances-plugged": Case(
        lambda m, x: branches.thermostat_appliances_plugged("panel", m, x), "note", "at most", 2.0
    ),
    "breaker-single-appliance": Case(
        lambda m, x: branches.breaker_single_appliance('circuit "a"', m, x), "stop", "at most", 24.0
    ),
    "breaker-name-plate": Case(lambda m, x: branches.breaker_name_plate('load "a"', m, x), "stop", "at most", 20.0),
    "plug-load-share": Case(lambda m, x: branches.plug_load_share('load "a"', m, x), "stop", "at most", 12.0),
    "fixed-load-share": Case(lambda m, x: branches.fixed_load_share('circuit "a"', m, x), "stop", "at most", 7.5),
    "compressor-breaker-usual": Case(
        lambda m, x: compressors.compressor_breaker_usual('load "a"', m, x), "note", "at most", 22.75
    ),
    "compressor-breaker-most": Case(
        lambda m, x: compressors.compressor_breaker_most('load "a"', m, x), "stop", "at most", 29.25
    ),
    "compressor-conductor": Case(
        lambda m, x: compressors.compressor_conductor('load "a"', m, x), "stop", "at least", 16.25
    ),
    # 8 AWG by ASTM B258: 0.12849 in, 8.3656 mm²
    "frame-bond": Case(lambda m, _: grounding.frame_bond(m), "stop", "at least", 8.3656, fixed=True),
    "main-breaker-inlet": Case(supply_chain.main_breaker, "stop", "at most", 30.0),
    "inlet-wire": Case(supply_chain.inlet_wire, "stop", "at most", 30.0),
    "cord-length": Case(lambda m, x: supply_chain.cord_length('supply "a"', m, x), "stop", "at least", 7.62),
    "generator-conductor": Case(
        lambda m, x: supply_chain.generator_conductor('supply "a"', m, x), "stop", "at least", 26.8
    ),
    "plug-chain-limit": Case(lambda m, x: plugs.plug_chain_limit('supply "a"', m, x), "fix", "at most", 15.0),
    "plug-chain-overheats": Case(lambda m, x: plugs.plug_chain_overheats('supply "a"', m, x), "stop", "at most", 15.0),
    "plug-not-guarded": Case(lambda m, x: plugs.plug_not_guarded('supply "a"', m, x), "fix", "at most", 15.0),
    "load-voltage-high": Case(lambda m, x: branches.load_voltage_high('load "a"', m, x), "stop", "at most", 132.0),
    "load-voltage-low": Case(lambda m, x: branches.load_voltage_low('load "a"', m, x), "fix", "at least", 216.0),
    "adapter-behind-larger-breaker": Case(
        lambda m, x: plugs.adapter_behind_larger_breaker('supply "a"', m, x), "note", "at most", 15.0
    ),
    "generator-start-dip": Case(lambda m, x: engine.start_dip('load "a"', m, x), "note", "at least", 97.75),
    "converter-size": Case(lambda m, x: plugs.converter_size("charger", m, x), "note", "at least", 33.75),
    "trip-depth": Case(lambda m, x: battery.trip_depth("the trip", m, x), "fix", "at least", 0.5),
    "trip-even": Case(lambda m, x: battery.trip_even("The trip", m, x), "note", "at least", 0.99),
    "load-cut-off": Case(lambda m, _: battery.load_cut_off('load "a"', m), "fix", "at most", 0.0, fixed=True),
    "charge-below-freezing": Case(
        lambda m, x: battery.charge_below_freezing('stay "a"', m, x), "stop", "at least", 0.0
    ),
    "tow-never-full": Case(battery.tow_never_full, "note", "at least", 14.4),
    "tow-fuse-guards-wire": Case(towing_charge.fuse_guards_wire, "stop", "at most", 40.0),
    "tow-fuse-holds": Case(towing_charge.fuse_holds, "fix", "at most", 40.0),
    "tow-wire-carries": Case(towing_charge.wire_carries, "stop", "at most", 40.0),
    "tongue-too-light": Case(lambda m, _: road.tongue_light("trailer", m), "stop", "at least", 0.10, fixed=True),
    "tongue-too-heavy": Case(lambda m, _: road.tongue_heavy("trailer", m), "fix", "at most", 0.15, fixed=True),
    "tongue-limit": Case(lambda m, x: road.tongue_limit("trailer", m, x), "stop", "at most", 226.8),
    "gross-rating": Case(lambda m, x: road.gross_rating("trailer", m, x), "stop", "at most", 3175.0),
    "coupler-rating": Case(lambda m, x: road.coupler_rating("trailer", m, x), "stop", "at most", 3175.0),
    "axle-rating": Case(lambda m, x: road.axle_rating("front axle", m, x), "stop", "at most", 1587.6),
    "tyre-rating": Case(lambda m, x: tyres.tyre_rating("front left wheel", m, x), "stop", "at most", 825.5),
    "tyre-reserve": Case(
        lambda m, x: tyres.tyre_reserve("front left wheel", m, None if x is None else x / 0.85),
        "note",
        "at most",
        701.7,
    ),
    "tyre-pressure": Case(lambda m, x: tyres.tyre_pressure("front left wheel", m, x), "stop", "at least", 276e3),
    "tyre-too-hard": Case(tyres.tyre_hard, "stop", "at most", 345e3),
    "tyres-match-axle": Case(tyres.tyres_match_axle, "stop", "at least", 1587.6),
    "coupler-stays-down": Case(lambda m, _: road.coupler_stays_down(m), "stop", "at least", 0.0, fixed=True),
    "side-to-side": Case(lambda m, _: road.side_to_side("the left side", m), "fix", "at most", 0.55, fixed=True),
    "restraint-forward": Case(lambda m, x: restraint.forward('cargo "a"', m, x), "stop", "at least", 23.7),
    "restraint-rearward": Case(lambda m, x: restraint.rearward('cargo "a"', m, x), "stop", "at least", 27.2),
    "restraint-sideways": Case(lambda m, x: restraint.sideways('cargo "a"', m, x), "stop", "at least", 13.6),
    "restraint-downward": Case(lambda m, x: restraint.downward('cargo "a"', m, x), "stop", "at least", 10.9),
    "restraint-aggregate": Case(lambda m, x: restraint.aggregate('cargo "a"', m, x), "stop", "at least", 27.2),
    "air-carbon-dioxide": Case(lambda m, x: air.carbon_dioxide('stay "a"', m, x), "fix", "at most", 1000.0),
    "air-carbon-dioxide-harm": Case(
        lambda m, _: air.carbon_dioxide_harm('stay "a"', m), "stop", "at most", 5000.0, fixed=True
    ),
    "air-with-the-fan-off": Case(lambda m, x: air.air_with_the_fan_off('stay "a"', m, x), "note", "at least", 0.0105),
    "set-point-held": Case(lambda m, x: air.set_point_held("hot day", m, x), "fix", "at most", 25.0),
    "cooler-starts": Case(lambda m, _: air.cooler_starts('load "a"', m), "note", "at most", 6.0, fixed=True),
    "wall-condensation": Case(lambda m, x: air.condensation("walls", m, x), "note", "at least", 9.3),
    "heater-holds": Case(lambda m, x: air.heater_holds("heaters", m, x), "fix", "at least", 800.0),
    "hot-without-power": Case(
        lambda m, _: air.hot_without_power("hot day", m), "note", "at most", (103.0 - 32.0) / 1.8, fixed=True
    ),
    "bow-stress": Case(lambda m, x: roof.bow_stress("The bow under a", m, x), "fix", "at most", 189.8e6),
    "bow-sag": Case(
        lambda m, x: roof.bow_sag("The bow under a", m, None if x is None else 180.0 * x), "fix", "at most", 0.01185
    ),
    "bow-shear": Case(
        lambda m, x: roof.bow_shear("The bow under a", m, None if x is None else x / 0.6), "fix", "at most", 114e6
    ),
    "trimmer-stress": Case(lambda m, x: roof.trimmer_stress("a", m, x), "fix", "at most", 189.8e6),
    "person-on-roof": Case(lambda m, x: roof.person_on_roof("A person standing", m, x), "note", "at most", 189.8e6),
    "bow-cut": Case(lambda m, _: roof.bows_cut("a", m), "note", "at most", 0.0, fixed=True),
    "roof-bolts-hold": Case(lambda m, x: openings.bolts_hold("a", m, x), "fix", "at most", 68.0),
    "opening-over-edge": Case(lambda m, _: openings.over_edge("a", m), "fix", "at least", 0.0, fixed=True),
    "wall-too-thin": Case(lambda m, x: openings.too_thin("a", m, x), "fix", "at least", 0.03175),
    "wall-too-thick": Case(lambda m, x: openings.too_thick("a", m, x), "fix", "at most", 0.04445),
    "roof-too-thin": Case(lambda m, x: openings.roof_too_thin("a", m, x), "fix", "at least", 0.0254),
    "roof-too-thick": Case(lambda m, x: openings.roof_too_thick("a", m, x), "fix", "at most", 0.0762),
    "test-sheet-measured": Case(lambda m, x: closing.all_measured("a part", m, x), "stop", "at least", 12.0),
    "reading-outside-its-band": Case(lambda m, _: closing.within_band("a part", m), "stop", "at most", 0.0, fixed=True),
    "second-way-out": Case(lambda m, _: openings.ways_out(m), "stop", "at least", 2.0, fixed=True),
}

# rule: how a claim of something wrong is made, and how severe it is
CLAIMS: dict[str, tuple[Callable[[bool | None], Finding], str]] = {
    "smoke-alarm": (safety.smoke_alarm, "stop"),
    "battery-gas": (battery.gas, "stop"),
    "fault-likely": (lambda wrong: closing.no_fault_likely("A joint", wrong), "stop"),
    "battery-disconnect": (lambda wrong: wiring.battery_disconnect(None if wrong is None else not wrong), "note"),
    "standard-rating": (lambda wrong: guarding.standard_rating('circuit "a"', wrong), "fix"),
    "raceway-holds-both": (lambda wrong: guarding.raceway_holds_both('raceway "a"', wrong), "note"),
    "circuit-feeds-nothing": (lambda wrong: wiring.circuit_feeds_something('circuit "a"', wrong), "note"),
    "receptacle-rating": (lambda wrong: grounding.receptacle_rating('circuit "a"', wrong), "stop"),
    "receptacle-gfci": (lambda wrong: grounding.receptacle_gfci('circuit "a"', wrong), "stop"),
    "receptacle-voltage": (lambda wrong: grounding.receptacle_voltage('circuit "a"', wrong), "stop"),
    "two-leg-circuit-dead": (lambda wrong: plugs.two_leg_circuit_dead('circuit "a"', wrong), "fix"),
    "two-leg-circuit-rests": (lambda wrong: plugs.two_leg_circuit_rests('circuit "a"', wrong), "note"),
    "single-circuit-gfci": (lambda wrong: grounding.single_circuit_gfci('circuit "a"', wrong), "stop"),
    "neutral-isolated": (grounding.neutral_isolated, "stop"),
    "skin-bonded": (grounding.skin_bonded, "stop"),
    "floating-neutral": (lambda wrong: grounding.floating_neutral('supply "a"', wrong), "note"),
    "tow-wire-delivers": (towing_charge.wire_delivers, "fix"),
    "battery-held": (restraint.battery_held, "stop"),
    "left-out-of-balance": (lambda wrong: road.left_out('load "a"', wrong), "note"),
    "axles-share": (road.axles_share, "note"),
    "limits-kept": (lambda wrong: trade_offs.limits_kept("The design", wrong), "fix"),
    "design-beaten": (lambda wrong: trade_offs.beaten("The design", wrong), "note"),
    "thing-held": (lambda wrong: restraint.thing_held('cargo "a"', wrong), "stop"),
    "fan-without-inlet": (lambda wrong: air.fan_without_inlet('load "a"', wrong), "fix"),
    "open-flame-heater": (air.open_flame, "stop"),
    "carbon-monoxide-alarm": (air.carbon_monoxide_alarm, "stop"),
    "fan-draws-exhaust": (lambda wrong: air.fan_draws_exhaust('load "a"', wrong), "stop"),
    "main-breaker-needed": (supply_chain.main_needed, "stop"),
    "inlet-type": (supply_chain.inlet_type, "stop"),
    "inlet-label": (supply_chain.inlet_label, "stop"),
    "inlet-place": (lambda wrong: supply_chain.inlet_place('supply "a"', wrong), "note"),
    "panel-clear": (supply_chain.panel_clear, "stop"),
    "one-transfer": (supply_chain.one_transfer, "stop"),
    "plug-chain-fits": (lambda wrong: plugs.plug_chain_fits('supply "a"', wrong), "fix"),
    "adapter-missing": (lambda wrong: plugs.adapter_missing('supply "a"', wrong), "fix"),
    "one-hot-on-both-legs": (lambda wrong: plugs.one_hot_on_both_legs('supply "a"', wrong), "note"),
    "generator-start-stalls": (lambda wrong: engine.start_stalls('load "a"', wrong), "fix"),
    "bow-cut-without-headers": (lambda wrong: roof.cut_without_headers("a", wrong), "fix"),
    "opening-in-the-way": (lambda wrong: openings.in_the_way('"a" and "b" overlap', wrong), "fix"),
    "lid-in-the-wind": (lambda wrong: openings.lid_in_the_wind("a", wrong), "fix"),
    "opening-in-the-rain": (lambda wrong: openings.in_the_rain("a", wrong), "note"),
    "iec-mains-practice": (lambda wrong: plugs.iec_practice("mains side", wrong), "note"),
}


def test_every_rule_is_tried_here() -> None:
    """A rule that is added without a line above fails here."""
    assert set(all_rules()) == {*NUMBERS, *CLAIMS}


@pytest.mark.parametrize("name", sorted(all_rules()))
def test_every_rule_says_what_where_from_and_what_to_do(name: str) -> None:
    rule, function = all_rules()[name]
    assert rule.id == name and re.fullmatch(r"[a-z]+(-[a-z]+)*", name)
    assert rule.severity in ("stop", "fix", "note") and rule.sense in ("at most", "at least")
    assert rule.kind == "" or rule.kind in units.KINDS
    assert rule.clause and rule.confidence and rule.unknown and not rule.unknown.endswith(".")
    assert rule.what.endswith(".") and rule.remedy.endswith(".")
    assert set(re.findall(r"{(\w*)}", rule.what + rule.remedy)) <= {"subject", "measured", "limit"}
    assert function.__doc__


def reads_well(finding: Finding) -> None:
    for system in SYSTEMS:
        for sentence in (finding.text(system), finding.mend(system)):
            assert sentence and sentence.endswith(".") and ".." not in sentence
            assert "{" not in sentence and "None" not in sentence and "nan" not in sentence.split()


def wrong_way(case: Case, step: float) -> float:
    """A value beyond the limit by so much, or within it when negative."""
    return case.limit + step if case.sense == "at most" else case.limit - step


@pytest.mark.parametrize("name", sorted(NUMBERS))
def test_within_the_limit_it_holds(name: str) -> None:
    case = NUMBERS[name]
    for step in (1e-4, 1e-2, 0.3):
        finding = case.apply(wrong_way(case, -step * max(1.0, case.limit)), case.limit)
        assert finding.severity == "holds" and finding.rule == name
        assert finding.margin is None or finding.margin > 0
        reads_well(finding)


@pytest.mark.parametrize("name", sorted(NUMBERS))
def test_at_the_limit_it_holds(name: str) -> None:
    """Also when arithmetic leaves the value a hair beyond: 0.1 + 0.2 is not 0.3."""
    case = NUMBERS[name]
    for value in (case.limit, case.limit * (1 + 2e-16), case.limit * (1 - 2e-16)):
        finding = case.apply(value, case.limit)
        assert finding.severity == "holds"
        assert finding.margin is None or finding.margin == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize("name", sorted(NUMBERS))
def test_beyond_the_limit_it_is_found(name: str) -> None:
    case = NUMBERS[name]
    for step in (1e-6, 1e-2, 0.3):
        finding = case.apply(wrong_way(case, step * max(1.0, case.limit)), case.limit)
        assert finding.severity == case.severity and finding.sense == case.sense
        assert finding.margin is None or finding.margin < 0
        assert finding.mark == MARKS[finding.severity]
        reads_well(finding)
        if finding.kind:
            for system in SYSTEMS:
                assert units.show(finding.measured, finding.kind, system) == finding.number(finding.measured, system)


@pytest.mark.parametrize("name", sorted(NUMBERS))
@pytest.mark.parametrize("gap", [None, float("nan")], ids=["none", "nan"])
@pytest.mark.parametrize("which", ["value", "limit", "both"])
def test_with_a_number_missing_it_is_not_checked(name: str, gap: Number, which: str) -> None:
    case = NUMBERS[name]
    if case.fixed and which == "limit":
        assert case.apply(case.limit, gap).limit == pytest.approx(case.limit)
        return
    inside = wrong_way(case, -0.3 * max(1.0, case.limit))
    finding = case.apply(gap if which != "limit" else inside, gap if which != "value" else case.limit)
    assert finding.severity == "not checked"
    assert "not checked" in finding.text("us")
    reads_well(finding)


@pytest.mark.parametrize("gap", [None, float("nan")], ids=["none", "nan"])
def test_what_is_not_checked_has_no_margin(gap: Number) -> None:
    for case in NUMBERS.values():
        for value, limit in ((gap, case.limit), (case.limit, gap), (gap, gap)):
            finding = case.apply(value, limit)
            assert finding.severity == "holds" or finding.margin is None, finding.rule


@pytest.mark.parametrize("name", sorted(NUMBERS))
def test_endless_values_are_never_taken_for_good(name: str) -> None:
    case = NUMBERS[name]
    beyond = math.inf if case.sense == "at most" else -math.inf
    finding = case.apply(beyond, case.limit)
    assert finding.severity == case.severity
    reads_well(finding)


@pytest.mark.parametrize("name", sorted(CLAIMS))
def test_a_claim_is_so_or_not_so_or_not_known(name: str) -> None:
    claim, severity = CLAIMS[name]
    assert (claim(True).severity, claim(False).severity, claim(None).severity) == (severity, "holds", "not checked")
    for wrong in (True, False, None):
        finding = claim(wrong)
        assert finding.rule == name
        reads_well(finding)


@pytest.mark.parametrize("name", sorted({*NUMBERS, *CLAIMS}))
def test_a_subject_is_never_read_as_a_pattern(name: str) -> None:
    """A load may be called {measured}; its name must come out as it is."""
    rule, _ = all_rules()[name]
    for measured in (None, 2.0):
        finding = judge(rule, 'load "{measured} {0} {x}"', measured, 1.0)
        assert ("{measured} {0} {x}" in finding.text("us")) == ("{subject}" in finding.what)


def test_a_margin_is_the_share_of_the_limit_that_is_left() -> None:
    assert wiring.ampacity("a", 15.0, 20.0).margin == pytest.approx(0.25)
    assert wiring.ampacity("a", 25.0, 20.0).margin == pytest.approx(-0.25)
    assert battery.depth("a", 0.6, 0.5).margin == pytest.approx(0.2)
    assert battery.depth("a", 0.4, 0.5).margin == pytest.approx(-0.2)
    assert battery.cold_charge(-10.0, -20.0).margin == pytest.approx(0.5)


def test_findings_stand_from_stop_to_not_checked_the_tightest_first() -> None:
    mixed = [
        wiring.low_voltage_table("note", 20.0, 15.0), wiring.drop("unknown", None, 0.03), wiring.ampacity("little", 21.0, 20.0),
        wiring.drop("fix", 0.05, 0.03), wiring.ampacity("much", 40.0, 20.0), wiring.ampacity("good", 1.0, 20.0),
        wiring.drop("not a number", math.nan, 0.03),
    ]  # fmt: skip
    for turned in (mixed, mixed[::-1], mixed[3:] + mixed[:3]):
        ordered = in_order(turned)
        assert [f.subject for f in ordered][:4] == ["much", "little", "fix", "note"]
        assert {f.subject for f in ordered[4:]} == {"unknown", "not a number"}
    assert worst(mixed) == "stop" and worst([mixed[1], mixed[5]]) == "not checked"
    assert list(MARKS) == list(ORDER)


def test_two_rules_cannot_share_a_name() -> None:
    from trailerlib.rules.finding import enforces

    rule: Rule = next(iter(all_rules().values()))[0]
    with pytest.raises(ValueError, match=rule.id):
        enforces(rule)(lambda: None)  # type: ignore[arg-type, return-value]


def test_a_finding_cannot_be_changed() -> None:
    finding = wiring.drop("a", 0.05, 0.03)
    for field in fields(finding):
        with pytest.raises(AttributeError):
            setattr(finding, field.name, None)
