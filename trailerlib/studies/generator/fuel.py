"""Fuel: over the stays on a generator, a day, and how long a tank lasts."""

from __future__ import annotations

from dataclasses import dataclass

from trailerlib.design.supply_classes import GeneratorKind
from trailerlib.physics.engine import fuel_l_per_h, tank_hours
from trailerlib.studies.generator.asked import Asked

DAY_H = 24.0


@dataclass(frozen=True)
class Fuel:
    """Fuel of the stays on a generator: over them all and a day [L], hours a day it runs, hours a tank lasts [h].

    A day holds every stay once; stays of more than a day together are spread over as many days as they last.
    """

    litres: float | None
    day_l: float | None
    day_h: float | None
    tank_h: float | None


def fuel_of(asked: Asked, kind: GeneratorKind | None) -> Fuel:
    """Fuel by the timetable of the stays, by the class's straight line in the mean load of every moment."""
    hours = sum(m.hours for m in asked.moments) if asked.has_stay else 0.0
    if kind is None or hours <= 0:
        return Fuel(None, None, None, None)
    rates = [float(fuel_l_per_h(m.mean_w, kind.idle_l_per_h, kind.slope_l_per_kwh)) for m in asked.moments]
    litres = sum(rate * m.hours for rate, m in zip(rates, asked.moments, strict=True))
    days = max(hours / DAY_H, 1.0)
    return Fuel(litres, litres / days, hours / days, float(tank_hours(kind.tank_l, litres / hours)))
