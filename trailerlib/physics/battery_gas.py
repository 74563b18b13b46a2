"""The gas that batteries give off while they are charged, and the opening that lets it out."""

from __future__ import annotations

from trailerlib.physics.formula import Number, formula


@formula(
    r"0.05 \, @{cells} \, @{gas_ma_per_ah} \, @{capacity_ah} \, 10^{-3}",
    symbols={"cells": "n", "gas_ma_per_ah": "I_{gas}", "capacity_ah": "C_{rt}"},
    units={"cells": "-", "gas_ma_per_ah": "mA/Ah", "capacity_ah": "Ah", "return": "m³/h"},
    result="Q",
    title="Fresh air that keeps hydrogen thin",
    source="IEC 62485-2",
)
def hydrogen_flow_m3_h(cells: Number, gas_ma_per_ah: Number, capacity_ah: Number) -> Number:
    """Fresh air a lead-acid battery needs so that its hydrogen stays under a fifth of the explosive limit.

    Parameters
    ----------
    cells : [-] cells in series: 6 for 12 V
    gas_ma_per_ah : [mA/Ah] gassing current for each ampere-hour, by kind of cell and charge
    capacity_ah : [Ah] rated capacity

    Returns
    -------
    [m3/h] air flow, broadcast shape

    Source
    ------
    IEC 62485-2.
    """
    return 0.05 * cells * gas_ma_per_ah * capacity_ah * 1e-3


@formula(
    r"28 \, @{flow_m3_h}",
    symbols={"flow_m3_h": "Q"},
    units={"flow_m3_h": "m³/h", "return": "cm²"},
    result="A",
    title="Vent opening, inlet and outlet each",
    source="IEC 62485-2",
)
def vent_opening_cm2(flow_m3_h: Number) -> Number:
    """Free area of the inlet, and again of the outlet, for natural draught.

    Parameters
    ----------
    flow_m3_h : [m3/h] fresh air wanted

    Returns
    -------
    [cm2] each of the two openings, same shape

    Source
    ------
    IEC 62485-2: 0.1 m/s through the opening.
    """
    return 28.0 * flow_m3_h
