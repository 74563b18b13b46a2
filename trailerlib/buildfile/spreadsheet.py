"""The build file as a spreadsheet: real numbers in the shown unit, texts as plain text, the same bytes every time."""

from __future__ import annotations

import io
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from trailerlib import quantities, units
from trailerlib.buildfile.closing_sheet import Filled, meter_name
from trailerlib.buildfile.comma_files import cells
from trailerlib.buildfile.pages import is_claim
from trailerlib.buildfile.snapshot import steady
from trailerlib.buildfile.tabled import unit_of
from trailerlib.design import typed
from trailerlib.rules.finding import Finding
from trailerlib.studies.answer import Answer, Assessment, Column
from trailerlib.studies.closing.kept_readings import Measured
from trailerlib.studies.closing.line import STAGE_NAMES
from trailerlib.studies.schedules import Schedule

SHEETS = {
    "Loads": "loads", "Circuits": "wiring", "Night": "night", "Trip": "trip", "Mains": "mains",
    "Generator": "generator", "Heat": "cooling", "Openings": "roof", "Weight": "towing",
}  # fmt: skip
BUILT = {
    "Panel": "panel", "Fuses": "fuses", "Wire cut list": "cut_list", "Colours": "colours", "Spool plan": "spools",
    "Parts": "parts",
}  # fmt: skip
MADE = datetime(2000, 1, 1)  # a fixed day, so that the same design gives the same bytes
NARROWEST, WIDEST = 4, 60  # characters
TEST_SHEET = (
    "Part", "State of the switches", "Where", "Meter", "How it is set", "Should read", "From", "To", "Unit", "Measured",
    "Verdict", "Date", "By", "Note", "Why", "Line",
)  # fmt: skip


@dataclass(frozen=True)
class Grid:
    """One sheet: the heads and, under them, rows of numbers and texts; None is an empty cell.

    ``money`` are the columns that hold sums of money, counted from 0. A row shorter than the heads is a remark.
    """

    name: str
    heads: Sequence[str]
    rows: Sequence[Sequence[float | str | None]]
    money: Sequence[int] = ()


def workbook(
    assessment: Assessment, title: str, sheet: Filled | None = None, schedules: Mapping[str, Schedule] | None = None
) -> bytes:
    """The whole spreadsheet.

    Parameters
    ----------
    assessment : every study of one design
    title : title of the design
    sheet : the test sheet of the closing-in test, if it is wanted
    schedules : what is built and bought from, by key

    Returns
    -------
    bytes
        The xlsx file; the same design gives the same bytes.
    """
    import xlsxwriter

    buffer = io.BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    book = xlsxwriter.Workbook(buffer, options)
    book.set_properties({"title": title, "created": MADE})
    for grid in grids(assessment, sheet, schedules):
        _write(book, grid)
    book.close()
    return buffer.getvalue()


def grids(
    assessment: Assessment, sheet: Filled | None = None, schedules: Mapping[str, Schedule] | None = None
) -> list[Grid]:
    """Every sheet of the spreadsheet: the schedules, the tables, the findings, the numbers.

    Parameters
    ----------
    assessment : every study of one design
    sheet : the test sheet of the closing-in test, if it is wanted
    schedules : what is built and bought from, by key

    Returns
    -------
    list of Grid
        In the order of the sheets.
    """
    tables = [_table(name, assessment[question]) for name, question in SHEETS.items()]
    walked = [] if sheet is None else [_test_sheet(sheet)]
    built = [_schedule(name, (schedules or {})[key], assessment.system) for name, key in BUILT.items() if schedules]
    return [*built, *tables, *walked, _findings(assessment), _numbers(assessment, schedules or {})]


def _schedule(name: str, one: Schedule, system: units.System) -> Grid:
    heads, rows = cells(one, system)
    money = tuple(n for n, head in enumerate(heads) if any(c.kind == "money" and c.title == head for c in one.columns))
    told = [*([one.note] if one.note else []), *(f"Not on it: {line}" for line in one.missing)]
    below: list[list[float | str | None]] = [[text] for text in told]
    return Grid(name, heads, [*rows, *([[]] if below else []), *below], money)


def _test_sheet(sheet: Filled) -> Grid:
    rows = [_line(one) for one in sheet.printed()]
    for key, one in sheet.left_over.items():
        gone = "no longer on the sheet"
        rows.append(["", "", "", "", "", None, None, None, "", one.text(), gone, one.on, one.by, one.note, "", key])
    return Grid("Test sheet", TEST_SHEET, rows)


def _line(one: Measured) -> list[float | str | None]:
    expected, line, reading = one.expected, one.expected.line, one.reading
    unit = typed.unit_of(line)
    value, low, high = (_in_unit(number, line.asks, unit) for number in (expected.value, expected.low, expected.high))
    if not unit:
        low = high = None
    return [
        STAGE_NAMES[line.stage], line.state, line.where, meter_name(line), line.setting, value, low, high, unit,
        None if reading is None else _in_unit(reading.value, line.asks, unit), one.verdict,
        *(("", "", "") if reading is None else (reading.on, reading.by, reading.note)), line.why, line.key,
    ]  # fmt: skip


def _in_unit(value: float | None, asks: str, unit: str) -> float | str | None:
    """A reading in the unit of its line, a yes or no in words, nothing where there is no end."""
    if value is None or not math.isfinite(value):
        return None
    if not unit:
        return "yes" if value > 0.5 else "no"
    return value / quantities.read(f"1 {unit}", asks)


def _table(name: str, answer: Answer) -> Grid:
    heads = [column.head(answer.system) for column in answer.columns]
    rows = [[_cell(column, row.get(column.key), answer.system) for column in answer.columns] for row in answer.rows]
    return Grid(name, heads, rows)


def _cell(column: Column, value: Any, system: units.System) -> float | str | None:
    if isinstance(value, str) or value is None:
        return value
    return _outside(float(value), column.kind, system)


def _outside(value: float | None, kind: str, system: units.System) -> float | None:
    if value is None or not math.isfinite(value):
        return None
    return units.outside(value, kind, system) if kind in units.KINDS else value


def _findings(assessment: Assessment) -> Grid:
    heads = ("Severity", "Where", "What", "What to do", "Value", "Limit", "Unit", "Clause", "How sure")
    return Grid("Findings", heads, [_finding(finding, assessment.system) for finding in assessment.finding_list])


def _finding(finding: Finding, system: units.System) -> list[float | str | None]:
    value, limit = (None, None) if is_claim(finding) else (finding.measured, finding.limit)
    return [
        finding.severity, finding.subject, finding.text(system), finding.mend(system),
        _outside(value, finding.kind, system), _outside(limit, finding.kind, system),
        unit_of(finding.kind, system), finding.clause, finding.confidence,
    ]  # fmt: skip


def _numbers(assessment: Assessment, schedules: Mapping[str, Schedule]) -> Grid:
    rows: list[list[float | str | None]] = []
    for answer in assessment.answers.values():
        rows.append([answer.title, f"{answer.word}: {answer.sentence}", None, None])
        for number in answer.numbers.values():
            clock = number.kind == "clock"
            value = number.text(answer.system) if clock else _outside(number.value, number.kind, answer.system)
            unit = unit_of(number.kind, answer.system)
            rows.append([answer.title, number.title, value, "hh:mm" if clock else unit])
    for one in schedules.values():
        for number in one.numbers.values():
            value = _outside(number.value, number.kind, assessment.system)
            rows.append([one.title, number.title, value, unit_of(number.kind, assessment.system)])
    return Grid("Numbers", ("Question", "What", "Value", "Unit"), rows)


def _write(book: Any, grid: Grid) -> None:
    bold = book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "bottom"})
    text = book.add_format({"num_format": "@", "text_wrap": True, "valign": "top"})
    sheet = book.add_worksheet(grid.name)
    for column, head in enumerate(grid.heads):
        sheet.write_string(0, column, head, bold)
        sheet.set_column(
            column, column, _width(head, [row[column] for row in grid.rows if len(row) == len(grid.heads)])
        )
    remark = book.add_format({"num_format": "@", "valign": "top"})
    for line, row in enumerate(grid.rows, start=1):
        whole = len(row) == len(grid.heads)
        for column, value in enumerate(row):
            if isinstance(value, str):
                sheet.write_string(line, column, value, text if whole else remark)
            elif value is not None:
                sheet.write_number(line, column, steady(value), _shown(book, value, column in grid.money))
    sheet.freeze_panes(1, 1)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(0)


def _shown(book: Any, value: float, money: bool) -> Any:
    """A number format that shows three significant figures of this value, two decimals of money; the cell keeps all."""
    decimals = 0 if not value else max(0, 2 - math.floor(math.log10(abs(value))))
    if money:
        decimals = 2
    elif value == round(value):
        decimals = 0
    return book.add_format({"num_format": "0." + "0" * decimals if decimals else "0", "valign": "top"})


def _width(head: str, values: Sequence[float | str | None]) -> float:
    """Wide enough for the longest text, and for the longest word of the head."""
    longest = max((len(value) if isinstance(value, str) else 8 for value in values if value is not None), default=4)
    return min(WIDEST, max(longest, NARROWEST, *map(len, head.split())) + 2)
