"""What comes in over a trip, and what the loads take: power at the battery, in above the line and out below."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from trailerlib import units
from trailerlib.pictures.canvas import Axis, Sheet, legend
from trailerlib.studies.trip.result import TripPicture

COLUMN = 3.0  # [px] one column of the band holds what flows in its time
SOURCES = (("sun", "solar_w", "watch"), ("charger", "charger_w", "mains"), ("tow", "tow_w", "holds"))
LOADS = ("loads", "load_w", "dc")
DARK = 0.55

Floats = NDArray[np.float64]


def flows(sheet: Sheet, across: Axis, picture: TripPicture, edges: tuple[float, float]) -> None:
    """The sources stacked above a line, the loads below it on the same scale, with the most of each in words.

    Parameters
    ----------
    sheet : where to draw
    across : hours [h] to pixels
    picture : the trip
    edges : [px] top and bottom of the band
    """
    hours = np.linspace(across.low, across.high, 1 + int((across.end - across.start) / COLUMN))
    sources = [(words, np.asarray(getattr(picture, key)), tint) for words, key, tint in SOURCES]
    coming = [(words, power, tint) for words, power, tint in sources if power.max(initial=0.0) > 0]
    taken = np.asarray(picture.load_w)
    stack = [np.zeros(len(hours) - 1)]
    for _, power, _ in coming:
        stack.append(stack[-1] + _mean(hours, picture.edges_h, power))
    out = _mean(hours, picture.edges_h, taken)
    most_in, most_out = float(stack[-1].max(initial=0.0)), float(out.max(initial=0.0))
    scale = (edges[1] - edges[0]) / ((most_in + most_out) or 1.0)
    line = edges[0] + most_in * scale
    for (_, _, tint), low, high in zip(coming, stack, stack[1:], strict=False):
        _steps(sheet, across, hours, line - low * scale, line - high * scale, tint)
    _steps(sheet, across, hours, np.full(len(out), line), line + out * scale, LOADS[2])
    sheet.line([(across.start, line), (across.end, line)], "ink", 0.8)
    _keys(sheet, [*coming, (LOADS[0], taken, LOADS[2])], edges[0] - 9)


def _keys(sheet: Sheet, kinds: list[tuple[str, Floats, str]], y: float) -> None:
    """The kinds with the most each reaches."""
    entries = [("bar", tint, f"{words} {_most(power)}") for words, power, tint in kinds]
    if len(kinds) == 1:
        entries.append(("tick", "ghost", "nothing comes in"))
    legend(sheet, 8, y, entries)


def _most(power: Floats) -> str:
    return f"to {units.show(float(power.max(initial=0.0)), 'power')}"


def _mean(hours: Floats, edges_h: Floats, power: Floats) -> Floats:
    """Mean power in each column [W]; what flows in all stays the same."""
    edges = np.asarray(edges_h)
    energy = np.concatenate([[0.0], np.cumsum(power * np.diff(edges))])
    mean: Floats = np.diff(np.interp(hours, edges, energy)) / np.diff(hours)
    return mean


def _steps(sheet: Sheet, across: Axis, hours: Floats, low: Floats, high: Floats, tint: str) -> None:
    """A stepped area from one edge to the other, in pieces where something flows."""
    flowing = np.abs(high - low) > 0.05
    marks = np.flatnonzero(np.diff(np.concatenate([[False], flowing, [False]]).astype(int)))
    for first, last in marks.reshape(-1, 2).tolist():
        there = _edge(across, hours, high, first, last)
        back = _edge(across, hours, low, first, last)
        sheet.area([*there, *back[::-1]], tint, DARK)


def _edge(across: Axis, hours: Floats, level: Floats, first: int, last: int) -> list[tuple[float, float]]:
    """The stepped edge of some columns [px], without points on a level run."""
    points: list[tuple[float, float]] = []
    for k in range(first, last):
        y = float(level[k])
        if k > first and abs(y - points[-1][1]) < 0.05:
            points[-1] = (across(float(hours[k + 1])), points[-1][1])
        else:
            points += [(across(float(hours[k])), y), (across(float(hours[k + 1])), y)]
    return points
