"""From the supply's receptacle to the panel: plugs, adapters, cord, inlet, main breaker, transfer."""

from __future__ import annotations

from trailerlib.rules.finding import Finding, Rule, claim, enforces, judge

SEEN, MEMORY = "seen in a copy of the source", "from memory"
BOTH = f"{SEEN}, in part {MEMORY}"
FT_M = 0.3048
SIDE_CORD_M, REAR_CORD_M, LEVEL_M = 25 * FT_M, 30 * FT_M, 3 * FT_M
FROM_REAR_M, REAR_EDGE_M = 15 * FT_M, 18 * 0.0254
GENERATOR_SHARE = 1.15

MAIN = Rule(
    "main-breaker-inlet",
    "stop",
    "current",
    "at most",
    "The main breaker is {measured} and the inlet {limit}: cord and inlet are not guarded.",
    "Fit a main breaker no larger than the inlet.",
    "the main breaker or the type of the inlet is not given",
    "551.44, 551.45: main and supply assembly by rating",
    MEMORY,
)
MAIN_NEEDED = Rule(
    "main-breaker-needed",
    "stop",
    "",
    "at most",
    "The panel has more than two branch breakers and no main breaker.",
    "Fit a main breaker of the inlet's rating.",
    "it has more than two branch breakers and it is not said whether there is a main breaker",
    "551.45(C)",
    MEMORY,
)


@enforces(MAIN)
def main_breaker(main_a: float | None, inlet_a: float | None) -> Finding:
    """Main breaker against the inlet.

    Parameters
    ----------
    main_a : [A] rating of the main breaker
    inlet_a : [A] rating of the inlet
    """
    return judge(MAIN, "main breaker", main_a, inlet_a)


@enforces(MAIN_NEEDED)
def main_needed(missing: bool | None) -> Finding:
    """Whether a panel with more than two branch breakers lacks a main breaker."""
    return claim(MAIN_NEEDED, "panel", missing)


INLET = Rule(
    "inlet-type",
    "stop",
    "",
    "at most",
    "The inlet is of a type that no supply assembly of a trailer to live in has.",
    "Use 5-15 for 15 A, 5-20 for 20 A, TT-30 for 30 A, 14-50 for 50 A.",
    "the type of the inlet is not given",
    "551.46(C)",
    SEEN,
)
INLET_TYPES = ("5-15", "5-20", "TT-30", "14-50")
INLET_WIRE = Rule(
    "inlet-wire",
    "stop",
    "current",
    "at most",
    "The wire from the inlet to the panel may carry {limit}; the breaker in front of it is {measured}.",
    "Use a thicker wire there, of the same size or larger than the inlet's rating asks for.",
    "its size, its run, the air around it or the breaker in front of it is not given, or no table lists it",
    "240.4, 310.16: a wire is guarded at what it may carry; 551.44: in front of it stands the supply assembly's rating",
    BOTH,
)
LABEL = Rule(
    "inlet-label",
    "stop",
    "",
    "at most",
    "The inlet has no label.",
    "Put one beside it: voltage, hertz, amperes, and not to exceed the circuit rating.",
    "it is not said whether the inlet has its label",
    "551.46(D)",
    BOTH,
)
ENTRY = Rule(
    "inlet-place",
    "note",
    "",
    "at most",
    "{subject}: the inlet sits neither on the road side within 15 ft of the rear nor at the rear left.",
    "Move it there, or ask the authority: some layouts are excepted.",
    "the type or the place of the inlet is not given",
    "551.46(E)",
    BOTH,
)
CORD_LENGTH = Rule(
    "cord-length",
    "stop",
    "length",
    "at least",
    "{subject}: its cord is {measured} long; {limit} is the least from this place.",
    "Use a longer cord in one piece; check its drop.",
    "the length of its cord, type or place of the inlet, or the height of its floor above the ground is not given",
    "551.46(B): usable length 25 ft from the side, 30 ft from the rear, and the height above 3 ft",
    BOTH,
)
PANEL_CLEAR = Rule(
    "panel-clear",
    "stop",
    "",
    "at most",
    "The panel is not kept clear.",
    "Keep a space 24 in wide and 30 in deep before it, free of stowed goods.",
    "it is not said whether the space before the panel is kept clear",
    "551.45(B)",
    SEEN,
)


@enforces(INLET)
def inlet_type(other: bool | None) -> Finding:
    """Whether the inlet is of another type than the four of a supply assembly."""
    return claim(INLET, "inlet", other)


@enforces(INLET_WIRE)
def inlet_wire(ahead_a: float | None, carries_a: float | None) -> Finding:
    """The breaker in front of the wire from the inlet to the panel against what it may carry.

    Parameters
    ----------
    ahead_a : [A] rating of that breaker
    carries_a : [A] of the wire as it lies
    """
    return judge(INLET_WIRE, "inlet wire", ahead_a, carries_a)


@enforces(LABEL)
def inlet_label(missing: bool | None) -> Finding:
    """Whether the label beside the inlet is missing."""
    return claim(LABEL, "inlet", missing)


@enforces(ENTRY)
def inlet_place(subject: str, elsewhere: bool | None) -> Finding:
    """Whether the inlet sits elsewhere than the clause says."""
    return claim(ENTRY, subject, elsewhere)


def entry_is_elsewhere(wall: str, from_rear_m: float, from_left_m: float, width_m: float) -> bool:
    """Whether an inlet sits elsewhere than on the road side near the rear or at the rear left.

    Parameters
    ----------
    wall : ``road``, ``curb``, ``rear`` or ``nose``
    from_rear_m : [m] to the rear wall
    from_left_m : [m] to the road-side wall
    width_m : [m] of the trailer

    Source
    ------
    NFPA 70 551.46(E), seen in a copy of the source, in part from memory.
    """
    if wall == "road":
        return from_rear_m > FROM_REAR_M + 1e-9
    return wall != "rear" or from_left_m > min(REAR_EDGE_M, width_m / 2.0) + 1e-9


def least_cord_m(wall: str, above_ground_m: float) -> float:
    """Least usable length of a supply cord [m].

    Parameters
    ----------
    wall : where the inlet is: ``road``, ``curb``, ``rear`` or ``nose``
    above_ground_m : [m] height of the inlet

    Source
    ------
    NFPA 70 551.46(B), seen in a copy of the source, in part from memory.
    """
    return (REAR_CORD_M if wall == "rear" else SIDE_CORD_M) + max(0.0, above_ground_m - LEVEL_M)


@enforces(CORD_LENGTH)
def cord_length(subject: str, cord_m: float | None, least_m: float | None) -> Finding:
    """Length of the cord against the least usable length.

    Parameters
    ----------
    subject : what it is about
    cord_m : [m] of the cord
    least_m : [m] see ``least_cord_m``
    """
    return judge(CORD_LENGTH, subject, cord_m, least_m)


@enforces(PANEL_CLEAR)
def panel_clear(blocked: bool | None) -> Finding:
    """Whether the space before the panel is blocked."""
    return claim(PANEL_CLEAR, "panel", blocked)


TRANSFER = Rule(
    "one-transfer",
    "stop",
    "",
    "at most",
    "Nothing keeps the generator and the shore supply apart: one can feed into the other and kill whoever works on it.",
    "Use one inlet for both, an interlock or a transfer switch that can break the load.",
    "it is not said what keeps the generator and the other supplies apart",
    "551.30(B)",
    MEMORY,
)
GENERATOR_CONDUCTOR = Rule(
    "generator-conductor",
    "stop",
    "current",
    "at least",
    "{subject}: its cord may carry {measured}; {limit} is the least: 115 % of the name plate, or its receptacle.",
    "Use a thicker cord.",
    "its cord is not given, or the cord table does not list it",
    "445.13(A): 115 % of the name-plate current up to the first breaker; behind a receptacle with a breaker its rating",
    BOTH,
)


@enforces(TRANSFER)
def one_transfer(unguarded: bool | None) -> Finding:
    """Whether nothing keeps two sources apart."""
    return claim(TRANSFER, "transfer", unguarded)


def generator_conductor_need_a(name_plate_w: float, volts: float) -> float:
    """Least ampacity of the conductors from a generator [A].

    Parameters
    ----------
    name_plate_w : [VA] rating of the set
    volts : [V] of the set

    Source
    ------
    NFPA 70 445.13(A).
    """
    return GENERATOR_SHARE * name_plate_w / volts


@enforces(GENERATOR_CONDUCTOR)
def generator_conductor(subject: str, cord_a: float | None, needed_a: float | None) -> Finding:
    """What a generator's cord may carry against 115 % of its name plate.

    Parameters
    ----------
    subject : what it is about
    cord_a : [A] of the cord
    needed_a : [A] see ``generator_conductor_need_a``, or the rating of its receptacle where that is less
    """
    return judge(GENERATOR_CONDUCTOR, subject, cord_a, needed_a)
