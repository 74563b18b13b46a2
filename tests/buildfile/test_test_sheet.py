"""The test sheet on paper, in the spreadsheet and in the snapshot: every line, every reading, nothing altered unseen."""

from __future__ import annotations

import copy
import json
import shutil
import zipfile
from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

import trailerlib as tl
from trailerlib.buildfile import binder, closing_sheet, snapshot, spreadsheet, verify_snapshot, write_build_file
from trailerlib.design.design import Design, design_from
from trailerlib.design.errors import DesignError
from trailerlib.design.reading import Reading, Readings
from trailerlib.design.readings import readings_from, readings_path, unit_of
from trailerlib.studies import assess
from trailerlib.studies.closing.line import Expected, Line
from trailerlib.studies.closing.sheet import sheet_of

DAY = "2026-11-25"
Read = Callable[[bytes], str]
Strip = Callable[[str], str]
Tree = dict[str, Any]
LOW, ROD, DROP = "rest/battery volts", "polarity/lamp/plus", "alone/lamp/fuse drop"
CLOSER = "alone/lamp/part/lamp over lamp"  # no line of the sheet: it is kept and said


@pytest.fixture(scope="module")
def read() -> Readings:
    """Readings of the first lesson: one too low, one that agrees, one of a line that is not there."""
    return (
        Readings()
        .with_(LOW, Reading(11.31, "voltage", "2026-03-01", "M. Keller", "after a cold night"))
        .with_(DROP, Reading(0.0331, "voltage", "2026-03-02", "ab"))
        .with_(ROD, Reading(1.0, "yes or no", "2026-03-02", "ab"))
        .with_(CLOSER, Reading(0.5, "current", "2026-03-03"))
    )


@pytest.fixture(scope="module")
def tested(one_lamp: Design, read: Readings) -> dict[str, bytes]:
    """The build file of the first lesson with these readings."""
    return binder.parts(one_lamp, DAY, read)


# ── paper ──


@pytest.mark.parametrize("name", ["fen-survey", "kiln-cart", "one-lamp"])
def test_every_routine_line_is_on_the_page_with_what_it_should_read(name: str, read_pdf: Read, strip: Strip) -> None:
    design = tl.read_design(tl.shipped_trailers()[name])
    text = read_pdf(binder.parts(design, DAY)["pdf"])
    for one in sheet_of(design).routine:
        line = one.line
        for words in (line.where[1:], line.state, line.why, closing_sheet.shown(one.value, line, one.high)):
            assert strip(words) in text, line.key
    closers = [one.line for one in sheet_of(design).expected if not one.line.routine]
    assert closers and not any(strip(line.where[1:] + line.why) in text for line in closers)
    assert "✓agrees" not in text and "■differs" not in text


def test_the_parts_stand_in_walking_order_with_their_cautions_at_the_head(
    made: dict[str, bytes], read_pdf: Read, strip: Strip
) -> None:
    text = read_pdf(made["pdf"])
    places = [text.index(strip(f"Part {n}: ")) for n in (1, 2, 3)]
    assert places == sorted(places)
    for begin, end, stage in zip(places, [*places[1:], len(text)], closing_sheet.CAUTIONS, strict=True):
        part = text[begin:end]
        first_line = part.index("Dateandinitials")
        assert all(strip(words) in part[:first_line] for words in closing_sheet.CAUTIONS[stage])
    everything = " ".join(words for part in closing_sheet.CAUTIONS.values() for words in part)
    for words in (
        "qualified person",
        "lock it off",
        "Prove it dead",
        "CAT III",
        "IEC 61010-1",
        "IEC 61010-031",
        "rings",
    ):
        assert words in everything


def test_readings_come_with_date_initials_note_and_verdict(
    tested: dict[str, bytes], read_pdf: Read, strip: Strip
) -> None:
    text = read_pdf(tested["pdf"])
    assert strip("11.31 V ■ differs") in text and strip("33.1 mV ✓ agrees") in text and strip("yes ✓ agrees") in text
    for words in ("2026-03-01", "M. Keller", "Note: after a cold night", "no longer on the sheet", CLOSER, "500 mA"):
        assert strip(words) in text
    assert strip("Leave the walls open") in text


def test_without_readings_there_is_a_blank_and_no_verdict(one_lamp: Design) -> None:
    filled = closing_sheet.filled(sheet_of(one_lamp), Readings())
    rows = [
        row
        for stage in closing_sheet.section(filled, assess(one_lamp, {})["closing"], [])["stages"]
        for group in stage["groups"]
        for row in group["rows"]
    ]
    assert len(rows) == len(sheet_of(one_lamp).routine)
    assert all(row["measured"] == row["mark"] == row["verdict"] == row["on"] == "" for row in rows)
    assert all(row["unit"] or row["yes_no"] for row in rows)


def test_a_closer_line_that_was_read_is_printed_in_its_part(one_lamp: Design) -> None:
    sheet = sheet_of(one_lamp)
    closer = next(one.line for one in sheet.expected if not one.line.routine)
    taken = Readings().with_(closer.key, Reading(0.001, closer.asks))
    printed = [one.expected.line for one in closing_sheet.filled(sheet, taken).printed()]
    assert closer in printed and len(printed) == len(sheet.routine) + 1
    stages = [line.stage for line in printed]
    assert stages == sorted(stages, key=("dead", "battery", "mains").index)


def line(asks: Any, meter: str) -> Line:
    return Line("a/b", "battery", asks, "here", "", "", "", meter)


@pytest.mark.parametrize(
    ("asks", "meter", "value", "low", "high", "shown", "band"),
    [
        ("voltage", "volts dc 20", 12.65, 12.37, 12.93, "12.65 V", "12.37 to 12.93 V"),
        ("voltage", "volts ac", 120.0, 109.1, 130.9, "120.0 V", "109.1 to 130.9 V"),
        ("voltage", "volts ac", 0.0, -1.04, 1.04, "0.00 V", "−1.04 to 1.04 V"),
        ("voltage", "millivolts dc", 0.19, 0.12, 0.25, "190.0 mV", "120.0 to 250.0 mV"),
        ("resistance", "megohms", 3e8, 1e6, float("inf"), "300 MΩ", "at least 1.00 MΩ"),
        ("resistance", "milliohms", 0.0036, 0.0, 0.1, "3.60 mΩ", "at most 100 mΩ"),
        ("yes or no", "", 1.0, 0.5, 1.5, "yes", ""),
    ],
)  # fmt: skip
def test_numbers_and_bands_as_a_person_reads_them(
    asks: str, meter: str, value: float, low: float, high: float, shown: str, band: str
) -> None:
    one = Expected(line(asks, meter), value, 0.1, low, high)
    assert closing_sheet.shown(value, one.line, high) == shown and closing_sheet.band(one) == band


def test_what_cannot_be_said_is_never_a_band(one_lamp: Design) -> None:
    one = Expected(line("voltage", "volts dc 20"), None, None, None, None, "the wire is not stated")
    assert closing_sheet.band(one) == "the wire is not stated"
    assert closing_sheet.shown(None, one.line) == "–"
    assert one.verdict(12.0) == "not checked"


def test_the_sheet_says_how_exact_the_meters_are() -> None:
    """The demo's table: 0.5 % and 3 counts of 0.1 mV; 5 % and 0.05 Mohm."""
    assert closing_sheet.accuracy("millivolts dc", "mV") == "±(0.5 % + 0.3 mV)"
    assert closing_sheet.accuracy("megohms", "Mohm") == "±(5 % + 0.05 MΩ)"


def test_the_same_readings_give_the_same_bytes(one_lamp: Design, read: Readings, tested: dict[str, bytes]) -> None:
    assert binder.parts(one_lamp, DAY, read) == tested
    other = read.with_(LOW, Reading(11.32, "voltage", "2026-03-01", "M. Keller", "after a cold night"))
    changed = binder.parts(one_lamp, DAY, other)
    assert all(changed[part] != tested[part] for part in ("pdf", "spreadsheet", "snapshot", "readings"))
    assert changed["design"] == tested["design"]


NASTY = (
    "#panic(1) $x^2$ *bold*",
    "'=1+1",
    "{=1+1} #text(red)[x]",
    "mailto:somebody",
    "https://example.org",
    "a & b; \\ `c`",
)


@pytest.mark.parametrize("text", NASTY)
def test_what_a_person_typed_does_nothing_on_paper_or_in_the_spreadsheet(
    one_lamp: Design, text: str, read_pdf: Read, strip: Strip
) -> None:
    taken = (
        Readings()
        .with_(LOW, Reading(12.6, "voltage", "2026-03-01", text[:40], text))
        .with_(text, Reading(1.0, "current"))
    )
    parts = binder.parts(one_lamp, DAY, taken)
    assert strip(f"Note: {text}") in read_pdf(parts["pdf"])
    cells = [cell for row in load_workbook(BytesIO(parts["spreadsheet"]))["Test sheet"].iter_rows() for cell in row]
    found = [cell for cell in cells if cell.value == text]
    assert len(found) >= 2 and all(cell.data_type == "s" and cell.hyperlink is None for cell in found)
    with zipfile.ZipFile(BytesIO(parts["spreadsheet"])) as book:
        assert not any(b"<f>" in book.read(name) or b"hyperlink" in book.read(name) for name in book.namelist())


# ── spreadsheet ──


def test_the_spreadsheet_has_the_same_rows_in_the_unit_of_the_blank(
    one_lamp: Design, read: Readings, tested: dict[str, bytes]
) -> None:
    book = load_workbook(BytesIO(tested["spreadsheet"]))["Test sheet"]
    heads = [cell.value for cell in book[1]]
    assert heads == list(spreadsheet.TEST_SHEET)
    rows = [dict(zip(heads, (cell.value for cell in row), strict=True)) for row in book.iter_rows(min_row=2)]
    by_line = {row["Line"]: row for row in rows}
    sheet = sheet_of(one_lamp)
    assert [row["Line"] for row in rows] == [one.line.key for one in sheet.routine] + [CLOSER]
    for one in sheet.routine:
        row, unit = by_line[one.line.key], unit_of(one.line)
        scale = {"": None, "V": 1.0, "mV": 1e-3, "A": 1.0, "ohm": 1.0}[unit]
        if scale is not None:
            assert row["Should read"] == pytest.approx(one.value / scale, rel=1e-12)
            assert (row["To"] is None) == (one.high == float("inf"))
            assert row["Unit"] == unit
        else:
            assert row["Should read"] == "yes" and row["From"] is row["To"] is None
    low, drop = by_line[LOW], by_line[DROP]
    assert (low["Measured"], low["Verdict"], low["Date"], low["By"]) == (11.31, "differs", "2026-03-01", "M. Keller")
    assert (drop["Measured"], drop["Unit"], drop["Verdict"]) == (pytest.approx(33.1), "mV", "agrees")
    assert by_line[ROD]["Measured"] == "yes"
    assert by_line["all/feeder amps"]["Verdict"] == "not measured"
    assert by_line[CLOSER]["Verdict"] == "no longer on the sheet" and by_line[CLOSER]["Measured"] == "500 mA"


# ── snapshot ──


@pytest.fixture
def kept(tested: dict[str, bytes], tmp_path: Path) -> Path:
    file = tmp_path / "snapshot.json"
    file.write_bytes(tested["snapshot"])
    return file


def edited(file: Path, change: Callable[[Tree], None], honest: bool = False) -> list[tuple[str, str]]:
    tree = json.loads(file.read_text(encoding="utf-8"))
    change(tree)
    if honest:
        tree["hashes"] = snapshot.hashes(tree)
    file.write_bytes(snapshot.written(tree))
    return [(found.where, found.cause) for found in verify_snapshot(file)]


def test_the_snapshot_agrees_with_itself_and_keeps_every_line(one_lamp: Design, kept: Path) -> None:
    assert verify_snapshot(kept) == []
    tree = json.loads(kept.read_text(encoding="utf-8"))
    sheet, lines = sheet_of(one_lamp), tree["test_sheet"]
    assert tree["format"] == snapshot.FORMAT and set(lines) == {one.line.key for one in sheet.expected} | {CLOSER}
    for one in sheet.expected:
        here = lines[one.line.key]
        assert here["expected"] == pytest.approx(one.value, rel=1e-12) and here["low"] == pytest.approx(
            one.low, rel=1e-12
        )
        assert here["high"] == ("inf" if one.high == float("inf") else pytest.approx(one.high, rel=1e-12))
    assert lines[LOW]["measured"] == 11.31 and lines[LOW]["verdict"] == "differs"
    assert (lines[LOW]["on"], lines[LOW]["by"], lines[LOW]["note"]) == ("2026-03-01", "M. Keller", "after a cold night")
    assert lines["all/feeder amps"]["verdict"] == "not measured" and "measured" not in lines["all/feeder amps"]
    assert lines[CLOSER]["verdict"] == "no longer on the sheet"
    assert tree["readings"][DROP] == {"measured": "33.1 mV", "on": "2026-03-02", "by": "ab"}


@pytest.mark.parametrize(
    ("part", "field", "value"),
    [("measured", "measured", "12.6 V"), ("on", "on", "2026-04-01"), ("by", "by", "someone"), ("note", "note", "warm")],
)
def test_an_altered_reading_is_named(kept: Path, part: str, field: str, value: str) -> None:
    found = edited(kept, lambda tree: tree["readings"][LOW].update({part: value}))
    assert (f"test_sheet.{LOW}.{field}", "reading changed") in found
    assert {cause for _, cause in found} == {"reading changed"}
    assert not any(where.startswith("readings") for where, _ in found)


def test_a_reading_altered_beside_its_line_is_named(kept: Path) -> None:
    assert edited(kept, lambda tree: tree["test_sheet"][LOW].update(measured=12.6, verdict="agrees")) == [
        (f"test_sheet.{LOW}.measured", "number altered"), (f"test_sheet.{LOW}.verdict", "number altered"),
    ]  # fmt: skip


def test_a_reading_altered_in_both_places_is_named_by_its_fingerprint(kept: Path) -> None:
    def change(tree: Tree) -> None:
        tree["readings"][DROP]["measured"] = "33.2 mV"
        tree["test_sheet"][DROP]["measured"] = 0.0332

    found = edited(kept, change)
    assert (f"test_sheet.{DROP}.fingerprint", "number altered") in found
    assert all(where.startswith((f"test_sheet.{DROP}", "results.closing")) for where, _ in found)


def test_a_reading_that_was_taken_out_or_put_in_is_named(kept: Path) -> None:
    found = edited(kept, lambda tree: tree["readings"].pop(LOW))
    assert (f"test_sheet.{LOW}.measured", "reading changed") in found


def test_an_altered_band_is_named(kept: Path) -> None:
    assert edited(kept, lambda tree: tree["test_sheet"][LOW].update(low=11.0)) == [
        (f"test_sheet.{LOW}.low", "number altered")
    ]


def test_another_table_of_meters_is_why_bands_differ(kept: Path) -> None:
    def change(tree: Tree) -> None:
        tree["tables"]["tables/meters"] = "older"
        tree["test_sheet"][LOW]["low"] -= 0.1

    found = edited(kept, change, honest=True)
    assert set(found) == {("tables.tables/meters", "table changed"), (f"test_sheet.{LOW}.low", "table changed")}


@pytest.mark.parametrize(
    "change",
    [
        lambda tree: tree.update(readings=[]),
        lambda tree: tree.update(test_sheet=None),
        lambda tree: tree["readings"].update({LOW: {"measured": "12,6 V"}}),
        lambda tree: tree["readings"].update({LOW: {"measured": "12.6 A"}}),
        lambda tree: tree["readings"].update({LOW: 3}),
        lambda tree: tree["readings"].update({"<b>": "3 V"}),
        lambda tree: tree.pop("readings"),
        lambda tree: tree.update(format=snapshot.FORMAT + 1),
        lambda tree: tree.update(format=True),
        lambda tree: tree.update(format=[]),
    ],
)
def test_a_hostile_tree_is_one_sentence(kept: Path, change: Callable[[Tree], None]) -> None:
    tree = json.loads(kept.read_text(encoding="utf-8"))
    change(tree)
    kept.write_text(json.dumps(tree), encoding="utf-8")
    with pytest.raises(DesignError, match=r"^snapshot\.json: [^\n]*\.$"):
        verify_snapshot(kept)


def test_a_snapshot_of_the_first_format_is_still_verified(one_lamp: Design, tmp_path: Path) -> None:
    file = tmp_path / "snapshot.json"
    tree = snapshot.snapshot(one_lamp, assess(one_lamp), binder.design_text(one_lamp), DAY)
    assert tree["format"] == 1 and "test_sheet" not in tree and "closing" not in tree["results"]
    file.write_bytes(snapshot.written(tree))
    assert verify_snapshot(file) == []
    altered = copy.deepcopy(tree)
    altered["results"]["night"]["numbers"]["used_ah"]["value"] += 1.0
    file.write_bytes(snapshot.written(altered))
    assert [found.where for found in verify_snapshot(file)] == ["results.night.numbers.used_ah.value"]
    file.write_bytes(snapshot.written({**tree, "test_sheet": {}}))
    with pytest.raises(DesignError, match="which no snapshot has"):
        verify_snapshot(file)


# ── the readings beside the design ──


@pytest.fixture
def beside(tmp_path: Path, read: Readings) -> Path:
    """A design file with readings beside it."""
    file = Path(shutil.copy(tl.shipped_trailers()["one-lamp"], tmp_path / "trailer.toml"))
    tl.save_readings(read, file)
    return file


def test_readings_beside_the_design_are_taken_and_go_with_it(beside: Path, tmp_path: Path, read: Readings) -> None:
    paths = write_build_file(tl.read_design(beside), tmp_path / "out", DAY)
    assert {"build-file.pdf", "snapshot.json", "design.toml", "design.readings.toml"} < {p.name for p in paths.values()}
    assert tl.read_readings(paths["design"]).values() == read.values()
    assert verify_snapshot(paths["snapshot"]) == []
    assert json.loads(paths["snapshot"].read_text(encoding="utf-8"))["test_sheet"][LOW]["measured"] == 11.31
    none = write_build_file(tl.read_design(beside), tmp_path / "out", DAY, readings=Readings())
    assert "readings" not in none and json.loads(none["snapshot"].read_text(encoding="utf-8"))["readings"] == {}


def test_readings_that_cannot_be_used_stop_the_build_file_and_leave_nothing(beside: Path, tmp_path: Path) -> None:
    readings_path(beside).write_text('[reading]\n"rest/battery volts" = "12,6 V"\n', encoding="utf-8")
    with pytest.raises(DesignError, match=r"^trailer\.readings\.toml: reading"):
        write_build_file(tl.read_design(beside), tmp_path / "out", DAY)
    readings_path(beside).write_text('[reading]\n"rest/battery volts" = "12.6 A"\n', encoding="utf-8")
    with pytest.raises(
        DesignError, match=r'"rest/battery volts": 12\.6 A is not what the line asks for, which is voltage'
    ):
        write_build_file(tl.read_design(beside), tmp_path / "out", DAY)
    assert not (tmp_path / "out").exists()


def test_check_says_which_readings_differ(beside: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from trailerlib.__main__ import main

    assert main(["check", str(beside)]) == 1
    said = capsys.readouterr().out
    assert "4 readings of the closing-in test, 1 of them outside their band." in said
    assert "differs: over the battery's posts, battery on" in said and ": 11.31 V, accepted 12." in said
    assert f"no longer on the sheet: {CLOSER}" in said and "Can the walls close?" in said
    readings_path(beside).unlink()
    assert main(["check", str(beside)]) == 0
    said = capsys.readouterr().out
    assert "closing-in test" not in said and "Can the walls close?" not in said


def test_check_with_bad_readings_is_one_sentence(beside: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from trailerlib.__main__ import main

    for text, begins in (
        ("[reading]\nx = 3", "trailer.readings.toml: "),
        (f'[reading]\n"{LOW}" = "12.6 A"', f'reading "{LOW}": '),
    ):
        readings_path(beside).write_text(text, encoding="utf-8")
        assert main(["check", str(beside)]) == 2
        told = capsys.readouterr()
        assert told.out == "" and len(told.err.splitlines()) == 1 and told.err.startswith(begins)


def test_a_trailer_with_nothing_to_measure_still_has_its_page(one_lamp: Design, read_pdf: Read) -> None:
    raw = {
        key: value for key, value in one_lamp.raw.items() if key not in ("battery", "feeder", "stay", "load", "circuit")
    }
    parts = binder.parts(design_from(raw), DAY, readings_from({"reading": {LOW: "12.6 V"}}))
    text = read_pdf(parts["pdf"])
    assert "Beforethewallsclose" in text and "nolongeronthesheet" in text
