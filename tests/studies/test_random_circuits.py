"""Ten thousand random circuits in one solve: Kirchhoff, Joule, thicker and longer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest
from by_hand import ohm_per_m

from trailerlib.physics.network import Solution, Tree, solve_dc

CIRCUITS = 10_000
SEED = 20_261_125
WIRES = ("18 AWG", "16 AWG", "14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "4 AWG", "2 AWG")
# Node 0 the battery, 1 the fuse block, then a run that forks and forks again. A piece of no length folds its two ends
# into one and a node without a load is a bend, so that chains, stars and single loads are all among the draws.
PARENTS = (-1, 0, 1, 2, 3, 3, 2, 6, 6, 5)
RUN = slice(2, None)
BASE, THICK, LONG, SPUR = range(4)


@dataclass(frozen=True)
class Draw:
    """The circuits: resistance [ohm] (n, 4, circuits) as drawn, one size thicker, longer, one piece longer; their loads.

    ``spur`` is the piece that is longer in the last case.
    """

    emf: Any
    ohm: Any
    power: Any
    siemens: Any
    amps: Any
    spur: Any
    solved: Solution


@pytest.fixture(scope="module")
def drawn() -> Draw:
    rng, n, size = np.random.default_rng(SEED), len(PARENTS), (len(PARENTS), CIRCUITS)
    per_m = np.array([2.0 * ohm_per_m(wire, 50.0) for wire in WIRES])
    gauge = rng.integers(0, len(WIRES) - 1, CIRCUITS)
    metres = rng.uniform(0.1, 6.0, size) * (rng.random(size) < 0.8)
    longer, spurred, spur = metres.copy(), metres.copy(), rng.integers(2, n, CIRCUITS)
    longer[2] += rng.uniform(0.1, 3.0, CIRCUITS)
    spurred[spur, np.arange(CIRCUITS)] += rng.uniform(0.1, 3.0, CIRCUITS)
    ohm = np.empty((n, 4, CIRCUITS))
    ohm[0], ohm[1] = rng.uniform(0.001, 0.03, CIRCUITS), rng.uniform(0.0005, 0.01, CIRCUITS)
    fuse = rng.uniform(0.002, 0.04, CIRCUITS)
    for case, (length, wire) in enumerate([(metres, gauge), (metres, gauge + 1), (longer, gauge), (spurred, gauge)]):
        ohm[RUN, case] = length[RUN] * per_m[wire]
        ohm[2, case] += fuse
    kind = rng.integers(0, 4, size)  # constant power, resistive, constant current, none
    watts = rng.uniform(0.5, 60.0, size)
    kind[: RUN.start] = 3
    power, siemens, amps = (np.where(kind == k, watts / scale, 0.0) for k, scale in enumerate((1.0, 144.0, 12.0)))
    emf = rng.uniform(11.5, 14.4, CIRCUITS)
    spread = [np.repeat(part[:, None], 4, axis=1) for part in (power, siemens, amps)]
    solved = solve_dc(
        Tree.of(PARENTS), np.tile(emf, (4, 1)), ohm, power_w=spread[0], conductance_s=spread[1], current_a=spread[2]
    )
    return Draw(emf, ohm, *spread, spur, solved)


def test_most_of_them_can_be_delivered_and_some_cannot(drawn: Draw) -> None:
    """So that the tests below speak of thousands, and of collapses too."""
    share = drawn.solved.converged.mean(axis=1)
    assert drawn.solved.converged.shape == (4, CIRCUITS)
    assert 0.7 < share[BASE] < 0.999


def known(drawn: Draw) -> Any:
    return drawn.solved.converged


def test_what_each_load_draws_and_what_flows_agree(drawn: Draw) -> None:
    """Kirchhoff at every node, Ohm in every piece, by hand from the voltages alone."""
    ok, volt, flow = known(drawn), drawn.solved.voltage_v, drawn.solved.branch_current_a
    need = drawn.power / volt + drawn.siemens * volt + drawn.amps
    for node in reversed(range(len(PARENTS))):
        above = volt[PARENTS[node]] if node else np.tile(drawn.emf, (4, 1))
        fed = sum((flow[k] for k, parent in enumerate(PARENTS) if parent == node), np.zeros(ok.shape))
        np.testing.assert_allclose(flow[node][ok], (need[node] + fed)[ok], rtol=1e-9, atol=1e-12)
        np.testing.assert_allclose((above - volt[node])[ok], (drawn.ohm[node] * flow[node])[ok], rtol=1e-9, atol=1e-9)


def test_power_in_is_power_delivered_and_power_lost(drawn: Draw) -> None:
    ok, volt, flow = known(drawn), drawn.solved.voltage_v, drawn.solved.branch_current_a
    into = (drawn.emf * flow[0])[ok]
    delivered = (drawn.power + drawn.siemens * volt**2 + drawn.amps * volt).sum(axis=0)[ok]
    lost = (flow**2 * drawn.ohm).sum(axis=0)[ok]
    assert ok.sum() > 2 * CIRCUITS
    np.testing.assert_allclose(into, delivered + lost, rtol=1e-9, atol=1e-12)


def drop(drawn: Draw) -> Any:
    """From the battery's terminals to the worst end of the circuit [V], as the answer counts it."""
    volt = drawn.solved.voltage_v
    return volt[0] - volt[RUN].min(axis=0)


def test_a_thicker_wire_never_drops_more(drawn: Draw) -> None:
    ok, lost = known(drawn), drop(drawn)
    assert not (ok[BASE] & ~ok[THICK]).any(), "a thicker wire delivers what a thinner one does"
    both = ok[BASE]
    assert (lost[THICK][both] <= lost[BASE][both] + 1e-9).all()
    loaded = both & ((drawn.power + drawn.siemens + drawn.amps)[:, BASE].sum(axis=0) > 0)
    assert (lost[THICK][loaded] < lost[BASE][loaded]).mean() > 0.9, "and nearly always less"


def test_a_longer_run_never_drops_less(drawn: Draw) -> None:
    ok, lost = known(drawn), drop(drawn)
    assert not (ok[LONG] & ~ok[BASE]).any(), "a shorter run delivers what a longer one does"
    both = ok[LONG]
    assert (lost[LONG][both] >= lost[BASE][both] - 1e-9).all()
    loaded = both & ((drawn.power + drawn.siemens + drawn.amps)[:, BASE].sum(axis=0) > 0)
    assert (lost[LONG][loaded] > lost[BASE][loaded]).mean() > 0.9, "and nearly always more"


def test_what_hangs_beyond_a_longer_piece_never_gets_more(drawn: Draw) -> None:
    """Of one piece alone no more can be said: a lamp on a longer spur takes less, and its neighbours gain."""
    ok, volt, here = known(drawn)[SPUR], drawn.solved.voltage_v, np.arange(CIRCUITS)
    end = volt[drawn.spur, :, here]
    assert (end[ok, SPUR] <= end[ok, BASE] + 1e-9).all()
    assert (end[ok, SPUR] < end[ok, BASE]).mean() > 0.5
