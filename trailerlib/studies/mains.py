"""What the mains side draws at a moment, what a supply gives, and which circuits end outside."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trailerlib.design import catalogue
from trailerlib.design.design import Design
from trailerlib.design.model import Circuit, Stay, Supply
from trailerlib.studies.circuits import charger_va, load_va
from trailerlib.studies.timetable import stays_on, stretches

LONG_H = 3.0  # continuous: three hours or more, article 100
LONG_SHARE = 0.8


@dataclass(frozen=True)
class Moment:
    """The mains side at one moment: running power [W], apparent power [VA], what is on, when it begins [h].

    Currents that lag differently do not add up like numbers: ``va`` is what a clamp meter would show times the voltage.

    ``largest_va`` is the largest load that hangs on one leg [VA]; ``leg_va`` what each of two legs carries [VA],
    None while the leg of a circuit that draws is not given.
    """

    watts: float
    va: float
    largest_va: float
    leg_va: tuple[float, float] | None
    on: tuple[str, ...]
    start_h: float | None
    hours: float


def moment(design: Design, on: frozenset[str] | set[str], start_h: float | None = None, hours: float = 0.0) -> Moment:
    """What the mains side draws with these loads running and the charger at full current.

    Parameters
    ----------
    design : the design
    on : names of the loads that run; dc loads among them draw on the battery, not here
    start_h : [h] when it begins, or None
    hours : [h] how long it lasts
    """
    loads = [load for load in design.loads if load.name in on and load.on and load.typical.system == "mains"]
    each = [load_va(load) for load in loads] + [charger_va(design)]
    running = tuple(load.name for load in loads) + (("charger",) if design.charger else ())
    places = [load.circuit for load in loads] + [design.charger.circuit if design.charger else ""]
    whole = sum(each)
    return Moment(whole.real, abs(whole), max(map(abs, each)), _on_legs(design, places, each), running, start_h, hours)


def _on_legs(design: Design, circuits: Sequence[str], each_va: Sequence[complex]) -> tuple[float, float] | None:
    sums = [0j, 0j]
    for name, va in zip(circuits, each_va, strict=True):
        leg = design.circuit(name).leg if va else 1
        if leg is None:
            return None
        sums[leg - 1] += va
    return abs(sums[0]), abs(sums[1])


def everything(design: Design) -> Moment:
    """All mains loads that are switched on, at once."""
    return moment(design, frozenset(load.name for load in design.loads))


def moments(design: Design, stay: Stay) -> tuple[Moment, ...]:
    """A stay as a row of moments, cut at every switching."""
    return tuple(moment(design, part.on, part.start_h, part.hours) for part in stretches(design, stay))


def busiest(design: Design, supply: str) -> Moment:
    """The busiest moment of the stays on a supply; without such a stay, everything at once."""
    found = [m for stay in stays_on(design, supply) for m in moments(design, stay)]
    return max(found, key=lambda m: m.va, default=everything(design))


def legs(supply: Supply) -> int:
    """How many legs a supply has; a portable generator here has one."""
    return 1 if supply.is_generator else catalogue.supply_kinds()[supply.kind].legs


def leg_volts(supply: Supply) -> float:
    """Voltage of one leg to neutral [V]."""
    if supply.is_generator:
        return catalogue.generator_kinds()[supply.kind].volts
    return catalogue.supply_kinds()[supply.kind].volts / legs(supply)


def least_a(supply: Supply, at: Moment) -> float:
    """Current of the busiest leg [A]; where not every leg is given, the loads spread as well as can be.

    Parameters
    ----------
    supply : the supply
    at : the moment
    """
    if legs(supply) == 2 and at.leg_va is not None:
        return max(at.leg_va) / leg_volts(supply)
    return max(at.va / legs(supply), at.largest_va) / leg_volts(supply)


def rating_a(supply: Supply) -> float:
    """What a supply gives [A]; a generator by its running power."""
    if supply.is_generator:
        kind = catalogue.generator_kinds()[supply.kind]
        return (supply.running or kind.running_w) / kind.volts
    return catalogue.supply_kinds()[supply.kind].rating_a


def is_outdoor(design: Design, circuit: Circuit) -> bool:
    """Whether a circuit ends outside the walls, feeds an outdoor load, or is called so."""
    loads = design.loads_on(circuit.name)
    names = [circuit.name, *(load.appliance for load in loads)]
    if any(word in name.lower() for name in names for word in ("outdoor", "outside")):
        return True
    ends = {place for place in (circuit.to, *(load.place for load in loads)) if place is not None}
    return any(_beyond_walls(design, place) for place in ends)


def _beyond_walls(design: Design, place: str) -> bool:
    x, y, _ = design.place(place).at
    return not (-design.trailer.nose <= x <= design.trailer.length and 0.0 <= y <= design.trailer.width)
