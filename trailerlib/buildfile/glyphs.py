"""What the shipped fonts can draw, and a mark in place of what they cannot: never a silent box."""

from __future__ import annotations

import re
import struct
from collections.abc import Iterator, Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

from trailerlib import reference

MARK = "\ufffd"  # the page draws it as a small framed question mark
_PRIVATE = frozenset(range(0xE000, 0xF900))  # what stands there is the font's own affair
_SPACES = frozenset(range(0x20)) | {0x20, 0xA0, 0x200B, 0x202F}


def font_folder() -> Path:
    """Where the shipped fonts lie.

    Returns
    -------
    Path
        The folder, with the licence of the fonts in it.
    """
    return reference.data_root() / "fonts"


@lru_cache(maxsize=1)
def drawable() -> frozenset[int]:
    """The characters every shipped font can draw, as code points, and the spaces.

    Returns
    -------
    frozenset of int
        Code points.
    """
    files = sorted(font_folder().glob("*.otf"))
    covered = [_covered(file.read_bytes()) for file in files]
    return (frozenset.intersection(*covered) - _PRIVATE) | _SPACES


def _covered(font: bytes) -> frozenset[int]:
    """The code points of a font's character map (OpenType specification, table cmap, formats 4 and 12)."""
    count = struct.unpack_from(">H", font, 4)[0]
    tables = {font[at : at + 4]: struct.unpack_from(">L", font, at + 8)[0] for at in range(12, 12 + 16 * count, 16)}
    start = tables[b"cmap"]
    points: set[int] = set()
    for number in range(struct.unpack_from(">H", font, start + 2)[0]):
        at = start + struct.unpack_from(">L", font, start + 8 + 8 * number)[0]
        form = struct.unpack_from(">H", font, at)[0]
        if form in (4, 12):
            points.update(_segments(font, at) if form == 4 else _groups(font, at))
    return frozenset(points)


def _segments(font: bytes, at: int) -> Iterator[int]:
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
            if (glyph + delta) & 0xFFFF if glyph or not offset else 0:
                yield point


def _groups(font: bytes, at: int) -> Iterator[int]:
    """Format 12: ranges of 32-bit code points."""
    for number in range(struct.unpack_from(">L", font, at + 12)[0]):
        first, last, glyph = struct.unpack_from(">LLL", font, at + 16 + 12 * number)
        yield from (point for point in range(first, last + 1) if glyph + point - first)


def undrawable(text: str) -> str:
    """The characters of a text that the shipped fonts cannot draw, each once, in order.

    Parameters
    ----------
    text : any text

    Returns
    -------
    str
        Empty when all can be drawn.
    """
    return "".join(dict.fromkeys(c for c in text if ord(c) not in drawable()))


def marked(text: str) -> str:
    """The text with one mark in place of every stretch that cannot be drawn.

    Parameters
    ----------
    text : any text

    Returns
    -------
    str
        The same text where the shipped fonts cover it.
    """
    known = drawable()
    if all(ord(c) in known for c in set(text)):
        return text
    return re.sub(f"{MARK}+", MARK, "".join(c if ord(c) in known else MARK for c in text))


def needs_a_font(node: Any, place: str = "") -> list[str]:
    """Where the plain data of a design holds text that cannot be drawn, in words.

    Parameters
    ----------
    node : nested mappings and lists with the keys of a design file
    place : words for where the node stands

    Returns
    -------
    list of str
        Such as ``load 3, name (U+6E56 U+8FB9)``; empty when everything can be drawn.
    """
    if isinstance(node, str):
        missing = undrawable(node)
        points = " ".join(f"U+{ord(c):04X}" for c in missing[:6]) + (" …" if len(missing) > 6 else "")
        return [f"{place} ({points})"] if missing else []
    if isinstance(node, Mapping):
        pairs = [(marked(str(key)), str(key), child) for key, child in node.items()]
        names = [found for shown, key, _ in pairs for found in needs_a_font(key, _join(place, f"the key {shown}"))]
        return names + [found for shown, _, child in pairs for found in needs_a_font(child, _join(place, shown))]
    if isinstance(node, list | tuple):
        return [found for n, child in enumerate(node, start=1) for found in needs_a_font(child, f"{place} {n}")]
    return []


def _join(place: str, step: str) -> str:
    return f"{place}, {step}" if place else step
