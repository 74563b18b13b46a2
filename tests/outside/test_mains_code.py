"""The mains panel against published tables and worked cases: motors, plugs, sites of a park, converters, cords."""

from __future__ import annotations

import itertools
from typing import Any

import pytest
from check import Check, each
from nameplate import locked_rotor_a

from trailerlib.design import plug_types, supply_classes
from trailerlib.design.design import Design, design_from
from trailerlib.reference import table
from trailerlib.rules import branches, compressors, plugs, supply_chain
from trailerlib.rules.grounding import receptacle_fits
from trailerlib.studies.mains_rules import checks
from trailerlib.studies.panel import panel

FORUM = "electricians' forum worked case, NFPA 70 445.13(A)"


def trailer(breaker: str, *loads: tuple[str, int], **more: Any) -> Design:
    """One circuit with these loads at its receptacles."""
    circuit = {"name": "c", "system": "mains", "wire": "10 AWG", "protection": breaker, "device": "breaker",
               "receptacle": "5-20", "outlets": 4}  # fmt: skip
    own = [{"name": f"l{n}", "class": kind, "circuit": "c", "count": k} for n, (kind, k) in enumerate(loads)]
    box = {"length": "12 ft", "width": "7 ft", "height": "6 ft"}
    return design_from({"title": "t", "trailer": box, "circuit": [circuit], "load": own, **more})


def heaters_a(count: int) -> float:
    return panel(trailer("20 A", ("space heater", count))).breakers[0].all_a


def limit_a(breaker: str, rule: str) -> float:
    (found,) = [c for c in checks(trailer(breaker, ("toaster", 1))) if c.rule == rule]
    assert found.limit is not None
    return found.limit


def site_va(plug: str) -> float:
    kind = plug_types.plug(plug)
    return kind.rating_a * kind.leg_volts * kind.legs


PARK = "NFPA 70 551.73(A)"
CHECKS = [
    Check("one site of 30 A", lambda: site_va("TT-30"), 3600.0, 1e-12, "exact: 30 A of 120 V", PARK),
    Check("one site of 50 A", lambda: site_va("14-50"), 12000.0, 1e-12, "exact; 9600 VA before 2020", PARK),
    Check("one site of 20 A", lambda: site_va("5-20"), 2400.0, 1e-12, "exact: 20 A of 120 V", PARK),
    Check(
        "converter for 55 A",
        lambda: plugs.converter_need_a(55.0),
        33.75,
        1e-12,
        "20 + 10 + 3.75, recomputed",
        "NFPA 70 551.20(B), from memory",
        "from memory",
    ),
    Check(
        "set of 20 kW, its conductors",
        lambda: supply_chain.generator_conductor_need_a(20000.0, 240.0),
        95.795,
        1e-3,
        "the case rounds 83.33 A to 83.3 A first",
        FORUM,
    ),
    Check(
        "set of 60 kVA, its conductors",
        lambda: supply_chain.generator_conductor_need_a(60000.0, 240.0),
        287.5,
        1e-12,
        "exact",
        FORUM,
    ),
    Check("one heater", lambda: heaters_a(1), 12.5, 1e-12, "exact", "1500 W at 120 V: common practice, no source", "practice"),
    Check(
        "half a horsepower, code letter G",
        lambda: locked_rotor_a(table("code_letters").number("kva_per_hp_to", letter="G"), 0.5, 115.0),
        27.35,
        1e-3,
        "four figures, recomputed: 6.29 x 500 / 115",
        "NFPA 70 table 430.7(B)",
        "independent",
    ),
    Check(
        "cooler of 16 A, breaker to start on",
        lambda: compressors.compressor_breaker_limit_a(16.0, compressors.USUAL_SHARE),
        28.0,
        1e-12,
        "exact: 175 %; the next smaller standard breaker is 25 A",
        "NFPA 70 440.22(A), handbook case from memory",
        "from memory",
    ),
    Check(
        "cooler of 16 A, its wire",
        lambda: compressors.WIRE_SHARE * table("motor_full_load").number("a_115v", horsepower="1"),
        20.0,
        1e-12,
        "exact: 125 % of 16 A, the same share as for a motor",
        "electricians' forum worked case, NFPA 70 430.22; 440.32 from memory",
    ),
]  # fmt: skip


@each(CHECKS)
def test_published_values(check: Check) -> None:
    check.hold()


PLUGS = {
    "5-15": (15, 1), "5-20": (20, 1), "TT-30": (30, 1), "L5-20": (20, 1), "L5-30": (30, 1), "14-30": (30, 2),
    "L14-20": (20, 2), "L14-30": (30, 2), "14-50": (50, 2), "6-15": (15, 2), "6-20": (20, 2), "6-30": (30, 2),
    "6-50": (50, 2),
}  # fmt: skip


@pytest.mark.parametrize("name", list(plug_types.plugs()))
def test_plug_types_by_their_names(name: str) -> None:
    """NEMA WD 6, from memory: the figure after the dash is the rating; 5 and TT are 125 V, 14 is 125/250 V with two legs,
    6 is 250 V with two hot wires and no neutral.
    """
    kind = plug_types.plug(name)
    assert (kind.rating_a, kind.legs) == PLUGS[name] and kind.leg_volts == 120.0
    assert kind.rating_a == float(name.split("-")[1]) and (kind.legs == 2) is name.split("-")[0].endswith(("14", "6"))
    assert kind.neutral is not name.startswith("6-")


@pytest.mark.parametrize(("rating", "plug"), [(15.0, "5-15"), (20.0, "5-20"), (30.0, "TT-30"), (50.0, "14-50")])
def test_the_plug_of_each_supply_assembly(rating: float, plug: str) -> None:
    """Published: NFPA 70 551.46(C), seen in a copy: 15 A 5-15, 20 A 5-20, 30 A TT-30, 50 A 14-50."""
    assert [kind.plug for kind in supply_classes.supply_kinds().values() if kind.rating_a == rating] == [plug]
    assert plug in supply_chain.INLET_TYPES and len(supply_chain.INLET_TYPES) == 4


def test_a_15_a_plug_goes_into_a_20_a_receptacle_and_nothing_else_crosses() -> None:
    """NEMA WD 6, from memory: the 5-20 receptacle has the T slot; every other type takes its own plug only."""
    kinds = plug_types.plugs()
    crossing = {(a, b) for a, b in itertools.permutations(kinds, 2) if kinds[a].enters(b)}
    assert crossing == {("5-15", "5-20")} and all(kind.enters(name) for name, kind in kinds.items())


MOTORS = {
    "0.166667": 4.4, "0.25": 5.8, "0.333333": 7.2, "0.5": 9.8, "0.75": 13.8, "1": 16, "1.5": 20, "2": 24, "3": 34, "5": 56,
    "7.5": 80, "10": 100,
}  # fmt: skip


@pytest.mark.parametrize("horsepower", table("motor_full_load").texts("horsepower"))
def test_motor_current_against_a_second_copy(horsepower: str) -> None:
    """NFPA 70 table 430.248 at 115 V, typed in a second time from memory: exact. 230 V takes half: 0.06 A of rounding."""
    row = table("motor_full_load").row(horsepower=horsepower)
    assert float(row["a_115v"]) == MOTORS[horsepower]
    assert float(row["a_230v"]) == pytest.approx(float(row["a_115v"]) / 2.0, abs=0.06)


LETTERS = {
    "A": 3.14, "B": 3.54, "C": 3.99, "D": 4.49, "E": 4.99, "F": 5.59, "G": 6.29, "H": 7.09, "J": 7.99, "K": 8.99,
    "L": 9.99, "M": 11.19, "N": 12.49, "P": 13.99, "R": 15.99, "S": 17.99, "T": 19.99, "U": 22.39,
}  # fmt: skip


@pytest.mark.parametrize("letter", list(LETTERS))
def test_code_letter_against_a_second_copy(letter: str) -> None:
    """NFPA 70 table 430.7(B), typed in a second time from memory: exact. There is no I, O or Q."""
    assert table("code_letters").number("kva_per_hp_to", letter=letter) == LETTERS[letter]
    assert {row["letter"] for row in table("code_letters").rows} == {*LETTERS, "V"}


@pytest.mark.parametrize(("breaker", "most"), [("15 A", 12.0), ("20 A", 16.0), ("30 A", 24.0)])
def test_the_largest_plugged_in_load(breaker: str, most: float) -> None:
    """NFPA 70 table 210.21(B)(2), from memory: 12 A on 15 A, 16 A on 20 A, 24 A on 30 A. Exact."""
    assert limit_a(breaker, "plug-load-share") == pytest.approx(most, rel=1e-12)


def test_receptacles_of_a_circuit() -> None:
    """NFPA 70 table 210.21(B)(3), from memory: 15 A: 15; 20 A: 15 or 20; 30 A: 30; 50 A: 50."""
    for circuit, allowed in ((15, {15}), (20, {15, 20}), (30, {30}), (50, {50})):
        ours = {r for r in (15, 20, 30, 40, 50) if receptacle_fits(float(r), float(circuit), False)}
        assert ours == allowed


def test_why_13_point_3_amperes() -> None:
    """NFPA 70 551.43(A): 150 % of 13.3 A is 19.95 A, the last that the 20 A breaker goes with. 0.3 %: one decimal."""
    assert pytest.approx(20.0, rel=3e-3) == 1.5 * branches.SINGLE_FROM_A
    assert branches.single_appliance_limit_a(branches.SINGLE_FROM_A) == 20.0


@pytest.mark.parametrize(("kind", "awg"), [("household 15 A", "14"), ("household 20 A", "12"), ("shore 30 A", "10"), ("shore 50 A", "6")])  # fmt: skip
def test_the_usual_cord_carries_its_rating_and_the_next_thinner_does_not(kind: str, awg: str) -> None:
    """Published: table 400.5(A)(1) by 551.46(A): the usual cord is the thinnest that does; common practice, no source.

    15 and 20 A cords are one size thicker for their length, so there the next thinner may do.
    """
    supply = supply_classes.supply_kinds()[kind]
    carries = {row["awg"]: float(row["a_2_conductors"]) for row in table("nec_400_5_cord").rows}
    assert supply.cord == f"{awg} AWG" and carries[awg] >= supply.rating_a
    if supply.rating_a >= 30.0:
        assert carries[str(int(awg) + 2)] < supply.rating_a


@pytest.mark.parametrize(("heaters", "on_20", "on_30"), [(1, True, True), (2, False, True), (3, False, False)])
def test_heaters_on_breakers(heaters: int, on_20: bool, on_30: bool) -> None:
    """Common practice, no source: one 1500 W heater to a 20 A breaker, two to a 30 A inlet; a third trips the inlet."""
    (own,) = panel(trailer("20 A", ("space heater", heaters))).breakers
    assert own.rating_a == 20.0
    assert (own.now_a <= 20.0, own.now_a <= 30.0) == (on_20, on_30)
