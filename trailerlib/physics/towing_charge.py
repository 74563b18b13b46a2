"""Charging while towing: what the tow vehicle sends through a long thin wire, plain or through a dc converter."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics.formula import Number, formula

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class TowCurrent:
    """What comes over the tow wire; every field an array of the broadcast shape.

    ``battery_a`` [A] goes into the trailer's battery, ``battery_v`` [V] is at its terminals; ``wire_a`` [A] flows in
    the tow wire and ``wire_v`` [V] is left at its trailer end; ``wire_lost_w`` [W] warms the wire,
    ``converter_lost_w`` [W] the converter. ``opens``: more would flow than the fuse is rated for, so nothing is counted
    on. ``collapses``: the wire cannot carry the converter's power, so it does not run. ``too_low``: the battery never
    gets its absorption voltage, so it is never quite full.
    """

    battery_a: Floats
    battery_v: Floats
    wire_a: Floats
    wire_v: Floats
    wire_lost_w: Floats
    converter_lost_w: Floats
    opens: Flags
    collapses: Flags
    too_low: Flags


@formula(
    r"2 \, @{ohm_per_m} \, @{run_m} + @{joints_ohm}",
    symbols={"ohm_per_m": "r", "run_m": "L", "joints_ohm": "R_{j}"},
    units={"ohm_per_m": "Ω/m", "run_m": "m", "joints_ohm": "Ω", "return": "Ω"},
    result="R_{w}",
    title="Resistance of the tow wire, there and back",
    source="Ohm's law",
)
def tow_wire_ohm(ohm_per_m: Number, run_m: Number, joints_ohm: Number = 0.0) -> Number:
    """Resistance between the tow vehicle's battery and the trailer's, out and back.

    Parameters
    ----------
    ohm_per_m : [ohm/m] of one conductor at its own temperature
    run_m : [m] one-way length
    joints_ohm : [ohm] fuse, plug and lugs together

    Returns
    -------
    [ohm] broadcast shape

    Source
    ------
    Ohm's law.
    """
    return 2.0 * ohm_per_m * run_m + joints_ohm


@formula(
    r"\max \left( 0, \frac{@{source_v} - @{ocv_v}}{@{wire_ohm} + @{battery_ohm}} \right)",
    symbols={"source_v": "V_{s}", "ocv_v": "V_{0}", "wire_ohm": "R_{w}", "battery_ohm": "R_{b}"},
    units={"source_v": "V", "ocv_v": "V", "wire_ohm": "Ω", "battery_ohm": "Ω", "return": "A"},
    result="I",
    title="Charging current over a plain tow wire",
    source="Ohm's law",
)
def plain_tow_a(source_v: Number, ocv_v: Number, wire_ohm: Number, battery_ohm: Number) -> Number:
    """Current that a voltage drives through a wire into a battery.

    Parameters
    ----------
    source_v : [V] at the tow vehicle with the engine running
    ocv_v : [V] of the trailer's battery at rest
    wire_ohm : [ohm] of the wire, out and back
    battery_ohm : [ohm] inside the battery while it charges

    Returns
    -------
    [A] broadcast shape; never negative: the isolator of the tow vehicle lets nothing back

    Source
    ------
    Ohm's law.
    """
    return np.maximum(0.0, (source_v - ocv_v) / (wire_ohm + battery_ohm))


@formula(
    r"\frac{@{source_v} + \sqrt{\max \left( 0, @{source_v}^{2} - 4 \, @{wire_ohm} \, @{power_w} \right)}}{2}",
    symbols={"source_v": "V_{s}", "wire_ohm": "R_{w}", "power_w": "P"},
    units={"source_v": "V", "wire_ohm": "Ω", "power_w": "W", "return": "V"},
    result="V",
    title="Voltage left for a converter at the end of a wire",
    source="Ohm's law: V² − V V_s + R P = 0",
)
def converter_input_v(source_v: Number, wire_ohm: Number, power_w: Number) -> Number:
    """Voltage at the end of a wire from which a converter takes a steady power.

    Parameters
    ----------
    source_v : [V] at the tow vehicle
    wire_ohm : [ohm] of the wire, out and back
    power_w : [W] that the converter takes

    Returns
    -------
    [V] broadcast shape; half the source's, where the wire cannot carry that much: there it collapses

    Source
    ------
    Ohm's law; the higher root is the one that holds.
    """
    return (source_v + np.sqrt(np.maximum(0.0, source_v**2 - 4.0 * wire_ohm * power_w))) / 2.0


def plain_wire(
    source_v: Number,
    wire_ohm: Number,
    ocv_v: Number,
    battery_ohm: Number,
    absorption_v: Number,
    fuse_a: Number = np.inf,
    most_a: Number = np.inf,
) -> TowCurrent:
    """Charging over a plain wire: the vehicle's voltage less the drop is all the battery sees.

    Parameters
    ----------
    source_v : [V] at the tow vehicle with the engine running
    wire_ohm : [ohm] of the wire, out and back
    ocv_v : [V] of the trailer's battery at rest
    battery_ohm : [ohm] inside the battery while it charges
    absorption_v : [V] that the battery wants at the end of its charge
    fuse_a : [A] rating of the fuse at the tow vehicle
    most_a : [A] that the battery takes; 0 where it must not be charged

    Returns
    -------
    TowCurrent of the broadcast shape. A fuse does not hold a current down to its rating: it opens, and stays open.

    Source
    ------
    Ohm's law; ISO 8820-3 for what a fuse carries.
    """
    source_v, wire_ohm, ocv_v, battery_ohm, absorption_v, fuse_a, most_a = _floats(
        source_v, wire_ohm, ocv_v, battery_ohm, absorption_v, fuse_a, most_a
    )
    asked = np.minimum(plain_tow_a(source_v, ocv_v, wire_ohm, battery_ohm), most_a)
    opens = asked > fuse_a
    amps = np.where(opens, 0.0, asked)
    left = source_v - amps * wire_ohm
    # a battery that takes less than its resistance would let in stands at what the wire leaves
    held = np.where(amps > 0.0, left, ocv_v)
    none = np.zeros_like(amps)
    return TowCurrent(
        amps, held, amps, left, amps**2 * wire_ohm, none, opens, none > 0.0, np.asarray(source_v < absorption_v)
    )


def through_converter(
    source_v: Number,
    wire_ohm: Number,
    ocv_v: Number,
    battery_ohm: Number,
    rated_a: Number,
    efficiency: Number,
    fuse_a: Number = np.inf,
    most_a: Number = np.inf,
) -> TowCurrent:
    """Charging through a dc converter at the trailer's battery: it makes up for the drop while the wire carries it.

    Parameters
    ----------
    source_v : [V] at the tow vehicle with the engine running
    wire_ohm : [ohm] of the wire, out and back
    ocv_v : [V] of the trailer's battery at rest
    battery_ohm : [ohm] inside the battery while it charges
    rated_a : [A] rated output of the converter
    efficiency : [-] output over input power
    fuse_a : [A] rating of the fuse at the tow vehicle
    most_a : [A] that the battery takes, at its absorption voltage too; 0 where it must not be charged

    Returns
    -------
    TowCurrent of the broadcast shape. Where the fuse opens or the voltage collapses, nothing is counted on.

    Source
    ------
    Ohm's law; the largest power over a wire is the source's voltage squared over four times its resistance.
    """
    source_v, wire_ohm, ocv_v, battery_ohm, rated_a, efficiency, fuse_a, most_a = _floats(
        source_v, wire_ohm, ocv_v, battery_ohm, rated_a, efficiency, fuse_a, most_a
    )
    asked = np.minimum(rated_a, most_a)
    wanted_w = asked * (ocv_v + asked * battery_ohm) / efficiency
    collapses = 4.0 * wire_ohm * wanted_w > source_v**2
    drawn = wanted_w / converter_input_v(source_v, wire_ohm, wanted_w)
    opens = ~collapses & (drawn > fuse_a)
    runs = ~(collapses | opens)
    amps, wire_a = np.where(runs, asked, 0.0), np.where(runs, drawn, 0.0)
    held = ocv_v + amps * battery_ohm
    into = amps * held / efficiency
    left = source_v - wire_a * wire_ohm
    return TowCurrent(
        amps, held, wire_a, left, wire_a**2 * wire_ohm, into - amps * held, opens, collapses, np.asarray(~runs)
    )  # fmt: skip


def _floats(*values: Number) -> tuple[Floats, ...]:
    return tuple(np.broadcast_arrays(*(np.asarray(value, dtype=float) for value in values)))
