"""The thinnest wire that meets drop, ampacity and protection, and what forbids the next thinner one."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.model import Circuit
from trailerlib.design.wire_sizes import wires
from trailerlib.physics.impedance import effective_drop_v
from trailerlib.studies import devices
from trailerlib.studies import feeder as dc
from trailerlib.studies import guard as guarding
from trailerlib.studies.ampacity import Ampacity, low_voltage_table_a, ratings
from trailerlib.studies.circuits import air_c, may_carry, wire_temperature_c
from trailerlib.studies.mains_side.cord import branch_parts, reactance_per_m

THINNEST_M2, THICKEST_M2 = 0.7e-6, 60e-6
NO_TABLE = "the table of ampacities"  # that no table says what the sizes may carry
DROP, SHORT, THINNEST = "the drop", "a short on it", "it is the thinnest in the table"
DRAWN = "what really flows"  # a load that holds its power draws more through a thin wire than its rating says


@dataclass(frozen=True)
class Option:
    """One wire size in place of the fitted one: drop as a share of nominal [-], the smallest fuse that does [A].

    ``far_a`` is the current of a short at the far end and ``current_a`` what flows in use [A], with that fuse;
    ``forbidden`` says what speaks against the size with whatever fuse, None when nothing does.
    """

    wire: str
    drop: float
    fuse_a: float | None
    far_a: float | None
    current_a: float | None
    forbidden: str | None


@dataclass(frozen=True)
class Choice:
    """What each size would do, and with the fuse as it is: drop as a share of nominal [-], the sizes it forbids.

    ``smallest`` is the thinnest that does with the fitted fuse, None when no size does; ``binding`` says what
    forbids the next thinner one. ``options`` leave the fuse free; ``pair`` is the thinnest of them that does.
    """

    drops_by_wire: Mapping[str, float]
    unguarded: frozenset[str]
    smallest: str | None
    binding: str
    show_options: Callable[[], tuple[Option, ...]] = field(default=tuple, compare=False, repr=False)

    @cached_property
    def options(self) -> tuple[Option, ...]:
        """What each size would do behind a fuse of its own, worked out when somebody looks at it."""
        return self.show_options()

    @property
    def pair(self) -> Option | None:
        """The thinnest wire, with its fuse, that satisfies everything."""
        return next((option for option in self.options if option.forbidden is None), None)

    @property
    def pair_binding(self) -> str:
        """What forbids the size below that pair; without one, what forbids the thickest."""
        if not self.options:
            return self.binding
        reason = THINNEST
        for option in self.options:
            if option.forbidden is None:
                return reason
            reason = option.forbidden
        return reason


@lru_cache(maxsize=8)
def _sizes(unit: str) -> tuple[str, ...]:
    return tuple(
        name for name, size in wires().items() if name.endswith(unit) and THINNEST_M2 < size.area_m2 < THICKEST_M2
    )


def candidates(wire: str) -> tuple[str, ...]:
    """The sizes that could stand in a wire's place: of the same standard, thin to thick."""
    return _sizes(wire.split()[1])


OTHER_RUN = "the run of another circuit, which is not known"


@dataclass(frozen=True)
class Ask:
    """What a wire is asked for: by which circuit, and the rating its loads ask for at nominal voltage [A].

    ``far_a`` is the current of a short at the far end with each size, ``block_a`` that right behind the device [A];
    what is not known there is not held against a size. ``carried_a`` is what flows with each size, ``solved_a`` the
    rating that asks for [A], where they are known. ``unknown`` says why the drops are too good to choose by, if they
    are.
    """

    circuit: Circuit
    needed_a: float
    far_a: Mapping[str, float]
    block_a: float | None = None
    carried_a: Mapping[str, float] = field(default_factory=dict)
    solved_a: Mapping[str, float] = field(default_factory=dict)
    unknown: str = ""

    def asked_a(self, wire: str) -> float:
        """What one size and its fuse must carry [A]."""
        return max(self.needed_a, self.solved_a.get(wire, 0.0))

    def behind(self, here: Behind | None) -> Ask:
        """The same with another fuse.

        Parameters
        ----------
        here : what the sizes do behind it, None when it is not known
        """
        if here is None:
            return self
        return replace(self, far_a=here.far_a, carried_a=here.carried_a, solved_a=here.solved_a)


@dataclass(frozen=True)
class Behind:
    """What each size does behind a fuse of one rating: drop as a share of nominal [-], far-end short, current, and
    the rating that current asks for [A].
    """

    drops: Mapping[str, float]
    far_a: Mapping[str, float]
    carried_a: Mapping[str, float]
    solved_a: Mapping[str, float]


def _nothing(rating_a: float) -> None:
    """What is known of another fuse where nothing is."""


def choose(
    design: Design,
    ask: Ask,
    drops: Mapping[str, float],
    fitted: Behind | None = None,
    behind: Callable[[float], Behind | None] = _nothing,
) -> Choice:
    """The thinnest wire of those tried that meets everything.

    Parameters
    ----------
    design : the design
    ask : what the wire is for
    drops : [-] share of the voltage lost with each size, thin to thick
    fitted : what the sizes do behind the fuse that is fitted, None where only the drops are known
    behind : what they do behind a fuse of another rating [A], asked only when a fuse has to be chosen too
    """
    if not drops and design.run_m(ask.circuit) is None:
        return Choice({}, frozenset(), None, "a run that is not known")
    circuit, sizes = ask.circuit, tuple(drops)

    def options() -> tuple[Option, ...]:
        return _options(design, ask, drops, behind)

    if circuit.protection is None:
        forbidden = {option.wire: option.forbidden for option in options()}
    else:
        against = _against(design, ask.behind(fitted), sizes, circuit.protection)
        forbidden = {wire: against[wire] or _drop(ask, drop) for wire, drop in drops.items()}
    unguarded = frozenset(wire for wire in sizes if forbidden[wire] not in (None, DROP, ask.unknown))
    smallest, binding = _thinnest(forbidden)
    return Choice(dict(drops), unguarded, smallest, binding, options)


def _thinnest(forbidden: Mapping[str, str | None]) -> tuple[str | None, str]:
    """The first size that nothing forbids, and what forbids the one before it; without one, what forbids the last."""
    reason = THINNEST
    for wire, words in forbidden.items():
        if words is None:
            return wire, reason
        reason = words
    return None, reason


def _options(
    design: Design, ask: Ask, drops: Mapping[str, float], behind: Callable[[float], Behind | None]
) -> tuple[Option, ...]:
    """Each size with the smallest fuse that carries the load; with a larger one where only that one's drop is too much.

    A small fuse has a resistance of its own that counts: the smallest that carries the load may be the one that
    loses too much. A larger one is tried no further than the low-voltage table goes.
    """
    found: dict[str, Option] = {}
    fuses: list[float | None] = [*enough(ask.circuit, ask.needed_a, design.practice)]
    for rating in fuses or [None]:
        left = [w for w in drops if w not in found or _may_be_larger(design, ask.circuit, found[w], rating)]
        if not left:
            break
        here = None if rating is None else behind(rating)
        there, lost = ask.behind(here), drops if here is None else here.drops
        against = _against(design, there, left, rating)
        for wire in left:
            drawn = DRAWN if rating is not None and there.asked_a(wire) > rating * (1.0 + 1e-9) else None
            words = against[wire] or drawn or _drop(ask, lost[wire])
            if wire not in found or words is None or found[wire].forbidden == DRAWN:
                found[wire] = Option(wire, lost[wire], rating, there.far_a.get(wire), there.carried_a.get(wire), words)
    return tuple(found[wire] for wire in drops)


def enough(circuit: Circuit, needed_a: float, practice: str = "north-america") -> list[float]:
    """The standard ratings that carry what the loads of a circuit ask for [A].

    Parameters
    ----------
    circuit : the circuit
    needed_a : [A] what they ask for
    practice : ``north-america`` or ``iec``
    """
    return [a for a in ratings(circuit.device, practice) if a >= needed_a * (1.0 - 1e-9)]


def _may_be_larger(design: Design, circuit: Circuit, so_far: Option, fuse_a: float | None) -> bool:
    """Whether a larger fuse might do where a smaller one did not: it must guard the wire, and be in the table."""
    if so_far.forbidden != DROP or fuse_a is None:
        return so_far.forbidden == DRAWN
    most = low_voltage_table_a(so_far.wire) if circuit.system == "dc" else None
    guarded = may_carry(design, circuit, so_far.wire).guarded_a
    return guarded is not None and fuse_a <= min(guarded, guarded if most is None else most)


def _drop(ask: Ask, drop: float) -> str | None:
    return ask.unknown or None if drop <= ask.circuit.drop_limit else DROP


def _against(design: Design, ask: Ask, sizes: Sequence[str], fuse_a: float | None) -> dict[str, str | None]:
    """What speaks against each size behind a fuse of so many amperes, the drop apart."""
    if fuse_a is None:
        return dict.fromkeys(sizes, "no fuse is made for its load")
    found = {wire: _too_thin(ask, ask.asked_a(wire), may_carry(design, ask.circuit, wire), fuse_a) for wire in sizes}
    left = [wire for wire in sizes if found[wire] is None and wire in ask.far_a]
    fuse, _ = devices.device(ask.circuit.device, fuse_a)
    if fuse is None or not left:
        return found
    behind = [_wire(design, ask.circuit, wire) for wire in left]
    known = [(wire, b) for wire, b in zip(left, behind, strict=True) if b is not None]
    far = np.array([ask.far_a[wire] for wire, _ in known])
    late = guarding.glow(fuse, [b for _, b in known], far, ask.block_a)
    return found | {wire: SHORT for (wire, _), wrong in zip(known, late, strict=True) if wrong}


def _too_thin(ask: Ask, asked_a: float, carry: Ampacity, fuse_a: float) -> str | None:
    guarded = carry.guarded_a
    if guarded is None:
        if carry.table_a is None:
            return NO_TABLE
        return "air that is not known" if carry.ambient is None else "a bundle that is not known"
    if guarded < asked_a:
        return "what it may carry"
    if guarded < fuse_a:
        return "its breaker" if ask.circuit.device == "breaker" else "its fuse"
    return None


def _wire(design: Design, circuit: Circuit, wire: str) -> guarding.Wire | None:
    return guarding.wire(wire, circuit.insulation, may_carry(design, circuit, wire), air_c(design, circuit))


def mains_drops(design: Design, circuit: Circuit, current_a: float, power_factor: float) -> dict[str, float]:
    """Share of the mains voltage lost on a branch with each wire size [-]; nothing when its run is not known.

    By the hand formula of effective impedance, breaker and terminals included.

    Parameters
    ----------
    design : the design
    circuit : the branch
    current_a : [A] in it
    power_factor : [-] of what it feeds
    """
    run_m = design.run_m(circuit)
    if run_m is None:
        return {}
    sizes, volts, air = candidates(circuit.wire), design.volts_of(circuit), air_c(design, circuit)
    hot = [wire_temperature_c(may_carry(design, circuit, wire), air, current_a) for wire in sizes]
    ohm = 2.0 * run_m * np.array([dc.ohm_per_m(wire, c) for wire, c in zip(sizes, hot, strict=True)])
    ohm += sum(part.ohm for part in branch_parts(circuit))
    reactance = 2.0 * run_m * np.array([reactance_per_m(wire, design.practice) for wire in sizes])
    lost = np.asarray(effective_drop_v(current_a, ohm, reactance, power_factor)) / volts
    return dict(zip(sizes, lost.tolist(), strict=True))
