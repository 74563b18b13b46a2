"""Read aloud: short sentences, every word of the trade explained where it first stands, no result typed."""

from __future__ import annotations

import re
from html import escape
from pathlib import Path

import nbformat
import pytest

import trailerlib as tl
from trailerlib.bench.lesson_words import recalled
from trailerlib.studies.lessons.book import LESSONS
from trailerlib.studies.lessons.glossary import TERMS, glossary
from trailerlib.studies.lessons.lesson import Lesson
from trailerlib.studies.lessons.letters import letters
from trailerlib.studies.lessons.mistakes import FACTS, WAY, checks_of, wrong
from trailerlib.studies.lessons.slips import HINTS
from trailerlib.studies.lessons.way_fault import CHOICES, PLACES

FOLDER = Path(__file__).parent.parent.parent / "workbook" / "lessons"
MOST_WORDS = 25
READ_A_MIN, JUDGE_S, CLICK_S = 150.0, 6.0, 1.5
NUMBER_MIN, SLIDER_MIN, TRANSFER_MIN, PROBLEMS_MIN = 3.0, 2.0, 3.0, 5.0  # one wrong try at the transfer; two problems
# how a term may stand in a sentence: its own form, its plural or singular
FORMS = {term: rf"(?<![\w-]){re.escape(term.rstrip('s'))}s?(?![\w-])" for term in TERMS}
# words that are everyday words too, and where they are the trade's; signs that stand for a word
NARROW = {"run": r"\b(?:a|the|same|of) run\b", "short": r"\b(?:a|the) short\b", "floor": r"\bcross the \*\*floor\b"}
SIGNS = {"volts": "V", "amperes": "A", "ohms": "m?Ω", "watts": "W", "amp-hours": "Ah"}
TRAILERS = {name: tl.read_design(path) for name, path in tl.shipped_trailers().items()}
MANY = 80  # bench problems that are read too
HARD = ("power factor", "state of charge", "duty cycle", "impedance", "ampacity", "parasitic", "nominal", "transient")
# what can hurt in a lesson, and what its caution says to do about it
HURTS = {
    "L1": ("battery", "take the minus off"), "L2": ("hot", "switched off first"), "L3": ("burns", "never try it"),
    "L4": ("gas", "only where air comes in"), "L5": ("mains kills", "qualified person"),
    "L6": ("mains kills", "qualified person"), "L7": ("carbon monoxide", "working alarm"),
    "L8": ("mains", "qualified person"), "L9": ("jacked", "chocked first"), "L10": ("mains", "qualified person"),
}  # fmt: skip
each_lesson = pytest.mark.parametrize("one", LESSONS.values(), ids=lambda one: one.key)


def cells(one: Lesson) -> list[str]:
    notebook = nbformat.read(FOLDER / one.notebook, as_version=4)
    return [cell.source for cell in notebook.cells if cell.cell_type == "markdown"]


def plain(markdown: str) -> str:
    """The words of a text as they are read aloud."""
    text = re.sub(r"<button.*?</button>", "", markdown, flags=re.S)
    text = re.sub(r"\[([^\]]+)\]\([^)]+\)", r"\1", text)
    return re.sub(r"[#>*`]", "", text)


def sentences(markdown: str) -> list[str]:
    """One by one; a heading, an item of a list and a paragraph end one as well."""
    parts = [part for line in plain(markdown).splitlines() for part in re.split(r"(?<=[.?!:;])\s+", line)]
    return [part.strip() for part in parts if part.strip()]


def in_order(one: Lesson) -> list[str]:
    """All prose of a lesson in the order in which it is met, without its title and without the links to others."""
    first, commit, *rest = cells(one)
    return [first.split("\n", 1)[1], commit, *one.why, one.watch, *rest[:-1], one.rule]


def whole(one: Lesson) -> list[str]:
    """All that is met on the page, in its order: what is seen, asked and told by the slider too, and bench problems."""
    design, other = one.setup(TRAILERS[one.trailer]), TRAILERS[one.other]
    first, commit, *rest = cells(one)
    seen = " ".join(f"{what}: {value}." for what, value in one.see(TRAILERS[one.trailer]))
    turn = one.turn
    told = [] if turn is None else [turn.tells(design, stop).sentence for _, stop in turn.stops]
    facts = [*(head for head, _ in WAY), *(fact.words(design) for fact in FACTS)] if one.key == "L10" else []
    hunt = [*PLACES.values(), *CHOICES.values()] if one.key == "L8" else []
    return [
        first.split("\n", 1)[1], seen, commit, one.question(TRAILERS[one.trailer]).words, *one.why, one.watch, *told,
        *rest[:-1], *facts, *hunt, one.task(other).words, one.rule,
        *(one.problem(number).words for number in range(1, MANY)),
    ]  # fmt: skip


def uses(term: str, text: str) -> bool:
    """Whether a text uses a term, in words or by its sign."""
    sign = SIGNS.get(term)
    by_sign = sign is not None and re.search(rf"(?<=\d ){sign}(?!\w)", text) is not None
    return by_sign or re.search(NARROW.get(term, FORMS[term]), text, re.I) is not None


def words(text: str) -> int:
    return len(re.findall(r"[\w'’-]+", text))


@each_lesson
def test_no_sentence_is_longer_than_a_breath(one: Lesson) -> None:
    for text in whole(one):
        for sentence in sentences(text):
            assert words(sentence) <= MOST_WORDS, sentence


@pytest.mark.parametrize("name", HINTS)
def test_no_hint_either(name: str) -> None:
    assert all(words(sentence) <= MOST_WORDS for sentence in sentences(HINTS[name]))


def test_the_overview_too() -> None:
    notebook = nbformat.read(FOLDER / "00_lessons.ipynb", as_version=4)
    text = "\n".join(cell.source for cell in notebook.cells if cell.cell_type == "markdown")
    for sentence in sentences(text):
        assert words(sentence) <= MOST_WORDS, sentence
    for one in LESSONS.values():
        assert f"[{one.key}: {one.title}]({one.notebook})" in text


def test_every_term_is_explained_where_it_first_stands_in_the_course() -> None:
    course = "\n".join(text for one in LESSONS.values() for text in whole(one))
    for term, meaning in TERMS.items():
        found = re.search(FORMS[term], course, re.I)
        assert found, f"“{term}” stands in no lesson"
        here = course[found.start() - 2 : found.end() + 5 + len(meaning)]
        assert here.lower() == f"**{term}** ({meaning})".lower(), f"“{term}” first stands as: {here}"


@each_lesson
def test_a_lesson_by_itself_explains_every_term_it_uses(one: Lesson) -> None:
    """Where it stands, or in the fold with the words of earlier lessons; the fold has no word that is not used."""
    text = "\n".join(whole(one))
    here = {term for term in TERMS if f"**{term}** (".lower() in text.lower()}
    assert set(one.recalls) == {term for term in TERMS if uses(term, text)} - here
    assert list(one.recalls) == [term for term in TERMS if term in one.recalls], "in the order of the course"
    shown = recalled(one.recalls)
    assert all(f"<b>{term}</b> {escape(TERMS[term])}" in shown for term in one.recalls)


def test_every_explanation_is_in_the_glossary() -> None:
    course = "\n".join(text for one in LESSONS.values() for text in in_order(one))
    explained = {term.lower() for term in re.findall(r"\*\*([\w -]+)\*\* \(", course)}
    assert explained == {term.lower() for term in TERMS}
    assert all(term in glossary() for term in TERMS)


@each_lesson
def test_no_word_for_engineers_goes_unexplained(one: Lesson) -> None:
    text = " ".join(in_order(one)).lower()
    assert [term for term in HARD if term in text and term not in TERMS] == []


@each_lesson
def test_what_is_read_after_the_commit_has_no_number_typed(one: Lesson) -> None:
    for text in (*one.why, one.watch, one.rule):
        assert not re.search(r"\d", text), text


@each_lesson
def test_the_beats_are_there_in_their_order(one: Lesson) -> None:
    notebook = nbformat.read(FOLDER / one.notebook, as_version=4)
    shown = [cell.source.splitlines()[-1] for cell in notebook.cells if cell.cell_type == "code"]
    assert shown[0] == "print(lesson.seen)"
    beats = [line for line in shown if line.startswith("lesson.")]
    wanted = ["commit", "reveal", "turn", "formula", "transfer", "rule", "practice"]
    if one.turn is None:
        wanted.remove("turn")
    assert beats == [f"lesson.{beat}" for beat in wanted]
    assert f'tl.bench.lesson("{one.key}")' in "".join(c.source for c in notebook.cells)


@each_lesson
def test_title_rule_and_caution(one: Lesson) -> None:
    first = cells(one)[0]
    assert first.startswith(f"# {one.title}\n")
    assert "\n" not in one.rule and words(one.rule) <= MOST_WORDS
    caution = next(line for line in first.splitlines() if "**Caution.**" in line)
    assert all(words in caution.lower() for words in HURTS[one.key])


def read_words(one: Lesson) -> int:
    """Words that are read once on the way through a lesson, two bench problems and the letters included."""
    design, trailer = one.setup(TRAILERS[one.trailer]), TRAILERS[one.trailer]
    question = one.question(trailer)
    first, commit, *rest = cells(one)
    stops = () if one.turn is None else one.turn.stops
    return words(plain("\n".join([
        first.split("\n", 1)[1], *(f"{what} {value}" for what, value in one.see(trailer)), commit, question.words, *one.why,
        one.watch, *(one.turn.tells(design, stop).sentence for _, stop in stops if one.turn), *rest[:-1],
        *(letter.words for step in question.working for letter in letters(step, design.units)),
        one.task(TRAILERS[one.other]).words, one.rule, *(one.problem(number).words for number in (1, 2)),
        *((*PLACES.values(), *CHOICES.values()) if one.key == "L8" else ()),
    ])))  # fmt: skip


def hunt_min() -> float:
    """Lesson 10: all facts read and judged, ten ticked, each mistake mended by somebody who picks at random."""
    design = TRAILERS["ten-mistakes"]
    found = wrong(FACTS, checks_of(design))
    read = sum(words(fact.words(design)) for fact in FACTS)
    seconds = JUDGE_S * len(FACTS) + CLICK_S * (len(found) + 1)
    for fact in (fact for fact in FACTS if fact.key in found):
        helps = [fact.key not in wrong(FACTS, checks_of(design.replace_all(mend.changes))) for mend in fact.mends]
        tries = (len(helps) + 1) / (sum(helps) + 1)  # on the average until one helps, none tried twice
        said = words(found[fact.key].text(design.units))
        read += round(said * tries) + sum(words(mend.words) for mend in fact.mends) + words(fact.words(design))
        seconds += (JUDGE_S + CLICK_S) * tries + CLICK_S
    return read / READ_A_MIN + seconds / 60.0


@each_lesson
def test_a_quarter_of_an_hour_to_25_minutes(one: Lesson) -> None:
    """An estimate, nobody was timed: reading 150 words a minute, 1.5 s a click (pointing and pressing, both from memory),
    and guesses for what is thought over in between."""
    hunts = {"L8": 4.0, "L10": hunt_min()}  # in place of the slider
    minutes = read_words(one) / READ_A_MIN + NUMBER_MIN + hunts.get(one.key, SLIDER_MIN) + TRANSFER_MIN + PROBLEMS_MIN
    assert 15.0 <= minutes <= 25.0, f"{one.key} takes {minutes:.1f} minutes"


@each_lesson
def test_the_next_lesson_and_the_way_back(one: Lesson) -> None:
    last = cells(one)[-1]
    assert "(00_lessons.ipynb)" in last and "(../00_start.ipynb)" in last
    following = list(LESSONS.values())[list(LESSONS).index(one.key) + 1 :]
    if following:
        assert f"[{following[0].title}]({following[0].notebook})" in last


@each_lesson
def test_nothing_of_an_answer_is_stored_in_the_notebook(one: Lesson) -> None:
    from trailerlib.design.files import read_design, shipped_trailers

    text = (FOLDER / one.notebook).read_text(encoding="utf-8")
    problem = one.question(read_design(shipped_trailers()[one.trailer]))
    assert problem.answer not in text
    assert one.rule not in text and all(why[:40] not in text for why in one.why)
