"""The sun over whole days, without a cloud or out of an hourly file, and what of it falls on a plane.

The sky and the plane are pvlib's; here they get fixed steps, a clock and names. The clock of a place is the standard
time of the zone its longitude lies in (whole hours, no summer time); where the longitude is not known, it is local mean
solar time, from which the sun's own noon differs by up to 17 minutes.
"""

from __future__ import annotations

import math
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

STEPS_PER_HOUR = 12
STEP_H = 1.0 / STEPS_PER_HOUR
YEAR, DAYS_IN_YEAR = 2025, 365  # any year without a leap day: the sun of one differs from another's by minutes
SOLAR_CONSTANT_W_M2 = 1361.0
USUAL_TURBIDITY = 3.0  # from memory: clean air over land; stands in where the map cannot be asked
USUAL_ALBEDO = 0.2
LEAST_WEIGHT = 1e-9  # under it a share of the hour is lost in rounding


@dataclass(frozen=True)
class Sky:
    """The sun over whole days in steps of five minutes from midnight; every array has the shape (days * 288,).

    ``zenith_deg`` and ``azimuth_deg`` [deg] are the sun's at the middle of a step, seen through the air, 180 is south.
    ``ghi`` falls on level ground, ``dni`` straight from the sun, ``dhi`` from the rest of the sky [W/m2];
    ``air_c`` [degC] and ``wind_m_s`` [m/s] are None where nothing says.
    """

    zenith_deg: Floats
    azimuth_deg: Floats
    ghi: Floats
    dni: Floats
    dhi: Floats
    air_c: Floats | None = None
    wind_m_s: Floats | None = None


@dataclass(frozen=True)
class HourlyFile:
    """A year by the hour: row i holds the means from hour i to i + 1 of the zone's standard time; shapes (8760,).

    ``latitude`` and ``longitude`` [deg], ``elevation_m`` [m] and ``zone_h`` [h east of Greenwich] are of the station;
    ``ghi`` and ``dhi`` [W/m2]; ``air_c`` [degC] and ``wind_m_s`` [m/s] as read at the end of the hour.
    """

    latitude: float
    longitude: float
    elevation_m: float
    zone_h: float
    ghi: Floats
    dhi: Floats
    air_c: Floats
    wind_m_s: Floats


def zone_h(longitude: float | None) -> float:
    """Hours by which the clock of a place is ahead of Greenwich.

    Parameters
    ----------
    longitude : [deg] east of Greenwich; None is not known

    Returns
    -------
    [h] whole hours of the zone; 0 where the longitude is not known, the sun then being that of the meridian itself

    Source
    ------
    Nautical zones: 15 degrees an hour. The lawful time of a place may differ by an hour or two.
    """
    return 0.0 if longitude is None else float(math.floor(longitude / 15.0 + 0.5))


def clear_sky(
    latitude: float,
    longitude: float | None,
    elevation_m: float,
    first_day: int,
    days: int = 1,
    turbidity: float | None = None,
) -> Sky:
    """The sun of days without a cloud.

    Parameters
    ----------
    latitude : [deg] north of the equator
    longitude : [deg] east of Greenwich; None is not known: the clock is then local mean solar time
    elevation_m : [m] above the sea
    first_day : [-] day of the year, 1 is the first of January
    days : [-] how many days
    turbidity : [-] Linke's haze; None takes the map's for place and month, or 3 where the longitude is not known

    Returns
    -------
    Sky, without air and wind.

    Source
    ------
    Ineichen and Perez (2002) in pvlib, with its map of Linke turbidity; the sun's place by NREL's algorithm.
    """
    times = _times(first_day, days, zone_h(longitude))
    place = _place(latitude, longitude or 0.0, elevation_m)
    sun = place.get_solarposition(times)
    with _without_warning_of_old_names():
        haze = _haze(times, latitude, longitude) if turbidity is None else turbidity
        sky = place.get_clearsky(times, model="ineichen", solar_position=sun, linke_turbidity=haze)
    return Sky(*_sun(sun), *(_not_negative(sky[name]) for name in ("ghi", "dni", "dhi")))


def file_sky(year: HourlyFile, first_day: int, days: int = 1) -> Sky:
    """The sun, air and wind of days out of an hourly file, in steps of five minutes.

    Within an hour the light follows the height of the sun, so that the hour's energy on level ground is kept; what the
    file gives as not scattered is laid on the sun's own direction, up to the solar constant, the rest stays scattered.

    Parameters
    ----------
    year : as ``read_hourly`` gives it
    first_day : [-] day of the year, 1 is the first of January
    days : [-] how many days; after the last day of the year comes the first

    Returns
    -------
    Sky with air and wind.

    Source
    ------
    The file; the sun's place by NREL's algorithm in pvlib.
    """
    times = _times(first_day, days, year.zone_h)
    zenith, azimuth = _sun(_place(year.latitude, year.longitude, year.elevation_m).get_solarposition(times))
    height = np.maximum(np.cos(np.radians(zenith)), 0.0)
    rows = (np.arange(24 * days) + 24 * (first_day - 1)) % len(year.ghi)
    ghi = spread_hours(year.ghi[rows], height)
    beam = np.maximum(ghi - spread_hours(year.dhi[rows], height), 0.0)
    dni = np.minimum(np.divide(beam, height, out=np.zeros_like(beam), where=height > 0.0), SOLAR_CONSTANT_W_M2)
    return Sky(
        zenith, azimuth, ghi, dni, ghi - dni * height, _between(year.air_c, rows), _between(year.wind_m_s, rows)
    )  # fmt: skip


def spread_hours(hourly: Floats, weight: Floats) -> Floats:
    """Hourly means laid out in steps of five minutes, in proportion to a weight, the energy of each hour kept.

    Parameters
    ----------
    hourly : [any] mean of each hour, shape (hours,)
    weight : [-] not negative, shape (hours * 12,); an hour whose weights are next to zero is spread evenly

    Returns
    -------
    In the unit of ``hourly``, shape (hours * 12,).
    """
    parts = weight.reshape(len(hourly), STEPS_PER_HOUR)
    mean = parts.mean(axis=1, keepdims=True)
    share = np.divide(parts, mean, out=np.ones_like(parts), where=mean > LEAST_WEIGHT)
    laid: Floats = (hourly[:, None] * share).ravel()
    return laid


@lru_cache(maxsize=4)
def read_hourly(file: str, form: str) -> HourlyFile:
    """One of the hourly files that travel with pvlib.

    Parameters
    ----------
    file : its name in pvlib's data folder
    form : how it is written, ``TMY3`` or ``TMY2``

    Returns
    -------
    HourlyFile, read once.

    Raises
    ------
    ValueError
        When the form is neither.
    OSError
        When the installed pvlib has no such file.

    Source
    ------
    TMY3 users manual (NREL/TP-581-43156) and TMY2 users manual (NREL/SP-463-7668): means over the hour that ends.
    """
    if form not in ("TMY3", "TMY2"):
        raise ValueError(f"{form!r} is no form of hourly file that can be read; TMY3 and TMY2 are.")
    pvlib = _pvlib()
    path = str(Path(pvlib.__file__).parent / "data" / file)
    if form == "TMY3":
        rows, said = pvlib.iotools.read_tmy3(path, map_variables=True, coerce_year=YEAR)
        columns = [rows[name] for name in ("ghi", "dhi", "temp_air", "wind_speed")]
    else:
        rows, said = pvlib.iotools.read_tmy2(path)
        columns = [rows["GHI"], rows["DHI"], rows["DryBulb"] / 10.0, rows["Wspd"] / 10.0]
    ghi, dhi, air, wind = (column.to_numpy(dtype=float) for column in columns)
    latitude, longitude, elevation, zone = (float(said[key]) for key in ("latitude", "longitude", "altitude", "TZ"))
    return HourlyFile(latitude, longitude, elevation, zone, ghi, dhi, air, wind)


def plane_irradiance(sky: Sky, tilt_deg: float, azimuth_deg: float, albedo: float = USUAL_ALBEDO) -> Floats:
    """What falls on a plane.

    Parameters
    ----------
    sky : the sun over the steps
    tilt_deg : [deg] 0 lies flat, 90 stands upright
    azimuth_deg : [deg] where the plane looks, 180 is south
    albedo : [-] share of the light that the ground throws back

    Returns
    -------
    [W/m2] shape (steps,)

    Source
    ------
    pvlib ``get_total_irradiance``, scattered light alike from the whole sky (Liu and Jordan): a little low for a plane
    that is tilted to the sun.
    """
    fallen: Any = _pvlib().irradiance.get_total_irradiance(
        tilt_deg, azimuth_deg, sky.zenith_deg, sky.azimuth_deg, sky.dni, sky.ghi, sky.dhi, albedo=albedo
    )
    return _not_negative(fallen["poa_global"])


def _pvlib() -> Any:
    import pvlib  # type: ignore[import-untyped]

    return pvlib


def _place(latitude: float, longitude: float, elevation_m: float) -> Any:
    return _pvlib().location.Location(latitude, longitude, "UTC", elevation_m)


def _haze(times: Any, latitude: float, longitude: float | None) -> Any:
    if longitude is None:
        return USUAL_TURBIDITY
    return _pvlib().clearsky.lookup_linke_turbidity(times, latitude, longitude)


@contextmanager
def _without_warning_of_old_names() -> Iterator[None]:
    """pvlib 0.16 asks pandas 3 for a name that pandas means to drop; the answer is right all the same."""
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", message=r"DatetimeIndex\.dayofyear", category=DeprecationWarning)
        yield


def _times(first_day: int, days: int, zone: float) -> Any:
    """The middles of all steps, as moments of Greenwich."""
    import pandas as pd

    begin = pd.Timestamp(YEAR, 1, 1, tz="UTC") + pd.Timedelta(days=first_day - 1)
    begin += pd.Timedelta(hours=STEP_H / 2.0 - zone)
    return pd.date_range(begin, periods=days * 24 * STEPS_PER_HOUR, freq=pd.Timedelta(minutes=60 // STEPS_PER_HOUR))


def _sun(position: Any) -> tuple[Floats, Floats]:
    zenith, azimuth = (position[name].to_numpy(dtype=float) for name in ("apparent_zenith", "azimuth"))
    return zenith, azimuth


def _not_negative(values: Any) -> Floats:
    floor: Floats = np.maximum(np.asarray(values, dtype=float), 0.0)
    return floor


def _between(year: Floats, rows: NDArray[np.intp]) -> Floats:
    """Readings at the end of each hour, on a straight line between, at the middles of the steps."""
    readings = year[np.append(rows[0] - 1, rows)]
    middles = (np.arange(len(rows) * STEPS_PER_HOUR) + 0.5) * STEP_H
    line: Floats = np.interp(middles, np.arange(len(readings)), readings)
    return line
