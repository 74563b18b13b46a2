"""All lessons by their key, in the order they are taken."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from trailerlib.design.errors import DesignError
from trailerlib.studies.lessons import cold_battery, fuse, gauge, one_lamp
from trailerlib.studies.lessons.lesson import Lesson

LESSONS: Mapping[str, Lesson] = MappingProxyType(
    {room.LESSON.key: room.LESSON for room in (one_lamp, gauge, fuse, cold_battery)}
)


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
