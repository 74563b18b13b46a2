"""The three drawings of this question from what has been worked out."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from trailerlib.design.design import Design
from trailerlib.physics.sun import STEP_H, STEPS_PER_HOUR
from trailerlib.studies.answer import names
from trailerlib.studies.cooling import case as heat
from trailerlib.studies.cooling import hold
from trailerlib.studies.cooling.picture import CoolingPicture, Floats, HeatFlows, HeatPart, HotDay, NightAir
from trailerlib.studies.cooling.result import Result

KEPT_OR_SENT_OUT = "stored or let out"


def picture_of(found: Result, design: Design) -> CoolingPicture:
    """What can be drawn, and what is missing for the rest."""
    missing = {part: f"it needs {names(lacks)}" for part, lacks in found.lacks.items() if lacks}
    if design.use.sleepers == 0:
        missing["night"] = "nobody sleeps in it"
    return CoolingPicture(flows_of(found, design), _day(found, design), _night(found, design), missing)


def flows_of(found: Result, design: Design) -> HeatFlows | None:
    """Every way heat comes in, as means of the worst hour; None where the set point or the day is not known."""
    if found.case is None or found.asked is None or design.comfort.set_point is None:
        return None
    box, hour = design.trailer, found.asked.worst
    return HeatFlows(
        tuple(_parts(found.case, found.asked, design.comfort.set_point)),
        hour + 0.5,
        at_hour(found.case.weather.air_c, hour),
        design.comfort.set_point,
        design.envelope.heading or 0.0,
        (box.length, box.width, box.height),
    )


def at_hour(values: Floats, hour: int) -> float:
    """Mean of one hour of the day that is shown.

    Parameters
    ----------
    values : [any] of every step, shape (steps,)
    hour : [h] from 0 to 23
    """
    day = heat.last_day(values)
    return float(day[hour * STEPS_PER_HOUR : (hour + 1) * STEPS_PER_HOUR].mean())


def _parts(case: heat.Case, need: hold.Asked, inside_c: float) -> Iterator[HeatPart]:
    """Skin part by part, then what is set free inside. What walls and contents took up before or take up now makes the
    sum, with what goes back out through the skin because sun and people have warmed them over the air inside.
    """
    hour, total = need.worst, 0.0
    joined: dict[tuple[str, str], tuple[float, float, float]] = {}
    for surface, sol_air, sun in zip(case.surfaces, case.sol_air_c, case.sun_w, strict=True):
        skin, key = at_hour(sol_air, hour), (surface.name, surface.side)
        watts = surface.ua * (skin - inside_c) + at_hour(sun, hour)
        area, warm, before = joined.get(key, (0.0, 0.0, 0.0))
        joined[key] = (area + surface.area_m2, warm + surface.area_m2 * skin, before + watts)
    for (name, side), (area, warm, watts) in joined.items():
        total += watts
        yield HeatPart(name, side, watts, warm / area if area > 0 else None)  # type: ignore[arg-type]
    damp = float(hold.hourly(need.total_w - need.dry_w)[hour])
    inside = (
        ("loads", at_hour(case.gains.loads_w, hour)),
        ("people, damp", at_hour(case.gains.people_w, hour) + damp),
        ("leaks", case.leak_w_per_k * (at_hour(case.weather.air_c, hour) - inside_c)),
    )
    for name, watts in inside:
        total += watts
        yield HeatPart(name, "inside", watts)
    yield HeatPart(KEPT_OR_SENT_OUT, "inside", float(hold.hourly(need.total_w)[hour]) - total)


def _day(found: Result, design: Design) -> HotDay | None:
    if found.case is None or found.free_c is None:
        return None
    roofs = [row for row, part in zip(found.case.sol_air_c, found.case.surfaces, strict=True) if part.side == "roof"]
    outside, roof = (heat.last_day(values) for values in (found.case.weather.air_c, roofs[0]))
    cooler = found.cooler
    edges = np.asarray(np.arange(len(outside) + 1) * STEP_H, dtype=np.float64)
    held = None if cooler is None else _closed(cooler.cycles.run.air_c)
    return HotDay(
        edges,
        _closed(outside),
        _closed(roof),
        _closed(found.free_c),
        held,
        design.comfort.set_point,
        () if cooler is None else tuple(_runs(cooler.cycles.switched_s)),
    )


def _closed(day: Floats) -> Floats:
    """Values at the ends of the steps, with the midnight before them."""
    return np.append(day[-1], day)


def _runs(switched_s: tuple[float, ...]) -> Iterator[tuple[float, float]]:
    """From on to off [h]; a run over midnight ends there."""
    ends = (*switched_s, 86400.0) if len(switched_s) % 2 else switched_s
    for first, last in zip(ends[::2], ends[1::2], strict=True):
        yield first / 3600.0, last / 3600.0


def _night(found: Result, design: Design) -> NightAir | None:
    night = found.night
    if night is None:
        return None
    return NightAir(night.hour_h, night.as_set_ppm, night.shut_ppm, design.comfort.co2, night.stay.name, night.people)
