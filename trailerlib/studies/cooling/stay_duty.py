"""How much of a stay a cooler runs: the box through a day of that stay's air, the cooler on when the timetable says."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.model import Load, Stay
from trailerlib.physics.cooler import running_share
from trailerlib.physics.enclosure import Drive, held_run
from trailerlib.studies.cooling import case as heat
from trailerlib.studies.cooling import gains, hold, weather
from trailerlib.studies.cooling.picture import Floats
from trailerlib.studies.kept import Kept
from trailerlib.studies.timetable import stretches

JOINED = 3  # steps of the day taken together: a quarter of an hour
_DUTIES: Kept[float | None] = Kept()


def cooler_duty(design: Design, load: Load, stay: Stay) -> float | None:
    """Share of the time a cooler runs while it is switched on in a stay [-]; None where the box is not known.

    The air outside is that of the stay at every hour, the sun that of the site's day, and each day is like the next.
    Coolers that are on together share the work by their size, and what has warmed up before takes as long as it takes.
    """
    ready = load.cooling_w is not None and stay.ambient is not None and design.comfort.set_point is not None
    if not ready or load.name not in stay.on or heat.missing(design):
        return None
    rests_on = (load.name, stay, design.comfort, *heat.rests_on(design))
    return _DUTIES.of(rests_on, lambda: _duty(design, stay, float(design.comfort.set_point or 0.0)))


def _duty(design: Design, stay: Stay, set_c: float) -> float | None:
    case = heat.case_of(design)
    hours = heat.last_day(case.weather.hour_h)
    on, rated_w = _on(design, stay, hours)
    switched = _quarters(on.astype(float)) > 0.5
    if not switched.any():
        return None
    air = np.full(len(hours), float(stay.ambient or 0.0))
    inside = gains.of_stay(design, stay, hours)
    sun = heat.last_day(case.sun_w)
    warmer = heat.last_day(case.sol_air_c) - heat.last_day(case.weather.air_c) + air
    drive = hold.twice(_joined(heat.drive_of(case.surfaces, warmer, sun, air, inside.dry_w)))
    there = replace(case, gains=inside, weather=_with_air(case.weather, air))
    damp, able_w = _quarters(hold.damp_w(there, set_c)), rated_w * _quarters(hold.rating_share(there, set_c))
    cold = np.where(switched, np.maximum(able_w - damp, hold.LEAST_DRY_SHARE * able_w), 0.0)
    run = held_run(
        case.box, drive, JOINED * hold.STEP_S, set_c, set_c, set_c, np.concatenate([cold, cold])
    )  # fmt: skip
    dry = -run.added_w[len(cold) :]
    asked = dry + np.where(dry > 0.0, damp, 0.0)
    return float(np.mean(np.asarray(running_share(np.minimum(1.0, asked / able_w)))[switched]))


def _with_air(days: weather.Weather, air_c: Floats) -> weather.Weather:
    return replace(days, air_c=air_c)


def _on(design: Design, stay: Stay, hours: Floats) -> tuple[np.ndarray[tuple[int], np.dtype[np.bool_]], float]:
    """When some cooler is on in a stay, and the rating of all that are [W]."""
    names = [load.name for load in hold.coolers(design) if load.name in stay.on]
    on = np.zeros(len(hours), dtype=bool)
    for part in stretches(design, stay):
        if part.on.intersection(names):
            on |= (hours - part.start_h) % 24.0 < part.hours
    return on, sum(load.cooling_w or 0.0 for load in hold.coolers(design) if load.name in names)


def _joined(drive: Drive) -> Drive:
    return Drive(*(_quarters(part) for part in (drive.outside_c, drive.fabric_c, drive.air_w, drive.mass_w)))


def _quarters(steps: Floats) -> Floats:
    """Means of quarters of an hour."""
    joined: Floats = steps.reshape(-1, JOINED).mean(axis=1)
    return joined
