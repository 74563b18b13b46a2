"""What every answer owes: the same twice, whole sentences, words that fit the findings."""

from __future__ import annotations

import copy
import re
from collections.abc import Mapping
from dataclasses import replace

import pytest

import trailerlib as tl
from trailerlib.rules.finding import ORDER
from trailerlib.studies import APART, STUDIES, WITH_READINGS, loads, printed
from trailerlib.studies.answer import Answer, Later, Quantity, mapping

QUESTIONS = tuple(STUDIES)
TRAILERS = ("fen-survey", "one-lamp")
PAGE = 96  # characters that a notebook shows on a line at 1280 pixels without breaking it
BARE = {"title": "Bare", "trailer": {"length": "10 ft", "width": "5 ft", "height": "5 ft"}}


def shipped(name: str, system: str = "us") -> tl.Design:
    return tl.read_design(tl.shipped_trailers()[name]).replace("units", system)


@pytest.mark.parametrize("name", TRAILERS)
def test_the_same_design_gives_the_same_answer_and_stays_as_it_was(name: str) -> None:
    design = shipped(name)
    before, raw = design.model_dump(), copy.deepcopy(dict(design.raw))
    first, second = tl.assess(design), tl.assess(design)
    for question in QUESTIONS:
        one, two = first[question], second[question]
        assert one.text() == two.text() and one.findings_text() == two.findings_text()
        assert one.checks == two.checks and one.rows == two.rows and dict(one.numbers) == dict(two.numbers)
        assert one.checks == tl.study(question, shipped(name)).checks
    assert design.model_dump() == before and dict(design.raw) == raw


def test_numbers_that_come_later_are_worked_out_once_and_count_like_others() -> None:
    worked_out = []

    def show() -> Mapping[str, Quantity]:
        worked_out.append("now")
        return mapping(one=Quantity("One", 1.0, "power"), two=Quantity("Two", None, "energy"))

    later, now = (Answer("loads", "Why?", "us", "So.", numbers, (), tuple, ()) for numbers in (Later(show), show()))
    worked_out.clear()
    assert later.sentence == now.sentence and not worked_out
    assert later.text() == now.text() and later.value("one") == 1.0 and later == now and repr(later) == repr(now)
    assert list(later.numbers) == ["one", "two"] and later != replace(now, numbers=mapping())
    assert worked_out == ["now"]


def test_no_verdict_on_the_loads_waits_for_what_the_stays_use(monkeypatch: pytest.MonkeyPatch) -> None:
    asked = []
    monkeypatch.setattr(loads, "running_in", lambda design, load, stay: asked.append((load.name, stay.name)) or 0.5)
    answer = tl.study("loads", shipped("fen-survey"))
    assert answer.sentence and answer.word and answer.picture and not asked
    assert answer.rows and answer.value("stay_0") > 0.0
    assert len(asked) == len(set(asked)) > 0, "an energy was worked out twice"


def reads_well(answer: Answer) -> None:
    assert answer.sentence.endswith(".") and ".." not in answer.sentence and "  " not in answer.sentence
    assert answer.sentence[0] == answer.sentence[0].upper() or answer.sentence[0].isalpha()
    for text in (answer.text(), answer.findings_text(), answer.sentence):
        assert not re.search(r"\b(None|nan|NaN|inf)\b", text), text
        assert "{" not in text
    assert not re.search(r"\d[eE][+-]?\d", answer.text())
    assert answer.mark in answer.text()


@pytest.mark.parametrize("system", ["us", "metric"])
@pytest.mark.parametrize("question", QUESTIONS)
@pytest.mark.parametrize("name", TRAILERS)
def test_every_answer_reads_well(name: str, question: str, system: str) -> None:
    answer = tl.study(question, shipped(name, system))
    assert answer.question == question and answer.title.endswith("?")
    reads_well(answer)


def words_of(text: str) -> list[str]:
    return text.split()


def crowded() -> tl.Design:
    """Names as long as a design allows, and four more stays, each a column of the loads' table."""
    raw = copy.deepcopy(dict(shipped("fen-survey").raw))
    for load in raw["load"]:
        load["name"] = f"{load['name']} that somebody gave a long name"[:40].strip()
    stay = {"supply": "battery", "from": "18:00", "to": "07:00", "on": {raw["load"][0]["name"]: "all"}}
    raw["stay"] = [
        {**stay, "name": name} for name in ("a", "one night", "W" * 40, "one long night of many in the cold hills")
    ]
    return tl.design_from(raw)


PRINTED = [shipped(name, system) for name in TRAILERS for system in ("us", "metric")] + [
    crowded(),
    tl.design_from(BARE),
]


@pytest.mark.parametrize("design", PRINTED, ids=lambda design: design.title)
def test_what_is_printed_fits_a_notebook_and_keeps_every_word(design: tl.Design) -> None:
    everything = tl.assess(design)
    for text in (everything.text(), everything.findings_text()):
        assert max(map(len, text.splitlines())) <= PAGE
    for answer in everything.answers.values():
        verdict, _, rest = answer.text().partition("\n\n")
        assert words_of(verdict) == words_of(f"{answer.mark} {answer.word}: {answer.sentence}")
        assert all(line.startswith(printed.INDENT) for line in verdict.splitlines()[1:])
        for line in [*answer.text().splitlines(), *answer.findings_text().splitlines()]:
            assert len(line) <= PAGE and line == line.rstrip(), line
        found = words_of(answer.findings_text())
        for finding in answer.findings:
            said = words_of(f"{finding.text(design.units)} {finding.mend(design.units)} ({finding.clause};")
            assert any(found[k : k + len(said)] == said for k in range(len(found)))
        shown = words_of(rest)
        for column in answer.columns:
            for row in answer.rows:
                cell = column.cell(row.get(column.key), design.units)
                assert set(cell.split()) <= set(shown), cell


def test_a_number_stays_with_its_unit() -> None:
    for gap in range(60, 100):
        lines = printed.hanging("x" * gap + " asks for 1650 W at 95 °F and loses 3 % of it")
        assert not any(re.search(r"\d$", line) for line in lines), lines


def test_a_wide_table_goes_on_below_with_its_first_column() -> None:
    names = tuple(f"row {k}" for k in range(3))
    strips = [
        printed.Strip("Load", names, False),
        *(printed.Strip(f"Column {k} [W]", ("1234.5",) * 3, True) for k in range(30)),
    ]
    lines = printed.table(strips)
    assert max(map(len, lines)) <= PAGE
    blocks = "\n".join(lines).split("\n\n")
    assert len(blocks) > 1 and all(name in block for block in blocks for name in names)
    assert sum(line.count("1234.5") for line in lines) == 90
    assert printed.table([printed.Strip("Load", (), False)]) == []


@pytest.mark.parametrize("question", QUESTIONS)
def test_a_bare_trailer_is_answered_and_never_passes(question: str) -> None:
    """Nothing is known, so nothing can be said to hold."""
    answer = tl.study(question, tl.design_from(BARE))
    reads_well(answer)
    assert answer.word == "not checked" or question == "loads"


@pytest.mark.parametrize("system", ["us", "metric"])
@pytest.mark.parametrize("name", TRAILERS)
def test_findings_stand_in_order_each_once(name: str, system: str) -> None:
    everything = tl.assess(shipped(name, system))
    for listed in (everything.finding_list, *(answer.findings for answer in everything.answers.values())):
        places = [ORDER.index(finding.severity) for finding in listed]
        assert places == sorted(places) and ORDER.index("holds") not in places
        assert len(set(listed)) == len(listed)
    table = everything.findings
    assert list(table.columns) == ["severity", "where", "what", "value", "limit", "clause", "remedy"]
    assert len(table) == len(everything.finding_list)


@pytest.mark.parametrize("name", TRAILERS)
def test_a_sentence_that_says_not_checked_carries_that_word(name: str) -> None:
    for answer in tl.assess(shipped(name)).answers.values():
        if answer.sentence.startswith("Not checked"):
            assert answer.word == "not checked", f"{answer.question}: {answer.mark} {answer.word}: {answer.sentence}"


def test_units_change_the_words_and_not_the_findings() -> None:
    us, metric = tl.assess(shipped("fen-survey", "us")), tl.assess(shipped("fen-survey", "metric"))
    for question in QUESTIONS:
        assert us[question].checks == metric[question].checks
        assert {k: q.value for k, q in us[question].numbers.items()} == {
            k: q.value for k, q in metric[question].numbers.items()
        }
    assert " ft" in us["wiring"].sentence and " m " in metric["wiring"].sentence


def test_a_question_that_does_not_exist_names_those_that_do() -> None:
    with pytest.raises(tl.DesignError, match="night"):
        tl.study("weather", shipped("one-lamp"))


def test_what_may_be_asked_is_listed_where_one_reads_how_to_ask() -> None:
    listed = str(tl.study.__doc__).partition("question : ")[2].partition("design :")[0]
    assert re.findall("``(.+?)``", listed) == [*STUDIES, *WITH_READINGS, APART]


@pytest.mark.parametrize(
    ("question", "choice"),
    [("night", {"stay": "nowhere"}), ("wiring", {"circuit": "nowhere"}), ("mains", {"supply": "nowhere"}), ("generator", {"supply": "nowhere"})],
)  # fmt: skip
def test_a_choice_that_does_not_exist_is_refused(question: str, choice: dict[str, str]) -> None:
    with pytest.raises(tl.DesignError, match="nowhere"):
        tl.study(question, shipped("fen-survey"), **choice)


def test_the_working_shows_the_numbers_of_the_answer() -> None:
    for answer in tl.assess(shipped("fen-survey")).answers.values():
        for step in answer.working:
            assert step.title and step.formula and step.substitution and step.source
            assert step.value == step.value
