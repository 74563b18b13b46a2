"""All lessons by their key, in the order they are taken."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from trailerlib.design.errors import DesignError
from trailerlib.studies.lessons import (
    cold_battery,
    find_fault,
    fuse,
    gauge,
    long_cord,
    night_air,
    one_lamp,
    ten_mistakes,
    tongue,
    trips_first,
)
from trailerlib.studies.lessons.lesson import Lesson

_IN_ORDER = (one_lamp, gauge, fuse, cold_battery, long_cord, trips_first, night_air, find_fault, tongue, ten_mistakes)
LESSONS: Mapping[str, Lesson] = MappingProxyType({room.LESSON.key: room.LESSON for room in _IN_ORDER})


def lesson(key: str) -> Lesson:
    """One lesson by its key.

    Raises
    ------
    DesignError
        When there is none.
    """
    if key not in LESSONS:
        raise DesignError(f'there is no lesson "{key}"; there are: {", ".join(LESSONS)}.')
    return LESSONS[key]
