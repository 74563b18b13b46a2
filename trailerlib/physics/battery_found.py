"""What comes of a march: curves of every step where they were kept, sums and extremes, laid out for a Week."""

from __future__ import annotations

from itertools import chain
from typing import Any

import numpy as np

from trailerlib.physics.battery_bank import MANY, Floats
from trailerlib.physics.battery_flows import FLOWS, flowed
from trailerlib.physics.battery_march import Run
from trailerlib.physics.battery_step import Bus, Passed


def found(run: Run) -> dict[str, Any]:
    """Everything a Week is made of.

    Parameters
    ----------
    run : the march, come to its end
    """
    given, tail = run.given, () if run.given.banks is None else (run.given.banks,)
    kept, charge = _curves(run, tail) if run.keeps else (np.empty((3 + len(FLOWS), 0, *tail)), np.empty((0, *tail)))
    sums = run.wh
    if run.keeps:
        _extremes(run, charge, kept[2])
        sums = [(flow * given.step_h.reshape(-1, *(1,) * len(tail))).sum(axis=0) for flow in kept[3:]]
    area = run.cell.ocv.area
    gained = area(run.charge_ah / run.cell.capacity_ah) - area(run.begin_ah / run.cell.capacity_ah)
    named = {name: getattr(run, name) for name in ("lowest", "lowest_at_h", "last", "lowest_v", "full_h")}
    groups = {name: getattr(run, name) for name in ("cut_h", "off_h", "unmet_wh")}
    return {
        "charge": charge,
        "stored_ah": kept[0],
        "current_a": kept[1],
        "bus_v": kept[2],
        "flows_w": dict(zip(FLOWS, kept[3:], strict=True)),
        "flows_wh": {name: sums[number] + np.zeros(tail) for number, name in enumerate(FLOWS)},
        "stored_wh": np.asarray(gained * run.cell.capacity_ah),
        **{name: np.asarray(value + np.zeros(tail)) for name, value in named.items()},
        **{name: np.array([x + np.zeros(tail) for x in values]) for name, values in groups.items()},
    }


def _curves(run: Run, tail: tuple[int, ...]) -> tuple[Floats, Floats]:
    """Stored charge, current, voltage and flows of every step, and the share of charge with its begin."""
    given, steps = run.given, len(run.shares)
    now, asked = (_column(run, rows) for rows in (run.steps, run.asked))
    done, bus = Passed(*now), Bus(*asked)
    sources = (given.charger_a, given.converter_a, given.solar_a, given.solar_w)
    named = [np.asarray(x, dtype=float) for x in sources]
    pad = np.asarray(run.pads) if given.pad is not None else np.zeros((steps, *tail))
    flows = flowed(MANY, named, done, bus, pad)
    rows = (done.charge_ah, done.current_a, done.load_v, *flows)
    kept = np.array([np.broadcast_to(x, (steps, *tail)) for x in rows])
    for k, mixed in run.mixed.items():
        for number, value in enumerate(mixed):
            kept[1 + number, k] = value
    begin = np.broadcast_to(np.asarray(given.start, dtype=float), (1, *tail))
    return kept, np.concatenate([begin, np.asarray(run.shares)])


def _column(run: Run, rows: list[Any]) -> list[Floats]:
    """Rows of steps turned into one array for each of their fields."""
    if run.given.banks is None:
        width = len(rows[0])
        flat = np.fromiter(chain.from_iterable(rows), dtype=float, count=width * len(rows))
        return list(flat.reshape(-1, width).T)
    many = (run.given.banks,)
    return [np.array([np.broadcast_to(x, many) for x in field]) for field in zip(*rows, strict=True)]


def _extremes(run: Run, charge: Floats, bus_v: Floats) -> None:
    """Lowest charge and when, lowest voltage, last charge, read off the curves."""
    at = np.argmin(charge, axis=0)
    clock = np.concatenate([[0.0], np.cumsum(run.given.step_h)])
    run.lowest, run.lowest_at_h, run.last = charge.min(axis=0), clock[at], charge[-1]
    run.lowest_v = np.minimum(run.lowest_v, bus_v.min(axis=0))
