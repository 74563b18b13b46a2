"""What the parts of one design must agree on: every name is one's own, and leads somewhere."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from typing import TYPE_CHECKING

from trailerlib.design import supply_classes
from trailerlib.design.hours import read_ranges
from trailerlib.design.living import BATTERY_SUPPLY, TOWING_SUPPLY

if TYPE_CHECKING:
    from trailerlib.design.design import Design


def unknown(what: str, name: str, offer: Iterable[str]) -> str:
    """The sentence for a name that no part of its kind has."""
    names = ", ".join(f'"{n}"' for n in offer) or "none yet"
    return f'there is no {what} called "{name}"; there are: {names}.'


def check_unique(key: str, names: Sequence[str]) -> None:
    """Refuse two parts of one kind with the same name."""
    seen: set[str] = set()
    for name in names:
        if name in seen:
            raise ValueError(f'two {key} parts are called "{name}"; give each its own name.')
        seen.add(name)


def check_circuits(design: Design) -> None:
    """Refuse a load or charger without its circuit, or on one of the other side."""
    circuits = {circuit.name: circuit for circuit in design.circuits}
    between = next((circuit.name for circuit in design.circuits if circuit.between_legs), None)
    if between is not None and design.practice == "iec":
        raise ValueError(
            f'circuit "{between}", leg: under IEC practice no supply of a trailer has two legs; remove this key.'
        )
    for load in design.loads:
        circuit = circuits.get(load.circuit)
        if circuit is None:
            raise ValueError(f'load "{load.name}": {unknown("circuit", load.circuit, circuits)}')
        if circuit.system != load.typical.system:
            raise ValueError(
                f'load "{load.name}": the class "{load.appliance}" belongs on {load.typical.system}, but circuit '
                f'"{circuit.name}" is {circuit.system}; pick another class or another circuit.'
            )
    if design.charger is not None:
        charger = circuits.get(design.charger.circuit)
        if charger is None:
            raise ValueError(f"charger: {unknown('circuit', design.charger.circuit, circuits)}")
        if charger.system != "mains":
            raise ValueError(f'charger: circuit "{charger.name}" is dc; the charger is fed from a mains circuit.')


def check_places(design: Design) -> None:
    """Refuse a name of a place that is nowhere."""
    names = [place.name for place in design.places]
    wanted: list[tuple[str, str | None]] = [("fuse_block", design.fuse_block), ("panel", design.panel)]
    wanted.append(("mains, inlet_place", design.mains.inlet_place))
    wanted += [(f'load "{load.name}"', load.place) for load in design.loads]
    wanted += [(f'supply "{s.name}"', name) for s in design.supplies for name in (s.place, s.rides)]
    wanted += [(f'solar "{panel.name}"', panel.place) for panel in design.solar]
    wanted += [(f'circuit "{c.name}"', end) for c in design.circuits for end in (c.origin, c.to)]
    if design.battery is not None:
        wanted.append(("battery", design.battery.place))
    for owner, name in wanted:
        if name is not None and name not in names:
            raise ValueError(f"{owner}: {unknown('place', name, names)}")


def check_supplies(design: Design) -> None:
    """Refuse a supply of no known kind, of the other practice, or with a kept name."""
    for supply in design.supplies:
        try:
            supply_classes.check_supply(supply.kind)
        except ValueError as error:
            raise ValueError(f'supply "{supply.name}", kind: {error}') from None
        if design.practice == "north-america" and supply.kind in supply_classes.iec_supplies():
            raise ValueError(
                f'supply "{supply.name}", kind: this one follows IEC practice and the design says '
                'practice = "north-america"; write "iec" there, or take another kind.'
            )
        if supply.name in (BATTERY_SUPPLY, TOWING_SUPPLY):
            kept = "the battery itself" if supply.name == BATTERY_SUPPLY else "the road"
            raise ValueError(f'supply "{supply.name}": this name is kept for {kept}; choose another.')


def check_stays(design: Design) -> None:
    """Refuse stays on no supply, with no load or with hours that cannot be read."""
    loads = [load.name for load in design.loads]
    supplies = [BATTERY_SUPPLY, TOWING_SUPPLY, *(supply.name for supply in design.supplies)]
    for name in design.trip.stays:
        if name not in (stay.name for stay in design.stays):
            raise ValueError(f"trip, stays: {unknown('stay', name, [stay.name for stay in design.stays])}")
    for stay in design.stays:
        if stay.supply not in supplies:
            raise ValueError(f'stay "{stay.name}": {unknown("supply", stay.supply, supplies)}')
        for name, text in stay.on.items():
            if name not in loads:
                raise ValueError(f'stay "{stay.name}", on: {unknown("load", name, loads)}')
            try:
                read_ranges(text)
            except ValueError as error:
                raise ValueError(f'stay "{stay.name}", on, "{name}": {error}') from None


Rule = Callable[["Design"], None]
# the values of parts that each rule looks at: a change elsewhere cannot break it
CIRCUITS = frozenset(
    {"circuits.name", "circuits.system", "circuits.leg", "loads.name", "loads.circuit", "loads.appliance",
     "charger.circuit"}
)  # fmt: skip
OTHERS: tuple[tuple[Rule, frozenset[str]], ...] = (
    (
        check_places,
        frozenset(
            {"places.name", "mains.inlet_place", "loads.name", "loads.place", "supplies.name", "supplies.place",
             "supplies.rides", "solar.name", "solar.place", "circuits.name", "circuits.origin", "circuits.to",
             "battery.place"}
        ),
    ),
    (check_supplies, frozenset({"supplies.name", "supplies.kind"})),
    (
        check_stays,
        frozenset({"trip.stays", "stays.name", "stays.supply", "stays.on", "loads.name", "supplies.name"}),
    ),
)  # fmt: skip
FEEDING = frozenset({"loads", "circuits.name", "circuits.system", "circuits.leg", "battery"})


def touches(looks_at: frozenset[str], changed: Collection[str] | None) -> bool:
    """Whether any of these values has changed; None stands for all of a design.

    Parameters
    ----------
    looks_at : such as ``circuits.name``, a field of the design and one of its parts', or ``loads``, whatever of them
    changed : the same of what has changed
    """
    return changed is None or not looks_at.isdisjoint(changed)
