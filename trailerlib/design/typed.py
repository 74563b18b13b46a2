"""What a person types into a line of the test sheet, read as a number."""

from __future__ import annotations

import re
from typing import Protocol

from trailerlib import quantities, units
from trailerlib.design.errors import DesignError
from trailerlib.design.reading import YES_NO, Reading
from trailerlib.units import shorten

NOT_MEASURED = ("", "-", "–", "—")
# a number without a unit is in the unit that the meter of the line shows
BY_METER = {"millivolts dc": "mV", "milliohms": "mohm", "megohms": "Mohm"}
BY_ASKED = {"voltage": "V", "current": "A", "resistance": "ohm", "duration": "s", YES_NO: ""}
EXAMPLES = {"V": "12.6", "mV": "38", "A": "4.2", "ohm": "0.2", "mohm": "12", "Mohm": "1.5", "s": "0.2"}
_YES, _NO = ("yes", "y", "1"), ("no", "n", "0")
_BARE = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)")
_MINUS = str.maketrans("−–", "--")


class Asked(Protocol):
    """What is to be known of a line of the test sheet."""

    @property
    def asks(self) -> str:
        """The kind of the reading, or ``yes or no``."""

    @property
    def meter(self) -> str:
        """Row of the table of meters."""

    @property
    def where(self) -> str:
        """Where the probes are."""


def unit_of(line: Asked) -> str:
    """The unit in which a number without one is read on a line, as it stands on the sheet; nothing for yes or no.

    Parameters
    ----------
    line : a line of the test sheet
    """
    return BY_METER.get(line.meter, BY_ASKED[line.asks])


def read_typed(line: Asked, text: str) -> float | None:
    """The number a person typed into a line; None when it says that nothing was measured.

    A number without a unit is in the unit of ``unit_of``, which stands on the sheet beside the place to write.

    Parameters
    ----------
    line : a line of the test sheet
    text : such as ``12.6``, ``38 mV``, ``yes`` or ``-``

    Returns
    -------
    float or None
        In the inside unit of what the line asks.

    Raises
    ------
    DesignError
        When it cannot be read: what is wrong and what would be right.
    """
    words = text.strip()
    if words in NOT_MEASURED:
        return None
    try:
        return Reading(_number(line, words), line.asks).value
    except DesignError as error:
        raise DesignError(f"{line.where}: {error}") from None


def _number(line: Asked, words: str) -> float:
    if line.asks == YES_NO:
        if words.lower() in (*_YES, *_NO):
            return float(words.lower() in _YES)
        raise DesignError(f'"{shorten(words)}" is neither yes nor no; write "yes" or "no", or leave it empty.')
    unit = unit_of(line)
    example = f"{EXAMPLES[unit]} {unit}"
    if "," in words:
        raise DesignError(f'"{shorten(words)}" has a comma; write the number with a point, such as {example}.')
    _no_slip(line, words, example)
    plain = words.translate(_MINUS)
    try:
        return quantities.read(f"{plain.rstrip('.')} {unit}" if _BARE.fullmatch(plain) else words, line.asks)
    except units.UnitError:
        raise DesignError(
            f'"{shorten(words)}" is not a {line.asks}; write a number and a unit, such as {example}, or the number '
            f"alone in {unit}. Where the meter shows over range, write the end of the range."
        ) from None


def _no_slip(line: Asked, words: str, example: str) -> None:
    """A small m for a large one is off by a thousand million: refused where the meter cannot have shown it."""
    wrong = {"megohms": ("mohm", "mΩ"), "milliohms": ("Mohm", "MΩ")}.get(line.meter, ())
    if words.endswith(wrong):
        raise DesignError(
            f'"{shorten(words)}": m is a thousandth and M a million, and this meter shows {unit_of(line)}; '
            f"write {example}, with the right m."
        )
