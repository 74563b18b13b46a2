"""The candidates and designs that the table of ratios measures."""

from __future__ import annotations

from typing import Any

import trailerlib as tl
from trailerlib.studies.trade_offs import Candidates, evenly, grid, sampled, span, steps

KEYS = ("cost", "mass_kg", "tongue", "reserve_h", "lowest", "worst_drop", "lost_w", "fuel_day_l", "generator_w")
WIDE = ("cost", "mass_kg", "tongue", "reserve_h", "worst_drop")
COUNTS = ("stop", "fix", "note", "not checked")
QUESTIONS = ("night", "wiring", "towing", "generator")
CHEMISTRIES = ["flooded", "agm", "gel", "lfp"]
SETS = ["portable 1000 W", "portable 2000 W", "portable 3000 W", "portable 4500 W", "portable 6500 W"]
RANGED = 200_000


def whole() -> Candidates:
    """A million designs of the demo over eight axes: bank, feeder, a branch, generator, charger, a place, cargo."""
    return grid(
        [
            evenly("battery.capacity", "60 Ah", "240 Ah", 10),
            steps("battery.chemistry", CHEMISTRIES),
            steps("feeder.wire", ["8 AWG", "6 AWG", "4 AWG", "2 AWG", "1/0 AWG"]),
            steps("circuit.roof fan.wire", ["16 AWG", "14 AWG", "12 AWG", "10 AWG", "8 AWG"]),
            steps("supply.generator.kind", SETS),
            steps("charger.current", ["10 A", "20 A", "30 A", "40 A"]),
            evenly("place.nose platform.at", ["-3 ft", "3.5 ft", "1 ft"], ["-1 ft", "3.5 ft", "1 ft"], 5),
            evenly("cargo.plant presses.mass", "40 lb", "300 lb", 10),
        ]
    )


def ranges() -> Candidates:
    """Designs of which no two are alike in anything electrical: capacity, runs and masses anywhere within ranges."""
    return sampled(
        [
            span("battery.capacity", "60 Ah", "240 Ah"),
            steps("battery.chemistry", CHEMISTRIES),
            steps("feeder.wire", ["8 AWG", "6 AWG", "4 AWG", "2 AWG"]),
            span("feeder.run", "2 ft", "8 ft"),
            span("circuit.roof fan.run", "10 ft", "30 ft"),
            span("circuit.fridge.run", "5 ft", "30 ft"),
            span("cargo.plant presses.mass", "40 lb", "300 lb"),
        ],
        RANGED,
    )


CANDIDATES = {"grid": whole, "ranges": ranges}


def with_circuits(count: int) -> tl.Design:
    """The demo with so many circuits on the battery side, a light on each."""
    raw: dict[str, Any] = dict(tl.read_design(tl.shipped_trailers()["fen-survey"]).raw)
    mains = [circuit for circuit in raw["circuit"] if circuit["system"] == "mains"]
    kept = {circuit["name"] for circuit in mains}
    names = [f"light {k}" for k in range(count - len(mains))]
    lights = [{"name": n, "class": "led ceiling light", "circuit": n, "place": "ceiling"} for n in names]
    raw["circuit"] = [*mains, *({"name": n, "system": "dc", "wire": "14 AWG", "protection": "10 A"} for n in names)]
    raw["load"] = [load for load in raw["load"] if load["circuit"] in kept] + lights
    raw["stay"] = [{**stay, "on": {k: v for k, v in stay["on"].items() if k in {x["name"] for x in raw["load"]}}}
                   for stay in raw["stay"]]  # fmt: skip
    return tl.design_from(raw)


def with_more(design: tl.Design, count: int) -> tl.Design:
    """A design of ``with_circuits`` with so many circuits, more than a file may have; nothing of it worked out yet."""
    name = next(circuit.name for circuit in design.circuits if circuit.system == "dc")
    light = next(load for load in design.loads if load.circuit == name)
    new = [f"more {k}" for k in range(count - len(design.circuits))]
    circuits = tuple(design.circuit(name).model_copy(update={"name": n}) for n in new)
    loads = tuple(light.model_copy(update={"name": n, "circuit": n}) for n in new)
    made = design.model_copy(update={"circuits": design.circuits + circuits, "loads": design.loads + loads})
    for worked_out in set(vars(made)) - set(type(made).model_fields):
        del vars(made)[worked_out]  # a copy takes it along
    return made
