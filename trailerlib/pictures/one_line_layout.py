"""Where everything of a one-line diagram stands: sides on sheets, each sheet as large as a page on its side.

A sheet has two columns. What feeds a side and the way to its bus stand in the left one, its circuits in the right one;
what has no room goes on in both columns of the next sheets.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from trailerlib.pictures.one_line_foot import Foot
from trailerlib.pictures.one_line_model import CHARGER_JOINS, Fact, Side, Thing
from trailerlib.pictures.one_line_rows import Row, Source, chain_of, rows_of, source_of

WIDTH, HEIGHT = 1000.0, 716.0  # so that twelve pixels are about eight points on Letter and A4
LEFT, RIGHT = 14.0, 512.0  # where the two columns begin
TOP, HEAD, FOOT_AIR = 42.0, 26.0, 8.0  # title of the sheet, heading of a side, air over the legend
LANE = 16.0  # between two sides, for the wire from the charger
BUS_END, GOES_ON = 9.0, 22.0
EMPTY = 200.0  # height of a sheet with nothing on it
MOST_AIR = 16.0  # added between rows where a sheet has room

Part = TypeVar("Part", Row, Source)
PlacedRow = tuple[float, Row]
PlacedSource = tuple[float, Source]


@dataclass(frozen=True)
class Column:
    """Circuits one under the other: left end and top [px], and whether the bus comes from and goes on to another."""

    x: float
    top: float
    rows: tuple[PlacedRow, ...]
    before: bool
    after: bool


@dataclass(frozen=True)
class Block:
    """A side, or a part of it, on one sheet; every place is the height of a line on the sheet [px].

    ``entry`` is where the way from the sources reaches the bus, None on a later sheet; ``after`` says whether more
    sources follow there.
    """

    side: Side
    top: float
    bottom: float
    sources: tuple[PlacedSource, ...]
    chain: tuple[PlacedSource, ...]
    bonds: tuple[PlacedSource, ...]
    entry: float | None
    columns: tuple[Column, ...]
    first: bool
    after: bool


@dataclass(frozen=True)
class Page:
    """One sheet; ``joined`` says whether the charger's wire runs from the upper block to the lower one."""

    blocks: tuple[Block, ...]
    joined: bool

    @property
    def bottom(self) -> float:
        """Where the last side ends [px]."""
        return self.blocks[-1].bottom if self.blocks else EMPTY


def pages(sides: Sequence[Side], foot: Foot) -> tuple[Page, ...]:
    """Everything placed on as few sheets as the fixed size of letters allows; one empty sheet where there is nothing.

    Parameters
    ----------
    sides : the sides of a design
    foot : the legend, which takes its room on every sheet
    """
    room = HEIGHT - TOP - FOOT_AIR - foot.height
    if not sides:
        return (Page((), False),)
    joined = len(sides) == 2 and sides[-1].joins
    together = _on_one(sides, room)
    if together is not None:
        return (Page(together, joined),)
    found = list[Page]()
    for side in sides:
        told = _told(side, len(found)) if side.joins else side
        found += [Page((_moved(block, TOP),), False) for block in _aired(told, room)]
    return tuple(found)


def _on_one(sides: Sequence[Side], room: float) -> tuple[Block, ...] | None:
    """All sides on one sheet, as airy as it may be; None when they have no room."""
    for air in (MOST_AIR, 12.0, 8.0, 4.0, 0.0):
        parts = [_blocks(side, room, air) for side in sides]
        tall = sum(blocks[0].bottom for blocks in parts) + LANE * (len(parts) - 1)
        if all(len(blocks) == 1 for blocks in parts) and tall <= room:
            placed, top = list[Block](), TOP
            for blocks in parts:
                placed.append(_moved(blocks[0], top))
                top += blocks[0].bottom + LANE
            return tuple(placed)
    return None


def _aired(side: Side, room: float) -> list[Block]:
    """A side on as few sheets as it can be, then as airy as that many allow."""
    fewest = _blocks(side, room, 0.0)
    airier = (_blocks(side, room, air) for air in (MOST_AIR, 12.0, 8.0, 4.0))
    return next((blocks for blocks in airier if _columns(blocks) <= _columns(fewest)), fewest)


def _columns(blocks: Sequence[Block]) -> tuple[int, int]:
    """How many sheets and columns a side takes."""
    return len(blocks), sum(len(block.columns) for block in blocks)


def _told(side: Side, sheet: int) -> Side:
    """The battery side with a word on where its charger is, when that is on another sheet."""
    where = Fact("from", f"charger, sheet {sheet}" if sheet else "charger")
    return replace(side, sources=(*side.sources, Thing("from charger", "", "off sheet", (where, CHARGER_JOINS))))


def _blocks(side: Side, room: float, air: float) -> list[Block]:
    """A side in parts that each fit a sheet, placed from nought; circuits go on under the sources if they can."""
    tallest = room - HEAD - GOES_ON
    rows = [row for branch in side.branches for row in rows_of(branch, tallest)]
    sources = _parted([source_of(thing) for thing in side.sources], tallest)
    found, begun = list[Block](), False
    while rows or sources or not found:
        fed = _fed(side, _placed(sources.pop(0)) if sources else (), not found, bool(sources))
        columns = list[Column]()
        slots = ((RIGHT, HEAD), (LEFT, fed.bottom + HEAD)) if fed.sources else ((LEFT, HEAD), (RIGHT, HEAD))
        for x, top in slots:
            taken, rows = _taken(rows, room - top, air)
            if taken:
                columns.append(Column(x, top, _placed(taken, top, air), begun, bool(rows)))
                begun = True
        found.append(_with_columns(fed, columns))
    return found


def _taken(rows: list[Row], room: float, air: float) -> tuple[list[Row], list[Row]]:
    """The rows that fit one column, and the rest; where there is a rest, the sign that it goes on needs room too."""
    count = _fitting(rows, room, air)
    if count < len(rows):
        count = _fitting(rows, room - GOES_ON, air)
    return rows[:count], rows[count:]


def _fitting(parts: Sequence[Part], room: float, air: float = 0.0) -> int:
    """How many of the first parts fit one column."""
    used = -air
    for count, part in enumerate(parts):
        used += air + part.up + part.down
        if used > room:
            return count
    return len(parts)


def _parted(sources: list[Source], room: float) -> list[list[Source]]:
    """Sources in groups that each fit one column."""
    groups: list[list[Source]] = []
    while sources:
        count = max(1, _fitting(sources, room))
        groups.append(sources[:count])
        sources = sources[count:]
    return groups


def _placed(parts: Sequence[Part], top: float = HEAD, air: float = 0.0) -> tuple[tuple[float, Part], ...]:
    """Parts one under the other, each with the height of its line."""
    found = list[tuple[float, Part]]()
    for part in parts:
        found.append((top + part.up, part))
        top += part.up + part.down + air
    return tuple(found)


def _fed(side: Side, sources: tuple[PlacedSource, ...], first: bool, after: bool) -> Block:
    """The left part of a block: sources, and on the first sheet the way to the bus and what is bonded."""
    ends = [y + part.down for y, part in sources]
    if not first:
        return Block(side, 0.0, max(ends, default=HEAD), sources, (), (), None, (), first, after)
    chain = _placed([chain_of(thing) for thing in side.chain], sources[0][0] + 4)
    entry = chain[-1][0] + chain[-1][1].down + 4
    bonds = _placed([chain_of(thing) for thing in side.bonds], entry + 8)
    ends += [entry + BUS_END, *(y + part.down for y, part in bonds)]
    return Block(side, 0.0, max(ends), sources, chain, bonds, entry, (), first, after)


def _with_columns(block: Block, columns: Sequence[Column]) -> Block:
    ends = [y + row.down + (GOES_ON if column.after else 0.0) for column in columns for y, row in column.rows]
    return replace(block, bottom=max(block.bottom, *ends) if ends else block.bottom, columns=tuple(columns))


def _moved(block: Block, by: float) -> Block:
    """The same block so much lower."""
    return replace(
        block,
        top=block.top + by,
        bottom=block.bottom + by,
        sources=_lower(block.sources, by),
        chain=_lower(block.chain, by),
        bonds=_lower(block.bonds, by),
        entry=None if block.entry is None else block.entry + by,
        columns=tuple(replace(c, top=c.top + by, rows=_lower(c.rows, by)) for c in block.columns),
    )


def _lower(placed: Sequence[tuple[float, Part]], by: float) -> tuple[tuple[float, Part], ...]:
    return tuple((y + by, part) for y, part in placed)
