"""Lessons as widgets: nothing of the answer anywhere before the commit; every slip meets its hint; all of it is kept."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import ipywidgets as widgets
import pytest

import trailerlib as tl
from trailerlib.bench.lesson_page import OWNER_VARIABLE, LessonPage
from trailerlib.bench.lesson_style import CLOSED
from trailerlib.design.learner import LEARNERS_VARIABLE, learner_path, read_learner
from trailerlib.studies.lessons.book import LESSONS
from trailerlib.studies.lessons.problem import Problem

KEYS = tuple(LESSONS)
each_key = pytest.mark.parametrize("key", KEYS)


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Learners' files of a test lie in its own folder; no test is the owner unless it says so."""
    monkeypatch.setenv(LEARNERS_VARIABLE, str(tmp_path / "learners"))
    monkeypatch.delenv(OWNER_VARIABLE, raising=False)
    return tmp_path / "learners"


def everything_sent() -> str:
    """The whole state of every widget there is, as it goes to the page and into a saved notebook.

    Names of widgets are drawn by chance, 32 hexadecimal digits each, so that a number may stand in one: left out.
    """
    sent = json.dumps(widgets.Widget.get_manager_state(drop_defaults=False), default=str, ensure_ascii=False)
    return re.sub(r"(?<![0-9a-f])[0-9a-f]{32}(?![0-9a-f])", "", sent)


@pytest.fixture
def alone() -> Iterator[None]:
    """No widget of another test is left over."""
    widgets.Widget.close_all()
    yield
    widgets.Widget.close_all()


def shown_numbers(problem: Problem) -> list[str]:
    """The answer as it could stand on a page, to so many figures that it cannot be there by chance."""
    size = problem.value / problem.unit_size
    return [problem.answer, *(f"{value:.{digits}g}" for value in (size, problem.value) for digits in (4, 5))]


def type_in(box: Any, text: str) -> str:
    box.field.text.value = text
    box.field.press()
    return str(box.field.said.value)


def in_unit(problem: Problem, value: float) -> str:
    return f"{value / problem.unit_size:.6g}"


def parts(page: LessonPage) -> list[str]:
    return [page.reveal.html, page.formula.html, page.rule.html]


@each_key
def test_nothing_of_the_answer_is_anywhere_before_the_commit(key: str, alone: None) -> None:
    page = tl.bench.lesson(key)
    problem = page.question
    before = everything_sent() + page.seen
    found = [text for text in shown_numbers(problem) if text in before]
    assert not found, f"{found} is on the page before a number is committed"
    for words in (page.lesson.rule, *page.lesson.why):
        assert words[:40] not in before
    assert parts(page) == [CLOSED] * 3
    assert page.turn.picture_text == "" and page.turn.slider is None
    assert page.lesson.task(page.other).words not in before
    type_in(page.commit, in_unit(problem, 0.77 * problem.value))
    after = everything_sent()
    assert problem.answer in after and page.lesson.rule in after
    assert page.lesson.task(page.other).answer not in re.sub(r"<[^>]+>", " ", page.transfer.after)


@each_key
def test_a_problem_of_the_bench_hides_its_answer_until_it_is_right(key: str, alone: None) -> None:
    page = tl.bench.lesson(key)
    problem = page.practice.problem
    assert not [text for text in shown_numbers(problem) if text in everything_sent()]
    type_in(page.practice, in_unit(problem, 0.77 * problem.value))
    assert not [text for text in shown_numbers(problem) if text in everything_sent()]
    assert page.practice.after == ""
    type_in(page.practice, in_unit(problem, problem.value))
    assert problem.answer in page.practice.after


@each_key
def test_the_right_number(key: str, folder: Path) -> None:
    page = tl.bench.lesson(key)
    page.progress.name.value = "Ann"
    problem = page.question
    type_in(page.commit, in_unit(problem, problem.value))
    assert "✓ right" in page.reveal.html and problem.answer in page.reveal.html
    (kept,) = read_learner(learner_path("Ann")).attempts
    assert (kept.lesson, kept.task, kept.result, kept.slip) == (key, "question", "right", "")
    assert kept.ratio == pytest.approx(1.0, rel=1e-3)
    assert kept.said == pytest.approx(problem.value / problem.unit_size, rel=1e-4)


@each_key
def test_every_slip_meets_its_own_hint(key: str) -> None:
    slips = tl.bench.lesson(key).question.slips
    assert slips
    for number, slip in enumerate(slips):
        page = tl.bench.lesson(key)
        page.progress.name.value = f"Ann {number}"  # a learner commits once
        type_in(page.commit, in_unit(page.question, slip.value))
        assert slip.hint.split(".")[0] in page.reveal.html.replace("&#x27;", "'")
        kept = read_learner(learner_path(f"Ann {number}")).attempts[-1]
        assert (kept.result, kept.slip) == ("slip", slip.name)
        assert kept.ratio == pytest.approx(slip.value / page.question.value, rel=1e-3)


@each_key
def test_every_slip_of_the_transfer_and_of_the_bench_problems_too(key: str) -> None:
    page = tl.bench.lesson(key)
    page.skip()
    boxes = [(page.transfer, (1,)), (page.practice, range(1, 2 * len(page.lesson.kinds) + 1))]
    for box, numbers in boxes:
        for number in numbers:
            box.number.value = number
            for slip in box.problem.slips:
                said = type_in(box, in_unit(box.problem, slip.value)).replace("&#x27;", "'")
                assert slip.hint in said
                assert box.problem.answer not in said
            assert "✓ right" in type_in(box, in_unit(box.problem, box.problem.value))
            assert box.problem.answer in box.after


@each_key
def test_empty_and_bad_input_open_nothing_and_keep_nothing(key: str, folder: Path) -> None:
    page = tl.bench.lesson(key)
    page.progress.name.value = "Ann"
    for text in ("", "  ", "maybe", "1,5", "3 bananas", "<b>1</b>", "${x}"):
        said = type_in(page.commit, text)
        assert "not taken" in said and "such as" in said and "Traceback" not in said
        assert "<b>1</b>" not in said
        assert not page.opened
    assert parts(page) == [CLOSED] * 3
    assert not folder.exists()


@each_key
def test_the_owner_skips_without_a_number(key: str, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    page = tl.bench.lesson(key)
    page.skip()
    assert page.question.answer in page.reveal.html and "skipped" in page.reveal.html
    assert page.lesson.rule in page.rule.html.replace("&#x27;", "'")
    assert not folder.exists(), "a skip without a name keeps nothing"
    monkeypatch.setenv(OWNER_VARIABLE, "yes")
    assert tl.bench.lesson(key).opened


def test_a_skip_with_a_name_is_kept_as_a_skip() -> None:
    page = tl.bench.lesson("L1")
    page.progress.name.value = "Ann"
    page.skip()
    (kept,) = read_learner(learner_path("Ann")).attempts
    assert (kept.result, kept.said, kept.ratio) == ("skipped", None, None)


def test_a_number_is_committed_once() -> None:
    page = tl.bench.lesson("L1")
    type_in(page.commit, "1")
    first = page.reveal.html
    assert page.commit.field.button.disabled
    page.take(0.2)
    assert page.reveal.html == first


def test_giving_up_needs_a_try_first() -> None:
    box = tl.bench.lesson("L1").practice
    box.give_up()
    assert box.after == ""
    type_in(box, "17")
    box.give_up()
    assert box.problem.answer in box.after


def test_the_answer_of_a_wrong_try_is_not_in_the_learners_file() -> None:
    page = tl.bench.lesson("L1")
    page.progress.name.value = "Ann"
    type_in(page.practice, "17")
    (kept,) = read_learner(learner_path("Ann")).attempts
    assert kept.answer is None
    assert "answer" not in learner_path("Ann").read_text(encoding="utf-8")


def test_two_pages_of_one_learner_lose_nothing() -> None:
    first, second = tl.bench.lesson("L1"), tl.bench.lesson("L2")
    for page in (first, second, first, second):
        page.progress.name.value = "Ann"
        type_in(page.practice, "17")
    assert [one.lesson for one in read_learner(learner_path("Ann")).attempts] == ["L1", "L2", "L1", "L2"]


def test_a_broken_learners_file_is_said_and_left_alone(folder: Path) -> None:
    folder.mkdir()
    file = learner_path("Ann")
    file.write_text("name = ", encoding="utf-8")
    page = tl.bench.lesson("L1")
    page.progress.name.value = "Ann"
    assert "ann.learner.toml" in type_in(page.commit, "1")
    assert file.read_text(encoding="utf-8") == "name = "
    assert not page.opened, "what is not kept is not committed"


@each_key
def test_every_stop_of_the_slider_draws(key: str) -> None:
    page = tl.bench.lesson(key)
    page.skip()
    if page.lesson.turn is None:
        return
    pictures = []
    for number in range(len(page.lesson.turn.stops)):
        page.turn.slider.index = number
        assert page.turn.picture_text.startswith("<svg")
        assert "trailer-hint" in page.turn.words_text
        pictures.append(page.turn.picture_text)
    assert len(set(pictures)) > len(pictures) // 2
    assert "■" in page.turn.words_text, "the last stop is the failure"
