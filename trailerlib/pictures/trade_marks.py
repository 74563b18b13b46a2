"""What the two drawings of many designs share: which candidates are drawn, and the scale of each metric."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from trailerlib import units
from trailerlib.pictures.canvas import Axis
from trailerlib.studies.trade_offs.choose import axis_words, shown, value_words
from trailerlib.studies.trade_offs.metrics import words_of
from trailerlib.studies.trade_offs.question import Trade
from trailerlib.studies.trade_offs.result import Result

MOST_UNBEATEN, MOST_OTHERS = 120, 60
SIDE = 0.06  # of the span of a metric, left free at its ends


def unbeaten_drawn(trade: Trade) -> list[int]:
    """The unbeaten candidates that are drawn, evenly out of all of them."""
    return _some(trade.unbeaten, MOST_UNBEATEN)


def others_drawn(trade: Trade, scales: Iterable[Scale]) -> list[int]:
    """Others that keep the limits and lie within the scales, evenly out of all of them."""
    rest = trade.allowed.copy()
    rest[trade.unbeaten] = False
    for scale in scales:
        values = trade.result.metrics[scale.key]
        rest &= (values >= scale.low) & (values <= scale.high)
    return _some(np.flatnonzero(rest), MOST_OTHERS)


def _some(rows: np.ndarray[tuple[int], np.dtype[np.intp]], most: int) -> list[int]:
    step = max(1, -(-len(rows) // most))
    return [int(row) for row in rows[::step]]


@dataclass(frozen=True)
class Scale:
    """One metric: its ends among what nothing beats, the design and the limits, in inside units."""

    key: str
    low: float
    high: float

    @classmethod
    def of(cls, trade: Trade, key: str) -> Scale:
        """The scale of a metric that holds what nothing beats, the present design and the limits."""
        ends = [end for end in trade.limits.get(key, ()) if end is not None]
        values = np.concatenate([trade.result.metrics[key][trade.front], [trade.here[key], *ends]])
        known = values[np.isfinite(values)]
        if not known.size:
            return cls(key, 0.0, 1.0)
        low, high = float(known.min()), float(known.max())
        room = SIDE * (high - low) or max(1e-9, abs(high) * SIDE)
        return cls(key, low - room, high + room)

    def axis(self, start: float, end: float) -> Axis:
        """The same in pixels."""
        return Axis(self.low, self.high, start, end)


SHORT = {
    "cost": "Cost", "mass_kg": "Weight", "reserve_h": "Reserve", "worst_drop": "Worst drop", "fuel_day_l": "Fuel a day",
    "lowest": "Lowest charge", "peak_c": "Hottest inside", "generator_w": "To spare", "lost_w": "Lost in wires",
    "tongue": "On the coupler",
}  # fmt: skip


def title_of(key: str) -> str:
    """What a metric is called beside its scale."""
    return SHORT.get(key, words_of(key)[0])


def unit_of(result: Result, key: str) -> str:
    """The unit a metric is shown in, nothing for plain numbers."""
    kind = words_of(key)[1]
    return units.unit(kind, result.base.units) if kind in units.KINDS else "invented" if key == "cost" else ""


def end_words(result: Result, key: str, value: float) -> str:
    """A number at the end of a scale, without its unit.

    Parameters
    ----------
    result : the sweep
    key : the metric
    value : [inside unit] the number
    """
    kind = words_of(key)[1]
    if kind in units.KINDS:
        return units.figures(units.outside(value, kind, result.base.units))
    return shown(result, key, value)


def note_of(trade: Trade, row: int) -> str:
    """All that is known of a candidate, for the pointer that rests on it.

    Parameters
    ----------
    trade : the sweep as it is seen
    row : [-] number of the candidate
    """
    result = trade.result
    said = [f"{title_of(key)} {shown(result, key, float(result.metrics[key][row]))}" for key in trade.by]
    values = [
        f"{axis_words(axis)} {value_words(axis, at[0].item())}"
        for axis, at in zip(result.axes, result.candidates.rows(row, row + 1).at, strict=True)
    ]
    return f"candidate {row}: {'; '.join(said)}. {'; '.join(values)}"
