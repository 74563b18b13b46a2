"""Tyres: what a wheel carries against them, and the air in them."""

from __future__ import annotations

from trailerlib.rules.finding import Finding, Rule, enforces, judge

TYRE_RESERVE = 0.85  # of what a tyre is rated for

TYRE_RATING = Rule(
    "tyre-rating",
    "stop",
    "mass",
    "at most",
    "{subject} carries {measured}; its tyre carries {limit} at the air that is in it.",
    "Pump it up to what its side wall says, move weight off it, or fit tyres of a higher load range on their wheels.",
    "it needs what one tyre is rated for at its pressure, and the weight on the wheel",
    "the load on the side wall holds at the pressure beside it only; at less air it carries less",
    "from memory",
)


@enforces(TYRE_RATING)
def tyre_rating(subject: str, load_kg: float | None, rating_kg: float | None) -> Finding:
    """What a wheel carries against its tyre.

    Parameters
    ----------
    subject : what it is about, such as ``front left wheel``
    load_kg : [kg] on the ground under this wheel
    rating_kg : [kg] of one tyre at its pressure
    """
    return judge(TYRE_RATING, subject, load_kg, rating_kg)


TYRE_AIR = Rule(
    "tyre-pressure",
    "stop",
    "pressure",
    "at least",
    "{subject} is pumped to {measured}; {limit} is needed for what it carries.",
    "Pump all tyres cold to what the side wall says; a soft tyre runs hot and bursts.",
    "it needs the air in the tyres (tyre_pressure), what one is rated for and at what pressure (tyre_full), and the "
    "weight on the wheel",
    "load goes with air to the power 0.65, on the safe side of a chart for trailer tyres; the tyre maker's table wins",
    "seen in a copy of the source",
)


@enforces(TYRE_AIR)
def tyre_pressure(subject: str, pressure_pa: float | None, needs_pa: float | None) -> Finding:
    """The air in the tyres against what the heaviest wheel needs.

    Parameters
    ----------
    subject : what it is about, such as ``front left wheel``
    pressure_pa : [Pa] in it, cold
    needs_pa : [Pa] for what is on the wheel
    """
    return judge(TYRE_AIR, subject, pressure_pa, needs_pa)


TYRE_HARD = Rule(
    "tyre-too-hard",
    "stop",
    "pressure",
    "at most",
    "The tyres are pumped to {measured}; their side wall allows {limit} cold.",
    "Let air out while they are cold, and look at the gauge.",
    "it needs the air in the tyres (tyre_pressure) and what the side wall says (tyre_full)",
    "the pressure on the side wall is the most, cold",
    "maker's plate",
)


@enforces(TYRE_HARD)
def tyre_hard(pressure_pa: float | None, full_pa: float | None) -> Finding:
    """The air in the tyres against the most that their side wall allows.

    Parameters
    ----------
    pressure_pa : [Pa] in them, cold
    full_pa : [Pa] on the side wall
    """
    return judge(TYRE_HARD, "tyres", pressure_pa, full_pa)


TYRE_NEAR = Rule(
    "tyre-reserve",
    "note",
    "mass",
    "at most",
    "{subject} carries {measured}; {limit} would leave its tyre a reserve for heat, kerbs and a soft side wall.",
    "Take weight out, or fit tyres of a higher load range on wheels made for them.",
    "it needs what one tyre is rated for at its pressure, and the weight on the wheel",
    "85 % of the tyre's rating: rule of thumb",
    "from memory",
)


@enforces(TYRE_NEAR)
def tyre_reserve(subject: str, load_kg: float | None, rating_kg: float | None) -> Finding:
    """What a wheel carries against its tyre with a reserve.

    Parameters
    ----------
    subject : what it is about
    load_kg : [kg] on the ground under this wheel
    rating_kg : [kg] of one tyre at its pressure
    """
    return judge(TYRE_NEAR, subject, load_kg, None if rating_kg is None else TYRE_RESERVE * rating_kg)


TYRES_MATCH = Rule(
    "tyres-match-axle",
    "stop",
    "mass",
    "at least",
    "The two tyres of an axle carry {measured} together; the axle is rated for {limit}.",
    "Fit tyres that carry the axle's rating together, on wheels made for them.",
    "it needs what one tyre is rated for, and the rating of an axle",
    "FMVSS 120 S5.1.2: the tyres of an axle together carry at least its rating",
    "seen quoted, the standard itself not opened",
)


@enforces(TYRES_MATCH)
def tyres_match_axle(pair_kg: float | None, axle_kg: float | None) -> Finding:
    """Both tyres of an axle against the axle's rating.

    Parameters
    ----------
    pair_kg : [kg] rating of two tyres
    axle_kg : [kg] rating of the axle
    """
    return judge(TYRES_MATCH, "tyres", pair_kg, axle_kg)
