"""One side of the box from outside, to scale: bows or studs, openings with flange and cover, what is in the way."""

from __future__ import annotations

from collections.abc import Sequence

from trailerlib.pictures.box_heat import nothing
from trailerlib.pictures.canvas import Ink, Sheet
from trailerlib.pictures.mark_names import Box, Flat
from trailerlib.pictures.outside_heading import FRAME_TINT, RACEWAY_TINT, VIEWS, heading, listed
from trailerlib.pictures.outside_scene import FRAME, HEIGHT, WIDTH, Side, clear, former, side_of, spots, things
from trailerlib.pictures.outside_words import kept, mark, named, pieces
from trailerlib.pictures.roof_words import TINTS
from trailerlib.studies.answer import Answer
from trailerlib.studies.roof.picture import FromOutside, Hole, RoofPicture

HATCH = 12.0  # [px] from one line to the next


def from_outside(answer: Answer, ghost: Answer | None = None, ink: Ink = "screen") -> str:
    """The side of the opening in focus as one sees it from outside.

    Parameters
    ----------
    answer : the answer of the roof study
    ghost : the answer before the last move; the former place of the opening in focus is drawn thin
    ink : ``screen`` or ``paper``
    """
    told = _told(answer)
    sheet = Sheet(WIDTH, HEIGHT, "A side from outside" if told is None else VIEWS[told.wall][0], ink)
    if told is None:
        return nothing(sheet, answer, "outside")
    side = side_of(told)
    before, marks = former(side, _told(ghost)), spots(side)
    words, letters = named(list(things(side)), clear(side, before, marks))
    off = [*(word.box for word in words), *marks]
    _ground(sheet, side)
    _bars(sheet, side, off)
    for hole in sorted(told.holes, key=lambda h: (h.kind != "door", h.name == told.focus)):
        _opening(sheet, side, hole)
    _frame(sheet, side, off)
    for line in (line for _, points in told.raceways for line in side.way(points)):
        for part in pieces(line, off):
            sheet.line(part, RACEWAY_TINT, 1.5)
    if before is not None:
        _rectangle(sheet, before, "ghost", 1.6, "3 2")
    for number, (one, spot) in enumerate(zip(told.marks, marks, strict=True)):
        mark(sheet, (spot[0] + spot[2]) / 2, (spot[1] + spot[3]) / 2, str(number + 1), one.word)
    for word in words:
        word.draw(sheet)
    heading(sheet, side, answer.system, before is not None)
    listed(sheet, side, letters, answer.system)
    return sheet.svg()


def _told(answer: Answer | None) -> FromOutside | None:
    picture: RoofPicture | None = None if answer is None else answer.picture
    return None if picture is None else picture.outside


def _ground(sheet: Sheet, side: Side) -> None:
    """The side itself, and the cabinets that stand against it inside."""
    left, top, right, bottom = side.box
    sheet.box(left, top, right - left, bottom - top, "wash", round_=0)
    for _, (x, y, x2, y2) in side.cabinets():
        sheet.box(x, y, x2 - x, y2 - y, "grid", round_=1, opacity=0.5)
        across, down = x2 - x, y2 - y
        for step in range(1, int((across + down) / HATCH) + 1):
            reach = HATCH * step
            start = (x + min(reach, across), y + max(0.0, reach - across))
            sheet.line([start, (x + max(0.0, reach - down), y + min(reach, down))], "grid", 1.2)
    sheet.line([(left, top), (right, top), (right, bottom), (left, bottom), (left, top)], "ink", 2)


def _bars(sheet: Sheet, side: Side, off: Sequence[Box]) -> None:
    """Bows and studs as double lines that leave out the openings and the words."""
    holes = [side.hole(hole) for hole in side.told.holes]
    for bar in side.told.bars:
        if bar.kind in FRAME:
            continue
        (x, y), (x2, y2) = side.line(bar)
        dx, dy = _half(side.line(bar), max(bar.broad * side.px_per_m, 2.2))
        for sign in (-1.0, 1.0):
            edge = ((x + sign * dx, y + sign * dy), (x2 + sign * dx, y2 + sign * dy))
            for part in (part for whole in kept(edge, side.near) for part in pieces(whole, [*holes, *off])):
                sheet.line(part, "ink", 0.8, opacity=0.75)


def _half(line: tuple[Flat, Flat], broad: float) -> Flat:
    """Half the width of a bar, across it [px]."""
    (x, y), (x2, y2) = line
    return (broad / 2, 0.0) if abs(x2 - x) < abs(y2 - y) else (0.0, broad / 2)


def _opening(sheet: Sheet, side: Side, hole: Hole) -> None:
    """Cover, flange and hole."""
    cover, flange, focus = side.cover(hole), side.flange(hole), hole.name == side.told.focus
    tint = "ink" if hole.word == "holds" and not focus else TINTS[hole.word]
    if cover is not None:
        _rectangle(sheet, cover, "ghost", 0.9)
    if flange is not None:
        _rectangle(sheet, flange, tint, 0.9, "4 3")
    x, y, x2, y2 = side.hole(hole)
    sheet.box(x, y, x2 - x, y2 - y, "paper", round_=1)
    if focus:
        sheet.box(x, y, x2 - x, y2 - y, tint, round_=1, opacity=0.22)
    _rectangle(sheet, (x, y, x2, y2), tint, 2.8 if focus else 1.3)


def _rectangle(sheet: Sheet, box: Box, tint: str, width: float, dash: str = "") -> None:
    sheet.box(box[0], box[1], box[2] - box[0], box[3] - box[1], None, tint, width=width, dash=dash, round_=1)


def _frame(sheet: Sheet, side: Side, off: Sequence[Box]) -> None:
    """What is cut, dashed, and the frame that takes its place, strong."""
    for bar in side.told.bars:
        for line in side.cut_parts(bar):
            for part in pieces(line, off):
                sheet.line(part, "stop", 2.0, "5 3")
        if bar.kind in FRAME:
            (x, y), (x2, y2) = side.line(bar)
            dx, dy = _half(side.line(bar), max(bar.broad * side.px_per_m, 2.6))
            box = (min(x, x2) - dx, min(y, y2) - dy, max(x, x2) + dx, max(y, y2) + dy)
            left, top, right, bottom = side.clipped(box)
            sheet.box(left, top, right - left, bottom - top, FRAME_TINT, round_=0.5)
