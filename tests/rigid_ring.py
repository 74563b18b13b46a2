"""What each bow would take under a ring that neither bends nor warps: the limit of rails that are ever stiffer.

A stiff body on springs sinks, and leans along and across; two rails may still lean each by itself, so it is their limit
only where left and right are alike. Worked out from single bows, apart from the grillage of ``physics.roof``.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics import beam
from trailerlib.physics.beam import Loads
from trailerlib.physics.cut_bow import stub_fixity, stub_tip_n_m, stubs
from trailerlib.physics.roof import RailLoads, Rails, RoofBow

Floats = NDArray[np.float64]


def rigid_ring_n(bows: Sequence[RoofBow], under: Rails, loads: RailLoads) -> Floats:
    """What the ring presses on each bow at each rail [N], shape (k, 2); every bow lies under it."""
    across = np.array(under.across_m)
    begin, end = loads.over_m or (0.0, 0.0)
    spread = np.asarray(loads.per_m_n) * (end - begin)
    down = np.sum(loads.force_n, axis=-1) + spread
    along = np.sum(loads.force_n * loads.at_m, axis=-1) + spread * 0.5 * (begin + end)
    push, stiff = np.array([down.sum(), along.sum(), down @ across]), np.zeros((3, 3))
    lay = [np.stack([np.ones(2), np.full(2, one.at_m), across], axis=-1) for one in bows]
    felt = [_spring(one, across) for one in bows]
    for one, (spring, held), g in zip(bows, felt, lay, strict=True):
        stiff += g.T @ spring @ g
        stiff[1, 1] += one.twist_nm2 / across[0] + one.twist_nm2 / (one.bow.span_m - across[1])
        push += held @ g
    sunk = np.linalg.solve(stiff, push)
    return np.stack([spring @ (g @ sunk) - held for (spring, held), g in zip(felt, lay, strict=True)])


def _spring(one: RoofBow, across: Floats) -> tuple[Floats, Floats]:
    """Force for each metre that a bow sinks at the rails [N/m], and what its own loads press on them unsunk [N]."""
    bow = one.bow
    if one.cut:
        reach = across[0], bow.span_m - across[1]
        held = [float(beam.solved(*stub).reactions_n()[1]) for stub in stubs(bow, one.own, across)]
        tips = [
            stub_tip_n_m(bow.ei_nm2, stub_fixity(fixity, length, bow.span_m), length)
            for fixity, length in zip((bow.left, bow.right), reach, strict=True)
        ]
        return np.diag(tips), np.array(held)
    gives = np.stack([beam.solved(bow, Loads(np.ones(1), np.array([x]))).deflection_m(across) for x in across], axis=-1)
    spring: Floats = np.linalg.inv(gives)
    return spring, spring @ beam.solved(bow, one.own).deflection_m(across)
