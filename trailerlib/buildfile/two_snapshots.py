"""Two snapshots side by side: what was changed in the design, and what that did to every answer and schedule."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from trailerlib import units
from trailerlib.buildfile.snapshot import Tree, hashes
from trailerlib.buildfile.verify import STRANGE, read_snapshot
from trailerlib.design.errors import DesignError
from trailerlib.rules.finding import MARKS, ORDER
from trailerlib.studies import STUDIES, WITH_READINGS
from trailerlib.studies.answer import Column, Quantity
from trailerlib.studies.schedules import KEYS as ORDER_OF_SCHEDULES

NAMES = ("name", "tag", "part", "number")  # where the order of the columns is not kept
MOST_KEYS = 2  # columns that say what a row is about
OPEN = tuple(word for word in ORDER if word != "holds")


@dataclass(frozen=True)
class Comparison:
    """One sentence a change: in the design; in what else the numbers rest on; in the answers and schedules by title.

    ``too_small`` counts the numbers that moved by less than is shown.
    """

    design: tuple[str, ...]
    beside: tuple[str, ...]
    results: Mapping[str, tuple[str, ...]]
    too_small: int

    def text(self) -> str:
        """All of it as plain text."""
        lines = ["What was changed in the design:", *_indented(self.design or ("Nothing.",))]
        if self.beside:
            lines += ["", "What else is not the same:", *_indented(self.beside)]
        lines += ["", "What it did:"] + ([] if self.results else _indented(("Nothing that is shown.",)))
        for title, told in self.results.items():
            lines += [f"  {title}", *_indented(_indented(told))]
        if self.too_small:
            lines += _indented([f"{self.too_small} more numbers moved by less than the three figures that are shown."])
        return "\n".join(lines)


def compare_snapshots(before: str | os.PathLike[str], after: str | os.PathLike[str]) -> Comparison:
    """What changed from one snapshot to another, and what it did.

    Parameters
    ----------
    before : the earlier snapshot file
    after : the later one; both may be in any format that is still read

    Returns
    -------
    Comparison
        Its ``text()`` is for a person.

    Raises
    ------
    DesignError
        When one of the files cannot be read or is no snapshot.
    """
    files = Path(before), Path(after)
    was, now = (read_snapshot(file) for file in files)
    try:
        return _compared(was, now, files)
    except (KeyError, TypeError, AttributeError, ValueError, IndexError, RecursionError):
        raise DesignError(
            f"{files[0].name}, {files[1].name}: one of them is not laid out as it should be; {STRANGE}"
        ) from None


def _compared(was: Tree, now: Tree, files: Sequence[Path]) -> Comparison:
    told: dict[str, tuple[str, ...]] = {}
    too_small = 0
    for part in ("results", "schedules"):
        before, after = was.get(part, {}), now.get(part, {})
        for key in sorted({*before, *after}, key=_place):
            title = _title(before.get(key) or after[key])
            if key not in before or key not in after:
                told[title] = (f"Stands in the {'later' if key in after else 'earlier'} snapshot only.",)
                continue
            lines, small = _answer(before[key], after[key], now)
            too_small += small
            if lines:
                told[title] = tuple(lines)
    changed = tuple(_design(was["design"], now["design"], ""))
    return Comparison(changed, tuple(_beside(was, now, files)), told, too_small)


def _place(key: str) -> tuple[int, str]:
    """Questions and schedules in the order they are asked and printed."""
    known = [*STUDIES, *WITH_READINGS, *ORDER_OF_SCHEDULES]
    return (known.index(key) if key in known else len(known), key)


def _title(tree: Any) -> str:
    return _line(str(tree["title"]))


def _design(was: Any, now: Any, where: str) -> Iterator[str]:
    """Every value that differs; parts of lists by their name, so that one more does not move the others."""
    if isinstance(was, Mapping) and isinstance(now, Mapping):
        for key in [*was, *(key for key in now if key not in was)]:
            yield from _design(was.get(key), now.get(key), f"{where}, {_line(key)}" if where else _line(key))
    elif _named(was) and _named(now):
        old, new = ({part["name"]: part for part in parts} for parts in (was, now))
        for name in [*old, *(name for name in new if name not in old)]:
            place = f"{where} “{_line(name)}”"
            if name in old and name in new:
                yield from _design(old[name], new[name], place)
            else:
                yield f"{place}: {'removed' if name in old else 'added'}."
    elif was != now:
        yield f"{where}: {_value(was)} → {_value(now)}."


def _named(parts: Any) -> bool:
    """Whether it is a list whose parts all have a name of their own."""
    if not isinstance(parts, list) or not all(isinstance(p, Mapping) and isinstance(p.get("name"), str) for p in parts):
        return False
    return len({part["name"] for part in parts}) == len(parts)


def _value(value: Any) -> str:
    if value is None:
        return "not given"
    return _line(", ".join(map(str, value)) if isinstance(value, list) else str(value))


def _beside(was: Tree, now: Tree, files: Sequence[Path]) -> Iterator[str]:
    for file, tree in zip(files, (was, now), strict=True):
        edited = sorted(
            key for key, value in hashes(tree).items() if tree["hashes"].get(key) != value and key != "content"
        )
        if edited:
            yield f"{file.name}: edited after it was written: {', '.join(edited)}."
    if was["project"] != now["project"]:
        yield f"The workbook: version {_line(was['project'])} → {_line(now['project'])}."
    for part, word in (("libraries", "Library"), ("tables", "Table")):
        for key in sorted({*was[part], *now[part]}):
            old, new = was[part].get(key), now[part].get(key)
            if old != new and part == "libraries":
                yield f"{word} {_line(key)}: {_value(old)} → {_value(new)}."
            elif old != new:
                yield f"{word} {_line(key)} is not the same."
    if "code" in was and "code" in now and was["code"] != now["code"]:
        rooms = [key for key in sorted(now["code"]) if was["code"].get(key) != now["code"][key]]
        yield f"The workbook itself was changed: {_line(', '.join(rooms))}."


def _answer(was: Tree, now: Tree, tree: Tree) -> tuple[list[str], int]:
    """What an answer or a schedule says otherwise, and how many numbers moved by less than is shown."""
    system = _system(now, tree)
    told: list[str] = []
    if "word" in now and (was["word"], was["sentence"]) != (now["word"], now["sentence"]):
        told.append(f"{_said(was)} → {_said(now)}")
    numbers, small = _numbers(was["numbers"], now["numbers"], system)
    told += numbers
    told += list(_findings(was.get("findings", []), now.get("findings", [])))
    pairs = [(was, now)]
    earlier = {one["title"]: one for one in was.get("besides", [])}
    pairs += [(earlier[one["title"]], one) for one in now.get("besides", []) if one["title"] in earlier]
    for old, new in pairs:
        lines, less = _table(old, new, system)
        told, small = told + lines, small + less
    return told, small


def _system(now: Tree, tree: Tree) -> units.System:
    said = now.get("system", tree["design"].get("units", "us"))
    return "metric" if said == "metric" else "us"


def _said(answer: Tree) -> str:
    word = answer["word"]
    return f"{MARKS.get(word, '?')} {_line(str(word))}: {_line(str(answer['sentence']), 200)}"


def _numbers(was: Tree, now: Tree, system: units.System) -> tuple[list[str], int]:
    told, small = [], 0
    for key in [*was, *(key for key in now if key not in was)]:
        if key not in was or key not in now:
            told.append(f"{_line(str((was.get(key) or now[key])['title']))}: {'gone' if key in was else 'new'}.")
            continue
        old, new = was[key], now[key]
        texts = [_quantity(one, system) for one in (old, new)]
        if texts[0] != texts[1]:
            told.append(f"{_line(str(new['title']))}: {texts[0]} → {texts[1]}.")
        elif old["value"] != new["value"]:
            small += 1
    return told, small


def _quantity(one: Tree, system: units.System) -> str:
    if one["kind"] == "money":
        return "–" if one["value"] is None else f"{one['value']:.2f}"
    return Quantity(one["title"], one["value"], one["kind"]).text(system)


def _findings(was: Sequence[Tree], now: Sequence[Tree]) -> Iterator[str]:
    """Findings that came, went or changed their severity; what holds on both sides is not told."""
    old, new = ({(f["rule"], f["subject"]): f for f in side} for side in (was, now))
    for key in [*old, *(key for key in new if key not in old)]:
        before, after = (side[key]["severity"] if key in side else "holds" for side in (old, new))
        if before == after or (before not in OPEN and after not in OPEN):
            continue
        if after in OPEN:
            mark, text = MARKS.get(after, "?"), _line(str(new[key]["text"]), 200)
            yield f"{mark} {_line(after)} (before: {_line(before)}): {text}"
        else:
            yield f"{MARKS['holds']} settled ({_line(before)} before): {_line(str(old[key]['text']), 200)}"


def _table(was: Tree, now: Tree, system: units.System) -> tuple[list[str], int]:
    """Rows that came or went, and cells that read otherwise; rows are matched by what stands in their first column."""
    keys = now.get("order") or sorted(now["columns"], key=lambda key: (key not in NAMES, key))
    columns = [Column(key, str(now["columns"][key]["title"]), str(now["columns"][key]["kind"])) for key in keys]
    telling = _telling((was["rows"], now["rows"]), keys)
    old, new = (_by_name(side["rows"], telling) for side in (was, now))
    told = [f"{_line(name)}: no longer there." for name in old if name not in new]
    small = 0
    for name, row in new.items():
        if name not in old:
            told.append(f"{_line(name)}: new.")
            continue
        changes = []
        for column in columns:
            before, after = old[name].get(column.key), row.get(column.key)
            texts = [_cell(column, value, system) for value in (before, after)]
            if texts[0] != texts[1]:
                changes.append(f"{_line(column.head(system))} {texts[0]} → {texts[1]}")
            elif before != after:
                small += 1
        if changes:
            told.append(f"{_line(name)}: {'; '.join(changes)}.")
    return told, small


def _telling(sides: Sequence[Sequence[Tree]], keys: Sequence[str]) -> list[str]:
    """As many of the first columns of text as tell the rows of both sides apart, at most two."""
    texts = [key for key in keys if all(isinstance(row.get(key), str) for rows in sides for row in rows)][:MOST_KEYS]
    one = texts[:1]
    return one if all(len({_joined(row, one) for row in rows}) == len(rows) for rows in sides) else texts


def _by_name(rows: Sequence[Tree], keys: Sequence[str]) -> dict[str, Tree]:
    """Rows by what they are about; the second of the same name by its place among them."""
    found: dict[str, Tree] = {}
    for row in rows:
        name = first = _joined(row, keys)
        place = 1
        while name in found:
            place += 1
            name = f"{first} ({place})"
        found[name] = row
    return found


def _joined(row: Tree, keys: Sequence[str]) -> str:
    return ", ".join(str(row[key]) for key in keys)


def _cell(column: Column, value: Any, system: units.System) -> str:
    if isinstance(value, bool | str) or value is None:
        return "–" if value is None else _line(str(value))
    if column.kind in units.KINDS:
        return column.cell(float(value), system)
    return _line(f"{value:.6g}" if isinstance(value, float) else str(value))


def _line(text: Any, limit: int = 120) -> str:
    return units.shorten(str(text), limit)


def _indented(lines: Sequence[str]) -> list[str]:
    return [f"  {line}" for line in lines]
