"""The mains side: what is drawn against what the supply gives."""

from __future__ import annotations

from trailerlib.rules.finding import Finding, Rule, enforces, judge

SEEN, MEMORY = "seen in a copy of the source", "from memory"

SUPPLY_TOTAL = Rule(
    "supply-total",
    "fix",
    "current",
    "at most",
    "{subject} is asked for {measured} and gives {limit}: its breaker opens.",
    "Switch a large load off, or plug into a larger supply.",
    "no stay says what runs on it, or which leg each load is on",
    "551.44, 551.45: the supply assembly and its main by rating",
    SEEN,
)


@enforces(SUPPLY_TOTAL)
def supply_total(subject: str, current_a: float | None, rating_a: float | None) -> Finding:
    """Current drawn by the loads of a stay against the rating of its supply.

    Parameters
    ----------
    subject : what it is about
    current_a : [A] on the busiest leg
    rating_a : [A] of the supply
    """
    return judge(SUPPLY_TOTAL, subject, current_a, rating_a)


SUPPLY_CONTINUOUS = Rule(
    "supply-continuous",
    "note",
    "current",
    "at most",
    "{subject} carries {measured} for three hours or more; {limit} is what its breaker holds for long.",
    "Let large loads take turns.",
    "no stay says what runs on it, or which leg each load is on",
    "breakers not marked for 100 %: no more than 80 % of the rating for three hours or more (UL 489, 210.20(A))",
    SEEN,
)


@enforces(SUPPLY_CONTINUOUS)
def supply_continuous(subject: str, current_a: float | None, limit_a: float | None) -> Finding:
    """Current that lasts three hours or more against 80 % of the rating.

    Parameters
    ----------
    subject : what it is about
    current_a : [A] that lasts
    limit_a : [A] 80 % of the rating
    """
    return judge(SUPPLY_CONTINUOUS, subject, current_a, limit_a)


CORD = Rule(
    "supply-cord",
    "stop",
    "current",
    "at most",
    "{subject} is a {measured} supply on a cord good for {limit}.",
    "Use a cord at least as large as the supply's rating.",
    "no cord is given, or the cord table does not list it",
    "table 400.5(A)(1), two current-carrying conductors; metric cords: BS 7671 table 4F3A",
    MEMORY,
)


@enforces(CORD)
def cord(subject: str, rating_a: float | None, cord_a: float | None) -> Finding:
    """Rating of a supply against its cord.

    Parameters
    ----------
    subject : what it is about
    rating_a : [A] of the supply
    cord_a : [A] of the cord
    """
    return judge(CORD, subject, rating_a, cord_a)
