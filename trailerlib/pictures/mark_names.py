"""Names beside round marks: as near as there is room, off every other mark, name and line; a far one by a leader."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from trailerlib.pictures.canvas import Sheet
from trailerlib.pictures.lettering import cut, wide

SIZE = 11.0
AIR = 2.5  # [px] between a name and what lies beside it
ASCENT, DESCENT = 0.78, 0.24  # of the letter height
NEAR, FAR, STEP = 3.0, 120.0, 9.0  # [px] from the edge of a mark to its name
LEADER = 9.0  # [px] beyond this a thin line leads from the mark to its name

Box = tuple[float, float, float, float]  # left, top, right, bottom [px]
Flat = tuple[float, float]


@dataclass(frozen=True)
class Mark:
    """A round mark with its name: middle and radius [px], and the tint of the letters."""

    x: float
    y: float
    radius: float
    words: str
    tint: str = "ink"
    bold: bool = False


@dataclass(frozen=True)
class Named:
    """A name where it stands: its box, and the end of its leader on the name's side, None without one."""

    mark: Mark
    words: str
    box: Box
    leader: Flat | None


@dataclass(frozen=True)
class Ground:
    """What names keep clear of: edges of the picture, boxes that are taken, lines; leaders may pass the ``spots``."""

    edges: Box
    taken: tuple[Box, ...] = ()
    lines: tuple[tuple[Flat, Flat], ...] = ()
    spots: tuple[Box, ...] = ()


def names(marks: Sequence[Mark], ground: Ground, most_px: float = 150.0) -> list[Named]:
    """A place for the name of each mark, those that come first first; one that finds none is left out.

    Parameters
    ----------
    marks : the marks, the most important first
    ground : what names keep clear of
    most_px : [px] a longer name is cut
    """
    discs = [_around(mark) for mark in marks]
    placed: list[Named] = []
    for number, mark in enumerate(marks):
        words = cut(mark.words, SIZE, most_px, mark.bold)
        others = [box for k, box in enumerate(discs) if k != number]
        found = next((n for n in _tries(mark, words) if _free(n, ground, others, placed)), None)
        if found is not None:
            placed.append(found)
    return placed


def draw(sheet: Sheet, named: Sequence[Named]) -> None:
    """Leaders first, then the letters over them."""
    for one in named:
        if one.leader is not None:
            sheet.line([_edge_of(one.mark, one.leader), one.leader], "ghost", 0.8)
    for one in named:
        sheet.text(
            one.box[0], one.box[3] - DESCENT * SIZE, one.words, SIZE, one.mark.tint, bold=one.mark.bold, halo=True
        )


def _around(mark: Mark) -> Box:
    return mark.x - mark.radius, mark.y - mark.radius, mark.x + mark.radius, mark.y + mark.radius


def _tries(mark: Mark, words: str) -> Iterator[Named]:
    """Places for a name, from near to far: beside, above, below, and on the slant."""
    across, tall = wide(words, SIZE, mark.bold), (ASCENT + DESCENT) * SIZE
    gap = NEAR
    while gap <= FAR:
        out = mark.radius + gap
        for sideways, down in ((1, 0), (-1, 0), (0, -1), (0, 1), (1, -1), (-1, -1), (1, 1), (-1, 1)):
            slant = math.sqrt(0.5) if sideways and down else 1.0
            x, y = mark.x + sideways * out * slant, mark.y + down * out * slant
            for shift in (0.0, -0.5, 0.5) if not down else (-0.5, -0.15, -0.85) if not sideways else (0.0,):
                left = x + shift * across if not sideways else x if sideways > 0 else x - across
                top = y + (shift - 0.5) * tall if not down else y if down > 0 else y - tall
                box = (left, top, left + across, top + tall)
                yield Named(mark, words, box, _leader(mark, box) if gap > LEADER else None)
        gap += STEP


def _leader(mark: Mark, box: Box) -> Flat:
    """The point of a name's edge that is nearest to the mark, a hair outside."""
    x = min(max(mark.x, box[0] + 6), box[2] - 6) if box[1] > mark.y or box[3] < mark.y else mark.x
    if box[0] > mark.x:
        x = box[0] - 1.5 if box[1] <= mark.y <= box[3] else box[0] + 4
    if box[2] < mark.x:
        x = box[2] + 1.5 if box[1] <= mark.y <= box[3] else box[2] - 4
    y = box[1] - 0.5 if box[1] > mark.y else box[3] + 0.5 if box[3] < mark.y else (box[1] + box[3]) / 2
    return x, y


def _edge_of(mark: Mark, to: Flat) -> Flat:
    away = math.hypot(to[0] - mark.x, to[1] - mark.y)
    share = 0.0 if away == 0 else min(1.0, mark.radius / away)
    return mark.x + share * (to[0] - mark.x), mark.y + share * (to[1] - mark.y)


def _free(one: Named, ground: Ground, discs: Sequence[Box], placed: Sequence[Named]) -> bool:
    box, edges = one.box, ground.edges
    if box[0] < edges[0] or box[1] < edges[1] or box[2] > edges[2] or box[3] > edges[3]:
        return False
    if any(
        overlap(box, other) for other in itertools.chain(ground.taken, ground.spots, discs, (n.box for n in placed))
    ):
        return False
    leaders = [(_edge_of(n.mark, n.leader), n.leader) for n in placed if n.leader is not None]
    if any(passes(box, *line) for line in itertools.chain(ground.lines, leaders)):
        return False
    if one.leader is None:
        return True
    own = (_edge_of(one.mark, one.leader), one.leader)
    apart = (disc for disc in discs if not overlap(disc, _around(one.mark)))
    return not any(passes(other, *own) for other in itertools.chain(ground.taken, apart, (n.box for n in placed)))


def overlap(a: Box, b: Box) -> bool:
    """Whether two boxes lie on each other or nearly touch."""
    return a[0] < b[2] + AIR and b[0] < a[2] + AIR and a[1] < b[3] + AIR / 2 and b[1] < a[3] + AIR / 2


def inside(box: Box, edges: Box) -> bool:
    """Whether a box lies within the edges of another."""
    return box[0] >= edges[0] and box[1] >= edges[1] and box[2] <= edges[2] and box[3] <= edges[3]


def passes(box: Box, a: Flat, b: Flat) -> bool:
    """Whether a line from a to b goes through a box or nearly touches it."""
    if (a[0] <= box[0] - AIR and b[0] <= box[0] - AIR) or (a[0] >= box[2] + AIR and b[0] >= box[2] + AIR):
        return False  # most lines lie wholly on one side
    if (a[1] <= box[1] - 1.0 and b[1] <= box[1] - 1.0) or (a[1] >= box[3] + 1.0 and b[1] >= box[3] + 1.0):
        return False
    low, high = 0.0, 1.0
    for start, end, first, last in ((a[0], b[0], box[0] - AIR, box[2] + AIR), (a[1], b[1], box[1] - 1.0, box[3] + 1.0)):
        if abs(end - start) < 1e-9:
            if not first < start < last:
                return False
            continue
        ends = sorted(((first - start) / (end - start), (last - start) / (end - start)))
        low, high = max(low, ends[0]), min(high, ends[1])
    return low < high
