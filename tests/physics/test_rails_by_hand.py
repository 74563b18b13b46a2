"""Rails and beams in their parts: what a force presses on the bows beside it, roots that nearly cancel, cases side by side."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from trailerlib.physics.beam import Bow, solved
from trailerlib.physics.beam import Loads as BowLoads
from trailerlib.physics.bending import Pieces
from trailerlib.physics.mains_network import solve_ac
from trailerlib.physics.network import Tree, solve_dc
from trailerlib.physics.rails import RailLoads, Rails, as_forces, pressed
from trailerlib.physics.roof import Carried, RoofBow, carry
from trailerlib.physics.split_phase import solve_split_phase

NODES = np.array([0.0, 0.5, 1.5])


@pytest.mark.parametrize(
    ("at", "found"),
    [
        (0.0, [1, 0, 0, 0, 0, 0]), (0.5, [0, 0, 1, 0, 0, 0]), (1.5, [0, 0, 0, 0, 1, 0]),
        (-0.2, [1, -0.2, 0, 0, 0, 0]), (1.8, [0, 0, 0, 0, 1, 0.3]),  # beyond the last bow: a lever
        (0.25, [0.5, 0.0625, 0.5, -0.0625, 0, 0]), (1.0, [0, 0, 0.5, 0.125, 0.5, -0.125]),  # the middle: L / 8
        (0.75, [0, 0, 0.84375, 0.140625, 0.15625, -0.046875]),  # a quarter: a b² / L² and a² b / L²
    ],
)  # fmt: skip
def test_what_one_newton_presses_on_the_bows_beside_it(at: float, found: list[float]) -> None:
    """Textbook: end forces and end moments of a span clamped at both ends, P b² (3 a + b) / L³ and P a b² / L²."""
    loads = RailLoads(np.array([[1.0], [2.0]]), np.array([at]))
    assert pressed(NODES, loads) == pytest.approx(np.array([found, 2.0 * np.array(found)]), abs=1e-12)


def test_a_uniform_load_on_clamped_spans_by_the_textbook() -> None:
    """w L / 2 at the ends and w L² / 12 about them, over both spans."""
    on = pressed(NODES, RailLoads(per_m_n=np.array([12.0, 24.0]), over_m=(0.0, 1.5)))
    one = [3.0, 0.25, 3.0 + 6.0, -0.25 + 1.0, 6.0, -1.0]
    assert on == pytest.approx(np.array([one, 2.0 * np.array(one)]))


@pytest.mark.parametrize("cases", [1, 2, 3])
def test_cases_side_by_side_are_each_what_they_are_alone(cases: int) -> None:
    rng = np.random.default_rng(cases)
    force, at, per_m = rng.uniform(1, 9, (cases, 2, 4)), rng.uniform(0, 1.5, 4), rng.uniform(1, 9, (cases, 2))
    over = (0.2, 1.1)
    for many, even in ((force, per_m), (force, per_m[0]), (force[0], per_m)):
        wide, where = as_forces(NODES, RailLoads(many, at, even, over))
        assert wide.shape == (cases, 2, 4 + 4) and where[:4].tolist() == at.tolist()
        for k in range(cases):
            one = RailLoads(many[k] if many.ndim == 3 else many, at, even[k] if even.ndim == 2 else even, over)
            assert wide[k] == pytest.approx(as_forces(NODES, one)[0])
            assert pressed(NODES, RailLoads(many, at, even, over))[k] == pytest.approx(pressed(NODES, one))
        assert wide[..., 4:].sum(axis=-1) == pytest.approx(np.broadcast_to(even * 0.9, (cases, 2)))


def test_where_a_moment_is_nothing_though_its_roots_lie_far_apart() -> None:
    """M = c + b s + a s²: the near root of 1 - 1000 s + 1e-6 s² is 0.001 to fifteen figures; of s² - 3 s + 2, 1 and 2."""
    zero = np.zeros(4)
    load, push, moment = (
        np.array([-2e-6, -2e-6, -2.0, -2.0]),
        np.array([-1e3, 1e3, -3.0, 3.0]),
        np.array([1.0, -1.0, 2.0, 2.0]),
    )
    beam = Pieces.of(zero, np.full(4, 5.0), zero, zero, moment, push, load, np.ones(4))
    roots = np.sort(np.stack(beam._moment_zeros_m()), axis=0)
    assert roots[:, 0] == pytest.approx([1e-3, 5.0], rel=1e-9), "the other is far beyond its end"
    assert roots[:, 1] == pytest.approx([0.0, 1e-3], rel=1e-9), "the other is far before its begin"
    assert roots[:, 2] == pytest.approx([1.0, 2.0]) and roots[:, 3] == pytest.approx([0.0, 0.0]), "behind its begin"


TWO = Tree.of((-1, 0))
THIRDS = (np.full(2, 0.2 + 0.01j), np.full(2, 0.3 + 0.01j), np.full(2, 0.1 + 0.01j))
SOLVERS = {
    "dc": lambda most: solve_dc(TWO, 12.0, np.full(2, 0.1), power_w=np.array([30.0, 60.0]), max_iterations=most),
    "ac": lambda most: solve_ac(TWO, 120.0, np.full(2, 0.5 + 0.1j), power_va=np.array([900 + 90j, 600.0]), max_iterations=most),
    "split": lambda most: solve_split_phase(
        TWO, 120.0, *THIRDS, power_va=(np.array([0.0, 900 + 90j]), np.array([0.0, 500.0]), np.zeros(2)), max_iterations=most
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", SOLVERS)
def test_so_many_steps_are_enough_and_one_less_is_not(name: str) -> None:
    """What it says it took is what it needs."""
    solve = SOLVERS[name]
    took = solve(60).iterations
    assert 1 < took < 12 and np.all(solve(60).converged)
    assert np.all(solve(took).converged) and solve(took).iterations == took
    short = solve(took - 1)
    assert not np.any(short.converged) and short.iterations == took - 1


@pytest.mark.parametrize("varied", ["twist", "stiffness", "rail", "force", "own"])
def test_roofs_side_by_side_that_differ_in_one_thing_alone(varied: str) -> None:
    """Three roofs in one call, each as if alone."""
    given = {"twist": 4e3, "stiffness": 3e3, "rail": 2e3, "force": 150.0, "own": 20.0}
    many = {**given, varied: given[varied] * np.array([0.5, 1.0, 3.0])}

    def roof(twist: Any, stiffness: Any, rail: Any, force: Any, own: Any) -> Carried:
        bows = [
            RoofBow(0.4 * n, Bow(2.0, stiffness, 0.1, 0.2), BowLoads(per_m_n=own * n), twist_nm2=twist)
            for n in range(3)
        ]
        forces = np.multiply.outer(np.asarray(force), np.ones((2, 1)))
        under, on = Rails((0.8, 1.2), rail, 0.0, 0.8), RailLoads(forces, np.array([0.3]))
        return carry(bows, under, on)

    together = roof(**many)
    assert together.onto_n.shape == (3, 3, 2)
    for k in range(3):
        alone = roof(**{**given, varied: float(many[varied][k])})
        assert together.onto_n[k] == pytest.approx(alone.onto_n, rel=1e-9, abs=1e-9)
        assert together.rails.moment_nm[k] == pytest.approx(alone.rails.moment_nm, rel=1e-9)
    assert np.ptp(together.onto_n, axis=0).max() > 1e-3, "it must make a difference"


def test_forces_side_by_side_that_differ_in_their_places_alone() -> None:
    """Three cases of places in one call, the forces and the bow shared."""
    bow, force = Bow(2.0, 3e3, 0.1, 0.3), np.array([40.0, 90.0])
    at = np.array([[0.3, 1.2], [1.9, 0.1], [0.7, 0.8]])
    wide, seen = BowLoads(force, at), np.array([0.4, 1.0, 1.7])
    for k in range(3):
        alone = BowLoads(force, at[k])
        many, one = solved(bow, wide), solved(bow, alone)
        assert many.pieces().largest().moment_nm[k] == pytest.approx(one.pieces().largest().moment_nm)
        assert many.pieces().largest().deflection_m[k] == pytest.approx(one.pieces().largest().deflection_m)
        assert many.deflection_m(seen)[k] == pytest.approx(one.deflection_m(seen))
