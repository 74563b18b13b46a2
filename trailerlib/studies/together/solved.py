"""One supply of a design, with every combination of its switches looked at."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.model import Supply
from trailerlib.physics import together as engine
from trailerlib.physics.together import Bools, Floats, Masks, Phasors
from trailerlib.studies.kept import Kept
from trailerlib.studies.legs import arriving_legs, leg_volts
from trailerlib.studies.together.limits import Limit, draws, limits, most_a
from trailerlib.studies.together.result import Combination, Forbidden, Lists, Together
from trailerlib.studies.together.start import Surge, never_start, starts, surges
from trailerlib.studies.together.switches import Switch, dead, switches
from trailerlib.studies.together.trips import trips
from trailerlib.studies.together.voltage import AtPanel, at_panel, stiff

MOST_KEPT = 40  # of each list; the counts say how many there are

_KEPT = Kept[Together]()


def of(design: Design, supply: str, voltage: float | None = None) -> Together:
    """What may run together on one supply.

    Parameters
    ----------
    design : the design
    supply : its name
    voltage : [V] of a leg to neutral at the panel, such as 108; None takes the one measured at the pedestal, else the
        nominal one, less what the way to the panel drops at most

    Raises
    ------
    DesignError
        When there is no such supply.
    ValueError
        When the voltage is not above zero.
    """
    chosen = design.supply(supply)
    if voltage is not None and not voltage > 0.0:
        raise ValueError("the voltage at the panel must be above zero.")
    return _KEPT.of(_rests_on(design, chosen, voltage), lambda: _of(design, chosen, voltage))


def _volts(supply: Supply, voltage: float | None) -> tuple[float, Literal["nominal", "measured", "supposed"]]:
    if voltage is not None:
        return voltage, "supposed"
    return (leg_volts(supply), "nominal") if supply.voltage is None else (supply.voltage, "measured")


def _rests_on(design: Design, supply: Supply, voltage: float | None) -> Iterator[Any]:
    yield from (supply, voltage, design.practice, design.site, design.mains, design.charger, design.battery)
    yield design.inlet_run_m
    yield from design.circuits_of("mains")
    yield from (load for load in design.loads if load.typical.system == "mains")


def _of(design: Design, supply: Supply, voltage: float | None) -> Together:
    volts, volts_are = _volts(supply, voltage)
    arriving = arriving_legs(design, supply)
    at = stiff(volts) if voltage is not None else _at_panel(design, supply, volts, arriving)
    found = switches(design, at, arriving)
    rows, gaps = limits(design, supply, found)
    bare = Together(supply.name, supply.kind, volts, volts_are, found, rows, gaps, at.lowest_v, dead(design, arriving))
    now, lasting, ratings = draws(found, rows)
    try:
        never = engine.free(now, ratings)
    except ValueError as error:
        return replace(bare, too_many=str(error))
    surge = surges(design, supply, rows, volts)
    bare = replace(bare, not_starting=tuple(found[i].name for i in never_start(found, surge)))
    order = sorted(np.flatnonzero(~never).tolist(), key=lambda i: -found[i].size_a)
    case = _Case(found, rows, np.flatnonzero(never).tolist(), order, now, surge)
    return _filled(bare, case, lasting, ratings)


def _at_panel(design: Design, supply: Supply, open_v: float, arriving: int) -> AtPanel:
    """The lowest voltage at the panel, with what draws on the fuller leg; what has no given leg counts on each."""

    def all_on_a(at: AtPanel) -> float:
        found = switches(design, at, arriving)
        on_leg = [[s for s in found if _draws_on(design, s, k, arriving)] for k in (1, 2)]
        return max(abs(sum((s.amps for s in each), 0j)) for each in on_leg)

    return at_panel(design, supply, open_v, most_a(design, supply), all_on_a)


def _draws_on(design: Design, switch: Switch, leg: int, arriving: int) -> bool:
    circuit = design.circuit(switch.circuit)
    return arriving == 1 or circuit.leg is None or circuit.on_leg(leg)


@dataclass(frozen=True)
class _Case:
    """The switches in two parts, places in ``found``: those that never decide, and those that do."""

    found: tuple[Switch, ...]
    rows: tuple[Limit, ...]
    never: list[int]
    decide: list[int]
    now: Phasors
    surges: tuple[Surge, ...]

    def table(self, draw: Phasors, ratings: Floats) -> Bools:
        """Which combinations of those that decide hold, with all that never does on."""
        return engine.allowed(draw[:, self.decide], ratings, draw[:, self.never].sum(axis=1))

    def flows(self, masks: Masks, always: bool) -> Floats:
        """What flows through every limit for each mask [A or W], shape (limits, masks)."""
        states = (masks[:, None] >> np.arange(len(self.decide))) & 1
        base = self.now[:, self.never].sum(axis=1) if always else np.zeros(len(self.rows))
        return np.asarray(np.abs(self.now[:, self.decide] @ states.T + base[:, None]))

    def watts(self, masks: Masks) -> Floats:
        """Power of those that decide, for each mask [W]."""
        states = (masks[:, None] >> np.arange(len(self.decide))) & 1
        return np.asarray(states @ np.array([self.found[i].watts for i in self.decide]))

    def names(self, mask: int) -> tuple[str, ...]:
        """The switches of a mask."""
        return tuple(self.found[self.decide[k]].name for k in engine.members(mask))


def _filled(bare: Together, case: _Case, lasting: Phasors, ratings: Floats) -> Together:
    found = case.found
    holds, for_good = case.table(case.now, ratings), case.table(lasting, ratings)
    every = (1 << len(case.decide)) - 1
    return replace(
        bare,
        free=tuple(found[i] for i in case.never),
        deciding=tuple(found[i] for i in case.decide),
        free_lasts=bool(for_good[0]),
        everything=None if holds[every] else _forbidden(case, np.array([every]), holds, always=True)[0],
        holds=holds,
        lasts=for_good,
        show_lists=lambda: _lists(case, holds, for_good, _with(case, bare.not_starting)),
    )


def _with(case: _Case, names: Sequence[str]) -> Bools:
    """Which combinations hold one of these."""
    bits = sum(1 << k for k, i in enumerate(case.decide) if case.found[i].name in names)
    return np.asarray((np.arange(1 << len(case.decide)) & bits) != 0)


def _lists(case: _Case, holds: Bools, for_good: Bools, idle: Bools) -> Lists:
    """Without the combinations in which a motor is that does not start here."""
    largest, longest = engine.maximal(holds & ~idle), engine.maximal(for_good & ~idle)
    smallest = engine.minimal_forbidden(holds | idle)
    return Lists(
        for_good=_combinations(case, _first(case, longest), for_good),
        for_good_count=len(longest),
        combinations=_combinations(case, _first(case, largest), for_good),
        combinations_count=len(largest),
        under_three_hours_count=int(np.count_nonzero(~for_good[largest])),
        forbidden=_forbidden(case, _first(case, smallest, fewest=True), holds, always=False),
        forbidden_count=len(smallest),
    )


def _first(case: _Case, masks: Masks, fewest: bool = False) -> Masks:
    """The masks to keep: fewest switches first where asked for, then most watts, then as they come."""
    count = np.bitwise_count(masks) if fewest else np.zeros(len(masks))
    order = np.lexsort((masks, np.round(-case.watts(masks), 6), count))
    return masks[order[:MOST_KEPT]]


def _combinations(case: _Case, masks: Masks, for_good: Bools) -> tuple[Combination, ...]:
    flows, watts = case.flows(masks, always=True), case.watts(masks)
    ratings = np.array([row.rating for row in case.rows])
    made = []
    for k, mask in enumerate(masks.tolist()):
        if not case.rows:
            break
        tight = int(np.argmax(flows[:, k] / ratings))
        on = [*case.never, *(case.decide[i] for i in engine.members(mask))]
        made.append(
            Combination(
                case.names(mask),
                float(watts[k]),
                bool(for_good[mask]),
                case.rows[tight],
                float(flows[tight, k]),
                starts(case.found, on, case.surges),
            )
        )
    return tuple(made)


def _forbidden(case: _Case, masks: Masks, holds: Bools, always: bool) -> tuple[Forbidden, ...]:
    passed = trips(case.rows, case.flows(masks, always))
    return tuple(_one(case, mask, holds, each) for mask, each in zip(masks.tolist(), passed, strict=True))


def _one(case: _Case, mask: int, holds: Bools, passed: Sequence[Any]) -> Forbidden:
    """Off in turn: the largest first, a compressor last."""
    parts = [case.found[i] for i in case.decide]
    left = engine.fewest_off(holds, mask, [part.watts for part in parts], [part.compressor for part in parts])
    off = [parts[k] for k in engine.members(mask & ~left)]
    off.sort(key=lambda part: (part.compressor, -part.size_a))
    return Forbidden(case.names(mask), tuple(passed), tuple(p.name for p in off), any(p.compressor for p in off))


def ask(design: Design, supply: str, names: Iterable[str], voltage: float | None = None) -> Forbidden | None:
    """What opens when these run together with all that is always fine, and what to switch off; None when they hold.

    Parameters
    ----------
    design : the design
    supply : name of the supply
    names : what is on
    voltage : [V] as for ``of``

    Raises
    ------
    ValueError
        When there is no such switch, or nothing could be worked out.
    """
    found = of(design, supply, voltage)
    if found.holds is None:
        raise ValueError(found.too_many)
    if found.allows(names) is not False:
        return None
    wanted = set(names)
    place = {switch.name: i for i, switch in enumerate(found.switches)}
    case = _Case(
        found.switches,
        found.limits,
        [place[s.name] for s in found.free],
        [place[s.name] for s in found.deciding],
        draws(found.switches, found.limits)[0],
        (),
    )
    mask = sum(1 << k for k, switch in enumerate(found.deciding) if switch.name in wanted)
    return _forbidden(case, np.array([mask]), found.holds, always=True)[0]
