"""Copper in words and steps: what a length of it resists, the sizes a problem may name, the drop of a circuit."""

from __future__ import annotations

from collections.abc import Mapping

from trailerlib import units
from trailerlib.design.design import Design
from trailerlib.design.wire_sizes import wire as wire_size
from trailerlib.physics.conductor import loop_drop_v, resistance_per_m
from trailerlib.physics.formula import Worked, worked
from trailerlib.studies import battery_side
from trailerlib.studies.battery_side import BatterySide
from trailerlib.studies.lessons.making import Dice

SIZES: Mapping[units.System, tuple[str, ...]] = {
    "us": ("18 AWG", "16 AWG", "14 AWG", "12 AWG", "10 AWG"),
    "metric": ("0.75 mm2", "1.5 mm2", "2.5 mm2", "4 mm2", "6 mm2"),
}


def size(dice: Dice, system: units.System) -> str:
    """A wire size of everyday work."""
    return dice.pick(SIZES[system])


def in_words(size_name: str) -> str:
    """A wire size as it is read."""
    return size_name.replace("mm2", "mm²")


def ohm_per_m(size_name: str, temperature_c: float) -> Worked:
    """The step that gives the resistance of a size at a temperature.

    Parameters
    ----------
    size_name : such as ``16 AWG``
    temperature_c : [°C] of the copper
    """
    return worked(resistance_per_m, area_m2=wire_size(size_name).area_m2, temperature_c=temperature_c)


def per_length(value: float, system: units.System) -> str:
    """Resistance of a length in words, ``4.26 mΩ a foot``.

    Parameters
    ----------
    value : [ohm/m] of one conductor
    system : ``us`` or ``metric``
    """
    per_unit = value / units.outside(1.0, "length", system)
    return f"{units.figures(1000.0 * per_unit)} mΩ a {'foot' if system == 'us' else 'metre'}"


def drop(current_a: float, per_m: Worked, run_m: float) -> tuple[Worked, Worked]:
    """The steps from resistance and length to the voltage lost.

    Parameters
    ----------
    current_a : [A] current
    per_m : resistance of one metre
    run_m : [m] one way
    """
    return per_m, worked(loop_drop_v, current_a=current_a, ohm_per_m=per_m.value, run_m=run_m)


def of_circuit(design: Design, circuit: str) -> tuple[BatterySide, float, tuple[Worked, Worked]]:
    """A circuit of the battery side as it runs: the side, its run [m], and the steps to the drop of its wire.

    Parameters
    ----------
    design : the design
    circuit : one of its dc circuits with a known run and one load at its end
    """
    side, found = battery_side.solve(design), design.circuit(circuit)
    run_m = design.run_m(found)
    assert run_m is not None
    per_m = ohm_per_m(found.wire, side.wire_c[circuit])
    return side, run_m, drop(side.current_a[circuit], per_m, run_m)
