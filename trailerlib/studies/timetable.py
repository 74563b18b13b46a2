"""What is on when: a stay cut into stretches in which nothing is switched."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from trailerlib.design.design import Design
from trailerlib.design.hours import ALL, DAYS, overlap_h, read_ranges
from trailerlib.design.model import BATTERY_SUPPLY, Load, Stay


@dataclass(frozen=True)
class Stretch:
    """Part of a stay with the same loads on: begin and end [h after midnight of the first day]."""

    start_h: float
    end_h: float
    on: frozenset[str]

    @property
    def hours(self) -> float:
        """How long it lasts [h]."""
        return self.end_h - self.start_h


def hours_on(stay: Stay, load: Load) -> float:
    """How long a load is switched on during a stay [h]; 0 when it is off or not in the timetable."""
    text = stay.on.get(load.name)
    if text is None or not load.on:
        return 0.0
    if text.strip() == ALL:
        return stay.hours
    return overlap_h(read_ranges(text), stay.start, stay.start + stay.hours)


def stretches(design: Design, stay: Stay) -> tuple[Stretch, ...]:
    """The stay cut at every switching of a load, in order; together they last as long as the stay."""
    on = tuple((load.name, stay.on[load.name]) for load in design.loads if load.on and load.name in stay.on)
    return _cut(on, stay.start, stay.start + stay.hours)


@lru_cache(maxsize=256)
def _cut(timetable: tuple[tuple[str, str], ...], start: float, end: float) -> tuple[Stretch, ...]:
    """Several questions cut the same stay."""
    on = dict(timetable)
    cuts = {start, end}
    for text in on.values():
        if text.strip() != ALL:
            cuts.update(t for t in _edges(text) if start < t < end)
    times = sorted(cuts)
    return tuple(
        Stretch(first, last, _on_between(on, first, last)) for first, last in zip(times, times[1:], strict=False)
    )


def _edges(text: str) -> list[float]:
    return [edge + day for pair in read_ranges(text) for edge in pair for day in DAYS]


def _on_between(on: Mapping[str, str], first: float, last: float) -> frozenset[str]:
    return frozenset(
        name for name, text in on.items() if text.strip() == ALL or overlap_h(read_ranges(text), first, last) > 0
    )


def battery_stays(design: Design) -> tuple[Stay, ...]:
    """The stays that live on the battery alone."""
    return tuple(stay for stay in design.stays if stay.supply == BATTERY_SUPPLY)


def stays_on(design: Design, supply: str) -> tuple[Stay, ...]:
    """The stays on one mains supply."""
    return tuple(stay for stay in design.stays if stay.supply == supply)


def mains_stays(design: Design) -> tuple[Stay, ...]:
    """The stays on any mains supply."""
    return tuple(stay for stay in design.stays if stay.supply != BATTERY_SUPPLY)
