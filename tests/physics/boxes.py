"""An ordinary box and what works on it over three days, for the tests of this room."""

from __future__ import annotations

from typing import Any

import numpy as np
from scipy.integrate import solve_ivp

from trailerlib.physics.enclosure import Box
from trailerlib.physics.enclosure_run import Drive

STEP_S, STEPS_PER_HOUR = 300.0, 12
BOX = Box(165e3, 1.2e6, 17.0, 410.0, 55.0)


def drive(hours: int = 72, high_c: float = 37.0, sun_k: float = 14.0) -> Drive:
    """Air, sol-air and gains that change every hour and never alike, in steps of five minutes."""
    hour = np.arange(hours) + 0.5
    outside = high_c - 7.0 * (1.0 - np.cos((hour - 15.0) * np.pi / 12.0)) + 0.8 * np.sin(1.7 * hour)
    fabric = outside + sun_k * np.maximum(0.0, np.sin((hour % 24.0 - 6.0) * np.pi / 12.0)) - 2.0
    air_w = 90.0 + 60.0 * (np.sin(2.3 * hour) > 0.3)
    mass_w = 40.0 + 300.0 * np.maximum(0.0, np.sin((hour % 24.0 - 7.0) * np.pi / 10.0))
    return Drive(*(np.repeat(part, STEPS_PER_HOUR) for part in (outside, fabric, air_w, mass_w)))


def hold(value: float, steps: int) -> np.ndarray:
    """The same in every step."""
    return np.full(steps, float(value))


def solved(box: Box, work: Drive, start: tuple[float, float], cold_at: Any, cuts: Any, step_s: float = STEP_S) -> Any:
    """Air and mass at the end of every step by an adaptive solver, begun anew at every cut and every hour [s].

    ``cold_at`` gives the cold [W] of the piece that begins at a moment. Also what air and mass are at each cut.
    """
    end = step_s * len(work.outside_c)
    breaks = sorted({*np.arange(0.0, end + 1.0, 3600.0), *cuts, end})
    state, found, at_cut = np.array(start, float), [], {}
    for begin, until in zip(breaks, breaks[1:], strict=False):
        k = int((begin + 1e-6) // step_s)
        given = (work.outside_c[k], work.fabric_c[k], work.air_w[k] - cold_at(begin), work.mass_w[k])
        grid = step_s * np.arange(np.ceil((begin + 1e-6) / step_s), np.ceil((until - 1e-6) / step_s))
        run = solve_ivp(
            slope_of(box, *given), (begin, until), state, method="DOP853", t_eval=[*grid, until], rtol=1e-9, atol=1e-9
        )  # fmt: skip
        on_grid = abs(until / step_s - round(until / step_s)) < 1e-6
        found.append(run.y if on_grid else run.y[:, :-1])
        state = run.y[:, -1]
        at_cut[until] = state
    return np.concatenate(found, axis=1), at_cut


def slope_of(box: Box, outside: float, fabric: float, air_w: float, mass_w: float) -> Any:
    """The two balances as a solver wants them."""

    def slope(_t: float, y: np.ndarray) -> list[float]:
        between = box.film_w_per_k * (y[1] - y[0])
        return [
            (box.air_w_per_k * (outside - y[0]) + between + air_w) / box.air_j_per_k,
            (box.fabric_w_per_k * (fabric - y[1]) - between + mass_w) / box.mass_j_per_k,
        ]

    return slope
