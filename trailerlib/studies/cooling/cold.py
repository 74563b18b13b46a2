"""The cold night: what holds the warmth asked for, and how cold walls and glass are inside."""

from __future__ import annotations

from dataclasses import dataclass

from trailerlib.design.design import Design
from trailerlib.physics.airflow import leakage_m3_s
from trailerlib.physics.enclosure import heater_w
from trailerlib.physics.engine import standard_pressure_pa
from trailerlib.physics.indoor_water import surface_c
from trailerlib.physics.moist_air import DRY_AIR_J_PER_KGK, dry_air_kg_m3
from trailerlib.studies.cooling import gains, shell, sleep
from trailerlib.studies.cooling.case import surfaces_of

HEATS = "space heater"  # the class whose power counts as heat


@dataclass(frozen=True)
class Cold:
    """The coldest night: ``needed_w`` [W] holds the warmth with ``gains_w`` [W] of the sleepers, ``there_w`` [W] of the
    heaters, None is not known; ``faces_c`` [degC] of faces and glass inside, and of the strips over their studs.
    """

    ua: float
    inside_c: float
    outside_c: float
    gains_w: float
    needed_w: float
    there_w: float | None
    faces_c: dict[str, float]


def cold_of(design: Design) -> Cold | None:
    """The coldest night of a design; None where faces, air or the warmth asked for are not known."""
    site, comfort = design.site, design.comfort
    known = site.coldest is not None and comfort.heat_to is not None and site.elevation is not None
    if not known or any(True for _ in shell.missing(design)):
        return None
    outside, inside = float(site.coldest or 0.0), float(comfort.heat_to or 0.0)
    parts = surfaces_of(design, "winter")
    dry = float(dry_air_kg_m3(outside, 0.0, float(standard_pressure_pa(site.elevation or 0.0))))
    leaks = float(leakage_m3_s(design.envelope.leakage or 0.0, shell.volume_m3(design.trailer)))
    ua = sum(part.ua for part in parts) + leaks * dry * DRY_AIR_J_PER_KGK
    stay = sleep.stay_of(design)
    people = 0.0 if stay is None else gains.people_w(stay)[0]
    faces = {
        name: float(surface_c(inside, outside, u, part.inside_r))
        for part in parts
        if part.side != "floor" and part.area_m2 > 0
        for name, u in ((part.name, part.u), (over_a_stud(part.name), part.stud_u))
        if u is not None
    }
    return Cold(ua, inside, outside, people, float(heater_w(ua, inside, outside, people)), _there_w(design), faces)


def over_a_stud(name: str) -> str:
    """What the strip over a stud of a face is called."""
    return f"{name} over a stud"


def _there_w(design: Design) -> float | None:
    """What the heaters give [W]; a flame's is not known here."""
    if design.comfort.heater in (None, "sealed flame", "open flame"):
        return None
    if design.comfort.heater == "none":
        return 0.0
    return sum(load.running_w for load in design.loads if load.on and load.appliance == HEATS)
