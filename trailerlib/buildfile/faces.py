"""The shipped type faces, read from their files: which characters each draws and how wide they are.

Tables and their layout: OpenType specification, `cmap` (formats 4 and 12), `hmtx`, `loca`, collections.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from trailerlib import reference

FIRST = "Inter"
SECOND = "WenQuanYi Micro Hei"  # draws what the first does not: Chinese, Japanese, Korean
FILES = {(FIRST, False): "Inter-Regular.otf", (FIRST, True): "Inter-SemiBold.otf", (SECOND, False): "wqy-microhei.ttc"}


@dataclass(frozen=True)
class Face:
    """One face: glyph number by code point, advance of each glyph [units], units to the height of the letter."""

    glyphs: Mapping[int, int]
    advances: tuple[int, ...]
    per_em: int

    def advance(self, point: int) -> float | None:
        """How wide a character is set [em], None when the face does not draw it."""
        glyph = self.glyphs.get(point)
        if glyph is None:
            return None
        return self.advances[min(glyph, len(self.advances) - 1)] / self.per_em

    @property
    def widest(self) -> float:
        """The widest of its letters [em]."""
        return max(self.advances) / self.per_em


def font_folder() -> Path:
    """Where the shipped fonts lie, with their licences.

    Returns
    -------
    Path
        The folder.
    """
    return reference.data_root() / "fonts"


def face(family: str, bold: bool = False) -> Face:
    """A shipped face; it is read when the first text asks for it.

    Parameters
    ----------
    family : ``FIRST`` or ``SECOND``
    bold : whether the heavy face is meant; a family without one is set in its only face

    Returns
    -------
    Face
        Characters whose drawing is empty are not among those it draws.
    """
    return _opened(FILES.get((family, bold)) or FILES[family, False])


@lru_cache(maxsize=len(FILES))
def _opened(name: str) -> Face:
    return _read((font_folder() / name).read_bytes())


def _read(font: bytes) -> Face:
    tables = _tables(font)
    per_em, longs = (struct.unpack_from(">H", font, tables["head"] + at)[0] for at in (18, 50))
    count = struct.unpack_from(">H", font, tables["hhea"] + 34)[0]
    advances = struct.unpack_from(f">{2 * count}H", font, tables["hmtx"])[::2]
    points = dict(_points(font, tables["cmap"]))
    if "loca" in tables:
        glyphs = struct.unpack_from(">H", font, tables["maxp"] + 4)[0]
        places = struct.unpack_from(f">{glyphs + 1}{'L' if longs else 'H'}", font, tables["loca"])
        points = {point: glyph for point, glyph in points.items() if places[glyph] != places[glyph + 1]}
    return Face(points, advances, per_em)


def _tables(font: bytes) -> dict[str, int]:
    """Where each table begins; of a collection, those of its first font."""
    start = struct.unpack_from(">L", font, 12)[0] if font[:4] == b"ttcf" else 0
    entries = (start + 12 + 16 * n for n in range(struct.unpack_from(">H", font, start + 4)[0]))
    return {font[at : at + 4].decode("latin-1"): struct.unpack_from(">L", font, at + 8)[0] for at in entries}


def _points(font: bytes, start: int) -> Iterator[tuple[int, int]]:
    """Code points with their glyphs."""
    for number in range(struct.unpack_from(">H", font, start + 2)[0]):
        at = start + struct.unpack_from(">L", font, start + 8 + 8 * number)[0]
        form = struct.unpack_from(">H", font, at)[0]
        if form == 4:
            yield from _segments(font, at)
        elif form == 12:
            yield from _groups(font, at)


def _segments(font: bytes, at: int) -> Iterator[tuple[int, int]]:
    """Format 4: ranges of 16-bit code points; a glyph number of zero means it is not there."""
    count = struct.unpack_from(">H", font, at + 6)[0] // 2
    ends = struct.unpack_from(f">{count}H", font, at + 14)
    starts = struct.unpack_from(f">{count}H", font, at + 16 + 2 * count)
    deltas = struct.unpack_from(f">{count}H", font, at + 16 + 4 * count)
    offsets_at = at + 16 + 6 * count
    offsets = struct.unpack_from(f">{count}H", font, offsets_at)
    for n, (first, last, delta, offset) in enumerate(zip(starts, ends, deltas, offsets, strict=True)):
        for point in range(first, min(last, 0xFFFE) + 1):
            glyph = point
            if offset:
                glyph = struct.unpack_from(">H", font, offsets_at + 2 * n + offset + 2 * (point - first))[0]
            placed = (glyph + delta) & 0xFFFF if glyph or not offset else 0
            if placed:
                yield point, placed


def _groups(font: bytes, at: int) -> Iterator[tuple[int, int]]:
    """Format 12: ranges of 32-bit code points."""
    for number in range(struct.unpack_from(">L", font, at + 12)[0]):
        first, last, glyph = struct.unpack_from(">LLL", font, at + 16 + 12 * number)
        yield from ((point, glyph + point - first) for point in range(first, last + 1) if glyph + point - first)
