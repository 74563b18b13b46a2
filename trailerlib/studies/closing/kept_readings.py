"""Readings out of their file beside the test sheet they belong to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trailerlib.design.errors import DesignError
from trailerlib.design.reading import Reading, Readings
from trailerlib.design.typed import BY_ASKED, EXAMPLES, unit_of
from trailerlib.studies.closing.line import Expected
from trailerlib.studies.closing.sheet import Sheet
from trailerlib.units import shorten


@dataclass(frozen=True)
class Measured:
    """A line of the sheet, what it should read, and what was read if it was."""

    expected: Expected
    reading: Reading | None

    @property
    def verdict(self) -> str:
        """What the reading says."""
        return self.expected.verdict(None if self.reading is None else self.reading.value)


def beside(sheet: Sheet, readings: Readings) -> tuple[Measured, ...]:
    """Every line of the sheet in walking order with its reading.

    Parameters
    ----------
    sheet : the test sheet
    readings : what was measured

    Raises
    ------
    DesignError
        When a reading is of another kind than its line asks for.
    """
    return tuple(_pairs(sheet, readings))


def _pairs(sheet: Sheet, readings: Readings) -> Iterator[Measured]:
    for one in sheet.expected:
        reading = readings.get(one.line.key)
        if reading is not None and reading.asks != one.line.asks:
            unit = BY_ASKED[one.line.asks] and unit_of(one.line)
            right = f"{EXAMPLES[unit]} {unit}" if unit else "yes or no"
            raise DesignError(
                f'reading "{shorten(one.line.key)}": {reading.text()} is not what the line asks for, '
                f"which is {one.line.asks}; write such as {right}."
            )
        yield Measured(one, reading)


def left_over(sheet: Sheet, readings: Readings) -> dict[str, Reading]:
    """Readings of lines that the sheet no longer has, as the design was changed after they were taken.

    Parameters
    ----------
    sheet : the test sheet
    readings : what was measured
    """
    return {key: one for key, one in readings.taken.items() if key not in sheet.by_key}
