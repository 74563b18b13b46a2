"""The mains feeder: balanced to the last watt, equal to dc without reactance, honest about what cannot be delivered."""

from __future__ import annotations

import warnings
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trailerlib.physics.impedance import (
    branch_resistance_ohm,
    effective_drop_v,
    reactive_var,
)
from trailerlib.physics.mains_network import solve_ac
from trailerlib.physics.network import Tree, deliverable_fraction, solve_dc
from trailerlib.physics.variants import largest_share

LOADS = ("power_va", "admittance_s", "current_a")


@st.composite
def feeders(draw: st.DrawFn) -> dict[str, Any]:
    """A random tree of mixed loads, most of them lagging, behind a 120 V source."""
    count = draw(st.integers(1, 12))
    parents = [-1] + [draw(st.integers(0, node - 1)) for node in range(1, count)]
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    leading = draw(st.sampled_from([0.0, 0.3]))

    def some(most: float, lagging: int) -> Any:
        kept = rng.random(count) < 0.6
        return most * kept * rng.random(count) * (1.0 + lagging * 1j * rng.uniform(-leading, 1.0, count))

    return {
        "tree": Tree.of(parents),
        "impedance_ohm": rng.uniform(0.0, 0.08, count) + 1j * rng.uniform(0.0, 0.05, count),
        "power_va": some(600.0, 1),
        "admittance_s": some(0.03, -1),
        "current_a": some(5.0, -1),
    }


def drawn_va(feeder: dict[str, Any], volt: Any) -> Any:
    siemens, amp = feeder["admittance_s"], feeder["current_a"]
    return feeder["power_va"] + np.conj(siemens) * np.abs(volt) ** 2 + np.conj(amp) * np.abs(volt)


@given(feeders())
def test_power_in_is_power_out_and_losses(feeder: dict[str, Any]) -> None:
    found = solve_ac(emf_v=120.0, **feeder)
    assert found.converged
    volt, amp = found.voltage_v, found.branch_current_a
    losses = (feeder["impedance_ohm"] * np.abs(amp) ** 2).sum()
    given_va = 120.0 * np.conj(amp[0])
    assert given_va == pytest.approx(drawn_va(feeder, volt).sum() + losses, rel=1e-9, abs=1e-9)


@given(feeders())
def test_kirchhoff_holds_at_every_node(feeder: dict[str, Any]) -> None:
    found = solve_ac(emf_v=120.0, **feeder)
    volt, amp, parents = found.voltage_v, found.branch_current_a, feeder["tree"].parents
    above = np.array([120.0 if p < 0 else volt[p] for p in parents])
    assert np.abs(above - feeder["impedance_ohm"] * amp - volt).max() < 1e-9
    onward = np.zeros(len(parents), dtype=complex)
    np.add.at(onward, list(parents[1:]), amp[1:])
    assert np.abs(amp - onward - np.conj(drawn_va(feeder, volt) / volt)).max() < 1e-9


@given(feeders())
def test_without_reactance_it_is_the_dc_feeder(feeder: dict[str, Any]) -> None:
    tree, ohm = feeder["tree"], feeder["impedance_ohm"].real
    power, siemens, amp = (feeder[name].real for name in LOADS)
    ac = solve_ac(tree, 120.0, ohm, power_va=power, admittance_s=siemens, current_a=amp)
    dc = solve_dc(tree, 120.0, ohm, power_w=power, conductance_s=siemens, current_a=amp)
    assert ac.voltage_v.real == pytest.approx(dc.voltage_v, rel=1e-9)
    assert ac.branch_current_a.real == pytest.approx(dc.branch_current_a, rel=1e-9, abs=1e-9)
    assert np.abs(ac.voltage_v.imag).max() < 1e-9


@given(feeders(), st.integers(0, 11), st.floats(1.05, 4.0), st.booleans())
def test_a_thicker_wire_never_drops_more(feeder: dict[str, Any], at: int, factor: float, held_power: bool) -> None:
    """One wire made thinner: the node it feeds sinks, and with loads that hold their power so does every other.

    A load that draws less at the end of a thin wire relieves the wires before it, so with those kinds a node
    nearer the source may rise.
    """
    lagging = {
        name: feeder[name].real + sign * 1j * np.abs(feeder[name].imag)
        for name, sign in zip(LOADS, (1, -1, -1), strict=True)
    }
    feeder = {**feeder, **lagging, **({"admittance_s": 0.0, "current_a": 0.0} if held_power else {})}
    at = at % len(feeder["impedance_ohm"])
    thin = feeder["impedance_ohm"].copy()
    thin[at] *= factor
    thick, worse = solve_ac(emf_v=120.0, **feeder), solve_ac(emf_v=120.0, **{**feeder, "impedance_ohm": thin})
    if worse.converged:
        sinks = slice(None) if held_power else at
        assert thick.converged
        assert np.all(np.abs(thick.voltage_v[sinks]) >= np.abs(worse.voltage_v[sinks]) - 1e-9)


@given(feeders(), st.integers(0, 2**32 - 1))
@settings(max_examples=40)
def test_variants_solved_together_equal_variants_solved_alone(feeder: dict[str, Any], seed: int) -> None:
    rng, tree = np.random.default_rng(seed), feeder.pop("tree")
    spread = {name: values[:, None] * rng.uniform(0.3, 8.0, (1, 5)) for name, values in feeder.items()}
    emf = rng.uniform(100.0, 130.0, 5)
    together = solve_ac(tree, emf, **spread)
    for at in range(5):
        alone = solve_ac(tree, emf[at], **{name: values[:, at] for name, values in spread.items()})
        assert bool(alone.converged) == bool(together.converged[at])
        if alone.converged:
            assert np.abs(together.voltage_v[:, at] - alone.voltage_v).max() < 1e-8
            assert np.abs(together.branch_current_a[:, at] - alone.branch_current_a).max() < 1e-7


def deliverable_share(tree: Tree, ohm: Any, power_va: Any, **others: Any) -> float:
    """Largest common factor on the powers with which 120 V still have a solution, found by halving."""

    def solved(power: Any) -> Any:
        return solve_ac(tree, 120.0, ohm, power_va=power, **others).converged

    return float(largest_share(solved, np.asarray(power_va), len(tree.order)))


def one_run_limit_va(emf: float, ohm: complex, angle: complex) -> float:
    """Where the two roots of |v|^4 + (2 Re(conj(Z) S) - E^2) |v|^2 + |Z S|^2 = 0 meet, for S along ``angle``."""
    return emf**2 / (2.0 * (abs(ohm) * abs(angle) + (ohm.conjugate() * angle).real))


@pytest.mark.parametrize("angle", [1.0 + 0j, 0.8 + 0.6j, 0.6 - 0.8j, 1j])
def test_one_run_to_a_constant_power_follows_the_quadratic(angle: complex) -> None:
    ohm, tree = 0.3 + 0.1j, Tree.of([-1])
    limit = one_run_limit_va(120.0, ohm, angle)
    for share in (0.3, 0.99, 1.0 - 1e-6):
        power = share * limit * angle
        half = 120.0**2 / 2 - (ohm.conjugate() * power).real
        square = half + (half**2 - abs(ohm * power) ** 2) ** 0.5
        found = solve_ac(tree, 120.0, [ohm], power_va=[power])
        assert found.converged and abs(found.voltage_v[0]) == pytest.approx(square**0.5, abs=1e-6)
    for share in (1.0 + 1e-6, 1.01, 3.0, 50.0):
        found = solve_ac(tree, 120.0, [ohm], power_va=[share * limit * angle])
        assert not found.converged and np.isnan(found.voltage_v).all() and np.isnan(found.branch_current_a).all()
    assert deliverable_share(tree, [ohm], [4.0 * limit * angle]) == pytest.approx(0.25, rel=2e-9)


def test_admittances_follow_the_divider() -> None:
    ohm, siemens = 0.4 + 0.2j, 0.05 - 0.02j
    found = solve_ac(Tree.of([-1]), 118.0 * np.exp(0.3j), [ohm], admittance_s=[siemens])
    assert found.voltage_v[0] == pytest.approx(118.0 * np.exp(0.3j) / (1.0 + ohm * siemens), rel=1e-12)


def test_a_held_current_keeps_its_size_and_its_angle_to_its_own_node() -> None:
    found = solve_ac(Tree.of([-1, 0]), 120.0, [0.2 + 0.3j, 0.5 + 0.1j], current_a=[4.0, 12.0 - 5.0j])
    volt, amp = found.voltage_v[1], found.branch_current_a[1]
    assert amp / (volt / abs(volt)) == pytest.approx(12.0 - 5.0j, rel=1e-11)


def test_a_reactance_across_the_current_is_seen_though_no_power_is_lost_in_it() -> None:
    """By hand: 12 A in phase through 0.5 ohm of reactance: |V|^2 = 120^2 - 6^2."""
    found = solve_ac(Tree.of([-1]), 120.0, [0.5j], current_a=[12.0])
    assert abs(found.voltage_v[0]) == pytest.approx((120.0**2 - 6.0**2) ** 0.5, rel=1e-12)


@given(feeders(), st.floats(4.0, 12.0))
@settings(max_examples=30)
def test_held_currents_have_one_limit(feeder: dict[str, Any], heavy: float) -> None:
    """With ever larger currents and powers there is an answer up to some point and none beyond."""
    grown = np.linspace(0.1, 5.0, 60) * heavy
    loads = {name: feeder[name][:, None] * grown for name in ("power_va", "current_a")}
    found = solve_ac(feeder["tree"], 120.0, feeder["impedance_ohm"], **loads).converged
    assert found[0] and not np.any(found[1:] & ~found[:-1])


@given(feeders())
@settings(max_examples=20)
def test_deliverable_fraction_is_solvable_and_just_more_is_not(feeder: dict[str, Any]) -> None:
    feeder = {**feeder, "power_va": feeder["power_va"] * 400.0}
    share = deliverable_share(feeder["tree"], feeder["impedance_ohm"], **{name: feeder[name] for name in LOADS})
    assert 0.0 <= share <= 1.0
    if 0.0 < share < 1.0:
        for factor, works in ((0.5, True), (1.0, True), (1.001, False), (2.0, False)):
            more = {**feeder, "power_va": feeder["power_va"] * share * factor}
            assert bool(solve_ac(emf_v=120.0, **more).converged) is works


def test_deliverable_fraction_without_reactance_is_the_dc_one() -> None:
    tree, ohm, power = Tree.of([-1, 0, 0]), [0.4, 0.9, 1.2], np.array([0.0, 9000.0, 7000.0])
    dc = deliverable_fraction(tree, 120.0, ohm, power_w=power, current_a=[0.0, 3.0, 0.0])
    assert deliverable_share(tree, ohm, power, current_a=[0.0, 3.0, 0.0]) == pytest.approx(dc, rel=4e-9)
    assert deliverable_share(tree, ohm, power / 100.0) == 1.0


def test_a_collapse_stays_in_its_own_variant_and_is_silent() -> None:
    tree, ohm = Tree.of([-1, 0]), np.array([0.1 + 0.05j, 0.4 + 0.1j])
    power = np.array([[50.0, 50.0, 50.0], [400.0, 40000.0, 600.0]]) * (1 + 0.4j)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        found = solve_ac(tree, 120.0, ohm, power_va=power)
    assert found.converged.tolist() == [True, False, True]
    assert np.isnan(found.voltage_v[:, 1]).all() and np.isfinite(found.voltage_v[:, [0, 2]]).all()


def test_shapes_of_one_and_of_many() -> None:
    tree = Tree.of([-1, 0, 0])
    one = solve_ac(tree, 120.0, [0.1, 0.1j, 0.1], power_va=50.0)
    assert one.voltage_v.shape == (3,) and one.converged.shape == () and one.branch_current_a.shape == (3,)
    many = solve_ac(
        tree, np.array([110.0, 120.0, 130.0]), np.ones((3, 4, 1)) * [[[0.1]], [[0.1j]], [[0.1]]], power_va=50.0
    )
    assert many.voltage_v.shape == (3, 4, 3) and many.converged.shape == (4, 3)
    assert many.voltage_v[:, 2, 1] == pytest.approx(one.voltage_v, rel=1e-12)


@pytest.mark.parametrize(
    ("ohm", "words"),
    [([0.1, -0.1], "0 ohm or more"), ([0.1, np.nan], "0 ohm"), ([0.1, 1j * np.inf], "a number"), ([0.1] * 3, "3 rows")],
)
def test_impedances_that_cannot_be_are_refused(ohm: list[float], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        solve_ac(Tree.of([-1, 0]), 120.0, ohm, power_va=1.0)


def test_a_run_is_both_conductors_at_their_temperature() -> None:
    assert branch_resistance_ohm(0.0066, 10.0, 75.0, 30.0) == pytest.approx(20.0 * 0.0066 * 264.5 / 309.5)


@given(st.floats(0.1, 40.0), st.floats(0.0, 0.4), st.floats(0.0, 0.2), st.floats(0.1, 1.0))
def test_the_hand_formula_is_the_network_seen_along_the_voltage(
    amp: float, ohm: float, react: float, pf: float
) -> None:
    """Exact drop |E| - |V| with E = V + I Z is the hand formula and a second-order rest, never less."""
    current = amp * (pf - 1j * (1.0 - pf**2) ** 0.5)
    found = solve_ac(Tree.of([-1]), 120.0, [complex(ohm, react)], current_a=[current])
    exact = 120.0 - abs(found.voltage_v[0])
    by_hand, across = float(effective_drop_v(amp, ohm, react, pf)), amp * abs(complex(ohm, react))
    assert by_hand - 1e-9 <= exact <= by_hand + across**2 / (2.0 * (120.0 - across)) + 1e-9


@given(st.floats(1.0, 4000.0), st.floats(0.05, 1.0))
def test_reactive_power_completes_the_triangle(power: float, factor: float) -> None:
    assert power / np.hypot(power, float(reactive_var(power, factor))) == pytest.approx(factor, rel=1e-9)
