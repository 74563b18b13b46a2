"""How a design stands among others that differ in some values: within the limits one has set, and beaten or not."""

from __future__ import annotations

from trailerlib.rules.finding import Finding, Rule, claim, enforces

_CLAUSE = "your own limits, and the metrics you compare by"
_CONFIDENCE = "worked out among the candidates that were looked at, and no others"

LIMITS = Rule(
    "limits-kept",
    "fix",
    "",
    "at most",
    "{subject} does not keep your limits.",
    "Take a candidate that does, or give way on a limit.",
    "nothing was looked at",
    _CLAUSE,
    _CONFIDENCE,
)


@enforces(LIMITS)
def limits_kept(subject: str, broken: bool | None) -> Finding:
    """Whether a design keeps the limits that were set.

    Parameters
    ----------
    subject : what it is about
    broken : so, not so, or not known
    """
    return claim(LIMITS, subject, broken)


BEATEN = Rule(
    "design-beaten",
    "note",
    "",
    "at most",
    "{subject} is beaten: another one is better in something and no worse in the rest.",
    "Look at the one that beats it.",
    "nothing was looked at",
    _CLAUSE,
    _CONFIDENCE,
)


@enforces(BEATEN)
def beaten(subject: str, by_another: bool | None) -> Finding:
    """Whether another candidate is better in something and no worse in the rest.

    Parameters
    ----------
    subject : what it is about
    by_another : so, not so, or not known
    """
    return claim(BEATEN, subject, by_another)
