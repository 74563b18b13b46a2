"""The steps of the working: a wall, the sun on the roof, heat, cold, air and breath."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from trailerlib.design import box_classes
from trailerlib.design.design import Design
from trailerlib.physics import airflow, cooler, enclosure, envelope, fan, indoor_air, solar_gain
from trailerlib.physics.engine import standard_pressure_pa
from trailerlib.physics.formula import Worked, worked
from trailerlib.physics.indoor_water import surface_c
from trailerlib.physics.moist_air import ventilation_sensible_w, wet_bulb_c
from trailerlib.studies.cooling import drawn, hold, sleep
from trailerlib.studies.cooling.case import surfaces_of
from trailerlib.studies.cooling.result import Result
from trailerlib.studies.cooling.shell import WALL, Surface


def working(found: Result, design: Design) -> tuple[Worked, ...]:
    """Every step that can be shown with the numbers of the design."""
    return (*_roof(found, design), *_cooler(found, design), *_cold(found, design), *_night(found, design))


def _roof(found: Result, design: Design) -> Iterator[Worked]:
    case = found.case
    if case is None or found.asked is None:
        return
    roof = next(part for part in case.surfaces if part.side == "roof")
    face, hour = design.face("roof"), found.asked.worst
    thick = dict(face.layers or ())
    soft = face.insulation or next(iter(thick))
    conductivity = box_classes.material(soft).conductivity_of(thick[soft])
    yield worked(envelope.layer_r, thickness_m=thick[soft], conductivity=conductivity)
    air = drawn.at_hour(case.weather.air_c, hour)
    skin = drawn.at_hour(case.sol_air_c[case.surfaces.index(roof)], hour)
    lost = float(solar_gain.sky_loss_w_m2(roof.emittance, roof.tilt))
    sun = _sun_w_m2(roof, skin, air, lost)
    if sun is not None:
        yield worked(
            solar_gain.sol_air_c, air_c=air, irradiance_w_m2=sun, absorptance=roof.absorptance, sky_loss_w_m2=lost,
            film_w_m2k=roof.film,
        )  # fmt: skip
    yield worked(
        ventilation_sensible_w, flow_m3_s=case.leak_m3_s, dry_kg_m3=case.dry_kg_m3, water=case.outside_water or 0.0,
        outside_c=air, inside_c=design.comfort.set_point or 0.0,
    )  # fmt: skip


def _sun_w_m2(part: Surface, skin_c: float, air_c: float, lost_w_m2: float) -> float | None:
    """Sun on a face, from its sol-air temperature [W/m2]; None of a skin that takes none up."""
    return None if part.absorptance <= 0 else ((skin_c - air_c) * part.film + lost_w_m2) / part.absorptance


def _cooler(found: Result, design: Design) -> Iterator[Worked]:
    if found.case is None or found.asked is None or found.cooler is None:
        return
    set_c, hour = float(design.comfort.set_point or 0.0), found.asked.worst
    wet = float(wet_bulb_c(set_c, hold.INSIDE_HUMIDITY, found.case.weather.pressure_pa))
    outside = drawn.at_hour(found.case.weather.air_c, hour)
    yield worked(cooler.capacity_curve, wet_bulb_c=wet, outside_c=outside)
    load = min(1.0, float(hold.hourly(found.asked.total_w / found.asked.share)[hour]) / found.cooler.rated_w)
    yield worked(cooler.running_share, load_share=load)


def _cold(found: Result, design: Design) -> Iterator[Worked]:
    cold = found.cold
    if cold is None:
        return
    parts = surfaces_of(design, "winter")
    walls = next(part for part in parts if part.name == WALL)
    yield worked(
        enclosure.heater_w, ua_w_per_k=cold.ua, inside_c=cold.inside_c, outside_c=cold.outside_c, gains_w=cold.gains_w
    )
    coldest = walls.u if walls.stud_u is None else max(walls.u, walls.stud_u)
    yield worked(surface_c, inside_c=cold.inside_c, outside_c=cold.outside_c, u=coldest, inside_r=walls.inside_r)


def _night(found: Result, design: Design) -> Iterator[Worked]:
    night = found.night
    if night is None:
        return
    sleeper = box_classes.activity(sleep.ASLEEP)
    pressure = float(standard_pressure_pa(design.site.elevation or 0.0))
    each = float(indoor_air.co2_at_height_m3_s(sleeper.co2_m3_s, pressure))
    opened = sleep.effective_m2(design)
    if night.moved_m3_s and night.fan is not None and night.fan.fan is not None and opened:
        one = night.fan.fan
        yield worked(
            fan.fan_flow_m3_s, effective_m2=opened, free_flow_m3_s=one.free_flow_m3_s * night.fan.count,
            shut_off_pa=one.shut_off_pa, speed=one.speed,
        )  # fmt: skip
        yield worked(airflow.air_changes_per_h, flow_m3_s=night.moved_m3_s, volume_m3=night.volume_m3)
        yield worked(
            airflow.opening_pressure_pa, flow_m3_s=night.moved_m3_s, effective_m2=opened,
            density_kg_m3=airflow.SEA_LEVEL_KG_M3 * pressure / float(indoor_air.SEA_LEVEL_PA),
        )  # fmt: skip
    if night.runs and night.moved_m3_s:
        yield _in_the_end(night, each, max(night.leaks_m3_s, night.moved_m3_s))
    if not sleep.tight(night.leaks_m3_s, night.volume_m3):
        yield from (replace(step, title=f"{step.title}, shut in") for step in _shut(night, each, design.comfort.co2))
    if design.comfort.co2 is not None:
        yield worked(
            indoor_air.flow_for_co2_m3_s, people=night.people, each_m3_s=each, target_ppm=design.comfort.co2,
            outside_ppm=indoor_air.OUTSIDE_CO2_PPM,
        )  # fmt: skip


def _in_the_end(night: sleep.Night, each_m3_s: float, flow_m3_s: float) -> Worked:
    """What the air comes to with so much from outside."""
    return worked(
        indoor_air.co2_steady_ppm, people=night.people, each_m3_s=each_m3_s, flow_m3_s=flow_m3_s,
        outside_ppm=indoor_air.OUTSIDE_CO2_PPM,
    )  # fmt: skip


def _shut(night: sleep.Night, each_m3_s: float, mark_ppm: float | None) -> Iterator[Worked]:
    """Carbon dioxide on leaks alone: in the end, by waking, and when it passes the mark."""
    end = _in_the_end(night, each_m3_s, night.leaks_m3_s)
    yield end
    way = {
        "start": indoor_air.OUTSIDE_CO2_PPM, "steady": end.value, "flow_m3_s": night.leaks_m3_s,
        "volume_m3": night.volume_m3,
    }  # fmt: skip
    yield worked(indoor_air.approach, hours=night.stay.hours, **way)
    if mark_ppm is not None and mark_ppm < end.value:
        yield worked(indoor_air.hours_until, target=mark_ppm, **way)
