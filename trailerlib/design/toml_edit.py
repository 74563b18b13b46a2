"""Change values in a TOML text and leave every other character where it was.

The usual round-trip library moves tables that are written out of order, and with them
the comments between them. Here a change touches only the lines it is about; the result
is read back, and a text that does not say what was wanted is never returned.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

_LINE = re.compile(r"[^\n]*\n|[^\n]+")  # a comment may hold other marks that end a line elsewhere
Path = tuple[Any, ...]  # keys, and a position after the key of a list of tables


class EditError(ValueError):
    """The change cannot be made in the text; it has to be written anew."""


@dataclass
class Statement:
    """One ``key = value``, over one line or several; ``path`` leads to it from the top of the file."""

    path: Path
    start: int
    end: int


@dataclass
class Section:
    """A header and what stands under it; the first section has none and begins at line 0."""

    path: Path
    header: int | None
    statements: list[Statement] = field(default_factory=list)

    @property
    def end(self) -> int:
        """The line after the last one that belongs to it."""
        if self.statements:
            return self.statements[-1].end
        return 0 if self.header is None else self.header + 1


def edited(text: str, wanted: Mapping[str, Any], lists: Sequence[str]) -> str:
    """The text with just those values changed that differ from what is wanted.

    Parameters
    ----------
    text : a valid TOML text
    wanted : the plain data it should hold afterwards
    lists : the keys that are lists of tables, each table with a name

    Raises
    ------
    EditError
        When the text cannot be changed so that it says what is wanted.
    """
    newline = "\r\n" if "\r\n" in text else "\n"
    editor = _Editor(_LINE.findall(text), newline, frozenset(lists))
    editor.merge((), tomllib.loads(text), wanted)
    result = "".join(editor.lines)
    if tomllib.loads(result) != wanted:
        raise EditError("the text cannot be changed in place")
    return result


class _Editor:
    def __init__(self, lines: list[str], newline: str, lists: frozenset[str]) -> None:
        self.lines, self.newline, self.lists = lines, newline, lists
        self.sections = list(_sections(lines))

    def merge(self, path: Path, now: Mapping[str, Any], wanted: Mapping[str, Any]) -> None:
        """Make the table at a path say what is wanted."""
        for key in now:
            if key not in wanted:
                self.remove((*path, key))
        if path and not wanted and now and not self._has_header(path):
            self.put(path, {})
        for key, value in wanted.items():
            here = now.get(key)
            if here == value and type(here) is type(value):
                continue
            if isinstance(here, Mapping) and self._is_one_value((*path, key)):
                self.put((*path, key), value)
            elif isinstance(value, Mapping) and (isinstance(here, Mapping) or (here is None and value)):
                self.merge((*path, key), here or {}, value)
            elif not path and key in self.lists and here and not value:
                self.remove((key,))
                self.put((key,), value)
            elif not path and key in self.lists and isinstance(here, list):
                self.merge_list((key,), here, value)
            else:
                self.put((*path, key), value)

    def merge_list(self, path: Path, now: list[Any], wanted: list[Any]) -> None:
        """Make a list of tables say what is wanted: by position, else by name."""
        if len(now) == len(wanted):
            for position, (here, value) in enumerate(zip(now, wanted, strict=True)):
                self.merge((*path, position), here, value)
            return
        kept = [part for part in wanted if part in now]
        if [part for part in now if part in wanted] != kept:
            raise EditError("the order has changed")
        for position in reversed(range(len(now))):
            if now[position] not in wanted:
                self.remove((*path, position))
        for position, part in enumerate(wanted):
            if part not in now:
                self.insert((*path, position), part)

    def _has_header(self, path: Path) -> bool:
        return any(section.path == path and section.header is not None for section in self.sections)

    def _is_one_value(self, path: Path) -> bool:
        """Whether a table is written as the value of one key, ``{ … }``."""
        return any(statement.path == path for section in self.sections for statement in section.statements)

    def put(self, path: Path, value: Any) -> None:
        """Set one value: where it stands, else as a new line where its neighbours stand."""
        for section in self.sections:
            for statement in section.statements:
                if statement.path == path:
                    self._rewrite(statement, value)
                    return
                if statement.path == path[: len(statement.path)]:
                    raise EditError("it stands inside another value")
        owner = max(
            (s for s in self.sections if s.path == path[: len(s.path)] and (s.header is not None or not s.path)),
            key=lambda s: len(s.path),
            default=None,
        )
        if owner is None or (not owner.path and len(path) > 1):
            self._append_table(path[:-1], {path[-1]: value})
            return
        keys = ".".join(_key(step) for step in path[len(owner.path) :])
        self._insert_lines(owner.end, [f"{keys} = {_value(value)}"])

    def remove(self, path: Path) -> None:
        """Take away a value or a whole table with its lines."""
        spans = []
        for section in self.sections:
            if section.header is not None and section.path[: len(path)] == path:
                spans.append((section.header, section.end))
            else:
                spans += [(s.start, s.end) for s in section.statements if s.path[: len(path)] == path]
        for start, end in sorted(spans, reverse=True):
            blank_around = start > 0 and not self.lines[start - 1].strip() and self._blank(end)
            del self.lines[start : end + (1 if blank_around else 0)]
        self.sections = list(_sections(self.lines))

    def insert(self, path: Path, part: Mapping[str, Any]) -> None:
        """Write a new table of a list behind the one before it."""
        *start, position = path
        before = (*start, position - 1)
        last = [s for s in self.sections if s.path[: len(before)] == before] if position > 0 else []
        line = max((s.end for s in last), default=len(self.lines))
        header = f"[[{'.'.join(_key(step) for step in start)}]]"
        self._insert_lines(line, ["", header, *(f"{_key(k)} = {_value(v)}" for k, v in part.items())])

    def _append_table(self, path: Path, table: Mapping[str, Any]) -> None:
        if any(isinstance(step, int) for step in path):
            raise EditError("there is no such table in the list")
        header = f"[{'.'.join(_key(step) for step in path)}]"
        self._insert_lines(len(self.lines), ["", header, *(f"{_key(k)} = {_value(v)}" for k, v in table.items())])

    def _insert_lines(self, at: int, lines: list[str]) -> None:
        if at > 0 and not self.lines[at - 1].endswith("\n"):
            self.lines[at - 1] += self.newline
        self.lines[at:at] = [line + self.newline for line in lines]
        self.sections = list(_sections(self.lines))

    def _blank(self, line: int) -> bool:
        return line >= len(self.lines) or not self.lines[line].strip()

    def _rewrite(self, statement: Statement, value: Any) -> None:
        chunk = "".join(self.lines[statement.start : statement.end])
        equals = _outside_quotes(chunk, "=")
        body = chunk[equals + 1 :]
        lead = body[: len(body) - len(body.lstrip(" \t"))]
        tail = _tail(body)
        self.lines[statement.start : statement.end] = [chunk[: equals + 1] + lead + _value(value) + tail]
        self.sections = list(_sections(self.lines))


def _sections(lines: list[str]) -> Iterator[Section]:
    """The headers of a text in order, each with its statements; positions in lists of tables are counted."""
    counts: dict[Path, int] = {}
    section = Section((), None)
    line = 0
    while line < len(lines):
        text = lines[line].strip()
        if not text or text.startswith("#"):
            line += 1
        elif text.startswith("["):
            yield section
            section = Section(_header_path(text, counts), line)
            line += 1
        else:
            end = _statement_end(lines, line)
            keys = _keys("".join(lines[line:end]))
            section.statements.append(Statement((*section.path, *keys), line, end))
            line = end
    yield section


def _header_path(text: str, counts: dict[Path, int]) -> Path:
    many = text.startswith("[[")
    keys = _only_path(tomllib.loads(text))
    path: Path = ()
    for place, key in enumerate(keys):
        path = (*path, key)
        if many and place == len(keys) - 1:
            counts[path] = counts.get(path, -1) + 1
        if path in counts:
            path = (*path, counts[path])
    return path


def _only_path(table: Any) -> list[str]:
    keys: list[str] = []
    while table:
        (key,) = table
        keys.append(key)
        table = table[key][0] if isinstance(table[key], list) else table[key]
    return keys


def _statement_end(lines: list[str], start: int) -> int:
    """A statement goes on until it is valid on its own; most do on their first line."""
    for end in range(start + 1, len(lines) + 1):
        try:
            tomllib.loads("".join(lines[start:end]))
        except tomllib.TOMLDecodeError:
            continue
        return end
    raise EditError("a value has no end")


def _keys(chunk: str) -> list[str]:
    """The key path on the left of a statement."""
    left = chunk[: _outside_quotes(chunk, "=")]
    keys: list[str] = []
    table: Any = tomllib.loads(f"{left} = 0")
    while isinstance(table, dict):
        (key,) = table
        keys.append(key)
        table = table[key]
    return keys


def _outside_quotes(text: str, wanted: str) -> int:
    quote: str | None = None
    for place, letter in enumerate(text):
        if quote is not None:
            if letter == quote and not (quote == '"' and text[place - 1] == "\\"):
                quote = None
        elif letter in "\"'":
            quote = letter
        elif letter == wanted:
            return place
    raise EditError(f"no {wanted} in {text!r}")


def _tail(body: str) -> str:
    """What follows the value: spaces, a comment, the end of the line. The longest tail that is no part of the value."""
    whole = tomllib.loads(f"x = {body}")
    for place in range(1, len(body) + 1):
        rest = body[place:].lstrip(" \t")
        if rest and not rest.startswith(("#", "\r", "\n")):
            continue
        try:
            if tomllib.loads(f"x = {body[:place]}") == whole:
                return body[len(body[:place].rstrip(" \t\r\n")) :]
        except tomllib.TOMLDecodeError:
            continue
    raise EditError("a value has no end")


def _key(key: Any) -> str:
    text = str(key)
    bare = text and all(letter.isascii() and (letter.isalnum() or letter in "-_") for letter in text)
    return text if bare else _value(text)


def _value(value: Any) -> str:
    """A value as it is written on one line."""
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{_key(k)} = {_value(v)}" for k, v in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(_value(part) for part in value) + "]"
    import tomlkit

    return str(tomlkit.item(value).as_string())
