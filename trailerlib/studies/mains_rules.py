"""The code's rules for the mains side of a design, gathered: panel, branches, inlet, cord, grounding, supplies."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from trailerlib.design import plug_types, wire_sizes
from trailerlib.design.design import Design
from trailerlib.design.model import Circuit, Load, Supply
from trailerlib.rules import branches, compressors, grounding
from trailerlib.rules import plugs as plug_rules
from trailerlib.rules import supply_chain as rules
from trailerlib.rules.finding import Finding
from trailerlib.studies import inlet_wire, plugs
from trailerlib.studies.ampacity import cord_a
from trailerlib.studies.circuits import charger_input_a, charger_name, may_carry
from trailerlib.studies.kept import Kept
from trailerlib.studies.legs import arriving_legs, leg_volts
from trailerlib.studies.loads import running_current_a, side_volts
from trailerlib.studies.mains import busiest, everything, is_outdoor, least_a, moments, rating_a
from trailerlib.studies.timetable import stays_on

_KEPT = Kept[tuple[Finding, ...]]()
SMALL_A = 20.0  # the circuits that 551.42 counts are of 15 and 20 A
PLUG_SHARE, FIXED_SHARE = 0.8, 0.5
LOWEST_SHARE, HIGHEST_SHARE = 0.9, 1.1  # of the voltage on a name plate
HIGHEST_FLOOR_M = 0.9  # above the ground, common practice, no source
EVEN_PANEL = 2  # branch breakers that need no main


def checks(design: Design) -> tuple[Finding, ...]:
    """Every rule of the code about the mains side that a design lets one ask; empty without a mains side.

    Under IEC practice none of them applies but that the wire behind the inlet is guarded, and one note says so.
    Receptacle spacing, receptacles at a sink and a disconnect in sight of a compressor (440.14) are not asked: a design
    does not say where they are.
    """
    circuits = design.circuits_of("mains")
    if not circuits and not design.supplies:
        return ()
    if design.practice == "iec":
        return (plug_rules.iec_practice("mains side", True), *inlet_wire.checks(design))
    return (
        *_numbers(design, circuits),
        *_KEPT.of(_rests_on(design, circuits), lambda: _circuits(design, circuits)),
        *_panel(design, circuits),
        *inlet_wire.checks(design),
        *(check for supply in design.supplies for check in _supply(design, supply)),
        *_sources(design),
        *plugs.checks(design),
        *(check for supply in design.supplies for check in _dead(design, supply)),
    )


def _circuits(design: Design, circuits: tuple[Circuit, ...]) -> tuple[Finding, ...]:
    return tuple(check for circuit in circuits for check in _circuit(design, circuit))


def _rests_on(design: Design, circuits: tuple[Circuit, ...]) -> Iterator[Any]:
    """What the rules of the circuits look at; a slider on a supply leaves all of it alone."""
    yield from (design.practice, design.site, design.mains, design.charger, design.battery, design.panel)
    yield from (design.trailer, design.routing, design.safety)
    for parts in (circuits, design.loads, design.places, design.raceways):
        yield from parts


def _numbers(design: Design, circuits: tuple[Circuit, ...]) -> list[Finding]:
    """How many circuits and thermostats; with energy management or 50 A on two legs there is no limit to ask."""
    if design.mains.managed:
        return []
    inlet = None if design.mains.inlet is None else plug_types.plug(design.mains.inlet)
    charger = None if design.charger is None else design.circuit(design.charger.circuit)
    alone = charger is not None and charger.receptacle is None and not design.loads_on(charger.name)
    combined = _combined_a(design)
    allowed = None if inlet is None else branches.circuits_allowed(inlet.rating_a, inlet.legs, alone, combined)
    found = []
    if inlet is None or allowed is not None:
        rule = branches.branch_count_at_work if design.use.sleepers == 0 else branches.branch_count
        count = _counted(circuits, allowed)
        excepted = alone and combined is None and count == branches.WITH_CONVERTER
        found.append(rule("panel", None if excepted else count, allowed))
    if inlet is None or (inlet.rating_a == 30.0 and inlet.legs == 1):
        most = None if inlet is None else float(branches.THERMOSTATS)
        found += _thermostats(design, most)
    return found


def _combined_a(design: Design) -> float | None:
    """What runs together at the busiest time on a supply from outside [A]; None when no stay says."""
    supplies = [s for s in design.supplies if not s.is_generator and stays_on(design, s.name)]
    return max((least_a(s, busiest(design, s.name), arriving_legs(design, s)) for s in supplies), default=None)


def _counted(circuits: Iterable[Circuit], allowed: float | None) -> float | None:
    """Circuits of 15 and 20 A; those without a stated breaker count only where they cannot matter."""
    ratings = [circuit.protection for circuit in circuits]
    least = float(sum(a is not None and a <= SMALL_A for a in ratings))
    most = least + sum(a is None for a in ratings)
    if allowed is None:
        return None
    return least if least > allowed else (most if most <= allowed else None)


def _thermostats(design: Design, most: float | None) -> list[Finding]:
    own = [load for load in design.loads if load.typical.system == "mains" and load.typical.thermostat]
    wired = float(sum(load.count for load in own if design.circuit(load.circuit).receptacle is None))
    every = float(sum(load.count for load in own))
    found = [branches.thermostat_appliances("mains side", wired, most)]
    if most is None or wired <= most:
        found.append(branches.thermostat_appliances_plugged("mains side", every, most))
    return found


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
        found.append(grounding.receptacle_gfci(subject, _not(circuit.gfci)))
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


def _panel(design: Design, circuits: tuple[Circuit, ...]) -> list[Finding]:
    mains = design.mains
    inlet_a = None if mains.inlet is None else plug_types.plug(mains.inlet).rating_a
    bond = None if mains.frame_bond is None else wire_sizes.wire(mains.frame_bond).area_m2 * 1e6
    found = [
        *([] if mains.has_main is False else [rules.main_breaker(mains.main, inlet_a)]),
        rules.inlet_type(None if mains.inlet is None else mains.inlet not in rules.INLET_TYPES),
        rules.inlet_label(_not(mains.inlet_labelled)),
        rules.panel_clear(_not(mains.panel_clear)),
        grounding.neutral_isolated(_not(mains.neutral_isolated)),
        grounding.frame_bond(bond),
        grounding.skin_bonded(_not(mains.skin_bonded)),
    ]
    if len(circuits) > EVEN_PANEL:
        found.append(rules.main_needed(False if mains.main is not None else _not(mains.has_main)))
    small = [circuit for circuit in circuits if circuit.protection is None or circuit.protection <= SMALL_A]
    if len(circuits) == 1 and small:
        found.append(grounding.single_circuit_gfci(f'circuit "{small[0].name}"', _not(small[0].gfci)))
    if design.charger is not None:
        dc_a = sum(load.running_w for load in design.loads if load.on and load.typical.system == "dc")
        need = plug_rules.converter_need_a(dc_a / side_volts(design, "dc"))
        found.append(plug_rules.converter_size("charger", design.charger.current, need))
    return found


def _not(said: bool | None) -> bool | None:
    return None if said is None else not said


def _supply(design: Design, supply: Supply) -> list[Finding]:
    subject = f'supply "{supply.name}"'
    if supply.is_generator:
        plate_va, outlet_a = rating_a(supply) * leg_volts(supply), plugs.receptacle_of(supply).rating_a
        need = min(rules.generator_conductor_need_a(plate_va, leg_volts(supply)), outlet_a)
        may = None if supply.cord is None else cord_a(supply.cord)
        floats = None if supply.neutral is None else supply.neutral == "floating"
        return [rules.generator_conductor(subject, may, need), grounding.floating_neutral(subject, floats)]
    if not _own_assembly(design, supply):
        return []
    place = design.mains.inlet_place or supply.place
    if place is None or design.mains.inlet is None:
        return [rules.inlet_place(subject, None), rules.cord_length(subject, supply.cord_run, None)]
    (x, y, z), wall, box = design.place(place).at, entry_wall(design, place), design.trailer
    return [
        rules.inlet_place(subject, rules.entry_is_elsewhere(wall, box.length - x, y, box.width)),
        rules.cord_length(subject, supply.cord_run, _least_cord_m(supply.cord_run, wall, z, box.floor)),
    ]


def _least_cord_m(cord_m: float | None, wall: str, above_floor_m: float, floor_m: float | None) -> float | None:
    """Where the floor's height is not given, the limit is known only where it cannot matter."""
    floors = (0.0, HIGHEST_FLOOR_M) if floor_m is None else (floor_m, floor_m)
    low, high = (rules.least_cord_m(wall, above_floor_m + floor) for floor in floors)
    if cord_m is None or cord_m < low - 1e-9:
        return low
    return high if cord_m >= high - 1e-9 else None


def _own_assembly(design: Design, supply: Supply) -> bool:
    """Whether a supply is the trailer's own assembly: its plug is the inlet's, or the inlet is not known.

    A household cord with an adapter is none, and the clauses about inlet and cord do not speak of it.
    """
    return design.mains.inlet is None or plugs.receptacle_of(supply).name == design.mains.inlet


def entry_wall(design: Design, place: str) -> str:
    """The wall a place is at, ``road``, ``curb``, ``rear`` or ``nose``: what it is farthest beyond, or nearest to."""
    x, y, _ = design.place(place).at
    beyond = {"road": -y, "curb": y - design.trailer.width, "rear": x - design.trailer.length, "nose": -x}
    return max(beyond, key=lambda wall: beyond[wall])


def _dead(design: Design, supply: Supply) -> Iterator[Finding]:
    """Of every circuit between two legs that feeds something, whether it can run on a supply."""
    single = arriving_legs(design, supply) == 1
    rests: bool | None = True if single else (None if design.mains.inlet is None else False)
    wanted = {name for stay in stays_on(design, supply.name) for m in moments(design, stay, 1) for name in m.dead}
    everything_dead = everything(design, 1).dead
    for circuit in design.circuits_of("mains"):
        fed = [load.name for load in design.loads_on(circuit.name)]
        if design.charger is not None and design.charger.circuit == circuit.name:
            fed.append(charger_name(design))
        if circuit.between_legs and not set(fed).isdisjoint(everything_dead):
            subject = f'circuit "{circuit.name}" on supply "{supply.name}"'
            judged = plug_rules.two_leg_circuit_rests
            if not wanted.isdisjoint(fed):
                judged = plug_rules.two_leg_circuit_dead
            yield judged(subject, rests)


def _sources(design: Design) -> list[Finding]:
    """Two sources must never meet; with one there is nothing to keep apart."""
    kinds = {supply.is_generator for supply in design.supplies}
    if len(kinds) < 2:
        return []
    transfer = design.mains.transfer
    return [rules.one_transfer(None if transfer is None else transfer == "none")]
