"""What the panels of a design bring through a stretch of hours: by a clear sky or an hourly file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from trailerlib import units
from trailerlib.design.design import Design
from trailerlib.design.model import Site, Solar
from trailerlib.physics import solar_panel, sun
from trailerlib.reference import table

Floats = NDArray[np.float64]

BLOCK_DAYS = 7  # the sky is worked out a week at a time: it costs hardly more than a day
USUAL_AIR_C = 25.0
MONTH_BEGINS = (0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334)


@dataclass(frozen=True)
class Sunshine:
    """What the panels bring in each step; arrays of shape (steps,).

    ``edges_h`` [h after midnight of the first day] has one more. ``power_w`` [W] is of each row of panels behind a
    tracking controller, ``current_a`` [A] of each behind a switching one; both are means over the step, at the battery.
    ``basis`` says in words what was taken where the design says nothing.
    """

    edges_h: Floats
    power_w: Mapping[str, Floats]
    current_a: Mapping[str, Floats]
    basis: tuple[str, ...]

    @property
    def step_h(self) -> Floats:
        """How long each step lasts [h]."""
        return np.diff(self.edges_h)

    @property
    def tracking_w(self) -> Floats:
        """All panels behind tracking controllers [W]."""
        return _sum(self.power_w, len(self.edges_h) - 1)

    @property
    def switching_a(self) -> Floats:
        """All panels behind switching controllers [A]."""
        return _sum(self.current_a, len(self.edges_h) - 1)

    @property
    def tracking_wh(self) -> float:
        """Energy behind tracking controllers over all steps [Wh]."""
        return float(self.tracking_w @ self.step_h)

    @property
    def switching_ah(self) -> float:
        """Charge behind switching controllers over all steps [Ah]."""
        return float(self.switching_a @ self.step_h)


def missing(design: Design) -> tuple[str, ...]:
    """What must be known before the sun can be worked out, in words; empty when nothing, or without panels."""
    if not design.solar:
        return ()
    site, lacks = design.site, []
    if site.weather is not None:
        names = table("weather_files").texts("name")
        if site.weather not in names:
            lacks.append(f'hourly weather by the name of "{site.weather}" (there is {", ".join(names)})')
    else:
        lacks += ["the latitude of the site"] if site.latitude is None else []
        lacks += ["the elevation of the site"] if site.elevation is None else []
    return (*lacks, "the day of the year") if site.day is None else tuple(lacks)


def available_w(
    design: Design, start_h: float, hours: float, step_h: float = sun.STEP_H, ambient_c: float | None = None
) -> Sunshine | None:
    """The sun's share of a stretch, cut into equal steps; the last is shorter where they do not fit.

    Parameters
    ----------
    design : the trailer
    start_h : [h] after midnight of the site's day; 24 and more is a later day
    hours : [h] how long
    step_h : [h] length of a step
    ambient_c : [degC] air around the panels; see ``between``

    Returns
    -------
    Sunshine; None where something is ``missing``.

    Raises
    ------
    ValueError
        When the hours run backwards, begin before the first day or are not numbers.
    """
    steps = max(1, int(np.ceil(hours / step_h - 1e-9))) if step_h > 0.0 and np.isfinite(hours) else 0
    return between(design, np.append(start_h + step_h * np.arange(steps), start_h + hours), ambient_c)


def between(design: Design, edges_h: Floats, ambient_c: float | None = None) -> Sunshine | None:
    """The sun's share of each step between given hours, energy kept whatever their length.

    Parameters
    ----------
    design : the trailer
    edges_h : [h] rising, after midnight of the site's day, shape (steps + 1,); past 8760 h the year begins again
    ambient_c : [degC] air around the panels; None takes the weather file's, else the hottest of the site, else 25

    Returns
    -------
    Sunshine; None where something is ``missing``.

    Raises
    ------
    ValueError
        When the edges do not rise, begin before the first day or are not numbers.
    """
    if missing(design):
        return None
    edges = np.asarray(edges_h, dtype=float)
    if (
        edges.ndim != 1
        or len(edges) < 2
        or not np.isfinite(edges).all()
        or edges[0] < 0.0
        or (np.diff(edges) < 0).any()
    ):
        raise ValueError("hours of sun must rise from 0 h of the first day; give a start and an end after it.")
    air = _air(design.site, ambient_c)
    power = {row.name: _row_w(design.site, row, _nominal(design), air, edges) for row in _rows(design, "tracking")}
    current = {row.name: _row_a(design.site, row, _nominal(design), edges) for row in _rows(design, "switching")}
    return Sunshine(edges, MappingProxyType(power), MappingProxyType(current), basis(design, ambient_c))


def basis(design: Design, ambient_c: float | None = None) -> tuple[str, ...]:
    """In words, what the sun of a design rests on.

    Parameters
    ----------
    design : the trailer
    ambient_c : [degC] air around the panels; None is not given

    Returns
    -------
    Sentences without a full stop; none where there are no panels or something is ``missing``.
    """
    if not design.solar or missing(design):
        return ()
    site = design.site
    said = _of_file(site.weather) if site.weather is not None else _of_clear_sky(site)
    air = _air(site, ambient_c)
    if air is not None and ambient_c is None:
        shown = units.show(air, "temperature", design.units)
        said = (*said, f"air at {shown}, {'the hottest of the site' if site.hottest is not None else 'taken as usual'}")
    return (*said, "no snow, no dirt beyond the losses given, the same shade all day")


def _of_file(name: str) -> tuple[str, ...]:
    place = table("weather_files").row(name=name)["place"]
    return (
        f"weather of a typical year at {place}, not of the site itself",
        "the clock is that station's standard time, without summer time",
    )


def _of_clear_sky(site: Site) -> tuple[str, ...]:
    sky = "a sky without clouds: the most there can be"
    if site.longitude is None:
        haze = f"haze {sun.USUAL_TURBIDITY:g}, taken as usual"
        return (sky, haze, "longitude not given: the clock is solar time, noon when the sun is highest within 17 min")
    zone = sun.zone_h(site.longitude)
    return (sky, f"the clock is the standard time of its longitude, {zone:+.0f} h from Greenwich, without summer time")


def _rows(design: Design, controller: Literal["tracking", "switching"]) -> tuple[Solar, ...]:
    return tuple(row for row in design.solar if row.controller == controller)


def _row_w(site: Site, row: Solar, nominal: str, air_c: float | None, edges: Floats) -> Floats:
    """Mean power of a row of panels in each step [W]."""
    running = _unit_energy(spot_of(site), row.tilt, row.azimuth, air_c, _per_k(nominal), _blocks(edges))
    return row.power * row.count * (1.0 - row.shading) * (1.0 - row.losses) * _means(running, edges)


def _row_a(site: Site, row: Solar, nominal: str, edges: Floats) -> Floats:
    """Mean current of a row of panels in each step [A]; they stand in parallel."""
    light = _means(_light(spot_of(site), row.tilt, row.azimuth, _blocks(edges)), edges)
    rated = row.power * row.count
    return np.asarray(solar_panel.switching_current_a(rated, _working_v(nominal), light, row.shading, row.losses))


class Spot(NamedTuple):
    """What the sky depends on, and nothing else, so that it is found again when other things of a site change."""

    latitude: float | None
    longitude: float | None
    elevation: float | None
    day: int
    weather: str | None


def spot_of(site: Site) -> Spot:
    """What of a site the sky depends on."""
    day = 1 if site.day is None else MONTH_BEGINS[int(site.day[:2]) - 1] + int(site.day[3:])
    if site.weather is not None:
        return Spot(None, None, None, day, site.weather)
    return Spot(site.latitude, site.longitude, site.elevation, day, None)


@lru_cache(maxsize=64)
def _sky(spot: Spot, block: int) -> sun.Sky:
    first = (spot.day - 1 + BLOCK_DAYS * block) % sun.DAYS_IN_YEAR + 1
    if spot.weather is not None:
        row = table("weather_files").row(name=spot.weather)
        return sun.file_sky(sun.read_hourly(row["file"], row["format"]), first, BLOCK_DAYS)
    if spot.latitude is None or spot.elevation is None:
        raise ValueError("the sun needs a latitude and an elevation.")
    return sun.clear_sky(spot.latitude, spot.longitude, spot.elevation, first, BLOCK_DAYS)


@lru_cache(maxsize=128)
def _plane(spot: Spot, tilt: float, azimuth: float, block: int) -> Floats:
    """Light on a plane in every five minutes of one block [W/m2]."""
    return sun.plane_irradiance(_sky(spot, block), tilt, azimuth)


@lru_cache(maxsize=128)
def _light(spot: Spot, tilt: float, azimuth: float, blocks: int) -> Floats:
    """Light on a plane from the first midnight on [W h/m2], at every five minutes."""
    return _running([_plane(spot, tilt, azimuth, block) for block in range(blocks)])


@lru_cache(maxsize=128)
def _unit_energy(
    spot: Spot, tilt: float, azimuth: float, air_c: float | None, per_k: float, blocks: int
) -> Floats:  # fmt: skip
    """Energy of a panel of one watt from the first midnight on [Wh/W], at every five minutes."""
    parts = []
    for block in range(blocks):
        light, sky = _plane(spot, tilt, azimuth, block), _sky(spot, block)
        air = sky.air_c if air_c is None else air_c
        wind = solar_panel.LIGHT_WIND_M_S if sky.wind_m_s is None else sky.wind_m_s
        cells = solar_panel.cell_temperature_c(light, USUAL_AIR_C if air is None else air, wind)
        parts.append(np.asarray(solar_panel.panel_power_w(1.0, light, cells, per_k)))
    return _running(parts)


def _running(parts: list[Floats]) -> Floats:
    return np.concatenate(([0.0], np.cumsum(np.concatenate(parts)) * sun.STEP_H))


def _means(running: Floats, edges: Floats) -> Floats:
    """Mean of each step, from the running sum at its two edges; a step of no length has none."""
    at = np.interp(edges, np.arange(len(running)) * sun.STEP_H, running)
    steps = np.diff(edges)
    return np.divide(np.diff(at), steps, out=np.zeros_like(steps), where=steps > 0.0)


def _blocks(edges: Floats) -> int:
    return max(1, int(np.ceil(edges[-1] / (24.0 * BLOCK_DAYS) - 1e-9)))


def _air(site: Site, ambient_c: float | None) -> float | None:
    """Air around the panels [degC]; None is that of the weather file."""
    if ambient_c is not None:
        return float(ambient_c)
    if site.weather is not None:
        return None
    return USUAL_AIR_C if site.hottest is None else site.hottest


def _nominal(design: Design) -> str:
    return "12 V" if design.battery is None else design.battery.nominal


def _per_k(nominal: str) -> float:
    return table("solar_panels").number("power_per_k", nominal=nominal)


def _working_v(nominal: str) -> float:
    return table("solar_panels").number("working_v", nominal=nominal)


def _sum(rows: Mapping[str, Floats], steps: int) -> Floats:
    total: Floats = np.sum(np.array([*rows.values()]).reshape(-1, steps), axis=0)
    return total
