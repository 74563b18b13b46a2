"""One thing wrong, or nothing: drawn with numpy from a seed, and what it does to the side."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from .plan import FEEDER, Element, Plan

OPEN_OHM = 1e6
LEAST_OHM, COSTS = 2e-3, 0.015  # an extra resistance from here on is worth finding: 1.5 % of the nominal voltage
# How often each kind is drawn beside the others; half are poor contacts and bad crimps: common practice, no source.
KINDS = {
    "extra resistance": 12.0, "wire thinner or longer": 2.5, "load missing": 1.5, "load draws otherwise": 2.5,
    "legs reversed": 1.5, "fuse positions swapped": 2.0, "battery low": 1.5, "battery weak": 1.5,
}  # fmt: skip


@dataclass(frozen=True)
class Fault:
    """What is wrong: kind, subject, the element by its name where there is one, and the size.

    The size is extra ohms, a factor on the wire, on what a load draws or on the battery's inside resistance, or volts
    that the battery stands lower; None for a kind without a size.
    """

    kind: str
    subject: str
    element: tuple[str, str, int, str] | None = None
    size: float | None = None


HEALTHY = Fault("healthy", "")


def draw_fault(plan: Plan, seed: int) -> Fault:
    """The fault that belongs to a seed."""
    chance = np.random.default_rng([seed, 11])
    pairs = _pairs(plan)
    kinds = [kind for kind in KINDS if kind != "fuse positions swapped" or pairs]
    weights = np.array([KINDS[kind] for kind in kinds])
    kind = str(chance.choice(kinds, p=weights / weights.sum()))
    return _DRAWN[kind](plan, chance)


def _pairs(plan: Plan) -> list[tuple[str, str]]:
    """Circuits that could stand at each other's fuse: both have a fuse and a load."""
    loaded = {load.circuit for load in plan.loads}
    return list(combinations([name for name in plan.runs if plan.fuse(name) is not None and name in loaded], 2))


def _log_even(chance: np.random.Generator, low: float, high: float) -> float:
    return float(np.exp(chance.uniform(np.log(low), np.log(high))))


def _one(chance: np.random.Generator, things: tuple[str, ...]) -> str:
    return things[int(chance.integers(len(things)))]


def _resistance(plan: Plan, chance: np.random.Generator) -> Fault:
    spots: list[Element] = [one for one in plan.elements if plan.full_a(one) > 0.0]
    spot = spots[int(chance.integers(len(spots)))]
    least = max(LEAST_OHM, COSTS * plan.nominal_v / plan.full_a(spot))
    size = _log_even(chance, least, 20.0 * least)
    if chance.uniform() < 0.1:
        size = OPEN_OHM
    return Fault("extra resistance", spot.circuit, spot.name, size)


def _run(plan: Plan, chance: np.random.Generator) -> Fault:
    loaded = {load.circuit for load in plan.loads}
    name = _one(chance, (FEEDER, *(circuit for circuit in plan.runs if circuit in loaded)))
    return Fault("wire thinner or longer", name, None, _log_even(chance, 1.5, 4.0))


def _load_name(plan: Plan, chance: np.random.Generator) -> str:
    return _one(chance, tuple(load.name for load in plan.loads))


def _otherwise(plan: Plan, chance: np.random.Generator) -> Fault:
    name, sort = _load_name(plan, chance), int(chance.integers(3))
    factor = (2.0, chance.uniform(0.3, 0.6), chance.uniform(1.6, 3.0))[sort]
    return Fault("load draws otherwise", name, None, float(factor))


def _swapped(plan: Plan, chance: np.random.Generator) -> Fault:
    pairs = _pairs(plan)
    return Fault("fuse positions swapped", " and ".join(pairs[int(chance.integers(len(pairs)))]))


_DRAWN: dict[str, Callable[[Plan, np.random.Generator], Fault]] = {
    "extra resistance": _resistance,
    "wire thinner or longer": _run,
    "load missing": lambda plan, chance: Fault("load missing", _load_name(plan, chance)),
    "load draws otherwise": _otherwise,
    "legs reversed": lambda plan, chance: Fault("legs reversed", _load_name(plan, chance)),
    "fuse positions swapped": _swapped,
    "battery low": lambda plan, chance: Fault("battery low", "battery", None, float(chance.uniform(0.3, 1.2))),
    "battery weak": lambda plan, chance: Fault("battery weak", "battery", None, _log_even(chance, 3.0, 15.0)),
}


@dataclass(frozen=True)
class Done:
    """What a fault does. Made from the fault once; the circuit simulator and the numpy way both read it."""

    plan: Plan
    fault: Fault

    def _size(self, kind: str, subject: str, without: float) -> float:
        fault = self.fault
        return without if (fault.kind, fault.subject) != (kind, subject) or fault.size is None else fault.size

    def extra_ohm(self, element: Element) -> float:
        """Resistance added to an element [ohm]."""
        return 0.0 if self.fault.element != element.name else float(self.fault.size or 0.0)

    def times(self, element: Element) -> float:
        """Factor on the resistance of an element [-]."""
        return self._size("wire thinner or longer", element.circuit, 1.0) if element.kind == "wire" else 1.0

    def lower_v(self) -> float:
        """What the battery stands lower [V]."""
        return self._size("battery low", "battery", 0.0)

    def inside(self) -> float:
        """Factor on the battery's inside resistance [-]."""
        return self._size("battery weak", "battery", 1.0)

    def draws(self, load: str) -> float:
        """Factor on what a load draws [-]; 0 for one that is not there."""
        if (self.fault.kind, self.fault.subject) == ("load missing", load):
            return 0.0
        return self._size("load draws otherwise", load, 1.0)

    def turned(self, load: str) -> bool:
        """Whether a load is on with plus and minus exchanged."""
        return (self.fault.kind, self.fault.subject) == ("legs reversed", load)

    def position(self, circuit: str) -> str:
        """The circuit whose fuse a circuit is really wired to."""
        pair = self.fault.subject.split(" and ") if self.fault.kind == "fuse positions swapped" else []
        for one in _pairs(self.plan):
            if " and ".join(one) == " and ".join(pair) and circuit in one:
                return one[1] if circuit == one[0] else one[0]
        return circuit


def kept(count: int, seed: int) -> tuple[int, ...]:
    """Numbers of the half of the lines that are read when only half are: drawn with numpy."""
    chance = np.random.default_rng([seed, 12])
    return tuple(sorted(int(k) for k in chance.permutation(count)[: (count + 1) // 2]))
