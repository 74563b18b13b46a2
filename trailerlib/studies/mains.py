"""What the mains side asks of its supply: every stay's busiest moment against the supply's rating."""

from __future__ import annotations

from dataclasses import dataclass

from trailerlib import units
from trailerlib.design import catalogue
from trailerlib.design.design import Design
from trailerlib.design.model import Stay, Supply
from trailerlib.physics.formula import worked
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
    """The mains side at one moment: running power [W], apparent power [VA], what is on, when it begins [h]."""

    watts: float
    va: float
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
    va = sum(load.running_w / load.typical.power_factor for load in loads) + charger_input_va(design)
    running = tuple(load.name for load in loads) + (("charger",) if design.charger else ())
    return Moment(watts, va, running, start_h, hours)


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


def rated_volts(supply: Supply) -> float:
    """Voltage between the supply's legs, or of its one leg [V]."""
    if supply.is_generator:
        return catalogue.generator_kinds()[supply.kind].volts
    return catalogue.supply_kinds()[supply.kind].volts


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

    @property
    def has_stay(self) -> bool:
        """Whether any stay lives on it."""
        return self.lasting_a is not None


def _asked(design: Design, supply: Supply, whole: Moment) -> _Asked:
    """Two legs are taken as balanced, which is the best case."""
    volts = rated_volts(supply)
    stays = [moments(design, stay) for stay in stays_on(design, supply.name)]
    peak = max((m for row in stays for m in row), key=lambda m: m.va, default=whole)
    lasting = max((_lasting_va(row) for row in stays), default=None)
    return _Asked(
        supply, rating_a(supply), whole.va / volts, peak, peak.va / volts, None if lasting is None else lasting / volts
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
        rows=tuple(_row(a) for a in asked),
        checks=tuple(check for a in asked for check in _checks(a)) + _general(design, asked),
        working=(worked(running_va, power_w=whole.watts, power_factor=whole.watts / whole.va),) if whole.va else (),
        picture=MainsPicture(tuple((a.supply.name, a.gives_a, a.every_a, a.peak_a) for a in asked)),
    )


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
    subject = f'supply "{asked.supply.name}"'
    checks = [rules.cord(subject, asked.gives_a, cord_a(_cord(asked.supply)))]
    if asked.lasting_a is not None:
        checks.append(rules.supply_total(subject, asked.peak_a, asked.gives_a))
        checks.append(rules.supply_continuous(subject, asked.lasting_a, LONG_SHARE * asked.gives_a))
    return checks


def _general(design: Design, cords: list[_Asked]) -> tuple[Finding, ...]:
    checks = []
    if not cords and design.circuits_of("mains"):
        checks.append(rules.supply_total("mains side", None, None))
    if any("outdoor" in c.name or "outside" in c.name for c in design.circuits_of("mains")):
        guarded = design.safety.outdoor_gfci
        checks.append(rules.outdoor_gfci(None if guarded is None else not guarded))
    return tuple(checks)
