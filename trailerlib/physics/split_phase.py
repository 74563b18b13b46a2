"""The mains side on 240/120 V: two legs that share a neutral, from the pedestal to the last outlet.

Every branch has three conductors. Written down are the voltage between the legs and that of leg 1 to
neutral, with the current that goes out on one leg and back on the other, and the neutral's: then the
impedance of a branch is symmetric, and a neutral that has come off is a row without a voltage in it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics.mains_network import Phasor, Phasors
from trailerlib.physics.network import Tree
from trailerlib.physics.variants import arrange, settled

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class SplitPhaseSolution:
    """Voltages and currents of a feeder with two legs; a variant that did not converge has NaN for all.

    All complex, effective values, n nodes in front of the variants. ``leg_v`` is (2, n, ...): leg 1 to
    neutral, and neutral to leg 2, so that both are the source's voltage at no load and their sum is the
    voltage between the legs. ``leg_current_a`` is (2, n, ...): into the node on leg 1, out of it on leg 2.
    ``neutral_a`` flows out of the node on the neutral: what leg 1 carries more than leg 2.
    ``neutral_shift_v`` is the voltage of the node's neutral against the neutral of the source.
    """

    leg_v: Phasors
    leg_current_a: Phasors
    neutral_a: Phasors
    neutral_shift_v: Phasors
    converged: NDArray[np.bool_]
    iterations: int


def solve_split_phase(
    tree: Tree,
    emf_v: Phasor,
    leg1_ohm: Phasor,
    leg2_ohm: Phasor,
    neutral_ohm: Phasor,
    *,
    power_va: tuple[Phasor, Phasor, Phasor] = (0.0, 0.0, 0.0),
    admittance_s: tuple[Phasor, Phasor, Phasor] = (0.0, 0.0, 0.0),
    current_a: tuple[Phasor, Phasor, Phasor] = (0.0, 0.0, 0.0),
    max_iterations: int = 60,
    tolerance_v: float = 1e-10,
) -> SplitPhaseSolution:
    """Voltages of a feeder with two legs and a neutral, for loads on either leg and between the legs.

    Loads come in threes: leg 1 to neutral, leg 2 to neutral, leg 1 to leg 2; each holds its power, its
    admittance or its current as in ``solve_ac``. A neutral that has come off has ``inf`` ohm; what hangs
    below it must then hold its neutral by loads on a leg. Two loads that hold their power cannot stand
    in series behind such a neutral: one of them runs away, which reads as not converged.

    Parameters
    ----------
    tree : shape of the feeder, n nodes
    emf_v : [V] source voltage of one leg to neutral at no load, one number or shape (...variants)
    leg1_ohm : [ohm] complex, one way on leg 1 from parent to node, the source's own first; (n,) or (n, ...variants)
    leg2_ohm : [ohm] complex, one way on leg 2, same shapes
    neutral_ohm : [ohm] complex, one way on the neutral, ``inf`` where it is open, same shapes
    power_va : [VA] complex constant powers of the three loads, each one number, (n,) or (n, ...variants)
    admittance_s : [S] complex constant admittances of the three loads, same shapes
    current_a : [A] complex currents of constant size and power factor of the three loads, same shapes
    max_iterations : [-] Newton steps after which a variant counts as not converged
    tolerance_v : [V] largest error of a node voltage

    Returns
    -------
    SplitPhaseSolution. Variants do not touch one another.

    Raises
    ------
    ValueError
        When an array does not have one row a node, a resistance is negative or not a number, or a leg is open.

    Source
    ------
    Kirchhoff's laws; Newton's method with elimination along the tree.
    """
    nodal = (leg1_ohm, leg2_ohm, neutral_ohm, *power_va, *admittance_s, *current_a)
    emf, rows, variants = arrange(tree.order, emf_v, nodal, complex)
    if (
        not all((ohm.real >= 0.0).all() for ohm in rows[:3])
        or not np.isfinite(np.stack(np.broadcast_arrays(*rows[:2]))).all()
    ):
        raise ValueError("solve_split_phase: every resistance must be 0 ohm or more, and no leg may be open.")
    with np.errstate(all="ignore"):
        state = _Legs(tree, emf, rows)
        converged, passes = state.settle(max_iterations, tolerance_v)
        found = state.read()
    for values in found:
        values[..., ~converged] = complex(np.nan, np.nan)
    back = (values.take(tree.place, axis=-2) for values in found)
    leg_v, leg_a, neutral, shift = (values.reshape(*values.shape[:-1], *variants) for values in back)
    return SplitPhaseSolution(leg_v, leg_a, neutral, shift, converged.reshape(variants), passes)


class _Legs:
    """Newton's state ``volt`` (n, 2, variants), in solving order: between the legs, and leg 1 to neutral.

    Linear maps are real: 4 x 4 for each node and variant, on the real and imaginary parts of both.
    """

    def __init__(self, tree: Tree, emf: Phasors, rows: tuple[Phasors, ...]) -> None:
        self.levels, self.count, self.size = tree.levels, len(tree.order), emf.size
        self.leg1, self.leg2, neutral = rows[:3]
        self.power, self.siemens, self.amp = rows[3:6], rows[6:9], rows[9:12]
        self.linear = not any(values.any() for values in (*self.power, *self.amp))
        self.hold: Floats = 1.0 / (1.0 + np.abs(neutral))
        self.pull: Phasors = np.where(np.isinf(neutral), 1.0, neutral * self.hold)
        self.feed: Phasors = np.stack([2.0 * emf, emf])
        self.volt: Phasors = np.broadcast_to(self.feed, (self.count, 2, self.size)).copy()
        self.ohm, self.left = self.impedances()

    def across(self) -> tuple[Phasors, Phasors, Phasors]:
        """Voltages of the three loads at every node, (n, variants)."""
        between, first = self.volt[:, 0], self.volt[:, 1]
        return first, between - first, between

    def drawn(self) -> tuple[list[Phasors], list[Floats]]:
        """Currents of the three loads, and how they answer to their voltages: (2, 2, n, variants) each."""
        currents, answers = [], []
        for volt, power, siemens, amp in zip(self.across(), self.power, self.siemens, self.amp, strict=True):
            held = (power != 0.0) | (amp != 0.0)
            v = np.where(held, volt, 1.0)
            size = np.abs(v)
            by_power, by_amp = (power / v).conj(), amp * v / size
            currents.append(by_power + siemens * volt + by_amp)
            straight = siemens + by_amp / (2.0 * v)
            mirrored = -by_power / v.conj() - by_amp / (2.0 * v.conj())
            answers.append(_real_map(straight + mirrored, straight - mirrored))
        return currents, answers

    def settle(self, max_iterations: int, tolerance: float) -> tuple[NDArray[np.bool_], int]:
        """Step until every variant has settled or is no number."""
        active, converged, previous = (
            np.ones(self.size, dtype=bool),
            np.zeros(self.size, dtype=bool),
            np.zeros(self.size),
        )
        passes = 0
        while passes < max_iterations and active.any():
            passes += 1
            volt, stable = self.newton()
            step = np.abs(volt - self.volt).max(axis=(0, 1))
            np.copyto(self.volt, volt, where=active)
            active = active & np.isfinite(step)
            done = active & (np.full(self.size, self.linear) | settled(step, previous, tolerance))
            converged |= done & stable
            active &= ~done
            previous = step
        return converged, passes

    def newton(self) -> tuple[Phasors, NDArray[np.bool_]]:
        """Voltages after one full step; true for the variants whose every node would hold its voltage."""
        (i1, i2, i3), (m1, m2, m3) = self.drawn()
        answer = np.concatenate([np.concatenate([m2 + m3, -m2], 1), np.concatenate([-m2, m1 + m2], 1)])
        answer = np.moveaxis(answer, 2, 0).copy()
        offset = _parts(i2 + i3, i1 - i2) - _apply(answer, _parts(self.volt[:, 0], self.volt[:, 1]))
        stable, follow, lost = np.ones(self.size, dtype=bool), np.empty(answer.shape), np.empty(offset.shape)
        for level in reversed(self.levels):
            here = level.nodes
            matrix = np.einsum("nijv,njkv->nikv", self.ohm[here], answer[here]) + self.left[here]
            pushed = _apply(self.ohm[here], offset[here])
            solved, determinant = _eliminate(
                matrix, np.concatenate([self.left[here], pushed[:, :, np.newaxis]], axis=2)
            )
            stable &= (determinant > 0.0).all(axis=0)
            follow[here], lost[here] = solved[:, :, :4], solved[:, :, 4]
            if level.gather.size:
                sent = np.einsum("nijv,njkv->nikv", answer[here], follow[here])
                answer[level.fed] += np.einsum("pn,nijv->pijv", level.gather, sent)
                offset[level.fed] += np.einsum(
                    "pn,niv->piv", level.gather, offset[here] - _apply(answer[here], lost[here])
                )
        volt = np.empty(offset.shape)
        source = _parts(self.feed[0], self.feed[1])
        for level in self.levels:
            feed = volt.take(level.parents, axis=0) if level.parents.size else source[np.newaxis]
            volt[level.nodes] = _apply(follow[level.nodes], feed) - lost[level.nodes]
        return volt[:, 0::2] + 1j * volt[:, 1::2], stable

    def impedances(self) -> tuple[Floats, Floats]:
        """The branches above the nodes as (n, 4, 4, variants): ohms, and what is left of the voltage in each row."""
        wide = np.zeros((self.count, self.size))
        both, first, held = self.leg1 + self.leg2 + wide, self.leg1 + wide, self.leg1 * self.hold + wide
        rows = [[_real_map(z, z) for z in row] for row in ([both, first], [held, held + self.pull])]
        ohm = np.moveaxis(np.concatenate([np.concatenate(row, axis=1) for row in rows]), 2, 0)
        left = np.zeros((self.count, 4, 4, self.size))
        left[:, 0, 0] = left[:, 1, 1] = 1.0
        left[:, 2, 2] = left[:, 3, 3] = self.hold
        return ohm.copy(), left

    def read(self) -> tuple[Phasors, Phasors, Phasors, Phasors]:
        """Leg voltages, leg currents, neutral current and neutral shift from the voltages found."""
        (i1, i2, i3), _ = self.drawn()
        out, neutral = i2 + i3, i1 - i2
        for level in reversed(self.levels[1:]):
            out[level.fed] += level.gather @ out[level.nodes]
            neutral[level.fed] += level.gather @ neutral[level.nodes]
        first, second, _ = self.across()
        leg1 = np.empty(first.shape, dtype=complex)
        for level in self.levels:
            here = level.nodes
            feed = leg1.take(level.parents, axis=0) if level.parents.size else self.feed[1]
            leg1[here] = feed - self.leg1[here] * (out[here] + neutral[here])
        return np.stack([first, second]), np.stack([out + neutral, out]), neutral, leg1 - first


def _real_map(on_real: Phasors, on_imaginary: Phasors) -> Floats:
    """The map x + iy to on_real * x + i * on_imaginary * y as a real (2, 2, ...) matrix."""
    return np.stack([np.stack([on_real.real, -on_imaginary.imag]), np.stack([on_real.imag, on_imaginary.real])])


def _parts(first: Phasors, second: Phasors) -> Floats:
    """Two complex arrays (..., variants) as real (..., 4, variants)."""
    return np.stack([first.real, first.imag, second.real, second.imag], axis=-2)


def _apply(maps: Floats, values: Floats) -> Floats:
    """Matrices (n, 4, 4, variants) on vectors (n, 4, variants)."""
    return np.asarray(np.einsum("nijv,njv->niv", maps, values))


def _eliminate(matrix: Floats, right: Floats) -> tuple[Floats, Floats]:
    """Solve (n, 4, 4, variants) for every column of (n, 4, columns, variants); also the determinants (n, variants).

    The order of the rows is kept: the voltage between the legs first, whose pivot stays near 1.
    """
    work = np.concatenate([matrix, right], axis=2)
    determinant = np.ones((len(work), work.shape[3]))
    for row in range(4):
        determinant = determinant * work[:, row, row]
        work[:, row] = work[:, row] / work[:, row, row, np.newaxis]
        for other in range(4):
            if other != row:
                work[:, other] = work[:, other] - work[:, other, row, np.newaxis] * work[:, row]
    return work[:, :, 4:], determinant
