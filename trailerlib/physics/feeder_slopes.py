"""How the voltages and currents of a branching feeder move when source, resistances or loads are a little different."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics.network import Tree

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Slopes:
    """Change of node voltages [V] and branch currents [A] for one unit of each of q changes, (...variants, n, q)."""

    voltage_v: Floats
    branch_current_a: Floats


def way_matrix(tree: Tree) -> Floats:
    """Which branches lie on the way to which node.

    Parameters
    ----------
    tree : shape of the feeder, n nodes

    Returns
    -------
    (n, n) of 0 and 1; row k has a 1 for every branch from the source to node k.
    """
    ways = np.eye(len(tree.parents))
    for node, parent in enumerate(tree.parents[1:], start=1):
        ways[node] += ways[parent]
    return ways


def slopes(
    tree: Tree,
    resistance_ohm: Floats,
    branch_current_a: Floats,
    load_slope_s: Floats,
    *,
    emf_v: Floats,
    ohm: Floats,
    drawn_a: Floats,
) -> Slopes:
    """Change of every node voltage and branch current for q small changes, exact to first order.

    Parameters
    ----------
    tree : shape of the feeder, n nodes
    resistance_ohm : [ohm] out and back from parent to node, (...variants, n)
    branch_current_a : [A] as solved, (...variants, n)
    load_slope_s : [S] change of what each node draws with its own voltage, (...variants, n)
    emf_v : [V] change of the source's voltage in each of the q changes, (q,)
    ohm : [ohm] change of each branch's resistance, (...variants, n, q)
    drawn_a : [A] change of what each node draws at its voltage, (...variants, n, q)

    Returns
    -------
    Slopes.

    Source
    ------
    Total differential of Kirchhoff's laws on a tree: v = E - M R M' i(v), M the branches on the way to each node.
    """
    ways = way_matrix(tree)
    shared = (ways * resistance_ohm[..., np.newaxis, :]) @ ways.T
    matrix = np.eye(len(ways)) + shared * load_slope_s[..., np.newaxis, :]
    drive = emf_v - ways @ (ohm * branch_current_a[..., np.newaxis]) - shared @ drawn_a
    volt = np.asarray(np.linalg.solve(matrix, drive), dtype=np.float64)
    amps = ways.T @ (load_slope_s[..., np.newaxis] * volt + drawn_a)
    return Slopes(volt, amps)
