"""Where the generator stands: what height and heat leave of its power, and what lies near its exhaust."""

from __future__ import annotations

import math
from dataclasses import dataclass

from trailerlib.design.design import Design
from trailerlib.design.model import Opening, Supply
from trailerlib.physics.engine import dry_pressure_pa, j1349_power_fraction, shop_rule_fraction

HUMIDITY = 0.3  # the reference day of the engine standards; a dry guess for high country


@dataclass(frozen=True)
class Site:
    """What height and heat leave of an engine's power [-]; None when either is not known."""

    formula: float | None
    shop: float | None
    pressure_pa: float | None
    temperature_c: float | None


def site_factors(design: Design) -> Site:
    """Share of the rated power that is left where the trailer stands, by formula and by shop rule."""
    elevation, hottest = design.site.elevation, design.site.hottest
    if elevation is None or hottest is None:
        return Site(None, None, None, hottest)
    pressure = float(dry_pressure_pa(elevation, hottest, HUMIDITY))
    formula = min(1.0, float(j1349_power_fraction(pressure, hottest)))
    return Site(formula, min(1.0, float(shop_rule_fraction(elevation, hottest))), pressure, hottest)


def gives(rated_w: float, site: Site) -> float | None:
    """What is left of a rated power here [W]; None when height or heat is not known.

    Parameters
    ----------
    rated_w : [W] at sea level
    site : what height and heat leave
    """
    return None if site.formula is None else rated_w * site.formula


def opening_centre(design: Design, opening: Opening) -> tuple[float, float, float]:
    """Where the middle of an opening lies: from the nose wall, from the left wall, above the floor [m]."""
    box, (first, second) = design.trailer, opening.at
    if opening.wall == "roof":
        return first, second, box.height
    if opening.wall in ("curb", "road"):
        return first, box.width if opening.wall == "curb" else 0.0, second
    return box.length if opening.wall == "rear" else 0.0, first, second


def nearest_opening_m(design: Design, chosen: Supply) -> float | None:
    """From the generator's place to the nearest opening [m]; None when either is not known."""
    if chosen.place is None or not design.openings:
        return None
    here = design.place(chosen.place).at
    return min(_edge_distance_m(here, design, opening) for opening in design.openings)


def _edge_distance_m(here: tuple[float, float, float], design: Design, opening: Opening) -> float:
    """From a point to the nearest point of an opening, not to its middle [m]."""
    spans = {"roof": (0, 1), "curb": (0, 2), "road": (0, 2)}.get(opening.wall, (1, 2))
    half = [0.0, 0.0, 0.0]
    for axis, size in zip(spans, opening.size, strict=True):
        half[axis] = size / 2.0
    beyond = (abs(a - b) - h for a, b, h in zip(here, opening_centre(design, opening), half, strict=True))
    return math.hypot(*(max(0.0, d) for d in beyond))


def sleeping_without_alarm(design: Design) -> bool | None:
    """Whether people sleep aboard and no carbon monoxide alarm is listed; None when it is not said."""
    sleepers, alarm = design.use.sleepers, design.safety.co_alarm
    if sleepers == 0:
        return False
    return None if alarm is None or sleepers is None else not alarm
