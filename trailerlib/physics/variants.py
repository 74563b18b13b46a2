"""Many variants at once: laying their values out, when Newton's steps have settled, the largest share that works."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics.formula import Number

Floats = NDArray[np.float64]
_EDGE = 1e-9  # so far below the limit Newton's steps still settle; at the limit itself rounding decides


def largest_share(
    solved: Callable[[Any], NDArray[np.bool_]], power: Number | NDArray[Any], count: int, steps: int = 40
) -> Number:
    """Largest common factor on the loads for which there is still a solution.

    Parameters
    ----------
    solved : tells for loads as asked, times a factor, which variants have a solution
    power : [W] or [VA] loads as asked for, one number for all nodes, (n,) or (n, ...variants)
    count : [-] nodes, n
    steps : [-] halvings of the interval; made five at a time

    Returns
    -------
    [-] 1 when all is delivered, else one part in 1e9 below the limit, 0 when there is no solution without
    these loads either; shape (...variants)

    Source
    ------
    Bisection on the existence of a solution.
    """
    whole = solved(power)
    if whole.all():
        return np.ones(whole.shape)[()]
    asked = np.asarray(power)
    asked = np.broadcast_to(asked, (count,)) if asked.ndim == 0 else asked
    asked = asked.reshape(asked.shape[0], *(1,) * (whole.ndim - asked.ndim + 1), *asked.shape[1:])
    low, high = np.zeros(whole.shape), np.ones(whole.shape)
    grid = np.arange(1, 32).reshape(31, *(1,) * whole.ndim) / 32.0
    for _ in range(-(-steps // 5)):
        tried = low + (high - low) * grid
        works = np.logical_and.accumulate(solved(asked[:, np.newaxis] * tried), axis=0).sum(axis=0)
        width = (high - low) / 32.0
        low, high = low + works * width, low + (works + 1) * width
    return np.where(whole, 1.0, low * (1.0 - _EDGE))[()]


def settled(step: Floats, previous: Floats, tolerance: float) -> NDArray[np.bool_]:
    """True where the step made, or the one to come by quadratic convergence, is within the tolerance.

    Parameters
    ----------
    step : [V] largest change of this step, shape (variants,)
    previous : [V] largest change of the step before, same shape
    tolerance : [V] largest change that counts as none

    Returns
    -------
    Booleans, shape (variants,).
    """
    coming = (step < 0.01 * previous) & (step**3 <= tolerance * previous**2)
    return coming | (step <= tolerance)


def near_enough(step: Floats, room: Floats, least_v: Floats, tolerance: float) -> NDArray[np.bool_]:
    """True where the step made is within the tolerance, or the one to come is and so need not be made.

    That one is, for one run to a load that holds its power, 2 (1 - room) / room step^2 / v at the most; of a tree fifty
    times as much is allowed for.

    Parameters
    ----------
    step : [V] largest change of this step, shape (variants,)
    room : [-] least slope of the equations, 1 at no load, 0 where no more can be delivered, same shape
    least_v : [V] lowest voltage, same shape
    tolerance : [V] largest change that counts as none

    Returns
    -------
    Booleans, shape (variants,).
    """
    coming = 100.0 * step**2 <= tolerance * room**2 * least_v
    return np.asarray(coming | (step <= tolerance))


def arrange(
    order: NDArray[np.intp], source: Any, nodal: tuple[Any, ...], kind: type[float] | type[complex] = float
) -> tuple[NDArray[Any], tuple[NDArray[Any], ...], tuple[int, ...]]:
    """Lay source and node values out for solving.

    Parameters
    ----------
    order : [-] the nodes as they are solved, n
    source : [V] value of the source, one number or shape (...variants)
    nodal : [-] values of the nodes in any unit, each one number, (n,) or (n, ...variants)
    kind : [-] float or complex, what the arrays are made of

    Returns
    -------
    Source as (variants,), node values as (n, variants or 1) in solving order, and the shape of the variants.

    Raises
    ------
    ValueError
        When an array does not have one row a node.
    """
    count = len(order)
    emf = np.asarray(source, dtype=kind)
    arrays = [np.asarray(values, dtype=kind) for values in nodal]
    for values in arrays:
        if values.ndim and len(values) != count:
            raise ValueError(f"The feeder has {count} nodes, but an array has {len(values)} rows.")
    tails = {values.shape[1:] for values in arrays} | {emf.shape}
    variants = np.broadcast_shapes(*tails) if len(tails) > 1 else emf.shape
    ready = tuple(_node_rows(values, count, variants).take(order, axis=0) for values in arrays)
    return np.broadcast_to(emf, variants).reshape(math.prod(variants)), ready, variants


def _node_rows(values: NDArray[Any], count: int, variants: tuple[int, ...]) -> NDArray[Any]:
    """An array of node values as (n, 1) when it is the same for all variants, else (n, variants)."""
    if values.ndim == 0:
        return np.full((count, 1), values)
    if values.size == count:
        return values.reshape(count, 1)
    tail = values.shape[1:]
    aligned = values.reshape(count, *(1,) * (len(variants) - len(tail)), *tail)
    return np.broadcast_to(aligned, (count, *variants)).reshape(count, -1)
