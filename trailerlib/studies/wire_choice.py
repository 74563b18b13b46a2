"""The thinnest wire that meets drop, ampacity and protection, and what forbids the next thinner one."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache

import numpy as np

from trailerlib.design.catalogue import wires
from trailerlib.design.design import Design
from trailerlib.design.model import Circuit
from trailerlib.physics.conductor import conductor_temperature_c, resistance_ratio
from trailerlib.physics.impedance import effective_drop_v
from trailerlib.physics.network import solve_dc
from trailerlib.studies import feeder as dc
from trailerlib.studies import guard as guarding
from trailerlib.studies.ampacity import Ampacity, low_voltage_table_a, ratings
from trailerlib.studies.battery_side import BatterySide, far_end_a
from trailerlib.studies.circuits import HOTTEST_SHOWN_C, air_c, may_carry, wire_temperature_c
from trailerlib.studies.loads import side_volts
from trailerlib.studies.mains_side.cord import branch_parts, reactance_per_m

OWN_HEAT = 2  # rounds in which each size comes to the heat of its own current instead of the fitted wire's
THINNEST_M2, THICKEST_M2 = 0.7e-6, 60e-6
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
    """What a wire is asked for: by which circuit, the rating its loads ask for [A], or what it carries if that is more.

    ``far_a`` is the current of a short at the far end with each size, ``block_a`` that right behind the device [A];
    what is not known there is not held against a size. ``carried_a`` is the current with each size where it is known.
    ``unknown`` says why the drops are too good to choose by, if they are.
    """

    circuit: Circuit
    needed_a: float
    far_a: Mapping[str, float]
    block_a: float | None = None
    carried_a: Mapping[str, float] = field(default_factory=dict)
    unknown: str = ""

    def asked_a(self, wire: str) -> float:
        """What one size must carry [A]."""
        return max(self.needed_a, self.carried_a.get(wire, 0.0))

    def behind(self, here: Behind | None) -> Ask:
        """The same with another fuse.

        Parameters
        ----------
        here : what the sizes do behind it, None when it is not known
        """
        return self if here is None else replace(self, far_a=here.far_a, carried_a=here.carried_a)


@dataclass(frozen=True)
class Behind:
    """What each size does behind a fuse of one rating: drop as a share of nominal [-], far-end short, current [A]."""

    drops: Mapping[str, float]
    far_a: Mapping[str, float]
    carried_a: Mapping[str, float]


def choose(
    design: Design,
    ask: Ask,
    drops: Mapping[str, float],
    fitted: Behind | None = None,
    others: Callable[[], Mapping[float, Behind]] = dict,
) -> Choice:
    """The thinnest wire of those tried that meets everything.

    Parameters
    ----------
    design : the design
    ask : what the wire is for
    drops : [-] share of the voltage lost with each size, thin to thick
    fitted : what the sizes do behind the fuse that is fitted, None where only the drops are known
    others : what they do behind fuses of each rating [A], asked only when a fuse has to be chosen too
    """
    if not drops and design.run_m(ask.circuit) is None:
        return Choice({}, frozenset(), None, "a run that is not known")
    circuit, sizes = ask.circuit, tuple(drops)

    def options() -> tuple[Option, ...]:
        return _options(design, ask, drops, others())

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
    design: Design, ask: Ask, drops: Mapping[str, float], behind: Mapping[float, Behind]
) -> tuple[Option, ...]:
    """Each size with the smallest fuse that carries the load; with a larger one where only that one's drop is too much.

    A small fuse has a resistance of its own that counts: the smallest that carries the load may be the one that
    loses too much. A larger one is tried no further than the low-voltage table goes.
    """
    found: dict[str, Option] = {}
    enough: list[float | None] = [a for a in ratings(ask.circuit.device) if a >= ask.needed_a * (1.0 - 1e-9)]
    for rating in enough or [None]:
        here = None if rating is None else behind.get(rating)
        left = [wire for wire in drops if wire not in found or _may_be_larger(ask.circuit, found[wire], rating)]
        there, lost = ask.behind(here), drops if here is None else here.drops
        against = _against(design, there, left, rating)
        for wire in left:
            drawn = DRAWN if rating is not None and there.asked_a(wire) > rating * (1.0 + 1e-9) else None
            words = against[wire] or drawn or _drop(ask, lost[wire])
            if wire not in found or words is None or found[wire].forbidden == DRAWN:
                found[wire] = Option(wire, lost[wire], rating, there.far_a.get(wire), there.carried_a.get(wire), words)
    return tuple(found[wire] for wire in drops)


def _may_be_larger(circuit: Circuit, so_far: Option, fuse_a: float | None) -> bool:
    """Whether a larger fuse might do where a smaller one did not."""
    if so_far.forbidden != DROP or fuse_a is None:
        return so_far.forbidden == DRAWN
    most = low_voltage_table_a(so_far.wire) if circuit.system == "dc" else None
    return most is None or fuse_a <= most


def _drop(ask: Ask, drop: float) -> str | None:
    return ask.unknown or None if drop <= ask.circuit.drop_limit else DROP


def _against(design: Design, ask: Ask, sizes: Sequence[str], fuse_a: float | None) -> dict[str, str | None]:
    """What speaks against each size behind a fuse of so many amperes, the drop apart."""
    if fuse_a is None:
        return dict.fromkeys(sizes, "no fuse is made for its load")
    found = {wire: _too_thin(ask, ask.asked_a(wire), may_carry(design, ask.circuit, wire), fuse_a) for wire in sizes}
    left = [wire for wire in sizes if found[wire] is None and wire in ask.far_a]
    fuse, _ = guarding.device(ask.circuit.device, fuse_a)
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
            return "the table of ampacities"
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
    sizes, volts, air = candidates(circuit.wire), side_volts(design, "mains"), air_c(design, circuit)
    hot = [wire_temperature_c(may_carry(design, circuit, wire), air, current_a) for wire in sizes]
    ohm = 2.0 * run_m * np.array([dc.ohm_per_m(wire, c) for wire, c in zip(sizes, hot, strict=True)])
    ohm += sum(part.ohm for part in branch_parts(circuit))
    reactance = 2.0 * run_m * np.array([reactance_per_m(wire, design.practice) for wire in sizes])
    lost = np.asarray(effective_drop_v(current_a, ohm, reactance, power_factor)) / volts
    return dict(zip(sizes, lost.tolist(), strict=True))


def battery_drops(design: Design, side: BatterySide, needed: Mapping[str, float]) -> dict[str, dict[str, float]]:
    """Share of the voltage lost on dc circuits with each wire size in its place [-], solved in one call.

    Parameters
    ----------
    design : the design
    side : the battery side as it is
    needed : [A] rating the loads ask for, by each circuit that is asked about; stands in for the current where there
        is no solution

    Returns
    -------
    dict
        Circuit name to (wire size to share); NaN where the power could not be delivered.
    """
    if side.network is None or side.ohm is None or side.draw is None or side.emf_v is None:
        return {}
    taps = [taps for name, taps in side.network.taps.items() if name in needed]
    sizes = [candidates(tap.circuit.wire) for tap in taps]
    ohm = np.repeat(side.ohm[:, None], sum(map(len, sizes)), axis=1)
    column = 0
    for tap, options in zip(taps, sizes, strict=True):
        columns = slice(column, column + len(options))
        current = side.current_a.get(tap.circuit.name, needed[tap.circuit.name])
        ohm[list(tap.nodes), columns] = _run_ohm(design, tap, options, current)
        column = columns.stop
    power, siemens, amps = side.draw
    solved = solve_dc(side.network.tree, side.emf_v, ohm, power_w=power, conductance_s=siemens, current_a=amps)
    return _read(taps, sizes, solved.voltage_v, side_volts(design, "dc"))


def _run_ohm(design: Design, tap: dc.Taps, options: Sequence[str], current_a: dc.Floats | float) -> dc.Floats:
    """Resistance of each piece of a run with each size, shape (pieces, ...shape of the current, sizes)."""
    circuit, air = tap.circuit, air_c(design, tap.circuit)
    carry = [may_carry(design, circuit, wire) for wire in options]
    rating, known = np.array([c.rating_c for c in carry]), [bool(c.amps) and air is not None for c in carry]
    amps = np.array([c.amps or 1.0 for c in carry])
    warm = conductor_temperature_c(current_a, amps, 0.0 if air is None else air, rating)
    hot = np.where(known, np.minimum(warm, HOTTEST_SHOWN_C), rating)
    per_m = np.array([dc.ohm_per_m(wire, 20.0) for wire in options]) * resistance_ratio(20.0, hot)
    ohm: dc.Floats = 2.0 * np.multiply.outer(np.array(tap.lengths_m), per_m)
    ohm[[parent < 0 for parent in tap.parents]] += dc.run_ends_ohm(circuit)
    return ohm


def _read(
    taps: list[dc.Taps], sizes: list[tuple[str, ...]], volt: dc.Floats, nominal_v: float
) -> dict[str, dict[str, float]]:
    result, column = {}, 0
    for tap, options in zip(taps, sizes, strict=True):
        columns = slice(column, column + len(options))
        lost = (volt[dc.BATTERY_NODE, columns] - volt[list(tap.nodes), columns].min(axis=0)) / nominal_v
        result[tap.circuit.name] = dict(zip(options, lost.tolist(), strict=True))
        column = columns.stop
    return result


def battery_far_a(design: Design, side: BatterySide, circuit: Circuit) -> dict[str, float]:
    """Least current of a short at the far end of a dc circuit with each wire size [A]; nothing when not known.

    Parameters
    ----------
    design : the design
    side : the battery side
    circuit : the circuit
    """
    fitted = far_end_a(design, side, circuit.name)
    taps = side.network.taps.get(circuit.name) if side.network is not None else None
    if fitted is None or side.emf_v is None or taps is None:
        return {}
    reach = 2.0 * max(taps.length_m(node) for node in taps.nodes)
    rating_c = float(circuit.insulation.split()[0])
    rest = side.emf_v / fitted - reach * dc.ohm_per_m(circuit.wire, rating_c)
    return {wire: side.emf_v / (rest + reach * dc.ohm_per_m(wire, rating_c)) for wire in candidates(circuit.wire)}


def battery_behind(
    design: Design, side: BatterySide, circuit: Circuit, needed_a: float, fuses: Sequence[float]
) -> dict[float, Behind]:
    """What each wire size would do on a dc circuit behind each of several fuses, solved in one call.

    Parameters
    ----------
    design : the design
    side : the battery side as it is
    circuit : the circuit
    needed_a : [A] rating its loads ask for; stands in for the current where there is no solution
    fuses : [A] their ratings

    Returns
    -------
    dict
        Rating [A] to drops and far-end shorts; nothing when the battery side is not known.
    """
    net, far = side.network, battery_far_a(design, side, circuit)
    tap = net.taps.get(circuit.name) if net is not None else None
    if net is None or tap is None or side.ohm is None or side.draw is None or side.emf_v is None:
        return {}
    sizes = candidates(circuit.wire)
    more = np.array([dc.fuse_ohm(a) for a in fuses]) - dc.fuse_ohm(circuit.protection)
    first, shape = [parent < 0 for parent in tap.parents], (len(fuses), len(sizes))
    carried = np.full(shape, side.current_a.get(circuit.name, needed_a))
    power, siemens, amps = side.draw
    ohm = np.repeat(side.ohm[:, None], carried.size, axis=1)
    for _ in range(OWN_HEAT):
        run = _run_ohm(design, tap, sizes, carried)
        run[first] += more[:, None]
        ohm[list(tap.nodes)] = run.reshape(len(tap.nodes), -1)
        solved = solve_dc(net.tree, side.emf_v, ohm, power_w=power, conductance_s=siemens, current_a=amps)
        flows = solved.branch_current_a[tap.nodes[0]].reshape(shape)
        carried = np.where(np.isnan(flows), carried, flows)
    volt = solved.voltage_v
    lost = ((volt[dc.BATTERY_NODE] - volt[list(tap.nodes)].min(axis=0)) / side_volts(design, "dc")).reshape(shape)
    return {
        fuse: Behind(
            dict(zip(sizes, drops, strict=True)),
            {wire: side.emf_v / (side.emf_v / short + extra) for wire, short in far.items()},
            dict(zip(sizes, flow, strict=True)),
        )
        for fuse, drops, flow, extra in zip(fuses, lost.tolist(), carried.tolist(), more.tolist(), strict=True)
    }
