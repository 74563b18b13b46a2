"""How often each severity was said of every candidate."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from trailerlib.rules.finding import ORDER, Finding
from trailerlib.studies.trade_offs.axes import Floats

SEVERITIES = ORDER[:4]  # stop, fix, note, not checked; what holds is not counted


class Counts:
    """Counts by severity, (4, n), in the order of ``SEVERITIES``."""

    def __init__(self, count: int) -> None:
        self.by_severity: Floats = np.zeros((len(SEVERITIES), count))

    def add(self, said: NDArray[np.int8], where: NDArray[np.bool_] | None = None) -> None:
        """Count one rule.

        Parameters
        ----------
        said : [-] places of the severities in ``ORDER``, (n,)
        where : of which candidates it is said at all; None is of all
        """
        for place in range(len(SEVERITIES)):
            here = said == place
            self.by_severity[place] += here if where is None else here & where


def counted(found: Iterable[Finding]) -> tuple[int, ...]:
    """How often each severity is among findings, in the order of ``SEVERITIES``."""
    words = [one.severity for one in found]
    return tuple(words.count(severity) for severity in SEVERITIES)
