"""Does the fuse or breaker really guard the wire: far-end short, heat until it opens, which opens first."""

from __future__ import annotations

from trailerlib.rules.finding import Finding, Rule, claim, enforces, judge

SEEN, MEMORY, PRACTICE = "seen in a copy of the source", "from memory", "common practice, no source"

FAR_END = Rule(
    "far-end-short",
    "fix",
    "current",
    "at least",
    "{subject}: a short at the far end draws only {measured}; its protection needs {limit} to open within 5 s.",
    "Use a thicker wire, a shorter run or a smaller fuse; until then a short may glow for a long time.",
    "it takes a source, a run, a wire temperature and a device with published limits",
    "opening within 5 s (IEC 60364-4-41 411.3.2.3, distribution circuits; taken here for every circuit)",
    MEMORY,
)


@enforces(FAR_END)
def far_end_short(subject: str, short_a: float | None, opens_a: float | None) -> Finding:
    """Current of a dead short at the far end against what opens the protection quickly.

    Parameters
    ----------
    subject : what it is about
    short_a : [A] least current of that short, the wire warm
    opens_a : [A] least current at which the device surely opens within 5 s
    """
    return judge(FAR_END, subject, short_a, opens_a)


SHORT_HEAT = Rule(
    "short-heats-wire",
    "stop",
    "temperature",
    "at most",
    "{subject}: until its protection opens on a far-end short the wire reaches {measured}; {limit} is its limit.",
    "Use a thicker wire or a faster, smaller fuse.",
    "it takes a source, a run, the air and bundle, and a device with published limits",
    "conductor temperature in a fault not above the short-time limit of its insulation (IEC 60364-4-43 434.5.2)",
    MEMORY,
)


@enforces(SHORT_HEAT)
def short_heats_wire(subject: str, wire_c: float | None, limit_c: float | None) -> Finding:
    """Wire temperature when the protection opens on a far-end short against what its insulation stands.

    Parameters
    ----------
    subject : what it is about
    wire_c : [°C] reached at the latest opening
    limit_c : [°C] what the insulation stands for that long
    """
    return judge(SHORT_HEAT, subject, wire_c, limit_c)


LEFT_OF_WIRE = Rule(
    "guards-at-every-current",
    "stop",
    "current",
    "at least",
    "{subject}: from {measured} on its protection may let a fault flow longer than the wire stands; "
    "a short there draws up to {limit}.",
    "Fit a smaller or faster fuse, or a thicker wire.",
    "it takes the air and bundle, a device with published limits, and the prospective current",
    "the device's slowest curve lies left of the wire's damage curve (IEC 60364-4-43 433.1 and 434.5.2)",
    MEMORY,
)


@enforces(LEFT_OF_WIRE)
def guards_at_every_current(subject: str, guarded_to_a: float | None, prospective_a: float | None) -> Finding:
    """Whether the slowest curve of the protection lies left of the wire's damage curve, up to a dead short.

    Parameters
    ----------
    subject : what it is about
    guarded_to_a : [A] lowest current it does not guard; the prospective current when it guards all
    prospective_a : [A] short-circuit current right behind the device
    """
    return judge(LEFT_OF_WIRE, subject, guarded_to_a, prospective_a)


SLOW_OVERLOAD = Rule(
    "slow-overload",
    "note",
    "current",
    "at least",
    "{subject}: from {measured} to {limit} its fuse may take so long that the wire gets warmer than it should.",
    "Only an overload beyond all its loads gets there; a smaller fuse or a thicker wire closes the gap.",
    "it takes the air and bundle, and a fuse with published limits",
    "the fuse's slowest curve against the wire's overload limit (IEC 60364-4-43 433.1)",
    MEMORY,
)


@enforces(SLOW_OVERLOAD)
def slow_overload(subject: str, guarded_to_a: float | None, opens_a: float | None) -> Finding:
    """Whether a fuse guards its wire in an overload too slow to be a short.

    Parameters
    ----------
    subject : what it is about
    guarded_to_a : [A] lowest current it does not guard
    opens_a : [A] current from which it opens within 5 s
    """
    return judge(SLOW_OVERLOAD, subject, guarded_to_a, opens_a)


BRANCH_FIRST = Rule(
    "branch-opens-first",
    "note",
    "current",
    "at least",
    "{subject}: from {measured} on the main may open before it and darken everything; a short there draws {limit}.",
    "Fit a slower or larger main, as far as its own wire allows, or a faster branch fuse.",
    "it takes two devices with published limits and the prospective current",
    "common practice, no source",
    PRACTICE,
)


@enforces(BRANCH_FIRST)
def branch_opens_first(subject: str, main_from_a: float | None, prospective_a: float | None) -> Finding:
    """Up to which current the branch surely opens before the main.

    Parameters
    ----------
    subject : what it is about
    main_from_a : [A] lowest current at which the main may open first; the prospective current when never
    prospective_a : [A] short-circuit current behind the branch's device
    """
    return judge(BRANCH_FIRST, subject, main_from_a, prospective_a)


BRANCH_INTERRUPTING = Rule(
    "branch-interrupting",
    "fix",
    "current",
    "at least",
    "{subject}: its fuses or breakers can break {measured}; a short right behind them can drive {limit}.",
    "Fit devices with a higher interrupting rating, or ask the maker of the main fuse which it protects.",
    "the interrupting rating of its class or the prospective current is not known",
    "interrupting rating not less than the prospective current (110.9)",
    MEMORY,
)


@enforces(BRANCH_INTERRUPTING)
def branch_interrupting(subject: str, rating_a: float | None, prospective_a: float | None) -> Finding:
    """What the branch's device can break against what can flow behind it.

    Parameters
    ----------
    subject : what it is about
    rating_a : [A] interrupting rating
    prospective_a : [A] short-circuit current right behind the device
    """
    return judge(BRANCH_INTERRUPTING, subject, rating_a, prospective_a)


STANDARD_SIZE = Rule(
    "standard-rating",
    "fix",
    "",
    "at most",
    "{subject}: its protection is not a standard rating of its kind; nobody sells it.",
    "Choose a rating from the list of its kind.",
    "no fuse or breaker is given",
    "240.6(A); blade and strip fuses ISO 8820-3 and 8820-5",
    SEEN,
)


@enforces(STANDARD_SIZE)
def standard_rating(subject: str, odd: bool | None) -> Finding:
    """Whether a rating is one that is made."""
    return claim(STANDARD_SIZE, subject, odd)


BOTH_SYSTEMS = Rule(
    "raceway-holds-both",
    "note",
    "",
    "at most",
    "{subject} holds wires of the battery side and of the mains side together.",
    "Keep them apart, put a divider between them, or see that every wire in it is insulated for the mains voltage.",
    "where the wires run is not known",
    "300.3(C)(1): all insulation rated for the highest voltage in the raceway",
    MEMORY,
)


@enforces(BOTH_SYSTEMS)
def raceway_holds_both(subject: str, both: bool | None) -> Finding:
    """Whether a raceway holds wires of both systems."""
    return claim(BOTH_SYSTEMS, subject, both)


TOTAL_DROP = Rule(
    "mains-total-drop",
    "note",
    "fraction",
    "at most",
    "{subject} loses {measured} from the pedestal to its far receptacle; {limit} is advised in all.",
    "Use a shorter or thicker cord, or a thicker branch.",
    "it takes a supply with its cord, and the runs",
    "215.2(A) informational note: 5 % over feeder and branch together",
    SEEN,
)


@enforces(TOTAL_DROP)
def total_drop(subject: str, drop_fraction: float | None, limit_fraction: float | None) -> Finding:
    """Voltage lost from the pedestal to the far receptacle.

    Parameters
    ----------
    subject : what it is about
    drop_fraction : [-] lost share of the pedestal's voltage
    limit_fraction : [-] advised share
    """
    return judge(TOTAL_DROP, subject, drop_fraction, limit_fraction)
