"""Walls: layers and studs by hand, bounds no wall can pass, and what more insulation may never do."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trailerlib.physics.envelope import Face, Layer, Stud, clear_u, crossed_r, face_of, layer_r, zone_width_m

SKIN, FOAM, BOARD = Layer(0.0008, 160.0, 2.42e6), Layer(0.0254, 0.029, 4.2e4, True), Layer(0.006, 0.12, 6.5e5)
LAYERS = (SKIN, FOAM, BOARD)
WOOD, TUBE = Stud(0.12, 0.038, 0.0254, 0.4064), Stud(45.0, 0.0381, 0.0254, 0.4064, 0.0016)
OUT, IN = 0.044, 0.12


def wall(thick_m: float | np.ndarray = 0.0254, stud: Stud | None = TUBE, over_m: float | np.ndarray = 0.0) -> Face:
    layers = (SKIN, replace(FOAM, thickness_m=thick_m), Layer(over_m, 0.029), BOARD)
    return face_of(OUT, layers, IN, stud)


def test_layers_in_series_by_hand() -> None:
    """0.044 + 0.000005 + 0.875862 + 0.05 + 0.12 = 1.089867."""
    face = face_of(OUT, LAYERS, IN)
    assert face.u == pytest.approx(1 / 1.089867, rel=1e-6) and face.u == face.clear_u == face.framed_u
    assert face.framed == 0.0 and face.method == "layers in series"


def test_a_wooden_stud_is_a_path_of_its_own_by_hand() -> None:
    """Stud 0.0254 / 0.12 = 0.211667: 1 / 0.425672 = 2.349228 for 38 of 406.4 mm, 0.917543 for the rest."""
    face = face_of(OUT, LAYERS, IN, WOOD)
    assert face.method == "parallel paths" and face.framed == pytest.approx(0.0935039, rel=1e-6)
    assert face.framed_u == pytest.approx(2.349228, rel=1e-6)
    assert face.u == pytest.approx(0.0935039 * 2.349228 + 0.9064961 * 0.917543, rel=1e-6)


def test_a_steel_tube_drains_its_zone_by_hand() -> None:
    """Zone 38.1 + 2 x 12.7 = 63.5 mm. Metal 3.2 mm x 45 and foam 60.3 mm x 0.029 side by side: 0.145749 W/K a metre.

    Its walls are left of the depth without the flanges, 22.2 mm: 0.0222 x 0.0635 / 0.145749 = 0.009672 m2 K/W.
    """
    face = face_of(OUT, LAYERS, IN, TUBE)
    framed_u = 1 / (0.044 + 0.000005 + 0.009672 + 0.05 + 0.12)
    assert face.method == "zone method" and face.framed == pytest.approx(63.5 / 406.4)
    assert face.framed_u == pytest.approx(framed_u, rel=1e-5)
    assert face.u == pytest.approx(0.15625 * framed_u + 0.84375 * 0.917543, rel=1e-5)


def test_a_solid_bar_of_metal_is_metal_right_through() -> None:
    bar = face_of(OUT, LAYERS, IN, replace(TUBE, wall_m=None, width_m=0.0095))
    crossed = 0.0254 * 0.0349 / (0.0095 * 45.0 + 0.0254 * 0.029)
    assert bar.framed_u == pytest.approx(1 / (0.044 + 0.000005 + crossed + 0.05 + 0.12), rel=1e-6)


def test_cover_over_the_metal_widens_its_zone() -> None:
    """20 mm of foam past the tube and 6 mm of board cover it: 26 mm on that side."""
    face = wall(0.0454)
    assert face.framed == pytest.approx((0.0381 + 2 * 0.026) / 0.4064)
    covered = 0.020 / 0.029 + 0.0222 * 0.0901 / (0.0032 * 45.0 + 0.0869 * 0.029)
    assert face.framed_u == pytest.approx(1 / (0.044 + 0.000005 + covered + 0.05 + 0.12), rel=1e-6)
    assert wall(0.0254, over_m=0.020).u == pytest.approx(face.u, rel=1e-9), "foam over the studs is foam past them"
    outside = face_of(OUT, (Layer(0.03, 0.029), FOAM), IN, TUBE)
    assert outside.framed == pytest.approx((0.0381 + 0.06) / 0.4064), "the side where it is more"


def test_a_zone_is_no_wider_than_the_spacing() -> None:
    assert face_of(OUT, LAYERS, IN, replace(TUBE, spacing_m=0.05)).framed == 1.0
    assert zone_width_m(0.03, 0.001) == pytest.approx(0.0554) and zone_width_m(0.03, 0.05) == pytest.approx(0.13)


def test_a_stud_of_the_same_stuff_as_the_layer_is_none() -> None:
    for conductivity in (0.029, 25.0):
        layers = (SKIN, replace(FOAM, conductivity=conductivity), BOARD)
        face = face_of(OUT, layers, IN, Stud(conductivity, 0.03, 0.0254, 0.4))
        assert face.u == pytest.approx(face.clear_u, rel=1e-12)


def test_a_stud_through_two_layers_ends_with_its_depth() -> None:
    layers = (SKIN, replace(FOAM, thickness_m=0.015), Layer(0.02, 0.05, 0.0, True), BOARD)
    face = face_of(OUT, layers, IN, replace(WOOD, depth_m=0.025))
    by_hand = 1 / (0.044 + 0.000005 + 0.025 / 0.12 + 0.010 / 0.05 + 0.05 + 0.12)
    assert face.framed_u == pytest.approx(by_hand, rel=1e-6)


def test_heat_that_follows_the_inside_is_the_integral_over_the_steady_curve() -> None:
    """In a hundred slices a layer: what is stored, by the temperature there for one kelvin inside."""
    face = face_of(OUT, LAYERS, IN, TUBE)
    passed, held, whole = OUT, 0.0, OUT + IN + sum(layer.thickness_m / layer.conductivity for layer in LAYERS)
    for layer in LAYERS:
        for _ in range(100):
            slice_r = layer.thickness_m / layer.conductivity / 100
            held += layer.heat_j_per_m3k * layer.thickness_m / 100 * (passed + slice_r / 2) / whole
            passed += slice_r
    assert face.heat_j_per_m2k == pytest.approx(held, rel=1e-9)
    assert face_of(OUT, LAYERS, IN).heat_j_per_m2k == face.heat_j_per_m2k
    turned = face_of(OUT, tuple(reversed(LAYERS)), IN)
    assert turned.heat_j_per_m2k < 0.8 * face.heat_j_per_m2k, "a heavy board outside hardly follows"


def test_thicknesses_and_studs_go_in_one_call() -> None:
    thick, k = np.array([[0.01], [0.0254], [0.07]]), np.array([0.12, 45.0, 160.0])
    many = wall(thick, replace(TUBE, conductivity=k))
    assert np.shape(many.u) == (3, 3) and many.method == "zone method and parallel paths"
    for row in range(3):
        for column in range(3):
            one = wall(float(thick[row, 0]), replace(TUBE, conductivity=float(k[column])))
            for key in ("u", "framed_u", "framed"):
                assert getattr(many, key)[row, column] == pytest.approx(getattr(one, key), rel=1e-12), key
            assert many.heat_j_per_m2k[row, 0] == pytest.approx(one.heat_j_per_m2k, rel=1e-12)


@given(
    st.floats(0.005, 0.15), st.floats(0.0, 0.1), st.floats(0.02, 0.045), st.sampled_from([0.12, 45.0, 167.0]),
    st.floats(0.02, 0.06), st.floats(0.0, 0.05),
)  # fmt: skip
@settings(max_examples=50)
def test_more_insulation_never_passes_more_heat(
    thick: float, more: float, foam_k: float, stud_k: float, width: float, over: float
) -> None:
    stud = Stud(stud_k, width, 0.0254, 0.4064, 0.0016 if stud_k > 1 else None)
    foam = replace(FOAM, conductivity=foam_k)

    def u(between: float, past: float, studs: Stud | None) -> float:
        return float(face_of(OUT, (SKIN, replace(foam, thickness_m=between), Layer(past, foam_k), BOARD), IN, studs).u)

    for studs in (stud, None):
        assert u(thick + more, over, studs) <= u(thick, over, studs) * (1 + 1e-12)
        assert u(thick, over + more, studs) <= u(thick, over, studs) * (1 + 1e-12)


@given(
    st.floats(0.005, 0.1), st.floats(0.01, 0.06), st.floats(0.002, 0.01), st.floats(11.0, 400.0), st.floats(0.2, 0.8)
)
@settings(max_examples=50)
def test_a_metal_stud_lies_between_the_two_bounds_of_every_wall(
    depth: float, width: float, web: float, conductivity: float, spacing: float
) -> None:
    """Heat that keeps to its path is the least that can pass, heat that spreads freely in every layer the most."""
    foam = replace(FOAM, thickness_m=depth)
    for layers in ((SKIN, foam, BOARD), (BOARD, foam, BOARD)):
        face = face_of(OUT, layers, IN, Stud(conductivity, web, depth, spacing))
        others = sum(layer_r(layer.thickness_m, layer.conductivity) for layer in layers if layer is not foam)
        own = web / spacing
        least = own * clear_u(OUT, others + depth / conductivity, IN) + (1 - own) * face.clear_u
        most = clear_u(OUT, others + crossed_r(depth, foam.conductivity, conductivity, web, spacing), IN)
        assert least * (1 - 1e-12) <= face.u <= most * (1 + 1e-12)


@given(st.floats(0.005, 0.1), st.floats(0.2, 1.0), st.floats(0.0, 0.5))
@settings(max_examples=25)
def test_studs_farther_apart_pass_less(depth: float, spacing: float, more: float) -> None:
    near, far = (wall(depth, replace(TUBE, spacing_m=s)).u for s in (spacing, spacing + more))
    assert wall(depth, None).u <= far <= near * (1 + 1e-12)


def test_a_face_of_nothing_and_studs_in_nothing_are_refused() -> None:
    with pytest.raises(ValueError, match="at least one layer"):
        face_of(OUT, (), IN)
    with pytest.raises(ValueError, match="stand in no layer"):
        face_of(OUT, (SKIN, BOARD), IN, TUBE)
