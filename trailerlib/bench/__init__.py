"""What moves on the screen: one bench a question, the start page, and the desk that writes the build file."""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

_HOMES = {
    "loads": "trailerlib.bench.loads",
    "night": "trailerlib.bench.night",
    "wire": "trailerlib.bench.wire",
    "generator": "trailerlib.bench.generator",
    "start": "trailerlib.bench.start",
    "build": "trailerlib.bench.build",
    "assert_sound": "trailerlib.bench.faults",
}

if TYPE_CHECKING:
    from trailerlib.bench import charts as charts
    from trailerlib.bench.build import build as build
    from trailerlib.bench.faults import assert_sound as assert_sound
    from trailerlib.bench.generator import generator as generator
    from trailerlib.bench.loads import loads as loads
    from trailerlib.bench.night import night as night
    from trailerlib.bench.start import start as start
    from trailerlib.bench.wire import wire as wire


def __getattr__(name: str) -> Any:
    if name == "charts":
        return importlib.import_module("trailerlib.bench.charts")
    if name in _HOMES:
        found = getattr(importlib.import_module(_HOMES[name]), name)
        globals()[name] = found  # the module of the same name must not take its place
        return found
    raise AttributeError(f"module 'trailerlib.bench' has no attribute {name!r}")
