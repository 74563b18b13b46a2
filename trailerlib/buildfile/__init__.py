"""What leaves the shop on paper: the PDF, the spreadsheet and the snapshot of one design, in a folder of their own."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

from trailerlib.buildfile.compare import Difference

if TYPE_CHECKING:
    from trailerlib.design.design import Design

__all__ = ["Difference", "verify_snapshot", "write_build_file"]


def write_build_file(design: Design, folder: str | os.PathLike[str], date: str | None = None) -> dict[str, Path]:
    """Write the build file of a design into a new dated folder; nothing is ever overwritten.

    Parameters
    ----------
    design : the design
    folder : where the dated folder is made; it is made itself when it does not exist
    date : year, month and day such as ``2026-11-25``; default is today

    Returns
    -------
    dict of str to Path
        ``pdf``, ``spreadsheet``, ``snapshot`` and ``design``.

    Raises
    ------
    DesignError
        When the date is none, or the folder cannot be written; nothing is left behind then.
    """
    from trailerlib.buildfile import binder

    return binder.bind(design, Path(folder), date)


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
    from trailerlib.buildfile import verify

    return verify.verify_snapshot(path)
