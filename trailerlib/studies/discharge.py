"""A stay on the battery, marched through in steps of five minutes: current, charge and voltages."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.model import Battery, Load, Stay
from trailerlib.physics.battery import effective_capacity_ah, peukert_drain_a, state_of_charge
from trailerlib.physics.charging import TAIL_END, full_hours
from trailerlib.physics.network import Solution, deliverable_fraction, solve_dc
from trailerlib.reference import table
from trailerlib.studies import cells
from trailerlib.studies import feeder as dc
from trailerlib.studies.running import running_in
from trailerlib.studies.timetable import Stretch, stretches

if TYPE_CHECKING:
    from trailerlib.studies.trip.result import TripPicture

STEP_H = 1 / 12  # five minutes
ROUNDS = 12  # current and charge depend on each other; each round gains two digits
STILL = 1e-9


@dataclass(frozen=True)
class NightPicture:
    """What the drawing needs, all on one clock [h after midnight of the first day].

    ``charge`` [-] and ``battery_v`` [V] stand at ``time_h``; ``floor`` is what should stay [-];
    ``on`` gives for each load its (begin, end) pairs [h]. ``show_trip`` works out the trip it is part of.
    """

    time_h: dc.Floats
    charge: dc.Floats
    battery_v: dc.Floats
    current_a: dc.Floats
    floor: float
    on: Mapping[str, tuple[tuple[float, float], ...]] = field(default_factory=dict)
    show_trip: Callable[[], TripPicture | None] = field(default=lambda: None, compare=False, repr=False)

    @property
    def trip(self) -> TripPicture | None:
        """The trip this night is part of, worked out when somebody looks at it; None where it cannot be."""
        return self.show_trip()


class Discharge:
    """One stay worked out; everything the answer says is read off it.

    ``box`` is the design whose box the loads stand in, where that is not this one: what a load a step down warms less
    counts little.
    """

    def __init__(self, design: Design, battery: Battery, stay: Stay, box: Design | None = None) -> None:
        self.design, self.battery, self.stay, self.box = design, battery, stay, box or design
        self.net, self._duties = dc.network(design), dict[str, float]()
        self.stretches = stretches(design, stay)
        self.ambient_c = stay.ambient if stay.ambient is not None else design.site.coldest
        self.factor = cells.temperature_factor(battery, self.ambient_c) if self.ambient_c is not None else 1.0
        self.capacity_ah = float(effective_capacity_ah(battery.bank_ah, self.factor, battery.age))
        self.exponent = table("battery_peukert").number("exponent", chemistry=battery.chemistry)
        self.floor = floor_of(battery)
        wire_c = {name: self._warm_c(taps.circuit.insulation) for name, taps in self.net.taps.items()}
        feeder_c = self._warm_c(design.feeder.insulation) if design.feeder is not None else 0.0
        self.ohm = self.net.resistances(cells.battery_ohm(battery), feeder_c, wire_c)
        self._steps()
        self.solved = self._march()
        if self.solved:
            self.solved = self._lowest_voltages()

    def _warm_c(self, insulation: str) -> float:
        return warm_c(self.design, insulation)

    def _steps(self) -> None:
        self.start_h, self.step_h, self.which = steps_of(self.stretches)

    def _solve(self, emf_v: dc.Floats, duty: bool, which: Sequence[int]) -> Solution:
        """Node voltages and currents for stretches ``which`` at battery voltages ``emf_v``, both shape (columns,)."""
        chosen = [self.stretches[k] for k in which]
        shares = {load.name: self.duty(load) if duty else 1.0 for load in self.net.loads}
        watts = {
            load.name: np.array([_watts(load, stretch, shares[load.name]) for stretch in chosen])
            for load in self.net.loads
        }
        power, siemens, amps = self.net.draw(watts, (len(chosen),))
        return solve_dc(self.net.tree, emf_v, self.ohm, power_w=power, conductance_s=siemens, current_a=amps)

    def duty(self, load: Load) -> float:
        """Share of the time a load runs while it is switched on, in the air of the stay [-]."""
        if load.name not in self._duties:
            self._duties[load.name] = running_in(self.box, load, self.stay, self.ambient_c)
        return self._duties[load.name]

    def _march(self) -> bool:
        """Charge and current together: the current is read off a parabola through three solved voltages a stretch."""
        low, high = (float(cells.open_circuit_v(self.battery, c)) for c in (0.0, self.battery.start_charge))
        grid = np.array([low, 0.5 * (low + high), high])
        count = len(self.stretches)
        solved = self._solve(np.repeat(grid, count), True, list(range(count)) * 3)
        at_grid = solved.branch_current_a[dc.BATTERY_NODE].reshape(3, count)
        usable = np.isfinite(at_grid).all(axis=0)
        if not usable[np.unique(self.which)].all() or high <= low:
            return self._march_coarse(at_grid[2]) if np.isfinite(at_grid[2]).all() else False
        charge = np.full(len(self.which), self.battery.start_charge)
        for _ in range(ROUNDS):
            before = charge
            current = parabola(grid, at_grid[:, self.which], np.asarray(cells.open_circuit_v(self.battery, charge)))
            charge = self._charge(current)
            if np.abs(charge - before).max() < STILL:
                break
        self.current_a, self.charge = current, charge
        return True

    def _march_coarse(self, current: dc.Floats) -> bool:
        """Where an empty battery could not carry the load at all: the current at the charge it starts with."""
        self.current_a = current[self.which]
        self.charge = self._charge(self.current_a)
        return True

    def _charge(self, current_a: dc.Floats) -> dc.Floats:
        drain = peukert_drain_a(current_a, self.battery.bank_ah, self.battery.hour_rate, self.exponent)
        self.drain_a = np.asarray(drain)
        return state_of_charge(self.drain_a, self.step_h, self.capacity_ah, self.battery.start_charge)

    def _lowest_voltages(self) -> bool:
        """Every load's voltage at the end of each stretch, with all that is on really running; False on collapse."""
        last = [int(np.flatnonzero(self.which == k)[-1]) for k in range(len(self.stretches))]
        emf = np.asarray(cells.open_circuit_v(self.battery, self.charge[last]))
        volt = self._solve(emf, False, range(len(self.stretches))).voltage_v
        if np.isnan(volt).any():
            return False
        self.block_v = volt[dc.BATTERY_NODE]
        self.lowest_v: dict[str, float] = {}
        for load in self.net.loads:
            on = [k for k, stretch in enumerate(self.stretches) if load.name in stretch.on]
            if on:
                self.lowest_v[load.name] = float(volt[self.net.load_node[load.name], on].min())
        return True

    @property
    def end_h(self) -> float:
        """When the stay ends [h]."""
        return self.stay.start + self.stay.hours

    @property
    def lowest(self) -> float:
        """Lowest charge [-]."""
        return float(self.charge.min())

    @property
    def used_ah(self) -> float:
        """Charge taken from the battery, as counted at its terminals [Ah]."""
        return float((self.current_a * self.step_h).sum())

    @property
    def reached_h(self) -> float | None:
        """When the charge passes the floor [h after midnight of the first day]; None when it never does."""
        below = np.flatnonzero(self.charge < self.floor - 1e-12)
        if not len(below):
            return None
        k = int(below[0])
        before = self.battery.start_charge if k == 0 else float(self.charge[k - 1])
        share = (before - self.floor) / (before - float(self.charge[k])) if before > self.charge[k] else 0.0
        return float(self.start_h[k] + max(0.0, share) * self.step_h[k])

    @property
    def reserve_h(self) -> float:
        """Hours it would go on at the mean drain of the stay until the floor [h]; negative when it falls short."""
        reached = self.reached_h
        if reached is not None:
            return reached - self.end_h
        drain = float((self.drain_a * self.step_h).sum()) / self.stay.hours
        return (float(self.charge[-1]) - self.floor) * self.capacity_ah / drain if drain > 0 else float("inf")

    @property
    def refill(self) -> dict[str, float] | None:
        """What filling it again rests on, by the names of ``full_hours``; None without a charger or where none goes in.

        With everything off, in the air of the stay; ends where the balance over a trip calls it full too.
        """
        charger, air = self.design.charger, self.ambient_c
        takes = 0.0 if air is None else cells.acceptance(self.battery, air)
        if charger is None or takes == 0.0:
            return None
        rated_ah = self.battery.bank_ah * self.battery.age
        return {
            "missing_ah": (1.0 - float(self.charge[-1])) * self.capacity_ah,
            "charge_a": min(charger.current, takes * cells.limits(self.battery, "charge_rate_per_h") * rated_ah),
            "efficiency": cells.limits(self.battery, "coulombic_efficiency"),
            "tau_h": cells.limits(self.battery, "tail_tau_h") / takes,
            "tail_a": TAIL_END * rated_ah,
        }

    @property
    def refill_h(self) -> float | None:
        """Hours the charger needs to fill it again [h]; None without a charger or where the cold lets nothing in."""
        rests_on = self.refill
        return None if rests_on is None else float(full_hours(**rests_on)) if rests_on["missing_ah"] > 0 else 0.0

    def _lowest_charge(self) -> float:
        """The charge it falls to where that could be worked out, else the charge it starts with [-]."""
        return float(self.charge.min()) if hasattr(self, "charge") else self.battery.start_charge

    @property
    def deliverable(self) -> float:
        """Least share of the asked power that the wires deliver in any stretch [-]."""
        emf = float(cells.open_circuit_v(self.battery, self._lowest_charge()))
        shares = []
        for stretch in self.stretches:
            power, siemens, amps = self.net.draw({load.name: _watts(load, stretch) for load in self.net.loads})
            share = deliverable_fraction(
                self.net.tree, emf, self.ohm, power_w=power, conductance_s=siemens, current_a=amps
            )
            shares.append(float(share))
        return min(shares, default=1.0)

    def picture(self) -> NightPicture:
        """The curve with its first point, and the bars of the loads."""
        time = np.append(self.start_h, self.end_h)
        charge = np.insert(self.charge, 0, self.battery.start_charge)
        emf = np.asarray(cells.open_circuit_v(self.battery, charge))
        current = np.append(self.current_a, self.current_a[-1])
        return NightPicture(
            time, charge, emf - current * self.ohm[dc.BATTERY_NODE], current, self.floor, _bars(self.stretches)
        )


def steps_of(stretches: Sequence[Stretch]) -> tuple[dc.Floats, dc.Floats, dc.Index]:
    """Steps of five minutes or less that never cross a switching: begin and length [h], and number of the stretch.

    Parameters
    ----------
    stretches : the stay, cut at every switching
    """
    starts, lengths, which = [], [], []
    for number, stretch in enumerate(stretches):
        count = max(1, int(np.ceil(stretch.hours / STEP_H - 1e-9)))
        starts += [stretch.start_h + stretch.hours * k / count for k in range(count)]
        lengths += [stretch.hours / count] * count
        which += [number] * count
    return np.array(starts), np.array(lengths), np.array(which, dtype=int)


def _watts(load: Load, stretch: Stretch, duty: float = 1.0) -> float:
    return load.running_w * duty if load.name in stretch.on else 0.0


def parabola(x: dc.Floats, ys: dc.Floats, at: dc.Floats) -> dc.Floats:
    """Value of parabolas through three points each.

    Parameters
    ----------
    x : [V] the three places
    ys : [A] the three values of each
    at : [V] where to read
    """
    a, b, c = x
    first = (ys[1] - ys[0]) / (b - a)
    second = ((ys[2] - ys[1]) / (c - b) - first) / (c - a)
    value: dc.Floats = ys[0] + (at - a) * (first + (at - b) * second)
    return value


def warm_c(design: Design, insulation: str) -> float:
    """How warm a wire is taken at night [°C]: as the hottest air, or as its insulation stands where that is not known.

    Parameters
    ----------
    design : the design
    insulation : such as ``60 C``
    """
    hottest = design.site.hottest
    return hottest if hottest is not None else float(insulation.split()[0])


def floor_of(battery: Battery) -> float:
    """What should stay in the battery [-]: stated, else by the chemistry."""
    if battery.lowest_charge is not None:
        return battery.lowest_charge
    return 1.0 - cells.limits(battery, "usable_depth")


def _bars(parts: tuple[Stretch, ...]) -> dict[str, tuple[tuple[float, float], ...]]:
    bars: dict[str, list[tuple[float, float]]] = {}
    for stretch in parts:
        for name in sorted(stretch.on):
            pieces = bars.setdefault(name, [])
            if pieces and abs(pieces[-1][1] - stretch.start_h) < 1e-9:
                pieces[-1] = (pieces[-1][0], stretch.end_h)
            else:
                pieces.append((stretch.start_h, stretch.end_h))
    return {name: tuple(pieces) for name, pieces in bars.items()}
