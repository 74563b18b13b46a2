"""The panel as a schedule: what each breaker feeds and carries, the sum of each leg, and how to balance two legs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from trailerlib.design import plug_types
from trailerlib.design.design import Design
from trailerlib.design.model import BOTH, Circuit, OnLeg
from trailerlib.studies.answer import Column, names
from trailerlib.studies.circuits import charger_name, charger_va, load_va
from trailerlib.studies.legs import legs as legs_of
from trailerlib.studies.timetable import mains_stays, stretches

MOST_VECTORS = 16  # circuits up to which currents are added as vectors; above, as what a clamp meter shows of each
MOST_BALANCED = 40  # circuits; half of them make 2^20 sums


@dataclass(frozen=True)
class Breaker:
    """One branch of the panel. Rating and currents [A]; None is not known.

    ``every`` is with everything on and ``now`` with what was asked for, lagging current as the positive imaginary part;
    ``all_a`` and ``now_a`` are what a clamp meter shows of them. ``busiest_a`` is the most of any moment of the stays
    on mains, None without a stay.
    """

    name: str
    rating_a: float | None
    leg: OnLeg | None
    wire: str
    feeds: tuple[str, ...]
    receptacles: str
    gfci: bool | None
    every: complex
    busiest_a: float | None
    now: complex

    @property
    def all_a(self) -> float:
        """Its current with everything on [A]."""
        return abs(self.every)

    @property
    def now_a(self) -> float:
        """Its current with what was asked for [A]."""
        return abs(self.now)

    @property
    def share(self) -> float | None:
        """What it carries now as a share of its rating [-]; None when that is not known."""
        return None if not self.rating_a else self.now_a / self.rating_a

    @property
    def two_pole(self) -> bool:
        """Whether it stands on both legs, two poles with one handle, and feeds what runs between them."""
        return self.leg == BOTH

    def on_leg(self, number: int) -> bool:
        """Whether it draws on a leg.

        Parameters
        ----------
        number : [-] 1 or 2
        """
        return self.leg in (number, BOTH)


@dataclass(frozen=True)
class Leg:
    """One leg: its number, what all on it draw together and what they draw now [A]."""

    number: int
    all_a: float
    now_a: float


@dataclass(frozen=True)
class Balance:
    """Circuits on two legs: the heavier leg now, None while a leg is not given, and at best [A].

    ``best`` is the leg of each circuit then, ``moves`` the circuits that change their leg for it; what stands on both
    stays there.
    """

    present_a: float | None
    best_a: float
    best: Mapping[str, OnLeg]
    moves: tuple[str, ...]


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


def panel_legs(design: Design) -> int:
    """How many legs the panel has: by its inlet, else by its circuits and supplies."""
    if design.mains.inlet is not None:
        return plug_types.plug(design.mains.inlet).legs
    two = any(circuit.on_leg(2) for circuit in design.circuits_of("mains"))
    return 2 if two or any(legs_of(supply) == 2 for supply in design.supplies) else 1


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
    breakers = tuple(_breaker(design, circuit, on, moments) for circuit in design.circuits_of("mains"))
    if flows is not None:
        breakers = tuple(replace(b, now=flows.get(b.name, 0j)) for b in breakers)
    count = panel_legs(design)
    legs = tuple(_leg(breakers, number, count) for number in range(1, count + 1))
    unplaced = abs(sum(b.now for b in breakers if count == 2 and b.leg is None))
    balance = best_legs(breakers) if count == 2 and len(breakers) <= MOST_BALANCED else None
    return Panel(breakers, design.mains.main, legs, unplaced, asked, balance)


def _breaker(
    design: Design, circuit: Circuit, on: AbstractSet[str] | None, moments: AbstractSet[frozenset[str]]
) -> Breaker:
    """The charger counts at full current in every moment, as in every question."""
    feeds = [load.name for load in design.loads_on(circuit.name)]
    if design.charger is not None and design.charger.circuit == circuit.name:
        feeds.append(charger_name(design))
    return Breaker(
        circuit.name,
        circuit.protection,
        circuit.leg,
        circuit.wire,
        tuple(feeds),
        _receptacles(circuit),
        circuit.gfci,
        circuit_a(design, circuit),
        max((abs(circuit_a(design, circuit, moment)) for moment in moments), default=None),
        circuit_a(design, circuit, on),
    )


def _receptacles(circuit: Circuit) -> str:
    if circuit.receptacle is None:
        return "wired in"
    return f"{circuit.outlets if circuit.outlets is not None else '?'} × {circuit.receptacle}"


def circuit_a(design: Design, circuit: Circuit, on: AbstractSet[str] | None = None) -> complex:
    """Current of a mains circuit with these of its loads on, at nominal voltage [A], lagging positive.

    Parameters
    ----------
    design : the design
    circuit : the circuit
    on : names of what runs, ``charger_name`` for the charger; None is everything that is not switched off
    """
    if circuit.between_legs and panel_legs(design) == 1:
        return 0j
    loads = [load for load in design.loads_on(circuit.name) if load.on and (on is None or load.name in on)]
    va = sum((load_va(load) for load in loads), 0j)
    charger = design.charger
    if charger is not None and charger.circuit == circuit.name and (on is None or charger_name(design) in on):
        va += charger_va(design)
    return va / design.volts_of(circuit)


def _leg(breakers: Sequence[Breaker], number: int, count: int) -> Leg:
    mine = [b for b in breakers if count == 1 or b.on_leg(number)]
    return Leg(number, abs(sum(b.every for b in mine)), abs(sum(b.now for b in mine)))


def best_legs(breakers: Sequence[Breaker]) -> Balance | None:
    """The division of circuits over two legs whose heavier leg is lightest with everything on; exact.

    The sums of all divisions of each half of the circuits are made once; for each of the one half the sum of the
    other that comes nearest to an even share is looked up. Of a division and its mirror the one with fewer moves wins.
    What runs between the legs loads both alike and cannot move.

    Raises
    ------
    ValueError
        When there are more circuits than can be gone through.
    """
    if len(breakers) > MOST_BALANCED:
        raise ValueError(f"best_legs: {len(breakers)} circuits are too many; give at most {MOST_BALANCED}.")
    if not breakers:
        return None
    single = [b for b in breakers if not b.two_pole]
    if len(single) <= MOST_VECTORS:
        both = sum((b.every for b in breakers if b.two_pole), 0j)
        every = _sums([b.every for b in single])
        best = int(np.argmin(np.maximum(np.abs(every + both), np.abs(every[-1] - every + both))))
        return _balance(breakers, [bool(best >> k & 1) for k in range(len(single))])
    amps = [b.all_a for b in single]
    half = len(amps) // 2
    first, second = _sums(amps[:half]), _sums(amps[half:])
    order = np.argsort(second, kind="stable")
    ranked = second[order]
    want = sum(amps) / 2.0 - first
    above = np.minimum(np.searchsorted(ranked, want), len(ranked) - 1)
    below = np.maximum(above - 1, 0)
    gap_above, gap_below = np.abs(ranked[above] - want), np.abs(ranked[below] - want)
    pick = int(np.argmin(np.minimum(gap_above, gap_below)))
    other = int(order[above[pick] if gap_above[pick] <= gap_below[pick] else below[pick]])
    ones = [bool(pick >> k & 1) for k in range(half)] + [bool(other >> k & 1) for k in range(len(amps) - half)]
    return _balance(breakers, ones)


def _sums(amps: Sequence[complex]) -> Any:
    """Sum of every set of them; set number n holds those whose bit of n is one."""
    sums = np.zeros(1)
    for value in amps:
        sums = np.concatenate([sums, sums + value])
    return sums


def _balance(breakers: Sequence[Breaker], on_one: Sequence[bool]) -> Balance:
    """A division, told for those that can move in the order they come."""
    ways = (_placed(breakers, on_one, 1, 2), _placed(breakers, on_one, 2, 1))
    best = min(ways, key=lambda way: sum(b.leg != leg for b, leg in zip(breakers, way, strict=True)))
    stated = [b.leg for b in breakers if b.leg is not None]
    present = _heavier(breakers, stated) if len(stated) == len(breakers) else None
    best_a = _heavier(breakers, best)
    if present is not None and present <= best_a + 1e-9:
        best, best_a = stated, present
    moves = tuple(b.name for b, leg in zip(breakers, best, strict=True) if b.leg != leg)
    return Balance(present, best_a, dict(zip((b.name for b in breakers), best, strict=True)), moves)


def _placed(breakers: Sequence[Breaker], on_one: Sequence[bool], one: OnLeg, other: OnLeg) -> list[OnLeg]:
    turns = iter(on_one)
    return [BOTH if b.two_pole else one if next(turns) else other for b in breakers]


def _heavier(breakers: Sequence[Breaker], legs: Sequence[OnLeg]) -> float:
    return max(
        abs(sum(b.every for b, leg in zip(breakers, legs, strict=True) if leg in (number, BOTH))) for number in (1, 2)
    )


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


def balance_words(balance: Balance | None) -> str:
    """What balancing would bring, as a sentence; empty on one leg.

    Parameters
    ----------
    balance : the balance of a panel
    """
    from trailerlib.units import figures

    if balance is None:
        return ""
    best = f"{figures(balance.best_a)} A"
    if balance.present_a is None:
        return f"Not every circuit says its leg; at best the heavier leg carries {best} with everything on."
    if not balance.moves:
        return f"The legs are as even as these circuits can be: {best} on the heavier one with everything on."
    return f"Moving {names(balance.moves)} brings the heavier leg from {figures(balance.present_a)} A to {best}."
