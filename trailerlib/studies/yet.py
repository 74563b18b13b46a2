"""A verdict's word is that of the worst finding; its sentence says which, where it speaks of something else."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from trailerlib.rules.finding import ORDER, Finding
from trailerlib.units import System

BEGINNINGS = ("The ", "A ", "An ", "People ")


def yet(checks: Sequence[Finding], system: System, told: Collection[str] = ()) -> str:
    """What is wrong that a sentence has not told, to go on with after it; empty when there is no such thing.

    Parameters
    ----------
    checks : every finding of the answer
    system : units it is written in
    told : names of the rules the sentence speaks of
    """
    bad = [one for one in checks if one.severity in ("stop", "fix")]
    first = min((ORDER.index(one.severity) for one in bad), default=0)
    worst = [one for one in bad if ORDER.index(one.severity) == first]
    if not worst or any(one.rule in told for one in worst):
        return ""
    words = worst[0].text(system)
    return f" Yet {words[:1].lower() if words.startswith(BEGINNINGS) else words[:1]}{words[1:]}"
