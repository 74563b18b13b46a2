"""An answer as lines of plain text: sentences broken between words, tables no wider than a page."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from textwrap import wrap

WIDTH = 96  # characters; a notebook at 1280 pixels shows a few more
INDENT = "    "
GAP = "  "
LONGEST_WORD = 24  # a longer word in a table is broken
MOST_LINES = 6
_UNIT = re.compile(r"(?<=\d) (?=[^\W\d_]{1,3}\b|[%°])")
_GLUE = "\u00a0"


def hanging(words: str) -> list[str]:
    """A sentence broken between words, the second line and on set in; a number stays with its unit.

    Parameters
    ----------
    words : the sentence

    Returns
    -------
    list of str
        Lines.
    """
    kept = _UNIT.sub(_GLUE, words)
    lines = wrap(kept, WIDTH, subsequent_indent=INDENT, break_long_words=False, break_on_hyphens=False)
    return [line.replace(_GLUE, " ") for line in lines]


@dataclass(frozen=True)
class Strip:
    """One column of a printed table: head, cells from top to bottom, whether they stand on the right."""

    head: str
    cells: tuple[str, ...]
    right: bool


def table(strips: Sequence[Strip]) -> list[str]:
    """A table as lines; one that is too wide goes on below, its first column repeated.

    Parameters
    ----------
    strips : the columns

    Returns
    -------
    list of str
        Lines, none when there is no row.
    """
    if not strips or not strips[0].cells:
        return []
    lines: list[str] = []
    for block in _blocks(strips):
        lines += ([""] if lines else []) + _laid_out(block, _widths(block) or [_least(strip) for strip in block])
    return lines


def _blocks(strips: Sequence[Strip]) -> Iterator[list[Strip]]:
    block = [strips[0]]
    for strip in strips[1:]:
        if len(block) > 1 and _widths([*block, strip], most_row_lines=1) is None:
            yield block
            block = [strips[0]]
        block.append(strip)
    yield block


def _widths(strips: Sequence[Strip], most_row_lines: int = MOST_LINES) -> list[int] | None:
    """How wide each column is with as few lines a row and then a head as fit; None when nothing fits."""
    for row_lines in range(1, most_row_lines + 1):
        for head_lines in range(1, MOST_LINES + 1):
            widths = [_width(strip, head_lines, row_lines) for strip in strips]
            if sum(widths) + len(GAP) * (len(widths) - 1) <= WIDTH:
                return widths
    return None


def _width(strip: Strip, head_lines: int, row_lines: int) -> int:
    """The narrowest that keeps the head and the cells to so many lines."""
    width = _least(strip)
    asked = [(strip.head, head_lines), *((cell, row_lines) for cell in dict.fromkeys(strip.cells))]
    while True:
        needed = max(_wide_enough(text, width, lines) for text, lines in asked)
        if needed == width:
            return width
        width = needed


@lru_cache(maxsize=8192)
def _wide_enough(text: str, width: int, lines: int) -> int:
    """The narrowest from ``width`` on that keeps a text to so many lines.

    Of every line but the last a blank is lost; what cannot do even so is not tried.
    """
    long = len(" ".join(text.split()))
    width = max(width, -(-(long + 1) // lines) - 1)
    while len(text) > width and len(_broken(text, width)) > lines:
        width += 1
    return width


def _least(strip: Strip) -> int:
    words = [word for text in (strip.head, *dict.fromkeys(strip.cells)) for word in _words(text)]
    return max(1, min(LONGEST_WORD, max((len(word) for word in words), default=1)))


def _words(text: str) -> list[str]:
    return _UNIT.sub(_GLUE, text).split(" ")


@lru_cache(maxsize=8192)
def _broken(text: str, width: int) -> tuple[str, ...]:
    lines = wrap(_UNIT.sub(_GLUE, text), width, break_on_hyphens=False)
    return tuple(line.replace(_GLUE, " ") for line in lines) or ("",)


def _laid_out(strips: Sequence[Strip], widths: Sequence[int]) -> list[str]:
    heads = [_broken(strip.head, width) for strip, width in zip(strips, widths, strict=True)]
    tall = max(len(head) for head in heads)
    lines = _rows(strips, widths, [("",) * (tall - len(head)) + head for head in heads])
    for number in range(len(strips[0].cells)):
        cells = [_broken(strip.cells[number], width) for strip, width in zip(strips, widths, strict=True)]
        lines += _rows(strips, widths, cells)
    return lines


def _rows(strips: Sequence[Strip], widths: Sequence[int], cells: Sequence[Sequence[str]]) -> list[str]:
    lines = []
    for number in range(max(len(cell) for cell in cells)):
        parts = [
            f"{cell[number] if number < len(cell) else '':{'>' if strip.right else '<'}{width}}"
            for strip, width, cell in zip(strips, widths, cells, strict=True)
        ]
        lines.append(GAP.join(parts).rstrip())
    return lines
