"""The generator: can it run and start the loads where the trailer stands, and where does its exhaust go."""

from __future__ import annotations

from trailerlib.rules.finding import Finding, Rule, claim, enforces, judge

RUNNING = Rule(
    "generator-running",
    "fix",
    "power",
    "at most",
    "{subject} is asked for {measured} at once and gives {limit} at this height and heat.",
    "Let loads take turns, or use the next larger class.",
    "it needs the elevation, the hottest air and a mains load",
    "SAE J1349 power correction, used beyond the range it was made for",
    "seen in a copy of the source",
)


@enforces(RUNNING)
def running(subject: str, asked_w: float | None, gives_w: float | None) -> Finding:
    """Running load against the derated running power.

    Parameters
    ----------
    subject : what it is about
    asked_w : [W] running load
    gives_w : [W] derated running power
    """
    return judge(RUNNING, subject, asked_w, gives_w)


STARTING = Rule(
    "generator-starting",
    "fix",
    "power",
    "at most",
    "{subject} is asked for {measured} when the hardest load starts and gives {limit} for a moment.",
    "Start it first and alone, fit a soft starter, or use the next larger class.",
    "it needs the elevation, the hottest air and a mains load",
    "locked rotor from the name plate or 430.7(B); SAE J1349 derating",
    "from memory",
)


@enforces(STARTING)
def starting(subject: str, asked_va: float | None, gives_w: float | None) -> Finding:
    """Worst start against the derated starting power.

    Parameters
    ----------
    subject : what it is about
    asked_va : [VA] others running plus the hardest start
    gives_w : [W] derated starting power
    """
    return judge(STARTING, subject, asked_va, gives_w)


EXHAUST_DISTANCE = Rule(
    "generator-distance",
    "fix",
    "length",
    "at least",
    "The generator's place is {measured} from the nearest opening of a trailer people may sleep in; {limit} is the "
    "least while it runs.",
    "Run it only carried away from the trailer, downwind; never on its platform with people inside.",
    "the generator's place or the openings are not given",
    "CDC and CPSC: at least 20 ft from openings",
    "seen in a copy of the source",
)
EXHAUST_AT_WORK = Rule(
    "generator-distance-work-trailer",
    "note",
    "length",
    "at least",
    "The generator's place is {measured} from the nearest opening; {limit} is the least while it runs.",
    "Run it only carried away from the trailer; never on its platform with people inside. Nobody sleeps here.",
    "the generator's place or the openings are not given",
    "CDC and CPSC: at least 20 ft from openings",
    "seen in a copy of the source",
)
LEAST_DISTANCE_M = 20 * 0.3048


@enforces(EXHAUST_DISTANCE)
def exhaust_distance(distance_m: float | None) -> Finding:
    """Distance from the generator to the nearest opening, where people sleep or nobody has said that none do.

    Parameters
    ----------
    distance_m : [m]
    """
    return judge(EXHAUST_DISTANCE, "generator", distance_m, LEAST_DISTANCE_M)


@enforces(EXHAUST_AT_WORK)
def exhaust_distance_at_work(distance_m: float | None) -> Finding:
    """The same distance where nobody sleeps aboard.

    Parameters
    ----------
    distance_m : [m]
    """
    return judge(EXHAUST_AT_WORK, "generator", distance_m, LEAST_DISTANCE_M)


START_DIP = Rule(
    "generator-start-dip",
    "note",
    "voltage",
    "at least",
    "{subject} gets {measured} in the moment it is switched on; {limit} is the lowest it is sure to start with.",
    "Fit a soft starter, or a thicker or shorter cord, or a larger class; on an inverter set let something else wait.",
    "it needs the cord, the run of the branch, the elevation and the hottest air",
    "85 % of the rated voltage at a start: common practice, no source; makers' plates and article 440 come first",
    "from memory",
)


@enforces(START_DIP)
def start_dip(subject: str, at_motor_v: float | None, least_v: float | None) -> Finding:
    """Voltage at a compressor in the moment it is switched on against the lowest it starts with.

    Parameters
    ----------
    subject : what it is about
    at_motor_v : [V] at its terminals
    least_v : [V] lowest it starts with
    """
    return judge(START_DIP, subject, at_motor_v, least_v)


START_STALLS = Rule(
    "generator-start-stalls",
    "fix",
    "",
    "at most",
    "{subject} is not up to speed after two seconds: it stalls and draws its locked-rotor current.",
    "Fit a soft starter, let others wait, use a thicker or shorter cord, or the next larger class.",
    "it needs the cord, the run of the branch, the elevation and the hottest air",
    "equation of motion of an induction motor with a compressor; its constants are typical, the maker's figures win",
    "from memory",
)


@enforces(START_STALLS)
def start_stalls(subject: str, stalls: bool | None) -> Finding:
    """Whether a motor comes up to speed on this supply."""
    return claim(START_STALLS, subject, stalls)
