"""The lines of the sheet in rounds: what is measured with the switches as they are, a handful at a time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trailerlib.studies.closing.line import STAGES, Expected, Line, Stage
from trailerlib.studies.closing.sheet import Sheet

AT_ONCE = 8  # lines a person keeps in view; a longer round is walked in parts
TITLES = {
    "bond": "bonding to the ground bar", "polarity": "plus and minus at the far ends",
    "rails": "no short, plus to minus", "frame": "no short to the frame", "across": "no short, hot to neutral",
    "neutral": "neutral apart from ground", "insulation": "insulation", "rest": "at rest",
    "supply": "the supply, before plugging in", "transfer": "one supply at a time",
    "panel": "in the panel, nothing plugged in", "bare": "at the ends, nothing plugged in",
    "trip": "GFCI and RCD", "unequal": "two unequal loads", "charger": "the charger",
}  # fmt: skip


@dataclass(frozen=True)
class Round:
    """Lines that are measured together: the side of the test, what they are, and what each should read.

    ``routine`` rounds are always measured; the others, part by part, only to narrow a fault down.
    """

    stage: Stage
    title: str
    routine: bool
    lines: tuple[Expected, ...]

    @property
    def name(self) -> str:
        """What the round is known by: no two rounds share it."""
        return f"{self.stage}: {self.title}"

    @property
    def keys(self) -> tuple[str, ...]:
        """Keys of its lines."""
        return tuple(one.line.key for one in self.lines)


def rounds_of(sheet: Sheet) -> tuple[Round, ...]:
    """Every line of a sheet in one round, in the order a person walks; closer rounds after the routine of a side.

    Parameters
    ----------
    sheet : the test sheet
    """
    return tuple(one for stage in STAGES for routine in (True, False) for one in _rounds(sheet, stage, routine))


def _rounds(sheet: Sheet, stage: Stage, routine: bool) -> Iterator[Round]:
    found: dict[str, list[Expected]] = {}
    for one in sheet.expected:
        if one.line.stage == stage and one.line.routine is routine:
            found.setdefault(title_of(one.line), []).append(one)
    for title, lines in found.items():
        count = -(-len(lines) // AT_ONCE)
        each = -(-len(lines) // count)
        for number in range(count):
            words = f"{title}, {number + 1} of {count}" if count > 1 else title
            yield Round(stage, words, routine, tuple(lines[number * each : (number + 1) * each]))


def title_of(line: Line) -> str:
    """What the round of a line is called.

    Parameters
    ----------
    line : a line of the sheet
    """
    head, *rest = line.key.split("/")
    if line.stage == "battery" and head in ("alone", "all"):
        title = f"only {line.load} on" if head == "alone" else _all_on(line)
    elif head == "load":
        title = f"test load at {line.circuit or rest[0]}"
    else:
        title = TITLES.get(head, head)
    return title if line.routine else f"{title}, part by part"


def _all_on(line: Line) -> str:
    if not line.routine or line.circuit is None:
        return "all on: feeder"
    return "all on: at the loads" if line.load is not None else "all on: at the fuses"
