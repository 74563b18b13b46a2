"""One known resistance switched on behind a panel: what meters show at it, at the panel, and against ground."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

SHOWN = (
    "amps", "across", "return rise", "hot to ground", "panel across", "panel return rise", "panel hot to ground",
    "hot drop",
)  # fmt: skip
# Each voltage shown is a share of the source's voltage plus the current times some of the resistances, taken with a
# sign: load, hot to the panel, return to the panel, hot from the panel, return from the panel.
_TAKES = np.array(
    [
        [1.0, 0.0, 0.0, 0.0, 0.0],
        [0.0, 0.0, 1.0, 0.0, 1.0],
        [0.0, -1.0, 0.0, -1.0, 0.0],
        [0.0, -1.0, -1.0, 0.0, 0.0],
        [0.0, 0.0, 1.0, 0.0, 0.0],
        [0.0, -1.0, 0.0, 0.0, 0.0],
        [0.0, 0.0, 0.0, 1.0, 0.0],
    ]
)


@dataclass(frozen=True)
class Shown:
    """What is shown, in the order of ``SHOWN`` (..., 8), and its change by each of what it rests on (..., 8, 6).

    These are the source, the load, and the ways hot to the panel, return to it, hot from it, return from it.
    """

    value: Floats
    gradient: Floats


def with_load(emf_v: Floats, load_ohm: Floats, way_ohm: Floats, hot_share: float = 1.0) -> Shown:
    """Current and voltages with one resistance on, and their exact derivatives.

    The ground wire carries nothing and has the voltage of the source's return, or, between two legs, of the middle.
    Reactance is left out: with a load that is all resistance it turns the drop aside and hardly shortens the voltage.

    Parameters
    ----------
    emf_v : [V] of the source at no load, from hot to return, (...)
    load_ohm : [ohm] the load, (...)
    way_ohm : [ohm] hot to the panel, return to it, hot from the panel on, return from there, (..., 4)
    hot_share : [-] part of the source's voltage that the hot wire has to ground: 1, or 1/2 between two legs

    Returns
    -------
    Shown. ``return rise`` is the return wire's voltage to ground that the current makes, ``hot drop`` what the hot
    wire loses from the panel to the load.

    Source
    ------
    Ohm's and Kirchhoff's laws for a series circuit.
    """
    ohm = np.concatenate([np.asarray(load_ohm, dtype=float)[..., np.newaxis], way_ohm], axis=-1)
    total = ohm.sum(axis=-1)
    amps = emf_v / total
    share = np.array([0.0, 0.0, hot_share, 1.0, 0.0, hot_share, 0.0])
    taken = ohm @ _TAKES.T
    volts = share * np.asarray(emf_v)[..., np.newaxis] + amps[..., np.newaxis] * taken
    by_emf = 1.0 / total
    by_ohm = np.broadcast_to((-amps / total)[..., np.newaxis], ohm.shape)
    amps_by = np.concatenate([by_emf[..., np.newaxis], by_ohm], axis=-1)
    volts_by = taken[..., np.newaxis] * amps_by[..., np.newaxis, :]
    volts_by[..., 0] += share
    volts_by[..., 1:] += amps[..., np.newaxis, np.newaxis] * _TAKES
    return Shown(
        np.concatenate([amps[..., np.newaxis], volts], axis=-1),
        np.concatenate([amps_by[..., np.newaxis, :], volts_by], axis=-2),
    )


def unequal_legs(
    emf_v: Floats, leg_ohm: Floats, neutral_s: Floats, rest_ohm: Floats, opposed: float = -1.0
) -> tuple[Floats, Floats]:
    """Voltages of both legs to neutral at a panel, each leg with a resistance on it.

    Parameters
    ----------
    emf_v : [V] of each leg to neutral at the source, (...)
    leg_ohm : [ohm] source to panel on leg 1 and on leg 2, (..., 2)
    neutral_s : [S] conductance of the neutral between source and panel, 0 where it is open, (...)
    rest_ohm : [ohm] on each leg from the panel through its load back to the neutral bar, (..., 2)
    opposed : [-] voltage of leg 2 as a part of that of leg 1: -1, or 1 where both hang on the same leg

    Returns
    -------
    Two arrays (...), sizes of the voltages [V] of leg 1 and leg 2 to the panel's neutral bar.

    Source
    ------
    Kirchhoff's current law at the neutral bar.
    """
    through = 1.0 / (leg_ohm + rest_ohm)
    first, second = through[..., 0], through[..., 1]
    shift = emf_v * (first + opposed * second) / (neutral_s + first + second)
    one = (emf_v - shift) * first * rest_ohm[..., 0]
    two = (opposed * emf_v - shift) * second * rest_ohm[..., 1]
    return np.abs(one), np.abs(two)
