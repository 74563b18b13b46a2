"""What is judged of a generator, and the working behind its numbers."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.model import Supply
from trailerlib.design.supply_classes import GeneratorKind
from trailerlib.physics.engine import dry_pressure_pa, fuel_l_per_h, j1349_power_fraction, shop_rule_fraction
from trailerlib.physics.formula import Worked, worked
from trailerlib.physics.motor import standing_ohm
from trailerlib.physics.motor_start import seen_by_motor
from trailerlib.physics.starting import standing_v, start_va
from trailerlib.rules import air
from trailerlib.rules import engine as rules
from trailerlib.rules.finding import Finding, lacking
from trailerlib.studies.circuits import load_va
from trailerlib.studies.generator.asked import Asked, piece_start_va
from trailerlib.studies.generator.site import HUMIDITY, Site, gives, nearest_opening_m, sleeping_without_alarm
from trailerlib.studies.generator.start_case import StartCase


def checks(
    design: Design,
    chosen: Supply | None,
    kind: GeneratorKind | None,
    site: Site,
    asked: Asked,
    cases: Sequence[StartCase],
) -> list[Finding]:
    """Running and starting power, every motor's start, carbon monoxide and the way of the exhaust."""
    if chosen is None or kind is None:
        return []
    subject = f'generator "{chosen.name}"'
    return [
        rules.running(subject, asked.running_va, gives(kind.running_w, site)),
        rules.starting(subject, asked.start_va, gives(kind.starting_w, site)),
        *(finding for case in cases for finding in _start(case)),
        air.carbon_monoxide_alarm(sleeping_without_alarm(design)),
        _distance(design, chosen),
    ]


def _distance(design: Design, chosen: Supply) -> Finding:
    """Near an opening it is a note only where it is said that nobody sleeps."""
    judged = rules.exhaust_distance_at_work if design.use.sleepers == 0 else rules.exhaust_distance
    return judged(nearest_opening_m(design, chosen))


def _start(case: StartCase) -> list[Finding]:
    subject = f'load "{case.load}"'
    found = [
        rules.start_dip(subject, case.dip_v, case.least_v if case.dip_v is not None else None),
        rules.start_stalls(subject, case.stalls),
    ]
    return [lacking(finding, case.gap) for finding in found] if case.gap else found


def working(
    design: Design, kind: GeneratorKind | None, site: Site, asked: Asked, case: StartCase | None
) -> tuple[Worked, ...]:
    """The steps to what is left of the power, to the fuel, and to the voltage at a motor that starts."""
    elevation = design.site.elevation
    if site.pressure_pa is None or site.temperature_c is None or elevation is None or kind is None:
        return ()
    rate = worked(
        fuel_l_per_h,
        power_w=min(asked.peak.watts, kind.running_w),
        idle_l_per_h=kind.idle_l_per_h,
        slope_l_per_kwh=kind.slope_l_per_kwh,
    )
    return (
        worked(dry_pressure_pa, elevation_m=elevation, temperature_c=site.temperature_c, relative_humidity=HUMIDITY),
        worked(j1349_power_fraction, dry_pressure_pa=site.pressure_pa, temperature_c=site.temperature_c),
        worked(shop_rule_fraction, elevation_m=elevation, temperature_c=site.temperature_c),
        rate,
        *(_start_steps(design, case) if case is not None and not case.gap else ()),
    )


def _start_steps(design: Design, case: StartCase) -> list[Worked]:
    """The start's apparent power, and the divider; an inverter set that gives way is past the divider."""
    load = design.load(case.load)
    steps = []
    rated, drawn = load_va(load) / load.count, piece_start_va(load)
    factor = rated.real / abs(rated)
    steps.append(worked(start_va, running_w=rated.real, power_factor=factor, start_multiple=drawn / abs(rated)))
    if case.source is None or case.way is None or case.curve is None:
        return steps
    if case.surge_a is not None and float(abs(case.curve.supply_a[0])) > case.surge_a * (1 - 1e-6):
        return steps
    motor = standing_ohm(case.rated_v, case.locked_a, math.nan if case.soft_a is None else case.soft_a)
    open_v, ohm = seen_by_motor(case.source, case.way)
    path, own = complex(np.asarray(ohm)), complex(np.asarray(motor))
    parts = {"path_r": path.real, "path_x": path.imag, "motor_r": own.real, "motor_x": own.imag}
    return [*steps, worked(standing_v, open_v=float(open_v), **parts)]
