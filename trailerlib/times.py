"""Times of day and lengths of time, in and out."""

from __future__ import annotations

import re

from trailerlib.units import UnitError, shorten

_CLOCK = re.compile(r"(\d{1,2}):(\d{2})")


def read_clock(text: str) -> float:
    """A time of day such as ``22:30`` in hours after midnight, 0 to 24.

    Parameters
    ----------
    text : hours and minutes with a colon

    Raises
    ------
    UnitError
        When it is not a time of day.
    """
    match = _CLOCK.fullmatch(text.strip()) if isinstance(text, str) else None
    if match is None or int(match[2]) > 59 or int(match[1]) * 60 + int(match[2]) > 24 * 60:
        raise UnitError(f'"{shorten(str(text))}" is not a time of day; write hours and minutes, such as "22:30".')
    return int(match[1]) + int(match[2]) / 60.0


def clock(hours: float) -> str:
    """Hours after midnight as a time of day, ``06:40``; 24 h and over wraps.

    Parameters
    ----------
    hours : [h] after midnight of the first day
    """
    minutes = round(hours * 60) % (24 * 60)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def span(hours: float) -> str:
    """A length of time as ``1 h 20 min``.

    Parameters
    ----------
    hours : [h] not negative
    """
    minutes = round(abs(hours) * 60)
    if minutes < 60:
        return f"{minutes} min"
    return f"{minutes // 60} h" + (f" {minutes % 60} min" if minutes % 60 else "")
