"""How a loaded trailer lies on coupler, axles and tyres: what the drawings, the table and the rules look at."""

from __future__ import annotations

from dataclasses import dataclass

from trailerlib import units
from trailerlib.design.model import Opening
from trailerlib.rules.finding import Severity

Point = tuple[float, float, float]
Path = tuple[str, ...]


@dataclass(frozen=True)
class Thing:
    """A mass at a place: name, [kg], [from the nose wall, from the left wall, above the floor] [m].

    ``path`` is where the design says its place; None for what is not moved by hand. ``bare``: the empty trailer.
    ``by`` says where its mass comes from. ``part`` is what straps or bolts have to hold; None where that is not asked.
    """

    name: str
    mass_kg: float
    at: Point
    bare: bool = False
    path: Path | None = None
    by: str = ""
    part: str | None = None


@dataclass(frozen=True)
class Force:
    """What coupler, axle or wheel carries: its name, where [m], [kg], its rating [kg], and how that is judged."""

    name: str
    x: float
    y: float
    load_kg: float
    rating_kg: float | None
    word: Severity = "holds"


@dataclass(frozen=True)
class Strip:
    """Where one thing may stand along the trailer so that all holds [m from the nose wall], and in words.

    ``reach`` is how far forward and back it could be put at all; ``span`` is None where no place will do. ``aside`` is
    between which places across the sides and tyres hold where it stands now, ``across`` where that is [m from the road
    side]; None where no place across will do, or the track is not known.
    """

    name: str
    at: float
    reach: tuple[float, float]
    span: tuple[float, float] | None
    words: str
    across: float = 0.0
    aside: tuple[float, float] | None = None

    @property
    def stands_well(self) -> bool:
        """Whether it stands within the strip."""
        return self.span is not None and self.span[0] - 1e-9 <= self.at <= self.span[1] + 1e-9

    @property
    def shift(self) -> float | None:
        """How far it has to go so that all holds [m], forward below zero; None where no place will do."""
        if self.span is None:
            return None
        return min(max(self.at, self.span[0]), self.span[1]) - self.at

    @property
    def shift_aside(self) -> float | None:
        """How far across it has to go [m], toward the road side below zero; None where no place will do."""
        if self.aside is None:
            return None
        return min(max(self.across, self.aside[0]), self.aside[1]) - self.across


@dataclass(frozen=True)
class Box:
    """The trailer as it is drawn [m]; ``axles`` from the nose wall, ``track`` from wheel to wheel."""

    length: float
    width: float
    height: float
    nose: float
    coupler_x: float
    floor: float
    axles: tuple[float, ...]
    track: float
    openings: tuple[Opening, ...] = ()


@dataclass(frozen=True)
class TowingPicture:
    """Everything that is drawn of the balance; None or nothing where it is not known.

    ``centre`` is the balance point [from the nose wall, from the left wall] [m], ``share`` what of the weight is on the
    coupler [-], ``band`` between which places along the trailer the balance point belongs [m], ``left_share`` what the
    left wheels carry of the load on all wheels [-].
    """

    title: str
    system: units.System
    box: Box
    things: tuple[Thing, ...]
    gross_kg: float | None
    centre: tuple[float, float] | None
    share: float | None
    band: tuple[float, float] | None
    coupler: Force | None
    axles: tuple[Force, ...]
    wheels: tuple[Force, ...]
    left_share: float | None
    side_word: Severity
    strips: tuple[Strip, ...] = ()
    missing: str = ""

    def strip_of(self, name: str | None) -> Strip | None:
        """Where a thing may stand, by its name; None when it is not moved by hand or nothing is known."""
        return next((strip for strip in self.strips if strip.name == name), None)
