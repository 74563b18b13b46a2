"""The test sheet: every line in the order a person walks, with what it should read and the band that is accepted."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from trailerlib.design.design import Design
from trailerlib.studies.closing import meters
from trailerlib.studies.closing.battery_block import battery_block
from trailerlib.studies.closing.block import Block, Floats
from trailerlib.studies.closing.dead_block import dead_block
from trailerlib.studies.closing.line import Expected
from trailerlib.studies.closing.mains_block import mains_block
from trailerlib.studies.kept import Kept

COVER = 3.0  # standard uncertainties on either side: of sixty sound lines one in six sheets shows one outside
MOST_SHEETS = 4  # a sheet with all its faults takes tens of megabytes
_KEPT: Kept[Sheet]


@dataclass(frozen=True)
class Sheet:
    """Every line with what it should read, routine ones in walking order, closer ones after them.

    ``told_first`` keeps what each line of a side would tell while nothing is read there, by side [bit].
    """

    blocks: tuple[Block, ...]
    told_first: dict[str, Floats] = field(default_factory=dict, compare=False, repr=False)

    @cached_property
    def expected(self) -> tuple[Expected, ...]:
        """What each line should read, block after block: everything dead, battery side, mains side."""
        return tuple(one for block in self.blocks for one in _expected(block))

    @cached_property
    def routine(self) -> tuple[Expected, ...]:
        """The lines that are always measured."""
        return tuple(one for one in self.expected if one.line.routine)

    @cached_property
    def by_key(self) -> dict[str, Expected]:
        """Lines by their key."""
        return {one.line.key: one for one in self.expected}

    def of(self, key: str) -> Expected:
        """What a line should read.

        Raises
        ------
        KeyError
            When the sheet has no such line.
        """
        return self.by_key[key]


def sheet_of(design: Design) -> Sheet:
    """The test sheet of a design; kept while nothing it rests on changes.

    Parameters
    ----------
    design : the design
    """
    parts = (
        design.battery, design.feeder, design.mains, design.charger, design.site, design.safety, design.trailer,
        design.fuse_block, design.panel, design.practice, design.routing,
        *design.circuits, "/", *design.loads, "/", *design.places, "/", *design.raceways, "/", *design.supplies,
    )  # fmt: skip
    return _KEPT.of(parts, lambda: _made(design))


def _made(design: Design) -> Sheet:
    blocks = (dead_block(design), battery_block(design), mains_block(design))
    return Sheet(tuple(block for block in blocks if block is not None))


def _expected(block: Block) -> Iterator[Expected]:
    mean, spread = block.healthy.mean[0], own_spread(block)
    for k, line in enumerate(block.lines):
        missing = block.missing.get(line.key, "")
        if np.isnan(mean[k]):
            yield Expected(line, None, None, None, None, missing or "it cannot be said from the design")
        elif line.asks == "yes or no":
            sure = round(float(mean[k]))
            yield Expected(line, float(sure), None, sure - 0.5, sure + 0.5, missing)
        else:
            low, high = block.limits.get(line.key, (None, None))
            width = COVER * float(spread[k])
            ends = (mean[k] - width if low is None else low, mean[k] + width if high is None else high)
            yield Expected(line, float(mean[k]), float(spread[k]), float(ends[0]), float(ends[1]), missing)


def own_spread(block: Block) -> Floats:
    """Combined standard uncertainty of every line when all is well: meter, and all that is never as drawn, (m,)."""
    meter = meters.uncertainty(tuple(line.meter for line in block.lines), np.nan_to_num(block.healthy.mean[0]))
    shared = (block.healthy.slope[0] ** 2).sum(axis=-1)
    combined: Floats = np.sqrt(meter**2 + shared + block.healthy.extra[0] ** 2)
    return combined


_KEPT = Kept(MOST_SHEETS)
