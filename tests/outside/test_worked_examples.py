"""Published worked examples of drop, wire choice, ampacity and fuse choice that stand in no other module here."""

from __future__ import annotations

import math

import numpy as np
import pytest
from check import FT_M, KFT_M, Check, each

from trailerlib.physics.conductor import (
    CMIL_M2,
    ambient_factor,
    awg_area_m2,
    loop_drop_v,
    required_area_cmil,
    resistance_per_m,
)
from trailerlib.physics.network import Tree, solve_dc
from trailerlib.physics.protection import required_rating_a, smallest_rating_a
from trailerlib.physics.starting import running_va
from trailerlib.reference import table

MAGAZINE = "trade magazine, basics of calculating voltage drop: 10 AWG, 20 A, 1.1 ohm/kft effective"
ANNEX_D = "NFPA 70 annex D, example D3 (store), from memory"
FORUM = "electricians' forum worked case, NFPA 70"
BREAKERS = table("protection_ratings").where(device="breaker").floats("rating_a")


def three_phase_v(feet: float) -> float:
    """Three conductors carry what two would, at the square root of three instead of two."""
    return float(math.sqrt(3.0) / 2.0 * loop_drop_v(20.0, 1.1 / KFT_M, feet * FT_M))


def breaker_a(need_a: float) -> float:
    return float(smallest_rating_a(need_a, BREAKERS))


def nec_a(awg: str, column: str, conductors: int, air_c: float) -> float:
    (band,) = [r for r in table("nec_bundling").rows if int(r["ccc_from"]) <= conductors <= int(r["ccc_to"])]
    factor = ambient_factor(float(column[2:-1]), air_c)
    return table("nec_310_16_ampacity").number(column, awg=awg) * float(band["factor"]) * float(factor)


CHECKS = [
    Check("three phase, 200 ft", lambda: three_phase_v(200.0), 7.7, 1.1e-2, "7.62 rounded up in print", MAGAZINE),
    Check("length for 3 %", lambda: 200.0 * 14.4 / three_phase_v(200.0), 377.0, 3e-3, "print cut off", MAGAZINE),
    Check(
        "three phase, 500 ft",
        lambda: three_phase_v(500.0),
        19.0526,
        1e-5,
        "exact product; the print does not follow its own numbers",
        MAGAZINE,
        printed=18.0,
    ),
    Check(
        "textbook, wire for 230 V over 2300 ft",
        lambda: float(awg_area_m2(-1)) / CMIL_M2,
        133100.0,
        1e-3,
        "book: 116 035 cmil needed, 2/0 (133 100 cmil) is the next size",
        "Lessons in Electric Circuits, vol. I DC, ch. 12",
    ),
    Check(
        "store, least breaker",
        lambda: required_rating_a(16200.0 / 240.0, 5400.0 / 240.0),
        106.9,
        1e-3,
        "25 650 VA at 240 V, four figures; the annex rounds to 107 A",
        ANNEX_D,
        "from memory",
    ),
    Check(
        "store, breaker chosen",
        lambda: breaker_a(float(required_rating_a(16200.0 / 240.0, 5400.0 / 240.0))),
        110.0,
        1e-12,
        "next standard size",
        ANNEX_D,
        "from memory",
    ),
    Check(
        "generator of 20 kW, conductor at 115 %",
        lambda: 1.15 * running_va(20000.0, 1.0) / 240.0,
        95.795,
        1e-3,
        "the case rounds 83.33 A to 83.3 A first",
        FORUM + " 445.13(A)",
    ),
    Check(
        "generator of 60 kVA, conductor at 115 %",
        lambda: 1.15 * running_va(60000.0, 1.0) / 240.0,
        287.5,
        1e-9,
        "exact",
        FORUM + " 445.13(A)",
    ),
    Check(
        "motor of 1 hp, breaker for its conductor",
        lambda: breaker_a(float(required_rating_a(table("motor_full_load").number("a_115v", horsepower="1"), 0.0))),
        20.0,
        1e-12,
        "1.25 x 16 A is a standard size",
        FORUM + " 430.22, 240.6(A)",
    ),
    Check(
        "motor of 25 hp, conductor",
        lambda: required_rating_a(34.0, 0.0),
        42.5,
        1e-12,
        "exact",
        "NFPA 70 annex D, example D8 (25 hp, 34 A), from memory",
        "from memory",
    ),
    Check(
        "six in a pipe at 60 degC, 12 AWG",
        lambda: nec_a("12", "a_90c", 6, 60.0),
        17.0,
        5e-3,
        "factor with two decimals against the formula",
        FORUM + " 310.15",
    ),
]


@each(CHECKS)
def test_published_examples(check: Check) -> None:
    check.hold()


@pytest.mark.parametrize(("awg", "carries"), [("12", False), ("10", True)])
def test_the_wire_that_a_20_a_breaker_may_guard(awg: str, carries: bool) -> None:
    """Published: the same forum case: behind a 20 A breaker 10 AWG (22.7 A) passes and 12 AWG (17.0 A) does not."""
    assert (nec_a(awg, "a_90c", 6, 60.0) >= breaker_a(20.0)) is carries


def test_textbook_wire_is_the_first_that_is_thick_enough() -> None:
    """Published: Lessons in Electric Circuits, ch. 12: of 116 035 cmil, 1/0 is too thin and 2/0 is taken."""
    need = required_area_cmil(25.0, 2 * 2300.0, 10.0, 10.09)
    wires = {awg: float(awg_area_m2(index)) / CMIL_M2 for awg, index in (("1/0", 0.0), ("2/0", -1.0), ("3/0", -2.0))}
    assert min(awg for awg, area in wires.items() if area >= need) == "2/0"


GAUGES = {str(n): float(n) for n in (18, 16, 14, 12, 10, 8, 6, 4, 2, 1)} | {"1/0": 0.0, "2/0": -1.0, "3/0": -2.0, "4/0": -3.0}  # fmt: skip
OPEN_TABLE = [
    (5, 15, "16"), (25, 15, "8"), (5, 20, "14"), (50, 20, "4"), (10, 20, "12"), (30, 25, "6"), (20, 25, "8"),
    (15, 30, "8"), (40, 30, "4"), (25, 40, "4"), (20, 40, "6"), (5, 50, "10"), (40, 50, "2"), (15, 60, "4"),
    (40, 60, "1"), (50, 70, "2/0"), (25, 80, "2"), (10, 90, "4"), (30, 90, "1/0"), (40, 90, "2/0"), (50, 90, "3/0"),
]  # fmt: skip


@pytest.mark.parametrize(("amps", "loop_ft", "awg"), OPEN_TABLE, ids=[f"{a} A {d} ft" for a, d, _ in OPEN_TABLE])
def test_wire_by_drop_from_an_open_table(amps: float, loop_ft: float, awg: str) -> None:
    """Published: open wiki wire length table, 3 % at 12 V, length there and back, its own constant K = 11.2.

    The answer is a gauge: exact.
    """
    need = required_area_cmil(amps, loop_ft, 0.36, 11.2)
    enough = [name for name, index in GAUGES.items() if awg_area_m2(index) / CMIL_M2 >= need]
    assert enough[0] == awg


@pytest.mark.parametrize(
    ("amps", "loop_ft", "awg"), OPEN_TABLE[:8], ids=[f"{a} A {d} ft" for a, d, _ in OPEN_TABLE[:8]]
)
def test_the_same_table_holds_three_percent_by_our_resistance(amps: float, loop_ft: float, awg: str) -> None:
    """Published: the same cells, drop by the resistance of the gauge at the 40 degC its K stands for: 3 % at most."""
    drop = loop_drop_v(amps, resistance_per_m(awg_area_m2(GAUGES[awg]), 40.34, 1.0), loop_ft / 2 * FT_M)
    assert drop <= 0.36 * (1 + 1e-3)
    thinner = list(GAUGES)[list(GAUGES).index(awg) - 1]
    assert loop_drop_v(amps, resistance_per_m(awg_area_m2(GAUGES[thinner]), 40.34, 1.0), loop_ft / 2 * FT_M) > 0.36


def test_a_distributor_fed_from_both_ends() -> None:
    """Published: A Text-book of Electrical Technology ch. 40: 200 m, 2 A/m, 0.3 ohm/km, fed at both ends: 3 V.

    That is one conductor; both lose 6 V. By symmetry the middle is the end of a half. 1 %: pieces of 1 m, the last half.
    """
    found = solve_dc(Tree.of(range(-1, 99)), 250.0, np.full(100, 2 * 0.3e-3), current_a=np.full(100, 2.0))
    assert 250.0 - found.voltage_v[-1] == pytest.approx(2 * 3.0, rel=1.1e-2)


def test_a_distributor_between_two_unequal_ends() -> None:
    """Published problem, answer recomputed: the same book, 236 V and 237 V, 200 m, 0.4 ohm/km a conductor: 233.175 V.

    The far source is a load that gives back 61.25 A, as the moments of the four loads say.
    """
    lengths = np.diff([0.0, 50.0, 75.0, 100.0, 150.0, 200.0])
    loads = np.array([20.0, 40.0, 25.0, 30.0, -61.25])
    found = solve_dc(Tree.of(range(-1, 4)), 236.0, lengths * 0.8e-3, current_a=loads)
    assert found.voltage_v[-1] == pytest.approx(237.0, abs=1e-9)
    assert found.voltage_v.min() == pytest.approx(233.175, abs=1e-9) and found.voltage_v.argmin() == 1
