"""The wire that charges the battery on the road: its fuse, what it may carry, what it can deliver."""

from __future__ import annotations

from trailerlib.rules.finding import Finding, Rule, claim, enforces, judge

SUBJECT = "tow wire"
MEMORY = "from memory"
NO_AIR = "the table does not list this wire, or the hottest air of the site is not given"

FUSE_GUARDS = Rule(
    "tow-fuse-guards-wire",
    "stop",
    "current",
    "at most",
    "The fuse at the tow vehicle is {measured}, and the tow wire may carry {limit}: the wire can burn before it opens.",
    "Fit a smaller fuse within 18 in of the tow vehicle’s battery, or a thicker wire.",
    f"no fuse at the tow vehicle is given, or {NO_AIR}",
    "33 CFR 183.455: a fuse not above the ampacity of its wire, near the source",
    MEMORY,
)
FUSE_HOLDS = Rule(
    "tow-fuse-holds",
    "fix",
    "current",
    "at most",
    "As much as {measured} flows in the tow wire; the fuse at the tow vehicle is {limit} and opens on the road.",
    "Fit a smaller converter, or a larger fuse if the wire and the tow vehicle’s maker allow it.",
    "no fuse at the tow vehicle is given, or what flows is not known",
    "a fuse carries its rating and no more for long (ISO 8820-3)",
    MEMORY,
)
WIRE_CARRIES = Rule(
    "tow-wire-carries",
    "stop",
    "current",
    "at most",
    "As much as {measured} flows in the tow wire for hours; it may carry {limit}.",
    "Lay a thicker wire, or fit a smaller converter.",
    f"{NO_AIR}, or what flows is not known",
    "33 CFR 183.425 table 5, as the table of the battery side",
    "seen in a copy of the source",
)
DELIVERS = Rule(
    "tow-wire-delivers",
    "fix",
    "",
    "at most",
    "The tow wire cannot carry the converter: its voltage collapses before the power arrives.",
    "Lay a thicker wire, or fit a smaller converter.",
    "it needs a battery and a trip that can be worked out",
    "the largest power over a wire is the source’s voltage squared over four times its resistance (Ohm’s law)",
    "computed",
)


@enforces(FUSE_GUARDS)
def fuse_guards_wire(fuse_a: float | None, ampacity_a: float | None) -> Finding:
    """The fuse at the tow vehicle against what its wire may carry.

    Parameters
    ----------
    fuse_a : [A] rating
    ampacity_a : [A] of the wire
    """
    return judge(FUSE_GUARDS, SUBJECT, fuse_a, ampacity_a)


@enforces(FUSE_HOLDS)
def fuse_holds(flows_a: float | None, fuse_a: float | None) -> Finding:
    """The most that flows over the tow wire against its fuse.

    Parameters
    ----------
    flows_a : [A] in the wire, if the fuse held
    fuse_a : [A] rating
    """
    return judge(FUSE_HOLDS, SUBJECT, flows_a, fuse_a)


@enforces(WIRE_CARRIES)
def wire_carries(flows_a: float | None, ampacity_a: float | None) -> Finding:
    """The most that flows over the tow wire against what it may carry.

    Parameters
    ----------
    flows_a : [A] in the wire
    ampacity_a : [A] of the wire
    """
    return judge(WIRE_CARRIES, SUBJECT, flows_a, ampacity_a)


@enforces(DELIVERS)
def wire_delivers(collapses: bool | None) -> Finding:
    """Whether the voltage at the end of the tow wire collapses under the converter."""
    return claim(DELIVERS, SUBJECT, collapses)
