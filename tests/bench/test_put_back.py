"""After a restart: what a learner committed stands there again, and nothing that learner did not commit."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

import ipywidgets as widgets
import pytest

import trailerlib as tl
from trailerlib.bench.lesson_page import OWNER_VARIABLE, LessonPage
from trailerlib.bench.lesson_style import CLOSED
from trailerlib.design.learner import LEARNERS_VARIABLE, Attempt, Learner, learner_path, read_learner, save_learner
from trailerlib.studies.lessons.book import LESSONS
from trailerlib.studies.lessons.problem import Problem
from trailerlib.studies.lessons.way_fault import CHOICES

each_key = pytest.mark.parametrize("key", LESSONS)


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    monkeypatch.setenv(LEARNERS_VARIABLE, str(tmp_path / "learners"))
    monkeypatch.delenv(OWNER_VARIABLE, raising=False)
    widgets.Widget.close_all()
    yield tmp_path / "learners"
    widgets.Widget.close_all()


def page_of(key: str, name: str) -> LessonPage:
    page = tl.bench.lesson(key)
    page.progress.name.value = name
    return page


def answer(box: object, problem: Problem, value: float) -> None:
    box.field.text.value = f"{value / problem.unit_size:.6g}"  # type: ignore[attr-defined]
    box.field.press()  # type: ignore[attr-defined]


def sent() -> str:
    """All that is on the page, without the names of widgets, which are drawn by chance."""
    state = json.dumps(widgets.Widget.get_manager_state(drop_defaults=False), default=str, ensure_ascii=False)
    return re.sub(r"(?<![0-9a-f])[0-9a-f]{32}(?![0-9a-f])", "", state)


@each_key
def test_number_transfer_and_problems_stand_there_again(key: str) -> None:
    """The only learner of the folder writes no name anew."""
    page = page_of(key, "Ann Bee")
    answer(page.commit, page.question, page.question.slips[0].value)
    answer(page.transfer, page.transfer.problem, page.transfer.problem.value)
    page.practice.number.value = 3
    answer(page.practice, page.practice.problem, page.practice.problem.slips[0].value)
    before = read_learner(learner_path("Ann Bee"))
    again = tl.bench.lesson(key)
    assert again.progress.name.value == "Ann Bee" and again.opened
    assert (again.reveal.html, again.formula.html, again.rule.html) == (
        page.reveal.html,
        page.formula.html,
        page.rule.html,
    )
    assert again.commit.field.button.disabled and "put back" in again.commit.field.said.value
    assert "Ann Bee" in again.commit.field.said.value
    assert again.commit.field.text.value.endswith(again.question.unit)
    assert again.transfer.after == page.transfer.after and again.transfer.problem.answer in again.transfer.after
    assert again.practice.number.value == 3 and again.practice.after == ""
    assert again.practice.problem.slips[0].hint in again.practice.field.said.value.replace("&#x27;", "'")
    assert not again.practice.show_working.disabled, "a try was made"
    assert read_learner(learner_path("Ann Bee")) == before, "putting back keeps anew"


@each_key
def test_nothing_that_was_not_committed_comes_with_it(key: str) -> None:
    """Wrong tries at transfer and bench; the number was never committed: the page stays closed."""
    page = page_of(key, "Ann")
    answer(page.practice, page.practice.problem, page.practice.problem.slips[0].value)
    widgets.Widget.close_all()
    again = tl.bench.lesson(key)
    assert again.progress.name.value == "Ann" and not again.opened
    problem, bench = again.question, again.practice.problem
    for value in (problem.value, problem.value / problem.unit_size, bench.value / bench.unit_size):
        assert f"{value:.4g}" not in sent()
    assert again.reveal.html == again.rule.html == CLOSED and again.transfer.after == again.practice.after == ""


@each_key
def test_a_wrong_transfer_comes_back_without_its_answer(key: str) -> None:
    page = page_of(key, "Ann")
    answer(page.commit, page.question, page.question.value)
    task = page.transfer.problem
    answer(page.transfer, task, task.slips[0].value)
    again = tl.bench.lesson(key)
    assert again.transfer.after == "" and not again.transfer.field.button.disabled
    assert task.slips[0].hint in again.transfer.field.said.value.replace("&#x27;", "'")


@each_key
def test_somebody_else_finds_the_page_closed_and_may_commit(key: str) -> None:
    page = page_of(key, "Ann")
    answer(page.commit, page.question, page.question.value)
    answer(page.transfer, page.transfer.problem, page.transfer.problem.value)
    widgets.Widget.close_all()
    other = page_of(key, "Cy")
    problem = other.question
    assert not other.opened and other.reveal.html == CLOSED and problem.answer not in sent()
    assert other.lesson.rule not in sent() and other.turn.slider is None and other.transfer.after == ""
    answer(other.commit, problem, problem.slips[0].value)
    assert other.opened and other.found is not None and other.found.verdict == "slip"
    other.progress.name.value = "Ann"
    assert other.found.verdict == "right" and other.transfer.problem.answer in other.transfer.after
    assert [a.result for a in read_learner(learner_path("Cy")).attempts] == ["slip"]


def test_of_two_learners_none_is_taken_for_granted() -> None:
    for name in ("Ann", "Cy"):
        page = page_of("L1", name)
        answer(page.commit, page.question, page.question.value)
    again = tl.bench.lesson("L1")
    assert again.progress.name.value == "" and not again.opened
    again.progress.browser.name = "Cy"  # what the browser remembers
    assert again.progress.name.value == "Cy" and again.opened
    again.progress.browser.name = "Ann"
    assert again.progress.name.value == "Cy", "a name that stands is not written over"


def test_a_name_written_after_the_commit_changes_nothing() -> None:
    page = tl.bench.lesson("L1")
    answer(page.commit, page.question, page.question.value)
    shown = page.reveal.html
    page.progress.name.value = "Ann"
    assert page.opened and page.reveal.html == shown


def test_the_first_number_counts_and_a_skip_stays_a_skip() -> None:
    first = Attempt("L1", "question", 0.1, 0.2, "V", "off", "", "2026-03-01")
    save_learner(Learner("Ann", (first, Attempt("L1", "question", 0.3, 0.2, "V", "off"))), learner_path("Ann"))
    said = tl.bench.lesson("L1").commit.field.said.value.replace("\xa0", " ")
    assert "0.100 V, committed by Ann on 2026-03-01" in said
    save_learner(Learner("Cy", (Attempt("L1", "question", None, 0.2, "V", "skipped"),)), learner_path("Cy"))
    page = page_of("L1", "Cy")
    assert page.opened and page.found is None and "Skipped by Cy" in page.commit.field.said.value


def test_a_number_in_a_strange_unit_is_said_and_opens_nothing() -> None:
    save_learner(Learner("Ann", (Attempt("L1", "question", 3.0, 2.0, "bananas", "off"),)), learner_path("Ann"))
    page = tl.bench.lesson("L1")
    assert not page.opened and "bananas" in page.commit.field.said.value
    answer(page.commit, page.question, page.question.value)
    assert page.opened, "a number may be committed anew"


def test_the_hunt_of_lesson_8_comes_back_with_its_readings_and_its_guess() -> None:
    page = page_of("L8", "Ann")
    box = tl.bench.fault_on_the_way(page)
    page.take(0.5)
    box._next()
    for place in ("feed drop", "return drop"):
        box.measure(place)
    box.guess.value = next(key for key in CHOICES if not box.fault.judge(key, box.measured).right)
    box.press()
    again = tl.bench.fault_on_the_way(tl.bench.lesson("L8"))
    assert again.measured == ("feed drop", "return drop") and again.guess.value == box.guess.value
    assert "not it" in again.said and again.fault.truth not in sent() and not again.commit.disabled
    again.guess.value = again.fault.planted.fault.key
    again.press()
    last = tl.bench.fault_on_the_way(tl.bench.lesson("L8"))
    assert "✓ right" in last.said and last.commit.disabled and "Hidden fault 2" in last._head.value
    assert last.picture_text == again.picture_text
