"""A roof fan: its curve, where it meets the openings, and what it draws.

Leaks are left out while it runs. Height changes pressure and power with the density of the air, and leaves the flow as
it is.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from trailerlib.physics.airflow import SEA_LEVEL_KG_M3
from trailerlib.physics.formula import Number, formula

REVERSED_PASSES = 0.6  # blades that run backwards meet the air with the wrong side (common practice, no source)
HALVINGS = 60


@formula(
    r"@{shut_off_pa} \, @{speed}^{2} \, \frac{@{density_kg_m3}}{1.2041} \, \left( 1 - \left( "
    r"\frac{@{flow_m3_s}}{@{speed} \, @{free_flow_m3_s}} \right)^{2} \right)",
    symbols={"flow_m3_s": r"q", "free_flow_m3_s": r"q_{0}", "shut_off_pa": "p_{0}", "speed": "n",
             "density_kg_m3": r"\rho"},
    units={"flow_m3_s": "m³/s", "free_flow_m3_s": "m³/s", "shut_off_pa": "Pa", "speed": "-",
           "density_kg_m3": "kg/m³", "return": "Pa"},
    result="p",
    title="Pressure a fan makes at a flow",
    source="parabola through free air and shut-off, moved by the fan laws",
)  # fmt: skip
def fan_pressure_pa(
    flow_m3_s: Number,
    free_flow_m3_s: Number,
    shut_off_pa: Number,
    speed: Number = 1.0,
    density_kg_m3: Number = SEA_LEVEL_KG_M3,
) -> Number:
    """Pressure that a fan makes while so much air goes through it; below zero beyond its free flow.

    Parameters
    ----------
    flow_m3_s : [m3/s] through the fan
    free_flow_m3_s : [m3/s] with nothing in its way, at full speed
    shut_off_pa : [Pa] with no flow, at full speed, in air of 1.2041 kg/m3
    speed : [-] share of the full speed, above zero
    density_kg_m3 : [kg/m3] of the air

    Returns
    -------
    [Pa] broadcast shape

    Source
    ------
    Fan laws: flow goes with speed, pressure with its square and with the density. The parabola is an assumption.
    """
    share = flow_m3_s / (speed * free_flow_m3_s)
    return shut_off_pa * speed**2 * density_kg_m3 / SEA_LEVEL_KG_M3 * (1.0 - share**2)


@formula(
    r"\frac{@{speed} \, @{free_flow_m3_s} \, @{effective_m2}}{\sqrt{@{effective_m2}^{2} + \frac{1.2041 \, "
    r"@{free_flow_m3_s}^{2}}{2 \, @{shut_off_pa}}}}",
    symbols={"effective_m2": "C_{d} A", "free_flow_m3_s": r"q_{0}", "shut_off_pa": "p_{0}", "speed": "n"},
    units={"effective_m2": "m²", "free_flow_m3_s": "m³/s", "shut_off_pa": "Pa", "speed": "-", "return": "m³/s"},
    result=r"q",
    title="Where the fan and the openings meet",
    source="fan parabola equal to the pressure of the openings, solved for the flow",
)
def fan_flow_m3_s(effective_m2: Number, free_flow_m3_s: Number, shut_off_pa: Number, speed: Number = 1.0) -> Number:
    """Air that a fan moves through the openings; none where nothing is open.

    Parameters
    ----------
    effective_m2 : [m2] of all openings, as ``effective_m2`` gives it
    free_flow_m3_s : [m3/s] with nothing in the fan's way, at full speed
    shut_off_pa : [Pa] with no flow, at full speed, in air of 1.2041 kg/m3
    speed : [-] share of the full speed

    Returns
    -------
    [m3/s] broadcast shape; the density of the air falls out, so height leaves it as it is

    Source
    ------
    ``fan_pressure_pa`` = ``opening_pressure_pa``, in closed form.
    """
    nozzle_m4 = SEA_LEVEL_KG_M3 * np.asarray(free_flow_m3_s) ** 2 / (2.0 * shut_off_pa)
    flow: Number = speed * free_flow_m3_s * effective_m2 / np.sqrt(np.asarray(effective_m2) ** 2 + nozzle_m4)
    return flow


def flow_on_curve_m3_s(
    effective_m2: Number, curve_m3_s: Sequence[float], curve_pa: Sequence[float], speed: Number = 1.0
) -> Number:
    """Air that a fan moves through the openings, by points of its maker's curve.

    Parameters
    ----------
    effective_m2 : [m2] of all openings
    curve_m3_s : [m3/s] flows at full speed, rising from 0
    curve_pa : [Pa] pressures there in air of 1.2041 kg/m3, falling to 0
    speed : [-] share of the full speed

    Returns
    -------
    [m3/s] broadcast shape

    Raises
    ------
    ValueError
        When the points are no curve of a fan.

    Source
    ------
    Straight lines between the points, halved until the pressures agree; fan laws for the speed.
    """
    flows, pressures = np.asarray(curve_m3_s, dtype=float), np.asarray(curve_pa, dtype=float)
    rising = flows.ndim == 1 and len(flows) >= 2 and flows.shape == pressures.shape and bool(np.all(np.diff(flows) > 0))
    if not rising or flows[0] != 0.0 or pressures[-1] != 0.0 or not np.all(np.diff(pressures) < 0):
        raise ValueError("a fan's curve needs flows that rise from 0 and pressures that fall to 0, as many of each.")
    openings = np.asarray(effective_m2, dtype=float)
    low, high = np.zeros_like(openings), np.full_like(openings, flows[-1])
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        needed = 0.5 * SEA_LEVEL_KG_M3 * middle**2
        enough = np.interp(middle, flows, pressures) * openings**2 > needed
        low, high = np.where(enough, middle, low), np.where(enough, high, middle)
    found: Number = (speed * 0.5 * (low + high))[()]
    return found


@formula(
    r"\sqrt{\frac{1.2041}{2 \, @{shut_off_pa}} \, \frac{1}{\left( \frac{@{speed}}{@{flow_m3_s}} \right)^{2} - "
    r"\frac{1}{@{free_flow_m3_s}^{2}}}}",
    symbols={"flow_m3_s": r"q", "free_flow_m3_s": r"q_{0}", "shut_off_pa": "p_{0}", "speed": "n"},
    units={"flow_m3_s": "m³/s", "free_flow_m3_s": "m³/s", "shut_off_pa": "Pa", "speed": "-", "return": "m²"},
    result="C_{d} A",
    title="Opening that a flow needs",
    source="where fan and openings meet, the other way round",
)
def opening_for_flow_m2(flow_m3_s: Number, free_flow_m3_s: Number, shut_off_pa: Number, speed: Number = 1.0) -> Number:
    """What must be open for a fan to move so much air.

    Parameters
    ----------
    flow_m3_s : [m3/s] wanted, above zero
    free_flow_m3_s : [m3/s] with nothing in the fan's way, at full speed
    shut_off_pa : [Pa] with no flow, at full speed, in air of 1.2041 kg/m3
    speed : [-] share of the full speed

    Returns
    -------
    [m2] worth to the air (``effective_m2``), broadcast shape; inf where the fan cannot move so much at all

    Source
    ------
    ``fan_flow_m3_s`` solved for the openings.
    """
    spare = np.asarray((speed / np.asarray(flow_m3_s)) ** 2 - 1.0 / np.asarray(free_flow_m3_s) ** 2)
    with np.errstate(divide="ignore"):
        squared = SEA_LEVEL_KG_M3 / (2.0 * shut_off_pa) / np.maximum(spare, 0.0)
    root: Number = np.sqrt(squared)[()]
    return root


def reversed_flow_m3_s(flow_m3_s: Number) -> Number:
    """Air that the same fan blows in when it is run backwards; the sign says that it comes in.

    Parameters
    ----------
    flow_m3_s : [m3/s] that it draws out

    Returns
    -------
    [m3/s] same shape, below zero

    Source
    ------
    Common practice, no source: six tenths of what it moves the right way round.
    """
    return -REVERSED_PASSES * flow_m3_s


@formula(
    r"@{full_w} \, @{speed}^{3} \, \frac{@{density_kg_m3}}{1.2041}",
    symbols={"full_w": "P_{0}", "speed": "n", "density_kg_m3": r"\rho"},
    units={"full_w": "W", "speed": "-", "density_kg_m3": "kg/m³", "return": "W"},
    result="P",
    title="Power of a fan",
    source="fan laws",
)
def fan_power_w(full_w: Number, speed: Number, density_kg_m3: Number = SEA_LEVEL_KG_M3) -> Number:
    """Electric power that a fan draws at a speed and a height.

    Parameters
    ----------
    full_w : [W] at full speed in air of 1.2041 kg/m3
    speed : [-] share of the full speed
    density_kg_m3 : [kg/m3] of the air

    Returns
    -------
    [W] broadcast shape

    Source
    ------
    Fan laws: power goes with the cube of the speed and with the density.
    """
    return full_w * speed**3 * density_kg_m3 / SEA_LEVEL_KG_M3
