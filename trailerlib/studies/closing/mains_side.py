"""The mains side as it is tested: the supply, its cord, every receptacle, and a known resistance as the load."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from trailerlib.design.design import Design
from trailerlib.design.model import Circuit, Supply
from trailerlib.design.voltages import BETWEEN_LEGS, MAINS_V
from trailerlib.studies.circuits import charger_va, load_va
from trailerlib.studies.feeder import Part, resistance_line
from trailerlib.studies.legs import arriving_legs, leg_volts
from trailerlib.studies.mains import LONG_SHARE, busiest, least_a, rating_a
from trailerlib.studies.mains_side.cord import Cord, branch_parts, cord_of, inlet_of, panel_parts

COLD_C = 20.0  # a test is over before a wire warms up
SUPPLY_SHARE = {"north-america": 0.05, "iec": 0.10}  # ANSI C84.1 range A, service; EN 50160, both from memory
TEST_W = {"north-america": (1500.0, 1000.0, 500.0), "iec": (2000.0, 1000.0, 500.0)}  # heaters one can buy, practice
TEST_BETWEEN_W = (3000.0, 2000.0, 1000.0)
UNKNOWN_SOURCE_OHM = 0.5  # a pedestal that was not measured lies anywhere from 0 to this: common practice, no source
MEASURED_SOURCE = 0.2  # one standard deviation of what a loop tester gives: common practice, no source


@dataclass(frozen=True)
class Point:
    """One spot where a meter and a test load go: a receptacle, or the ends of what is wired in.

    ``way`` numbers the pieces of the run to it, ``lengths_m`` their one-way lengths [m]; None where the run is unknown.
    ``legs`` are the legs its two live wires come from: (1, 0) is leg 1 and the neutral, (1, 2) from leg to leg.
    """

    name: str
    circuit: Circuit
    at: str | None
    way: tuple[int, ...] | None
    lengths_m: tuple[float, ...]
    legs: tuple[int, int]
    first: bool

    @property
    def between(self) -> bool:
        """Whether it runs from one leg to the other."""
        return self.circuit.between_legs


@dataclass(frozen=True)
class Side:
    """The mains side behind one supply, as it is tested; ``supply`` None where the design has none."""

    design: Design
    supply: Supply | None
    legs: int
    nominal_v: float
    cord: Cord | None
    points: tuple[Point, ...]

    @property
    def emf_v(self) -> float:
        """Voltage of a leg with nothing plugged in [V]: as measured, else nominal."""
        stated = None if self.supply is None else self.supply.voltage
        return self.nominal_v if stated is None else stated

    @property
    def emf_deviation_v(self) -> float:
        """Standard uncertainty of that [V]: a service may stand anywhere within its range."""
        return float(SUPPLY_SHARE[self.design.practice] * self.nominal_v / 3.0**0.5)

    @property
    def source_ohm(self) -> tuple[float, float]:
        """Loop resistance inside the source and its standard uncertainty [ohm]."""
        stated = None if self.supply is None else self.supply.prospective
        if stated is None:
            return UNKNOWN_SOURCE_OHM / 2.0, UNKNOWN_SOURCE_OHM / 2.0 / 3.0**0.5
        return self.nominal_v / stated, MEASURED_SOURCE * self.nominal_v / stated

    @cached_property
    def contacts(self) -> dict[str, tuple[Part, ...]]:
        """Contacts between source and panel on a hot wire and on the neutral."""
        parts = () if self.supply is None else panel_parts(self.supply)
        return {way: tuple(part for part in parts if part.way == way) for way in ("out", "back")}

    @property
    def floats(self) -> str:
        """Why nothing can be said of volts to ground; empty when it can."""
        if self.supply is None or not self.supply.is_generator:
            return ""
        if self.supply.neutral is None:
            return f"it is not said whether the neutral of “{self.supply.name}” is bonded or floats"
        if self.supply.neutral == "floating":
            return f"the neutral of “{self.supply.name}” floats: volts to ground mean nothing"
        return ""

    def test_w(self, point: Point) -> float:
        """The largest of the usual test loads that stays under 80 % of what the way carries [W]."""
        limits = [
            point.circuit.protection,
            self.design.mains.main,
            None if self.supply is None else rating_a(self.supply),
        ]
        amps = LONG_SHARE * min((limit for limit in limits if limit is not None), default=15.0)
        usual = TEST_BETWEEN_W if point.between else TEST_W[self.design.practice]
        return next((w for w in usual if w <= amps * self.volts(point)), usual[-1])

    def volts(self, point: Point) -> float:
        """Nominal voltage of a point [V]."""
        return self.nominal_v * (BETWEEN_LEGS if point.between else 1.0)

    def test_ohm(self, point: Point) -> float:
        """Resistance of its test load [ohm], which has its power at nominal voltage."""
        return self.volts(point) ** 2 / self.test_w(point)

    def wire_ohm(self, point: Point) -> tuple[tuple[float, float], ...]:
        """Of each piece on the way, one conductor: resistance cold [ohm] and its rise [ohm/K]."""
        zero, rise = resistance_line(point.circuit.wire)
        return tuple((length * (zero + rise * COLD_C), length * rise) for length in point.lengths_m)

    @property
    def cord_ohm(self) -> tuple[float, float]:
        """Of the cord, one conductor: resistance cold [ohm] and its rise [ohm/K]; 0 where it is not known."""
        return _conductor_ohm(self.cord)

    @cached_property
    def inlet_ohm(self) -> tuple[float, float]:
        """The same of the wire from the inlet to the panel."""
        return _conductor_ohm(inlet_of(self.design))

    def full_a(self, circuit: Circuit) -> float | None:
        """What all of a circuit draws at once [A], at most what its breaker lets through; None when it has no load."""
        loads = [load_va(load) for load in self.design.loads_on(circuit.name) if load.on]
        if self.design.charger is not None and self.design.charger.circuit == circuit.name:
            loads.append(charger_va(self.design))
        amps = abs(sum(loads, 0j)) / self.design.volts_of(circuit)
        return min(amps, circuit.protection or amps) or None

    @cached_property
    def supply_a(self) -> float | None:
        """What the fuller leg carries in the busiest moment [A], at most what the supply gives."""
        if self.supply is None:
            return None
        amps = least_a(self.supply, busiest(self.design, self.supply.name), arriving_legs(self.design, self.supply))
        return min(amps, rating_a(self.supply))


def _conductor_ohm(wire: Cord | None) -> tuple[float, float]:
    if wire is None:
        return 0.0, 0.0
    zero, rise = resistance_line(wire.wire)
    return wire.run_m * (zero + rise * COLD_C), wire.run_m * rise


def side_of(design: Design) -> Side | None:
    """The mains side as it is tested, behind the first shore supply, else the first; None without a mains circuit."""
    if not design.circuits_of("mains"):
        return None
    supply = next((one for one in design.supplies if one.kind.startswith("shore")), None)
    supply = supply or next(iter(design.supplies), None)
    legs = 1 if supply is None else arriving_legs(design, supply)
    known = supply is not None and design.practice == "north-america"
    nominal = leg_volts(supply) if known and supply is not None else MAINS_V[design.practice]
    cord = None if supply is None else cord_of(design, supply)
    return Side(design, supply, legs, nominal, cord, tuple(points(design, legs)))


def points(design: Design, legs: int) -> Iterator[Point]:
    """Every receptacle or end of a mains circuit, circuit by circuit.

    Parameters
    ----------
    design : the design
    legs : [-] legs that reach the panel
    """
    for circuit in design.circuits_of("mains"):
        feeds = (1, 2) if circuit.between_legs else (2 if circuit.leg == 2 and legs == 2 else 1, 0)
        ends = list(_ends(design, circuit))
        for k, (at, way, lengths) in enumerate(ends):
            name = circuit.name if len(ends) == 1 else f"{circuit.name} at {at or f'end {k + 1}'}"
            yield Point(name, circuit, at, way, lengths, feeds, k == 0)


End = tuple[str | None, tuple[int, ...] | None, tuple[float, ...]]


def _ends(design: Design, circuit: Circuit) -> Iterator[End]:
    """Place, pieces and lengths of every end; one end of unknown way where the run is not known."""
    place = {load.name: load.place for load in design.loads_on(circuit.name)}
    pieces = design.layout.routes[circuit.name].branches
    fed = {piece.parent for piece in pieces}
    for number, piece in enumerate(pieces):
        if piece.loads or number not in fed:
            way = [number]
            while pieces[way[-1]].parent >= 0:
                way.append(pieces[way[-1]].parent)
            at = next((place[name] for name in piece.loads if place[name]), None) or circuit.to
            yield at, tuple(reversed(way)), tuple(pieces[k].length_m for k in reversed(way))
    if not pieces:
        at = next((spot for spot in place.values() if spot), None) or circuit.to
        yield at, None, ()


def branch_contacts(point: Point) -> dict[str, tuple[Part, ...]]:
    """Breaker and terminals of a branch, out and back; the run's own contacts are in good order."""
    parts = branch_parts(point.circuit)
    return {way: tuple(part for part in parts if part.way == way) for way in ("out", "back")}
