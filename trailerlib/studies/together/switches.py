"""What can be switched on the mains side, and what each draws at the voltage at hand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trailerlib.design.design import Design
from trailerlib.design.model import Load
from trailerlib.design.voltages import BETWEEN_LEGS
from trailerlib.studies.circuits import charger_name, charger_va, load_va
from trailerlib.studies.together.voltage import AtPanel

HOLD_POWER = ("constant power", "motor")


@dataclass(frozen=True)
class Switch:
    """One thing that is switched: a load, several alike as one, or the charger at full current.

    ``amps`` is the most it draws from each leg it hangs on [A], lagging current as the positive imaginary part: what
    heats at the highest voltage the panel gets, what holds its power at the lowest. ``watts`` is its real power then
    and ``sent_w`` that with what the way from the supply loses for it [W]. ``start_a`` is what it adds when one piece
    starts, the others running [A]; None where nothing starts hard. ``lasts``: may run three hours or more.
    ``compressor``: has to rest before it starts again.
    """

    name: str
    circuit: str
    amps: complex
    watts: float
    sent_w: float
    lasts: bool
    compressor: bool
    thermostat: bool
    start_a: float | None

    @property
    def size_a(self) -> float:
        """Its current as a clamp meter shows it [A]."""
        return abs(self.amps)


def switches(design: Design, at: AtPanel, arriving: int) -> tuple[Switch, ...]:
    """Every mains load that is in use and can run, and the charger.

    A load's own class says whether it may last: one that runs long by nature, or one that switches itself.

    Parameters
    ----------
    design : the design
    at : voltages of a leg to neutral
    arriving : [-] legs that reach the panel; on one, what runs between two is dead
    """
    parts = [_of_load(load, at, _times(design, load.circuit)) for load in _in_use(design)]
    return tuple(
        part
        for part in (*parts, *_charger(design, at))
        if arriving > 1 or not design.circuit(part.circuit).between_legs
    )


def dead(design: Design, arriving: int) -> tuple[str, ...]:
    """What is in use and cannot run where one leg arrives, because it runs between two.

    Parameters
    ----------
    design : the design
    arriving : [-] legs that reach the panel
    """
    if arriving > 1:
        return ()
    charger = design.charger
    wanted = [(load.name, load.circuit) for load in _in_use(design)]
    wanted += [(charger_name(design), charger.circuit)] if charger is not None and charger_va(design) else []
    return tuple(name for name, circuit in wanted if design.circuit(circuit).between_legs)


def _in_use(design: Design) -> list[Load]:
    return [load for load in design.loads if load.on and load.typical.system == "mains"]


def _times(design: Design, circuit: str) -> float:
    return BETWEEN_LEGS if design.circuit(circuit).between_legs else 1.0


def _of_load(load: Load, at: AtPanel, times: float) -> Switch:
    kind = load.typical
    all_va = load_va(load)
    each_va = all_va / load.count
    volts = times * (at.lowest_v if kind.kind in HOLD_POWER else at.highest_v if times == 1.0 else at.open_v)
    amps = drawn_a(kind.kind, all_va, volts, load.circuit_v)
    watts = volts * amps.real
    return Switch(
        load.name,
        load.circuit,
        amps,
        watts,
        watts + at.loss_v * abs(amps),
        kind.continuous or kind.thermostat,
        kind.kind == "motor" and kind.thermostat,
        kind.thermostat,
        _start_a(load, each_va, amps, times * at.open_v),
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
    return rated_va / (volts if kind in HOLD_POWER else nominal)


def _start_a(load: Load, each_va: complex, amps: complex, volts: float) -> float | None:
    """A standing motor draws like an impedance, so its start follows the voltage; a soft starter overrules plates."""
    kind, nominal = load.typical, load.circuit_v
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


def _charger(design: Design, at: AtPanel) -> Iterator[Switch]:
    charger, va = design.charger, charger_va(design)
    if charger is not None and va:
        amps = va / (at.lowest_v * _times(design, charger.circuit))
        sent = va.real + at.loss_v * abs(amps)
        yield Switch(charger_name(design), charger.circuit, amps, va.real, sent, True, False, False, None)
