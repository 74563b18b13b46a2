"""A hidden fault to find: planted by a seed, read line by line with a meter's noise, and scored."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from trailerlib.design.design import Design
from trailerlib.studies.closing import meters
from trailerlib.studies.closing.block import Block, Fault, Floats, Signature
from trailerlib.studies.closing.diagnose import ALIKE, of_sheet
from trailerlib.studies.closing.sheet import COVER, Sheet, own_spread, sheet_of

SEEN_BY = 3  # routine lines that must show it, or it would be a fault that nobody can find
SURE = 0.5  # share of the first suspicion from which on it is named
MOST = 60  # measurements after which a search is given up


@dataclass(frozen=True)
class Planted:
    """A trailer with one hidden fault.

    ``fault`` and ``size`` are the truth; ``seed`` makes the same again. Readings are the same each time they are taken.
    """

    sheet: Sheet
    block: Block
    signature: Signature
    step: int
    seed: int

    @property
    def fault(self) -> Fault:
        """What is wrong."""
        return self.signature.fault

    @property
    def size(self) -> float:
        """How large it is, in the unit of the fault's size."""
        return float(self.signature.sizes[self.step])

    @cached_property
    def _read(self) -> Mapping[str, float]:
        generator = np.random.default_rng([self.seed, 1])
        found: dict[str, float] = {}
        for block in self.sheet.blocks:
            here = self.signature if block is self.block else block.healthy
            step = self.step if block is self.block else 0
            found.update(_drawn(block, here, step, generator))
        return found

    def read(self, key: str) -> float:
        """What the meter shows on a line [inside unit].

        Raises
        ------
        KeyError
            When the sheet has no such line, or nothing can be said of it.
        """
        return self._read[key]

    @property
    def keys(self) -> tuple[str, ...]:
        """Lines that can be measured."""
        return tuple(self._read)

    @cached_property
    def shown_by(self) -> str:
        """Key of the routine line that the hidden fault pushes furthest out of what is expected."""
        return _furthest(self.block, self.signature, self.step)

    def is_it(self, key: str) -> bool:
        """Whether a guess is the hidden fault, or one that no line of the routine sheet can tell from it."""
        guess = next((one for one in self.block.faults if one.fault.key == key), None)
        if guess is None:
            return False
        return key == self.fault.key or self._reads_alike(guess)

    def _reads_alike(self, guess: Signature) -> bool:
        """Whether a fault of the same kind would show the same on every routine line, for what a meter can tell."""
        if guess.fault.kind != self.fault.kind or len(guess.sizes) != len(self.signature.sizes):
            return False
        here = self.signature.mean[self.step]
        meter = meters.uncertainty(tuple(line.meter for line in self.block.lines), np.nan_to_num(here))
        routine = np.array([line.routine for line in self.block.lines])
        off = np.abs(np.nan_to_num(guess.mean[self.step] - here))
        return bool((off[routine] <= ALIKE * meter[routine] + 1e-12).all())

    @cached_property
    def best(self) -> int:
        """Measurements until it is sure, taking the line that tells the most each time; luck can beat it."""
        return self.search()

    @cached_property
    def by_the_walk(self) -> int:
        """Measurements that going down the sheet needs to be sure."""
        return self.search(walk=True)

    def search(self, *, walk: bool = False, most: int = MOST) -> int:
        """Measurements until the hidden fault is first and sure, at most ``most``.

        Parameters
        ----------
        walk : go down the sheet line by line instead of measuring what tells the most
        most : [-] measurements after which it is given up
        """
        order = [one.line.key for one in self.sheet.routine if one.line.key in self._read]
        readings: dict[str, float] = {}
        for count in range(1, most + 1):
            told = None if walk else of_sheet(self.sheet, readings).next
            left = [key for key in order if key not in readings]
            key = told.line.key if told is not None and told.line.key in self._read else next(iter(left), None)
            if key is None:
                return most
            readings[key] = self.read(key)
            now = of_sheet(self.sheet, readings)
            named = now.claimed and any(fault.key == self.fault.key for fault in now.candidates[0].faults)
            if named and now.candidates[0].share > SURE:
                return count
        return most


def plant(design: Design, seed: int) -> Planted:
    """One hidden fault, drawn by how often each is met, large enough that the sheet can show it.

    Parameters
    ----------
    design : the design
    seed : [-] the same seed plants the same fault

    Raises
    ------
    ValueError
        When there is nothing to measure.
    """
    sheet = sheet_of(design)
    generator = np.random.default_rng([seed, 0])
    every = [(block, one) for block in sheet.blocks for one in block.faults]
    if not every:
        raise ValueError("There is nothing to measure yet: put in a battery, circuits and loads first.")
    weight = np.array([one.fault.weight for _, one in every])
    for _ in range(1000):
        block, one = every[int(generator.choice(len(every), p=weight / weight.sum()))]
        step = int(generator.integers(len(one.sizes)))
        if _shows(block, one, step) >= SEEN_BY:
            return Planted(sheet, block, one, step, seed)
    raise ValueError("No fault of this trailer would show on its sheet; put in more loads first.")


def _off(block: Block, one: Signature, step: int) -> Floats:
    """How far a fault pushes each routine line, in standard uncertainties; 0 for the others."""
    spread = np.maximum(own_spread(block), 1e-12)
    off = np.abs(np.nan_to_num(one.mean[step] - block.healthy.mean[0])) / spread
    here: Floats = off * np.array([line.routine for line in block.lines])
    return here


def _shows(block: Block, one: Signature, step: int) -> int:
    """Routine lines that a fault pushes out of their band."""
    return int((_off(block, one, step) > COVER).sum())


def _furthest(block: Block, one: Signature, step: int) -> str:
    return block.lines[int(np.argmax(_off(block, one, step)))].key


def _drawn(block: Block, one: Signature, step: int, generator: np.random.Generator) -> dict[str, float]:
    """One set of readings: all that is never exactly as drawn, and the meter, drawn once."""
    slope = one.slope[one.rows[step]]
    shared = np.clip(generator.standard_normal(slope.shape[1]), -2.0, 2.0)
    value: Floats = one.mean[step] + slope @ shared + one.extra[step] * generator.standard_normal(len(block.lines))
    meter = meters.uncertainty(tuple(line.meter for line in block.lines), np.nan_to_num(value))
    value = value + meter * math.sqrt(3.0) * generator.uniform(-1.0, 1.0, len(value))
    yes = generator.uniform(0.0, 1.0, len(value))
    return {
        line.key: float(yes[k] < one.mean[step, k]) if block.yes_no[k] else float(value[k])
        for k, line in enumerate(block.lines)
        if not math.isnan(value[k]) and not math.isnan(block.healthy.mean[0, k])
    }
