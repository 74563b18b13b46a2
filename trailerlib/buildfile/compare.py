"""Two pieces of plain data side by side: every place where they differ, by name."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

Cause = Literal[
    "design changed", "reading changed", "table changed", "library version", "workbook changed", "number altered"
]
NAMES = ("name", "tag", "part", "number")  # what a part of a list goes by
MOST_NAMED = 4
CLOSE = 1e-12  # relative; another machine may round the last digit differently
ABSENT = "nothing"


@dataclass(frozen=True)
class Difference:
    """One place where a snapshot and its recomputation differ, and why as best as can be told.

    ``by`` names the tables, libraries or rooms of the workbook that are not what they were.
    """

    where: str
    was: Any
    now: Any
    cause: Cause
    by: tuple[str, ...] = ()

    def text(self) -> str:
        """The difference on one line.

        Returns
        -------
        str
            Place, what was, what is now, cause.
        """
        more = f" and {len(self.by) - MOST_NAMED} more" if len(self.by) > MOST_NAMED else ""
        by = f": {', '.join(self.by[:MOST_NAMED])}{more}" if self.by else ""
        return f"{self.where}: {_short(self.was)} in the snapshot, {_short(self.now)} now ({self.cause}{by})"


def differences(was: Any, now: Any, where: str = "") -> Iterator[tuple[str, Any, Any]]:
    """Every place where two trees of plain data differ.

    Parameters
    ----------
    was : the one that was kept
    now : the one it is held against
    where : dotted path of this place

    Yields
    ------
    tuple
        Dotted path, what was, what is now; ``nothing`` where one side has no such place.
    """
    if isinstance(was, dict) and isinstance(now, dict):
        for key in [*was, *(key for key in now if key not in was)]:
            yield from differences(was.get(key, ABSENT), now.get(key, ABSENT), f"{where}.{key}" if where else str(key))
    elif isinstance(was, list) and isinstance(now, list):
        for place in range(max(len(was), len(now))):
            old, new = (side[place] if place < len(side) else ABSENT for side in (was, now))
            yield from differences(old, new, f"{where}.{_label(old, new, place)}")
    elif not _same(was, now):
        yield where, was, now


def _label(old: Any, new: Any, place: int) -> str:
    """A part of a list by its name where it has one, else by its number."""
    for part in (new, old):
        if isinstance(part, dict):
            if isinstance(part.get("rule"), str):
                return f"{part['rule']}[{part.get('subject')}]"
            name = next((part[key] for key in NAMES if isinstance(part.get(key), str)), None)
            if name is not None:
                return str(name)
    return str(place + 1)


def _same(was: Any, now: Any) -> bool:
    if _is_number(was) and _is_number(now):
        return math.isclose(was, now, rel_tol=CLOSE, abs_tol=0.0)
    return type(was) is type(now) and bool(was == now)


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _short(value: Any) -> str:
    text = repr(value) if isinstance(value, str) and value != ABSENT else str(value)
    line = "".join(c if c.isprintable() else "?" for c in text)
    return line if len(line) <= 80 else line[:79] + "…"
