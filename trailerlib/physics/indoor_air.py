"""What sleepers do to the air: carbon dioxide over the night, and the air it takes to keep it down.

The air inside is taken as well mixed.
"""

from __future__ import annotations

from itertools import accumulate
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics.engine import standard_pressure_pa
from trailerlib.physics.formula import Number, formula

Floats = NDArray[np.float64]

OUTSIDE_CO2_PPM = 420.0  # mean of the atmosphere in the middle of the 2020s (from memory)
SEA_LEVEL_PA = standard_pressure_pa(0.0)


@formula(
    r"@{each_m3_s} \, \frac{101325}{@{pressure_pa}}",
    symbols={"each_m3_s": "G_{0}", "pressure_pa": "p"},
    units={"each_m3_s": "m³/s", "pressure_pa": "Pa", "return": "m³/s"},
    result="G",
    title="Carbon dioxide of one person at a height",
    source="ideal gas: the same mass takes more room in thin air",
)
def co2_at_height_m3_s(each_m3_s: Number, pressure_pa: Number) -> Number:
    """Carbon dioxide that one person gives off, as a volume in the air of a height.

    Parameters
    ----------
    each_m3_s : [m3/s] at sea level
    pressure_pa : [Pa] of the air

    Returns
    -------
    [m3/s] broadcast shape

    Source
    ------
    Ideal gas: a body burns as much at a height, and the same mass takes more room.
    """
    return each_m3_s * SEA_LEVEL_PA / pressure_pa


@formula(
    r"@{outside_ppm} + 10^{6} \, \frac{@{people} \, @{each_m3_s}}{@{flow_m3_s}}",
    symbols={"people": "N", "each_m3_s": "G", "flow_m3_s": r"q", "outside_ppm": "C_{o}"},
    units={"people": "-", "each_m3_s": "m³/s", "flow_m3_s": "m³/s", "outside_ppm": "ppm", "return": "ppm"},
    result="C_{s}",
    title="Carbon dioxide after a long time",
    source="mass balance; ASHRAE 62.1 informative appendix",
)
def co2_steady_ppm(
    people: Number, each_m3_s: Number, flow_m3_s: Number, outside_ppm: Number = OUTSIDE_CO2_PPM
) -> Number:
    """Carbon dioxide that the air comes to in the end.

    Parameters
    ----------
    people : [-] inside
    each_m3_s : [m3/s] carbon dioxide of one, in the air of the height
    flow_m3_s : [m3/s] air from outside, above zero
    outside_ppm : [ppm] carbon dioxide outside

    Returns
    -------
    [ppm] broadcast shape

    Source
    ------
    Mass balance, as in the informative appendix of ASHRAE 62.1.
    """
    return outside_ppm + 1e6 * people * each_m3_s / flow_m3_s


@formula(
    r"10^{6} \, \frac{@{people} \, @{each_m3_s}}{@{target_ppm} - @{outside_ppm}}",
    symbols={"people": "N", "each_m3_s": "G", "target_ppm": "C", "outside_ppm": "C_{o}"},
    units={"people": "-", "each_m3_s": "m³/s", "target_ppm": "ppm", "outside_ppm": "ppm", "return": "m³/s"},
    result=r"q",
    title="Air from outside that keeps carbon dioxide down",
    source="mass balance in a steady state",
)
def flow_for_co2_m3_s(
    people: Number, each_m3_s: Number, target_ppm: Number, outside_ppm: Number = OUTSIDE_CO2_PPM
) -> Number:
    """Air from outside with which carbon dioxide never passes a mark, however long the night.

    Parameters
    ----------
    people : [-] inside
    each_m3_s : [m3/s] carbon dioxide of one, in the air of the height
    target_ppm : [ppm] not to be passed, above outside
    outside_ppm : [ppm] carbon dioxide outside

    Returns
    -------
    [m3/s] broadcast shape

    Source
    ------
    ``co2_steady_ppm`` solved for the flow.
    """
    return 1e6 * people * each_m3_s / (target_ppm - outside_ppm)


@formula(
    r"@{steady} + \left( @{start} - @{steady} \right) \, e^{- \frac{3600 \, @{flow_m3_s} \, "
    r"@{hours}}{@{volume_m3}}}",
    symbols={"start": "C_{0}", "steady": "C_{s}", "flow_m3_s": r"q", "volume_m3": "V", "hours": "t"},
    units={"start": "ppm", "steady": "ppm", "flow_m3_s": "m³/s", "volume_m3": "m³", "hours": "h", "return": "ppm"},
    result="C",
    title="Carbon dioxide after some hours",
    source="mass balance of well-mixed air",
)
def approach(start: Number, steady: Number, flow_m3_s: Number, volume_m3: Number, hours: Number) -> Number:
    """What well-mixed air has come to after a while of the same flow.

    Parameters
    ----------
    start : [any] at first
    steady : [any] after a long time, in the same unit
    flow_m3_s : [m3/s] air from outside
    volume_m3 : [m3] of the box
    hours : [h] from the start

    Returns
    -------
    In the same unit, broadcast shape

    Source
    ------
    Mass balance of well-mixed air: one decay.
    """
    return steady + (start - steady) * np.exp(-3600.0 * flow_m3_s * hours / volume_m3)


def co2_night_ppm(
    people: Number,
    each_m3_s: Number,
    flow_m3_s: Number,
    volume_m3: Number,
    step_h: float,
    start_ppm: Number = OUTSIDE_CO2_PPM,
    outside_ppm: Number = OUTSIDE_CO2_PPM,
) -> Floats:
    """Carbon dioxide over a night, step by step; exact where people and flow are constant within a step.

    Parameters
    ----------
    people : [-] inside, shape (..., steps)
    each_m3_s : [m3/s] carbon dioxide of one, in the air of the height; a float or shape (..., steps)
    flow_m3_s : [m3/s] air from outside, not below zero; shape (..., steps)
    volume_m3 : [m3] of the box, a float or shape (...)
    step_h : [h] length of a step
    start_ppm : [ppm] at first
    outside_ppm : [ppm] carbon dioxide outside

    Returns
    -------
    [ppm] shape (..., steps + 1), the first is the start

    Source
    ------
    Mass balance of well-mixed air.
    """
    return mixed_air(1e6 * np.asarray(people) * each_m3_s, flow_m3_s, volume_m3, step_h, start_ppm, outside_ppm)


def mixed_air(given: Number, flow: Number, volume: Number, step_h: float, start: Number, outside: Number) -> Floats:
    """Well-mixed air over time: V dC/dt = given + flow (outside - C), exact where given and flow stay for a step.

    Parameters
    ----------
    given : [any m3/s] set free inside, shape (..., steps)
    flow : [m3/s] air from outside, not below zero; shape (..., steps)
    volume : [m3] of the box, a float or shape (...)
    step_h : [h] length of a step
    start : [any] at first
    outside : [any] outside, in the same unit

    Returns
    -------
    In the same unit, shape (..., steps + 1), the first is the start

    Source
    ------
    Mass balance.
    """
    shape = np.broadcast_shapes(np.shape(given), np.shape(flow), (*np.shape(volume), 1))
    rates = np.broadcast_to(np.asarray(flow, dtype=float) / np.asarray(volume)[..., None], shape) * 3600.0 * step_h
    rises = np.broadcast_to(np.asarray(given, dtype=float) / np.asarray(volume)[..., None], shape) * 3600.0 * step_h
    steps: list[Any] = [np.moveaxis(part, -1, 0) for part in (np.exp(-rates), rises * _mean_of_decay(rates))]
    first, far = np.broadcast_to(start, shape[:-1]), np.asarray(outside)
    if len(shape) == 1:  # plain numbers are several times as quick as arrays of one
        first, far, *steps = (part.tolist() for part in (first, far, *steps))

    def after(content: Any, step: tuple[Any, Any]) -> Any:
        kept, gained = step
        return far + (content - far) * kept + gained

    return np.moveaxis(np.array(list(accumulate(zip(*steps, strict=True), after, initial=first))), 0, -1)


def _mean_of_decay(x: Floats) -> Floats:
    """(1 - e^-x) / x for x not below zero, 1 where it is zero."""
    still = x < 1e-12
    safe = np.where(still, 1.0, x)
    return np.where(still, 1.0 - 0.5 * x, -np.expm1(-safe) / safe)


@formula(
    r"\frac{@{volume_m3}}{3600 \, @{flow_m3_s}} \, \ln \left( \frac{@{steady} - @{start}}{@{steady} - @{target}} "
    r"\right)",
    symbols={"start": "C_{0}", "target": "C", "steady": "C_{s}", "flow_m3_s": r"q", "volume_m3": "V"},
    units={"start": "ppm", "target": "ppm", "steady": "ppm", "flow_m3_s": "m³/s", "volume_m3": "m³", "return": "h"},
    result="t",
    title="Time until a mark is passed",
    source="mass balance of well-mixed air",
)
def hours_until(start: Number, target: Number, steady: Number, flow_m3_s: Number, volume_m3: Number) -> Number:
    """How long it takes until a mark is passed.

    Parameters
    ----------
    start : [any] at first, not above the target
    target : [any] the mark, in the same unit
    steady : [any] after a long time, in the same unit
    flow_m3_s : [m3/s] air from outside, above zero
    volume_m3 : [m3] of the box

    Returns
    -------
    [h] broadcast shape; inf where it is never passed

    Source
    ------
    ``approach`` solved for the time.
    """
    gap = np.asarray(steady - np.asarray(target), dtype=float)
    passed = gap > 0.0
    ratio = np.where(passed, (steady - np.asarray(start)) / np.where(passed, gap, 1.0), 1.0)
    return np.where(passed, volume_m3 / (3600.0 * flow_m3_s) * np.log(ratio), np.inf)[()]
