"""The bows of a roof as numbers: where they lie, their section and metal, and what lies on them itself."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from trailerlib.design import box_classes, frame_classes
from trailerlib.design.design import Design
from trailerlib.design.model import Opening
from trailerlib.physics import sections, strength
from trailerlib.physics.beam import Bow, Loads
from trailerlib.physics.formula import Number

G_M_S2 = 9.80665


@dataclass(frozen=True)
class Framing:
    """All bows alike: ``at_m`` [m from the nose wall], span [m], section, metal; allowed stress [Pa], ends [-].

    ``web_m2`` [m2] is what stands upright of the section and takes shear, two thirds of a solid bar;
    ``per_m_n`` [N/m] is what skin, foam, ceiling and the bow itself weigh along one bow, standing still.
    """

    at_m: tuple[float, ...]
    span_m: float
    section: sections.Section
    metal: frame_classes.Metal
    width_m: float
    depth_m: float
    allowed_pa: float
    ends: tuple[float, float]
    per_m_n: float
    web_m2: float

    @property
    def ei_nm2(self) -> float:
        """Stiffness against bending [N m2]."""
        return float(self.metal.modulus_pa * self.section.second_m4)

    def bow(self, fixity: Number) -> Bow:
        """One of them.

        Parameters
        ----------
        fixity : [-] how far the walls hold its ends
        """
        return Bow(self.span_m, self.ei_nm2, fixity, fixity)

    @property
    def own(self) -> Loads:
        """What lies on each."""
        return Loads(per_m_n=self.per_m_n)

    def cut_by(self, opening: Opening) -> tuple[float, ...]:
        """The bows that an opening of the roof cuts [m from the nose wall]."""
        reach = 0.5 * (opening.size[0] + self.width_m)
        return tuple(at for at in self.at_m if abs(at - opening.at[0]) < reach - 1e-9)

    def beside(self, opening: Opening) -> tuple[float, float] | None:
        """The bows before and behind an opening that are not cut [m]; None where one is missing."""
        cut = self.cut_by(opening)
        before = [at for at in self.at_m if at < opening.at[0] and at not in cut]
        behind = [at for at in self.at_m if at > opening.at[0] and at not in cut]
        return (max(before), min(behind)) if before and behind else None

    def reached_by(self, opening: Opening) -> tuple[float, ...]:
        """The bows that the trimmers of an opening reach, from the one before it to the one behind it [m]."""
        span = self.beside(opening)
        return () if span is None else tuple(at for at in self.at_m if span[0] <= at <= span[1])

    def entangled(self, one: Opening, other: Opening) -> bool:
        """Whether the one of two openings hangs on a bow that the other cuts."""
        pairs = ((one, other), (other, one))
        return any(set(self.cut_by(cuts)) & set(self.reached_by(hangs)) for cuts, hangs in pairs)


def missing(design: Design) -> Iterator[str]:
    """What must be known of the bows, in words."""
    roof = design.roof
    for key in ("metal", "width", "depth", "spacing", "first", "ends"):
        if getattr(roof, key) is None:
            yield f"roof.{key}"
    if not any(face.layers for face in design.faces if face.name == "roof"):
        yield "face.roof.layers"


def framing_of(design: Design) -> Framing:
    """The bows of a design; nothing may be ``missing``."""
    roof = design.roof
    metal = frame_classes.metal(str(roof.metal))
    width, depth, spacing, first = (float(v or 0.0) for v in (roof.width, roof.depth, roof.spacing, roof.first))
    section = _section(design, width, depth)
    length = design.trailer.length
    count = max(0, int(np.floor((length - first) / spacing + 1e-9)) + 1) if first < length else 0
    ends = roof.ends if roof.ends is not None else (0.0, 0.0)
    allowed = float(strength.allowable_stress_pa(metal.strength_pa(welded=roof.welded is not False), metal.safety))
    own = metal.density * float(section.area_m2) + _skin_kg_m2(design) * spacing
    return Framing(
        tuple(first + spacing * n for n in range(count)), design.trailer.width, section, metal, width, depth, allowed,
        ends, own * G_M_S2, _web_m2(design, width, depth),
    )  # fmt: skip


def _web_m2(design: Design, width: float, depth: float) -> float:
    """Two walls over the whole depth; of a solid bar two thirds of its area."""
    return width * depth / 1.5 if design.roof.section == "solid" else 2.0 * float(design.roof.wall or 0.0) * depth


def _section(design: Design, width: float, depth: float) -> sections.Section:
    roof = design.roof
    if roof.section == "solid":
        return sections.rectangle(width, depth)
    if roof.section == "hat":
        return sections.hat(width, depth, float(roof.flange or 0.0), float(roof.wall or 0.0))
    return sections.tube(width, depth, float(roof.wall or 0.0))


def _skin_kg_m2(design: Design) -> float:
    """Mass of skin, foam and ceiling [kg/m2]."""
    face = next((f for f in design.faces if f.name == "roof"), None)
    layers = () if face is None else face.layers or ()
    return sum(box_classes.material(name).density * thick for name, thick in layers)
