"""The tables under data/tables: every one loads, every row has a source, and what must rise rises."""

from __future__ import annotations

import numpy as np
import pytest

from trailerlib.reference import data_root, table

NAMES = sorted(path.stem for path in (data_root() / "tables").glob("*.csv"))
GAUGED = [
    "wire_awg",
    "nec_310_16_ampacity",
    "cfr183_ampacity",
    "low_voltage_protection",
    "nec_400_5_cord",
    "wire_sae_area",
]
CONFIDENCES = {"seen in a copy of the source", "computed", "from memory", "common practice, no source"}


def test_the_tables_the_book_needs_are_there() -> None:
    needed = {
        "wire_awg",
        "wire_iec60228",
        "nec_table8_dc_resistance",
        "nec_table9_ac",
        "nec_310_16_ampacity",
        "nec_ambient_correction",
        "nec_bundling",
        "marine_bundling",
        "cfr183_ampacity",
        "low_voltage_protection",
        "nec_400_5_cord",
        "wire_sae_area",
        "protection_ratings",
        "fuse_interrupting",
        "battery_temperature",
        "battery_ocv",
        "battery_peukert",
        "battery_limits",
        "motor_full_load",
        "code_letters",
        "adiabatic_k",
        "generator_altitude",
        "generator_fuel",
        "fuels",
    }
    assert needed <= set(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_every_row_has_a_source_and_says_how_sure_it_is(name: str) -> None:
    rows = table(name).rows
    assert rows, f"{name} is empty"
    for row in rows:
        assert len(row["source"]) > 5
        assert set(row["confidence"].split(" + ")) <= CONFIDENCES, row["confidence"]


@pytest.mark.parametrize("name", NAMES)
def test_no_row_stands_twice(name: str) -> None:
    values = [tuple(v for k, v in row.items() if k not in ("source", "confidence")) for row in table(name).rows]
    assert len(set(values)) == len(values)


@pytest.mark.parametrize("name", GAUGED)
def test_thicker_wire_carries_more(name: str) -> None:
    gauges = [1 - int(awg[0]) if "/" in awg else int(awg) for awg in table(name).texts("awg")]
    assert gauges == sorted(gauges, reverse=True)
    for column in table(name).columns:
        if column not in ("awg", "index", "source", "confidence"):
            values = table(name).floats(column)
            assert np.all(np.diff(values[~np.isnan(values)]) > 0), column


def test_thicker_wire_resists_less() -> None:
    for stranding in ("solid", "stranded"):
        rows = [row for row in table("nec_table8_dc_resistance").rows if row["stranding"].startswith(stranding)]
        assert len(rows) > 5 and np.all(np.diff([float(row["ohm_per_kft_75c"]) for row in rows]) < 0)
        assert all(float(row["coated_ohm_per_kft_75c"]) > float(row["ohm_per_kft_75c"]) for row in rows)
    assert np.all(np.diff(table("nec_table9_ac").floats("r_ohm_per_kft")) < 0)
    for column in ("class2_plain_ohm_per_km", "class5_plain_ohm_per_km"):
        assert np.all(np.diff(table("wire_iec60228").floats(column)) < 0)


def test_better_insulation_never_carries_less() -> None:
    for name, columns in (
        ("nec_310_16_ampacity", ["a_60c", "a_75c", "a_90c"]),
        ("cfr183_ampacity", [f"a_{t}c" for t in (60, 75, 80, 90, 105, 125, 200)]),
    ):
        values = np.array([table(name).floats(column) for column in columns])
        steps = np.diff(values, axis=0)
        assert np.all(steps[~np.isnan(steps)] >= 0)


def test_more_heat_and_more_company_never_help() -> None:
    for rating in (60, 75, 90):
        factors = table("nec_ambient_correction").floats(f"factor_{rating}c")
        assert np.all(np.diff(factors[~np.isnan(factors)]) < 0)
    for name in ("nec_bundling", "marine_bundling"):
        rows = table(name)
        assert np.all(np.diff(rows.floats("factor")) < 0)
        assert np.all(rows.floats("ccc_from")[1:] == rows.floats("ccc_to")[:-1] + 1), "a gap between the counts"


def test_code_letters_follow_one_another_without_a_gap() -> None:
    rows = table("code_letters")
    gaps = rows.floats("kva_per_hp_from")[1:] - rows.floats("kva_per_hp_to")[:-1]
    assert gaps == pytest.approx(0.01, abs=1e-9)
    assert list(rows.texts("letter")) == list("ABCDEFGHJKLMNPRSTUV")


def test_motor_currents_scale_with_voltage() -> None:
    """Invariant: 115 V takes twice the current of 230 V. 2 %: two or three printed figures."""
    rows = table("motor_full_load")
    assert rows.floats("a_115v") / rows.floats("a_230v") == pytest.approx(2.0, rel=2e-2)
    assert np.all(np.diff(rows.floats("a_115v")) > 0)


@pytest.mark.parametrize("device", ["blade", "maxi", "bolt-down", "breaker"])
def test_ratings_rise(device: str) -> None:
    ratings = table("protection_ratings").where(device=device).floats("rating_a")
    assert ratings.size > 10 and np.all(np.diff(ratings) > 0)


@pytest.mark.parametrize("chemistry", ["flooded", "agm", "gel", "lfp"])
def test_battery_charts(chemistry: str) -> None:
    chart = table("battery_ocv").where(chemistry=chemistry)
    assert chart.floats("soc")[[0, -1]].tolist() == [0.0, 1.0]
    assert np.all(np.diff(chart.floats("soc")) > 0) and np.all(np.diff(chart.floats("ocv_v")) > 0)
    cold = table("battery_temperature").where(chemistry=chemistry)
    at, share = cold.floats("temperature_c"), cold.floats("fraction")
    assert np.all(np.diff(at) > 0) and np.all(np.diff(share) >= 0) and at[0] < 0 < at[-1]
    assert share[at.tolist().index(25.0)] == 1.0
    peukert = {key: table("battery_peukert").number(key, chemistry=chemistry) for key in ("exponent", "low", "high")}
    assert 1.0 <= peukert["low"] <= peukert["exponent"] <= peukert["high"]
    limit = {
        key: table("battery_limits").number(key, chemistry=chemistry) for key in table("battery_limits").columns[1:-2]
    }
    assert 0 < limit["usable_depth"] <= 1 and 0.5 < limit["coulombic_efficiency"] <= 1
    assert chart.floats("ocv_v")[-1] < limit["float_v"] < limit["absorption_v"]
    assert limit["gas_float_ma_per_ah"] <= limit["gas_boost_ma_per_ah"]


def test_lithium_may_not_be_charged_below_freezing() -> None:
    assert table("battery_limits").number("charge_min_c", chemistry="lfp") == 0.0


def test_low_voltage_protection_is_below_what_the_boat_rule_lets_the_wire_carry() -> None:
    """Trap: the 552.10 table and 33 CFR differ up to threefold; the first must stay the cautious one."""
    for row in table("low_voltage_protection").rows:
        assert float(row["max_a"]) <= table("cfr183_ampacity").number("a_75c", awg=row["awg"])


def test_trip_limits_tighten_as_the_current_grows() -> None:
    for device in ("blade", "cartridge"):
        rows = table("trip_limits").where(device=device)
        assert np.all(np.diff(rows.floats("multiple")) > 0)
        longest = rows.floats("max_s")
        assert np.all(np.diff(longest[~np.isnan(longest)]) < 0)
