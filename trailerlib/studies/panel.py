"""The panel as a schedule: what each breaker feeds and carries, and the sum of each leg."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from typing import Any

from trailerlib.design.design import Design
from trailerlib.design.model import BOTH, OnLeg
from trailerlib.studies.answer import Column, names
from trailerlib.studies.breakers import Breaker, breaker, panel_legs
from trailerlib.studies.circuits import charger_name
from trailerlib.studies.leg_balance import MOST_BALANCED, Balance, best_legs
from trailerlib.studies.timetable import mains_stays, stretches


@dataclass(frozen=True)
class Leg:
    """One leg: its number, what all on it draw together and what they draw now [A]."""

    number: int
    all_a: float
    now_a: float


@dataclass(frozen=True)
class Panel:
    """The whole panel. ``main_a`` is its main breaker [A]; None is not known.

    ``unplaced_a`` is what circuits without a given leg draw now [A], on two legs. ``asked`` says what ``now`` means.
    """

    breakers: tuple[Breaker, ...]
    main_a: float | None
    legs: tuple[Leg, ...]
    unplaced_a: float
    asked: str
    balance: Balance | None

    @property
    def worst_leg(self) -> Leg:
        """The leg that carries most now."""
        return max(self.legs, key=lambda leg: leg.now_a)


def panel(
    design: Design,
    on: AbstractSet[str] | None = None,
    asked: str = "everything on",
    flows: Mapping[str, complex] | None = None,
) -> Panel:
    """The panel with every circuit that hangs on it; a panel of one leg has nothing between legs to draw on.

    Parameters
    ----------
    design : the design
    on : names of the loads that run now, ``charger_name`` for the charger; None is everything
    asked : words for what runs now
    flows : [A] current of each circuit now, by name, where it is known better than at nominal voltage
    """
    moments = {part.on | {charger_name(design)} for stay in mains_stays(design) for part in stretches(design, stay)}
    breakers = tuple(breaker(design, circuit, on, moments) for circuit in design.circuits_of("mains"))
    if flows is not None:
        breakers = tuple(replace(b, now=flows.get(b.name, 0j)) for b in breakers)
    count = panel_legs(design)
    legs = tuple(_leg(breakers, number, count) for number in range(1, count + 1))
    unplaced = abs(sum(b.now for b in breakers if count == 2 and b.leg is None))
    balance = best_legs(breakers) if count == 2 and len(breakers) <= MOST_BALANCED else None
    return Panel(breakers, design.mains.main, legs, unplaced, asked, balance)


def _leg(breakers: Sequence[Breaker], number: int, count: int) -> Leg:
    mine = [b for b in breakers if count == 1 or b.on_leg(number)]
    return Leg(number, abs(sum(b.every for b in mine)), abs(sum(b.now for b in mine)))


COLUMNS = (
    Column("name", "Circuit"),
    Column("rating_a", "Breaker", "current"),
    Column("leg", "Leg"),
    Column("wire", "Wire"),
    Column("feeds", "Feeds"),
    Column("receptacles", "Receptacles"),
    Column("gfci", "GFCI"),
    Column("all_a", "All on", "current"),
    Column("share", "Of rating", "fraction"),
    Column("busiest_a", "Busiest", "current"),
)
YES_NO: Mapping[bool | None, str] = {True: "yes", False: "no", None: "not said"}


def rows(design: Design) -> tuple[Mapping[str, Any], ...]:
    """The schedule as rows of a table with ``COLUMNS``: every circuit, then the sum of every leg against the main."""
    whole = panel(design)
    return (*[_row(b, len(whole.legs)) for b in whole.breakers], *[_leg_row(whole, leg) for leg in whole.legs])


def _row(b: Breaker, legs: int) -> dict[str, object]:
    return {
        "name": b.name,
        "rating_a": b.rating_a,
        "leg": "none of two" if legs == 1 and b.two_pole else "–" if legs == 1 else leg_words(b.leg),
        "wire": b.wire,
        "feeds": names(b.feeds) or "nothing",
        "receptacles": b.receptacles,
        "gfci": "–" if b.receptacles == "wired in" and b.gfci is None else YES_NO[b.gfci],
        "all_a": b.all_a,
        "share": b.share,
        "busiest_a": b.busiest_a,
    }


def leg_words(leg: OnLeg | None) -> str:
    """Which leg a circuit is on, as a table has it."""
    return "not said" if leg is None else "1 and 2" if leg == BOTH else str(leg)


def _leg_row(whole: Panel, leg: Leg) -> dict[str, object]:
    main = whole.main_a
    return {
        "name": "main" if len(whole.legs) == 1 else f"main, leg {leg.number}",
        "rating_a": main,
        "leg": "–" if len(whole.legs) == 1 else str(leg.number),
        "feeds": "all circuits" if len(whole.legs) == 1 else "the circuits of this leg",
        "all_a": leg.all_a,
        "share": leg.all_a / main if main else None,
    }
