"""The skin of the box as surfaces: walls less openings, roof, floor, doors and glass, each with its U and colour."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from trailerlib.design import box_classes
from trailerlib.design.box import Face
from trailerlib.design.design import Design
from trailerlib.design.model import Opening, Trailer
from trailerlib.physics import envelope
from trailerlib.physics.solar_gain import PAINTED_EMITTANCE, outside_film_w_m2k
from trailerlib.reference import table
from trailerlib.studies.cooling.picture import Side

WALL = "wall"  # what a side is called between its openings
Season = Literal["summer", "winter"]
FACES = ("walls", "roof", "floor")
TURNS = {"nose": 0.0, "curb": 90.0, "rear": 180.0, "road": 270.0}  # from the heading, clockwise


@dataclass(frozen=True)
class Surface:
    """One part of the skin: ``area_m2``, ``u`` air to air [W/(m2 K)], ``inside_r`` [m2 K/W] of the air inside.

    ``tilt`` and ``azimuth`` [deg] say where it looks, ``tilt`` 180 is the underside. ``absorptance`` [-] and ``film``
    [W/(m2 K)] are the skin's; ``solar`` [-] is what glass lets in, None of all else. ``heat_j_per_m2k`` follows inside.
    ``stud_u`` [W/(m2 K)] is that of the strip over a stud, None where there is none.
    """

    name: str
    side: Side
    area_m2: float
    tilt: float
    azimuth: float
    u: float
    inside_r: float
    absorptance: float
    emittance: float
    film: float
    heat_j_per_m2k: float = 0.0
    solar: float | None = None
    method: str = ""
    stud_u: float | None = None

    @property
    def ua(self) -> float:
        """What it passes for each kelvin [W/K]."""
        return self.u * self.area_m2


def missing(design: Design) -> Iterator[str]:
    """What must be known of the box, in words."""
    known = {face.name for face in design.faces if face.layers}
    yield from (f"the layers of the {name}" for name in FACES if name not in known)
    if design.envelope.skin is None:
        yield "the colour of the skin (envelope.skin)"
    if design.envelope.heading is None:
        yield "where the nose points (envelope.heading)"
    if design.envelope.leakage is None:
        yield "how much air leaks in with all shut (envelope.leakage)"
    for opening in design.openings:
        if opening.kind == "window" and opening.glazing is None:
            yield f'the glazing of "{opening.name}"'


def volume_m3(box: Trailer) -> float:
    """Air in the box, the nose with it [m3]."""
    return _plan_m2(box) * box.height


def _plan_m2(box: Trailer) -> float:
    return box.length * box.width + 0.5 * box.nose * box.width


def surfaces(design: Design, season: Season) -> tuple[Surface, ...]:
    """Every part of the skin; nothing may be ``missing``.

    Doors without layers of their own are built as the walls. Fan and cooler count as the roof they sit in.

    Parameters
    ----------
    design : the design
    season : films of air by the way heat flows
    """
    return tuple(_Shell(design, season).parts())


class _Shell:
    def __init__(self, design: Design, season: Season) -> None:
        self.design, self.box, self.season = design, design.trailer, season
        self.heading = design.envelope.heading or 0.0
        self.faces = {face.name: face for face in design.faces if face.layers}
        self._worked_out: dict[tuple[str, float, float], envelope.Face] = {}  # one wall is built as the next

    def parts(self) -> Iterator[Surface]:
        """Roof and floor, then each side with its doors and glass."""
        for side in ("roof", "road", "curb", "nose", "rear"):
            yield from self._side(side)
        yield self._surface("floor", "floor", self.faces["floor"], _plan_m2(self.box), 180.0, 0.0)

    def _side(self, side: Side) -> Iterator[Surface]:
        holes = [o for o in self.design.openings if o.wall == side and o.kind in ("door", "window", "hatch")]
        doors = [o for o in holes if o.kind != "window"]
        left = self._whole_m2(side) - sum(o.area_m2 for o in holes if not any(door.holds(o) for door in doors))
        tilt = 0.0 if side == "roof" else 90.0
        name, face = ("roof", self.faces["roof"]) if side == "roof" else (WALL, self.faces["walls"])
        for share, turned in self._looks(side):
            yield self._surface(name, side, face, max(0.0, left) * share, tilt, turned)
        azimuth = self.heading + TURNS.get(side, 0.0)
        for opening in holes:
            if opening.kind == "window":
                yield self._glass(opening, side, tilt, azimuth)
                continue
            area = opening.area_m2 - sum(o.area_m2 for o in holes if opening.holds(o))
            own = self.faces.get("door", self.faces["roof" if side == "roof" else "walls"])
            yield self._surface(opening.name, side, own, max(0.0, area), tilt, azimuth)

    def _whole_m2(self, side: Side) -> float:
        box = self.box
        if side == "roof":
            return _plan_m2(box)
        if side == "nose":
            return 2.0 * math.hypot(box.nose, box.width / 2) * box.height
        return (box.width if side == "rear" else box.length) * box.height

    def _looks(self, side: Side) -> Iterator[tuple[float, float]]:
        """Shares of a side and where each looks [deg]; a pointed nose looks two ways."""
        azimuth = self.heading + TURNS.get(side, 0.0)
        if side != "nose" or self.box.nose <= 0.0:
            yield 1.0, azimuth
            return
        turned = math.degrees(math.atan2(self.box.nose, self.box.width / 2))
        yield from ((0.5, azimuth - turned), (0.5, azimuth + turned))

    def _surface(self, name: str, side: Side, face: Face, area: float, tilt: float, azimuth: float) -> Surface:
        under = side == "floor"
        colour = self.design.envelope.roof_colour if side == "roof" else self.design.envelope.skin
        skin = box_classes.skin(str(colour))
        sends = PAINTED_EMITTANCE if under else skin.emittance  # the underside is bare wood, whatever the colour
        film = float(outside_film_w_m2k(sends))
        outside_r = 1.0 / film if self.season == "summer" else _film("outside", "winter")
        inside_r = _film(f"{side if side in ('roof', 'floor') else 'wall'} inside", self.season)
        found = self._face(face, outside_r, inside_r)
        return Surface(
            name, side, area, tilt, azimuth, float(found.u), inside_r, 0.0 if under else skin.absorptance,
            sends, film, float(found.heat_j_per_m2k), None, found.method,
            float(found.framed_u) if float(found.framed) > 0.0 else None,
        )  # fmt: skip

    def _face(self, face: Face, outside_r: float, inside_r: float) -> envelope.Face:
        key = face.name, outside_r, inside_r
        if key not in self._worked_out:
            self._worked_out[key] = face_of(face, outside_r, inside_r)
        return self._worked_out[key]

    def _glass(self, opening: Opening, side: Side, tilt: float, azimuth: float) -> Surface:
        kind = box_classes.glazing(str(opening.glazing))
        inside_r = _film(f"{'roof' if side == 'roof' else 'wall'} inside", self.season)
        return Surface(
            opening.name,
            side,
            opening.area_m2,
            tilt,
            azimuth,
            kind.u,
            inside_r,
            0.0,
            0.9,
            17.0,
            0.0,
            kind.solar,
            "glass",
        )


def face_of(face: Face, outside_r: float, inside_r: float) -> envelope.Face:
    """U of a face of the design.

    Parameters
    ----------
    face : with its layers
    outside_r : [m2 K/W] film of air outside
    inside_r : [m2 K/W] film of air inside
    """
    layers = []
    for name, thickness in face.layers or ():
        made = box_classes.material(name)
        layers.append(
            envelope.Layer(thickness, made.conductivity_of(thickness), made.heat_j_per_m3k, made.between_studs)
        )
    return envelope.face_of(
        outside_r, layers, inside_r, _stud(face) if any(la.between_studs for la in layers) else None
    )


def _stud(face: Face) -> envelope.Stud | None:
    sizes = (face.stud_width, face.stud_depth, face.stud_spacing)
    if face.stud is None or None in sizes:
        return None
    width, depth, spacing = (float(size or 0.0) for size in sizes)
    return envelope.Stud(box_classes.material(face.stud).conductivity, width, depth, spacing, face.stud_wall)


def _film(place: str, season: Season) -> float:
    return table("air_films").number("r_m2k_per_w", place=place, season=season)
