"""How wide words are, and how they are made to fit."""

from __future__ import annotations

from functools import lru_cache

BOLD = 1.12  # heavy letters are wider
SLACK = 1.1  # the letters of some machines are wider than the usual ones


@lru_cache(maxsize=16384)
def text_width(text: str, size: float, bold: bool = False) -> float:
    """About how wide a text is [px].

    Parameters
    ----------
    text : the text
    size : [px] letter height
    bold : whether the letters are heavy
    """
    narrow = sum(c in "iljtf.,:;'|!() \u00a0" for c in text)
    wide = sum(c in "mwMW%@—" or ord(c) > 0x2E80 for c in text)
    return size * (BOLD if bold else 1.0) * (0.56 * (len(text) - narrow - wide) + 0.31 * narrow + 0.9 * wide)


@lru_cache(maxsize=4096)
def fit(words: str, size: float, width: float) -> str:
    """A text cut with an ellipsis so that it is no wider than there is room.

    Parameters
    ----------
    words : the text
    size : [px] letter height
    width : [px] room
    """
    if text_width(words, size) <= width:
        return words
    while words and text_width(words + "…", size) > width:
        words = words[:-1]
    return words.rstrip(" ,") + "…"


@lru_cache(maxsize=4096)
def wide(words: str, size: float = 12.0, bold: bool = False) -> float:
    """Room to keep for a text [px], whatever letters the machine has.

    Parameters
    ----------
    words : the text
    size : [px] letter height
    bold : whether the letters are heavy
    """
    return SLACK * text_width(words, size, bold)


def cut(words: str, size: float, room: float, bold: bool = False) -> str:
    """A text that keeps within so much room, whatever letters the machine has.

    Parameters
    ----------
    words : the text
    size : [px] letter height
    room : [px] room
    bold : whether the letters are heavy
    """
    return fit(words, size, room / SLACK / (BOLD if bold else 1.0))


def broken(words: str, size: float, width: float, most: int) -> list[str]:
    """A text on at most so many lines, broken between words; the last is cut when it is still too long.

    Parameters
    ----------
    words : the text
    size : [px] letter height
    width : [px] room
    most : [-] most lines
    """
    lines = [""]
    for word in words.split(" "):
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and len(lines) < most and wide(longer, size) > width:
            lines.append(word)
        else:
            lines[-1] = longer
    return [cut(line, size, width) for line in lines]
