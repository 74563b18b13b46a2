"""What the drawings of the roof and its openings say alike: tints of the words, and the line on top."""

from __future__ import annotations

from trailerlib.pictures.canvas import Sheet
from trailerlib.pictures.lettering import cut, wide
from trailerlib.rules.finding import MARKS, Severity

TINTS: dict[Severity, str] = {"stop": "stop", "fix": "watch", "note": "ink", "not checked": "ghost", "holds": "holds"}
MARGIN, SIZE = 8.0, 13.0


def headline(sheet: Sheet, word: Severity, name: str, words: str) -> None:
    """How bad it is, of what, and in words; a long name is cut before the words are.

    Parameters
    ----------
    sheet : where to draw
    word : how bad it is
    name : of what
    words : what is said of it
    """
    room = sheet.width - 2 * MARGIN
    short = cut(name, SIZE, max(60.0, room - wide(f"{MARKS[word]} {words}", SIZE, True) - 4.0), bold=True)
    tint = "ink" if word == "holds" else TINTS[word]
    sheet.text(MARGIN, 14, cut(f"{MARKS[word]} {short}{words}", SIZE, room, bold=True), SIZE, tint, bold=True)
