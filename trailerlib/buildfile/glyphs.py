"""What the shipped fonts can draw, and a mark in place of what they cannot: never a silent box."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from trailerlib.buildfile import faces

MARK = "\ufffd"  # the page draws it as a small framed question mark
_PRIVATE = frozenset(range(0xE000, 0xF900))  # what stands there is the font's own affair
_SPACES = frozenset(range(0x20)) | {0x20, 0xA0, 0x200B, 0x202F, 0x3000}


@lru_cache(maxsize=1)
def _in_first() -> frozenset[int]:
    """Code points that the first family draws, plain and heavy, and the spaces."""
    plain, heavy = faces.face(faces.FIRST), faces.face(faces.FIRST, True)
    return frozenset(plain.glyphs.keys() & heavy.glyphs.keys()) - _PRIVATE | _SPACES


def in_first(letter: str) -> bool:
    """Whether the first family draws a character.

    Parameters
    ----------
    letter : one character

    Returns
    -------
    bool
        True for spaces as well.
    """
    return ord(letter) in _in_first()


def drawn(letter: str) -> bool:
    """Whether any shipped family draws a character; the second is opened only for what the first does not.

    Parameters
    ----------
    letter : one character

    Returns
    -------
    bool
        True for spaces as well.
    """
    return in_first(letter) or (ord(letter) not in _PRIVATE and ord(letter) in faces.face(faces.SECOND).glyphs)


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
    return "".join(c for c in dict.fromkeys(text) if not drawn(c))


def marked(text: str) -> str:
    """The text with one mark in place of every stretch that cannot be drawn.

    Parameters
    ----------
    text : any text

    Returns
    -------
    str
        The same text where the shipped fonts draw it.
    """
    strange = undrawable(text)
    return re.sub(f"[{re.escape(strange)}]+", MARK, text) if strange else text


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
