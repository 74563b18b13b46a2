"""How a trailer lies: forces balance, two ways agree, springs share as a stiff body on springs does."""

from __future__ import annotations

import numpy as np
import pytest

from trailerlib.physics import balance

TRAILERS, THINGS = 10_000, 14
dice = np.random.default_rng(20)
MASS = np.concatenate([dice.uniform(600, 2500, (TRAILERS, 1)), dice.uniform(0.2, 250, (TRAILERS, THINGS))], axis=1)
PLACE = np.concatenate([dice.uniform(2.5, 5.0, (TRAILERS, 1)), dice.uniform(0.2, 7.0, (TRAILERS, THINGS))], axis=1)
ACROSS = dice.uniform(0.0, 2.2, MASS.shape)
AXLES = dice.uniform(3.2, 4.6, (TRAILERS, 1)) + np.array([-0.45, 0.45])
TRACK = dice.uniform(1.7, 2.4, TRAILERS)


def forces(mass: np.ndarray, place: np.ndarray, *, shared: bool) -> tuple[np.ndarray, ...]:
    """Total, centre, arm, coupler, and one column an axle."""
    total, centre = balance.centre_of_mass(mass, place)
    arm = balance.holding_axle_m(AXLES, shared=shared)
    tongue, wheels = balance.tongue_kg(total, centre, arm), balance.wheels_kg(total, centre, arm)
    return (
        total,
        centre,
        arm,
        np.asarray(tongue),
        np.asarray(wheels)[:, None] * balance.axle_shares(AXLES, shared=shared),
    )


@pytest.mark.parametrize("shared", [True, False])
def test_reactions_carry_the_weight_of_ten_thousand_trailers(shared: bool) -> None:
    """Invariant: coupler and axles together are the weight, and their moments about any point are its moment; 1e-12."""
    total, _, _, tongue, axles = forces(MASS, PLACE, shared=shared)
    np.testing.assert_allclose(tongue + axles.sum(axis=1), total, rtol=1e-12)
    for point in (0.0, 3.3, -8.0):
        of_reactions = -tongue * point + (axles * (AXLES - point)).sum(axis=1)
        of_weight = (MASS * (PLACE - point)).sum(axis=1)
        np.testing.assert_allclose(of_reactions, of_weight, rtol=1e-12, atol=1e-9)


@pytest.mark.parametrize("shared", [True, False])
def test_a_second_way_gives_the_same_weight_on_the_coupler(shared: bool) -> None:
    """Invariant: thing by thing about the axle, not the total about the coupler; 1e-12 of the trailer's weight."""
    total, _, arm, tongue, _ = forces(MASS, PLACE, shared=shared)
    second = np.sum(MASS * (arm[:, None] - PLACE), axis=-1) / arm
    assert np.max(np.abs(second - tongue) / total) < 1e-12


@pytest.mark.parametrize("shared", [True, False])
def test_forward_never_makes_the_coupler_lighter(shared: bool) -> None:
    """Property: each of fourteen things moved forward by up to two metres, in ten thousand trailers."""
    tongue = forces(MASS, PLACE, shared=shared)[3]
    for thing in range(1, THINGS + 1):
        moved = PLACE.copy()
        moved[:, thing] -= dice.uniform(0.0, 2.0, TRAILERS)
        assert np.all(forces(MASS, moved, shared=shared)[3] >= tongue - 1e-9)


def test_springs_share_as_a_stiff_body_on_springs_does() -> None:
    """Independent: the springs' own equations, solved as a linear system: pitch about the coupler, springs alike."""
    total, centre, _, tongue, axles = forces(MASS, PLACE, shared=False)
    for row in range(200):
        stiff = 30_000.0
        pitch = total[row] * centre[row] / (stiff * np.sum(AXLES[row] ** 2))
        each = stiff * pitch * AXLES[row]
        np.testing.assert_allclose(axles[row], each, rtol=1e-12)
        assert tongue[row] == pytest.approx(total[row] - each.sum(), abs=1e-9)


def test_one_axle_is_the_same_either_way_and_shares_add_up() -> None:
    for count in (1, 2, 3):
        axles = np.linspace(3.0, 4.5, count)
        for shared in (True, False):
            assert balance.axle_shares(axles, shared=shared).sum() == pytest.approx(1.0, rel=1e-15)
    one = np.array([3.7])
    assert balance.holding_axle_m(one, shared=True) == balance.holding_axle_m(one, shared=False) == pytest.approx(3.7)


def test_sides_carry_what_is_on_the_wheels_and_turn_over_with_the_load() -> None:
    """Invariant: right by moments about the left wheels, left by those about the right; mirrored things swap sides."""
    total, _, _, tongue, axles = forces(MASS, PLACE, shared=True)
    wheels, width = axles.sum(axis=1), 2.2
    _, middle = balance.centre_of_mass(MASS, ACROSS)
    left = (width - TRACK) / 2
    right = balance.right_wheels_kg(total, middle, tongue, width / 2, wheels, left, TRACK)
    about_right = (total * (left + TRACK - middle) - tongue * (left + TRACK - width / 2)) / TRACK
    np.testing.assert_allclose(right + about_right, wheels, rtol=1e-12)
    mirrored = balance.right_wheels_kg(total, width - middle, tongue, width / 2, wheels, left, TRACK)
    np.testing.assert_allclose(right + mirrored, wheels, rtol=1e-12)
    limit = balance.tongue_for_side_kg(total, middle - width / 2, TRACK, right)
    np.testing.assert_allclose(limit, tongue, atol=1e-9)


def test_a_scale_twice_finds_the_centre_again() -> None:
    _, centre, arm, tongue, axles = forces(MASS, PLACE, shared=True)
    found = balance.centre_from_scale_m(axles.sum(axis=1), tongue, arm)
    np.testing.assert_allclose(found, centre, rtol=1e-12)


def test_a_thing_put_where_it_has_to_stand_gives_the_weight_that_was_wanted() -> None:
    total, _, arm, tongue, _ = forces(MASS, PLACE, shared=True)
    own = MASS[:, 3] * (1 - PLACE[:, 3] / arm)
    wanted = 0.12 * total
    moved = PLACE.copy()
    moved[:, 3] = np.asarray(balance.place_for_tongue_m(arm, wanted, tongue - own, MASS[:, 3]))
    np.testing.assert_allclose(forces(MASS, moved, shared=True)[3], wanted, atol=1e-8)


def test_a_number_and_an_array_go_the_same_way() -> None:
    """One code path: numbers in, numbers out; arrays broadcast."""
    one = balance.tongue_kg(1470.0, 3.8, 4.3)
    many = balance.tongue_kg(np.full((2, 3), 1470.0), np.array([3.8, 4.0, 4.9]), 4.3)
    assert np.shape(many) == (2, 3) and np.asarray(many)[1, 0] == one and np.asarray(many)[0, 2] < 0
