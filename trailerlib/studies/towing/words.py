"""What the answer says: the sentence with the cheapest mend, numbers, table, and what holds things beside it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from trailerlib import units
from trailerlib.design.model import Trailer
from trailerlib.physics.balance import tongue_kg
from trailerlib.rules import road
from trailerlib.rules.finding import Finding
from trailerlib.studies.answer import Column, Quantity, mapping
from trailerlib.studies.towing.lie import Lie
from trailerlib.studies.towing.result import Strip, TowingPicture

COLUMNS = (
    Column("name", "What is aboard"),
    Column("mass_kg", "Mass", "mass"),
    Column("by", "Mass by"),
    Column("x_m", "From the nose wall", "length"),
    Column("y_m", "From the road side", "length"),
    Column("coupler_kg", "Adds at the coupler", "mass"),
    Column("may", "Where it may stand"),
    Column("aside", "Across, from the road side"),
)


def missing(box: Trailer, bare: bool) -> str:
    """What is not known that the balance needs; empty when all is."""
    lacks = []
    if not bare:
        lacks.append("what the empty trailer weighs and where its weight sits (papers, or a scale twice)")
    if box.axle is None:
        lacks.append("where the axles are")
    return " and ".join(lacks)


def sentence(picture: TowingPicture, checks: Sequence[Finding], system: units.System) -> str:
    """The verdict: what limits it, and the cheapest mend."""
    if picture.missing:
        return f"Not checked: it is not said {picture.missing}."
    assert picture.share is not None and picture.coupler is not None and picture.gross_kg is not None
    share = units.show(picture.share, "fraction", system)
    load = units.show(picture.coupler.load_kg, "mass", system)
    broken = [f for f in checks if f.severity in ("stop", "fix")]
    lies = [f for f in broken if not f.rule.startswith(("restraint-", "battery-held", "thing-held"))]
    if lies:
        first = min(lies, key=lambda f: (f.severity != "stop", f.margin if f.margin is not None else 0.0))
        return f"{_wrong(picture, first, share, load, system)} {_mend(picture, system)}"
    if broken:
        return f"It lies well, {share} or {load} on the coupler, but not held: {_first(broken[0].text(system))}"
    return f"Tows straight: {share} of its weight, {load}, is on the coupler. {_closest(checks, system)}"


def standing(picture: TowingPicture) -> str:
    """The verdict while it stands with people aboard: does the coupler stay down."""
    if picture.missing:
        return f"Not checked: it is not said {picture.missing}."
    assert picture.coupler is not None
    load = units.show(abs(picture.coupler.load_kg), "mass", picture.system)
    if picture.coupler.load_kg < 0:
        return (
            f"Unhitched it tips up: with people aboard {load} lifts the coupler. Stay hitched, or prop the rear first."
        )
    return f"With people aboard {load} stays on the coupler: unhitched it does not tip up."


def _first(text: str) -> str:
    return text[:1].lower() + text[1:]


def _wrong(picture: TowingPicture, first: Finding, share: str, load: str, system: units.System) -> str:
    if first.rule == "tongue-too-light":
        return f"It may sway: only {share} of its weight, {load}, is on the coupler."
    if first.rule == "tongue-too-heavy":
        return f"Too heavy in front: {share} of its weight, {load}, is on the coupler."
    return first.text(system)


def _mend(picture: TowingPicture, system: units.System) -> str:
    """The smallest move of one thing that puts all right along the trailer; where it lies well so, one across."""
    moves = [(abs(s.shift), s) for s in picture.strips if s.shift is not None and abs(s.shift) > 1e-9]
    if any(s.stands_well for s in picture.strips):
        return _mend_aside(picture, system)
    if not moves:
        return "No single thing that is moved puts it right."
    return f"{_move(min(moves, key=lambda move: move[0])[1], system)} puts it right."


def _mend_aside(picture: TowingPicture, system: units.System) -> str:
    """The smallest move across that evens the sides; nothing where they are even enough."""
    moves = [(abs(s.shift_aside), s.shift_aside, s.name) for s in picture.strips if s.shift_aside is not None]
    if not moves:
        return "No single thing that is moved across puts it right." if picture.left_share is not None else ""
    far, shift, name = min(moves)
    if far < 1e-9:
        return ""
    way = "road" if shift < 0 else "curb"
    return f"Moving {name} {units.show(far, 'length', system)} toward the {way} side puts it right."


def _move(strip: Strip, system: units.System) -> str:
    assert strip.shift is not None
    way = "forward" if strip.shift < 0 else "back"
    return f"Moving {strip.name} {units.show(abs(strip.shift), 'length', system)} {way}"


def _closest(checks: Sequence[Finding], system: units.System) -> str:
    """Which rating is nearest."""
    rated = [f for f in checks if f.kind == "mass" and f.severity == "holds" and f.rule in _RATED]
    if not rated:
        return "No rating is known to hold it against."
    tightest = min(rated, key=lambda f: f.margin if f.margin is not None else 1.0)
    assert tightest.limit is not None and tightest.measured is not None
    left = units.show(tightest.limit - tightest.measured, "mass", system)
    return f"The tightest is {_RATED[tightest.rule]}, {left} left."


_RATED = {
    "tongue-limit": "the tow vehicle's limit on its ball",
    "gross-rating": "the gross rating",
    "coupler-rating": "the coupler",
    "axle-rating": "an axle",
    "tyre-rating": "a tyre",
}


def numbers(picture: TowingPicture, lie: Lie | None, focus: Strip | None) -> Mapping[str, Quantity]:
    """Gross, coupler, axles, sides, and where the thing in focus may stand."""
    found: dict[str, Quantity] = {
        "gross_kg": Quantity("Weighs loaded", picture.gross_kg, "mass"),
        "tongue_kg": Quantity("On the coupler", None if lie is None else lie.tongue_kg, "mass"),
        "share": Quantity("Of its weight", picture.share, "fraction"),
        "wheels_kg": Quantity("On the wheels", None if lie is None else lie.wheels_kg, "mass"),
        "balance_m": Quantity(
            "Balance point behind the coupler", None if lie is None else lie.centre[0] - picture.box.coupler_x, "length"
        ),
        "left_share": Quantity("Of the wheels' load, road side", picture.left_share, "fraction"),
    }
    if focus is not None:
        first, last = focus.span if focus.span is not None else (None, None)
        found["from_m"] = Quantity(f"{focus.name}: all holds from", first, "length")
        found["to_m"] = Quantity("to, behind the nose wall", last, "length")
    return mapping(**found)


def rows(picture: TowingPicture, lie: Lie | None) -> Iterator[Mapping[str, Any]]:
    """Every mass, the heaviest first, with what it adds at the coupler."""
    for thing in sorted(picture.things, key=lambda thing: -thing.mass_kg):
        behind = thing.at[0] - picture.box.coupler_x
        strip = picture.strip_of(thing.name)
        yield {
            "name": thing.name,
            "mass_kg": thing.mass_kg,
            "by": thing.by,
            "x_m": thing.at[0],
            "y_m": thing.at[1],
            "coupler_kg": None if lie is None else float(tongue_kg(thing.mass_kg, behind, lie.arm_m)),
            "may": "" if strip is None else strip.words.partition(": ")[2].removeprefix("all holds "),
            "aside": "" if strip is None else _aside(strip, picture),
        }


def _aside(strip: Strip, picture: TowingPicture) -> str:
    """Between which places across a thing may stand, in words."""
    if picture.left_share is None:
        return "not known"
    if strip.aside is None:
        return "no place across"
    first, last = (units.show(end, "length", picture.system) for end in strip.aside)
    return f"{first} to {last}"


def band(lie: Lie | None, coupler_x: float) -> tuple[float, float] | None:
    """Between which places the balance point has the share of practice on the coupler [m from the nose wall].

    Parameters
    ----------
    lie : where the trailer's weight lies, None when it is not known
    coupler_x : [m] where the coupler is, from the nose wall
    """
    if lie is None:
        return None
    ahead, behind = ((1.0 - share) * lie.arm_m + coupler_x for share in (road.TONGUE_MOST, road.TONGUE_LEAST))
    return ahead, behind
