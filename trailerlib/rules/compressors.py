"""Hermetic compressors: the breaker and the wire that go with their rated-load current."""

from __future__ import annotations

from trailerlib.rules.finding import Finding, Rule, enforces, judge

SEEN, MEMORY = "seen in a copy of the source", "from memory"
LEAST_A = 15.0  # 440.22(A) asks for no breaker smaller than this
USUAL_SHARE, MOST_SHARE, WIRE_SHARE = 1.75, 2.25, 1.25

USUAL = Rule(
    "compressor-breaker-usual",
    "note",
    "current",
    "at most",
    "{subject}: a breaker of {measured} is more than the {limit} (175 % of rated-load current) it should start on.",
    "Take the smaller breaker; go beyond 175 %, to 225 % at most, only if the compressor does not start on it.",
    "its breaker, or the rated-load current on the name plate, is not given",
    "440.22(A): 175 % of the rated-load or branch-selection current",
    SEEN,
)
MOST = Rule(
    "compressor-breaker-most",
    "stop",
    "current",
    "at most",
    "{subject}: a breaker of {measured}; {limit} (225 % of rated-load current) is the most, start or not.",
    "Fit a smaller breaker; a compressor that does not start on it needs a soft starter or a thicker, shorter way.",
    "its breaker, or the rated-load current on the name plate, is not given",
    "440.22(A): 225 % where it will not start on 175 %",
    SEEN,
)


def compressor_breaker_limit_a(rated_current_a: float, share: float) -> float:
    """Largest breaker ahead of a hermetic compressor [A]; no rule asks for less than 15 A.

    Parameters
    ----------
    rated_current_a : [A] rated-load or branch-selection current, whichever is greater
    share : [-] 1.75, or 2.25 where it will not start

    Source
    ------
    NFPA 70 440.22(A), seen in a copy of the source; the 15 A from memory.
    """
    return max(LEAST_A, share * rated_current_a)


@enforces(USUAL)
def compressor_breaker_usual(subject: str, breaker_a: float | None, limit_a: float | None) -> Finding:
    """Breaker of a compressor against 175 % of its rated-load current.

    Parameters
    ----------
    subject : what it is about
    breaker_a : [A] rating
    limit_a : [A] see ``compressor_breaker_limit_a``
    """
    return judge(USUAL, subject, breaker_a, limit_a)


@enforces(MOST)
def compressor_breaker_most(subject: str, breaker_a: float | None, limit_a: float | None) -> Finding:
    """Breaker of a compressor against 225 % of its rated-load current.

    Parameters
    ----------
    subject : what it is about
    breaker_a : [A] rating
    limit_a : [A] see ``compressor_breaker_limit_a``
    """
    return judge(MOST, subject, breaker_a, limit_a)


CONDUCTOR = Rule(
    "compressor-conductor",
    "stop",
    "current",
    "at least",
    "{subject}: its wire may carry {measured} as it is laid; {limit} (125 % of rated-load current) is the least.",
    "Use a thicker wire, or lay it cooler and with fewer neighbours.",
    "the rated-load current on the name plate, or the air and bundle of its wire, is not given",
    "440.32: 125 % of the rated-load or branch-selection current",
    MEMORY,
)


@enforces(CONDUCTOR)
def compressor_conductor(subject: str, ampacity_a: float | None, needed_a: float | None) -> Finding:
    """Ampacity of a compressor's wire against 125 % of its rated-load current.

    Parameters
    ----------
    subject : what it is about
    ampacity_a : [A] as laid
    needed_a : [A] 125 % of the rated-load current
    """
    return judge(CONDUCTOR, subject, ampacity_a, needed_a)
