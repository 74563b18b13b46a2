"""The bows of a roof: how far they are bent and sag, what is cut of them, who may stand on one."""

from __future__ import annotations

from trailerlib.rules.finding import Finding, Rule, claim, enforces, judge

PRACTICE = "common practice, no source"
LOOKED_AT = "Have the structure looked at by somebody who answers for it before a bow is cut."
CARRIED = "it needs the bows and the layers of the roof, a whole bow before and behind, the mass of what sits in it"
SAG_SHARE = 1.0 / 180.0  # of the span, standing still

BOW_STRESS = Rule(
    "bow-stress",
    "fix",
    "stress",
    "at most",
    "{subject} is bent to {measured} on a bad road; {limit} is allowed.",
    "A deeper bow, one more beside it, longer trimmers that reach further bows, or a lighter unit.",
    f"{CARRIED} and what the road does (roof.shock)",
    "yield over a safety factor (AISC allowable strength, Aluminum Design Manual); the road's factor is the design's",
    "from memory",
)


@enforces(BOW_STRESS)
def bow_stress(subject: str, stress_pa: float | None, allowed_pa: float | None) -> Finding:
    """Largest bending stress of a bow against what is allowed.

    Parameters
    ----------
    subject : which bow
    stress_pa : [Pa] with the road's shock
    allowed_pa : [Pa]
    """
    return judge(BOW_STRESS, subject, stress_pa, allowed_pa)


BOW_SAG = Rule(
    "bow-sag",
    "fix",
    "small length",
    "at most",
    "{subject} sags {measured} standing still; over {limit} water stands on the roof.",
    "A deeper bow, or trimmers that reach further bows.",
    CARRIED,
    f"span / 180: {PRACTICE}",
    PRACTICE,
)


@enforces(BOW_SAG)
def bow_sag(subject: str, sag_m: float | None, span_m: float | None) -> Finding:
    """Sag of a bow against its share of the span.

    Parameters
    ----------
    subject : which bow
    sag_m : [m] standing still
    span_m : [m] from wall to wall
    """
    return judge(BOW_SAG, subject, sag_m, None if span_m is None else SAG_SHARE * span_m)


SHEAR_OF_BENDING = 0.6  # shear that is allowed, of the bending stress that is; from memory

BOW_SHEAR = Rule(
    "bow-shear",
    "fix",
    "stress",
    "at most",
    "{subject} is sheared at the wall by {measured} on a bad road; {limit} is allowed.",
    "A thicker wall of the tube, or trimmers that reach further bows.",
    "it needs the bows (roof), the mass of what sits in the opening and what the road does (roof.shock)",
    "0.6 of the stress allowed in bending (AISC, Aluminum Design Manual)",
    "from memory",
)


@enforces(BOW_SHEAR)
def bow_shear(subject: str, shear_pa: float | None, allowed_pa: float | None) -> Finding:
    """Shear in the webs of a bow against a share of what bending may use.

    Parameters
    ----------
    subject : which bow
    shear_pa : [Pa] with the road's shock
    allowed_pa : [Pa] allowed in bending
    """
    return judge(BOW_SHEAR, subject, shear_pa, None if allowed_pa is None else SHEAR_OF_BENDING * allowed_pa)


TRIMMER_STRESS = Rule(
    "trimmer-stress",
    "fix",
    "stress",
    "at most",
    "The trimmers of {subject} are bent to {measured} on a bad road; {limit} is allowed.",
    "A deeper section for the frame round the opening.",
    f"{CARRIED} and what the road does (roof.shock)",
    "yield over a safety factor (AISC allowable strength, Aluminum Design Manual)",
    "from memory",
)


@enforces(TRIMMER_STRESS)
def trimmer_stress(subject: str, stress_pa: float | None, allowed_pa: float | None) -> Finding:
    """Largest bending stress of the frame round an opening.

    Parameters
    ----------
    subject : which opening
    stress_pa : [Pa] with the road's shock
    allowed_pa : [Pa]
    """
    return judge(TRIMMER_STRESS, subject, stress_pa, allowed_pa)


PERSON = Rule(
    "person-on-roof",
    "note",
    "stress",
    "at most",
    "{subject} on one bow bends it to {measured}; {limit} is allowed.",
    "Nobody on the roof without planks that lie across several bows; better work from a ladder or through the hole.",
    "it needs the bows (roof) and who may be on them (roof.person)",
    f"all on the middle of the most loaded bow, on one foot or on two knees 12 in apart, standing still: {PRACTICE}",
    PRACTICE,
)


@enforces(PERSON)
def person_on_roof(subject: str, stress_pa: float | None, allowed_pa: float | None) -> Finding:
    """Bending stress of one bow with a person on its middle.

    Parameters
    ----------
    subject : a person, and how
    stress_pa : [Pa]
    allowed_pa : [Pa]
    """
    return judge(PERSON, subject, stress_pa, allowed_pa)


CUT_OPEN = Rule(
    "bow-cut-without-headers",
    "fix",
    "",
    "at most",
    "{subject} cuts a bow and nothing carries its ends.",
    f"Move it between two bows, or frame it with headers to the next bows. {LOOKED_AT}",
    "it needs the bows (roof) and, where one is cut, whether headers carry it (opening.headers)",
    f"a cut bow is carried by headers: {PRACTICE}",
    PRACTICE,
)


@enforces(CUT_OPEN)
def cut_without_headers(subject: str, bare: bool | None) -> Finding:
    """Whether an opening cuts a bow that nothing carries."""
    return claim(CUT_OPEN, subject, bare)


CUT_FRAMED = Rule(
    "bow-cut",
    "note",
    "",
    "at most",
    "{subject} cuts {measured} of the bows; headers carry the ends.",
    LOOKED_AT,
    "it needs the bows (roof) and, where one is cut, whether headers carry it (opening.headers)",
    PRACTICE,
    PRACTICE,
)


@enforces(CUT_FRAMED)
def bows_cut(subject: str, count: float | None) -> Finding:
    """How many bows an opening cuts.

    Parameters
    ----------
    subject : which opening
    count : [-] bows that are cut
    """
    return judge(CUT_FRAMED, subject, count, 0.0)
