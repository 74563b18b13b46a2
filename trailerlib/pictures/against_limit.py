"""Bars of one quantity against one limit, the one that is looked at standing out."""

from __future__ import annotations

from trailerlib.pictures.canvas import Axis, Ink, Sheet, round_up, ticks
from trailerlib.pictures.lettering import cut, wide
from trailerlib.studies.lessons.lesson import Bars

WIDTH, HEIGHT = 520.0, 280.0
TOP, BOTTOM, RIGHT, GAP = 56.0, 246.0, 440.0, 10.0
MOST_LEFT, LETTERS = 170.0, 13.0


def against_limit(bars: Bars, ink: Ink = "screen") -> str:
    """The bars, their values in words, and the limit as a line.

    Parameters
    ----------
    bars : what to draw
    ink : ``screen`` or ``paper``
    """
    sheet = Sheet(WIDTH, HEIGHT, bars.title, ink)
    left = min(MOST_LEFT, max(wide(bar.name, LETTERS, True) for bar in bars.bars)) + GAP
    most = max([bars.limit, *(bar.value for bar in bars.bars if bar.value is not None)])
    across = Axis(0.0, round_up(1.02 * most), left, RIGHT)
    sheet.text(8, 18, bars.title, LETTERS, bold=True)
    for value in ticks(across.low, across.high, 7):
        sheet.line([(across(value), TOP - 6), (across(value), BOTTOM)], "grid")
        sheet.text(across(value), BOTTOM + 15, f"{value:g}", 12, anchor="middle")
    at = across(bars.limit)
    sheet.line([(at, TOP - 10), (at, BOTTOM)], "stop", 2.0, "6 3")
    _rows(sheet, bars, across, left, at)
    sheet.text(min(max(at, 100.0), WIDTH - 110), TOP - 16, bars.limit_words, 12.5, "stop", "middle", True)
    return sheet.svg()


def _rows(sheet: Sheet, bars: Bars, across: Axis, left: float, limit_at: float) -> None:
    row = (BOTTOM - TOP) / len(bars.bars)
    for number, bar in enumerate(bars.bars):
        y, here, fails = TOP + (number + 0.5) * row, bar.name == bars.here, bars.fails(bar)
        tint = "stop" if fails else "holds"
        thick = min(0.62 * row, 26.0)
        end = left if bar.value is None else across(bar.value)
        sheet.box(left, y - thick / 2, end - left, thick, tint, tint if here else None, opacity=0.9 if here else 0.3)
        sheet.text(left - GAP + 2, y + 4.5, cut(bar.name, LETTERS, left - GAP, here), LETTERS, anchor="end", bold=here)
        words = ("▲ " if fails else "✓ ") + bar.words if here else bar.words
        room = wide(words, 12.5, here)
        begin = limit_at + 6 if end < limit_at < end + 6 + room else end + 6  # beside the line, never across it
        sheet.text(min(begin, WIDTH - room - 2), y + 4.5, words, 12.5, tint, bold=here, halo=True)
