"""The mains side behind one supply, by the supply's name: what most tests ask for."""

from __future__ import annotations

import trailerlib as tl
from trailerlib.studies import mains_side as ms


def solved(design: tl.Design, supply: str) -> ms.MainsSide:
    (side,) = ms.solve(design, [design.supply(supply)])
    return side


def far_end_a(design: tl.Design, supply: str, circuit: str) -> float | None:
    """A dead short at the far end of a branch as it is fitted [A]."""
    branch = design.circuit(circuit)
    return ms.far_ends_a(design, [design.supply(supply)], branch, [branch.wire]).get(branch.wire)
