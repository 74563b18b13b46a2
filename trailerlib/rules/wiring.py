"""Wires, fuses and what they feed."""

from __future__ import annotations

from trailerlib.rules.finding import Finding, Rule, claim, enforces, judge, not_so

SEEN, MEMORY, PRACTICE = "seen in a copy of the source", "from memory", "common practice, no source"
FUSE_DISTANCE_M = 18 * 0.0254  # 552.10: within 18 in of the supply connection

DROP = Rule(
    "wire-drop",
    "fix",
    "fraction",
    "at most",
    "{subject} loses {measured} of the voltage on the way; {limit} is allowed.",
    "Use a thicker wire, a shorter run, or move the battery nearer.",
    "it takes a battery, a feeder, and the air and bundle the wire lies in",
    "ABYC E-11: 3 % for what must work well, 10 % for what may dim (mains: 210.19(A) informational note, 3 %)",
    MEMORY,
)


@enforces(DROP)
def drop(subject: str, drop_fraction: float | None, limit_fraction: float | None) -> Finding:
    """Voltage lost on the way against what the circuit may lose.

    Parameters
    ----------
    subject : what it is about
    drop_fraction : [-] lost share of the source voltage
    limit_fraction : [-] allowed share
    """
    return judge(DROP, subject, drop_fraction, limit_fraction)


DELIVERS = Rule(
    "wire-delivers",
    "stop",
    "fraction",
    "at least",
    "{subject}: the wire cannot carry this load at all; {measured} of the asked power is the most that arrives.",
    "Use a thicker wire or a shorter run; the load as drawn makes the voltage collapse.",
    "it needs a battery, a feeder and a run",
    "power over a resistance: at most V²/4R arrives (physics)",
    "computed",
)


@enforces(DELIVERS)
def delivers(subject: str, deliverable_fraction: float | None) -> Finding:
    """Whether the wires can deliver the asked power.

    Parameters
    ----------
    subject : what it is about
    deliverable_fraction : [-] largest share of the asked power that has a solution
    """
    return judge(DELIVERS, subject, deliverable_fraction, 1.0)


LOWEST_VOLTAGE = Rule(
    "load-voltage",
    "fix",
    "voltage",
    "at least",
    "{subject} gets {measured}; it stops working under {limit}.",
    "Use a thicker wire or a larger battery, or charge sooner.",
    "its lowest working voltage is not known; the name plate or manual says it",
    "the maker's lowest working voltage (catalogue value until the name plate is typed in)",
    MEMORY,
)


@enforces(LOWEST_VOLTAGE)
def lowest_voltage(subject: str, volts: float | None, lowest_v: float | None) -> Finding:
    """Voltage at a load against the lowest it works at.

    Parameters
    ----------
    subject : what it is about
    volts : [V] at the load
    lowest_v : [V] lowest working voltage
    """
    return judge(LOWEST_VOLTAGE, subject, volts, lowest_v)


AMPACITY = Rule(
    "wire-ampacity",
    "stop",
    "current",
    "at most",
    "{subject} carries {measured}; its wire may carry {limit} as it is laid.",
    "Use a thicker wire, take wires out of the bundle, or take load off.",
    "its air or its bundle is not given, or no table lists this wire with this insulation",
    "310.16 with 310.15(B)(1) and (C)(1), 110.14(C) on mains; 33 CFR 183.425 table 5 with bundling on dc; metric "
    "sizes: IEC 60364-5-52 tables B.52.2 method A2 on mains, B.52.10 method E on dc, B.52.14 and B.52.17, from memory",
    SEEN,
)


@enforces(AMPACITY)
def ampacity(subject: str, current_a: float | None, ampacity_a: float | None) -> Finding:
    """Current in a wire against what it may carry as laid.

    Parameters
    ----------
    subject : what it is about
    current_a : [A] in the wire, continuous part counted 125 %
    ampacity_a : [A] after corrections
    """
    return judge(AMPACITY, subject, current_a, ampacity_a)


FUSE_GUARDS = Rule(
    "fuse-guards-wire",
    "stop",
    "current",
    "at most",
    "{subject}: protection of {measured} does not guard a wire good for {limit}.",
    "Fit a smaller fuse or a thicker wire; the fuse is there for the wire, not for the load.",
    "no fuse or breaker is given, or what the wire may carry is not known",
    "240.4; small conductors 240.4(D)",
    SEEN,
)


@enforces(FUSE_GUARDS)
def fuse_guards_wire(subject: str, protection_a: float | None, ampacity_a: float | None) -> Finding:
    """Rating of the fuse against the wire behind it.

    Parameters
    ----------
    subject : what it is about
    protection_a : [A] rating of the fuse or breaker
    ampacity_a : [A] what the wire may carry, or the cap of 240.4(D)
    """
    return judge(FUSE_GUARDS, subject, protection_a, ampacity_a)


FUSE_CARRIES = Rule(
    "fuse-carries-load",
    "fix",
    "current",
    "at least",
    "{subject}: protection of {measured} is less than the {limit} its loads ask for; it will open in use.",
    "Fit the next larger rating if the wire allows it, or split the loads.",
    "no fuse or breaker is given",
    "210.20(A): 100 % of the load and 125 % of what runs three hours or more",
    SEEN,
)


@enforces(FUSE_CARRIES)
def fuse_carries_load(subject: str, protection_a: float | None, needed_a: float | None) -> Finding:
    """Rating of the fuse against the load, continuous part counted 125 %.

    Parameters
    ----------
    subject : what it is about
    protection_a : [A] rating of the fuse or breaker
    needed_a : [A] rating the loads ask for
    """
    return judge(FUSE_CARRIES, subject, protection_a, needed_a)


LOW_VOLTAGE_TABLE = Rule(
    "low-voltage-table",
    "note",
    "current",
    "at most",
    "{subject}: {measured} is more than the {limit} that the low-voltage table gives for this wire.",
    "Ask which rule set applies where the trailer is used; the free-air table allows more than this one.",
    "the low-voltage table does not list this wire",
    "552.10(E)(1) table (park trailers; article 551 itself leaves low voltage out)",
    MEMORY,
)


@enforces(LOW_VOLTAGE_TABLE)
def low_voltage_table(subject: str, protection_a: float | None, table_a: float | None) -> Finding:
    """Rating of a dc fuse against the low-voltage overcurrent table.

    Parameters
    ----------
    subject : what it is about
    protection_a : [A] rating of the fuse
    table_a : [A] largest rating the table gives for the wire
    """
    return judge(LOW_VOLTAGE_TABLE, subject, protection_a, table_a)


FUSE_DISTANCE = Rule(
    "main-fuse-distance",
    "stop",
    "small length",
    "at most",
    "The main fuse sits {measured} of wire from the battery; {limit} is allowed.",
    "Move the fuse to the battery: the wire before it is guarded by nothing.",
    "the length of wire between battery and main fuse is not given",
    "552.10: within 18 in of the supply connection",
    SEEN,
)


@enforces(FUSE_DISTANCE)
def main_fuse_distance(distance_m: float | None) -> Finding:
    """Unprotected wire between battery and main fuse.

    Parameters
    ----------
    distance_m : [m] along the wire
    """
    return judge(FUSE_DISTANCE, "main fuse", distance_m, FUSE_DISTANCE_M)


INTERRUPTING = Rule(
    "main-fuse-interrupting",
    "stop",
    "current",
    "at least",
    "The main fuse can break {measured}; a short at the battery can drive {limit}.",
    "Fit a fuse class with a higher interrupting rating right at the battery.",
    "the interrupting rating of the main fuse is not given, nor in the class table",
    "interrupting rating not less than the prospective current (110.9)",
    MEMORY,
)


@enforces(INTERRUPTING)
def main_fuse_interrupting(rating_a: float | None, prospective_a: float | None) -> Finding:
    """What the main fuse can break against what the battery can drive.

    Parameters
    ----------
    rating_a : [A] interrupting rating
    prospective_a : [A] short-circuit current at the fuse
    """
    return judge(INTERRUPTING, "main fuse", rating_a, prospective_a)


DISCONNECT = Rule(
    "battery-disconnect",
    "note",
    "",
    "at most",
    "The battery has no disconnect: nothing can be worked on without unbolting a live cable.",
    "Fit a disconnect between the battery and the fuse block.",
    "no feeder is given",
    "common practice, no source",
    PRACTICE,
)


@enforces(DISCONNECT)
def battery_disconnect(fitted: bool | None) -> Finding:
    """Whether the battery can be switched off."""
    return claim(DISCONNECT, "battery", not_so(fitted))


IDLE_CIRCUIT = Rule(
    "circuit-feeds-nothing",
    "note",
    "",
    "at most",
    "{subject} feeds nothing.",
    "Put a load on it, mark it as a spare in the title, or leave it out.",
    "it is not known what it feeds",
    "common practice, no source",
    PRACTICE,
)


@enforces(IDLE_CIRCUIT)
def circuit_feeds_something(subject: str, feeds_nothing: bool | None) -> Finding:
    """Whether a circuit has a load."""
    return claim(IDLE_CIRCUIT, subject, feeds_nothing)
