"""A reading of the closing-in test, and all of them together: plain values that are replaced, never changed."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from trailerlib import quantities
from trailerlib.design.design import Origin
from trailerlib.design.errors import DesignError
from trailerlib.design.kept_text import check_text, is_day
from trailerlib.units import shorten

YES_NO = "yes or no"
# asks: largest size of a reading, in the inside unit; more is a slip of the pen
LARGEST = {"voltage": 1000.0, "current": 2000.0, "resistance": 1e11, "duration": 24.0, YES_NO: 1.0}
LONGEST_KEY, LONGEST_NOTE, LONGEST_BY = 200, 200, 40
# asks: units from small to large, each with its size in the inside unit
SCALES = {
    "voltage": (("mV", 1e-3), ("V", 1.0)),
    "current": (("mA", 1e-3), ("A", 1.0)),
    "resistance": (("mohm", 1e-3), ("ohm", 1.0), ("kohm", 1e3), ("Mohm", 1e6)),
    "duration": (("s", 1 / 3600.0), ("min", 1 / 60.0)),
}
NAMES = {"voltage": "V", "current": "A", "resistance": "ohm", "duration": "s"}


@dataclass(frozen=True)
class Reading:
    """One reading: ``value`` in the inside unit of what it ``asks`` (yes is 1, no is 0), the date the person typed
    (``2026-03-01`` or nothing), who read it, and a note.
    """

    value: float
    asks: str
    on: str = ""
    by: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        if self.asks not in LARGEST:
            raise DesignError(
                f'"{shorten(str(self.asks))}" is not what a line asks; it is one of {", ".join(LARGEST)}.'
            )
        object.__setattr__(self, "value", _sound(self.value, self.asks))
        if not isinstance(self.on, str) or (self.on and not is_day(self.on)):
            raise DesignError(
                f'"{shorten(str(self.on), 30)}" is not a date; write year, month and day, such as 2026-03-01.'
            )
        for name, text, longest in (("by", self.by, LONGEST_BY), ("note", self.note, LONGEST_NOTE)):
            check_text(name, text, longest)

    def text(self) -> str:
        """The quantity as it stands in the file, such as ``12.6 V``, ``38 mV`` or ``yes``."""
        return written(self.value, self.asks)


def _sound(value: float, asks: str) -> float:
    number = float(f"{float(value):.12g}") + 0.0  # no minus nought
    if not math.isfinite(number) or abs(number) > LARGEST[asks]:
        raise DesignError(f"{shorten(str(value), 30)} is too large to be a {asks}; read the meter again.")
    if asks == YES_NO and number not in (0.0, 1.0):
        raise DesignError(f'{shorten(str(value), 30)} is neither yes nor no; write "yes" or "no".')
    if asks in ("resistance", "duration") and number < 0.0:
        raise DesignError(f"{written(number, asks)} is less than nothing; set the leads to zero again, or write 0.")
    return number if asks == YES_NO else quantities.read(written(number, asks), asks)  # as it comes back from the file


@dataclass(frozen=True)
class Readings:
    """All readings of one trailer by the key of their line; never changed, only replaced."""

    taken: Mapping[str, Reading] = field(default_factory=dict)
    revision: int = 0
    origin: Origin | None = field(default=None, compare=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "taken", MappingProxyType(dict(self.taken)))

    def __getitem__(self, key: str) -> Reading:
        return self.taken[key]

    def __contains__(self, key: object) -> bool:
        return key in self.taken

    def __iter__(self) -> Iterator[str]:
        return iter(self.taken)

    def __len__(self) -> int:
        return len(self.taken)

    def get(self, key: str) -> Reading | None:
        """The reading of a line, or None."""
        return self.taken.get(key)

    def values(self) -> dict[str, float]:
        """Every number by the key of its line, in the inside unit, as the study wants it."""
        return {key: one.value for key, one in self.taken.items()}

    def with_(self, key: str, reading: Reading) -> Readings:
        """The same with one reading more, or another one on that line.

        Raises
        ------
        DesignError
            When the key is none.
        """
        check_key(key)
        return replace(self, taken={**self.taken, key: reading})

    def without(self, key: str) -> Readings:
        """The same with that line not measured."""
        return replace(self, taken={name: one for name, one in self.taken.items() if name != key})


def check_key(key: str) -> None:
    """The key of a line, which is any plain text.

    Parameters
    ----------
    key : which line

    Raises
    ------
    DesignError
        When it is none.
    """
    if not key:
        raise DesignError("a reading needs the key of its line; take it from the test sheet.")
    check_text("the key of a line", key, LONGEST_KEY)


def written(value: float, asks: str) -> str:
    """A reading as a person writes it: ``12.6 V``, ``38 mV``, ``0.2 ohm``, ``1.5 Mohm``, ``yes``.

    Parameters
    ----------
    value : [inside unit of what is asked] number
    asks : what the line asks
    """
    if asks == YES_NO:
        return "yes" if value > 0.5 else "no"
    scales, unit = SCALES[asks], NAMES[asks]
    if value == 0.0:
        return f"0 {unit}"
    word, size = next((scale for scale in reversed(scales) if abs(value) >= scale[1]), scales[0])
    return f"{value / size:.12g} {word}"
