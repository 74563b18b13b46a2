"""The air of the night: carbon dioxide while people sleep, with the fan and shut in, and the marks beside it."""

from __future__ import annotations

import numpy as np

from trailerlib import times, units
from trailerlib.physics.indoor_air import OUTSIDE_CO2_PPM
from trailerlib.pictures.box_heat import nothing
from trailerlib.pictures.canvas import Axis, Ink, Sheet, legend, round_up, ticks
from trailerlib.pictures.lettering import cut, wide
from trailerlib.rules.air import HARM_PPM
from trailerlib.studies.answer import Answer
from trailerlib.studies.cooling.picture import CoolingPicture, Floats, NightAir

WIDTH, HEIGHT = 520.0, 304.0
LETTERS = 11.0
LEFT, RIGHT, TOP, FOOT = 54.0, 508.0, 54.0, 264.0
NO_LIMIT = "stuffy, not a limit (ASHRAE 62.1 has none since 1999)"


def night_air(answer: Answer, ghost: Answer | None = None, ink: Ink = "screen") -> str:
    """Carbon dioxide over the night.

    Parameters
    ----------
    answer : the answer of the cooling study
    ghost : the answer before the last move, its night with the fan drawn thin
    ink : ``screen`` or ``paper``
    """
    sheet = Sheet(WIDTH, HEIGHT, "Carbon dioxide over the night", ink)
    night, before = _night(answer), _night(ghost)
    if night is None:
        return nothing(sheet, answer, "night")
    across = Axis(float(night.hour_h[0]), float(night.hour_h[-1]), LEFT, RIGHT)
    highest = max(float(line.max()) for line in (night.shut_ppm, night.fan_ppm) if line is not None)
    up = Axis(0.0, round_up(1.05 * max(highest, night.mark_ppm or 0.0)), FOOT, TOP)
    _frame(sheet, across, up)
    _marks(sheet, across, up, night)
    if before is not None:
        _curve(sheet, across, up, before.hour_h, before.fan_ppm, "ghost", 1.4)
    _curve(sheet, across, up, night.hour_h, night.shut_ppm, "watch", 2.2)
    _curve(sheet, across, up, night.hour_h, night.fan_ppm, _tint(night), 2.6)
    keys = [("line", "watch", f"shut, fan off: {_ppm(night.shut_ppm)}")]
    if night.fan_ppm is not None:
        keys.append(("line", _tint(night), f"fan as set: {_ppm(night.fan_ppm)}"))
    x = 8.0
    for key in [*keys, ("line", "ghost", "before")] if before is not None else keys:
        legend(sheet, x, 10, [key])
        x += 34 + wide(key[2], 12)
    people = "one sleeper" if night.people == 1 else f"{night.people} sleepers"
    sheet.text(
        8,
        29,
        cut(f"“{night.stay}”, {people}; outside {OUTSIDE_CO2_PPM:g} ppm; wind and luck left out", 11, WIDTH - 16),
        11,
        "ghost",
    )
    return sheet.svg()


def _night(answer: Answer | None) -> NightAir | None:
    picture: CoolingPicture | None = None if answer is None else answer.picture
    return None if picture is None else picture.night


def _tint(night: NightAir) -> str:
    over = night.mark_ppm is not None and night.fan_ppm is not None and float(night.fan_ppm.max()) > night.mark_ppm
    return "stop" if over else "holds"


def _ppm(line: Floats) -> str:
    return f"{units.figures(float(line[-1]))} ppm"


def _frame(sheet: Sheet, across: Axis, up: Axis) -> None:
    for value in ticks(0.0, up.high, 6):
        sheet.line([(LEFT, up(value)), (RIGHT, up(value))], "grid")
        sheet.text(LEFT - 6, up(value) + 4, f"{value:g}", 12, anchor="end")
    sheet.text(LEFT - 6, TOP - 11, "ppm", 12, anchor="end")
    step = 1 if across.high - across.low <= 8 else 2
    for hour in np.arange(np.ceil(across.low / step) * step, across.high + 1e-9, step):
        sheet.line([(across(hour), TOP), (across(hour), FOOT + 4)], "grid")
        last = across(hour) > RIGHT - 16
        sheet.text(
            RIGHT if last else across(hour), FOOT + 17, times.clock(hour), 12, anchor="end" if last else "middle"
        )
    sheet.text((LEFT + RIGHT) / 2, FOOT + 33, "time of day", 11, "ghost", "middle")


def _marks(sheet: Sheet, across: Axis, up: Axis, night: NightAir) -> None:
    """The air outside, and with their words the mark asked for and the limit at work where it is in sight."""
    y = up(OUTSIDE_CO2_PPM)
    sheet.line([(LEFT, y), (RIGHT, y)], "ghost", 1.6, "6 4")
    lines = []
    if night.mark_ppm is not None:
        lines.append((night.mark_ppm, "stop", f"{night.mark_ppm:g} ppm asked for: {NO_LIMIT}"))
    if up.high >= HARM_PPM:
        lines.append((HARM_PPM, "stop", f"{HARM_PPM:g} ppm: eight-hour limit at work (OSHA)"))
    curves = [(night.hour_h, line) for line in (night.shut_ppm, night.fan_ppm) if line is not None]
    drawn = [(np.array([across(h) for h in hours]), np.array([up(c) for c in line])) for hours, line in curves]
    for value, tint, words in lines:
        sheet.line([(LEFT, up(value)), (RIGHT, up(value))], tint, 1.6, "6 4")
        line = cut(words, LETTERS, RIGHT - LEFT - 8)
        left, base = _clear_spot(up(value), wide(line, LETTERS), drawn)
        sheet.text(left, base, line, LETTERS, tint, halo=True)


def _clear_spot(y: float, width: float, curves: list[tuple[Floats, Floats]]) -> tuple[float, float]:
    """Where words stand at a line [px]: on its right or left, above or under it, whichever no curve passes."""
    spots = [(left, base) for base in (y - 4, y + 13) for left in (RIGHT - 2 - width, LEFT + 4)]

    def passed(spot: tuple[float, float]) -> bool:
        left, base = spot
        places = np.linspace(left - 2, left + width + 2, 60)
        heights = [np.interp(places, *curve) for curve in curves]
        return base + 3 > FOOT or any(bool(((h > base - 11) & (h < base + 5)).any()) for h in heights)

    return next((spot for spot in spots if not passed(spot)), spots[0])


def _curve(sheet: Sheet, across: Axis, up: Axis, hours: Floats, line: Floats | None, tint: str, width: float) -> None:
    if line is None:
        return
    inside = (hours >= across.low - 1e-9) & (hours <= across.high + 1e-9)
    points = [(across(float(h)), up(float(c))) for h, c in zip(hours[inside], line[inside], strict=True)]
    if len(points) > 1:
        sheet.line(points, tint, width)
