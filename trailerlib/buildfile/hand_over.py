"""The hand-over page: what the person who lives with the trailer does, looks after and never does, in plain words.

Written for somebody who did not build it. Numbers are those of the design; what is habit says so.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from trailerlib import units
from trailerlib.design.design import Design
from trailerlib.studies.answer import Assessment, names

Data = dict[str, Any]

PRACTICE = "common practice, no source"
MAKER = "the maker's instructions win"
ASKS = ("Builder", "Electrician", "Battery and charger", "Emergency number here", "Where the trailer stands")
CHEMISTRY = {
    "flooded": ("Acid level over the plates, top up with distilled water; caps on, vents clear", "Month"),
    "agm": ("Case not swollen, posts dry and tight; never opened or topped up", "Half-year"),
    "gel": ("Case not swollen, posts dry and tight; charger set to gel", "Half-year"),
    "lfp": ("Posts tight; charger set to LFP; never charged while it is frozen", "Half-year"),
}


def hand_over(design: Design, assessment: Assessment) -> Data:
    """What stands on the hand-over page.

    Parameters
    ----------
    design : the design
    assessment : every study of it

    Returns
    -------
    dict
        ``columns`` (two, of headings with their lines), ``care`` (what, when, by whom it is said) and ``asks``.
    """
    parts = [
        ("When you arrive", list(_arrive(design))),
        ("On the battery", list(_battery(design, assessment))),
        ("On a cord or a generator", list(_mains(design))),
        ("When something stops", list(_stops(design))),
        ("Before you drive", list(_drive(design, assessment))),
        ("Never", list(_never(design))),
    ]
    return {
        "columns": _columns([[heading, lines] for heading, lines in parts if lines]),
        "care": [list(row) for row in _care(design)],
        "asks": list(ASKS),
    }


def _columns(parts: list[list[Any]]) -> list[list[list[Any]]]:
    """The parts in two columns of about the same length, in their order."""
    long = [40 + sum(50 + len(line) for line in lines) for _, lines in parts]
    ways = range(len(parts) + 1)
    split = min(ways, key=lambda n: max(sum(long[:n]), sum(long[n:])), default=0)
    return [parts[:split], parts[split:]]


def _far(design: Design) -> str:
    return "20 ft" if design.units == "us" else "6 m"


def _arrive(design: Design) -> Iterator[str]:
    yield "Park level, set the brake, chock the wheels on both sides."
    if design.use.sleepers:
        yield "Press the test button of every alarm. Without an alarm that sounds, nobody sleeps here."
    if any(o.gap is not None for o in design.openings):
        ajar = [opening for opening in design.openings if opening.gap is not None]
        gaps = [(opening.name, units.show(opening.gap, "small length", design.units, 2)) for opening in ajar]
        yield f"At night let air in: open {names(f'{name} by {gap}' for name, gap in gaps)}."
    if any(load.fan is not None for load in design.loads):
        yield "A fan that blows out needs an opening that lets in; keep one open while it runs."


def _battery(design: Design, assessment: Assessment) -> Iterator[str]:
    if design.battery is None:
        return
    night = assessment["night"]
    yield f"From full, used as planned: {_lower(night.sentence)}"
    if design.feeder is not None and design.feeder.disconnect:
        yield "The battery disconnect cuts everything that runs on 12 or 24 V. Turn it off before anybody works on it."
    if design.charger is not None:
        yield "The charger fills it whenever the trailer is on a cord or a generator. Store the trailer with it full."
    if design.battery.chemistry == "lfp":
        yield "This battery takes no charge while it is frozen: warm it first."


def _mains(design: Design) -> Iterator[str]:
    if not design.circuits_of("mains"):
        return
    if design.mains.inlet is not None:
        yield (
            f"Plug into the trailer's inlet ({design.mains.inlet}) first, then into the supply. Unplug the other way "
            "round."
        )
    yield (
        "Uncoil the cord to its whole length and keep its plugs dry. A plug that is warm to the hand is not used again."
    )
    for supply in design.supplies:
        if supply.adapters:
            adapters = names(f"the adapter {one}" for one in supply.adapters)
            yield f"“{supply.name}” needs {adapters}; nothing else in between."
    yield "What may run at the same time stands on the card beside the panel, one for each supply. Follow it."
    if any(supply.is_generator for supply in design.supplies):
        yield (
            f"A generator stands at least {_far(design)} away, down the wind, exhaust pointing away, and never runs "
            "near an open window or where somebody sleeps. Switch on one thing after the other, the largest first."
        )


def _stops(design: Design) -> Iterator[str]:
    if design.circuits_of("mains"):
        yield (
            "A breaker is open: unplug what you switched on last, push the handle fully off, then on, once. If it "
            "opens again, leave it off and ask the electrician."
        )
    if any(circuit.gfci for circuit in design.circuits):
        yield (
            "An outlet with a test button is dead: unplug everything from it, press reset. If it does not stay in, "
            "something leaks current: leave it off."
        )
    if design.circuits_of("dc"):
        yield (
            "A fuse is blown: find out why. Put in one of the same number only; the schedule of fuses says which. "
            "A larger one lets the wire burn."
        )
    if design.use.sleepers:
        yield (
            "An alarm sounds: everybody out into the open air at once, doors left open. Count heads, then call for "
            "help. Nobody goes back in until whoever came to help says so."
        )
    yield "Smoke, or a smell of hot plastic: everybody out, disconnect off, unplug, call for help from outside."


def _drive(design: Design, assessment: Assessment) -> Iterator[str]:
    yield "Unplug and stow the cord; close roof and windows; latch cabinets; walk round once."
    strapped = [supply.name for supply in design.supplies if supply.straps or supply.bolts]
    strapped += [thing.name for thing in design.cargo if thing.straps or thing.bolts]
    if strapped:
        yield f"Tie down: {names(strapped)}. Pull on every strap by hand."
    towing = assessment["towing"]
    if towing.checks:
        yield f"Loaded as planned: {_lower(towing.sentence)} What you add yourself changes this; weigh it loaded."


def _lower(sentence: str) -> str:
    """A sentence as it goes on after a colon."""
    return sentence[:1].lower() + sentence[1:]


def _never(design: Design) -> Iterator[str]:
    yield "Never use anything that burns its fuel inside the room for heat: no camping stove, no charcoal."
    yield "Never hold a breaker shut, bridge a fuse, or tape a button."
    yield "Never drill or screw into walls, roof or floor before you have looked at the plan where the wires run."
    if design.circuits_of("mains"):
        yield "Never open the panel. Behind its cover parts stay live while the trailer is plugged in."
    if design.battery is not None:
        yield "Never lay metal on the battery. Take off rings and watches near it."


def _care(design: Design) -> Iterator[tuple[str, str, str]]:
    """What is looked after, how often, and who says so."""
    if design.use.sleepers:
        yield "Test every alarm; renew it at the date printed on it", "Week in use", MAKER
    if any(circuit.gfci for circuit in design.circuits):
        yield "Press test, then reset, on every outlet that has the buttons", "Month", MAKER
    if design.battery is not None:
        what, often = CHEMISTRY[design.battery.chemistry]
        yield what, often, MAKER
        yield "Charge it full before it stands, and again while it stands", "2 months", PRACTICE
    if design.circuits:
        yield (
            "Panel and fuse block, disconnected: pull gently on every wire, tighten; by an electrician",
            "Year",
            PRACTICE,
        )
    if design.mains.inlet is not None or design.supplies:
        yield "Plugs, inlet and cords: no burn mark, no loose pin, no cut", "Each trip", PRACTICE
    if any(opening.wall == "roof" for opening in design.openings):
        yield "Sealant round everything on the roof; renew where it lifts or cracks", "Half-year", PRACTICE
    if any(opening.kind == "roof cooler" for opening in design.openings):
        yield "Wash the cooler's filter; nothing on top of its cover; bolts tight", "Month in use", MAKER
    if any(supply.is_generator for supply in design.supplies):
        yield "Generator: oil, air filter, fuel lines; run it once with a load", "Month", MAKER
    if design.tanks:
        yield "Water tank: drain before frost; clean and rinse", "Half-year", PRACTICE
    yield "Tyres: pressure cold as on the side wall, tread, cracks; wheel nuts tight", "Each trip", MAKER
    yield "Coupler, chains, lights and brakes: look, then try them", "Each trip", PRACTICE
    yield "Wheel bearings: clean and grease, or have it done", "Year", MAKER
