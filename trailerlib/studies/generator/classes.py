"""The classes of generator against what is asked: which does, which is the smallest, what stands beside it."""

from __future__ import annotations

from dataclasses import replace

from trailerlib.design import supply_classes
from trailerlib.design.model import Supply
from trailerlib.design.supply_classes import GeneratorKind
from trailerlib.physics.engine import fuel_l_per_h, tank_hours
from trailerlib.studies.answer import Column
from trailerlib.studies.generator.asked import Asked
from trailerlib.studies.generator.site import Site, gives

COLUMNS = (
    Column("name", "Class"),
    Column("rated_w", "Rated", "power"),
    Column("running_w", "Runs here", "power"),
    Column("starting_w", "Starts here", "power"),
    Column("shop_w", "By shop rule", "power"),
    Column("fuel", "At this load", "fuel rate"),
    Column("tank_h", "Hours per tank", "duration"),
    Column("does", "Does it"),
    Column("size", "Size"),
)


def kind_of(supply: Supply | None) -> GeneratorKind | None:
    """The class of a supply with its own numbers in place of the class's; None when it is no generator."""
    if supply is None or not supply.is_generator:
        return None
    kind = supply_classes.generator_kinds()[supply.kind]
    return replace(kind, running_w=supply.running or kind.running_w, starting_w=supply.starting or kind.starting_w)


def does(kind: GeneratorKind, site: Site, running_va: float, start_va: float) -> str:
    """Whether a class runs and starts what is asked: ``yes``, what it is too small for, or ``not checked``.

    Parameters
    ----------
    kind : the class
    site : what height and heat leave
    running_va : [VA] what runs together
    start_va : [VA] what is drawn at the hardest start
    """
    running, surge = gives(kind.running_w, site), gives(kind.starting_w, site)
    if running is None or surge is None:
        return "not checked"
    if running_va > running:
        return "too small to run it"
    return "too small to start it" if start_va > surge else "yes"


def smallest(site: Site, running_va: float, start_va: float) -> str | None:
    """The smallest class that does what is asked; None when none does.

    Parameters
    ----------
    site : what height and heat leave
    running_va : [VA] what runs together
    start_va : [VA] what is drawn at the hardest start
    """
    kinds = supply_classes.generator_kinds().values()
    return next((kind.name for kind in kinds if does(kind, site, running_va, start_va) == "yes"), None)


def sizes(site: Site, asked: Asked) -> dict[str, str]:
    """What is said of the size of the smallest class that does and of its neighbours."""
    names = list(supply_classes.generator_kinds())
    best = smallest(site, asked.running_va, asked.start_va)
    if best is None:
        return {}
    at = names.index(best)
    found = {best: "smallest that does"}
    if at > 0:
        found[names[at - 1]] = "one down"
    if at + 1 < len(names):
        found[names[at + 1]] = "one up"
    return found


def rows(site: Site, asked: Asked) -> list[dict[str, object]]:
    """Every class with what it gives here, its fuel at the busiest moment, and whether it does."""
    said = sizes(site, asked)
    return [_row(kind, site, asked, said.get(kind.name, "")) for kind in supply_classes.generator_kinds().values()]


def _row(kind: GeneratorKind, site: Site, asked: Asked, size: str) -> dict[str, object]:
    rate = float(fuel_l_per_h(min(asked.peak.watts, kind.running_w), kind.idle_l_per_h, kind.slope_l_per_kwh))
    return {
        "name": kind.name,
        "rated_w": kind.running_w,
        "running_w": gives(kind.running_w, site),
        "starting_w": gives(kind.starting_w, site),
        "shop_w": None if site.shop is None else kind.running_w * site.shop,
        "fuel": rate,
        "tank_h": float(tank_hours(kind.tank_l, rate)),
        "does": does(kind, site, asked.running_va, asked.start_va),
        "size": size,
    }
