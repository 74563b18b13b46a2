"""What metric wires may carry: the table, which is from memory, beside a second standard and beside its own formulas."""

from __future__ import annotations

import math

import pytest

from trailerlib.physics.conductor import ambient_factor
from trailerlib.reference import table

# SANS 10142-1:2019 table 6.3(a), single phase, methods 1, 2, 3 and 4 or 6: in a public copy that names its page
SOUTH_AFRICA = {
    1.5: (14, 16.5, 19.5, 22), 2.5: (18.5, 23, 27, 30), 4: (25, 30, 36, 40), 6: (32, 38, 46, 51),
    10: (43, 52, 63, 70), 16: (57, 69, 85, 94),
}  # fmt: skip
# IEC 60364-5-52 annex D, I = A · S^m: coefficients from memory; method E has others above 16 mm²
FORMULAS = {"a2_a": (10.8, 0.6015), "b2_a": (13.1, 0.600), "c_a": (15.0, 0.625), "e_a": (16.8, 0.620)}
E_THICK = (14.9, 0.646)
BUNCHED = {1: 1.0, 2: 0.80, 3: 0.70, 4: 0.65, 5: 0.60, 6: 0.57, 7: 0.54, 8: 0.52, 9: 0.50, 12: 0.45, 16: 0.41, 20: 0.38}
# IEC 60364-5-52 table B.52.14, PVC, from memory
WARM = {10: 1.22, 20: 1.12, 25: 1.06, 30: 1.0, 35: 0.94, 40: 0.87, 45: 0.79, 50: 0.71, 55: 0.61, 60: 0.50}
ROWS = table("iec_52_ampacity").rows
METHODS = tuple(FORMULAS)


@pytest.mark.parametrize("size", SOUTH_AFRICA)
def test_against_the_table_of_another_standard(size: float) -> None:
    """Published (in a copy): every cell the two tables share. Exact."""
    row = next(row for row in ROWS if float(row["nominal_mm2"]) == size)
    assert tuple(float(row[method]) for method in METHODS) == SOUTH_AFRICA[size]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["nominal_mm2"])
@pytest.mark.parametrize("method", METHODS)
def test_against_the_formula_of_the_standard(row: dict[str, str], method: str) -> None:
    """From memory: annex D beside the table. The table is rounded to 0.5 A below 20 A, else to 1 A; 1.6 % more."""
    size = float(row["nominal_mm2"])
    factor, power = E_THICK if method == "e_a" and size > 16 else FORMULAS[method]
    ours = factor * size**power
    assert float(row[method]) == pytest.approx(ours, abs=(0.25 if ours < 20 else 0.5) + 0.016 * ours)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["nominal_mm2"])
def test_the_more_air_the_more_current(row: dict[str, str]) -> None:
    """Invariant: wall, conduit, clipped, free air; and current grows less than area does."""
    amps = [float(row[method]) for method in METHODS]
    assert amps == sorted(amps) and len(set(amps)) == 4


def test_each_size_carries_more_than_the_one_before_but_less_for_its_area() -> None:
    for thin, thick in zip(ROWS, ROWS[1:], strict=False):
        area = float(thick["nominal_mm2"]) / float(thin["nominal_mm2"])
        for method in METHODS:
            assert math.sqrt(area) < float(thick[method]) / float(thin[method]) < area


def test_bunched_circuits_against_a_second_copy() -> None:
    """From memory, typed in a second time: table B.52.17 row 1; 20 and more as 20. Exact, without a gap."""
    rows = [(int(r["circuits_from"]), int(r["circuits_to"]), float(r["factor"])) for r in table("iec_bunched").rows]
    assert {low: factor for low, _, factor in rows} == BUNCHED
    assert all(high + 1 == low for (_, high, _), (low, _, _) in zip(rows, rows[1:], strict=False))


@pytest.mark.parametrize("air_c", WARM)
def test_warm_air_against_the_table(air_c: int) -> None:
    """From memory: table B.52.14 beside the root of what is left of the rise. Both to two figures."""
    assert float(ambient_factor(70.0, float(air_c))) == pytest.approx(WARM[air_c], abs=0.0051)
