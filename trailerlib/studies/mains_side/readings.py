"""What is read off solved states with one branch on in each: its voltages, its current, the rating that asks for."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from trailerlib.studies.mains_side.columns import Solved
from trailerlib.studies.mains_side.shape import FIRST, PANEL, PEDESTAL, Floats, Places, Shape


class Own(NamedTuple):
    """One branch, all of it on and nothing else: sizes of the voltages at the pedestal, at the panel and at its lowest
    end [V], of its current [A], the rating that asks for [A], the heat of its wire [°C].

    Not a number, but for the heat, where the voltage collapses.
    """

    pedestal_v: float
    panel_v: float
    end_v: float
    current_a: float
    asked_a: float
    wire_c: float

    @property
    def collapsed(self) -> bool:
        """Whether nothing arrives."""
        return self.end_v != self.end_v


class Readings:
    """Voltages of all states, and of those with one branch on what is read off that branch."""

    def __init__(self, shape: Shape, solved: Solved, places: Places, rows: Places) -> None:
        """``places`` are the states with one branch on, ``rows`` the branch of each."""
        self.sizes_v: Floats = np.abs(solved.volt)
        self.own = _own(shape, solved, self.sizes_v, places, rows)


def _own(shape: Shape, solved: Solved, sizes_v: Floats, places: Places, rows: Places) -> list[Own]:
    if not places.size:
        return []
    owns, heads = shape.outline.owns[:, rows], shape.outline.heads[FIRST:][rows]
    volt, amp = sizes_v[:, places], solved.amp[heads, places]
    ends = np.where(owns > 0.0, volt, np.inf).min(axis=0)
    asked = shape.asked_a(owns, solved.volt[:, places], amp)
    hot = solved.hot_c[FIRST + rows, places]
    columns = (volt[PEDESTAL], volt[PANEL], ends, np.abs(amp), asked, hot)
    return [Own(*one) for one in np.array(columns).T.tolist()]
