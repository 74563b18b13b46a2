"""The lowest point of a curve: a spot, and its words where no line passes through them."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from typing import Literal

from trailerlib.pictures.canvas import Sheet
from trailerlib.pictures.lettering import wide
from trailerlib.pictures.mark_names import Box, Flat, inside, passes

SIZE = 14.0
NEAR = 9.0  # [px] from the spot to the words
AWAY = (NEAR, 20.0, 36.0, 52.0, 68.0, 84.0)  # [px] up or down
Side = Literal["start", "end"]


def lowest_point(sheet: Sheet, at: Flat, words: str, tint: str, lines: Iterable[Sequence[Flat]], edges: Box) -> None:
    """A spot with words beside it.

    Parameters
    ----------
    sheet : where to draw
    at : [px] the point
    words : what is written
    tint : colour of spot and words
    lines : [px] what the words keep clear of
    edges : [px] what the words keep inside
    """
    sheet.dot(*at, 4, tint, "paper")
    pieces = [piece for line in lines for piece in itertools.pairwise(line)]
    boxes = [(spot, _box(spot, words)) for spot in _spots(at)]
    held = [(spot, box) for spot, box in boxes if inside(box, edges)]
    clear = (spot for spot, box in held if not any(passes(box, a, b) for a, b in pieces))
    first = held[0][0] if held else (at[0] - NEAR, at[1] - NEAR, "end")
    x, y, side = next(clear, first)
    sheet.text(x, y, words, SIZE, tint, side, bold=True, halo=True)


def over_floor(
    sheet: Sheet, points: Sequence[Flat], earlier: Sequence[Flat], floor: Sequence[Flat], foot: float, tint: str
) -> None:
    """A curve of charge above the floor it must not pass, the one from before the last move pale under it.

    Parameters
    ----------
    sheet : where to draw
    points : [px] the curve
    earlier : [px] the curve before, empty without one
    floor : [px] both ends of the floor
    foot : [px] where the ground under the curve ends
    tint : colour of the curve
    """
    sheet.line(floor, "stop", 1.8, "5 3")
    if earlier:
        sheet.line(earlier, "ghost", 1.6)
    sheet.area([(points[0][0], foot), *points, (points[-1][0], foot)], tint)
    sheet.line(points, tint, 2.6)


def _spots(at: Flat) -> list[tuple[float, float, Side]]:
    """Base lines to try, the likeliest first: below a falling curve there is room on its left."""
    x, y = at
    downs = [sign * down + (0.72 * SIZE if sign > 0 else 0.0) for down in AWAY for sign in (1, -1)]
    sides: tuple[tuple[float, Side], ...] = ((x - NEAR, "end"), (x + NEAR, "start"))
    return [(across, y + down, side) for down in downs for across, side in sides]


def _box(spot: tuple[float, float, Side], words: str) -> Box:
    x, y, side = spot
    across = wide(words, SIZE, True)
    left = x - across if side == "end" else x
    return left - 2, y - 0.78 * SIZE - 3, left + across + 2, y + 0.24 * SIZE + 2
