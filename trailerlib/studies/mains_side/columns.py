"""Many states of the mains side side by side: supplies, what runs, sizes; solved in one call, each wire at its heat."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trailerlib.design.voltages import BETWEEN_LEGS
from trailerlib.physics.conductor import conductor_temperature_c
from trailerlib.physics.mains_network import Phasors, solve_ac
from trailerlib.physics.split_phase import solve_split_phase
from trailerlib.studies.circuits import HOTTEST_SHOWN_C
from trailerlib.studies.mains_side.network import Ahead
from trailerlib.studies.mains_side.shape import CORD, FIRST, INLET, PANEL, PEDESTAL, Floats, Shape
from trailerlib.studies.mains_side.swept import Swept, swept

SETTLED_K = 1e-3  # a change of temperature that moves a resistance by four parts in a million
MOST_ROUNDS = 8  # each round leaves about a fiftieth of the error
ENDLESS_A = 1e6  # stands for a current that nothing limits

Loads = tuple[Phasors, Phasors, Phasors]


@dataclass(frozen=True)
class Solved:
    """States solved, c of them: voltages [V] and branch currents [A], impedance on the leg and on the way back [ohm],
    (nodes, c) each; temperatures [°C], (rows, c).
    """

    volt: Phasors
    amp: Phasors
    leg_ohm: Phasors
    back_ohm: Phasors
    hot_c: Floats

    def where(self, here: NDArray[np.bool_], other: Solved) -> Solved:
        """These states here, the other ones elsewhere."""
        return Solved(*(np.where(here, mine, theirs) for mine, theirs in _pairs(self, other)))


@dataclass(frozen=True)
class SolvedLegs:
    """The same of states on two legs: voltage of each leg to neutral [V] and current on it [A], (2, nodes, c) each."""

    leg_v: Phasors
    leg_a: Phasors
    leg_ohm: Phasors
    neutral_ohm: Phasors
    hot_c: Floats

    @property
    def neutral_a(self) -> Phasors:
        """What leg 1 carries more than leg 2 [A], (nodes, c)."""
        return np.asarray(self.leg_a[0] - self.leg_a[1])

    def where(self, here: NDArray[np.bool_], other: SolvedLegs) -> SolvedLegs:
        """These states here, the other ones elsewhere."""
        return SolvedLegs(*(np.where(here, mine, theirs) for mine, theirs in _pairs(self, other)))


def _pairs(one: Any, other: Any) -> Iterator[tuple[Any, Any]]:
    return zip(vars(one).values(), vars(other).values(), strict=True)


@dataclass(frozen=True)
class Blank:
    """What c states of one shape are made of, a column each, but for the lengths of the branches.

    ``cold`` [ohm/m] and ``rise`` [ohm/m/K] are those of each piece of wire, one conductor, (pieces, c), in all [ohm],
    [ohm/K] where they are of cord and inlet wire; ``contacts`` the resistances on the leg and on the neutral in front
    of each node [ohm], (nodes, c) each; ``heat`` ampacity [A], air and rating [°C] of each row, (3, rows, c);
    ``emf_v`` of a leg [V], (c,).
    """

    shape: Shape
    emf_v: Floats
    cold: Phasors
    rise: Floats
    contacts: tuple[Floats, Floats]
    heat: Floats

    @cached_property
    def heating(self) -> tuple[Floats, Floats]:
        """Temperature without current [°C] and what the square of an ampere adds [K/A²]; the rating, whatever flows,
        where it is not known.
        """
        amps, air, rating = self.heat
        unknown = np.isnan(amps + air)
        gain = np.asarray(conductor_temperature_c(1.0, amps, air, rating)) - air
        return np.where(unknown, rating, air), np.where(unknown, 0.0, gain)

    def of(self, lengths_m: Sequence[float]) -> Columns:
        """The states with so many metres of wire in front of each node [m], (nodes,)."""
        metres = np.array([*lengths_m, 1.0])[:, np.newaxis]
        metres[PANEL] = 1.0
        return Columns(self, metres * self.cold, metres * self.rise)


@dataclass(frozen=True)
class Columns:
    """States of one shape, c of them. ``cold`` [ohm] and ``rise`` [ohm/K] are those of each piece, one conductor,
    (pieces, c).
    """

    blank: Blank
    cold: Phasors
    rise: Floats

    @property
    def shape(self) -> Shape:
        """What lies behind the panel."""
        return self.blank.shape

    def temperatures(self, current_a: Floats) -> Floats:
        """Temperature of every row [°C]; its rating where it is not known.

        Parameters
        ----------
        current_a : [A] at every node, shape (nodes, c)
        """
        base, gain = self.blank.heating
        return np.minimum(base + gain * current_a[self.shape.outline.heads] ** 2, HOTTEST_SHOWN_C)

    def impedances(self, hot_c: Floats) -> tuple[Phasors, Phasors]:
        """Impedance in front of every node, on the leg and on the neutral, one way [ohm], (nodes, c) each.

        Parameters
        ----------
        hot_c : [°C] of each row, shape (rows, c)
        """
        pieces = self.cold + self.rise * hot_c[self.shape.outline.rows]
        warm = pieces[:-1]
        warm[PANEL] += pieces[-1]
        leg, neutral = self.blank.contacts
        return warm + leg, warm + neutral

    def two_wire(self, loads: Loads, between: NDArray[np.bool_]) -> Solved:
        """Every state on a leg and a neutral of its own, or on two legs where it runs between them.

        Parameters
        ----------
        loads : [VA], [S], [A] held power, admittance and held current at every node, (nodes, c) each
        between : [-] whether a state runs from leg to leg, (c,)
        """
        emf = self.blank.emf_v * np.where(between, BETWEEN_LEGS, 1.0)
        found = self._swept(emf, loads, between)
        quick = Solved(found.volt, found.amp, *self._there_and_back(found.hot_c, between), found.hot_c)
        return quick if found.settled.all() else quick.where(found.settled, self._stepped(emf, loads, between))

    def three_wire(self, loads: tuple[Loads, Loads, Loads]) -> SolvedLegs:
        """Every state on two legs that share the neutral; cord and inlet wire are as warm as the fuller leg.

        Parameters
        ----------
        loads : held powers [VA], admittances [S] and held currents [A], each on leg 1, on leg 2 and between the legs,
            (nodes, c)
        """
        found = self._swept_legs(loads)
        legs = SolvedLegs(found.volt[:2], found.amp, *self.impedances(found.hot_c), found.hot_c)
        return legs if found.settled.all() else legs.where(found.settled, self._stepped_legs(loads))

    def _stepped(self, emf: Floats, loads: Loads, between: NDArray[np.bool_]) -> Solved:
        """By Newton's steps, again for as long as the temperatures still move."""
        power, siemens, amps = (part[PANEL:] for part in loads)
        hot = self._rated
        for _ in range(MOST_ROUNDS):
            leg, back = self._there_and_back(hot, between)
            # nothing hangs on the pedestal: what flows inside it flows in the cord, so that both are one branch
            inside, ohm = (leg + back)[PEDESTAL], (leg + back)[PANEL:]
            ohm[0] += inside
            found = solve_ac(self.shape.from_panel, emf, ohm, power_va=power, admittance_s=siemens, current_a=amps)
            all_a = found.branch_current_a[:1]
            volt = np.concatenate([emf - inside * all_a, found.voltage_v])
            amp = np.concatenate([all_a, found.branch_current_a])
            warmed, hot, over = self._warmer(hot, no_limit(amp))
            if over:
                break
        return Solved(volt, amp, leg, back, warmed)

    def _stepped_legs(self, loads: tuple[Loads, Loads, Loads]) -> SolvedLegs:
        power, siemens, amps = loads
        hot = self._rated
        for _ in range(MOST_ROUNDS):
            leg, neutral = self.impedances(hot)
            found = solve_split_phase(
                self.shape.tree,
                self.blank.emf_v,
                leg,
                leg,
                neutral,
                power_va=power,
                admittance_s=siemens,
                current_a=amps,
            )
            warmed, hot, over = self._warmer(hot, no_limit(found.leg_current_a).max(axis=0))
            if over:
                break
        return SolvedLegs(found.leg_v, found.leg_current_a, leg, neutral, warmed)

    @property
    def _rated(self) -> Floats:
        """Every wire as warm as its rating."""
        return np.array(self.blank.heat[2])

    @cached_property
    def _rise_there_and_back(self) -> Floats:
        return 2.0 * self.rise

    def _warmer(self, used_c: Floats, current_a: Floats) -> tuple[Floats, Floats, bool]:
        """Temperatures with the currents found, those to go on with [°C], and whether all have settled.

        A state that has settled keeps the ones it was solved with, however long its neighbours take.
        """
        warmed = self.temperatures(current_a)
        moving = np.abs(warmed - used_c).max(axis=0) >= SETTLED_K
        return warmed, np.where(moving, warmed, used_c), not moving.any()

    def _there_and_back(self, hot_c: Floats, between: NDArray[np.bool_]) -> tuple[Phasors, Phasors]:
        leg, neutral = self.impedances(hot_c)
        return leg, np.where(between, leg, neutral)

    def _swept(self, emf: Floats, loads: Loads, between: NDArray[np.bool_]) -> Swept:
        power, siemens, amps = loads
        below, above, held = self.shape.outline.below, self.shape.outline.above, bool(amps.any())
        leg, back = self._there_and_back(np.zeros(self.blank.heat[0].shape), between)
        loop = leg + back

        def one_round(volt: Phasors) -> tuple[Phasors, Phasors, Floats]:
            flows = below @ _drawn(volt, power, siemens, amps if held else None)
            hot, warm = self._warmth((flows * flows.conj()).real)
            return np.subtract(emf, above @ ((loop + warm) * flows)), flows, hot

        return swept(one_round, np.full(power.shape, emf, dtype=complex))

    def _swept_legs(self, loads: tuple[Loads, Loads, Loads]) -> Swept:
        power, siemens, amps = (np.array(part) for part in loads)
        below, above, held = self.shape.outline.below, self.shape.outline.above, bool(amps.any())
        emf = np.array([1.0, 1.0, BETWEEN_LEGS])[:, np.newaxis, np.newaxis] * self.blank.emf_v
        leg, neutral = self.impedances(np.zeros(self.blank.heat[0].shape))

        def one_round(volt: Phasors) -> tuple[Phasors, Phasors, Floats]:
            first, second, both = below @ _drawn(volt, power, siemens, amps if held else None)
            legs = np.array([first + both, second + both])
            hot, loop = self._warmth((legs * legs.conj()).real.max(axis=0))
            warm = loop / 2.0
            shared = (neutral + warm) * (legs[0] - legs[1])
            lost = above @ ((leg + warm) * legs + np.array([shared, -shared]))
            return emf - np.concatenate([lost, lost.sum(axis=0, keepdims=True)]), legs, hot

        return swept(one_round, np.full(power.shape, emf, dtype=complex))

    def _warmth(self, square_a2: Floats) -> tuple[Floats, Floats]:
        """Temperatures [°C] by the squares of the currents [A2], and what they add to the loop at every node [ohm]."""
        base, gain = self.blank.heating
        hot = np.minimum(base + gain * square_a2.take(self.shape.outline.heads, axis=0), HOTTEST_SHOWN_C)
        pieces = self._rise_there_and_back * hot.take(self.shape.outline.rows, axis=0)
        warm = pieces[:-1]
        warm[PANEL] += pieces[-1]
        return hot, warm


def _drawn(volt: Phasors, power: Phasors, siemens: Phasors, amps: Phasors | None) -> Phasors:
    """What the loads draw at these voltages [A]; ``amps`` None where no load holds its current."""
    drawn = (power / volt).conj() + siemens * volt
    return drawn if amps is None else drawn + amps * volt / np.abs(volt)


def blank(shape: Shape, ahead: Sequence[Ahead], emf_v: Sequence[float], each: int = 1) -> Blank:
    """The states of a shape behind several supplies, so many of each next to one another.

    Parameters
    ----------
    shape : the shape
    ahead : what lies in front of it behind each supply
    emf_v : [V] voltage of a leg at no load, of each
    each : [-] states of each
    """
    front, count = np.array([[*one.cord, *one.inlet, *one[2:]] for one in ahead]).T, len(ahead)
    cord, inlet, (source, out, home) = front[:7], front[7:14], front[14:]
    cold, rise = np.empty((len(shape.outline.rows), count), dtype=complex), np.empty((len(shape.outline.rows), count))
    cold[:-1], rise[:-1] = (part[:, np.newaxis] for part in shape.lines)
    for piece, (ohm, per_k, reactance, run_m, *_) in ((PANEL, cord), (-1, inlet)):
        cold[piece], rise[piece] = run_m * (ohm + 1j * reactance), run_m * per_k
    leg, neutral = (np.repeat(part[:, np.newaxis], count, axis=1) for part in shape.contacts)
    leg[PEDESTAL] = neutral[PEDESTAL] = source
    leg[PANEL], neutral[PANEL] = out, home
    heat = np.empty((3, FIRST + len(shape.circuits), count))
    heat[:, CORD], heat[:, INLET], heat[:, FIRST:] = cord[4:], inlet[4:], shape.heat.T[:, :, np.newaxis]
    of_net = np.arange(count * each) // each
    rise, leg, neutral, heat = (part.take(of_net, axis=-1) for part in (rise, leg, neutral, heat))
    return Blank(shape, np.array(emf_v)[of_net], cold.take(of_net, axis=-1), rise, (leg, neutral), heat)


def no_limit(current_a: Phasors) -> Floats:
    """Sizes of currents [A]; where the voltage collapses no current is too large."""
    return np.nan_to_num(np.abs(current_a), nan=ENDLESS_A, posinf=ENDLESS_A)
