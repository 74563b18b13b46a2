"""What can be found wrong with heat and air."""

from __future__ import annotations

from collections.abc import Iterator

from trailerlib.design.design import Design
from trailerlib.rules import air as rules
from trailerlib.rules.engine import LEAST_DISTANCE_M
from trailerlib.rules.finding import Finding
from trailerlib.studies.cooling import gains, hold, sleep
from trailerlib.studies.cooling.result import Result
from trailerlib.studies.generator.site import nearest_opening_m, sleeping_without_alarm

BOX = "the box"


def findings(design: Design, found: Result) -> tuple[Finding, ...]:
    """The rules the heat and the air are held against; "not checked" where something is not known."""
    parts = _heat(design, found), _cold(design, found), _air(design, found), _exhaust(design), _burns(design)
    return tuple(finding for part in parts for finding in part)


def _heat(design: Design, found: Result) -> Iterator[Finding]:
    cooler, comfort = found.cooler, design.comfort
    peak = None if found.free_c is None else float(found.free_c.max())
    top = None if comfort.set_point is None else hold.top_c(comfort.set_point, comfort.band)
    fitted = hold.coolers(design)
    if fitted:
        name = f'cooler "{fitted[0].name}"' if len(fitted) == 1 else "the cooling"
        yield rules.set_point_held(name, _counted(design, None if cooler is None else cooler.warmest_c, top), top)
        yield rules.cooler_starts(name, None if cooler is None else cooler.starts_per_h)
    elif comfort.set_point is not None:
        yield rules.set_point_held(BOX, _counted(design, peak, top), top)
    yield rules.hot_without_power(BOX, _counted(design, peak, rules.DANGER_C))


def _counted(design: Design, warmest_c: float | None, limit_c: float | None) -> float | None:
    """The temperature; None where it holds only as long as those who are not counted stay outside."""
    holds = warmest_c is not None and limit_c is not None and warmest_c <= limit_c
    return None if holds and any(gains.left_out(design)) else warmest_c


def _cold(design: Design, found: Result) -> Iterator[Finding]:
    cold, night = found.cold, found.night
    if design.comfort.heater != "sealed flame":
        there = None if cold is None else cold.there_w
        yield rules.heater_holds("heating", there, None if cold is None else cold.needed_w)
    if design.use.sleepers == 0:
        return
    dew = None if night is None or not night.known else night.dew_c
    if cold is None or not cold.faces_c:
        yield rules.condensation("walls and glass", None, dew)
        return
    coldest = min(cold.faces_c, key=lambda name: cold.faces_c[name])
    yield rules.condensation(coldest, cold.faces_c[coldest], dew)


def _air(design: Design, found: Result) -> Iterator[Finding]:
    if design.use.sleepers == 0:
        return
    night, where = found.night, "the night"
    known = None if night is None or not night.known else night
    yield rules.carbon_dioxide(where, None if known is None else float(known.lasting[-1]), design.comfort.co2)
    yield rules.carbon_dioxide_harm(where, None if known is None else float(known.lasting.max()))
    needed = None if night is None else night.needed_m3_s
    yield rules.air_with_the_fan_off(where, None if night is None else night.leaks_m3_s, needed)
    if night is not None and night.fan is not None and night.runs:
        still = None if night.moved_m3_s is None else night.moved_m3_s <= 0.0
        yield rules.fan_without_inlet(f'fan "{night.fan.name}"', still)


def _exhaust(design: Design) -> Iterator[Finding]:
    """For each stay in which a fan runs on a generator, by day as by night, asleep or not."""
    for stay in design.stays:
        supply, fan = next((s for s in design.supplies if s.name == stay.supply), None), sleep.fan_of(design, stay)
        if supply is None or not supply.is_generator or fan is None or fan.name not in stay.on:
            continue
        away = nearest_opening_m(design, supply)
        both = None if away is None else away < LEAST_DISTANCE_M, _something_open(design)
        draws = False if False in both else None if None in both else True
        yield rules.fan_draws_exhaust(f'fan "{fan.name}" in “{stay.name}”', draws)


def _something_open(design: Design) -> bool | None:
    """Whether anything is cracked open; None where it is not said of every window and hatch that all are shut."""
    gaps = [o.gap for o in design.openings if o.gap is not None or o.kind in ("window", "hatch")]
    return True if any(gaps) else None if None in gaps or not gaps else False


def _burns(design: Design) -> Iterator[Finding]:
    sleepers, heater = design.use.sleepers, design.comfort.heater
    known = sleepers is not None and heater is not None
    flame = None if not known else bool(sleepers) and heater == "open flame"
    yield rules.open_flame(False if sleepers == 0 else flame)
    yield rules.carbon_monoxide_alarm(sleeping_without_alarm(design))
