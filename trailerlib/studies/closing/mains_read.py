"""What the lines of the mains side read in a given state of the wiring, and how that moves with what is never exact."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from trailerlib.design.voltages import BETWEEN_LEGS
from trailerlib.physics.evidence import standard_uncertainty
from trailerlib.physics.known_load import SHOWN, unequal_legs, with_load
from trailerlib.studies import cells
from trailerlib.studies.closing.block import Floats
from trailerlib.studies.closing.mains_lines import Read, unequal_points
from trailerlib.studies.closing.mains_side import Point, Side, branch_contacts
from trailerlib.studies.feeder import Part

# One standard deviation each: common practice, no source.
WARMTH_K, RUN_SHARE, CONTACT_SHARE, BREAKER_SHARE, LOAD_SHARE = 10.0, 0.04, 0.5, 0.2, 0.05
WANDER = 0.0025  # of the supply's voltage between two readings
PICKUP_V = 0.3  # between wires that should stand at the same voltage, from their neighbours
CHARGER_SHARE, LEAST_RISE_V = 0.1, 0.2
GONE_OHM, SMALL_W = 1e9, 500.0

NOWHERE = ("none", "no amps", "full", "twice", "ghost", "anywhere")
TOKENS = (*NOWHERE, *SHOWN)
ONE_LEG = {
    "hn": "full", "hg": "full", "ng": "none", "loaded hn": "across", "loaded ng": "return rise", "amps": "amps",
    "panel hn": "panel across", "panel ng": "panel return rise", "hot drop": "hot drop",
}  # fmt: skip
BETWEEN = {
    "hn": "twice", "hg": "full", "ng": "full", "loaded hn": "across", "loaded hg": "hot to ground", "amps": "amps",
    "panel hn": "panel across", "panel hg": "panel hot to ground", "hot drop": "hot drop",
}  # fmt: skip
AT_PANEL = {
    "hot neutral": "full", "hot ground": "full", "neutral ground": "none", "leg 1 neutral": "full",
    "leg 2 neutral": "full", "leg to leg": "twice", "leg 1 ground": "full", "leg 2 ground": "full",
}  # fmt: skip


@dataclass(frozen=True)
class Change:
    """What a fault does, over its s sizes; without a change a field is empty.

    ``emf_v`` (s,) is added to the supply's voltage; ``supply`` ohms (s,) to a conductor between source and panel (0 the
    neutral, 1 and 2 the legs), ``cord`` is a factor (s,) on its wire. ``circuit``, with ``piece``, ``slot`` (0 out,
    1 back) and ``ohm`` (s,), or with ``times`` (s,) on all its wire. ``panel`` and ``points`` say what a reading shows
    instead, by what is read; ``chances`` the chance of a yes by key of the line. ``neutral_open``, ``same_leg`` and
    ``dead_leg`` tell what two unequal loads do; ``charger`` whether it charges.
    """

    emf_v: Floats = field(default_factory=lambda: np.zeros(1))
    supply: Mapping[int, Floats] = field(default_factory=dict)
    cord: Floats = field(default_factory=lambda: np.ones(1))
    circuit: str = ""
    piece: int = -1
    slot: int = 0
    ohm: Floats = field(default_factory=lambda: np.zeros(1))
    times: Floats = field(default_factory=lambda: np.ones(1))
    panel: Mapping[str, str] = field(default_factory=dict)
    points: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    chances: Mapping[str, float] = field(default_factory=dict)
    neutral_open: bool = False
    same_leg: bool = False
    dead_leg: int = 0
    charger: bool = True

    def touches(self, point: Point) -> bool:
        """Whether a point may read otherwise than when all is well."""
        return not self.circuit or point.circuit.name == self.circuit


class Reader:
    """The readings of the mains side, with their slopes over q standard deviations of what is never exact."""

    def __init__(self, side: Side, reads: tuple[Read, ...]) -> None:
        self.side, self.reads = side, reads
        self.by_name = {point.name: point for point in side.points}
        self.pair = unequal_points(side)
        names = ["supply", "source", "warmth", "cord", "inlet", *(f"contacts {leg}" for leg in range(3))]
        names.append(f"load {SMALL_W}")
        names += [f"load {side.test_w(point)}" for point in side.points]
        names += [f"{part} {p.circuit.name}" for p in side.points for part in ("wire", "out", "back")]
        self.column = {name: k for k, name in enumerate(dict.fromkeys(names))}

    @cached_property
    def healthy(self) -> tuple[Floats, Floats, Floats]:
        """Readings when all is well."""
        shape = len(self.reads)
        empty = (np.full((1, shape), np.nan), np.zeros((1, shape, len(self.column))), np.zeros((1, shape)))
        return self._filled(Change(), 1, empty)

    def read(self, change: Change, sizes: int) -> tuple[Floats, Floats, Floats]:
        """Readings (s, m), slopes (s, m, q) and further uncertainty (s, m) with something changed.

        Parameters
        ----------
        change : what is changed
        sizes : [-] how many sizes it has
        """
        start = tuple(np.repeat(part, sizes, axis=0) for part in self.healthy)
        return self._filled(change, sizes, (start[0], start[1], start[2]))

    def _filled(
        self, change: Change, sizes: int, found: tuple[Floats, Floats, Floats]
    ) -> tuple[Floats, Floats, Floats]:
        mean, slope, extra = found
        shown = {name: self._tokens(p, change, sizes) for name, p in self.by_name.items() if change.touches(p)}
        bare = self._bare(change, sizes)
        for k, read in enumerate(self.reads):
            if read.line.key in change.chances or read.line.asks == "yes or no":
                mean[:, k] = change.chances.get(read.line.key, 1.0)
            elif read.point in shown:
                usual = BETWEEN if self.by_name[read.point].between else ONE_LEG
                token = change.points.get(read.point, {}).get(read.what, usual[read.what])
                at = TOKENS.index(token)
                mean[:, k], slope[:, k], extra[:, k] = (part[:, at] for part in shown[read.point])
            elif read.what in AT_PANEL:
                at = NOWHERE.index(change.panel.get(read.what, AT_PANEL[read.what]))
                mean[:, k], slope[:, k], extra[:, k] = (part[:, at] for part in bare)
            elif read.what.startswith("unequal") and self._moves_unequal(change):
                mean[:, k], slope[:, k] = self._unequal(change, sizes, int(read.what[-1]))
                extra[:, k] = WANDER * self.side.emf_v
            elif read.what.startswith("charger"):
                mean[:, k], extra[:, k] = self._charger(read.what, change)
        return mean, slope, extra

    def _bare(self, change: Change, sizes: int) -> tuple[Floats, Floats, Floats]:
        """Voltages that no current has to do with, in the order of ``NOWHERE``."""
        emf = np.broadcast_to(self.side.emf_v + change.emf_v, sizes)
        part = np.array([0.0, 0.0, 1.0, BETWEEN_LEGS, 0.5, 1.0])
        slope = np.zeros((sizes, len(part), len(self.column)))
        known = np.array([0.0, 0.0, 1.0, BETWEEN_LEGS, 0.0, 0.0])
        slope[:, :, self.column["supply"]] = known * self.side.emf_deviation_v
        even = np.array([0.0, 0.0, 0.0, 0.0, 0.5, 1.0])  # half the width of what a wire that floats may show
        extra = WANDER * emf[:, np.newaxis] * known + np.asarray(standard_uncertainty(emf[:, np.newaxis] * even))
        extra[:, 0] = PICKUP_V
        return emf[:, np.newaxis] * part, slope, extra

    def _tokens(self, point: Point, change: Change, sizes: int) -> tuple[Floats, Floats, Floats]:
        """Everything a meter may show at a point, in the order of ``TOKENS``."""
        way, by = self._way(point, change, sizes, self.side.test_w(point), self.side.test_ohm(point))
        times = BETWEEN_LEGS if point.between else 1.0
        shown = with_load(times * way[:, 0], way[:, 1], way[:, 2:], 1.0 / times)
        # a meter for ac shows a size: an end that is pulled over to the other leg comes down, and climbs again
        sign = np.where(shown.value < 0.0, -1.0, 1.0)
        value, gradient = sign * shown.value, sign[..., np.newaxis] * shown.gradient
        gradient[..., 0] *= times
        wander = WANDER * np.array([0.0, 1.0, 0.0, 1.0, 1.0, 0.0, 1.0, 0.0]) * value
        wander[:, [2, 5]] = PICKUP_V
        own = (value, gradient @ by, wander)
        bare = self._bare(change, sizes)
        found = [np.concatenate([a, b], axis=1) for a, b in zip(bare, own, strict=True)]
        return found[0], found[1], found[2]

    def _way(self, point: Point, change: Change, sizes: int, watts: float, load_ohm: float) -> tuple[Floats, Floats]:
        """Voltage, load and the four resistances of a point's circuit (s, 6); the same by column, (s, 6, q)."""
        side, column = self.side, self.column
        way, by = np.zeros((sizes, 6)), np.zeros((sizes, 6, len(column)))
        way[:, 0], by[:, 0, column["supply"]] = side.emf_v + change.emf_v, side.emf_deviation_v
        way[:, 1], by[:, 1, column[f"load {watts}"]] = load_ohm, LOAD_SHARE * load_ohm
        source, (cold, rise), (inlet, inlet_rise) = side.source_ohm, side.cord_ohm, side.inlet_ohm
        for at, leg in ((2, point.legs[0]), (3, point.legs[1])):
            parts = side.contacts["out" if leg else "back"]
            way[:, at] = source[0] / 2.0 + cold * change.cord + inlet + sum(part.ohm for part in parts)
            way[:, at] += change.supply.get(leg, 0.0)
            by[:, at, column["source"]] = source[1] / 2.0
            by[:, at, column["warmth"]] = WARMTH_K * (rise * change.cord + inlet_rise)
            by[:, at, column["cord"]] = RUN_SHARE * cold * change.cord
            by[:, at, column["inlet"]] = RUN_SHARE * inlet
            by[:, at, column[f"contacts {leg}"]] = _contacts_deviation(parts)
        name, contacts = point.circuit.name, branch_contacts(point)
        own = change.circuit == name
        for at, slot in ((4, "out"), (5, "back")):
            times = change.times if own else 1.0
            wire = sum(ohm for ohm, _ in side.wire_ohm(point))
            way[:, at] = wire * times + sum(part.ohm for part in contacts[slot])
            if own and change.slot == at - 4 and change.piece in (point.way or ()):
                way[:, at] += change.ohm
            by[:, at, column["warmth"]] = WARMTH_K * sum(rise for _, rise in side.wire_ohm(point)) * times
            by[:, at, column[f"wire {name}"]] = RUN_SHARE * wire * times
            by[:, at, column[f"{slot} {name}"]] = _contacts_deviation(contacts[slot])
        return way, by

    def _moves_unequal(self, change: Change) -> bool:
        return self.pair is not None and any(change.touches(point) for point in self.pair)

    def _unequal(self, change: Change, sizes: int, leg: int) -> tuple[Floats, Floats]:
        """Voltage of a leg at the panel with unequal loads (s,), and its slopes by central differences (s, q)."""
        assert self.pair is not None
        big_at, small_at = self.pair
        small = self.side.nominal_v**2 / SMALL_W
        first, by_first = self._way(big_at, change, sizes, self.side.test_w(big_at), self.side.test_ohm(big_at))
        second, by_second = self._way(small_at, change, sizes, SMALL_W, small)
        # voltage, leg 1, leg 2, neutral, and on each leg load and branch out and back
        at, by = (
            np.stack([one[:, 0], one[:, 2], two[:, 2], one[:, 3], _rest(one), _rest(two)], axis=1)
            for one, two in ((first, second), (by_first, by_second))
        )
        if change.dead_leg:
            at[:, change.dead_leg] += GONE_OHM
        for k, point in enumerate(self.pair):
            if change.circuit and change.points.get(point.name, {}).get("amps") == "no amps":
                at[:, 4 + k] += GONE_OHM
        step = 0.5 * by.swapaxes(1, 2)
        tried = np.concatenate([at[:, np.newaxis], at[:, np.newaxis] + step, at[:, np.newaxis] - step], axis=1)
        neutral = np.zeros(tried.shape[:2]) if change.neutral_open else 1.0 / tried[..., 3]
        volts = unequal_legs(
            tried[..., 0], tried[..., 1:3], neutral, tried[..., 4:6], 1.0 if change.same_leg else -1.0
        )[leg - 1]
        q = step.shape[1]
        return volts[:, 0], volts[:, 1 : q + 1] - volts[:, q + 1 :]

    def _charger(self, what: str, change: Change) -> tuple[float, float]:
        charger, battery = self.side.design.charger, self.side.design.battery
        if charger is None or battery is None:
            return float("nan"), 0.0
        if not change.charger:
            return 0.0, 0.1 if what == "charger amps" else 0.05
        if what == "charger amps":
            return charger.current, CHARGER_SHARE * charger.current
        top = cells.limits(battery, "absorption_v") * battery.blocks - float(cells.open_circuit_v(battery, 0.9))
        least = LEAST_RISE_V * battery.blocks
        return (top + least) / 2.0, float(standard_uncertainty((top - least) / 2.0))


def _rest(way: Floats) -> Floats:
    """From the panel through load and branch back to it."""
    rest: Floats = way[:, 1] + way[:, 4] + way[:, 5]
    return rest


def _contacts_deviation(parts: tuple[Part, ...]) -> float:
    """Standard deviation of several contacts in a row [ohm], each on its own; breakers are made more alike."""
    own = [(BREAKER_SHARE if part.kind == "fuse" else CONTACT_SHARE) * part.ohm for part in parts]
    return float(np.sqrt(np.square(own).sum())) if own else 0.0
