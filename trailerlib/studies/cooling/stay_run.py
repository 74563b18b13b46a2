"""The box through a day of one stay's air: cooler and fan on when the timetable says, and how warm it is inside."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.model import Stay
from trailerlib.physics.enclosure_run import Drive, held_run, settled_start
from trailerlib.studies.cooling import case as heat
from trailerlib.studies.cooling import gains, hold, sleep, weather
from trailerlib.studies.cooling.picture import Floats
from trailerlib.studies.kept import Kept
from trailerlib.studies.legs import fed
from trailerlib.studies.timetable import stretches

Mask = np.ndarray[tuple[int], np.dtype[np.bool_]]
JOINED = 3  # steps of the day taken together: a quarter of an hour
STEP_S = JOINED * hold.STEP_S
_RUNS: Kept[StayRun] = Kept()


@dataclass(frozen=True)
class StayRun:
    """A day of the stay in quarters of an hour, arrays of shape (96,) from midnight on.

    ``hour_h`` [h] their middles, ``air_c`` [degC] inside as means; ``cooled`` says when some cooler is on, ``asked_w``
    [W] is the cold that was made then, water counted, ``able_w`` [W] what all coolers that are on can make.
    """

    hour_h: Floats
    air_c: Floats
    cooled: Mask
    asked_w: Floats
    able_w: Floats


def lacks(design: Design, stay: Stay) -> tuple[str, ...]:
    """What must be known before the air inside in a stay can be worked out, in words; its own air outside apart."""
    return (*heat.missing(design), *_lacks(design, stay))


def _lacks(design: Design, stay: Stay) -> Iterator[str]:
    if stay.people is None or (stay.people > 0 and stay.activity is None):
        yield f"how many people are in “{stay.name}” and what they do"
    if design.comfort.set_point is None and cooled_by(design, stay):
        yield "the temperature to hold (comfort.set_point)"
    fan = _fan(design, stay)
    if fan is not None and sleep.effective_m2(design) is None:
        yield "how far a window or hatch is cracked while the fan runs"


def cooled_by(design: Design, stay: Stay) -> tuple[str, ...]:
    """Names of the coolers that are on at some time in a stay and have power there."""
    return tuple(load.name for load in hold.coolers(design) if load.name in stay.on and fed(design, load, stay))


def stay_run(design: Design, stay: Stay, outside_c: float) -> StayRun:
    """A day of a stay, kept while nothing it rests on changes; the box and the day must be known (``heat.missing``).

    The air outside is the same at every hour, the sun that of the site's day, and each day is like the next. People
    and loads are those of the stay's hours; outside of them the box stands shut and empty. A fridge's own warmth is
    reckoned by the air outside: that is a few watts. A fan that is on carries what it moves through what is cracked.

    Parameters
    ----------
    design : the design
    stay : one of its stays
    outside_c : [degC] air outside
    """
    rests_on = (stay, outside_c, design.comfort, *heat.rests_on(design))
    return _RUNS.of(rests_on, lambda: _run(design, stay, outside_c))


def _run(design: Design, stay: Stay, outside_c: float) -> StayRun:
    case, set_c = heat.empty_case_of(design), design.comfort.set_point
    hours, air = heat.last_day(case.weather.hour_h), np.full(weather.STEPS, outside_c)
    names = cooled_by(design, stay)
    cooled = joined(on_at(design, stay, names, hours).astype(float)) > 0.5
    flow = _flow(design, stay, case, hours)
    inside = gains.of_stay(design, stay, hours)
    warmer = heat.last_day(case.sol_air_c) - heat.last_day(case.weather.air_c) + air
    day = heat.drive_of(case.surfaces, warmer, heat.last_day(case.sun_w), air, inside.dry_w)
    drive = Drive(*(joined(part) for part in (day.outside_c, day.fabric_c, day.air_w, day.mass_w)))
    hold_c, cold, able, damp = np.inf, np.zeros(len(cooled)), np.zeros(len(cooled)), np.zeros(len(cooled))
    if set_c is not None and cooled.any():
        rated = sum(load.cooling_w or 0.0 for load in hold.coolers(design) if load.name in names)
        there = replace(case, gains=inside, weather=replace(case.weather, air_c=air))
        hold_c, damp = set_c, joined(hold.damp_w(there, set_c, flow))
        able = rated * joined(hold.rating_share(there, set_c))
        cold = np.where(cooled, np.maximum(able - damp, hold.LEAST_DRY_SHARE * able), 0.0)
    air_c, added = _two_days(case, drive, joined(flow), hold_c, cold)
    dry = -added
    return StayRun(joined(hours), air_c, cooled, dry + np.where(dry > 0.0, damp, 0.0), able)


def _two_days(case: heat.Case, drive: Drive, flow: Floats, hold_c: float, cold: Floats) -> tuple[Floats, Floats]:
    """Air inside [degC] and what the cooler put in [W], of the second of two days; both of shape (96,).

    The box is another wherever the fan is switched, so the days are run in pieces.
    """
    air, mass = (hold_c, hold_c) if np.isfinite(hold_c) else settled_start(case.box, drive, STEP_S)
    cuts = [0, *(np.flatnonzero(np.diff(flow)) + 1).tolist(), len(flow)]
    found: list[tuple[Floats, Floats]] = []
    for first, last in [*zip(cuts, cuts[1:], strict=False)] * 2:
        piece = Drive(*(p[first:last] for p in (drive.outside_c, drive.fabric_c, drive.air_w, drive.mass_w)))
        box = heat.with_flow(case, float(flow[first]))
        run = held_run(box, piece, STEP_S, air, mass, hold_c, cold[first:last])
        air, mass = run.air_c[-1], run.mass_c[-1]
        found.append((run.air_mean_c, run.added_w))
    mean, added = (np.concatenate(parts)[len(flow) :] for parts in zip(*found, strict=True))
    return mean, added


def _fan(design: Design, stay: Stay) -> str | None:
    load = sleep.fan_of(design, stay)
    return None if load is None or load.name not in stay.on else load.name


def _flow(design: Design, stay: Stay, case: heat.Case, hours: Floats) -> Floats:
    """Air from outside at every step of the day [m3/s]: the leaks, or what the fan draws where that is more."""
    load, opened, name = sleep.fan_of(design, stay), sleep.effective_m2(design), _fan(design, stay)
    leaks = np.full(len(hours), case.leak_m3_s)
    if load is None or name is None or not opened:
        return leaks
    moved = max(case.leak_m3_s, sleep.flow_of(load, opened))
    quarters = joined(on_at(design, stay, (name,), hours).astype(float)) > 0.5
    return np.where(np.repeat(quarters, JOINED), moved, leaks)


def on_at(design: Design, stay: Stay, names: tuple[str, ...], hours: Floats) -> Mask:
    """When some load of these is on in a stay; shape of ``hours``.

    Parameters
    ----------
    design : the design
    stay : the stay
    names : of loads
    hours : [h after midnight]
    """
    on = np.zeros(len(hours), dtype=bool)
    for part in stretches(design, stay):
        if part.on.intersection(names):
            on |= (hours - part.start_h) % 24.0 < part.hours
    return on


def joined(steps: Floats) -> Floats:
    """Means of quarters of an hour.

    Parameters
    ----------
    steps : [any] shape (steps of a day,)
    """
    means: Floats = steps.reshape(-1, JOINED).mean(axis=1)
    return means
