"""What a fuse and its wire do to each other, in sentences."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

from trailerlib import units
from trailerlib.physics.time_current import Device
from trailerlib.pictures.lettering import broken
from trailerlib.rules.finding import MARKS
from trailerlib.studies.guard import FarEnd, Guard
from trailerlib.units import show

SIZE, ROOM = 12.0, 504.0  # [px] letters and length of a line
MOST_LINES = 4
STRAIGHT_C = 250.0  # above it copper no longer follows a straight line, and the number would only mislead
HELD = "\u00a0"
LET_THROUGH_S = 0.01  # below it only the let-through figure of the maker counts
KINDS = {"class t": "class T fuse", "breaker": "breaker"}


def device_name(device: Device) -> str:
    """A device as one says it, such as ``10 A blade fuse``."""
    return f"{device.rating_a:g} A {KINDS.get(device.name, f'{device.name} fuse')}"


def said(guard: Guard, others: Sequence[Guard], system: units.System) -> list[tuple[str, str]]:
    """Lines of words with their tint: what is not checked, what a short at the far end does, and what is wrong."""
    found: list[tuple[str, str]] = []
    if guard.reason:
        found.append((f"{MARKS['not checked']} Not checked: {guard.reason.rstrip('.')}.", "watch"))
    if guard.far_end is not None:
        found.append(_far(guard, guard.far_end, system))
    found += _wrong(guard)
    for other in others:
        first = guard.main_from_a(other.device)
        if first is not None and other.device is not None and first < (guard.prospective_a or 0.0):
            found.append((f"From {show(first, 'current')} on the {device_name(other.device)} may open first.", "ink"))
    lines: list[tuple[str, str]] = []
    for words, tint in found:
        room = MOST_LINES - len(lines)
        if room:
            held = re.sub(r"(?<=\d) (?=\D)", HELD, words)  # a number stays with its unit
            lines += [(line.replace(HELD, " "), tint) for line in broken(held, SIZE, ROOM, min(room, 2))]
    return lines


def _wrong(guard: Guard) -> list[tuple[str, str]]:
    """A short or an overload that may last longer than the wire stands, and a source too weak to open anything."""
    found = []
    fault, slow, most = guard.guarded_to_a, guard.slow_from_a, guard.prospective_a
    if guard.device is not None and most is not None and most <= guard.device.rating_a:
        words = f"A short draws no more than {show(most, 'current')}: it need never open."
        found.append((f"{MARKS['stop']} {words}", "stop"))
    elif fault is not None and most is not None and fault < most:
        words = f"A short of {show(fault, 'current')} may damage the wire before it opens."
        found.append((f"{MARKS['stop']} {words}", "stop"))
    if slow is not None and guard.opens_a is not None and slow < min(guard.opens_a, math.inf if most is None else most):
        words = f"An overload of {show(slow, 'current')} may last longer than the wire should stand."
        found.append((f"{MARKS['fix']} {words}", "watch"))
    return found


def _far(guard: Guard, far: FarEnd, system: units.System) -> tuple[str, str]:
    limit = guard.limit_c
    too_hot = limit is not None and far.wire_c > limit + 1e-6
    heat = show(min(far.wire_c, STRAIGHT_C), "temperature", system)
    heat = f"over {heat}" if far.wire_c > STRAIGHT_C else heat
    reaches = f"{heat} of {show(limit, 'temperature', system)}"
    if math.isinf(far.most_s):
        does = f"it need not open, the wire settles at {reaches}"
        does = does if far.wire_c <= STRAIGHT_C else f"it need not open, the wire reaches {reaches}"
    else:
        does = f"opens within {_times(far.least_s, far.most_s)}, the wire reaches {reaches}"
    mark = f"{MARKS['stop']} " if too_hot else ""
    return f"{mark}A short at the far end draws {show(far.current_a, 'current')}: {does}.", "stop" if too_hot else "ink"


def _times(least_s: float, most_s: float) -> str:
    """Soonest and latest opening; what is sooner than a device can be trusted for is left out."""
    if most_s <= LET_THROUGH_S:
        return _time(LET_THROUGH_S)
    if least_s < LET_THROUGH_S:
        return _time(most_s)
    first, last = _time(least_s), _time(most_s)
    number, unit = first.rsplit(" ", 1)
    return f"{number}–{last}" if last.endswith(f" {unit}") else f"{first} to {last}"


def _time(seconds: float) -> str:
    """A time as one says it."""
    if seconds < 100.0:
        return f"{units.figures(seconds, 2)} s"
    if seconds < 5400.0:
        return f"{units.figures(seconds / 60.0, 2)} min"
    return f"{units.figures(seconds / 3600.0, 2)} h"
