"""A wire warming after a short, with the fuse beside it: whichever gives way first."""

from __future__ import annotations

import math

import numpy as np

from trailerlib import units
from trailerlib.pictures.canvas import Axis, Ink, Sheet, round_up, ticks
from trailerlib.pictures.lettering import wide
from trailerlib.studies.lessons.fuse import Warming

WIDTH, HEIGHT = 520.0, 280.0
LEFT, RIGHT, TOP, BOTTOM = 50.0, 356.0, 112.0, 240.0
WIRE_Y, FUSE_X = 52.0, 440.0
PIECES = 24


def warming_wire(now: Warming, ink: Ink = "screen") -> str:
    """The wire in the colour of its heat, the fuse, and the temperature over time up to this moment.

    Parameters
    ----------
    now : the wire at a moment after the short
    ink : ``screen`` or ``paper``
    """
    sheet = Sheet(WIDTH, HEIGHT, "A wire after a short, and its fuse", ink)
    _wire(sheet, now)
    _fuse(sheet, now)
    _chart(sheet, now)
    sheet.text(
        8, HEIGHT - 5, "heat balance of the wire, no heat stored in its insulation; the fuse's band from its table",
        10.5, "ghost",
    )  # fmt: skip
    return sheet.svg()


def _share(now: Warming) -> float:
    cold = float(now.wire_c[0])
    return max(0.0, min((now.now_c - cold) / (now.limit_c - cold), 1.3))


def _wire(sheet: Sheet, now: Warming) -> None:
    """Insulation round copper; it glows with the heat and runs off past its limit."""
    share, burnt = _share(now), now.now_c > now.limit_c
    tint = "stop" if burnt else "watch" if share > 0.5 else "dc"
    sheet.line([(LEFT, WIRE_Y), (RIGHT, WIRE_Y)], "ghost", 15, opacity=0.35)
    if share > 0.02:
        sheet.line(
            [(LEFT, WIRE_Y), (RIGHT, WIRE_Y)], tint, 15 + 11 * min(share, 1.0), opacity=0.15 + 0.5 * min(share, 1.0)
        )
    sheet.line([(LEFT, WIRE_Y), (RIGHT, WIRE_Y)], tint, 5)
    if burnt:
        for k in range(PIECES):
            x = LEFT + (k + 0.5) * (RIGHT - LEFT) / PIECES
            sheet.line([(x, WIRE_Y + 9), (x + 2 * math.sin(k), WIRE_Y + 17 + 5 * (k % 3))], "stop", 3)
    state = "the insulation runs off" if burnt else "the insulation holds"
    mark = "■ " if burnt else "✓ "
    sheet.text(LEFT, 20, f"wire: {units.show(now.now_c, 'temperature', now.system)}", 14, bold=True)
    sheet.text(RIGHT, 20, mark + state, 13, "stop" if burnt else "holds", "end", True)


def _fuse(sheet: Sheet, now: Warming) -> None:
    """A blade fuse: its bridge is there or not."""
    sheet.box(FUSE_X - 40, 30, 80, 44, "wash", "ink", width=1.6, round_=6)
    for x in (FUSE_X - 28, FUSE_X + 28):
        sheet.line([(x, 60), (x, 92)], "ghost", 10)
    bridge = [(FUSE_X - 28, 52), (FUSE_X - 12, 44), (FUSE_X + 12, 60), (FUSE_X + 28, 52)]
    if now.opened:
        sheet.line(bridge[:2], "stop", 3)
        sheet.line(bridge[2:], "stop", 3)
    else:
        sheet.line(bridge, "dc", 3)
    rating = units.show(now.fuse_a, "current", now.system)
    sheet.text(FUSE_X, 20, f"fuse {rating}", 14, anchor="middle", bold=True)
    sheet.text(
        FUSE_X, 110, "has opened" if now.opened else "holds", 13, "stop" if now.opened else "ink", "middle", True
    )
    for k, line in enumerate(_fuse_words(now)):
        sheet.text(FUSE_X + 70, 134 + 17 * k, line, 12, "ghost", "end")


def _fuse_words(now: Warming) -> tuple[str, ...]:
    flows = f"{units.show(now.current_a, 'current', now.system)} flow"
    if math.isinf(now.least_s):
        return (flows, "that is below its rating:", "it need never open")
    latest = "maybe never" if math.isinf(now.most_s) else f"{units.figures(now.most_s)} s"
    return (flows, f"opens after {units.figures(now.least_s)} s", f"at the latest: {latest}")


def _chart(sheet: Sheet, now: Warming) -> None:
    system = now.system
    shown = [units.outside(float(c), "temperature", system) for c in now.wire_c]
    limit = units.outside(now.limit_c, "temperature", system)
    up = Axis(0.0, round_up(1.1 * max(*shown, limit)), BOTTOM, TOP)
    across = Axis(0.0, float(now.seconds[-1]), LEFT, RIGHT)
    for value in ticks(up.low, up.high, 5):
        sheet.line([(LEFT, up(value)), (RIGHT, up(value))], "grid")
        sheet.text(LEFT - 6, up(value) + 4, f"{value:g}", 12, anchor="end")
    for second in ticks(0.0, across.high, 6):
        sheet.text(across(second), BOTTOM + 14, f"{second:g}", 12, anchor="middle")
    sheet.text(RIGHT + 20, BOTTOM + 14, "s after the short", 12)
    sheet.text(8, TOP - 12, f"wire [{units.unit('temperature', system)}]", 12)
    points = [(across(float(s)), up(c)) for s, c in zip(now.seconds, shown, strict=True)]
    sheet.line(points, "ghost", 1.4, "3 3")
    reached = int(np.searchsorted(now.seconds, now.now_s, side="right"))
    here = (across(now.now_s), up(units.outside(now.now_c, "temperature", system)))
    sheet.line([*points[:reached], here], "stop" if now.now_c > now.limit_c else "dc", 2.6)
    sheet.line([(LEFT, up(limit)), (RIGHT, up(limit))], "stop", 1.6, "6 3")
    words = "the insulation stands no more"
    sheet.text(RIGHT - 4, up(limit) + 15, words, 12, "stop", "end", halo=True) if wide(words) < RIGHT - LEFT else None
    sheet.dot(*here, 5, "stop" if now.now_c > now.limit_c else "dc", "paper")
