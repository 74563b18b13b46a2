"""What every line of the mains side reads when all is well, and with each fault."""

from __future__ import annotations

import numpy as np

from trailerlib.design.design import Design
from trailerlib.studies.closing import meters
from trailerlib.studies.closing.block import Block, Fault, Floats, Signature
from trailerlib.studies.closing.mains_faults import faults
from trailerlib.studies.closing.mains_lines import WORDS, Read, readings
from trailerlib.studies.closing.mains_read import Change, Reader
from trailerlib.studies.closing.mains_side import Side, side_of
from trailerlib.studies.closing.mains_supply_faults import supply_faults

EVERY = 4  # slopes are kept at every fourth size; they change slowly
HEALTHY = Fault("healthy", "healthy", "mains side", "nothing is wrong", "", 1.0)
TO_GROUND = ("hg", "ng", "loaded hg", "loaded ng", "panel hg", "panel ng")


def mains_block(design: Design) -> Block | None:
    """What the lines of the mains side read behind the first shore supply, else the first; None without mains.

    Parameters
    ----------
    design : the design
    """
    side = side_of(design)
    if side is None:
        return None
    reads = tuple(readings(side))
    missing = {read.line.key: gap for read in reads if (gap := missing_at(side, read))}
    blank = np.array([read.line.key in missing for read in reads])
    reader = Reader(side, reads)
    lines = tuple(read.line for read in reads)
    return Block(
        "mains", lines, _signature(reader, (HEALTHY, np.zeros(1), Change()), blank),
        lambda: tuple(_signature(reader, one, blank) for one in _wrong(side, reads)),
        np.array([meters.accuracy(line.meter) if line.meter else (0.0, 0.0) for line in lines]),
        np.array([line.asks == "yes or no" for line in lines]), missing,
    )  # fmt: skip


def _wrong(side: Side, reads: tuple[Read, ...]) -> list[tuple[Fault, Floats, Change]]:
    return [] if side.supply is None else [*faults(side, reads), *supply_faults(side, reads)]


def _signature(reader: Reader, wrong: tuple[Fault, Floats, Change], blank: Floats) -> Signature:
    fault, sizes, change = wrong
    mean, slope, extra = reader.read(change, len(sizes))
    mean[:, blank], slope[:, blank], extra[:, blank] = np.nan, 0.0, 0.0
    row = np.arange(len(sizes)) // EVERY
    return Signature(fault, sizes, mean, slope[::EVERY], extra, row)


def missing_at(side: Side, read: Read) -> str:
    """What a line lacks so that it cannot be said what it should read; empty when nothing does.

    Parameters
    ----------
    side : the mains side as it is tested
    read : one of its lines
    """
    if side.supply is None:
        return "no supply is given"
    if read.what in ("polarity", "transfer"):
        return _outside(side, read.what)
    if read.what.startswith("charger"):
        return "no battery is given" if side.design.battery is None else ""
    if side.floats and (read.what in TO_GROUND or read.what.endswith("ground")):
        return side.floats
    if read.what.startswith("unequal"):
        return "" if side.cord is not None else _no_cord(side)
    return _at_point(side, read) if read.point else ""


def _outside(side: Side, what: str) -> str:
    if what == "polarity":
        return "the plug of the inlet is not given" if side.design.mains.inlet is None else ""
    return "it is not said what keeps two supplies apart" if side.design.mains.transfer is None else ""


def _no_cord(side: Side) -> str:
    name = "" if side.supply is None else side.supply.name
    return f"size and length of the cord of “{name}” are not known"


def _at_point(side: Side, read: Read) -> str:
    point = next(point for point in side.points if point.name == read.point)
    circuit = point.circuit
    if point.between and side.legs < 2:
        return "it needs both legs, and one arrives"
    if read.what in ("own button", "tester"):
        guard = WORDS[side.design.practice]["guard"]
        if circuit.gfci is None:
            return f"it is not said whether it has {guard} protection"
        return f"the tester needs a ground: {side.floats}" if side.floats and read.what == "tester" else ""
    if read.what in ("hn", "hg", "ng"):
        return ""
    if point.way is None:
        return f"its run is not known: {side.design.layout.routes[circuit.name].reason}"
    if circuit.protection is None:
        return "its breaker is not given"
    if side.legs == 2 and circuit.leg is None:
        return "it is not said which leg it hangs on"
    return _no_cord(side) if side.cord is None else ""
