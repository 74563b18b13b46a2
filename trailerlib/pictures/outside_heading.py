"""Round a side that is seen from outside: what is seen, keys, which end is which, a ruler, and the list."""

from __future__ import annotations

from collections.abc import Sequence

from trailerlib import units
from trailerlib.pictures.canvas import Sheet, legend
from trailerlib.pictures.lettering import cut, text_width, wide
from trailerlib.pictures.mark_names import Box
from trailerlib.pictures.outside_scene import FOOT, FRAME, MARGIN, TOP, WIDTH, WORDS, Side
from trailerlib.pictures.outside_words import ROW, SIZE, Entry, draw_list
from trailerlib.studies.roof.picture import Hole, Wall

VIEWS: dict[Wall, tuple[str, str, str, str, str]] = {  # what is seen; at its left and right end; above; below
    "roof": ("roof, seen from above", "nose", "rear", "curb side", "road side"),
    "road": ("road side, seen from outside", "nose", "rear", "", "floor"),
    "curb": ("curb side, seen from outside", "rear", "nose", "", "floor"),
    "nose": ("nose wall, seen from the front", "curb side", "road side", "", "floor"),
    "rear": ("rear wall, seen from behind", "road side", "curb side", "", "floor"),
}
RULERS = {"us": (5.0, 2.0, 1.0, 0.5), "metric": (2.0, 1.0, 0.5, 0.2)}
FRAME_TINT, RACEWAY_TINT = "mains", "dc"


def heading(sheet: Sheet, side: Side, system: units.System, moved: bool) -> None:
    """What is seen, where the opening in focus lies, the keys, and which end is which.

    Parameters
    ----------
    sheet : where to draw
    side : the side
    system : units of the words
    moved : whether the former place of the opening is drawn
    """
    title, first, last, above, below = VIEWS[side.told.wall]
    sheet.text(MARGIN, 13, title, 13, bold=True)
    if side.focus is not None:
        room = WIDTH - 3 * MARGIN - wide(title, 13, bold=True)
        sheet.text(WIDTH - MARGIN, 13, _where(side.told.wall, side.focus, system, room), SIZE, anchor="end")
    _keys(sheet, side, moved)
    left, top, right, bottom = side.box
    spread = max(0.0, wide(first, SIZE, bold=True) + wide(last, SIZE, bold=True) + 8 - (right - left)) / 2
    sheet.text(left - spread, top - 7, first, SIZE, bold=True)
    sheet.text(right + spread, top - 7, last, SIZE, anchor="end", bold=True)
    if above:
        sheet.text((left + right) / 2, top - 7, above, SIZE, anchor="middle", bold=True)
    end = _ruler(sheet, side.box, side.px_per_m / units.outside(1.0, "length", system), system)
    middle = (left + right) / 2 if side.below else left + wide(below, SIZE, bold=True) / 2
    middle = min(middle, end - 12 - wide(below, SIZE, bold=True) / 2)
    sheet.text(middle, bottom + 14, below, SIZE, anchor="middle", bold=True)


def _where(wall: Wall, hole: Hole, system: units.System, room: float) -> str:
    """Where the middle of a hole lies, from two edges that can be measured from."""
    along = "the road side" if wall in ("nose", "rear") else "the nose"
    up = "from the road side" if wall == "roof" else "up"
    far = f"{units.show(hole.x, 'length', system)} from {along}, {units.show(hole.y, 'length', system)} {up}"
    full = f"middle {far}"
    return full if wide(full, SIZE) <= room else cut(far, SIZE, room)


def _keys(sheet: Sheet, side: Side, moved: bool) -> None:
    """What the lines mean, of those that are there."""
    told = side.told
    kind = next((bar.kind for bar in told.bars if bar.kind not in FRAME), None)
    there = (
        (kind is not None, "double", "ink", kind or ""),
        (any(bar.cut for bar in told.bars), "dash", "stop", "cut"),
        (any(bar.kind in FRAME for bar in told.bars), "line", FRAME_TINT, "headers"),
        (any(hole.flange is not None for hole in told.holes), "ghost", "ink", "flange"),
        (any(hole.shroud is not None for hole in told.holes), "cover", "ghost", "cover"),
        (bool(told.raceways), "line", RACEWAY_TINT, "raceway"),
        (moved, "ghost", "ghost", "before"),
    )
    x, y = MARGIN, 26.0
    for sort, tint, words in (key for shown, *key in there if shown):
        if sort in ("double", "cover"):
            for shift in (-2.0, 2.0) if sort == "double" else ():
                sheet.line([(x, y + shift), (x + 16, y + shift)], tint, 0.8)
            if sort == "cover":
                sheet.box(x, y - 5, 16, 10, None, tint, width=0.9, round_=1)
            sheet.text(x + 22, y + 4, words, 12)
        else:
            legend(sheet, x, y, [(sort, tint, words)])
        x += 34 + text_width(words, 12)


def _ruler(sheet: Sheet, box: Box, one: float, system: units.System) -> float:
    """A length to measure by, under the right end of the side; returns where its words begin [px]."""
    left, _, right, bottom = box
    count = next((n for n in RULERS[system] if n * one <= 0.4 * (right - left)), RULERS[system][-1])
    start, y = right - count * one, bottom + 11
    sheet.line([(start, y - 4), (start, y), (right, y), (right, y - 4)], "ink", 1.4)
    words = f"{count:g} {units.unit('length', system)}"
    sheet.text(start - 6, y + 3, words, SIZE, anchor="end")
    return start - 6 - wide(words, SIZE)


def listed(sheet: Sheet, side: Side, letters: Sequence[Entry], system: units.System) -> None:
    """How large the opening in focus is, the names that found no room, then what is in the way.

    Parameters
    ----------
    sheet : where to draw
    side : the side
    letters : names that found no room
    system : units of the words
    """
    focus = [] if side.focus is None else [Entry("", None, _sizes(side.focus, system))]
    marks = [Entry(str(number + 1), one.word, one.words) for number, one in enumerate(side.told.marks)]
    left, _, right, bottom = side.box
    if side.below:
        at, width, most = (MARGIN, bottom + WORDS + 13), WIDTH - 2 * MARGIN, int((FOOT - bottom - WORDS) / ROW)
    else:
        x = right + left - MARGIN + 16
        at, width, most = (x, TOP + 10), WIDTH - MARGIN - x, int((FOOT - TOP) / ROW)
    draw_list(sheet, [*focus, *letters, *marks], at, width, most)


def _sizes(hole: Hole, system: units.System) -> str:
    """Hole, flange and cover in words."""

    def both(sizes: tuple[float, float]) -> str:
        one, other = (units.figures(units.outside(size, "small length", system)) for size in sizes)
        return f"{one} by {other} {units.unit('small length', system)}"

    words = [f"{cut(hole.name, SIZE, 150.0)}: hole {both((hole.length, hole.width))}"]
    if hole.flange is not None:
        words.append(f"flange {units.show(hole.flange, 'small length', system)}")
    if hole.shroud is not None:
        words.append(f"cover {both(hole.shroud)}")
    return ", ".join(words)
