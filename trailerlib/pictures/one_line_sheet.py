"""Draws one sheet of a one-line diagram: sources, the way to the bus, circuits and their ends, the legend below.

Every part of the design is a group that says what it is (``data-part``, ``data-name``), every fact in it a group of its
own (``data-fact``), so that a drawing can be read back and held against the design.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from html import escape
from itertools import groupby

from trailerlib.design.model import OnLeg
from trailerlib.pictures import one_line_foot as below
from trailerlib.pictures.canvas import Sheet
from trailerlib.pictures.lettering import cut, wide
from trailerlib.pictures.one_line_foot import Foot
from trailerlib.pictures.one_line_layout import BUS_END, HEAD, LEFT, RIGHT, WIDTH, Block, Column, Page
from trailerlib.pictures.one_line_model import CHARGER_JOINS, Side, Thing
from trailerlib.pictures.one_line_rows import (
    BESIDE_STEP,
    CHAIN_X,
    COLLECTOR_X,
    END_X,
    GUARD_X,
    SIZE,
    SOURCE_BESIDE_X,
    SOURCE_X,
    TRUNK_X,
    Line,
    Row,
)
from trailerlib.pictures.one_line_symbols import HALF, SYMBOLS, draw

LEG_STEP = 9.0  # between the two bars of a bus
BAR = 3.4
THIN = 1.5
BESIDE_X = 256.0  # the last symbol on a circuit's own line


class Drawing(Sheet):
    """A sheet whose parts can be told apart."""

    @contextmanager
    def group(self, **said: str) -> Iterator[None]:
        """Everything drawn meanwhile belongs to a group with these ``data-`` attributes."""
        marks = "".join(f' data-{key}="{escape(value, quote=True)}"' for key, value in said.items())
        self._parts.append(f"<g{marks}>")
        yield
        self._parts.append("</g>")

    def words(self, lines: Sequence[Line], x: float, y: float) -> None:
        """Lines of words beside a line of the diagram, those of one fact in one group."""
        for (what, _), same in groupby(lines, key=lambda line: line.key):
            with self.group(fact=what):
                for line in sorted(same, key=lambda line: line.y):
                    tint, anchor = "ink" if line.known else "watch", "end" if line.end else "start"
                    self.text(x + line.x, y + line.y, line.words, SIZE, tint, anchor, line.bold)  # type: ignore[arg-type]


def head(sheet: Drawing, title: str, number: int, count: int) -> None:
    """The title of a sheet and which of how many it is.

    Parameters
    ----------
    sheet : where to draw
    title : title of the design
    number : [-] number of this sheet
    count : [-] how many there are
    """
    which = f"sheet {number} of {count}"
    sheet.text(LEFT, 24, "One-line diagram", 16, bold=True)
    sheet.text(WIDTH - LEFT, 24, which, SIZE + 1, anchor="end")
    x = LEFT + wide("One-line diagram", 16, bold=True) + 14
    sheet.text(x, 24, cut(title, SIZE + 1, WIDTH - LEFT - wide(which, SIZE + 1) - 16 - x), SIZE + 1)
    sheet.line([(LEFT, 34), (WIDTH - LEFT, 34)], "grid")


def foot(sheet: Drawing, found: Foot) -> None:
    """The legend at the bottom of a sheet.

    Parameters
    ----------
    sheet : where to draw
    found : its symbols and words
    """
    top = sheet.height - found.height
    sheet.line([(LEFT, top - 2), (WIDTH - LEFT, top - 2)], "grid")
    for name, x, y in found.keys:
        draw(sheet, name, x, top + y - 2 - 3 * (name == "frame"), "ink", upright=name == "frame")
        sheet.text(x + HALF + 6, top + y + 2, SYMBOLS[name].words, below.SIZE)
    for number, (words, tint) in enumerate(found.words):
        sheet.text(LEFT, top + found.words_y + below.PITCH * number, words, below.SIZE, tint)


def block(sheet: Drawing, part: Block, page: Page) -> None:
    """One side as far as it stands on this sheet.

    Parameters
    ----------
    sheet : where to draw
    part : what of the side
    page : the sheet it is on
    """
    side = part.side
    fed_left = bool(part.sources) or part.first
    title = side.title if part.first else f"{side.title}, goes on"
    sheet.text(LEFT, part.top + 14, title, SIZE + 1, side.system, bold=True)
    bars = f"{side.bus}, bars: leg 1, leg 2" if side.legs == 2 else side.bus
    if part.first:
        sheet.text(RIGHT, part.top + 14, bars, SIZE, side.system, bold=True)
    for column in part.columns:
        if column.before and (column.x == RIGHT or part.sources):
            sheet.text(column.x, column.top - HEAD + 14, f"{bars}, goes on", SIZE, side.system, bold=True)
    if fed_left:
        _sources(sheet, part, page)
    if part.first:
        _way(sheet, part)
    for column in part.columns:
        _bus(sheet, side, column, part.entry if column.x == RIGHT else None)
        for y, row in column.rows:
            _row(sheet, side, column.x, y, row)
    if part.first and not side.branches:
        sheet.text(RIGHT + 24, (part.entry or 0.0) + 4, "no circuit hangs on it", SIZE, "watch")


def _sources(sheet: Drawing, part: Block, page: Page) -> None:
    """Every source on a line to the collector; those of the mains side are plugged in one at a time."""
    side, plugged = part.side, part.side.system == "mains"
    x = LEFT + COLLECTOR_X
    for y, source in part.sources:
        thing = source.thing
        with sheet.group(part=thing.part, name=thing.name):
            draw(sheet, "plugged" if thing.symbol == "outlet" else thing.symbol, LEFT + SOURCE_X, y, side.system)
            _line(sheet, side, LEFT + SOURCE_X + HALF, x - 4 if plugged else x, y, _beside(thing))
            sheet.words(source.lines, LEFT, y)
        if plugged or len(part.sources) > 1 or page.joined:
            sheet.dot(x, y, 3, "paper" if plugged else side.system, side.system)
    heights = [y for y, _ in part.sources]
    for above, under in zip(heights, heights[1:], strict=False):
        sheet.line([(x, above + 4), (x, under - 4)], side.system, THIN, "5 4" if plugged else "")
    if not part.first:
        sheet.line([(x, heights[0] - 4), (x, heights[0] - 16)], side.system, THIN, "2 3")
    if part.after:
        sheet.line([(x, heights[-1] + 4), (x, heights[-1] + 16)], side.system, THIN, "2 3")
    if page.joined and side.joins:
        sheet.words([Line(("joins", 0), CHARGER_JOINS.words, x + 14 - LEFT, 14, known=False)], LEFT, part.top)


def _beside(thing: Thing) -> list[tuple[str, float]]:
    return [(name, LEFT + SOURCE_BESIDE_X + BESIDE_STEP * k) for k, name in enumerate(thing.beside)]


def _line(sheet: Drawing, side: Side, start: float, end: float, y: float, on: Iterable[tuple[str, float]]) -> None:
    """A level line with symbols on it."""
    for name, x in on:
        sheet.line([(start, y), (x - HALF, y)], side.system, THIN)
        draw(sheet, name, x, y, side.system)
        start = x + HALF
    if end > start:
        sheet.line([(start, y), (end, y)], side.system, THIN)


def _way(sheet: Drawing, part: Block) -> None:
    """From the collector down through what guards and parts the side, to its bus; under it what is bonded."""
    side, x = part.side, LEFT + CHAIN_X
    y = part.sources[0][0]
    sheet.line([(LEFT + COLLECTOR_X + 4 * (side.system == "mains"), y), (x, y)], side.system, THIN)
    for middle, source in part.chain:
        thing = source.thing
        sheet.line([(x, y), (x, middle - HALF)], side.system, THIN)
        with sheet.group(part=thing.part, name=thing.name):
            draw(sheet, thing.symbol, x, middle, side.system, upright=True, known=thing.known)
            sheet.words(source.lines, LEFT, middle)
        y = middle + HALF
    entry = part.entry or y
    sheet.line([(x, y), (x, entry), (RIGHT, entry)], side.system, THIN)
    for middle, source in part.bonds:
        with sheet.group(part=source.thing.part, name=""):
            draw(sheet, source.thing.symbol, x, middle - 2, "ink", upright=True, known=source.thing.known)
            sheet.words(source.lines, LEFT, middle)


def _bus(sheet: Drawing, side: Side, column: Column, entry: float | None) -> None:
    """The bars that the circuits hang on, dotted where they come from another column or go on in one."""
    x, heights = column.x, [y for y, _ in column.rows] + ([] if entry is None else [entry])
    top, bottom = min(heights) - BUS_END, max(heights) + BUS_END
    for leg in range(side.legs):
        at = x + LEG_STEP * leg
        sheet.line([(at, top), (at, bottom)], side.system, BAR)
        if column.before:
            sheet.line([(at, top - 4), (at, top - 10)], side.system, BAR, "0.1 6")
        if column.after:
            sheet.line([(at, bottom + 5), (at, bottom + 18)], side.system, BAR, "0.1 6")
    if entry is not None:
        sheet.line([(x, entry), (x + LEG_STEP * (side.legs - 1), entry)], side.system, THIN)
        for leg in range(side.legs):
            sheet.dot(x + LEG_STEP * leg, entry, 3, side.system)


def _row(sheet: Drawing, side: Side, x: float, y: float, row: Row) -> None:
    """A circuit from its bar to its ends."""
    branch = row.branch
    with sheet.group(part="circuit" if row.first else "circuit goes on", name=branch.name):
        if row.first:
            on = [(branch.symbol, x + GUARD_X), *_outlets(row, x)]
            end = TRUNK_X if row.ends else BESIDE_X + HALF
            _line(sheet, side, _tapped(sheet, side, branch.leg, x, y), x + end, y, on)
        sheet.words(row.lines, x, y)
    _ends(sheet, side, x, y, row)


def _tapped(sheet: Drawing, side: Side, leg: OnLeg | None, x: float, y: float) -> float:
    """Dots on the bars a circuit hangs on; gives where its line begins. Without a leg it hangs on neither."""
    bars: tuple[int, ...] = (0,)
    if side.legs == 2:
        if leg is None:
            return x + LEG_STEP + 5
        bars = (0, 1) if leg == "both" else (leg - 1,)
    for bar in bars:
        sheet.dot(x + LEG_STEP * bar, y, 3, side.system)
    return x + LEG_STEP * bars[0]


def _outlets(row: Row, x: float) -> list[tuple[str, float]]:
    """Ground-fault protection and outlets, the last of them at the end of the circuit's own line."""
    names = ["plugged" if name == "outlet" and row.ends else name for name in row.branch.beside]
    first = x + BESIDE_X - BESIDE_STEP * (len(names) - 1)
    return [(name, first + BESIDE_STEP * k) for k, name in enumerate(names)]


def _ends(sheet: Drawing, side: Side, x: float, y: float, row: Row) -> None:
    if not row.ends:
        return
    trunk, low = x + TRUNK_X, y + row.ends[-1].below
    if low > y:
        sheet.line([(trunk, y), (trunk, low)], side.system, THIN)
    for end in row.ends:
        sheet.line([(trunk, y + end.below), (x + END_X - HALF, y + end.below)], side.system, THIN)
        with sheet.group(part=end.thing.part, name=end.thing.name, circuit=row.branch.name):
            draw(sheet, end.thing.symbol, x + END_X, y + end.below, side.system)
            sheet.words(end.lines, x, y + end.below)


def charger_wire(sheet: Drawing, page: Page) -> None:
    """From the charger at the end of the last circuit of the mains side to the battery side below.

    Parameters
    ----------
    sheet : where to draw
    page : a sheet with both sides
    """
    upper, lower = page.blocks
    x = upper.columns[-1].x
    y, row = upper.columns[-1].rows[-1]
    charger = next(end for end in row.ends if end.thing.part == "charger")
    start, lane = y + charger.below + 9, lower.top - 8
    at, to = x + END_X, LEFT + COLLECTOR_X
    sheet.line([(at, start), (at, lane), (to, lane), (to, lower.sources[0][0] - 4)], "dc", THIN)
