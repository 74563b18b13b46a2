"""The night: what is on, above; charge over the same hours and the floor it should keep, below."""

from __future__ import annotations

import numpy as np

from trailerlib import times, units
from trailerlib.pictures.canvas import Axis, Ink, Sheet, legend
from trailerlib.pictures.lettering import broken, cut, wide
from trailerlib.pictures.lowest_point import lowest_point, over_floor
from trailerlib.rules.battery import DEPTH
from trailerlib.studies.answer import Answer
from trailerlib.studies.discharge import NightPicture

WIDTH, HEIGHT = 520.0, 320.0
LEFT, RIGHT, BARS, BOTTOM = 46.0, 508.0, 50.0, HEIGHT - 24.0
BASIS, BASIS_LINE, BASIS_LINES = 11.0, 12.5, 2  # [px] letters and lines of what the floor rests on
ROW, LETTERS = 14.0, 11.5
MOST_POINTS = 120
MOST_BARS = 9

Flat = tuple[float, float]
Pieces = tuple[tuple[float, float], ...]


def night_curve(answer: Answer, ghost: Answer | None = None, ink: Ink = "screen") -> str:
    """Bars of the loads over the hours of the stay, and the state of charge under them.

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
    before: NightPicture | None = None if ghost is None else ghost.picture
    top = BARS + ROW * min(len(picture.on), MOST_BARS + 1) + 10
    across = Axis(float(picture.time_h[0]), float(picture.time_h[-1]), LEFT, RIGHT)
    up = Axis(0.0, 1.0, BOTTOM, top)
    _frame(sheet, across, up)
    _loads(sheet, across, picture)
    _curve(sheet, across, up, picture, before)
    _basis(sheet, answer)
    tint = _tint(picture)
    keys = [("line", tint, "charge"), ("dash", "stop", f"usable floor {100 * picture.floor:g} %")]
    legend(sheet, LEFT, 12, [*keys, ("line", "ghost", "before the last move")] if ghost is not None else keys)
    return sheet.svg()


def _tint(picture: NightPicture) -> str:
    return "stop" if float(picture.charge.min()) < picture.floor - 1e-9 else "holds"


def _curve(sheet: Sheet, across: Axis, up: Axis, picture: NightPicture, before: NightPicture | None) -> None:
    """The floor, the charge before the last move and now, and its lowest point."""
    tint = _tint(picture)
    floor = [(LEFT, up(picture.floor)), (RIGHT, up(picture.floor))]
    earlier = [] if before is None else _points(across, up, before)
    points = _points(across, up, picture)
    over_floor(sheet, points, earlier, floor, BOTTOM, tint)
    k = int(picture.charge.argmin())
    at = across(float(picture.time_h[k])), up(float(picture.charge[k]))
    words = f"{units.figures(100 * float(picture.charge[k]))} %"
    lowest_point(sheet, at, words, tint, (points, floor, earlier), (LEFT, up(1.0) - 6, RIGHT + 8, BOTTOM))


def _points(across: Axis, up: Axis, picture: NightPicture) -> list[Flat]:
    """Points of the curve [px]; a ghost of another night is drawn as far as this one reaches."""
    stride = max(1, len(picture.time_h) // MOST_POINTS)
    keep = np.unique([*range(0, len(picture.time_h), stride), len(picture.time_h) - 1, int(picture.charge.argmin())])
    inside = (picture.time_h[keep] >= across.low - 1e-9) & (picture.time_h[keep] <= across.high + 1e-9)
    return [(across(float(picture.time_h[k])), up(float(picture.charge[k]))) for k in keep[inside]]


def _frame(sheet: Sheet, across: Axis, up: Axis) -> None:
    shares = (0, 0.25, 0.5, 0.75, 1.0) if up.start - up.end > 80 else (0, 0.5, 1.0)
    for share in shares:
        sheet.line([(LEFT, up(share)), (RIGHT, up(share))], "grid")
        sheet.text(LEFT - 7, up(share) + 4, f"{share * 100:g} %", 12, anchor="end")
    step = 1 if across.high - across.low <= 8 else 2 if across.high - across.low <= 18 else 4
    hour = np.ceil(across.low / step) * step
    while hour <= across.high + 1e-9:
        sheet.line([(across(hour), BARS - 2), (across(hour), BOTTOM + 4)], "grid")
        last = across(hour) > RIGHT - 16
        sheet.text(
            RIGHT if last else across(hour), BOTTOM + 17, times.clock(hour), 12, anchor="end" if last else "middle"
        )
        hour += step


def _basis(sheet: Sheet, answer: Answer) -> None:
    """What the floor rests on, as the finding about it says."""
    check = next((check for check in answer.checks if check.rule == DEPTH.id), None)
    words = "not checked" if check is None else f"{check.clause} ({check.confidence})"
    for number, line in enumerate(broken(words, BASIS, RIGHT - LEFT, BASIS_LINES)):
        sheet.text(LEFT, 29 + number * BASIS_LINE, line, BASIS, "ghost")


def _loads(sheet: Sheet, across: Axis, picture: NightPicture) -> None:
    """A bar a load over the hours it is on, with its name in or beside it; what finds no room is counted."""
    names = list(picture.on)
    for place, name in enumerate(names[:MOST_BARS]):
        _bar(sheet, across, name, picture.on[name], BARS + place * ROW)
    more = names[MOST_BARS:]
    if more:
        words = f"and {len(more)} more: {', '.join(more)}"
        sheet.text(LEFT + 4, BARS + MOST_BARS * ROW + 9.5, cut(words, LETTERS, RIGHT - LEFT - 8), LETTERS)


def _bar(sheet: Sheet, across: Axis, name: str, pieces: Pieces, y: float) -> None:
    for first, last in pieces:
        sheet.box(across(first), y, max(across(last) - across(first), 2.0), ROW - 2, "dc", opacity=0.28)
    first, words = across(pieces[0][0]), wide(name, LETTERS)
    right, left = RIGHT - first - 6, first - LEFT - 6
    if words > right and left > right:
        sheet.text(first - 4, y + 9.5, cut(name, LETTERS, left), LETTERS, anchor="end")
    else:
        sheet.text(first + 4, y + 9.5, cut(name, LETTERS, right), LETTERS)
