"""Problems out of a number: the same number gives the same problem, and no two in a row are alike."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from random import Random
from typing import TypeVar

from trailerlib import quantities, units
from trailerlib.physics.formula import Worked
from trailerlib.studies.lessons.problem import Problem, Slip, separated

T = TypeVar("T")
MOST_DRAWS = 200
THOUSANDS = ("a thousand too large", "a thousand too small")


class Dice:
    """Draws that follow from a text alone; ``random()`` of Python is promised to stay the same for the same seed."""

    def __init__(self, seed: str) -> None:
        self._random = Random(seed)

    def pick(self, choices: Sequence[T]) -> T:
        """One of several."""
        return choices[int(self._random.random() * len(choices))]

    def between(self, low: float, high: float, step: float) -> float:
        """A round value from low to high, both included.

        Parameters
        ----------
        low : [-] least
        high : [-] most
        step : [-] from one value to the next
        """
        return round(low + step * int(self._random.random() * (round((high - low) / step) + 1)), 9)

    def quantity(
        self, kind: str, system: units.System, us: tuple[float, float, float], metric: Sequence[float]
    ) -> float:
        """A quantity that is round in the unit it is shown in, in the inside unit.

        Parameters
        ----------
        kind : one of ``units.KINDS``
        system : ``us`` or ``metric``
        us : [shown unit] low, high and step
        metric : [shown unit] low, high and step
        """
        low, high, step = us if system == "us" else metric
        return quantities.read(units.written(self.between(low, high, step), kind, system), kind)


@dataclass(frozen=True)
class Draft:
    """A problem as drawn, before it is known whether it can be asked: its last step of working is the answer."""

    words: str
    asks: str
    working: tuple[Worked, ...]
    slips: Mapping[str, float]
    asked_in: str = ""


@dataclass(frozen=True)
class Kind:
    """One kind of problem: its name, how one is drawn, and between what its answers stay sane [inside unit]."""

    name: str
    draw: Callable[[Dice, units.System], Draft]
    low: float
    high: float


def made(lesson: str, kinds: Sequence[Kind], number: int, system: units.System) -> Problem:
    """The problem of a number.

    Successive numbers ask different kinds, so that no problem comes twice in a row. A draw whose slips lie too
    near the truth or too near one another is drawn again, the next draw following from the number too.

    Parameters
    ----------
    lesson : key of the lesson
    kinds : its kinds of problem, two or more
    number : [-] which problem, from 1
    system : units of the words

    Raises
    ------
    ValueError
        When no draw can be asked: then the kind itself is wrong.
    """
    kind = kinds[number % len(kinds)]
    for attempt in range(MOST_DRAWS):
        draft = kind.draw(Dice(f"{lesson} {number} {system} {attempt}"), system)
        found = asked(f"{lesson}/{number}", draft, system)
        if kind.low <= found.value <= kind.high and separated(found.value, found.slips):
            return found
    raise ValueError(f"{lesson}: no problem of the kind “{kind.name}” can be drawn; its slips lie too near.")


def inside(draft: Draft) -> float:
    """The answer of a draft in the inside unit of what it asks; a step of working in seconds is told in hours."""
    last = draft.working[-1]
    return last.value / 3600.0 if (draft.asks, last.unit) == ("duration", "s") else last.value


def asked(key: str, draft: Draft, system: units.System) -> Problem:
    """A draft as a problem, the slips of a thousand added where no slip of its own is meant by them."""
    value = inside(draft)
    slips = [Slip(name, wrong) for name, wrong in draft.slips.items()]
    slips += [Slip(name, value * factor) for name, factor in zip(THOUSANDS, (1000.0, 0.001), strict=True)]
    return Problem(key, draft.words, draft.asks, value, tuple(slips), draft.working, system, draft.asked_in)


def fair(key: str, draft: Draft, system: units.System) -> Problem:
    """A draft with the numbers of a design as a problem; slips that cannot be told from truth or others are left out.

    A design is as it is: its numbers cannot be drawn again.
    """
    whole = asked(key, draft, system)
    kept: tuple[Slip, ...] = ()
    for slip in whole.slips:
        if separated(whole.value, (*kept, slip)):
            kept = (*kept, slip)
    return Problem(key, whole.words, whole.asks, whole.value, kept, whole.working, system, whole.asked_in)
