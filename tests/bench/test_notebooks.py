"""Guards on the notebooks as files: short, small, clean, checked, linked, and without typed results."""

from __future__ import annotations

import ast
import importlib.util
import os
import re
import shutil
from pathlib import Path

import nbformat
import pytest

ROOT = Path(__file__).parent.parent.parent
WORKBOOK = ROOT / "workbook"
NOTEBOOKS = sorted(p for p in WORKBOOK.rglob("*.ipynb") if ".ipynb_checkpoints" not in p.parts)
QUESTIONS = [p for p in NOTEBOOKS if p.parent == WORKBOOK and p.stem not in ("00_start", "11_the_build_file")]
WIDGET_TAG = "nbval-ignore-output"
SHOWS = ("tl.bench.", "lesson.")
LAST = "Nothing went wrong on this page."

# numbers that are no results: distances and shares a standard or a warning gives, and the names of things
ALLOWED = (
    r"\b20 ft\b",
    r"\bIEC \d{5}(-\d+)?\b",
    r"\b125 %",
    r"\bL\d+\b",
    r"^\d+\. ",
    r"\(([\w.]+/)?\w+\.ipynb\)",
    r"padding:6px 14px;font-size:14px",
)

each = pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)


def read(path):
    return nbformat.read(path, as_version=4)


def code(path):
    return [cell for cell in read(path).cells if cell.cell_type == "code"]


def markdown(path):
    return [cell for cell in read(path).cells if cell.cell_type == "markdown"]


def lines_of(source):
    return [line for line in source.splitlines() if line.strip() and not line.strip().startswith("#")]


def is_widget(cell):
    return WIDGET_TAG in cell.metadata.get("tags", [])


def test_there_are_notebooks():
    assert {"00_start", "01_what_must_it_run", "11_the_build_file"} <= {p.stem for p in NOTEBOOKS}


@each
def test_it_is_valid_and_small(path):
    nbformat.validate(read(path))
    assert path.stat().st_size < 200_000
    assert sum(len(lines_of(cell.source)) for cell in code(path)) < 40


@each
def test_it_carries_no_widgets_and_no_errors(path):
    notebook = read(path)
    assert "widgets" not in notebook.metadata
    for cell in code(path):
        for output in cell.outputs:
            assert output.output_type != "error"
            assert output.get("name") != "stderr"
            assert not any("widget" in kind or "plotly" in kind for kind in output.get("data", {}))


@each
def test_code_is_folded_and_says_what_it_does(path):
    for cell in code(path):
        assert cell.metadata.get("jupyter", {}).get("source_hidden") is True, cell.source
        first = cell.source.splitlines()[0]
        assert re.match(r"# \S", first)
        assert not first.endswith(".")


@each
def test_only_what_moves_is_left_unchecked(path):
    for cell in code(path):
        last = ast.parse(cell.source).body[-1]
        shown = isinstance(last, ast.Expr)
        text = ast.unparse(last) if shown else ""
        assigned = {
            t.id: ast.unparse(node.value)
            for node in ast.parse(cell.source).body
            if isinstance(node, ast.Assign)
            for t in node.targets
            if isinstance(t, ast.Name)
        }
        moves = assigned.get(text, text).startswith(SHOWS) and "assert_sound" not in text
        page = assigned.get(text, text).startswith("tl.bench.start")
        assert is_widget(cell) is (shown and moves and not page), cell.source


@each
def test_checked_cells_have_been_run_and_have_output(path):
    """A strict run passes a cell without stored output in silence; so there must be some."""
    strict = [cell for cell in code(path) if not is_widget(cell)]
    assert strict
    for cell in strict:
        assert cell.execution_count, cell.source
        assert cell.outputs, cell.source
        words = "".join(o.get("text", "") or str(o.get("data", {}).get("text/plain", "")) for o in cell.outputs)
        assert words.strip(), cell.source
        assert " at 0x" not in words, "an address of memory never compares equal"


@each
def test_cells_were_run_in_order(path):
    assert [cell.execution_count for cell in code(path)] == list(range(1, len(code(path)) + 1))


@each
def test_the_last_cell_asks_whether_all_went_well(path):
    last = code(path)[-1]
    assert "tl.bench.assert_sound()" in last.source
    assert not is_widget(last)
    assert last.outputs[0].text.strip() == LAST
    assert sum("assert_sound" in cell.source for cell in code(path)) == 1


@each
def test_links_lead_somewhere(path):
    found = []
    for cell in markdown(path):
        for target in re.findall(r"\]\(([^)]+)\)", cell.source):
            if not target.startswith("http"):
                found.append(target)
                assert (path.parent / target.split("#")[0]).exists(), target
    assert found, "a page without a way on"


@each
def test_no_result_is_typed_in_the_text(path):
    for cell in markdown(path):
        for line in cell.source.splitlines():
            rest = line
            for allowed in ALLOWED:
                rest = re.sub(allowed, "", rest)
            assert not re.search(r"\d", rest), f"a number in the text goes out of date: {line}"


@each
def test_it_opens_with_its_title(path):
    first = read(path).cells[0]
    assert first.cell_type == "markdown"
    titles = re.findall(r"^# (.+)$", "\n".join(cell.source for cell in markdown(path)), re.M)
    assert len(titles) == 1
    assert first.source.startswith(f"# {titles[0]}")
    if path in QUESTIONS:
        assert titles[0].endswith("?")


@each
def test_a_caution_stands_on_it(path):
    assert any("**Caution.**" in cell.source for cell in markdown(path))
    if path in QUESTIONS:
        assert "**Caution.**" in read(path).cells[0].source


@each
def test_it_can_be_run_in_one_click(path):
    assert "notebook:run-all-cells" in read(path).cells[0].source


def test_a_refresh_leaves_the_same_bytes(tmp_path, monkeypatch):
    """Twice, on a copy: what the first one writes, the second one writes again."""
    path = WORKBOOK / "02_will_it_last_the_night.ipynb"
    place = ROOT / ".ci" / "refresh_notebooks.py"
    spec = importlib.util.spec_from_file_location("refresh_notebooks", place)
    script = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(script)
    monkeypatch.setenv(script.OPEN_VARIABLE, os.environ.get(script.OPEN_VARIABLE, ""))
    monkeypatch.setenv("PYTHONPATH", str(ROOT))
    copy = Path(shutil.copy(path, tmp_path / path.name))
    script.refresh(copy)
    first = copy.read_bytes()
    script.refresh(copy)
    assert copy.read_bytes() == first
    stored = [cell.outputs for cell in code(path)]
    assert [cell.outputs for cell in code(copy)] == stored, "the stored output is not what a run gives"
