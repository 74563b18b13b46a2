"""The hours of a trip from left to right: days and hours below, and a band with its stays above."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from trailerlib import times
from trailerlib.pictures.canvas import Axis, Sheet
from trailerlib.pictures.lettering import broken, cut, wide
from trailerlib.studies.trip.result import Span

SIZE, LINE = 11.5, 13.0
STEPS_H = (1, 2, 3, 4, 6, 12, 24, 48, 96, 168, 336, 672)
APART = 40.0  # [px] from one label to the next
KEY_LINES = 2
STICK = "\u00a0"  # no line is broken here
TINTS = {"battery": "dc", "towing": "watch"}  # all else is a mains supply


def supply_words(supply: str) -> str:
    """How a stay is supplied, in words.

    Parameters
    ----------
    supply : name of the supply, ``battery`` or ``towing``
    """
    return {"battery": "battery alone", "towing": "on the road"}.get(supply, supply)


def days_and_hours(sheet: Sheet, across: Axis, top: float, foot: float) -> None:
    """Grid lines at round hours with their times, and the days under them.

    Parameters
    ----------
    sheet : where to draw
    across : hours after midnight of the first day [h] to pixels
    top : [px] where the lines begin
    foot : [px] where they end; the words stand below
    """
    px = (across.end - across.start) / (across.high - across.low)
    step = next((hours for hours in STEPS_H if hours * px >= APART), STEPS_H[-1])
    for hour in np.arange(np.ceil(across.low / step - 1e-9) * step, across.high + 1e-9, step).tolist():
        sheet.line([(across(hour), top), (across(hour), foot + 3)], "grid")
        if step < 24:
            half = wide("00:00", SIZE) / 2
            x = min(max(across(hour), across.start), sheet.width - half)
            sheet.text(x, foot + 15, times.clock(hour), SIZE, anchor="middle")
    _days(sheet, across, max(1, step // 24), foot + (29 if step < 24 else 17))


def _days(sheet: Sheet, across: Axis, each: int, base: float) -> None:
    """The number of every day, or of every so many, in the middle of it."""
    for day in range(int(across.low // 24), int(np.ceil(across.high / 24)), each):
        first, last = across(max(24.0 * day, across.low)), across(min(24.0 * (day + 1), across.high))
        words = f"day {day + 1}"
        if each > 1:
            sheet.text(first, base, words if first + wide(words, SIZE) < sheet.width else "", SIZE)
        elif wide(words, SIZE) < last - first:
            sheet.text((first + last) / 2, base, words, SIZE, anchor="middle", bold=True)


def stays(sheet: Sheet, across: Axis, spans: Sequence[Span], edges: tuple[float, float]) -> int:
    """A box a stay with its name and supply; where they are too narrow, a number, and what it means below.

    Parameters
    ----------
    sheet : where to draw
    across : hours [h] to pixels
    spans : the stays
    edges : [px] top and bottom of the band

    Returns
    -------
    int
        Lines of words below the band.
    """
    for span in spans:
        first, last = across(span.begin_h), across(span.end_h)
        tint = TINTS.get(span.supply, "mains")
        sheet.box(first + 0.5, edges[0], last - first - 1, edges[1] - edges[0], tint, tint, opacity=0.16)
    return _words(sheet, across, spans, edges)


def _words(sheet: Sheet, across: Axis, spans: Sequence[Span], edges: tuple[float, float]) -> int:
    numbers = _numbers(across, spans)
    for span in spans:
        middle, number = (across(span.begin_h) + across(span.end_h)) / 2, numbers.get((span.name, span.supply))
        if number is None:
            supply = supply_words(span.supply)
            sheet.text(middle, edges[0] + 12.5, span.name, SIZE, anchor="middle")
            sheet.text(middle, edges[0] + 25.5, supply, SIZE, TINTS.get(span.supply, "mains"), "middle")
        elif wide(str(number), SIZE) <= across(span.end_h) - across(span.begin_h) - 2:
            sheet.text(middle, edges[0] + 19, str(number), SIZE, anchor="middle")
    if not numbers:
        return 0
    said = [f"{number} {name}, {supply_words(supply)}" for (name, supply), number in numbers.items()]
    lines = broken(f"{STICK}· ".join(said), SIZE, across.end - across.start, KEY_LINES)
    for place, line in enumerate(lines):
        sheet.text(across.start, edges[1] + LINE * (place + 1), cut(line, SIZE, across.end - across.start), SIZE)
    return len(lines)


def _numbers(across: Axis, spans: Sequence[Span]) -> dict[tuple[str, str], int]:
    """A number for each kind of stay whose words find no room in one of its boxes."""
    narrow = [
        (span.name, span.supply)
        for span in spans
        if max(wide(words, SIZE) for words in (span.name, supply_words(span.supply)))
        > across(span.end_h) - across(span.begin_h) - 6
    ]
    return {kind: number for number, kind in enumerate(dict.fromkeys(narrow), start=1)}
