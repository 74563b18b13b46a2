"""The trailer the workbook is working on."""

from __future__ import annotations

from pathlib import Path

import pytest

import trailerlib as tl

VARIABLE = "TRAILERLIB_DESIGN"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.delenv(VARIABLE, raising=False)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_first_use_makes_a_copy_of_the_demo(folder: Path) -> None:
    design = tl.open_design()
    assert design.title == "Fen survey"
    assert (folder / "trailer.toml").read_text(encoding="utf-8") == tl.shipped_trailers()["fen-survey"].read_text(
        encoding="utf-8"
    )


def test_another_shipped_trailer_can_be_the_first(folder: Path) -> None:
    assert tl.open_design("one-lamp").title == "One lamp"


def test_it_never_overwrites(folder: Path) -> None:
    tl.save_design(tl.open_design().replace("title", "Mine"))
    before = (folder / "trailer.toml").read_bytes()
    assert tl.open_design().title == tl.open_design("one-lamp").title == "Mine"
    assert (folder / "trailer.toml").read_bytes() == before


def test_a_broken_file_is_not_overwritten(folder: Path) -> None:
    (folder / "trailer.toml").write_text("not [TOML", encoding="utf-8")
    with pytest.raises(tl.DesignError):
        tl.open_design()
    assert (folder / "trailer.toml").read_text(encoding="utf-8") == "not [TOML"


def test_saving_what_was_opened_leaves_the_shipped_one_alone(folder: Path) -> None:
    before = tl.shipped_trailers()["fen-survey"].read_bytes()
    tl.save_design(tl.open_design().replace("title", "Mine"))
    assert tl.shipped_trailers()["fen-survey"].read_bytes() == before


def test_the_lessons_share_the_trailer_of_the_questions(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    tl.save_design(tl.open_design().replace("title", "Mine"))
    (folder / "lessons").mkdir()
    monkeypatch.chdir(folder / "lessons")
    assert tl.open_design().title == "Mine" and list((folder / "lessons").iterdir()) == []


def test_the_variable_names_another_file(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(VARIABLE, str(folder / "other.toml"))
    design = tl.open_design("one-lamp")
    assert design.title == "One lamp" and (folder / "other.toml").is_file() and not (folder / "trailer.toml").exists()
    tl.save_design(design.replace("title", "Mine"))
    assert tl.open_design().title == "Mine"


@pytest.mark.parametrize("name", ["no folder/trailer.toml", "file.txt/trailer.toml", ".", "x" * 300 + ".toml"])
def test_a_variable_that_cannot_be_followed_gives_one_sentence(
    folder: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    (folder / "file.txt").write_text("", encoding="utf-8")
    monkeypatch.setenv(VARIABLE, str(folder / name))
    with pytest.raises(tl.DesignError) as caught:
        tl.open_design()
    assert len(str(caught.value).splitlines()) == 1 and str(caught.value).endswith((".", "?"))


def test_a_trailer_that_is_not_shipped_names_those_that_are(folder: Path) -> None:
    for name in ("nowhere", "../fen-survey", ""):
        with pytest.raises(tl.DesignError, match="fen-survey"):
            tl.open_design(name)
    assert list(folder.iterdir()) == []


@pytest.mark.parametrize("name", sorted(tl.shipped_trailers()))
def test_every_shipped_trailer_is_valid(name: str) -> None:
    assert tl.read_design(tl.shipped_trailers()[name]).title
