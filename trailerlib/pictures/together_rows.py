"""How many sets of the run-together card stand on paper, so that the screen can say what is found there."""

from __future__ import annotations

from collections.abc import Sequence

from trailerlib.studies.answer import names
from trailerlib.studies.together import Combination, Together

MOST_ROWS, MOST_PAIRS = 6, 6
# what overheats where nothing opens, by the kind of limit
HEATS = {"cord": "cord", "inlet wire": "wire", "adapter": "plug"}


def dead_words(found: Together) -> str:
    """What cannot run on this supply, as a sentence."""
    return f"Cannot run on this supply, it needs both legs: {names(found.dead)}."


def idle_words(found: Together) -> str:
    """What does not start on this supply, as a sentence."""
    one = len(found.not_starting) == 1
    return f"{names(found.not_starting)} {'does' if one else 'do'} not start on this supply, not even alone."


def rows_on_paper(found: Together) -> tuple[Sequence[Combination], Sequence[Combination]]:
    """The sets that hold for good and those that hold under three hours, as many as the printed card shows.

    Parameters
    ----------
    found : what may run together
    """
    short = found.under_three_hours
    good = found.for_good[: max(MOST_ROWS // 2, MOST_ROWS - len(short))]
    return good, short[: MOST_ROWS - len(good)]
