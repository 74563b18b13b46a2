"""Which generator: what runs together, the worst start, what height and heat leave, fuel."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from trailerlib import units
from trailerlib.design import catalogue
from trailerlib.design.catalogue import GeneratorKind
from trailerlib.design.design import Design
from trailerlib.design.model import Opening, Supply
from trailerlib.physics.engine import (
    dry_pressure_pa,
    fuel_l_per_h,
    j1349_power_fraction,
    shop_rule_fraction,
    tank_hours,
)
from trailerlib.physics.formula import Worked, worked
from trailerlib.physics.starting import worst_start
from trailerlib.rules import engine as rules
from trailerlib.rules.finding import Finding
from trailerlib.studies.answer import Answer, Column, Quantity, mapping
from trailerlib.studies.circuits import charger_input_va
from trailerlib.studies.mains import Moment, busiest, moments
from trailerlib.studies.timetable import stays_on

HUMIDITY = 0.3  # the reference day of the engine standards; a dry guess for high country
CHARGER = "charger"


@dataclass(frozen=True)
class ClassBar:
    """One generator class in the picture: what it gives running and for a moment [W], derated."""

    name: str
    running_w: float | None
    starting_w: float | None
    chosen: bool
    does: bool


@dataclass(frozen=True)
class GeneratorPicture:
    """What the drawing needs: the classes, and what is asked running and at the worst start [W, VA]."""

    bars: tuple[ClassBar, ...]
    running_va: float
    start_va: float
    hardest: str


@dataclass(frozen=True)
class _Site:
    """What height and heat leave of an engine's power [-]; None when either is not known."""

    formula: float | None
    shop: float | None
    pressure_pa: float | None
    temperature_c: float | None


def site_factors(design: Design) -> _Site:
    """Share of the rated power that is left where the trailer stands, by formula and by shop rule."""
    elevation, hottest = design.site.elevation, design.site.hottest
    if elevation is None or hottest is None:
        return _Site(None, None, None, hottest)
    pressure = float(dry_pressure_pa(elevation, hottest, HUMIDITY))
    formula = min(1.0, float(j1349_power_fraction(pressure, hottest)))
    return _Site(formula, min(1.0, float(shop_rule_fraction(elevation, hottest))), pressure, hottest)


def answer(design: Design, supply: str | None = None) -> Answer:
    """Running power and worst start against what a generator gives here, fuel, and the smallest class that does.

    Parameters
    ----------
    design : the design
    supply : name of the generator; default is the first generator in the design

    Raises
    ------
    DesignError
        When there is no such supply.
    """
    chosen = _chosen(design, supply)
    site = site_factors(design)
    peak = busiest(design, chosen.name) if chosen is not None else busiest(design, "")
    hardest, start = _hardest(design, chosen, peak)
    kind = _kind(chosen)
    smallest = _smallest(site, peak.va, start)
    fuel = _fuel(design, chosen, kind)
    return Answer(
        question="generator",
        title="Which generator?",
        system=design.units,
        sentence=_sentence(design, chosen, kind, site, peak, start, hardest, smallest),
        numbers=_numbers(kind, site, peak, start, fuel),
        columns=COLUMNS,
        show_rows=lambda: [_row(other, site, peak, start) for other in catalogue.generator_kinds().values()],
        checks=tuple(_checks(design, chosen, kind, site, peak, start)),
        show_working=lambda: _working(design, kind, site, peak),
        picture=GeneratorPicture(_bars(kind, site, peak, start), peak.va, start, hardest),
    )


COLUMNS = (
    Column("name", "Class"),
    Column("rated_w", "Rated", "power"),
    Column("running_w", "Runs here", "power"),
    Column("starting_w", "Starts here", "power"),
    Column("shop_w", "By shop rule", "power"),
    Column("fuel", "At this load", "fuel rate"),
    Column("tank_h", "Hours per tank", "duration"),
    Column("does", "Does it"),
)


def _row(kind: GeneratorKind, site: _Site, peak: Moment, start: float) -> dict[str, object]:
    gives, surge = _gives(kind.running_w, site), _gives(kind.starting_w, site)
    rate = float(fuel_l_per_h(min(peak.watts, kind.running_w), kind.idle_l_per_h, kind.slope_l_per_kwh))
    return {
        "name": kind.name,
        "rated_w": kind.running_w,
        "running_w": gives,
        "starting_w": surge,
        "shop_w": None if site.shop is None else kind.running_w * site.shop,
        "fuel": rate,
        "tank_h": float(tank_hours(kind.tank_l, rate)),
        "does": _does(gives, surge, peak.va, start),
    }


def _gives(rated_w: float, site: _Site) -> float | None:
    return None if site.formula is None else rated_w * site.formula


def _does(gives: float | None, surge: float | None, running: float, start: float) -> str:
    if gives is None or surge is None:
        return "not checked"
    if running > gives:
        return "too small to run it"
    return "too small to start it" if start > surge else "yes"


def _chosen(design: Design, name: str | None) -> Supply | None:
    if name is not None:
        return design.supply(name)
    return next((s for s in design.supplies if s.is_generator), None)


def _kind(supply: Supply | None) -> GeneratorKind | None:
    """The class of a supply with its own numbers in place of the class's."""
    if supply is None or not supply.is_generator:
        return None
    kind = catalogue.generator_kinds()[supply.kind]
    return replace(kind, running_w=supply.running or kind.running_w, starting_w=supply.starting or kind.starting_w)


def _hardest(design: Design, chosen: Supply | None, peak: Moment) -> tuple[str, float]:
    """The hardest start of any moment of its stays; it need not be the busiest moment."""
    stays = stays_on(design, chosen.name) if chosen is not None else ()
    found = [_worst_start(design, m) for stay in stays for m in moments(design, stay)]
    return max(found, key=lambda start: start[1], default=_worst_start(design, peak))


def _worst_start(design: Design, peak: Moment) -> tuple[str, float]:
    """The hardest start among what runs at one moment: its load and the apparent power then [VA]."""
    on = [load for load in design.loads if load.name in peak.on]
    running = [load.running_w / load.typical.power_factor for load in on]
    starting = [(load.running_w - load.each_w + load.start_w) / load.typical.power_factor for load in on]
    if CHARGER in peak.on:
        running.append(charger_input_va(design))
        starting.append(running[-1])
    if not running:
        return "", 0.0
    index, watts = worst_start(np.array(running), np.array(starting))
    return (*[load.name for load in on], CHARGER)[int(index)], float(watts)


def _smallest(site: _Site, running: float, start: float) -> str | None:
    for kind in catalogue.generator_kinds().values():
        if _does(_gives(kind.running_w, site), _gives(kind.starting_w, site), running, start) == "yes":
            return kind.name
    return None


@dataclass(frozen=True)
class _Fuel:
    """Fuel of the stays on this generator: litres over them [L], hours a tank lasts at their mean load [h]."""

    litres: float | None
    tank_h: float | None


def _fuel(design: Design, supply: Supply | None, kind: GeneratorKind | None) -> _Fuel:
    if supply is None or kind is None:
        return _Fuel(None, None)
    parts = [m for stay in stays_on(design, supply.name) for m in moments(design, stay)]
    hours = sum(m.hours for m in parts)
    if hours <= 0:
        return _Fuel(None, None)
    litres = sum(float(fuel_l_per_h(m.watts, kind.idle_l_per_h, kind.slope_l_per_kwh)) * m.hours for m in parts)
    return _Fuel(litres, float(tank_hours(kind.tank_l, litres / hours)))


def _why_not(chosen: Supply | None) -> str:
    if chosen is None:
        return "the design has no generator among its supplies"
    return f"“{chosen.name}” is no generator"


def _sentence(
    design: Design,
    chosen: Supply | None,
    kind: GeneratorKind | None,
    site: _Site,
    peak: Moment,
    start: float,
    hardest: str,
    smallest: str | None,
) -> str:
    if kind is None:
        return f"Not checked: {_why_not(chosen)}."
    if site.formula is None:
        return "Not checked: the elevation or the hottest air of the site is missing."
    if peak.va == 0:
        return "Nothing is on the mains side: there is nothing for a generator to do."
    gives, surge = _gives(kind.running_w, site), _gives(kind.starting_w, site)
    assert gives is not None and surge is not None
    show = units.show
    height = show(design.site.elevation, "elevation", design.units)
    left = f"{show(site.formula, 'fraction')} of its power is left at {height}"
    word = _does(gives, surge, peak.va, start)
    mend = f"A {smallest} set does." if smallest else "No class in the table does; let loads take turns."
    if word == "too small to run it":
        return f"Too small: {show(peak.va, 'power')} runs together and it gives {show(gives, 'power')}; {left}. {mend}"
    if word == "too small to start it":
        return (
            f"It runs everything but does not start the {hardest}: {show(start, 'power')} asked, "
            f"{show(surge, 'power')} given; {left}. {mend}"
        )
    spare = show(gives - peak.va, "power")
    smaller = "" if smallest == kind.name or smallest is None else f" A {smallest} set would do."
    return f"It runs and starts everything with {spare} to spare; {left}.{smaller}"


def _numbers(
    kind: GeneratorKind | None, site: _Site, peak: Moment, start: float, fuel: _Fuel
) -> Mapping[str, Quantity]:
    return mapping(
        running_va=Quantity("Runs together", peak.va, "power"),
        start_va=Quantity("At the worst start", start, "power"),
        gives_w=Quantity("It gives here", _gives(kind.running_w, site) if kind else None, "power"),
        surge_w=Quantity("For a moment", _gives(kind.starting_w, site) if kind else None, "power"),
        left=Quantity("Left by height and heat, by formula", site.formula, "fraction"),
        shop=Quantity("The same by shop rule", site.shop, "fraction"),
        litres=Quantity("Fuel for its stays", fuel.litres, "volume"),
        tank_h=Quantity("A tank lasts", fuel.tank_h, "duration"),
    )


def _bars(chosen: GeneratorKind | None, site: _Site, peak: Moment, start: float) -> tuple[ClassBar, ...]:
    bars = []
    for kind in catalogue.generator_kinds().values():
        shown = chosen if chosen is not None and chosen.name == kind.name else kind
        gives, surge = _gives(shown.running_w, site), _gives(shown.starting_w, site)
        does = _does(gives, surge, peak.va, start) == "yes"
        bars.append(ClassBar(kind.name, gives, surge, shown is chosen, does))
    return tuple(bars)


def _checks(
    design: Design, chosen: Supply | None, kind: GeneratorKind | None, site: _Site, peak: Moment, start: float
) -> list[Finding]:
    if chosen is None or kind is None:
        return []
    subject = f'generator "{chosen.name}"'
    return [
        rules.running(subject, peak.va, _gives(kind.running_w, site)),
        rules.starting(subject, start, _gives(kind.starting_w, site)),
        rules.carbon_monoxide(_sleeping_without_alarm(design, chosen)),
        rules.exhaust_distance(_nearest_opening_m(design, chosen)),
    ]


def _sleeping_without_alarm(design: Design, chosen: Supply) -> bool | None:
    sleepers, alarm = design.use.sleepers, design.safety.co_alarm
    if sleepers == 0:
        return False
    if alarm is None or sleepers is None:
        return None
    return not alarm


def opening_centre(design: Design, opening: Opening) -> tuple[float, float, float]:
    """Where the middle of an opening lies: from the nose wall, from the left wall, above the floor [m]."""
    box, (first, second) = design.trailer, opening.at
    if opening.wall == "roof":
        return first, second, box.height
    if opening.wall in ("curb", "road"):
        return first, box.width if opening.wall == "curb" else 0.0, second
    return box.length if opening.wall == "rear" else 0.0, first, second


def _nearest_opening_m(design: Design, chosen: Supply) -> float | None:
    if chosen.place is None or not design.openings:
        return None
    here = design.place(chosen.place).at
    return min(math.dist(here, opening_centre(design, opening)) for opening in design.openings)


def _working(design: Design, kind: GeneratorKind | None, site: _Site, peak: Moment) -> tuple[Worked, ...]:
    elevation = design.site.elevation
    if site.pressure_pa is None or site.temperature_c is None or elevation is None or kind is None:
        return ()
    rate = worked(
        fuel_l_per_h,
        power_w=min(peak.watts, kind.running_w),
        idle_l_per_h=kind.idle_l_per_h,
        slope_l_per_kwh=kind.slope_l_per_kwh,
    )
    return (
        worked(dry_pressure_pa, elevation_m=elevation, temperature_c=site.temperature_c, relative_humidity=HUMIDITY),
        worked(j1349_power_fraction, dry_pressure_pa=site.pressure_pa, temperature_c=site.temperature_c),
        worked(shop_rule_fraction, elevation_m=elevation, temperature_c=site.temperature_c),
        rate,
    )
