"""What the answer says: the sentence, the numbers, and the order of switching on beside the table."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from trailerlib import units
from trailerlib.design.design import Design
from trailerlib.design.model import Supply
from trailerlib.design.supply_classes import GeneratorKind
from trailerlib.studies.answer import Beside, Column, Quantity, mapping, names
from trailerlib.studies.circuits import charger_name
from trailerlib.studies.generator.asked import Asked, asked_of, startables
from trailerlib.studies.generator.classes import does, smallest
from trailerlib.studies.generator.fuel import Fuel
from trailerlib.studies.generator.site import Site, gives
from trailerlib.studies.generator.start_case import StartCase
from trailerlib.studies.start_order import StartOrder, start_order

ORDER_COLUMNS = (
    Column("step", "Switch on", "count"),
    Column("name", "Load"),
    Column("before_va", "Runs before", "power"),
    Column("at_start_va", "At its start", "power"),
    Column("surge_w", "Given then", "power"),
)


def sentence(
    design: Design,
    chosen: Supply | None,
    kind: GeneratorKind | None,
    site: Site,
    asked: Asked,
    cases: Sequence[StartCase],
) -> str:
    """The verdict: what limits it, and the cheapest mend."""
    if kind is None:
        reason = (
            "the design has no generator among its supplies" if chosen is None else f"“{chosen.name}” is no generator"
        )
        return f"Not checked: {reason}."
    if site.formula is None:
        return "Not checked: the elevation or the hottest air of the site is missing."
    if asked.running_va == 0:
        return "Nothing is on the mains side: there is nothing for a generator to do."
    running, surge = gives(kind.running_w, site), gives(kind.starting_w, site)
    assert running is not None and surge is not None
    show, peak = units.show, asked.running_va
    height = show(design.site.elevation, "elevation", design.units)
    left = f"{show(site.formula, 'fraction')} of its power is left at {height}"
    best = smallest(site, peak, asked.start_va)
    mend = f"A {best} set does." if best else "No class in the table does; let loads take turns."
    word = does(kind, site, peak, asked.start_va)
    if word == "too small to run it":
        return f"Too small: {show(peak, 'power')} runs together and it gives {show(running, 'power')}; {left}. {mend}"
    if word == "too small to start it":
        return (
            f"It runs everything but does not start the {asked.hardest}: {show(asked.start_va, 'power')} asked, "
            f"{show(surge, 'power')} given; {left}. {_softly(asked, surge)}{mend}"
        )
    stalled = next((case for case in cases if case.stalls), None)
    if stalled is not None:
        volts = show(stalled.dip_v, "voltage")
        return f"It runs everything, but the {stalled.load} stalls: it gets {volts} when it is switched on; {left}."
    open_one = next((case for case in cases if case.gap), None)
    if open_one is not None:
        spare = show(running - peak, "power")
        return (
            f"By its rating it runs and starts everything with {spare} to spare; {left}. "
            f"The start of the {open_one.load} is not checked: {open_one.gap}."
        )
    smaller = "" if best == kind.name or best is None else f" A {best} set would do."
    return f"It runs and starts everything with {show(running - peak, 'power')} to spare; {left}.{smaller}"


def dead(asked: Asked) -> str:
    """What cannot run on a generator with one leg, as a sentence; empty when everything can."""
    lost = dict.fromkeys(name for at in asked.moments for name in at.dead)
    return f" It gives one voltage: {names(lost)} cannot run on it." if lost else ""


def _softly(asked: Asked, surge: float) -> str:
    return "With a soft starter it does. " if asked.soft_va <= surge < asked.start_va else ""


def numbers(
    kind: GeneratorKind | None, site: Site, asked: Asked, fuel: Fuel, charger_w: float
) -> Mapping[str, Quantity]:
    """Asked and given, running and for a moment; fuel.

    Parameters
    ----------
    kind : the class with its own numbers, or None
    site : what height and heat leave
    asked : what is asked
    fuel : what it burns
    charger_w : [W] what the battery charger draws
    """
    share = charger_w / asked.peak.watts if charger_w and asked.peak.watts else None
    return mapping(
        running_va=Quantity("Runs together", asked.running_va, "power"),
        running_w=Quantity("Of it real power", asked.peak.watts, "power"),
        charger=Quantity("Of that the battery charger", share, "fraction"),
        start_va=Quantity("At the worst start", asked.start_va, "power"),
        bare_va=Quantity("The same without soft starters", asked.bare_va, "power"),
        soft_va=Quantity("The same with soft starters", asked.soft_va, "power"),
        gives_w=Quantity("It gives here", gives(kind.running_w, site) if kind else None, "power"),
        surge_w=Quantity("For a moment", gives(kind.starting_w, site) if kind else None, "power"),
        left=Quantity("Left by height and heat, by formula", site.formula, "fraction"),
        shop=Quantity("The same by shop rule", site.shop, "fraction"),
        litres=Quantity("Fuel for its stays", fuel.litres, "volume"),
        day_l=Quantity("Fuel a day", fuel.day_l, "volume"),
        day_h=Quantity("It runs a day", fuel.day_h, "duration"),
        tank_h=Quantity("A tank lasts", fuel.tank_h, "duration"),
    )


def order_of(
    design: Design, kind: GeneratorKind, site: Site, asked: Asked, soft: bool | None = None, charger: bool = True
) -> StartOrder | None:
    """The order of switching on what runs at the hardest start; None when height or heat is not known.

    Parameters
    ----------
    design : the design
    kind : the class with its own numbers
    site : what height and heat leave
    asked : what is asked
    soft : whether everything that takes a soft starter has one; None is as fitted
    charger : whether the battery charger is on
    """
    running, surge = gives(kind.running_w, site), gives(kind.starting_w, site)
    if running is None or surge is None:
        return None
    things = [t for t in startables(design, asked.at, soft) if charger or t.name != charger_name(design)]
    return start_order(things, running, surge)


def beside(
    design: Design,
    chosen: Supply | None,
    kind: GeneratorKind | None,
    site: Site,
    asked: Asked,
    cases: Sequence[StartCase],
) -> Beside | None:
    """The order of switching on, with what soft starters and a charger left off would change."""
    order = None if kind is None else order_of(design, kind, site, asked)
    if kind is None or order is None or not asked.at.on:
        return None
    surge = gives(kind.starting_w, site)
    rows = [
        {"step": n, "name": s.name, "before_va": s.before_va, "at_start_va": s.at_start_va, "surge_w": surge}
        for n, s in enumerate(order.steps, start=1)
    ]
    said = [
        _works(order),
        _comes_up(order, cases),
        _with_starters(design, kind, site, asked),
        _without_charger(design, chosen, kind, site, asked, order),
    ]
    return Beside("Switch on in this order", ORDER_COLUMNS, tuple(rows), " ".join(words for words in said if words))


def _works(order: StartOrder) -> str:
    if order.works:
        return (
            "Switched on in this order nothing asks for more than is given. What switches itself, by a thermostat, "
            "may start later with all the rest running: the worst start counts then."
        )
    power = "to run on" if order.why == "running" else "for a moment"
    asked = units.show(order.blocked_va, "power")
    return f"No order works with all of it: {asked} would be asked {power}. Leave {names(order.blocked)} off."


def _comes_up(order: StartOrder, cases: Sequence[StartCase]) -> str:
    """Where rating and voltage disagree: a set may pull a motor up that asks for more than it is rated for."""
    case = next((c for c in cases if c.load in order.blocked and c.reached_s is not None), None)
    if case is None:
        return ""
    volts, seconds = units.show(case.dip_v, "voltage"), units.figures(case.reached_s or 0.0, 2)
    return (
        f"By its voltage {case.load} would still come up, after {seconds} s at {volts}; the rating of the set says no: "
        "do not count on it."
    )


def _with_starters(design: Design, kind: GeneratorKind, site: Site, asked: Asked) -> str:
    if asked.soft_va >= asked.bare_va:
        return ""
    soft, bare = (order_of(design, kind, site, asked, way) for way in (True, False))
    assert soft is not None and bare is not None
    return f"With soft starters {_said(soft)}; without {_said(bare)}."


def _said(order: StartOrder) -> str:
    return "an order works" if order.works else f"{names(order.blocked)} must stay off"


def _without_charger(
    design: Design, chosen: Supply | None, kind: GeneratorKind, site: Site, asked: Asked, order: StartOrder
) -> str:
    if charger_name(design) not in asked.at.on or not asked.charger_va:
        return ""
    less, rest = order_of(design, kind, site, asked, None, charger=False), asked_of(design, chosen, charger=False)
    assert less is not None
    then = smallest(site, rest.running_va, rest.start_va)
    size = f"a {then} set does" if then else "no class does"
    gained = [name for name in order.blocked if name in less.names]
    more = f", and {names(gained)} may go on" if gained else ""
    return f"The battery charger takes {units.show(asked.charger_va, 'power')}; without it {size}{more}."
