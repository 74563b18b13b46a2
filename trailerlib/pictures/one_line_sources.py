"""What feeds each side of a one-line diagram, and what lies on the way from there to the bus."""

from __future__ import annotations

from trailerlib import units
from trailerlib.design.design import Design
from trailerlib.design.model import Feeder, Solar, Supply, TowCharge
from trailerlib.pictures.one_line_model import NOT, Fact, Side, Thing, branches, gauge, guard, run, size_words
from trailerlib.studies.breakers import panel_legs
from trailerlib.studies.loads import side_volts
from trailerlib.studies.plugs import receptacle_of

TRANSFER = {
    "single inlet": "one inlet: one supply at a time",
    "interlock": "interlock: one supply at a time",
    "transfer switch": "transfer switch: one supply at a time",
    "none": "nothing keeps two supplies apart",
}
OWN_FUSE = "its wire and fuse at the battery"


def mains_side(design: Design) -> Side | None:
    """The mains side; None where the design says nothing of one.

    Parameters
    ----------
    design : the design
    """
    circuits, said = design.circuits_of("mains"), design.get("mains") or {}
    if not (circuits or design.supplies or said):
        return None
    legs = panel_legs(design)
    leg_v = side_volts(design, "mains")
    volts = f"{2 * leg_v:g}/{leg_v:g} V, two legs" if legs == 2 else f"{leg_v:g} V"
    supplies = tuple(_supply(design, supply) for supply in design.supplies)
    return Side(
        "mains",
        f"Mains side, {volts}",
        _bus_words("panel", design.panel),
        legs,
        supplies or (Thing("supply", "", "not stated", (Fact("kind", f"supply {NOT}", False),), known=False),),
        (*_inlet(design), _inlet_wire(design), _main(design, legs)),
        (_bonds(design),),
        branches(design, "mains"),
    )


def _bus_words(what: str, place: str | None) -> str:
    """The heading of a bus: what it is, and its place where that says more."""
    if place is None or what in place.lower():
        return (place or what)[:1].upper() + (place or what)[1:]
    return f"{what[:1].upper()}{what[1:]}: {place}"


def _supply(design: Design, supply: Supply) -> Thing:
    cord = f"cord {NOT}" if supply.cord is None else f"{size_words(supply.cord)} cord"
    facts = [
        Fact("kind", supply.kind),
        Fact("receptacle", _receptacle(receptacle_of(supply).name)),
        Fact("gauge", cord, supply.cord is not None),
        _length(design, supply.cord_run),
        *(Fact("adapter", f"adapter {text}") for text in supply.adapters),
    ]
    if supply.is_generator:
        facts.append(Fact("neutral", f"neutral {supply.neutral or NOT}", supply.neutral is not None))
    symbol = "generator" if supply.is_generator else "outlet"
    return Thing("supply", supply.name, symbol, tuple(facts), ("adapter",) if supply.adapters else ())


def _receptacle(plug: str) -> str:
    """A receptacle by its type: NEMA writes an R behind the figures, IEC has no such sign."""
    return f"{plug} socket" if " " in plug else f"{plug}R"


def _length(design: Design, length_m: float | None) -> Fact:
    known = run(design, length_m)
    return known if known.known else Fact("run", f"length {NOT}", False)


def _inlet(design: Design) -> tuple[Thing, ...]:
    """The inlet, and a change-over where two supplies may be plugged in at once."""
    mains = design.mains
    inlet = Fact("inlet", f"inlet {NOT}", False) if mains.inlet is None else Fact("inlet", f"{mains.inlet} inlet")
    apart = Fact("transfer", f"transfer {NOT}", False)
    if mains.transfer is not None:
        apart = Fact("transfer", TRANSFER[mains.transfer])
    if mains.transfer in ("interlock", "transfer switch"):
        plug = Thing("inlet", "", "inlet", (inlet,), known=inlet.known)
        return (plug, Thing("transfer", "", "change-over", (apart,)))
    return (Thing("inlet", "", "inlet", (inlet, apart), known=inlet.known),)


def _inlet_wire(design: Design) -> Thing:
    """The wire from the inlet to the main breaker."""
    wire = Fact("gauge", f"wire {NOT}", False)
    if design.mains.inlet_wire is not None:
        written = design.get("mains.inlet_insulation") is not None
        wire = gauge(design.mains.inlet_wire, design.mains.inlet_insulation, written)
    return Thing("inlet wire", "", "wire", (wire, _length(design, design.inlet_run_m)), known=wire.known)


def _main(design: Design, legs: int) -> Thing:
    mains = design.mains
    symbol = "two-pole breaker" if legs == 2 else "breaker"
    managed = (Fact("managed", "energy management sheds loads"),) if mains.managed else ()
    if mains.has_main is False:
        return Thing("main", "", "wire", (Fact("protection", "no main breaker"), *managed))
    if mains.main is None:
        words = f"main breaker, rating {NOT}" if mains.has_main else f"main breaker {NOT}"
        return Thing("main", "", symbol, (Fact("protection", words, False), *managed), known=False)
    poles = ", both legs" if legs == 2 else ""
    return Thing("main", "", symbol, (Fact("protection", f"{mains.main:g} A main breaker{poles}"), *managed))


def _bonds(design: Design) -> Thing:
    """How panel, frame and skins hang together, and what is done with the neutral."""
    mains = design.mains
    bond = mains.frame_bond
    facts = (
        Fact("gauge", f"panel to frame: {NOT if bond is None else size_words(bond)}", bond is not None),
        _yes_no("skins", "skins", mains.skin_bonded, "bonded", "not bonded"),
        _yes_no("neutral", "neutral bar", mains.neutral_isolated, "apart from the bond", "joined to the bond"),
    )
    return Thing("bond", "", "frame", facts, known=bond is not None)


def _yes_no(what: str, subject: str, said: bool | None, yes: str, no: str) -> Fact:
    return Fact(what, f"{subject}: {NOT if said is None else yes if said else no}", said is not None)


def battery_side(design: Design) -> Side | None:
    """The battery side; None where the design says nothing of one.

    Parameters
    ----------
    design : the design
    """
    there = (design.circuits_of("dc"), design.feeder, design.solar, design.tow_charge, design.battery, design.charger)
    if not any(there):
        return None
    return Side(
        "dc",
        f"Battery side, {side_volts(design, 'dc'):g} V",
        _bus_words("fuse block", design.fuse_block),
        1,
        _sources(design),
        _feeder(design, design.feeder),
        (),
        branches(design, "dc"),
        design.charger is not None,
    )


def _sources(design: Design) -> tuple[Thing, ...]:
    tow = () if design.tow_charge is None else (_tow(design, design.tow_charge),)
    return (_battery(design), *(_sun(design, panel) for panel in design.solar), *tow)


def _battery(design: Design) -> Thing:
    battery = design.battery
    if battery is None:
        return Thing("battery", "", "not stated", (Fact("kind", f"battery {NOT}", False),), known=False)
    each = f"{units.show(battery.capacity, 'charge', design.units)} at {battery.hour_rate:g} h"
    facts = [
        Fact("kind", f"{battery.chemistry}, {battery.nominal}"),
        Fact("capacity", each if battery.count == 1 else f"{battery.count} × {each}, in parallel"),
    ]
    return Thing("battery", "battery", "battery", tuple(facts))


def _sun(design: Design, panel: Solar) -> Thing:
    each = units.show(panel.power, "power", design.units)
    facts = (
        Fact("power", each if panel.count == 1 else f"{panel.count} × {each}"),
        Fact("controller", f"{panel.controller} controller"),
        Fact("joins", f"{OWN_FUSE} {NOT}", False),
    )
    return Thing("solar", panel.name, "sun", facts, ("converter",))


def _tow(design: Design, tow: TowCharge) -> Thing:
    fused = tow.limit is not None
    own = gauge(tow.wire, tow.insulation, design.get("tow_charge.insulation") is not None)
    fuse = f"{tow.limit:g} A fuse at the vehicle" if tow.limit is not None else f"fuse at the vehicle {NOT}"
    beside: tuple[str, ...] = ("fuse" if fused else "guard not stated",)
    facts = [Fact("protection", fuse, fused), own, run(design, tow.run)]
    if tow.converter is not None:
        facts.append(Fact("converter", f"{tow.converter:g} A dc converter"))
        beside = (*beside, "converter")
    facts.append(Fact("joins", f"fuse at the battery {NOT}", False))
    return Thing("tow charge", "tow vehicle", "dc generator", tuple(facts), beside)


def _feeder(design: Design, feeder: Feeder | None) -> tuple[Thing, ...]:
    """Main fuse, disconnect and wire from the battery to the fuse block."""
    if feeder is None:
        return (Thing("feeder", "", "guard not stated", (Fact("protection", f"main fuse {NOT}", False),), known=False),)
    fuse, symbol = guard(feeder.protection, feeder.device, design.get("feeder.device") is not None, "dc")
    main = Fact("protection", f"main {'breaker' if symbol == 'breaker' else 'fuse'}: {fuse.words}", fuse.known)
    facts = [main]
    if feeder.fuse_from_battery is not None:
        away = units.show(feeder.fuse_from_battery, "small length", design.units)
        facts.append(Fact("from battery", f"{away} from the battery"))
    if feeder.interrupting is not None:
        facts.append(Fact("interrupting", f"breaks {feeder.interrupting / 1000:g} kA"))
    wire = gauge(feeder.wire, feeder.insulation, design.get("feeder.insulation") is not None)
    return (
        Thing("feeder", "", symbol, tuple(facts), known=fuse.known),
        _disconnect(feeder),
        Thing("feeder", "", "wire", (wire, _length(design, design.feeder_run_m))),
    )


def _disconnect(feeder: Feeder) -> Thing:
    fitted = feeder.disconnect
    words = {True: "battery disconnect", False: "no battery disconnect", None: f"battery disconnect {NOT}"}[fitted]
    symbol = "wire" if fitted is False else "switch"
    return Thing("disconnect", "", symbol, (Fact("disconnect", words, fitted is not None),), known=fitted is not None)
