"""A problem with one number for an answer: what is asked, the working, and the slips it is known to meet."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from trailerlib import quantities, units
from trailerlib.physics.formula import Worked
from trailerlib.studies.lessons.slips import HINTS
from trailerlib.units import shorten

TOLERANCE = 0.03  # three figures and any rounding on the way there; stated beside every problem
APART = 2.0 * TOLERANCE + 0.02  # share by which truth and slips, and the slips among themselves, lie apart at least
Verdict = Literal["right", "slip", "off"]
_BARE = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?")
_UNIT_NEXT = re.compile(r"(?<=\d) (?=[%°]|m?Ω|(?:AWG|Ah|[VAWhsm]|mm²?|cm|kg|ft|in|lb|ppm|cfm|L/s)(?!\w))")
_MINUS = str.maketrans("−–", "--")


class NotANumber(ValueError):
    """What was typed cannot be an answer; the text is one sentence that says what would be right."""


@dataclass(frozen=True)
class Slip:
    """A known wrong way: its name in the table of hints and the value it leads to, in the inside unit."""

    name: str
    value: float

    @property
    def hint(self) -> str:
        """Names the slip, never the number."""
        return HINTS[self.name]


@dataclass(frozen=True)
class Problem:
    """A question with its numbers in it. ``value`` and the slips are in the inside unit of the kind it ``asks``.

    ``asked_in`` is the unit of the answer where it is another than the one the kind is shown in.
    """

    key: str
    words: str
    asks: str
    value: float
    slips: tuple[Slip, ...]
    working: tuple[Worked, ...]
    system: units.System
    asked_in: str = ""
    tolerance: float = TOLERANCE

    @property
    def unit(self) -> str:
        """The unit in which a bare number is read and the answer is shown."""
        return self.asked_in or units.unit(self.asks, self.system)

    @property
    def unit_size(self) -> float:
        """How much one of that unit is in the inside unit; of kinds that begin at nought."""
        return quantities.read(f"1 {self.unit.replace('Ω', 'ohm')}", self.asks)

    def shown(self, value: float) -> str:
        """A value as it is read, with its unit.

        Parameters
        ----------
        value : [inside unit of what is asked] number
        """
        if self.asked_in:
            return f"{units.figures(value / self.unit_size)} {self.asked_in}"
        return units.show(value, self.asks, self.system)

    @property
    def answer(self) -> str:
        """The answer as it is read."""
        return self.shown(self.value)


@dataclass(frozen=True)
class Judged:
    """What an answer is worth: ``ratio`` is it over the truth [-]; ``slip`` the known wrong way that leads to it."""

    verdict: Verdict
    said: float
    ratio: float
    slip: Slip | None = None

    @property
    def hint(self) -> str:
        """What to think of next, without a number; empty when the answer is right."""
        if self.verdict == "right":
            return ""
        if self.slip is not None:
            return self.slip.hint
        return (
            "This is none of the usual slips. Write the formula down, put each given number under its letter, "
            "and look at the units."
        )


def unbroken(words: str) -> str:
    """A text in which no line ends between a number and its unit."""
    return _UNIT_NEXT.sub("\u00a0", words)


def read_typed(problem: Problem, text: str) -> float:
    """The number a learner typed, in the inside unit; a bare number is in the unit of the problem.

    Parameters
    ----------
    problem : what is asked
    text : such as ``0.31`` or ``310 mV``

    Raises
    ------
    NotANumber
        When it is empty or no quantity of that kind: one sentence with an example of one that is.
    """
    words = text.strip().translate(_MINUS)
    example = f"{_example(problem)} {problem.unit}"
    if not words:
        raise NotANumber(f"Nothing is written yet; type a number, such as {example}, even if it is a guess.")
    if "," in words:
        raise NotANumber(f'"{shorten(words, 30)}" has a comma; write the number with a point, such as {example}.')
    if _BARE.fullmatch(words):
        words = f"{words.rstrip('.')} {problem.unit.replace('Ω', 'ohm')}"
    try:
        value = quantities.read(words, problem.asks)
    except units.UnitError:
        value = math.nan
    if math.isnan(value):
        raise NotANumber(
            f'"{shorten(text, 30)}" is not a {problem.asks}; write a number and a unit, such as {example}, '
            f"or the number alone in {problem.unit}."
        )
    return value


def _example(problem: Problem) -> str:
    """An example of the form that says nothing of the size: the same for every problem of a kind."""
    return {"concentration": "900", "power": "250", "charge": "25", "mass": "250", "resistance": "25"}.get(
        problem.asks, "2.5"
    )


def judge(problem: Problem, said: float) -> Judged:
    """Whether a number is the answer, a known slip, or neither.

    Parameters
    ----------
    problem : what was asked
    said : [inside unit of what is asked] the number
    """
    ratio = said / problem.value
    if _near(said, problem.value, problem.tolerance):
        return Judged("right", said, ratio)
    slip = next((one for one in problem.slips if _near(said, one.value, problem.tolerance)), None)
    return Judged("off" if slip is None else "slip", said, ratio, slip)


def _near(said: float, value: float, tolerance: float) -> bool:
    return abs(said - value) <= tolerance * abs(value)


def separated(value: float, slips: tuple[Slip, ...]) -> bool:
    """Whether truth and slips lie so far apart that no rounding can take one for another.

    Parameters
    ----------
    value : [inside unit of what is asked] the truth
    slips : the known wrong ways
    """
    values = sorted((value, *(slip.value for slip in slips)))
    sound = value != 0.0 and all(math.isfinite(one) for one in values)
    return sound and all(high - low > APART * max(abs(high), abs(low)) for low, high in pairwise(values))
