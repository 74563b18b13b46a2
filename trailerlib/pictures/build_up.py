"""The wall at an opening in section: its layers, what the opening is made for, and the frame that makes up for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean

from trailerlib import units
from trailerlib.pictures.box_heat import nothing
from trailerlib.pictures.canvas import Ink, Sheet, round_up
from trailerlib.pictures.lettering import broken, cut, wide
from trailerlib.pictures.roof_words import TINTS, headline
from trailerlib.studies.answer import Answer
from trailerlib.studies.roof.picture import BuildUp, RoofPicture

WIDTH, HEIGHT = 520.0, 304.0
MARGIN, LEFT, RIGHT = 8.0, 104.0, 456.0
RANGE, WALL = 56.0, 76.0  # [px] how high the bracket and the measure of the wall lie
TOP, BOTTOM, NAMES = 88.0, 200.0, 235.0  # [px] of the section, and the first base line of the names
FILLS = (("ink", 0.8), ("grid", 0.75), ("ghost", 0.55))  # skin, then the layers by turns
BRACKET = "dc"
HATCH = 9.0  # [px] from one line to the next
MANY, COLUMNS, LISTED = 6, 3, 12.0  # more parts are numbered and listed in columns, a row each so many pixels
SIZE, APART = 11.0, 8.0  # [px] letters of the names, and the least room between two


@dataclass(frozen=True)
class _Part:
    """A layer or the frame: its middle from the outer face [m], its name, what it measures."""

    middle: float
    words: str
    size: str
    tint: str


@dataclass(frozen=True)
class _Name:
    """Words under a part of the section: where its middle is, its lines, how wide they are [px]."""

    middle: float
    lines: tuple[str, ...]
    tint: str
    width: float


@dataclass(frozen=True)
class _Scale:
    """From thickness, counted from the outer face [m], to pixels."""

    px_per_m: float

    def __call__(self, metres: float) -> float:
        return LEFT + metres * self.px_per_m


def build_up(answer: Answer, ghost: Answer | None = None, ink: Ink = "screen") -> str:
    """The layers that the opening in focus is clamped through, outside on the left.

    Parameters
    ----------
    answer : the answer of the roof study
    ghost : the answer before the last move; its wall and range are drawn thin
    ink : ``screen`` or ``paper``
    """
    sheet = Sheet(WIDTH, HEIGHT, "The wall at the opening in section", ink)
    told, before, system = _told(answer), _told(ghost), answer.system
    if told is None:
        return nothing(sheet, answer, "build-up")
    if before is not None and before.name != told.name:
        before = None
    scale = _scale([told] if before is None else [told, before], system)
    if before is not None:
        _former(sheet, scale, told, before)
    _layers(sheet, scale, told)
    _frame(sheet, scale, told)
    _bracket(sheet, scale, told, system)
    _measure(sheet, scale, told, system)
    parts = _parts(told, system)
    _names(sheet, _spread(_named(scale, parts)), NAMES if len(parts) <= MANY else NAMES - 9)
    if len(parts) > MANY:
        _list(sheet, parts)
    sheet.text(MARGIN, (TOP + BOTTOM) / 2 + 4, "outside", 13, bold=True)
    sheet.text(WIDTH - MARGIN, (TOP + BOTTOM) / 2 + 4, "inside", 13, anchor="end", bold=True)
    headline(sheet, told.word, told.name, f": {_verdict(told, system)}")
    _ruler(sheet, scale, system)
    return sheet.svg()


def _told(answer: Answer | None) -> BuildUp | None:
    picture: RoofPicture | None = None if answer is None else answer.picture
    return None if picture is None else picture.build_up


def _scale(shown: Sequence[BuildUp], system: units.System) -> _Scale:
    """A round thickness over the whole room, so that the scale does not jump with every move."""
    ends = [end for one in shown for end in (one.thickness, one.thickness + (one.spacer or 0.0), *(one.made_for or ()))]
    full = round_up(units.outside(max(ends), "small length", system))
    return _Scale((RIGHT - LEFT) / full * units.outside(1.0, "small length", system))


def _edges(told: BuildUp) -> list[float]:
    """Where the layers begin and end, from the outer face [m]."""
    found = [0.0]
    for _, size in told.layers:
        found.append(found[-1] + size)
    return found


def _fill(number: int) -> tuple[str, float]:
    return FILLS[0] if number == 0 else FILLS[1 + (number + 1) % 2]


def _layers(sheet: Sheet, scale: _Scale, told: BuildUp) -> None:
    edges = _edges(told)
    for number, (low, high) in enumerate(zip(edges[:-1], edges[1:], strict=True)):
        fill, opacity = _fill(number)
        width = max((high - low) * scale.px_per_m, 1.0)
        sheet.box(scale(low), TOP, width, BOTTOM - TOP, fill, "ink", round_=0, opacity=opacity)


def _frame(sheet: Sheet, scale: _Scale, told: BuildUp) -> None:
    """What is missing, hatched behind the innermost layer, or what there is too much of, hatched over it."""
    if not told.spacer:
        return
    tint = TINTS[told.word]
    low, high = sorted((scale(told.thickness), scale(told.thickness + told.spacer)))
    low = max(low, LEFT)
    if told.spacer < 0.0:
        sheet.box(low, TOP, high - low, BOTTOM - TOP, "paper", round_=0, opacity=0.55)
    for line in _hatch(low, high):
        sheet.line(line, tint, 1.0)
    dash = "" if told.spacer > 0.0 else "4 3"
    sheet.box(low, TOP, max(high - low, 1.0), BOTTOM - TOP, None, tint, width=2.0, round_=0, dash=dash)


def _hatch(left: float, right: float) -> list[list[tuple[float, float]]]:
    """Slanted lines over the whole height between two ends [px]."""
    across, down = right - left, BOTTOM - TOP
    found = []
    reach = HATCH
    while reach < across + down:
        start = (left + max(0.0, reach - down), TOP + min(reach, down))
        end = (left + min(reach, across), TOP + max(0.0, reach - across))
        found.append([start, end])
        reach += HATCH
    return found


def _bracket(sheet: Sheet, scale: _Scale, told: BuildUp, system: units.System) -> None:
    """From the thinnest to the thickest wall it takes, measured from the outer face."""
    if told.made_for is None:
        words = "its frame comes with it" if told.framed else "what thickness it is made for is not known"
        sheet.text(LEFT, RANGE - 8, words, 12, "ghost")
        return
    thin, thick = (scale(size) for size in told.made_for)
    for x in (thin, thick):
        sheet.line([(x, RANGE + 4), (x, BOTTOM + 5)], BRACKET, 1.2, "3 3")
    sheet.box(thin, RANGE, max(thick - thin, 2.0), 6, BRACKET, round_=1)
    first, last = (units.show(size, "small length", system) for size in told.made_for)
    words = f"made for {first} to {last}"
    left = min(
        max((thin + thick - wide(words, 12, bold=True)) / 2, MARGIN), WIDTH - MARGIN - wide(words, 12, bold=True)
    )
    sheet.text(left, RANGE - 8, words, 12, BRACKET, bold=True)


def _measure(sheet: Sheet, scale: _Scale, told: BuildUp, system: units.System) -> None:
    """How thick the wall is here."""
    end = scale(told.thickness)
    sheet.line([(LEFT, WALL), (end, WALL)], "ink", 1.4)
    for x in (LEFT, end):
        sheet.line([(x, WALL - 5), (x, WALL + 5)], "ink", 1.4)
    words = f"{told.part} {units.show(told.thickness, 'small length', system)}"
    sheet.text(LEFT - 8, WALL + 4, words, 12, anchor="end", bold=True)


def _former(sheet: Sheet, scale: _Scale, told: BuildUp, before: BuildUp) -> None:
    """Wall and range before the last move, where they differ."""
    if before.layers != told.layers:
        sheet.box(
            LEFT, TOP - 4, before.thickness * scale.px_per_m, BOTTOM - TOP + 8, None, "ghost", dash="3 2", width=1.6
        )
    if before.made_for is not None and before.made_for != told.made_for:
        thin, thick = (scale(size) for size in before.made_for)
        sheet.box(thin, RANGE - 2, thick - thin, 10, None, "ghost", dash="3 2")


def _parts(told: BuildUp, system: units.System) -> list[_Part]:
    """Layers and frame with their names and what each measures, from outside to inside."""
    edges = _edges(told)
    found = [
        _Part((low + high) / 2, name, units.show(high - low, "small length", system), "ink")
        for (name, _), low, high in zip(told.layers, edges[:-1], edges[1:], strict=True)
    ]
    if told.spacer:
        words = "spacer frame" if told.spacer > 0.0 else "too much"
        size = units.show(abs(told.spacer), "small length", system)
        found.append(_Part(told.thickness + told.spacer / 2, words, size, TINTS[told.word]))
    return sorted(found, key=lambda part: part.middle)


def _named(scale: _Scale, parts: Sequence[_Part]) -> list[_Name]:
    """The words under each part; numbers where there are many."""
    if len(parts) > MANY:
        return [
            _Name(scale(p.middle), (str(n + 1),), p.tint, wide(str(n + 1), SIZE, True)) for n, p in enumerate(parts)
        ]
    room = (WIDTH - 2 * MARGIN) / len(parts) - APART
    found = []
    for part in parts:
        lines = broken(part.words, SIZE, room, 2)
        width = max(*(wide(line, SIZE) for line in lines), wide(part.size, SIZE, bold=True))
        found.append(_Name(scale(part.middle), (*lines, part.size), part.tint, width))
    return found


def _list(sheet: Sheet, parts: Sequence[_Part]) -> None:
    """What the numbers stand for, in columns."""
    across, rows = (WIDTH - 2 * MARGIN) / COLUMNS, -(-len(parts) // COLUMNS)
    for number, part in enumerate(parts):
        x, y = MARGIN + across * (number // rows), NAMES + 5 + LISTED * (number % rows)
        room = across - 28 - wide(part.size, SIZE)
        sheet.text(x, y, str(number + 1), SIZE, part.tint, bold=True)
        sheet.text(x + 18, y, f"{cut(part.words, SIZE, room)} {part.size}", SIZE, part.tint)


def _spread(names: Sequence[_Name]) -> list[tuple[float, _Name]]:
    """Where the middle of each name goes: as near to its part as its neighbours allow, all on the sheet [px]."""
    before = [sum(name.width + APART for name in names[:k]) for k in range(len(names))]
    pools: list[list[float]] = []
    for name, used in zip(names, before, strict=True):
        pools.append([name.middle - name.width / 2 - used])
        while len(pools) > 1 and fmean(pools[-2]) > fmean(pools[-1]):
            pools[-2:] = [pools[-2] + pools[-1]]
    most = WIDTH - MARGIN - before[-1] - names[-1].width
    starts = [max(MARGIN, min(fmean(pool), most)) for pool in pools for _ in pool]
    places = zip(starts, before, names, strict=True)
    return [(start + used + name.width / 2, name) for start, used, name in places]


def _names(sheet: Sheet, spread: Sequence[tuple[float, _Name]], base: float) -> None:
    for x, name in spread:
        sheet.line([(name.middle, BOTTOM - 4), (name.middle, BOTTOM + 8), (x, base - 13)], name.tint, 0.9)
        for number, line in enumerate(name.lines):
            last = number == len(name.lines) - 1
            sheet.text(x, base + 13 * number, line, SIZE, name.tint, "middle", bold=last)


def _verdict(told: BuildUp, system: units.System) -> str:
    if told.framed:
        return "a door has its own frame, nothing clamps it"
    if told.spacer is None:
        return "not checked"
    size = units.show(abs(told.spacer), "small length", system)
    if told.spacer > 0.0:
        return f"needs a spacer frame of {size} or more"
    if told.spacer < 0.0:
        return f"the {told.part} is {size} too thick"
    return f"the {told.part} is as thick as it should be"


def _ruler(sheet: Sheet, scale: _Scale, system: units.System) -> None:
    """A thickness to measure by, and what the drawing shows."""
    unit = units.unit("small length", system)
    one = scale.px_per_m / units.outside(1.0, "small length", system)
    count = next((n for n in (0.1, 0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0) if n * one >= 30.0), 100.0)
    y, long = HEIGHT - 7, count * one
    sheet.line(
        [(WIDTH - MARGIN - long, y - 4), (WIDTH - MARGIN - long, y), (WIDTH - MARGIN, y), (WIDTH - MARGIN, y - 4)],
        "ink",
        1.4,
    )
    sheet.text(WIDTH - MARGIN - long - 6, y + 2, f"{count:g} {unit}", 11, anchor="end")
    sheet.text(MARGIN, y + 2, "thickness to scale; the clamp ring comes from inside", 10, "ghost")
