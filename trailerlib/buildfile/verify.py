"""A snapshot held against what is computed now from the design in it: every difference by name."""

from __future__ import annotations

import json
import os
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, cast

from trailerlib.buildfile.compare import ABSENT, Cause, Difference, differences
from trailerlib.buildfile.snapshot import FORMAT, KEYS, WITHOUT_SHEET, Tree, hashes, plain, snapshot
from trailerlib.design.design import design_from
from trailerlib.design.errors import DesignError
from trailerlib.design.keeping import parse, read_most
from trailerlib.design.readings import Readings, readings_from

LARGEST_BYTES = 50_000_000
COMPARED = ("project", "libraries", "tables", "code", "results", "test_sheet", "schedules")
RESULTS = ("results.", "test_sheet.", "schedules.")
CAUSES: dict[str, Cause] = {
    "tables": "table changed", "libraries": "library version", "code": "workbook changed",
    "project": "workbook changed",
}  # fmt: skip
STRANGE = "it was not written by this workbook."
KINDS: dict[str, type] = {
    "hashes": dict, "design": dict, "results": dict, "tables": dict, "libraries": dict, "design_file": str, "date": str,
    "project": str, "readings": dict, "test_sheet": dict, "schedules": dict, "code": dict,
}  # fmt: skip


def verify_snapshot(path: str | os.PathLike[str]) -> list[Difference]:
    """Recompute a snapshot from the design in it and name every difference.

    Parameters
    ----------
    path : the snapshot file

    Returns
    -------
    list of Difference
        Empty when it agrees.

    Raises
    ------
    DesignError
        When the file cannot be read or is no snapshot.
    """
    file = Path(path)
    kept = read_snapshot(file)
    fresh = _recomputed(file, kept)
    edited = {key for key, value in hashes(kept).items() if kept["hashes"].get(key) != value}
    found = _design(kept) + _rest(kept, fresh, edited)
    return found + _unplaced(kept, edited, {difference.where.split(".")[0] for difference in found})


def read_snapshot(file: Path) -> Tree:
    """A snapshot as it stands in its file, in any format that is still read.

    Parameters
    ----------
    file : the snapshot file

    Returns
    -------
    dict
        Plain data with the keys of its format.

    Raises
    ------
    DesignError
        When the file cannot be read or is no snapshot.
    """
    return _shaped(file, _read(file))


def _recomputed(file: Path, kept: Tree) -> Tree:
    from trailerlib.buildfile.closing_sheet import filled
    from trailerlib.studies import assess
    from trailerlib.studies.closing.sheet import sheet_of
    from trailerlib.studies.schedules import schedules

    readings = None if kept["format"] == WITHOUT_SHEET else _readings(file, kept)
    try:
        design = design_from(kept["design"])
        if readings is None:
            return snapshot(design, assess(design), kept["design_file"], kept["date"])
        sheet, assessment = filled(sheet_of(design), readings), assess(design, readings.values())
        found = schedules(design, assessment) if kept["format"] == FORMAT else None
        return snapshot(design, assessment, kept["design_file"], kept["date"], sheet, found)
    except RecursionError:
        raise DesignError(f"{file.name}: the design in it is nested too deep; {STRANGE}") from None
    except (ValueError, LookupError, ArithmeticError) as error:
        raise DesignError(f"{file.name}: the design in it cannot be worked out: {error}") from None


def _readings(file: Path, kept: Tree) -> Readings:
    try:
        return readings_from({"reading": kept["readings"]})
    except DesignError as error:
        raise DesignError(f"{file.name}: {error}") from None


def _design(kept: Tree) -> list[Difference]:
    """The design stands in a snapshot twice, as data and as the text of its file: where the two differ."""
    try:
        text = plain(parse(kept["design_file"]))
    except DesignError:
        return [Difference("design_file", "text that is not TOML", "the text of the design file", "design changed")]
    pairs = differences(kept["design"], text, "design")
    return [Difference(where, was, now, "design changed") for where, was, now in pairs]


def _rest(kept: Tree, fresh: Tree, edited: set[str]) -> list[Difference]:
    compared = [key for key in COMPARED if key in kept]
    pairs = [pair for key in compared for pair in differences(kept[key], fresh[key], key)]
    moved: dict[str, list[str]] = {}
    if "code" not in edited and not any(where.startswith(RESULTS) for where, _, _ in pairs):
        pairs = [pair for pair in pairs if not pair[0].startswith("code.")]  # other words, the same numbers
    for where, _, _ in pairs:
        part, _, rest = where.partition(".")
        moved.setdefault(part, []).append(rest)
    return [Difference(where, was, now, *_cause(where.split(".")[0], edited, moved)) for where, was, now in pairs]


def _cause(part: str, edited: set[str], moved: Mapping[str, Sequence[str]]) -> tuple[Cause, tuple[str, ...]]:
    """Why a place differs, and by what: the nearest cause that can be named, the design first."""
    if part in edited:
        return "number altered", ()
    if part in CAUSES:
        return CAUSES[part], ()
    if edited & {"design", "design_file"}:
        return "design changed", ()
    if "readings" in edited:
        return "reading changed", ()
    first = next((key for key in ("tables", "libraries") if key in moved), "code")
    return CAUSES[first], tuple(moved.get(first, ()))


def _unplaced(kept: Tree, edited: set[str], named: set[str]) -> list[Difference]:
    """Parts whose fingerprint does not fit although no value differs: a comment or a fingerprint was edited."""
    if "test_sheet" in named:
        named = named | {"readings"}  # what was read stands there too
    lone = edited - named - {"content"} or edited - named
    if edited != {"content"}:
        lone -= {"content"}
    fresh = hashes(kept)
    return [
        Difference(part if "content" in edited and part != "content" else f"hashes.{part}",
                   kept["hashes"].get(part, ABSENT), fresh[part], "number altered")
        for part in sorted(lone)
    ]  # fmt: skip


def _read(file: Path) -> Any:
    try:
        data = read_most(file, LARGEST_BYTES + 1)
        if len(data) > LARGEST_BYTES:
            raise DesignError(f"{file.name}: it is larger than {LARGEST_BYTES // 1_000_000} MB, which no snapshot is.")
        text = data.decode("utf-8")
        return json.loads(text, parse_constant=_refuse, parse_float=_finite, object_pairs_hook=_once)
    except FileNotFoundError:
        raise DesignError(f"{file.name}: there is no such file; give the path of a snapshot.json.") from None
    except OSError as error:
        raise DesignError(f"{file.name}: it cannot be read ({error.strerror}).") from None
    except DesignError:
        raise
    except (ValueError, RecursionError):
        raise DesignError(f"{file.name}: it is not a snapshot; it is not valid JSON in UTF-8.") from None


def _refuse(word: str) -> float:
    raise ValueError(word)


def _finite(text: str) -> float:
    number = float(text)
    return number if abs(number) < float("inf") else _refuse(text)


def _once(pairs: list[tuple[str, Any]]) -> Tree:
    """A key that stands twice could hide a change."""
    tree = dict(pairs)
    if len(tree) != len(pairs):
        raise ValueError("a key stands twice")
    return tree


def _shaped(file: Path, tree: Any) -> Tree:
    number = tree.get("format") if isinstance(tree, dict) else None
    if isinstance(tree, dict) and "format" in tree and (type(number) is not int or number not in KEYS):
        raise DesignError(
            f"{file.name}: it is in format {ascii(number)[:20]}; this version reads {WITHOUT_SHEET} to {FORMAT}."
        )
    keys = KEYS[number if isinstance(number, int) else WITHOUT_SHEET]
    missing = [key for key in keys if key not in tree] if isinstance(tree, dict) else list(keys)
    if missing:
        raise DesignError(f"{file.name}: it is not a snapshot; it lacks {missing[0]}.")
    for key, kind in KINDS.items():
        if key in keys and not isinstance(tree[key], kind):
            raise DesignError(f"{file.name}: {key} in it is not what it should be; {STRANGE}")
    strange = sorted(set(tree) - set(keys)) + sorted(set(tree["hashes"]) - {*keys, "content"})
    if strange:
        raise DesignError(f"{file.name}: it holds {ascii(strange[0])[:40]}, which no snapshot has; {STRANGE}")
    return cast(Tree, tree)
