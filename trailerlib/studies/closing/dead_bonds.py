"""The bonds of the mains side: from the ground bar of the panel to frame, skin, inlet and every receptacle."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from trailerlib import reference
from trailerlib.design import wire_sizes
from trailerlib.design.design import Design
from trailerlib.design.model import Supply
from trailerlib.design.raceways import axis_m
from trailerlib.studies.closing.mains_read import CONTACT_SHARE, RUN_SHARE
from trailerlib.studies.closing.mains_side import COLD_C, Point, side_of
from trailerlib.studies.feeder import contact_ohm, resistance_line
from trailerlib.studies.mains import rating_a
from trailerlib.studies.mains_side.cord import inlet_of

GUESSED_SHARE = 0.25  # of a length that only two places tell: common practice, no source
SEAM_OHM = 0.005  # bolted or riveted metal on the way, taken from 0 to twice this: common practice, no source
GENERATOR_AT = "the generator's platform"


@dataclass(frozen=True)
class Bond:
    """One bond, measured from the panel's ground bar.

    ``frame_ohm`` is the part of it that is the wire from the panel to the frame [ohm], ``own_ohm`` the rest; ``rise``
    [ohm/K] of all its wire. ``frame_deviation`` and ``deviation`` are the standard uncertainties of the two [ohm].
    ``missing`` says why nothing can be said.
    """

    name: str
    where: str
    at: str | None
    circuit: str | None
    frame_ohm: float = 0.0
    own_ohm: float = 0.0
    rise: float = 0.0
    frame_deviation: float = 0.0
    deviation: float = 0.0
    missing: str = ""

    @property
    def ohm(self) -> float:
        """Expected resistance [ohm]."""
        return self.frame_ohm + self.own_ohm


def ground_wire(wire: str, rating: float | None) -> str:
    """Size of the ground wire that goes with a circuit: by its breaker, never thicker than the circuit's own.

    A metric wire, and one whose breaker is not known, has a ground wire of its own size.

    Parameters
    ----------
    wire : size of the circuit's wire
    rating : [A] of its breaker, or None

    Source
    ------
    NFPA 70 table 250.122 and 250.122(A); IEC 60364-5-54 table 54.2 up to 16 mm² (from memory).
    """
    if rating is None or "AWG" not in wire:
        return wire
    rows = reference.table("nec_250_122_ground").rows
    least = next((f"{row['awg']} AWG" for row in rows if float(row["rating_a"]) >= rating), wire)
    return min((least, wire), key=lambda size: wire_sizes.wire(size).area_m2)


def bonds(design: Design) -> Iterator[Bond]:
    """Every bond of a design in the order a person walks; nothing without a mains circuit."""
    side = side_of(design)
    if side is None:
        return
    frame = _frame(design)
    yield frame
    yield _skin(design, frame)
    yield _inlet(design, side.supply)
    yield from (_point(point) for point in side.points)
    for supply in design.supplies:
        if supply.is_generator and supply.place is not None and supply.rides is None:
            name = f"{GENERATOR_AT}, {supply.name}"
            yield _behind_frame(frame, name, f"the bare metal of {GENERATOR_AT}", supply.place)


def _wire(wire: str, length_m: float) -> tuple[float, float]:
    """Resistance cold [ohm] and rise [ohm/K] of one conductor."""
    zero, rise = resistance_line(wire)
    return length_m * (zero + rise * COLD_C), length_m * rise


def _contacts(*names: str) -> tuple[float, float]:
    """Resistance of contacts in a row and its standard uncertainty [ohm]."""
    each = [contact_ohm(name) for name in names]
    return sum(each), CONTACT_SHARE * sum(one**2 for one in each) ** 0.5


def _frame(design: Design) -> Bond:
    bond = Bond("frame", "a bare spot of the frame", design.panel, None)
    if design.mains.frame_bond is None:
        return replace(bond, missing="the wire from the panel to the frame is not given")
    if design.panel is None:
        return replace(bond, missing="the place of the panel is not given")
    length = max(0.0, design.place(design.panel).at[2]) + 2.0 * design.routing.service_loop
    wire, rise = _wire(design.mains.frame_bond, length)
    contacts, deviation = _contacts("lug", "lug")
    spread = ((GUESSED_SHARE * wire) ** 2 + deviation**2) ** 0.5
    return replace(bond, frame_ohm=wire + contacts, rise=rise, frame_deviation=spread)


def _behind_frame(frame: Bond, name: str, where: str, at: str | None) -> Bond:
    """What is bonded through the frame's own metal."""
    bond = replace(frame, name=name, where=where, at=at)
    return bond if frame.missing else replace(bond, own_ohm=SEAM_OHM, deviation=SEAM_OHM / 3.0**0.5)


def _skin(design: Design, frame: Bond) -> Bond:
    bond = _behind_frame(frame, "skin", "a bare spot of the metal skin", design.panel)
    if design.mains.skin_bonded is None and not bond.missing:
        return replace(bond, missing="it is not said whether the metal skin is bonded")
    return bond


def _inlet(design: Design, supply: Supply | None) -> Bond:
    plugged = (one.place for one in design.supplies if one.place is not None and not one.is_generator)
    place = design.inlet_place or next(plugged, None)
    bond = Bond("inlet", "the ground pin of the inlet, cord unplugged", place, None)
    own, rating = inlet_of(design), None if supply is None else design.mains.main or rating_a(supply)
    if own is not None:
        length, share = own.run_m, RUN_SHARE
    elif place is None or design.panel is None or supply is None:
        return replace(bond, missing="the places of inlet and panel are not both given")
    else:
        ends = design.place(place).at, design.place(design.panel).at
        length, share = axis_m(*ends) + 2.0 * design.routing.service_loop, GUESSED_SHARE
    wire, rise = _wire(ground_wire("6 AWG" if own is None else own.wire, rating), length)
    contacts, deviation = _contacts("plug and inlet", "spade")
    spread = ((share * wire) ** 2 + deviation**2) ** 0.5
    return replace(bond, own_ohm=wire + contacts, rise=rise, deviation=spread)


def _point(point: Point) -> Bond:
    spot = "the ground slot" if point.circuit.receptacle else "the ground wire's end"
    bond = Bond(point.name, f"{spot} of {point.name}", point.at, point.circuit.name)
    if point.way is None:
        return replace(bond, missing="its run is not known")
    wire, rise = _wire(ground_wire(point.circuit.wire, point.circuit.protection), sum(point.lengths_m))
    contacts, deviation = _contacts("spade", "spade")
    spread = ((RUN_SHARE * wire) ** 2 + deviation**2) ** 0.5
    return replace(bond, own_ohm=wire + contacts, rise=rise, deviation=spread)
