"""How often the cooler starts on the hottest day, and how sure that is."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from trailerlib import times, units
from trailerlib.design.design import Design
from trailerlib.studies.answer import names
from trailerlib.studies.cooling import hold
from trailerlib.studies.cooling.case import FOLLOWS
from trailerlib.studies.cooling.result import Result, result_of
from trailerlib.studies.kept import Kept

MORE_OR_LESS = 2.0  # what follows the air at once may be half or twice as much
_STARTS: Kept[Starts | None] = Kept()


@dataclass(frozen=True)
class Starts:
    """Starts in the busiest hour [1/h], and the same where half or twice as much follows the air at once.

    ``apart_s`` [s] is the shortest time from one start to the next, None with fewer than two.
    """

    per_h: float
    with_half_per_h: float
    with_twice_per_h: float
    apart_s: float | None

    @property
    def span(self) -> str:
        """Fewest and most of the three, in words."""
        few, *_, most = sorted((self.per_h, self.with_half_per_h, self.with_twice_per_h))
        return f"{few:.0f}" if few == most else f"{few:.0f} to {most:.0f}"


def starts_of(design: Design) -> Starts | None:
    """The starts of a design's coolers on its hottest day; None without one, or where the day is not known."""
    found = result_of(design)
    return _STARTS.of((found,), lambda: _starts(design, found))


def _starts(design: Design, found: Result) -> Starts | None:
    case, need, cooler, set_c = found.case, found.asked, found.cooler, design.comfort.set_point
    if case is None or need is None or cooler is None or set_c is None:
        return None
    half, twice = (
        hold.cycles(
            replace(case, box=replace(case.box, air_j_per_k=case.box.air_j_per_k * share)),
            need, set_c, design.comfort.band, cooler.rated_w,
        ).starts_per_h(hold.STEP_S)
        for share in (1.0 / MORE_OR_LESS, MORE_OR_LESS)
    )  # fmt: skip
    apart = np.diff(cooler.cycles.switched_s[::2])
    return Starts(cooler.starts_per_h, half, twice, float(apart.min()) if apart.size else None)


def rests_on(design: Design) -> str:
    """What the count of starts rests on, in a sentence; empty where it is not known."""
    found = starts_of(design)
    if found is None or found.per_h == 0.0:
        return ""
    return (
        f"How often it starts rests on what follows the air at once: taken as {FOLLOWS:g} times what the air itself "
        f"holds (common practice, no source). With half of that it starts {found.with_half_per_h:.0f} times in its "
        f"busiest hour, with twice {found.with_twice_per_h:.0f} times."
    )


def on_the_mains(design: Design) -> str:
    """How much the coolers run on the hottest day and how often their start current comes; empty without one."""
    fitted = names(f"the {load.name}" for load in hold.coolers(design))
    if not fitted:
        return ""
    found, cooler = starts_of(design), result_of(design).cooler
    if found is None or cooler is None:
        return f"How often {fitted} would start is not known: question 06 says what it needs."
    share = units.show(cooler.duty, "fraction", design.units)
    run, start, it, draw = (
        ("runs", "starts", "it", "draws") if len(cooler.names) == 1 else ("run", "start", "they", "draw")
    )
    if found.per_h == 0.0:
        return f"On the hottest day {fitted} never {start}."
    often = f"{found.span} times in the busiest hour" if found.per_h != 1.0 or found.span != "1" else "once an hour"
    close = "" if found.apart_s is None else (
        f", {times.span(found.apart_s / 3600.0)} apart at the closest, of which the compressor rests "
        f"{hold.PAUSE_S / 60.0:.0f} min at least"
    )  # fmt: skip
    return (
        f"On the hottest day {fitted} {run} {share} of the day and {start} {often}{close}; the current of the start "
        f"comes as often. The moments here count what {it} {draw} without a rest."
    )
