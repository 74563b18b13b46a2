"""What may be wrong between the supply and the panel: every branch shows it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from trailerlib.studies.closing.block import Fault
from trailerlib.studies.closing.mains_faults import (
    BETWEEN_DEAD,
    BETWEEN_NO_GROUND,
    HARDLY,
    NONE,
    OPEN_GROUND,
    OPEN_HOT,
    OPEN_LEG,
    OPEN_NEUTRAL,
    RESISTANCES,
    REVERSED,
    TIMES,
    UNSURE,
    WEIGHTS,
    Wrong,
    low_sizes,
)
from trailerlib.studies.closing.mains_lines import WORDS, Read
from trailerlib.studies.closing.mains_read import Change
from trailerlib.studies.closing.mains_side import Side

MEND = "Supply locked off at the source: open plug, inlet and main, follow this wire through all of them."
NO_LIVE = {**OPEN_HOT, "panel hn": "none", "hot drop": "none"}
NO_NEUTRAL = {**OPEN_NEUTRAL, "panel hn": "none", "panel ng": "full"}
NO_GROUND = {**OPEN_GROUND, "panel ng": "ghost"}
TURNED = {**REVERSED, "panel ng": "panel hot to ground"}
NO_MIDDLE = {**NO_NEUTRAL, "hn": "anywhere"}
BETWEEN_BARE = {**BETWEEN_NO_GROUND, "panel hg": "ghost"}
BETWEEN_SAME = {**BETWEEN_DEAD, "hn": "none", "loaded hg": "full", "panel hn": "none", "hot drop": "none"}


def supply_faults(side: Side, reads: tuple[Read, ...]) -> Iterator[Wrong]:
    """Every fault that is looked for between supply and panel, its sizes, and what it changes.

    Parameters
    ----------
    side : the mains side as it is tested
    reads : its lines
    """
    low = low_sizes(side)
    yield (
        _fault(side, "low", "supply low", "the supply stands {size} lower than it should", "low", "voltage"),
        low,
        Change(emf_v=-low),
    )
    yield from _poor(side)
    yield from _open_ground(side, reads)
    yield from _two_legs(side, reads) if side.legs == 2 else _one_leg(side, reads)


def _fault(side: Side, key: str, kind: str, says: str, weight: str, sized: str = "") -> Fault:
    heat = side.supply_a if sized == "resistance" else None
    mend = "Another receptacle, a thicker or shorter cord; tell whoever owns the supply." if key == "low" else MEND
    place = side.supply.place if side.supply is not None else None
    return Fault(
        f"supply/{key}", kind, "supply" if key == "low" else "cord and inlet", says, mend, WEIGHTS[weight],
        sized, heat, side.nominal_v, None, (place,) if place else (),  # type: ignore[arg-type]
    )  # fmt: skip


def _poor(side: Side) -> Iterator[Wrong]:
    """More resistance in one conductor between source and panel, or a cord that is thinner or longer."""
    words = WORDS[side.design.practice]
    legs = {1: "leg 1", 2: "leg 2"} if side.legs == 2 else {1: f"the {words['hot']} wire"}
    for conductor, name in {**legs, 0: "the neutral"}.items():
        says = f"{name} of the cord, with its blades, inlet, the wire behind it and main: {{size}} too much"
        fault = _fault(side, f"poor {name}", "extra resistance", says, "cord", "resistance")
        yield fault, RESISTANCES, Change(supply={conductor: RESISTANCES})
    if side.cord is not None:
        says = "the cord is thinner or longer than drawn: {size} times the resistance"
        yield _fault(side, "cord", "wire thinner or longer", says, "cord run", "factor"), TIMES, Change(cord=TIMES)


def _points(
    side: Side, one_leg: Mapping[str, str], between: Mapping[str, str], leg: int = 0
) -> dict[str, Mapping[str, str]]:
    """The same for every point, or for those on one leg; what runs between the legs has its own."""
    return {
        point.name: between if point.between else one_leg
        for point in side.points
        if not leg or leg in point.legs
    }  # fmt: skip


def _trips(reads: tuple[Read, ...], own: float | None, tester: float, points: Mapping[str, object]) -> dict[str, float]:
    chances = {"own button": own, "tester": tester}
    return {
        read.line.key: chance
        for read in reads
        if read.point in points and (chance := chances.get(read.what)) is not None
    }


def _charges(side: Side, points: Mapping[str, Mapping[str, str]]) -> bool:
    charger = side.design.charger
    fed = [point.name for point in side.points if charger is not None and point.circuit.name == charger.circuit]
    return not any(points.get(name, {}).get("amps") == "no amps" for name in fed)


def _open_ground(side: Side, reads: tuple[Read, ...]) -> Iterator[Wrong]:
    ground = WORDS[side.design.practice]["ground"]
    points = _points(side, NO_GROUND, BETWEEN_BARE)
    panel = dict.fromkeys(("hot ground", "neutral ground", "leg 1 ground", "leg 2 ground"), "ghost")
    chances = {**_trips(reads, None, HARDLY, points), "supply/polarity": UNSURE}
    fault = _fault(side, "open ground", f"open {ground}", f"the {ground} wire of the cord is open", "outside")
    yield fault, NONE, Change(panel=panel, points=points, chances=chances)


def _one_leg(side: Side, reads: tuple[Read, ...]) -> Iterator[Wrong]:
    words = WORDS[side.design.practice]
    told: list[tuple[str, str, Mapping[str, str], dict[str, str], float]] = [
        (f"open {words['hot']}", f"the {words['hot']} wire of the cord is open", NO_LIVE,
         {"hot neutral": "ghost", "hot ground": "ghost"}, UNSURE),
        (f"open {words['neutral']}", "the neutral of the cord is open", NO_NEUTRAL,
         {"hot neutral": "ghost", "neutral ground": "ghost"}, UNSURE),
        ("reversed", f"{words['hot']} and {words['neutral']} arrive exchanged", TURNED,
         {"hot ground": "none", "neutral ground": "full"}, 0.0),
    ]  # fmt: skip
    for kind, says, shows, panel, polarity in told:
        points = _points(side, shows, shows)
        own = None if kind == "reversed" else UNSURE
        chances = {**_trips(reads, own, HARDLY, points), "supply/polarity": polarity}
        yield (
            _fault(side, kind, f"supply {kind}", says, "outside"),
            NONE,
            Change(panel=panel, points=points, chances=chances, charger=_charges(side, points)),
        )


def _two_legs(side: Side, reads: tuple[Read, ...]) -> Iterator[Wrong]:
    for leg in (1, 2):
        points = _points(side, NO_LIVE, {**OPEN_LEG[leg - 1], "panel hn": "none", "hot drop": "none"}, leg)
        panel = {f"leg {leg} neutral": "ghost", f"leg {leg} ground": "ghost", "leg to leg": "anywhere"}
        says = f"leg {leg} does not arrive"
        yield _fault(side, f"open leg {leg}", f"open leg {leg}", says, "outside"), NONE, Change(
            panel=panel, points=points, charger=_charges(side, points), dead_leg=leg,
            chances={**_trips(reads, UNSURE, HARDLY, points), "supply/polarity": UNSURE},
        )  # fmt: skip
    points = _points(side, NO_MIDDLE, {})
    panel = {"leg 1 neutral": "anywhere", "leg 2 neutral": "anywhere", "neutral ground": "ghost"}
    says = "the neutral of the cord is open: the legs swing"
    yield _fault(side, "open neutral", "main neutral open", says, "outside"), NONE, Change(
        panel=panel, points=points, charger=_charges(side, points), neutral_open=True,
        chances={**_trips(reads, UNSURE, HARDLY, points), "supply/polarity": UNSURE},
    )  # fmt: skip
    points = _points(side, {}, BETWEEN_SAME)
    says = "both hot wires come from the same leg"
    yield _fault(side, "same leg", "both hots on the same leg", says, "same leg"), NONE, Change(
        panel={"leg to leg": "none"}, points=points, charger=_charges(side, points), same_leg=True,
        chances={"supply/polarity": UNSURE},
    )  # fmt: skip
