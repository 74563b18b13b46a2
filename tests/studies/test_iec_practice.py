"""A trailer wired to IEC practice: worked out where physics is enough, its rules left to those who know them."""

from __future__ import annotations

import pytest

import trailerlib as tl
from trailerlib.design.errors import DesignError
from trailerlib.design.supply_classes import iec_supplies, supply_kinds
from trailerlib.physics.ohm import drawn_a
from trailerlib.studies.ampacity import ratings
from trailerlib.studies.mains_side.cord import cord_of


@pytest.fixture(scope="module")
def wagon() -> tl.Design:
    return tl.read_design(tl.shipped_trailers()["type-wagon"])


def test_it_lives_on_its_inlet_of_230_volts(wagon: tl.Design) -> None:
    """IEC 60364-7-721 table 721.1 (seen in a copy of the source): 16 A, 2.5 mm², 25 m."""
    kind = iec_supplies()["inlet 16 A"]
    assert (kind.rating_a, kind.volts, kind.legs, kind.cord, kind.cord_run_m) == (16.0, 230.0, 1, "2.5 mm2", 25.0)
    assert wagon.volts_of(wagon.circuit("press")) == 230.0
    motor = wagon.load("press motor")
    run = next(r for r in tl.study("wiring", wagon).picture.runs if r.circuit.name == "press")
    assert run.current_a == pytest.approx(drawn_a(motor.each_w, 230.0, motor.typical.power_factor), rel=0.03)


def test_its_rules_are_said_not_to_be_checked(wagon: tl.Design) -> None:
    checks = [check for answer in tl.assess(wagon).answers.values() for check in answer.checks]
    assert [c.severity for c in checks if c.rule == "iec-mains-practice"] == ["note"]
    american = {"receptacle-gfci", "neutral-isolated", "branch-count", "inlet-type", "plug-chain-fits", "frame-bond"}
    assert not {c.rule for c in checks} & american


def test_its_metric_wires_are_checked_against_their_fuses(wagon: tl.Design) -> None:
    """By hand: A2 of 1.5 mm² is 14 A, of 2.5 mm² 18.5 A; at 35 °C and 70 °C copper the factor is √(35/40)."""
    checks = [c for c in tl.study("wiring", wagon).checks if c.rule in ("wire-ampacity", "fuse-guards-wire")]
    assert len(checks) == 12 and {c.severity for c in checks} == {"holds"}
    limits = {c.subject: c.limit for c in checks if c.rule == "fuse-guards-wire"}
    assert limits['circuit "press"'] == pytest.approx(14.0 * (35.0 / 40.0) ** 0.5)
    assert limits['circuit "sockets"'] == pytest.approx(18.5 * (35.0 / 40.0) ** 0.5)
    assert limits['circuit "bench lights"'] == pytest.approx(40.0 * (30.0 / 40.0) ** 0.5 * 0.80)


def test_thin_wire_behind_16_amperes_is_a_stop(wagon: tl.Design) -> None:
    thin = wagon.replace("circuit.sockets.wire", "1.5 mm2")
    found = next(c for c in tl.study("wiring", thin).checks if c.rule == "fuse-guards-wire" and "sockets" in c.subject)
    assert found.severity == "stop" and found.limit == pytest.approx(13.1, abs=0.05)


@pytest.mark.parametrize(
    ("cord", "severity"), [("2.5 mm2", "holds"), ("1.5 mm2", "holds"), ("1 mm2", "stop"), ("6 mm2", "not checked")]
)
def test_its_metric_cord_is_checked_against_the_supply(cord: str, severity: str, wagon: tl.Design) -> None:
    """By hand: 16 A on cords good for 25, 16 and 10 A; 6 mm² stands in no table here."""
    changed = wagon.replace_all({("supply", "school yard", "cord"): cord})
    found = [c for c in tl.study("mains", changed).checks if c.rule == "supply-cord"]
    assert [c.severity for c in found] == [severity]
    lies = cord_of(changed, changed.supplies[0])
    assert lies is not None and lies.carry.source == "BS 7671 table 4F3A"


@pytest.mark.parametrize(
    ("path", "value"), [("wire", "0.75 mm2"), ("wire", "70 mm2"), ("insulation", "60 C"), ("ambient", None)]
)
def test_what_no_table_lists_is_not_checked(path: str, value: str | None, wagon: tl.Design) -> None:
    changed = wagon.replace_all({("circuit", "press", path): value, ("site", "hottest"): None})
    found = [c for c in tl.study("wiring", changed).checks if c.rule == "fuse-guards-wire" and "press" in c.subject]
    assert [c.severity for c in found] == ["not checked"]


def test_nothing_of_it_is_found_wrong(wagon: tl.Design) -> None:
    assert [f.rule for f in tl.assess(wagon).finding_list if f.severity in ("stop", "fix")] == []


@pytest.mark.parametrize("rating", [6.0, 10.0, 13.0, 16.0, 32.0, 63.0])
def test_breakers_have_ratings_of_their_own(rating: float, wagon: tl.Design) -> None:
    """IEC 60898-1 5.3.2, preferred values, from memory. North America has 15 and 20 A, and none of 16 A."""
    assert rating in ratings("breaker", "iec")
    assert not {15.0, 30.0, 60.0} & set(ratings("breaker", "iec"))
    changed = wagon.replace("circuit.press.protection", f"{rating:g} A")
    found = [c for c in tl.study("wiring", changed).checks if c.rule == "standard-rating" and "press" in c.subject]
    assert [c.severity for c in found] == ["holds"]


def test_an_american_rating_is_none_there_and_the_other_way_round(wagon: tl.Design, demo: tl.Design) -> None:
    odd = wagon.replace("circuit.press.protection", "15 A")
    assert [c.severity for c in tl.study("wiring", odd).checks
            if c.rule == "standard-rating" and "press" in c.subject] == ["fix"]  # fmt: skip
    other = demo.replace("circuit.charger.protection", "16 A")
    assert [c.severity for c in tl.study("wiring", other).checks
            if c.rule == "standard-rating" and '"charger"' in c.subject] == ["fix"]  # fmt: skip


def test_its_inlet_is_not_offered_where_the_other_practice_holds(demo: tl.Design) -> None:
    assert not set(iec_supplies()) & set(supply_kinds())
    with pytest.raises(DesignError, match=r"IEC practice.*north-america"):
        demo.replace("supply.shore.kind", "inlet 16 A")
