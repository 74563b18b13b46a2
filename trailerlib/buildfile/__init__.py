"""What leaves the shop on paper: the PDF, the spreadsheet and the snapshot of one design, in a folder of their own."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING, Any

from trailerlib.buildfile.compare import Difference

if TYPE_CHECKING:
    from trailerlib.buildfile.two_snapshots import compare_snapshots
    from trailerlib.buildfile.verify import verify_snapshot
    from trailerlib.design.design import Design
    from trailerlib.design.reading import Readings

__all__ = ["Difference", "compare_snapshots", "verify_snapshot", "write_build_file"]


def write_build_file(
    design: Design,
    folder: str | os.PathLike[str],
    date: str | None = None,
    readings: Readings | None = None,
    label_sheet: str | None = None,
) -> dict[str, Path]:
    """Write the build file of a design into a new dated folder; nothing is ever overwritten.

    Parameters
    ----------
    design : the design
    folder : where the dated folder is made; it is made itself when it does not exist
    date : year, month and day such as ``2026-11-25``; default is today
    readings : what was measured in the closing-in test; default are those beside the file the design was read from
    label_sheet : the sheet the labels are printed on, such as ``letter 1 by 2 5/8 in``; default is plain paper

    Returns
    -------
    dict of str to Path
        ``pdf``, ``labels``, ``spreadsheet``, the schedules as comma-separated text, ``snapshot``, ``design`` and,
        where there are some, ``readings``.

    Raises
    ------
    DesignError
        When the date is none, there is no such sheet of labels, the readings cannot be used, or the folder cannot be
        written; nothing is left behind then.
    """
    from trailerlib.buildfile import binder

    return binder.bind(design, Path(folder), date, readings, label_sheet)


def __getattr__(name: str) -> Any:
    """What needs every study is loaded when it is first asked for."""
    if name == "compare_snapshots":
        from trailerlib.buildfile.two_snapshots import compare_snapshots

        return compare_snapshots
    if name == "verify_snapshot":
        from trailerlib.buildfile.verify import verify_snapshot

        return verify_snapshot
    raise AttributeError(f"module 'trailerlib.buildfile' has no attribute {name!r}")
