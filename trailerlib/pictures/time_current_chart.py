"""How long a current may last: the band in which the fuse opens, against what the wire behind it stands."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from trailerlib import units
from trailerlib.pictures.canvas import Ink, Sheet, legend
from trailerlib.pictures.chart_curves import (
    LEFT,
    RIGHT,
    Flat,
    Floats,
    LogPaper,
    band_edges,
    band_heights,
    band_of,
    damage_line,
    damaged,
    drawn_curve,
    too_late,
    wire_stands,
)
from trailerlib.pictures.chart_words import CLEAR, ROW, SIZE, Box, Ground, Upright, rows, spread
from trailerlib.pictures.guard_words import device_name, said
from trailerlib.pictures.lettering import broken, cut, wide
from trailerlib.studies.guard import Guard
from trailerlib.units import show

WIDTH, HEIGHT = 520.0, 346.0
HEAD = 61.0
ELBOW = 5.0  # [px] in which a line reaches its words where others stand too near
LINE = 15.0  # [px] from one line of words under the chart to the next
TIMES = {0.01: "0.01 s", 0.1: "0.1 s", 1.0: "1 s", 10.0: "10 s", 60.0: "1 min", 600.0: "10 min", 3600.0: "1 h"}


def time_current_chart(
    guard: Guard,
    ghost: Guard | None = None,
    *,
    title: str = "",
    ink: Ink = "screen",
    system: units.System = "us",
    others: Sequence[Guard] = (),
) -> str:
    """The band of a fuse or breaker, the curve beyond which its wire is damaged, and the currents that can flow.

    Parameters
    ----------
    guard : device and wire of one circuit
    ghost : the same before the last move, drawn pale
    title : what the device guards
    ink : ``screen`` or ``paper``
    system : units of the words
    others : devices nearer to the source, their bands drawn pale
    """
    sheet = Sheet(WIDTH, HEIGHT, f"When it opens, {title}" if title else "When it opens", ink)
    if guard.device is None and guard.wire is None:
        words = f"Nothing to draw. Not checked: {guard.reason or 'neither the fuse nor the wire is known'}"
        for number, part in enumerate(broken(words, 14, WIDTH - 60, 5)):
            sheet.text(WIDTH / 2, HEIGHT / 2 - 20 + 20 * number, part, 14, "ghost", "middle")
        return sheet.svg()
    ghost = ghost if ghost is not None and any(_changed(guard, ghost)) else None
    below = said(guard, others, system)
    low, high = _range(guard)
    flat = LogPaper(low, high, 0.0, 1.0)
    lines = sorted(_uprights(guard, flat), key=lambda line: line.x)
    carriers = spread(lines)
    spots = rows(carriers, LEFT - 5, RIGHT + 6)
    top = HEAD + ROW * max((spot.row for spot in spots), default=0)
    paper = LogPaper(low, high, top, HEIGHT - 30 - LINE * len(below))
    _heading(sheet, guard, ghost, title, others)
    _frame(sheet, paper)
    damaged(sheet, paper, guard)
    for other in others:
        band_of(sheet, paper, other.device, "ghost", 0.16)
    if ghost is not None:
        _ghost(sheet, paper, guard, ghost)
    band_of(sheet, paper, guard.device, "dc", 0.22)
    late = too_late(sheet, paper, guard)
    damage_line(sheet, paper, guard)
    for line, carrier, spot in zip(lines, carriers, spots, strict=True):
        base = HEAD - ELBOW - 6 + ROW * (max(s.row for s in spots) - spot.row)
        way = [(carrier.x, base + CLEAR), (carrier.x, paper.top - ELBOW), (line.x, paper.top), (line.x, paper.bottom)]
        sheet.line(way, line.tint, 1.4, line.dash)
        sheet.text(spot.left, base, line.words, SIZE, line.tint)
    _regions(sheet, paper, guard, lines, late, [g for g in (ghost, *others) if g is not None])
    for number, (sentence, tint) in enumerate(below):
        sheet.text(8, HEIGHT - 7 - LINE * (len(below) - 1 - number), sentence, SIZE, tint)
    return sheet.svg()


def _range(guard: Guard) -> tuple[float, float]:
    """Ends of the axis of currents [A], in steps so that it does not jump with every move."""
    carried = [guard.load_a or 0.0, 0.0 if guard.wire is None else guard.wire.ampacity_a]
    rated = guard.device.rating_a if guard.device is not None else max(carried) or 10.0
    low = max(0.7 * min([rated, *(a for a in carried if a > 0.0)]), rated / 20.0)
    far = 0.0 if guard.far_end is None else guard.far_end.current_a
    high = max(12.0 * rated, 1.4 * (guard.prospective_a or 0.0), 1.4 * far, 1.4 * max(carried))
    return 10.0 ** (math.floor(6 * math.log10(low)) / 6), 10.0 ** (math.ceil(6 * math.log10(high)) / 6)


def _heading(sheet: Sheet, guard: Guard, ghost: Guard | None, title: str, others: Sequence[Guard]) -> None:
    name = device_name(guard.device) if guard.device is not None else "device not known"
    before = "before" if ghost is not None else ""
    right = RIGHT + 6 - (wide(before) + 34 if before else 0.0)
    sheet.text(8, 16, cut(title or "When it opens, and what the wire stands", 13, right - 8, bold=True), 13, bold=True)
    if before:
        legend(sheet, right + 12, 12, [("dash", "ghost", before)])
    keys = [("bar", "dc", f"{name} may open")] if guard.device is not None else []
    keys += [("line", "stop", "wire damaged")] if guard.wire is not None else []
    keys += [("dash", "dc", "beyond its table")] if guard.device is not None else []
    keys += [("bar", "ghost", device_name(other.device)) for other in others if other.device is not None]
    x = 8.0
    for key in keys:
        if x + 24 + wide(key[2]) <= RIGHT + 6:
            legend(sheet, x, 30, [key])
            x += 34 + wide(key[2])


def _frame(sheet: Sheet, paper: LogPaper) -> None:
    for seconds, words in TIMES.items():
        y = float(paper.up(seconds))
        sheet.line([(LEFT, y), (RIGHT, y)], "grid")
        sheet.text(LEFT - 7, y + 4, words, SIZE, anchor="end")
    sheet.text(LEFT - 7, paper.top + 4, "time", SIZE, "ghost", "end")
    name, y = "current [A]", paper.bottom + 17
    sheet.text(RIGHT + 6, y, name, SIZE, "ghost", "end")
    decades = math.log10(paper.high_a / paper.low_a)
    steps = (1, 2, 5) if decades <= 3.2 else (1, 3)
    first, last = math.floor(math.log10(paper.low_a)), math.ceil(math.log10(paper.high_a))
    for power in range(first, last + 1):
        for step in steps:
            amps = step * 10.0**power
            x = float(paper.across(amps))
            words = f"{amps:g}"
            if LEFT - 1 <= x <= RIGHT + 1:
                sheet.line([(x, paper.top), (x, paper.bottom)], "grid")
                if x + wide(words) / 2 < RIGHT - wide(name) - 2:
                    sheet.text(x, y, words, SIZE, anchor="middle")


def _changed(guard: Guard, ghost: Guard) -> tuple[bool, bool, bool]:
    """Whether the device, the wire, and the short at the far end are others than before."""
    fuses = [None if g.device is None else (g.device.name, g.device.rating_a) for g in (guard, ghost)]
    shorts = [None if g.far_end is None else g.far_end.current_a for g in (guard, ghost)]
    return fuses[0] != fuses[1], guard.wire != ghost.wire, shorts[0] != shorts[1]


def _ghost(sheet: Sheet, paper: LogPaper, guard: Guard, ghost: Guard) -> None:
    """What has changed, as it was."""
    fuse, wire, short = _changed(guard, ghost)
    if ghost.device is not None and fuse:
        current, least, most = band_edges(paper, ghost.device)
        for edge in (least, most):
            drawn_curve(sheet, paper, current, edge, "ghost", 1.5, "5 3")
    if ghost.wire is not None and wire:
        drawn_curve(sheet, paper, *wire_stands(paper, ghost), "ghost", 2.0, "5 3")
    if ghost.far_end is not None and short:
        x = float(paper.across(ghost.far_end.current_a))
        if LEFT <= x <= RIGHT:
            sheet.line([(x, paper.top), (x, paper.bottom)], "ghost", 1.4, "5 3")


def _uprights(guard: Guard, paper: LogPaper) -> list[Upright]:
    """The currents that have a name."""
    carries = None if guard.wire is None else guard.wire.ampacity_a
    far = None if guard.far_end is None else guard.far_end.current_a
    named = [
        ("load", guard.load_a, "holds", ""),
        ("wire carries", carries, "stop", "2 3"),
        ("short at the far end", far, "ink", ""),
        ("short at the fuse" if _fuse(guard) else "short at the breaker", guard.prospective_a, "ink", ""),
    ]
    lines = []
    for name, amps, tint, dash in named:
        if amps is not None and amps > 0.0:
            x = float(paper.across(amps))
            arrow = "← " if x < LEFT else ""
            lines.append(Upright(min(max(x, LEFT), RIGHT), f"{arrow}{name} {show(amps, 'current')}", tint, dash))
    return lines


def _fuse(guard: Guard) -> bool:
    return guard.device is None or guard.device.name != "breaker"


def _regions(
    sheet: Sheet,
    paper: LogPaper,
    guard: Guard,
    lines: Sequence[Upright],
    late: Flat | None,
    beside: Sequence[Guard],
) -> None:
    """Plain words where there is room for them, between the lines of the grid."""
    across = np.linspace(LEFT, RIGHT, 151)
    current = paper.low_a * (paper.high_a / paper.low_a) ** ((across - LEFT) / (RIGHT - LEFT))
    over, under = np.full_like(across, paper.top - 50), np.full_like(across, paper.bottom + 50)
    band_ = band_heights(paper, guard.device, current)
    stands = None if guard.wire is None else paper.up(guard.wire.damage_s(current))
    curves = [*band_, *(() if stands is None else (stands,))]
    for other in beside:
        curves += band_heights(paper, other.device, current)
        curves += [] if other.wire is None else [paper.up(other.wire.damage_s(current))]
    marks = sorted(float(paper.up(seconds)) for seconds in TIMES)
    bases = [(a + b) / 2 + 0.3 * SIZE for a, b in zip([paper.top, *marks], marks, strict=False) if b - a >= 15]
    middle = (paper.top + paper.bottom) / 2
    wanted: list[tuple[str, str, tuple[Floats, Floats], Flat]] = []
    if late is not None:
        wanted.append(("✗ may open too late", "stop", (over, under), late))
    if band_:
        soonest, latest = band_
        wanted.append(("may open", "dc", (latest, soonest), (float(across[len(across) // 3]), middle)))
        safe = over if stands is None else np.where(stands < latest, stands, paper.bottom)
        wanted.append(("surely open", "holds", (safe, latest), (RIGHT - 60, middle)))
    if stands is not None:
        wanted.append(("wire damaged", "stop", (over, stands), (RIGHT - 50, paper.top + 20)))
    uprights = [line.x for line in lines]
    uprights += [float(paper.across(g.far_end.current_a)) for g in beside if g.far_end is not None]
    taken: list[Box] = []
    for words, tint, region, near in wanted:
        box = Ground(across, tuple(curves), tuple(uprights), tuple(taken)).place(words, region, near, bases)
        if box is not None:
            taken.append(box)
            sheet.text(box[0], box[3] - 0.25 * SIZE, words, SIZE, tint, halo=True)
