"""What stands on a one-line diagram: both sides of a design as things in a row, each with what the design says of it.

Words in brackets are not written in the design; the workbook reckons with them. What it does not know is not stated.
"""

from __future__ import annotations

from dataclasses import dataclass

from trailerlib import units
from trailerlib.design.design import Design
from trailerlib.design.model import Circuit, Load, OnLeg
from trailerlib.studies.breakers import panel_legs
from trailerlib.studies.circuits import charger_name

NOT = "not stated"
MOTORS = ("fan", "pump", "blower", "fridge")
LAMPS = ("light", "lamp")


@dataclass(frozen=True)
class Fact:
    """One thing said in words; ``known`` is false where the design does not say it."""

    what: str
    words: str
    known: bool = True


CHARGER_JOINS = Fact("joins", f"charger wire, fuse: {NOT}", False)


@dataclass(frozen=True)
class Thing:
    """A symbol with a heading and facts: a supply, a load, a fuse in the way.

    ``part`` and ``name`` say what of the design it is, ``beside`` names further symbols on its line.
    """

    part: str
    name: str
    symbol: str
    facts: tuple[Fact, ...] = ()
    beside: tuple[str, ...] = ()
    known: bool = True


@dataclass(frozen=True)
class Branch:
    """One circuit: its protection, wire and run, what stands above its line, and what hangs on its end."""

    name: str
    symbol: str
    protection: Fact
    gauge: Fact
    run: Fact
    above: tuple[Fact, ...]
    beside: tuple[str, ...]
    leg: OnLeg | None
    ends: tuple[Thing, ...]


@dataclass(frozen=True)
class Side:
    """One side: what feeds it, what lies on the way to the bus, what is bonded, and every circuit.

    ``legs`` is the number of bars of the bus, ``joins`` whether the charger feeds it from the other side.
    """

    system: str
    title: str
    bus: str
    legs: int
    sources: tuple[Thing, ...]
    chain: tuple[Thing, ...]
    bonds: tuple[Thing, ...]
    branches: tuple[Branch, ...]
    joins: bool = False


def sides(design: Design) -> tuple[Side, ...]:
    """Mains side and battery side of a design, those that there are.

    Parameters
    ----------
    design : the design
    """
    from trailerlib.pictures.one_line_sources import battery_side, mains_side

    found = (mains_side(design), battery_side(design))
    return tuple(side for side in found if side is not None)


def branches(design: Design, system: str) -> tuple[Branch, ...]:
    """Every circuit of one side, in the order of the design; the charger's comes last, beside the battery side.

    Parameters
    ----------
    design : the design
    system : ``dc`` or ``mains``
    """
    circuits = design.circuits_of(system)
    return tuple(_branch(design, circuit) for circuit in sorted(circuits, key=lambda c: _feeds_charger(design, c)))


def _feeds_charger(design: Design, circuit: Circuit) -> bool:
    return design.charger is not None and design.charger.circuit == circuit.name


def _branch(design: Design, circuit: Circuit) -> Branch:
    written = design.get(("circuit", circuit.name, "device")) is not None
    protection, symbol = guard(circuit.protection, circuit.device, written, circuit.system)
    if circuit.between_legs and symbol == "breaker":
        symbol = "two-pole breaker"
    ends = [_load(design, load) for load in design.loads_on(circuit.name)]
    if design.charger is not None and _feeds_charger(design, circuit):
        out = Fact("rating", f"{design.charger.current:g} A to the battery")
        ends.append(Thing("charger", charger_name(design), "charger", (out,)))
    if not ends and circuit.receptacle is None:
        ends.append(Thing("no load", "", "wire", (Fact("no load", "no load", False),)))
    has_insulation = design.get(("circuit", circuit.name, "insulation")) is not None
    return Branch(
        circuit.name,
        symbol,
        protection,
        gauge(circuit.wire, circuit.insulation, has_insulation),
        run(design, design.run_m(circuit)),
        tuple(_above(design, circuit)),
        _beside(circuit),
        circuit.leg,
        tuple(ends),
    )


def guard(rating_a: float | None, device: str, written: bool, system: str) -> tuple[Fact, str]:
    """What protects a wire, and its symbol.

    Parameters
    ----------
    rating_a : [A] rating, or None
    device : kind of fuse or breaker
    written : whether the design says the kind itself
    system : ``dc`` or ``mains``: on the mains side a kind that is not written is not known
    """
    if rating_a is None:
        return Fact("protection", NOT, False), "guard not stated"
    rating = f"{rating_a:g} A"
    if not written and system == "mains":
        return Fact("protection", f"{rating}, kind {NOT}", False), "guard not stated"
    kind = device if written else f"({device})"
    return Fact("protection", f"{rating} {kind}"), "breaker" if device == "breaker" else "fuse"


def gauge(wire: str, insulation: str, written: bool) -> Fact:
    """Size of a wire and the rating of its insulation.

    Parameters
    ----------
    wire : name of the size
    insulation : its rating, ``105 C``
    written : whether the design says the insulation itself
    """
    degrees = insulation.replace(" C", "\u00a0°C")
    return Fact("gauge", f"{size_words(wire)} {degrees if written else f'({degrees})'}")


def size_words(wire: str) -> str:
    """A size of wire as it is read.

    Parameters
    ----------
    wire : name of the size, ``2.5 mm2``
    """
    return wire.replace("mm2", "mm²").replace(" ", "\u00a0")


def run(design: Design, length_m: float | None) -> Fact:
    """A run, one way, in the units of the design.

    Parameters
    ----------
    design : the design
    length_m : [m] how long, or None
    """
    return Fact("run", NOT, False) if length_m is None else Fact("run", units.show(length_m, "length", design.units))


def _above(design: Design, circuit: Circuit) -> list[Fact]:
    """Leg, outlets and ground-fault protection, as far as something is to be said."""
    found = []
    if circuit.system == "mains" and circuit.leg is None and panel_legs(design) == 2:
        found.append(Fact("leg", f"leg {NOT}", False))
    if circuit.receptacle is not None:
        count = "?" if circuit.outlets is None else str(circuit.outlets)
        found.append(Fact("outlets", f"{count} × {circuit.receptacle}", circuit.outlets is not None))
    device = "RCD" if design.practice == "iec" else "GFCI"
    if circuit.gfci is not None or (circuit.receptacle is not None and circuit.system == "mains"):
        words = {True: device, False: f"no {device}", None: f"{device} {NOT}"}[circuit.gfci]
        found.append(Fact("ground fault", words, circuit.gfci is not None))
    return found


def _beside(circuit: Circuit) -> tuple[str, ...]:
    guarded = ("ground fault",) if circuit.gfci else ()
    return (*guarded, "outlet") if circuit.receptacle is not None else guarded


def _load(design: Design, load: Load) -> Thing:
    """A load; its power stands in brackets where it is that of its class."""
    each = units.show(load.each_w, "power", design.units)
    stated = load.power is not None or load.rated_current is not None
    power = each if stated else f"({each})"
    facts = [Fact("power", power if load.count == 1 else f"{load.count} × {power}")]
    if not load.on:
        facts.append(Fact("state", "left off"))
    return Thing("load", load.name, load_symbol(load.appliance, load.typical.kind), tuple(facts))


def load_symbol(appliance: str, kind: str) -> str:
    """The symbol of a class of load.

    Parameters
    ----------
    appliance : name of the class
    kind : how it draws: ``resistive``, ``motor``, ``constant power``, ``constant current``
    """
    words = appliance.split()
    if any(word in LAMPS for word in words):
        return "lamp"
    if kind == "motor" or any(word in MOTORS for word in words):
        return "motor"
    if appliance == "usb outlet":
        return "outlet"
    return "heater" if kind == "resistive" else "device"
