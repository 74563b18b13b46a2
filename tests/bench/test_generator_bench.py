"""The bench of “Which generator?”: two pictures, the cord and the soft starter in the start as it happens."""

from __future__ import annotations

from typing import Any

import pytest

import trailerlib as tl
from trailerlib import pictures
from trailerlib.design.design import Design
from trailerlib.pictures.start_curve import start_curve
from trailerlib.studies.generator import start_case

MOST_CONTROLS = 8


def show(bench: Any, name: str) -> str:
    bench._shown.value = name
    return str(bench.picture_text)


def expected(design: Design, load: str, before: Design | None) -> str:
    now, then = (None if d is None else start_case(d, d.supply("generator"), load) for d in (design, before))
    return start_curve(now, then)


def test_it_has_no_more_controls_than_a_hand_finds(demo, bench_of):
    bench = bench_of("generator", demo)
    assert len(bench.controls) <= MOST_CONTROLS
    assert set(bench.controls) == {
        "kind", "elevation", "hottest", "cord_run", "cord", "charger", "load", "soft_start",
    }  # fmt: skip
    for key in ("elevation", "hottest", "cord_run", "charger"):
        assert "[" in bench.controls[key].widget.description, "a slider without its unit"


def test_the_pictures_switch(demo, bench_of):
    bench = bench_of("generator", demo)
    assert tuple(bench.pictures) == ("classes", "start") and bench.shown == "classes"
    assert show(bench, "classes") == pictures.generator_bars(tl.study("generator", demo))
    assert show(bench, "start") == expected(demo, "roof cooler", None)
    assert bench.design is demo


MOVED = [
    ("kind", "portable 6500 W"), ("cord_run", 100.0), ("cord", "14 AWG"), ("charger", 60.0), ("soft_start", True),
    ("elevation", 9000.0), ("hottest", 120.0),
]  # fmt: skip


@pytest.mark.parametrize(("key", "value"), MOVED)
def test_the_start_follows_every_control_and_keeps_its_ghost(key, value, demo, bench_of):
    bench = bench_of("generator", demo)
    old = show(bench, "start")
    bench.move(key, value)
    assert bench.picture_text == expected(bench.design, "roof cooler", demo) != old


def test_another_load_is_another_start(demo, bench_of):
    bench = bench_of("generator", demo)
    show(bench, "start")
    bench.move("load", "kettle")
    assert "no motor" in bench.picture_text and bench.design is demo
    bench.move("load", "roof cooler")
    assert bench.picture_text == expected(demo, "roof cooler", None)


def test_a_move_of_the_cord_is_what_a_person_would_have_written(demo, bench_of):
    bench = bench_of("generator", demo)
    bench.move("cord_run", 80.0)
    bench.move("cord", "12 AWG")
    by_hand = demo.replace_all({"supply.generator.cord_run": "80 ft", "supply.generator.cord": "12 AWG"})
    assert bench.design.supply("generator") == by_hand.supply("generator")


def test_without_a_generator_there_is_no_start(changed, bench_of):
    def gone(raw):
        raw["supply"] = [s for s in raw["supply"] if s["name"] != "generator"]
        raw["stay"] = [s for s in raw["stay"] if s["supply"] != "generator"]

    bench = bench_of("generator", changed(gone))
    assert "Not checked: there is no generator" in show(bench, "start")
    assert all(bench.controls[key].widget.disabled for key in ("kind", "cord", "cord_run"))
