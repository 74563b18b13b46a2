"""The spreadsheet: numbers are numbers in the shown unit, texts are texts."""

from __future__ import annotations

import zipfile
from collections.abc import Callable
from io import BytesIO
from typing import Any

import pytest
from openpyxl import load_workbook

from trailerlib import units
from trailerlib.buildfile import spreadsheet
from trailerlib.design.design import Design
from trailerlib.studies import assess

SHEETS = [
    "Panel", "Fuses", "Wire cut list", "Colours", "Spool plan", "Parts", "Loads", "Circuits", "Night", "Trip", "Mains", "Generator", "Heat", "Openings", "Weight", "Test sheet", "Findings", "Numbers",
]  # fmt: skip


def test_sheets_heads_and_frozen_row(made: dict[str, bytes]) -> None:
    book = load_workbook(BytesIO(made["spreadsheet"]))
    assert book.sheetnames == SHEETS
    for sheet in book:
        assert sheet.freeze_panes == "B2"
        assert all(cell.font.bold for cell in sheet[1])
        assert all(sheet.column_dimensions[cell.column_letter].width >= 5 for cell in sheet[1])


@pytest.mark.parametrize("system", ["us", "metric"])
def test_numbers_are_numbers_in_the_shown_unit(demo: Design, system: units.System) -> None:
    assessment = assess(demo.replace("units", system))
    book = load_workbook(BytesIO(spreadsheet.workbook(assessment, demo.title)))
    compared = 0
    for name, question in spreadsheet.SHEETS.items():
        answer, sheet = assessment[question], book[name]
        assert [cell.value for cell in sheet[1]] == [column.head(system) for column in answer.columns]
        for line, row in enumerate(answer.rows, start=2):
            for place, column in enumerate(answer.columns, start=1):
                value, cell = row.get(column.key), sheet.cell(line, place)
                if isinstance(value, float) and value == value:
                    expected = units.outside(value, column.kind, system) if column.kind in units.KINDS else value
                    assert cell.data_type == "n" and cell.value == pytest.approx(expected, rel=1e-12)
                    compared += 1
                elif isinstance(value, str):
                    assert cell.data_type == "s" and cell.value == value
    assert compared > 100


def test_findings_and_numbers(demo: Design, made: dict[str, bytes]) -> None:
    assessment = assess(demo, {})
    book = load_workbook(BytesIO(made["spreadsheet"]))
    whats = [row[2].value for row in book["Findings"].iter_rows(min_row=2)]
    assert whats == [finding.text("us") for finding in assessment.finding_list]
    titles = [row[1].value for row in book["Numbers"].iter_rows(min_row=2)]
    for answer in assessment.answers.values():
        assert all(number.title in titles for number in answer.numbers.values())


def test_a_text_is_never_a_formula_or_a_link(
    changed: Callable[[Callable[[dict[str, Any]], None]], Design],
) -> None:
    def spoil(raw: dict[str, Any]) -> None:
        raw["load"][0]["name"] = "mailto:somebody"
        raw["load"][1]["name"] = "{=1+1}"
        raw["load"][2]["name"] = "12345"
        for stay in raw["stay"]:
            stay["on"] = {}

    data = spreadsheet.workbook(assess(changed(spoil)), "{=1+1}")
    sheet = load_workbook(BytesIO(data))["Loads"]
    names = ["mailto:somebody", "{=1+1}", "12345"]
    assert [sheet.cell(line, 1).value for line in (2, 3, 4)] == names
    assert all(sheet.cell(line, 1).data_type == "s" and sheet.cell(line, 1).hyperlink is None for line in (2, 3, 4))
    with zipfile.ZipFile(BytesIO(data)) as parts:
        assert not any(b"<f>" in parts.read(name) or b"hyperlink" in parts.read(name) for name in parts.namelist())


def test_no_clock_in_the_file(made: dict[str, bytes]) -> None:
    with zipfile.ZipFile(BytesIO(made["spreadsheet"])) as parts:
        assert {part.date_time for part in parts.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert b"2000-01-01" in parts.read("docProps/core.xml")
