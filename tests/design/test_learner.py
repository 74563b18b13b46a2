"""A learner's file: what was committed comes back, a newer file is spared, nothing typed leads out of its folder."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trailerlib.design.errors import DesignError
from trailerlib.design.learner import (
    Attempt,
    Learner,
    as_text,
    learner_path,
    learners,
    read_learner,
    save_learner,
)

WRONG = Attempt("L1", "question", 0.134, 0.2666, "V", "slip", "one way", "2026-03-01")
RIGHT = Attempt("L1", "7", 0.44, 0.4401, "V", "right", "", "2026-03-01")
SKIPPED = Attempt("L2", "question", None, 0.9, "V", "skipped")
OPEN = Attempt("L2", "3", 12.0, None, "V", "off")


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return learner_path("Ann Bee", tmp_path / "learners")


def test_what_was_committed_comes_back(file: Path) -> None:
    written = Learner("Ann Bee", (WRONG, RIGHT, SKIPPED, OPEN))
    save_learner(written, file)
    assert read_learner(file) == written
    assert [one.ratio for one in read_learner(file).attempts] == pytest.approx(
        [0.134 / 0.2666, 0.44 / 0.4401, None, None]
    )
    assert read_learner(file).of("L1", "7") == (RIGHT,)


def test_each_save_is_a_revision_and_leaves_one_file(file: Path) -> None:
    saved = save_learner(Learner("Ann Bee"), file)
    for count in range(1, 4):
        saved = save_learner(saved.with_(RIGHT), file)
        assert (saved.revision, len(saved.attempts)) == (count, count)
    assert [path.name for path in file.parent.iterdir() if not path.name.startswith(".")] == [file.name]


def test_a_newer_file_is_not_overwritten(file: Path) -> None:
    first = save_learner(Learner("Ann Bee", (WRONG,)), file)
    save_learner(first.with_(RIGHT), file)
    with pytest.raises(DesignError, match=r"changed on disk.*mine-1"):
        save_learner(first.with_(SKIPPED), file)
    assert read_learner(file).attempts == (WRONG, RIGHT)
    spare = read_learner(file.with_name("ann-bee.learner.mine-1.toml"))
    assert spare.attempts == (WRONG, SKIPPED)
    assert [one.name for one in learners(file.parent)] == ["Ann Bee"], "the spare one is no learner of its own"


@pytest.mark.parametrize("name", ["../../etc/passwd", "a/b", "C:\\x", ".hidden", "x\0y", "Ä ß 名", "a" * 400])
def test_no_name_leads_out_of_the_folder(name: str, tmp_path: Path) -> None:
    file = learner_path(name, tmp_path)
    assert file.parent == tmp_path
    assert file.name.endswith(".learner.toml") and not file.name.startswith(".") and len(file.name.encode()) < 250


@pytest.mark.parametrize("name", ["", "   ", "///", "…", "--"])
def test_a_name_without_letters_is_none(name: str, tmp_path: Path) -> None:
    with pytest.raises(DesignError, match="name"):
        learner_path(name, tmp_path)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("name = 3", "name"),
        ("revision = 1", "name"),
        ('name = "A"\nrevision = -1', "revision"),
        ('name = "A"\nrevision = true', "revision"),
        ('name = "A"\nscore = 100', "score"),
        ('name = "A"\nattempt = 3', "attempt"),
        ('name = "A"\n[[attempt]]\nlesson = "L1"', "attempt 1"),
        ('name = "A"\n[[attempt]]\nlesson = "L1"\ntask = "1"\nsaid = "x"\nasked_in = "V"\nresult = "right"', "said"),
        ('name = "A"\n[[attempt]]\nlesson = "L1"\ntask = "1"\nsaid = nan\nasked_in = "V"\nresult = "right"', "said"),
        ('name = "A"\n[[attempt]]\nlesson = "L1"\ntask = "1"\nsaid = 1.0\nasked_in = "V"\nresult = "best"', "result"),
        ('name = "A"\n[[attempt]]\nlesson = "L1"\ntask = "1"\nasked_in = "V"\nresult = "right"', "said"),
        (
            'name = "A"\n[[attempt]]\nlesson = "L1"\ntask = "1"\nsaid = 1.0\nasked_in = "V"\nresult = "right"\non = "x"',
            "on",
        ),
        ("name = ", "TOML"),
        ('name = "A"\nformat = 3', "newer version"),
        ('name = "A"\nformat = "two"', "format"),
        ('title = "Fen survey"', "no learner's file"),
        (
            'name = "A"\n[[attempt]]\nlesson = "L1"\ntask = "1"\nsaid = 1.0\nasked_in = "V"\nresult = "off"\nchosen = "x"',
            "chosen",
        ),
        (
            'name = "A"\n[[attempt]]\nlesson = "L1"\ntask = "1"\nsaid = 1.0\nasked_in = "V"\nresult = "off"\nchosen = [3]',
            "chosen",
        ),
    ],
)
def test_a_broken_file_gets_one_sentence(text: str, words: str, file: Path) -> None:
    file.parent.mkdir(parents=True)
    file.write_text(text, encoding="utf-8")
    with pytest.raises(DesignError) as caught:
        read_learner(file)
    assert str(caught.value).startswith(f"{file.name}: ")
    assert words in str(caught.value)


def test_what_was_chosen_comes_back(file: Path) -> None:
    ticked = Attempt("L10", "mistakes", 2.0, 10.0, "found", "off", chosen=("usb fuse", "cord"))
    save_learner(Learner("Ann Bee", (ticked,)), file)
    assert read_learner(file).attempts == (ticked,)
    assert "format = 2" in file.read_text(encoding="utf-8")


def test_a_file_of_the_first_format_is_read_and_saved_as_the_second(file: Path) -> None:
    file.parent.mkdir(parents=True)
    first = 'name = "Ann Bee"\nrevision = 4\n[[attempt]]\nlesson = "L1"\ntask = "7"\nsaid = 0.44\nanswer = 0.4401\n'
    file.write_text(first + 'asked_in = "V"\nresult = "right"\non = "2026-03-01"\n', encoding="utf-8")
    read = read_learner(file)
    assert read.attempts == (RIGHT,)
    assert save_learner(read.with_(WRONG), file).attempts == (RIGHT, WRONG)


texts = st.text(st.characters(codec="utf-8", categories=("L", "N", "Zs", "P")), max_size=40)
numbers = st.floats(-1e6, 1e6).map(lambda x: float(f"{x:.6g}"))


@given(st.lists(st.tuples(texts, numbers), max_size=6))
def test_any_attempts_survive_the_file(parts: list[tuple[str, float]]) -> None:
    try:
        made = tuple(Attempt(text, "question", number, None, "V", "off") for text, number in parts)
    except DesignError:
        return  # a text that might do something where it is shown is refused before it is kept
    import tomllib

    raw = tomllib.loads(as_text(Learner("A", made)))
    assert [(one.get("lesson", ""), one["said"]) for one in raw.get("attempt", [])] == [
        (one.lesson, one.said) for one in made
    ]
