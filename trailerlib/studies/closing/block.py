"""What the lines of one side of the trailer would read if this or that were wrong.

A block is a side whose readings do not touch the readings of the others: the dead tests, the battery side, the mains
side. Each is worked out by its own room; ``diagnose`` only knows blocks.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from trailerlib.studies.closing.line import Line

Floats = NDArray[np.float64]
OPEN_OHM = 1e5  # an extra resistance from here on is an open end
Sizes = Literal["resistance", "voltage", "factor", ""]


@dataclass(frozen=True)
class Fault:
    """One thing that may be wrong.

    ``key`` names it; ``kind`` is its sort, such as ``extra resistance`` or ``legs reversed``; ``subject`` the circuit,
    load or part; ``says`` the sentence, with {size} where the size goes in. ``sized`` is what the size is: extra
    resistance [ohm], voltage [V], a factor [-], or "" for a fault that has none. ``weight`` is how often it is met
    beside the others [-]. ``amps`` is the current at full load through the spot [A] and ``volts`` the voltage that
    drives it [V], for the heat of an extra resistance. ``places`` are names of places on the trailer where to look for
    it; ``circuit`` is its circuit.
    """

    key: str
    kind: str
    subject: str
    says: str
    mend: str
    weight: float
    sized: Sizes = ""
    amps: float | None = None
    volts: float = 12.0
    circuit: str | None = None
    places: tuple[str, ...] = ()


@dataclass(frozen=True)
class Signature:
    """What the m lines of a block read with one fault, over its sizes.

    ``sizes`` (s,) rise; a fault without a size has one, 0. ``mean`` (s, m) is the reading, NaN where a line then shows
    nothing that can be predicted; ``slope`` (s, m, q) its change per standard deviation of each of the q things that
    are never exactly as drawn; where it is known at fewer sizes, ``slope`` is (r, m, q) and ``row`` (s,) says which
    of the r holds for which size. ``extra`` (s, m) is a further standard uncertainty, 0 where there is none.
    """

    fault: Fault
    sizes: Floats
    mean: Floats
    slope: Floats
    extra: Floats
    row: NDArray[np.intp] | None = None

    @property
    def rows(self) -> NDArray[np.intp]:
        """Which slope holds for which size, (s,)."""
        return np.arange(len(self.sizes)) if self.row is None else self.row


def has_open(signature: Signature) -> bool:
    """Whether the last size of a fault is an open end."""
    return signature.fault.sized == "resistance" and len(signature.sizes) > 1 and bool(signature.sizes[-1] >= OPEN_OHM)


@dataclass(frozen=True)
class Stack:
    """Signatures with the same numbers of sizes and slopes, one behind another: as in ``Signature``, (f, …)."""

    members: tuple[int, ...]
    mean: Floats
    slope: Floats
    extra: Floats
    rows: NDArray[np.intp]


@dataclass(frozen=True)
class Block:
    """The lines of one side, what they read when all is well (a signature with one size), and with each fault.

    ``show_faults`` works the faults out; nobody asks for them before there is a reading.

    ``meter`` (m, 2) gives the accuracy of the meter at each line: share of the reading [-] and a fixed part [inside
    unit], both as half width of an even spread. ``yes_no`` (m,) marks the lines that are answered yes or no; their
    mean is the chance of a yes. ``limits`` are ends of the accepted band that a rule gives instead of the spread, by
    key, None where the spread counts; infinite where there is none. ``missing`` says by key what a line lacks.
    """

    name: str
    lines: tuple[Line, ...]
    healthy: Signature
    show_faults: Callable[[], tuple[Signature, ...]] = field(compare=False, repr=False)
    meter: Floats
    yes_no: NDArray[np.bool_]
    missing: dict[str, str] = field(default_factory=dict)
    limits: dict[str, tuple[float | None, float | None]] = field(default_factory=dict)

    @cached_property
    def faults(self) -> tuple[Signature, ...]:
        """What the lines read with each fault, worked out when a reading is to be explained."""
        return self.show_faults()

    @cached_property
    def stacks(self) -> tuple[Stack, ...]:
        """The faults' signatures, those of one shape together, so that all are held against readings at once."""
        shapes: dict[tuple[int, ...], list[int]] = {}
        for k, one in enumerate(self.faults):
            shapes.setdefault((len(one.sizes), len(one.slope), has_open(one)), []).append(k)
        return tuple(self._stack(tuple(members)) for members in shapes.values())

    def _stack(self, members: tuple[int, ...]) -> Stack:
        picked = [self.faults[k] for k in members]
        return Stack(
            members, np.stack([one.mean for one in picked]), np.stack([one.slope for one in picked]),
            np.stack([one.extra for one in picked]), picked[0].rows,
        )  # fmt: skip

    def index(self) -> dict[str, int]:
        """Number of each line by its key."""
        return {line.key: k for k, line in enumerate(self.lines)}
