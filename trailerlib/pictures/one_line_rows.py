"""How much room each thing of a one-line diagram takes, and where its words stand beside its line.

Places are in pixels from the left end of a column and from the line of the thing. No word is ever cut: what is too long
goes on below, and the row grows.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from trailerlib.pictures.lettering import wide
from trailerlib.pictures.one_line_model import Branch, Fact, Thing

SIZE, PITCH = 12.0, 14.0  # letters, and from one line of words to the next
ABOVE, BELOW = 8.6, 18.4  # from the line to the words over it and under it
UP, DOWN = 10.0, 10.0  # what a symbol takes over and under its line
AIR, SOURCE_AIR = 4.0, 9.0  # between two rows, between two sources
END_PITCH = 21.0

WIDTH = 470.0  # of a column of circuits
GUARD_X, TEXT_X, TEXT_END = 32.0, 18.0, 275.0
GAUGE_X, RUN_X, FIELD_GAP = 116.0, 219.5, 3.0
NAME_END, ABOVE_END = 110.0, 277.0  # what is said to the right over the line leaves so much for the name
TRUNK_X, END_X, END_TEXT_X = 284.0, 302.0, 319.0

SOURCE_X, SOURCE_TEXT_X, SOURCE_TEXT_END = 24.0, 44.0, 204.0
SOURCE_BESIDE_X, BESIDE_STEP, COLLECTOR_X = 224.0, 28.0, 272.0
CHAIN_X, CHAIN_TEXT_X, CHAIN_TEXT_END = 298.0, 320.0, 482.0


@dataclass(frozen=True)
class Line:
    """A line of words with its base line at x, y [px]; lines with the same ``key`` are one fact."""

    key: tuple[str, int]
    words: str
    x: float
    y: float
    bold: bool = False
    known: bool = True
    end: bool = False  # whether x is where it ends


@dataclass(frozen=True)
class End:
    """One thing at the end of a circuit, so far under its line [px]."""

    thing: Thing
    below: float
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Row:
    """A circuit with its words, or what goes on of one with many loads; the room it takes over and under its line."""

    branch: Branch
    first: bool
    up: float
    down: float
    lines: tuple[Line, ...]
    ends: tuple[End, ...]


@dataclass(frozen=True)
class Source:
    """A source, or a thing on the way to the bus, with its words and the room it takes over and under its line."""

    thing: Thing
    up: float
    down: float
    lines: tuple[Line, ...]


def wrapped(words: str, room: float, bold: bool = False) -> list[str]:
    """A text on as many lines as it takes; a word that is longer than a line is broken.

    Parameters
    ----------
    words : the text
    room : [px] width of a line
    bold : whether the letters are heavy
    """
    lines = [""]
    for word in words.split(" "):
        longer = f"{lines[-1]} {word}" if lines[-1] else word
        if wide(longer, SIZE, bold) <= room:
            lines[-1] = longer
            continue
        pieces = list(_pieces(word, room, bold))
        lines = [*([] if lines == [""] else lines), *pieces]
    return lines


def _pieces(word: str, room: float, bold: bool) -> Iterator[str]:
    piece = ""
    for letter in word:
        if piece and wide(piece + letter, SIZE, bold) > room:
            yield piece
            piece = ""
        piece += letter
    yield piece


def rows_of(branch: Branch, most: float) -> list[Row]:
    """A circuit as rows: one, or several where its loads are too many for one column.

    Parameters
    ----------
    branch : the circuit
    most : [px] the tallest a row may be
    """
    head, up, down = _head(branch)
    ends, rows = [_end(thing) for thing in branch.ends], list[Row]()
    while True:
        first = not rows
        lines = head if first else tuple(_named(branch.name, "goes on", TEXT_END))
        over = up if first else _over(lines)
        taken, below = _stacked(ends, most - over)
        rows.append(Row(branch, first, over, max(below, down if first else DOWN) + AIR, lines, tuple(taken)))
        ends = ends[len(taken) :]
        if not ends:
            return rows


def _stacked(ends: Sequence[tuple[Thing, list[Line]]], room: float) -> tuple[list[End], float]:
    """As many ends as have room one under the other, at least one, and how far down they reach."""
    placed: list[End] = []
    y, reach = 0.0, 0.0
    for thing, lines in ends:
        down = max(DOWN, lines[-1].y + 4)
        if placed and y + down + AIR > room:
            break
        placed.append(End(thing, y, tuple(lines)))
        reach = y + down
        y += max(END_PITCH, lines[-1].y + PITCH + 1)
    return placed, reach


def _end(thing: Thing) -> tuple[Thing, list[Line]]:
    """What is at the end: name and facts in one flow, the first line beside the symbol."""
    named = (Fact("name", thing.name),) if thing.name else ()
    return thing, list(_flow((*named, *thing.facts), END_TEXT_X, WIDTH, 4.0))


def _head(branch: Branch) -> tuple[tuple[Line, ...], float, float]:
    """Name and outlets over the line, protection, wire and run under it."""
    over, left = _above(branch.above)
    named = list(_named(branch.name, "", left))
    fields = (
        (branch.protection, TEXT_X, GAUGE_X),
        (branch.gauge, GAUGE_X, RUN_X),
        (branch.run, RUN_X, TRUNK_X),
    )
    under = [line for fact, x, end in fields for line in _field(fact, x, end - FIELD_GAP)]
    return (*named, *over, *under), _over([*named, *over]), max(line.y for line in under) + 3


def _above(facts: Sequence[Fact]) -> tuple[list[Line], float]:
    """What is said over the line, to its right end, one line above the other as needed; and where it begins."""
    found, right, y, left = list[Line](), ABOVE_END, -ABOVE, TEXT_END
    for fact in reversed(facts):
        room = wide(fact.words, SIZE)
        if right < ABOVE_END and right - room < NAME_END:
            right, y = ABOVE_END, y - PITCH
        found.append(Line((fact.what, 0), fact.words, right, y, known=fact.known, end=True))
        right -= room + 10
        left = min(left, right)
    return found, left


def _named(name: str, after: str, end: float) -> Iterator[Line]:
    """A name over the line, the last line of it nearest."""
    lines = wrapped(f"{name}, {after}" if after else name, end - TEXT_X, bold=True)
    for number, words in enumerate(reversed(lines)):
        yield Line(("goes on" if after else "name", 0), words, TEXT_X, -ABOVE - PITCH * number, bold=True)


def _over(named: Sequence[Line]) -> float:
    return max(UP, 0.8 * SIZE - min(line.y for line in named))


def _field(fact: Fact, x: float, end: float) -> Iterator[Line]:
    for number, words in enumerate(wrapped(fact.words, end - x)):
        yield Line((fact.what, 0), words, x, BELOW + PITCH * number, known=fact.known)


def _flow(facts: Sequence[Fact], x: float, end: float, y: float) -> Iterator[Line]:
    """Facts one after another, on the same line while they have room."""
    at, gap = x, 9.0
    for number, fact in enumerate(facts):
        bold = fact.what == "name"
        if at > x and at + wide(fact.words, SIZE, bold) > end:
            at, y = x, y + PITCH
        for words in wrapped(fact.words, end - x, bold):
            if at > x and at + wide(words, SIZE, bold) > end:
                at, y = x, y + PITCH
            yield Line((fact.what, number), words, at, y, bold, fact.known)
            at += wide(words, SIZE, bold) + gap


def source_of(thing: Thing) -> Source:
    """A source: its name over its line, its facts under it.

    Parameters
    ----------
    thing : the source
    """
    named = wrapped(thing.name, SOURCE_TEXT_END - SOURCE_TEXT_X, bold=True) if thing.name else []
    over = [
        Line(("name", 0), words, SOURCE_TEXT_X, -ABOVE - PITCH * number, bold=True)
        for number, words in enumerate(reversed(named))
    ]
    under = list(_flow(thing.facts, SOURCE_TEXT_X, SOURCE_TEXT_END, BELOW))
    down = max(DOWN, *(line.y + 3 for line in under))
    return Source(thing, _over(over) if over else UP, down + SOURCE_AIR, (*over, *under))


def chain_of(thing: Thing) -> Source:
    """A thing on the way to the bus: its facts beside its symbol, on a line that runs downwards.

    Parameters
    ----------
    thing : the thing
    """
    lines = list(_flow(thing.facts, CHAIN_TEXT_X, CHAIN_TEXT_END, 0.0))
    tall = max(line.y for line in lines)
    half = max(tall / 2 + 10, 16.0)
    return Source(thing, half, half, tuple(replace(line, y=line.y - tall / 2 + 4) for line in lines))
