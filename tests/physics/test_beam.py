"""Bows: against a finite-difference solution of its own, textbook ends, and what must hold for any load."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.end_springs import end_spring_nm
from trailerlib.physics import beam
from trailerlib.physics.beam import Bow, Loads, Solved

BOWS = 300
dice = np.random.default_rng(7)
SPAN, EI = dice.uniform(1.2, 2.6, BOWS), dice.uniform(400, 9000, BOWS)
MANY = Bow(SPAN, EI, dice.uniform(0, 1, BOWS), dice.uniform(0, 1, BOWS), dice.uniform(-0.01, 0.01, BOWS))
ON = Loads(dice.normal(50, 150, (BOWS, 4)), dice.uniform(0, 1, (BOWS, 4)) * SPAN[:, None], dice.normal(20, 50, BOWS))
X = np.linspace(0.0, 1.0, 4001) * SPAN[:, None]

share = st.floats(0.0, 1.0)
force = st.floats(0.0, 2000.0)
some = st.lists(st.tuples(force, share), min_size=1, max_size=4)


def loads(pairs: list[tuple[float, float]], span: float, per_m: float = 0.0) -> Loads:
    return Loads(np.array([p for p, _ in pairs]), np.array([a for _, a in pairs]) * span, per_m)


def end_moments_nm(bow: Bow, on: Loads) -> tuple[Any, Any]:
    found = beam.solved(bow, on)
    return found.at_left, found.at_right


def test_two_ends_alike_under_the_middle() -> None:
    """Closed form: a span with springs k at both ends under P in the middle, k L / EI = 3 f / (1 - f).

    Both ends turn by t = (P L²/16 EI) / (1 + k L / 2 EI); their moment is k t.
    """
    f, span, ei, p = 0.6, 2.0, 3000.0, 500.0
    k = end_spring_nm(ei, span, f)
    turn = p * span**2 / (16 * ei) / (1 + k * span / (2 * ei))
    found = end_moments_nm(Bow(span, ei, f, f), Loads(np.array([p]), np.array([1.0])))
    assert found == pytest.approx((k * turn, k * turn), rel=1e-12)


@pytest.mark.parametrize(
    ("left", "right", "moments"),
    [(0, 0, (0, 0)), (1, 0, (1.5 / 8, 0)), (0, 1, (0, 1.5 / 8)), (1, 1, (1 / 8, 1 / 8))],
)
def test_pinned_and_clamped_ends_under_the_middle(left: float, right: float, moments: tuple[float, float]) -> None:
    """Textbook: 3 P L / 16 with one end clamped, P L / 8 with both."""
    found = end_moments_nm(Bow(2.0, 3000.0, left, right), Loads(np.array([500.0]), np.array([1.0])))
    assert found == pytest.approx([m * 1000 for m in moments], rel=1e-12)


def test_the_springs_turn_as_the_ends_do() -> None:
    """Invariant: at each end the moment is the spring times the turning, read from the deflection by differences."""
    h = 1e-5 * SPAN[:, None]
    off_walls = Loads(ON.force_n, np.clip(ON.at_m, 0.01, SPAN[:, None] - 0.01), ON.per_m_n)
    at_left, at_right = end_moments_nm(MANY, off_walls)
    near, far = (beam.solved(MANY, off_walls).deflection_m(x) for x in (h, SPAN[:, None] - h))
    turned = near[:, 0] / h[:, 0], (far[:, 0] - MANY.sunk_m) / h[:, 0]
    for moment, slope, fixity in zip((at_left, at_right), turned, (MANY.left, MANY.right), strict=True):
        spring = np.asarray(end_spring_nm(EI, SPAN, fixity))
        np.testing.assert_allclose(slope, moment / spring, rtol=1e-2, atol=2e-6)


def test_deflection_bends_as_the_moment_says() -> None:
    """Invariant: E I times the second difference of the deflection is the moment with its sign turned."""
    x, h = X[:, 200:-200:97], 1e-3 * SPAN[:, None]
    clear = np.min(np.abs(x[:, :, None] - ON.at_m[:, None, :]), axis=-1) > h
    low, here, high = (beam.solved(MANY, ON).deflection_m(x + step) for step in (-h, 0.0, h))
    bent = -EI[:, None] * (low - 2 * here + high) / h**2
    moment = beam.solved(MANY, ON).moment_nm(x) - np.asarray(ON.per_m_n)[:, None] * h**2 / 12
    np.testing.assert_allclose(bent[clear], moment[clear], atol=2e-4)
    rise = (beam.solved(MANY, ON).moment_nm(x + h / 2) - beam.solved(MANY, ON).moment_nm(x - h / 2)) / h
    np.testing.assert_allclose(rise[clear], beam.solved(MANY, ON).shear_n(x)[clear], atol=1e-6)


def test_reactions_sum_to_the_load_and_its_moment() -> None:
    """Invariant, 300 bows at once; 1e-10."""
    left, right = beam.solved(MANY, ON).reactions_n()
    m_left, m_right = end_moments_nm(MANY, ON)
    per_m = np.asarray(ON.per_m_n)
    np.testing.assert_allclose(left + right, ON.force_n.sum(-1) + per_m * SPAN, rtol=1e-10, atol=1e-9)
    about = (ON.force_n * ON.at_m).sum(-1) + per_m * SPAN**2 / 2
    np.testing.assert_allclose(right * SPAN + m_left - m_right, about, rtol=1e-10, atol=1e-9)


@pytest.mark.parametrize(("name", "along"), [("moment", Solved.moment_nm), ("deflection", Solved.deflection_m)])
def test_the_largest_is_the_largest_of_a_fine_grid(name: str, along: Any) -> None:
    """Independent: 4001 places along each of 300 bows; never below the grid, and at most 1e-3 above it."""
    solved = beam.solved(MANY, ON)
    found = solved.pieces().largest()
    ours = np.abs(getattr(found, f"{name}_{'nm' if name == 'moment' else 'm'}"))
    grid = np.abs(along(solved, X)).max(-1)
    assert np.all(ours >= grid * (1 - 1e-9)) and np.all(ours <= grid * (1 + 1e-3))
    at = getattr(found, f"{name}_at_m")[:, None]
    np.testing.assert_allclose(np.abs(along(solved, at))[:, 0], ours, rtol=1e-9, atol=1e-12)


def test_the_largest_shear_is_found_beside_a_load_or_at_a_wall() -> None:
    found = beam.solved(MANY, ON).pieces().largest()
    grid = np.abs(beam.solved(MANY, ON).shear_n(X)).max(-1)
    assert np.all(np.abs(found.shear_n) >= grid * (1 - 1e-9))
    # at most what the uniform load adds over one step of the grid
    assert np.all(np.abs(found.shear_n) <= grid + np.abs(ON.per_m_n) * SPAN / 4000 + 1e-9)
    twice = Loads(np.array([70.0, 30.0, 50.0]), np.array([1.0, 1.0, 2.0]))
    doubled = beam.solved(Bow(2.0, 900.0), twice).pieces().largest()
    assert (doubled.shear_n, doubled.moment_nm) == pytest.approx((50.0, 50.0))  # none from the load over the wall


def test_pieces_are_parted_where_the_moment_is_nothing() -> None:
    """Invariant: between such places the slope only rises or only falls, so that each of its zeros is found."""
    parts = beam.solved(MANY, ON).pieces()
    size = np.abs(parts.moment_nm).max(-1, keepdims=True)
    crossing = np.sign(parts.moment_nm) != np.sign(parts.moment_after(parts.length_m))
    zeros = parts._moment_zeros_m()
    inside = [(root > 0.0) & (root < parts.length_m) for root in zeros]
    assert np.all((inside[0] | inside[1])[crossing & (np.abs(parts.moment_nm) > 1e-6 * size)])
    for root, here in zip(zeros, inside, strict=True):
        assert here.sum() > 10 and np.all(np.abs(parts.moment_after(root) / size)[here] < 1e-9)


def test_pieces_read_as_the_closed_forms_do() -> None:
    """Two ways: pieces carried on from their begin, against superposition."""
    x = np.linspace(0.0, 1.15, 47)
    solved = beam.solved(MANY, ON)
    for found, along in zip(
        solved.pieces().read(x), (solved.deflection_m, solved.moment_nm, solved.shear_n), strict=True
    ):
        np.testing.assert_allclose(found, along(x), rtol=1e-9, atol=1e-9)


@settings(max_examples=40)
@given(some, share, st.floats(0.0, 300.0))
def test_symmetric_loads_bend_symmetrically(pairs: list[tuple[float, float]], fixity: float, per_m: float) -> None:
    both = loads([*pairs, *((p, 1.0 - a) for p, a in pairs)], 2.0, per_m)
    x = np.linspace(0.0, 2.0, 41)
    bow = Bow(2.0, 3000.0, fixity, fixity)
    sag = beam.solved(bow, both).deflection_m(x)
    np.testing.assert_allclose(sag, sag[::-1], rtol=1e-9, atol=1e-12)
    left, right = beam.solved(bow, both).reactions_n()
    assert left == pytest.approx(right, rel=1e-9)


@settings(max_examples=40)
@given(some, share, share, st.floats(0.0, 300.0))
def test_clamped_never_sags_more_than_pinned(
    pairs: list[tuple[float, float]], left: float, right: float, per_m: float
) -> None:
    on, x = loads(pairs, 2.0, per_m), np.linspace(0.0, 2.0, 33)
    pinned, held, clamped = (
        beam.solved(Bow(2.0, 3000.0, *ends), on).deflection_m(x) for ends in ((0, 0), (left, right), (1, 1))
    )
    assert np.all(clamped >= -1e-12) and np.all(held >= clamped - 1e-12) and np.all(pinned >= held - 1e-12)


@settings(max_examples=30)
@given(some, share, share, st.floats(0.05, 1.95), st.floats(0.05, 1.95))
def test_superposition_and_maxwell(
    pairs: list[tuple[float, float]], left: float, right: float, one: float, other: float
) -> None:
    """Invariant: sags add up; a load here sags there as one there sags here."""
    bow, x = Bow(2.0, 3000.0, left, right), np.linspace(0.0, 2.0, 17)
    alone = sum(beam.solved(bow, loads([pair], 2.0)).deflection_m(x) for pair in pairs)
    np.testing.assert_allclose(beam.solved(bow, loads(pairs, 2.0)).deflection_m(x), alone, atol=1e-12)
    give = beam.flexibility_m_n(bow, np.array([one, other]))
    assert give[0, 1] == pytest.approx(give[1, 0], rel=1e-9)
    assert np.all(np.linalg.eigvalsh(give) > -1e-15)


def test_fixity_moves_monotonously_from_pinned_to_clamped() -> None:
    held = np.linspace(0.0, 1.0, 21)
    found = beam.solved(Bow(2.0, 3000.0, held, held), Loads(per_m_n=100.0)).pieces().largest()
    assert np.all(np.diff(np.abs(found.deflection_m)) < 0) and found.deflection_m.shape == (21,)
    assert found.deflection_m[0] / found.deflection_m[-1] == pytest.approx(5.0, rel=1e-9)  # 5/384 to 1/384


def test_a_number_and_arrays_go_the_same_way() -> None:
    on = Loads(np.array([100.0, 40.0]), np.array([0.5, 1.4]), 30.0)
    bows = Bow(np.array([2.0, 2.2]), np.array([[900.0], [1100.0], [5000.0]]), 0.2, 0.7)
    wide = beam.solved(bows, on).pieces().largest()
    one = beam.solved(Bow(2.2, 5000.0, 0.2, 0.7), on).pieces().largest()
    assert wide.moment_nm.shape == (3, 2)
    assert wide.moment_nm[2, 1] == pytest.approx(one.moment_nm) and wide.deflection_m[2, 1] == pytest.approx(
        one.deflection_m
    )
    assert on.plus(np.array([5.0]), np.array([0.1])).force_n.tolist() == [100.0, 40.0, 5.0]


@pytest.mark.parametrize(
    ("bow", "on", "words"),
    [
        (Bow(2.0, 0.0), Loads(), "span and stiffness"),
        (Bow(-2.0, 10.0), Loads(), "span and stiffness"),
        (Bow(2.0, 10.0, 1.1), Loads(), "fixity must be from 0"),
        (Bow(2.0, 10.0, 0.0, float("nan")), Loads(), "fixity must be from 0"),
        (Bow(2.0, 10.0), Loads(np.array([1.0]), np.array([2.1])), "stand on the span"),
        (Bow(2.0, 10.0), Loads(np.array([1.0]), np.array([-0.1])), "stand on the span"),
    ],
)
def test_what_cannot_be_is_refused(bow: Bow, on: Loads, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        beam.solved(bow, on).pieces().largest()
