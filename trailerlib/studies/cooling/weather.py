"""The days the box is held against: sun and air outside in steps of five minutes, by a clear sky or an hourly file."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from trailerlib import units
from trailerlib.design.model import Site
from trailerlib.physics import sun
from trailerlib.physics.engine import standard_pressure_pa
from trailerlib.physics.solar_gain import design_air_c
from trailerlib.reference import table
from trailerlib.studies.cooling.picture import Floats
from trailerlib.studies.sunshine import Spot, spot_of

STEPS = 24 * sun.STEPS_PER_HOUR  # of one day
LEAD_DAYS = 2  # out of an hourly file: days before the one that is shown, for the walls to forget
USUAL_SWING_K = 20.0 / 1.8  # between the hottest and the coldest of a summer's day; common practice, no source


@dataclass(frozen=True)
class Weather:
    """Sun and air over whole days, arrays of shape (steps,); the last day is the one that is shown.

    ``hour_h`` [h after midnight, 0 to 24] is the middle of each step. ``zenith_deg`` and ``azimuth_deg`` [deg] are the
    sun's; ``dni``, ``dhi``, ``ghi`` [W/m2]; ``air_c`` [degC]; ``pressure_pa`` [Pa]. ``alike`` says that each day is
    like the next.
    """

    hour_h: Floats
    zenith_deg: Floats
    azimuth_deg: Floats
    dni: Floats
    dhi: Floats
    ghi: Floats
    air_c: Floats
    pressure_pa: float
    alike: bool


def missing(site: Site) -> Iterator[str]:
    """What must be known before the hot day can be drawn, in words."""
    if site.day is None:
        yield "the day of the year"
    if site.elevation is None:
        yield "the elevation of the site"
    if site.weather is not None:
        names = table("weather_files").texts("name")
        if site.weather not in names:
            yield f'hourly weather by the name of "{site.weather}" (there is {", ".join(names)})'
        return
    if site.latitude is None:
        yield "the latitude of the site"
    if site.hottest is None:
        yield "how hot it gets (site.hottest)"


def hot_days(site: Site) -> Weather:
    """The hottest day of a site, or the days up to its day out of an hourly file; nothing may be ``missing``."""
    return _days(spot_of(site), site.hottest, site.swing, site.elevation or 0.0)


@lru_cache(maxsize=32)
def _days(spot: Spot, hottest_c: float | None, swing_k: float | None, elevation_m: float) -> Weather:
    pressure = float(standard_pressure_pa(elevation_m))
    if spot.weather is not None:
        row = table("weather_files").row(name=spot.weather)
        first = (spot.day - 1 - LEAD_DAYS) % sun.DAYS_IN_YEAR + 1
        sky = sun.file_sky(sun.read_hourly(row["file"], row["format"]), first, LEAD_DAYS + 1)
        assert sky.air_c is not None
        hours, air = np.tile(_middles(), LEAD_DAYS + 1), sky.air_c
    else:
        assert spot.latitude is not None and hottest_c is not None
        sky = sun.clear_sky(spot.latitude, spot.longitude, elevation_m, spot.day)
        hours, air = _middles(), day_air_c(hottest_c, swing_k)
    return Weather(
        hours, sky.zenith_deg, sky.azimuth_deg, sky.dni, sky.dhi, sky.ghi, air, pressure, spot.weather is None
    )


def day_air_c(hottest_c: float, swing_k: float | None) -> Floats:
    """Air outside over the hottest day, at the middle of each step; shape (steps of a day,).

    Parameters
    ----------
    hottest_c : [degC] of the day
    swing_k : [K] how far it cools down at night; None takes what is usual
    """
    rows = table("design_day")
    hours = np.append(0.0, rows.floats("clock_h"))
    below = rows.floats("below_share")
    shares = np.interp(_middles(), hours, np.append(below[-1], below))
    return np.asarray(design_air_c(hottest_c, shares, USUAL_SWING_K if swing_k is None else swing_k))


def _middles() -> Floats:
    return np.asarray((np.arange(STEPS, dtype=float) + 0.5) * sun.STEP_H, dtype=np.float64)


def basis(site: Site, system: units.System) -> tuple[str, ...]:
    """In words, what the days rest on."""
    if site.weather is not None:
        place = table("weather_files").row(name=site.weather)["place"]
        return (f"weather of a typical year at {place}, not of the site itself",)
    swing = USUAL_SWING_K if site.swing is None else site.swing
    taken = ", taken as usual" if site.swing is None else ""
    return ("a clear sky", f"{units.show(swing, 'temperature step', system)} between day and night{taken}")
