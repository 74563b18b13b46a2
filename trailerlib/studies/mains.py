"""What the mains side asks of its supply: every stay's busiest moment against the supply's rating."""

from __future__ import annotations

from dataclasses import dataclass

from trailerlib import units
from trailerlib.design import catalogue
from trailerlib.design.design import Design
from trailerlib.design.model import Circuit, Stay, Supply
from trailerlib.physics.formula import Worked, worked
from trailerlib.physics.starting import running_va
from trailerlib.rules import mains as rules
from trailerlib.rules.finding import Finding
from trailerlib.studies.ampacity import cord_a
from trailerlib.studies.answer import Answer, Column, Quantity, mapping, names
from trailerlib.studies.circuits import charger_input_va, charger_input_w
from trailerlib.studies.timetable import stays_on, stretches

LONG_H = 3.0  # continuous: three hours or more, article 100
LONG_SHARE = 0.8


@dataclass(frozen=True)
class Moment:
    """The mains side at one moment: running power [W], apparent power [VA], what is on, when it begins [h].

    ``largest_va`` is the largest load that hangs on one leg [VA].
    """

    watts: float
    va: float
    largest_va: float
    on: tuple[str, ...]
    start_h: float | None
    hours: float


@dataclass(frozen=True)
class MainsPicture:
    """What the drawing needs: for each supply its rating [A] and the current of everything, and of each stay [A]."""

    bars: tuple[tuple[str, float, float, float], ...]


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
    watts = sum(load.running_w for load in loads) + charger_input_w(design)
    each = [load.running_w / load.typical.power_factor for load in loads] + [charger_input_va(design)]
    running = tuple(load.name for load in loads) + (("charger",) if design.charger else ())
    return Moment(watts, sum(each), max(each), running, start_h, hours)


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
    """Current of the busiest leg, the loads spread over the legs as well as can be [A].

    Parameters
    ----------
    supply : the supply
    at : the moment
    """
    return max(at.va / legs(supply), at.largest_va) / leg_volts(supply)


def rating_a(supply: Supply) -> float:
    """What a supply gives [A]; a generator by its running power."""
    if supply.is_generator:
        kind = catalogue.generator_kinds()[supply.kind]
        return (supply.running or kind.running_w) / kind.volts
    return catalogue.supply_kinds()[supply.kind].rating_a


@dataclass(frozen=True)
class _Asked:
    """One supply with what is asked of it: everything at once, its busiest moment, what lasts, all in A."""

    supply: Supply
    gives_a: float
    every_a: float
    peak: Moment
    peak_a: float
    lasting_a: float | None
    spread_known: bool

    @property
    def has_stay(self) -> bool:
        """Whether any stay lives on it."""
        return self.lasting_a is not None


def _asked(design: Design, supply: Supply, whole: Moment) -> _Asked:
    stays = [moments(design, stay) for stay in stays_on(design, supply.name)]
    peak = max((m for row in stays for m in row), key=lambda m: least_a(supply, m), default=whole)
    lasting = max((_lasting_va(row) for row in stays), default=None)
    gives = rating_a(supply)
    return _Asked(
        supply,
        gives,
        least_a(supply, whole),
        peak,
        least_a(supply, peak),
        None if lasting is None else lasting / legs(supply) / leg_volts(supply),
        legs(supply) == 1 or peak.va / leg_volts(supply) <= gives,
    )


def _lasting_va(row: tuple[Moment, ...]) -> float:
    """Largest apparent power that holds for three hours or more [VA]; 0 when the stay is shorter."""
    best = 0.0
    for first in range(len(row)):
        total, lowest = 0.0, float("inf")
        for m in row[first:]:
            total, lowest = total + m.hours, min(lowest, m.va)
            if total >= LONG_H - 1e-9:
                best = max(best, lowest)
                break
    return best


def answer(design: Design, supply: str | None = None) -> Answer:
    """Every supply against everything at once and against its stays.

    Parameters
    ----------
    design : the design
    supply : which supply the sentence speaks of; default is the one with the least room in its stays

    Raises
    ------
    DesignError
        When there is no such supply.
    """
    whole = everything(design)
    asked = [_asked(design, s, whole) for s in design.supplies if not s.is_generator]
    if supply is not None:
        focus: _Asked | None = _asked(design, design.supply(supply), whole)
    else:
        focus = max(asked, default=None, key=lambda a: (a.has_stay, a.peak_a / a.gives_a))
    return Answer(
        question="mains",
        title="What does it ask of its supply?",
        system=design.units,
        sentence=_sentence(focus, whole),
        numbers=mapping(
            all_a=Quantity("Everything at once", focus.every_a if focus else None, "current"),
            stay_a=Quantity("Busiest moment of its stays", focus.peak_a if focus else None, "current"),
            rating_a=Quantity("The supply gives", focus.gives_a if focus else None, "current"),
        ),
        columns=COLUMNS,
        show_rows=lambda: [_row(a) for a in asked],
        checks=tuple(check for a in asked for check in _checks(a)) + _general(design, asked),
        show_working=lambda: _working(whole),
        picture=MainsPicture(tuple((a.supply.name, a.gives_a, a.every_a, a.peak_a) for a in asked)),
    )


def _working(whole: Moment) -> tuple[Worked, ...]:
    return (worked(running_va, power_w=whole.watts, power_factor=whole.watts / whole.va),) if whole.va else ()


COLUMNS = (
    Column("name", "Supply"),
    Column("kind", "Kind"),
    Column("rating_a", "Gives", "current"),
    Column("stay_a", "Busiest moment", "current"),
    Column("when", "Begins"),
    Column("all_a", "Everything at once", "current"),
    Column("cord", "Cord"),
)


def _cord(supply: Supply) -> str:
    return supply.cord or catalogue.supply_kinds()[supply.kind].cord


def _row(asked: _Asked) -> dict[str, object]:
    start = asked.peak.start_h
    return {
        "name": asked.supply.name,
        "kind": asked.supply.kind,
        "rating_a": asked.gives_a,
        "stay_a": asked.peak_a,
        "when": units.clock(start) if start is not None else "no stay",
        "all_a": asked.every_a,
        "cord": _cord(asked.supply),
    }


def _sentence(asked: _Asked | None, whole: Moment) -> str:
    if asked is None:
        return "Not checked: the design has no inlet or cord to plug in."
    if whole.va == 0:
        return "Nothing is on the mains side: there is nothing to trip."
    name = asked.supply.name
    gives, peak, every = (units.show(a, "current") for a in (asked.gives_a, asked.peak_a, asked.every_a))
    if asked.peak_a > asked.gives_a:
        return f"{name} gives {gives} and is asked for {peak}: it trips with {names(asked.peak.on)} on together."
    if asked.every_a > asked.gives_a:
        return f"Its stays ask {name} for {peak} of {gives}; everything at once would be {every} and trip it."
    return f"Everything at once is {every}; {name} gives {gives}."


def _checks(asked: _Asked) -> list[Finding]:
    """On two legs a total that would hold if well spread is not checked until it holds on one leg alone."""
    subject, gives = f'supply "{asked.supply.name}"', asked.gives_a
    lasting, limit = asked.lasting_a, LONG_SHARE * gives
    total_known = asked.has_stay and (asked.spread_known or asked.peak_a > gives)
    lasting_known = lasting is not None and (asked.spread_known or lasting > limit)
    return [
        rules.cord(subject, gives, cord_a(_cord(asked.supply))),
        rules.supply_total(subject, asked.peak_a if total_known else None, gives),
        rules.supply_continuous(subject, lasting if lasting_known else None, limit),
    ]


def _general(design: Design, asked: list[_Asked]) -> tuple[Finding, ...]:
    checks = []
    if not asked and design.circuits_of("mains"):
        checks.append(rules.supply_total("mains side", None, None))
    if any(is_outdoor(design, circuit) for circuit in design.circuits_of("mains")):
        guarded = design.safety.outdoor_gfci
        checks.append(rules.outdoor_gfci(None if guarded is None else not guarded))
    return tuple(checks)


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
