"""Two thousand random branches behind a cord in one solve: Kirchhoff, Joule, thicker and longer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest
from by_hand import cell, ohm_per_m

from trailerlib.physics.mains_network import AcSolution, solve_ac
from trailerlib.physics.network import Tree

BRANCHES = 2_000
SEED = 20_261_126
WIRES = ("14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "4 AWG")
# Node 0 the pedestal, 1 the panel, then a run that forks. A piece of no length folds its two ends into one.
PARENTS = (-1, 0, 1, 2, 2, 4)
RUN = slice(2, None)
BASE, THICK, LONG = range(3)


@dataclass(frozen=True)
class Draw:
    """The branches: impedance [ohm] (n, 3, branches) as drawn, one size thicker, longer; their loads."""

    emf: Any
    ohm: Any
    power: Any
    siemens: Any
    amps: Any
    solved: AcSolution


def per_m(wire: str) -> complex:
    """Both conductors of one metre of run [ohm/m], chapter 9 table 9 for the reactance."""
    kft = cell("tables/nec_table9_ac", "x_ohm_per_kft", awg=wire.removesuffix(" AWG"))
    return 2.0 * complex(ohm_per_m(wire, 60.0), kft / 304.8)


@pytest.fixture(scope="module")
def drawn() -> Draw:
    rng, n = np.random.default_rng(SEED), len(PARENTS)
    size = (n, BRANCHES)
    both = np.array([per_m(wire) for wire in WIRES])
    gauge = rng.integers(0, len(WIRES) - 1, BRANCHES)
    metres = rng.uniform(0.5, 40.0, size) * (rng.random(size) < 0.8)
    longer = metres.copy()
    longer[2] += rng.uniform(0.5, 10.0, BRANCHES)
    ohm = np.empty((n, 3, BRANCHES), dtype=complex)
    ohm[0], ohm[1] = rng.uniform(0.02, 0.2, BRANCHES), rng.uniform(0.02, 0.3, BRANCHES) * (1 + 0.05j)
    for case, (length, wire) in enumerate([(metres, gauge), (metres, gauge + 1), (longer, gauge)]):
        ohm[RUN, case] = length[RUN] * both[wire]
    kind = rng.integers(0, 4, size)  # constant power, admittance, constant current, none
    kind[: RUN.start] = 3
    factor = rng.uniform(0.5, 1.0, size)
    va = rng.uniform(5.0, 2500.0, size) * (factor + 1j * np.sqrt(1.0 - factor**2))
    power, siemens, amps = (
        np.where(kind == k, value, 0.0) for k, value in enumerate((va, va.conj() / 120.0**2, va.conj() / 120.0))
    )
    emf = rng.uniform(106.0, 127.0, BRANCHES)
    spread = [np.repeat(part[:, None], 3, axis=1) for part in (power, siemens, amps)]
    solved = solve_ac(
        Tree.of(PARENTS), np.tile(emf, (3, 1)), ohm, power_va=spread[0], admittance_s=spread[1], current_a=spread[2]
    )
    return Draw(emf, ohm, *spread, solved)


def needed(drawn: Draw) -> Any:
    """What each node draws by its voltage [A]: S*/V*, Y V, and a current that keeps its size and its lag."""
    volt = drawn.solved.voltage_v
    with np.errstate(invalid="ignore"):
        return np.conj(drawn.power / volt) + drawn.siemens * volt + drawn.amps * volt / np.abs(volt)


def test_most_of_them_can_be_delivered_and_some_cannot(drawn: Draw) -> None:
    share = drawn.solved.converged.mean(axis=1)
    assert drawn.solved.converged.shape == (3, BRANCHES)
    assert 0.7 < share[BASE] < 0.999


def test_what_each_load_draws_and_what_flows_agree(drawn: Draw) -> None:
    """Kirchhoff at every node, Ohm in every piece, in size and in lag."""
    ok, volt, flow, need = drawn.solved.converged, drawn.solved.voltage_v, drawn.solved.branch_current_a, needed(drawn)
    for node in reversed(range(len(PARENTS))):
        above = volt[PARENTS[node]] if node else np.tile(drawn.emf, (3, 1))
        fed = sum((flow[k] for k, parent in enumerate(PARENTS) if parent == node), np.zeros(ok.shape))
        np.testing.assert_allclose(flow[node][ok], (need[node] + fed)[ok], rtol=1e-8, atol=1e-9)
        np.testing.assert_allclose((above - volt[node])[ok], (drawn.ohm[node] * flow[node])[ok], rtol=1e-8, atol=1e-8)


def test_power_in_is_power_delivered_and_power_lost(drawn: Draw) -> None:
    """Real and reactive, each by itself."""
    ok, volt, flow = drawn.solved.converged, drawn.solved.voltage_v, drawn.solved.branch_current_a
    into = (drawn.emf * np.conj(flow[0]))[ok]
    delivered = (volt * np.conj(needed(drawn))).sum(axis=0)[ok]
    lost = (np.abs(flow) ** 2 * drawn.ohm).sum(axis=0)[ok]
    assert ok.sum() > 2 * BRANCHES
    np.testing.assert_allclose(into, delivered + lost, rtol=1e-8, atol=1e-6)


def drop(drawn: Draw) -> Any:
    """From the panel to the worst end [V], as the answer counts it."""
    volt = np.abs(drawn.solved.voltage_v)
    return volt[1] - volt[RUN].min(axis=0)


def test_a_thicker_wire_never_drops_more_and_a_longer_run_never_less(drawn: Draw) -> None:
    ok, lost = drawn.solved.converged, drop(drawn)
    assert not (ok[BASE] & ~ok[THICK]).any() and not (ok[LONG] & ~ok[BASE]).any()
    assert (lost[THICK][ok[BASE]] <= lost[BASE][ok[BASE]] + 1e-9).all()
    assert (lost[LONG][ok[LONG]] >= lost[BASE][ok[LONG]] - 1e-9).all()
    loaded = ok[LONG] & ((np.abs(drawn.power) + np.abs(drawn.siemens) + np.abs(drawn.amps))[:, BASE].sum(axis=0) > 0)
    assert (lost[THICK][loaded] < lost[BASE][loaded]).mean() > 0.9
    assert (lost[LONG][loaded] > lost[BASE][loaded]).mean() > 0.9
