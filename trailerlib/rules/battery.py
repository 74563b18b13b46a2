"""The battery: depth, cold, charging, gas."""

from __future__ import annotations

from trailerlib.rules.finding import Finding, Rule, claim, enforces, judge

MEMORY, PRACTICE = "from memory", "common practice, no source"

DEPTH = Rule(
    "battery-depth",
    "fix",
    "fraction",
    "at least",
    "{subject} falls to {measured} charge; {limit} should stay in it.",
    "Switch something down, charge sooner, or fit a larger battery.",
    "it needs a battery, loads and a stay on the battery",
    "usable depth: half of a lead-acid battery, four fifths of a lithium iron phosphate one",
    PRACTICE,
)


@enforces(DEPTH)
def depth(subject: str, lowest_fraction: float | None, floor_fraction: float | None) -> Finding:
    """Lowest charge against what should stay in the battery.

    Parameters
    ----------
    subject : what it is about
    lowest_fraction : [-] lowest state of charge
    floor_fraction : [-] charge that should stay
    """
    return judge(DEPTH, subject, lowest_fraction, floor_fraction)


COLD_CHARGE = Rule(
    "battery-cold-charge",
    "stop",
    "temperature",
    "at least",
    "Charging this battery at {measured} ruins it; {limit} is the lowest.",
    "Keep it inside the warm space, use one that heats itself, or block the charger by temperature.",
    "the coldest air is not given",
    "cell data sheets: no charging of lithium iron phosphate below 0 °C",
    "seen in a copy of the source",
)


@enforces(COLD_CHARGE)
def cold_charge(coldest_c: float | None, lowest_c: float | None) -> Finding:
    """Coldest air against the lowest temperature the battery may be charged at.

    Parameters
    ----------
    coldest_c : [°C] coldest air
    lowest_c : [°C] lowest temperature for charging
    """
    return judge(COLD_CHARGE, "battery", coldest_c, lowest_c)


CHARGE_RATE = Rule(
    "battery-charge-rate",
    "note",
    "current",
    "at most",
    "The charger gives {measured}; this battery likes no more than {limit}.",
    "Set the charger lower or ask the battery's maker.",
    "there is no charger in the design",
    "a fifth of the capacity per hour for lead-acid, the maker's limit for lithium",
    PRACTICE,
)


@enforces(CHARGE_RATE)
def charge_rate(charge_a: float | None, limit_a: float | None) -> Finding:
    """Charging current against what the chemistry likes.

    Parameters
    ----------
    charge_a : [A] charger
    limit_a : [A] usual limit
    """
    return judge(CHARGE_RATE, "battery", charge_a, limit_a)


REFILL = Rule(
    "battery-refill",
    "note",
    "duration",
    "at most",
    "{subject} takes {measured} to refill; the stay on a supply lasts {limit}.",
    "Fit a larger charger, stay longer on the supply, or use less overnight.",
    "it needs a charger and a stay on a supply",
    "common practice, no source",
    PRACTICE,
)


@enforces(REFILL)
def refill(subject: str, refill_h: float | None, available_h: float | None) -> Finding:
    """Hours to refill against the longest stay on a mains supply.

    Parameters
    ----------
    subject : what it is about
    refill_h : [h] until full
    available_h : [h] longest stay on a supply
    """
    return judge(REFILL, subject, refill_h, available_h)


GAS = Rule(
    "battery-gas",
    "stop",
    "",
    "at most",
    "A lead-acid battery gives off hydrogen and its box is not vented to the outside.",
    "Vent the box low and high to the outside, tight towards the inside; no spark-producing part in it.",
    "it is not said whether the battery box is vented to the outside",
    "552.10(D); IEC 62485-2",
    "seen in a copy of the source",
)


@enforces(GAS)
def gas(unvented: bool | None) -> Finding:
    """Whether the box of a battery that gives off gas is vented."""
    return claim(GAS, "battery box", unvented)


TRIP_DEPTH = Rule(
    "trip-depth",
    "fix",
    "fraction",
    "at least",
    "On {subject} the battery falls to {measured} charge; {limit} should stay in it.",
    "Charge longer on the way, add panels, switch something down, or fit a larger battery.",
    "it needs a battery, the stays of the trip, their air, and all that charges",
    "usable depth: half of a lead-acid battery, four fifths of a lithium iron phosphate one",
    PRACTICE,
)


@enforces(TRIP_DEPTH)
def trip_depth(subject: str, lowest_fraction: float | None, floor_fraction: float | None) -> Finding:
    """Lowest charge of a trip against what should stay in the battery.

    Parameters
    ----------
    subject : what it is about
    lowest_fraction : [-] lowest state of charge
    floor_fraction : [-] charge that should stay
    """
    return judge(TRIP_DEPTH, subject, lowest_fraction, floor_fraction)


TRIP_EVEN = Rule(
    "trip-even",
    "note",
    "fraction",
    "at least",
    "{subject} ends with {measured} of full in the battery; to go round again it needs {limit}.",
    "Charge longer on the way, add panels or use less; or fill it up at home before the next trip.",
    "it needs a battery, the stays of the trip, their air, and all that charges",
    "what is taken out on a trip must come back on it",
    PRACTICE,
)


@enforces(TRIP_EVEN)
def trip_even(subject: str, end_fraction: float | None, needed_fraction: float | None) -> Finding:
    """Charge at the end of a trip against what it needs to begin again.

    Parameters
    ----------
    subject : what it is about
    end_fraction : [-] charge at the end, as a share of full
    needed_fraction : [-] charge it began with, less what counts as even
    """
    return judge(TRIP_EVEN, subject, end_fraction, needed_fraction)


LOAD_CUT_OFF = Rule(
    "load-cut-off",
    "fix",
    "energy",
    "at most",
    "{subject} goes without {measured} it asks for: the battery falls under the voltage it needs, or is empty.",
    "Charge sooner, fit a larger or a warmer battery, or switch something else down first.",
    "it needs its lowest voltage, and the trip worked out",
    "a load stops under the lowest voltage of its class or plate",
    PRACTICE,
)


@enforces(LOAD_CUT_OFF)
def load_cut_off(subject: str, unmet_wh: float | None) -> Finding:
    """Energy a load asks for and does not get; none may be missing.

    Parameters
    ----------
    subject : what it is about
    unmet_wh : [Wh] energy it goes without
    """
    return judge(LOAD_CUT_OFF, subject, unmet_wh, 0.0)


CHARGE_BELOW_FREEZING = Rule(
    "charge-below-freezing",
    "stop",
    "temperature",
    "at least",
    "In {subject} something charges this battery while its cells are at {measured}; {limit} is the lowest.",
    "Fit a battery that heats itself or a heating pad, keep it in the warm space, or block the charge by temperature.",
    "the air around the battery is not given",
    "cell data sheets: no charging of lithium iron phosphate below 0 °C",
    "seen in a copy of the source",
)


@enforces(CHARGE_BELOW_FREEZING)
def charge_below_freezing(subject: str, cells_c: float | None, lowest_c: float | None) -> Finding:
    """Coldest the cells are while something would charge them, against the lowest they stand.

    Parameters
    ----------
    subject : what it is about
    cells_c : [degC] temperature of the cells, warmed by their heating pad where there is one
    lowest_c : [degC] lowest temperature for charging
    """
    return judge(CHARGE_BELOW_FREEZING, subject, cells_c, lowest_c)


TOW_NEVER_FULL = Rule(
    "tow-never-full",
    "note",
    "voltage",
    "at least",
    "Over a plain tow wire this battery gets no more than {measured}, and it wants {limit}: the road never fills it.",
    "Fit a dc converter at the trailer's battery, and finish the charge on the mains charger or the sun.",
    "it needs a battery and the voltage at the tow vehicle",
    "absorption voltage of the chemistry, data sheets",
    MEMORY,
)


@enforces(TOW_NEVER_FULL)
def tow_never_full(source_v: float | None, absorption_v: float | None) -> Finding:
    """Voltage at the tow vehicle against the one the battery wants at the end of its charge.

    Parameters
    ----------
    source_v : [V] at the tow vehicle, engine running
    absorption_v : [V] absorption voltage of the bank
    """
    return judge(TOW_NEVER_FULL, "tow wire", source_v, absorption_v)
