"""Words on a chart: beside lines that stand upright, and inside the regions between curves, never on a line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from trailerlib.pictures.lettering import wide

SIZE, ROW = 12.0, 14.0  # [px] letters, and from one row to the next
CLEAR = 4.0  # [px] between words and a line
APART = 9.0  # [px] between two lines that carry words
AIR = 8.0  # [px] between two words

Floats = NDArray[np.float64]
Box = tuple[float, float, float, float]  # left, top, right, bottom [px]


@dataclass(frozen=True)
class Upright:
    """A line that stands at a place across [px], with its words and their tint."""

    x: float
    words: str
    tint: str
    dash: str = ""


@dataclass(frozen=True)
class Spot:
    """Where the words of an upright stand: left end [px] and the row, 0 is the lowest."""

    left: float
    row: int


def spread(lines: Sequence[Upright]) -> list[Upright]:
    """The uprights drawn apart, so that each can carry its words; where they stand apart already they stay.

    Parameters
    ----------
    lines : uprights, from left to right
    """
    ahead, back = [line.x for line in lines], [line.x for line in lines]
    for k in range(1, len(lines)):
        ahead[k] = max(ahead[k], ahead[k - 1] + APART)
        back[-1 - k] = min(back[-1 - k], back[-k] - APART)
    return [replace(line, x=(a + b) / 2) for line, a, b in zip(lines, ahead, back, strict=True)]


def rows(lines: Sequence[Upright], left: float, right: float) -> list[Spot]:
    """A row for the words of each upright so that no words lie on others or on a line that goes higher.

    Parameters
    ----------
    lines : uprights, from left to right
    left : [px] edge on the left
    right : [px] edge on the right

    Returns
    -------
    list of Spot
        One for each line. Should no order keep all apart, each has a row of its own.
    """
    found = _next(lines, (), left, right, max(4, len(lines)))
    if found is not None:
        return list(found)
    return [Spot(min(max(line.x, left), right - wide(line.words, SIZE)), row) for row, line in enumerate(lines)]


def _next(
    lines: Sequence[Upright], placed: tuple[Spot, ...], left: float, right: float, most: int
) -> tuple[Spot, ...] | None:
    if len(placed) == len(lines):
        return placed
    line = lines[len(placed)]
    across = wide(line.words, SIZE)
    for row in range(most):
        for start in (line.x - across / 2, line.x - 2, line.x + 2 - across):
            inside = min(max(start, left), right - across)
            if not inside - 3 <= line.x <= inside + across + 3:
                continue
            spot = Spot(inside, row)
            if all(_apart(line, spot, other, there) for other, there in zip(lines, placed, strict=False)):
                found = _next(lines, (*placed, spot), left, right, most)
                if found is not None:
                    return found
    return None


def _apart(one: Upright, a: Spot, two: Upright, b: Spot) -> bool:
    """Whether two uprights share a row side by side, or the line of the higher passes the words of the lower."""
    a_end, b_end = a.left + wide(one.words, SIZE), b.left + wide(two.words, SIZE)
    if a.row == b.row:
        return a_end + AIR <= b.left or b_end + AIR <= a.left
    high, low, low_end = (one.x, b.left, b_end) if a.row > b.row else (two.x, a.left, a_end)
    return not low - CLEAR <= high <= low_end + CLEAR


@dataclass(frozen=True)
class Ground:
    """What words inside a chart keep clear of: curves [px] at every place across [px], uprights, and other words."""

    across: Floats
    curves: tuple[Floats, ...]
    uprights: tuple[float, ...]
    taken: tuple[Box, ...]

    def place(
        self, words: str, region: tuple[Floats, Floats], near: tuple[float, float], bases: Sequence[float]
    ) -> Box | None:
        """The box nearest to a point that lies wholly in a region and on no line, or None.

        Parameters
        ----------
        words : what to write
        region : upper and lower edge of the region [px] at every place across
        near : [px] point to be close to
        bases : [px] base lines to try
        """
        length = wide(words, SIZE)
        count = int(np.ceil((length + 2 * CLEAR) / (self.across[1] - self.across[0])))
        best: tuple[float, Box] | None = None
        for base in bases:
            top, bottom = base - 0.8 * SIZE, base + 0.25 * SIZE
            for at in np.flatnonzero(_runs(self._free(top, bottom, region), count)):
                left = float(self.across[at]) + CLEAR
                far = abs(left + length / 2 - near[0]) + 1.5 * abs(base - near[1])
                box = (left, top, left + length, bottom)
                if (best is None or far < best[0]) and not any(_covers(box, other) for other in self.taken):
                    best = (far, box)
        return None if best is None else best[1]

    def _free(self, top: float, bottom: float, region: tuple[Floats, Floats]) -> NDArray[np.bool_]:
        free = (region[0] <= top - CLEAR) & (region[1] >= bottom + CLEAR)
        for curve in self.curves:
            free &= (curve <= top - CLEAR) | (curve >= bottom + CLEAR)
            jump = np.concatenate([[False], (curve[:-1] < top) != (curve[1:] < top)])
            free &= ~jump
        for x in self.uprights:
            free &= np.abs(self.across - x) > CLEAR / 2
        return free


def _runs(free: NDArray[np.bool_], count: int) -> NDArray[np.bool_]:
    """Where so many places in a row are free."""
    total = np.concatenate([[0], np.cumsum(free)])
    found = np.zeros(len(free), dtype=bool)
    if count < len(free):
        found[: len(free) - count + 1] = total[count:] - total[: len(free) - count + 1] == count
    return found


def _covers(a: Box, b: Box) -> bool:
    return a[0] < b[2] + AIR and b[0] < a[2] + AIR and a[1] < b[3] and b[1] < a[3]
