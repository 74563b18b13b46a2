"""Quantities as a person writes them, in the unit used inside."""

from __future__ import annotations

import math
import re
from functools import lru_cache

from trailerlib.units import KINDS, Kind, UnitError, line, shorten

LONGEST = 60  # characters of a quantity; nobody writes a longer one
_NUMBER = re.compile(r"[+-]?(?:\d+(?:[ -]\d+/\d+)|\d+/\d+|\d*\.?\d+(?:[eE][+-]?\d+)?)")
_PLAIN = {"−": "-", "–": "-", "’": "'", "′": "'", "″": '"', "”": '"', "º": "°", "\u00a0": " ", "\u202f": " "}
_MINUS = str.maketrans(_PLAIN)


@lru_cache(maxsize=4096)
def read(text: str, kind: str) -> float:
    """The quantity a person wrote, in the unit used inside.

    Parameters
    ----------
    text : what was written, a number and a unit such as ``14 ft``, ``5 ft 6 in`` or ``-2 ft 6 in``
    kind : one of the names in ``KINDS``

    Returns
    -------
    float
        In the kind's inside unit (a fraction comes back as 0..1).

    Raises
    ------
    UnitError
        When the text is not a number with a unit of that kind.
    """
    rule = KINDS[kind]
    parts = _split(text.translate(_MINUS).strip(), rule) if len(text) <= LONGEST else None
    if parts is None:
        raise UnitError(f'"{shorten(text)}" is not a {rule.name}; write a number and a unit, such as {rule.example}.')
    value = sum(_convert(number, rule.words[word], rule.inside) for number, word in parts)
    if not math.isfinite(value):
        raise UnitError(f'"{shorten(text)}" is too large to be a {rule.name}; write something like {rule.example}.')
    value = float(f"{value:.12g}")  # 95 °F is 35 °C, not 34.999999999998835
    return value / 100.0 if kind == "fraction" else value


def _split(text: str, rule: Kind) -> list[tuple[float, str]] | None:
    """Break ``5 ft 6 in`` into its parts; None when anything is left over or unknown."""
    parts: list[tuple[float, str]] = []
    rest = text
    while rest:
        match = _NUMBER.match(rest)
        if match is None:
            return None
        rest = rest[match.end() :].lstrip()
        word = re.match(r"[^\s\d+-]+", rest)
        if word is None or word.group() not in rule.words:
            return None
        parts.append((_plain_number(match.group()), word.group()))
        rest = rest[word.end() :].lstrip()
    return _one_sign(parts, text) if _joinable(parts, rule) else None


def _one_sign(parts: list[tuple[float, str]], text: str) -> list[tuple[float, str]]:
    """A minus before the feet holds for the inches too."""
    return [parts[0], *((-number if text.startswith("-") else number, word) for number, word in parts[1:])]


def _joinable(parts: list[tuple[float, str]], rule: Kind) -> bool:
    if len(parts) <= 1:
        return bool(parts)
    units = [rule.words[word] for _, word in parts]
    return units == ["foot", "inch"] and 0 <= parts[1][0] < 12


def _plain_number(text: str) -> float:
    whole_part, _, fraction = text.replace("-", " ").strip().rpartition(" ") if "/" in text else ("", "", "")
    if not fraction:
        return float(text)
    top, bottom = fraction.split("/")
    if int(bottom) == 0:
        return math.inf
    value = (int(whole_part) if whole_part else 0) + int(top) / int(bottom)
    return -value if text.startswith("-") else value


def _convert(number: float, unit: str, inside: str) -> float:
    slope, offset = line(unit, inside)
    return round(number * slope + offset, 10) if offset else number * slope  # 32 °F is 0 °C, not −6e-14 °C
