"""How exact the meters are that the lines of the test sheet are read with."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from trailerlib import reference
from trailerlib.physics.evidence import standard_uncertainty

Floats = NDArray[np.float64]
MILLIVOLTS, VOLTS = "millivolts dc", "volts dc 20"
MILLIVOLT_RANGE_V = 0.2  # above it the same meter goes on with its range in volts
SLIP = 0.01  # chance that a yes is written for a no; common practice, no source


@cache
def accuracy(meter: str) -> tuple[float, float]:
    """Accuracy of a kind of meter: share of the reading [-] and a fixed part [inside unit], as plus or minus.

    Parameters
    ----------
    meter : row of the table of meters
    """
    row = reference.table("meters").row(meter=meter)
    return float(row["share"]), float(row["fixed"])


def uncertainty(meters: tuple[str, ...], reading: Floats) -> Floats:
    """Standard uncertainty of readings that comes from the meter alone [inside unit], (m,); 0 for yes or no.

    Parameters
    ----------
    meters : the meter of each line, "" where none is needed, m of them
    reading : [inside unit] (m,)
    """
    known = [accuracy(meter) if meter else (0.0, 0.0) for meter in meters]
    share, fixed = np.array(known).reshape(-1, 2).T
    over = np.array([meter == MILLIVOLTS for meter in meters], dtype=bool) & (np.abs(reading) > MILLIVOLT_RANGE_V)
    wide, coarse = accuracy(VOLTS)
    half = np.where(over, wide, share) * np.abs(reading) + np.where(over, coarse, fixed)
    return np.asarray(standard_uncertainty(half))
