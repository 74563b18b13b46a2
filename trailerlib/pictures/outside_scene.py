"""A side of the box as it is drawn from outside: its scale, and where holes, bars and marks lie on the sheet."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from trailerlib.pictures.mark_names import Box, Flat, overlap
from trailerlib.pictures.outside_words import GLYPH, ROW, Clear, Line, Thing, edges_of, kept, pieces
from trailerlib.pictures.roof_words import TINTS
from trailerlib.rules.finding import MARKS
from trailerlib.studies.roof.picture import Bar, FromOutside, Hole

WIDTH, HEIGHT = 520.0, 304.0
MARGIN, TOP, FOOT = 8.0, 51.0, 300.0
BELOW_ROWS = 4  # of the list under a long side
WORDS = 15.0  # [px] row of words under the side
COLUMN = 190.0  # [px] least room for the list beside a short side
ENDS = 130.0  # [px] room for the words at both ends of a side
BEYOND = 5.0  # [px] what reaches over the edge is drawn so far
MIRRORED = ("curb", "nose")  # seen from outside, x runs to the left
FRAME = ("header", "trimmer")


@dataclass(frozen=True)
class Side:
    """A side as it is drawn: its scale, its top left corner [px], and whether the list stands below it or beside it."""

    told: FromOutside
    px_per_m: float
    left: float
    top: float
    below: bool

    @property
    def box(self) -> Box:
        """Its edges [px]."""
        across, down = self.told.length * self.px_per_m, self.told.height * self.px_per_m
        return self.left, self.top, self.left + across, self.top + down

    @property
    def near(self) -> Box:
        """Its edges and what is drawn beyond them [px]."""
        left, top, right, bottom = self.box
        return left - BEYOND, top - BEYOND, right + BEYOND, bottom + BEYOND

    @property
    def focus(self) -> Hole | None:
        """The opening that is moved."""
        return next((hole for hole in self.told.holes if hole.name == self.told.focus), None)

    def at(self, x: float, y: float) -> Flat:
        """A place on it [px]; y runs up, which on the roof is from the road side to the curb side.

        Parameters
        ----------
        x : [m] along the side
        y : [m] up the side
        """
        along = self.told.length - x if self.told.wall in MIRRORED else x
        return self.left + along * self.px_per_m, self.top + (self.told.height - y) * self.px_per_m

    def rect(self, x: float, y: float, along: float, up: float) -> Box:
        """A rectangle on the sheet [px], cut a little beyond the edges.

        Parameters
        ----------
        x : [m] its middle along the side
        y : [m] its middle up the side
        along : [m] its size along the side
        up : [m] its size up the side
        """
        (mx, my), half = self.at(x, y), (along * self.px_per_m / 2, up * self.px_per_m / 2)
        return self.clipped((mx - half[0], my - half[1], mx + half[0], my + half[1]))

    def clipped(self, box: Box) -> Box:
        """A rectangle cut a little beyond the edges [px]."""
        left, top, right, bottom = self.near
        x1, x2 = (min(max(v, left), right) for v in box[::2])
        y1, y2 = (min(max(v, top), bottom) for v in box[1::2])
        return x1, y1, x2, y2

    def hole(self, hole: Hole) -> Box:
        """The hole itself [px]."""
        return self.rect(hole.x, hole.y, hole.length, hole.width)

    def flange(self, hole: Hole) -> Box | None:
        """The hole with its flange [px]; None where that is not known."""
        if hole.flange is None:
            return None
        return self.rect(hole.x, hole.y, hole.length + 2 * hole.flange, hole.width + 2 * hole.flange)

    def cover(self, hole: Hole) -> Box | None:
        """What covers the hole outside [px]."""
        return None if hole.shroud is None else self.rect(hole.x, hole.y, *hole.shroud)

    def line(self, bar: Bar) -> Line:
        """The middle of a bar [px]."""
        return self.at(*bar.start), self.at(*bar.end)

    def way(self, points: Sequence[Flat]) -> list[Line]:
        """A raceway piece by piece [px], as far as it lies on the side."""
        lines = ((self.at(*a), self.at(*b)) for a, b in itertools.pairwise(points))
        return [part for line in lines for part in kept(line, self.near)]

    def cabinets(self) -> Iterator[tuple[str, Box]]:
        """What stands against it inside, with its place [px]."""
        for name, x, y, x2, y2 in self.told.cabinets:
            yield name, self.rect((x + x2) / 2, (y + y2) / 2, x2 - x, y2 - y)

    def cut_parts(self, bar: Bar) -> list[Line]:
        """The parts of a bar that lie in a hole which is no door [px]: a door has its own frame."""
        if not bar.cut:
            return []
        middle, grow = self.line(bar), bar.broad * self.px_per_m / 2 + 0.1
        holes = [self.hole(hole) for hole in self.told.holes if hole.kind != "door"]
        doors = [self.hole(hole) for hole in self.told.holes if hole.kind == "door"]
        whole = pieces(middle, [(x - grow, y - grow, x2 + grow, y2 + grow) for x, y, x2, y2 in holes])
        points = [middle[0], *(point for piece in whole for point in piece), middle[1]]
        gaps = [(a, b) for a, b in zip(points[::2], points[1::2], strict=True) if math.dist(a, b) > 0.5]
        return [part for gap in gaps for rest in kept(gap, self.near) for part in pieces(rest, doors)]


def side_of(told: FromOutside) -> Side:
    """As large as the list leaves room for: under a long side, beside a short one; the same whatever the list says."""
    tall = FOOT - TOP - WORDS
    under = min((WIDTH - 2 * MARGIN) / told.length, (tall - BELOW_ROWS * ROW) / told.height)
    beside = min((WIDTH - 3 * MARGIN - COLUMN) / told.length, tall / told.height)
    if under >= beside:
        return Side(told, under, (WIDTH - told.length * under) / 2, TOP, True)
    return Side(told, beside, MARGIN + max(0.0, ENDS - told.length * beside) / 2, TOP, False)


def former(side: Side, ghost: FromOutside | None) -> Box | None:
    """Where the hole in focus was [px]; None where it has not moved."""
    if ghost is None or ghost.wall != side.told.wall or side.focus is None:
        return None
    then = next((hole for hole in ghost.holes if hole.name == side.told.focus), None)
    if then is None or side.hole(then) == side.hole(side.focus):
        return None
    return side.hole(then)


def spots(side: Side) -> list[Box]:
    """Where the marks stand [px]: at their places, those of one place beside each other."""
    left, top, right, bottom = side.box
    across, tall = GLYPH + 1.5, GLYPH + 2.0
    found: list[Box] = []
    for one in side.told.marks:
        x, y = side.at(one.x, one.y)
        x, y = min(max(x, left + across), right - across), min(max(y, top + tall), bottom - tall)
        steps = itertools.product(range(9), ((1, 0), (-1, 0), (0, -1), (0, 1)))
        shifts = ((x + n * 18.5 * dx, y + n * 18.5 * dy) for n, (dx, dy) in steps)
        boxes = [(a - across, b - tall, a + across, b + tall) for a, b in shifts]
        free = (box for box in boxes if _lies_on(box, side.box) and not any(overlap(box, other) for other in found))
        found.append(next(free, boxes[0]))
    return found


def _lies_on(box: Box, edges: Box) -> bool:
    return box[0] >= edges[0] - 1 and box[1] >= edges[1] - 1 and box[2] <= edges[2] + 1 and box[3] <= edges[3] + 1


def things(side: Side) -> Iterator[Thing]:
    """What wants a name: the opening in focus, the other openings, the cabinets."""
    for hole in sorted(side.told.holes, key=lambda h: h.name != side.told.focus):
        sign = "" if hole.word == "holds" else f"{MARKS[hole.word]} "
        around = tuple(box for box in (side.flange(hole), side.cover(hole)) if box is not None)
        tint = TINTS[hole.word] if sign else "ink"
        yield Thing(sign + hole.name, side.hole(hole), around, tint, hole.name == side.told.focus)
    for name, box in side.cabinets():
        yield Thing(name, box, tint="ghost", inside=True)


def clear(side: Side, before: Box | None, marks: Sequence[Box]) -> Clear:
    """Names keep off the openings, what is cut and the frame always; off bows, raceways and covers where they can.

    Parameters
    ----------
    side : the side
    before : [px] where the hole in focus was
    marks : [px] where the marks stand
    """
    told = side.told
    holes = [side.hole(hole) for hole in told.holes]
    flanges = [side.flange(hole) for hole in told.holes]
    hard = [edge for box in (*holes, *flanges) if box is not None for edge in edges_of(box)]
    hard += [side.line(bar) for bar in told.bars if bar.kind in FRAME]
    hard += [part for bar in told.bars for part in side.cut_parts(bar)]
    covers = [box for box in (*map(side.cover, told.holes), before) if box is not None]
    soft = [edge for box in (*covers, *(box for _, box in side.cabinets())) for edge in edges_of(box)]
    ways = [line for _, points in told.raceways for line in side.way(points)]
    bars = [part for bar in told.bars for part in pieces(side.line(bar), holes)]
    left, top, right, bottom = side.box
    tries = ((*hard, *soft, *ways, *bars), (*hard, *soft, *ways), (*hard, *ways), tuple(hard))
    return Clear((left + 3, top + 3, right - 3, bottom - 3), tuple(marks), tries)
