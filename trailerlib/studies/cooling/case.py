"""The box of a design as two nodes, and what the hot day does to it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from trailerlib.design.design import Design
from trailerlib.physics import solar_gain
from trailerlib.physics.airflow import leakage_m3_s
from trailerlib.physics.enclosure import Box, fabric_w_per_k
from trailerlib.physics.enclosure_run import Drive
from trailerlib.physics.moist_air import (
    DRY_AIR_J_PER_KGK,
    VAPOUR_J_PER_KGK,
    dry_air_kg_m3,
    humidity_ratio_of_dew,
    ventilation_sensible_w,
)
from trailerlib.studies.cooling import gains, shell, weather
from trailerlib.studies.cooling.picture import Floats
from trailerlib.studies.kept import Kept
from trailerlib.studies.legs import dead

# common practice, no source: the skin of linings and bedding follows the air at once, five times what the air holds. A
# standard's default for air and furniture, 10 kJ/K for each m2 of floor (EN ISO 52016-1, from memory), is near it here
FOLLOWS = 6.0
CONTENTS_J_PER_KGK = 1500.0  # wood, paper, cloth and water mixed: from memory
TO_AIR = 0.5  # of what people and loads give off; the rest is taken up as radiation. Common practice, no source


@dataclass(frozen=True)
class Case:
    """What the day is worked out from. ``sol_air_c`` [degC] and ``sun_w`` [W, through glass] have the shape (surfaces,
    steps); ``leak_w_per_k`` [W/K] is the air that comes in, ``air_kg`` the dry air inside [kg] and ``outside_water``
    that of the air outside [kg/kg], None is not known.
    """

    weather: weather.Weather
    surfaces: tuple[shell.Surface, ...]
    sol_air_c: Floats
    sun_w: Floats
    gains: gains.Gains
    box: Box
    drive: Drive
    leak_m3_s: float
    leak_w_per_k: float
    dry_kg_m3: float
    outside_water: float | None

    @property
    def ua(self) -> float:
        """What faces, glass and leaks pass for each kelvin [W/K]."""
        return sum(surface.ua for surface in self.surfaces) + self.leak_w_per_k


_SHELLS: Kept[tuple[shell.Surface, ...]] = Kept()
_EMPTY: Kept[Case] = Kept()
_CASES: Kept[Case] = Kept()


def missing(design: Design) -> tuple[str, ...]:
    """What must be known before the hot day can be worked out, in words."""
    return (*shell.missing(design), *weather.missing(design.site))


def surfaces_of(design: Design, season: shell.Season) -> tuple[shell.Surface, ...]:
    """The skin of the box, kept while nothing of it changes."""
    parts = (season, design.trailer, design.envelope, len(design.faces), *design.faces, *design.openings)
    return _SHELLS.of(parts, lambda: shell.surfaces(design, season))


def case_of(design: Design) -> Case:
    """The hot day of a design; nothing may be ``missing``."""
    return _CASES.of(rests_on(design), lambda: _case(design))


def rests_on(design: Design) -> Iterator[object]:
    """All parts of a design that the heat of the box depends on; a changed design has new lists of the same parts."""
    yield from (design.trailer, design.envelope, design.site, dead(design))
    for parts in (design.faces, design.openings, design.loads, design.stays, design.circuits, design.places):
        yield len(parts)
        yield from parts


def empty_case_of(design: Design) -> Case:
    """The hot day of the box with nobody and nothing on in it; what is done inside changes more often than the box."""
    parts = (design.trailer, design.envelope, design.site, len(design.faces), *design.faces, *design.openings)
    return _EMPTY.of(parts, lambda: _empty_case(design))


def _case(design: Design) -> Case:
    case = empty_case_of(design)
    inside = gains.hot_day(design, case.weather.hour_h)
    drive = drive_of(case.surfaces, case.sol_air_c, case.sun_w, case.weather.air_c, inside.dry_w)
    return replace(case, gains=inside, drive=drive)


def _empty_case(design: Design) -> Case:
    days = weather.hot_days(design.site)
    parts = surfaces_of(design, "summer")
    water = outside_water(design, days.pressure_pa)
    dry = float(dry_air_kg_m3(float(days.air_c.mean()), water or 0.0, days.pressure_pa))
    leak = float(leakage_m3_s(design.envelope.leakage or 0.0, shell.volume_m3(design.trailer)))
    warmth = DRY_AIR_J_PER_KGK + VAPOUR_J_PER_KGK * (water or 0.0)
    sun = irradiance(parts, days, design.envelope.shade or 0.0)
    sol_air_c, sun_w, nothing = sol_air(parts, days.air_c, sun), glass_w(parts, sun), np.zeros_like(days.air_c)
    return Case(
        days, parts, sol_air_c, sun_w, gains.Gains(nothing, nothing, nothing),
        box_of(design, parts, leak * dry * warmth, dry * warmth),
        drive_of(parts, sol_air_c, sun_w, days.air_c, nothing), leak, leak * dry * warmth, dry, water,
    )  # fmt: skip


def outside_water(design: Design, pressure_pa: float) -> float | None:
    """Water in the air outside [kg/kg]; None where the dew point is not known.

    Parameters
    ----------
    design : the design
    pressure_pa : [Pa] of the air
    """
    dew = design.site.dew_point
    return None if dew is None else float(humidity_ratio_of_dew(dew, pressure_pa))


def irradiance(parts: Sequence[shell.Surface], days: weather.Weather, shade: float) -> Floats:
    """Sun on every surface [W/m2], shape (surfaces, steps).

    Parameters
    ----------
    parts : the surfaces
    days : sun and air
    shade : [-] share of the direct sun kept off
    """
    tilt, azimuth = (np.array([getattr(part, key) for part in parts])[:, None] for key in ("tilt", "azimuth"))
    facing = solar_gain.facing_cosine(days.zenith_deg, days.azimuth_deg, tilt, azimuth)
    sees_sky = 0.5 * (1.0 + np.cos(np.radians(tilt)))
    return np.asarray(solar_gain.face_irradiance_w_m2(days.dni, days.dhi, days.ghi, facing, sees_sky, shade))


def sol_air(parts: Sequence[shell.Surface], air_c: Floats, sun: Floats) -> Floats:
    """Sol-air temperature of every surface [degC], shape (surfaces, steps); glass is at the air outside.

    Parameters
    ----------
    parts : the surfaces
    air_c : [degC] outside, shape (steps,)
    sun : [W/m2] on each, shape (surfaces, steps)
    """
    columns = [[part.absorptance, part.emittance, part.tilt, part.film, part.solar is None] for part in parts]
    absorbs, sends, tilt, film, opaque = np.array(columns, dtype=float).T[:, :, None]
    lost = solar_gain.sky_loss_w_m2(sends, tilt) * opaque
    return np.asarray(solar_gain.sol_air_c(air_c, sun, absorbs, lost, film))


def glass_w(parts: Sequence[shell.Surface], sun: Floats) -> Floats:
    """Sun that comes in through every surface [W], shape (surfaces, steps); none but through glass.

    Parameters
    ----------
    parts : the surfaces
    sun : [W/m2] on each, shape (surfaces, steps)
    """
    lets_in = np.array([(part.solar or 0.0) * part.area_m2 for part in parts])[:, None]
    return lets_in * sun


def box_of(design: Design, parts: Sequence[shell.Surface], leak_w_per_k: float, air_j_per_m3k: float) -> Box:
    """The two nodes of a box.

    Parameters
    ----------
    design : for its size and what is stored in it
    parts : its surfaces
    leak_w_per_k : [W/K] carried by the air that comes in
    air_j_per_m3k : [J/(m3 K)] held by the air
    """
    opaque = [part for part in parts if part.solar is None]
    film = sum(part.area_m2 / part.inside_r for part in opaque)
    glass = sum(part.ua for part in parts if part.solar is not None)
    mass = sum(part.area_m2 * part.heat_j_per_m2k for part in opaque)
    mass += CONTENTS_J_PER_KGK * (design.envelope.contents or 0.0)
    fabric = float(fabric_w_per_k(sum(part.ua for part in opaque), film))
    air = FOLLOWS * air_j_per_m3k * shell.volume_m3(design.trailer)
    return Box(air, mass, leak_w_per_k + glass, film, fabric)


def drive_of(parts: Sequence[shell.Surface], sol_air_c: Floats, sun_w: Floats, air_c: Floats, dry_w: Floats) -> Drive:
    """What works on the two nodes: the faces' sol-air temperatures by their U and area, the sun through glass on what
    stands in the box, people and loads half on the air.

    Parameters
    ----------
    parts : the surfaces
    sol_air_c : [degC] of each, shape (surfaces, steps)
    sun_w : [W] through each, shape (surfaces, steps)
    air_c : [degC] air outside, shape (steps,)
    dry_w : [W] of people and loads, shape (steps,)
    """
    weight = np.array([part.ua if part.solar is None else 0.0 for part in parts])
    fabric = weight @ sol_air_c / weight.sum()
    return Drive(air_c, fabric, TO_AIR * dry_w, (1.0 - TO_AIR) * dry_w + sun_w.sum(axis=0))


def with_flow(case: Case, flow_m3_s: float) -> Box:
    """The box with so much air from outside, in place of its leaks: they are part of what a fan draws in.

    Parameters
    ----------
    case : the hot day
    flow_m3_s : [m3/s] not under the leaks
    """
    more = max(0.0, flow_m3_s - case.leak_m3_s)
    carries = float(ventilation_sensible_w(more, case.dry_kg_m3, case.outside_water or 0.0, 1.0, 0.0))
    return replace(case.box, air_w_per_k=case.box.air_w_per_k + carries)


def last_day(values: Floats) -> Floats:
    """The part of a run that is shown.

    Parameters
    ----------
    values : [any] of every step, shape (..., steps)
    """
    shown: Floats = values[..., -weather.STEPS :]
    return shown
