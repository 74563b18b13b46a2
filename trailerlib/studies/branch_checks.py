"""The code's rules for the branches of the mains panel: breaker, voltage and compressor of each, its receptacles."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from trailerlib.design import plug_types
from trailerlib.design.design import Design
from trailerlib.design.model import Circuit, Load
from trailerlib.rules import branches, compressors, grounding
from trailerlib.rules.finding import Finding, not_so
from trailerlib.studies.circuits import charger_input_a, may_carry
from trailerlib.studies.kept import Kept
from trailerlib.studies.loads import running_current_a
from trailerlib.studies.mains import is_outdoor

_KEPT = Kept[tuple[Finding, ...]]()
PLUG_SHARE, FIXED_SHARE = 0.8, 0.5
LOWEST_SHARE, HIGHEST_SHARE = 0.9, 1.1  # of the voltage on a name plate


def checks(design: Design, circuits: tuple[Circuit, ...]) -> tuple[Finding, ...]:
    """Every rule about a branch, of all of them; kept while what they rest on stays as it is.

    Parameters
    ----------
    design : the design
    circuits : those of its mains side
    """
    return _KEPT.of(_rests_on(design, circuits), lambda: _circuits(design, circuits))


def _circuits(design: Design, circuits: tuple[Circuit, ...]) -> tuple[Finding, ...]:
    return tuple(check for circuit in circuits for check in _circuit(design, circuit))


def _rests_on(design: Design, circuits: tuple[Circuit, ...]) -> Iterator[Any]:
    """What the rules of the circuits look at; a slider on a supply leaves all of it alone."""
    yield from (design.practice, design.site, design.mains, design.charger, design.battery, design.panel)
    yield from (design.trailer, design.routing, design.safety)
    for parts in (circuits, design.loads, design.places, design.raceways):
        yield from parts


def _circuit(design: Design, circuit: Circuit) -> list[Finding]:
    subject = f'circuit "{circuit.name}"'
    loads = [load for load in design.loads_on(circuit.name) if load.on]
    found = []
    for load in loads:
        if _alone(design, circuit) and (limit := branches.single_appliance_limit_a(_rated_a(load))) is not None:
            found.append(branches.breaker_single_appliance(subject, circuit.protection, limit))
        if _compressor(circuit, load):
            found += _compressor_checks(design, circuit, load)
        elif load.largest_breaker is not None:
            found.append(branches.breaker_name_plate(f'load "{load.name}"', circuit.protection, load.largest_breaker))
        if load.rated_voltage is not None:
            found += _voltage(load, load.rated_voltage)
    if is_outdoor(design, circuit):
        found.append(grounding.receptacle_gfci(subject, not_so(circuit.gfci)))
    return found + (_receptacles(design, circuit, loads) if circuit.receptacle is not None else [])


def _voltage(load: Load, plate_v: float) -> list[Finding]:
    """What is made for another voltage; what is not said is made for its circuit's."""
    subject = f'load "{load.name}"'
    return [
        branches.load_voltage_high(subject, load.circuit_v, HIGHEST_SHARE * plate_v),
        branches.load_voltage_low(subject, load.circuit_v, LOWEST_SHARE * plate_v),
    ]


def _alone(design: Design, circuit: Circuit) -> bool:
    charged = design.charger is not None and design.charger.circuit == circuit.name
    return not charged and sum(load.count for load in design.loads_on(circuit.name)) == 1


def _rated_a(load: Load) -> float:
    """Current of one piece [A]: the name plate's, else by its power."""
    return running_current_a(load) / load.count if load.rated_current is None else load.rated_current


def _compressor(circuit: Circuit, load: Load) -> bool:
    """A motor with a thermostat that is wired in is a hermetic compressor, and so is one with such a name plate."""
    motor = load.typical.kind == "motor"
    return motor and (load.rated_current is not None or (load.typical.thermostat and circuit.receptacle is None))


def _compressor_checks(design: Design, circuit: Circuit, load: Load) -> list[Finding]:
    subject, breaker, rated = f'load "{load.name}"', circuit.protection, load.rated_current
    usual, most = (
        None if rated is None else compressors.compressor_breaker_limit_a(rated, share)
        for share in (compressors.USUAL_SHARE, compressors.MOST_SHARE)
    )
    alone = load.count == 1 and _alone(design, circuit)
    others = sum(_rated_a(other) * other.count for other in design.loads_on(circuit.name) if other.on)
    need = None if rated is None else (compressors.WIRE_SHARE - 1.0) * rated + others
    if not alone:  # 440.22(B): with others on the circuit the largest breaker is not a share of this one alone
        usual = most = None
    found = [
        branches.breaker_name_plate(subject, breaker, load.largest_breaker),
        compressors.compressor_breaker_most(subject, breaker, most),
        compressors.compressor_conductor(subject, may_carry(design, circuit).amps, need),
    ]
    if usual is not None and found[1].severity != "stop":
        found.append(compressors.compressor_breaker_usual(subject, breaker, usual))
    return found


def _receptacles(design: Design, circuit: Circuit, loads: list[Load]) -> list[Finding]:
    subject, branch = f'circuit "{circuit.name}"', circuit.protection
    found = [
        grounding.receptacle_rating(subject, _unfit(circuit)),
        grounding.receptacle_voltage(subject, _other_voltage(circuit)),
    ]
    fixed = [load for load in loads if load.typical.fastened]
    for load in loads:
        if load not in fixed:
            drawn = _rated_a(load)
            found.append(branches.plug_load_share(f'load "{load.name}"', drawn, _plug_limit_a(circuit, drawn)))
    fixed_a = sum(_rated_a(load) * load.count for load in fixed)
    if design.charger is not None and design.charger.circuit == circuit.name:
        fixed_a += charger_input_a(design)
    if fixed_a > 0:
        found.append(branches.fixed_load_share(subject, fixed_a, None if branch is None else FIXED_SHARE * branch))
    return found


def _plug_limit_a(circuit: Circuit, drawn_a: float) -> float | None:
    """Without the number of outlets it is known only where one and several would be judged alike."""
    branch = circuit.protection
    if branch is None:
        return None
    if circuit.outlets is None and PLUG_SHARE * branch < drawn_a <= branch:
        return None
    return branch if circuit.outlets == 1 else PLUG_SHARE * branch


def _other_voltage(circuit: Circuit) -> bool | None:
    """Two hot wires go with a circuit between two legs, and one with a circuit of one."""
    return (
        None if circuit.receptacle is None else (plug_types.plug(circuit.receptacle).legs == 2) != circuit.between_legs
    )


def _unfit(circuit: Circuit) -> bool | None:
    """Without the number of receptacles it is known only where one and several would be judged alike."""
    if circuit.protection is None or circuit.receptacle is None:
        return None
    rating = plug_types.plug(circuit.receptacle).rating_a
    alone, several = (not grounding.receptacle_fits(rating, circuit.protection, single) for single in (True, False))
    if circuit.outlets is None:
        return alone if alone == several else None
    return alone if circuit.outlets == 1 else several
