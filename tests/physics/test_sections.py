"""Sections: against slices summed up one by one, against one another, and what they refuse."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trailerlib.physics import sections, strength
from trailerlib.physics.sections import Section

SIZE = st.floats(0.02, 0.09)
SHEET = st.floats(0.0008, 0.005)


def sliced(width_at: Callable[[np.ndarray], np.ndarray], depth: float, edges: list[float]) -> tuple[float, ...]:
    """Area, axis, second moment from Gauss points between the edges, where the width is constant: exact."""
    points, weights = np.polynomial.legendre.leggauss(3)
    area = first = second = 0.0
    for low, high in zip([0.0, *edges], [*edges, depth], strict=True):
        z = (low + high) / 2 + points * (high - low) / 2
        w = width_at(z) * weights * (high - low) / 2
        area, first, second = area + w.sum(), first + (w * z).sum(), second + (w * z * z).sum()
    return area, first / area, second - first**2 / area


def same(found: Section, area: float, axis: float, second: float, depth: float) -> None:
    got = (found.area_m2, found.axis_m, found.second_m4, found.modulus_m3)
    assert got == pytest.approx((area, axis, second, second / max(axis, depth - axis)), rel=1e-9)


@settings(max_examples=25)
@given(SIZE, SIZE, SHEET)
def test_tube_and_bar_against_slices(width: float, depth: float, wall: float) -> None:
    """Independent: widths at each height, summed by Gauss points."""

    def flanges(z: np.ndarray) -> np.ndarray:
        return (z < wall) | (z > depth - wall)

    edges = [wall, depth - wall]
    same(
        sections.tube(width, depth, wall), *sliced(lambda z: np.where(flanges(z), width, 2 * wall), depth, edges), depth
    )
    same(sections.rectangle(width, depth), *sliced(lambda z: np.full_like(z, width), depth, []), depth)


@settings(max_examples=25)
@given(SIZE, SIZE, SIZE, SHEET)
def test_hat_against_slices(top: float, depth: float, flange: float, sheet: float) -> None:
    def width(z: np.ndarray) -> np.ndarray:
        return np.where(z < sheet, 2 * flange, np.where(z > depth - sheet, top, 2 * sheet))

    same(sections.hat(top, depth, flange, sheet), *sliced(width, depth, [sheet, depth - sheet]), depth)


def test_a_channel_on_its_back_is_a_hat_without_flanges() -> None:
    """Invariant: its flanges hang down from the web; the second moment of an upside-down one is the same."""
    lying = sections.hat(0.06, 0.04, 0.003, 0.003)
    low = sections.rectangle(0.06, 0.04)
    assert lying.area_m2 == pytest.approx(0.06 * 0.003 + 2 * 0.037 * 0.003, rel=1e-12)
    assert lying.axis_m > 0.02 and lying.second_m4 < low.second_m4


def test_sizes_may_be_arrays() -> None:
    many = sections.hat(np.array([0.03, 0.04]), 0.025, np.array([[0.01], [0.02]]), 0.0015)
    assert np.shape(many.second_m4) == (2, 2)
    assert np.asarray(many.modulus_m3)[1, 0] == sections.hat(0.03, 0.025, 0.02, 0.0015).modulus_m3


def test_stress_is_moment_over_modulus_times_shock() -> None:
    bar = sections.rectangle(0.02, 0.05)
    stress = strength.bending_stress_pa(100.0, bar.modulus_m3, 2.0)
    assert stress == pytest.approx(2 * 100 * 6 / (0.02 * 0.05**2), rel=1e-12)
    assert strength.allowable_stress_pa(250e6, 2.0) == 125e6


@pytest.mark.parametrize(
    "make",
    [
        lambda: sections.tube(0.02, 0.02, 0.01),
        lambda: sections.tube(0.02, np.array([0.02, -0.02]), 0.001),
        lambda: sections.rectangle(0.0, 0.02),
        lambda: sections.rectangle(float("nan"), 0.02),
        lambda: sections.hat(0.002, 0.02, 0.01, 0.001),
        lambda: sections.hat(0.02, 0.002, 0.01, 0.001),
    ],
)
def test_no_room_between_the_walls_is_refused(make: Callable[[], Section]) -> None:
    with pytest.raises(ValueError, match="above zero"):
        make()
