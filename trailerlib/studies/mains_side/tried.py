"""Wire sizes tried on one branch: states beside the others with each size in turn, and what they say of it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from trailerlib.design.model import Circuit
from trailerlib.design.voltages import BETWEEN_LEGS
from trailerlib.studies.circuits import air_c, may_carry
from trailerlib.studies.legs import leg_volts
from trailerlib.studies.mains_side.columns import Blank
from trailerlib.studies.mains_side.network import Network
from trailerlib.studies.mains_side.readings import Own
from trailerlib.studies.mains_side.shape import FIRST, Shape, heat_of, line_of
from trailerlib.studies.trial import Trial


class Sized(NamedTuple):
    """One size behind one breaker: drop from the panel as a share of nominal [-], current, rating it asks for [A].

    All is lost where the voltage collapses, and no current is known then.
    """

    drop: float
    current_a: float | None
    asked_a: float | None


def fit(states: Blank, row: int, branch: Circuit, sizes: Sequence[str], places: Sequence[int]) -> None:
    """Put each size in turn on one branch in some of the states, over and over.

    Parameters
    ----------
    states : the states
    row : [-] which circuit of their shape
    branch : the circuit
    sizes : names of the wires
    places : [-] the states, as many for each size
    """
    shape, design, times = states.shape, states.shape.design, len(places) // len(sizes)
    cold, rise, reactance = np.array([line_of(wire, design.practice) for wire in sizes]).T
    here = np.ix_(shape.nodes[row], places)
    states.cold[here], states.rise[here] = np.tile(cold + 1j * reactance, times), np.tile(rise, times)
    air = air_c(design, branch)
    heat = np.array([heat_of(may_carry(design, branch, wire), air) for wire in sizes]).T
    states.heat[:, FIRST + row, places] = np.tile(heat, times)


def row_of(shape: Shape, trial: Trial | None) -> int | None:
    """Which of a shape's circuits is tried; None where none is, or it has no nodes there.

    Parameters
    ----------
    shape : the shape
    trial : what is tried
    """
    names = [circuit.name for circuit in shape.circuits]
    return None if trial is None or trial.circuit not in names else names.index(trial.circuit)


def sized(net: Network, branch: Circuit, own: Sequence[Own]) -> list[Sized]:
    """What each size does behind one supply.

    Parameters
    ----------
    net : the network
    branch : the circuit that is tried
    own : what is read off it with each size, the branch fully on and nothing else
    """
    nominal = leg_volts(net.supply) * (BETWEEN_LEGS if branch.between_legs else 1.0)
    return [
        Sized(1.0, None, None)
        if one.collapsed
        else Sized((one.panel_v - one.end_v) / nominal, one.current_a, one.asked_a)
        for one in own
    ]
