"""Branch circuits of the mains panel: how many, which breaker for what they feed, which receptacles, GFCI."""

from __future__ import annotations

from trailerlib.rules.finding import Finding, Rule, enforces, judge

SEEN, MEMORY = "seen in a copy of the source", "from memory"
BOTH = f"{SEEN}, in part {MEMORY}"
SINGLE_FROM_A = 13.3  # 551.43(A): smaller appliances may hang on a 20 A breaker
THERMOSTATS = 2
WITH_CONVERTER = 6.0  # circuits on 30 A when one of them feeds the converter alone

COUNT = Rule(
    "branch-count",
    "stop",
    "",
    "at most",
    "{subject} has more circuits of 15 or 20 A than its supply assembly may feed: one on 15 or 20 A, five on 30 A.",
    "Join circuits, fit energy management, or a 50 A 120/240 V assembly. On 30 A a sixth may feed the converter alone "
    "while all six together ask for no more than the assembly gives.",
    "the type of its inlet, the breaker of a circuit, or what runs at the busiest time is not given",
    "551.42(A) to (D)",
    MEMORY,
)
COUNT_AT_WORK = Rule(
    "branch-count-work-trailer",
    "note",
    "",
    "at most",
    "{subject} has more circuits of 15 or 20 A than a trailer to live in may have on this inlet; nobody sleeps here.",
    "551.4(A) frees a unit that is no living quarters from number and capacity of circuits; ask the authority.",
    "the type of its inlet, or the breaker of a circuit, is not given",
    "551.4(A), 551.42",
    BOTH,
)


def circuits_allowed(
    assembly_a: float, legs: int, converter_alone: bool, combined_a: float | None = None
) -> float | None:
    """Largest number of 15 and 20 A circuits without energy management [-]; None where there is no limit.

    Parameters
    ----------
    assembly_a : [A] rating of the supply assembly
    legs : [-] of the supply assembly
    converter_alone : whether one of the circuits feeds the converter and nothing else
    combined_a : [A] what all circuits draw together at the busiest time; None is not known, and no sixth is granted

    Source
    ------
    NFPA 70 551.42(A) to (D), from memory.
    """
    if legs == 2 and assembly_a >= 50.0:
        return None
    if assembly_a < 30.0:
        return 1.0
    return WITH_CONVERTER if converter_alone and combined_a is not None and combined_a <= assembly_a else 5.0


@enforces(COUNT)
def branch_count(subject: str, circuits: float | None, allowed: float | None) -> Finding:
    """Number of 15 and 20 A circuits against the supply assembly.

    Parameters
    ----------
    subject : what it is about
    circuits : [-] of 15 or 20 A
    allowed : [-] most, see ``circuits_allowed``
    """
    return judge(COUNT, subject, circuits, allowed)


@enforces(COUNT_AT_WORK)
def branch_count_at_work(subject: str, circuits: float | None, allowed: float | None) -> Finding:
    """The same number where nobody sleeps aboard.

    Parameters
    ----------
    subject : what it is about
    circuits : [-] of 15 or 20 A
    allowed : [-] most, see ``circuits_allowed``
    """
    return judge(COUNT_AT_WORK, subject, circuits, allowed)


THERMOSTAT = Rule(
    "thermostat-appliances",
    "stop",
    "",
    "at most",
    "{subject} has more than two thermostat-controlled appliances wired in on a 30 A assembly.",
    "Fit a switch that isolates one of them, or energy management.",
    "the type of the inlet is not given",
    "551.42(C)",
    MEMORY,
)
THERMOSTAT_PLUGGED = Rule(
    "thermostat-appliances-plugged",
    "note",
    "",
    "at most",
    "{subject} has more than two thermostat-controlled appliances on 30 A when those that are plugged in count too.",
    "The count of 551.42(C) speaks of what the trailer is fitted with; ask the authority, and let them take turns.",
    "the type of the inlet is not given",
    "551.42(C)",
    MEMORY,
)


@enforces(THERMOSTAT)
def thermostat_appliances(subject: str, wired_in: float | None, allowed: float | None) -> Finding:
    """Thermostat-controlled appliances that are wired in, on a 30 A assembly without energy management.

    Parameters
    ----------
    subject : what it is about
    wired_in : [-] how many
    allowed : [-] most
    """
    return judge(THERMOSTAT, subject, wired_in, allowed)


@enforces(THERMOSTAT_PLUGGED)
def thermostat_appliances_plugged(subject: str, all_of_them: float | None, allowed: float | None) -> Finding:
    """All thermostat-controlled appliances, those at receptacles too.

    Parameters
    ----------
    subject : what it is about
    all_of_them : [-] how many
    allowed : [-] most
    """
    return judge(THERMOSTAT_PLUGGED, subject, all_of_them, allowed)


SINGLE = Rule(
    "breaker-single-appliance",
    "stop",
    "current",
    "at most",
    "{subject} feeds one appliance alone behind {measured}; {limit} is the most for it (150 % of its current).",
    "Fit the next smaller standard breaker that carries it.",
    "its breaker is not given",
    "551.43(A)",
    BOTH,
)


def single_appliance_limit_a(current_a: float) -> float | None:
    """Largest breaker for one appliance alone on its circuit [A]; None under 13.3 A, where the clause sets none.

    150 %, and never under the 20 A that go with 13.3 A.

    Parameters
    ----------
    current_a : [A] rated current of the appliance

    Source
    ------
    NFPA 70 551.43(A), seen in a copy of the source, in part from memory.
    """
    return None if current_a < SINGLE_FROM_A else max(20.0, 1.5 * current_a)


@enforces(SINGLE)
def breaker_single_appliance(subject: str, breaker_a: float | None, limit_a: float | None) -> Finding:
    """Breaker of a circuit with one appliance of 13.3 A or more and nothing else.

    Parameters
    ----------
    subject : what it is about
    breaker_a : [A] rating
    limit_a : [A] see ``single_appliance_limit_a``
    """
    return judge(SINGLE, subject, breaker_a, limit_a)


PLATE = Rule(
    "breaker-name-plate",
    "stop",
    "current",
    "at most",
    "{subject}: a breaker of {measured}, and the name plate allows {limit} at most.",
    "Fit a breaker no larger than the name plate says.",
    "its breaker, or the largest breaker on the name plate, is not given",
    "551.43(A), 440.22(C): not larger than marked on the air conditioner or motor appliance",
    BOTH,
)


@enforces(PLATE)
def breaker_name_plate(subject: str, breaker_a: float | None, largest_a: float | None) -> Finding:
    """Breaker against the largest one on the name plate.

    Parameters
    ----------
    subject : what it is about
    breaker_a : [A] rating
    largest_a : [A] on the name plate
    """
    return judge(PLATE, subject, breaker_a, largest_a)


OVERVOLTED = Rule(
    "load-voltage-high",
    "stop",
    "voltage",
    "at most",
    "{subject} hangs on {measured}; {limit} is the most for what its name plate says.",
    "Feed it from one leg, or fit one that is made for this voltage: it burns out, or burns.",
    "its rated voltage is not given",
    "110.4: voltage of the circuit not above what it is rated for; 110 % of the plate: common practice, no source",
    MEMORY,
)
UNDERVOLTED = Rule(
    "load-voltage-low",
    "fix",
    "voltage",
    "at least",
    "{subject} hangs on {measured}; {limit} is the least for what its name plate says.",
    "Feed it from both legs, or fit one that is made for this voltage.",
    "its rated voltage is not given",
    "90 % of the name plate: common practice, no source",
    "common practice, no source",
)


@enforces(OVERVOLTED)
def load_voltage_high(subject: str, circuit_v: float | None, most_v: float | None) -> Finding:
    """Nominal voltage of a circuit against the most a load on it stands.

    Parameters
    ----------
    subject : what it is about
    circuit_v : [V] nominal
    most_v : [V] 110 % of the name plate
    """
    return judge(OVERVOLTED, subject, circuit_v, most_v)


@enforces(UNDERVOLTED)
def load_voltage_low(subject: str, circuit_v: float | None, least_v: float | None) -> Finding:
    """Nominal voltage of a circuit against the least a load on it works with.

    Parameters
    ----------
    subject : what it is about
    circuit_v : [V] nominal
    least_v : [V] 90 % of the name plate
    """
    return judge(UNDERVOLTED, subject, circuit_v, least_v)


PLUG_LOAD = Rule(
    "plug-load-share",
    "stop",
    "current",
    "at most",
    "{subject} draws {measured} from a receptacle; {limit} is the most for one piece there.",
    "Give it a receptacle alone on its circuit, a larger circuit, or use a smaller one.",
    "the breaker of its circuit, or how many outlets it has, is not given",
    "210.23(A)(1): one cord-and-plug appliance, 80 % of a branch circuit with several outlets; its rating where one is "
    "alone (210.22)",
    BOTH,
)
FIXED_LOAD = Rule(
    "fixed-load-share",
    "stop",
    "current",
    "at most",
    "{subject}: what is fastened in place draws {measured}; {limit} (50 %) is the most where receptacles share it.",
    "Give it a circuit of its own.",
    "its breaker is not given",
    "210.23(A)(2): fixed equipment, 50 % of a branch circuit that also feeds receptacles",
    SEEN,
)


@enforces(PLUG_LOAD)
def plug_load_share(subject: str, current_a: float | None, limit_a: float | None) -> Finding:
    """Current of one plugged-in piece against what one may draw there.

    Parameters
    ----------
    subject : what it is about
    current_a : [A] of one piece
    limit_a : [A] 80 % of the circuit's rating; all of it where the receptacle is alone on its circuit
    """
    return judge(PLUG_LOAD, subject, current_a, limit_a)


@enforces(FIXED_LOAD)
def fixed_load_share(subject: str, current_a: float | None, limit_a: float | None) -> Finding:
    """Current of all fixed equipment on a circuit with receptacles against 50 % of the circuit.

    Parameters
    ----------
    subject : what it is about
    current_a : [A] of all of it
    limit_a : [A] 50 % of the circuit's rating
    """
    return judge(FIXED_LOAD, subject, current_a, limit_a)
