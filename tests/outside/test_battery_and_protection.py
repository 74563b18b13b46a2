"""Batteries, fuses and short circuits against standards and worked examples."""

from __future__ import annotations

import math

import numpy as np
import pytest
from check import Check, each
from nameplate import locked_rotor_a

from tests.hot_wire import adiabatic_k
from trailerlib.physics.battery import lookup, peukert_drain_a, peukert_hours
from trailerlib.physics.battery_gas import hydrogen_flow_m3_h, vent_opening_cm2
from trailerlib.physics.conductor import CMIL_M2
from trailerlib.physics.protection import (
    adiabatic_seconds,
    prospective_current_a,
    required_rating_a,
    smallest_rating_a,
)
from trailerlib.physics.starting import running_va
from trailerlib.reference import table

CHECKS = [
    Check(
        "Peukert 20 A",
        lambda: peukert_hours(250.0, 250.0, 20.0, 1.3),
        5.088631644,
        1e-9,
        "ten figures; 250 Ah is the capacity at 1 A, so the rate is 250 h",
        "physics tutorial, Peukert's law",
    ),
    Check(
        "Peukert exponent",
        lambda: peukert_hours(100.0, 20.0, 10.0, 1.415037),
        7.5,
        1e-5,
        "exponent ln(20/7.5)/ln 2 in seven figures",
        "battery knowledge page: 20 h at 5 A, 7.5 h at 10 A",
    ),
    Check(
        "Peukert in the gauge form",
        lambda: peukert_hours(100.0, 20.0, 10.0, 1.3),
        100.0 * (100.0 / 20.0) ** 0.3 / 10.0**1.3,
        1e-12,
        "algebra: C (C/R)^(n-1) / I^n",
        "battery-gauge maker's paper, form of the law",
        "independent",
    ),
    Check(
        "Peukert at C/10",
        lambda: 10.0 * peukert_hours(100.0, 20.0, 10.0, 1.1),
        93.303,
        1e-4,
        "the page's table does not follow its own exponent",
        "battery page, table for k = 1.1",
        printed=89.0,
    ),
    Check(
        "Peukert as a drain",
        lambda: 100.0 / peukert_drain_a(10.0, 100.0, 20.0, 1.415037),
        7.5,
        1e-5,
        "the same battery through the equivalent drain",
        "battery knowledge page: 20 h at 5 A, 7.5 h at 10 A",
    ),
    Check(
        "short circuit of a 100 Ah lithium block",
        lambda: prospective_current_a(13.3, 0.005, 0.0),
        2700.0,
        2e-2,
        "two figures; 13.3 V behind 5 milliohm",
        "data sheets, from memory: 2700 to 6600 A at 5 to 2 milliohm",
        "from memory",
    ),
    Check(
        "generator of 20 kW at 240 V",
        lambda: running_va(20000.0, 1.0) / 240.0,
        83.3,
        1e-3,
        "three figures",
        "electricians' forum worked case, NFPA 70 445.13(A)",
    ),
    Check(
        "hydrogen constant",
        lambda: hydrogen_flow_m3_h(1.0, 1000.0, 1.0),
        24 * 0.42e-3 * 5,
        1e-2,
        "the standard rounds 0.0504 to 0.05",
        "IEC 62485-2: v q s",
    ),
    Check(
        "hydrogen opening",
        lambda: vent_opening_cm2(hydrogen_flow_m3_h(6, 8.0, 100.0)),
        6.72,
        1e-9,
        "exact by the standard's formula; recomputed",
        "IEC 62485-2, 100 Ah valve-regulated, boost",
        "independent",
    ),
    Check(
        "opening at 0.1 m/s",
        lambda: vent_opening_cm2(3.6),
        3.6 / 3600.0 / 0.1 * 1e4,
        1e-2,
        "28 is 27.8 rounded",
        "IEC 62485-2: air at 0.1 m/s",
        "independent",
    ),
    Check(
        "1000 A for 0.1 s",
        lambda: adiabatic_seconds(2.749807, 1000.0, 115.0),
        0.1,
        1e-6,
        "seven figures, recomputed",
        "IEC 60364-5-54 formula",
        "independent",
    ),
    Check(
        "k of XLPE", lambda: adiabatic_k(90.0, 250.0), 143.0, 1e-3, "three printed figures", "IEC 60364-5-54 annex A"
    ),
    Check(
        "locked rotor K 1 hp",
        lambda: locked_rotor_a(table("code_letters").number("kva_per_hp_to", letter="K"), 1.0, 115.0),
        78.17,
        1e-3,
        "four figures",
        "NFPA 70 table 430.7(B), code K at 115 V; recomputed",
        "independent",
    ),
    Check(
        "motor conductor 1 hp",
        lambda: required_rating_a(table("motor_full_load").number("a_115v", horsepower="1"), 0.0),
        20.0,
        1e-9,
        "exact",
        "electricians' forum worked case, NFPA 70 430.22",
    ),
    Check(
        "two heaters on one breaker",
        lambda: required_rating_a(1500.0 / 120.0, 0.0),
        15.625,
        1e-9,
        "exact",
        "12.5 A each: common practice, no source",
        "practice",
    ),
]


@each(CHECKS)
def test_worked_examples(check: Check) -> None:
    check.hold()


@pytest.mark.parametrize(
    "row", table("adiabatic_k").where(confidence="seen in a copy of the source").rows, ids=lambda r: r["case"]
)
def test_every_published_k(row: dict[str, str]) -> None:
    """Published: IEC 60364-5-54 tables A.54. 0.5: printed without decimals."""
    assert adiabatic_k(float(row["initial_c"]), float(row["final_c"])) == pytest.approx(float(row["k"]), abs=0.5)


@pytest.mark.parametrize(("initial_c", "final_c"), [(70.0, 160.0), (90.0, 250.0), (75.0, 150.0), (30.0, 250.0)])
def test_k_against_the_american_form(initial_c: float, final_c: float) -> None:
    """Independent: ICEA P-32-382, (I/A)^2 t = 0.0297 log10((T2+234)/(T1+234)), A in cmil. 1 %: own constants."""
    icea = math.sqrt(0.0297 * math.log10((final_c + 234.0) / (initial_c + 234.0))) / (CMIL_M2 * 1e6)
    assert adiabatic_k(initial_c, final_c) == pytest.approx(icea, rel=1e-2)


def test_k_against_a_heat_balance() -> None:
    """Independent: copper heated without loss, step by step, 3.45e6 J/(m3 K) and 17.241e-9 ohm m at 20 degC. 0.5 %."""
    temperature, energy, step = 70.0, 0.0, 0.01
    while temperature < 160.0:
        energy += 3.45e6 * step / (17.241e-9 * (234.5 + temperature + step / 2) / 254.5)
        temperature += step
    assert adiabatic_k(70.0, 160.0) == pytest.approx(math.sqrt(energy) * 1e-6, rel=5e-3)


@pytest.mark.parametrize(("need", "rating"), [(15.1, 20), (20, 20), (51, 60), (101, 110), (126, 150), (200, 200)])
def test_next_standard_breaker(need: float, rating: float) -> None:
    """Published: NFPA 70 240.6(A), read by hand."""
    assert smallest_rating_a(need, table("protection_ratings").where(device="breaker").floats("rating_a")) == rating


@pytest.mark.parametrize("chemistry", ["flooded", "agm", "gel", "lfp"])
def test_reading_between_rows_never_leaves_the_rows(chemistry: str) -> None:
    """Invariant: a reading of the capacity and voltage charts stays between its neighbours."""
    for name, column in (("battery_ocv", "soc"), ("battery_temperature", "temperature_c")):
        rows = table(name).where(chemistry=chemistry)
        xs, ys = rows.floats(column), rows.floats("ocv_v" if column == "soc" else "fraction")
        middle = np.asarray(lookup((xs[1:] + xs[:-1]) / 2, xs, ys))
        assert np.all(middle >= ys[:-1]) and np.all(middle <= ys[1:])


def test_flooded_voltage_follows_the_acid() -> None:
    """From memory: cell voltage is specific gravity + 0.84; 1.265 full, 1.12 empty. 1.2 %: handbooks differ by 0.02."""
    rows = table("battery_ocv").where(chemistry="flooded")
    assert rows.floats("ocv_v")[[0, -1]] == pytest.approx([6 * (1.12 + 0.84), 6 * (1.265 + 0.84)], rel=1.2e-2)
