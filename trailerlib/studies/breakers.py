"""The breakers of the panel: what each feeds, and what its circuit draws."""

from __future__ import annotations

from collections.abc import Set as AbstractSet
from dataclasses import dataclass

from trailerlib.design import plug_types
from trailerlib.design.design import Design
from trailerlib.design.model import BOTH, Circuit, OnLeg
from trailerlib.studies.circuits import charger_name, charger_va, load_va
from trailerlib.studies.legs import legs as legs_of


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


def panel_legs(design: Design) -> int:
    """How many legs the panel has: by its inlet, else by its circuits and supplies."""
    if design.mains.inlet is not None:
        return plug_types.plug(design.mains.inlet).legs
    two = any(circuit.on_leg(2) for circuit in design.circuits_of("mains"))
    return 2 if two or any(legs_of(supply) == 2 for supply in design.supplies) else 1


def breaker(
    design: Design, circuit: Circuit, on: AbstractSet[str] | None, moments: AbstractSet[frozenset[str]]
) -> Breaker:
    """One branch with what hangs on it; the charger counts at full current in every moment, as in every question."""
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
