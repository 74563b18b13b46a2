"""Small facts about a circuit that several studies need: its air, what its wire may carry, what its loads ask for."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.model import Circuit, Load
from trailerlib.physics import charging
from trailerlib.physics.conductor import conductor_temperature_c
from trailerlib.physics.impedance import reactive_var
from trailerlib.physics.protection import required_rating_a
from trailerlib.studies import cells
from trailerlib.studies.ampacity import Ampacity, ampacity
from trailerlib.studies.feeder import Floats
from trailerlib.studies.kept import as_one
from trailerlib.studies.loads import running_current_a

CHARGER_NAMES = ("charger", "battery charger", "charger of the battery", "charger.")  # no load has a full stop
HOTTEST_SHOWN_C = 250.0  # above this the insulation is long gone and the steady formula means nothing


def air_c(design: Design, circuit: Circuit) -> float | None:
    """Air around a circuit's wire [°C]: its own when given, else the hottest on its way; None when not known."""
    return design.air_of(circuit)


def may_carry(design: Design, circuit: Circuit, wire: str | None = None) -> Ampacity:
    """What a circuit's wire, or another size in its place, may carry as it is laid."""
    air, bundle = air_c(design, circuit), design.bundle_of(circuit)
    return ampacity(wire or circuit.wire, circuit.insulation, circuit.system, air, bundle)


def as_laid(design: Design, circuit: Circuit) -> Iterator[Any]:
    """A circuit and how it is laid: what is worked out of it is kept by these parts.

    Parameters
    ----------
    design : the design
    circuit : one of its circuits
    """
    yield from (circuit, design.layout.routes[circuit.name], design.bundle_of(circuit), design.air_of(circuit))


def side_as_laid(design: Design, system: str) -> tuple[Any, ...]:
    """The circuits of one side as they are laid, and its loads, as one.

    Parameters
    ----------
    design : the design
    system : ``dc`` or ``mains``
    """
    return as_one(design, f"{system} as laid", lambda: _side_as_laid(design, system))


def _side_as_laid(design: Design, system: str) -> Iterator[Any]:
    for circuit in design.circuits_of(system):
        yield from as_laid(design, circuit)
    yield from (load for load in design.loads if load.typical.system == system)


def feeder_may_carry(design: Design) -> Ampacity | None:
    """What the wire from the battery to the fuse block may carry; None without a feeder."""
    feeder = design.feeder
    return None if feeder is None else ampacity(feeder.wire, feeder.insulation, "dc", design.site.hottest, 2)


def wire_temperature_c(carry: Ampacity, ambient_c: float | None, current_a: float) -> float:
    """Temperature of a wire in steady use [°C]; its rating when the air or the ampacity is not known.

    Parameters
    ----------
    carry : what the wire may carry
    ambient_c : [°C] air around it, or None
    current_a : [A] in it
    """
    if not carry.amps or ambient_c is None:
        return carry.rating_c
    hot = float(conductor_temperature_c(current_a, carry.amps, ambient_c, carry.rating_c))
    return min(hot, HOTTEST_SHOWN_C)


def heated(heat: tuple[Floats, ...], current_a: Floats) -> Floats:
    """Temperature of each of many wires in steady use [°C]; its rating where it is not known.

    Parameters
    ----------
    heat : [A], [°C], [°C] ampacity, air (NaN where not known) and rating of each row, (rows, 1) or (rows, variants)
    current_a : [A] in each, shape (rows, variants)
    """
    amps, air, rating = heat
    hot = np.fmin(conductor_temperature_c(current_a, amps, air, rating), HOTTEST_SHOWN_C)
    return np.where(np.isnan(amps + air), rating, hot)


def needed_a(design: Design, circuit: Circuit) -> float:
    """Rating the loads of a circuit ask for [A]: 125 % of what runs three hours or more, 100 % of the rest."""
    loads = [load for load in design.loads_on(circuit.name) if load.on]
    long = sum(running_current_a(load) for load in loads if load.typical.continuous)
    short = sum(running_current_a(load) for load in loads if not load.typical.continuous)
    if design.charger is not None and design.charger.circuit == circuit.name:
        long += charger_input_a(design)
    return float(required_rating_a(long, short))


def charger_input_w(design: Design) -> float:
    """Power the battery charger draws on the mains side at full current [W]; 0 without one."""
    charger, battery = design.charger, design.battery
    if charger is None or battery is None or charger.efficiency == 0:
        return 0.0
    volts = cells.limits(battery, "absorption_v") * battery.blocks
    return float(charging.charger_input_w(charger.current, volts, charger.efficiency))


def load_va(load: Load) -> complex:
    """What all pieces of a load draw while they run [VA], lagging positive."""
    return lagging_va(load.running_w, load.typical.power_factor)


def charger_va(design: Design) -> complex:
    """What the battery charger draws at full current [VA], lagging positive; 0 without one."""
    watts = charger_input_w(design)
    return lagging_va(watts, design.charger.power_factor) if design.charger is not None and watts else 0j


def lagging_va(watts: float, power_factor: float) -> complex:
    """Complex power of a load that lags [VA].

    Parameters
    ----------
    watts : [W] real power
    power_factor : [-] above 0, at most 1
    """
    return complex(watts, max(0.0, float(reactive_var(watts, power_factor))))


def charger_input_va(design: Design) -> float:
    """Apparent power the battery charger draws on the mains side at full current [VA]; 0 without one."""
    charger = design.charger
    if charger is None or charger.power_factor == 0:
        return 0.0
    return float(charging.charger_input_va(charger_input_w(design), charger.power_factor))


def charger_input_a(design: Design) -> float:
    """What the battery charger draws on the mains side at full current [A]; 0 without one."""
    charger = design.charger
    return 0.0 if charger is None else charger_input_va(design) / design.volts_of(design.circuit(charger.circuit))


def charger_name(design: Design) -> str:
    """What the battery charger is called among what can be switched: the first of its names that no load has."""
    taken = {load.name for load in design.loads}
    return next(word for word in CHARGER_NAMES if word not in taken)
