"""Design files: read, write without ever losing work, history, the shipped trailers."""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import tempfile
import tomllib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from trailerlib import reference
from trailerlib.design import toml_edit
from trailerlib.design.design import LISTS, Design, Origin, design_from
from trailerlib.design.errors import DesignError
from trailerlib.units import shorten

LARGEST_BYTES = 1_000_000
OPEN_FILE = "trailer.toml"
OPEN_VARIABLE = "TRAILERLIB_DESIGN"
DEMO = "fen-survey"


def read_design(path: str | os.PathLike[str]) -> Design:
    """Read and check a design file.

    Raises
    ------
    DesignError
        One sentence that begins with the file's name: where, what is wrong, what would be right.
    """
    file = Path(path)
    text = _read_text(file)
    try:
        design = design_from(_parse(text))
    except DesignError as error:
        raise DesignError(f"{file.name}: {error}") from None
    design._origin = Origin(str(file.resolve()), _digest(text))
    return design


def _read_text(file: Path) -> str:
    try:
        data = file.read_bytes()
    except FileNotFoundError:
        raise DesignError(
            f"{file.name}: there is no such file; check the path, or copy one of the shipped trailers."
        ) from None
    except (OSError, ValueError) as error:
        words = shorten(str(getattr(error, "strerror", None) or error))
        raise DesignError(f"{shorten(file.name)}: it cannot be read ({words}).") from None
    if len(data) > LARGEST_BYTES:
        raise DesignError(
            f"{file.name}: it is larger than {LARGEST_BYTES // 1000} kB, which no design is; is it the right file?"
        )
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise DesignError(f"{file.name}, line {line}: it is not UTF-8 text; save it as UTF-8 in the editor.") from None


def _parse(text: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        place = re.search(r"\(at (line \d+), column \d+\)", str(error))
        where = place[1] if place else "its end"
        if place:
            where += f", “{shorten(text.splitlines()[int(place[1].split()[1]) - 1], 40)}”"
        words = shorten(str(error).split(" (at ")[0].rstrip(".").lower(), 90)
        raise DesignError(
            f"{where}: it is not valid TOML ({words}); compare the line with a shipped trailer."
        ) from None
    except (RecursionError, ValueError) as error:
        words = "nested too deep" if isinstance(error, RecursionError) else "a number with too many digits"
        raise DesignError(f"the file: it is not a design ({words}); compare it with a shipped trailer.") from None


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def save_design(design: Design, path: str | os.PathLike[str] | None = None) -> Design:
    """Write a design to its file, comments intact, as the next revision; the text before goes into the history.

    The file is replaced in one step, so that a power cut leaves the old or the new text, never half.
    When the file has changed on disk since the design was read, nothing is overwritten: this design
    is put beside it under another name and the error says so.

    Parameters
    ----------
    design : what to write
    path : where; default is the file it was read from

    Returns
    -------
    Design
        The same design with its new revision and origin.

    Raises
    ------
    DesignError
        When the file on disk is newer, or cannot be written.
    """
    file = _target(design, path)
    try:
        with _locked(file):
            return _write(design, file)
    except OSError as error:
        raise DesignError(
            f"{file.name}: it cannot be written ({error.strerror or error}); nothing was changed."
        ) from None


def _target(design: Design, path: str | os.PathLike[str] | None) -> Path:
    if path is not None:
        return Path(path).resolve()
    if design.origin is None:
        raise DesignError("this design was not read from a file; say where to save it.")
    return Path(design.origin.path)


def _write(design: Design, file: Path) -> Design:
    before = _read_text(file) if file.exists() else None
    if before is not None and not _is_current(design, file, before):
        spare = _free_name(file)
        _replace_file(spare, _render(design, before, design.revision))
        raise DesignError(
            f"{file.name}: it has changed on disk since it was opened, so it was not overwritten; "
            f"your version is kept beside it as {spare.name}. Open the file again and make the change there."
        )
    revision = design.revision + 1 if before is not None else design.revision
    text = _render(design, before, revision)
    if before is not None:
        _keep_history(file, design.revision, before)
    _replace_file(file, text)
    saved = design_from(_parse(text))
    saved._origin = Origin(str(file), _digest(text))
    return saved


def _is_current(design: Design, file: Path, before: str) -> bool:
    origin = design.origin
    return origin is not None and Path(origin.path) == file and origin.digest == _digest(before)


def _free_name(file: Path) -> Path:
    number = 1
    while (spare := file.with_name(f"{file.stem}.mine-{number}{file.suffix}")).exists():
        number += 1
    return spare


def _render(design: Design, before: str | None, revision: int) -> str:
    """The design as TOML text; what has not changed keeps its comments and its lay-out."""
    wanted = {**design.raw, "revision": revision}
    if before is not None:
        try:
            return toml_edit.edited(before, wanted, LISTS)
        except (toml_edit.EditError, tomllib.TOMLDecodeError):
            pass  # too much has changed to keep the lay-out: the whole text is written anew
    return _written_anew(wanted)


def _written_anew(wanted: Mapping[str, Any]) -> str:
    import tomlkit

    document = tomlkit.document()
    for key, value in sorted(wanted.items(), key=lambda item: isinstance(item[1], Mapping | list)):
        document.add(key, _built(key, value))
    return tomlkit.dumps(document)


def _built(key: str, value: Any) -> Any:
    import tomlkit

    if key not in LISTS or not isinstance(value, list):
        return tomlkit.item(value)
    array = tomlkit.aot()
    for part in value:
        table = tomlkit.table()
        for name, cell in part.items():
            table.add(name, cell)
        array.append(table)
    return array


def _replace_file(file: Path, text: str) -> None:
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


@contextmanager
def _locked(file: Path) -> Iterator[None]:
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
    """Texts are numbered in the order they were put away; a revision may come twice when an old text is put back."""
    folder = _history_folder(file)
    folder.mkdir(exist_ok=True)
    numbers = [int(old.name[:5]) for old in folder.glob("[0-9][0-9][0-9][0-9][0-9]-*.toml")]
    _replace_file(folder / f"{max(numbers, default=0) + 1:05d}-revision-{revision}.toml", text)


def history(path: str | os.PathLike[str]) -> list[Path]:
    """The earlier texts of a design file, oldest first."""
    folder = _history_folder(Path(path).resolve())
    return sorted(folder.glob("*-revision-*.toml")) if folder.is_dir() else []


def take_back(design: Design) -> Design:
    """Undo the last save in the file: the text before it is written again as the newest revision.

    What was undone stays in the history folder as ``…-undone-…``; calling again goes further back.

    Raises
    ------
    DesignError
        When there is no earlier text, or the file has changed on disk.
    """
    kept = history(design.origin.path) if design.origin is not None else []
    if not kept or design.origin is None:
        raise DesignError("there is no earlier version of this design to go back to.")
    file, source = Path(design.origin.path), kept[-1]
    earlier = design_from({**read_design(source).raw, "revision": design.revision})
    earlier._origin = design.origin
    saved = save_design(earlier)
    newest = history(file)[-1]
    os.replace(newest, newest.with_name(newest.name.replace("revision", "undone")))
    source.unlink(missing_ok=True)
    return saved


def shipped_trailers() -> dict[str, Path]:
    """The trailers that come with the workbook: name to file."""
    return {file.stem: file for file in sorted((reference.data_root() / "trailers").glob("*.toml"))}


def open_design(name: str = DEMO) -> Design:
    """The trailer the workbook is working on: ``trailer.toml`` beside the notebook, made from a shipped one at first.

    The environment variable ``TRAILERLIB_DESIGN`` names another file instead.

    Parameters
    ----------
    name : which shipped trailer to begin with when there is no file yet
    """
    given = os.environ.get(OPEN_VARIABLE)
    file = Path(given) if given else _workbook_folder() / OPEN_FILE
    if not _there(file):
        if name not in shipped_trailers():
            raise DesignError(f'there is no shipped trailer "{name}"; there are: {", ".join(shipped_trailers())}.')
        try:
            _replace_file(file, shipped_trailers()[name].read_text(encoding="utf-8"))
        except (OSError, ValueError) as error:
            words = shorten(str(getattr(error, "strerror", None) or error))
            raise DesignError(f"{shorten(file.name)}: it cannot be made ({words}); check {OPEN_VARIABLE}.") from None
    return read_design(file)


def _there(file: Path) -> bool:
    try:
        return file.exists()
    except (OSError, ValueError):
        return False


def _workbook_folder() -> Path:
    """The lessons lie one folder deeper than the questions; both share one open trailer."""
    here = Path.cwd()
    return here.parent if here.name == "lessons" else here
