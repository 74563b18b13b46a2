"""What is kept must be what would be worked out anew: one part of a design is changed at a time, and all studies asked.

A changed design shares its other parts with the one before, so everything that was kept may be handed out again; the
same plain data read afresh shares nothing.
"""

from __future__ import annotations

import copy
import gc
from collections import OrderedDict
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import fields, is_dataclass
from typing import Any

import numpy as np
import pytest

import trailerlib as tl
from trailerlib.design import asked
from trailerlib.studies.kept import Kept

PLACES = {"panel": ["3 ft", "5 in", "4 ft"], "inlet": ["2 ft", "-2 in", "2 ft"]}
CART = {
    "site.coldest": "-3 C", "routing.service_loop": "2 ft", "place.mains panel.at": PLACES["panel"],
    "place.inlet.at": PLACES["inlet"], "mains.inlet_wire": "4 AWG", "units": "metric",
    "load.drying heater.power": "1300 W", "stay.class day.to": "13:00", "stay.class day.on.kiln": None, "circuit.kiln.run": "31 ft",
    "circuit.kiln.ambient": "55 C", "circuit.front cooler.bundle": 9, "circuit.glaze bench.wire": "10 AWG",
}  # fmt: skip
SURVEY = {
    "site.hottest": "43 C", "site.coldest": "-3 C", "site.elevation": "900 m", "routing.service_loop": "2 ft",
    "place.mains panel.at": PLACES["panel"], "mains.inlet_wire": "4 AWG", "mains.main": "20 A",
    "comfort.set_point": "24 C", "trailer.height": "7 ft", "battery.capacity": "60 Ah", "charger.current": "40 A",
    "feeder.run": "9 ft", "circuit.fridge.run": "30 ft", "load.specimen fridge.power": "70 W",
    "load.microscope lamp.power": "90 W", "load.USB at the bench.power": "33 W", "stay.drying day.to": "13:00", "stay.camp with power.on.roof cooler": None,
    "circuit.roof cooler.run": "31 ft", "circuit.bench outlets.run": "27 ft", "circuit.roof cooler.ambient": "55 C",
    "circuit.bench outlets.bundle": 9, "circuit.usb.protection": "7.5 A", "load.kettle.place": "bunk",
    "supply.shore.voltage": "112 V", "supply.generator.kind": "portable 2000 W", "roof.spacing": "16 in",
    "cargo.plant presses.mass": "200 lb", "envelope.roof_skin": "dark paint",
}  # fmt: skip


def plain(value: Any) -> Any:
    """Everything that an answer holds, to be compared: arrays as lists, numbers to nine digits."""
    if isinstance(value, np.ndarray | np.generic):
        return plain(value.tolist())
    if isinstance(value, float):
        return f"{value:.9g}"
    if is_dataclass(value):
        late = [value.path] if hasattr(value, "find_path") else []
        return [type(value).__name__, *(plain(getattr(value, one.name)) for one in fields(value)), plain(late)]
    if isinstance(value, Mapping):
        return {str(key): plain(part) for key, part in value.items()}
    if isinstance(value, list | tuple):
        return [plain(part) for part in value]
    return sorted(map(str, value)) if isinstance(value, set | frozenset) else _named(value)


def _named(value: Any) -> Any:
    """A part of the design itself by what it says, else words and numbers; what only works something out by its kind."""
    if hasattr(value, "model_dump"):
        return repr(value)
    return value if value is None or isinstance(value, str | int | complex) else type(value).__name__


def said(design: tl.Design) -> dict[str, Any]:
    return {
        question: plain([a.sentence, a.numbers, a.rows, a.besides, a.working, a.checks, a.picture])
        for question, a in tl.assess(design).answers.items()
    }


@contextmanager
def nothing_kept() -> Iterator[None]:
    """As in a process that has just begun: what is kept by values would else be kept for the fresh design too."""
    shelves = [one._shelf for one in gc.get_objects() if type(one) is Kept]
    before, latest = [shelf.kept for shelf in shelves], asked._LATEST
    assert len(shelves) > 20, "all of them are found"
    for shelf in shelves:
        shelf.kept = OrderedDict()
    asked._LATEST = asked._Latest()
    yield
    asked._LATEST = latest
    for shelf, kept in zip(shelves, before, strict=True):
        shelf.kept = kept


def kept_against_fresh(design: tl.Design, changes: Mapping[str, Any]) -> None:
    """Each change in its turn, on top of the ones before, so that every cache has met a design next to it."""
    said(design)
    for path, value in changes.items():
        design = design.replace(path, value)
        ours = said(design)
        with nothing_kept():
            assert ours == said(tl.design_from(copy.deepcopy(dict(design.raw)))), path


@pytest.mark.parametrize(("trailer", "changes"), [("kiln-cart", CART), ("fen-survey", SURVEY)])
def test_a_part_that_is_changed_is_seen_by_all_that_rests_on_it(trailer: str, changes: Mapping[str, Any]) -> None:
    kept_against_fresh(tl.read_design(tl.shipped_trailers()[trailer]), changes)


def test_where_there_is_no_supply_a_load_that_is_changed_is_seen_too() -> None:
    raw = dict(tl.read_design(tl.shipped_trailers()["fen-survey"]).raw)
    raw["supply"], raw["stay"] = [], [stay for stay in raw["stay"] if stay["supply"] == "battery"]
    kept_against_fresh(tl.design_from(raw), {"load.kettle.power": "900 W", "circuit.bench outlets.run": "30 ft"})


def test_what_is_still_missing_of_the_air_is_said_anew_in_the_trip_too() -> None:
    raw = copy.deepcopy(dict(tl.read_design(tl.shipped_trailers()["fen-survey"]).raw))
    raw["envelope"].pop("skin"), raw["envelope"].pop("heading")
    design = tl.design_from(raw)
    assert "by the air outside" in str(tl.study("trip", design).besides)
    kept_against_fresh(design, {"envelope.skin": "white paint", "envelope.heading": 90})
