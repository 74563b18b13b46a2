"""What the three drawings of this question need: a side from outside, how the bows carry, the build-up at a hole."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from trailerlib import units
from trailerlib.rules.finding import Severity

Wall = Literal["roof", "road", "curb", "nose", "rear"]


@dataclass(frozen=True)
class Hole:
    """An opening on its side. ``x`` and ``y`` [m] are its middle: on the roof from the nose wall and from the road
    side, on road and curb side from the nose wall and above the floor, on nose and rear from the road side and above
    the floor. ``length`` lies along ``x``, ``width`` along ``y``.

    ``flange`` [m] overlaps all round, None is not known; ``shroud`` [m] is what covers it outside, along x and y.
    """

    name: str
    kind: str
    x: float
    y: float
    length: float
    width: float
    flange: float | None
    shroud: tuple[float, float] | None
    word: Severity


@dataclass(frozen=True)
class Bar:
    """A bow, stud, header or trimmer from end to end [m], ``broad`` [m] wide; ``cut`` says that an opening cuts it."""

    kind: Literal["bow", "stud", "header", "trimmer"]
    start: tuple[float, float]
    end: tuple[float, float]
    broad: float
    cut: bool = False


@dataclass(frozen=True)
class Mark:
    """A conflict: where on the side [m] and in words; ``word`` says how bad it is."""

    x: float
    y: float
    words: str
    word: Severity


@dataclass(frozen=True)
class FromOutside:
    """One side of the box, inside sizes ``length`` along x and ``height`` along y [m].

    ``raceways`` are the ways of wires that lie behind it, as points; ``cabinets`` what stands against it inside, each
    (name, low x, low y, high x, high y). ``focus`` names the opening that is moved.
    """

    wall: Wall
    length: float
    height: float
    holes: tuple[Hole, ...]
    bars: tuple[Bar, ...]
    raceways: tuple[tuple[str, tuple[tuple[float, float], ...]], ...]
    cabinets: tuple[tuple[str, float, float, float, float], ...]
    marks: tuple[Mark, ...]
    focus: str | None


@dataclass(frozen=True)
class BowCarries:
    """One bow: its place from the nose wall [m], what it takes of all that the trimmers hand on [-], its stress in the
    worse case and what is allowed [Pa], how far it sags and what is allowed [m]. ``cut``: an opening cuts it, ``case``
    which case.
    """

    name: str
    x: float
    share: float
    stress_pa: float
    allowed_pa: float
    sag_m: float
    allowed_sag_m: float
    cut: bool
    case: str
    word: Severity


@dataclass(frozen=True)
class BuildUp:
    """What the opening in focus is clamped through, from outside to inside: (material, thickness [m]).

    ``made_for`` [m] is the thinnest and thickest it takes, ``spacer`` [m] what has to be added (below zero: taken
    away), None where either is not known. ``part`` is what it is cut into; a door is ``framed``, nothing clamps it.
    """

    name: str
    layers: tuple[tuple[str, float], ...]
    made_for: tuple[float, float] | None
    spacer: float | None
    word: Severity
    part: Literal["wall", "roof", "door"] = "wall"
    framed: bool = False

    @property
    def thickness(self) -> float:
        """All layers together [m]."""
        return sum(size for _, size in self.layers)


@dataclass(frozen=True)
class RoofPicture:
    """All three; where a part is None, ``missing`` says by its name (outside, bows, build-up) what is not known."""

    title: str
    system: units.System
    outside: FromOutside | None
    bows: tuple[BowCarries, ...] | None
    build_up: BuildUp | None
    missing: dict[str, str]
