"""Curves on double logarithmic paper: the band of a device, what its wire stands, and where the two cross."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics.time_current import Device, band
from trailerlib.pictures.canvas import Sheet
from trailerlib.studies.guard import Guard

LEFT, RIGHT = 58.0, 508.0
SOONEST_S, LONGEST_S = 0.01, 10_000.0

Floats = NDArray[np.float64]
Flat = tuple[float, float]


@dataclass(frozen=True)
class LogPaper:
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


def band_edges(paper: LogPaper, device: Device) -> tuple[Floats, Floats, Floats]:
    """Currents [A], soonest and latest opening [s].

    Parameters
    ----------
    paper : the ground it is drawn on
    device : the fuse or breaker
    """
    knots = np.concatenate([[device.hold], device.least[0], device.most[0]]) * device.rating_a
    current = paper.currents(*map(float, knots))
    least, most = band(device, current)
    return current, np.asarray(least), np.asarray(most)


def points_of(paper: LogPaper, current: Floats, seconds: Floats) -> list[Flat]:
    """A curve on the paper; points in one straight line are left out.

    Parameters
    ----------
    paper : the ground it is drawn on
    current : [A] along the curve, shape (n,)
    seconds : [s] at each, shape (n,)
    """
    points = list(zip(map(float, paper.across(current)), map(float, paper.up(seconds)), strict=True))
    kept = points[:1]
    for number, (x, y) in enumerate(points[1:-1], 1):
        (x0, y0), (x1, y1) = kept[-1], points[number + 1]
        if abs((x - x0) * (y1 - y0) - (y - y0) * (x1 - x0)) > 0.12 * math.hypot(x1 - x0, y1 - y0):
            kept.append((x, y))
    return [*kept, *points[-1:]] if len(points) > 1 else kept


def drawn_curve(
    sheet: Sheet, paper: LogPaper, current: Floats, seconds: Floats, tint: str, width: float, dash: str = ""
) -> None:
    """A curve where it lies on the paper, with the upright piece at which it begins.

    Parameters
    ----------
    sheet : takes the line
    paper : the ground it is drawn on
    current : [A] along the curve, shape (n,)
    seconds : [s] at each, shape (n,)
    tint : its colour
    width : [px] of the line
    dash : lengths of line and gap, empty for a whole one
    """
    seen = np.flatnonzero((seconds < LONGEST_S) & (seconds > SOONEST_S))
    if seen.size:
        first, last = max(seen[0] - 1, 0), min(seen[-1] + 1, len(current) - 1)
        sheet.line(points_of(paper, current[first : last + 1], seconds[first : last + 1]), tint, width, dash)


def band_of(sheet: Sheet, paper: LogPaper, device: Device | None, tint: str, opacity: float) -> None:
    """From the soonest to the latest opening; paler and dashed beyond the published table.

    Parameters
    ----------
    sheet : takes the band
    paper : the ground it is drawn on
    device : the fuse or breaker, or None
    tint : its colour
    opacity : [-] of its ground, 0..1
    """
    if device is None:
        return
    current, least, most = band_edges(paper, device)
    published = current <= device.published_to_a * (1 + 1e-6)
    for part, strength, dash in ((published, opacity, ""), (~published, 0.5 * opacity, "6 4")):
        shown = part & (least < LONGEST_S)
        if shown.sum() > 1:
            upper, lower = (points_of(paper, current[shown], edge[shown]) for edge in (most, least))
            sheet.area([*upper, *lower[::-1]], tint, strength)
        for edge, width in ((least, 1.3), (most, 2.2)):
            if part.sum() > 1:
                drawn_curve(sheet, paper, current[part], edge[part], tint, width, dash)


def wire_stands(paper: LogPaper, guard: Guard) -> tuple[Floats, Floats]:
    """Currents [A] and how long the wire stands them [s]; without a wire there are none.

    Parameters
    ----------
    paper : the ground it is drawn on
    guard : device and wire
    """
    if guard.wire is None:
        return np.array([]), np.array([])
    current = paper.currents(guard.wire.ampacity_a)
    return current, guard.wire.damage_s(current)


def damaged(sheet: Sheet, paper: LogPaper, guard: Guard) -> None:
    """The ground beyond what the wire stands.

    Parameters
    ----------
    sheet : takes the area
    paper : the ground it is drawn on
    guard : device and wire
    """
    current, seconds = wire_stands(paper, guard)
    hurt = seconds < LONGEST_S
    if hurt.any():
        points = points_of(paper, current[hurt], seconds[hurt])
        sheet.area([*points, (RIGHT, paper.top), (points[0][0], paper.top)], "stop", 0.08)


def damage_line(sheet: Sheet, paper: LogPaper, guard: Guard) -> None:
    """The curve of what the wire stands.

    Parameters
    ----------
    sheet : takes the line
    paper : the ground it is drawn on
    guard : device and wire
    """
    current, seconds = wire_stands(paper, guard)
    if current.size:
        drawn_curve(sheet, paper, current, seconds, "stop", 3.0)


def too_late(sheet: Sheet, paper: LogPaper, guard: Guard) -> Flat | None:
    """Where the fuse may leave the wire too long on the current: strongly filled; middle of the widest stretch [px]."""
    if guard.wire is None or guard.device is None or guard.prospective_a is None or guard.opens_a is None:
        return None
    current, _, most = band_edges(paper, guard.device)
    stands = guard.wire.damage_s(current)
    late = (most > stands) & (current <= guard.prospective_a)
    slow = late & (current >= guard.device.certain_a) & (current < guard.opens_a)
    slow &= guard.slow_from_a is not None
    fault = late & (current >= guard.opens_a)
    widest, spot = 3.0, None  # a narrower stretch cannot be seen
    for stretch, tint in ((slow, "watch"), (fault, "stop")):
        edges = np.flatnonzero(np.diff(np.concatenate([[0], stretch.astype(int), [0]])))
        for a, b in edges.reshape(-1, 2):
            upper, lower = (points_of(paper, current[a:b], edge[a:b]) for edge in (most, stands))
            sheet.area([*upper, *lower[::-1]], tint, 0.5)
            (left, high), (right, low) = upper[0], upper[-1]
            if right - left >= widest:
                widest, spot = right - left, ((left + right) / 2, (high + low) / 2)
    return spot


def band_heights(paper: LogPaper, device: Device | None, current: Floats) -> list[Floats]:
    """Soonest and latest opening as heights [px]; empty without a device.

    Parameters
    ----------
    paper : the ground it is drawn on
    device : the fuse or breaker, or None
    current : [A] shape (n,)
    """
    return [] if device is None else [paper.up(np.asarray(edge)) for edge in band(device, current)]
