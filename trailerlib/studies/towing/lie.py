"""How the loaded trailer lies: gross, balance point, coupler, axles and wheels, and where one thing may stand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from trailerlib import units
from trailerlib.design.model import Trailer
from trailerlib.physics import balance, tyre
from trailerlib.rules import road
from trailerlib.studies.towing.result import Strip, Thing

USUAL_SPREAD_M = 0.85  # from axle to axle where it is not given and does not count: for the drawing
AT_WALL_M = 0.005  # nearer than this is at the wall
USUAL_FLOOR_M, USUAL_AXLE = 0.5, 0.58  # the same


@dataclass(frozen=True)
class Lie:
    """The forces under a trailer [kg]; ``arm_m`` is the axle that carries, behind the coupler.

    ``axle_kg`` one for each axle, ``left_kg`` and ``right_kg`` of all wheels of a side, None without a track.
    """

    gross_kg: float
    centre: tuple[float, float]
    arm_m: float
    tongue_kg: float
    wheels_kg: float
    shares: tuple[float, ...]
    right_kg: float | None

    @property
    def share(self) -> float:
        """What of the weight is on the coupler [-]."""
        return self.tongue_kg / self.gross_kg

    @property
    def axle_kg(self) -> tuple[float, ...]:
        """What each axle carries [kg]."""
        return tuple(self.wheels_kg * share for share in self.shares)

    @property
    def sides_kg(self) -> tuple[float, float] | None:
        """What the left and the right wheels carry [kg]."""
        return None if self.right_kg is None else (self.wheels_kg - self.right_kg, self.right_kg)


def axles_of(box: Trailer) -> tuple[float, ...]:
    """The axles behind the nose wall [m]; where they are not given, as they are drawn."""
    middle = USUAL_AXLE * box.length if box.axle is None else box.axle
    spread = USUAL_SPREAD_M if box.axle_spread is None else box.axle_spread
    return tuple(middle + (number - (box.axles - 1) / 2) * spread for number in range(box.axles))


def tyre_kg(box: Trailer) -> float | None:
    """What one tyre carries at the air that is in it [kg]; as on its side wall where the air is not said."""
    if box.tyre_rating is None or box.tyre_full is None or box.tyre_pressure is None:
        return box.tyre_rating
    return float(tyre.carries_kg(box.tyre_rating, min(box.tyre_pressure, box.tyre_full), box.tyre_full))


def shares_alike(box: Trailer) -> bool:
    """Whether the axles are taken to carry alike; several on springs alone are not."""
    return box.axles == 1 or box.equaliser is not False or box.axle_spread is None


def lie_of(box: Trailer, things: Sequence[Thing]) -> Lie | None:
    """The forces under a trailer with these things aboard; None without its axle or the bare trailer.

    Parameters
    ----------
    box : the trailer
    things : all that weighs, the bare trailer among it
    """
    if box.axle is None or not any(thing.bare for thing in things):
        return None
    axles = np.array(axles_of(box)) - box.coupler_x
    alike = shares_alike(box)
    arm = float(balance.holding_axle_m(axles, shared=alike))
    masses = np.array([thing.mass_kg for thing in things])
    places = np.array([thing.at[:2] for thing in things]).T
    totals, centres = balance.centre_of_mass(masses, places)
    gross, (x, y) = float(np.max(totals)), (float(value) for value in centres)
    behind = x - box.coupler_x
    tongue, wheels = (float(part(gross, behind, arm)) for part in (balance.tongue_kg, balance.wheels_kg))
    shares = tuple(float(value) for value in balance.axle_shares(axles, shared=alike))
    return Lie(gross, (x, y), arm, tongue, wheels, shares, _right(box, gross, y, tongue, wheels))


def _right(box: Trailer, gross: float, y: float, tongue: float, wheels: float) -> float | None:
    if box.track is None:
        return None
    ball, left = box.width / 2, (box.width - box.track) / 2
    return float(balance.right_wheels_kg(gross, y, tongue, ball, wheels, left, box.track))


def strips_of(box: Trailer, things: Sequence[Thing], lie: Lie | None, system: units.System) -> tuple[Strip, ...]:
    """For everything that is moved by hand: where along the trailer it may stand so that all holds."""
    if lie is None:
        return ()
    window = tongue_window_kg(box, lie)
    return tuple(_strip(box, thing, lie, window, system) for thing in things if thing.path is not None)


def tongue_window_kg(box: Trailer, lie: Lie) -> tuple[float, float] | None:
    """What the coupler may carry so that share, axles, tyres and the tow vehicle's limit hold; None if nothing does.

    The weight stays what it is: all limits of axles and tyres are limits of the coupler's part too.
    """
    if any(rating is not None and lie.gross_kg > rating for rating in (box.gross_rating, box.coupler_rating)):
        return None
    low = max((road.TONGUE_LEAST * lie.gross_kg, *_least_on_coupler(box, lie)))
    high = road.TONGUE_MOST * lie.gross_kg
    high = high if box.tongue_limit is None else min(high, box.tongue_limit)
    return (low, high) if low <= high + 1e-9 else None


def _least_on_coupler(box: Trailer, lie: Lie) -> Iterator[float]:
    """What must be on the coupler so that no axle and no tyre carries too much [kg]."""
    most = max(lie.shares)
    if box.axle_rating is not None:
        yield lie.gross_kg - box.axle_rating / most
    carries = tyre_kg(box)
    if carries is None or box.track is None:
        return
    off = lie.centre[1] - box.width / 2
    for side in (-1.0, 1.0):
        yield float(balance.tongue_for_side_kg(lie.gross_kg, side * off, box.track, carries / most))


def _strip(box: Trailer, thing: Thing, lie: Lie, window: tuple[float, float] | None, system: units.System) -> Strip:
    front = box.coupler_x if thing.at[0] < 0 else 0.0
    reach = (front, max(box.length, thing.at[0]))
    span = None
    if window is not None:
        own = balance.tongue_kg(thing.mass_kg, thing.at[0] - box.coupler_x, lie.arm_m)
        places = balance.place_for_tongue_m(lie.arm_m, np.array(window[::-1]), lie.tongue_kg - own, thing.mass_kg)
        first, last = (float(value) + box.coupler_x for value in np.asarray(places))
        ends = max(first, reach[0]), min(last, reach[1])
        span = ends if ends[0] <= ends[1] else None
    words = _strip_words(thing, span, system)
    return Strip(thing.name, thing.at[0], reach, span, words, thing.at[1], _aside(box, thing, lie))


def _aside(box: Trailer, thing: Thing, lie: Lie) -> tuple[float, float] | None:
    """Between which places across the heavier side and every tyre hold; the right wheels follow it in proportion."""
    if lie.right_kg is None or box.track is None or lie.wheels_kg <= 0:
        return None
    carries = tyre_kg(box)
    most = road.SIDE_MOST * lie.wheels_kg
    most = most if carries is None else min(most, carries / max(lie.shares))
    least = lie.wheels_kg - most
    first, last = (thing.at[1] + (side - lie.right_kg) * box.track / thing.mass_kg for side in (least, most))
    ends = max(first, 0.0), min(last, box.width)
    return ends if ends[0] <= ends[1] + 1e-9 else None


def _strip_words(thing: Thing, span: tuple[float, float] | None, system: units.System) -> str:
    who = f"{thing.name}, {units.show(thing.mass_kg, 'mass', system)}"
    if span is None:
        return f"{who}: no place along the trailer keeps everything"
    return f"{who}: all holds {_stretch(span, system)}"


def _stretch(span: tuple[float, float], system: units.System) -> str:
    """A stretch along the trailer in words."""
    first, last = (units.show(abs(end), "length", system) for end in span)
    if span[0] < -AT_WALL_M:
        return f"from {first} ahead of the nose wall to {last} {'ahead of' if span[1] < 0 else 'behind'} it"
    return f"from {first} to {last} behind the nose wall" if span[0] > AT_WALL_M else f"from the nose wall to {last}"
