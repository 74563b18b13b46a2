"""The trip as hours: which stay when, what is switched on in each step, how cold it is."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.model import BATTERY_SUPPLY, TOWING_SUPPLY, Stay
from trailerlib.studies.feeder import Floats
from trailerlib.studies.timetable import Stretch, battery_stays, stretches

STEP_H = 1 / 12  # five minutes
GAP = ""  # between two stays nothing is on and there is no supply


@dataclass(frozen=True)
class Span:
    """A stay of the trip; begin and end [h after midnight of the first day]."""

    name: str
    supply: str
    begin_h: float
    end_h: float

    @property
    def on_mains(self) -> bool:
        """Whether a mains supply feeds it: shore, a household outlet or a generator."""
        return self.supply not in (BATTERY_SUPPLY, TOWING_SUPPLY, GAP)


@dataclass(frozen=True)
class Timeline:
    """The steps of a trip, none longer than five minutes and none across a switching.

    ``edges_h`` [h] has shape (steps + 1,), ``air_c`` [degC] and ``which`` (steps,); ``which`` is the number of the
    stretch a step lies in, ``span_of`` that of each stretch's span, -1 in a gap. ``spans`` are the stays alone.
    """

    spans: tuple[Span, ...]
    edges_h: Floats
    air_c: Floats
    parts: tuple[Stretch, ...]
    span_of: tuple[int, ...]
    which: np.ndarray[tuple[int], np.dtype[np.int64]]

    @property
    def step_h(self) -> Floats:
        """Length of each step [h]."""
        return np.diff(self.edges_h)

    @property
    def hours(self) -> float:
        """How long the trip lasts [h]."""
        return float(self.edges_h[-1] - self.edges_h[0])

    def steps_of(self, chosen: tuple[bool, ...]) -> Floats:
        """1 in the steps whose stretch is chosen, else 0; one word for each stretch."""
        return np.array(chosen, dtype=float)[self.which]

    def on_mains(self) -> Floats:
        """1 in the steps that a mains supply feeds, else 0; shape (steps,)."""
        return self.steps_of(tuple(n >= 0 and self.spans[n].on_mains for n in self.span_of))

    def towing(self) -> Floats:
        """1 in the steps on the road, else 0; shape (steps,)."""
        return self.steps_of(tuple(n >= 0 and self.spans[n].supply == TOWING_SUPPLY for n in self.span_of))


def order(design: Design) -> tuple[Stay, ...]:
    """The stays as they are lived: the trip's, else every stay once, as the day brings them from the first night on."""
    if design.trip.stays:
        return tuple(design.stay(name) for name in design.trip.stays)
    first = next(iter((*battery_stays(design), *design.stays)), None)
    if first is None:
        return ()
    others = [stay for stay in design.stays if stay is not first]
    return (first, *sorted(others, key=lambda stay: (stay.start - first.start) % 24.0))


def spans(design: Design) -> tuple[Span, ...]:
    """Each stay at the next hour it begins at, after the one before has ended."""
    laid: list[Span] = []
    for stay in order(design):
        ended = laid[-1].end_h if laid else stay.start
        begin = stay.start + 24.0 * math.ceil((ended - stay.start) / 24.0 - 1e-9)
        laid.append(Span(stay.name, stay.supply, begin, begin + stay.hours))
    return tuple(laid)


def unknown_air(design: Design) -> str | None:
    """Which stretch of the trip has no temperature, in words; None when all have."""
    if design.site.coldest is not None:
        return None
    for stay in order(design):
        if stay.ambient is None:
            return f"how cold it gets in “{stay.name}” is not given"
    laid = spans(design)
    if any(after.begin_h - before.end_h > 1e-9 for before, after in zip(laid, laid[1:], strict=False)):
        return "how cold it gets between the stays is not given"
    return None


def timeline(design: Design) -> Timeline:
    """The trip cut into steps; every temperature must be known (see ``unknown_air``)."""
    laid = spans(design)
    parts = tuple(_parts(design, laid))
    counts = [max(1, math.ceil(part.hours / STEP_H - 1e-9)) for _, part, _ in parts]
    edges = [part.start_h + part.hours / n * np.arange(n) for (_, part, _), n in zip(parts, counts, strict=True)]
    which = np.repeat(np.arange(len(parts)), counts)
    return Timeline(
        laid,
        np.append(np.concatenate(edges), parts[-1][1].end_h),
        np.array([air for _, _, air in parts])[which],
        tuple(part for _, part, _ in parts),
        tuple(number for number, _, _ in parts),
        which,
    )


def _parts(design: Design, laid: tuple[Span, ...]) -> Iterator[tuple[int, Stretch, float]]:
    """Number of the span (-1 in a gap), stretch on the trip's clock, air [degC]."""
    ended = laid[0].begin_h
    for number, span in enumerate(laid):
        if span.begin_h - ended > 1e-9:
            yield -1, Stretch(ended, span.begin_h, frozenset()), _air(design, None)
        stay = design.stay(span.name)
        later, ended = span.begin_h - stay.start, span.end_h
        for part in stretches(design, stay):
            yield number, Stretch(part.start_h + later, part.end_h + later, part.on), _air(design, stay)


def _air(design: Design, stay: Stay | None) -> float:
    air = design.site.coldest if stay is None or stay.ambient is None else stay.ambient
    return math.nan if air is None else air
