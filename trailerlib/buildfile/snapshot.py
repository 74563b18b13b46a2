"""The snapshot: everything that was computed, and from what, so that any later change can be named."""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Mapping, Sequence
from functools import lru_cache
from importlib.metadata import version
from pathlib import Path
from typing import Any, cast

import trailerlib
from trailerlib import reference, units
from trailerlib.buildfile.closing_sheet import Filled
from trailerlib.design.design import Design
from trailerlib.design.reading import Reading
from trailerlib.design.readings import as_line
from trailerlib.studies.answer import Answer, Assessment, Beside, Column, Quantity
from trailerlib.studies.closing.kept_readings import Measured
from trailerlib.studies.schedules import Schedule

WITHOUT_SHEET, WITHOUT_SCHEDULES, FORMAT = 1, 2, 3  # earlier ones had no test sheet, no schedules; they are still read
LIBRARIES = {
    WITHOUT_SHEET: ("numpy", "pydantic", "pint"),
    WITHOUT_SCHEDULES: ("numpy", "pydantic", "pint"),
    FORMAT: ("numpy", "pandas", "pint", "psychrolib", "pvlib", "pydantic", "scipy"),
}
CODE = ("design", "physics", "rules", "studies")  # the floors that make the numbers
UNSIGNED = ("date", "hashes")
_FIRST = ("format", "project", "libraries", "tables", "design", "design_file", "results")
KEYS = {
    WITHOUT_SHEET: (*_FIRST, *UNSIGNED),
    WITHOUT_SCHEDULES: (*_FIRST, "readings", "test_sheet", *UNSIGNED),
    FORMAT: (*_FIRST, "readings", "test_sheet", "schedules", "code", *UNSIGNED),
}

Tree = dict[str, Any]


def snapshot(
    design: Design,
    assessment: Assessment,
    design_file: str,
    date: str,
    sheet: Filled | None = None,
    schedules: Mapping[str, Schedule] | None = None,
) -> Tree:
    """Everything the build file says, as plain data with its fingerprints.

    Parameters
    ----------
    design : the design
    assessment : every study of it
    design_file : the text of the design file
    date : year, month and day as text; the one thing no fingerprint covers
    sheet : the test sheet with its readings; without it the snapshot is in the first format
    schedules : what is built and bought from, by key; without them it is in an earlier format

    Returns
    -------
    dict
        Plain data; ``hashes`` holds a fingerprint of every part, and ``content`` of all of them.
    """
    number = WITHOUT_SHEET if sheet is None else WITHOUT_SCHEDULES if schedules is None else FORMAT
    kept: Tree = {} if sheet is None else {"readings": _readings(sheet), "test_sheet": _lines(sheet)}
    if number == FORMAT and schedules is not None:
        kept |= {"schedules": {key: _schedule(one) for key, one in schedules.items()}, "code": code_hashes()}
    results = {question: _answer(answer, number == FORMAT) for question, answer in assessment.answers.items()}
    body = {
        **_present(number), "design": plain(design.raw), "design_file": design_file, "results": results, **kept,
    }  # fmt: skip
    return {**body, "date": date, "hashes": hashes(body)}


def written(tree: Mapping[str, Any]) -> bytes:
    """A snapshot as the bytes of its file: sorted keys, one a line, UTF-8.

    Parameters
    ----------
    tree : what ``snapshot`` gave

    Returns
    -------
    bytes
        The same tree gives the same bytes.
    """
    return (json.dumps(tree, sort_keys=True, indent=1, ensure_ascii=False, allow_nan=False) + "\n").encode()


def _present(number: int) -> Tree:
    return {
        "format": number,
        "project": trailerlib.__version__,
        "libraries": {name: version(name) for name in LIBRARIES[number]},
        "tables": table_hashes(),
    }


def table_hashes() -> dict[str, str]:
    """The fingerprint of every table of published values and of the catalogue, by folder and name.

    Returns
    -------
    dict of str to str
        Such as ``tables/wire_awg``: its SHA-256.
    """
    root = reference.data_root()
    files = sorted(file for folder in ("tables", "catalogue") for file in (root / folder).glob("*.csv"))
    return {f"{file.parent.name}/{file.stem}": hashlib.sha256(file.read_bytes()).hexdigest() for file in files}


@lru_cache(maxsize=1)
def code_hashes() -> dict[str, str]:
    """The fingerprint of each part of the workbook that makes the numbers, as it was when first asked for.

    Returns
    -------
    dict of str to str
        By the name of the floor, ``units`` for quantities and times: SHA-256 of all its text, whatever the line ends.
    """
    root = Path(trailerlib.__file__).parent
    parts = {name: sorted((root / name).rglob("*.py")) for name in CODE}
    parts["units"] = [root / name for name in ("quantities.py", "times.py", "units.py")]
    return {name: _text_hash(root, files) for name, files in parts.items()}


def _text_hash(root: Path, files: Sequence[Path]) -> str:
    digest = hashlib.sha256()
    for file in files:
        digest.update(file.relative_to(root).as_posix().encode() + b"\0")
        digest.update(file.read_bytes().replace(b"\r\n", b"\n") + b"\0")
    return digest.hexdigest()


def hashes(tree: Mapping[str, Any]) -> dict[str, str]:
    """A fingerprint of every part of a snapshot, and ``content`` of all of them together.

    Parameters
    ----------
    tree : the snapshot; its date and its fingerprints are left out

    Returns
    -------
    dict of str to str
        SHA-256 of each part.
    """
    body = {key: tree[key] for key in KEYS[tree["format"]] if key not in UNSIGNED}
    return {**{key: _hash(value) for key, value in body.items()}, "content": _hash(body)}


def _hash(value: Any) -> str:
    text = json.dumps(value, sort_keys=True, ensure_ascii=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()


def _readings(sheet: Filled) -> Tree:
    """What was measured as it stands in the file of readings: the input of the recomputation, as the design is."""
    kept = {one.expected.line.key: one.reading for one in sheet.lines} | dict(sheet.left_over)
    return {key: as_line(one) for key, one in kept.items() if one is not None}


def _lines(sheet: Filled) -> Tree:
    """Every line with what it should read, its band, what was read, when and by whom, and what that says."""
    left = {
        key: {"verdict": "no longer on the sheet", **_taken(key, one)} for key, one in sorted(sheet.left_over.items())
    }
    return {**{one.expected.line.key: _line(one) for one in sheet.lines}, **left}


def _line(one: Measured) -> Tree:
    line, expected = one.expected.line, one.expected
    taken = {} if one.reading is None else _taken(line.key, one.reading)
    return cast(Tree, plain({
        "stage": line.stage, "where": line.where, "state": line.state, "setting": line.setting, "asks": line.asks,
        "routine": line.routine, "expected": expected.value, "spread": expected.spread, "low": expected.low,
        "high": expected.high, "missing": expected.missing, "verdict": one.verdict, **taken,
    }))  # fmt: skip


def _taken(key: str, one: Reading) -> Tree:
    """A reading as kept beside its line; the fingerprint tells when number and line were both altered."""
    return {
        "measured": one.value, "on": one.on, "by": one.by, "note": one.note, "fingerprint": _hash([key, as_line(one)]),
    }  # fmt: skip


def _answer(answer: Answer, with_units: bool) -> Tree:
    return cast(Tree, plain({
        "title": answer.title, "system": answer.system, "sentence": answer.sentence, "word": answer.word,
        "numbers": {key: _number(one, with_units) for key, one in answer.numbers.items()},
        "columns": {one.key: _column(one, with_units) for one in answer.columns},
        "rows": [dict(row) for row in answer.rows],
        **({"besides": [_beside(one) for one in answer.besides], "order": _order(answer)} if with_units else {}),
        "findings": [
            {**vars(check), "text": check.text(answer.system), "mend": check.mend(answer.system)}
            for check in answer.checks
        ],
        "working": [vars(step) for step in answer.working],
    }))  # fmt: skip


def _number(one: Quantity, with_unit: bool) -> Tree:
    told = {"title": one.title, "value": one.value, "kind": one.kind}
    return {**told, "unit": inside_unit(one.kind)} if with_unit else told


def _column(one: Column, with_unit: bool) -> Tree:
    told = {"title": one.title, "kind": one.kind}
    return {**told, "unit": inside_unit(one.kind)} if with_unit else told


def _beside(one: Beside) -> Tree:
    """A smaller table of an answer: what it is about, its columns, its rows, what is to be known of them."""
    columns = {column.key: _column(column, True) for column in one.columns}
    rows = [dict(row) for row in one.rows]
    return {"title": one.title, "columns": columns, "order": _order(one), "rows": rows, "note": one.note}


def _order(one: Answer | Beside | Schedule) -> list[str]:
    """The columns from left to right, which a mapping with sorted keys no longer says."""
    return [column.key for column in one.columns]


def _schedule(one: Schedule) -> Tree:
    return cast(Tree, plain({
        "title": one.title, "note": one.note, "missing": list(one.missing),
        "numbers": {key: _number(number, True) for key, number in one.numbers.items()},
        "columns": {column.key: _column(column, True) for column in one.columns}, "order": _order(one),
        "rows": [dict(row) for row in one.rows],
        "working": [vars(step) for step in one.working],
    }))  # fmt: skip


def inside_unit(kind: str) -> str:
    """The unit every number of a kind is kept in; nothing for texts and plain counts.

    Parameters
    ----------
    kind : one of the names in ``units.KINDS``, or any other

    Returns
    -------
    str
        Such as ``meter``; a fraction is kept from 0 to 1.
    """
    if kind in ("fraction", ""):
        return ""
    if kind in units.KINDS:
        return units.KINDS[kind].inside
    return {"clock": "hours after midnight", "duration": "hour"}.get(kind, "")


def plain(node: Any) -> Any:
    """Mappings, lists, texts, whole numbers and floats only; what is not finite becomes a text.

    Parameters
    ----------
    node : anything an answer or a design file holds

    Returns
    -------
    any
        What JSON can hold.
    """
    if isinstance(node, Mapping):
        return {str(key): plain(child) for key, child in node.items()}
    if isinstance(node, list | tuple):
        return [plain(child) for child in node]
    if node is None or isinstance(node, str | bool | int):
        return node
    number = float(node)
    return steady(number) if math.isfinite(number) else str(number)


def steady(number: float) -> float:
    """A number without its last digits, which depend on the processor that worked it out.

    Parameters
    ----------
    number : [any] what was worked out

    Returns
    -------
    [the same] to 13 significant digits
    """
    return float(f"{number:.13g}")
