"""What the hot day asks of the cooler, how the cooler runs, and how warm it gets without power."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.model import Load
from trailerlib.physics import cooler
from trailerlib.physics.enclosure import Box, Floats, modes_of
from trailerlib.physics.enclosure_run import Drive, Run, free_run, held_run, settled_start
from trailerlib.physics.moist_air import humidity_ratio, ventilation_latent_w, wet_bulb_c
from trailerlib.physics.sun import STEP_H, STEPS_PER_HOUR
from trailerlib.physics.thermostat import Cycles, Thermostat, thermostat_run
from trailerlib.studies.cooling.case import Case, last_day
from trailerlib.studies.cooling.weather import STEPS

STEP_S = 3600.0 * STEP_H
USUAL_BAND_K = 2.0 / 1.8  # between on and off of a thermostat; common practice, no source
PAUSE_S = 180.0  # rest before a compressor starts again; common practice, no source
INSIDE_HUMIDITY = 0.5  # of the air inside while the cooler runs; common practice, no source
LEAST_DRY_SHARE = 0.6  # of its cold a cooler gives as dry cold in the dampest air; from memory


@dataclass(frozen=True)
class Asked:
    """What holding the set point takes over the day that is shown, arrays of shape (steps,).

    ``dry_w`` [W] cools the air, ``damp_w`` [W] takes its water out; ``share`` [-] is what the weather leaves of a
    cooler's rating. ``start_air_c`` and ``start_mass_c`` [degC] are those at midnight.
    """

    dry_w: Floats
    damp_w: Floats
    share: Floats
    start_air_c: float
    start_mass_c: float

    @cached_property
    def total_w(self) -> Floats:
        """All the cold that is asked for [W]."""
        return self.dry_w + np.where(self.dry_w > 0.0, self.damp_w, 0.0)

    @property
    def rated_w(self) -> float:
        """The rating that holds the set point at the worst hour [W]."""
        return float(self._by_hour.max())

    @property
    def worst(self) -> int:
        """The hour that asks for the largest rating, from 0 to 23."""
        return int(self._by_hour.argmax())

    @property
    def worst_w(self) -> float:
        """The cold of that hour [W]; another hour may ask for more where cooler air outside leaves more of a rating."""
        return float(hourly(self.total_w)[self.worst])

    @cached_property
    def _by_hour(self) -> Floats:
        return hourly(self.total_w / self.share)

    def dry_share(self) -> Floats:
        """Share of a cooler's cold that cools the air [-]; the rest goes into water."""
        total = self.total_w
        share = np.divide(self.dry_w, total, out=np.ones_like(total), where=total > 0.0)
        return np.clip(share, LEAST_DRY_SHARE, 1.0)

    def cold_w(self, rated_w: float) -> Floats:
        """Cold for the air that a cooler of a rating can give [W]."""
        return rated_w * self.share * self.dry_share()

    def running(self, rated_w: float) -> Floats:
        """Share of each step that a cooler of a rating runs [-], what starting costs counted."""
        load = np.minimum(1.0, self.total_w / (rated_w * self.share))
        return np.asarray(cooler.running_share(load))


def hourly(steps: Floats) -> Floats:
    """Means of the hours of a day, from a value for each step; shape (..., 24).

    Parameters
    ----------
    steps : [any] shape (..., steps of a day)
    """
    means: Floats = steps.reshape(*steps.shape[:-1], 24, STEPS_PER_HOUR).mean(axis=-1)
    return means


def top_c(set_c: float, band_k: float | None) -> float:
    """Top of the band that counts as held [degC].

    Parameters
    ----------
    set_c : [degC] set point
    band_k : [K] between on and off; None takes what is usual
    """
    return set_c + 0.5 * (USUAL_BAND_K if band_k is None else band_k)


def coolers(design: Design) -> tuple[Load, ...]:
    """The coolers that are part of the design."""
    return tuple(load for load in design.loads if load.on and load.cooling_w is not None)


def free_c(case: Case) -> Floats:
    """Air inside without power, all shut, over the day that is shown [degC]; people and loads stay as they are."""
    return settled_air_c(case.box, case.drive)


def settled_air_c(box: Box, drive: Drive) -> Floats:
    """Air of the last day of a run without cooler that begins as its first day would end [degC], (..., steps).

    Where one day is given, a run from zero and what is left of the true beginning add up: one march instead of two.

    Parameters
    ----------
    box : floats, or arrays of shape (...)
    drive : shape (..., steps)
    """
    if drive.outside_c.shape[-1] != STEPS:
        return last_day(free_over(box, drive).air_c)
    run, modes = free_run(box, drive, STEP_S, 0.0, 0.0), modes_of(box)
    ends = modes.split(run.air_c[..., -1], run.mass_c[..., -1])
    passed = STEP_S * np.arange(1, STEPS + 1)
    air = run.air_c
    for end, rate in zip(ends, (modes.slow, modes.fast), strict=True):
        begin, steep = np.asarray(end / -np.expm1(rate * STEP_S * STEPS)), np.asarray(rate)
        air = air + begin[..., None] * np.exp(steep[..., None] * passed)
    return air


def free_over(box: Box, drive: Drive) -> Run:
    """A run without cooler that begins as the first of its days would end.

    Parameters
    ----------
    box : floats, or arrays of shape (...)
    drive : shape (..., steps)
    """
    first = Drive(*(part[..., :STEPS] for part in (drive.outside_c, drive.fabric_c, drive.air_w, drive.mass_w)))
    start = settled_start(box, first, STEP_S)
    return free_run(box, drive, STEP_S, *start)


def held_over(box: Box, drive: Drive, set_c: float) -> Run:
    """A run that takes whatever cold holds the set point, a day of the same before it where only one is given.

    Parameters
    ----------
    box : floats, or arrays of shape (...)
    drive : shape (..., steps)
    set_c : [degC] to hold
    """
    if drive.outside_c.shape[-1] == STEPS:
        drive = twice(drive)
    return held_run(box, drive, STEP_S, set_c, set_c, set_c, np.inf)


def twice(drive: Drive) -> Drive:
    """The same day twice over: the walls forget how it began."""
    return Drive(
        *(np.concatenate([p, p], axis=-1) for p in (drive.outside_c, drive.fabric_c, drive.air_w, drive.mass_w))
    )


def asked(case: Case, set_c: float) -> Asked:
    """What holding a set point takes.

    Parameters
    ----------
    case : the hot day
    set_c : [degC] to hold
    """
    run = held_over(case.box, case.drive, set_c)
    dry = -last_day(run.added_w)
    before = len(run.air_c) - STEPS - 1
    return Asked(
        dry, damp_w(case, set_c), rating_share(case, set_c), float(run.air_c[before]), float(run.mass_c[before])
    )


def damp_w(case: Case, set_c: float, flow_m3_s: Floats | None = None) -> Floats:
    """Heat of the water that people give off and leaks bring in [W], shape of the day; drier air outside takes some
    away, never more than there is.

    Where the dew point outside is not known only the people's is counted.

    Parameters
    ----------
    case : the hot day
    set_c : [degC] to hold
    flow_m3_s : [m3/s] air that comes in, shape of the day; None takes the leaks
    """
    people = last_day(case.gains.latent_w)
    if case.outside_water is None:
        return people
    inside = humidity_ratio(set_c, INSIDE_HUMIDITY, case.weather.pressure_pa)
    comes_in = case.leak_m3_s if flow_m3_s is None else flow_m3_s
    leaks = ventilation_latent_w(comes_in, case.dry_kg_m3, case.outside_water, inside)
    return np.maximum(0.0, people + leaks)


def rating_share(case: Case, set_c: float) -> Floats:
    """What the air outside leaves of a cooler's rating over the day [-].

    Parameters
    ----------
    case : the hot day
    set_c : [degC] to hold
    """
    wet = wet_bulb_c(set_c, INSIDE_HUMIDITY, case.weather.pressure_pa)
    return np.asarray(cooler.cooling_w(1.0, wet, last_day(case.weather.air_c)))


def drawn_share(case: Case, set_c: float) -> Floats:
    """Electric power of a cooler while it runs, against its rating, over the day [-].

    Parameters
    ----------
    case : the hot day
    set_c : [degC] to hold
    """
    wet = wet_bulb_c(set_c, INSIDE_HUMIDITY, case.weather.pressure_pa)
    return np.asarray(cooler.drawn_w(1.0, wet, last_day(case.weather.air_c)))


def day_of(case: Case) -> Drive:
    """What works on the box over the day that is shown."""
    drive = case.drive
    return Drive(*(last_day(part) for part in (drive.outside_c, drive.fabric_c, drive.air_w, drive.mass_w)))


def warmest_c(case: Case, need: Asked, set_c: float, rated_w: float) -> float:
    """Mean of the warmest hour with a cooler that runs as long as it must [degC].

    Parameters
    ----------
    case : the hot day
    need : what the set point takes
    set_c : [degC] to hold
    rated_w : [W] cold of the cooler at its rating
    """
    cold = need.cold_w(rated_w)
    drive, start = twice(day_of(case)), (need.start_air_c, need.start_mass_c)
    run = held_run(case.box, drive, STEP_S, *start, set_c, np.concatenate([cold, cold]))
    return float(hourly(last_day(run.air_mean_c)).max())


def cycles(case: Case, need: Asked, comfort_c: float, band_k: float | None, rated_w: float) -> Cycles:
    """The day with the cooler switched by its thermostat.

    Parameters
    ----------
    case : the hot day
    need : what the set point takes
    comfort_c : [degC] set point
    band_k : [K] between on and off; None takes what is usual
    rated_w : [W] cold of the cooler at its rating
    """
    switch = Thermostat(comfort_c, USUAL_BAND_K if band_k is None else band_k, PAUSE_S)
    start = need.start_air_c, need.start_mass_c
    return thermostat_run(case.box, day_of(case), STEP_S, *start, need.cold_w(rated_w), switch)


def stacked(cases: Sequence[Case]) -> tuple[Box, Drive]:
    """Several boxes as one run: arrays of shape (boxes,) and (boxes, steps)."""
    box = Box(*(np.array([getattr(c.box, key) for c in cases]) for key in Box.__dataclass_fields__))
    drive = Drive(*(np.stack([getattr(c.drive, key) for c in cases]) for key in Drive.__dataclass_fields__))
    return box, drive
