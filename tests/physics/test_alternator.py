"""What stands behind a supply's terminals: per-unit values, limits, and what is held."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trailerlib.physics.alternator import inverter_set, pedestal, transient_ohm, wound_set
from trailerlib.reference import table


@given(st.floats(0.01, 0.4), st.floats(100.0, 240.0), st.floats(500.0, 20_000.0))
def test_a_per_unit_value_is_the_drop_at_rated_current(per_unit: float, volts: float, rating: float) -> None:
    rated_a = rating / volts
    assert rated_a * transient_ohm(per_unit, volts, rating) == pytest.approx(per_unit * volts)


def test_a_larger_set_is_stiffer() -> None:
    ohms = transient_ohm(0.22, 120.0, np.array([900.0, 3700.0, 5500.0]))
    assert np.all(np.diff(ohms) < 0)


def test_a_wound_set_is_held_at_its_terminals_and_an_inverter_inside() -> None:
    wound, inverter = wound_set(120.0, 3700.0, 0.04, 0.22, 0.35, 1.5), inverter_set(120.0, 2800.0, 3200.0, 0.02, 3.0)
    assert complex(wound.ohm) == pytest.approx((0.04 + 0.22j) * 120**2 / 3700)
    assert (wound.recovery_s, wound.ceiling, wound.limit_a) == (0.35, 1.5, math.inf)
    assert inverter.limit_a == pytest.approx(3200 / 120) and inverter.hold_s == 3.0
    assert math.isinf(float(inverter.recovery_s)) and complex(inverter.ohm).imag == 0


def test_a_pedestal_gives_way_by_ohms_law() -> None:
    source = pedestal(118.0, 0.1)
    assert (source.volts, complex(source.ohm), source.limit_a) == (118.0, 0.1 + 0j, math.inf)


def test_the_table_holds_what_each_type_needs() -> None:
    rows = table("alternators")
    assert rows.texts("type") == ("inverter", "wound")
    assert 0.1 <= rows.number("reactance_pu", type="wound") <= 0.35, "transient reactance of small sets, from memory"
    assert 0.1 <= rows.number("recovery_s", type="wound") <= 1.0 < rows.number("ceiling", type="wound") <= 2.5
    assert 1.0 <= rows.number("hold_s", type="inverter") <= 10.0
