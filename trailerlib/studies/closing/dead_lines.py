"""What is measured with everything dead: bonds, polarity, shorts, insulation."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trailerlib.design.design import Design
from trailerlib.design.model import Circuit
from trailerlib.studies.closing.dead_bonds import Bond, bonds
from trailerlib.studies.closing.line import Asks, Line

MILLIOHMS, OHMS, MEGOHMS = "milliohms", "ohms", "megohms"
NO_CONTACT_OHM, OVER_OHM, OVER_INSULATION_OHM = 100.0, 20e3, 500e6  # written when the meter shows over range
BOND_LIMIT_OHM = 0.1  # IEC 60950-1 2.6.3.4 for protective bonding, seen in a copy; IEC 61439-1 10.5.2, from memory
APART_OHM = 10e3  # less between what should be apart is looked into: common practice, no source
INSULATION_LIMIT_OHM = 1e6  # IEC 60364-6 table 6.1, circuits up to 500 V at 500 V dc, seen in a copy of its values
SETTINGS = {
    MILLIOHMS: f"milliohms, four wires or leads set to zero; write {NO_CONTACT_OHM:g} ohm where there is no contact",
    OHMS: f"ohms, range of 20 kohm, leads taken off; write {OVER_OHM * 1e-3:g} kohm when it shows over range",
    MEGOHMS: f"insulation tester at 500 V dc; write {OVER_INSULATION_OHM * 1e-6:g} Mohm for anything above",
    "": "ohms or beeper",
}
LOCKED = "supply unplugged and locked off, generator cannot start, battery's minus off and taped; prove it dead first"
FUSES_OUT = f"all fuses out, loads unplugged or their wires off; {LOCKED}"
FOR_INSULATION = (
    "breaker off, its neutral off the bar, hot and neutral joined; nothing plugged in, GFCI, charger and electronics "
    f"off the wires; nobody touches them: 500 V; discharge them afterwards; {LOCKED}"
)


@dataclass(frozen=True)
class Read:
    """A line, what it is about (``bond``, ``polarity``, ``rails``, ``frame``, ``across``, ``neutral``, ``insulation``)
    and of what: the name of a bond or a circuit. ``bond`` is the bond it measures, if any.
    """

    line: Line
    what: str
    of: str
    bond: Bond | None = None


def readings(design: Design) -> Iterator[Read]:
    """Every dead test in the order a person walks.

    Parameters
    ----------
    design : the design
    """
    yield from (_bond(bond) for bond in bonds(design))
    dc, mains = design.circuits_of("dc"), design.circuits_of("mains")
    for circuit in dc:
        yield from (_polarity(design, circuit, end) for end in ("plus", "minus"))
    for what in (_rails, _frame):
        yield from (what(design, circuit) for circuit in dc)
    yield from (_across(design, circuit) for circuit in mains)
    if mains:
        yield _neutral(design)
    yield from (_insulation(design, circuit) for circuit in mains)


def _line(
    key: str, asks: Asks, meter: str, where: str, state: str, why: str, circuit: str | None, at: str | None
) -> Line:
    return Line(key, "dead", asks, where, SETTINGS[meter], state, why, meter, circuit, None, at)


def _bond(bond: Bond) -> Read:
    line = _line(
        f"bond/{bond.name}", "resistance", MILLIOHMS, f"from the panel's ground bar to {bond.where}", LOCKED,
        "A fault must find its way back and open the breaker; a case without a bond stays live. "
        f"At most {BOND_LIMIT_OHM:g} ohm, less where metal lies parallel.",
        bond.circuit, bond.at,
    )  # fmt: skip
    return Read(line, "bond", bond.name, bond)


def _far(design: Design, circuit: Circuit) -> str | None:
    """The place of the last thing on a circuit."""
    return next((load.place for load in reversed(design.loads_on(circuit.name)) if load.place), circuit.to)


def _polarity(design: Design, circuit: Circuit, end: str) -> Read:
    name, begin = circuit.name, {"plus": f"the fuse terminal of {circuit.name}", "minus": "the negative bus"}[end]
    line = _line(
        f"polarity/{name}/{end}", "yes or no", "", f"from {begin} to the {end} at the far end of {name}: joined",
        FUSES_OUT, "Electronics on the wrong way round are gone at once; lamps light and hide it.", name,
        _far(design, circuit),
    )  # fmt: skip
    return Read(line, "polarity", name)


def _rails(design: Design, circuit: Circuit) -> Read:
    name = circuit.name
    line = _line(
        f"rails/{name}", "resistance", OHMS, f"from the load side of the fuse of {name} to the negative bus", FUSES_OUT,
        "Plus and minus that touch blow the fuse at best, through a screw that just bites it takes a year.", name,
        design.fuse_block,
    )  # fmt: skip
    return Read(line, "rails", name)


def _frame(design: Design, circuit: Circuit) -> Read:
    name = circuit.name
    line = _line(
        f"frame/{name}", "resistance", OHMS, f"from the load side of the fuse of {name} to the frame", FUSES_OUT,
        "A plus that touches the frame is a short as soon as the minus does, at the tow vehicle if not here.", name,
        design.fuse_block,
    )  # fmt: skip
    return Read(line, "frame", name)


def _across(design: Design, circuit: Circuit) -> Read:
    name, two = circuit.name, "leg 1 and leg 2" if circuit.between_legs else "hot and neutral"
    line = _line(
        f"across/{name}", "resistance", OHMS, f"in the panel, between {two} of {name}",
        f"breaker off, nothing plugged in, what is wired in taken off; {LOCKED}",
        "A staple or a screw through the cable shows before it is live.", name, design.panel,
    )  # fmt: skip
    return Read(line, "across", name)


def _neutral(design: Design) -> Read:
    line = _line(
        "neutral/ground", "resistance", OHMS, "in the panel, from the neutral bar to the ground bar",
        f"all breakers off, nothing plugged in; {LOCKED}",
        "Neutral and ground meet at the supply only (NFPA 70 551.54(C)); joined here, every case carries current.",
        None, design.panel,
    )  # fmt: skip
    return Read(line, "neutral", "")


def _insulation(design: Design, circuit: Circuit) -> Read:
    name = circuit.name
    line = _line(
        f"insulation/{name}", "resistance", MEGOHMS, f"in the panel, from hot and neutral of {name} to the ground bar",
        FOR_INSULATION,
        f"At least {INSULATION_LIMIT_OHM * 1e-6:g} Mohm (IEC 60364-6 table 6.1); new cable shows hundreds.", name,
        design.panel,
    )  # fmt: skip
    return Read(line, "insulation", name)
