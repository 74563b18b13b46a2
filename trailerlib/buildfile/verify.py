"""A snapshot held against what is computed now from the design in it: every difference by name."""

from __future__ import annotations

import json
import os
import tomllib
from pathlib import Path
from typing import Any, cast

from trailerlib.buildfile.compare import ABSENT, Cause, Difference, differences
from trailerlib.buildfile.snapshot import FORMAT, KEYS, WITHOUT_SHEET, Tree, hashes, plain, snapshot
from trailerlib.design.design import design_from
from trailerlib.design.errors import DesignError
from trailerlib.design.readings import Readings, readings_from

LARGEST_BYTES = 50_000_000
STRANGE = "it was not written by this workbook."
KINDS: dict[str, type] = {
    "hashes": dict, "design": dict, "results": dict, "tables": dict, "libraries": dict, "design_file": str, "date": str,
    "project": str, "readings": dict, "test_sheet": dict,
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
    kept = _shaped(file, _read(file))
    fresh = _recomputed(file, kept)
    edited = {key for key, value in hashes(kept).items() if kept["hashes"].get(key) != value}
    found = _design(kept) + _rest(kept, fresh, edited)
    return found + _unplaced(kept, edited, {difference.where.split(".")[0] for difference in found})


def _recomputed(file: Path, kept: Tree) -> Tree:
    from trailerlib.buildfile.closing_sheet import filled
    from trailerlib.studies import assess
    from trailerlib.studies.closing.sheet import sheet_of

    readings = None if kept["format"] == WITHOUT_SHEET else _readings(file, kept)
    try:
        design = design_from(kept["design"])
        if readings is None:
            return snapshot(design, assess(design), kept["design_file"], kept["date"])
        sheet = filled(sheet_of(design), readings)
        return snapshot(design, assess(design, readings.values()), kept["design_file"], kept["date"], sheet)
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
        text = plain(tomllib.loads(kept["design_file"]))
    except (tomllib.TOMLDecodeError, RecursionError):
        return [Difference("design_file", "text that is not TOML", "the text of the design file", "design changed")]
    pairs = differences(kept["design"], text, "design")
    return [Difference(where, was, now, "design changed") for where, was, now in pairs]


def _rest(kept: Tree, fresh: Tree, edited: set[str]) -> list[Difference]:
    compared = [key for key in ("project", "libraries", "tables", "results", "test_sheet") if key in kept]
    pairs = [pair for key in compared for pair in differences(kept[key], fresh[key], key)]
    parts = {where.split(".")[0] for where, _, _ in pairs}
    return [
        Difference(where, was, now, _cause(where.split(".")[0], edited, "tables" in parts)) for where, was, now in pairs
    ]


def _cause(part: str, edited: set[str], tables_changed: bool) -> Cause:
    if part in edited:
        return "number altered"
    if part == "tables":
        return "table changed"
    if part not in ("results", "test_sheet"):
        return "library version"
    if edited & {"design", "design_file"}:
        return "design changed"
    if "readings" in edited:
        return "reading changed"
    return "table changed" if tables_changed else "library version"


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
        if file.stat().st_size > LARGEST_BYTES:
            raise DesignError(f"{file.name}: it is larger than {LARGEST_BYTES // 1_000_000} MB, which no snapshot is.")
        text = file.read_bytes().decode("utf-8")
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
            f"{file.name}: it is in format {ascii(number)[:20]}; this version reads {WITHOUT_SHEET} and {FORMAT}."
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
