"""A start as it happens: two seconds of current above, of voltage below, on one axis of time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trailerlib import units
from trailerlib.physics.motor_start import SHOWN_S
from trailerlib.pictures.canvas import Axis, Ink, Sheet, legend, round_up, ticks
from trailerlib.pictures.lettering import broken, cut, wide
from trailerlib.studies.generator import StartCase

WIDTH, HEIGHT = 520.0, 346.0
LEFT, RIGHT = 46.0, 378.0
WORDS = RIGHT + 8  # beyond every line, so that none can cross what is written here
UPPER, LOWER = (52.0, 160.0), (188.0, 290.0)  # [px] top and bottom of the two charts
SIZE, ROW = 12.0, 14.0
BEND_PX, FAR = 0.5, 10  # a curve gets a point for each so many pixels it bends, and at least every so many moments
BEFORE_S, NAME = 0.15, 170.0
BASIS = "lowest to start: common practice, no source; the motor's constants: from memory"
NOT_MEASURED = "the supply is not measured: held at its voltage; "

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class _Limit:
    """A level drawn as a line: its value in the chart's unit, its words, tint and dash."""

    value: float
    words: str
    tint: str
    dash: str = ""


def start_curve(
    case: StartCase | None, ghost: StartCase | None = None, *, ink: Ink = "screen", system: units.System = "us"
) -> str:
    """Current and voltage of a motor that is switched on.

    Parameters
    ----------
    case : the start; None where there is no generator
    ghost : the start before the last move, drawn thin
    ink : ``screen`` or ``paper``
    system : units of the words
    """
    sheet = Sheet(WIDTH, HEIGHT, "A start as it happens", ink)
    if case is None or case.curve is None:
        reason = "there is no generator, or no load to start" if case is None else case.gap
        for number, line in enumerate(broken(f"Nothing to draw. Not checked: {reason}.", 14, WIDTH - 60, 5)):
            sheet.text(WIDTH / 2, HEIGHT / 2 - 30 + 20 * number, line, 14, "ghost", "middle")
        return sheet.svg()
    before = ghost if ghost is not None and ghost.curve is not None and _moved(case, ghost) else None
    across = Axis(-BEFORE_S, SHOWN_S, LEFT, RIGHT)
    amps, volts = _amps_axis(case), _volts_axis(case, before)
    _frame(sheet, across, amps, UPPER, "A")
    _frame(sheet, across, volts, LOWER, "V")
    _times(sheet, across)
    _levels(sheet, amps, _current_limits(case, system))
    _levels(sheet, volts, _voltage_limits(case, system))
    if before is not None:
        _curves(sheet, across, amps, volts, before, True)
    _curves(sheet, across, amps, volts, case, False)
    _speed_mark(sheet, across, case)
    _heading(sheet, case, before is not None, system)
    basis = BASIS if case.source_known else NOT_MEASURED + BASIS
    for number, line in enumerate(broken(basis, 10.0, WIDTH - 12, 2)):
        sheet.text(8, HEIGHT - 15 + 12 * number, line, 10, "ghost")
    return sheet.svg()


def _moved(case: StartCase, ghost: StartCase) -> bool:
    if case.curve is None or ghost.curve is None:
        return False
    now, then = case.curve, ghost.curve
    return not (np.allclose(now.motor_v, then.motor_v) and np.allclose(now.motor_a, then.motor_a))


def _amps_axis(case: StartCase) -> Axis:
    assert case.curve is not None
    most = max(case.locked_a, case.surge_a or 0.0, float(np.abs(case.curve.supply_a).max()))
    return Axis(0.0, round_up(1.04 * most), UPPER[1], UPPER[0])


def _volts_axis(case: StartCase, before: StartCase | None) -> Axis:
    """From a round voltage under everything drawn; it does not jump with every move."""
    curves = [c.curve for c in (case, before) if c is not None and c.curve is not None]
    lowest = min(case.least_v, *(float(np.abs(curve.motor_v).min()) for curve in curves))
    highest = max(case.rated_v, *(float(np.abs(curve.panel_v).max()) for curve in curves))
    step = case.rated_v / 6.0
    return Axis(
        max(0.0, step * np.floor(0.97 * lowest / step)), step * np.ceil(1.02 * highest / step), LOWER[1], LOWER[0]
    )


def _frame(sheet: Sheet, across: Axis, up: Axis, edges: tuple[float, float], unit: str) -> None:
    for value in ticks(up.low, up.high, 6):
        sheet.line([(LEFT, up(value)), (RIGHT, up(value))], "grid")
        sheet.text(LEFT - 6, up(value) + 4, f"{value:g}", SIZE, anchor="end")
    for second in ticks(0.0, SHOWN_S, 5):
        sheet.line([(across(second), edges[0]), (across(second), edges[1])], "grid")
    words = {"A": "current [A]", "V": "voltage [V]"}[unit]
    sheet.text(8, edges[0] - 8, words, SIZE, bold=True)


def _times(sheet: Sheet, across: Axis) -> None:
    for second in ticks(0.0, SHOWN_S, 5):
        sheet.text(across(second), LOWER[1] + 14, f"{second:g}", SIZE, anchor="middle")
    sheet.text((LEFT + RIGHT) / 2, LOWER[1] + 29, "time after it is switched on [s]", SIZE, anchor="middle")


def _current_limits(case: StartCase, system: units.System) -> list[_Limit]:
    show = units.show
    found = [
        _Limit(case.locked_a, f"locked rotor {show(case.locked_a, 'current', system)}", "stop", "5 3"),
        _Limit(case.rated_a, f"rated {show(case.rated_a, 'current', system)}", "holds", "2 3"),
    ]
    if case.surge_a is not None:
        found.append(_Limit(case.surge_a, f"set's surge {show(case.surge_a, 'current', system)}", "watch", "7 3"))
    return found


def _voltage_limits(case: StartCase, system: units.System) -> list[_Limit]:
    show = units.show
    return [
        _Limit(case.rated_v, f"rated {show(case.rated_v, 'voltage', system)}", "holds", "2 3"),
        _Limit(case.least_v, f"lowest to start {show(case.least_v, 'voltage', system)}", "stop", "5 3"),
    ]


def _levels(sheet: Sheet, up: Axis, limits: Sequence[_Limit]) -> None:
    """Lines with their words in the margin, drawn apart where they stand too near."""
    ordered = sorted(limits, key=lambda limit: -limit.value)
    base = float("-inf")
    for limit in ordered:
        y = up(limit.value)
        base = max(base + ROW, y + 4)
        sheet.line([(LEFT, y), (RIGHT, y), (WORDS - 2, base - 4)], limit.tint, 1.4, limit.dash)
        sheet.text(WORDS, base, cut(limit.words, SIZE, WIDTH - WORDS - 2), SIZE, limit.tint)


def _curves(sheet: Sheet, across: Axis, amps: Axis, volts: Axis, case: StartCase, is_ghost: bool) -> None:
    """Motor and whole current; voltage at motor and panel. Of a ghost only the motor's."""
    curve = case.curve
    assert curve is not None
    before = float(curve.before_v)
    rest = before * float(np.abs(case.way.others_s)) if case.way is not None else 0.0
    wide_, thin = ("ghost", "ghost") if is_ghost else ("mains", "ink")
    if not is_ghost:
        sheet.line(_points(across, amps, curve.time_s, np.abs(curve.supply_a), rest), thin, 1.1)
        sheet.line(_points(across, volts, curve.time_s, np.abs(curve.panel_v), before), thin, 1.1)
    sheet.line(_points(across, amps, curve.time_s, np.abs(curve.motor_a), 0.0), wide_, 1.6 if is_ghost else 2.6)
    sheet.line(_points(across, volts, curve.time_s, np.abs(curve.motor_v), before), wide_, 1.6 if is_ghost else 2.6)


def _points(across: Axis, up: Axis, time: Floats, values: Floats, before: float) -> list[tuple[float, float]]:
    """Points of a curve [px], close together only where it bends."""
    y = up.start + (values - up.low) / (up.high - up.low) * (up.end - up.start)
    bends = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(y, 2))), [0.0]]) // BEND_PX
    keep = np.unique(np.concatenate([np.flatnonzero(np.diff(bends)), np.arange(0, len(y), FAR), [len(y) - 1]]))
    after = [(across(t), v) for t, v in zip(time[keep].tolist(), y[keep].tolist(), strict=True)]
    return [(LEFT, up(before)), (across(0.0), up(before)), *after]


def _speed_mark(sheet: Sheet, across: Axis, case: StartCase) -> None:
    if case.reached_s is None:
        return
    x, words = across(case.reached_s), f"up to speed {units.figures(case.reached_s, 2)} s"
    sheet.line([(x, UPPER[0]), (x, UPPER[1]), (x, LOWER[0] - 14), (x, LOWER[1])], "holds", 1.2, "2 3")
    right = x + 4 + wide(words, SIZE) < RIGHT
    sheet.text(x + 4 if right else x - 4, UPPER[1] + 14, words, SIZE, "holds", "start" if right else "end")


def _heading(sheet: Sheet, case: StartCase, has_ghost: bool, system: units.System) -> None:
    words, tint = _said(case, system)
    sheet.text(8, 16, cut(words, 13, WIDTH - 16), 13, tint)
    keys = [("line", "mains", "at the motor"), ("line", "ink", "all, at the panel")]
    legend(sheet, 110, 34, [*keys, ("line", "ghost", "before the last move")] if has_ghost else keys)


def _said(case: StartCase, system: units.System) -> tuple[str, str]:
    """What happens, in a line with a mark."""
    volts, load = units.show(case.dip_v, "voltage", system), cut(case.load, 13, NAME)
    if case.reached_s is None:
        ends = case.ends_s
        seconds = "" if ends is None or ends > 600 else f"; {_ending(case)} after about {units.figures(ends, 2)} s"
        return f"▲ {load} stalls at {volts}{seconds}", "stop"
    time = f"{units.figures(case.reached_s, 2)} s"
    if case.dip_v is not None and case.dip_v < case.least_v:
        return f"● {load} dips to {volts} and is up to speed late, after {time}", "watch"
    return f"✓ {load} dips to {volts} and is up to speed after {time}", "holds"


def _ending(case: StartCase) -> str:
    hold = float(case.source.hold_s) if case.source is not None and case.surge_a is not None else float("inf")
    return "the set switches off" if case.ends_s is not None and case.ends_s >= hold else "its protector opens"
