"""The mains side as a network: voltages of a two-wire ac feeder that branches but never closes a loop.

Solved in the square of the voltage, which needs no angles: power that arrives at a node, loss on the
way, square of the voltage one node up. Newton's linear step climbs the tree and comes back down, as for
dc. For loads that draw power and lag, the steps only go down towards the highest solution, so that a
step that cannot be made means that there is none: the loss (P^2 + Q^2) / v grows with the power, falls with
the square of the voltage and is convex in them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics.formula import Number
from trailerlib.physics.network import Tree
from trailerlib.physics.variants import arrange, near_enough

Floats = NDArray[np.float64]
Phasors = NDArray[np.complex128]
Phasor = complex | Phasors | Number


@dataclass(frozen=True)
class AcSolution:
    """Voltages and currents of a two-wire ac feeder; a variant that did not converge has NaN for both.

    ``voltage_v`` and ``branch_current_a`` are complex, effective values, of shape (n, ...variants), their
    angle counted from the source's; the branch current of node ``k`` flows from its parent into it.
    ``converged`` has the shape of the variants.
    """

    voltage_v: Phasors
    branch_current_a: Phasors
    converged: NDArray[np.bool_]
    iterations: int


def solve_ac(
    tree: Tree,
    emf_v: Phasor,
    impedance_ohm: Phasor,
    *,
    power_va: Phasor = 0.0,
    admittance_s: Phasor = 0.0,
    current_a: Phasor = 0.0,
    max_iterations: int = 60,
    tolerance_v: float = 1e-10,
) -> AcSolution:
    """Voltages of a two-wire ac feeder whose loads may hold their power, their impedance or their current.

    A load at node k draws the complex power ``power_va[k] + conj(admittance_s[k]) |v|^2 +
    conj(current_a[k]) |v|``. A load that lags has a positive imaginary part of its power and a negative
    one of its admittance and of its current, which is counted from the angle of its own node's voltage.

    Parameters
    ----------
    tree : shape of the feeder, n nodes
    emf_v : [V] source voltage at no load, one number or shape (...variants)
    impedance_ohm : [ohm] complex, out and back from parent to node, the source's own first; (n,) or (n, ...variants)
    power_va : [VA] complex constant power P + jQ, one number for all nodes, (n,) or (n, ...variants)
    admittance_s : [S] complex constant admittance, same shapes
    current_a : [A] complex current of constant size and power factor, same shapes
    max_iterations : [-] Newton steps after which a variant counts as not converged
    tolerance_v : [V] largest error of a node voltage

    Returns
    -------
    AcSolution. Variants do not touch one another: one without a solution leaves the rest as they are.

    Raises
    ------
    ValueError
        When an array does not have one row a node, or a resistance is negative or not a number.

    Source
    ------
    Kirchhoff's laws; branch equations of M. E. Baran and F. F. Wu, IEEE Trans. Power Delivery 4 (1989) 735
    (from memory).
    """
    nodal = (impedance_ohm, power_va, admittance_s, current_a)
    emf, (ohm, power, siemens, fixed), variants = arrange(tree.order, emf_v, nodal, complex)
    if not ((ohm.real >= 0.0) & np.isfinite(ohm)).all():
        raise ValueError("solve_ac: every resistance must be 0 ohm or more, every reactance a number.")
    state = _Squares(tree, emf, ohm, (power, siemens, fixed))
    with np.errstate(all="ignore"):
        converged, passes = state.settle(max_iterations, tolerance_v)
        volt, amp = state.phasors()
    volt[:, ~converged] = amp[:, ~converged] = complex(np.nan, np.nan)
    shape, back = (len(tree.order), *variants), tree.place
    return AcSolution(
        volt.take(back, axis=0).reshape(shape),
        amp.take(back, axis=0).reshape(shape),
        converged.reshape(variants),
        passes,
    )


class _Squares:
    """Newton's state, (n, variants): ``square`` is |v|^2 [V2], ``arriving`` the power that reaches a node [VA].

    What a node takes, all below it included, is offset + slope * square once linearised.
    """

    def __init__(self, tree: Tree, emf: Phasors, ohm: Phasors, loads: tuple[Phasors, Phasors, Phasors]) -> None:
        self.levels, self.emf, self.ohm = tree.levels, emf, ohm
        self.power, self.siemens, self.amp = loads[0], loads[1].conj(), loads[2].conj()
        self.held = bool(self.amp.any())
        self.ohm2 = _size2(ohm)
        self.feed: Floats = _size2(emf)
        shape = (len(tree.order), emf.size)
        self.square = np.empty(shape)
        self.square[:] = self.feed
        self.arriving = np.zeros(shape, dtype=complex)

    def settle(self, max_iterations: int, tolerance: float) -> tuple[NDArray[np.bool_], int]:
        """Step until every variant has settled or given up.

        A held current bends the other way: its tangent can overshoot. After a step too far the variant goes back
        and takes its currents as admittances once, which draw less at every lower voltage and so fall short instead.
        """
        size, passes = self.emf.size, 0
        active = np.ones(size, dtype=bool)
        converged, short = np.zeros((2, size), dtype=bool)
        trusted: tuple[NDArray[Any], ...] = (self.square, self.arriving)
        while passes < max_iterations and active.any():
            passes += 1
            square, arriving, room = self.newton(short)
            sound = room > 0.0
            left = (square / self.square).min(axis=0)
            share = np.where(left < 0.05, 0.95 / (1.0 - left), 1.0)
            full = share == 1.0
            here, ahead = (self.square, self.arriving), (square, arriving)
            if not full.all():
                ahead = (here[0] + share * (square - here[0]), here[1] + share * (arriving - here[1]))
            step = self.moved(*ahead)
            plain = sound & ~short & active & ~np.isnan(step)
            if plain.all():
                (self.square, self.arriving), trusted = ahead, here
                done = full & near_enough(step, room, np.sqrt(square.min(axis=0)), tolerance)
            else:
                active = active & (sound | ~short) & ~np.isnan(step)
                self.square, self.arriving = (
                    np.where(active, np.where(sound, new, old), now)
                    for new, old, now in zip(ahead, trusted, here, strict=True)
                )
                trusted = tuple(
                    np.where(sound, np.where(short, new, now), old)
                    for new, old, now in zip(ahead, trusted, here, strict=True)
                )
                near = np.where(
                    short, step <= tolerance, near_enough(step, room, np.sqrt(self.square.min(axis=0)), tolerance)
                )
                done = active & sound & full & near
            converged |= done
            active = active & ~done
            short = ~sound
        return converged, passes

    def moved(self, square: Floats, arriving: Phasors) -> Floats:
        """Largest change of a voltage, by its size or by the drop in front of it [V], for every variant."""
        size = np.sqrt(square)
        drop = np.abs(self.ohm * (arriving - self.arriving)) / size
        return np.asarray(np.maximum(np.abs(size - np.sqrt(self.square)), drop).max(axis=0))

    def newton(self, short: NDArray[np.bool_]) -> tuple[Floats, Phasors, Floats]:
        """Squares and powers after one step, a short one where asked, and the room left of each variant.

        It is the least slope of its equations, 1 at no load and 0 where no more can be delivered; no step can be made
        without any.
        """
        per_square: Phasors = np.divide(self.arriving, self.square)
        per_square2 = _size2(per_square)
        offset, slope = (np.broadcast_to(part, self.square.shape).copy() for part in self.linearised(short))
        least, divisor = np.empty(self.square.shape), np.empty(self.square.shape)
        for level in reversed(self.levels):
            here, z, z2 = level.nodes, self.ohm[level.nodes], self.ohm2[level.nodes]
            lost = 2.0 * _along(per_square[here], offset[here])
            lost_slope = 2.0 * _along(per_square[here], slope[here]) - per_square2[here]
            least[here] = 2.0 * _along(z, offset[here]) + z2 * lost
            divisor[here] = 1.0 + 2.0 * _along(z, slope[here]) + z2 * lost_slope
            if level.gather.size:
                sent_slope = (slope[here] + z * lost_slope) / divisor[here]
                offset[level.fed] += level.gather @ (offset[here] + z * lost - sent_slope * least[here])
                slope[level.fed] += level.gather @ sent_slope
        square = np.empty(self.square.shape)
        for level in self.levels:
            feed = square.take(level.parents, axis=0) if level.parents.size else self.feed
            square[level.nodes] = (feed - least[level.nodes]) / divisor[level.nodes]
        return square, offset + slope * square, np.asarray(divisor.min(axis=0))

    def linearised(self, short: NDArray[np.bool_]) -> tuple[Phasors, Phasors]:
        """What each node draws itself as offset [VA] and slope [VA/V2]; a held current as admittance where asked."""
        if not self.held:
            return self.power, self.siemens
        drawn = self.amp / np.sqrt(self.square)
        bent = np.where(short, 1.0, 0.5)
        return self.power + (1.0 - bent) * drawn * self.square, self.siemens + bent * drawn

    def phasors(self) -> tuple[Phasors, Phasors]:
        """Voltages and branch currents with their angles."""
        arriving = self.power + self.siemens * self.square
        if self.held:
            arriving += self.amp * np.sqrt(self.square)
        for level in reversed(self.levels[1:]):
            here = level.nodes
            sent = arriving[here] + self.ohm[here] * _size2(arriving[here]) / self.square[here]
            arriving[level.fed] += level.gather @ sent
        volt = np.empty(arriving.shape, dtype=complex)
        for level in self.levels:
            here = level.nodes
            feed = volt.take(level.parents, axis=0) if level.parents.size else self.emf
            volt[here] = (self.square[here] + self.ohm[here].conj() * arriving[here]) / feed.conj()
        return volt, (arriving / volt).conj()


def _size2(phasor: Phasors) -> Floats:
    """Size of a complex number, squared."""
    return np.square(phasor.real) + np.square(phasor.imag)


def _along(one: Phasors, other: Phasors) -> Floats:
    """Real part of conj(one) * other."""
    return one.real * other.real + one.imag * other.imag
