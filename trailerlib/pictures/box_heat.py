"""The box at its worst hour: heat through each side as a band as wide as its watts, and what is set free inside."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from trailerlib import times, units
from trailerlib.pictures.canvas import Ink, Sheet, round_up
from trailerlib.pictures.lettering import broken, cut, wide
from trailerlib.studies.answer import Answer
from trailerlib.studies.cooling.picture import CoolingPicture, HeatFlows, HeatPart

WIDTH, HEIGHT = 520.0, 304.0
FACE, MIDDLE = (232.0, 96.0), (258.0, 168.0)  # [px] most the near side may take, and the middle of the drawing
SLANT, FORESHORTENED = math.radians(40.0), 0.45  # how the width of the box runs away from the reader
WIDEST, LONG, HEAD = 36.0, 46.0, 12.0  # [px] the widest band, its length, the head of its arrow
COMPASS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")
NAMES = {"roof": "roof", "floor": "floor", "road": "road side", "curb": "curb side", "nose": "nose", "rear": "rear"}
ROW = 13.0  # [px] from one line inside to the next
SHADES = (0.85, 0.5, 0.3, 0.65)

Flat = tuple[float, float]


@dataclass(frozen=True)
class _Box:
    """The box in pixels: near lower left corner, length and height of the near side, and the step to the far side."""

    left: float
    bottom: float
    length: float
    height: float
    away: Flat

    def at(self, along: float, up: float, deep: float) -> Flat:
        """A point by its share of length, height and width [px]."""
        x = self.left + along * self.length + deep * self.away[0]
        return x, self.bottom - up * self.height + deep * self.away[1]


@dataclass(frozen=True)
class _Way:
    """Where a band ends on its side, from where it comes, and where its words stand."""

    share: tuple[float, float, float]
    comes: Flat
    words: Flat
    anchor: str
    room: float


_DIAGONAL = (math.cos(SLANT), math.sin(SLANT))
_WAYS = {
    "roof": _Way((0.5, 1.0, 0.5), (0.0, -1.0), (262.0, 36.0), "middle", 190.0),
    "floor": _Way((0.5, 0.0, 0.5), (0.0, 1.0), (262.0, 288.0), "middle", 170.0),
    "nose": _Way((0.0, 0.5, 0.5), (-1.0, 0.0), (8.0, 112.0), "start", 104.0),
    "rear": _Way((1.0, 0.5, 0.5), (1.0, 0.0), (512.0, 112.0), "end", 100.0),
    "curb": _Way((0.12, 0.3, 0.0), (-_DIAGONAL[0], _DIAGONAL[1]), (8.0, 275.0), "start", 166.0),
    "road": _Way((0.85, 1.0, 1.0), (_DIAGONAL[0], -_DIAGONAL[1]), (512.0, 40.0), "end", 130.0),
}


def box_heat(answer: Answer, ghost: Answer | None = None, ink: Ink = "screen") -> str:
    """Heat through each side of the box at the worst hour.

    Parameters
    ----------
    answer : the answer of the cooling study
    ghost : the answer before the last move; its total is written beside
    ink : ``screen`` or ``paper``
    """
    sheet = Sheet(WIDTH, HEIGHT, "Heat through each side of the box", ink)
    heat = _heat(answer)
    if heat is None:
        return nothing(sheet, answer, "heat")
    box = _box(heat.size_m)
    before = _heat(ghost)
    widest = max(abs(sum(p.watts for p in _of(heat, side))) for side in (*_WAYS, "inside"))
    scale = WIDEST / round_up(widest) if widest > 0 else 0.0
    _draw(sheet, heat, box, scale, answer.system)
    _inside(sheet, heat, before, box, scale, answer.system)
    _head(sheet, heat, scale, answer.system)
    return sheet.svg()


def nothing(sheet: Sheet, answer: Answer, part: str) -> str:
    """The place of a drawing that cannot be made, with the reason in words, as ``missing`` of its picture gives it."""
    missing: dict[str, str] = {} if answer.picture is None else answer.picture.missing
    reason = missing.get(part, "")
    words = f"Nothing to draw: {reason}." if reason else "Nothing to draw. " + answer.sentence
    for number, line in enumerate(broken(words, 14, sheet.width - 60, 5)):
        sheet.text(sheet.width / 2, sheet.height / 2 - 40 + 20 * number, line, 14, "ghost", "middle")
    return sheet.svg()


def _heat(answer: Answer | None) -> HeatFlows | None:
    picture: CoolingPicture | None = None if answer is None else answer.picture
    return None if picture is None else picture.heat


def _of(heat: HeatFlows, side: str) -> list[HeatPart]:
    return [part for part in heat.parts if part.side == side]


def _box(size_m: tuple[float, float, float]) -> _Box:
    length, width, height = size_m
    px = min(FACE[0] / length, FACE[1] / height)
    far = FORESHORTENED * min(width * px, 130.0)
    away = (far * math.cos(SLANT), -far * math.sin(SLANT))
    left = MIDDLE[0] - (length * px + away[0]) / 2
    return _Box(left, MIDDLE[1] + (height * px - away[1]) / 2, length * px, height * px, away)


def _draw(sheet: Sheet, heat: HeatFlows, box: _Box, scale: float, system: units.System) -> None:
    """The bands from behind, the box over them, then the bands that come from before it."""
    for side in ("road", "floor"):
        _band(sheet, _of(heat, side), _WAYS[side], box, scale)
    near = [box.at(*corner, 0.0) for corner in ((0, 0), (1, 0), (1, 1), (0, 1))]
    top = [box.at(0, 1, 0), box.at(1, 1, 0), box.at(1, 1, 1), box.at(0, 1, 1)]
    end = [box.at(1, 0, 0), box.at(1, 0, 1), box.at(1, 1, 1), box.at(1, 1, 0)]
    for shape, shade in ((near, 0.25), (top, 0.1), (end, 0.5)):
        sheet.area(shape, "paper", 1.0)
        sheet.area(shape, "grid", shade)
        sheet.line([*shape, shape[0]], "ink", 1.6)
    for side in ("roof", "nose", "rear", "curb"):
        _band(sheet, _of(heat, side), _WAYS[side], box, scale)
    for side, way in _WAYS.items():
        _words(sheet, side, _of(heat, side), way, system)


def _band(sheet: Sheet, parts: Sequence[HeatPart], way: _Way, box: _Box, scale: float) -> None:
    """One arrow for a side, a stripe for each part; it points out where heat leaves."""
    total = sum(part.watts for part in parts)
    broad = sum(abs(part.watts) for part in parts) * scale
    if broad <= 0.0:
        return
    tip = box.at(*way.share)
    dx, dy = way.comes
    tail = tip[0] + LONG * dx, tip[1] + LONG * dy
    neck = tip[0] + HEAD * dx, tip[1] + HEAD * dy
    if total < 0.0:
        tip, tail = tail, tip
        neck = tip[0] - HEAD * dx, tip[1] - HEAD * dy
    tint, across = "watch" if total >= 0.0 else "dc", (-dy, dx)
    low = -broad / 2
    for number, part in enumerate(parts):
        high = low + abs(part.watts) * scale
        sides = [_beside(tail, across, low), _beside(tail, across, high)]
        sheet.area([*sides, _beside(neck, across, high), _beside(neck, across, low)], tint, SHADES[number % 4])
        low = high
    wing = broad / 2 + 4.0
    sheet.area([_beside(neck, across, -wing), tip, _beside(neck, across, wing)], tint, 0.85)


def _beside(point: Flat, across: Flat, far: float) -> Flat:
    return point[0] + far * across[0], point[1] + far * across[1]


def _words(sheet: Sheet, side: str, parts: Sequence[HeatPart], way: _Way, system: units.System) -> None:
    """Name and watts of a side, and under it what it is made of and how hot it is taken."""
    if not parts:
        return
    (x, y), anchor = way.words, way.anchor
    total = sum(part.watts for part in parts)
    leaves = " out" if total < 0.0 else ""
    sheet.text(x, y, f"{NAMES[side]} {_watts(total)}{leaves}", 13, anchor=anchor, bold=True, halo=True)  # type: ignore[arg-type]
    skin = next((part.skin_c for part in parts if part.skin_c is not None), None)
    warm = "" if skin is None else f"as air of {units.show(skin, 'temperature', system)}"
    pieces = ", ".join(f"{part.name} {units.whole(part.watts)}" for part in parts)
    for number, line in enumerate(broken(pieces if len(parts) > 1 else warm, 11, way.room, 2)):
        sheet.text(x, y + 13 + 12 * number, line, 11, "ghost", anchor, halo=True)  # type: ignore[arg-type]


def _inside(
    sheet: Sheet, heat: HeatFlows, before: HeatFlows | None, box: _Box, scale: float, system: units.System
) -> None:
    """How warm it is kept, what comes in altogether, and what is set free inside as bars of the same scale."""
    x, top = box.at(0.5, 1.0, 0.0)
    sheet.text(x, top + 18, f"{_watts(heat.total_w)} in all", 14, anchor="middle", bold=True, halo=True)
    moved = before is not None and round(before.total_w) != round(heat.total_w)
    words = f"before {_watts(before.total_w)}" if moved and before is not None else "to take out"
    sheet.text(
        x, top + 32, f"at {units.show(heat.inside_c, 'temperature', system)}, {words}", 11, "ghost", "middle", halo=True
    )
    parts = [part for part in _of(heat, "inside") if abs(part.watts) >= 0.5]
    rows = max(1, int((box.bottom - top - 40) // ROW))
    told = [f"{part.name} {units.whole(part.watts)} W" for part in parts[:rows]]
    longest = max((wide(words, 11) for words in told), default=0.0)
    first = min(x - 0.22 * box.length, box.left + box.length - longest - 14)
    for number, part in enumerate(parts[:rows]):
        y = top + 48 + ROW * number
        bar = abs(part.watts) * scale
        sheet.box(first - bar, y - 9, bar, 10, "watch" if part.watts >= 0 else "dc", opacity=0.85)
        room = box.left + box.length - first - 10
        sheet.text(first + 6, y, cut(told[number], 11, room), 11, halo=True)


def _head(sheet: Sheet, heat: HeatFlows, scale: float, system: units.System) -> None:
    """The hour, the air outside, where the nose points, and the scale of the bands."""
    points = COMPASS[round(heat.heading / 45.0) % 8]
    air = units.show(heat.outside_c, "temperature", system)
    sheet.text(8, 13, f"worst hour {times.clock(heat.hour_h)}, {air} outside, nose to the {points}", 12)
    if scale > 0.0:
        watts = round_up(0.5 * WIDEST / scale)
        sheet.box(WIDTH - 8 - watts * scale, 4, watts * scale, 10, "watch", opacity=0.85)
        sheet.text(WIDTH - 14 - watts * scale, 13, f"{watts:g} W", 12, anchor="end")


def _watts(watts: float) -> str:
    return f"{units.whole(abs(watts))} W"
