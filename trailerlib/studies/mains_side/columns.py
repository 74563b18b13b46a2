"""Many states of the mains side side by side: supplies, what runs, sizes; solved in one call, each wire at its heat."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from trailerlib.design.voltages import BETWEEN_LEGS
from trailerlib.physics.conductor import conductor_temperature_c
from trailerlib.physics.mains_network import Phasors, solve_ac
from trailerlib.physics.split_phase import SplitPhaseSolution, solve_split_phase
from trailerlib.studies.circuits import HOTTEST_SHOWN_C
from trailerlib.studies.mains_side.network import Network
from trailerlib.studies.mains_side.shape import PANEL, PEDESTAL, Floats, Shape

SETTLED_K = 1e-3  # a change of temperature that moves a resistance by four parts in a million
MOST_ROUNDS = 8  # each round leaves about a fiftieth of the error
GUESSES = 5  # of temperatures, each at a tenth of what a solution costs
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


@dataclass(frozen=True)
class Columns:
    """What c states of one shape are made of, a column each.

    ``cold`` [ohm] and ``rise`` [ohm/K] are those of each piece of wire, one conductor, (pieces, c); ``contacts`` the
    resistances on the leg and on the neutral in front of each node [ohm], (nodes, c) each; ``heat`` ampacity [A], air
    and rating [°C] of each row, (3, rows, c); ``emf_v`` of a leg [V], (c,).
    """

    shape: Shape
    emf_v: Floats
    cold: Phasors
    rise: Floats
    contacts: tuple[Floats, Floats]
    heat: Floats

    def temperatures(self, current_a: Floats) -> Floats:
        """Temperature of every row [°C]; its rating where it is not known.

        Parameters
        ----------
        current_a : [A] at every node, shape (nodes, c)
        """
        base, gain = self._heating
        return np.minimum(base + gain * current_a[self.shape.heads] ** 2, HOTTEST_SHOWN_C)

    @cached_property
    def _heating(self) -> tuple[Floats, Floats]:
        """Temperature without current [°C] and what the square of an ampere adds [K/A²]; the rating, whatever flows,
        where it is not known.
        """
        amps, air, rating = self.heat
        unknown = np.isnan(amps + air)
        gain = np.asarray(conductor_temperature_c(1.0, amps, air, rating)) - air
        return np.where(unknown, rating, air), np.where(unknown, 0.0, gain)

    def impedances(self, hot_c: Floats) -> tuple[Phasors, Phasors]:
        """Impedance in front of every node, on the leg and on the neutral, one way [ohm], (nodes, c) each.

        Parameters
        ----------
        hot_c : [°C] of each row, shape (rows, c)
        """
        pieces = self.cold + self.rise * hot_c[self.shape.rows]
        warm = pieces[:-1]
        warm[PANEL] += pieces[-1]
        leg, neutral = self.contacts
        return warm + leg, warm + neutral

    def two_wire(self, loads: Loads, between: NDArray[np.bool_]) -> Solved:
        """Every state on a leg and a neutral of its own, or on two legs where it runs between them.

        Parameters
        ----------
        loads : [VA], [S], [A] held power, admittance and held current at every node, (nodes, c) each
        between : [-] whether a state runs from leg to leg, (c,)
        """
        power, siemens, amps = (part[PANEL:] for part in loads)
        emf = self.emf_v * np.where(between, BETWEEN_LEGS, 1.0)
        hot, volt, amp = self._warm(emf, loads, between)
        for _ in range(MOST_ROUNDS):
            leg, back = self._there_and_back(hot, between)
            # nothing hangs on the pedestal: what flows inside it flows in the cord, so that both are one branch
            inside, ohm = (leg + back)[PEDESTAL], (leg + back)[PANEL:]
            ohm[0] += inside
            found = solve_ac(
                self.shape.from_panel, emf, ohm, power_va=power, admittance_s=siemens, current_a=amps,
                start=(volt[PANEL:], amp[PANEL:]),
            )  # fmt: skip
            all_a = found.branch_current_a[:1]
            volt = np.concatenate([emf - inside * all_a, found.voltage_v])
            amp = np.concatenate([all_a, found.branch_current_a])
            warmed, hot, over = self._warmer(hot, no_limit(amp))
            if over:
                break
        return Solved(volt, amp, leg, back, warmed)

    def three_wire(self, loads: tuple[Loads, Loads, Loads]) -> tuple[SplitPhaseSolution, Phasors, Phasors, Floats]:
        """Every state on two legs that share the neutral; cord and inlet wire are as warm as the fuller leg.

        Parameters
        ----------
        loads : held powers [VA], admittances [S] and held currents [A], each on leg 1, on leg 2 and between the legs,
            (nodes, c)

        Returns
        -------
        What was solved, the impedance of a leg and of the neutral [ohm] (nodes, c) and the temperatures [°C] (rows, c).
        """
        power, siemens, amps = loads
        hot = self._warm_legs(loads)
        for _ in range(MOST_ROUNDS):
            leg, neutral = self.impedances(hot)
            found = solve_split_phase(
                self.shape.tree, self.emf_v, leg, leg, neutral, power_va=power, admittance_s=siemens, current_a=amps
            )
            warmed, hot, over = self._warmer(hot, no_limit(found.leg_current_a).max(axis=0))
            if over:
                break
        return found, leg, neutral, warmed

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

    def _warm(self, emf: Floats, loads: Loads, between: NDArray[np.bool_]) -> tuple[Floats, Phasors, Phasors]:
        """A first guess of temperatures [°C], voltages [V] and currents [A]: a few rounds of drawing at the voltages of
        the round before.

        Only a guess: the network is solved with it, and again for as long as the temperatures still move.
        """
        power, siemens, amps = loads
        below, above = self.shape.below, self.shape.below.T
        volt = np.full(power.shape, emf, dtype=complex)  # each state at its own
        for _ in range(GUESSES):  # as many for every state, so that none answers otherwise for its neighbours
            flows = below @ ((power / volt).conj() + siemens * volt + amps * volt / np.abs(volt))
            hot = self.temperatures(np.abs(flows))
            leg, back = self._there_and_back(hot, between)
            lost = above @ ((leg + back) * flows)
            volt = np.where(np.abs(lost) < emf / 2.0, emf - lost, emf / 2.0)
        return hot, volt, flows

    def _warm_legs(self, loads: tuple[Loads, Loads, Loads]) -> Floats:
        """The same first guess on two legs that share the neutral: temperatures [°C]."""
        power, siemens, amps = (np.array(part) for part in loads)
        below, above = self.shape.below, self.shape.below.T
        emf = np.array([1.0, 1.0, BETWEEN_LEGS])[:, np.newaxis, np.newaxis] * self.emf_v
        volt = np.full(power.shape, emf, dtype=complex)
        for _ in range(GUESSES):
            first, second, between = below @ ((power / volt).conj() + siemens * volt + amps * volt / np.abs(volt))
            legs = np.array([first + between, second + between])
            hot = self.temperatures(np.abs(legs).max(axis=0))
            leg, neutral = self.impedances(hot)
            shared = neutral * (legs[0] - legs[1])
            lost = above @ np.array([leg * legs[0] + shared, leg * legs[1] - shared])
            lost = np.concatenate([lost, lost.sum(axis=0, keepdims=True)])
            volt = np.where(np.abs(lost) < emf / 2.0, emf - lost, emf / 2.0)
        return hot


def columns(nets: Sequence[Network], emf_v: Sequence[float], each: int = 1) -> Columns:
    """The states of several networks of one shape, so many of each next to one another.

    Parameters
    ----------
    nets : the networks
    emf_v : [V] voltage of a leg at no load, of each
    each : [-] states of each
    """
    wires, contacts = [net.wire for net in nets], [net.contacts for net in nets]
    cold, rise = (np.repeat(np.array(part).T, each, axis=1) for part in zip(*wires, strict=True))
    leg, neutral = (np.repeat(np.array(part).T, each, axis=1) for part in zip(*contacts, strict=True))
    heat = np.repeat(np.array([net.heat for net in nets]).transpose(1, 2, 0), each, axis=2)
    return Columns(nets[0].shape, np.repeat(np.array(emf_v), each), cold, rise, (leg, neutral), heat)


def no_limit(current_a: Phasors) -> Floats:
    """Sizes of currents [A]; where the voltage collapses no current is too large."""
    return np.nan_to_num(np.abs(current_a), nan=ENDLESS_A, posinf=ENDLESS_A)
