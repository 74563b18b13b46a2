"""What is asked of a supply: everything at once, the busiest moment of its stays, and what lasts three hours."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trailerlib.design.design import Design
from trailerlib.design.model import Supply
from trailerlib.studies.legs import arriving_legs, leg_volts
from trailerlib.studies.mains import LONG_H, Moment, everything, least_a, moments, rating_a
from trailerlib.studies.timetable import stays_on


@dataclass(frozen=True)
class Asked:
    """One supply with what is asked of it: everything at once, its busiest moment, what lasts, all in A."""

    supply: Supply
    gives_a: float
    every_a: float
    peak: Moment
    peak_a: float
    lasting_a: float | None
    spread_known: bool

    @property
    def has_stay(self) -> bool:
        """Whether any stay lives on it."""
        return self.lasting_a is not None


def asked_of(design: Design, supply: Supply) -> Asked:
    """What is asked of one supply of a design."""
    arriving = arriving_legs(design, supply)
    whole = everything(design, arriving)
    stays = [moments(design, stay, arriving) for stay in stays_on(design, supply.name)]
    peak = max((m for row in stays for m in row), key=lambda m: least_a(supply, m, arriving), default=whole)
    lasting = max((_lasting_a(supply, row, arriving) for row in stays), default=None)
    gives = rating_a(supply)
    placed = all(m.leg_va is not None for m in (peak, *(m for row in stays for m in row)))
    return Asked(
        supply,
        gives,
        least_a(supply, whole, arriving),
        peak,
        least_a(supply, peak, arriving),
        lasting,
        arriving == 1 or placed or peak.va / leg_volts(supply) <= gives,
    )


def _lasting_a(supply: Supply, row: tuple[Moment, ...], arriving: int) -> float:
    """Largest current of a leg that holds for three hours or more [A]; spread evenly where not every leg is given."""
    volts = leg_volts(supply)
    legs_va = [m.leg_va for m in row if m.leg_va is not None]
    if arriving == 2 and len(legs_va) == len(row):
        return max(_lasting_va(row, [va[k] for va in legs_va]) for k in (0, 1)) / volts
    return _lasting_va(row, [m.va for m in row]) / arriving / volts


def _lasting_va(row: tuple[Moment, ...], va: Sequence[float]) -> float:
    """Largest apparent power that holds for three hours or more [VA]; 0 when the stay is shorter."""
    best = 0.0
    for first in range(len(row)):
        total, lowest = 0.0, float("inf")
        for m, drawn in zip(row[first:], va[first:], strict=True):
            total, lowest = total + m.hours, min(lowest, drawn)
            if total >= LONG_H - 1e-9:
                best = max(best, lowest)
                break
    return best
