"""Wire sizes tried on one branch: states beside the others with each size in turn, and what they say of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from trailerlib.design.model import Circuit
from trailerlib.design.voltages import BETWEEN_LEGS
from trailerlib.studies.circuits import air_c, may_carry
from trailerlib.studies.legs import leg_volts
from trailerlib.studies.mains_side.columns import Columns, Solved
from trailerlib.studies.mains_side.network import Network
from trailerlib.studies.mains_side.shape import FIRST, PANEL, Shape, heat_of, line_of
from trailerlib.studies.trial import Trial


@dataclass(frozen=True)
class Sized:
    """One size behind one breaker: drop from the panel as a share of nominal [-], current, rating it asks for [A].

    All is lost where the voltage collapses, and no current is known then.
    """

    drop: float
    current_a: float | None
    asked_a: float | None


def fit(whole: Columns, row: int, branch: Circuit, sizes: Sequence[str], places: Sequence[int]) -> None:
    """Put each size in turn on one branch in some of the states, over and over.

    Parameters
    ----------
    whole : the states
    row : [-] which circuit of their shape
    branch : the circuit
    sizes : names of the wires
    places : [-] the states, as many for each size
    """
    shape, design = whole.shape, whole.shape.design
    pieces, times = shape.nodes[row], len(places) // len(sizes)
    lengths, air = np.array([[shape.lengths_m[node]] for node in pieces]), air_c(design, branch)
    cold, rise, reactance = np.tile(np.array([line_of(wire, design.practice) for wire in sizes]).T, times)
    here = np.ix_(pieces, places)
    whole.cold[here], whole.rise[here] = lengths * (cold + 1j * reactance), lengths * rise
    heat = np.array([heat_of(may_carry(design, branch, wire), air) for wire in sizes]).T
    whole.heat[:, FIRST + row, places] = np.tile(heat, times)


def row_of(shape: Shape, trial: Trial | None) -> int | None:
    """Which of a shape's circuits is tried; None where none is, or it has no nodes there.

    Parameters
    ----------
    shape : the shape
    trial : what is tried
    """
    names = [circuit.name for circuit in shape.circuits]
    return None if trial is None or trial.circuit not in names else names.index(trial.circuit)


def read(shape: Shape, solved: Solved, row: int, nets: Sequence[Network], places: Sequence[int]) -> list[list[Sized]]:
    """What each size does behind each of several supplies.

    Parameters
    ----------
    shape : the shape of the states
    solved : the states, solved, the branch fully on and nothing else
    row : [-] which circuit of the shape was tried
    nets : the networks
    places : [-] the states, those of one network next to one another
    """
    nodes, each = list(shape.nodes[row]), len(places) // len(nets)
    volt, amps = solved.volt[:, places], solved.amp[nodes[0], places]
    volts, times = np.abs(volt), BETWEEN_LEGS if shape.circuits[row].between_legs else 1.0
    nominal = np.repeat([times * leg_volts(net.supply) for net in nets], each)
    lost = (volts[PANEL] - volts[nodes].min(axis=0)) / nominal
    asked = shape.asked_a(shape.owns[:, row : row + 1], volt, amps)
    said = zip(lost.tolist(), np.abs(amps).tolist(), asked.tolist(), strict=True)
    found = [Sized(1.0, None, None) if drop != drop else Sized(drop, *flows) for drop, *flows in said]
    return [found[k : k + each] for k in range(0, len(found), each)]
