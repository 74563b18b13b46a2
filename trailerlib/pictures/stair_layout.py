"""A path laid out as a staircase: each thing has its place across, both panels have one number of pixels a volt."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from trailerlib.studies.path import Kind, Path, Step

LEFT, RIGHT = 62.0, 466.0
TOP, BOTTOM = 58.0, 292.0
BREAK = 62.0  # [px] least height of the cut between the two panels
LOAD = 46.0  # [px] width of the load's column
NEAREST, FARTHEST = 172.0, 290.0  # [px] where that column may begin, so that words fit on both sides of it
WORTH: dict[Kind, float] = {"battery": 1.3, "contact": 1.0, "fuse": 1.2, "wire": 3.2}  # width of a step, relative
LEAST_SPAN = 0.002  # of the source voltage: less is not magnified further

Flat = tuple[float, float]


@dataclass(frozen=True)
class Drawn:
    """One thing as drawn: left and right end [px], voltage before it [V], what each of its pieces loses [V].

    ``inner`` is the inside of the source itself.
    """

    name: str
    kind: Kind
    inner: bool
    current_a: float
    left: float
    right: float
    before_v: float
    pieces_v: tuple[float, ...]

    @property
    def lost_v(self) -> float:
        """Voltage lost [V]; less than 0 where a shared wire gives some back."""
        return sum(self.pieces_v)

    @property
    def after_v(self) -> float:
        """Voltage after it [V]."""
        return self.before_v - self.lost_v

    @property
    def middle(self) -> float:
        """Where it drops, or the middle of its slope [px]."""
        return (self.left + self.right) / 2

    def corners(self) -> list[Flat]:
        """Its line: pixels across, volts. A wire loses along its length, all else at one spot."""
        if self.kind != "wire":
            at = self.middle
            return [(self.left, self.before_v), (at, self.before_v), (at, self.after_v), (self.right, self.after_v)]
        points, volt = [(self.left, self.before_v)], self.before_v
        for number, lost in enumerate(self.pieces_v, 1):
            volt -= lost
            points.append((self.left + (self.right - self.left) * number / len(self.pieces_v), volt))
        return points


@dataclass(frozen=True)
class Stair:
    """A path laid out across: what lies out and back, and the middle of the load's column [px]."""

    path: Path
    out: tuple[Drawn, ...]
    back: tuple[Drawn, ...]
    load: float

    @property
    def plus_v(self) -> float:
        """Voltage at the load where the current enters [V]."""
        return self.out[-1].after_v if self.out else self.path.emf_v

    @property
    def minus_v(self) -> float:
        """Voltage at the load where the current leaves [V]."""
        return self.back[0].before_v if self.back else 0.0

    @property
    def costliest(self) -> Drawn | None:
        """The thing that loses the most; None when nothing is lost."""
        most = max((*self.out, *self.back), key=lambda drawn: drawn.lost_v, default=None)
        return most if most is not None and most.lost_v > 0.0 and self.path.lost_v > 0.0 else None

    def heights_v(self) -> tuple[list[float], list[float]]:
        """Every voltage on the way out and on the way back [V], source and nought among them."""
        out = [v for drawn in self.out for _, v in drawn.corners()]
        return [self.path.emf_v, *out], [0.0, *(v for drawn in self.back for _, v in drawn.corners())]


def laid(path: Path) -> Stair:
    """A path with a place for each thing; pieces of one wire that follow each other are one thing.

    Parameters
    ----------
    path : the steps in the order of the current
    """
    things = [list(same) for _, same in groupby(path.steps, key=lambda step: (step.name, step.kind, step.way))]
    out = [thing for thing in things if thing[0].way != "back"]
    back = [thing for thing in things if thing[0].way == "back"]
    share = sum(map(_worth, out)) / (sum(map(_worth, things)) or 1.0)
    load = min(max(LEFT + (RIGHT - LEFT - LOAD) * share, NEAREST), FARTHEST)
    minus = sum(step.lost_v for thing in back for step in thing)
    return Stair(
        path,
        tuple(_across(out, LEFT, load, path.emf_v)),
        tuple(_across(back, load + LOAD, RIGHT, minus)),
        load + LOAD / 2,
    )


def _worth(thing: Sequence[Step]) -> float:
    return WORTH[thing[0].kind] + 0.5 * (len(thing) - 1)


def _across(things: Sequence[Sequence[Step]], left: float, right: float, volt: float) -> Iterator[Drawn]:
    px = (right - left) / (sum(map(_worth, things)) or 1.0)
    for thing in things:
        first, end = thing[0], left + px * _worth(thing)
        pieces = tuple(step.lost_v for step in thing)
        inner = first.kind == "battery" or (first.way == "source" and first.kind == "wire")
        yield Drawn(first.name, first.kind, inner, first.current_a, left, end, volt, pieces)
        left, volt = end, volt - sum(pieces)


@dataclass(frozen=True)
class Scale:
    """One number of pixels a volt for both panels; the cut between them takes what is left of the height."""

    px_per_v: float
    feed_v: tuple[float, float]  # [V] low and high end of the upper panel
    back_v: tuple[float, float]  # [V] of the lower panel
    top: float
    bottom: float

    def feed(self, volt: float) -> float:
        """Height in the upper panel [px].

        Parameters
        ----------
        volt : [V] voltage
        """
        return self.top + (self.feed_v[1] - volt) * self.px_per_v

    def back(self, volt: float) -> float:
        """Height in the lower panel [px].

        Parameters
        ----------
        volt : [V] voltage
        """
        return self.bottom - (volt - self.back_v[0]) * self.px_per_v

    @property
    def cut(self) -> Flat:
        """Upper and lower edge of the cut [px]."""
        return self.feed(self.feed_v[0]), self.back(self.back_v[1])


def scaled(now: Stair, feed_v: Sequence[float], back_v: Sequence[float], head: float, foot: float) -> Scale:
    """The scale that shows so many voltages, in steps of 12 % so that it does not jump with every move.

    Parameters
    ----------
    now : the stair
    feed_v : [V] what the upper panel has to show
    back_v : [V] what the lower panel has to show
    head : [px] left free above
    foot : [px] left free below
    """
    upper, lower = (min(feed_v), max(feed_v)), (min(back_v), max(back_v))
    span = max(upper[1] - upper[0] + lower[1] - lower[0], LEAST_SPAN * now.path.emf_v)
    steady = 10.0 ** (math.ceil(20.0 * math.log10(span) - 1e-9) / 20.0)
    return Scale((BOTTOM - TOP - BREAK - head - foot) / steady, upper, lower, TOP + head, BOTTOM - foot)


def levels(steps: Sequence[Drawn], x: float, side: int) -> list[float]:
    """Voltages a stair has from a place across [px] on: to the right (side 1) or to the left (−1).

    Parameters
    ----------
    steps : one side of the stair
    x : [px] the place
    side : [-] 1 or −1
    """
    beside = x + 0.02 * side  # at a drop, the height it has beside the words
    points = [corner for drawn in steps for corner in drawn.corners()]
    found = [v for at, v in points if (at - beside) * side >= 0.0]
    for (x0, v0), (x1, v1) in pairwise(points):
        if x0 <= beside <= x1 and x1 > x0:
            found.append(v0 + (v1 - v0) * (beside - x0) / (x1 - x0))
    return found


def inside(points: Sequence[Flat], low: float, high: float) -> Iterator[list[Flat]]:
    """The pieces of a line between two heights.

    Parameters
    ----------
    points : [px] corners of the line
    low : [px] upper edge
    high : [px] lower edge
    """
    for (x0, y0), (x1, y1) in pairwise(points):
        if y1 == y0:
            if low <= y0 <= high:
                yield [(x0, y0), (x1, y1)]
            continue
        ends = sorted(min(max((edge - y0) / (y1 - y0), 0.0), 1.0) for edge in (low, high))
        if ends[1] > ends[0]:
            yield [(x0 + k * (x1 - x0), y0 + k * (y1 - y0)) for k in ends]
