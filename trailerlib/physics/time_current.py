"""When a fuse or breaker opens: its band, against the device behind it and against the wire it guards.

The band comes from limits a standard publishes at a few multiples of the rating. Between two of them both edges are
drawn straight on double logarithmic paper. A real edge sags below that line: the slow edge is then on the safe side
for the wire, the fast edge up to some tens of percent late for a device in front.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics.formula import Number
from trailerlib.physics.wire_damage import temperature_after_c

Floats = NDArray[np.float64]
Stretches = tuple[tuple[float, float], ...]
_ROUNDING = 1e-12  # 1.35 times 7.5 A must reach the 135 % row whatever the last binary digit says


@dataclass(frozen=True)
class Device:
    """A fuse or breaker of one rating and its published limits.

    ``least`` and ``most`` are pairs of arrays (multiple of the rating, seconds): it opens no sooner, no later.
    Below ``hold`` times the rating it carries the current for good. ``most_falls`` says how the slow edge goes on
    beyond the table: with constant I²t, or level where a mechanism has to move.
    """

    name: str
    rating_a: float
    hold: float
    least: tuple[Floats, Floats]
    most: tuple[Floats, Floats]
    most_falls: bool

    @cached_property
    def paper(self) -> tuple[tuple[Floats, Floats], tuple[Floats, Floats]]:
        """Both edges on double logarithmic paper."""
        least, most = ((np.log(at), np.log(seconds)) for at, seconds in (self.least, self.most))
        return least, most

    @property
    def certain_a(self) -> float:
        """The smallest current at which the standard wants it to open at all [A]."""
        return float(self.most[0][0]) * self.rating_a

    @property
    def published_to_a(self) -> float:
        """The largest current the table speaks of [A]; beyond it the band is our continuation."""
        return float(min(self.least[0][-1], self.most[0][-1])) * self.rating_a


def device_of(rows: Iterable[Mapping[str, str]], name: str, rating_a: float) -> Device:
    """A device of one rating, out of the rows of the table ``time_current``.

    Parameters
    ----------
    rows : rows with device, rating_from_a, rating_to_a, multiple, least_s, most_s, beyond
    name : ``blade``, ``maxi``, ``bolt-down``, ``terminal``, ``class t`` or ``breaker``
    rating_a : [A] rating

    Returns
    -------
    Device

    Raises
    ------
    ValueError
        When no row fits, or the rows that fit do not fall with the current.
    """
    fits = [r for r in rows if r["device"] == name and float(r["rating_from_a"]) <= rating_a <= float(r["rating_to_a"])]
    if not fits:
        raise ValueError(f"no published limits for a {name} of {rating_a:g} A; use the curve of its maker.")
    fits.sort(key=lambda row: float(row["multiple"]))
    least, most = _edge(fits, "least_s"), _edge(fits, "most_s")
    ends = {row["beyond"] for row in fits}
    if len(ends) != 1 or not ends <= {"i2t", "level"} or not (least[0].size and most[0].size):
        raise ValueError(f"{name} of {rating_a:g} A: the table needs both edges and one way to go on beyond them.")
    if any(np.any(np.diff(edge[0]) <= 0) or np.any(np.diff(edge[1]) > 0) for edge in (least, most)):
        raise ValueError(f"{name} of {rating_a:g} A: the published times must fall as the current grows.")
    return Device(name, rating_a, float(fits[0]["multiple"]), least, most, ends == {"i2t"})


def band(device: Device, current_a: Number) -> tuple[Number, Number]:
    """Soonest and latest time at which a device opens.

    Parameters
    ----------
    device : fuse or breaker
    current_a : [A] current, zero or more, any shape

    Returns
    -------
    [s] soonest and latest, each in the shape of the current. Soonest is inf below the hold point, latest inf below the
    first multiple at which the standard wants it open. Beyond the last published multiple (``Device.published_to_a``)
    the soonest follows constant I²t; the latest too, or stays level for a mechanism.

    Raises
    ------
    ValueError
        When a current is below zero or not a number.

    Source
    ------
    Table ``time_current``. Below about 10 ms only the let-through figure of the maker counts.
    """
    current = np.asarray(current_a, dtype=float)
    if not np.all(current >= 0.0):
        raise ValueError("band: a current is missing or below zero, so the device is not checked.")
    multiple = current / device.rating_a * (1.0 + _ROUNDING)
    least = np.where(multiple < device.hold, np.inf, _read(device.least, device.paper[0], multiple, falls=True))
    if device.least[0][0] > device.hold:  # no time stands at the hold point: it carries that much for good
        least = np.where(multiple <= device.hold * (1.0 + 2 * _ROUNDING), np.inf, least)
    most = np.where(
        multiple < device.most[0][0], np.inf, _read(device.most, device.paper[1], multiple, falls=device.most_falls)
    )
    return least[()], most[()]


def chart_currents_a(device: Device, up_to_a: float, count: int = 400) -> Floats:
    """Currents at which to compare curves: even on logarithmic paper, every published multiple among them.

    Parameters
    ----------
    device : fuse or breaker
    up_to_a : [A] prospective current, above the rating
    count : [-] how many even steps

    Returns
    -------
    [A] shape (n,), rising from the rating to the prospective current

    Raises
    ------
    ValueError
        When the prospective current is not above the rating.
    """
    if not up_to_a > device.rating_a:
        raise ValueError(f"a short draws {up_to_a:g} A, no more than the rating of {device.rating_a:g} A.")
    knots = np.unique(np.concatenate([device.least[0], device.most[0]])) * device.rating_a
    knots = knots[(knots > device.rating_a) & (knots < up_to_a)]
    return np.unique(np.concatenate([np.geomspace(device.rating_a, up_to_a, count), knots]))


def coordinates(upstream: Device, downstream: Device, current_a: Floats) -> Stretches:
    """The currents at which a device in front may open before the one behind it.

    Parameters
    ----------
    upstream : the device nearer to the source
    downstream : the device nearer to the fault
    current_a : [A] currents, shape (n,), rising up to the prospective current

    Returns
    -------
    [A] stretches from and to, as fine as the currents given; empty when the one behind always opens first, or neither
    opens.

    Raises
    ------
    ValueError
        When a current is missing or below zero, or they do not rise.
    """
    soonest, latest = np.asarray(band(upstream, current_a)[0]), np.asarray(band(downstream, current_a)[1])
    return _stretches(current_a, np.isfinite(soonest) & (soonest <= latest))


def guards_wire(current_a: Floats, most_s: Floats, damage_s: Floats) -> Stretches:
    """The currents at which a device may leave the wire too long on the fault.

    From the ampacity up to ``Device.certain_a`` no fuse has to open; there the codes rely on the rule that the rating
    is not above the ampacity.

    Parameters
    ----------
    current_a : [A] currents, shape (n,), rising from the rating to the prospective current
    most_s : [s] latest opening at each, shape (n,)
    damage_s : [s] time the wire stands each, shape (n,)

    Returns
    -------
    [A] stretches from and to, as fine as the currents given; empty when the device lies left of the wire everywhere

    Raises
    ------
    ValueError
        When a number is missing or the currents do not rise: then nothing has been checked.
    """
    if np.isnan(most_s).any() or np.isnan(damage_s).any():
        raise ValueError("guards_wire: a time is missing, so the wire is not checked.")
    return _stretches(current_a, np.asarray(most_s) > damage_s)


def opening_at_far_end(
    device: Device,
    current_a: Number,
    area_m2: Number,
    ampacity_a: Number,
    ambient_c: Number,
    rating_c: Number,
    initial_c: Number,
) -> tuple[Number, Number, Number]:
    """What a dead short at the far end of a run does: when the device opens, and how hot the wire is by then.

    Parameters
    ----------
    device : fuse or breaker at the beginning of the run
    current_a : [A] current of that short, with the wire warm: cold copper flatters it
    area_m2 : [m2] copper cross section
    ampacity_a : [A] ampacity at this very ambient temperature (corrected, bundled), above zero
    ambient_c : [degC] surroundings of the wire
    rating_c : [degC] conductor temperature the ampacity stands for
    initial_c : [degC] temperature before the short

    Returns
    -------
    [s] soonest, [s] latest, [degC] temperature at the latest opening; where it need not open, the temperature the wire
    settles at (inf where it runs away). Broadcast shape.

    Raises
    ------
    ValueError
        When a current is missing or below zero, or the wire can carry nothing.
    """
    least, most = band(device, current_a)
    return least, most, temperature_after_c(current_a, most, area_m2, ampacity_a, ambient_c, rating_c, initial_c)


def _edge(rows: list[Mapping[str, str]], column: str) -> tuple[Floats, Floats]:
    """The points of one edge that have a time: multiples and seconds."""
    points = [(float(row["multiple"]), float(row[column])) for row in rows if row[column] not in ("", "inf")]
    multiples, seconds = zip(*points, strict=True) if points else ((), ())
    return np.array(multiples, dtype=float), np.array(seconds, dtype=float)


def _read(edge: tuple[Floats, Floats], paper: tuple[Floats, Floats], multiple: Floats, *, falls: bool) -> Floats:
    """Straight on double logarithmic paper; level before the first point, level or I²t after the last."""
    at, _ = edge
    inside = np.exp(np.interp(np.log(np.maximum(multiple, at[0])), *paper))
    beyond = np.maximum(multiple / at[-1], 1.0)
    return np.asarray(inside / beyond**2 if falls else inside)


def _stretches(current_a: Floats, wrong: NDArray[np.bool_]) -> Stretches:
    """From and to of each unbroken run of currents that are marked."""
    current = np.asarray(current_a, dtype=float)
    if np.isnan(current).any() or np.any(np.diff(current) <= 0):
        raise ValueError("the currents to compare at must be there and rise.")
    edges = np.flatnonzero(np.diff(np.concatenate([[False], wrong, [False]]).astype(int)))
    return tuple((float(current[a]), float(current[b - 1])) for a, b in edges.reshape(-1, 2))
