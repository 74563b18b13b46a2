"""What the mains side draws at a moment, what a supply gives, and which circuits end outside."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from trailerlib.design import supply_classes
from trailerlib.design.design import Design
from trailerlib.design.model import Circuit, Stay, Supply
from trailerlib.studies.circuits import charger_name, charger_va, load_va
from trailerlib.studies.kept import Kept, as_one
from trailerlib.studies.legs import arriving_legs, leg_volts
from trailerlib.studies.running import running_in
from trailerlib.studies.timetable import stays_on, stretches

LONG_H = 3.0  # continuous: three hours or more, article 100
LONG_SHARE = 0.8  # of its rating a breaker holds for three hours or more, 210.20(A)


@dataclass(frozen=True)
class Moment:
    """The mains side at one moment: running power [W], apparent power [VA], what is on, when it begins [h].

    Currents that lag differently do not add up like numbers: ``va`` is what a clamp meter would show times the voltage.

    ``largest_va`` is the most one load draws from one leg [VA]; ``leg_va`` what each of two legs carries [VA], None
    while the leg of a circuit that draws is not given. What runs between the legs draws half of its power from each.
    ``dead`` is what is wanted and cannot run, because it needs both legs and one arrives. ``mean_w`` [W] counts what
    switches itself by the share of the time it runs.
    """

    watts: float
    va: float
    largest_va: float
    leg_va: tuple[float, float] | None
    on: tuple[str, ...]
    start_h: float | None
    hours: float
    dead: tuple[str, ...] = ()
    mean_w: float = 0.0


def moment(
    design: Design,
    on: frozenset[str] | set[str],
    start_h: float | None = None,
    hours: float = 0.0,
    arriving: int = 2,
    runs: Mapping[str, float] | None = None,
) -> Moment:
    """What the mains side draws with these loads running and the charger at full current.

    Parameters
    ----------
    design : the design
    on : names of the loads that run; dc loads among them draw on the battery, not here
    start_h : [h] when it begins, or None
    hours : [h] how long it lasts
    arriving : [-] legs that reach the panel; on one, what runs between two is dead
    runs : [-] share of the time by name, of what switches itself; all else runs without rest
    """
    wanted = [load for load in design.loads if load.name in on and load.on and load.typical.system == "mains"]
    each = [(load.name, design.circuit(load.circuit), load_va(load)) for load in wanted]
    if design.charger is not None:
        each.append((charger_name(design), design.circuit(design.charger.circuit), charger_va(design)))
    fed = [(name, circuit, va) for name, circuit, va in each if arriving > 1 or not circuit.between_legs]
    whole = sum((va for _, _, va in fed), 0j)
    return Moment(
        whole.real,
        abs(whole),
        max((abs(va) / (2.0 if circuit.between_legs else 1.0) for _, circuit, va in fed), default=0.0),
        _on_legs([(circuit, va) for _, circuit, va in fed if va]),
        tuple(name for name, _, _ in fed),
        start_h,
        hours,
        tuple(name for name, circuit, va in each if arriving == 1 and circuit.between_legs and va),
        sum(va.real * (runs or {}).get(name, 1.0) for name, _, va in fed),
    )


def _on_legs(draws: Sequence[tuple[Circuit, complex]]) -> tuple[float, float] | None:
    if any(circuit.leg is None for circuit, _ in draws):
        return None
    first, second = (
        abs(sum(va / (2.0 if circuit.between_legs else 1.0) for circuit, va in draws if circuit.on_leg(number)))
        for number in (1, 2)
    )
    return first, second


def everything(design: Design, arriving: int = 2) -> Moment:
    """All mains loads that are switched on, at once.

    Parameters
    ----------
    design : the design
    arriving : [-] legs that reach the panel
    """
    rests_on = (arriving, _drawing(design))
    return _WHOLE.of(rests_on, lambda: moment(design, {load.name for load in design.loads}, arriving=arriving))


_WHOLE: Kept[Moment] = Kept()
_MOMENTS: Kept[tuple[Moment, ...]] = Kept(64)
_BUSIEST: Kept[Moment] = Kept(64)


def _drawing(design: Design) -> tuple[object, ...]:
    """All parts of a design that the power of a moment depends on."""
    return as_one(design, "drawing", lambda: _each_drawing(design))


def _each_drawing(design: Design) -> Iterator[object]:
    yield from (design.charger, design.battery, len(design.loads), *design.loads)
    yield from (f"{circuit.name} {circuit.leg}" for circuit in design.circuits)


def moments(design: Design, stay: Stay, arriving: int = 2, *, mean: bool = False) -> tuple[Moment, ...]:
    """A stay as a row of moments, cut at every switching.

    Parameters
    ----------
    design : the design
    stay : the stay
    arriving : [-] legs that reach the panel
    mean : whether ``mean_w`` is wanted: the share a cooler runs takes the heat of the box; else all runs without rest
    """
    if not mean:
        return _MOMENTS.of((stay, arriving, _drawing(design)), lambda: _moments(design, stay, arriving, {}))
    runs = {load.name: running_in(design, load, stay) for load in design.loads if load.typical.system == "mains"}
    return _moments(design, stay, arriving, runs)


def _moments(design: Design, stay: Stay, arriving: int, runs: Mapping[str, float]) -> tuple[Moment, ...]:
    return tuple(moment(design, part.on, part.start_h, part.hours, arriving, runs) for part in stretches(design, stay))


def busiest(design: Design, supply: str) -> Moment:
    """The busiest moment of the stays on a supply; without such a stay, everything at once."""
    arriving = arriving_legs(design, design.supply(supply))
    stays = as_one(design, "stays", lambda: design.stays)
    return _BUSIEST.of((supply, arriving, stays, _drawing(design)), lambda: _busiest(design, supply, arriving))


def _busiest(design: Design, supply: str, arriving: int) -> Moment:
    found = [m for stay in stays_on(design, supply) for m in moments(design, stay, arriving)]
    return max(found, key=lambda m: m.va, default=everything(design, arriving))


def least_a(supply: Supply, at: Moment, arriving: int) -> float:
    """Current of the busiest leg [A]; where not every leg is given, the loads spread as well as can be.

    Parameters
    ----------
    supply : the supply
    at : the moment
    arriving : [-] legs that reach the panel
    """
    if arriving == 2 and at.leg_va is not None:
        return max(at.leg_va) / leg_volts(supply)
    return max(at.va / arriving, at.largest_va) / leg_volts(supply)


def rating_a(supply: Supply) -> float:
    """What a supply gives [A]; a generator by its running power."""
    if supply.is_generator:
        kind = supply_classes.generator_kinds()[supply.kind]
        return (supply.running or kind.running_w) / kind.volts
    return supply_classes.every_supply()[supply.kind].rating_a


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
