"""Straps by their angle, friction under what they press down, and how tie-downs count."""

from __future__ import annotations

import math

import numpy as np
import pytest

from trailerlib.physics import restraint


@pytest.mark.parametrize(("angle", "along", "down"), [(0, 1.0, 0.0), (30, math.sqrt(3) / 2, 0.5), (45, math.sqrt(0.5), math.sqrt(0.5)),
                                                       (60, 0.5, math.sqrt(3) / 2), (90, 0.0, 1.0)])  # fmt: skip
def test_a_strap_pulls_by_its_angle(angle: float, along: float, down: float) -> None:
    """Closed form: the sides of the half square and of the half triangle."""
    assert restraint.straps_along_kg(1, 500.0, angle) == pytest.approx(500 * along, abs=1e-9)
    assert restraint.straps_down_kg(1, 500.0, angle) == pytest.approx(500 * down, abs=1e-9)


def test_both_parts_of_a_pull_make_the_pull() -> None:
    """Invariant: Pythagoras at every angle."""
    angles = np.linspace(0, 90, 91)
    along, down = restraint.straps_along_kg(3, 227.0, angles), restraint.straps_down_kg(3, 227.0, angles)
    np.testing.assert_allclose(np.hypot(along, down), 3 * 227.0, rtol=1e-12)


def test_more_straps_bolts_and_mass_count_in_proportion() -> None:
    assert restraint.asked_kg(31.0, 0.5) == 15.5
    assert restraint.friction_kg(200.0, 0.3) == pytest.approx(60.0)
    assert restraint.counted_kg(2, 500.0, 1.0, 0.0) == 2 * restraint.counted_kg(2, 500.0, 0.5, 0.0) == 1000.0
    assert restraint.counted_kg(0, 500.0, 0.5, 360.0) == 360.0
