"""Papers for a class: problems and their key as PDF, the class sheet as a CSV that runs nothing."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

import pypdf
import pytest

import trailerlib as tl
from trailerlib import units
from trailerlib.bench.class_desk import class_desk
from trailerlib.buildfile.class_sheet import HEADS, class_sheet, safe
from trailerlib.buildfile.problem_sheet import _problem, sheet
from trailerlib.design.errors import DesignError
from trailerlib.design.learner import Attempt, Learner, learner_path, save_learner
from trailerlib.studies.lessons.book import LESSONS, lesson

each_key = pytest.mark.parametrize("key", LESSONS)


def text_of(pdf: bytes) -> str:
    """The words of a PDF on one line, the ligatures and thin spaces of the setting undone."""
    pages = pypdf.PdfReader(io.BytesIO(pdf)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def squeezed(text: str) -> str:
    return re.sub(r"\s+", "", text)


@each_key
def test_every_problem_stands_on_both_sheets_and_its_answer_on_the_key_alone(key: str) -> None:
    problems = [lesson(key).problem(number) for number in range(1, 13)]
    to_work_on, answers = (squeezed(text_of(sheet(key, 1, 12, "us", with_))) for with_ in (False, True))
    for problem in problems:
        assert squeezed(problem.words) in to_work_on and squeezed(problem.words) in answers
        assert squeezed(f"{problem.answer} right within") in answers
        for step in problem.working:
            assert squeezed(step.title) in answers
    hidden = [p for p in problems if p.answer not in " ".join(q.words for q in problems)]
    assert hidden
    assert not [p.answer for p in hidden if squeezed(p.answer) in to_work_on]


@pytest.mark.parametrize(("count", "pages"), [(1, 1), (4, 1), (5, 2), (8, 2), (12, 3)])
@pytest.mark.parametrize("system", ["us", "metric"])
def test_four_problems_share_a_page_to_work_on(count: int, pages: int, system: units.System) -> None:
    made = pypdf.PdfReader(io.BytesIO(sheet("L2", 1, count, system, False))).pages
    assert len(made) == pages
    last = lesson("L2").problem(count, system)
    assert squeezed(last.words) in squeezed(made[-1].extract_text())


def test_the_key_says_what_the_formula_takes_as_the_words_give_it() -> None:
    """40 ft are 12.192 m, a pound 0.45359 kg; no number is said to be itself."""
    steps = [step for n in range(1, 9) for step in _problem(n, lesson("L1").problem(n), True)["steps"]]
    assert "12.19 m = 40.0 ft" in [words for step in steps for words in step["read"]]
    for key in LESSONS:
        for number in range(1, 13):
            for step in _problem(number, lesson(key).problem(number, "metric"), True)["steps"]:
                assert all(len(set(words.split(" = "))) == 2 for words in step["read"]), step


@each_key
def test_the_page_to_work_on_is_handed_no_answer(key: str) -> None:
    problem = lesson(key).problem(1)
    assert set(_problem(1, problem, True)) - set(_problem(1, problem, False)) == {"answer", "steps", "slips"}


def test_the_same_numbers_give_the_same_bytes() -> None:
    assert sheet("L1", 3, 5, "metric", True) == sheet("L1", 3, 5, "metric", True)
    assert sheet("L1", 3, 5, "us", True) != sheet("L1", 4, 5, "us", True)


def test_the_sheets_are_written_beside_what_is_there(tmp_path: Path) -> None:
    first = tl.write_problem_sheet(tmp_path / "papers", "L1", 1, 4)
    assert {name: path.name for name, path in first.items()} == {
        "problems": "L1 problems 1-4 us.pdf", "answers": "L1 answers 1-4 us.pdf",
    }  # fmt: skip
    assert tl.write_problem_sheet(tmp_path / "papers", "L1", 1, 4) == first, "the same bytes need no second file"
    first["problems"].write_bytes(b"somebody's own")
    assert tl.write_problem_sheet(tmp_path / "papers", "L1", 1, 4)["problems"].name == "L1 problems 1-4 us-2.pdf"
    assert first["problems"].read_bytes() == b"somebody's own"
    assert not list((tmp_path / "papers").glob(".*")), "a temporary file is left"


@pytest.mark.parametrize(("key", "first", "count"), [("L99", 1, 4), ("L1", 0, 4), ("L1", 1, 0), ("L1", 1, 400)])
def test_what_cannot_be_printed_is_said(key: str, first: int, count: int, tmp_path: Path) -> None:
    with pytest.raises(DesignError) as caught:
        tl.write_problem_sheet(tmp_path / "papers", key, first, count)
    assert str(caught.value).endswith(".")
    assert not (tmp_path / "papers").exists()


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def test_the_class_sheet_says_what_was_committed() -> None:
    made = (
        Attempt("L1", "question", 0.13, 0.26, "V", "slip", "one way", "2026-03-01"),
        Attempt("L1", "transfer", 0.2, None, "V", "slip", "one way", "2026-03-01"),
        Attempt("L1", "transfer", 0.44, 0.44, "V", "right", "", "2026-03-02"),
        Attempt("L1", "7", 1.0, None, "V", "off", "", "2026-03-03"),
        Attempt("L1", "7", 2.0, 2.0, "V", "right", "", "2026-03-03"),
        Attempt("L1", "8", 2.0, None, "V", "off", "", "2026-03-03"),
        Attempt("L2", "question", None, 0.9, "V", "skipped", "", "2026-03-04"),
    )
    first, second = rows(class_sheet([Learner("Ann", made)]))
    assert list(first) == list(HEADS)
    assert first == {
        "Learner": "Ann", "Lesson": "L1", "Title": LESSONS["L1"].title, "Said first": "0.13", "Answer": "0.26",
        "Unit": "V", "Said over answer": "0.5", "Result": "slip", "Slip": "one way", "Transfer tries": "2",
        "Transfer right": "yes", "Problems tried": "2", "Problems right": "1", "Commonest slip": "one way",
        "Last day": "2026-03-03", "Not read": "",
    }  # fmt: skip
    assert (second["Result"], second["Said first"], second["Said over answer"]) == ("skipped", "", "")


@pytest.mark.parametrize("name", ["=1+1", "+cmd", "-2", "@SUM(A1)", "'=1"])
def test_no_name_is_a_formula(name: str) -> None:
    assert safe(name) == f"'{name}"
    if not name.startswith("'"):
        with pytest.raises(DesignError, match="plain text"):
            Learner(name)


def test_a_number_stays_a_number() -> None:
    (row,) = rows(class_sheet([Learner("Ann", (Attempt("L1", "question", -1.0, 1.0, "V", "off"),))]))
    assert (row["Said first"], row["Said over answer"]) == ("-1", "-1")


def test_a_name_with_commas_quotes_and_lines_stays_one_cell() -> None:
    (row,) = rows(class_sheet([Learner('Bee, "Ann"', (Attempt("L1", "question", 1.0, 1.0, "V", "right"),))]))
    assert row["Learner"] == 'Bee, "Ann"'


def test_all_files_of_the_folder_are_on_it(tmp_path: Path) -> None:
    source = tmp_path / "learners"
    for name in ("Cy", "Ann"):
        attempt = Attempt("L1", "question", 1.0, 1.0, "V", "right", "", "2026-03-01")
        save_learner(Learner(name, (attempt,)), learner_path(name, source))
    written = tl.write_class_sheet(tmp_path / "papers", source)
    assert [row["Learner"] for row in rows(written.read_text(encoding="utf-8-sig"))] == ["Ann", "Cy"]


BROKEN = {
    "broken": ("name = ", "it is not valid TOML"),
    "cut": ('name = "Dee"\n[[attempt]]\nlesson = "L1"\n', "is missing"),
    "foreign": ('title = "Fen survey"\nunits = "us"\n', "this is no learner's file"),
    "newer": ('name = "Dee"\nformat = 3\nfeeling = "good"\n', "written by a newer version"),
    "picture": (b"\x89PNG\r\n\x1a\n\xff\xfe", "not UTF-8"),
}


@pytest.mark.parametrize("kind", BROKEN)
def test_a_file_that_cannot_be_read_has_one_line_and_all_others_theirs(kind: str, tmp_path: Path) -> None:
    source = tmp_path / "learners"
    for name in ("Ann", "Zoe"):
        attempt = Attempt("L1", "question", 1.0, 1.0, "V", "right", "", "2026-03-01")
        save_learner(Learner(name, (attempt,)), learner_path(name, source))
    text, why = BROKEN[kind]
    file = learner_path("Dee", source)
    before = text.encode() if isinstance(text, str) else text
    file.write_bytes(before)
    written = rows(tl.write_class_sheet(tmp_path / "papers", source).read_text(encoding="utf-8-sig"))
    assert [row["Learner"] for row in written] == ["Ann", "Zoe", "dee.learner.toml"]
    told = written[-1].pop("Not read")
    assert told.startswith("dee.learner.toml") and why in told and told.endswith(".")
    assert set(written[-1].values()) == {"dee.learner.toml", ""}
    assert [row["Not read"] for row in written[:2]] == ["", ""]
    assert file.read_bytes() == before


def test_the_desk_says_which_file_cannot_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    source = tmp_path / "learners"
    monkeypatch.setenv("TRAILERLIB_LEARNERS", str(source))
    monkeypatch.chdir(tmp_path)
    save_learner(Learner("Ann"), learner_path("Ann", source))
    desk = class_desk(tl.write_problem_sheet, tl.write_class_sheet)
    desk.write_sheet()
    assert "class sheet.csv" in desk.said and "not read" not in desk.said
    for kind in ("broken", "newer"):
        (source / f"{kind}.learner.toml").write_text(str(BROKEN[kind][0]), encoding="utf-8")
    desk.write_sheet()
    assert "class sheet-2.csv" in desk.said and "1 of 3 learners" in desk.said
    for kind in ("broken", "newer"):
        assert f"{kind}.learner.toml" in desk.said and BROKEN[kind][1] in desk.said
