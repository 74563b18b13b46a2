"""What holds a heavy thing on the road. Written for commercial carriers, used here as a yardstick."""

from __future__ import annotations

from trailerlib.rules.finding import Finding, Rule, claim, enforces, judge

YARDSTICK = "written for commercial carriers and used here as a yardstick"
_HELD = (
    "it needs the mass, how many straps hold it, their working load limit and their angle, or its bolts and what "
    "one of them holds"
)
_SEEN = "seen in a copy of the source"


def _way(name: str, way: str, clause: str, confidence: str = _SEEN) -> Rule:
    return Rule(
        f"restraint-{name}",
        "stop",
        "mass",
        "at least",
        "{subject} is held by {measured} " + way + "; {limit} is asked for.",
        "Add a strap or a bolt, use one of a higher working load limit, or lay the strap flatter that way; "
        "the anchor must hold as much.",
        _HELD,
        f"{clause}; {YARDSTICK}",
        confidence,
    )


FORWARD = _way("forward", "against going forward when you brake", "49 CFR 393.102(a)(2): 0.435 of its weight")
REARWARD = _way("rearward", "against going back when you start or climb", "49 CFR 393.102(a)(2): 0.5 of its weight")
SIDEWAYS = _way("sideways", "against sliding sideways in a bend", "49 CFR 393.102(a)(2): 0.25 of its weight")
DOWNWARD = _way(
    "downward", "pressing it down on a rough road", "49 CFR 393.102(b): 0.2 of its weight, where nothing contains it"
)
AGGREGATE = Rule(
    "restraint-aggregate",
    "stop",
    "mass",
    "at least",
    "{subject} has tie-downs that count {measured} together; half its weight, {limit}, is asked for.",
    "Add a strap over it from side to side, or use straps of a higher working load limit.",
    _HELD,
    "49 CFR 393.106(d): half the weight; a strap from an anchor to the thing counts half, one that passes over it to "
    f"the other side counts whole; {YARDSTICK}",
    _SEEN,
)


@enforces(FORWARD)
def forward(subject: str, holds_kg: float | None, asked_kg: float | None) -> Finding:
    """What holds a thing against going forward.

    Parameters
    ----------
    subject : what it is about
    holds_kg : [kg] that straps and bolts hold within their working load limits, as a weight
    asked_kg : [kg] to be held, as a weight
    """
    return judge(FORWARD, subject, holds_kg, asked_kg)


@enforces(REARWARD)
def rearward(subject: str, holds_kg: float | None, asked_kg: float | None) -> Finding:
    """What holds a thing against going back.

    Parameters
    ----------
    subject : what it is about
    holds_kg : [kg] that straps and bolts hold within their working load limits, as a weight
    asked_kg : [kg] to be held, as a weight
    """
    return judge(REARWARD, subject, holds_kg, asked_kg)


@enforces(SIDEWAYS)
def sideways(subject: str, holds_kg: float | None, asked_kg: float | None) -> Finding:
    """What holds a thing against sliding sideways.

    Parameters
    ----------
    subject : what it is about
    holds_kg : [kg] that straps and bolts hold within their working load limits, as a weight
    asked_kg : [kg] to be held, as a weight
    """
    return judge(SIDEWAYS, subject, holds_kg, asked_kg)


@enforces(DOWNWARD)
def downward(subject: str, holds_kg: float | None, asked_kg: float | None) -> Finding:
    """What presses a thing down that nothing contains.

    Parameters
    ----------
    subject : what it is about
    holds_kg : [kg] that straps and bolts hold within their working load limits, as a weight
    asked_kg : [kg] to be held, as a weight; 0 where it is contained
    """
    return judge(DOWNWARD, subject, holds_kg, asked_kg)


@enforces(AGGREGATE)
def aggregate(subject: str, counted_kg: float | None, asked_kg: float | None) -> Finding:
    """Working load limits of all tie-downs of a thing against half its weight.

    Parameters
    ----------
    subject : what it is about
    counted_kg : [kg] sum of the working load limits as they count
    asked_kg : [kg] half the weight
    """
    return judge(AGGREGATE, subject, counted_kg, asked_kg)


BATTERY_HELD = Rule(
    "battery-held",
    "stop",
    "",
    "at most",
    "The battery is held by nothing but its weight; when it tips it can short, spill or burn.",
    "Put a strap over it from side to side of its tray, bolted to the floor's frame; cover its posts.",
    "it is not said what holds it: straps or bolts, 0 where there are none",
    "secured in place: NFPA 70 article 551 and NFPA 1192, the clause not opened",
    "from memory",
)


@enforces(BATTERY_HELD)
def battery_held(loose: bool | None) -> Finding:
    """Whether anything holds the battery."""
    return claim(BATTERY_HELD, "battery", loose)


THING_HELD = Rule(
    "thing-held",
    "stop",
    "",
    "at most",
    "{subject} is held by nothing but its weight; in a hard stop it comes forward with nearly all of it.",
    "Strap it down or bolt it, low and against the nose wall or a bulkhead.",
    "it is not said what holds it: straps or bolts, 0 where there are none",
    f"49 CFR 393.102 asks that cargo be held in every direction; {YARDSTICK}",
    _SEEN,
)


@enforces(THING_HELD)
def thing_held(subject: str, loose: bool | None) -> Finding:
    """Whether anything holds a heavy thing.

    Parameters
    ----------
    subject : what it is about
    loose : so, not so, or not known
    """
    return claim(THING_HELD, subject, loose)
