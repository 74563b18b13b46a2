"""The feeder: exact where an exact answer exists, balanced always, and honest when there is no answer."""

from __future__ import annotations

import time
import warnings
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trailerlib.physics.network import Solution, Tree, deliverable_fraction, solve_dc


@st.composite
def feeders(draw: st.DrawFn) -> dict[str, Any]:
    """A random tree of light to heavy mixed loads behind a 12.8 V source."""
    count = draw(st.integers(1, 14))
    parents = [-1] + [draw(st.integers(0, node - 1)) for node in range(1, count)]
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    mix = rng.random((3, count)) * (rng.random((3, count)) < 0.6)
    heavy = draw(st.sampled_from([0.2, 1.0, 2.0]))
    return {
        "tree": Tree.of(parents),
        "resistance_ohm": rng.uniform(0.0, 0.02, count) * heavy,
        "power_w": 25.0 * mix[0],
        "conductance_s": 0.2 * mix[1],
        "current_a": 2.0 * mix[2],
    }


def drawn_a(feeder: dict[str, Any], volt: Any) -> Any:
    return feeder["power_w"] / volt + feeder["conductance_s"] * volt + feeder["current_a"]


@given(feeders())
def test_kirchhoff_holds_at_every_node_and_no_power_is_lost(feeder: dict[str, Any]) -> None:
    found = solve_dc(emf_v=12.8, **feeder)
    if not found.converged:
        return
    volt, amp, parents = found.voltage_v, found.branch_current_a, feeder["tree"].parents
    above = np.array([12.8 if p < 0 else volt[p] for p in parents])
    assert above - feeder["resistance_ohm"] * amp == pytest.approx(volt, abs=1e-9)
    onward = np.zeros(len(parents))
    np.add.at(onward, list(parents[1:]), amp[1:])
    load = drawn_a(feeder, volt)
    assert amp == pytest.approx(load + onward, abs=1e-9)
    losses = float((amp**2 * feeder["resistance_ohm"]).sum())
    assert 12.8 * amp[0] == pytest.approx(float((load * volt).sum()) + losses, rel=1e-9, abs=1e-9)


@given(feeders(), st.integers(0, 2**32 - 1))
@settings(max_examples=60)
def test_variants_solved_together_equal_variants_solved_alone(feeder: dict[str, Any], seed: int) -> None:
    rng = np.random.default_rng(seed)
    tree = feeder.pop("tree")
    spread = {name: values[:, None] * rng.uniform(0.3, 6.0, (1, 5)) for name, values in feeder.items()}
    emf = rng.uniform(10.0, 14.0, 5)
    together = solve_dc(tree, emf, **spread)
    for at in range(5):
        alone = solve_dc(tree, emf[at], **{name: values[:, at] for name, values in spread.items()})
        assert bool(alone.converged) == bool(together.converged[at])
        assert together.voltage_v[:, at] == pytest.approx(alone.voltage_v, rel=1e-11, nan_ok=True)
        assert together.branch_current_a[:, at] == pytest.approx(alone.branch_current_a, abs=1e-9, nan_ok=True)


@given(feeders())
def test_more_resistance_never_raises_a_voltage(feeder: dict[str, Any]) -> None:
    found = solve_dc(emf_v=12.8, **feeder)
    worse = solve_dc(emf_v=12.8, **{**feeder, "resistance_ohm": feeder["resistance_ohm"] * 1.3})
    if worse.converged:
        assert found.converged and np.all(found.voltage_v >= worse.voltage_v - 1e-9)


def test_one_run_to_a_constant_power_follows_the_quadratic() -> None:
    found = solve_dc(Tree.of([-1]), 12.0, [0.1], power_w=[200.0])
    assert found.voltage_v[0] == pytest.approx((12.0 + (12.0**2 - 4 * 0.1 * 200.0) ** 0.5) / 2, abs=1e-10)


def test_resistors_and_currents_are_exact_in_one_pass() -> None:
    found = solve_dc(Tree.of([-1, 0]), 12.0, [0.5, 0.25], conductance_s=[0.0, 0.2], current_a=[1.0, 0.0])
    # by hand: v1 = v0 / 1.05; v0 = 12 - 0.5 (1 + 0.2 v1)
    v0 = 11.5 / (1 + 0.1 / 1.05)
    assert found.iterations == 1
    assert found.voltage_v == pytest.approx([v0, v0 / 1.05], rel=1e-13)


def test_a_branch_without_resistance_carries_its_current() -> None:
    found = solve_dc(Tree.of([-1, 0, 1]), 12.0, [0.1, 0.0, 0.2], power_w=[0.0, 0.0, 30.0], current_a=[0.0, 2.0, 0.0])
    assert found.voltage_v[0] == found.voltage_v[1]
    assert found.branch_current_a[1] == pytest.approx(2.0 + 30.0 / found.voltage_v[2], abs=1e-10)


def test_no_load_is_no_drop() -> None:
    found = solve_dc(Tree.of([-1, 0, 0]), 12.5, [0.1, 0.1, 0.1])
    assert np.all(found.voltage_v == 12.5) and np.all(found.branch_current_a == 0.0)


LIMIT_W = 12.0**2 / (4.0 * 0.1)  # maximum power transfer (Jacobi): at half the voltage


@pytest.mark.parametrize("share", [0.5, 0.99, 0.999999])
def test_just_below_the_limit_there_is_an_answer(share: float) -> None:
    found = solve_dc(Tree.of([-1]), 12.0, [0.1], power_w=[LIMIT_W * share])
    assert found.converged and found.voltage_v[0] == pytest.approx(6.0 * (1 + (1 - share) ** 0.5), abs=1e-8)


@pytest.mark.parametrize("share", [1.000001, 1.01, 2.0, 50.0])
def test_beyond_the_limit_there_is_none(share: float) -> None:
    found = solve_dc(Tree.of([-1]), 12.0, [0.1], power_w=[LIMIT_W * share])
    assert not found.converged
    assert np.isnan(found.voltage_v).all() and np.isnan(found.branch_current_a).all()


def test_a_constant_current_cannot_push_a_voltage_below_zero() -> None:
    assert not solve_dc(Tree.of([-1, 0]), 12.0, [0.1, 1.0], current_a=[0.0, 12.5]).converged
    assert solve_dc(Tree.of([-1, 0]), 12.0, [0.1, 0.8], current_a=[0.0, 12.5]).converged


def test_a_collapse_stays_in_its_own_variant_and_is_silent() -> None:
    tree, ohm = Tree.of([-1, 0]), np.array([0.01, 0.2])
    power = np.array([[5.0, 5.0, 5.0], [40.0, 4000.0, 60.0]])
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        found = solve_dc(tree, 12.0, ohm, power_w=power)
    assert found.converged.tolist() == [True, False, True]
    assert np.isnan(found.voltage_v[:, 1]).all() and np.isfinite(found.voltage_v[:, [0, 2]]).all()
    assert found.voltage_v[:, 2] == pytest.approx(solve_dc(tree, 12.0, ohm, power_w=power[:, 2]).voltage_v, rel=1e-12)


def test_too_few_steps_count_as_no_answer() -> None:
    assert not solve_dc(Tree.of([-1]), 12.0, [0.1], power_w=[300.0], max_iterations=2).converged


def test_shapes_of_one_and_of_many() -> None:
    tree = Tree.of([-1, 0, 0])
    one: Solution = solve_dc(tree, 12.0, [0.1, 0.1, 0.1], power_w=5.0)
    assert one.voltage_v.shape == (3,) and one.converged.shape == () and one.branch_current_a.shape == (3,)
    many = solve_dc(tree, np.array([11.0, 12.0, 13.0]), np.ones((3, 4, 1)) * 0.1, power_w=5.0)
    assert many.voltage_v.shape == (3, 4, 3) and many.converged.shape == (4, 3)
    assert many.voltage_v[:, 2, 1] == pytest.approx(one.voltage_v, rel=1e-13)


def test_nodes_keep_their_own_numbers_whatever_the_solving_order() -> None:
    parents, ohm, power = [-1, 0, 1, 0, 2, 3], np.array([1, 2, 3, 4, 5, 6]) * 0.01, np.array([0, 1, 2, 3, 4, 50.0])
    found = solve_dc(Tree.of(parents), 12.0, ohm, power_w=power)
    again = solve_dc(Tree.of([-1, 0, 0, 1, 2, 4]), 12.0, ohm[[0, 3, 1, 5, 2, 4]], power_w=power[[0, 3, 1, 5, 2, 4]])
    assert found.voltage_v[[0, 3, 1, 5, 2, 4]] == pytest.approx(again.voltage_v, rel=1e-13)
    assert found.voltage_v.argmin() == 5


@pytest.mark.parametrize("parents", [[], [0], [-1, -1], [-1, 2, 0], [-1, 1]])
def test_a_tree_that_is_none_is_refused(parents: list[int]) -> None:
    with pytest.raises(ValueError, match="Tree:"):
        Tree.of(parents)


@pytest.mark.parametrize(
    ("ohm", "words"), [([0.1, -0.1], "0 ohm or more"), ([0.1, np.nan], "0 ohm"), ([0.1] * 3, "3 rows")]
)
def test_resistances_that_cannot_be_are_refused(ohm: list[float], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        solve_dc(Tree.of([-1, 0]), 12.0, ohm, power_w=1.0)


def test_deliverable_fraction_of_one_run_is_the_known_limit() -> None:
    tree = Tree.of([-1])
    assert deliverable_fraction(tree, 12.0, [0.1], power_w=[1000.0]) == pytest.approx(0.36, rel=2e-9)
    assert deliverable_fraction(tree, 12.0, [0.1], power_w=[100.0]) == 1.0
    assert deliverable_fraction(tree, 12.0, [0.1], power_w=[100.0], current_a=[200.0]) == 0.0


@given(feeders())
@settings(max_examples=25)
def test_deliverable_fraction_is_solvable_and_just_more_is_not(feeder: dict[str, Any]) -> None:
    feeder = {**feeder, "power_w": feeder["power_w"] * 400.0}
    share = float(deliverable_fraction(emf_v=12.8, **feeder))
    assert 0.0 <= share <= 1.0
    if 0.0 < share < 1.0:
        for factor, works in ((share, True), (share * 1.001, False)):
            assert bool(solve_dc(emf_v=12.8, **{**feeder, "power_w": feeder["power_w"] * factor}).converged) is works


def test_deliverable_fraction_of_variants_equals_each_alone() -> None:
    tree, power = Tree.of([-1, 0, 0]), np.array([[0.0], [300.0], [500.0]])
    ohm = np.array([[0.01], [0.05], [0.06]]) * np.array([0.1, 1.0, 3.0])
    share = np.asarray(deliverable_fraction(tree, 12.0, ohm, power_w=power))
    assert share.shape == (3,) and share[0] == 1.0 and share[2] < share[1] < 1.0
    for at in range(3):
        assert share[at] == pytest.approx(float(deliverable_fraction(tree, 12.0, ohm[:, at], power_w=power[:, 0])))


def test_a_sweep_costs_far_less_than_its_variants_one_by_one() -> None:
    rng = np.random.default_rng(5)
    tree, ohm = Tree.of([-1, *range(14)]), rng.uniform(0.001, 0.02, (15, 160))
    power = rng.uniform(0.0, 10.0, (15, 1))

    def best(columns: slice) -> float:
        times = []
        for _ in range(15):
            start = time.perf_counter()
            assert solve_dc(tree, 12.8, ohm[:, columns], power_w=power).converged.all()
            times.append(time.perf_counter() - start)
        return min(times)

    assert best(slice(None)) < 20 * best(slice(0, 1))  # 160 one by one would be 160
