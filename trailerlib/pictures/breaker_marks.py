"""Marks of a breaker: its body with the handle, its load against its rating, and the words for it."""

from __future__ import annotations

from collections.abc import Sequence

from trailerlib.pictures.canvas import Sheet
from trailerlib.studies.breakers import Breaker
from trailerlib.studies.mains import LONG_SHARE
from trailerlib.units import figures

BODY_W, HANDLE_W = 46.0, 22.0
FULL = 0.72  # where on the bar the rating lies; what is beyond shows in the rest


def breaker_body(sheet: Sheet, x: float, y: float, w: float, h: float, rating_a: float | None, size: float) -> None:
    """A breaker: its body, the way of its handle, the handle on, its rating stamped on the handle.

    Parameters
    ----------
    sheet : where to draw
    x : [px] left end
    y : [px] top
    w : [px] width
    h : [px] height
    rating_a : [A] its rating, or None
    size : [px] letters of the stamp
    """
    sheet.box(x, y, w, h, "paper", "ink", width=1.4, round_=3)
    sheet.box(x + 4, y + 4, w - 8, h - 8, "grid", None, round_=2)
    handle = HANDLE_W * w / BODY_W
    sheet.box(x + w - 6 - handle, y + 2.5, handle, h - 5, "ink", None, round_=2)
    stamp = "?" if rating_a is None else f"{rating_a:g}"
    sheet.text(x + w - 6 - handle / 2, y + h / 2 + size * 0.36, stamp, size, "paper", "middle", bold=True)


TWO_POLES = ("two poles, one handle", "leg to leg, no neutral")


def second_pole(
    sheet: Sheet,
    x: float,
    y: float,
    w: float,
    h: float,
    rating_a: float | None,
    size: float,
    first_x: float,
    tie_y: float,
) -> None:
    """The second pole of a breaker on both legs, with the tie that joins its handle to that of the first.

    Parameters
    ----------
    sheet : where to draw
    x : [px] left end
    y : [px] top
    w : [px] width
    h : [px] height
    rating_a : [A] its rating, or None
    size : [px] letters of the stamp
    first_x : [px] left end of the first pole
    tie_y : [px] where the tie runs, under all that is written beside the first pole
    """
    breaker_body(sheet, x, y, w, h, rating_a, size)
    into = w - 6 - HANDLE_W * w / BODY_W / 2
    below = y + h - 1
    ends = [(first_x + into, below), (first_x + into, tie_y), (x + into, tie_y), (x + into, below)]
    sheet.line(ends, "ink", 2.4)


def load_bar(
    sheet: Sheet, now_a: float, before_a: float | None, rating_a: float | None, x: float, y: float, w: float, h: float
) -> None:
    """The load against the rating, a mark at 80 % and one at 100 %; beyond the end an arrow.

    Parameters
    ----------
    sheet : where to draw
    now_a : [A] what it carries
    before_a : [A] what it carried before the last move, or None
    rating_a : [A] its rating, or None
    x : [px] left end
    y : [px] top
    w : [px] width
    h : [px] height
    """
    sheet.box(x, y, w, h, "paper", "ghost", width=0.8)
    if not rating_a:
        return
    scale = FULL * w / rating_a
    length = min(now_a * scale, w - 1)
    sheet.box(x, y + 2, length, h - 4, load_tint(now_a, rating_a), opacity=0.9, round_=1)
    if before_a is not None and abs(before_a - now_a) > 1e-9:
        sheet.box(x, y + 0.5, min(before_a * scale, w - 1), h - 1, None, "ghost", width=1.4, dash="3 2")
    long_x, full_x = x + LONG_SHARE * FULL * w, x + FULL * w
    sheet.line([(long_x, y - 2), (long_x, y + h + 2)], "ink", 1.2, "2 2")
    sheet.line([(full_x, y - 3), (full_x, y + h + 3)], "stop", 2.4)
    if now_a * scale > w - 1:
        sheet.line([(x + w - 7, y + 3), (x + w - 2, y + h / 2), (x + w - 7, y + h - 3)], "paper", 2)


def load_tint(now_a: float, rating_a: float | None) -> str:
    """The colour of a load.

    Parameters
    ----------
    now_a : [A] what it carries
    rating_a : [A] its rating, or None
    """
    if rating_a is None or now_a == 0:
        return "ink"
    if now_a > rating_a + 1e-9:
        return "stop"
    return "watch" if now_a > LONG_SHARE * rating_a + 1e-9 else "holds"


def load_words(now_a: float, rating_a: float | None) -> str:
    """What it carries in words: the figures, then what they mean.

    Parameters
    ----------
    now_a : [A] what it carries
    rating_a : [A] its rating, or None
    """
    if rating_a is None:
        return f"{figures(now_a)} A, not checked"
    amps = f"{figures(now_a)} of {rating_a:g} A"
    if now_a > rating_a + 1e-9:
        return f"{amps}, over by {figures(now_a - rating_a, 2)} A"
    if now_a > LONG_SHARE * rating_a + 1e-9:
        return f"{amps}, not for 3 h"
    return f"{amps}, holds" if now_a > 0 else f"{amps}, idle"


def by_leg(breakers: Sequence[Breaker]) -> tuple[list[Breaker], list[Breaker]]:
    """A column for each leg, what has no leg in the shorter one; without what stands on both."""
    columns: tuple[list[Breaker], list[Breaker]] = ([], [])
    for breaker in sorted(breakers, key=lambda b: b.leg is None):
        shorter = 0 if len(columns[0]) <= len(columns[1]) else 1
        if not breaker.two_pole:
            columns[shorter if breaker.leg is None else 0 if breaker.on_leg(1) else 1].append(breaker)
    return columns
