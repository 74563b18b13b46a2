"""The ground under the staircase and its two axes, voltage up the way out and up the way back."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from trailerlib.pictures.canvas import Sheet, ticks
from trailerlib.pictures.stair_labels import SIZE
from trailerlib.pictures.stair_layout import LEAST_SPAN, LEFT, RIGHT, Drawn, Flat, Scale, Stair
from trailerlib.studies.path import Path
from trailerlib.units import figures


def tint_of(path: Path) -> str:
    """Colour of a side: the battery's where a battery is on the way.

    Parameters
    ----------
    path : the way of the current
    """
    return "dc" if any(step.kind == "battery" for step in path.steps) else "mains"


def ground(sheet: Sheet, now: Stair, scale: Scale) -> None:
    """Tinted ground under the stair, and the two axes, each on the side where the stair leaves room for its lines."""
    tint = tint_of(now.path)
    feed = [(x, scale.feed(v)) for drawn in now.out for x, v in drawn.corners()] or [(LEFT, scale.feed(now.plus_v))]
    back = [(x, scale.back(v)) for drawn in now.back for x, v in drawn.corners()] or [(RIGHT, scale.back(0.0))]
    deep, zero = scale.cut[0] + 8, scale.back(0.0)
    sheet.area([(LEFT, deep), *feed, (now.load, feed[-1][1]), (now.load, deep)], tint, 0.1)
    sheet.area([(now.load, zero), (now.load, back[0][1]), *back, (RIGHT, zero)], tint, 0.1)
    word = "the battery's minus" if tint == "dc" else "the return of the source"
    sheet.text(8, 48, f"voltage against {word} [V]", 11, "ghost")
    span = scale.feed_v[1] - scale.feed_v[0] + scale.back_v[1] - scale.back_v[0]
    values = ticks(0.0, max(span, LEAST_SPAN * now.path.emf_v), 6)
    step = values[1] - values[0]
    places = max(0, -math.floor(math.log10(step) + 1e-9))
    _feed_axis(sheet, now, scale, step, places)
    _back_axis(sheet, now, scale, step, places)


def _between(ends: Flat, step: float) -> list[float]:
    """Round values between two ends."""
    first, last = math.ceil(ends[0] / step - 1e-9), math.floor(ends[1] / step + 1e-9)
    return [count * step for count in range(first, last + 1)]


def _feed_axis(sheet: Sheet, now: Stair, scale: Scale, step: float, places: int) -> None:
    emf = now.path.emf_v
    sheet.line([(LEFT, scale.top), (LEFT, scale.cut[0] + 8)], "ghost")
    sheet.text(LEFT - 7, scale.feed(emf) + 4, figures(emf, 4), SIZE, anchor="end", bold=True)
    for value in _between(scale.feed_v, step):
        y = scale.feed(value)
        if abs(y - scale.feed(emf)) > 13:
            end = next((x for x, v in _points(now.out) if v <= value + 1e-12), now.load)
            sheet.line([(LEFT - 4, y), (end if value < emf else LEFT, y)], "grid")
            sheet.text(LEFT - 7, y + 4, f"{value:.{places}f}", SIZE, anchor="end")


def _back_axis(sheet: Sheet, now: Stair, scale: Scale, step: float, places: int) -> None:
    for value in _between(scale.back_v, step):
        y = scale.back(value)
        start = next((x for x, v in _points(now.back) if v <= value + 1e-12), RIGHT)
        sheet.line([(start, y), (RIGHT + 4, y)], "grid")
        words = f"{value:.{places}f}".replace("-", "−") if abs(value) > 1e-12 else "0"
        sheet.text(RIGHT + 8, y + 4, words, SIZE)
    sheet.line([(RIGHT, scale.bottom), (RIGHT, scale.cut[1] - 6)], "ghost")


def _points(steps: Sequence[Drawn]) -> Iterator[Flat]:
    """Points of a stair, close enough together to end a grid line on it."""
    for (x0, v0), (x1, v1) in pairwise([corner for drawn in steps for corner in drawn.corners()]):
        yield from ((x0 + (x1 - x0) * k / 40, v0 + (v1 - v0) * k / 40) for k in range(41))
