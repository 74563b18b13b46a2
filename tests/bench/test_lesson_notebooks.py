"""The notebooks of the lessons run as they are: by nobody who has answered, by the owner who skips, by a learner."""

from __future__ import annotations

import json
from pathlib import Path

import nbformat
import pytest
from nbclient import NotebookClient

from trailerlib.bench.lesson_page import OWNER_VARIABLE
from trailerlib.bench.lesson_style import CLOSED
from trailerlib.design.files import read_design, shipped_trailers
from trailerlib.design.learner import LEARNERS_VARIABLE, read_learner
from trailerlib.studies.lessons.book import LESSONS
from trailerlib.studies.lessons.lesson import Lesson

FOLDER = Path(__file__).parent.parent.parent / "workbook" / "lessons"
SOUND = "Nothing went wrong on this page."
each_lesson = pytest.mark.parametrize("one", LESSONS.values(), ids=lambda one: one.key)


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv(LEARNERS_VARIABLE, str(tmp_path / "learners"))
    monkeypatch.delenv(OWNER_VARIABLE, raising=False)
    monkeypatch.setenv("PYTHONPATH", str(FOLDER.parent.parent))
    return tmp_path / "learners"


def run(one: Lesson, *after: str) -> nbformat.NotebookNode:
    """Run a lesson's notebook; what stands in ``after`` is run before its last cell, as a hand would have acted."""
    notebook = nbformat.read(FOLDER / one.notebook, as_version=4)
    acted = [nbformat.v4.new_code_cell(source) for source in after]
    notebook.cells = [*notebook.cells[:-1], *acted, notebook.cells[-1]]
    NotebookClient(notebook, timeout=180, kernel_name="python3", resources={"metadata": {"path": FOLDER}}).execute()
    return notebook


def printed(notebook: nbformat.NotebookNode) -> list[str]:
    """What its cells print, cell by cell."""
    cells = [cell for cell in notebook.cells if cell.cell_type == "code"]
    return ["".join(o.text for o in cell.outputs if o.output_type == "stream") for cell in cells]


def state(notebook: nbformat.NotebookNode) -> str:
    """The state of all widgets, as a notebook that is saved now would carry it."""
    return json.dumps(notebook.metadata.get("widgets", {}), ensure_ascii=False)


def strict(notebook: nbformat.NotebookNode) -> list[str]:
    """What a strict run compares: the outputs of cells that show no widget."""
    found = [
        c for c in notebook.cells if c.cell_type == "code" and "nbval-ignore-output" not in c.metadata.get("tags", [])
    ]
    return ["".join(o.text for o in cell.outputs if o.output_type == "stream") for cell in found]


@each_lesson
def test_before_anybody_answers_the_saved_notebook_holds_nothing_of_it(one: Lesson) -> None:
    notebook = run(one)
    problem = one.question(read_design(shipped_trailers()[one.trailer]))
    saved = nbformat.writes(notebook)
    assert CLOSED.split(">")[1].split("<")[0] in state(notebook), "the state of the widgets is not in it"
    assert problem.answer not in saved and one.rule not in saved
    assert strict(notebook) == strict(nbformat.read(FOLDER / one.notebook, as_version=4))
    assert printed(notebook)[-1].strip() == SOUND


@each_lesson
def test_the_owner_skips_and_everything_opens(one: Lesson, monkeypatch: pytest.MonkeyPatch, folder: Path) -> None:
    monkeypatch.setenv(OWNER_VARIABLE, "yes")
    notebook = run(one)
    problem = one.question(read_design(shipped_trailers()[one.trailer]))
    assert problem.answer in state(notebook)
    assert one.rule.split("'")[0] in state(notebook)
    assert strict(notebook) == strict(nbformat.read(FOLDER / one.notebook, as_version=4)), "a strict cell tells answers"
    assert printed(notebook)[-1].strip() == SOUND
    assert not folder.exists()


@each_lesson
def test_a_learner_answers_empty_then_each_slip_then_right(one: Lesson, folder: Path) -> None:
    """On the page of the notebook itself: the question once, with a slip; the transfer with every slip, then right."""
    act = """
name = lesson.progress.name; name.value = "Ann"
def say(box, value, size):
    box.field.text.value = value if isinstance(value, str) else f"{value / size:.6g}"
    box.field.press()
    return box.field.said.value
q = lesson.question
assert "not taken" in say(lesson.commit, "", 1) and not lesson.opened
say(lesson.commit, q.slips[0].value, q.unit_size)
assert lesson.found.slip == q.slips[0], lesson.found
import trailerlib as tl
def page_of(name):
    page = tl.bench.lesson(lesson.lesson.key)
    assert page.progress.name.value == "" or page.opened, "what Ann committed is not put back"
    page.progress.name.value = name
    assert not page.opened, "somebody else sees what Ann committed"
    return page
for number, slip in enumerate(q.slips):
    page = page_of(f"Bee {number}")
    say(page.commit, slip.value, q.unit_size)
    assert slip.hint.split("'")[0] in page.reveal.html, slip.name
page = page_of("Cy")
say(page.commit, q.value, q.unit_size)
assert "right" in page.reveal.html and page.found.verdict == "right"
assert "not taken" in say(lesson.transfer, "", 1)
t = lesson.transfer.problem
for slip in t.slips:
    assert slip.hint.split("'")[0] in say(lesson.transfer, slip.value, t.unit_size), slip.name
assert "right" in say(lesson.transfer, t.value, t.unit_size)
assert t.answer in lesson.transfer.after
"""
    notebook = run(one, act)
    assert printed(notebook)[-1].strip() == SOUND
    attempts = read_learner(folder / "ann.learner.toml").attempts
    assert attempts[0].task == "question" and attempts[0].result == "slip"
    assert attempts[-1].task == "transfer" and attempts[-1].result == "right"
