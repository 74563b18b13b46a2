"""Two legs and a neutral: nothing lost, nothing on the neutral when balanced, and what happens when it comes off."""

from __future__ import annotations

import warnings
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trailerlib.physics.mains_network import solve_ac
from trailerlib.physics.network import Tree
from trailerlib.physics.split_phase import SplitPhaseSolution, solve_split_phase

LOADS = ("power_va", "admittance_s", "current_a")
CORDS = ("leg1_ohm", "leg2_ohm", "neutral_ohm")
ONE = Tree.of([-1])


@st.composite
def feeders(draw: st.DrawFn) -> dict[str, Any]:
    """A random tree with loads of all kinds in all three places."""
    count = draw(st.integers(1, 8))
    parents = [-1] + [draw(st.integers(0, node - 1)) for node in range(1, count)]
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))

    def some(most: float, lagging: int) -> Any:
        kept = rng.random((3, count)) < 0.5
        return tuple(most * kept * rng.random((3, count)) * (1.0 + lagging * 1j * rng.uniform(-0.3, 1.0, (3, count))))

    cords = rng.uniform(0.0, 0.05, (3, count)) + 1j * rng.uniform(0.0, 0.03, (3, count))
    return {
        "tree": Tree.of(parents),
        **dict(zip(CORDS, cords, strict=True)),
        "power_va": some(700.0, 1),
        "admittance_s": some(0.03, -1),
        "current_a": some(6.0, -1),
    }


def across(found: SplitPhaseSolution) -> list[Any]:
    return [found.leg_v[0], found.leg_v[1], found.leg_v.sum(axis=0)]


def drawn_va(feeder: dict[str, Any], found: SplitPhaseSolution) -> list[Any]:
    loads = zip(across(found), *(feeder[name] for name in LOADS), strict=True)
    return [power + np.conj(y) * np.abs(v) ** 2 + np.conj(a) * np.abs(v) for v, power, y, a in loads]


@given(feeders())
def test_power_in_is_power_out_and_losses(feeder: dict[str, Any]) -> None:
    found = solve_split_phase(emf_v=120.0, **feeder)
    assert found.converged
    in_va = 120.0 * np.conj(found.leg_current_a[:, 0]).sum()
    currents = (*found.leg_current_a, found.neutral_a)
    losses = sum((feeder[name] * np.abs(amp) ** 2).sum() for name, amp in zip(CORDS, currents, strict=True))
    assert in_va == pytest.approx(np.sum(drawn_va(feeder, found)) + losses, rel=1e-9, abs=1e-9)


@given(feeders())
def test_kirchhoff_holds_on_every_conductor(feeder: dict[str, Any]) -> None:
    found = solve_split_phase(emf_v=120.0, **feeder)
    parents = feeder["tree"].parents
    drawn = zip(drawn_va(feeder, found), across(found), strict=True)
    first, second, between = (np.conj(va / v) for va, v in drawn)
    loads = (first + between, second + between, first - second)
    for amp, load in zip((*found.leg_current_a, found.neutral_a), loads, strict=True):
        onward = np.zeros(len(parents), dtype=complex)
        np.add.at(onward, list(parents[1:]), amp[1:])
        assert np.abs(amp - onward - load).max() < 1e-9
    shift = found.neutral_shift_v
    against_source = (found.leg_v[0] + shift, shift - found.leg_v[1], shift)
    outward = (found.leg_current_a[0], -found.leg_current_a[1], -found.neutral_a)
    for name, volt, amp, source in zip(CORDS, against_source, outward, (120.0, -120.0, 0.0), strict=True):
        above = np.array([source if p < 0 else volt[p] for p in parents])
        assert np.abs(above - feeder[name] * amp - volt).max() < 1e-9


@given(feeders())
def test_a_balanced_load_leaves_the_neutral_idle(feeder: dict[str, Any]) -> None:
    """Both legs alike: each is then a two-wire feeder of one leg's ohms, and the neutral may as well be off."""
    alike = {name: (feeder[name][0], feeder[name][0], 0.0) for name in LOADS}
    cords = {"leg1_ohm": feeder["leg1_ohm"], "leg2_ohm": feeder["leg1_ohm"]}
    found = solve_split_phase(feeder["tree"], 120.0, **cords, neutral_ohm=feeder["neutral_ohm"], **alike)
    assert np.abs(found.neutral_a).max() < 1e-9 and np.abs(found.neutral_shift_v).max() < 1e-9
    leg = {name: feeder[name][0] for name in LOADS}
    alone = solve_ac(feeder["tree"], 120.0, feeder["leg1_ohm"], **leg)
    assert np.abs(found.leg_v - alone.voltage_v).max() < 1e-8


@given(feeders())
def test_one_leg_alone_is_a_two_wire_feeder(feeder: dict[str, Any]) -> None:
    leg = {name: feeder[name][0] for name in LOADS}
    there = solve_ac(feeder["tree"], 120.0, feeder["leg1_ohm"] + feeder["neutral_ohm"], **leg)
    found = solve_split_phase(emf_v=120.0, **{**feeder, **{name: (leg[name], 0.0, 0.0) for name in LOADS}})
    assert np.abs(found.leg_v[0] - there.voltage_v).max() < 1e-8
    assert np.abs(found.neutral_a - there.branch_current_a).max() < 1e-8


@given(feeders())
def test_loads_between_the_legs_are_a_two_wire_feeder_of_twice_the_voltage(feeder: dict[str, Any]) -> None:
    between = {name: feeder[name][2] for name in LOADS}
    there = solve_ac(feeder["tree"], 240.0, feeder["leg1_ohm"] + feeder["leg2_ohm"], **between)
    found = solve_split_phase(emf_v=120.0, **{**feeder, **{name: (0.0, 0.0, between[name]) for name in LOADS}})
    assert np.abs(found.leg_v.sum(axis=0) - there.voltage_v).max() < 1e-8


@given(feeders(), st.integers(0, 2**32 - 1))
@settings(max_examples=25)
def test_variants_solved_together_equal_variants_solved_alone(feeder: dict[str, Any], seed: int) -> None:
    factor = np.random.default_rng(seed).uniform(0.2, 3.0, 4)
    spread = {name: tuple(part[:, None] * factor for part in feeder[name]) for name in LOADS}
    together = solve_split_phase(emf_v=120.0, **{**feeder, **spread})
    for at in range(4):
        each = {name: tuple(part[:, at] for part in spread[name]) for name in LOADS}
        alone = solve_split_phase(emf_v=120.0, **{**feeder, **each})
        assert bool(alone.converged) == bool(together.converged[at])
        if alone.converged:
            assert np.abs(together.leg_v[..., at] - alone.leg_v).max() < 1e-8


@given(feeders())
def test_a_neutral_coming_loose_ends_as_an_open_one(feeder: dict[str, Any]) -> None:
    """Resistive loads on both legs; from a bad joint of a megohm to none at all is no step."""
    on_both = {"admittance_s": (np.full(len(feeder["leg1_ohm"]), 0.02), feeder["admittance_s"][1] + 0.01, 0.0)}
    cords = {name: feeder[name] for name in ("tree", "leg1_ohm", "leg2_ohm")}
    loose, off = feeder["neutral_ohm"].copy(), feeder["neutral_ohm"].copy()
    loose[0], off[0] = 1e9, np.inf
    nearly = solve_split_phase(emf_v=120.0, **cords, neutral_ohm=loose, **on_both)
    gone = solve_split_phase(emf_v=120.0, **cords, neutral_ohm=off, **on_both)
    assert gone.converged and np.abs(gone.leg_v - nearly.leg_v).max() < 1e-4
    assert abs(gone.neutral_a[0]) < 1e-10


def test_an_open_neutral_shares_240_volts_by_resistance() -> None:
    """By hand: 1500 W and 300 W heaters of 120 V are 9.6 and 48 ohm in series on 240 V: 40 and 200 V."""
    found = solve_split_phase(ONE, 120.0, 0.0, 0.0, np.inf, admittance_s=(1 / 9.6, 1 / 48.0, 0.0))
    assert found.leg_v.ravel().real == pytest.approx([40.0, 200.0], abs=1e-10)
    assert found.neutral_shift_v.real == pytest.approx([80.0], abs=1e-10)
    assert abs(found.neutral_a[0]) < 1e-12 and found.leg_current_a.ravel().real == pytest.approx([240.0 / 57.6] * 2)


def test_an_open_neutral_with_one_leg_loaded_puts_the_whole_voltage_on_the_other() -> None:
    found = solve_split_phase(ONE, 120.0, 0.1, 0.1, np.inf, admittance_s=(0.0, 0.02, 0.0))
    assert found.converged and found.leg_v.ravel().real == pytest.approx([240.0, 0.0], abs=1e-10)


def test_held_powers_cannot_stand_in_series_behind_an_open_neutral() -> None:
    heater = {"power_va": (1500.0, 300.0, 0.0)}
    assert not solve_split_phase(ONE, 120.0, 0.1, 0.1, np.inf, **heater).converged
    assert solve_split_phase(ONE, 120.0, 0.1, 0.1, 0.1, **heater).converged


def test_a_neutral_that_nothing_holds_has_no_voltage() -> None:
    found = solve_split_phase(ONE, 120.0, 0.1, 0.1, np.inf, admittance_s=(0.0, 0.0, 0.05))
    assert not found.converged and np.isnan(found.leg_v).all()


@pytest.mark.parametrize("share", [1.0 - 1e-4, 1.0 + 1e-4])
def test_what_two_legs_cannot_deliver_is_not_converged(share: float) -> None:
    """Between the legs: the most a run of 0.4 ohm takes from 240 V is E^2/4R = 36 kW."""
    found = solve_split_phase(ONE, 120.0, 0.2, 0.2, 0.3, power_va=(0.0, 0.0, 36000.0 * share))
    assert bool(found.converged) is (share < 1.0)


def test_variants_do_not_touch_one_another_and_are_silent() -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        found = solve_split_phase(
            Tree.of([-1, 0]), 120.0, 0.1, 0.1, np.array([[0.1, np.inf, np.inf]] * 2), power_va=(0.0, 0.0, 500.0),
            admittance_s=(np.array([[0.05, 0.05, 0.0], [0.0, 0.0, 0.0]]), 0.01 * np.array([[1, 1, 0], [1, 1, 0]]), 0.0),
        )  # fmt: skip
    assert found.leg_v.shape == (2, 2, 3) and found.neutral_a.shape == (2, 3)
    assert found.converged.tolist() == [True, True, False]
    assert np.isnan(found.leg_v[..., 2]).all() and np.isfinite(found.leg_v[..., :2]).all()


@pytest.mark.parametrize(
    ("ohms", "words"), [((-0.1, 0.1, 0.1), "0 ohm"), ((0.1, np.inf, 0.1), "open"), ((0.1, 0.1, np.nan), "0 ohm")]
)
def test_conductors_that_cannot_be_are_refused(ohms: tuple[float, float, float], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        solve_split_phase(ONE, 120.0, *ohms, power_va=(1.0, 0.0, 0.0))
