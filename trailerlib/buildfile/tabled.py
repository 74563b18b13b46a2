"""Tables as they fit a page: rows of texts under heads, each column as wide as its share, wide tables in parts."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from trailerlib import units
from trailerlib.studies.answer import Answer, Column
from trailerlib.studies.schedules import Schedule

Data = dict[str, Any]

WIDEST = 6  # columns of stays in one table
MOST_COLUMNS = 11  # a wider table goes on below
LONGEST_ON_ONE_LINE = 20  # letters; a longer text wraps in its column
VERY_LONG, ROOM_FOR_IT = 80, 36  # letters; a list of many things gets more room


def tables(answer: Answer) -> list[Data]:
    """The table of an answer, cut into parts that fit a page: the columns of the stays stand in tables of their own.

    Parameters
    ----------
    answer : the answer

    Returns
    -------
    list of dict
        Each with ``columns`` (title, unit, numeric, weight) and ``rows`` of texts.
    """
    if not answer.rows:
        return []
    stays = [column for column in answer.columns if re.fullmatch(r"stay_\d+", column.key)]
    whole = [column for column in answer.columns if column not in stays]
    parts = [
        *_halves(whole),
        *([answer.columns[0], *stays[n : n + WIDEST]] for n in range(0, len(stays), WIDEST)),
    ]
    found = [table(part, answer.rows, answer.system) for part in parts]
    return [*found, *(table(b.columns, b.rows, answer.system) for b in answer.besides if b.columns)]


def schedule(one: Schedule, system: units.System) -> Data:
    """A schedule as it is printed.

    Parameters
    ----------
    one : the schedule
    system : ``us`` or ``metric``

    Returns
    -------
    dict
        ``key``, ``heading``, ``numbers``, ``tables``, ``note`` and ``missing``.
    """
    return {
        "key": one.key,
        "heading": one.title,
        "numbers": [[number.title, number.text(system)] for number in one.numbers.values()] if one.rows else [],
        "tables": [table(one.columns, one.rows, system)] if one.rows else [],
        "note": one.note if one.rows else "",
        "missing": list(one.missing),
    }


def _halves(columns: Sequence[Column]) -> list[Sequence[Column]]:
    """The columns as they fit a page: too many of them go on in a second table, its first column repeated."""
    if len(columns) <= MOST_COLUMNS:
        return [columns]
    middle = (len(columns) + 1) // 2
    return [columns[:middle], [columns[0], *columns[middle:]]]


def table(columns: Sequence[Column], lines: Sequence[Mapping[str, Any]], system: units.System) -> Data:
    """Heads and rows of texts.

    Parameters
    ----------
    columns : from left to right
    lines : the rows
    system : ``us`` or ``metric``

    Returns
    -------
    dict
        ``columns`` (title, unit, numeric, weight) and ``rows`` of texts.
    """
    rows = [[column.cell(row.get(column.key), system) for column in columns] for row in lines]
    heads: list[Data] = [{"title": c.title, "numeric": c.numeric, "unit": _head_unit(c, system)} for c in columns]
    for n, head in enumerate(heads):
        head["weight"] = _weight(head, [row[n] for row in rows])
    return {"columns": heads, "rows": rows}


def _head_unit(column: Column, system: units.System) -> str:
    """The unit under a head; none where every cell says its own."""
    return "" if getattr(column, "written_out", False) else unit_of(column.kind, system)


def unit_of(kind: str, system: units.System) -> str:
    """The unit shown for a kind; nothing for a text or a plain number.

    Parameters
    ----------
    kind : one of the names in ``units.KINDS``, or any other
    system : ``us`` or ``metric``

    Returns
    -------
    str
        Such as ``ft``.
    """
    return units.unit(kind, system) if kind in units.KINDS else ""


def _weight(head: Data, cells: Sequence[str]) -> float:
    """Share of the width: room for the longest word of the title and for the cells, as far as they need not wrap."""
    word = max(len(part) for part in head["title"].split())
    longest: float = max(map(len, cells), default=0)
    if longest > VERY_LONG:
        longest = ROOM_FOR_IT
    elif not head["numeric"]:
        longest = min(longest, LONGEST_ON_ONE_LINE) * (1.3 if longest <= len("300 kcmil") else 1.0)  # capitals are wide
    return (2.4 if head["numeric"] else 1.6) + max(word * 1.12, longest)
