"""The wire from the inlet to the panel: what stands in front of it, and whether that guards it."""

from __future__ import annotations

from dataclasses import replace
from math import inf

from trailerlib.design import plug_types
from trailerlib.design.design import Design
from trailerlib.design.model import Supply
from trailerlib.rules.finding import Finding
from trailerlib.rules.supply_chain import inlet_wire
from trailerlib.studies import plugs
from trailerlib.studies.mains import rating_a
from trailerlib.studies.mains_side.cord import inlet_carry


def checks(design: Design) -> list[Finding]:
    """Whether the wire from the inlet to the panel carries what the breaker in front of it lets through.

    A wire that is too thin is too thin whatever its run; one that is not is passed only where its run, and with it what
    it drops, is known. Nothing without a circuit on the mains side.
    """
    if not design.circuits_of("mains"):
        return []
    carry = inlet_carry(design)
    carries = None if carry is None else carry.guarded_a
    finding = inlet_wire(_known_a(design, carries), carries)
    if finding.severity == "holds" and design.inlet_run_m is None:
        words = "{subject}: not checked, neither its run nor the places of inlet and panel are given."
        return [replace(inlet_wire(None, carries), what=words)]
    return [finding]


def ahead_a(design: Design, main_a: float) -> float:
    """The largest breaker that may stand in front of the inlet's wire [A]; 0 where neither inlet nor supply is given.

    That of the supply assembly, which is the inlet's by rating (551.44), or a larger one that an adapter brings there.
    The main breaker at the wire's other end lets no more through than its own rating.

    Parameters
    ----------
    design : the design
    main_a : [A] rating of the main breaker, endless where there is none
    """
    own = 0.0 if design.mains.inlet is None else plug_types.plug(design.mains.inlet).rating_a
    return max([own, *(min(main_a, _breaker_a(supply)) for supply in design.supplies)])


def _breaker_a(supply: Supply) -> float:
    """The breaker at a pedestal, or that of a generator's receptacle [A]."""
    return plugs.receptacle_of(supply).rating_a if supply.is_generator else rating_a(supply)


def _known_a(design: Design, carries_a: float | None) -> float | None:
    """The same where the inlet and the main breaker are given, or where they cannot matter; None where they can."""
    main, fitted = design.mains.main, design.mains.has_main is not False
    least = ahead_a(design, main or (0.0 if fitted else inf))
    most = inf if design.mains.inlet is None else ahead_a(design, main or inf)
    if carries_a is not None and least > carries_a:
        return least
    return most if most < inf and (least == most or (carries_a is not None and most <= carries_a)) else None
