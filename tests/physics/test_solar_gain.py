"""Sun on faces: angles by hand, what is kept off, and the air that would heat a skin as much."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trailerlib.physics.solar_gain import (
    design_air_c,
    face_irradiance_w_m2,
    facing_cosine,
    outside_film_w_m2k,
    sky_loss_w_m2,
    sol_air_c,
)

SHARE, ANGLE, TURN = st.floats(0.0, 1.0), st.floats(0.0, 180.0), st.floats(0.0, 360.0)


@pytest.mark.parametrize(
    ("zenith", "sun", "tilt", "azimuth", "cosine"),
    [
        (0.0, 180.0, 0.0, 0.0, 1.0),
        (60.0, 180.0, 0.0, 77.0, 0.5),  # a roof looks nowhere
        (60.0, 180.0, 90.0, 180.0, np.sqrt(0.75)),
        (60.0, 180.0, 90.0, 120.0, 0.5 * np.sqrt(0.75)),
        (60.0, 180.0, 60.0, 180.0, 1.0),
        (60.0, 180.0, 90.0, 0.0, 0.0),  # behind the wall
        (60.0, 180.0, 180.0, 180.0, 0.0),  # the underside
        (91.0, 180.0, 90.0, 180.0, 0.0),  # below the horizon
        (60.0, 350.0, 90.0, 10.0, np.sqrt(0.75) * np.cos(np.radians(20.0))),  # across north
    ],
)
def test_how_squarely_the_sun_stands_to_a_face(
    zenith: float, sun: float, tilt: float, azimuth: float, cosine: float
) -> None:
    assert facing_cosine(zenith, sun, tilt, azimuth) == pytest.approx(cosine, abs=1e-12)


@given(st.floats(0.0, 180.0), TURN, ANGLE, TURN)
@settings(max_examples=50)
def test_it_is_the_product_of_two_unit_vectors(zenith: float, sun: float, tilt: float, azimuth: float) -> None:
    def unit(from_up: float, turned: float) -> np.ndarray:
        a, b = np.radians(from_up), np.radians(turned)
        return np.array([np.sin(a) * np.sin(b), np.sin(a) * np.cos(b), np.cos(a)])

    found = facing_cosine(zenith, sun, tilt, azimuth)
    expected = max(0.0, float(unit(zenith, sun) @ unit(tilt, azimuth))) if np.cos(np.radians(zenith)) > 0.0 else 0.0
    assert found == pytest.approx(expected, abs=1e-12) and 0.0 <= found <= 1.0 + 1e-12


def test_the_faces_of_a_box_at_once() -> None:
    zenith, sun = np.linspace(20.0, 100.0, 9), np.linspace(90.0, 270.0, 9)
    tilt, azimuth = np.array([[0.0], [90.0], [90.0], [180.0]]), np.array([[0.0], [180.0], [270.0], [0.0]])
    many = facing_cosine(zenith, sun, tilt, azimuth)
    assert many.shape == (4, 9)
    for n in range(4):
        for k in range(9):
            assert many[n, k] == facing_cosine(zenith[k], sun[k], tilt[n, 0], azimuth[n, 0])


def test_a_roof_gets_the_whole_and_the_underside_what_the_ground_throws_back() -> None:
    zenith, dni, dhi = 35.0, 850.0, 120.0
    ghi = dni * np.cos(np.radians(zenith)) + dhi
    roof = face_irradiance_w_m2(dni, dhi, ghi, facing_cosine(zenith, 200.0, 0.0, 0.0), 1.0)
    under = face_irradiance_w_m2(dni, dhi, ghi, facing_cosine(zenith, 200.0, 180.0, 0.0), 0.0)
    assert roof == pytest.approx(ghi) and under == pytest.approx(0.2 * ghi)
    wall = face_irradiance_w_m2(dni, dhi, ghi, 0.5, 0.5)
    assert wall == pytest.approx(425.0 + 60.0 + 0.1 * ghi)


@given(st.floats(0.0, 1000.0), st.floats(0.0, 300.0), SHARE, SHARE, SHARE, SHARE)
@settings(max_examples=50)
def test_shade_keeps_off_the_direct_part_alone(
    dni: float, dhi: float, facing: float, sky: float, shade: float, more: float
) -> None:
    args = (dni, dhi, dni + dhi, facing, sky)
    bare, shaded, dark = (face_irradiance_w_m2(*args, s) for s in (0.0, shade, 1.0))
    assert bare - shaded == pytest.approx(shade * dni * facing, abs=1e-9)
    assert dark == pytest.approx(face_irradiance_w_m2(0.0, *args[1:]), abs=1e-9)
    assert face_irradiance_w_m2(*args, max(shade, more)) <= face_irradiance_w_m2(*args, min(shade, more)) + 1e-9


def test_a_bare_skin_gives_off_less_and_loses_less_to_the_sky() -> None:
    assert outside_film_w_m2k(0.9) == pytest.approx(17.0)
    assert outside_film_w_m2k(0.1) == pytest.approx(17.0 - 0.8 * 6.2)
    assert sky_loss_w_m2(0.9, 0.0) == pytest.approx(0.9 * 63.0) and sky_loss_w_m2(0.1, 0.0) == pytest.approx(6.3)
    assert sky_loss_w_m2(0.9, np.array([60.0, 90.0, 135.0, 180.0])) == pytest.approx([28.35, 0.0, 0.0, 0.0], abs=1e-12)


@given(st.floats(-20.0, 45.0), st.floats(0.0, 1100.0), SHARE, SHARE, SHARE)
@settings(max_examples=50)
def test_a_darker_skin_is_never_cooler(air: float, sun: float, some: float, more: float, emittance: float) -> None:
    film, lost = outside_film_w_m2k(emittance), sky_loss_w_m2(emittance, 0.0)
    light, dark = (sol_air_c(air, sun, a, lost, film) for a in sorted((some, more)))
    assert light <= dark
    assert dark - light == pytest.approx(abs(more - some) * sun / film, abs=1e-9)
    assert sol_air_c(air, 0.0, some, lost, film) <= air, "at night it is cooler than the air"


def test_a_skin_at_its_sol_air_temperature_is_in_balance() -> None:
    """What it takes up it gives off to air and sky: no heat goes in."""
    skin = sol_air_c(33.0, 760.0, 0.45, 50.0, 16.0)
    assert pytest.approx(16.0 * (skin - 33.0)) == 0.45 * 760.0 - 50.0


def test_the_air_of_a_day_goes_from_the_highest_down_by_its_range() -> None:
    assert design_air_c(38.0, np.array([0.0, 0.5, 1.0]), 15.0) == pytest.approx([38.0, 30.5, 23.0])
