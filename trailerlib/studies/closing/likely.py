"""How likely each fault is, given readings: one density a fault, over all its sizes."""

from __future__ import annotations

import math
from collections.abc import Iterator
from copy import copy
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics.evidence import Fit, Whitened, along_sizes, log_density
from trailerlib.studies.closing import meters
from trailerlib.studies.closing.block import Block, Fault, Floats, Signature, Stack, has_open

WIDE = {"voltage": 150.0, "current": 30.0, "resistance": 1e3, "duration": 10.0, "yes or no": 1.0}
OPEN_SHARE = 0.15  # of an extra resistance that it is open altogether; common practice, no source


@dataclass(frozen=True)
class Scored:
    """A fault held against readings: log density, its best size and the range it may have, how it would read.

    ``place`` is where the best size lies among the sizes of the signature, with its fraction; ``width`` the standard
    uncertainty of it, in steps of sizes.
    """

    signature: Signature
    log_density: float
    place: float
    width: float

    @property
    def fault(self) -> Fault:
        """The fault."""
        return self.signature.fault

    def size(self, steps: float = 0.0) -> float:
        """The best size, or the one so many steps of the grid beside it, [unit of the size]."""
        sizes = self.signature.sizes
        place = min(max(self.place + steps, 0.0), len(sizes) - 1.0)
        low = min(int(place), max(0, len(sizes) - 2))
        if len(sizes) == 1:
            return float(sizes[0])
        if low == len(sizes) - 2 and has_open(self.signature):
            return float(sizes[-1] if place > low + 0.5 else sizes[low])
        return float(np.exp(np.interp(place, [low, low + 1], np.log(sizes[low : low + 2]))))

    def mean(self) -> Floats:
        """What every line would read at the best size, (m,)."""
        low = min(int(self.place), len(self.signature.sizes) - 1)
        high = min(low + 1, len(self.signature.sizes) - 1)
        part = self.place - low
        mean: Floats = (1.0 - part) * self.signature.mean[low] + part * self.signature.mean[high]
        return mean

    def slope(self) -> Floats:
        """How every line then moves with what is never exactly as drawn, and with the size itself, (m, q + 1)."""
        sizes, low = len(self.signature.sizes), min(int(self.place), len(self.signature.sizes) - 1)
        own = self.signature.slope[self.signature.rows[round(self.place)]]
        if sizes == 1 or not math.isfinite(self.width):
            return np.column_stack([own, np.zeros(len(own))])
        first, last = (low - 1, low) if low == sizes - 1 else (low, low + 1)
        step = self.signature.mean[last] - self.signature.mean[first]
        return np.column_stack([own, step * min(self.width, 2.0)])


@dataclass(frozen=True)
class _Ready:
    """A stack held against readings, as far as that does not hang on how the means are moved.

    ``deviation`` (f, s, k) of the readings from the means; ``known`` (f, s, k) where something is expected; ``along``
    the spread on each stretch, ``way`` (f, stretches, k) the step over it in standard form, None of faults without a
    size; ``gone`` the spread where the end is open, None where it never is.
    """

    deviation: Floats
    known: NDArray[np.bool_]
    along: Whitened
    way: Floats | None
    gone: Whitened | None


class Heard:
    """The readings of one block, ready to be held against every signature.

    ``shift`` is added to every mean: what a second fault, already settled on, does to the lines.
    """

    def __init__(self, block: Block, readings: dict[str, float]) -> None:
        place = block.index()
        self.block, self.keys = block, [key for key in readings if key in place]
        here = np.array([place[key] for key in self.keys], dtype=np.intp)
        read = np.array([readings[key] for key in self.keys])
        sure = block.yes_no[here]
        self.lines, self.read = here[~sure], read[~sure]
        self.asked, self.said = here[sure], read[sure]
        names = tuple(block.lines[k].meter for k in self.lines)
        self.meter = np.maximum(meters.uncertainty(names, self.read), 1e-9)
        wide = np.array([WIDE[block.lines[k].asks] for k in self.lines])
        # megohms: what is written wrong may lie as wide as what is right
        self.wide = np.maximum(wide, 3.0 * block.healthy.extra[0, self.lines])
        self.shift = np.zeros(len(block.lines))
        self._ready: dict[int, _Ready] = {}

    @property
    def count(self) -> int:
        """Readings there are."""
        return len(self.keys)

    def sound(self) -> float:
        """Log density of the readings when all is well."""
        healthy = self.block.healthy
        mean = healthy.mean + self.shift
        deviation, extra = self._deviation(mean, healthy.extra)
        whitened = Whitened.of(healthy.slope[0, self.lines], self.meter**2 + extra[0] ** 2)
        return float(log_density(whitened, deviation[0])) + float(self._answers(mean[:, self.asked])[0])

    def shifted(self, shift: Floats) -> Heard:
        """The same readings, every mean moved by so much; what does not hang on that is not worked out again.

        Parameters
        ----------
        shift : (m,)
        """
        other = copy(self)
        other.shift = shift
        return other

    def scores(self) -> list[Scored]:
        """How well each fault of the block explains the readings, over all its sizes, in the order of the block."""
        found: dict[int, Scored] = {}
        for number, stack in enumerate(self.block.stacks):
            if number not in self._ready:
                self._ready[number] = self._made_ready(stack)
            found.update(zip(stack.members, self._stack(stack, self._ready[number]), strict=True))
        return [found[k] for k in range(len(self.block.faults))]

    def _made_ready(self, stack: Stack) -> _Ready:
        """What of a stack does not hang on how the means are moved."""
        deviation, extra = self._deviation(stack.mean, stack.extra)
        rows = stack.rows
        first = np.concatenate([[0], np.flatnonzero(np.diff(rows)) + 1]).astype(np.intp)
        whitened = Whitened.of(stack.slope[:, rows[first]][:, :, self.lines], self.meter**2 + extra[:, first] ** 2)
        which = np.searchsorted(first, np.arange(len(rows)), side="right") - 1
        known = ~np.isnan(stack.mean[..., self.lines])
        open_end = len(rows) > 1 and has_open(self.block.faults[stack.members[0]])
        stretches = max(1, len(rows) - 1 - open_end)
        along, gone = whitened[:, which[:stretches]], whitened[:, which[-1]]
        way = along.flat(deviation[:, :stretches] - deviation[:, 1 : stretches + 1]) if len(rows) > 1 else None
        return _Ready(deviation, known, along, way, gone if open_end else None)

    def _stack(self, stack: Stack, ready: _Ready) -> Iterator[Scored]:
        signatures = [self.block.faults[k] for k in stack.members]
        answered = self._answers(stack.mean[..., self.asked] + self.shift[self.asked])
        deviation = ready.deviation - ready.known * self.shift[self.lines]
        if ready.way is None:
            density = log_density(ready.along[:, 0], deviation[:, 0]) + answered[:, 0]
            return (Scored(s, float(d), 0.0, math.inf) for s, d in zip(signatures, density, strict=True))
        gone = None if ready.gone is None else log_density(ready.gone, deviation[:, -1]) + answered[:, -1]
        stretches = ready.way.shape[1]
        fit = along_sizes(ready.along, deviation[:, :stretches], ready.way)
        return self._best(signatures, fit.log_density + answered[:, :stretches], fit, gone)

    def _best(self, signatures: list[Signature], told: Floats, fit: Fit, gone: Floats | None) -> Iterator[Scored]:
        """The best size of each of several faults, and the density over all sizes."""
        peak = told - np.where(np.isfinite(fit.width), np.log(fit.width), 0.0)
        best = np.argmax(peak, axis=1)
        total = np.logaddexp.reduce(told, axis=1) - math.log(told.shape[1])
        for k, signature in enumerate(signatures):
            place, width = best[k] + float(fit.best[k, best[k]]), float(fit.width[k, best[k]])
            density = float(total[k])
            if gone is not None:
                whole, end = density + math.log1p(-OPEN_SHARE), float(gone[k]) + math.log(OPEN_SHARE)
                if end > whole:
                    place, width = float(len(signature.sizes) - 1), math.inf
                density = float(np.logaddexp(whole, end))
            yield Scored(signature, density, place, width)

    def _deviation(self, mean: Floats, extra: Floats) -> tuple[Floats, Floats]:
        """Reading less expected, and each line's own further spread; where nothing is expected anything may be."""
        here = mean[..., self.lines]
        unknown = np.isnan(here)
        extra = np.where(unknown, self.wide, extra[..., self.lines])
        return np.where(unknown, 0.0, self.read - here), extra

    def _answers(self, chance: Floats) -> Floats:
        """Log of the chance of what was answered yes or no, (s,)."""
        yes = np.clip(np.where(np.isnan(chance), 0.5, chance), meters.SLIP, 1.0 - meters.SLIP)
        told: Floats = np.log(np.where(self.said > 0.5, yes, 1.0 - yes)).sum(axis=-1)
        return told

    def slips(self) -> list[tuple[str, float]]:
        """Log density of all being well with one reading written down wrong, by key."""
        healthy = self.block.healthy
        mean = healthy.mean + self.shift
        deviation, extra = self._deviation(mean, healthy.extra)
        whitened = Whitened.of(healthy.slope[0, self.lines], self.meter**2 + extra[0] ** 2)
        density = float(log_density(whitened, deviation[0])) + float(self._answers(mean[:, self.asked])[0])
        precision = whitened.root.T @ whitened.root
        pull = precision @ deviation[0]
        own = np.diagonal(precision)
        alone = -0.5 * pull**2 / own + 0.5 * np.log(own) - 0.5 * math.log(2.0 * math.pi)
        return [
            (self.block.lines[line].key, density - float(alone[k]) - math.log(2.0 * self.wide[k]))
            for k, line in enumerate(self.lines)
        ]

    def ahead(self, scored: Scored, line: NDArray[np.intp]) -> tuple[Floats, Floats]:
        """What lines not read yet would read with this fault, given what was read: mean and deviation, each (l,).

        Parameters
        ----------
        scored : the fault, held against the readings
        line : numbers of lines of the block
        """
        slope, mean = scored.slope(), scored.mean() + self.shift
        own = np.nan_to_num(slope[self.lines])
        spread = own @ own.T + np.diag(self.meter**2 + 1e-18)
        off = np.nan_to_num(self.read - mean[self.lines])
        across = slope[line] @ own.T
        solved = (
            np.linalg.solve(spread, np.column_stack([off, across.T]))
            if len(self.lines)
            else np.zeros((0, len(line) + 1))
        )
        expected = mean[line] + across @ solved[:, 0]
        left = (slope[line] ** 2).sum(axis=1) - np.einsum("lk,kl->l", across, solved[:, 1:])
        meter = meters.uncertainty(tuple(self.block.lines[k].meter for k in line), np.nan_to_num(expected))
        return expected, np.sqrt(np.maximum(left, 0.0) + meter**2 + 1e-18)
