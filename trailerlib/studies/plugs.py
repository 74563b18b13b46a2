"""From the supply's receptacle through adapters to the inlet: does it go together, and what limits it on the way."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from math import inf
from typing import Any

from trailerlib.design import plug_types, supply_classes
from trailerlib.design.design import Design
from trailerlib.design.model import Supply
from trailerlib.design.plug_types import PlugType
from trailerlib.rules import plugs as rules
from trailerlib.rules.finding import Finding, not_so
from trailerlib.studies.legs import leg_volts
from trailerlib.studies.mains import moments, rating_a
from trailerlib.studies.timetable import stays_on


@dataclass(frozen=True)
class Piece:
    """One thing that is plugged into another: the plug it goes in with, what it offers to the next, its words.

    A supply has no plug and the inlet offers nothing more.
    """

    words: str
    plug: PlugType | None
    offers: PlugType

    @property
    def rating_a(self) -> float:
        """What it is good for [A]: the smaller of its two ends."""
        return self.offers.rating_a if self.plug is None else min(self.plug.rating_a, self.offers.rating_a)

    @property
    def legs(self) -> int:
        """How many hot wires it brings on: the fewer of its two ends."""
        return self.offers.legs if self.plug is None else min(self.plug.legs, self.offers.legs)


@dataclass(frozen=True)
class Chain:
    """The way from one supply to the inlet. ``known`` is false while the type of the inlet is not given.

    ``apart`` says which two do not go together, empty when all do. ``limit_a`` is the smallest rating on the way [A],
    of ``limited_by``; ``behind_a`` the smallest behind the supply's own receptacle [A]. ``legs`` is how many hot wires
    arrive, ``one_hot`` whether one hot wire feeds both legs of the panel.
    """

    supply: str
    pieces: tuple[Piece, ...]
    known: bool
    apart: str
    limit_a: float
    limited_by: str
    behind_a: float | None
    legs: int
    one_hot: bool

    @property
    def words(self) -> str:
        """The whole way in words: ``5-15R → 5-15 to TT-30 → TT-30 inlet``."""
        return " → ".join([piece.words for piece in self.pieces] + ([] if self.known else ["inlet not given"]))

    @property
    def fits(self) -> bool | None:
        """Whether it all goes together; None while the inlet is not known and nothing else is wrong."""
        return False if self.apart else (True if self.known else None)

    @property
    def adapters(self) -> int:
        """How many adapters are on the way."""
        return sum(piece.plug is not None for piece in self.pieces) - self.known


def receptacle_of(supply: Supply) -> PlugType:
    """The type of receptacle a supply offers."""
    kinds: Mapping[str, Any] = (
        supply_classes.generator_kinds() if supply.is_generator else supply_classes.every_supply()
    )
    return plug_types.plug(kinds[supply.kind].plug)


def chain(design: Design, supply: Supply) -> Chain:
    """The way from a supply to the inlet of the trailer."""
    offered = receptacle_of(supply)
    pieces = [Piece(f"{offered.name}R", None, offered)]
    for text in supply.adapters:
        kind = plug_types.adapter(text)
        pieces.append(Piece(kind.name, kind.plug, kind.receptacle))
    inlet = None if design.mains.inlet is None else plug_types.plug(design.mains.inlet)
    if inlet is not None:
        pieces.append(Piece(f"{inlet.name} inlet", inlet, inlet))
    weakest = min(pieces, key=lambda piece: piece.rating_a)
    last = pieces[-1].offers if inlet is None else inlet
    legs = min(piece.legs for piece in pieces)
    return Chain(
        supply.name,
        tuple(pieces),
        inlet is not None,
        _apart(pieces),
        weakest.rating_a,
        weakest.words,
        min((piece.rating_a for piece in pieces[1:]), default=None),
        legs,
        last.legs == 2 and legs == 1,
    )


def _apart(pieces: list[Piece]) -> str:
    for before, after in pairwise(pieces):
        if after.plug is not None and not after.plug.enters(before.offers.name):
            return f"{after.plug.name} does not go into {before.offers.name}"
    bare = next((piece for piece in pieces if not _neutral(piece)), None)
    return "" if bare is None else f"{bare.words} brings no neutral"


def _neutral(piece: Piece) -> bool:
    return piece.offers.neutral and (piece.plug is None or piece.plug.neutral)


def asked_a(design: Design, supply: Supply, legs: int, limit_a: float) -> float | None:
    """What the busiest moment of the stays on a supply draws on its busiest hot wire [A]; None when it is not known.

    On two hot wires the loads may lie well or badly: well spread when even that is too much, all on one when even that
    is not, and not known between.

    Parameters
    ----------
    design : the design
    supply : the supply
    legs : [-] hot wires that arrive
    limit_a : [A] what each of them is good for
    """
    found = [m for stay in stays_on(design, supply.name) for m in moments(design, stay, legs)]
    volts = leg_volts(supply)
    spread = max((max(m.va / legs, m.largest_va) / volts for m in found), default=None)
    if spread is None or legs == 1 or spread > limit_a:
        return spread
    on_one = max(m.va for m in found) / volts
    return on_one if on_one <= limit_a else None


def checks(design: Design) -> tuple[Finding, ...]:
    """What does not plug together, what limits a supply on the way, what one hot wire on both legs means."""
    return tuple(check for supply in design.supplies for check in _checks(design, supply))


def _checks(design: Design, supply: Supply) -> list[Finding]:
    way, subject = chain(design, supply), f'supply "{supply.name}"'
    missing = bool(way.apart) and way.known and way.adapters == 0
    found = [rules.adapter_missing(subject, True) if missing else rules.plug_chain_fits(subject, not_so(way.fits))]
    if way.fits is False:
        return found
    supply_a = receptacle_of(supply).rating_a
    behind = way.behind_a if way.known else None
    found.append(_behind(design, subject, supply_a, behind))
    if _narrower(supply, way):
        asked = asked_a(design, supply, way.legs, way.limit_a)
        opens = min(supply_a, design.mains.main or inf) <= way.limit_a
        limit = rules.plug_chain_limit if opens else rules.plug_chain_overheats
        found.append(limit(subject, asked if way.known else None, way.limit_a))
    if way.one_hot:
        found.append(rules.one_hot_on_both_legs(subject, True if way.known else None))
    return found


def _behind(design: Design, subject: str, supply_a: float, behind_a: float | None) -> Finding:
    """A larger breaker ahead of a plug is a note where the trailer's main guards it against too many loads."""
    main = design.mains.main
    if behind_a is None or supply_a <= behind_a or (main is not None and main <= behind_a):
        return rules.adapter_behind_larger_breaker(subject, supply_a, behind_a)
    unknown = main is None and design.mains.has_main is not False
    return rules.plug_not_guarded(subject, supply_a, None if unknown else behind_a)


def _narrower(supply: Supply, way: Chain) -> bool:
    """Whether the way gives less than the supply: its own rating is judged elsewhere."""
    return way.limit_a < rating_a(supply) or way.legs < receptacle_of(supply).legs
