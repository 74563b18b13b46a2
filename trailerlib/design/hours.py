"""When a load is on: ranges of hours as a person writes them, ``18:00-22:30, 06:00-07:00`` or ``all``."""

from __future__ import annotations

from functools import lru_cache

from trailerlib import times, units

Ranges = tuple[tuple[float, float], ...]
ALL = "all"
DAYS = (-24.0, 0.0, 24.0, 48.0)


@lru_cache(maxsize=1024)
def read_ranges(text: str) -> Ranges:
    """The ranges in hours after midnight; a range that ends before it starts runs past midnight.

    Parameters
    ----------
    text : ranges separated by commas, or ``all`` for the whole stay, or empty for never

    Returns
    -------
    tuple of (start, end) [h]
        ``all`` gives one range of 24 h; the end is always after the start and may exceed 24.

    Raises
    ------
    units.UnitError
        When a range is not two times of day.
    """
    if text.strip() == ALL:
        return ((0.0, 24.0),)
    return tuple(_range(part) for part in text.split(",") if part.strip())


def _range(text: str) -> tuple[float, float]:
    start, dash, end = text.replace("–", "-").partition("-")
    if not dash:
        raise units.UnitError(
            f'"{units.shorten(text)}" is not a range of hours; write it like "18:00-22:30", or "all".'
        )
    first, last = times.read_clock(start), times.read_clock(end)
    return (first, last) if last > first else (first, last + 24.0)


def overlap_h(ranges: Ranges, start_h: float, end_h: float) -> float:
    """How long the ranges, repeated every day, cover a stretch of time.

    Parameters
    ----------
    ranges : (start, end) pairs [h]
    start_h : [h] begin of the stretch
    end_h : [h] end of the stretch, at most 48 h later

    Returns
    -------
    float
        [h]; ranges that overlap one another are counted once.
    """
    pieces = sorted(
        (max(start_h, first + day), min(end_h, last + day))
        for first, last in ranges
        for day in DAYS
        if min(end_h, last + day) > max(start_h, first + day)
    )
    total, reached = 0.0, start_h
    for first, last in pieces:
        total += max(0.0, last - max(first, reached))
        reached = max(reached, last)
    return total


def write_range(start_h: float, hours: float) -> str:
    """A range that begins at a time of day and lasts so long, as it stands in a file.

    Parameters
    ----------
    start_h : [h] after midnight
    hours : [h] 0 gives an empty text (never on), 24 or more gives ``all``
    """
    if round(hours * 60) <= 0:
        return ""
    if hours >= 24:
        return ALL
    return f"{times.clock(start_h)}-{times.clock(start_h + hours)}"
