"""The night: charge over the hours, the floor it should keep, and what is on underneath."""

from __future__ import annotations

import numpy as np

from trailerlib import units
from trailerlib.pictures.canvas import Axis, Ink, Sheet, broken, legend
from trailerlib.rules.battery import DEPTH
from trailerlib.studies.answer import Answer
from trailerlib.studies.discharge import NightPicture

WIDTH, HEIGHT = 520.0, 356.0
LEFT, RIGHT, TOP = 46.0, 508.0, 56.0
BASIS, BASIS_LINE, BASIS_LINES = 11.0, 13.0, 2  # [px] letters and lines of what the floor rests on
ROW = 15.0
MOST_POINTS = 120
MOST_BARS = 9


def night_curve(answer: Answer, ghost: Answer | None = None, ink: Ink = "screen") -> str:
    """State of charge over the stay.

    Parameters
    ----------
    answer : the answer of the night study
    ghost : the answer before the last move, drawn thin
    ink : ``screen`` or ``paper``
    """
    sheet = Sheet(WIDTH, HEIGHT, "State of charge over the stay", ink)
    picture: NightPicture | None = answer.picture
    if picture is None:
        for number, line in enumerate(broken("Nothing to draw. " + answer.sentence, 14, WIDTH - 60, 5)):
            sheet.text(WIDTH / 2, HEIGHT / 2 - 40 + 20 * number, line, 14, "ghost", "middle")
        return sheet.svg()
    bars = dict(list(picture.on.items())[:MOST_BARS])
    bottom = HEIGHT - 26 - ROW * max(len(bars), 1) - 24
    across = Axis(float(picture.time_h[0]), float(picture.time_h[-1]), LEFT, RIGHT)
    up = Axis(0.0, 1.0, bottom, TOP)
    _frame(sheet, across, up, bottom)
    _floor(sheet, up, picture.floor)
    if ghost is not None and ghost.picture is not None:
        sheet.line(_points(across, up, ghost.picture), "ghost", 1.6)
    points = _points(across, up, picture)
    tint = "stop" if float(picture.charge.min()) < picture.floor - 1e-9 else "holds"
    sheet.area([(points[0][0], bottom), *points, (points[-1][0], bottom)], tint)
    sheet.line(points, tint, 2.6)
    _lowest(sheet, across, up, picture, tint)
    _loads(sheet, across, bars, bottom + 26)
    _basis(sheet, answer)
    keys = [("line", tint, "charge"), ("dash", "stop", f"usable floor {100 * picture.floor:g} %")]
    legend(sheet, LEFT, 12, [*keys, ("line", "ghost", "before the last move")] if ghost is not None else keys)
    return sheet.svg()


def _points(across: Axis, up: Axis, picture: NightPicture) -> list[tuple[float, float]]:
    stride = max(1, len(picture.time_h) // MOST_POINTS)
    keep = np.unique(np.append(np.arange(0, len(picture.time_h), stride), len(picture.time_h) - 1))
    return [(across(float(picture.time_h[k])), up(float(picture.charge[k]))) for k in keep]


def _frame(sheet: Sheet, across: Axis, up: Axis, bottom: float) -> None:
    for share in (0, 0.25, 0.5, 0.75, 1.0):
        sheet.line([(LEFT, up(share)), (RIGHT, up(share))], "grid")
        sheet.text(LEFT - 7, up(share) + 4, f"{share * 100:g} %", 12, anchor="end")
    step = 1 if across.high - across.low <= 8 else 2 if across.high - across.low <= 18 else 4
    hour = np.ceil(across.low / step) * step
    while hour <= across.high + 1e-9:
        sheet.line([(across(hour), TOP), (across(hour), bottom + 4)], "grid")
        last = across(hour) > RIGHT - 16
        sheet.text(
            RIGHT if last else across(hour), bottom + 17, units.clock(hour), 12, anchor="end" if last else "middle"
        )
        hour += step


def _floor(sheet: Sheet, up: Axis, floor: float) -> None:
    sheet.line([(LEFT, up(floor)), (RIGHT, up(floor))], "stop", 1.8, "5 3")


def _basis(sheet: Sheet, answer: Answer) -> None:
    """What the floor rests on, as the finding about it says."""
    check = next((check for check in answer.checks if check.rule == DEPTH.id), None)
    words = "not checked" if check is None else f"{check.clause} ({check.confidence})"
    for number, line in enumerate(broken(words, BASIS, RIGHT - LEFT, BASIS_LINES)):
        sheet.text(LEFT, 29 + number * BASIS_LINE, line, BASIS, "ghost")


def _lowest(sheet: Sheet, across: Axis, up: Axis, picture: NightPicture, tint: str) -> None:
    k = int(picture.charge.argmin())
    x, y = across(float(picture.time_h[k])), up(float(picture.charge[k]))
    sheet.dot(x, y, 4, tint, "paper")
    near_floor = 0 < y - up(picture.floor) < 26 or up(1.0) > y - 20
    sheet.text(
        x - 8,
        y + 18 if near_floor else y - 9,
        f"{units.figures(100 * float(picture.charge[k]))} %",
        14,
        tint,
        "end",
        bold=True,
        halo=True,
    )


def _loads(sheet: Sheet, across: Axis, bars: dict[str, tuple[tuple[float, float], ...]], top: float) -> None:
    for place, (name, pieces) in enumerate(bars.items()):
        y = top + place * ROW
        for first, last in pieces:
            sheet.box(across(first), y, max(across(last) - across(first), 2.0), ROW - 4, "dc", opacity=0.28)
        x = across(pieces[0][0])
        fits_right = x < across.start + 0.6 * (across.end - across.start)
        sheet.text(
            x + 4 if fits_right else x - 4, y + 10, name, 11, anchor="start" if fits_right else "end", halo=False
        )
