"""Design files: read, write without ever losing work, history, the shipped trailers."""

from __future__ import annotations

import os
import tomllib
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any

from trailerlib import reference
from trailerlib.design import toml_edit
from trailerlib.design.design import LISTS, Design, Origin, design_from
from trailerlib.design.errors import DesignError
from trailerlib.design.keeping import digest, history, keep, locked, parse, read_text, replace_file
from trailerlib.units import shorten

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
    text = read_text(file)
    try:
        design = design_from(parse(text))
    except DesignError as error:
        raise DesignError(f"{shorten(file.name)}: {error}") from None
    design._origin = Origin(str(file.resolve()), digest(text))
    return design


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
    text = keep(file, design.origin, design.revision, lambda before, revision: _render(design, before, revision))
    saved = design_from(parse(text))
    saved._origin = Origin(str(file), digest(text))
    return saved


def open_another(source: Path, file: Path, before: Design) -> Design:
    """Write one design file over another as its next revision; what was there goes into the history.

    Parameters
    ----------
    source : the file to begin from
    file : the file the workbook opens
    before : the design that is open there

    Raises
    ------
    DesignError
        When the source is no design, or the file has changed on disk since it was opened.
    """
    design, text = read_design(source), read_text(source)
    written = keep(file.resolve(), before.origin, before.revision, lambda _, number: _render(design, text, number))
    made = design_from(parse(written))
    made._origin = Origin(str(file.resolve()), digest(written))
    return made


def _target(design: Design, path: str | os.PathLike[str] | None) -> Path:
    if path is not None:
        return Path(path).resolve()
    if design.origin is None:
        raise DesignError("this design was not read from a file; say where to save it.")
    return Path(design.origin.path)


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
    with suppress(OSError):  # the text is taken back; a history that cannot be tidied would only offer it once more
        os.replace(newest, newest.with_name(newest.name.replace("revision", "undone")))
        source.unlink(missing_ok=True)
    return saved


def shipped_trailers() -> dict[str, Path]:
    """The trailers that come with the workbook: name to file."""
    files = sorted((reference.data_root() / "trailers").glob("*.toml"))
    return {file.stem: file for file in files if "." not in file.stem}  # readings and spare versions have one


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
            os.stat(file.parent)  # the lock would make a folder that is not there
            with locked(file):  # two notebooks may begin at the same moment, and the first may have saved already
                if not file.exists():
                    replace_file(file, shipped_trailers()[name].read_text(encoding="utf-8"))
        except DesignError:
            raise
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
