"""What the readings say is wrong: every fault held against them, the likeliest named, and what to measure next."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from trailerlib.design.design import Design
from trailerlib.physics.evidence import shares
from trailerlib.physics.heating import joint_heat_w
from trailerlib.studies.closing.block import OPEN_OHM, Block, Fault
from trailerlib.studies.closing.likely import Heard, Scored
from trailerlib.studies.closing.line import Line
from trailerlib.studies.closing.sheet import Sheet, sheet_of

# How often a trailer is sound, has one fault, two, or a reading written down wrong: common practice, no source.
SOUND, ONE, TWO, SLIP = 0.70, 0.24, 0.02, 0.04
CLAIM = 0.9  # a fault is claimed when all that is no fault has less than the rest of this
ALIKE = 0.5  # of the meter's own uncertainty: faults that read this alike are one suspicion
WORTH = 1e-6  # a smaller share is not looked at
FOR_PAIRS = 6  # the likeliest single faults are tried with every other


@dataclass(frozen=True)
class Candidate:
    """One suspicion: faults that the readings cannot tell apart, the commonest first, and how likely it is [-].

    ``size`` with its range is in the unit of the fault's size; ``heat_w`` is what an extra resistance makes of heat at
    full load [W]. ``second`` is another fault that is there as well. ``slip`` is the key of a reading written wrong.
    """

    faults: tuple[Fault, ...]
    share: float
    size: float | None = None
    size_low: float | None = None
    size_high: float | None = None
    heat_w: float | None = None
    second: Candidate | None = None
    slip: str | None = None

    @property
    def fault(self) -> Fault:
        """The commonest of the faults of this suspicion."""
        return self.faults[0]

    @property
    def open(self) -> bool:
        """Whether the extra resistance is an open end."""
        return self.fault.sized == "resistance" and self.size is not None and self.size >= OPEN_OHM

    @property
    def sentence(self) -> str:
        """The suspicion as a sentence."""
        from trailerlib.studies.closing import words

        return words.suspicion(self)


@dataclass(frozen=True)
class Next:
    """The line to measure next, what it would tell [bit], and why in words."""

    line: Line
    bits: float
    why: str


@dataclass(frozen=True)
class Diagnosis:
    """Candidates, likeliest first; what is left for all being well [-]; and whether a fault is claimed.

    ``group`` are the leading candidates that are nearly as likely as the first: they want one more reading. ``known``
    is whether the candidate is the truth itself, told after a hunt, and no suspicion. ``show_next`` looks for the line
    to measure next: a third of the work, and no verdict waits for it.
    """

    candidates: tuple[Candidate, ...]
    healthy_share: float
    claimed: bool
    readings: int
    known: bool = False
    show_next: Callable[[], Next | None] = field(default=lambda: None, compare=False, repr=False)

    @cached_property
    def next(self) -> Next | None:
        """The line to measure next, looked for when somebody asks."""
        return self.show_next()

    @property
    def group(self) -> tuple[Candidate, ...]:
        """Leading candidates among which the readings do not decide."""
        best = self.candidates[0].share if self.candidates else 0.0
        return tuple(one for one in self.candidates if one.share >= 0.2 * best and one.slip is None)


def diagnose(design: Design, readings: Mapping[str, float]) -> Diagnosis:
    """What is wrong, given any readings of the test sheet.

    Parameters
    ----------
    design : the design
    readings : [inside unit] by key of the line; keys that the sheet does not have are left out
    """
    return of_sheet(sheet_of(design), readings)


def of_sheet(sheet: Sheet, readings: Mapping[str, float]) -> Diagnosis:
    """What is wrong, given readings of a sheet; as ``diagnose``.

    Parameters
    ----------
    sheet : the test sheet
    readings : [inside unit] by key of the line
    """
    known = {key: float(value) for key, value in readings.items() if key in sheet.by_key and math.isfinite(value)}
    if not known:
        return Diagnosis((), 1.0, False, 0, show_next=lambda: _first(sheet))
    found = list(_scored(sheet.blocks, known))
    weights = np.array([weight for _, weight in found])
    share = shares(np.append(weights, math.log(SOUND)))
    sound = float(share[-1])
    kept = [(one, float(part)) for (one, _), part in zip(found, share[:-1], strict=True) if part > WORTH]
    candidates = tuple(sorted(_merged(kept), key=lambda one: -one.share))
    wrong = sum(part for one, part in kept if not isinstance(one, str))
    return Diagnosis(candidates, sound, wrong > CLAIM, len(known), show_next=lambda: _next(sheet, kept, sound, known))


Found = tuple["Suspect | str", float]


@dataclass(frozen=True)
class Suspect:
    """A fault held against the readings of its block, and a second one beside it if there is."""

    heard: Heard
    scored: Scored
    second: Scored | None = None


def _scored(blocks: tuple[Block, ...], readings: dict[str, float]) -> Iterator[Found]:
    """Every fault with the log of its weight against all being well."""
    heard = [one for block in blocks if (one := Heard(block, readings)).count]
    total = sum(signature.fault.weight for block in blocks for signature in block.faults)
    lines = sum(len(one.keys) for one in heard)
    for one in heard:
        sound = one.sound()
        singles = [Suspect(one, scored) for scored in one.scores()]
        for suspect in singles:
            prior = ONE * suspect.scored.fault.weight / total
            yield suspect, suspect.scored.log_density - sound + math.log(prior)
        yield from ((key, density - sound + math.log(SLIP / lines)) for key, density in one.slips())
        if _unexplained(one, singles, sound):
            yield from _pairs(one, singles, sound, total)


def _unexplained(heard: Heard, singles: list[Suspect], sound: float) -> bool:
    """Whether even the best single fault leaves readings far out."""
    best = max(singles, key=lambda one: one.scored.log_density, default=None)
    if best is None or best.scored.log_density - sound < 3.0:
        return False
    mean = (best.scored.mean() + heard.shift)[heard.lines]
    own = np.sqrt((np.nan_to_num(best.scored.slope()[heard.lines]) ** 2).sum(axis=1) + heard.meter**2)
    return bool((np.abs(np.nan_to_num(heard.read - mean)) > 3.5 * own).any())


def _pairs(heard: Heard, singles: list[Suspect], sound: float, total: float) -> Iterator[Found]:
    """The likeliest faults, each with a second one on top."""
    first = sorted(singles, key=lambda one: -one.scored.log_density)[:FOR_PAIRS]
    healthy = heard.block.healthy.mean[0]
    for one in first:
        shifted = heard.shifted(np.nan_to_num(one.scored.mean() - healthy))
        for second in shifted.scores():
            if second.fault.subject == one.scored.fault.subject:
                continue
            prior = TWO * one.scored.fault.weight * second.fault.weight / total**2
            yield Suspect(heard, one.scored, second), second.log_density - sound + math.log(prior)


def _merged(found: list[Found]) -> Iterator[Candidate]:
    """One candidate for all faults that read alike on the lines that were read."""
    ranked = sorted(found, key=lambda pair: -pair[1])
    taken: set[int] = set()
    for k, (one, part) in enumerate(ranked):
        if k in taken:
            continue
        if isinstance(one, str):
            yield Candidate((Fault(f"slip/{one}", "reading wrong", one, one, "", 1.0),), part, slip=one)
            continue
        same = [(one, part)]
        for other in range(k + 1, len(ranked)):
            suspect = ranked[other][0]
            if other not in taken and isinstance(suspect, Suspect) and _alike(one, suspect):
                taken.add(other)
                same.append((suspect, ranked[other][1]))
        yield _candidate(one, tuple(s.scored.fault for s, _ in same), sum(p for _, p in same))


def _alike(one: Suspect, other: Suspect) -> bool:
    """Whether two faults would have given the same readings, each at the size that fits it best."""
    if one.heard.block is not other.heard.block or _key(one.second) != _key(other.second):
        return False
    lines, asked = one.heard.lines, one.heard.asked
    a, b = one.scored.mean(), other.scored.mean()
    if (np.isnan(a[lines]) != np.isnan(b[lines])).any() or not np.allclose(a[asked], b[asked], equal_nan=True):
        return False
    meter, healthy = one.heard.meter, one.heard.block.healthy.mean[0, lines] + one.heard.shift[lines]
    shows = (np.nan_to_num(np.abs(a[lines] - healthy), nan=np.inf) > ALIKE * meter).any()
    if one.scored.fault.kind != other.scored.fault.kind and not shows:
        return False  # what no reading shows would be alike to everything else that none shows
    return bool((np.nan_to_num(np.abs(a[lines] - b[lines])) < ALIKE * meter).all())


def _key(scored: Scored | None) -> str:
    return "" if scored is None else scored.fault.key


def _candidate(suspect: Suspect, faults: tuple[Fault, ...], share: float) -> Candidate:
    size = _size(suspect.scored)
    second = None
    if suspect.second is not None:
        own = _size(suspect.second)
        second = Candidate((suspect.second.fault,), share, *own, heat_w(suspect.second.fault, own[0]))
    return Candidate(faults, share, *size, heat_w(faults[0], size[0]), second)


def _size(scored: Scored) -> tuple[float | None, float | None, float | None]:
    if not scored.fault.sized:
        return None, None, None
    if not math.isfinite(scored.width):
        return scored.size(), scored.size(), scored.size()
    return scored.size(), scored.size(-2.0 * scored.width), scored.size(2.0 * scored.width)


def heat_w(fault: Fault, size: float | None) -> float | None:
    """Heat that an extra resistance makes at full load [W]; None for other faults and for an open end.

    Parameters
    ----------
    fault : the fault
    size : [ohm] extra resistance
    """
    if fault.sized != "resistance" or size is None or fault.amps is None or size >= OPEN_OHM:
        return None
    return float(joint_heat_w(size, fault.amps, fault.volts))


def _first(sheet: Sheet) -> Next | None:
    """Before anything is read: the first routine line of the walk."""
    line = next((one.line for one in sheet.routine if one.value is not None), None)
    return None if line is None else Next(line, 0.0, "Begin here and go on down the sheet.")


def _next(sheet: Sheet, kept: list[Found], sound: float, readings: dict[str, float]) -> Next | None:
    from trailerlib.studies.closing.next_line import next_line

    return next_line(sheet, kept, sound, readings)


def unread(block: Block, readings: Mapping[str, float]) -> NDArray[np.intp]:
    """Numbers of the lines of a block that have not been read and that something is expected of.

    Parameters
    ----------
    block : one side of the trailer
    readings : [inside unit] what was read, by key
    """
    mean = block.healthy.mean[0]
    return np.array(
        [k for k, line in enumerate(block.lines) if line.key not in readings and not np.isnan(mean[k])], dtype=np.intp
    )
