"""The way from the fuse block to the lights and back, with what the meter showed at each part of it."""

from __future__ import annotations

from typing import Literal

from trailerlib.pictures.canvas import Ink, Sheet
from trailerlib.studies.lessons.way_fault import WayFault

WIDTH, HEIGHT = 520.0, 262.0
OUT, BACK = 92.0, 172.0
FUSE, CRIMP, WIRE, LIGHTS = 54.0, 128.0, 300.0, 466.0  # [px] middles of the parts, from left to right
SIZE = 14.5
# where a reading stands: place, x, y, where its text is anchored
AT: dict[str, tuple[float, float, Literal["start", "middle", "end"]]] = {
    "fuse drop": (FUSE, OUT - 18, "middle"),
    "part/terminal of work lights out": (CRIMP, OUT + 26, "middle"),
    "part/wire of work lights out": (WIRE, OUT - 10, "middle"),
    "feed drop": (290.0, 36.0, "middle"),
    "volts": (LIGHTS - 26, 136.0, "end"),
    "fuse amps": (198.0, 136.0, "middle"),
    "part/wire of work lights back": (WIRE, BACK + 20, "middle"),
    "part/terminal of work lights back": (CRIMP, BACK - 16, "middle"),
    "return drop": (290.0, 239.0, "middle"),
}
NAMES = {
    "fuse drop": (FUSE, OUT + 30, "fuse"),
    "part/terminal of work lights out": (CRIMP, OUT - 16, "crimp"),
    "part/terminal of work lights back": (CRIMP, BACK + 24, "crimp"),
}


def fault_way(fault: WayFault, measured: tuple[str, ...], ink: Ink = "screen") -> str:
    """The way with its readings; what has not been measured has none.

    Parameters
    ----------
    fault : what is hidden
    measured : places where the meter was held
    ink : ``screen`` or ``paper``
    """
    sheet = Sheet(WIDTH, HEIGHT, "From the fuse block to the lights and back", ink)
    sheet.line([(14, OUT), (LIGHTS, OUT), (LIGHTS, BACK), (24, BACK)], "dc", 2.6)
    sheet.box(FUSE - 24, OUT - 9, 48, 18, "paper", "ink", width=1.6)
    sheet.line([(FUSE - 24, OUT), (FUSE - 8, OUT - 4), (FUSE + 8, OUT + 4), (FUSE + 24, OUT)], "ink", 1.4)
    sheet.box(18, BACK - 12, 12, 24, "ink", None)
    sheet.text(38, BACK + 30, "minus bar", SIZE, "ghost", "middle")
    for y in (OUT, BACK):
        sheet.dot(CRIMP, y, 5.5, "paper", "ink")
    sheet.dot(LIGHTS, (OUT + BACK) / 2, 15, "paper", "ink")
    for dx in (-8, 8):
        sheet.line([(LIGHTS - dx, 124), (LIGHTS + dx, 140)], "ink", 1.4)
    sheet.text(LIGHTS, BACK + 24, "lights", SIZE, "ghost", "middle")
    for y, words, foot in ((42.0, "the way out", 8), (222.0, "the way back", -8)):
        sheet.line([(88, y + foot), (88, y), (448, y), (448, y + foot)], "ghost", 1.2)
        sheet.text(92, y + (-6 if foot > 0 else 17), words, 13.5, "ghost")
    for x, y, words in NAMES.values():
        sheet.text(x, y, words, SIZE, "ghost", "middle")
    for place in measured:
        x, y, anchor = AT[place]
        off = fault.differs(place)
        mark, tint = ("▲ ", "stop") if off else ("✓ ", "holds")
        sheet.text(x, y, mark + fault.shown(place, fault.read(place)), SIZE, tint, anchor, off, halo=True)
    return sheet.svg()
