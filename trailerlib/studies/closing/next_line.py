"""Which one line to measure next: the one that tells the most about which suspicion is right."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics.evidence import told_apart_bits
from trailerlib.studies.closing import meters
from trailerlib.studies.closing.block import Block, Floats
from trailerlib.studies.closing.diagnose import ONE, SOUND, Found, Next, Suspect, unread
from trailerlib.studies.closing.likely import WIDE, Heard, Scored
from trailerlib.studies.closing.sheet import Sheet

MOST = 150  # suspicions that are told apart
LEAST_BITS = 1e-4  # less is not worth a walk
CLOSER = 0.8  # a closer line takes more care than a routine one: it counts for this much
SIZES = (0.15, 0.5, 0.85)  # where a fault of unknown size is taken to lie, along its sizes
UNTOUCHED = "Nothing has been read on this side yet; no other line there would tell as much."
POWER_ON = " Everything that is read dead comes before power goes on."


def next_line(sheet: Sheet, kept: list[Found], sound: float, readings: dict[str, float]) -> Next | None:
    """The line that best separates what is left; None when nothing more would be learnt.

    Parameters
    ----------
    sheet : the test sheet
    kept : suspicions with their shares
    sound : [-] share of all being well
    readings : [inside unit] what was read, by key
    """
    suspects = sorted(((one, part) for one, part in kept if isinstance(one, Suspect)), key=lambda pair: -pair[1])[:MOST]
    found = [
        _best_of(block, lines, suspects, sound, readings)
        if any(line.key in readings for line in block.lines)
        else _untouched(sheet, block, lines, sound, readings)
        for block in sheet.blocks
        if (lines := unread(block, readings)).size
    ]
    told = [one for one in found if one is not None and one.bits >= LEAST_BITS]
    return max(told, key=lambda one: one.bits, default=None)


def _untouched(
    sheet: Sheet, block: Block, lines: NDArray[np.intp], sound: float, readings: dict[str, float]
) -> Next | None:
    """The first line of a side where nothing has been read; worth more the likelier all is well elsewhere."""
    if block.name not in sheet.told_first:
        sheet.told_first[block.name] = _from_nothing(sheet, block)
    bits = sheet.told_first[block.name][lines] * sound / SOUND
    top = int(np.argmax(bits))
    dead = next((one for one in sheet.blocks if one.name == "dead"), None)
    undone = dead is not None and dead is not block and any(line.key not in readings for line in dead.lines)
    return Next(block.lines[lines[top]], float(bits[top]), UNTOUCHED + (POWER_ON if undone else ""))


def _from_nothing(sheet: Sheet, block: Block) -> Floats:
    """What each line of a block tells [bit], (lines,), when nothing is known but how often each fault is met."""
    heard, lines = Heard(block, {}), np.arange(len(block.lines))
    weight = np.array([one.fault.weight for one in block.faults])
    heaviest = np.argsort(-weight)[:MOST]
    total = sum(one.fault.weight for each in sheet.blocks for one in each.faults)
    said = [(Scored(block.healthy, 0.0, 0.0, float("inf")), 0.0)]
    for signature in (block.faults[k] for k in heaviest):
        last = len(signature.sizes) - 1
        places = [last * where for where in SIZES] if last else [0.0]
        chance = ONE * signature.fault.weight / total / len(places)
        said += [(Scored(signature, 0.0, place, 0.1 * last or float("inf")), chance) for place in places]
    share = np.array([part for _, part in said])
    share[0] = 1.0 - share.sum()
    ahead = [heard.ahead(scored, lines) for scored, _ in said]
    mean, deviation = np.array([m for m, _ in ahead]), np.array([d for _, d in ahead])
    return _bits(block, lines, share, mean, deviation) * _ease(block, lines)


def _ease(block: Block, lines: NDArray[np.intp]) -> Floats:
    return np.array([1.0 if block.lines[line].routine else CLOSER for line in lines])


def _best_of(
    block: Block,
    lines: NDArray[np.intp],
    suspects: list[tuple[Suspect, float]],
    sound: float,
    readings: dict[str, float],
) -> Next | None:
    heard = Heard(block, readings)
    healthy = Scored(block.healthy, 0.0, 0.0, float("inf"))
    here = [(one, part) for one, part in suspects if one.heard.block is block]
    elsewhere = sum(part for one, part in suspects if one.heard.block is not block)
    said = [(healthy, sound + elsewhere, heard), *((one.scored, part, one.heard) for one, part in here)]
    ahead = [each.ahead(scored, lines) for scored, _, each in said]
    share = np.array([part for _, part, _ in said])
    if share.sum() <= 0.0:
        return None  # nothing but a slip of the pen is left: that line is read again first
    share = share / share.sum()
    mean, deviation = np.array([m for m, _ in ahead]), np.array([d for _, d in ahead])
    bits = _bits(block, lines, share, mean, deviation)
    top = int(np.argmax(bits * _ease(block, lines)))
    if bits[top] <= 0.0:
        return None
    line = block.lines[lines[top]]
    return Next(line, float(bits[top]), _why(line.asks, share, mean[:, top], said))


def _bits(block: Block, lines: NDArray[np.intp], share: Floats, mean: Floats, deviation: Floats) -> Floats:
    """What each line would tell [bit], (l,); a fault that says nothing of a line may read anything there."""
    unknown = np.isnan(mean)
    wide = np.array([WIDE[block.lines[line].asks] for line in lines])
    bits = told_apart_bits(share, np.where(unknown, mean[0], mean), np.where(unknown, wide, deviation))
    yes = np.clip(np.nan_to_num(mean, nan=0.5), meters.SLIP, 1.0 - meters.SLIP)
    mixed = share @ yes
    each = yes * np.log2(yes / mixed) + (1.0 - yes) * np.log2((1.0 - yes) / (1.0 - mixed))
    return np.where(block.yes_no[lines], share @ each, bits)


def _why(asks: str, share: Floats, mean: Floats, said: list[tuple[Scored, float, Heard]]) -> str:
    """What the line would read under the two likeliest suspicions that it separates."""
    from trailerlib.studies.closing import words

    order = np.argsort(-share)
    first = int(order[0])
    apart = next((int(k) for k in order[1:] if not np.isclose(mean[k], mean[first], rtol=0.02)), None)
    if apart is None:
        return ""
    return words.either_or(asks, (said[first][0].fault, float(mean[first])), (said[apart][0].fault, float(mean[apart])))
