"""Every slider of every bench, as long as the kernel takes to the verdict: row (k). One that misses a frame stands out."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Iterator
from typing import Any

from speed_rows import Row

import trailerlib as tl

TRAILERS = ("fen-survey", "kiln-cart")
BENCHES = ("loads", "night", "wire", "mains", "generator", "cool", "roof", "tow", "trade")
FOCUS = {"wire": "circuit", "roof": "opening", "tow": "item", "mains": "supply"}  # the pick list that says of what
STEPS = 3
RESTS_S = 0.13  # until the table is written
FRAME = "≤ 5 ms to be seen in the same frame as a label"


def every_slider() -> list[Row]:
    """(k) the slowest move of each bench's slowest slider, on two trailers."""
    found = asyncio.run(_all())
    return [
        (f"(k) {bench} on {trailer}: {what}", "slowest", f"{took:.1f} ms", "", "", FRAME)
        for (trailer, bench), (took, what) in found.items()
    ]


async def _all() -> dict[tuple[str, str], tuple[float, str]]:
    worst: dict[tuple[str, str], tuple[float, str]] = {}
    for trailer in TRAILERS:
        design = tl.read_design(tl.shipped_trailers()[trailer])
        for name in BENCHES:
            bench = getattr(tl.bench, name)(design)
            for of in _looked_at(design, bench, name):
                if of is not None:
                    bench.controls[FOCUS[name]].widget.value = of
                await asyncio.sleep(RESTS_S)
                for key in bench.controls:
                    took = await _slowest(bench, key) if key != FOCUS.get(name) else 0.0
                    what = key if of is None else f"{key} of {of}"
                    worst[trailer, name] = max(worst.get((trailer, name), (0.0, "")), (took, what))
    return worst


def _looked_at(design: tl.Design, bench: Any, name: str) -> Iterator[Any]:
    """Of the wires one of each side, else the first two there are."""
    if name not in FOCUS:
        yield None
        return
    options = [value for _, value in bench.controls[FOCUS[name]].widget.options]
    if name == "wire":
        side = {circuit.name: circuit.system for circuit in design.circuits}
        yield from (next(one for one in options if side[one] == system) for system in ("dc", "mains"))
    else:
        yield from options[:2]


async def _slowest(bench: Any, key: str) -> float:
    """The slowest of a few steps of one slider [ms]; 0 of what is none, or stands at its end."""
    widget = bench.controls[key].widget
    if not (hasattr(widget, "max") and hasattr(widget, "step")) or widget.disabled or isinstance(widget.value, tuple):
        return 0.0
    took = [0.0]
    for _ in range(STEPS):
        there = widget.value + widget.step
        if there > widget.max:
            break
        begun = time.perf_counter()
        widget.value = there
        took.append(1e3 * (time.perf_counter() - begun))
        await asyncio.sleep(RESTS_S)
    return max(took)
