"""What the way from the supply to the panel takes off the voltage: a bound that holds for every set that is allowed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import sqrt

from trailerlib.design.design import Design
from trailerlib.design.model import Supply
from trailerlib.studies.legs import arriving_legs
from trailerlib.studies.mains_side.cord import CORD_RATING_C, CORD_TABLE_AIR_C, cord_of, path_ohm, source_ohm

MOST_ROUNDS = 60
SETTLED_V = 1e-9
LOWEST_SHARE = 0.5  # under half of its voltage nothing here runs, and no load that holds its power has a solution


@dataclass(frozen=True)
class AtPanel:
    """Voltages of a leg to neutral [V]: at no load, and the lowest and highest at the panel of any set that is allowed.

    ``loss_v`` is the most power the way from the supply takes for each ampere [W/A].
    """

    open_v: float
    lowest_v: float
    highest_v: float
    loss_v: float = 0.0


def stiff(volts: float) -> AtPanel:
    """A panel that keeps its voltage whatever is drawn.

    Parameters
    ----------
    volts : [V] of a leg to neutral
    """
    return AtPanel(volts, volts, volts)


def at_panel(
    design: Design, supply: Supply, open_v: float, most_a: float, all_on_a: Callable[[AtPanel], float]
) -> AtPanel:
    """The voltages a set of loads is reckoned with: what heats at the highest, what holds its power at the lowest.

    No set that is allowed draws more from a leg than ``most_a``, nor than everything at once. The voltage at the panel
    is then at least the one at no load less that current times the size of the impedance of source, cord, plugs,
    adapters and main breaker, the cord as hot as its rating lets it be. On two legs the shared neutral may lift the
    lighter leg above it, by no more than the other's current times the neutral's impedance. This closes: where the
    currents at these voltages pass no limit, the true voltages lie between them and the true currents below (Brouwer;
    currents at one node lag one voltage by less than a quarter turn, so that a larger part never makes a smaller sum).
    What heats draws less at a lower voltage; that is not counted, so that one more load never makes room for another.

    On one leg the sums are never too small, and too large by at most the share ``1 - lowest_v / open_v``: near the
    limit for what heats, far under it for what holds its power. On two legs what the neutral lifts comes on top, and
    the two voltages turn against one another by less than a degree, so that a sum of loads on one leg and loads between
    both may be too small by 0.1 %. Of a generator only its cord drops: its regulator holds its own terminals.

    Parameters
    ----------
    design : the design
    supply : what feeds the mains side
    open_v : [V] of a leg to neutral at no load
    most_a : [A] the lowest limit of a leg on the way
    all_on_a : current [A] of the fuller leg with everything on, at given voltages

    Source
    ------
    Kirchhoff's voltage law and the triangle inequality. The neutral of two legs carries at most the square root of two
    times the larger current, as two currents that lag by less than a quarter turn stand at right angles or nearer.
    """
    cord = cord_of(design, supply)
    if cord is None:
        return stiff(open_v)
    hot = max(
        CORD_RATING_C, (CORD_TABLE_AIR_C if cord.air_c is None else cord.air_c) + CORD_RATING_C - CORD_TABLE_AIR_C
    )
    path, inside = path_ohm(design, supply, cord, hot), source_ohm(supply)
    ohm, lifts = abs(path) + inside, 0.0
    if arriving_legs(design, supply) == 2:
        ohm, lifts = ohm * (1.0 + sqrt(2.0)) / 2.0, ohm / 2.0
    at = stiff(open_v)
    for _ in range(MOST_ROUNDS):
        amps, before = min(most_a, all_on_a(at)), at
        lowest = max(LOWEST_SHARE * open_v, open_v - ohm * amps)
        at = AtPanel(open_v, lowest, open_v + lifts * amps, (path.real + inside) * amps)
        if abs(at.lowest_v - before.lowest_v) < SETTLED_V:
            break
    return at
