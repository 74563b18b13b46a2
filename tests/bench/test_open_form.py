"""Units and trailer, chosen in one place: every page and every file follows, nothing is lost."""

from __future__ import annotations

import pytest

import trailerlib as tl
from trailerlib.bench.open_form import which


@pytest.fixture
def form(tmp_path):
    file = tmp_path / "trailer.toml"
    file.write_text(tl.shipped_trailers()["fen-survey"].read_text(encoding="utf-8"), encoding="utf-8")
    return which(tl.read_design(file)), file


def test_units_are_kept_with_the_comments_and_everything_follows(form):
    page, file = form
    before = file.read_text(encoding="utf-8")
    page.system.value = "metric"
    after, design = file.read_text(encoding="utf-8"), tl.read_design(file)
    assert design.units == "metric" and "kept" in page.said.value and "metres" in page.said.value
    assert [line for line in before.splitlines() if line.startswith("#")] == [
        line for line in after.splitlines() if line.startswith("#")
    ]
    said = tl.assess(design).text()
    assert " ft" not in said and " lb" not in said and "°F" not in said
    page.system.value = "us"
    assert tl.read_design(file).units == "us"


def test_files_follow_too(form, tmp_path):
    page, file = form
    page.system.value = "metric"
    paths = tl.write_build_file(tl.read_design(file), tmp_path / "out", date="2026-01-31")
    schedule = next(path for path in paths.values() if path.name == "wire-cut-list.csv").read_text(encoding="utf-8")
    assert "ft" not in schedule.splitlines()[0] and "m" in schedule.splitlines()[0]


def test_another_trailer_is_opened_and_the_one_before_stays(form):
    page, file = form
    before = file.read_text(encoding="utf-8")
    page.trailer.value = "type-wagon"
    design = tl.read_design(file)
    shipped = tl.read_design(tl.shipped_trailers()["type-wagon"])
    assert (design.title, design.units) == (shipped.title, "metric") and page.system.value == "metric"
    assert tl.assess(design).text() == tl.assess(shipped).text()
    kept = [path.read_text(encoding="utf-8") for path in file.parent.rglob("*") if path.is_file() and path != file]
    assert before in kept


def test_a_newer_file_is_not_overwritten(form):
    page, file = form
    newer = file.read_text(encoding="utf-8").replace('title = "Fen survey"', 'title = "Fen survey, mine"')
    file.write_text(newer, encoding="utf-8")
    page.system.value = "metric"
    assert "not written" in page.said.value and file.read_text(encoding="utf-8") == newer
    page.trailer.value = "kiln-cart"
    assert "not written" in page.said.value and file.read_text(encoding="utf-8") == newer
