"""The code's rules for the mains side of a design, gathered: panel, branches, inlet, cord, grounding, supplies."""

from __future__ import annotations

from collections.abc import Iterable

from trailerlib.design import plug_types, wire_sizes
from trailerlib.design.design import Design
from trailerlib.design.model import Circuit
from trailerlib.rules import branches, grounding
from trailerlib.rules import plugs as plug_rules
from trailerlib.rules import supply_chain as rules
from trailerlib.rules.finding import Finding, not_so
from trailerlib.studies import branch_checks, inlet_wire, plugs, supply_checks
from trailerlib.studies.legs import arriving_legs
from trailerlib.studies.loads import side_volts
from trailerlib.studies.mains import busiest, least_a
from trailerlib.studies.timetable import stays_on

SMALL_A = 20.0  # the circuits that 551.42 counts are of 15 and 20 A
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
        *branch_checks.checks(design, circuits),
        *_panel(design, circuits),
        *inlet_wire.checks(design),
        *(check for supply in design.supplies for check in supply_checks.checks(design, supply)),
        *supply_checks.sources(design),
        *plugs.checks(design),
        *(check for supply in design.supplies for check in supply_checks.dead(design, supply)),
    )


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


def _panel(design: Design, circuits: tuple[Circuit, ...]) -> list[Finding]:
    mains = design.mains
    inlet_a = None if mains.inlet is None else plug_types.plug(mains.inlet).rating_a
    bond = None if mains.frame_bond is None else wire_sizes.wire(mains.frame_bond).area_m2 * 1e6
    found = [
        *([] if mains.has_main is False else [rules.main_breaker(mains.main, inlet_a)]),
        rules.inlet_type(None if mains.inlet is None else mains.inlet not in rules.INLET_TYPES),
        rules.inlet_label(not_so(mains.inlet_labelled)),
        rules.panel_clear(not_so(mains.panel_clear)),
        grounding.neutral_isolated(not_so(mains.neutral_isolated)),
        grounding.frame_bond(bond),
        grounding.skin_bonded(not_so(mains.skin_bonded)),
    ]
    if len(circuits) > EVEN_PANEL:
        found.append(rules.main_needed(False if mains.main is not None else not_so(mains.has_main)))
    small = [circuit for circuit in circuits if circuit.protection is None or circuit.protection <= SMALL_A]
    if len(circuits) == 1 and small:
        found.append(grounding.single_circuit_gfci(f'circuit "{small[0].name}"', not_so(small[0].gfci)))
    if design.charger is not None:
        dc_a = sum(load.running_w for load in design.loads if load.on and load.typical.system == "dc")
        need = plug_rules.converter_need_a(dc_a / side_volts(design, "dc"))
        found.append(plug_rules.converter_size("charger", design.charger.current, need))
    return found
