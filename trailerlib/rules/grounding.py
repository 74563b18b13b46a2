"""What keeps a fault from reaching a hand: GFCI, receptacle ratings, isolated neutral, bonds."""

from __future__ import annotations

from trailerlib.rules.finding import Finding, Rule, claim, enforces, judge

SEEN, MEMORY = "seen in a copy of the source", "from memory"
BOTH = f"{SEEN}, in part {MEMORY}"

RECEPTACLE = Rule(
    "receptacle-rating",
    "stop",
    "",
    "at most",
    "{subject}: this type of receptacle does not go with its breaker.",
    "A single receptacle is rated at least as its circuit; of several, 15 A ones go on 15 or 20 A, 20 A ones on 20 A, "
    "30 A ones on 30 A. A duplex is two.",
    "its breaker, or how many receptacles it has, is not given",
    "210.21(B)(1) and (3), 551.43(C)",
    BOTH,
)
VOLTAGE = Rule(
    "receptacle-voltage",
    "stop",
    "",
    "at most",
    "{subject}: this type of receptacle is made for another voltage than its circuit has.",
    "On a circuit between two legs use one with two hot wires, such as 6-20; on one leg one with a neutral, such as "
    "5-20.",
    "it needs the type of its receptacles",
    "406.4(F) noninterchangeable types by voltage; NEMA WD 6",
    MEMORY,
)
MULTIPLE = {15.0: (15.0,), 20.0: (15.0, 20.0), 30.0: (30.0,), 50.0: (50.0,)}  # table 210.21(B)(3), 40 A left out


def receptacle_fits(receptacle_a: float, circuit_a: float, single: bool) -> bool:
    """Whether receptacles of a rating may hang on a circuit.

    Parameters
    ----------
    receptacle_a : [A] rating of each
    circuit_a : [A] rating of the circuit
    single : whether there is one only

    Source
    ------
    NFPA 70 210.21(B)(1), table 210.21(B)(3), from memory.
    """
    return receptacle_a >= circuit_a if single else receptacle_a in MULTIPLE.get(circuit_a, ())


@enforces(RECEPTACLE)
def receptacle_rating(subject: str, unfit: bool | None) -> Finding:
    """Whether the receptacles of a circuit fit its rating."""
    return claim(RECEPTACLE, subject, unfit)


@enforces(VOLTAGE)
def receptacle_voltage(subject: str, wrong: bool | None) -> Finding:
    """Whether the receptacles of a circuit are made for another voltage."""
    return claim(VOLTAGE, subject, wrong)


GFCI = Rule(
    "receptacle-gfci",
    "stop",
    "",
    "at most",
    "{subject} feeds what is plugged in outside the walls without GFCI protection.",
    "Fit a GFCI breaker, or a GFCI receptacle as the first on the circuit, and test it.",
    "it is not said whether it has GFCI protection",
    "551.41(C): 125 V, 15 and 20 A receptacles outside (also within 6 ft of a sink, which a design does not say)",
    MEMORY,
)
SINGLE_GFCI = Rule(
    "single-circuit-gfci",
    "stop",
    "",
    "at most",
    "{subject} is the only circuit of 15 or 20 A and has no GFCI protection.",
    "Protect it where the supply enters.",
    "it is not said whether it has GFCI protection",
    "551.40(C)",
    BOTH,
)


@enforces(GFCI)
def receptacle_gfci(subject: str, unprotected: bool | None) -> Finding:
    """Whether a circuit with receptacles outside lacks GFCI protection."""
    return claim(GFCI, subject, unprotected)


@enforces(SINGLE_GFCI)
def single_circuit_gfci(subject: str, unprotected: bool | None) -> Finding:
    """Whether the only 15 or 20 A circuit lacks GFCI protection."""
    return claim(SINGLE_GFCI, subject, unprotected)


NEUTRAL = Rule(
    "neutral-isolated",
    "stop",
    "",
    "at most",
    "The neutral bar touches the enclosure, the frame or the bonding bar: a fault can put the whole trailer live.",
    "Unplug and stop every source first. Take out the bonding screw or strap: neutral and frame meet at the supply "
    "only. Check by ohmmeter.",
    "it is not said whether the neutral bar is isolated",
    "551.54(C)",
    MEMORY,
)
FRAME = Rule(
    "frame-bond",
    "stop",
    "",
    "at least",
    "The wire from the panel to the frame is {measured} mm² of copper; 8 AWG, {limit} mm², is the least.",
    "Run 8 AWG copper or thicker from the bonding bar to a clean terminal on the frame.",
    "the wire from the panel to the frame is not given",
    "551.56(B), (C)",
    BOTH,
)
SKIN = Rule(
    "skin-bonded",
    "stop",
    "",
    "at most",
    "The metal skin is not bonded: it can stay live after a fault, with a hand on it.",
    "Bond skin and roof to the frame by overlapping fastened panels or a strap; pipes and ducts as well.",
    "it is not said whether the metal skin is bonded",
    "551.56(D) to (F)",
    BOTH,
)
LEAST_BOND_MM2 = 8.3656  # 8 AWG, ASTM B258


@enforces(NEUTRAL)
def neutral_isolated(joined: bool | None) -> Finding:
    """Whether neutral and frame are joined in the trailer."""
    return claim(NEUTRAL, "neutral bar", joined)


@enforces(FRAME)
def frame_bond(area_mm2: float | None) -> Finding:
    """Size of the wire that bonds the panel to the frame.

    Parameters
    ----------
    area_mm2 : [mm2] of copper
    """
    return judge(FRAME, "frame bond", area_mm2, LEAST_BOND_MM2)


@enforces(SKIN)
def skin_bonded(unbonded: bool | None) -> Finding:
    """Whether the metal skin is left without a bond."""
    return claim(SKIN, "metal skin", unbonded)


FLOATING = Rule(
    "floating-neutral",
    "note",
    "",
    "at most",
    "{subject} has a floating neutral: it is joined to nothing, so a single fault to the frame draws no current that a "
    "breaker or a GFCI at the set could see, and a plug-in tester shows an open ground or nonsense.",
    "Test with the set running: from either wire to the frame the meter shows about half the voltage, or little. Press "
    "the test button of every GFCI: its own button works without a ground, that of a plug-in tester may not. If a bond "
    "is wanted, only as the maker of the set allows, at the set, never in the trailer.",
    "it is not said whether its neutral floats; with the set off and unplugged an ohmmeter from neutral to frame tells",
    "250.34 and 551.54(C): frame and neutral are joined at the source, if at all",
    MEMORY,
)


@enforces(FLOATING)
def floating_neutral(subject: str, floats: bool | None) -> Finding:
    """Whether the neutral of a generator floats."""
    return claim(FLOATING, subject, floats)
