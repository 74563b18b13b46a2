"""Readings of the closing-in test in a file beside the design: ``trailer.readings.toml``."""

from __future__ import annotations

import datetime
import os
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from trailerlib import quantities, units
from trailerlib.design import keeping
from trailerlib.design.design import Origin
from trailerlib.design.errors import DesignError
from trailerlib.design.reading import SCALES, YES_NO, Reading, Readings, check_key
from trailerlib.design.typed import read_typed, unit_of
from trailerlib.units import shorten

__all__ = [
    "Reading", "Readings", "as_data", "as_line", "as_text", "read_readings", "read_typed", "readings_from",
    "readings_path", "save_readings", "unit_of",
]  # fmt: skip
END = ".readings.toml"
_HEAD = """\
# What was measured in the closing-in test. One line a reading: quantity with its unit, or "yes" or "no";
# the date as year-month-day, who read it, a note. Lines may be written by hand.
revision = 0

[reading]
"""


def readings_path(design_path: str | os.PathLike[str]) -> Path:
    """Where the readings of a design file lie: ``trailer.readings.toml`` beside ``trailer.toml``.

    Parameters
    ----------
    design_path : the design file
    """
    file = Path(design_path).resolve()
    return file.with_name(f"{file.stem}{END}")


def read_readings(design_path: str | os.PathLike[str]) -> Readings:
    """What was measured on the trailer of a design file; nothing when there is no file of readings yet.

    Parameters
    ----------
    design_path : the design file

    Raises
    ------
    DesignError
        One sentence that begins with the file's name: which line, what is wrong, what would be right.
    """
    file = readings_path(design_path)
    if not file.exists():
        return Readings()
    text = keeping.read_text(file, "list of readings")
    try:
        return _from_text(file, text)
    except DesignError as error:
        raise DesignError(f"{shorten(file.name)}: {error}") from None


def _from_text(file: Path, text: str) -> Readings:
    raw = keeping.parse(text, "a list of readings", 'a line such as "rest/battery volts" = "12.6 V"')
    return replace(readings_from(raw), origin=Origin(str(file), keeping.digest(text)))


def readings_from(raw: Mapping[str, Any]) -> Readings:
    """Readings from plain data: ``revision`` and ``reading``, a mapping of keys to a quantity or to a part with it.

    Parameters
    ----------
    raw : the plain data of a file of readings

    Raises
    ------
    DesignError
        Where, what is wrong, what would be right.
    """
    for key in raw:
        if key not in ("revision", "reading"):
            raise DesignError(f"{shorten(str(key), 40)}: this is not known here; put readings under [reading].")
    revision, lines = raw.get("revision", 0), raw.get("reading", {})
    if not isinstance(revision, int) or isinstance(revision, bool) or not 0 <= revision < 10**9:
        raise DesignError("revision: this is not a count; write a whole number, such as 1.")
    if not isinstance(lines, Mapping):
        raise DesignError('reading: this is not a table; write [reading] and under it "rest/battery volts" = "12.6 V".')
    return Readings({key: _reading(key, part) for key, part in lines.items()}, revision)


def _reading(key: str, part: Any) -> Reading:
    try:
        check_key(key)
        parts = {"measured": part} if isinstance(part, str) else part
        if not isinstance(parts, Mapping) or "measured" not in parts:
            raise DesignError('the quantity is missing; write measured = "12.6 V", or just "12.6 V".')
        for name in parts:
            if name not in ("measured", "on", "by", "note"):
                raise DesignError(f"{shorten(str(name), 40)} is not known here; there are measured, on, by and note.")
        value, asks = _quantity(parts["measured"])
        day = parts.get("on", "")
        day = day.isoformat() if type(day) is datetime.date else day
        return Reading(value, asks, day, parts.get("by", ""), parts.get("note", ""))
    except DesignError as error:
        raise DesignError(f'reading "{shorten(str(key))}": {error}') from None


def _quantity(text: Any) -> tuple[float, str]:
    """Value and kind of a quantity with its unit."""
    if isinstance(text, str):
        word = text.strip().lower()
        if word in ("yes", "no"):
            return float(word == "yes"), YES_NO
        for asks in SCALES:
            try:
                return quantities.read(text, asks), asks
            except units.UnitError:
                continue
    raise DesignError(
        f'"{shorten(str(text))}" is not a reading; write a number with a point and its unit, such as "12.6 V", '
        '"38 mV", "0.2 ohm" or "1.5 Mohm", or "yes" or "no".'
    )


def save_readings(readings: Readings, design_path: str | os.PathLike[str]) -> Readings:
    """Write readings beside their design, as the next revision; the text before goes into the history.

    In one step and under a lock, as a design is saved; a file that changed since it was read is not overwritten.

    Parameters
    ----------
    readings : what to write
    design_path : the design file

    Returns
    -------
    Readings
        The same with their new revision and origin.

    Raises
    ------
    DesignError
        When the file on disk is newer, or cannot be written.
    """
    file = readings_path(design_path)
    text = keeping.keep(
        file, readings.origin, readings.revision, lambda before, revision: as_text(readings, before, max(1, revision))
    )
    return _from_text(file, text)


def as_text(readings: Readings, before: str | None = None, revision: int | None = None) -> str:
    """The text of a file of readings; what has not changed keeps its comments and its lay-out.

    Parameters
    ----------
    readings : what to write
    before : text to change, None for a new one
    revision : [-] revision to write, None for the one in hand
    """
    wanted = as_data(readings, revision)
    for start in (before, _HEAD):
        if start is not None and (text := _edited(start, wanted)) is not None:
            return text
    raise DesignError("these readings cannot be written as a file; check their keys.")


def as_data(readings: Readings, revision: int | None = None) -> dict[str, Any]:
    """Readings as plain data, as in their file.

    Parameters
    ----------
    readings : the readings
    revision : [-] revision to write, None for the one in hand
    """
    lines = {key: as_line(one) for key, one in readings.taken.items()}
    return {"revision": readings.revision if revision is None else revision, "reading": lines}


def as_line(one: Reading) -> dict[str, str]:
    """One reading as it stands in the file; what is empty is left out.

    Parameters
    ----------
    one : the reading
    """
    parts = (("measured", one.text()), ("on", one.on), ("by", one.by), ("note", one.note))
    return {name: text for name, text in parts if text}


def _edited(text: str, wanted: Mapping[str, Any]) -> str | None:
    """The text with the wanted readings in it; None when it cannot be had that way."""
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    try:
        document = tomlkit.parse(text)
        document["revision"] = wanted["revision"]
        if "reading" not in document:
            document["reading"] = tomlkit.table()
        lines: Any = document["reading"]
        here = {key: _reading(key, part) for key, part in lines.unwrap().items()}
        for key in here:
            if key not in wanted["reading"]:
                del lines[key]
        for key, parts in wanted["reading"].items():
            if here.get(key) != _reading(key, parts):
                line = tomlkit.inline_table()
                line.update(parts)
                lines[key] = line
        done = tomlkit.dumps(document)
        return done if readings_from(keeping.parse(done)) == readings_from(wanted) else None
    except (TOMLKitError, DesignError, ValueError, AttributeError, TypeError):
        return None
