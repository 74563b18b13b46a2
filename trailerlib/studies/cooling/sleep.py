"""The air of the night: fan against what is cracked open, carbon dioxide and water until the sleepers wake."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from trailerlib.design import box_classes
from trailerlib.design.design import Design
from trailerlib.design.model import Load, Opening, Stay
from trailerlib.physics import airflow, fan, indoor_air, indoor_water
from trailerlib.physics.engine import standard_pressure_pa
from trailerlib.physics.moist_air import dew_point_c, dry_air_kg_m3, humidity_ratio, relative_humidity
from trailerlib.studies.cooling import gains, shell
from trailerlib.studies.cooling.picture import Floats
from trailerlib.studies.kept import Kept
from trailerlib.studies.timetable import stretches

ASLEEP = "asleep"
STEP_H = 1 / 12
NIGHT_HUMIDITY = 0.9  # of the coldest air outside before dawn; common practice, no source
TIGHT_PER_H = 1e-9  # [1/h] a box that changes less air than this is as good as tight
INSIDE_NIGHT_C = 18.0  # air inside at night where no heating is asked for; common practice, no source


@dataclass(frozen=True)
class Night:
    """One stay asleep, arrays of shape (steps + 1,) but ``flow_m3_s`` (steps,). ``hour_h`` counts on past midnight.

    ``moved_m3_s`` is what the fan moves while it runs, None without one or where it is not said what stands open;
    ``needed_m3_s`` keeps the mark, ``gap_m`` is how far ``window`` must be cracked for it (inf: the fan cannot),
    ``leaks_m3_s`` comes in with all shut, and then the mark is passed after ``passed_h`` (inf: never); ``dew_c`` is the
    dew point by waking [degC].
    """

    stay: Stay
    people: int
    hour_h: Floats
    as_set_ppm: Floats | None
    shut_ppm: Floats
    fan: Load | None
    runs: bool
    moved_m3_s: float | None
    leaks_m3_s: float
    needed_m3_s: float | None
    passed_h: float | None
    window: str | None
    gap_m: float | None
    volume_m3: float
    dew_c: float | None

    @property
    def known(self) -> bool:
        """Whether the air that comes in is known: not where the fan runs and nothing says what stands open."""
        return not self.runs or self.moved_m3_s is not None

    @property
    def lasting(self) -> Floats:
        """What is breathed as the timetable has it, the shut box where nothing else is known [ppm]."""
        return self.shut_ppm if self.as_set_ppm is None else self.as_set_ppm


def missing(design: Design) -> Iterator[str]:
    """What must be known of the night, in words."""
    stay = stay_of(design)
    if stay is None:
        yield "in which stay people sleep (activity) and how many (people)"
    if design.envelope.leakage is None:
        yield "how much air leaks in with all shut (envelope.leakage)"
    if design.site.elevation is None:
        yield "the elevation of the site"


def stay_of(design: Design) -> Stay | None:
    """The first stay in which people sleep and are counted."""
    return next((s for s in design.stays if s.activity == ASLEEP and s.people), None)


_NIGHTS: Kept[Night] = Kept()


def night(design: Design) -> Night:
    """The night of a design, kept while nothing it rests on changes; nothing may be ``missing``."""
    rests_on = (design.trailer, design.envelope.leakage, design.site, design.comfort, len(design.openings),
                *design.openings, len(design.loads), *design.loads, *design.stays)  # fmt: skip
    return _NIGHTS.of(rests_on, lambda: _night(design))


def _night(design: Design) -> Night:
    stay = stay_of(design)
    assert stay is not None and stay.people is not None
    volume = shell.volume_m3(design.trailer)
    pressure = float(standard_pressure_pa(design.site.elevation or 0.0))
    leaks = float(airflow.leakage_m3_s(design.envelope.leakage or 0.0, volume))
    steps = max(1, round(stay.hours / STEP_H))
    edges = stay.start + stay.hours * np.arange(steps + 1) / steps
    sleeper = box_classes.activity(ASLEEP)
    each = float(indoor_air.co2_at_height_m3_s(sleeper.co2_m3_s, pressure))
    load = fan_of(design, stay)
    open_m2 = effective_m2(design)
    moved = None if load is None or open_m2 is None else flow_of(load, open_m2)
    on = fan_on(design, stay, load, edges)
    flow = np.where(on, max(leaks, moved or 0.0), leaks)

    def breathed(air: Floats | float) -> Floats:
        air = np.broadcast_to(air, steps)
        return indoor_air.co2_night_ppm(np.full(steps, stay.people), each, air, volume, stay.hours / steps)

    needed = passed = None
    if design.comfort.co2 is not None:
        needed = float(indoor_air.flow_for_co2_m3_s(stay.people, each, design.comfort.co2))
        passed = passed_h(stay.people * each, leaks, volume, design.comfort.co2)
    window = window_of(design)
    gap = None if load is None or needed is None or window is None else gap_for(load, needed, window)
    shut = breathed(leaks)
    return Night(
        stay, stay.people, edges, None if moved is None else breathed(flow), shut, load, bool(on.any()), moved, leaks,
        needed, passed, None if window is None else window.name, gap, volume, _dew(design, stay, flow, pressure),
    )  # fmt: skip


def passed_h(given_m3_s: float, flow_m3_s: float, volume_m3: float, mark_ppm: float) -> float:
    """When a mark is passed, counted from the moment people come into fresh air [h]; inf where it never is.

    Parameters
    ----------
    given_m3_s : [m3/s] carbon dioxide of all together, in the air of the height
    flow_m3_s : [m3/s] air from outside, not below zero
    volume_m3 : [m3] of the box
    mark_ppm : [ppm] the mark, above the air outside
    """
    if tight(flow_m3_s, volume_m3):
        rise = mark_ppm - indoor_air.OUTSIDE_CO2_PPM  # in a straight line
        return rise * volume_m3 / (3600.0 * 1e6 * given_m3_s)
    steady = indoor_air.co2_steady_ppm(1, given_m3_s, flow_m3_s)
    return float(indoor_air.hours_until(indoor_air.OUTSIDE_CO2_PPM, mark_ppm, steady, flow_m3_s, volume_m3))


def tight(flow_m3_s: float, volume_m3: float) -> bool:
    """Whether so little air comes in that what is given off rises in a straight line.

    Parameters
    ----------
    flow_m3_s : [m3/s] air from outside
    volume_m3 : [m3] of the box
    """
    return float(airflow.air_changes_per_h(flow_m3_s, volume_m3)) < TIGHT_PER_H


def fan_of(design: Design, stay: Stay) -> Load | None:
    """The fan that moves most of those that run in a stay, else of all; None without one."""
    fans = [load for load in design.loads if load.on and load.fan is not None]
    running = [load for load in fans if load.name in stay.on]
    return max(running or fans, key=_free_flow, default=None)


def _free_flow(load: Load) -> float:
    assert load.fan is not None
    return load.fan.free_flow_m3_s * load.fan.speed * load.count


def flow_of(load: Load, open_m2: float) -> float:
    """Air that the fans of a load move through openings [m3/s].

    Parameters
    ----------
    load : a fan, or several alike side by side
    open_m2 : [m2] of all openings, as ``effective_m2`` gives it
    """
    assert load.fan is not None
    one = load.fan
    return float(fan.fan_flow_m3_s(open_m2, one.free_flow_m3_s * load.count, one.shut_off_pa, one.speed))


def effective_m2(design: Design) -> float | None:
    """What all that is cracked open is worth to the air [m2]; None where nothing says how far anything stands open."""
    known = [o for o in design.openings if o.free_m2 is not None]
    if not known:
        return None
    return float(sum(airflow.effective_m2(o.free_m2 or 0.0, _passes(o)) for o in known))


def _passes(opening: Opening) -> float:
    """Share of the flow its screen lets through; where it is not said there is taken to be one."""
    return 1.0 if opening.screen is False else airflow.SCREEN_PASSES


def window_of(design: Design) -> Opening | None:
    """The window, hatch or door that is cracked, else the first that could be."""
    can = [o for o in design.openings if o.kind in ("window", "hatch")]
    return next((o for o in (*design.openings, *can) if o.gap), next(iter(can), None))


def gap_for(load: Load, needed_m3_s: float, window: Opening) -> float:
    """How far one window must be cracked for a flow, all else shut [m]; inf where fan or window cannot do it.

    Parameters
    ----------
    load : the fan
    needed_m3_s : [m3/s] wanted
    window : what is cracked
    """
    assert load.fan is not None
    one = load.fan
    area = float(
        fan.opening_for_flow_m2(needed_m3_s, one.free_flow_m3_s * load.count, one.shut_off_pa, one.speed)
    ) / float(airflow.effective_m2(1.0, _passes(window)))
    return area / max(window.size) if area <= window.area_m2 else float("inf")


def fan_on(design: Design, stay: Stay, load: Load | None, edges: Floats) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """In which steps of a stay the fan runs.

    Parameters
    ----------
    design : the design
    stay : the stay
    load : the fan, or None
    edges : [h] of the steps, rising, shape (steps + 1,)
    """
    middle = 0.5 * (edges[:-1] + edges[1:])
    on = np.zeros(len(middle), dtype=bool)
    for part in stretches(design, stay):
        if load is not None and load.name in part.on:
            on |= (middle >= part.start_h) & (middle < part.end_h)
    return on


def _dew(design: Design, stay: Stay, flow: Floats, pressure_pa: float) -> float | None:
    """Dew point inside by waking on the coldest night [degC]; None where that is not known."""
    coldest = design.site.coldest
    if coldest is None:
        return None
    inside = design.comfort.heat_to if design.comfort.heat_to is not None else max(coldest, INSIDE_NIGHT_C)
    outside = float(humidity_ratio(coldest, NIGHT_HUMIDITY, pressure_pa))
    dry = float(dry_air_kg_m3(inside, outside, pressure_pa))
    _, latent = gains.people_w(stay)
    steps = len(flow)
    water = indoor_water.water_night(
        np.ones(steps), latent, flow, shell.volume_m3(design.trailer), dry, stay.hours / steps, outside, outside
    )
    held = min(1.0, float(relative_humidity(inside, float(water[-1]), pressure_pa)))
    return float(dew_point_c(inside, held))
