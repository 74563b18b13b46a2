"""A lamp at the end of its run, as bright as its voltage lets it be."""

from __future__ import annotations

import math

from trailerlib import units
from trailerlib.pictures.canvas import Ink, Sheet
from trailerlib.studies.lessons.one_lamp import LampLine

WIDTH, HEIGHT = 520.0, 236.0
BATTERY, LAMP = 66.0, 420.0  # [px] where the wire begins, and where the lamp hangs at the farthest
NEAREST, FARTHEST_M = 262.0, 62.0
OUT, BACK = 104.0, 152.0
RINGS, GLOW = 7, 58.0  # rings of light, and how far they reach at full light [px]


def lamp_light(now: LampLine, ink: Ink = "screen") -> str:
    """The battery, the wire out and back, and the lamp with its light.

    Parameters
    ----------
    now : the lamp as it burns
    ink : ``screen`` or ``paper``
    """
    sheet = Sheet(WIDTH, HEIGHT, "A lamp at the end of its wire", ink)
    x = NEAREST + (LAMP - NEAREST) * min(now.run_m / FARTHEST_M, 1.0)
    show = units.show
    _battery(sheet, now)
    half = 0.5 * (now.source_v - now.load_v)
    for y, words in ((OUT, "lost on the way out"), (BACK, "lost on the way back")):
        sheet.line([(BATTERY, y), (x, y)], "dc", 3.0)
        below = y == BACK
        sheet.text((BATTERY + x) / 2, y + (18 if below else -8), show(half, "voltage", now.system), 13, anchor="middle")
        sheet.text((BATTERY + x) / 2, y + (33 if below else -23), words, 11.5, "ghost", "middle")
    sheet.text(
        (BATTERY + x) / 2, (OUT + BACK) / 2 + 4, show(now.run_m, "length", now.system), 13, anchor="middle", bold=True
    )
    _lamp(sheet, x, now)
    sheet.text(
        8, HEIGHT - 8, "light with the 3.4th power of the voltage: lamp makers' exponent, from memory", 10.5, "ghost"
    )
    return sheet.svg()


def _battery(sheet: Sheet, now: LampLine) -> None:
    sheet.box(18, OUT - 14, BATTERY - 18, BACK - OUT + 28, "wash", "ink", width=1.6)
    sheet.text(42, OUT + 6, "+", 16, anchor="middle", bold=True)
    sheet.text(42, BACK + 4, "−", 16, anchor="middle", bold=True)
    sheet.text(12, BACK + 36, f"battery {units.show(now.source_v, 'voltage', now.system)}", 13)


def _lamp(sheet: Sheet, x: float, now: LampLine) -> None:
    """Rings that grow with the light, paler outward; the words say what the eye may not tell."""
    middle, dim = (OUT + BACK) / 2, now.light < now.dim
    for ring in range(RINGS, 0, -1):
        reach = 17 + (GLOW * min(now.light, 1.2)) * ring / RINGS
        points = _circle(x, middle, reach)
        sheet.area(points, "watch", 0.16 * min(now.light, 1.0) ** 1.5)
    sheet.dot(x, middle, 17, "paper", "ink")
    sheet.area(_circle(x, middle, 16), "watch", min(1.0, 0.9 * now.light))
    sheet.line([(x, OUT), (x, middle - 17)], "dc", 3.0)
    sheet.line([(x, BACK), (x, middle + 17)], "dc", 3.0)
    sheet.line([(x - 9, middle - 9), (x + 9, middle + 9)], "ink", 1.4)
    sheet.line([(x - 9, middle + 9), (x + 9, middle - 9)], "ink", 1.4)
    tint, mark = ("stop", "▲ ") if dim else ("holds", "✓ ")
    words = f"{units.show(now.load_v, 'voltage', now.system)} at the lamp"
    light = f"{mark}{units.show(now.light, 'fraction', now.system)} of its light"
    sheet.text(min(x, 430), 34, words, 14, anchor="middle", bold=True)
    sheet.text(min(x, 430), 54, light, 14, tint, "middle", True)


def _circle(x: float, y: float, radius: float) -> list[tuple[float, float]]:
    return [(x + radius * math.cos(math.tau * k / 36), y + radius * math.sin(math.tau * k / 36)) for k in range(36)]
