"""Fuses and breakers as their tables give them: published limits, what opens one in a time, what it can break."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

import numpy as np

from trailerlib import reference
from trailerlib.physics.time_current import Device, device_of

QUICK_S = 5.0  # IEC 60364-4-41 411.3.2.3
MAGNETIC_S = 0.1  # faster than any bimetal: the magnetic part of a breaker

Found = tuple[Device | None, str]  # a device, or why there is none


@lru_cache(maxsize=512)
def device(name: str, rating_a: float) -> Found:
    """The published limits of a device, and when there are none, why.

    Parameters
    ----------
    name : kind of device, as a circuit names it
    rating_a : [A] rating
    """
    try:
        return device_of(reference.table("time_current").rows, name, rating_a), ""
    except ValueError as error:
        return None, str(error)


def opens_within_a(fuse: Device, seconds: float = QUICK_S) -> float:
    """Least current at which a device surely opens within a time [A]; infinite when it never does.

    Parameters
    ----------
    fuse : the device
    seconds : [s] time
    """
    multiples, times = fuse.most
    if times[0] <= seconds:
        return float(multiples[0]) * fuse.rating_a
    if times[-1] > seconds:
        beyond = float(multiples[-1] * np.sqrt(times[-1] / seconds)) if fuse.most_falls else np.inf
        return beyond * fuse.rating_a
    return float(np.exp(np.interp(-np.log(seconds), -np.log(times), np.log(multiples)))) * fuse.rating_a


def fault_from_a(fuse: Device) -> float:
    """Current from which an overcurrent is a fault and no overload [A].

    Parameters
    ----------
    fuse : the device
    """
    return opens_within_a(fuse, MAGNETIC_S if fuse.name == "breaker" else QUICK_S)


def interrupting_a(name: str) -> float | None:
    """Lowest interrupting rating of a class of device [A]; None where no table lists it."""
    return _interrupting().get(name)


@lru_cache(maxsize=1)
def _interrupting() -> Mapping[str, float]:
    lowest: dict[str, float] = {}
    for row in reference.table("fuse_interrupting").rows:
        name = row["device"].lower().split(",")[0]
        lowest[name] = min(lowest.get(name, np.inf), float(row["rating_a"]))
    return lowest
