"""Node voltages of a feeder that branches but never closes a loop, for any mix of loads.

Each branch holds the resistance out and back. The solve is Newton's method; its linear
step climbs the tree from the ends to the source and comes back down, level by level.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics.formula import Number
from trailerlib.physics.variants import arrange, largest_share, near_enough

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Level:
    """Nodes equally far from the source and how they hang on the level above.

    ``nodes`` is their stretch of the solving order and ``parents`` the parent of each.
    ``fed`` is the stretch of the level above and ``gather`` the 0/1 matrix that sums the
    nodes here into the ones there; both are empty for the first level.
    """

    nodes: slice
    parents: NDArray[np.intp]
    fed: slice
    gather: Floats


@dataclass(frozen=True)
class Tree:
    """Shape of a feeder: ``parents[k]`` is the node that feeds node ``k``, -1 for the first.

    ``order`` lists the nodes level by level, ``place`` is its inverse.
    """

    parents: tuple[int, ...]
    order: NDArray[np.intp]
    place: NDArray[np.intp]
    levels: tuple[Level, ...]

    @classmethod
    def of(cls, parents: Sequence[int]) -> Tree:
        """A tree from the parent of each node.

        Parameters
        ----------
        parents : [-] index of the feeding node of each node; -1 first, then always a smaller index than the node's own

        Returns
        -------
        Tree, ready to be solved.

        Raises
        ------
        ValueError
            When the first parent is not -1 or another parent does not come before its node.
        """
        return _tree(tuple(int(parent) for parent in parents))


@dataclass(frozen=True)
class Solution:
    """Voltages and currents of a feeder; a variant that did not converge has NaN for both.

    ``voltage_v`` and ``branch_current_a`` have shape (n, ...variants); the branch current of
    node ``k`` flows from its parent into it. ``converged`` has the shape of the variants.
    """

    voltage_v: Floats
    branch_current_a: Floats
    converged: NDArray[np.bool_]
    iterations: int


def solve_dc(
    tree: Tree,
    emf_v: Number,
    resistance_ohm: Number,
    *,
    power_w: Number = 0.0,
    conductance_s: Number = 0.0,
    current_a: Number = 0.0,
    start_v: Floats | None = None,
    max_iterations: int = 60,
    tolerance_v: float = 1e-10,
) -> Solution:
    """Voltages of a feeder whose loads may hold their power, their resistance or their current.

    A load at node k draws ``power_w[k] / v + conductance_s[k] * v + current_a[k]``. Loads that
    draw are positive; from the source's voltage Newton's steps then only go down towards the
    highest solution, so a step that cannot be made means that there is none: the feeder cannot
    deliver that power.

    Parameters
    ----------
    tree : shape of the feeder, n nodes
    emf_v : [V] source voltage at no load, one number or shape (...variants)
    resistance_ohm : [ohm] out and back from parent to node, first the source's own; (n,) or (n, ...variants)
    power_w : [W] constant-power part of the load, one number for all nodes, (n,) or (n, ...variants)
    conductance_s : [S] resistive part of the load, same shapes
    current_a : [A] constant-current part of the load, same shapes
    start_v : [V] voltages near the solution, (n, ...variants); the source's when not given or no number. Where
        they lead nowhere all is solved again without: they change how long it takes, not what is found
    max_iterations : [-] Newton steps after which a variant counts as not converged
    tolerance_v : [V] largest error of a node voltage

    Returns
    -------
    Solution. Variants do not touch one another: one without a solution leaves the rest as they are.

    Raises
    ------
    ValueError
        When an array does not have one row a node, or a resistance is negative or not a number.

    Source
    ------
    Kirchhoff's laws; Newton's method with elimination along the tree.
    """
    nodal = (resistance_ohm, power_w, conductance_s, current_a)
    emf, (ohm, power, siemens, fixed), variants = arrange(tree.order, emf_v, nodal)
    if not (ohm >= 0.0).all():
        raise ValueError("solve_dc: every resistance must be 0 ohm or more.")
    sweep, loads = _Sweep(tree, emf, ohm), (power, siemens, fixed)
    volt, began = sweep.begin(
        None if start_v is None else start_v.reshape(len(tree.order), -1).take(tree.order, axis=0)
    )
    converged, passes = sweep.settle(volt, loads, max_iterations, tolerance_v)
    if (began & ~converged).any():
        volt, _ = sweep.begin(None)
        converged, passes = sweep.settle(volt, loads, max_iterations, tolerance_v)
    if not converged.all():
        volt[:, ~converged] = np.nan
    amp = sweep.gathered(power / volt + siemens * volt + fixed)
    shape = (len(tree.order), *variants)
    back = tree.place
    return Solution(
        volt.take(back, axis=0).reshape(shape),
        amp.take(back, axis=0).reshape(shape),
        converged.reshape(variants),
        passes,
    )


def deliverable_fraction(
    tree: Tree,
    emf_v: Number,
    resistance_ohm: Number,
    *,
    power_w: Number,
    conductance_s: Number = 0.0,
    current_a: Number = 0.0,
    steps: int = 40,
) -> Number:
    """Largest common factor on the constant-power loads that the feeder can still deliver.

    Parameters
    ----------
    tree : shape of the feeder, n nodes
    emf_v : [V] source voltage at no load, one number or shape (...variants)
    resistance_ohm : [ohm] as in ``solve_dc``
    power_w : [W] constant-power loads as asked for, (n,) or (n, ...variants)
    conductance_s : [S] resistive loads, kept as they are
    current_a : [A] constant-current loads, kept as they are
    steps : [-] halvings of the interval; made five at a time

    Returns
    -------
    [-] 1 when all is delivered, else one part in 1e9 below the limit, 0 when even the other loads
    alone have no solution; shape (...variants)

    Source
    ------
    Bisection on the existence of a solution.
    """

    def solved(power: Number) -> NDArray[np.bool_]:
        found = solve_dc(tree, emf_v, resistance_ohm, power_w=power, conductance_s=conductance_s, current_a=current_a)
        return found.converged

    return largest_share(solved, power_w, len(tree.order), steps)


class _Sweep:
    """The linear solve, on arrays laid out once: what a node draws is offset + slope * v.

    ``draw`` is (n, 2, variants) with offset and slope, summed over all that hangs below once run.
    """

    def __init__(self, tree: Tree, emf: Floats, ohm: Floats) -> None:
        count, size = len(tree.order), emf.size
        self.levels = tree.levels
        self.emf, self.volt = emf, np.empty((count, size))
        self.draw, self.divisor = np.empty((count, 2, size)), np.empty((count, size))
        flat = self.draw.reshape(count, 2 * size)
        stretches = [level.nodes for level in tree.levels]
        self.down = [
            (level.parents, ohm[here], self.draw[here, 0], self.divisor[here], self.volt[here])
            for level, here in zip(tree.levels, stretches, strict=True)
        ]
        self.up = [
            (level.gather, ohm[here], self.draw[here], self.divisor[here], flat[level.fed])
            for level, here in zip(tree.levels, stretches, strict=True)
        ][::-1]

    def begin(self, near: Floats | None) -> tuple[Floats, NDArray[np.bool_]]:
        """Voltages to begin with, and which variants begin elsewhere than at the source's."""
        volt = np.empty(self.volt.shape)
        volt[:] = self.emf
        if near is None:
            return volt, np.zeros(self.emf.size, dtype=bool)
        sound: NDArray[np.bool_] = np.all(near > 0.0, axis=0)
        np.copyto(volt, near, where=sound)
        return volt, sound

    def settle(
        self, volt: Floats, loads: tuple[Floats, Floats, Floats], max_iterations: int, tolerance_v: float
    ) -> tuple[NDArray[np.bool_], int]:
        """Step until every variant has settled in ``volt`` or given up."""
        power, siemens, fixed = loads
        active, converged = np.ones(self.emf.size, dtype=bool), np.zeros(self.emf.size, dtype=bool)
        linear, passes = not power.any(), 0
        with np.errstate(all="ignore"):
            while passes < max_iterations and active.any():
                passes += 1
                pull = power / volt
                room = self.run(fixed + 2.0 * pull, siemens - pull / volt)
                step = np.abs(self.volt - volt).max(axis=0)
                np.copyto(volt, self.volt, where=active)
                active &= room > 0.0
                done = active if linear else active & near_enough(step, room, self.volt.min(axis=0), tolerance_v)
                converged |= done
                active = active & ~done
        return converged, passes

    def run(self, offset: Floats, slope: Floats) -> Floats:
        """Voltages for these loads into ``volt``; the room left of each variant, 1 at no load.

        It is 0 or less where the way down does not stay above 0 V.
        """
        self.draw[:, 0], self.draw[:, 1] = offset, slope
        for gather, ohm, draw, divisor, above in self.up:
            np.add(ohm * draw[:, 1], 1.0, out=divisor)
            if gather.size:
                above += gather @ (draw / divisor[:, np.newaxis]).reshape(len(draw), -1)
        for parents, ohm, offset_here, divisor, volt in self.down:
            feed = self.volt.take(parents, axis=0) if parents.size else self.emf
            np.divide(feed - ohm * offset_here, divisor, out=volt)
        least: Floats = np.minimum(self.divisor, self.volt).min(axis=0)
        return least

    def gathered(self, drawn: Floats) -> Floats:
        """Current into each node: what it draws and all that is drawn below it."""
        for level in reversed(self.levels[1:]):
            drawn[level.fed] += level.gather @ drawn[level.nodes]
        return drawn


@lru_cache(maxsize=64)
def _tree(links: tuple[int, ...]) -> Tree:
    """The same shape again is the same tree: most moves change what flows, not what hangs on what."""
    if not links or links[0] != -1:
        raise ValueError("Tree: the first node hangs on the source, so parents[0] must be -1.")
    for node, parent in enumerate(links[1:], start=1):
        if not 0 <= parent < node:
            raise ValueError(f"Tree: parent {parent} of node {node} must be a node with a smaller index.")
    rows = _rows(links)
    order = np.array([node for row in rows for node in row], dtype=np.intp)
    place = np.empty_like(order)
    place[order] = np.arange(order.size)
    return Tree(links, order, place, tuple(_levels(links, rows, place)))


def _rows(links: tuple[int, ...]) -> list[list[int]]:
    """Nodes by distance from the source; those of one parent stand together, in the order of the parents."""
    children: list[list[int]] = [[] for _ in links]
    for node, parent in enumerate(links[1:], start=1):
        children[parent].append(node)
    rows = [[0]]
    while below := [child for node in rows[-1] for child in children[node]]:
        rows.append(below)
    return rows


def _levels(links: tuple[int, ...], rows: list[list[int]], place: NDArray[np.intp]) -> Iterator[Level]:
    nodes, fed = slice(0, 1), slice(0, 0)
    yield Level(nodes, np.empty(0, np.intp), fed, np.empty((0, 0)))
    for row in rows[1:]:
        nodes, fed = slice(nodes.stop, nodes.stop + len(row)), nodes
        parents = np.array([place[links[node]] for node in row], dtype=np.intp)
        gather = (np.arange(fed.start, fed.stop)[:, np.newaxis] == parents).astype(float)
        yield Level(nodes, parents, fed, gather)
