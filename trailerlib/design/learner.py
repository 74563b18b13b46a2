"""What a learner has committed, in a file of the learner's: never lost, never a newer one overwritten."""

from __future__ import annotations

import math
import os
import re
import unicodedata
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from trailerlib.design import keeping
from trailerlib.design.design import Origin
from trailerlib.design.errors import DesignError
from trailerlib.design.kept_text import check_text, is_day
from trailerlib.units import shorten

LEARNERS_VARIABLE = "TRAILERLIB_LEARNERS"
FOLDER, END = "learners", ".learner.toml"
RESULTS = ("right", "slip", "off", "skipped")
LONGEST, LONGEST_NAME, MOST, MOST_CHOSEN = 80, 60, 20_000, 40  # characters of a text, of a name; entries; choices
FORMAT = 2  # the first had no number of its own and no ``chosen``; it is still read
_TEXTS = ("lesson", "task", "asked_in", "result", "slip", "on")


@dataclass(frozen=True)
class Attempt:
    """One number that was committed. ``said`` and ``answer`` are in the unit ``asked_in``.

    ``task`` is ``question``, ``transfer`` or the number of a bench problem; ``slip`` the known slip it met, or nothing;
    ``on`` the day as year, month and day, or nothing. ``answer`` is None until it has been shown to the learner,
    ``said`` where the learner skipped. ``chosen`` is what was ticked, measured or mended.
    """

    lesson: str
    task: str
    said: float | None
    answer: float | None
    asked_in: str
    result: str
    slip: str = ""
    on: str = ""
    chosen: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for name in _TEXTS:
            check_text(name, getattr(self, name), LONGEST)
        if len(self.chosen) > MOST_CHOSEN:
            raise DesignError(f"chosen: this holds {len(self.chosen)} texts; at most {MOST_CHOSEN} are kept.")
        for one in self.chosen:
            check_text("chosen", one, LONGEST)
        if self.result not in RESULTS:
            raise DesignError(f'result: "{shorten(self.result)}" is not one of {", ".join(RESULTS)}.')
        if (self.said is None) is not (self.result == "skipped"):
            raise DesignError("said: this number is missing; only what was skipped has none.")
        for name in ("said", "answer"):
            value = getattr(self, name)
            if value is not None and not math.isfinite(value):
                raise DesignError(f"{name}: this is not a finite number; write one with a point.")
        if self.on and not is_day(self.on):
            raise DesignError(f'on: "{shorten(self.on, 30)}" is not a date; write 2026-03-01.')

    @property
    def ratio(self) -> float | None:
        """What was said over the answer [-]; None where the answer has not been shown."""
        return None if not self.answer or self.said is None else self.said / self.answer


@dataclass(frozen=True)
class Learner:
    """A learner and all attempts in their order; never changed, only replaced."""

    name: str
    attempts: tuple[Attempt, ...] = ()
    revision: int = 0
    origin: Origin | None = field(default=None, compare=False, repr=False)

    def __post_init__(self) -> None:
        if not self.name.strip() or len(self.name) > LONGEST_NAME:
            raise DesignError(f"name: write the learner's name, at most {LONGEST_NAME} characters.")
        check_text("name", self.name, LONGEST)

    def with_(self, attempt: Attempt) -> Learner:
        """The same with one attempt more."""
        if len(self.attempts) >= MOST:
            raise DesignError(f"the file holds {MOST} attempts, which is all it may; begin another under a new name.")
        return replace(self, attempts=(*self.attempts, attempt))

    def of(self, lesson: str, task: str) -> tuple[Attempt, ...]:
        """The attempts at one task."""
        return tuple(one for one in self.attempts if (one.lesson, one.task) == (lesson, task))


def learners_folder() -> Path:
    """Where the learners' files lie: ``learners`` in the folder of the workbook, or what the variable names."""
    given = os.environ.get(LEARNERS_VARIABLE)
    if given:
        return Path(given)
    here = Path.cwd()
    return (here.parent if here.name == "lessons" else here) / FOLDER


def learner_path(name: str, folder: Path | None = None) -> Path:
    """The file of a learner; whatever the name says, it lies in the folder.

    Parameters
    ----------
    name : as typed
    folder : where the files lie; default is the workbook's
    """
    words = re.findall(r"[^\W_]+", unicodedata.normalize("NFKC", name).lower())
    stem = "-".join(words)[:48].strip("-")
    if not stem:
        raise DesignError("name: write a name with letters in it, such as Ann.")
    return (learners_folder() if folder is None else folder) / f"{stem}{END}"


def read_learner(file: str | os.PathLike[str]) -> Learner:
    """Read and check a learner's file.

    Parameters
    ----------
    file : which

    Raises
    ------
    DesignError
        One sentence that begins with the file's name: where, what is wrong, what would be right.
    """
    path = Path(file)
    text = keeping.read_text(path, "learner's file", "commit a number in a lesson first")
    try:
        return _from_text(path, text)
    except DesignError as error:
        raise DesignError(f"{path.name}: {error}") from None


def _from_text(path: Path, text: str) -> Learner:
    raw = keeping.parse(text, "a learner's file", "a file that a lesson has written")
    return replace(_learner(raw), origin=Origin(str(path), keeping.digest(text)))


def _learner(raw: Mapping[str, Any]) -> Learner:
    number = raw.get("format", 1)
    if type(number) is not int or number < 1:
        raise DesignError(f"format: this is not a number of a format; write a whole number, such as {FORMAT}.")
    if number > FORMAT:
        raise DesignError(
            f"it is in format {str(number)[:20]}, written by a newer version of the workbook; "
            f"this one reads 1 to {FORMAT}. Update the workbook to read it."
        )
    if "name" not in raw and (strange := sorted(set(raw) - {"format", "revision", "attempt"})):
        raise DesignError(
            f"this is no learner's file: it has no name, but “{shorten(strange[0], 40)}”. Move it to another folder."
        )
    for key in raw:
        if key not in ("name", "format", "revision", "attempt"):
            raise DesignError(f"{shorten(str(key), 40)}: this is not known here; remove it.")
    revision, parts = raw.get("revision", 0), raw.get("attempt", [])
    if type(revision) is not int or not 0 <= revision < 10**9:
        raise DesignError("revision: this is not a count; write a whole number, such as 1.")
    if not isinstance(raw.get("name"), str):
        raise DesignError('name: this is not a name; write name = "Ann".')
    if not isinstance(parts, list):
        raise DesignError("attempt: this is not a list; write each one under [[attempt]].")
    return Learner(raw["name"], tuple(_attempt(n, part) for n, part in enumerate(parts, start=1)), revision)


def _attempt(number: int, part: Any) -> Attempt:
    known = {"lesson", "task", "said", "answer", "asked_in", "result", "slip", "on", "chosen"}
    wrong = sorted(set(part) - known) if isinstance(part, Mapping) else ["it"]
    if wrong:
        raise DesignError(f"attempt {number}: {shorten(str(wrong[0]), 40)} is not known here; remove it.")
    missing = {"lesson", "task", "asked_in", "result"} - set(part)
    if missing:
        raise DesignError(f"attempt {number}: {sorted(missing)[0]} is missing; add it or remove the attempt.")
    for key in ("said", "answer"):
        if key in part and (isinstance(part[key], bool) or not isinstance(part[key], int | float)):
            raise DesignError(f"attempt {number}: {key} is not a number; write one with a point.")
    if not isinstance(part.get("chosen", []), list):
        raise DesignError(f"attempt {number}: chosen is not a list; write texts between brackets.")
    try:
        return Attempt(**{"said": None, "answer": None, **part, "chosen": tuple(part.get("chosen", []))})
    except DesignError as error:
        raise DesignError(f"attempt {number}: {error}") from None


def save_learner(learner: Learner, file: str | os.PathLike[str]) -> Learner:
    """Write a learner's file as its next revision, in one step and under a lock; a newer one is not overwritten.

    Parameters
    ----------
    learner : what to write
    file : where

    Raises
    ------
    DesignError
        When the file on disk is newer, or cannot be written.
    """
    path = Path(file).resolve()
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise DesignError(f"{path.parent.name}: it cannot be made ({error.strerror or error}).") from None
    text = keeping.keep(
        path, learner.origin, learner.revision, lambda before, revision: as_text(learner, revision), put_away=False
    )
    return _from_text(path, text)


def as_text(learner: Learner, revision: int | None = None) -> str:
    """The text of a learner's file.

    Parameters
    ----------
    learner : what to write
    revision : [-] revision to write, None for the one in hand
    """
    import tomlkit

    document = tomlkit.document()
    document.add(
        tomlkit.comment("What this learner committed in the lessons. The lessons write it; copy it to keep it.")
    )
    document.add("name", tomlkit.item(learner.name))
    document.add("format", tomlkit.item(FORMAT))
    document.add("revision", tomlkit.item(learner.revision if revision is None else revision))
    attempts = tomlkit.aot()
    for one in learner.attempts:
        table = tomlkit.table()
        for name in ("lesson", "task", "said", "answer", "asked_in", "result", "slip", "on"):
            if getattr(one, name) not in ("", None):
                table.add(name, getattr(one, name))
        if one.chosen:
            table.add("chosen", list(one.chosen))
        attempts.append(table)
    document.add("attempt", attempts) if learner.attempts else None
    return tomlkit.dumps(document)


def learners(
    folder: str | os.PathLike[str], broken: Callable[[Path, DesignError], None] | None = None
) -> Iterator[Learner]:
    """All learners whose files lie in a folder, in the order of their files' names.

    Parameters
    ----------
    folder : where
    broken : called with each file that cannot be read and with why; the others follow

    Raises
    ------
    DesignError
        When a file cannot be read and nobody asked to be told; it is named.
    """
    for file in sorted(Path(folder).glob(f"*{END}")):
        if ".mine-" in file.name:
            continue
        try:
            learner = read_learner(file)
        except DesignError as error:
            if broken is None:
                raise
            broken(file, error)
        else:
            yield learner
