"""What a load may lose and what it needs, as lines across a staircase."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trailerlib.pictures.lettering import wide
from trailerlib.pictures.stair_labels import SIZE, Box, volts
from trailerlib.pictures.stair_layout import LOAD, Scale, Stair
from trailerlib.studies.path import Path
from trailerlib.units import show

EDGE = 514.0  # [px] right end of a line and its words


@dataclass(frozen=True)
class Limit:
    """A line: the voltage across the load it stands for [V], how to say it, and whether the load is below."""

    load_v: float
    words: str
    broken: bool

    @property
    def said(self) -> str:
        """Its words, with a mark when it is broken."""
        return f"✗ {self.words}" if self.broken else self.words


def limits_of(path: Path, limit_v: float | None, lowest_v: float | None) -> list[Limit]:
    """The limits that are known, the higher first.

    Parameters
    ----------
    path : the way
    limit_v : [V] what may be lost in all, or None
    lowest_v : [V] least voltage the load works at, or None
    """
    found = []
    if limit_v is not None:
        most = path.emf_v - limit_v
        found.append(Limit(most, f"allowed: {volts(limit_v)} lost in all", path.load_v < most - 1e-9))
    if lowest_v is not None:
        found.append(Limit(lowest_v, f"the load needs {show(lowest_v, 'voltage')}", path.load_v < lowest_v - 1e-9))
    return sorted(found, key=lambda limit: -limit.load_v)


def lines_of(limits: Sequence[Limit], now: Stair, scale: Scale) -> list[tuple[Limit, float | None]]:
    """Each limit with the height its line has [px]; None where it lies outside the magnified part."""
    found: list[tuple[Limit, float | None]] = []
    for limit in limits:
        y = scale.feed(limit.load_v + now.minus_v)
        found.append((limit, y if scale.top - 0.5 <= y <= scale.cut[0] + 0.5 else None))
    return found


def limit_boxes(now: Stair, limit: Limit, y: float | None, scale: Scale) -> list[Box]:
    """Where the line of a limit and its words lie.

    Parameters
    ----------
    now : the stair
    limit : the limit
    y : [px] height of its line, None when it has none
    scale : the scale
    """
    if y is None:
        return []
    base = limit_base(now, y, scale)
    left = EDGE - wide(limit.said)
    return [(now.load - LOAD / 2, y - 2, EDGE, y + 2), (left, base - 0.8 * SIZE, EDGE, base + 0.25 * SIZE)]


def limit_base(now: Stair, y: float, scale: Scale) -> float:
    """Base line of its words [px]: under the line while the stair ends above it, else over it.

    Parameters
    ----------
    now : the stair
    y : [px] height of the line
    scale : the scale
    """
    return y + 13 if y >= scale.feed(now.plus_v) else y - 5
