"""The demo with everything that the sums by hand rest on written down here, and what these sums share."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import psychrolib
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

import trailerlib as tl
from trailerlib.studies.cooling import case as heat

FT, INCH, LB, CFM = 0.3048, 0.0254, 0.45359237, 0.3048**3 / 60
FT2, FT3 = FT**2, FT**3
WHITE_FILM = 17.0  # W/(m2 K) outside of a painted face
VOLUME_FT3 = (14 * 7 + 0.5 * 2 * 7) * 6.5
SET_C = (76 - 32) / 1.8
MIDDLE_H = (np.arange(288) + 0.5) / 12
Floats = NDArray[np.float64]

STUD = {"stud": "steel", "stud_width": "1 in", "stud_depth": "1 in", "stud_wall": "0.065 in"}
SKIN, FOAM, PLY = ["aluminium", "0.030 in"], "extruded polystyrene", ["plywood", "1/4 in"]
PARTS: dict[tuple[str, ...], Any] = {
    ("units",): "us",
    ("trailer", "length"): "14 ft", ("trailer", "width"): "7 ft", ("trailer", "height"): "6 ft 6 in",
    ("trailer", "nose"): "2 ft",
    ("site",): {"elevation": "5200 ft", "latitude": 44.6, "longitude": -103.5, "day": "07-21", "hottest": "96 °F",
                "swing": "28 °F", "dew_point": "52 °F", "coldest": "28 °F"},
    ("use", "sleepers"): 2,
    ("envelope",): {"skin": "white paint", "heading": 90, "shade": "0 %", "leakage": 0.7, "contents": "500 lb"},
    ("comfort",): {"set_point": "76 °F", "band": "3 °F", "heat_to": "60 °F", "co2": 1000, "heater": "sealed flame"},
    ("face",): [
        {"name": "walls", "layers": [SKIN, [FOAM, "1 in"], PLY], "stud_spacing": "16 in", **STUD},
        {"name": "roof", "layers": [SKIN, [FOAM, "1 in"], PLY], "stud_spacing": "24 in", **STUD},
        {"name": "floor", "layers": [["plywood", "3/4 in"]]},
        {"name": "door", "layers": [SKIN, [FOAM, "3/4 in"], PLY]},
    ],
    ("opening",): [
        {"name": "side door", "kind": "door", "wall": "curb", "at": ["4 ft", "3 ft"], "size": ["32 in", "6 ft"]},
        {"name": "door window", "kind": "window", "wall": "curb", "at": ["4 ft", "4 ft 6 in"], "size": ["18 in", "24 in"],
         "glazing": "single acrylic", "gap": "3 in", "screen": True},
        {"name": "rear ramp", "kind": "door", "wall": "rear", "at": ["3 ft 6 in", "3 ft"], "size": ["6 ft", "6 ft"]},
        {"name": "roof cooler", "kind": "roof cooler", "wall": "roof", "at": ["6 ft", "3 ft 6 in"], "size": ["14 in", "14 in"]},
        {"name": "roof fan", "kind": "roof fan", "wall": "roof", "at": ["11 ft", "3 ft 6 in"], "size": ["14 in", "14 in"]},
    ],
    ("stay",): [
        {"name": "night", "supply": "battery", "from": "18:00", "to": "07:00", "ambient": "46 °F", "people": 2,
         "activity": "asleep", "on": {"ceiling lights": "18:00-22:30", "CO alarm": "all", "roof fan": "all",
                                      "specimen fridge": "all"}},
        {"name": "drying day", "supply": "generator", "from": "09:00", "to": "17:00", "ambient": "84 °F", "people": 1,
         "activity": "light bench work", "on": {"dryer road side": "09:00-16:00", "laptops": "10:00-16:00"}},
        {"name": "camp", "supply": "shore", "from": "07:00", "to": "18:00", "ambient": "96 °F", "people": 2,
         "activity": "seated", "on": {"roof cooler": "11:00-18:00", "dryer road side": "08:00-16:00",
                                      "kettle": "12:00-12:15", "laptops": "09:00-17:00", "microscope lamp": "09:00-17:00",
                                      "specimen fridge": "all", "CO alarm": "all"}},
    ],
}  # fmt: skip

STEADY = {"stay__camp__on__kettle": None}  # without what is on for a quarter of an hour only


def by_hand(demo: tl.Design, **changes: Any) -> tl.Design:
    """The demo as it is reckoned by hand; ``changes`` by path, a double underscore for each full stop."""
    design = demo.replace_all(PARTS)
    return design.replace_all({tuple(key.split("__")): value for key, value in changes.items()})


def standard_pa(elevation_m: float) -> float:
    """Pressure of the standard atmosphere, barometric formula."""
    pressure: float = 101325.0 * (1.0 - 2.25577e-5 * elevation_m) ** 5.25588
    return pressure


@dataclass(frozen=True)
class ByHand:
    """The two nodes put together from the surfaces, apart from the code that does so for the study."""

    air_j: float
    mass_j: float
    through_air: float
    film: float
    fabric: float
    outside: Floats
    sol_air: Floats
    air_w: Floats
    mass_w: Floats

    def rates(self, t: float, air: float, mass: float) -> tuple[float, float]:
        n = int(t // 300) % 288
        between = self.film * (mass - air)
        warms = self.through_air * (self.outside[n] - air) + between + self.air_w[n]
        return warms, self.fabric * (self.sol_air[n] - mass) - between + self.mass_w[n]


def nodes_of(design: tl.Design) -> ByHand:
    case = heat.case_of(design)
    opaque = [(p, row) for p, row in zip(case.surfaces, case.sol_air_c, strict=True) if p.solar is None]
    glass = [(p, row) for p, row in zip(case.surfaces, case.sun_w, strict=True) if p.solar is not None]
    ua = sum(p.u * p.area_m2 for p, _ in opaque)
    film = sum(p.area_m2 / p.inside_r for p, _ in opaque)
    water = psychrolib.GetHumRatioFromTDewPoint(float(design.site.dew_point or 0.0), case.weather.pressure_pa)
    warmth = case.dry_kg_m3 * (1006 + 1860 * water)
    volume = design.trailer.height * design.trailer.width * (design.trailer.length + design.trailer.nose / 2)
    set_free = case.gains.people_w + case.gains.loads_w
    return ByHand(
        6 * warmth * volume,
        sum(p.area_m2 * p.heat_j_per_m2k for p, _ in opaque) + 1500 * float(design.envelope.contents or 0.0),
        float(design.envelope.leakage or 0.0) * volume / 3600 * warmth + sum(p.u * p.area_m2 for p, _ in glass),
        film,
        1 / (1 / ua - 1 / film),
        case.weather.air_c,
        sum(p.u * p.area_m2 * row for p, row in opaque) / ua,
        0.5 * set_free,
        0.5 * set_free + sum(row for _, row in glass),
    )


def march(box: ByHand, start: float, days: int, cold: Callable[[float, float], float]) -> Floats:
    """Air, mass and the cold so far [J] at every five minutes of the last day, the midnight before it first."""

    def rates(t: float, y: Floats) -> list[float]:
        taken = cold(t, y[0])
        air, mass = box.rates(t, y[0], y[1])
        return [(air - taken) / box.air_j, mass / box.mass_j, taken]

    begin = (days - 1) * 86400.0
    run = solve_ivp(rates, (0.0, days * 86400.0), [start, start, 0.0], "LSODA", begin + 300.0 * np.arange(289),
                    max_step=150.0, rtol=1e-8, atol=1e-6)  # fmt: skip
    assert run.success
    found: Floats = run.y
    return found
