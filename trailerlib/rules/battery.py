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
