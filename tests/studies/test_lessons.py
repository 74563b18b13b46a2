"""Problems of the lessons: solvable from what is written, sane, never ambiguous; every slip met by its own hint."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator

import pytest
from by_pencil import SLIPPED, SOLVED, numbers
from hypothesis import given
from hypothesis import strategies as st

import trailerlib as tl
from trailerlib import units
from trailerlib.design.errors import DesignError
from trailerlib.studies.lessons.book import LESSONS, lesson
from trailerlib.studies.lessons.lesson import Lesson
from trailerlib.studies.lessons.letters import LETTERS, letters
from trailerlib.studies.lessons.problem import NotANumber, Problem, judge, read_typed, separated, unbroken
from trailerlib.studies.lessons.slips import HINTS

SYSTEMS: tuple[units.System, ...] = ("us", "metric")
HOW_MANY = 10_000
TRAILERS = {name: tl.read_design(path) for name, path in tl.shipped_trailers().items()}
each_lesson = pytest.mark.parametrize("one", LESSONS.values(), ids=lambda one: one.key)


def drawn(one: Lesson, system: units.System, count: int) -> Iterator[Problem]:
    return (one.problem(number, system) for number in range(1, count + 1))


def of_designs(one: Lesson) -> tuple[Problem, Problem]:
    return one.question(TRAILERS[one.trailer]), one.task(TRAILERS[one.other])


def rounded(value: float, digits: int) -> float:
    return float(f"{value:.{digits}g}")


@each_lesson
@pytest.mark.parametrize("system", SYSTEMS)
def test_ten_thousand_problems_are_sane_and_never_ambiguous(one: Lesson, system: units.System) -> None:
    """Both systems together: ten thousand a lesson. Two figures more than are shown decide nothing.

    The numbers in the words, put into arithmetic that knows nothing of the library, lead to the answer, and worked out
    wrongly on purpose to each slip.
    """
    before, seen = "", set()
    for number, problem in enumerate(drawn(one, system, HOW_MANY // 2), start=1):
        kind = one.kinds[number % len(one.kinds)]
        seen |= by_pencil(kind.name, problem, system)
        assert kind.low <= problem.value <= kind.high
        assert separated(problem.value, problem.slips)
        assert problem.words != before, "the same problem twice in a row"
        before = problem.words
        assert judge(problem, rounded(problem.value, 3)).verdict == "right"
        for slip in problem.slips:
            assert judge(problem, rounded(slip.value, 3)).slip == slip
    assert {name for name, _ in seen} == {kind.name for kind in one.kinds}, "a kind without a slip of its own"


def by_pencil(kind: str, problem: Problem, system: units.System) -> set[tuple[str, str]]:
    """The answer and each slip worked out from the words alone; which slips of the kind there were."""
    given_, right = numbers(problem.words), problem.value / problem.unit_size
    assert SOLVED[kind](given_, system) == pytest.approx(right, rel=0.012), problem.words
    own = [slip for slip in problem.slips if "thousand" not in slip.name]
    for slip in own:
        by_hand = SLIPPED[kind, slip.name](given_, right, system)
        assert by_hand == pytest.approx(slip.value / problem.unit_size, rel=0.012), (slip.name, problem.words)
    return {(kind, slip.name) for slip in own}


def test_the_table_of_slips_knows_none_that_nobody_makes() -> None:
    made = {
        (one.kinds[number % len(one.kinds)].name, slip.name)
        for one in LESSONS.values() if one.key != "L10"
        for system in SYSTEMS
        for number, problem in enumerate(drawn(one, system, 60), start=1)
        for slip in problem.slips if "thousand" not in slip.name
    }  # fmt: skip
    assert made == set(SLIPPED)


@each_lesson
def test_the_answer_is_the_last_step_of_the_working(one: Lesson) -> None:
    for problem in (*of_designs(one), *drawn(one, "us", 60)):
        last = problem.working[-1]
        per_hour = 3600.0 if (problem.asks, last.unit) == ("duration", "s") else 1.0
        assert problem.value * per_hour == pytest.approx(last.value, rel=1e-12)
        assert all(step.source and step.formula and step.substitution for step in problem.working)


@each_lesson
def test_the_same_number_is_the_same_problem(one: Lesson) -> None:
    assert [p.words for p in drawn(one, "us", 40)] == [p.words for p in drawn(one, "us", 40)]
    assert len({p.words for p in drawn(one, "us", 40)}) > 35, "the numbers hardly change anything"


@each_lesson
def test_the_numbers_of_the_trailers_are_no_trap_either(one: Lesson) -> None:
    for problem in of_designs(one):
        assert separated(problem.value, problem.slips)
        assert judge(problem, rounded(problem.value, 3)).verdict == "right"
        assert any("thousand" not in slip.name for slip in problem.slips), "no slip of its own is left"
        for slip in problem.slips:
            assert judge(problem, rounded(slip.value, 3)).slip == slip
            assert judge(problem, rounded(slip.value, 3)).hint == HINTS[slip.name]


@each_lesson
def test_the_slider_begins_well_and_ends_in_a_failure(one: Lesson) -> None:
    if one.turn is None:
        assert one.key in ("L8", "L10"), "only where something else stands in its place"
        return
    design = one.setup(TRAILERS[one.trailer])
    told = [one.turn.tells(design, stop) for _, stop in one.turn.stops]
    assert not told[one.turn.first].fails
    assert told[-1].fails
    first_bad = next(n for n, each in enumerate(told) if each.fails)
    assert all(each.fails for each in told[first_bad:]), "past the failure it gets no better"
    assert re.search(r"\d", told[-1].sentence)


@each_lesson
def test_a_number_with_or_without_its_unit(one: Lesson) -> None:
    problem = one.question(TRAILERS[one.trailer])
    text = f"{problem.value / problem.unit_size:.6g}"
    for typed in (text, f" {text} ", f"{text} {problem.unit}"):
        assert judge(problem, read_typed(problem, typed)).verdict == "right"


@each_lesson
@pytest.mark.parametrize(
    "text", ["", "   ", "abc", "1,5", "12 bananas", "5 ft 6", "1e999 V", "--3", "nan", "½ V", "9" * 400]
)
def test_what_is_no_number_gets_one_sentence(one: Lesson, text: str) -> None:
    problem = one.question(TRAILERS[one.trailer])
    with pytest.raises(NotANumber) as caught:
        read_typed(problem, text)
    words = str(caught.value)
    assert len(words) < 220 and words.endswith(".") and "\n" not in words
    assert re.search(r"such as [\d.]+ \S", words), "no example of what would be right"
    assert problem.answer.split()[0] not in words


@each_lesson
@given(text=st.text(max_size=40))
def test_no_text_breaks_the_reading(one: Lesson, text: str) -> None:
    problem = one.problem(1)
    try:
        assert math.isfinite(read_typed(problem, text))
    except NotANumber as error:
        assert str(error)


def test_hints_name_the_slip_and_give_nothing_away() -> None:
    used = {
        slip.name for one in LESSONS.values() for p in (*of_designs(one), *drawn(one, "us", 60)) for slip in p.slips
    }
    assert used == set(HINTS), "a hint that nothing uses, or a slip without one"
    for hint in HINTS.values():
        assert not re.search(r"\d", hint)
    assert len(set(HINTS.values())) == len(HINTS)


def test_a_number_that_is_neither_is_told_so_without_the_answer() -> None:
    problem = lesson("L1").question(TRAILERS["one-lamp"])
    found = judge(problem, 0.77 * problem.value)
    assert (found.verdict, found.slip) == ("off", None)
    assert found.ratio == pytest.approx(0.77)
    assert not re.search(r"\d", found.hint)


@each_lesson
def test_every_letter_of_every_formula_is_told_in_plain_words(one: Lesson) -> None:
    for problem in (*of_designs(one), *drawn(one, "us", 60), *drawn(one, "metric", 60)):
        for step in problem.working:
            told = letters(step, problem.system)
            assert [each.latex for each in told] == [step.result_symbol, *(symbol for symbol, _, _ in step.inputs)]
            assert all(each.words and each.value for each in told)
        result = letters(problem.working[-1], problem.system)[0].value.split(" = ")[-1].split(" ")[0]
        assert problem.asked_in or float(result.replace("−", "-")) == pytest.approx(
            problem.value / problem.unit_size, rel=0.006
        ), "the result is told in another unit than the answer"


def test_no_letter_is_explained_that_no_lesson_writes() -> None:
    met = {
        step.title for one in LESSONS.values() for problem in (*of_designs(one), *drawn(one, "us", 60))
        for step in problem.working
    }  # fmt: skip
    assert set(LETTERS) == met


def test_a_lesson_that_is_not_there_is_named_with_those_that_are() -> None:
    with pytest.raises(DesignError, match="L1"):
        lesson("L99")


@pytest.mark.parametrize(
    ("words", "kept"),
    [
        ("keeps 55.0 %.", "keeps 55.0~%."), ("4.26 mΩ a foot", "4.26~mΩ a foot"), ("10 °F", "10~°F"),
        ("6 mm² of it", "6~mm² of it"), ("18 AWG, 7 V", "18~AWG, 7~V"), ("7 of 10 found", "7 of 10 found"),
        ("100 Ah in 20 h.", "100~Ah in 20~h."), ("2 people", "2 people"),
    ],
)  # fmt: skip
def test_no_line_ends_between_a_number_and_its_unit(words: str, kept: str) -> None:
    assert unbroken(words) == kept.replace("~", "\u00a0")
