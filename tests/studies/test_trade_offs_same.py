"""Many designs at once say what each one's own assessment says, to one part in 1e9, whatever is varied."""

from __future__ import annotations

import random

import numpy as np
import pytest
from trade_axes import FEN, KILN, LAMP, differing, known

import trailerlib as tl
from trailerlib.studies import trade_offs
from trailerlib.studies.trade_offs import span

EVERY = {"fen-survey": FEN, "kiln-cart": KILN, "one-lamp": LAMP}


def checked(result: trade_offs.Result) -> None:
    wrong = {row: found for row in range(result.count) if (found := differing(result, row))}
    assert not wrong, wrong


@pytest.mark.parametrize(("trailer", "name"), [(trailer, name) for trailer, axes in EVERY.items() for name in axes])
def test_each_axis_by_itself(trailer, name):
    checked(trade_offs.sweep(known(trailer), {name: EVERY[trailer][name]}, proof=0))


@pytest.mark.parametrize("seed", range(6))
def test_random_candidates_over_random_axes(seed):
    trailer = ("fen-survey", "fen-survey", "kiln-cart")[seed % 3]
    axes = EVERY[trailer]
    chosen = random.Random(seed).sample(sorted(axes), 9)
    candidates = trade_offs.sampled({name: axes[name] for name in chosen}, 12, seed=seed)
    checked(trade_offs.sweep(known(trailer), candidates, proof=0))


def test_a_small_grid_in_full():
    axes = {name: FEN[name] for name in ("battery.capacity", "feeder.wire", "circuit.roof fan.wire")}
    checked(trade_offs.sweep(known("fen-survey"), axes, proof=0, chunk=7))


def test_a_battery_side_that_collapses():
    design = known("fen-survey").replace("feeder.run", "40 ft").replace("load.roof fan.class", "roof fan high")
    axes = {"feeder.wire": ["20 AWG", "18 AWG", "16 AWG", "10 AWG"], "battery.capacity": ["5 Ah", "100 Ah"]}
    result = trade_offs.sweep(design, axes, proof=0)
    assert np.isnan(result.metrics["lost_w"]).any(), "nothing collapses here: the case tests nothing"
    assert not np.isnan(result.metrics["lost_w"]).all()
    checked(result)


def test_loads_that_hold_their_current_and_loads_that_heat():
    raw = dict(known("fen-survey").raw)
    raw["load"] = [
        *raw["load"],
        {"name": "pump", "class": "water pump", "circuit": "usb", "place": "bench"},
        {"name": "old lamp", "class": "filament lamp", "circuit": "work lights", "place": "bench", "count": 2},
    ]
    raw["stay"] = [dict(stay) for stay in raw["stay"]]
    raw["stay"][0]["on"] = {**raw["stay"][0]["on"], "pump": "19:00-19:20", "old lamp": "18:00-21:00"}
    axes = {"load.pump.class": ["water pump", "usb outlet"], "circuit.usb.wire": ["16 AWG", "12 AWG"],
            "load.old lamp.count": [1, 2, 4], "battery.capacity": ["30 Ah", "90 Ah"]}  # fmt: skip
    checked(trade_offs.sweep(tl.design_from(raw), axes, proof=0))


RANGES = [
    span("battery.capacity", "40 Ah", "260 Ah"),
    span("battery.age", "70 %", "100 %"),
    span("feeder.run", "2 ft", "9 ft"),
    span("circuit.roof fan.run", "8 ft", "35 ft"),
    span("circuit.fridge.run", "5 ft", "30 ft"),
    span("cargo.plant presses.mass", "40 lb", "300 lb"),
    span("cargo.field kit.at", ["2 ft", "1.5 ft", "1.5 ft"], ["12 ft", "1.5 ft", "1.5 ft"]),
    span("place.nose platform.at", ["-3 ft", "3.5 ft", "1 ft"], ["-1 ft", "3.5 ft", "1 ft"]),
    trade_offs.steps("battery.chemistry", FEN["battery.chemistry"]),
    trade_offs.steps("circuit.work lights.wire", ["14 AWG", "10 AWG"]),
]
WITHOUT_COUNTS = tuple(trade_offs.METRICS)


def test_ranges_are_worked_out_number_by_number():
    result = trade_offs.sweep(known("fen-survey"), trade_offs.sampled(RANGES, 24, seed=5), WITHOUT_COUNTS, proof=0)
    assert len(np.unique(result.metrics["reserve_h"])) == 24
    assert len(np.unique(result.metrics["mass_kg"])) == 24
    checked(result)


def test_findings_of_the_night_and_of_towing_over_ranges():
    axes = [axis for axis in RANGES if axis.path[-1] != "run"]
    chosen = trade_offs.sampled(axes, 16, seed=2)
    keys = tuple(trade_offs.COUNTED)
    result = trade_offs.sweep(known("fen-survey"), chosen, keys, questions=("night", "towing"), proof=0)
    for row in range(result.count):
        own = trade_offs.measured(result.design_of(row), keys, ("night", "towing"))
        assert {key: result.metrics[key][row] for key in keys} == own


def test_what_must_be_asked_anew_for_every_value_of_a_range_is_refused_in_a_sentence():
    with pytest.raises(tl.DesignError, match=r"cargo\.plant presses\.mass|battery\.capacity"):
        trade_offs.sweep(
            known("fen-survey"), trade_offs.sampled(RANGES, 16), ("stop",), questions=("roof", "wiring", "trip")
        )


def test_proof_finds_a_figure_that_was_gathered_wrongly(monkeypatch):
    from trailerlib.studies.trade_offs import metrics

    honest = metrics.Measuring.of

    def wrong(self, rows):
        found = honest(self, rows)
        found["cost"] = found["cost"] * (1.0 + 1e-8)
        return found

    monkeypatch.setattr(metrics.Measuring, "of", wrong)
    with pytest.raises(AssertionError, match="cost"):
        trade_offs.sweep(known("fen-survey"), {"battery.capacity": ["90 Ah"]}, ("cost",))
