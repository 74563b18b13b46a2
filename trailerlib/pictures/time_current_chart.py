"""How long a current may last: the band in which the fuse opens, against what the wire behind it stands."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trailerlib import units
from trailerlib.physics.time_current import Device, band
from trailerlib.pictures.canvas import Ink, Sheet, broken, cut, legend, wide
from trailerlib.pictures.chart_words import CLEAR, ROW, SIZE, Box, Ground, Upright, rows, spread
from trailerlib.pictures.guard_words import device_name, said
from trailerlib.studies.guard import Guard
from trailerlib.units import show

WIDTH, HEIGHT = 520.0, 346.0
LEFT, RIGHT, HEAD = 58.0, 508.0, 61.0
ELBOW = 5.0  # [px] in which a line reaches its words where others stand too near
LINE = 15.0  # [px] from one line of words under the chart to the next
SOONEST_S, LONGEST_S = 0.01, 10_000.0
TIMES = {0.01: "0.01 s", 0.1: "0.1 s", 1.0: "1 s", 10.0: "10 s", 60.0: "1 min", 600.0: "10 min", 3600.0: "1 h"}

Floats = NDArray[np.float64]
Flat = tuple[float, float]


@dataclass(frozen=True)
class _Paper:
    """Double logarithmic paper: currents across [A], times up [s]."""

    low_a: float
    high_a: float
    top: float
    bottom: float

    def across(self, current_a: Floats | float) -> Floats:
        share = np.log(np.asarray(current_a) / self.low_a) / math.log(self.high_a / self.low_a)
        return np.asarray(LEFT + share * (RIGHT - LEFT))

    def up(self, seconds: Floats | float) -> Floats:
        """Heights [px], kept on the paper; a time without end lies on its upper edge."""
        share = np.log(np.clip(seconds, SOONEST_S, LONGEST_S) / SOONEST_S) / math.log(LONGEST_S / SOONEST_S)
        return np.asarray(self.bottom - share * (self.bottom - self.top))

    def currents(self, *knots: float) -> Floats:
        """Currents to draw at: every two pixels, and close on both sides of each knot."""
        sharp = [knot * side for knot in knots for side in (1 - 1e-6, 1 + 1e-9)]
        inside = [knot for knot in sharp if self.low_a < knot < self.high_a]
        return np.unique(np.concatenate([np.geomspace(self.low_a, self.high_a, 226), inside]))


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
    flat = _Paper(low, high, 0.0, 1.0)
    lines = sorted(_uprights(guard, flat), key=lambda line: line.x)
    carriers = spread(lines)
    spots = rows(carriers, LEFT - 5, RIGHT + 6)
    top = HEAD + ROW * max((spot.row for spot in spots), default=0)
    paper = _Paper(low, high, top, HEIGHT - 30 - LINE * len(below))
    _heading(sheet, guard, ghost, title, others)
    _frame(sheet, paper)
    _damaged(sheet, paper, guard)
    for other in others:
        _band(sheet, paper, other.device, "ghost", 0.16)
    if ghost is not None:
        _ghost(sheet, paper, guard, ghost)
    _band(sheet, paper, guard.device, "dc", 0.22)
    late = _too_late(sheet, paper, guard)
    _damage_line(sheet, paper, guard)
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


def _frame(sheet: Sheet, paper: _Paper) -> None:
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


def _edges(paper: _Paper, device: Device) -> tuple[Floats, Floats, Floats]:
    """Currents [A], soonest and latest opening [s]."""
    knots = np.concatenate([[device.hold], device.least[0], device.most[0]]) * device.rating_a
    current = paper.currents(*map(float, knots))
    least, most = band(device, current)
    return current, np.asarray(least), np.asarray(most)


def _points(paper: _Paper, current: Floats, seconds: Floats) -> list[Flat]:
    """A curve on the paper; points in one straight line are left out."""
    points = list(zip(map(float, paper.across(current)), map(float, paper.up(seconds)), strict=True))
    kept = points[:1]
    for number, (x, y) in enumerate(points[1:-1], 1):
        (x0, y0), (x1, y1) = kept[-1], points[number + 1]
        if abs((x - x0) * (y1 - y0) - (y - y0) * (x1 - x0)) > 0.12 * math.hypot(x1 - x0, y1 - y0):
            kept.append((x, y))
    return [*kept, *points[-1:]] if len(points) > 1 else kept


def _curve(
    sheet: Sheet, paper: _Paper, current: Floats, seconds: Floats, tint: str, width: float, dash: str = ""
) -> None:
    """A curve where it lies on the paper, with the upright piece at which it begins."""
    seen = np.flatnonzero((seconds < LONGEST_S) & (seconds > SOONEST_S))
    if seen.size:
        first, last = max(seen[0] - 1, 0), min(seen[-1] + 1, len(current) - 1)
        sheet.line(_points(paper, current[first : last + 1], seconds[first : last + 1]), tint, width, dash)


def _band(sheet: Sheet, paper: _Paper, device: Device | None, tint: str, opacity: float) -> None:
    """From the soonest to the latest opening; paler and dashed beyond the published table."""
    if device is None:
        return
    current, least, most = _edges(paper, device)
    published = current <= device.published_to_a * (1 + 1e-6)
    for part, strength, dash in ((published, opacity, ""), (~published, 0.5 * opacity, "6 4")):
        shown = part & (least < LONGEST_S)
        if shown.sum() > 1:
            upper, lower = (_points(paper, current[shown], edge[shown]) for edge in (most, least))
            sheet.area([*upper, *lower[::-1]], tint, strength)
        for edge, width in ((least, 1.3), (most, 2.2)):
            if part.sum() > 1:
                _curve(sheet, paper, current[part], edge[part], tint, width, dash)


def _stands(paper: _Paper, guard: Guard) -> tuple[Floats, Floats]:
    """Currents [A] and how long the wire stands them [s]; without a wire there are none."""
    if guard.wire is None:
        return np.array([]), np.array([])
    current = paper.currents(guard.wire.ampacity_a)
    return current, guard.wire.damage_s(current)


def _damaged(sheet: Sheet, paper: _Paper, guard: Guard) -> None:
    current, seconds = _stands(paper, guard)
    hurt = seconds < LONGEST_S
    if hurt.any():
        points = _points(paper, current[hurt], seconds[hurt])
        sheet.area([*points, (RIGHT, paper.top), (points[0][0], paper.top)], "stop", 0.08)


def _damage_line(sheet: Sheet, paper: _Paper, guard: Guard) -> None:
    current, seconds = _stands(paper, guard)
    if current.size:
        _curve(sheet, paper, current, seconds, "stop", 3.0)


def _too_late(sheet: Sheet, paper: _Paper, guard: Guard) -> Flat | None:
    """Where the fuse may leave the wire too long on the current: strongly filled; middle of the widest stretch [px]."""
    if guard.wire is None or guard.device is None or guard.prospective_a is None or guard.opens_a is None:
        return None
    current, _, most = _edges(paper, guard.device)
    stands = guard.wire.damage_s(current)
    late = (most > stands) & (current <= guard.prospective_a)
    slow = late & (current >= guard.device.certain_a) & (current < guard.opens_a)
    slow &= guard.slow_from_a is not None
    fault = late & (current >= guard.opens_a)
    widest, spot = 3.0, None  # a narrower stretch cannot be seen
    for stretch, tint in ((slow, "watch"), (fault, "stop")):
        edges = np.flatnonzero(np.diff(np.concatenate([[0], stretch.astype(int), [0]])))
        for a, b in edges.reshape(-1, 2):
            upper, lower = (_points(paper, current[a:b], edge[a:b]) for edge in (most, stands))
            sheet.area([*upper, *lower[::-1]], tint, 0.5)
            (left, high), (right, low) = upper[0], upper[-1]
            if right - left >= widest:
                widest, spot = right - left, ((left + right) / 2, (high + low) / 2)
    return spot


def _changed(guard: Guard, ghost: Guard) -> tuple[bool, bool, bool]:
    """Whether the device, the wire, and the short at the far end are others than before."""
    fuses = [None if g.device is None else (g.device.name, g.device.rating_a) for g in (guard, ghost)]
    shorts = [None if g.far_end is None else g.far_end.current_a for g in (guard, ghost)]
    return fuses[0] != fuses[1], guard.wire != ghost.wire, shorts[0] != shorts[1]


def _ghost(sheet: Sheet, paper: _Paper, guard: Guard, ghost: Guard) -> None:
    """What has changed, as it was."""
    fuse, wire, short = _changed(guard, ghost)
    if ghost.device is not None and fuse:
        current, least, most = _edges(paper, ghost.device)
        for edge in (least, most):
            _curve(sheet, paper, current, edge, "ghost", 1.5, "5 3")
    if ghost.wire is not None and wire:
        _curve(sheet, paper, *_stands(paper, ghost), "ghost", 2.0, "5 3")
    if ghost.far_end is not None and short:
        x = float(paper.across(ghost.far_end.current_a))
        if LEFT <= x <= RIGHT:
            sheet.line([(x, paper.top), (x, paper.bottom)], "ghost", 1.4, "5 3")


def _uprights(guard: Guard, paper: _Paper) -> list[Upright]:
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
    paper: _Paper,
    guard: Guard,
    lines: Sequence[Upright],
    late: Flat | None,
    beside: Sequence[Guard],
) -> None:
    """Plain words where there is room for them, between the lines of the grid."""
    across = np.linspace(LEFT, RIGHT, 151)
    current = paper.low_a * (paper.high_a / paper.low_a) ** ((across - LEFT) / (RIGHT - LEFT))
    over, under = np.full_like(across, paper.top - 50), np.full_like(across, paper.bottom + 50)
    band_ = _heights(paper, guard.device, current)
    stands = None if guard.wire is None else paper.up(guard.wire.damage_s(current))
    curves = [*band_, *(() if stands is None else (stands,))]
    for other in beside:
        curves += _heights(paper, other.device, current)
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


def _heights(paper: _Paper, device: Device | None, current: Floats) -> list[Floats]:
    """Soonest and latest opening as heights [px]; empty without a device."""
    return [] if device is None else [paper.up(np.asarray(edge)) for edge in band(device, current)]
