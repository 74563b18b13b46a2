"""One fault hidden between fuse block and lights: where the meter is held, what it reads, why a guess is wrong."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trailerlib import units
from trailerlib.design.design import Design
from trailerlib.studies.closing.block import Signature
from trailerlib.studies.closing.diagnose import heat_w
from trailerlib.studies.closing.line import Expected
from trailerlib.studies.closing.planted import Planted
from trailerlib.studies.closing.sheet import sheet_of
from trailerlib.studies.lessons.making import MOST_DRAWS, Dice

CIRCUIT = "work lights"
LEAST_OHM, MOST_OHM, LEAST_FACTOR = 0.05, 0.6, 1.59  # large enough for a meter, small enough that the lights still burn
# where the meter is held: end of the line's key, and words
PLACES: Mapping[str, str] = {
    "volts": "at the lights, from plus to minus",
    "fuse amps": "the current in the wire",
    "feed drop": "the whole way out, fuse to lights",
    "return drop": "the whole way back, lights to minus bar",
    "fuse drop": "over the fuse",
    "part/terminal of work lights out": "over the crimp at the fuse block",
    "part/wire of work lights out": "over the wire of the way out",
    "part/wire of work lights back": "over the wire of the way back",
    "part/terminal of work lights back": "over the crimp at the minus bar",
}
# what it may be: key of the fault, and words
CHOICES: Mapping[str, str] = {
    "extra resistance/fuse of work lights": "the fuse makes bad contact",
    "extra resistance/terminal of work lights out": "a bad crimp at the fuse block",
    "extra resistance/wire of work lights out": "a bad joint in the wire of the way out",
    "extra resistance/wire of work lights back": "a bad joint in the wire of the way back",
    "extra resistance/terminal of work lights back": "a bad crimp at the minus bar",
    "run/work lights": "the wire is too thin, out and back",
}


@dataclass(frozen=True)
class Judged:
    """What a guess is worth: whether it is right, and why, without the truth when it is not."""

    right: bool
    why: str


@dataclass(frozen=True)
class WayFault:
    """A hidden fault. The same number hides the same one."""

    planted: Planted
    number: int

    def expected(self, place: str) -> Expected:
        """What should be read at a place."""
        return self.planted.sheet.of(key_of(place))

    def read(self, place: str) -> float:
        """What the meter shows at a place [V], of the current [A]."""
        return self.planted.read(key_of(place))

    def shown(self, place: str, value: float) -> str:
        """A reading as the meter shows it.

        Parameters
        ----------
        place : where
        value : [V or A] what was read
        """
        if place == "fuse amps":
            return f"{value:.2f} A"
        return f"{value:.2f} V" if place == "volts" else f"{value:.3f} V"

    def differs(self, place: str) -> bool:
        """Whether what the meter shows lies outside what is accepted."""
        return self.expected(place).verdict(self.read(place)) == "differs"

    @property
    def truth(self) -> str:
        """What is hidden, in a sentence."""
        fault, size = self.planted.fault, self.planted.size
        if fault.sized == "factor":
            return f"It is this: {CHOICES[fault.key]}. It resists {units.figures(size, 2)} times as much as it should."
        heat = heat_w(fault, size)
        assert heat is not None
        return (
            f"It is this: {CHOICES[fault.key]}. It resists {units.show(size, 'resistance')} too much, and makes "
            f"{units.figures(heat, 2)} W of heat in one spot."
        )

    def judge(self, named: str, measured: tuple[str, ...]) -> Judged:
        """Whether a guess is right, and which reading says so.

        Parameters
        ----------
        named : key of the fault it is taken for
        measured : places where the meter was held
        """
        if named == self.planted.fault.key:
            return Judged(True, self._shown_by(measured))
        moved = self._moved(named)
        for place in measured:
            if place in moved and not self.differs(place):
                return Judged(False, f"With that, this reading would be off, and it fits: {self._said(place)}.")
        for place in measured:
            if place not in moved and self.differs(place):
                return Judged(False, f"With that, this reading would fit, and it is off: {self._said(place)}.")
        return Judged(False, "No reading of yours tells it from the others. Halve what is left, and measure there.")

    def _shown_by(self, measured: tuple[str, ...]) -> str:
        telling = [place for place in measured if self.differs(place)]
        if not telling:
            return "No reading of yours says so: that was luck."
        least = min(telling, key=lambda place: abs(self.read(place)))
        return f"This reading says so: {self._said(least)}."

    def _said(self, place: str) -> str:
        """A place, what it reads and what it should read."""
        should = self.expected(place).value
        assert should is not None
        return f"{PLACES[place]}, {self.shown(place, self.read(place))} where {self.shown(place, should)} is expected"

    def _moved(self, named: str) -> set[str]:
        """Places where a fault would push the reading out of what is accepted."""
        one = _signature(self.planted.block.faults, named)
        mean = one.mean[self._step(one)]
        lines = {line.key: k for k, line in enumerate(self.planted.block.lines)}
        return {
            place for place in PLACES if self.expected(place).verdict(float(mean[lines[key_of(place)]])) == "differs"
        }

    def _step(self, one: Signature) -> int:
        """The size of a guess: that of the hidden fault where both are of a kind, else one in the middle."""
        if one.fault.sized == self.planted.fault.sized:
            return int(np.argmin(np.abs(one.sizes - self.planted.size)))
        return int(_fit(one)[len(_fit(one)) // 2])

    @property
    def plain(self) -> bool:
        """Whether the readings show all that the hidden fault moves, and nothing else."""
        return {place for place in PLACES if self.differs(place)} == self._moved(self.planted.fault.key)


def key_of(place: str) -> str:
    """The key of a place on the test sheet."""
    return f"alone/{CIRCUIT}/{place}"


def hidden(design: Design, number: int) -> WayFault:
    """The hidden fault of a number.

    Parameters
    ----------
    design : one with the work lights of the lesson
    number : [-] which, from 1
    """
    sheet = sheet_of(design)
    block = next(block for block in sheet.blocks if any(line.key == key_of("volts") for line in block.lines))
    keys, dice = tuple(CHOICES), Dice(f"L8 hidden {number}")
    one = _signature(block.faults, keys[(number + 2 * int(dice.between(0, 2, 1))) % len(keys)])
    for again in range(MOST_DRAWS):
        fit = _fit(one)
        step = int(fit[int(dice.between(0, len(fit) - 1, 1))])
        found = WayFault(Planted(sheet, block, one, step, MOST_DRAWS * number + again), number)
        if found.plain:
            return found
    raise ValueError(f"hidden fault {number}: it cannot be drawn so that the readings tell it.")


def _fit(one: Signature) -> NDArray[np.intp]:
    """The steps of a fault that are neither too small for the meter nor too large for the story."""
    if one.fault.sized == "factor":
        return np.flatnonzero(one.sizes >= LEAST_FACTOR)
    return np.flatnonzero((one.sizes >= LEAST_OHM) & (one.sizes <= MOST_OHM))


def _signature(faults: tuple[Signature, ...], key: str) -> Signature:
    return next(one for one in faults if one.fault.key == key)
