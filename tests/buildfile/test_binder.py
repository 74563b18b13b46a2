"""The folder: new every time, named from the title, whole or not there at all."""

from __future__ import annotations

import datetime
import re
import tomllib
from pathlib import Path

import pytest

from trailerlib.buildfile import binder, write_build_file
from trailerlib.design.design import Design, design_from
from trailerlib.design.errors import DesignError

DAY = "2026-11-25"


def test_it_writes_every_file_into_a_dated_folder(demo: Design, made: dict[str, bytes], tmp_path: Path) -> None:
    paths = write_build_file(demo, tmp_path, DAY)
    tables = {f"{key} csv" for key in ("panel", "fuses", "cut_list", "spools", "parts")}
    assert set(paths) == {"pdf", "labels", "spreadsheet", "snapshot", "design"} | tables
    assert {path.parent for path in paths.values()} == {tmp_path / "fen-survey 2026-11-25"}
    assert {key: path.read_bytes() for key, path in paths.items()} == made
    assert [child.name for child in tmp_path.iterdir()] == ["fen-survey 2026-11-25"]


def test_nothing_is_ever_overwritten(one_lamp: Design, tmp_path: Path) -> None:
    folders = [write_build_file(one_lamp, tmp_path, DAY)["pdf"].parent.name for _ in range(3)]
    assert folders == ["one-lamp 2026-11-25", "one-lamp 2026-11-25-2", "one-lamp 2026-11-25-3"]


def test_today_is_the_default(one_lamp: Design, tmp_path: Path) -> None:
    before = datetime.date.today().isoformat()
    name = write_build_file(one_lamp, tmp_path)["pdf"].parent.name
    assert name.split()[1] in (before, datetime.date.today().isoformat())


@pytest.mark.parametrize("date", ["2026-13-01", "2026-02-30", "20261125", "../x", "", "2026-11-25/..", "2026-W48-3"])
def test_a_date_that_is_none_writes_nothing(one_lamp: Design, tmp_path: Path, date: str) -> None:
    with pytest.raises(DesignError, match="is not a date"):
        write_build_file(one_lamp, tmp_path / "new", date)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "title", ["../../etc/passwd", "/etc", "..", ".", "a/b\\c:d*?", "CON", "", "   ", "~root", "x\x00y", "湖" * 200]
)
def test_a_title_is_never_a_path(title: str) -> None:
    name = binder.slug(title)
    assert re.fullmatch(r"[^\W_]+(-[^\W_]+)*", name)
    assert len(name.encode()) < 200


def test_a_crash_leaves_no_half_folder(one_lamp: Design, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    written: list[Path] = []

    def full(file: Path, data: bytes) -> None:
        written.append(file)
        if len(written) == 3:
            raise OSError(28, "No space left on device")
        file.write_bytes(data)

    monkeypatch.setattr(binder, "_flushed", full)
    with pytest.raises(DesignError, match=r"cannot be written there \(No space left on device\)\.$"):
        write_build_file(one_lamp, tmp_path / "new", DAY)
    assert len(written) == 3 and list(tmp_path.iterdir()) == []


def test_a_folder_that_is_a_file(one_lamp: Design, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("kept", encoding="utf-8")
    with pytest.raises(DesignError, match=r"^file: the build file cannot be written there"):
        write_build_file(one_lamp, tmp_path / "file", DAY)
    assert (tmp_path / "file").read_text(encoding="utf-8") == "kept"


def test_the_design_goes_with_it_word_for_word(demo: Design, made: dict[str, bytes]) -> None:
    assert demo.origin is not None
    assert made["design"] == Path(demo.origin.path).read_bytes()


def test_a_changed_design_is_written_anew(demo: Design) -> None:
    for design in (demo.replace("battery.capacity", "120 Ah"), design_from(demo.raw)):
        text = binder.design_text(design)
        assert tomllib.loads(text) == design.raw
        assert design_from(tomllib.loads(text)).model_dump() == design.model_dump()
