"""How sure it is: what becomes of a design when its loads draw more than is written, case by case."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.errors import DesignError
from trailerlib.design.model import Load
from trailerlib.studies.timetable import hours_on
from trailerlib.studies.trade_offs.axes import Steps
from trailerlib.studies.trade_offs.candidates import sampled
from trailerlib.studies.trade_offs.choose import Limits, passing, shown
from trailerlib.studies.trade_offs.metrics import noun_of
from trailerlib.studies.trade_offs.result import Result
from trailerlib.studies.trade_offs.sweeping import sweep

CASES = 256
NOTCHES = 9  # between what is written and the most


@dataclass(frozen=True)
class Tolerance:
    """How a design stands when its loads draw more: cases looked at, the share that holds [-], the sweep behind it."""

    cases: int
    holds: float
    sentence: str
    result: Result


def tolerance(design: Design, limits: Limits, more: float = 0.2, cases: int = CASES, seed: int = 1) -> Tolerance:
    """The share of cases that keep within limits while every load draws something between what is written and more.

    Every load that some stay switches on draws its own share more, all shares alike likely.

    Parameters
    ----------
    design : the design
    limits : [inside unit] least and most by metric or severity
    more : [-] most that a load may draw above what is written
    cases : [-] how many are looked at
    seed : [-] of the sample

    Raises
    ------
    DesignError
        When there is no limit, or no load that is used.
    """
    if not limits:
        raise DesignError('there is no limit to hold; give at least one, such as {"reserve_h": (0, None)}.')
    axes = [_axis(load.name, load.each_w, more) for load in _used(design)]
    if not axes:
        raise DesignError("no stay switches a load on: there is nothing that could draw more.")
    bare = _bare_power(design)
    result = sweep(bare, sampled(axes, cases, seed), tuple(limits), proof=1)
    held = passing(result, limits)
    share = float(held.mean())
    return Tolerance(cases, share, _sentence(result, limits, more, share), result)


def _used(design: Design) -> list[Load]:
    return [load for load in design.loads if any(hours_on(stay, load) > 0 for stay in design.stays)]


def _bare_power(design: Design) -> Design:
    """The same design with the power of each used load written out, so that what is written can be raised."""
    changes: dict[tuple[str, ...], str] = {}
    for load in _used(design):
        changes[("load", load.name, "power")] = _watts(load.each_w)
    return design.replace_all(changes)


def _axis(name: str, each_w: float, more: float) -> Steps:
    watts = np.linspace(1.0, 1.0 + more, NOTCHES) * each_w
    return Steps(("load", name, "power"), tuple(_watts(float(w)) for w in watts))


def _watts(value: float) -> str:
    return f"{value:.17g} W"


def _sentence(result: Result, limits: Limits, more: float, share: float) -> str:
    said = f"With every load up to {more:.0%} higher it holds in {share:.0%} of {result.count} cases"
    if share == 1.0:
        return f"{said}."
    lost = {key: 1.0 - float(passing(result, {key: ends}).mean()) for key, ends in limits.items()}
    first = max(lost, key=lost.__getitem__)
    values = result.metrics[first]
    known = values[~np.isnan(values)]
    worst = float(known.max() if limits[first][1] is not None else known.min()) if known.size else float("nan")
    return f"{said}. What gives way first is {noun_of(first)}: {shown(result, first, worst)} in the worst of them."
