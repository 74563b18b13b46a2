"""What every dead test reads when all is well, and with each fault."""

from __future__ import annotations

import numpy as np

from trailerlib.design.design import Design
from trailerlib.studies.closing import meters
from trailerlib.studies.closing.block import Block, Fault, Signature
from trailerlib.studies.closing.dead_faults import Wrong, faults
from trailerlib.studies.closing.dead_lines import (
    APART_OHM,
    BOND_LIMIT_OHM,
    INSULATION_LIMIT_OHM,
    NO_CONTACT_OHM,
    OVER_OHM,
    Read,
    readings,
)
from trailerlib.studies.closing.mains_read import WARMTH_K

HEALTHY = Fault("healthy", "healthy", "dead tests", "nothing is wrong", "", 1.0)
OVER_DEVIATION = 0.1  # of what is written for over range: one person writes 20, another what flickers; practice
SOUND_INSULATION_OHM = 300e6, 130e6  # new dry cable, and its standard deviation: common practice, no source


def dead_block(design: Design) -> Block | None:
    """What the dead tests read; None where there is nothing to test.

    Parameters
    ----------
    design : the design
    """
    reads = tuple(readings(design))
    if not reads:
        return None
    lines = tuple(read.line for read in reads)
    healthy = _healthy(reads)
    return Block(
        "dead", lines, healthy, lambda: tuple(_signature(healthy, reads, wrong) for wrong in faults(design, reads)),
        np.array([meters.accuracy(line.meter) if line.meter else (0.0, 0.0) for line in lines]),
        np.array([line.asks == "yes or no" for line in lines]),
        {read.line.key: read.bond.missing for read in reads if read.bond is not None and read.bond.missing},
        _limits(reads, healthy),
    )  # fmt: skip


def _healthy(reads: tuple[Read, ...]) -> Signature:
    mean, slope, extra = np.zeros((1, len(reads))), np.zeros((1, len(reads), 2)), np.zeros((1, len(reads)))
    for k, read in enumerate(reads):
        if read.bond is not None:
            bond = read.bond
            mean[0, k] = np.nan if bond.missing else bond.ohm
            slope[0, k] = WARMTH_K * bond.rise, bond.frame_deviation
            extra[0, k] = bond.deviation
        elif read.what == "polarity":
            mean[0, k] = 1.0
        elif read.what == "insulation":
            mean[0, k], extra[0, k] = SOUND_INSULATION_OHM
        else:
            mean[0, k], extra[0, k] = OVER_OHM, OVER_DEVIATION * OVER_OHM
    return Signature(HEALTHY, np.zeros(1), mean, slope, extra)


def _signature(healthy: Signature, reads: tuple[Read, ...], wrong: Wrong) -> Signature:
    fault, sizes, change = wrong
    mean, extra = (np.repeat(part, len(sizes), axis=0) for part in (healthy.mean, healthy.extra))
    slope = healthy.slope.copy()
    for k, read in enumerate(reads):
        key = read.line.key
        if key in change.shown:
            mean[:, k], extra[:, k] = change.shown[key]
            slope[:, k] = 0.0
        elif key in change.added:
            mean[:, k] = np.minimum(mean[:, k] + change.added[key], NO_CONTACT_OHM)
    return Signature(fault, sizes, mean, slope, extra, np.zeros(len(sizes), dtype=np.intp))


def _limits(reads: tuple[Read, ...], healthy: Signature) -> dict[str, tuple[float | None, float | None]]:
    """Ends of what is accepted: a bond may be better than drawn, what is apart may be farther apart."""
    found: dict[str, tuple[float | None, float | None]] = {}
    for k, read in enumerate(reads):
        if read.bond is not None:
            # a long thin wire may have more than the limit and be sound: then its own band counts
            found[read.line.key] = (0.0, BOND_LIMIT_OHM if _below_limit(healthy, k) else None)
        elif read.what == "insulation":
            found[read.line.key] = (INSULATION_LIMIT_OHM, np.inf)
        elif read.what in ("rails", "frame", "across", "neutral"):
            found[read.line.key] = (APART_OHM, np.inf)
    return found


def _below_limit(healthy: Signature, line: int) -> bool:
    return bool(healthy.mean[0, line] < BOND_LIMIT_OHM / 2.0)
