"""Where Newton's steps begin changes how long they take, not what they find, and they stop no sooner than they may."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from trailerlib.physics.mains_network import solve_ac
from trailerlib.physics.network import Tree, solve_dc

STRICT_V = 1e-13


def tree_of(rng: Any) -> Tree:
    count = int(rng.integers(1, 12))
    return Tree.of([-1] + [int(rng.integers(0, node)) for node in range(1, count)])


def ac(rng: Any) -> tuple[Tree, dict[str, Any]]:
    """Light to far too heavy loads behind 120 V, half of the feeders with all three kinds."""
    tree = tree_of(rng)
    count, mixed = len(tree.order), rng.random() < 0.5
    turn = np.exp(-1j * rng.uniform(-0.3, 1.0, count))
    return tree, {
        "impedance_ohm": rng.uniform(0.01, 0.5, count) * np.exp(1j * rng.uniform(0.0, 1.2, count)),
        "power_va": rng.uniform(0.0, 1.0, count) * turn.conj() * 10.0 ** rng.uniform(1.0, 4.0),
        "admittance_s": rng.uniform(0.0, 0.05, count) * turn * mixed,
        "current_a": rng.uniform(0.0, 10.0, count) * turn * mixed,
    }


def dc(rng: Any) -> tuple[Tree, dict[str, Any]]:
    tree = tree_of(rng)
    count, mixed = len(tree.order), rng.random() < 0.5
    return tree, {
        "resistance_ohm": rng.uniform(0.001, 0.1, count),
        "power_w": rng.uniform(0.0, 1.0, count) * 10.0 ** rng.uniform(0.0, 2.5),
        "conductance_s": rng.uniform(0.0, 0.05, count) * mixed,
        "current_a": rng.uniform(0.0, 10.0, count) * mixed,
    }


@pytest.mark.parametrize("block", range(6))
def test_the_battery_feeder_finds_the_same_from_wherever_it_begins(block: int) -> None:
    rng, found = np.random.default_rng(block), [0, 0]
    for _ in range(100):
        tree, loads = dc(rng)
        plain = solve_dc(tree, 12.5, **loads)
        near = plain.voltage_v if plain.converged else np.full(len(tree.order), 12.5)
        volt = near + 10.0 ** rng.uniform(-9.0, 1.2) * rng.normal(size=near.shape)
        again = solve_dc(tree, 12.5, **loads, start_v=volt)
        assert bool(again.converged) == bool(plain.converged)
        found[int(plain.converged)] += 1
        if plain.converged:
            assert np.abs(again.voltage_v - plain.voltage_v).max() < 1e-9
    assert min(found) > 5, "some that can be delivered, and some that cannot"


def test_a_start_that_is_no_number_is_none() -> None:
    tree, power = Tree.of([-1, 0]), np.array([[0.0, 0.0], [50.0, 60.0]])
    nothing = np.full((2, 2), np.nan)
    assert solve_dc(tree, 12.5, [0.01, 0.02], power_w=power, start_v=nothing).converged.all()


@pytest.mark.parametrize("tolerance_v", [1e-10, 1e-6, 1e-3])
def test_no_voltage_is_further_off_than_was_asked_for(tolerance_v: float) -> None:
    rng, judged = np.random.default_rng(7), 0
    for _ in range(400):
        for solve, emf, (tree, loads) in ((solve_ac, 120.0, ac(rng)), (solve_dc, 12.5, dc(rng))):
            exact = solve(tree, emf, **loads, tolerance_v=STRICT_V)
            found = solve(tree, emf, **loads, tolerance_v=tolerance_v)
            if exact.converged and found.converged:
                judged += 1
                assert np.abs(found.voltage_v - exact.voltage_v).max() <= tolerance_v
    assert judged > 500
