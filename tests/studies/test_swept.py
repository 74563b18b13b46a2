"""Sweeping up and down the tree finds what Newton's steps find, and says where it finds nothing."""

from __future__ import annotations

import cmath
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from random_designs import random_mains

import trailerlib as tl
from trailerlib.studies import mains_side as ms
from trailerlib.studies.mains_side import columns as cols
from trailerlib.studies.mains_side.swept import SETTLED_V, Swept, swept
from trailerlib.studies.runs import trial_of

METER_V = 1e-6  # far below what any meter shows, far above what rounding leaves


def numbers(side: ms.MainsSide) -> dict[str, Any]:
    said = {f"{name} {key}": getattr(branch, key) for name, branch in side.branches.items()
            for key in ("current_a", "asked_a", "wire_c", "drop", "total_drop", "end_v")}  # fmt: skip
    sized = {f"size {k} {key}": getattr(one, key) for k, one in enumerate(side.sized) for key in one._fields}
    legs = {f"panel {k}": volts for k, volts in enumerate((*side.panel_v, *side.leg_a))}
    found = said | sized | legs | {"cord": side.cord_c, "neutral": side.neutral_a} | dict(side.load_v)
    return {
        key: -1.0 if value is None else value for key, value in found.items()
    }  # what is not known is not known in both


def carts() -> list[tl.Design]:
    """From a short cord to one that leaves nothing."""
    cart = tl.read_design(tl.shipped_trailers()["kiln-cart"])
    return [cart.replace("supply.yard 30 A.cord_run", f"{metres} m") for metres in (5, 40, 110, 200)]


@pytest.fixture
def taken(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """How many states were swept until they settled, and how many were left to Newton's steps."""
    counts = [0, 0]

    def counted(one_round: Any, volt: Any) -> Swept:
        found = swept(one_round, volt)
        counts[0] += int(found.settled.sum())
        counts[1] += int((~found.settled).sum())
        return found

    monkeypatch.setattr(cols, "swept", counted)
    return counts


def stepped(monkeypatch: pytest.MonkeyPatch, design: tl.Design, trial: Any) -> list[dict[str, Any]]:
    """The same by Newton's steps alone, with temperatures that have come quite to rest."""

    def nothing(one_round: Any, volt: Any) -> Swept:
        found = swept(one_round, volt)
        return Swept(found.volt, found.amp, found.hot_c, np.zeros_like(found.settled))

    with monkeypatch.context() as patched:
        patched.setattr(cols, "swept", nothing)
        patched.setattr(cols, "SETTLED_K", 1e-9)
        patched.setattr(cols, "MOST_ROUNDS", 40)
        return [numbers(side) for side in ms.solve(design, design.supplies, trial)]


def test_sweeps_and_steps_find_the_same(demo: tl.Design, monkeypatch: pytest.MonkeyPatch, taken: list[int]) -> None:
    for design in (*(random_mains(demo, 500 + seed) for seed in range(24)), *carts()):
        mains = design.circuits_of("mains")
        trial = trial_of(mains[len(mains) // 2], "mains")
        ours = [numbers(side) for side in ms.solve(design, design.supplies, trial)]
        for mine, theirs in zip(ours, stepped(monkeypatch, design, trial), strict=True):
            assert mine == pytest.approx(theirs, rel=1e-6, abs=METER_V)
    assert taken[0] > 1000, "most are swept"
    assert taken[1] > 5, "some lose too much on the way for it, or everything"


@given(st.floats(1.0, 4000.0), st.floats(0.0, 1.2), st.floats(0.01, 2.0), st.floats(0.0, 1.4))
def test_one_run_to_one_load_is_the_root_of_its_equation(watts: float, turn: float, ohm: float, angle: float) -> None:
    """V = E - Z conj(S / V): what has settled is as near as promised, and on the upper of the two roots."""
    emf, power, z = 120.0, cmath.rect(watts, turn), cmath.rect(ohm, angle)
    found = swept(
        lambda volt: (emf - z * np.conj(power / volt), np.conj(power / volt), np.zeros((1, 1))),
        np.full((1, 1), emf, dtype=complex),
    )
    held = (power.conjugate() * z).real
    room = (emf**2 - 2.0 * held) ** 2 - 4.0 * abs(power) ** 2 * abs(z) ** 2
    if not found.settled[0]:
        assert room < 0.0 or abs(power * z) > 0.2 * emf**2, "only where a third or more is lost on the way"
        return
    assert room >= 0.0
    exact = (((emf**2 - 2.0 * held) + room**0.5) / 2.0) ** 0.5
    assert abs(abs(found.volt[0, 0]) - exact) <= SETTLED_V + 1e-11


def test_a_state_stays_as_it_settled_and_one_that_is_given_up_is_not_taken_up_again() -> None:
    """Three states that halve, jump and settle each in its own time, side by side and each alone."""
    rates = np.array([0.01, 0.3, 0.45, 0.55])

    def one_round(rate: Any) -> Any:
        return lambda volt: (1.0 + rate * (volt - 1.0), volt, np.zeros((1, volt.shape[-1])))

    together = swept(one_round(rates), np.full((1, 4), 2.0 + 0j))
    assert together.settled.tolist() == [True, True, True, False]
    for k in range(3):
        alone = swept(one_round(rates[k : k + 1]), np.full((1, 1), 2.0 + 0j))
        assert alone.settled.all() and alone.volt[0, 0] == together.volt[0, k]
        assert abs(alone.volt[0, 0] - 1.0) <= SETTLED_V


def test_loads_of_all_three_kinds_are_swept_as_they_are_stepped(
    demo: tl.Design, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No class of the mains side holds its current, yet one may: power, admittance and current at every node."""
    monkeypatch.setattr(cols, "SETTLED_K", 1e-9)
    monkeypatch.setattr(cols, "MOST_ROUNDS", 40)
    net = next(side.network for side in ms.solve(demo, demo.supplies) if side.network is not None)
    shape, count, rng = net.shape, 6, np.random.default_rng(4)
    states = cols.blank(shape, [net.ahead], [120.0], count).of(net.lengths_m)
    size = (len(shape.tree.parents), count)

    def kinds() -> Any:
        """Light enough to arrive; nothing hangs on the pedestal."""
        drawn = [
            scale * rng.uniform(0.0, 1.0, size) * np.exp(1j * rng.uniform(-0.6, 0.6, size)) for scale in (90, 4e-3, 0.6)
        ]
        for part in drawn:
            part[0] = 0.0
        return tuple(drawn)

    between = np.array([False, True] * 3)
    loads, three = kinds(), tuple(zip(kinds(), kinds(), kinds(), strict=True))
    ours = states.two_wire(loads, between)
    theirs = states._stepped(states.blank.emf_v * np.where(between, 2.0, 1.0), loads, between)
    legs, steps = states.three_wire(three), states._stepped_legs(three)
    for mine, other in ((ours, theirs), (legs, steps)):
        for key, value in vars(mine).items():
            assert value == pytest.approx(getattr(other, key), rel=1e-7, abs=1e-6), key
    assert np.abs(ours.volt).min() > 100.0, "all of it arrives"
