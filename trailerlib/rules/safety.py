"""What guards the people inside."""

from __future__ import annotations

from trailerlib.rules.finding import Finding, Rule, claim, enforces, judge

SMOKE = Rule(
    "smoke-alarm",
    "stop",
    "",
    "at most",
    "People sleep in this trailer and no smoke alarm is listed.",
    "Fit and test a smoke alarm in the sleeping space.",
    "it is not said whether people sleep aboard or whether there is a smoke alarm",
    "NFPA 1192 asks for one in the sleeping space",
    "from memory",
)


@enforces(SMOKE)
def smoke_alarm(sleeping_without_alarm: bool | None) -> Finding:
    """Whether people sleep without a smoke alarm."""
    return claim(SMOKE, "sleeping space", sleeping_without_alarm)


CLASS_RANGE = Rule(
    "power-outside-class",
    "note",
    "power",
    "at most",
    "{subject} draws {measured}, more than the {limit} usual for its class.",
    "Check the name plate, and whether the figure is cooking power rather than what it draws.",
    "its power is not known",
    "range of the appliance class in the catalogue",
    "from memory",
)


@enforces(CLASS_RANGE)
def power_in_class(subject: str, watts: float | None, highest_w: float | None) -> Finding:
    """Own power of a load against the top of its class.

    Parameters
    ----------
    subject : what it is about
    watts : [W] as typed
    highest_w : [W] top of the class
    """
    return judge(CLASS_RANGE, subject, watts, highest_w)
