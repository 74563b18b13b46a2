"""Texts on disk that are never lost: written in one step, under a lock, the one before put away, a newer one spared."""

from __future__ import annotations

import errno
import hashlib
import os
import re
import shutil
import stat
import tempfile
import tomllib
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

from trailerlib.design.design import Origin
from trailerlib.design.errors import DesignError
from trailerlib.units import shorten

LARGEST_BYTES = 1_000_000
_KEY = r"""(?:[\w-]++|"[^"\n]*+"|'[^'\n]*+')"""
# a key of very many parts, else a text, a remark or a word as a whole, so that no part of them is taken for a key
_TOKEN = re.compile(rf"""((?:{_KEY}[ \t]*+\.[ \t]*+){{60,}}+)|"(?:\\.|[^"\\\n])*+"|'[^'\n]*+'|\#[^\n]*+|[\w-]++""")


def read_text(file: Path, what: str = "design", missing: str = "copy one of the shipped trailers") -> str:
    """The text of a file.

    Parameters
    ----------
    file : which
    what : what it should be, for the sentence when it is too large
    missing : what to do when it is not there

    Raises
    ------
    DesignError
        When it is not there, cannot be read, is too large or is not UTF-8.
    """
    name = shorten(file.name)
    try:
        data = read_most(file, LARGEST_BYTES + 1)
    except FileNotFoundError:
        raise DesignError(f"{name}: there is no such file; check the path, or {missing}.") from None
    except (OSError, ValueError) as error:
        words = shorten(str(getattr(error, "strerror", None) or error))
        raise DesignError(f"{name}: it cannot be read ({words}); check the path.") from None
    if len(data) > LARGEST_BYTES:
        raise DesignError(
            f"{name}: it is larger than {LARGEST_BYTES // 1000} kB, which no {what} is; is it the right file?"
        )
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise DesignError(f"{name}, line {line}: it is not UTF-8 text; save it as UTF-8 in the editor.") from None


def read_most(file: Path, most: int) -> bytes:
    """The beginning of a file; a pipe, which would wait for ever, or a device, which may never end, is refused.

    Parameters
    ----------
    file : which
    most : [bytes] to read at most

    Raises
    ------
    OSError
        When it cannot be read or is no file.
    """

    def at_once(path: str, flags: int) -> int:
        return os.open(path, flags | getattr(os, "O_NONBLOCK", 0))

    with open(file, "rb", opener=at_once) as opened:
        if not stat.S_ISREG(os.fstat(opened.fileno()).st_mode):
            raise OSError(errno.EINVAL, "It is no file but a pipe or a device")
        return opened.read(most)


def parse(text: str, what: str = "a design", like: str = "a shipped trailer") -> dict[str, Any]:
    """TOML as plain data.

    Parameters
    ----------
    text : of the file
    what : what it should be
    like : what to compare it with

    Raises
    ------
    DesignError
        With the line that is wrong.
    """
    if _dotted_deep(text):
        raise DesignError(f"the file: it is not {what} (nested too deep); compare it with {like}.")
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        place = re.search(r"\(at (line \d+), column \d+\)", str(error))
        where = place[1] if place else "its end"
        if place:
            where += f", “{shorten(text.splitlines()[int(place[1].split()[1]) - 1], 40)}”"
        words = shorten(str(error).split(" (at ")[0].rstrip(".").lower(), 90)
        raise DesignError(f"{where}: it is not valid TOML ({words}); compare the line with {like}.") from None
    except (RecursionError, ValueError) as error:
        words = "nested too deep" if isinstance(error, RecursionError) else "a number with too many digits"
        raise DesignError(f"the file: it is not {what} ({words}); compare it with {like}.") from None


def _dotted_deep(text: str) -> bool:
    """Whether a key has more parts than any design: the reader's memory grows with their square."""
    return any(token[1] for token in _TOKEN.finditer(text))


def digest(text: str) -> str:
    """Fingerprint of a text."""
    return hashlib.sha256(text.encode()).hexdigest()


def keep(
    file: Path,
    origin: Origin | None,
    revision: int,
    render: Callable[[str | None, int], str],
    put_away: bool = True,
) -> str:
    """Write the next revision of a file; the text before goes into the history.

    The file is replaced in one step, so that a power cut leaves the old or the new text, never half. When it has
    changed on disk since it was read, nothing is overwritten: the text is put beside it under another name.

    Parameters
    ----------
    file : where
    origin : which file and which text of it this comes from, None when it is new
    revision : [-] revision in hand
    render : gives the text, from the text on disk (None when there is no file) and the revision to write
    put_away : whether the text before goes into the history; not needed where a file only ever grows

    Returns
    -------
    str
        The text that was written.

    Raises
    ------
    DesignError
        When the file on disk is newer, or cannot be written.
    """
    try:
        with locked(file):
            return _write(file, origin, revision, render, put_away)
    except OSError as error:
        raise DesignError(
            f"{file.name}: it cannot be written ({error.strerror or error}); nothing was changed."
        ) from None


def _write(
    file: Path, origin: Origin | None, revision: int, render: Callable[[str | None, int], str], put_away: bool
) -> str:
    for folder in (file.parent, _history_folder(file)):
        _sweep(folder, file.stem)
    before = read_text(file) if file.exists() else None
    if before is not None and not _is_current(origin, file, before):
        spare = _free_name(file)
        replace_file(spare, render(before, revision))
        raise DesignError(
            f"{file.name}: it has changed on disk since it was opened, so it was not overwritten; "
            f"your version is kept beside it as {spare.name}. Open the file again and make the change there."
        )
    text = render(before, revision + 1 if before is not None else revision)
    if before is not None and put_away:
        _keep_history(file, revision, before)
    replace_file(file, text)
    return text


def _is_current(origin: Origin | None, file: Path, before: str) -> bool:
    return origin is not None and Path(origin.path) == file and origin.digest == digest(before)


def _free_name(file: Path) -> Path:
    number = 1
    while (spare := file.with_name(f"{file.stem}.mine-{number}{file.suffix}")).exists():
        number += 1
    return spare


def replace_file(file: Path, text: str) -> None:
    """Write a text in one step: a temporary file in the same folder, flushed to disk, then renamed."""
    handle, name = tempfile.mkstemp(prefix=f".{file.stem}-", suffix=".part", dir=file.parent)
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as temporary:
            temporary.write(text)
            temporary.flush()
            os.fsync(temporary.fileno())
        if file.exists():
            shutil.copymode(file, name)
        else:
            os.chmod(name, 0o644)
        os.replace(name, file)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def _sweep(folder: Path, stem: str) -> None:
    """Removes what a power cut left half written; under the lock nobody else is at it."""
    name = re.compile(rf"\.({re.escape(stem)}|\d{{5}}-revision-\d+)-[a-z0-9_]{{8}}\.part")
    for left in folder.glob(".*.part"):
        if name.fullmatch(left.name):
            with suppress(OSError):
                left.unlink()


@contextmanager
def locked(file: Path) -> Iterator[None]:
    """Two notebooks that save the same file wait for each other; the lock goes with the process."""
    from filelock import FileLock, Timeout

    try:
        with FileLock(file.with_name(f".{file.name}.lock"), timeout=10):
            yield
    except Timeout:
        raise DesignError(f"{file.name}: another program is saving it; try again in a moment.") from None


def _history_folder(file: Path) -> Path:
    return file.with_name(f"{file.stem}.history")


def _keep_history(file: Path, revision: int, text: str) -> None:
    """Texts are numbered in the order they were put away; a revision may come twice when an old text is put back.

    A save that was cut short has put its text away already: that one serves again.
    """
    folder = _history_folder(file)
    folder.mkdir(exist_ok=True)
    kept = sorted(folder.glob("[0-9][0-9][0-9][0-9][0-9]-*.toml"))
    if kept and kept[-1].name.endswith(f"-revision-{revision}.toml") and kept[-1].read_bytes() == text.encode():
        return
    number = int(kept[-1].name[:5]) + 1 if kept else 1
    replace_file(folder / f"{number:05d}-revision-{revision}.toml", text)


def history(path: str | os.PathLike[str]) -> list[Path]:
    """The earlier texts of a file, oldest first.

    Parameters
    ----------
    path : the file
    """
    folder = _history_folder(Path(path).resolve())
    return sorted(folder.glob("*-revision-*.toml")) if folder.is_dir() else []
