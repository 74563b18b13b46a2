"""On the road: how the weight lies on coupler, axles and sides."""

from __future__ import annotations

from trailerlib.rules.finding import Finding, Rule, claim, enforces, judge

TONGUE_LEAST, TONGUE_MOST = 0.10, 0.15  # of the trailer's weight
SIDE_MOST = 0.55  # of what all wheels carry, on the heavier side

_WEIGHED = "it needs the weight of the empty trailer and where it sits, the place of the axles, and every mass aboard"
_MANUALS = (
    "10 to 15 % for ball couplers: common practice, no source in a standard; two of three owner's manuals seen ask for "
    "it, one for 9 to 11 %"
)

TONGUE_LIGHT = Rule(
    "tongue-too-light",
    "stop",
    "fraction",
    "at least",
    "{subject} has {measured} of its weight on the coupler; under {limit} a trailer can begin to sway and not stop.",
    "Move what is heavy forward of the axles, or take it out from behind them; then measure with a scale.",
    _WEIGHED,
    _MANUALS,
    "common practice, no source",
)


@enforces(TONGUE_LIGHT)
def tongue_light(subject: str, share: float | None) -> Finding:
    """Share of the weight on the coupler against the least that keeps a trailer straight.

    Parameters
    ----------
    subject : what it is about
    share : [-] coupler load over the weight of the trailer
    """
    return judge(TONGUE_LIGHT, subject, share, TONGUE_LEAST)


TONGUE_HEAVY = Rule(
    "tongue-too-heavy",
    "fix",
    "fraction",
    "at most",
    "{subject} has {measured} of its weight on the coupler; over {limit} it presses the tow vehicle down behind.",
    "Move what is heavy back toward the axles, the farthest forward first; then measure with a scale.",
    _WEIGHED,
    _MANUALS,
    "common practice, no source",
)


@enforces(TONGUE_HEAVY)
def tongue_heavy(subject: str, share: float | None) -> Finding:
    """Share of the weight on the coupler against the most.

    Parameters
    ----------
    subject : what it is about
    share : [-] coupler load over the weight of the trailer
    """
    return judge(TONGUE_HEAVY, subject, share, TONGUE_MOST)


TONGUE_LIMIT = Rule(
    "tongue-limit",
    "stop",
    "mass",
    "at most",
    "{subject} puts {measured} on the ball; the tow vehicle may carry {limit}.",
    "Move what is heavy back toward the axles, or tow with a vehicle that may carry more; never exceed a plate.",
    "it needs the tow vehicle's limit from its hitch plate or manual, and the weight on the coupler",
    "the plate of the hitch or the tow vehicle's manual, the smaller of the two",
    "maker's plate",
)


@enforces(TONGUE_LIMIT)
def tongue_limit(subject: str, tongue_kg: float | None, limit_kg: float | None) -> Finding:
    """Weight on the coupler against what the tow vehicle may carry there.

    Parameters
    ----------
    subject : what it is about
    tongue_kg : [kg] on the coupler
    limit_kg : [kg] from the tow vehicle's plate or manual
    """
    return judge(TONGUE_LIMIT, subject, tongue_kg, limit_kg)


GROSS_RATING = Rule(
    "gross-rating",
    "stop",
    "mass",
    "at most",
    "{subject} weighs {measured} with all that is aboard; its plate allows {limit}.",
    "Take weight out until it is under the plate; a plate is never exceeded, and never raised by a stronger part.",
    "it needs the gross rating from the plate, the weight of the empty trailer, and every mass aboard",
    "49 CFR 571.3: coupler and axles together are the weight of the trailer, at most its gross rating",
    "from memory",
)


@enforces(GROSS_RATING)
def gross_rating(subject: str, gross_kg: float | None, rating_kg: float | None) -> Finding:
    """Weight of the loaded trailer against its plate.

    Parameters
    ----------
    subject : what it is about
    gross_kg : [kg] with all that is aboard
    rating_kg : [kg] gross rating
    """
    return judge(GROSS_RATING, subject, gross_kg, rating_kg)


COUPLER_RATING = Rule(
    "coupler-rating",
    "stop",
    "mass",
    "at most",
    "{subject} weighs {measured} loaded; its coupler is made for {limit}.",
    "Fit a coupler and a ball of the next class by the maker's instructions, or take weight out.",
    "it needs the rating stamped on the coupler, and the weight of the loaded trailer",
    "SAE J684 classes go by gross weight: 2000, 3500, 5000 and 10 000 lb; the stamp on the part wins",
    "from memory",
)


@enforces(COUPLER_RATING)
def coupler_rating(subject: str, gross_kg: float | None, rating_kg: float | None) -> Finding:
    """Weight of the loaded trailer against the class of its coupler.

    Parameters
    ----------
    subject : what it is about
    gross_kg : [kg] with all that is aboard
    rating_kg : [kg] stamped on the coupler
    """
    return judge(COUPLER_RATING, subject, gross_kg, rating_kg)


AXLE_RATING = Rule(
    "axle-rating",
    "stop",
    "mass",
    "at most",
    "{subject} carries {measured}; it is rated for {limit}.",
    "Take weight out, or move it off this axle; where two axles share badly, tow level and look at the equaliser.",
    "it needs the rating of an axle from its plate, and the weight on it",
    "49 CFR 571.3: what an axle carries on the ground is at most its rating",
    "from memory",
)


@enforces(AXLE_RATING)
def axle_rating(subject: str, load_kg: float | None, rating_kg: float | None) -> Finding:
    """What an axle carries against its rating.

    Parameters
    ----------
    subject : what it is about, such as ``front axle``
    load_kg : [kg] on the ground under this axle
    rating_kg : [kg] of one axle
    """
    return judge(AXLE_RATING, subject, load_kg, rating_kg)


SIDE_TO_SIDE = Rule(
    "side-to-side",
    "fix",
    "fraction",
    "at most",
    "{subject} carries {measured} of what is on the wheels; it should carry at most {limit}.",
    "Move what is heavy toward the other side.",
    "it needs the track, and the place of every mass across the trailer",
    "at most 55 % on one side: common practice, no source",
    "common practice, no source",
)


@enforces(SIDE_TO_SIDE)
def side_to_side(subject: str, share: float | None) -> Finding:
    """What the heavier side carries of the load on all wheels.

    Parameters
    ----------
    subject : which side
    share : [-] of what is on the wheels
    """
    return judge(SIDE_TO_SIDE, subject, share, SIDE_MOST)


LEFT_OUT = Rule(
    "left-out-of-balance",
    "note",
    "",
    "at most",
    "{subject} is left out of the balance: it is not said what it weighs or where it stands.",
    "Give its mass and its place.",
    "it is not said what is aboard",
    "statics: what is not counted is still on the wheels",
    "common practice, no source",
)


@enforces(LEFT_OUT)
def left_out(subject: str, missing: bool | None) -> Finding:
    """Whether something aboard could not be counted.

    Parameters
    ----------
    subject : what it is
    missing : so, not so, or not known
    """
    return claim(LEFT_OUT, subject, missing)


AXLES_SHARE = Rule(
    "axles-share",
    "note",
    "",
    "at most",
    "The axles share by their springs alone: towed nose high or nose low one of them carries far more than its part.",
    "Tow level, and weigh each axle by itself on a scale.",
    "it is not said whether an equaliser shares the load between the axles; taken as shared",
    "statics of a stiff body on springs",
    "common practice, no source",
)


@enforces(AXLES_SHARE)
def axles_share(by_springs: bool | None) -> Finding:
    """Whether the axles carry by their springs alone."""
    return claim(AXLES_SHARE, "axles", by_springs)


STAYS_DOWN = Rule(
    "coupler-stays-down",
    "stop",
    "mass",
    "at least",
    "Standing unhitched with people aboard, {measured} is on the coupler; under {limit} the nose tips up.",
    "Stay hitched, or prop the rear corners before anyone goes to the back.",
    "it needs the weight of the empty trailer and where it sits, and the place of the axles",
    "statics: what is behind the axles lifts the coupler",
    "closed form",
)


@enforces(STAYS_DOWN)
def coupler_stays_down(tongue_kg: float | None) -> Finding:
    """Weight on the coupler while the trailer stands with people aboard.

    Parameters
    ----------
    tongue_kg : [kg] on the coupler; below zero it rises
    """
    return judge(STAYS_DOWN, "trailer", tongue_kg, 0.0)
