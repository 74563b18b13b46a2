"""Binds the parts of a build file into a new dated folder, in one step, beside whatever is there already."""

from __future__ import annotations

import datetime
import os
import re
import shutil
import tempfile
import unicodedata
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from trailerlib.buildfile import closing_sheet, comma_files, drawings, labels, pages, paper, snapshot, spreadsheet
from trailerlib.buildfile.label_sheets import stock
from trailerlib.design.design import Design
from trailerlib.design.errors import DesignError
from trailerlib.design.readings import Readings, as_text, read_readings
from trailerlib.studies import assess
from trailerlib.studies.closing.sheet import sheet_of
from trailerlib.studies.schedules import schedules
from trailerlib.units import shorten

FILES = {
    "pdf": "build-file.pdf", "spreadsheet": "build-file.xlsx", "snapshot": "snapshot.json", "design": "design.toml",
    "readings": "design.readings.toml", "labels": "labels.pdf",
    **{f"{key} csv": name for key, name in comma_files.NAMES.items()},
}  # fmt: skip
LONGEST_SLUG = 48  # characters; with four bytes each still far from what a file system allows


def bind(
    design: Design, folder: Path, date: str | None, readings: Readings | None = None, label_sheet: str | None = None
) -> dict[str, Path]:
    """Work everything out, then write it.

    Parameters
    ----------
    design : the design
    folder : where the dated folder is made
    date : year, month and day, or None for today
    readings : what was measured, or None for what lies beside the design
    label_sheet : name of a sheet of labels, or None for plain paper

    Returns
    -------
    dict of str to Path
        The files written.

    Raises
    ------
    DesignError
        When the date is none, there is no such sheet of labels, the readings cannot be used, or the folder cannot be
        written.
    """
    day = _day(date)
    contents = parts(design, day, readings, label_sheet)
    return _placed(contents, folder, f"{slug(design.title)} {day}")


def parts(
    design: Design, date: str, readings: Readings | None = None, label_sheet: str | None = None
) -> dict[str, bytes]:
    """Every file of the build file as bytes; the same design, date and readings give the same bytes.

    Parameters
    ----------
    design : the design
    date : year, month and day as text
    readings : what was measured, or None for what lies beside the design
    label_sheet : name of a sheet of labels, or None for plain paper

    Returns
    -------
    dict of str to bytes
        ``pdf``, ``labels``, ``spreadsheet``, the schedules as comma-separated text, ``snapshot``, ``design`` and, where
        there are some, ``readings``.
    """
    stock(label_sheet, design.units)  # refused before the work, not after it
    taken = _beside(design) if readings is None else readings
    sheet = closing_sheet.filled(sheet_of(design), taken)
    assessment = assess(design, taken.values())
    built = schedules(design, assessment)
    pictures = drawings.drawings(design, assessment, taken.values())
    shows = {name: picture.shows for name, picture in pictures.items()}
    text = design_text(design)
    page_data = pages.pages(design, assessment, shows, date, sheet, built)
    with ThreadPoolExecutor(max_workers=1) as press:  # the pages are set while the rest is written
        pdf = press.submit(paper.printed, page_data, pictures)
        rest = {
            "labels": labels.printed(labels.sheets(design, built, label_sheet), design.title),
            "spreadsheet": spreadsheet.workbook(assessment, design.title, sheet, built),
            **comma_files.files(built, design.units),
            "snapshot": snapshot.written(snapshot.snapshot(design, assessment, text, date, sheet, built)),
            "design": text.encode(),
        }
        found = {"pdf": pdf.result(), **rest}
    return {**found, "readings": as_text(taken).encode()} if len(taken) else found


def _beside(design: Design) -> Readings:
    return Readings() if design.origin is None else read_readings(design.origin.path)


def design_text(design: Design) -> str:
    """The text of the design file when it still says what the design says, else the design written anew.

    Parameters
    ----------
    design : the design

    Returns
    -------
    str
        TOML.
    """
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    if design.origin is not None:
        try:
            text = Path(design.origin.path).read_bytes().decode("utf-8")
            if tomlkit.parse(text).unwrap() == design.raw:
                return text
        except (OSError, UnicodeDecodeError, TOMLKitError):
            pass  # moved or changed since it was read: the design in hand is what counts
    return tomlkit.dumps(design.raw)


def slug(title: str) -> str:
    """A safe folder name from a title: letters and figures with hyphens between, nothing else.

    Parameters
    ----------
    title : any text

    Returns
    -------
    str
        ``trailer`` when nothing is left.
    """
    words = re.findall(r"[^\W_]+", unicodedata.normalize("NFKC", title).lower())
    return "-".join(words)[:LONGEST_SLUG].strip("-") or "trailer"


def _day(date: str | None) -> str:
    if date is None:
        return datetime.date.today().isoformat()
    try:
        if datetime.date.fromisoformat(date).isoformat() == date:
            return date
    except ValueError:
        pass
    raise DesignError(f'"{shorten(date, 30)}" is not a date; write year, month and day, such as 2026-11-25.')


def _placed(contents: Mapping[str, bytes], folder: Path, name: str) -> dict[str, Path]:
    made = not folder.exists()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        temporary = Path(tempfile.mkdtemp(prefix=".build-file-", suffix=".part", dir=folder))
        try:
            for part, data in contents.items():
                _flushed(temporary / FILES[part], data)
            temporary.chmod(0o755)
            target = _renamed(temporary, folder, name)
        except BaseException:
            shutil.rmtree(temporary, ignore_errors=True)
            raise
    except OSError as error:
        if made and folder.is_dir() and not any(folder.iterdir()):
            folder.rmdir()
        place = folder.name or folder
        raise DesignError(f"{place}: the build file cannot be written there ({error.strerror}).") from None
    return {part: target / FILES[part] for part in contents}


def _flushed(file: Path, data: bytes) -> None:
    with file.open("xb") as opened:
        opened.write(data)
        opened.flush()
        os.fsync(opened.fileno())


def _renamed(temporary: Path, folder: Path, name: str) -> Path:
    """Give the finished folder the first free name, in one step."""
    number = 1
    while True:
        target = folder / (name if number == 1 else f"{name}-{number}")
        if not target.exists() and not target.is_symlink():
            try:
                os.rename(temporary, target)
                return target
            except OSError:
                if not target.exists():
                    raise
        number += 1
