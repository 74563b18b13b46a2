"""Openings: where they may be, what holds their covers, the wall they clamp, and the ways out they make."""

from __future__ import annotations

from trailerlib.rules.finding import Finding, Rule, claim, enforces, judge
from trailerlib.rules.roof import PRACTICE

EXIT_M = (24 * 0.0254, 17 * 0.0254)  # clear, the longer side first
EXITS = 2.0

BOLTS = Rule(
    "roof-bolts-hold",
    "fix",
    "mass",
    "at most",
    "The worst bolt of {subject} is pulled by {measured}; {limit} is its working load.",
    "More bolts, larger washers or a backing frame inside; the maker's pattern wins.",
    "it needs the mass in the opening, how high its middle is (opening.height), bolts and bolt_limit",
    "braking 0.8 g and a bend 0.5 g as 49 CFR 393.102 asks of cargo, used as a yardstick, with the road's lift",
    "seen in a copy of the source",
)


@enforces(BOLTS)
def bolts_hold(subject: str, pull_kg: float | None, limit_kg: float | None) -> Finding:
    """Pull of the worst bolt against its working load.

    Parameters
    ----------
    subject : which opening
    pull_kg : [kg] weight that would pull as much
    limit_kg : [kg] working load
    """
    return judge(BOLTS, subject, pull_kg, limit_kg)


OVER_EDGE = Rule(
    "opening-over-edge",
    "fix",
    "small length",
    "at least",
    "{subject}: from its flange or cover to the edge of the side there is {measured}.",
    "Move it in from the edge; the corner post and the trim need their room too.",
    "it needs the size of the side and how far its flange reaches (opening.flange)",
    "geometry",
    "computed",
)


@enforces(OVER_EDGE)
def over_edge(subject: str, room_m: float | None) -> Finding:
    """Room between flange or cover of an opening and the edge of its side.

    Parameters
    ----------
    subject : which opening
    room_m : [m] least on any side, below zero beyond it
    """
    return judge(OVER_EDGE, subject, room_m, 0.0)


IN_THE_WAY = Rule(
    "opening-in-the-way",
    "fix",
    "",
    "at most",
    "{subject}.",
    "Move one of them; measure on the trailer before the first cut.",
    "it needs where both are (studs: face.walls.stud_first)",
    "geometry",
    "computed",
)


@enforces(IN_THE_WAY)
def in_the_way(subject: str, wrong: bool | None) -> Finding:
    """Whether an opening meets another, a raceway or a cabinet; the subject says which in words."""
    return claim(IN_THE_WAY, subject, wrong)


RAIN = Rule(
    "opening-in-the-rain",
    "note",
    "",
    "at most",
    "{subject} is in the nose wall: on the road rain is driven into it.",
    "Seal it twice, with its drip edge down, and look at it after the first wet trip.",
    "it is not said where it is",
    PRACTICE,
    PRACTICE,
)


@enforces(RAIN)
def in_the_rain(subject: str, ahead: bool | None) -> Finding:
    """Whether an opening looks forward."""
    return claim(RAIN, subject, ahead)


TOO_THIN = Rule(
    "wall-too-thin",
    "fix",
    "small length",
    "at least",
    "{subject}: the wall here is {measured} thick; it clamps {limit} at least.",
    "Make a spacer frame for the inside; the sizes are in the list of frames.",
    "it needs the layers of the face and what it is made for (opening.made_for)",
    "the maker's range, as the design gives it",
    "computed",
)


@enforces(TOO_THIN)
def too_thin(subject: str, thick_m: float | None, thinnest_m: float | None) -> Finding:
    """Thickness of the wall against the thinnest that a flange and clamp takes.

    Parameters
    ----------
    subject : which opening
    thick_m : [m] of all layers
    thinnest_m : [m] that it takes
    """
    return judge(TOO_THIN, subject, thick_m, thinnest_m)


TOO_THICK = Rule(
    "wall-too-thick",
    "fix",
    "small length",
    "at most",
    "{subject}: the wall here is {measured} thick; it clamps {limit} at most.",
    "Take lining away round the hole, or order it for a thicker wall.",
    "it needs the layers of the face and what it is made for (opening.made_for)",
    "the maker's range, as the design gives it",
    "computed",
)


@enforces(TOO_THICK)
def too_thick(subject: str, thick_m: float | None, thickest_m: float | None) -> Finding:
    """Thickness of the wall against the thickest that a flange and clamp takes.

    Parameters
    ----------
    subject : which opening
    thick_m : [m] of all layers
    thickest_m : [m] that it takes
    """
    return judge(TOO_THICK, subject, thick_m, thickest_m)


ROOF_TOO_THIN = Rule(
    "roof-too-thin",
    "fix",
    "small length",
    "at least",
    "{subject}: from skin to ceiling the roof is {measured} thick here; it clamps {limit} at least.",
    "Make a spacer frame for the inside; the sizes are in the list of frames.",
    "it needs the layers of the roof and what it is made for (opening.made_for)",
    "the maker's range, as the design gives it",
    "computed",
)


@enforces(ROOF_TOO_THIN)
def roof_too_thin(subject: str, thick_m: float | None, thinnest_m: float | None) -> Finding:
    """Thickness of the roof, skin to ceiling, against the thinnest that a fan or cooler clamps.

    Parameters
    ----------
    subject : which opening
    thick_m : [m] of all layers
    thinnest_m : [m] that it takes
    """
    return judge(ROOF_TOO_THIN, subject, thick_m, thinnest_m)


ROOF_TOO_THICK = Rule(
    "roof-too-thick",
    "fix",
    "small length",
    "at most",
    "{subject}: from skin to ceiling the roof is {measured} thick here; its ring inside reaches {limit} at most.",
    "Order a deeper ring (garnish) for the inside, or thin foam and ceiling round the hole until it reaches.",
    "it needs the layers of the roof and what it is made for (opening.made_for)",
    "the maker's range, as the design gives it",
    "computed",
)


@enforces(ROOF_TOO_THICK)
def roof_too_thick(subject: str, thick_m: float | None, thickest_m: float | None) -> Finding:
    """Thickness of the roof, skin to ceiling, against how far the ring inside of a fan or cooler reaches.

    Parameters
    ----------
    subject : which opening
    thick_m : [m] of all layers
    thickest_m : [m] that it takes
    """
    return judge(ROOF_TOO_THICK, subject, thick_m, thickest_m)


LID = Rule(
    "lid-in-the-wind",
    "fix",
    "",
    "at most",
    "{subject} does not hang on its front edge: on the road wind gets under it and drives rain in.",
    "Turn it round so that it hangs on the edge toward the nose and opens to the rear.",
    "it is not said on which edge it hangs (opening.hinge)",
    f"what opens into the wind is torn open: {PRACTICE}",
    PRACTICE,
)


@enforces(LID)
def lid_in_the_wind(subject: str, wrong: bool | None) -> Finding:
    """Whether a lid or door opens into the wind of the road.

    Parameters
    ----------
    subject : which opening
    wrong : so, not so, or not known
    """
    return claim(LID, subject, wrong)


WAYS_OUT = Rule(
    "second-way-out",
    "stop",
    "",
    "at least",
    "People sleep in it; ways out of at least 24 by 17 in: {measured}. There should be {limit}, far apart.",
    "Fit a window or hatch that opens that far from the inside without a tool, away from the door.",
    "it is not said how many sleep aboard, or how far a window opens (opening.clear)",
    "two ways out of a sleeping space: NFPA 1192 6.2.1.2; 24 by 17 in from memory",
    "seen in a copy of the source + from memory",
)


@enforces(WAYS_OUT)
def ways_out(count: float | None) -> Finding:
    """How many ways out a sleeping space has.

    Parameters
    ----------
    count : [-] openings a person can climb through
    """
    return judge(WAYS_OUT, "sleeping space", count, EXITS)
