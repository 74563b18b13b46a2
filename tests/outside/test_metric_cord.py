"""What metric cords may carry: the table, typed in a second time, beside other standards and the balance of heat."""

from __future__ import annotations

import math

import pytest

from trailerlib.physics.conductor import ambient_factor
from trailerlib.reference import table
from trailerlib.studies.ampacity import cord_a

# BS 7671 table 4F3A: single phase, three phase; typed in from memory beside the copy
SECOND_COPY = {0.5: (3, 3), 0.75: (6, 6), 1.0: (10, 10), 1.25: (13, None), 1.5: (16, 16), 2.5: (25, 20), 4.0: (32, 25)}
# IEC 60335-1 table 11, from memory: the least section of a supply cord for a rated current up to so many amperes
APPLIANCE_CORD = {3: 0.5, 6: 0.75, 10: 1.0, 16: 1.5, 25: 2.5, 32: 4.0}
# IEC 60364-7-721 table 721.1, seen in a copy of the source: the cord of a caravan, 25 m long
CARAVAN_CORD = {16: 2.5}
# of the same page as the table: cords at 60 °C in warmer air
WARM = {35: 0.91, 40: 0.82, 45: 0.71, 50: 0.58, 55: 0.41}
ROWS = {float(row["nominal_mm2"]): row for row in table("bs7671_cord").rows}


@pytest.mark.parametrize("size", SECOND_COPY)
def test_against_a_second_copy(size: float) -> None:
    """From memory: every row. Exact."""
    two, three = (ROWS[size][column] for column in ("a_2_conductors", "a_3_conductors"))
    assert (float(two), float(three) if three else None) == SECOND_COPY[size]
    assert len(ROWS) == len(SECOND_COPY)


@pytest.mark.parametrize("amps", APPLIANCE_CORD)
def test_against_the_cords_of_appliances(amps: int) -> None:
    """From memory: the least section for a current is the least that our table lets carry it. Exact."""
    made = [size for size in ROWS if size != 1.25]  # which is no size of IEC 60228
    assert min(size for size in made if (cord_a(f"{size:g} mm2") or 0.0) >= amps) == APPLIANCE_CORD[amps]


@pytest.mark.parametrize("amps", CARAVAN_CORD)
def test_against_the_cord_of_a_caravan(amps: int) -> None:
    """Published: what the caravan standard asks for carries its supply; being long, it is a size thicker than it must."""
    assert (cord_a(f"{CARAVAN_CORD[amps]:g} mm2") or 0.0) >= amps
    assert (cord_a("1.5 mm2") or 0.0) >= amps


@pytest.mark.parametrize("size", [1.5, 2.5, 4.0])
def test_a_cord_carries_no_more_than_wire_in_free_air(size: float) -> None:
    """Independent: method E of IEC 60364-5-52 brought from 70 to 60 °C by the root of the rise: 0 to 17 % under it."""
    free = float(next(r for r in table("iec_52_ampacity").rows if float(r["nominal_mm2"]) == size)["e_a"])
    assert 0.83 <= (cord_a(f"{size:g} mm2") or 0.0) / (free * math.sqrt(30.0 / 40.0)) <= 1.0


@pytest.mark.parametrize("size", [2.5, 4.0])
def test_two_conductors_heat_a_cord_as_three_do(size: float) -> None:
    """Independent: n I² alike, so two carry the root of 1.5 more. 5 %; from 1.5 mm² down the table gives both alike."""
    row = ROWS[size]
    assert float(row["a_2_conductors"]) == pytest.approx(math.sqrt(1.5) * float(row["a_3_conductors"]), rel=0.05)


@pytest.mark.parametrize("air_c", WARM)
def test_warm_air_as_the_page_gives_it(air_c: int) -> None:
    """Published: the factors of the page for 60 °C beside the root of what is left of the rise. Both to two figures."""
    assert float(ambient_factor(60.0, float(air_c))) == pytest.approx(WARM[air_c], abs=0.0051)


def test_what_the_table_does_not_list_has_no_value() -> None:
    assert cord_a("6 mm2") is None and cord_a("10 AWG") == 30.0
