"""How long a text is in the shipped type, by the widths in the font itself: no label runs over its edge."""

from __future__ import annotations

from collections.abc import Iterator
from unicodedata import east_asian_width

from trailerlib.buildfile import faces

POINT_MM = 25.4 / 72.0
SPARE = 1.01  # pairs of letters that are set wider than their sum
# Unicode Standard Annex 14: no break before what closes (classes CL, CP, EX, NS), none after what opens (OP); the signs
# that names are written with, from memory.
CLOSES = frozenset("、。，．！？：；）」』】〉》〕］｝・ーぁぃぅぇぉっゃゅょァィゥェォッャュョ々")
OPENS = frozenset("（「『【〈《〔［｛")


def width_mm(text: str, size_pt: float, bold: bool = False) -> float:
    """Length of a text on one line.

    Parameters
    ----------
    text : any text; a character that no face draws counts as wide as the widest of the first
    size_pt : [pt] size of the type
    bold : whether it is set in the bold face

    Returns
    -------
    float
        [mm], never less than it is.
    """
    return SPARE * sum(_advance(letter, bold) for letter in text) * size_pt * POINT_MM


def _advance(letter: str, bold: bool) -> float:
    """The width of a letter [em], in the face it is set in."""
    first = faces.face(faces.FIRST, bold)
    found = first.advance(ord(letter))
    if found is None:
        found = faces.face(faces.SECOND).advance(ord(letter))
    return first.widest if found is None else found


def wrapped(text: str, size_pt: float, room_mm: float, bold: bool = False) -> list[str] | None:
    """A text broken between words, or signs of a script without spaces, so that no line is longer than the room.

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
    for before, piece in _pieces(text):
        longer = f"{lines[-1]}{before}{piece}" if lines else piece
        if lines and width_mm(longer, size_pt, bold) <= room_mm:
            lines[-1] = longer
        elif width_mm(piece, size_pt, bold) <= room_mm:
            lines.append(piece)
        else:
            return None
    return lines


def _pieces(text: str) -> Iterator[tuple[str, str]]:
    """What may not be broken, in order, with the space that stands before it unless a line begins there."""
    for word in text.split():
        start = 0
        for at in range(1, len(word)):
            if _breaks(word[at - 1], word[at]):
                yield ("" if start else " "), word[start:at]
                start = at
        yield ("" if start else " "), word[start:]


def _breaks(before: str, after: str) -> bool:
    """Whether a line may end between two letters of a word: at a sign as wide as it is high."""
    wide = any(east_asian_width(letter) in "WF" for letter in (before, after))
    return wide and before not in OPENS and after not in CLOSES
