"""The strip under the staircase of the closing-in test: the things in the way, and marks on what is suspected."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trailerlib.pictures.canvas import Sheet
from trailerlib.pictures.closing_gauges import SIZE, SUSPECT
from trailerlib.pictures.closing_layout import drawn_of, parts_of, sides
from trailerlib.pictures.lettering import cut, wide
from trailerlib.pictures.stair_layout import BOTTOM, LEFT, RIGHT, TOP, Drawn, Stair
from trailerlib.studies.closing.along import Along
from trailerlib.studies.closing.drawn import Picture, Suspect

FOOT = 346.0  # [px] lower end of the stair with its strip


def accused(sheet: Sheet, stair: Stair, way: Along, suspects: Sequence[Suspect]) -> None:
    """A wash behind each thing that is suspected, and its mark and letter under the strip.

    Parameters
    ----------
    sheet : where to draw
    stair : the stair
    way : the way of the current
    suspects : what is suspected
    """
    for drawn, _ in _letters(stair, way, suspects):
        sheet.box(drawn.left + 1, TOP, max(4.0, drawn.right - drawn.left - 2), BOTTOM + 26 - TOP, "stop", opacity=0.14)
    for x, words_ in _marks(sorted((drawn.middle, letters) for drawn, letters in _letters(stair, way, suspects))):
        sheet.text(x, BOTTOM + 36, words_, SIZE, "stop", bold=True)


def _marks(found: Sequence[tuple[float, str]]) -> Iterator[tuple[float, str]]:
    """Left end [px] and words of the marks under the strip; neighbours that say the same share one."""
    end, last = 0.0, ""
    for middle, letters in found:
        words_ = f"{SUSPECT}{letters}"
        left = middle - wide(words_, SIZE, True) / 2
        if left < end and letters == last:
            continue
        left = max(left, end)
        yield left, words_
        end, last = left + wide(words_, SIZE, True) + 2, letters


def _letters(stair: Stair, way: Along, suspects: Sequence[Suspect]) -> Iterator[tuple[Drawn, str]]:
    for side in sides(way):
        for drawn, part in zip(drawn_of(stair, side), parts_of(way, side), strict=True):
            letters = "".join(suspect.letter for suspect in suspects if suspect.accuses(part))
            if letters:
                yield drawn, letters


def strip(sheet: Sheet, stair: Stair, picture: Picture) -> None:
    """The things themselves under the stair, each under its own step, the load between way out and way back.

    Parameters
    ----------
    sheet : where to draw
    stair : the stair
    picture : for the name of the load
    """
    y = BOTTOM + 15
    sheet.line([(LEFT, y), (RIGHT, y)], "ghost", 1.4)
    for drawn in (*stair.out, *stair.back):
        if drawn.inner:
            for x, half in ((drawn.middle - 3, 4), (drawn.middle + 3, 8)):
                sheet.line([(x, y - half), (x, y + half)], "ink", 2)
        elif drawn.kind == "wire":
            sheet.line([(drawn.left + 3, y), (drawn.right - 3, y)], "ink", 3.4)
        elif drawn.kind == "fuse":
            sheet.box(drawn.middle - 6, y - 4, 12, 8, "paper", "ink", width=1.4)
        else:
            sheet.dot(drawn.middle, y, 3, "ink")
    _ends(sheet, stair, picture, y)


def _ends(sheet: Sheet, stair: Stair, picture: Picture, y: float) -> None:
    sheet.dot(stair.load, y, 7, "paper", "ink")
    name = cut(picture.load or "fuse block", SIZE, 110, True)
    half = wide(name, SIZE, True) / 2 + 6
    middle = (stair.load - half, stair.load + half)
    sheet.text(stair.load, FOOT - 3, name, SIZE, anchor="middle", bold=True)
    if middle[0] > LEFT + 70:
        sheet.text(LEFT, FOOT - 3, "way out →", SIZE)
    sheet.text(RIGHT, FOOT - 3, "→ way back", SIZE, anchor="end")
