"""How many candidates lie on coupler, axles and tyres: every thing asked by itself, then the balance in one go."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np

from trailerlib.design.design import Design
from trailerlib.physics import balance
from trailerlib.physics import restraint as restraint_physics
from trailerlib.physics import tyre as tyre_physics
from trailerlib.rules import restraint as restraint_rules
from trailerlib.rules import road, tyres
from trailerlib.rules.finding import judge_many, not_so
from trailerlib.studies.towing import hold, masses, wires
from trailerlib.studies.towing.lie import axles_of, shares_alike, tyre_kg
from trailerlib.studies.towing.masses import Found
from trailerlib.studies.towing.result import Thing
from trailerlib.studies.trade_offs.asked import Ask
from trailerlib.studies.trade_offs.axes import Floats, Span
from trailerlib.studies.trade_offs.candidates import Rows
from trailerlib.studies.trade_offs.counts import SEVERITIES, Counts
from trailerlib.studies.trade_offs.desk import Desk
from trailerlib.studies.trade_offs.watched import part_of

WAYS = {
    "forward": restraint_rules.FORWARD, "rearward": restraint_rules.REARWARD,
    "sideways": restraint_rules.SIDEWAYS, "downward": restraint_rules.DOWNWARD,
}  # fmt: skip
MOST_AXLES = 3


@dataclass(frozen=True)
class Lies:
    """How candidates lie [kg], (n,) each, NaN where not known; ``axles`` and ``shares`` [-] are (axles, n)."""

    gross: Floats
    tongue: Floats
    wheels_kg: Floats
    axles: Floats
    right: Floats
    shares: Floats

    @property
    def share(self) -> Floats:
        """What of the weight is on the coupler [-]."""
        return self.tongue / self.gross


class Weights:
    """Everything that is asked about what weighs, and how it lies."""

    def __init__(self, desk: Desk, base: Design) -> None:
        self.bare = Ask(desk, "the bare trailer", _bare, wide=True)
        self.box = Ask(desk, "the axles", _box, wide=False)
        self.ratings = Ask(desk, "the ratings of the trailer", _ratings, wide=True)
        self.things = [
            Ask(desk, name, partial(_thing, find=find), wide=True, straight=_rides(desk, base, name))
            for name, find in _finders(base)
        ]
        self.wires = [
            Ask(desk, name, partial(_wire, find=find), straight=straight)
            for name, find, straight in _wire_finders(base)
        ]
        self.held = [_Held(desk, base, name, find) for name, find in _finders(base)]

    def lie(self, rows: Rows, parked: bool = False) -> tuple[Lies, Floats]:
        """How every candidate lies, and how many things of it could not be counted.

        Parameters
        ----------
        rows : the candidates
        parked : with what is aboard only while it stands
        """
        bare = self.bare.of(rows)
        mass, x, y = [bare[0]], [bare[1]], [bare[2]]
        open_ones = np.zeros(rows.count)
        for ask in self.things:
            kg, ahead, across, known, always = ask.of(rows)
            counts = (always > 0) | parked
            open_ones += (known == 0) & counts
            mass.append(np.where(counts, np.nan_to_num(kg), 0.0))
            x.append(np.nan_to_num(ahead))
            y.append(np.nan_to_num(across))
        laid = np.zeros((3, rows.count))
        unknown = np.zeros(rows.count, dtype=bool)
        for ask in self.wires:
            kg, ahead, across, known = ask.of(rows)
            laid += np.array([kg, ahead, across])
            unknown |= known == 0
        mass.append(laid[0])
        for of, moment in ((x, laid[1]), (y, laid[2])):
            of.append(np.divide(moment, laid[0], out=np.zeros(rows.count), where=laid[0] > 0))
        return self._on_axles(rows, np.array(mass).T, np.array(x).T, np.array(y).T), open_ones + unknown

    def _on_axles(self, rows: Rows, mass: Floats, x: Floats, y: Floats) -> Lies:
        coupler, arm, ball, left, track, *shares = self.box.of(rows)
        gross, ahead = balance.centre_of_mass(mass, x)
        across = balance.centre_of_mass(mass, y)[1]
        behind = ahead - coupler
        tongue, wheels = (np.asarray(part(gross, behind, arm)) for part in (balance.tongue_kg, balance.wheels_kg))
        known, share = ~np.isnan(arm + gross), np.array(shares)
        right = np.asarray(balance.right_wheels_kg(gross, across, tongue, ball, wheels, left, track))
        return Lies(np.where(known, gross, np.nan), tongue, wheels, wheels * share, right, share)

    def judged(self, rows: Rows) -> Counts:
        """What is judged of weights and of what holds things.

        Parameters
        ----------
        rows : the candidates
        """
        said = Counts(rows.count)
        lies, open_ones = self.lie(rows)
        gross_limit, coupler_limit, tongue_limit, axle, several, springs, *tyre = self.ratings.of(rows)
        said.add(judge_many(road.TONGUE_LIGHT, lies.share, road.TONGUE_LEAST))
        said.add(judge_many(road.TONGUE_HEAVY, lies.share, road.TONGUE_MOST))
        said.add(judge_many(road.TONGUE_LIMIT, lies.tongue, tongue_limit))
        said.add(judge_many(road.GROSS_RATING, lies.gross, gross_limit))
        said.add(judge_many(road.COUPLER_RATING, lies.gross, coupler_limit))
        self._on_the_road(lies, axle, tyre, said)
        said.add(judge_many(tyres.TYRES_MATCH, 2.0 * tyre[1], axle))
        said.add(judge_many(road.AXLES_SHARE, springs, 0.0), several > 0)
        left_out = road.left_out("", True).severity
        said.by_severity[SEVERITIES.index(left_out)] += open_ones
        said.add(judge_many(road.STAYS_DOWN, self.lie(rows, parked=True)[0].tongue, 0.0))
        for held in self.held:
            held.judged(rows, said)
        return said

    def _on_the_road(self, lies: Lies, axle: Floats, tyre: Sequence[Floats], said: Counts) -> None:
        """Axles, tyres and sides; ``tyre`` is what one carries, its rating [kg], the air in it and on its wall [Pa]."""
        carries, rated, air, full = tyre
        known = ~np.isnan(lies.tongue + lies.gross)
        for part, share in zip(lies.axles, lies.shares, strict=True):
            said.add(judge_many(road.AXLE_RATING, part, axle), known & ~np.isnan(share))
        said.add(judge_many(road.AXLE_RATING, np.full_like(axle, np.nan), axle), ~known)
        sided = known & ~np.isnan(lies.right)
        sides = np.array([lies.wheels_kg - lies.right, lies.right])
        wheels = sides[None] * lies.shares[:, None]
        for wheel in wheels.reshape(-1, len(axle)):
            said.add(judge_many(tyres.TYRE_RATING, wheel, carries), sided & ~np.isnan(wheel))
        heaviest = np.fmax.reduce(wheels.reshape(-1, len(axle)))
        said.add(judge_many(tyres.TYRE_NEAR, heaviest, tyres.TYRE_RESERVE * carries), sided)
        with np.errstate(all="ignore"):
            needed = np.where(sided, tyre_physics.needs_pa(heaviest, rated, full), np.nan)
        said.add(judge_many(tyres.TYRE_AIR, air, needed))
        said.add(judge_many(tyres.TYRE_HARD, air, full))
        said.add(judge_many(tyres.TYRE_RATING, np.full_like(rated, np.nan), rated), ~sided)
        with np.errstate(all="ignore"):
            part = np.where(sided & (lies.wheels_kg > 0), sides.max(axis=0) / lies.wheels_kg, np.nan)
        said.add(judge_many(road.SIDE_TO_SIDE, part, road.SIDE_MOST))


class _Held:
    """What holds one thing: straps and bolts asked by themselves, then held against what it weighs."""

    def __init__(self, desk: Desk, base: Design, name: str, find: Callable[[Design], Found | None]) -> None:
        straight = _rides(desk, base, name)
        self.mass = Ask(desk, name, partial(_thing, find=find), wide=True, straight=straight)
        self.by = Ask(desk, f"what holds {name}", partial(_by, find=find), wide=True, straight=straight)
        self.rule = restraint_rules.BATTERY_HELD if name == "battery" else restraint_rules.THING_HELD

    def judged(self, rows: Rows, said: Counts) -> None:
        """Add what is judged of it."""
        asked, loose, counted, contained, *holds = self.by.of(rows)
        kg, _, _, known, always = self.mass.of(rows)
        aboard = (asked > 0) & (known > 0) & (kg > 0) & (always > 0)
        if not aboard.any():
            return
        said.add(judge_many(self.rule, loose, 0.0), aboard)
        tied = aboard & (loose == 0)
        half = np.asarray(restraint_physics.asked_kg(kg, hold.share("aggregate")))
        said.add(judge_many(restraint_rules.AGGREGATE, counted, half), tied)
        for way, rule, held in zip(WAYS, WAYS.values(), holds, strict=True):
            needed = np.asarray(restraint_physics.asked_kg(kg, hold.share(way)))
            said.add(judge_many(rule, held, needed), tied & (contained == 0))


def _finders(base: Design) -> Iterator[tuple[str, Callable[[Design], Found | None]]]:
    """Everything that weighs but the bare trailer and the wires, by name, and how it is found in a design."""
    yield "battery", lambda design: next(masses.battery(design), None)
    for load in base.loads:
        yield load.name, partial(lambda design, name: masses.of_load(design, design.load(name)), name=load.name)
    for supply in base.supplies:
        yield supply.name, partial(_supply, name=supply.name)
    for key, part in (("solar", p) for p in base.solar):
        yield part.name, partial(_of, key=key, name=part.name, make=masses.of_panel)
    for cabinet in base.cabinets:
        yield cabinet.name, partial(lambda d, name: masses.of_cabinet(part_of(d, "cabinet", name)), name=cabinet.name)
    for opening in base.openings:
        yield (
            opening.name,
            partial(lambda d, name: next(masses.of_opening(d, part_of(d, "opening", name)), None), name=opening.name),
        )
    for tank in base.tanks:
        yield tank.name, partial(lambda d, name: masses.of_tank(part_of(d, "tank", name)), name=tank.name)
    for cargo in base.cargo:
        yield cargo.name, partial(lambda d, name: masses.of_cargo(part_of(d, "cargo", name)), name=cargo.name)


def _of(design: Design, key: str, name: str, make: Callable[[Design, Any], Found]) -> Found:
    return make(design, part_of(design, key, name))


def _supply(design: Design, name: str) -> Found | None:
    return next(masses.of_supply(design, design.supply(name)), None)


def _rides(desk: Desk, base: Design, name: str) -> tuple[str, ...]:
    """Ranges over the place of a generator that keep it on the trailer: between their ends all is a straight line."""
    if all(supply.name != name for supply in base.supplies):
        return ()
    found = []
    for axis in desk.watched.axes:
        if isinstance(axis, Span) and axis.path[0] == "place":
            ends = [_supply(base.replace(axis.path, end), name) for end in (axis.low, axis.high)]
            if all(isinstance(end, Thing) for end in ends):
                found.append(axis.name)
    return tuple(found)


def _thing(design: Design, find: Callable[[Design], Found | None]) -> tuple[Any, ...]:
    """Mass and place, whether it could be counted (1 too where there is nothing), whether it is there on the road."""
    found = find(design)
    if found is None:
        return 0.0, 0.0, 0.0, True, True
    if isinstance(found, str):
        return None, None, None, False, True
    always = found.part is not None or found.path is None or found.path[0] != "cargo"
    return found.mass_kg, found.at[0], found.at[1], True, always


def _wire_finders(base: Design) -> Iterator[tuple[str, Callable[[Design], Any], tuple[str, ...]]]:
    """The wires, and by which lengths their mass is a straight line: none where a load has a length of its own."""
    yield "the wire of the feeder", wires.of_feeder, ("feeder.run",)
    yield "the wire of the inlet", wires.of_inlet, ("mains.inlet_run",)
    for circuit in base.circuits:
        simple = all(load.run is None for load in base.loads_on(circuit.name))
        straight = (f"circuit.{circuit.name}.run",) if simple else ()
        yield f"the wire of {circuit.name}", partial(_wire_of, name=circuit.name), straight


def _wire_of(design: Design, name: str) -> Any:
    return wires.of_circuit(design, design.circuit(name))


def _wire(design: Design, find: Callable[[Design], Any]) -> tuple[float, ...]:
    """Mass of all pieces and its moments about the nose wall and the road side, whether it is known."""
    pieces = find(design)
    if pieces is None:
        return 0.0, 0.0, 0.0, False
    return (
        sum(mass for mass, _ in pieces),
        sum(mass * at[0] for mass, at in pieces),
        sum(mass * at[1] for mass, at in pieces),
        True,
    )


def _bare(design: Design) -> tuple[Any, ...]:
    found = masses.bare_trailer(design)
    return (None, None, None) if found is None else (found.mass_kg, found.at[0], found.at[1])


def _box(design: Design) -> tuple[Any, ...]:
    """Coupler, the axle that carries, ball, left wheels, track, and what each axle carries."""
    box = design.trailer
    none = (None,) * MOST_AXLES
    track = (
        (box.width / 2, None, None) if box.track is None else (box.width / 2, (box.width - box.track) / 2, box.track)
    )
    if box.axle is None:
        return (box.coupler_x, None, *track, *none)
    axles, alike = np.array(axles_of(box)) - box.coupler_x, shares_alike(box)
    shares = balance.axle_shares(axles, shared=alike).tolist()
    return (box.coupler_x, float(balance.holding_axle_m(axles, shared=alike)), *track, *shares, *none[len(shares) :])


def _ratings(design: Design) -> tuple[Any, ...]:
    box = design.trailer
    springs = not_so(box.equaliser)
    return (
        box.gross_rating, box.coupler_rating, box.tongue_limit, box.axle_rating, box.axles > 1, springs,
        tyre_kg(box), box.tyre_rating, box.tyre_pressure, box.tyre_full,
    )  # fmt: skip


def _by(design: Design, find: Callable[[Design], Found | None]) -> tuple[Any, ...]:
    """Whether it has to be held; loose (None is not said), limits as they count, contained, what is held each way."""
    found = find(design)
    part = None if found is None or isinstance(found, str) else dict(hold.parts(design)).get(found.part)
    if part is None:
        return (False, None, None, True, *(None,) * len(WAYS))
    loose = None if part.straps is None and part.bolts is None else not (part.straps or part.bolts)
    held = (hold.holds_kg(part, way) for way in WAYS)
    return (True, loose, hold.counted_kg(part), bool(part.contained), *held)
