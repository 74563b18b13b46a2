"""The tables under ``data/``: what is there, what is refused, and that every row says where it comes from."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from trailerlib import reference

FILES = sorted(
    (folder, file.stem) for folder in ("tables", "catalogue") for file in (reference.data_root() / folder).glob("*.csv")
)


def read(folder: str, name: str) -> reference.Table:
    return reference.table(name) if folder == "tables" else reference.catalogue(name)


def test_there_are_tables_and_classes() -> None:
    assert {folder for folder, _ in FILES} == {"tables", "catalogue"}


@pytest.mark.parametrize(("folder", "name"), FILES)
def test_every_row_says_where_it_comes_from(folder: str, name: str) -> None:
    table = read(folder, name)
    assert table.rows
    for row in table.rows:
        assert row["source"] and row["confidence"]
        assert set(row) == set(table.columns)  # a comma too many would make another column


@pytest.mark.parametrize(("folder", "name"), FILES)
def test_every_column_with_a_unit_in_its_name_is_a_number_or_empty(folder: str, name: str) -> None:
    endings = ("_w", "_a", "_v", "_c", "_m", "_l", "_ft", "_h", "_mm2", "_ohm", "_fraction")
    table = read(folder, name)
    for column in table.columns:
        if column.endswith(endings):
            values = table.floats(column)
            assert np.isfinite(values[~np.isnan(values)]).all()


def test_a_table_that_is_not_there_names_those_that_are() -> None:
    with pytest.raises(reference.TableError, match="wire_awg"):
        reference.table("no_such_table")


def test_a_column_that_is_not_there_names_those_that_are() -> None:
    with pytest.raises(reference.TableError, match="ocv_v"):
        reference.table("battery_ocv").floats("no_such_column")


def test_a_row_that_is_not_there_names_what_could_be() -> None:
    with pytest.raises(reference.TableError, match="flooded"):
        reference.table("battery_peukert").row(chemistry="sodium")


def test_several_rows_are_not_one() -> None:
    with pytest.raises(reference.TableError, match="5 rows"):
        reference.table("battery_ocv").row(chemistry="agm")


def test_a_number_is_read_with_its_row() -> None:
    """American gauge 12 has 3.309 mm² (ASTM B258: d = 0.005 in · 92^((36−12)/39))."""
    diameter_mm = 0.127 * 92 ** ((36 - 12) / 39)
    area = reference.table("wire_awg").number("area_mm2", awg="12")
    assert area == pytest.approx(np.pi / 4 * diameter_mm**2, rel=1e-3)


def test_an_empty_cell_is_no_number() -> None:
    with pytest.raises(reference.TableError, match="empty"):
        reference.table("nec_310_16_ampacity").number("a_60c", awg="18")
    assert np.isnan(reference.table("nec_310_16_ampacity").where(awg="18").floats("a_60c")[0])


def test_a_row_cannot_be_changed() -> None:
    with pytest.raises(TypeError):
        reference.table("wire_awg").rows[0]["awg"] = "99"  # type: ignore[index]


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "tables").mkdir()
    monkeypatch.setattr(reference, "data_root", lambda: tmp_path)
    return tmp_path / "tables"


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [("unsourced", "awg,source,confidence\n12,,from memory\n", "line 2.*'source'"),
     ("doubtful", "awg,source,confidence\n12,a book,a\n14,a book,\n", "line 3.*'confidence'"),
     ("columnless", "awg,source\n12,a book\n", "'confidence' is missing"),
     ("short_row", "awg,source,confidence\n12\n", "line 2")],
)  # fmt: skip
def test_a_row_without_a_source_is_refused(folder: Path, name: str, text: str, says: str) -> None:
    (folder / f"{name}.csv").write_text(text, encoding="utf-8")
    with pytest.raises(reference.TableError, match=says):
        reference.table(name)
