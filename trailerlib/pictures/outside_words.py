"""Words on the drawing of a side: the name of each hole where there is room, a letter where there is none, the list."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from trailerlib.pictures.canvas import Sheet
from trailerlib.pictures.lettering import broken, cut, wide
from trailerlib.pictures.mark_names import ASCENT, DESCENT, Box, Flat, inside, overlap, passes
from trailerlib.pictures.roof_words import TINTS
from trailerlib.rules.finding import Severity

SIZE, ROW = 11.0, 14.0  # [px] letter height, and from one line of the list to the next
GLYPH = 6.5  # [px] half a mark
LONGEST = 130.0  # [px] a longer name gets a letter
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"

Line = tuple[Flat, Flat]


@dataclass(frozen=True)
class Thing:
    """What wants a name: its rectangle, those around it that belong to it, and the words [px]."""

    words: str
    box: Box
    around: tuple[Box, ...] = ()
    tint: str = "ink"
    bold: bool = False
    inside: bool = False  # its words may stand inside alone


@dataclass(frozen=True)
class Word:
    """Words where they stand."""

    words: str
    box: Box
    tint: str
    bold: bool

    def draw(self, sheet: Sheet) -> None:
        """The letters, readable over what lies below."""
        middle = (self.box[0] + self.box[2]) / 2  # the letters may be narrower than the room that is kept for them
        sheet.text(middle, self.box[3] - DESCENT * SIZE, self.words, SIZE, self.tint, "middle", self.bold, halo=True)


@dataclass(frozen=True)
class Entry:
    """A line of the list: its letter or number if it has one, how bad it is (None for a name), its words."""

    key: str
    word: Severity | None
    words: str

    @property
    def indent(self) -> float:
        """Where its words begin [px]."""
        return 21.0 if self.key else 0.0


@dataclass(frozen=True)
class Clear:
    """What words keep off: the edges they stay within, boxes that are taken, and lines, the ones to spare first.

    ``lines`` has several tries: those of the first are kept off where that is possible, those of the last always.
    """

    edges: Box
    taken: tuple[Box, ...]
    lines: tuple[tuple[Line, ...], ...]


def edges_of(box: Box) -> tuple[Line, ...]:
    """The four sides of a rectangle."""
    left, top, right, bottom = box
    corners = ((left, top), (right, top), (right, bottom), (left, bottom), (left, top))
    return tuple(itertools.pairwise(corners))


def named(things: Sequence[Thing], clear: Clear) -> tuple[list[Word], list[Entry]]:
    """A place for every name; one that finds none becomes a letter with a line in the list.

    Parameters
    ----------
    things : what wants a name, the most important first
    clear : what names keep off
    """
    words: list[Word] = []
    entries: list[Entry] = []
    for number, thing in enumerate(things):
        others = [other.box for k, other in enumerate(things) if k != number and not other.inside]
        found = _place(thing, others, clear, words)
        if found is None:
            key = LETTERS[sum(bool(entry.key) for entry in entries) % len(LETTERS)]
            found = _place(replace(thing, words=key, bold=True), others, clear, words)
            entries.append(Entry("" if found is None else key, None, thing.words))
        if found is not None:
            words.append(found)
    return words, entries


def _place(thing: Thing, others: Sequence[Box], clear: Clear, words: Sequence[Word]) -> Word | None:
    """The first free place, the lines to spare given up one after the other."""
    across = wide(thing.words, SIZE, thing.bold)
    if across > LONGEST:
        return None
    size = (across, (ASCENT + DESCENT) * SIZE)
    taken = [*clear.taken, *(word.box for word in words)]
    for lines in clear.lines:
        for within, box in _tries(thing, size):
            near = [o for o in others if not (within and _holds(o, thing.box))]
            if not inside(box, clear.edges) or any(overlap(box, other) for other in (*taken, *near)):
                continue
            if not any(passes(box, *line) for line in lines):
                return Word(thing.words, box, thing.tint, thing.bold)
    return None


def _tries(thing: Thing, size: Flat) -> Iterator[tuple[bool, Box]]:
    """Places for words of a size: in the rectangle where they fit, then close to each that belongs to it."""
    left, top, right, bottom = thing.box
    across, tall = size
    if across + 5 <= right - left and tall + 3 <= bottom - top:
        xs = ((left + right - across) / 2, left + 3, right - 3 - across)
        ys = ((top + bottom - tall) / 2, top + 2, bottom - 2 - tall)
        between = ((ys[0] + ys[2]) / 2, (ys[0] + ys[1]) / 2)
        for y, x in itertools.product((ys[0], *between, *ys[1:]), xs):
            yield True, (x, y, x + across, y + tall)
    if thing.inside:
        return
    for l2, t2, r2, b2 in (thing.box, *thing.around):
        starts = ((l2 + r2 - across) / 2, l2, r2 - across, l2 - across / 2, r2 - across / 2)
        for x, y in itertools.product(starts, (b2 + 3, t2 - 3 - tall)):
            yield False, (x, y, x + across, y + tall)
        level = (t2 + b2 - tall) / 2
        for x, y in itertools.product((r2 + 4, l2 - 4 - across), (level, t2, b2 - tall)):
            yield False, (x, y, x + across, y + tall)


def _holds(outer: Box, inner: Box) -> bool:
    return inside(inner, (outer[0] - 0.5, outer[1] - 0.5, outer[2] + 0.5, outer[3] + 0.5))


def kept(line: Line, box: Box) -> list[Line]:
    """The part of a line that lies in a box, none or one.

    Parameters
    ----------
    line : from and to [px]
    box : what it is kept to
    """
    span = _within(line, box)
    return [] if span is None else [_between(line, *span)]


def pieces(line: Line, off: Sequence[Box]) -> list[Line]:
    """What is left of a line outside some boxes.

    Parameters
    ----------
    line : from and to [px]
    off : boxes that it leaves out
    """
    gone = sorted(span for span in (_within(line, box) for box in off) if span is not None)
    found, at = [], 0.0
    for low, high in (*gone, (1.0, 1.0)):
        if low - at > 1e-6:
            found.append(_between(line, at, low))
        at = max(at, high)
    return found


def _between(line: Line, low: float, high: float) -> Line:
    """From one share of a line to another."""
    (x, y), (x2, y2) = line
    return (x + low * (x2 - x), y + low * (y2 - y)), (x + high * (x2 - x), y + high * (y2 - y))


def _within(line: Line, box: Box) -> tuple[float, float] | None:
    """From which to which share of it a line runs in a box; None where it does not."""
    low, high = 0.0, 1.0
    for axis in (0, 1):
        start, step = line[0][axis], line[1][axis] - line[0][axis]
        if abs(step) < 1e-9:
            if not box[axis] < start < box[axis + 2]:
                return None
            continue
        ends = sorted(((box[axis] - start) / step, (box[axis + 2] - start) / step))
        low, high = max(low, ends[0]), min(high, ends[1])
    return (low, high) if high > low else None


def mark(sheet: Sheet, x: float, y: float, key: str, word: Severity) -> None:
    """A conflict's sign with its number: a triangle, for what can hurt a square, for a note a disc.

    Parameters
    ----------
    sheet : where to draw
    x : [px] its middle
    y : [px] its middle
    key : its number
    word : how bad it is
    """
    tint = TINTS[word]
    if word == "fix":
        sheet.area([(x, y - GLYPH - 0.5), (x + GLYPH + 1.5, y + GLYPH), (x - GLYPH - 1.5, y + GLYPH)], tint, 1.0)
    elif word == "stop":
        sheet.box(x - GLYPH, y - GLYPH, 2 * GLYPH, 2 * GLYPH, tint, round_=1)
    else:
        sheet.dot(x, y, GLYPH, tint)
    sheet.text(x, y + (5.6 if word == "fix" else 3.5), key, 10, "paper", "middle", bold=True)


def draw_list(sheet: Sheet, entries: Sequence[Entry], at: Flat, width: float, most: int) -> None:
    """The list: short lines share a row, long ones are broken where there is room, else cut.

    Parameters
    ----------
    sheet : where to draw
    entries : what it says
    at : [px] left end of its first base line
    width : [px] room
    most : [-] most rows
    """
    for lines in (3, 2, 1):
        rows, shown = _flow(entries, width, lines, most)
        if len(shown) == len(entries):
            break
    else:
        rows, shown = _flow(entries, width, 1, most - 1)
        rest = len(entries) - len(shown)
        sheet.text(at[0], at[1] + ROW * rows, cut(f"and {rest} more, see the findings", SIZE, width), SIZE, "ghost")
    for entry, x, row, words in shown:
        y = at[1] + ROW * row
        if entry.word is not None:
            mark(sheet, at[0] + x + 8, y - 4, entry.key, entry.word)
        elif entry.key:
            sheet.text(at[0] + x + 4, y, entry.key, SIZE, bold=True)
        for number, text in enumerate(words):
            sheet.text(at[0] + x + entry.indent, y + ROW * number, text, SIZE)


def _flow(
    entries: Sequence[Entry], width: float, lines: int, most: int
) -> tuple[int, list[tuple[Entry, float, int, list[str]]]]:
    """How many rows are used, and each entry with its left end, row and broken words, as many as find room."""
    shown: list[tuple[Entry, float, int, list[str]]] = []
    x, row = 0.0, 0
    for entry in entries:
        words = broken(entry.words, SIZE, width - entry.indent, lines)
        room = entry.indent + max(wide(text, SIZE) for text in words)
        if x > 0.0 and (len(words) > 1 or x + room > width):
            x, row = 0.0, row + 1
        if row + len(words) > most:
            return row, shown
        shown.append((entry, x, row, words))
        row += len(words) - 1
        x += room + 16
    return (row + 1 if shown else 0), shown
