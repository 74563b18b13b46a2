"""What may be wrong on the mains side, and what the meters then show."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from trailerlib.studies.closing.block import Fault, Floats
from trailerlib.studies.closing.mains_lines import WORDS, Read
from trailerlib.studies.closing.mains_read import Change
from trailerlib.studies.closing.mains_side import SUPPLY_SHARE, Point, Side

Wrong = tuple[Fault, Floats, Change]

# How often each is met beside the others: common practice, no source.
WEIGHTS = {
    "reversed": 2.0, "open": 1.0, "open ground": 2.0, "swapped": 0.5, "poor": 2.0, "run": 0.75, "trips": 1.5,
    "low": 2.0, "cord": 1.5, "cord run": 1.0, "outside": 0.75, "charger": 2.0, "transfer": 0.75, "same leg": 0.75,
}  # fmt: skip
RESISTANCES = np.geomspace(5e-3, 20.0, 39)
TIMES = np.geomspace(1.3, 4.0, 7)  # a gauge is 1.26: ASTM B258
LOW_SHARE = 0.33
NONE = np.zeros(1)
UNSURE, HARDLY = 0.5, 0.1  # chance that a trip is seen where nothing can be said, and where the tester has no ground

# What is shown instead, at a point with hot, neutral and ground, and at one between the legs.
DEAD = {"loaded hn": "none", "amps": "no amps", "panel ng": "none"}
OPEN_HOT = {
    **DEAD,
    "hot drop": "full",
    "hn": "ghost",
    "hg": "ghost",
    "ng": "none",
    "loaded ng": "none",
    "panel hn": "full",
}
OPEN_NEUTRAL = {**DEAD, "hot drop": "none", "hn": "ghost", "ng": "ghost", "loaded ng": "full", "panel hn": "full"}
OPEN_GROUND = {"hg": "ghost", "ng": "ghost", "loaded ng": "ghost"}
REVERSED = {"hg": "none", "ng": "full", "loaded ng": "hot to ground", "hot drop": "across"}
SWAPPED = {
    **DEAD,
    "hot drop": "full",
    "hn": "none",
    "hg": "full",
    "ng": "full",
    "loaded ng": "full",
    "panel hn": "full",
}
BETWEEN_DEAD = {"hn": "ghost", "loaded hn": "none", "amps": "no amps", "panel hn": "twice", "panel hg": "full"}
OPEN_LEG = (
    {**BETWEEN_DEAD, "hn": "anywhere", "hg": "ghost", "loaded hg": "full", "hot drop": "twice"},
    {**BETWEEN_DEAD, "hn": "anywhere", "ng": "ghost", "loaded hg": "full", "hot drop": "none"},
)
BETWEEN_NO_GROUND = {"hg": "ghost", "ng": "ghost", "loaded hg": "ghost"}
# The load then runs from leg 2 to the ground wire: about a leg's voltage, and nothing on leg 1.
BETWEEN_SWAPPED = {
    **BETWEEN_DEAD, "hn": "full", "ng": "twice", "hg": "full", "loaded hn": "full", "loaded hg": "full",
    "hot drop": "full",
}  # fmt: skip


def faults(side: Side, reads: tuple[Read, ...]) -> Iterator[Wrong]:
    """Every fault that is looked for behind the panel, its sizes, and what it changes.

    Parameters
    ----------
    side : the mains side as it is tested
    reads : its lines
    """
    for circuit in dict.fromkeys(point.circuit.name for point in side.points):
        here = [point for point in side.points if point.circuit.name == circuit]
        for point in here:
            yield from _wiring(side, reads, point.name, [point])
        if len(here) > 1:
            yield from _wiring(side, reads, f"{circuit}, all of it", here)
        yield from _branch(side, here)
        yield from _no_trip(side, reads, circuit)
    yield from _charger(side)
    yield from _transfer(side)


def _wiring(side: Side, reads: tuple[Read, ...], name: str, here: list[Point]) -> Iterator[Wrong]:
    """A wire that is open or on the wrong screw at one point, or ahead of all points of a circuit."""
    point, names = here[0], [point.name for point in here]
    hot, neutral, ground = (WORDS[side.design.practice][word] for word in ("hot", "neutral", "ground"))
    own = f"trip/{point.circuit.name}/own button", f"trip/{point.circuit.name}/tester"
    no_power = {own[0]: UNSURE, own[1]: HARDLY}
    no_ground = {own[1]: HARDLY}
    told: list[tuple[str, str, str, Mapping[str, str], Mapping[str, float], str]] = [
        ("open ground", f"the {ground} wire is open", "open ground",
         BETWEEN_NO_GROUND if point.between else OPEN_GROUND, no_ground, "Do not use it: a fault stays on the case."),
        (f"{hot} and {ground} swapped", f"{hot} and {ground} are on each other's screw", "swapped",
         BETWEEN_SWAPPED if point.between else SWAPPED, no_power, "Supply off at once: every case plugged in is live."),
    ]  # fmt: skip
    if point.between:
        told += [(f"open leg {k + 1}", f"leg {k + 1} is open", "open", OPEN_LEG[k], no_power, "") for k in (0, 1)]
    else:
        told += [
            (f"open {hot}", f"the {hot} wire is open", "open", OPEN_HOT, no_power, ""),
            (f"open {neutral}", f"the {neutral} wire is open", "open", OPEN_NEUTRAL, no_power,
             "It looks dead and is live."),
            (f"{hot} and {neutral} reversed", f"{hot} and {neutral} are exchanged", "reversed", REVERSED, no_ground,
             "Exchange the two wires: a switch must break the hot one."),
        ]  # fmt: skip
    for kind, says, weight, shows, chances, mend in told:
        charges = not (shows.get("amps") == "no amps" and _feeds_charger(side, point))
        asked = {read.line.key for read in reads if read.point in names}
        yield (
            Fault(
                f"{kind}/{name}", kind, name, f"at {name} {says}",
                f"{mend} Lock the supply off, open the box, and follow the wire to the panel.".strip(),
                WEIGHTS[weight], circuit=point.circuit.name, places=_places(here),
            ),
            NONE,
            Change(
                circuit=point.circuit.name, points=dict.fromkeys(names, shows), charger=charges,
                chances={key: chance for key, chance in chances.items() if key in asked},
            ),
        )  # fmt: skip


def _feeds_charger(side: Side, point: Point) -> bool:
    return side.design.charger is not None and side.design.charger.circuit == point.circuit.name


def _places(here: list[Point]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(point.at for point in here if point.at))


def _branch(side: Side, here: list[Point]) -> Iterator[Wrong]:
    """More resistance in one wire of a run than it should have; thinner wire, or more of it."""
    if not any(point.way for point in here):
        return
    circuit, words = here[0].circuit, WORDS[side.design.practice]
    full, volts = side.full_a(circuit), side.volts(here[0])
    slots = ("leg 1", "leg 2") if here[0].between else (words["hot"], words["neutral"])
    pieces = sorted({piece for point in here for piece in point.way or ()})
    for piece in pieces:
        part = f", part {piece + 1}" if len(pieces) > 1 else ""
        spots = _places([point for point in here if piece in (point.way or ())])
        for slot, name in enumerate(slots):
            yield (
                Fault(
                    f"extra resistance/{circuit.name}{part}/{name}", "extra resistance",
                    f"{circuit.name}{part}, {name}",
                    f"the {name} wire of {circuit.name}{part}, with its screws and splices: {{size}} too much",
                    "Supply locked off: tighten breaker, bar and receptacle, undo back-stabbed ends, read again.",
                    WEIGHTS["poor"], "resistance", full, volts, circuit.name, spots,
                ),
                RESISTANCES, Change(circuit=circuit.name, piece=piece, slot=slot, ohm=RESISTANCES),
            )  # fmt: skip
    yield (
        Fault(
            f"run/{circuit.name}", "wire thinner or longer", circuit.name,
            f"the wire of {circuit.name} is thinner or longer than drawn: {{size}} times the resistance",
            "Read the gauge on the jacket and measure the run; a thinner wire also wants a smaller breaker.",
            WEIGHTS["run"], "factor", None, volts, circuit.name, _places(here),
        ),
        TIMES, Change(circuit=circuit.name, times=TIMES),
    )  # fmt: skip


def _no_trip(side: Side, reads: tuple[Read, ...], circuit: str) -> Iterator[Wrong]:
    keys = [read.line.key for read in reads if read.line.circuit == circuit and read.line.key.startswith("trip/")]
    if keys and side.design.circuit(circuit).gfci:
        name = WORDS[side.design.practice]["guard"]
        yield (
            Fault(
                f"no trip/{circuit}", f"{name} does not trip", circuit, f"the {name} of {circuit} does not open",
                "Replace it, or exchange its line and load wires if they are the wrong way round, and test again.",
                WEIGHTS["trips"], circuit=circuit,
                places=_places([point for point in side.points if point.circuit.name == circuit][:1]),
            ),
            NONE, Change(circuit=circuit, chances=dict.fromkeys(keys, 0.0)),
        )  # fmt: skip


def _charger(side: Side) -> Iterator[Wrong]:
    charger, battery = side.design.charger, side.design.battery
    if charger is not None and battery is not None:
        yield (
            Fault(
                "charger/not charging", "charger absent or not charging", "charger", "the charger does not charge",
                "Is it on, its fuse to the battery whole, plus on plus? Its own lamp tells the rest.",
                WEIGHTS["charger"], circuit=charger.circuit, places=(battery.place,) if battery.place else (),
            ),
            NONE, Change(circuit=charger.circuit, charger=False),
        )  # fmt: skip


def _transfer(side: Side) -> Iterator[Wrong]:
    if len(side.design.supplies) > 1:
        yield (
            Fault(
                "transfer/both", "transfer lets both through", "transfer", "two supplies can reach the panel at once",
                "Take one off until an interlock, a transfer switch or a single inlet keeps them apart.",
                WEIGHTS["transfer"], places=(side.design.panel,) if side.design.panel else (),
            ),
            NONE, Change(chances={"transfer/one at a time": 0.0}),
        )  # fmt: skip


def low_sizes(side: Side) -> Floats:
    """How far under its voltage a supply may stand that is too low [V], (s,): from the end of its range on."""
    first = SUPPLY_SHARE[side.design.practice] * side.nominal_v
    low: Floats = np.geomspace(first, LOW_SHARE * side.nominal_v, 10)
    return low
