"""The class sheet for the owner: what each learner committed in each lesson, as a CSV that no spreadsheet runs."""

from __future__ import annotations

import csv
import io
import os
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from types import MappingProxyType

from trailerlib.buildfile.free_place import write_free
from trailerlib.design.learner import Attempt, Learner, learners, learners_folder
from trailerlib.studies.lessons.book import LESSONS

HEADS = (
    "Learner", "Lesson", "Title", "Said first", "Answer", "Unit", "Said over answer", "Result", "Slip",
    "Transfer tries", "Transfer right", "Problems tried", "Problems right", "Commonest slip", "Last day",
    "Not read",
)  # fmt: skip
NAME = "class sheet"
STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r", "'")


def write_class_sheet(folder: str | os.PathLike[str], source: str | os.PathLike[str] | None = None) -> Path:
    """Write the class sheet of all learners whose files lie in a folder; what cannot be read has a line that says why.

    Parameters
    ----------
    folder : where it is written; it is made when it does not exist, and nothing there is overwritten
    source : where the learners' files lie; default is the workbook's folder

    Raises
    ------
    DesignError
        When the folder cannot be written.
    """
    broken: dict[str, str] = {}
    where = learners_folder() if source is None else source
    everybody = list(learners(where, lambda file, error: broken.update({file.name: str(error)})))
    return write_free(Path(folder), NAME, ".csv", class_sheet(everybody, broken).encode("utf-8-sig"))


def class_sheet(everybody: Iterable[Learner], broken: Mapping[str, str] = MappingProxyType({})) -> str:
    """The class sheet as text: a line for each learner and each lesson that was begun.

    Parameters
    ----------
    everybody : the learners
    broken : files that could not be read, by their names, and why
    """
    out = io.StringIO()
    lines = csv.writer(out, lineterminator="\r\n")
    lines.writerow(HEADS)
    for learner in everybody:
        lines.writerows([safe(cell) for cell in (*row, "")] for row in _rows(learner))
    for name, why in broken.items():
        lines.writerow([safe(name), *[""] * (len(HEADS) - 2), safe(why)])
    return out.getvalue()


def safe(cell: str | float | None) -> str:
    """A cell that a spreadsheet takes for what it is: a number as a number, a text never as a formula.

    Parameters
    ----------
    cell : [-] number, text or nothing
    """
    if cell is None:
        return ""
    if isinstance(cell, int | float):
        return f"{cell:.6g}"
    return f"'{cell}" if cell.startswith(STARTS_A_FORMULA) else cell


def _rows(learner: Learner) -> Iterator[list[str | float | None]]:
    for key in dict.fromkeys(one.lesson for one in learner.attempts):
        here = [one for one in learner.attempts if one.lesson == key]
        first = next((one for one in here if one.task == "question"), None)
        title = LESSONS[key].title if key in LESSONS else ""
        transfer = [one for one in here if one.task == "transfer"]
        bench = [one for one in here if one.task not in ("question", "transfer")]
        yield [
            learner.name, key, title, *_question(first),
            len(transfer), _yes(transfer), len({one.task for one in bench}),
            len({one.task for one in bench if one.result == "right"}), _commonest(here),
            max(one.on for one in here),
        ]  # fmt: skip


def _question(first: Attempt | None) -> list[str | float | None]:
    if first is None:
        return [None, None, "", None, "not begun", ""]
    return [first.said, first.answer, first.asked_in, first.ratio, first.result, first.slip]


def _yes(tries: list[Attempt]) -> str:
    return "" if not tries else "yes" if any(one.result == "right" for one in tries) else "no"


def _commonest(attempts: list[Attempt]) -> str:
    slips = Counter(one.slip for one in attempts if one.slip)
    return slips.most_common(1)[0][0] if slips else ""
