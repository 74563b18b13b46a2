"""One line of the test sheet: what is measured, where, with which meter setting, in which state of the switches."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Stage = Literal["dead", "battery", "mains"]
Asks = Literal["voltage", "current", "resistance", "duration", "yes or no"]
STAGES: tuple[Stage, ...] = ("dead", "battery", "mains")
STAGE_NAMES: dict[Stage, str] = {
    "dead": "everything dead",
    "battery": "battery on, mains off",
    "mains": "mains on, by a qualified person",
}


@dataclass(frozen=True)
class Line:
    """One thing to measure.

    ``key`` names the line for good: readings are kept by it. ``asks`` is the kind of the reading: a kind of unit (the
    reading is in its inside unit) or ``yes or no`` (1 for yes, 0 for no). ``meter`` is the row of the table of meters
    whose accuracy counts. ``at`` is the place on the trailer where the probes are, if it has a name.
    A line that is not ``routine`` is asked for only when a fault has to be narrowed down.
    """

    key: str
    stage: Stage
    asks: Asks
    where: str
    setting: str
    state: str
    why: str
    meter: str = ""
    circuit: str | None = None
    load: str | None = None
    at: str | None = None
    routine: bool = True


@dataclass(frozen=True)
class Expected:
    """What a line reads when nothing is wrong: value, its standard uncertainty, and the band that is accepted.

    All in the inside unit of what the line asks. A band without an upper end (insulation) has ``high`` infinite;
    ``value`` None means that it cannot be said from the design, and ``missing`` what is missing.
    """

    line: Line
    value: float | None
    spread: float | None
    low: float | None
    high: float | None
    missing: str = ""

    def verdict(self, reading: float | None) -> Literal["agrees", "differs", "not measured", "not checked"]:
        """What a reading says.

        Parameters
        ----------
        reading : [inside unit] what was read, or None
        """
        if reading is None:
            return "not measured"
        if self.low is None or self.high is None:
            return "not checked"
        return "agrees" if self.low <= reading <= self.high else "differs"
