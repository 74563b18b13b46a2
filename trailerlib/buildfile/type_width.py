"""How long a text is in the shipped type, by the widths in the font itself: no label runs over its edge."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import NamedTuple

from trailerlib.buildfile.glyphs import font_folder

POINT_MM = 25.4 / 72.0
FILES = {False: "Inter-Regular.otf", True: "Inter-SemiBold.otf"}
SPARE = 1.01  # pairs of letters that are set wider than their sum


class _Face(NamedTuple):
    widths: Mapping[int, int]
    per_em: int
    widest: int


@lru_cache(maxsize=2)
def _face(bold: bool) -> _Face:
    from fontTools.ttLib import TTFont

    font = TTFont(font_folder() / FILES[bold], lazy=True)
    metrics = font["hmtx"].metrics
    widths = {point: int(metrics[glyph][0]) for point, glyph in font.getBestCmap().items()}
    return _Face(widths, int(font["head"].unitsPerEm), max(widths.values()))


def width_mm(text: str, size_pt: float, bold: bool = False) -> float:
    """Length of a text on one line.

    Parameters
    ----------
    text : any text; a character the font lacks counts as wide as its widest
    size_pt : [pt] size of the type
    bold : whether it is set in the bold face

    Returns
    -------
    float
        [mm], never less than it is.
    """
    face = _face(bold)
    units = sum(face.widths.get(ord(c), face.widest) for c in text)
    return SPARE * units / face.per_em * size_pt * POINT_MM


def wrapped(text: str, size_pt: float, room_mm: float, bold: bool = False) -> list[str] | None:
    """A text broken between words so that no line is longer than the room.

    Parameters
    ----------
    text : any text
    size_pt : [pt] size of the type
    room_mm : [mm] for a line
    bold : whether it is set in the bold face

    Returns
    -------
    list of str or None
        Lines, none for an empty text; None when a single word is too long.
    """
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width_mm(longer, size_pt, bold) <= room_mm:
            lines[-1] = longer
        elif width_mm(word, size_pt, bold) <= room_mm:
            lines.append(word)
        else:
            return None
    return lines
