"""What guards a wire: the band of its fuse or breaker against what the wire stands, from overload to dead short."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from trailerlib import reference
from trailerlib.design.wire_sizes import wire as wire_size
from trailerlib.physics.time_current import (
    Device,
    band,
    chart_currents_a,
    coordinates,
    guards_wire,
    opening_at_far_end,
)
from trailerlib.physics.wire_damage import damage_seconds
from trailerlib.studies.ampacity import Ampacity
from trailerlib.studies.devices import QUICK_S, Found, device, fault_from_a, opens_within_a
from trailerlib.studies.feeder import Floats

POINTS = 300  # currents a curve is compared at
GREATEST_A = 50_000.0  # no battery or pedestal of a trailer drives more into a short


@dataclass(frozen=True)
class Wire:
    """The wire as its protection sees it: area [m²], ampacity of the insulation as laid [A], air and limits [°C]."""

    area_m2: float
    ampacity_a: float
    ambient_c: float
    rating_c: float
    emergency_c: float
    short_c: float

    def damage_s(self, current_a: Floats) -> Floats:
        """How long it stands each current [s], beginning at its rating.

        Parameters
        ----------
        current_a : [A] shape (n,)
        """
        stands = damage_seconds(
            current_a,
            self.area_m2,
            self.ampacity_a,
            self.ambient_c,
            self.rating_c,
            self.rating_c,
            self.short_c,
            self.emergency_c,
        )
        return np.asarray(stands, dtype=float)


@dataclass(frozen=True)
class FarEnd:
    """A dead short at the far end: its current [A], soonest and latest opening [s], wire temperature by then [°C]."""

    current_a: float
    least_s: float
    most_s: float
    wire_c: float


@dataclass(frozen=True)
class Guard:
    """One circuit's device and wire. What is not known is None, and ``reason`` says why nothing can be compared.

    ``prospective_a`` is the short-circuit current right behind the device [A], ``load_a`` what it carries in use,
    ``opens_a`` the least current at which it surely opens within 5 s.
    """

    device: Device | None
    wire: Wire | None
    prospective_a: float | None
    load_a: float | None
    far_end: FarEnd | None
    opens_a: float | None
    reason: str = ""

    @property
    def limit_c(self) -> float | None:
        """What the insulation stands until the latest opening at the far end [°C]."""
        if self.wire is None or self.far_end is None:
            return None
        if self.far_end.most_s <= QUICK_S:
            return self.wire.short_c
        return self.wire.emergency_c if self.far_end.most_s <= 3600.0 else self.wire.rating_c

    @property
    def guarded_to_a(self) -> float | None:
        """Lowest fault current the device lets flow longer than the wire stands [A]; the prospective one without any.

        Compared from the current that opens a fuse within 5 s, a breaker by its magnetic part; what is slower is an
        overload.
        """
        if self.device is None or self.wire is None or self.prospective_a is None:
            return None
        first = _unguarded_from_a(self.device.name, self.device.rating_a, self.wire, fault_from_a(self.device))
        return min(first, self.prospective_a)

    @property
    def slow_from_a(self) -> float | None:
        """Lowest overload that may last longer than the wire should stand [A]; that of ``opens_a`` without any.

        None for a breaker: its limits for overload are type-test extremes that no wire in the code's own pairing would
        pass; there the rule that the rating is not above the ampacity takes care (240.4).
        """
        if self.device is None or self.wire is None or self.opens_a is None or self.device.name == "breaker":
            return None
        first = _unguarded_from_a(self.device.name, self.device.rating_a, self.wire, self.device.certain_a)
        return min(first, self.opens_a)

    def main_from_a(self, main: Device | None) -> float | None:
        """Lowest current at which the main may open before this device [A]; the prospective one when there is none.

        Parameters
        ----------
        main : the device nearer to the source
        """
        if self.device is None or main is None or self.prospective_a is None:
            return None
        first = _main_first_from_a(main.name, main.rating_a, self.device.name, self.device.rating_a)
        return min(first, self.prospective_a)


@lru_cache(maxsize=4096)
def _unguarded_from_a(name: str, rating_a: float, behind: Wire, start: float) -> float:
    fuse = device(name, rating_a)[0]
    if fuse is None:
        return 0.0
    current = chart_currents_a(fuse, GREATEST_A, POINTS)
    current = current[current >= start]
    wrong = guards_wire(current, np.asarray(band(fuse, current)[1]), behind.damage_s(current))
    return wrong[0][0] if wrong else np.inf


@lru_cache(maxsize=1024)
def _main_first_from_a(main_name: str, main_a: float, name: str, rating_a: float) -> float:
    main, fuse = device(main_name, main_a)[0], device(name, rating_a)[0]
    if main is None or fuse is None:
        return 0.0
    wrong = coordinates(main, fuse, chart_currents_a(fuse, GREATEST_A, POINTS))
    return wrong[0][0] if wrong else np.inf


@lru_cache(maxsize=4096)
def wire(size: str, insulation: str, carry: Ampacity, ambient_c: float | None) -> Wire | None:
    """A wire with its limits; None when its air, bundle or table value is not known.

    Parameters
    ----------
    size : such as ``12 AWG``
    insulation : such as ``90 C``
    carry : what it may carry as laid
    ambient_c : [°C] air around it
    """
    if carry.table_a is None or carry.ambient is None or carry.bundle is None or ambient_c is None:
        return None
    own_a = carry.table_a * carry.ambient * carry.bundle  # the terminals' limit is not the insulation's
    if own_a <= 0.0 or ambient_c >= carry.rating_c:
        return None
    limits = reference.table("insulation_limits").row(insulation=insulation)
    return Wire(
        wire_size(size).area_m2,
        own_a,
        ambient_c,
        carry.rating_c,
        float(limits["emergency_c"]),
        float(limits["short_c"]),
    )


def guard(
    fuse: Found,
    behind: Wire | None,
    prospective_a: float | None,
    far_a: float | None,
    load_a: float | None,
) -> Guard:
    """Everything that can be said of one device and its wire.

    Parameters
    ----------
    fuse : the device, or None and why
    behind : the wire
    prospective_a : [A] short-circuit current right behind the device, the greatest that can be
    far_a : [A] short-circuit current at the far end, the least that can be
    load_a : [A] in use
    """
    found, reason = fuse
    if not reason and behind is None:
        reason = "the air or the bundle of the wire is not known"
    if not reason and (prospective_a is None or far_a is None):
        reason = "what its source can drive into a short is not known"
    far = _far_end(found, behind, far_a) if found is not None and behind is not None and far_a is not None else None
    return Guard(found, behind, prospective_a, load_a, far, None if found is None else opens_within_a(found), reason)


def _far_end(fuse: Device, behind: Wire, far_a: float) -> FarEnd:
    return _far_end_of(fuse.name, fuse.rating_a, behind, float(far_a))


@lru_cache(maxsize=4096)
def _far_end_of(name: str, rating_a: float, behind: Wire, far_a: float) -> FarEnd:
    fuse = device(name, rating_a)[0]
    assert fuse is not None
    least, most, hot = _opening(fuse, [behind], np.array([far_a]))
    return FarEnd(far_a, float(least[0]), float(most[0]), float(hot[0]))


def _opening(fuse: Device, behind: Sequence[Wire], far_a: Floats) -> tuple[Floats, Floats, Floats]:
    """Soonest and latest opening [s] and the temperature by then [°C]; a wire begins at its rating, the safe side."""
    area, ampacity, ambient, rating = (
        np.array([getattr(wire, key) for wire in behind]) for key in ("area_m2", "ampacity_a", "ambient_c", "rating_c")
    )
    least, most, hot = opening_at_far_end(fuse, far_a, area, ampacity, ambient, rating, rating)
    return np.asarray(least), np.asarray(most), np.asarray(hot)


def glow(fuse: Device, behind: Sequence[Wire], far_a: Floats, block_a: float | None) -> list[bool]:
    """Behind which of several wires a short opens a device too late, for 5 s or for the wire.

    Parameters
    ----------
    fuse : the device
    behind : the wires
    far_a : [A] short-circuit current at the far end of each, shape (n,)
    block_a : [A] short-circuit current right behind the device, None when not known
    """
    if not behind:
        return []
    _, most, hot = _opening(fuse, behind, far_a)
    late = (far_a < opens_within_a(fuse)) | (hot > np.array([w.short_c for w in behind])) | (most > QUICK_S)
    if block_a is None:
        return [bool(wrong) for wrong in late]
    start = fault_from_a(fuse)
    return [
        bool(wrong) or _unguarded_from_a(fuse.name, fuse.rating_a, wire, start) < block_a
        for wrong, wire in zip(late, behind, strict=True)
    ]
