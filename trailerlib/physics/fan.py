"""A roof fan: where it meets the openings, and what must be open for a flow.

Leaks are left out while it runs. Height changes the pressure with the density of the air, and leaves the flow as it is.
"""

from __future__ import annotations

import numpy as np

from trailerlib.physics.airflow import SEA_LEVEL_KG_M3
from trailerlib.physics.formula import Number, formula

REVERSED_PASSES = 0.6  # blades that run backwards meet the air with the wrong side (common practice, no source)


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
    The pressure a fan makes, p0 n² (1 - (q / n q0)²), equal to ``opening_pressure_pa``, in closed form. Fan laws: flow
    goes with the speed n, pressure with its square and with the density. The parabola is an assumption.
    """
    nozzle_m4 = SEA_LEVEL_KG_M3 * np.asarray(free_flow_m3_s) ** 2 / (2.0 * shut_off_pa)
    flow: Number = speed * free_flow_m3_s * effective_m2 / np.sqrt(np.asarray(effective_m2) ** 2 + nozzle_m4)
    return flow


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
