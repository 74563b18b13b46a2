"""What moves on the screen: one bench a question, the start page, and the desk that writes the build file."""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

_HOMES = {
    "loads": "trailerlib.bench.loads_bench",
    "night": "trailerlib.bench.night_bench",
    "wire": "trailerlib.bench.wire_bench",
    "routes": "trailerlib.bench.route_picture",
    "mains": "trailerlib.bench.mains_bench",
    "generator": "trailerlib.bench.generator_bench",
    "tow": "trailerlib.bench.tow_bench",
    "cool": "trailerlib.bench.cool_bench",
    "roof": "trailerlib.bench.roof_bench",
    "closing": "trailerlib.bench.closing_bench",
    "find_the_fault": "trailerlib.bench.fault_hunt",
    "trade": "trailerlib.bench.trade_bench",
    "start": "trailerlib.bench.start_page",
    "which": "trailerlib.bench.open_form",
    "begin_own": "trailerlib.bench.begin_form",
    "build": "trailerlib.bench.build_desk",
    "compare": "trailerlib.bench.compare_desk",
    "one_line": "trailerlib.bench.one_line_picture",
    "class_desk": "trailerlib.bench.class_desk",
    "lesson": "trailerlib.bench.lesson_page",
    "find_the_mistakes": "trailerlib.bench.mistake_hunt",
    "fault_on_the_way": "trailerlib.bench.way_hunt",
    "assert_sound": "trailerlib.bench.faults",
}

if TYPE_CHECKING:
    from trailerlib.bench import charts as charts
    from trailerlib.bench.begin_form import begin_own as begin_own
    from trailerlib.bench.build_desk import build as build
    from trailerlib.bench.class_desk import class_desk as class_desk
    from trailerlib.bench.closing_bench import closing as closing
    from trailerlib.bench.compare_desk import compare as compare
    from trailerlib.bench.cool_bench import cool as cool
    from trailerlib.bench.fault_hunt import find_the_fault as find_the_fault
    from trailerlib.bench.faults import assert_sound as assert_sound
    from trailerlib.bench.generator_bench import generator as generator
    from trailerlib.bench.lesson_page import lesson as lesson
    from trailerlib.bench.loads_bench import loads as loads
    from trailerlib.bench.mains_bench import mains as mains
    from trailerlib.bench.mistake_hunt import find_the_mistakes as find_the_mistakes
    from trailerlib.bench.night_bench import night as night
    from trailerlib.bench.one_line_picture import one_line as one_line
    from trailerlib.bench.open_form import which as which
    from trailerlib.bench.roof_bench import roof as roof
    from trailerlib.bench.route_picture import routes as routes
    from trailerlib.bench.start_page import start as start
    from trailerlib.bench.tow_bench import tow as tow
    from trailerlib.bench.trade_bench import trade as trade
    from trailerlib.bench.way_hunt import fault_on_the_way as fault_on_the_way
    from trailerlib.bench.wire_bench import wire as wire


def __getattr__(name: str) -> Any:
    if name == "charts":
        return importlib.import_module("trailerlib.bench.charts")
    if name in _HOMES:
        found = getattr(importlib.import_module(_HOMES[name]), name)
        globals()[name] = found
        return found
    raise AttributeError(f"module 'trailerlib.bench' has no attribute {name!r}")
