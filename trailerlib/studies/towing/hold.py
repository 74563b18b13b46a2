"""What holds battery, generator, cabinets, heavy appliances, tanks and cargo on the road, direction by direction."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from trailerlib import reference
from trailerlib.design.design import Design
from trailerlib.design.frame import Cabinet
from trailerlib.design.model import Cargo, Load, Restrained, Supply, Tank
from trailerlib.physics import restraint as physics
from trailerlib.rules import restraint as rules
from trailerlib.rules.finding import Finding
from trailerlib.studies.towing.result import Thing

DIRECTIONS = ("forward", "rearward", "sideways", "downward")
RULES = {
    "forward": rules.forward, "rearward": rules.rearward, "sideways": rules.sideways, "downward": rules.downward,
}  # fmt: skip
OVER = 2  # ends of a strap that passes over; each end comes down to the floor


@dataclass(frozen=True)
class Held:
    """One thing and what holds it [kg, as a weight]; ``holds_kg`` has None where it is not known.

    ``loose``: nothing holds it; None is not said. A direction that a box or wall takes is not among ``asked_kg``.
    ``by`` is what the design says of it.
    """

    name: str
    subject: str
    mass_kg: float
    by: Restrained
    loose: bool | None
    asked_kg: Mapping[str, float]
    holds_kg: Mapping[str, float | None]
    half_kg: float
    counted_kg: float | None


def held(design: Design, things: Sequence[Thing]) -> tuple[Held, ...]:
    """Everything heavy that straps or bolts hold, in the order of the design.

    Parameters
    ----------
    design : the design
    things : what is aboard on the road
    """
    by_name = dict(parts(design))
    return tuple(_held(one.name, one.part, one.mass_kg, by_name[one.part]) for one in things if one.part in by_name)


def parts(design: Design) -> Iterator[tuple[str | None, Restrained]]:
    """What straps or bolts may hold, by what findings call it."""
    if design.battery is not None:
        yield "battery", design.battery
    groups: tuple[tuple[str, Sequence[Load | Supply | Cabinet | Tank | Cargo]], ...] = (
        ("load", design.loads), ("supply", design.supplies), ("cabinet", design.cabinets), ("tank", design.tanks),
        ("cargo", design.cargo),
    )  # fmt: skip
    for kind, found in groups:
        for part in found:
            yield f'{kind} "{part.name}"', part


def _held(name: str, subject: str | None, mass_kg: float, part: Restrained) -> Held:
    loose = None if part.straps is None and part.bolts is None else not (part.straps or part.bolts)
    asked = {way: float(physics.asked_kg(mass_kg, share(way))) for way in DIRECTIONS if not part.contained}
    half = float(physics.asked_kg(mass_kg, share("aggregate")))
    return Held(
        name,
        subject or name,
        mass_kg,
        part,
        loose,
        asked,
        {way: holds_kg(part, way) for way in asked},
        half,
        counted_kg(part),
    )


def share(way: str) -> float:
    """What of its weight is to be held in a direction, against working load limits [-]."""
    return reference.table("restraint").number("of_working_g", direction=way)


def practice(start: str) -> float:
    """A figure of practice by the first words of what it is."""
    rows = reference.table("restraint_practice").rows
    return next(float(row["value"]) for row in rows if row["quantity"].startswith(start))


def bolts_kg(part: Restrained) -> float | None:
    """What all bolts hold [kg]; None when one of them is not known."""
    if not part.bolts:
        return 0.0
    return None if part.bolt_limit is None else part.bolts * part.bolt_limit


def counted_kg(part: Restrained) -> float | None:
    """Working load limits of all tie-downs as they count [kg]; None when one is not known."""
    bolts = bolts_kg(part)
    if bolts is None or (part.straps and part.strap_limit is None) or (part.straps is None and part.bolts is None):
        return None
    whole = 1.0 if part.strap_way == "over" else 0.5
    return float(physics.counted_kg(part.straps or 0, part.strap_limit or 0.0, whole, bolts))


def holds_kg(part: Restrained, way: str) -> float | None:
    """What straps and bolts hold in one direction [kg]; None when a limit or an angle is not known.

    Straps that end at the thing are taken to pull half of them each way along the trailer, and, from four on, a quarter
    each way across. Straps over it pull across. Where none pulls, friction under what they press down holds.
    """
    bolts = bolts_kg(part)
    straps, limit, angle = part.straps or 0, part.strap_limit, part.strap_angle
    if bolts is None or (straps and (limit is None or angle is None)):
        return None
    if not straps or limit is None or angle is None:
        return bolts
    over = part.strap_way == "over"
    ends = OVER * straps if over else straps
    down = float(physics.straps_down_kg(ends, practice("tension") * limit, angle))
    if way == "downward":
        return bolts + down
    across = straps if over else straps // 4
    pulling = across if way == "sideways" else 0 if over else straps // 2
    pull = float(physics.straps_along_kg(pulling, limit, angle))
    return bolts + (pull if pulling else float(physics.friction_kg(down, practice("friction"))))


def checks(found: Sequence[Held]) -> Iterator[Finding]:
    """Whether anything holds it, and if so how well; what nobody said anything about gets one finding."""
    for one in found:
        yield rules.battery_held(one.loose) if one.subject == "battery" else rules.thing_held(one.subject, one.loose)
        if one.loose is False:
            yield rules.aggregate(one.subject, one.counted_kg, one.half_kg)
            for way, asked in one.asked_kg.items():
                yield RULES[way](one.subject, one.holds_kg[way], asked)
