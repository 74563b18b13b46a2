"""What can be switched on the mains side, and what each draws at the voltage at hand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trailerlib.design.design import Design
from trailerlib.design.model import Load
from trailerlib.studies.circuits import charger_va, load_va
from trailerlib.studies.loads import side_volts


@dataclass(frozen=True)
class Switch:
    """One thing that is switched: a load, several alike as one, or the charger at full current.

    ``amps`` is its current [A], lagging current as the positive imaginary part, ``watts`` its real power [W], both at
    the voltage taken. ``start_a`` is what it adds when one piece starts, the others running [A]; None where nothing
    starts hard. ``lasts``: may run three hours or more. ``compressor``: has to rest before it starts again.
    """

    name: str
    circuit: str
    amps: complex
    watts: float
    lasts: bool
    compressor: bool
    thermostat: bool
    start_a: float | None

    @property
    def size_a(self) -> float:
        """Its current as a clamp meter shows it [A]."""
        return abs(self.amps)


def switches(design: Design, volts: float) -> tuple[Switch, ...]:
    """Every mains load that is in use, and the charger.

    A load's own class says whether it may last: one that runs long by nature, or one that switches itself.

    Parameters
    ----------
    design : the design
    volts : [V] of a leg to neutral at the panel
    """
    loads = [load for load in design.loads if load.on and load.typical.system == "mains"]
    return (*(_of_load(design, load, volts, side_volts(design, "mains")) for load in loads), *_charger(design, volts))


def _of_load(design: Design, load: Load, volts: float, nominal: float) -> Switch:
    kind = load.typical
    all_va = load_va(load)
    each_va = all_va / load.count
    amps = drawn_a(kind.kind, all_va, volts, nominal)
    return Switch(
        load.name,
        load.circuit,
        amps,
        volts * amps.real,
        kind.continuous or kind.thermostat,
        kind.kind == "motor" and kind.thermostat,
        kind.thermostat,
        _start_a(load, each_va, amps, volts, nominal),
    )


def drawn_a(kind: str, rated_va: complex, volts: float, nominal: float) -> complex:
    """Current of a load at a voltage that need not be the nominal one [A].

    A running motor and what holds its power draw more from a low voltage, a heater less.

    Parameters
    ----------
    kind : ``resistive``, ``constant current``, ``constant power`` or ``motor``
    rated_va : [VA] at the nominal voltage, lagging
    volts : [V] voltage at hand
    nominal : [V] nominal voltage
    """
    if kind == "resistive":
        return rated_va / nominal * (volts / nominal)
    return rated_va / (nominal if kind == "constant current" else volts)


def _start_a(load: Load, each_va: complex, amps: complex, volts: float, nominal: float) -> float | None:
    """A standing motor draws like an impedance, so its start follows the voltage; a soft starter overrules plates."""
    kind = load.typical
    multiple = kind.soft_start_multiple if load.soft_start else kind.start_multiple
    if load.starting is not None:
        start_va = load.start_w / kind.power_factor
    elif load.locked_rotor is not None and not load.soft_start:
        start_va = load.locked_rotor * nominal
    elif multiple > 1.0:
        start_va = multiple * abs(each_va)
    else:
        return None
    return abs(amps) * (load.count - 1) / load.count + start_va / nominal * (volts / nominal)


def _charger(design: Design, volts: float) -> Iterator[Switch]:
    charger, va = design.charger, charger_va(design)
    if charger is not None and va:
        taken = {load.name for load in design.loads if load.typical.system == "mains"}
        name = next(word for word in ("charger", "battery charger", "charger of the battery") if word not in taken)
        yield Switch(name, charger.circuit, va / volts, va.real, True, False, False, None)
