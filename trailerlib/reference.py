"""The tables under ``data/``: every row says where it comes from.

A table is one CSV file. The columns ``source`` and ``confidence`` stand on every
row; a file without them, or a row that leaves them empty, is refused.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

PROVENANCE = ("source", "confidence")


class TableError(LookupError):
    """A table, row or cell that is not there, with what would be."""


def data_root() -> Path:
    """Folder that holds ``tables/``, ``catalogue/``, ``trailers/`` and ``fonts/``.

    In a checkout this is ``data/`` beside the package; in an installed wheel the
    same folder travels inside the package.
    """
    package = Path(__file__).resolve().parent
    for folder in (package / "_data", package.parent / "data"):
        if (folder / "tables").is_dir():
            return folder
    raise TableError(f"{package.parent / 'data'}: the folder with the tables is missing; reinstall the project.")


@dataclass(frozen=True)
class Table:
    """One CSV file, read once and never changed.

    ``rows`` are mappings of column name to the text in the file.
    """

    name: str
    columns: tuple[str, ...]
    rows: tuple[Mapping[str, str], ...]

    def texts(self, column: str) -> tuple[str, ...]:
        """The texts of one column, in file order."""
        self._require(column)
        return tuple(row[column] for row in self.rows)

    def floats(self, column: str) -> NDArray[np.float64]:
        """One column as numbers in the unit its name carries; an empty cell is NaN. Shape (rows,)."""
        return np.array([float(text) if text else np.nan for text in self.texts(column)])

    def where(self, **cells: str) -> Table:
        """The rows whose cells equal the given texts; may be empty."""
        for column in cells:
            self._require(column)
        kept = tuple(row for row in self.rows if all(row[c] == v for c, v in cells.items()))
        return Table(self.name, self.columns, kept)

    def row(self, **cells: str) -> Mapping[str, str]:
        """The one row whose cells equal the given texts.

        Raises
        ------
        TableError
            When no row or more than one row fits; the text lists what the first column offers.
        """
        key = tuple(cells.items())
        if key not in self._found:
            self._found[key] = self._single(cells)
        return self._found[key]

    def number(self, column: str, **cells: str) -> float:
        """The number in ``column`` of the one row that fits, in the unit the column's name carries."""
        text = self.row(**cells)[column]
        if not text:
            raise TableError(f"table {self.name}: {column} is empty for {_spell(cells)}.")
        return float(text)

    @cached_property
    def _found(self) -> dict[tuple[tuple[str, str], ...], Mapping[str, str]]:
        return {}

    def _single(self, cells: Mapping[str, str]) -> Mapping[str, str]:
        rows = self.where(**dict(cells)).rows
        if len(rows) == 1:
            return rows[0]
        first = next(iter(cells))
        offer = ", ".join(dict.fromkeys(self.texts(first)))
        count = "no row" if not rows else f"{len(rows)} rows"
        raise TableError(f"table {self.name}: {count} with {_spell(cells)}; {first} can be: {offer}.")

    def _require(self, column: str) -> None:
        if column not in self.columns:
            raise TableError(f"table {self.name}: no column {column!r}; it has {', '.join(self.columns)}.")


def _spell(cells: Mapping[str, str]) -> str:
    return ", ".join(f"{column} = {value!r}" for column, value in cells.items())


@cache
def table(name: str) -> Table:
    """A table of published values, ``data/tables/<name>.csv``.

    Raises
    ------
    TableError
        When the file is missing or a row carries no source.
    """
    return _read("tables", name)


@cache
def catalogue(name: str) -> Table:
    """A table of generic classes, ``data/catalogue/<name>.csv``.

    Raises
    ------
    TableError
        When the file is missing or a row carries no source.
    """
    return _read("catalogue", name)


def _read(folder: str, name: str) -> Table:
    path = data_root() / folder / f"{name}.csv"
    if not path.is_file():
        offer = ", ".join(sorted(p.stem for p in path.parent.glob("*.csv")))
        raise TableError(f"no table {name!r} under data/{folder}; there are: {offer}.")
    with path.open(encoding="utf-8", newline="") as file:
        reader = csv.DictReader(file)
        rows = tuple(MappingProxyType({k: (v or "").strip() for k, v in row.items()}) for row in reader)
        columns = tuple(reader.fieldnames or ())
    _check_provenance(f"data/{folder}/{name}.csv", columns, rows)
    return Table(name, columns, rows)


def _check_provenance(path: str, columns: tuple[str, ...], rows: tuple[Mapping[str, str], ...]) -> None:
    for column in PROVENANCE:
        if column not in columns:
            raise TableError(f"{path}: the column {column!r} is missing; every row must say where it comes from.")
        for number, row in enumerate(rows, start=2):
            if not row[column]:
                raise TableError(f"{path}, line {number}: {column!r} is empty; say where the value comes from.")
