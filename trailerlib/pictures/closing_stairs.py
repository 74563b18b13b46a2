"""The way of the current as a staircase with its band and what was read on it; where nothing flows, gauges alone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from trailerlib.pictures.canvas import Ink, Sheet
from trailerlib.pictures.closing_gauges import (
    MARKS,
    TINTS,
    gauges,
    heading,
    suspect_heading,
    suspects_list,
)
from trailerlib.pictures.closing_layout import across, drawn_of, height_of, kept, parts_of, sides, start_v
from trailerlib.pictures.closing_strip import FOOT, accused, strip
from trailerlib.pictures.lettering import cut
from trailerlib.pictures.stair_axes import ground
from trailerlib.pictures.stair_labels import SIZE, Label, stacked
from trailerlib.pictures.stair_layout import (
    BOTTOM,
    BREAK,
    TOP,
    Flat,
    Scale,
    Stair,
    laid,
    scaled,
)
from trailerlib.studies.closing import words
from trailerlib.studies.closing.along import Along, Drop
from trailerlib.studies.closing.drawn import Picture
from trailerlib.studies.path import Way

WIDTH, HEIGHT = 520.0, 480.0
EDGE = 514.0  # [px] right end of the stair's words
LINE = 15.0
MOST_GAUGES = 4  # [-] beside the stair
MOST_TOLD = 4  # [-] drops with words on one side


def closing_stairs(picture: Picture, *, ink: Ink = "screen") -> str:
    """What should be read along the way of the current, how far it may be off, and what was read.

    Parameters
    ----------
    picture : what is drawn, for one line in focus
    ink : ``screen`` or ``paper``
    """
    sheet = Sheet(WIDTH, HEIGHT, f"Closing-in test: {picture.title}", ink)
    if picture.focus is None:
        sheet.text(
            WIDTH / 2,
            HEIGHT / 2,
            "Nothing to measure yet: put in a battery, circuits and loads.",
            14,
            "ghost",
            "middle",
        )
    elif picture.along is None:
        _gauges(sheet, picture)
    else:
        _stairs(sheet, picture, picture.along)
    return sheet.svg()


def _gauges(sheet: Sheet, picture: Picture) -> None:
    heading(sheet, picture.title[:1].upper() + picture.title[1:], picture.state, WIDTH - 16)
    lines = max(2, len(picture.suspects))
    room = LINE * (1 + lines) + 6 if picture.suspects else 0.0
    pitch = min(44.0, (HEIGHT - room - 64) / max(1, len(picture.gauges)))
    end = gauges(sheet, picture.gauges, (8, 42, EDGE, pitch), 1, picture.focus)
    sheet.text(8, min(end + 14, HEIGHT - room - 8), "bar: accepted, tick: expected, spot: read", 11, "ghost")
    _suspects(sheet, picture, HEIGHT - room + 6)


def _suspects(sheet: Sheet, picture: Picture, top: float) -> None:
    if picture.suspects:
        sheet.text(8, top, suspect_heading(picture), SIZE, bold=True)
        suspects_list(sheet, picture, 8, top + LINE, EDGE, int((HEIGHT - top - 5) / LINE))


def _stairs(sheet: Sheet, picture: Picture, way: Along) -> None:
    stair = laid(way.path)
    scale, above, below = _arranged(stair, way)
    heading(sheet, picture.title, picture.state, EDGE - 8)
    accused(sheet, stair, way, picture.suspects)
    ground(sheet, stair, scale)
    for side in sides(way):
        _band(sheet, stair, way, side, scale)
    _expected(sheet, stair, scale)
    for side in sides(way):
        _read(sheet, stair, way, side, scale)
    for label, drop in (*above, *below):
        _say(sheet, label, drop, 1 if (label, drop) in above else -1)
    strip(sheet, stair, picture)
    sheet.text(8, FOOT + 14, "band: accepted, line: expected, dots: read", 11, "ghost")
    end = gauges(sheet, picture.gauges[:MOST_GAUGES], (8, FOOT + 18, EDGE, 33.0), 2, picture.focus)
    _suspects(sheet, picture, end + 14)


def _arranged(stair: Stair, way: Along) -> tuple[Scale, list[tuple[Label, Drop]], list[tuple[Label, Drop]]]:
    """The scale and the words of both sides, with room for them above and below."""
    feed, back = stair.heights_v()
    for side, found in (("out", feed), ("back", back)):
        found += [level for part in parts_of(way, side) for level in (part.low, part.high)]  # type: ignore[arg-type]
        found += [kept(spot.volts, way, side) for spot in way.spots(side)]  # type: ignore[arg-type]
    head, foot, most = 4.0, 4.0, MOST_TOLD
    while True:
        scale = scaled(stair, feed, back, head, foot)
        above, below = (_labels(stair, way, side, scale, most) for side in ("out", "back"))
        over = max([0.0, *(TOP - label.box(1)[1] for label, _ in above)])
        under = max([0.0, *(label.box(-1)[3] - BOTTOM for label, _ in below)])
        if (over <= 0.5 and under <= 0.5) or most == 0:
            return scale, above, below
        head, foot = head + over, foot + under
        if head + foot > 0.4 * (BOTTOM - TOP - BREAK):
            head, foot, most = 4.0, 4.0, most - 1


def _lines(stair: Stair, way: Along, side: Way, scale: Scale) -> list[list[Flat]]:
    """Everything that is drawn on one side, as lines on the sheet [px]."""
    height = height_of(scale, side)
    lines = [[(x, height(v)) for x, v in corners] for corners in _edges(stair, way, side)]
    lines += [[(x, height(v)) for x, v in drawn.corners()] for drawn in (stair.out if side == "out" else stair.back)]
    read = [(across(stair, side, s.behind), height(kept(s.volts, way, side))) for s in way.spots(side)]
    return [*lines, read] if read else lines


def _labels(stair: Stair, way: Along, side: Way, scale: Scale, most: int) -> list[tuple[Label, Drop]]:
    """Words of what was read, and of what is still to be read, beside their stretch, in the order of the current."""
    lines, sign = _lines(stair, way, side, scale), 1 if side == "out" else -1
    found: list[tuple[Label, Drop]] = []
    for drop in _told(way, side)[:most]:
        x = (across(stair, side, drop.first) + across(stair, side, drop.last + 1)) / 2
        edge = _edge(lines, x, sign)
        room = (EDGE - x if sign > 0 else x - 8.0) - 8.0
        found.append((Label(cut(_words(drop), SIZE, room), x, edge, edge, 0.0, False), drop))
    found.sort(key=lambda pair: pair[0].x)
    placed = stacked([label for label, _ in found], sign, [])
    return [(label, drop) for label, (_, drop) in zip(placed, found, strict=True)]


def _told(way: Along, side: Way) -> list[Drop]:
    """The drops that are worth words: what differs and what is large first, no more than there is room for."""
    drops = [drop for drop in way.drops if drop.way == side and (drop.read is not None or drop.expected.line.routine)]

    def weight(drop: Drop) -> tuple[bool, bool, float]:
        size = drop.read if drop.read is not None else drop.expected.value or 0.0
        return drop.expected.verdict(drop.read) == "differs", drop.read is not None, abs(size)

    return sorted(drops, key=weight, reverse=True)


def _edge(lines: Sequence[Sequence[Flat]], x: float, sign: int) -> float:
    """The height that words beside a place must keep clear of: all that is drawn there and beyond [px]."""
    found = []
    for line in lines:
        found += [y for at, y in line if (at - x) * sign >= 0.0]
        found += [
            y0 + (y1 - y0) * (x - x0) / (x1 - x0)
            for (x0, y0), (x1, y1) in pairwise(sorted(line))
            if x0 <= x <= x1 != x0
        ]
    return (min(found) if sign > 0 else max(found)) if found else x


def _words(drop: Drop) -> str:
    line = drop.expected.line
    if drop.read is None:
        return f"{words.reading(drop.expected.value, line.asks)} expected, not measured"
    verdict = drop.expected.verdict(drop.read)
    return f"{words.reading(drop.read, line.asks)} {MARKS[verdict]} {verdict}"


def _edges(stair: Stair, way: Along, side: Way) -> Iterator[list[Flat]]:
    """Upper and lower end of the band, from the post outwards, as pixels across and volts."""
    for end in ("high", "low"):
        level, line = start_v(way, side), list[Flat]()
        for drawn, part in zip(drawn_of(stair, side), parts_of(way, side), strict=True):
            beyond = getattr(part, end)
            near, far = (drawn.left, drawn.right) if side == "out" else (drawn.right, drawn.left)
            middle = [] if part.kind == "wire" else [(drawn.middle, level), (drawn.middle, beyond)]
            line += [(near, level), *middle, (far, beyond)]
            level = beyond
        yield line


def _band(sheet: Sheet, stair: Stair, way: Along, side: Way, scale: Scale) -> None:
    height = height_of(scale, side)
    high, low = ([(x, height(v)) for x, v in line] for line in _edges(stair, way, side))
    if high:
        sheet.area([*high, *reversed(low)], "holds", 0.3)


def _expected(sheet: Sheet, stair: Stair, scale: Scale) -> None:
    for steps, height in ((stair.out, scale.feed), (stair.back, scale.back)):
        for drawn in steps:
            note = (
                f"{drawn.name}: {words.reading(drawn.lost_v, 'voltage')} at {words.reading(drawn.current_a, 'current')}"
            )
            sheet.line([(x, height(v)) for x, v in drawn.corners()], "ink", 1.8, note=note)


def _read(sheet: Sheet, stair: Stair, way: Along, side: Way, scale: Scale) -> None:
    """From spot to spot as it was read; broken where the drawing stands in for a reading."""
    height, spots = height_of(scale, side), way.spots(side)
    by_ends = {(d.first, d.last + 1): d for d in way.drops if d.way == side and d.read is not None}
    points = [(across(stair, side, s.behind), height(kept(s.volts, way, side))) for s in spots]
    for (one, other), ends in zip(pairwise(spots), pairwise(points), strict=True):
        drop = by_ends.get((one.behind, other.behind))
        if drop is None:
            sheet.line(ends, "ghost", 1.4, "3 3")
        else:
            note = f"{drop.expected.line.where}: {_words(drop)}"
            sheet.line(ends, TINTS[drop.expected.verdict(drop.read)], 3.0, note=note)
    for spot, (x, y) in zip(spots, points, strict=True):
        if kept(spot.volts, way, side) != spot.volts:
            sheet.area(
                [(x - 6, y - 8), (x + 6, y - 8), (x, y + 2)]
                if side == "out"
                else [(x - 6, y + 8), (x + 6, y + 8), (x, y - 2)],
                "stop",
                1.0,
            )
        elif not spot.assumed:
            sheet.dot(x, y, 4.0, "dc", "paper")


def _say(sheet: Sheet, label: Label, drop: Drop, sign: int) -> None:
    tint = TINTS[drop.expected.verdict(drop.read)]
    far = label.y - label.base if sign > 0 else label.base - 0.8 * SIZE - label.y
    if far > 9:
        sheet.line([(label.x, label.y), (label.x, label.base - 0.7 * SIZE if sign > 0 else label.base)], "ghost", 0.9)
    left, _, right, _ = label.box(sign)
    sheet.text(
        left if sign > 0 else right, label.base, label.words, SIZE, tint, "start" if sign > 0 else "end", halo=True
    )
