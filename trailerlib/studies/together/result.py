"""What is found of one supply: what is free, the largest sets, the smallest that do not hold, what opens and when."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

import numpy as np

from trailerlib import units
from trailerlib.physics.together import Bools
from trailerlib.studies.together.limits import Limit
from trailerlib.studies.together.switches import Switch

REST_MIN = 3.0  # a compressor that starts against its own pressure stalls; common practice, no source


@dataclass(frozen=True)
class Trip:
    """A limit that is passed: what flows through it [A or W], and its soonest and latest opening [s].

    Infinite where the standard sets no time, or where nothing opens.
    """

    limit: Limit
    value: float
    least_s: float
    most_s: float

    @property
    def stop(self) -> bool:
        """Whether nothing opens and the part only heats."""
        return self.limit.kind in ("cord", "inlet wire", "adapter")

    @property
    def when(self) -> str:
        """What happens, about when."""
        if self.stop:
            return "heats, nothing in it opens"
        if self.limit.kind in ("generator", "power"):
            return "overloads: it stalls or its own breaker opens"
        return "may hold for hours or open" if math.isinf(self.most_s) else f"opens within {duration(self.most_s)}"

    @property
    def load(self) -> str:
        """How much it carries, of how much: ``37.2 of 30 A``."""
        return share_words(self.limit, self.value)


@dataclass(frozen=True)
class Start:
    """A start that does not go with everything else of a set on; ``first`` is the order that works, else empty.

    ``again``: a thermostat starts it later by itself, with the rest on.
    """

    name: str
    limit: str
    first: tuple[str, ...]
    again: bool

    @property
    def words(self) -> str:
        """What to do, as a few words."""
        if not self.first:
            return f"{self.name} does not start with these on, in any order"
        later = "; its thermostat starts it again later, it may stall with the rest on" if self.again else ""
        return f"start {', then '.join(self.first)} first{later}"


@dataclass(frozen=True)
class Combination:
    """A set that holds and to which nothing can be added; without what is always fine, which may be on as well.

    ``limit`` is the one with the least room, ``value`` what flows there with all that is always fine on [A or W].
    """

    on: tuple[str, ...]
    watts: float
    lasts: bool
    limit: Limit
    value: float
    starts: tuple[Start, ...] = ()


@dataclass(frozen=True)
class Forbidden:
    """A set that does not hold: every limit it passes, the first to open in front, and what to switch off in turn."""

    on: tuple[str, ...]
    trips: tuple[Trip, ...]
    switch_off: tuple[str, ...]
    rests: bool

    @property
    def first(self) -> Trip:
        """What opens first."""
        return self.trips[0]

    @property
    def together_with(self) -> tuple[Trip, ...]:
        """What opens first and whatever has the same rating and the same load: either may be the one."""
        one = self.first
        if one.limit.kind != "breaker":
            return (one,)
        alike = [t for t in self.trips if t.limit.kind == "breaker" and t.limit.rating == one.limit.rating]
        return tuple(t for t in alike if abs(t.value - one.value) < 1e-9)

    @property
    def stops(self) -> tuple[Trip, ...]:
        """What only heats meanwhile."""
        return tuple(trip for trip in self.trips if trip.stop)


@dataclass(frozen=True)
class Lists:
    """The largest sets that hold for good, and at all, the smallest that do not, and how many there are of each."""

    for_good: tuple[Combination, ...] = ()
    for_good_count: int = 0
    combinations: tuple[Combination, ...] = ()
    combinations_count: int = 0
    under_three_hours_count: int = 0
    forbidden: tuple[Forbidden, ...] = ()
    forbidden_count: int = 0


@dataclass(frozen=True)
class Together:
    """One supply. ``volts`` is the voltage of a leg at no load [V], ``volts_are`` where it is from, ``lowest_v`` the
    lowest at the panel of any set that passes no limit [V]; ``gaps`` says what keeps it from being a pass, ``dead``
    what cannot run on it because it runs between two legs and one arrives, ``not_starting`` the motors that do not
    start on it even with everything else off; no list of sets holds one of these.

    ``free`` never decides; the rest are ``deciding``, the largest current first. ``holds`` and ``lasts`` tell of every
    combination of them, as bit masks, whether it holds at all, and for three hours and more. ``free_lasts`` tells
    whether what is free holds for good by itself.
    """

    supply: str
    kind: str
    volts: float
    volts_are: Literal["nominal", "measured", "supposed"]
    switches: tuple[Switch, ...]
    limits: tuple[Limit, ...]
    gaps: tuple[str, ...]
    lowest_v: float = 0.0
    dead: tuple[str, ...] = ()
    not_starting: tuple[str, ...] = ()
    free: tuple[Switch, ...] = ()
    deciding: tuple[Switch, ...] = ()
    free_lasts: bool = True
    everything: Forbidden | None = None
    too_many: str = ""
    holds: Bools | None = field(default=None, compare=False, repr=False)
    lasts: Bools | None = field(default=None, compare=False, repr=False)
    show_lists: Callable[[], Lists] = field(default=Lists, compare=False, repr=False)

    @cached_property
    def _lists(self) -> Lists:
        """Worked out when somebody looks at them: a verdict does not need them."""
        return self.show_lists()

    @property
    def for_good(self) -> tuple[Combination, ...]:
        """The largest sets that hold three hours and more, most watts first."""
        return self._lists.for_good

    @property
    def for_good_count(self) -> int:
        """How many of them there are."""
        return self._lists.for_good_count

    @property
    def combinations(self) -> tuple[Combination, ...]:
        """The largest sets that hold at all, most watts first."""
        return self._lists.combinations

    @property
    def combinations_count(self) -> int:
        """How many of them there are."""
        return self._lists.combinations_count

    @property
    def under_three_hours_count(self) -> int:
        """How many of them do not hold for good."""
        return self._lists.under_three_hours_count

    @property
    def forbidden(self) -> tuple[Forbidden, ...]:
        """The smallest sets that do not hold, fewest switches first."""
        return self._lists.forbidden

    @property
    def forbidden_count(self) -> int:
        """How many of them there are."""
        return self._lists.forbidden_count

    @property
    def always(self) -> tuple[Switch, ...]:
        """What may be on with anything: what never decides, less what does not start here."""
        return tuple(switch for switch in self.free if switch.name not in self.not_starting)

    @cached_property
    def most_w(self) -> float | None:
        """Most power that may run together, with what is always fine [W]; None when it is not worked out."""
        if self.holds is None:
            return None
        watts = np.zeros(1)
        for switch in self.deciding:
            watts = np.concatenate([watts, watts + switch.watts])
        return sum(switch.watts for switch in self.free) + float(watts[self.holds].max(initial=0.0))

    @property
    def volts_words(self) -> str:
        """The voltage at no load, where it is from, and the lowest the panel gets, in few words."""
        drop = f", {units.figures(self.lowest_v)} V at worst" if self.volts - self.lowest_v > 0.05 else ""
        return f"{units.figures(self.volts)} V {self.volts_are}{drop}"

    @property
    def checked(self) -> bool:
        """Whether every limit is known, so that what holds is a pass."""
        return not self.gaps and not self.too_many

    @property
    def under_three_hours(self) -> tuple[Combination, ...]:
        """The largest sets that hold, but not for good."""
        return tuple(one for one in self.combinations if not one.lasts)

    def allows(self, names: Iterable[str]) -> bool | None:
        """Whether these may run together now, with all that is always fine; None when it is not checked.

        What is dead on this supply draws nothing.
        """
        if self.holds is None:
            return None
        wanted = set(names) - set(self.dead)
        known = {s.name for s in self.switches}
        if not wanted <= known:
            raise ValueError(f"there is no switch called {', '.join(sorted(wanted - known))}.")
        return False if not self.holds[self._mask(wanted)] else (True if self.checked else None)

    def holds_for_good(self, names: Iterable[str]) -> bool:
        """Whether these may run together three hours and more, as far as the limits are known."""
        return self.lasts is not None and bool(self.lasts[self._mask(set(names))])

    def _mask(self, wanted: set[str]) -> int:
        return sum(1 << i for i, s in enumerate(self.deciding) if s.name in wanted)


def share_words(limit: Limit, value: float) -> str:
    """How much a limit carries, of how much: ``37.2 of 30 A``, ``2.31 of 2.2 kW``.

    Parameters
    ----------
    limit : the limit
    value : [A or W] what flows through it
    """
    scale, unit = (1e-3, "kW") if limit.unit == "W" else (1.0, "A")
    return f"{units.figures(value * scale)} of {limit.rating * scale:.3g} {unit}"


_STEPS = (("s", 1.0, 1, 10), ("s", 1.0, 10, 90), ("min", 60.0, 1, 15), ("min", 60.0, 5, 55))


def duration(seconds: float) -> str:
    """A time rounded up to what a person would say: ``8 s``, ``4 min``, ``1 h``.

    Parameters
    ----------
    seconds : [s] finite
    """
    for unit, size, step, top in _STEPS:
        value = _up(seconds / size / step) * step
        if value <= top:
            return f"{max(value, step)} {unit}"
    return f"{_up(seconds / 3600.0)} h"


def _up(value: float) -> int:
    return math.ceil(round(value, 6))
