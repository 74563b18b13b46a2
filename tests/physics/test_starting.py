"""Motors in the moment they start."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trailerlib.physics.starting import (
    PROTECTOR_S,
    protector_s,
    running_va,
    standing_v,
    start_dip_v,
    start_va,
)


def test_apparent_power_grows_as_the_power_factor_falls() -> None:
    assert running_va(800.0, 0.8) == pytest.approx(1000.0)
    assert start_va(800.0, 0.8, 4.0) == pytest.approx(4.0 * running_va(800.0, 0.8))


@given(st.floats(0.0, 3.0), st.floats(0.0, 3.0), st.floats(0.0, 300.0))
def test_the_dip_is_that_of_two_impedances_in_line(source_ohm: float, path_ohm: float, start_a: float) -> None:
    dip = start_dip_v(120.0, source_ohm, path_ohm, start_a)
    assert 0.0 <= dip < 120.0
    assert dip <= start_a * (source_ohm + path_ohm) + 1e-12
    if start_a > 0.1:
        motor_ohm = 120.0 / start_a
        whole = source_ohm + path_ohm
        assert dip == pytest.approx(120.0 * whole / (whole + motor_ohm), abs=1e-9)


@given(st.floats(0.0, 2.0), st.floats(0.0, 2.0), st.floats(0.1, 9.0), st.floats(0.1, 9.0))
def test_the_standing_motor_is_the_lower_part_of_a_divider(r: float, x: float, motor_r: float, motor_x: float) -> None:
    motor, path = complex(motor_r, motor_x), complex(r, x)
    left = float(standing_v(120.0, r, x, motor_r, motor_x))
    assert left == pytest.approx(120.0 * abs(motor / (motor + path)), rel=1e-12) and left <= 120.0 + 1e-9


def test_a_protector_bears_half_the_current_four_times_as_long() -> None:
    assert protector_s(59.0, 59.0) == pytest.approx(PROTECTOR_S) == pytest.approx(6.0)
    assert protector_s(np.array([59.0, 29.5]), 59.0, 8.0) == pytest.approx([8.0, 32.0])
