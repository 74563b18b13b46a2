"""Lengths to cut from stock of given lengths, so that as little as possible is bought: whole numbers, solved exactly.

One-dimensional cutting stock. Every way to fill a piece of stock is a path through the positions along it (the
arc-flow model of Valério de Carvalho, Annals of Operations Research 86, 1999); the solver takes the cheapest bundle of
paths that holds every piece. Where a simple filling already reaches the bound, nothing can be better and none is asked.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Any, Literal

import numpy as np

from trailerlib.physics.formula import Number, formula

SECONDS = 20.0  # after so long the solver hands over the best it has, and the bound it has proved
MOST_ARCS = 60_000  # beyond, the model is not written down at all
Proof = Literal["bound", "solver", "none"]


class CuttingError(ValueError):
    """Pieces that cannot be cut from the stock there is."""


@dataclass(frozen=True)
class Stock:
    """One kind of stock: ``length`` in whole steps, what one counts (``weight``), how many there are.

    ``count`` None is as many as wanted.
    """

    length: int
    weight: int
    count: int | None = None


@dataclass(frozen=True)
class Cut:
    """One piece of stock: the number of its kind and the numbers of the pieces cut from it."""

    stock: int
    pieces: tuple[int, ...]


@dataclass(frozen=True)
class Plan:
    """All cuts, what they weigh together, the least that any plan can weigh as far as is proved, and by what."""

    cuts: tuple[Cut, ...]
    weight: int
    least: int
    proof: Proof


@formula(
    r"@{run_m} + 2 \, @{allowance_m}",
    symbols={"run_m": "L", "allowance_m": "a"},
    units={"run_m": "m", "allowance_m": "m", "return": "m"},
    result="L_{c}",
    title="Length to cut",
    source="arithmetic: what is stripped and squared at each end is added",
)
def cut_length_m(run_m: Number, allowance_m: Number) -> Number:
    """Length of a piece of wire before its ends are made.

    Parameters
    ----------
    run_m : [m] from end to end as it lies
    allowance_m : [m] for each end

    Returns
    -------
    [m] broadcast shape

    Source
    ------
    Arithmetic.
    """
    return run_m + 2.0 * allowance_m


@formula(
    r"\frac{@{stock_m} - @{cut_m}}{@{stock_m}}",
    symbols={"stock_m": "S", "cut_m": "C"},
    units={"stock_m": "m", "cut_m": "m", "return": "-"},
    result="w",
    title="Left over of what is cut into",
    source="arithmetic",
)
def left_share(stock_m: Number, cut_m: Number) -> Number:
    """Share of the stock that is left over.

    Parameters
    ----------
    stock_m : [m] all stock that is cut into, above zero
    cut_m : [m] all pieces

    Returns
    -------
    [-] 0 to 1, broadcast shape

    Source
    ------
    Arithmetic.
    """
    return (stock_m - cut_m) / stock_m


def plan(pieces: Sequence[int], stocks: Sequence[Stock], kerf: int = 0, seconds: float = SECONDS) -> Plan:
    """The plan that weighs least of all that cut every piece.

    Parameters
    ----------
    pieces : [steps] length of each, above zero
    stocks : what they are cut from
    kerf : [steps] lost at every cut but one at the very end of a stock
    seconds : [s] how long the solver may look

    Returns
    -------
    Plan
        Longest pieces first; the same input gives the same plan.

    Raises
    ------
    CuttingError
        When a piece is longer than any stock, or the stock does not hold them all.
    """
    if not pieces:
        return Plan((), 0, 0, "bound")
    sizes = [length + kerf for length in pieces]
    room = [Stock(stock.length + kerf, stock.weight, stock.count) for stock in stocks]
    _refuse(pieces, sizes, room)
    least = _least_weight(sum(sizes), room, len(pieces))
    simple = _simple(sizes, room)
    if simple is not None and _weight(simple, stocks) <= least:
        return Plan(tuple(simple), _weight(simple, stocks), least, "bound")
    solved = _solved(sizes, room, seconds)
    best = simple if solved is None else solved[0]
    if best is None or (simple is not None and _weight(simple, stocks) < _weight(best, stocks)):
        best = simple
    if best is None:
        raise CuttingError("the pieces do not all go into the stock there is; add one more length of it.")
    proved = least if solved is None else max(least, solved[1])
    weight = _weight(best, stocks)
    return Plan(tuple(best), weight, min(proved, weight), "solver" if proved >= weight else "none")


def _refuse(pieces: Sequence[int], sizes: Sequence[int], room: Sequence[Stock]) -> None:
    longest = max((stock.length for stock in room if stock.count != 0), default=0)
    if min(pieces) <= 0:
        raise CuttingError("a piece has no length; every piece is longer than nothing.")
    if max(sizes) > longest:
        raise CuttingError(f"a piece of {max(pieces)} steps is longer than any stock there is.")


def _weight(cuts: Sequence[Cut], stocks: Sequence[Stock]) -> int:
    return sum(stocks[cut.stock].weight for cut in cuts)


def _least_weight(total: int, room: Sequence[Stock], most: int) -> int:
    """The least that stock as long as all pieces together can weigh: a knapsack, exact in whole numbers."""
    best = [0, *[1 << 60] * total]  # least weight of stock that covers so much
    for stock in room:
        for _ in range(min(stock.count or 0, most)):
            best = [min(best[at], best[max(0, at - stock.length)] + stock.weight) for at in range(total + 1)]
            best[0] = 0
    endless = [(stock.length, stock.weight) for stock in room if stock.count is None]
    for at in range(1, total + 1) if endless else ():
        best[at] = min(best[at], *(best[max(0, at - length)] + weight for length, weight in endless))
    return best[total]


def _simple(sizes: Sequence[int], room: Sequence[Stock]) -> list[Cut] | None:
    """Longest pieces first, each where it leaves least; limited stock first, then each kind of endless stock."""
    found = [plan for plan in (_filled(sizes, room, kind) for kind in _endless(room)) if plan is not None]
    return min(found, key=lambda cuts: _weight(cuts, room), default=None)


def _endless(room: Sequence[Stock]) -> list[int | None]:
    return [number for number, stock in enumerate(room) if stock.count is None] or [None]


def _filled(sizes: Sequence[int], room: Sequence[Stock], endless: int | None) -> list[Cut] | None:
    bins: list[tuple[int, list[int]]] = [
        (number, []) for number, stock in enumerate(room) for _ in range(min(stock.count or 0, len(sizes)))
    ]
    left = [room[number].length for number, _ in bins]
    for piece in sorted(range(len(sizes)), key=lambda n: (-sizes[n], n)):
        fits = [place for place, rest in enumerate(left) if rest >= sizes[piece]]
        if not fits:
            if endless is None or room[endless].length < sizes[piece]:
                return None
            bins.append((endless, []))
            left.append(room[endless].length)
            fits = [len(bins) - 1]
        place = min(fits, key=lambda n: (left[n] - sizes[piece], n))
        bins[place][1].append(piece)
        left[place] -= sizes[piece]
    return [Cut(_shortest(sum(sizes[p] for p in held), number, room), tuple(held)) for number, held in bins if held]


def _shortest(filled: int, number: int, room: Sequence[Stock]) -> int:
    """The endless stock that weighs least and still holds what lies in one; limited stock stays what it is."""
    if room[number].count is not None:
        return number
    fits = [n for n, stock in enumerate(room) if stock.count is None and stock.length >= filled]
    return min(fits, key=lambda n: (room[n].weight, n))


def _arcs(lengths: Sequence[int], demand: Sequence[int], far: int) -> list[tuple[int, int, int]] | None:
    """Steps from position to position, longest pieces first: from, to, number of the length; None when too many."""
    reached, arcs = {0}, dict[tuple[int, int, int], None]()
    for number, (length, count) in enumerate(zip(lengths, demand, strict=True)):
        for start in sorted(reached):
            for place in range(start, start + count * length, length):
                if place + length > far:
                    break
                arcs[place, place + length, number] = None
                reached.add(place + length)
        if len(arcs) > MOST_ARCS:
            return None
    return list(arcs)


def _solved(sizes: Sequence[int], room: Sequence[Stock], seconds: float) -> tuple[list[Cut] | None, int] | None:
    """The solver's plan, and the bound it proved, as a whole number; None when the model would be too large."""
    from scipy.optimize import Bounds, LinearConstraint, milp

    counted = sorted(Counter(sizes).items(), reverse=True)
    lengths, demand = [length for length, _ in counted], [count for _, count in counted]
    arcs = _arcs(lengths, demand, max(stock.length for stock in room))
    if arcs is None:
        return None
    places = sorted({end for _, end, _ in arcs})
    ends = [(place, kind) for place in places for kind, stock in enumerate(room) if stock.length >= place]
    rows, low, high = _rows(arcs, ends, places, demand, room)
    cost = np.array([0.0] * len(arcs) + [float(room[kind].weight) for _, kind in ends])
    answer = milp(
        cost, integrality=np.ones(len(cost)), bounds=Bounds(0, np.inf), constraints=LinearConstraint(rows, low, high),
        options={"mip_rel_gap": 0.0, "time_limit": seconds},
    )  # fmt: skip
    bound = getattr(answer, "mip_dual_bound", None)
    proved = 0 if bound is None or not np.isfinite(bound) else int(np.ceil(bound - 1e-3 - 1e-9 * abs(bound)))
    if answer.x is None:
        return (None, proved)
    return (_cuts(np.rint(answer.x).astype(int), arcs, ends, lengths, sizes), proved)


def _rows(
    arcs: Sequence[tuple[int, int, int]], ends: Sequence[tuple[int, int]], places: Sequence[int],
    demand: Sequence[int], room: Sequence[Stock],
) -> tuple[Any, Any, Any]:  # fmt: skip
    """What goes into a position leaves it or ends there; every length is cut as often as asked; stock is limited."""
    from scipy.sparse import coo_array

    at = {place: row for row, place in enumerate(places)}
    entries: list[tuple[int, int, int]] = []
    for column, (start, end, number) in enumerate(arcs):
        entries += [(at[end], column, 1), (len(places) + number, column, 1)]
        entries += [(at[start], column, -1)] if start else []
    for column, (place, kind) in enumerate(ends, start=len(arcs)):
        entries += [(at[place], column, -1), (len(places) + len(demand) + kind, column, 1)]
    shape = (len(places) + len(demand) + len(room), len(arcs) + len(ends))
    row, column, value = np.array(entries).T
    limits = [np.inf if stock.count is None else float(stock.count) for stock in room]
    low = np.array([0.0] * len(places) + [float(d) for d in demand] + [0.0] * len(room))
    high = np.array([0.0] * len(places) + [float(d) for d in demand] + limits)
    return coo_array((value.astype(float), (row, column)), shape=shape).tocsr(), low, high


def _cuts(
    flow: Any, arcs: Sequence[tuple[int, int, int]], ends: Sequence[tuple[int, int]],
    lengths: Sequence[int], sizes: Sequence[int],
) -> list[Cut]:  # fmt: skip
    """The flow taken apart, path by path from the far end back to nought; pieces alike are taken in their order."""
    into: dict[int, list[list[int]]] = {}
    for (start, end, number), count in zip(arcs, flow, strict=False):
        if count:
            into.setdefault(end, []).append([start, number, int(count)])
    waiting = {length: iter([n for n, size in enumerate(sizes) if size == length]) for length in lengths}
    cuts = []
    for (place, kind), count in zip(ends, flow[len(arcs) :], strict=True):
        for _ in range(int(count)):
            taken: list[int] = []
            here = place
            while here > 0:
                step = next(step for step in into[here] if step[2] > 0)
                step[2] -= 1
                taken.append(step[1])
                here = step[0]
            picked = [next(islice(waiting[lengths[number]], 1)) for number in sorted(taken)]
            cuts.append(Cut(kind, tuple(picked)))
    return cuts
