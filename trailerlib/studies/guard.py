"""What guards a wire: the band of its fuse or breaker against what the wire stands, from overload to dead short."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from trailerlib import reference
from trailerlib.design.catalogue import wire as wire_size
from trailerlib.physics.heating import damage_seconds
from trailerlib.physics.time_current import (
    Device,
    band,
    chart_currents_a,
    coordinates,
    device_of,
    guards_wire,
    opening_at_far_end,
)
from trailerlib.studies.ampacity import Ampacity
from trailerlib.studies.feeder import Floats

QUICK_S = 5.0  # IEC 60364-4-41 411.3.2.3
POINTS = 160  # currents a curve is compared at


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
        """Lowest current the device lets flow longer than the wire stands [A]; the prospective one when there is none.

        A fuse is compared from the current at which its standard wants it to open. A breaker is compared from where it
        opens within 5 s: its limits for overload are type-test extremes that no wire in the code's own pairing would
        pass, and there the rule that the rating is not above the ampacity takes care (240.4).
        """
        if self.device is None or self.wire is None or self.prospective_a is None:
            return None
        if self.prospective_a <= self.device.rating_a:
            return None
        current = chart_currents_a(self.device, self.prospective_a, POINTS)
        current = current[current >= self._compared_from_a]
        most = np.asarray(band(self.device, current)[1])
        wrong = guards_wire(current, most, self.wire.damage_s(current)) if current.size else ()
        return wrong[0][0] if wrong else self.prospective_a

    @property
    def _compared_from_a(self) -> float:
        if self.device is None:
            return 0.0
        if self.device.name == "breaker" and self.opens_a is not None:
            return self.opens_a
        return self.device.certain_a

    def main_from_a(self, main: Device | None) -> float | None:
        """Lowest current at which the main may open before this device [A]; the prospective one when there is none.

        Parameters
        ----------
        main : the device nearer to the source
        """
        if self.device is None or main is None or self.prospective_a is None:
            return None
        if self.prospective_a <= self.device.rating_a:
            return None
        wrong = coordinates(main, self.device, chart_currents_a(self.device, self.prospective_a, POINTS))
        return wrong[0][0] if wrong else self.prospective_a


@lru_cache(maxsize=512)
def device(name: str, rating_a: float) -> tuple[Device | None, str]:
    """The published limits of a device, and when there are none, why.

    Parameters
    ----------
    name : kind of device, as a circuit names it
    rating_a : [A] rating
    """
    try:
        return device_of(reference.table("time_current").rows, name, rating_a), ""
    except ValueError as error:
        return None, str(error)


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
    fuse: tuple[Device | None, str],
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
    """The wire begins at its rating: on the safe side."""
    least, most, hot = opening_at_far_end(
        fuse, far_a, behind.area_m2, behind.ampacity_a, behind.ambient_c, behind.rating_c, behind.rating_c
    )
    return FarEnd(far_a, float(least), float(most), float(hot))


def opens_within_a(fuse: Device, seconds: float = QUICK_S) -> float:
    """Least current at which a device surely opens within a time [A]; infinite when it never does.

    Parameters
    ----------
    fuse : the device
    seconds : [s] time
    """
    multiples, times = fuse.most
    if times[0] <= seconds:
        return float(multiples[0]) * fuse.rating_a
    if times[-1] > seconds:
        beyond = float(multiples[-1] * np.sqrt(times[-1] / seconds)) if fuse.most_falls else np.inf
        return beyond * fuse.rating_a
    return float(np.exp(np.interp(-np.log(seconds), -np.log(times), np.log(multiples)))) * fuse.rating_a


def interrupting_a(name: str) -> float | None:
    """Lowest interrupting rating of a class of device [A]; None where no table lists it."""
    return _interrupting().get(name)


@lru_cache(maxsize=1)
def _interrupting() -> Mapping[str, float]:
    lowest: dict[str, float] = {}
    for row in reference.table("fuse_interrupting").rows:
        name = row["device"].lower().split(",")[0]
        lowest[name] = min(lowest.get(name, np.inf), float(row["rating_a"]))
    return lowest
