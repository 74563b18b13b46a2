"""Axes of every kind over the shipped trailers, and one candidate measured the plain way: by the whole assessment."""

from __future__ import annotations

import math

import trailerlib as tl
from trailerlib.rules.finding import ORDER
from trailerlib.studies import battery_side, trade_offs

FEN = {
    "battery.capacity": ["15 Ah", "60 Ah", "100 Ah", "220 Ah"],
    "battery.chemistry": ["flooded", "agm", "gel", "lfp"],
    "battery.age": ["80 %", "100 %"],
    "battery.count": [1, 2],
    "feeder.wire": ["14 AWG", "6 AWG", "4 AWG", "1/0 AWG"],
    "feeder.protection": ["60 A", "80 A", None],
    "circuit.roof fan.wire": ["18 AWG", "14 AWG", "10 AWG"],
    "circuit.fridge.run": ["12 ft", "30 ft", None],
    "circuit.work lights.protection": ["5 A", "10 A", "20 A"],
    "circuit.ceiling lights.insulation": ["60 C", "105 C"],
    "circuit.bench outlets.wire": ["14 AWG", "12 AWG"],
    "mains.inlet_wire": ["12 AWG", "10 AWG", "6 AWG", None],
    "mains.inlet_insulation": ["60 C", "90 C"],
    "mains.inlet_run": ["6 ft", "60 ft", None],
    "place.inlet.at": [["13 ft", "-2 in", "1 ft 4 in"], ["2 ft", "-2 in", "2 ft"]],
    "supply.generator.kind": ["portable 1000 W", "portable 3000 W", "portable 6500 W"],
    "supply.generator.cord_run": ["25 ft", "100 ft"],
    "supply.shore.cord": ["10 AWG", "8 AWG", None],
    "face.roof.layers.extruded polystyrene": ["1 in", "1 1/2 in", "2 in"],
    "face.walls.layers.extruded polystyrene": ["1/2 in", "1 in"],
    "envelope.skin": ["white paint", "dark paint", None],
    "load.roof cooler.class": ["roof cooler 11000", "roof cooler 13500", "roof cooler 15000"],
    "load.roof cooler.soft_start": [True, False],
    "load.roof fan.class": ["roof fan low", "roof fan high"],
    "load.specimen fridge.place": ["fridge", "bunk"],
    "load.kettle.on": [True, False],
    "charger.current": ["10 A", "20 A", "40 A"],
    "place.battery box.at": [["1 ft", "1 ft", "1 ft"], ["6 ft", "1 ft", "1 ft"]],
    "place.nose platform.at": [["-2 ft", "3.5 ft", "1 ft"], ["-3 ft", "3 ft", "1 ft"]],
    "cargo.plant presses.mass": ["40 lb", "120 lb", "400 lb"],
    "cargo.field kit.at": [["4 ft", "1.5 ft", "1.5 ft"], ["12 ft", "6 ft", "1.5 ft"]],
    "cargo.crew of two.when": ["parked", "always"],
    "tank.water tank.level": ["0 %", "100 %", None],
    "trailer.axle": [None, "7 ft 6 in", "8 ft 6 in"],
    "site.coldest": ["-10 °C", "5 °C", None],
    "site.hottest": ["35 °C", "42 °C"],
    "site.elevation": ["0 ft", "5200 ft", None],
    "stay.night.to": ["07:00", "05:30"],
    "stay.night.on.roof fan": ["all", "20:00-23:00"],
    "safety.battery_vented": [True, False, None],
    "use.sleepers": [0, 2, None],
    "raceway.ceiling cavity.ambient": ["40 °C", "60 °C", None],
    "roof.spacing": ["16 in", "24 in"],
    "units": ["us", "metric"],
}  # fmt: skip
KILN = {
    "battery.capacity": ["50 Ah", "120 Ah"],
    "battery.chemistry": ["agm", "lfp"],
    "battery.nominal": ["12 V", "24 V"],
    "feeder.wire": ["8 AWG", "4 AWG"],
    "circuit.ceiling lights.wire": ["16 AWG", "14 AWG", "10 AWG"],
    "circuit.kiln.wire": ["12 AWG", "10 AWG"],
    "circuit.kiln.leg": [1, "both"],
    "circuit.front cooler.leg": [1, 2, None],
    "load.front cooler.class": ["roof cooler 11000", "roof cooler 15000"],
    "load.wheels.count": [1, 2],
    "supply.generator.kind": ["portable 4500 W", "portable 6500 W"],
    "supply.yard 50 A.cord_run": ["25 ft", "60 ft"],
    "envelope.roof_skin": ["aged white", "dark paint"],
    "face.roof.layers.expanded polystyrene": ["1 in", "2 in"],
    "cargo.clay.mass": ["100 lb", "600 lb"],
    "charger.current": ["10 A", "25 A"],
    "mains.inlet": ["14-50", "TT-30"],
    "mains.inlet_wire": ["6 AWG", "4 AWG"],
    "site.elevation": ["0 m", "1500 m"],
}  # fmt: skip
LAMP = {
    "battery.capacity": ["7 Ah", "20 Ah", "100 Ah"],
    "feeder.wire": ["16 AWG", "10 AWG"],
    "site.hottest": ["30 °C", None],
}


def known(trailer: str) -> tl.Design:
    """A shipped trailer by its name."""
    return tl.read_design(tl.shipped_trailers()[trailer])


def assessed(design: tl.Design) -> dict[str, float]:
    """Every metric and every count of one design, read off ``assess`` and nothing else."""
    whole = tl.assess(design)
    night, tow, sets, heat = (whole[question] for question in ("night", "towing", "generator", "cooling"))
    drops = [run.drop for run in whole["wiring"].picture.runs if run.drop is not None]
    lost = battery_side.solve(design).lost_w
    found = {
        "cost": trade_offs.METRICS["cost"].of(design),
        "mass_kg": tow.value("gross_kg"),
        "tongue": tow.value("share"),
        "reserve_h": night.value("reserve_h"),
        "lowest": night.value("lowest"),
        "worst_drop": max(drops, default=math.nan),
        "lost_w": math.nan if lost is None else lost,
        "fuel_day_l": sets.value("day_l"),
        "generator_w": sets.value("gives_w") - sets.value("running_va"),
        "peak_c": heat.value("free_c"),
    }
    words = [finding.severity for finding in whole.finding_list]
    return found | {severity: float(words.count(severity)) for severity in ORDER[:4]}


def differing(result: trade_offs.Result, row: int) -> list[str]:
    """Which columns of a candidate differ from its own assessment by more than one part in 1e9."""
    own = assessed(result.design_of(row))
    return [
        f"{key}: {result.metrics[key][row]!r} and {own[key]!r}"
        for key in result.keys
        if not same(float(result.metrics[key][row]), own[key])
    ]


def same(one: float, other: float) -> bool:
    """Alike to one part in 1e9; both not known is alike too."""
    return (math.isnan(one) and math.isnan(other)) or abs(one - other) <= 1e-9 * max(1.0, abs(other))
