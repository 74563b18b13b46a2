"""Motors and compressors: what they draw while they start, the dip it makes, and how long a stalled one may."""

from __future__ import annotations

import numpy as np

from trailerlib.physics.formula import Number, formula

PROTECTOR_S = 6.0  # [s] a thermal protector bears locked-rotor current (from memory)


@formula(
    r"\frac{@{power_w}}{@{power_factor}}",
    symbols={"power_w": "P", "power_factor": r"\cos \phi"},
    units={"power_w": "W", "power_factor": "-", "return": "VA"},
    result="S",
    title="Apparent power",
    source="definition of power factor",
)
def running_va(power_w: Number, power_factor: Number) -> Number:
    """Apparent power of a running load.

    Parameters
    ----------
    power_w : [W] real power
    power_factor : [-] above 0, at most 1

    Returns
    -------
    [VA] apparent power, broadcast shape

    Source
    ------
    Definition of power factor.
    """
    return power_w / power_factor


@formula(
    r"@{start_multiple} \, \frac{@{running_w}}{@{power_factor}}",
    symbols={"running_w": "P", "power_factor": r"\cos \phi", "start_multiple": "m"},
    units={"running_w": "W", "power_factor": "-", "start_multiple": "-", "return": "VA"},
    result="S_{start}",
    title="Apparent power while starting",
    source="definition of the starting multiple",
)
def start_va(running_w: Number, power_factor: Number, start_multiple: Number) -> Number:
    """Apparent power of a motor in the moment it starts.

    Parameters
    ----------
    running_w : [W] real power while running
    power_factor : [-] while running
    start_multiple : [-] starting current over running current

    Returns
    -------
    [VA] apparent power, broadcast shape

    Source
    ------
    Definition of the starting multiple.
    """
    return start_multiple * running_w / power_factor


@formula(
    r"\frac{@{start_a} \, \left( @{source_ohm} + @{path_ohm} \right)}"
    r"{1 + \frac{@{start_a} \, \left( @{source_ohm} + @{path_ohm} \right)}{@{source_v}}}",
    symbols={"source_v": "V", "source_ohm": "R_{s}", "path_ohm": "R_{p}", "start_a": "I_{LR}"},
    units={"source_v": "V", "source_ohm": "Ω", "path_ohm": "Ω", "start_a": "A", "return": "V"},
    result=r"\Delta V",
    title="Voltage dip while a motor starts",
    source="Ohm's law, standing motor taken as an impedance",
)
def start_dip_v(source_v: Number, source_ohm: Number, path_ohm: Number, start_a: Number) -> Number:
    """Dip at a motor's terminals while it starts.

    A standing motor behaves as an impedance, so it draws less than its locked-rotor current from a
    sagging supply. All impedances are added as if in phase, which overstates the dip a little.

    Parameters
    ----------
    source_v : [V] supply voltage before the start, also the voltage the locked-rotor current is given for
    source_ohm : [ohm] impedance inside the supply
    path_ohm : [ohm] impedance of cord and wires, out and back
    start_a : [A] locked-rotor current at the supply voltage

    Returns
    -------
    [V] dip below the supply voltage, broadcast shape

    Source
    ------
    Ohm's law.
    """
    flat_v = start_a * (source_ohm + path_ohm)
    return flat_v / (1.0 + flat_v / source_v)


@formula(
    r"@{open_v} \, \frac{\sqrt{@{motor_r}^{2} + @{motor_x}^{2}}}"
    r"{\sqrt{\left( @{path_r} + @{motor_r} \right)^{2} + \left( @{path_x} + @{motor_x} \right)^{2}}}",
    symbols={"open_v": "V_{0}", "path_r": "R_{p}", "path_x": "X_{p}", "motor_r": "R_{m}", "motor_x": "X_{m}"},
    units={"open_v": "V", "path_r": "Ω", "path_x": "Ω", "motor_r": "Ω", "motor_x": "Ω", "return": "V"},
    result="V_{m}",
    title="Voltage at a motor in the moment it is switched on",
    source="voltage divider of two complex impedances",
)
def standing_v(open_v: Number, path_r: Number, path_x: Number, motor_r: Number, motor_x: Number) -> Number:
    """Voltage at a motor that stands still, behind everything between it and an ideal source.

    Parameters
    ----------
    open_v : [V] at its terminals before it is switched on
    path_r : [ohm] resistance of source and wires as the motor meets them, out and back
    path_x : [ohm] reactance of the same
    motor_r : [ohm] resistance of the standing motor
    motor_x : [ohm] reactance of the standing motor

    Returns
    -------
    [V] voltage, broadcast shape

    Source
    ------
    Voltage divider; Thevenin's theorem where others run beside it.
    """
    return open_v * np.hypot(motor_r, motor_x) / np.hypot(path_r + motor_r, path_x + motor_x)


@formula(
    r"@{bears_s} \, \left( \frac{@{locked_a}}{@{current_a}} \right)^{2}",
    symbols={"current_a": "I", "locked_a": "I_{LR}", "bears_s": "t_{LR}"},
    units={"current_a": "A", "locked_a": "A", "bears_s": "s", "return": "s"},
    result="t",
    title="How long a thermal protector lets a stalled motor draw",
    source="heat grows with the square of the current; from memory: seconds at locked rotor",
)
def protector_s(current_a: Number, locked_a: Number, bears_s: Number = PROTECTOR_S) -> Number:
    """Time until the thermal protector of a stalled motor opens.

    Parameters
    ----------
    current_a : [A] it draws
    locked_a : [A] locked-rotor current at rated voltage
    bears_s : [s] it bears that

    Returns
    -------
    [s] time, broadcast shape

    Source
    ------
    Heat without loss to the air; the seconds at locked rotor are from memory.
    """
    return bears_s * (locked_a / current_a) ** 2
