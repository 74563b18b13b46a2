"""The schedules as comma-separated text for other programs: numbers in the shown unit, texts that nothing runs."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Mapping, Sequence
from typing import Any

from trailerlib import units
from trailerlib.studies.answer import Column
from trailerlib.studies.schedules import Schedule
from trailerlib.studies.schedules.schedule import TapeColumn

NAMES = {
    "panel": "panel-schedule.csv", "fuses": "fuse-schedule.csv", "cut_list": "wire-cut-list.csv",
    "spools": "spool-plan.csv", "parts": "parts-list.csv",
}  # fmt: skip
RUNS = ("=", "+", "-", "@", "\t", "\r", "\n")  # what a spreadsheet may take for a formula when a cell begins with it
DIGITS = 9  # significant, more than any tape or meter shows

Cell = float | str | None


def files(schedules: Mapping[str, Schedule], system: units.System) -> dict[str, bytes]:
    """Every schedule as the bytes of its file, by key.

    Parameters
    ----------
    schedules : what is built and bought from
    system : ``us`` or ``metric``

    Returns
    -------
    dict of str to bytes
        UTF-8 with a mark at the beginning, lines by RFC 4180; the same schedules give the same bytes.
    """
    return {
        f"{key} csv": _text(*cells(schedules[key], system)).encode("utf-8-sig") for key in NAMES if key in schedules
    }


def cells(one: Schedule, system: units.System) -> tuple[list[str], list[list[Cell]]]:
    """Heads and rows of a schedule: numbers in the shown unit, lengths to cut as a number and as the tape shows them.

    Parameters
    ----------
    one : the schedule
    system : ``us`` or ``metric``

    Returns
    -------
    heads and rows
        None is an empty cell.
    """
    heads: list[str] = []
    for column in one.columns:
        heads += [column.head(system)] + ([f"{column.title}, by the tape"] if isinstance(column, TapeColumn) else [])
    return heads, [[cell for column in one.columns for cell in _cells(column, row, system)] for row in one.rows]


def _cells(column: Column, row: Mapping[str, Any], system: units.System) -> list[Cell]:
    value = row.get(column.key)
    if isinstance(column, TapeColumn):
        return [outside(value, column.kind, system), column.cell(value, system)]
    return [value if isinstance(value, str) or value is None else outside(value, column.kind, system)]


def outside(value: Any, kind: str, system: units.System) -> float | None:
    """A number in its shown unit; None for what is not known or not finite.

    Parameters
    ----------
    value : [inside unit of the kind] number
    kind : one of the names in ``units.KINDS``, or any other for a plain number
    system : ``us`` or ``metric``
    """
    if value is None or not math.isfinite(value):
        return None
    return units.outside(float(value), kind, system) if kind in units.KINDS else float(value)


def _text(heads: Sequence[str], rows: Sequence[Sequence[Cell]]) -> str:
    buffer = io.StringIO(newline="")
    writer = csv.writer(buffer)
    writer.writerow([safe(head) for head in heads])
    writer.writerows([[_shown(cell) for cell in row] for row in rows])
    return buffer.getvalue()


def _shown(cell: Cell) -> str:
    return "" if cell is None else safe(cell) if isinstance(cell, str) else f"{cell:.{DIGITS}g}"


def safe(text: str) -> str:
    """A text that no spreadsheet takes for a formula: one that begins like one gets an apostrophe before it.

    Parameters
    ----------
    text : any text
    """
    return f"'{text}" if text.startswith(RUNS) else text
