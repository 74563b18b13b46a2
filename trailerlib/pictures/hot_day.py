"""The hot day: air outside, the roof in the sun, inside without power and with the cooler, and when it runs."""

from __future__ import annotations

import numpy as np

from trailerlib import units
from trailerlib.pictures.box_heat import nothing
from trailerlib.pictures.canvas import Axis, Ink, Sheet, legend, ticks
from trailerlib.studies.answer import Answer
from trailerlib.studies.cooling.picture import CoolingPicture, Floats, HotDay

WIDTH, HEIGHT = 520.0, 304.0
LEFT, RIGHT, TOP, FOOT = 46.0, 508.0, 42.0, 252.0
BARS = (258.0, 268.0)  # [px] top and bottom of the row that says when the cooler runs
MOST_POINTS = 145


def hot_day(answer: Answer, ghost: Answer | None = None, ink: Ink = "screen") -> str:
    """Temperatures over the hottest day.

    Parameters
    ----------
    answer : the answer of the cooling study
    ghost : the answer before the last move, its inside drawn thin
    ink : ``screen`` or ``paper``
    """
    sheet = Sheet(WIDTH, HEIGHT, "Temperatures over the hot day", ink)
    day, before = _day(answer), _day(ghost)
    if day is None:
        return nothing(sheet, answer, "day")
    across = Axis(0.0, 24.0, LEFT, RIGHT)
    up = _scale(day, answer.system)
    _frame(sheet, across, up, answer.system)
    if day.set_c is not None and day.held_c is not None:
        _set_point(sheet, up, day.set_c, answer.system)
    if before is not None:
        for line in (before.free_c, before.held_c):
            _curve(sheet, across, up, before.hour_h, line, answer.system, "ghost", 1.4)
    for line, tint, width, dash in (
        (day.roof_c, "stop", 1.6, "2 3"),
        (day.outside_c, "dc", 1.8, ""),
        (day.free_c, "watch", 2.2, ""),
        (day.held_c, "holds", 2.6, ""),
    ):
        _curve(sheet, across, up, day.hour_h, line, answer.system, tint, width, dash)
    _runs(sheet, across, day)
    _keys(sheet, day, before, answer.system)
    return sheet.svg()


def _day(answer: Answer | None) -> HotDay | None:
    picture: CoolingPicture | None = None if answer is None else answer.picture
    return None if picture is None else picture.day


def _scale(day: HotDay, system: units.System) -> Axis:
    """Shown degrees to pixels; ends on tens, so that the scale does not jump with every move."""
    lines = [line for line in (day.outside_c, day.roof_c, day.free_c, day.held_c) if line is not None]
    low, high = (units.outside(float(edge(np.concatenate(lines))), "temperature", system) for edge in (np.min, np.max))
    return Axis(10.0 * np.floor(low / 10.0), 10.0 * np.ceil(high / 10.0), FOOT, TOP)


def _frame(sheet: Sheet, across: Axis, up: Axis, system: units.System) -> None:
    for value in ticks(up.low, up.high, 7):
        sheet.line([(LEFT, up(value)), (RIGHT, up(value))], "grid")
        sheet.text(LEFT - 6, up(value) + 4, f"{value:g}", 12, anchor="end")
    sheet.text(8, TOP - 8, units.unit("temperature", system), 12)
    for hour in range(0, 25, 3):
        sheet.line([(across(hour), TOP), (across(hour), BARS[1])], "grid")
        end = hour == 24
        sheet.text(
            RIGHT if end else across(hour), BARS[1] + 16, f"{hour:02d}:00", 12, anchor="end" if end else "middle"
        )
    sheet.text((LEFT + RIGHT) / 2, BARS[1] + 31, "hours of the day, clock by the sun", 11, "ghost", "middle")


def _set_point(sheet: Sheet, up: Axis, set_c: float, system: units.System) -> None:
    y = up(units.outside(set_c, "temperature", system))
    sheet.line([(LEFT, y), (RIGHT, y)], "stop", 1.6, "6 4")


def _curve(
    sheet: Sheet,
    across: Axis,
    up: Axis,
    hours: Floats,
    line: Floats | None,
    system: units.System,
    tint: str,
    width: float,
    dash: str = "",
) -> None:
    """One temperature over the day; a sawtooth of the thermostat keeps its highest and lowest points."""
    if line is None:
        return
    shown = [units.outside(float(c), "temperature", system) for c in line[_kept(line)]]
    points = [(across(float(h)), up(value)) for h, value in zip(hours[_kept(line)], shown, strict=True)]
    sheet.line(points, tint, width, dash)


def _kept(line: Floats) -> Floats:
    each = -(-len(line) // MOST_POINTS)
    spare = -len(line) % each
    columns = np.append(line, np.full(spare, line[-1])).reshape(-1, each)
    begins = each * np.arange(len(columns))
    keep = np.concatenate([[0, len(line) - 1], begins + columns.argmin(axis=1), begins + columns.argmax(axis=1)])
    kept: Floats = np.unique(np.minimum(keep, len(line) - 1))
    return kept


def _runs(sheet: Sheet, across: Axis, day: HotDay) -> None:
    """When the cooler runs; short runs are drawn a hair wide, so that none is lost."""
    if day.held_c is None:
        return
    sheet.text(LEFT - 6, BARS[1] - 1, "cooler", 11, anchor="end")
    sheet.box(LEFT, BARS[0], RIGHT - LEFT, BARS[1] - BARS[0], "wash")
    for first, last in day.on_h:
        sheet.box(across(first), BARS[0], max(across(last) - across(first), 0.8), BARS[1] - BARS[0], "mains", round_=0)


def _keys(sheet: Sheet, day: HotDay, before: HotDay | None, system: units.System) -> None:
    def said(line: Floats) -> str:
        return units.show(float(line.max()), "temperature", system)

    first = [
        ("dash", "stop", f"roof in the sun {said(day.roof_c)}"),
        ("line", "dc", f"outside {said(day.outside_c)}"),
        ("line", "watch", f"inside, no power {said(day.free_c)}"),
    ]
    second = []
    if day.held_c is not None:
        second.append(("line", "holds", f"inside, cooler on {said(day.held_c)}"))
        if day.set_c is not None:
            second.append(("dash", "stop", f"set point {units.show(day.set_c, 'temperature', system)}"))
    if before is not None:
        second.append(("line", "ghost", "before the last move"))
    legend(sheet, 8, 10, first)
    legend(sheet, LEFT + 4, 27, second)
