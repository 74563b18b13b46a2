"""What may run together: every combination of n switches against every limit, exact.

A combination is a bit mask: bit i is set when switch i is on. What a switch adds to a limit is a phasor with both parts
zero or more (lagging loads), so that a combination with one more switch on never adds up to less.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Bools = NDArray[np.bool_]
Masks = NDArray[np.int64]
Phasors = NDArray[np.complex128]
Floats = NDArray[np.float64]

MOST = 22  # 4 194 304 combinations; each more doubles time and room
SLACK = 1e-9  # a sum equal to its limit but for rounding holds, as in the rules


def subset_sums(draw: Phasors, base: complex = 0.0) -> Phasors:
    """The sum over every combination of switches.

    Parameters
    ----------
    draw : [A or W] what each switch adds, shape (n,)
    base : [A or W] what is always there

    Returns
    -------
    [A or W] shape (2^n,), the place is the bit mask

    Source
    ------
    Arithmetic: the sums with switch i on are those with it off, plus its own.
    """
    sums = np.empty(1 << len(draw), dtype=complex)
    sums[0] = base
    for i, one in enumerate(draw):
        np.add(sums[: 1 << i], one, out=sums[1 << i : 2 << i])
    return sums


def allowed(draw: Phasors, limit: Floats, base: Phasors | None = None) -> Bools:
    """Which combinations keep within every limit.

    Parameters
    ----------
    draw : [A or W] what each switch adds to each limit, shape (limits, n), both parts zero or more
    limit : [A or W] the limits, shape (limits,)
    base : [A or W] what is always on, shape (limits,); None is nothing

    Returns
    -------
    True where the size of the sum is at most the limit, everywhere; shape (2^n,), the place is the bit mask.

    Raises
    ------
    ValueError
        When a number is missing or below zero, or there are more than ``MOST`` switches.

    Source
    ------
    Arithmetic over all combinations, none left out.
    """
    draw, limit, base = _checked(draw, limit, base)
    count = draw.shape[1]
    if count > MOST:
        raise ValueError(f"more than {MOST} switches decide: switch the small ones off or join them.")
    holds = np.ones(1 << count, dtype=bool)
    whole = holds.reshape((2,) * count)
    for row, most, always in _binding(draw, limit, base):
        members = np.flatnonzero(row)
        sums = subset_sums(row[members], always)
        within = sums.real**2 + sums.imag**2 <= (most * (1.0 + SLACK)) ** 2
        shape = [1] * count
        for i in members:
            shape[count - 1 - i] = 2
        whole &= within.reshape(shape)
    return holds


def maximal(holds: Bools) -> Masks:
    """The allowed combinations to which no switch can be added.

    Parameters
    ----------
    holds : [-] which combinations are allowed, shape (2^n,)

    Returns
    -------
    Bit masks, rising.

    Source
    ------
    Definition.
    """
    full = holds.copy()
    for i in range(_count(holds)):
        pairs, found = holds.reshape(-1, 2, 1 << i), full.reshape(-1, 2, 1 << i)
        found[:, 0] &= ~pairs[:, 1]
    return np.flatnonzero(full)


def minimal_forbidden(holds: Bools) -> Masks:
    """The forbidden combinations that hold as soon as any one switch is off.

    Parameters
    ----------
    holds : [-] which combinations are allowed, shape (2^n,)

    Returns
    -------
    Bit masks, fewest switches first, then rising.

    Source
    ------
    Definition.
    """
    least = ~holds
    for i in range(_count(holds)):
        pairs, found = holds.reshape(-1, 2, 1 << i), least.reshape(-1, 2, 1 << i)
        found[:, 1] &= pairs[:, 0]
    masks = np.flatnonzero(least)
    return masks[np.argsort(np.bitwise_count(masks), kind="stable")]


def free(draw: Phasors, limit: Floats) -> Bools:
    """Which switches never matter: whatever holds without them holds with all of them on as well.

    Parameters
    ----------
    draw : [A or W] what each switch adds to each limit, shape (limits, n), both parts zero or more
    limit : [A or W] the limits, shape (limits,)

    Returns
    -------
    True for a switch that belongs to no minimal forbidden combination; shape (n,).

    Raises
    ------
    ValueError
        When a number is missing or below zero, or more than ``MOST`` switches remain to be decided on.

    Source
    ------
    Definition. A limit that holds with everything on is left out; among many switches the small ones are tried
    together: where every combination of the others holds with all of them on as it does with all off, they are free.
    """
    draw, limit, _ = _checked(draw, limit, None)
    rows = _binding(draw, limit, np.zeros(len(limit), dtype=complex))
    never = np.ones(draw.shape[1], dtype=bool)
    if not rows:
        return never
    draw, limit = np.array([row for row, _, _ in rows]), np.array([most for _, most, _ in rows])
    open_ones = np.flatnonzero(draw.any(axis=0))
    if len(open_ones) > MOST:
        open_ones = _without_small(draw, limit, open_ones)
    holds = allowed(draw[:, open_ones], limit)
    for k, switch in enumerate(open_ones):
        pairs = holds.reshape(-1, 2, 1 << k)
        never[switch] = np.array_equal(pairs[:, 0], pairs[:, 1])
    return never


def _without_small(draw: Phasors, limit: Floats, open_ones: NDArray[np.intp]) -> NDArray[np.intp]:
    """The switches left when the small ones turn out to be free."""
    weight = (np.abs(draw[:, open_ones]) / np.maximum(limit, 1e-12)[:, None]).max(axis=0)
    order = open_ones[np.argsort(-weight, kind="stable")]
    large, small = np.sort(order[:MOST]), order[MOST:]
    off = allowed(draw[:, large], limit)
    on = allowed(draw[:, large], limit, draw[:, small].sum(axis=1))
    if not np.array_equal(off, on):
        raise ValueError(f"more than {MOST} switches decide: switch the small ones off or join them.")
    return large


def fewest_off(holds: Bools, on: int, worth: Sequence[float], spare: Sequence[bool]) -> int:
    """What to leave on when a combination does not hold, by the smallest number of switches.

    Among those the one that touches fewest switches to spare, then the one that leaves most on by worth.

    Parameters
    ----------
    holds : [-] which combinations are allowed, shape (2^n,)
    on : [-] bit mask of the combination
    worth : [W] worth of each switch, length n
    spare : whether a switch is better left on, length n

    Returns
    -------
    Bit mask of what stays on; the combination itself when it holds.

    Raises
    ------
    ValueError
        When nothing holds even with all of them off.

    Source
    ------
    Every part of the combination is looked at.
    """
    bits = [1 << i for i in members(on)]
    parts = np.zeros(1 << len(bits), dtype=np.int64)
    for k, bit in enumerate(bits):
        parts[1 << k : 2 << k] = parts[: 1 << k] | bit
    parts = parts[holds[parts]]
    if not parts.size:
        raise ValueError("fewest_off: it does not hold even with all of them off.")
    count = np.bitwise_count(parts)
    parts = parts[count == count.max()]
    states = (parts[:, None] >> np.arange(len(worth))) & 1
    watts = states @ np.asarray(worth, dtype=float)
    kept = states @ np.asarray(spare, dtype=float)
    return int(parts[int(np.argmax(np.where(kept == kept.max(), watts, -1.0)))])


def members(mask: int) -> tuple[int, ...]:
    """The switches of a bit mask.

    Parameters
    ----------
    mask : [-] bit mask

    Returns
    -------
    Their places, rising.

    Source
    ------
    Definition.
    """
    return tuple(i for i in range(int(mask).bit_length()) if mask >> i & 1)


def _count(holds: Bools) -> int:
    return len(holds).bit_length() - 1


def _checked(draw: Phasors, limit: Floats, base: Phasors | None) -> tuple[Phasors, Floats, Phasors]:
    draw, limit = np.asarray(draw, dtype=complex), np.asarray(limit, dtype=float)
    always = np.zeros(len(limit), dtype=complex) if base is None else np.asarray(base, dtype=complex)
    if draw.ndim != 2 or draw.shape[0] != len(limit) or always.shape != limit.shape:
        raise ValueError("give one row of draws and one base for each limit.")
    for part in (draw.real, draw.imag, always.real, always.imag, limit):
        if not np.all(part >= 0.0) or not np.all(np.isfinite(part)):
            raise ValueError("a draw or a limit is missing or below zero, so nothing has been checked.")
    return draw, limit, always


def _binding(draw: Phasors, limit: Floats, base: Phasors) -> list[tuple[Phasors, float, complex]]:
    """The limits that do not hold with everything on; of those with the same draws only the lowest."""
    total = np.abs(draw.sum(axis=1) + base) > limit
    lowest: dict[bytes, int] = {}
    for row in np.flatnonzero(total).tolist():
        key = draw[row].tobytes() + base[row].tobytes()
        if key not in lowest or limit[row] < limit[lowest[key]]:
            lowest[key] = row
    return [(draw[row], float(limit[row]), complex(base[row])) for row in lowest.values()]
