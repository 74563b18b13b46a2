"""How the bows carry what sits in an opening of the roof: sharing, stress, sag, the frame round it, its bolts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from trailerlib.design.design import Design
from trailerlib.design.model import Opening
from trailerlib.physics import beam, bolts, strength
from trailerlib.physics.beam import Loads
from trailerlib.physics.rails import RailLoads, Rails
from trailerlib.physics.roof import RoofBow, carry, onto_n
from trailerlib.reference import table
from trailerlib.studies.roof.frame import G_M_S2, Framing

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Hung:
    """An opening alone: what its trimmers press on each bow [N] (2, bows, 2), at either end of the range."""

    opening: Opening
    onto_n: Floats = field(compare=False, repr=False)


@dataclass(frozen=True)
class Carrying:
    """One opening: its mass [kg], its rails from bow to bow [m]; for each bow of the framing share [-], stress [Pa] and
    sag [m] at the worse end of the range; ``trimmer_pa`` [Pa] of the trimmers, ``shear_pa`` [Pa] the largest at a wall.

    ``share`` is of all that the trimmers hand on; a bow that leans on them takes nothing of it. ``stress_pa``,
    ``trimmer_pa`` and ``shear_pa`` are None where the road's shock is not given. ``onto_n`` [N] (2, bows, 2) is what
    the trimmers press on each bow, at either end of the range, below zero where it leans on them. Standing still, at
    the looser end: ``leans_n`` is ``onto_n`` there (bows, 2), ``own_n`` what else lies on each bow and ``walls_n``
    what its two walls carry [N] (bows).
    """

    opening: Opening
    mass_kg: float
    span: tuple[float, float]
    cut: tuple[float, ...]
    share: tuple[float, ...]
    stress_pa: tuple[float, ...] | None
    sag_m: tuple[float, ...]
    trimmer_pa: float | None
    shear_pa: float | None
    case: str
    onto_n: Floats = field(compare=False, repr=False)
    leans_n: Floats = field(compare=False, repr=False)
    own_n: Floats = field(compare=False, repr=False)
    walls_n: Floats = field(compare=False, repr=False)


def mass_of(design: Design, opening: Opening) -> float | None:
    """What sits in an opening [kg]: as stated, else the mass of the load of the same name; None is not known."""
    if opening.mass is not None:
        return opening.mass
    load = next((load for load in design.loads if load.name == opening.name), None)
    return None if load is None else load.mass_each_kg


def carrying(design: Design, framing: Framing, opening: Opening, others: Sequence[Hung] = ()) -> Carrying | None:
    """How an opening of the roof is carried; None where its mass or a bow on either side is not there, or where it
    reaches out over a wall.

    Both ends of the range of the walls' hold are worked out; the worse is told. What sits in it presses evenly on the
    two trimmers along the sides of the hole. ``others`` hang on some of the same bows.
    """
    held = _held(design, framing, opening)
    if held is None:
        return None
    mass, span = held
    cut = framing.cut_by(opening)
    bows, under, loads = _grillage(framing, opening, mass, span, others)
    run = carry(bows, under, loads)
    moment, sag = np.abs(run.bows.moment_nm), run.bows.deflection_m
    rail = float(np.max(np.abs(run.rails.moment_nm)))
    shock, modulus = design.roof.shock, float(framing.section.modulus_m3)
    stress = trimmer = shear = None
    if shock is not None:
        stress = tuple(float(s) for s in np.asarray(strength.bending_stress_pa(moment.max(axis=0), modulus, shock)))
        shear = float(strength.shear_stress_pa(float(np.max(np.abs(run.bows.shear_n))), framing.web_m2, shock))
        trimmer = float(strength.bending_stress_pa(rail, modulus, shock))
    looser = int(np.argmax(sag.max(axis=1)))
    return Carrying(
        opening, mass, span, cut, _taken(run.onto_n[looser]), stress,
        tuple(float(s) for s in sag.max(axis=0)), trimmer, shear,
        f"ends held {100 * framing.ends[int(np.argmax(moment.max(axis=1)))]:g} %", run.onto_n, run.onto_n[looser],
        _own_n(framing, opening, bows, looser), run.wall_n[looser].sum(axis=-1),
    )  # fmt: skip


def hung(design: Design, framing: Framing, opening: Opening) -> Hung | None:
    """What an opening alone presses on the bows; None as in ``carrying``."""
    held = _held(design, framing, opening)
    return None if held is None else Hung(opening, onto_n(*_grillage(framing, opening, *held, ())))


def _held(design: Design, framing: Framing, opening: Opening) -> tuple[float, tuple[float, float]] | None:
    """Mass of what sits in it [kg] and the bows beside it [m]; None where it cannot be said how it is carried."""
    mass, span = mass_of(design, opening), framing.beside(opening)
    return None if mass is None or span is None or not _between_walls(framing, opening) else (mass, span)


def trimmer_end_kg(one: Carrying, shock: float) -> float:
    """The most that an end of a trimmer presses or is pressed with on a bad road [kg]: its fasteners hold as much.

    Parameters
    ----------
    one : how the opening is carried
    shock : [-] how many times its weight a thing presses on a bad road
    """
    return float(np.max(np.abs(one.onto_n))) * shock / G_M_S2


def _taken(onto_n: Floats) -> tuple[float, ...]:
    """What each bow takes of all that the trimmers hand on [-]; nothing where it leans on them."""
    taken = np.maximum(onto_n.sum(axis=-1), 0.0)
    return tuple(float(part) for part in taken / taken.sum())


def _own_n(framing: Framing, opening: Opening, bows: Sequence[RoofBow], end: int) -> Floats:
    """What lies on each bow besides what the trimmers press on it [N]; over the hole nothing is left of a cut one."""
    near, far = trimmers_m(opening)
    found = []
    for one in bows:
        long = framing.span_m - (far - near if one.cut else 0.0)
        force = np.broadcast_to(one.own.force_n, (2, one.own.force_n.shape[-1]))[end]
        found.append(float(np.asarray(one.own.per_m_n)) * long + float(force.sum()))
    return np.array(found)


def trimmers_m(opening: Opening) -> tuple[float, float]:
    """Where the trimmers lie: along both sides of the hole [m from the road side]."""
    across, width = opening.at[1], opening.size[1]
    return across - width / 2, across + width / 2


def _between_walls(framing: Framing, opening: Opening) -> bool:
    near, far = trimmers_m(opening)
    return near > 0.0 and far < framing.span_m


def _grillage(
    framing: Framing, opening: Opening, mass: float, span: tuple[float, float], others: Sequence[Hung]
) -> tuple[list[RoofBow], Rails, RailLoads]:
    """Bows, rails and what stands on them, the walls' hold at either end of its range: what follows is (2, ...)."""
    one, own, cut = framing.bow(np.array(framing.ends)), framing.own, framing.cut_by(opening)
    bows = [
        RoofBow(at, one, _with(own, n, others if span[0] <= at <= span[1] else ()), at in cut)
        for n, at in enumerate(framing.at_m)
    ]
    x, along = opening.at[0], opening.size[0]
    rails = Rails(trimmers_m(opening), framing.ei_nm2, *span)
    over = (max(span[0], x - along / 2), min(span[1], x + along / 2))
    per_m = mass * G_M_S2 / 2.0 / (over[1] - over[0])
    return bows, rails, RailLoads(per_m_n=np.full(2, per_m), over_m=over)


def _with(own: Loads, number: int, others: Sequence[Hung]) -> Loads:
    """What lies on one bow itself and what the trimmers of other openings press on it."""
    for other in others:
        own = own.plus(other.onto_n[:, number], np.array(trimmers_m(other.opening)))
    return own


KNEES_M = 0.3  # from knee to knee; common practice, no source


@dataclass(frozen=True)
class Person:
    """Stress of the bow that a person bends most [Pa], standing on its middle and kneeling on it."""

    standing_pa: float
    kneeling_pa: float


def person_on(design: Design, framing: Framing, carried: Sequence[Carrying]) -> Person | None:
    """Stress of the worst bow with a person on its middle, the trailer standing; None where nobody is said to be there.

    A cut bow is never the worst: what is left of it leans on its neighbours.

    Parameters
    ----------
    design : the design
    framing : the bows
    carried : what hangs on them
    """
    if design.roof.person is None or not framing.at_m:
        return None
    weight, middle = design.roof.person * G_M_S2, framing.span_m / 2
    apart = min(KNEES_M / 2, middle)
    ways_n = weight * np.array([[0.0, 1.0, 0.0], [0.5, 0.0, 0.5]])  # on the middle, on both knees
    on, numbers = framing.own, list(_unlike(framing, carried))
    for one in carried:
        on = on.plus(np.moveaxis(one.onto_n[:, numbers], 1, 0), np.array(trimmers_m(one.opening)))
    on = on.plus(ways_n[:, None, None], np.array([middle - apart, middle, middle + apart]))
    moment = beam.solved(framing.bow(np.array(framing.ends)), on).pieces().largest_moment_nm()
    most = np.abs(moment).max(axis=(1, 2))
    return Person(*(float(strength.bending_stress_pa(m, float(framing.section.modulus_m3), 1.0)) for m in most))


def _unlike(framing: Framing, carried: Sequence[Carrying]) -> Iterator[int]:
    """Bows on which something hangs, and one of those on which nothing does: they are all alike."""
    bare = None
    for number in range(len(framing.at_m)):
        if any(np.any(one.onto_n[:, number] != 0.0) for one in carried):
            yield number
        elif bare is None:
            bare = number
            yield number


def pushes_n(design: Design, opening: Opening) -> tuple[float, float, float] | None:
    """What lifts it, pushes it forward and aside on the road [N]; None where mass or shock is not known.

    The road lifts by as much less than one weight as it presses more; braking and a bend push as on cargo.
    """
    mass, shock = mass_of(design, opening), design.roof.shock
    if mass is None or shock is None:
        return None
    weight, asked = mass * G_M_S2, table("restraint")
    forward, aside = (float(asked.number("of_breaking_g", direction=way)) * weight for way in ("forward", "sideways"))
    return max(0.0, shock - 2.0) * weight, forward, aside


def bolt_pull_kg(design: Design, opening: Opening) -> float | None:
    """Pull of the worst bolt [kg], at the corners of the hole and evenly between; None where something is not known."""
    height, count, push = opening.height, opening.bolts, pushes_n(design, opening)
    if height is None or count is None or push is None or count < 4:
        return None
    return _bolt_pull_n(opening.size, count, height, push) / G_M_S2


def bolt_shear_kg(design: Design, opening: Opening) -> float | None:
    """Shear of the worst bolt [kg], braking or in a bend; None where something is not known."""
    count, push = opening.bolts, pushes_n(design, opening)
    if count is None or push is None or count < 4:
        return None
    _, forward, aside = push
    level = np.array([forward, 0.0]), np.array([0.0, aside])
    return float(np.max(bolts.shear_n(bolts_m(opening.size, count), np.zeros(2), *level))) / G_M_S2


@lru_cache(maxsize=64)
def _bolt_pull_n(size: tuple[float, float], count: int, height: float, push: tuple[float, float, float]) -> float:
    lift, forward, aside = push
    along, across = np.array([forward, -forward, 0.0, 0.0]), np.array([0.0, 0.0, aside, -aside])
    return float(np.max(bolts.pull_n(bolts_m(size, count), np.zeros(2), height, lift, along, across)))


def bolts_m(size: tuple[float, float], count: int) -> Floats:
    """Places of bolts round the hole, the corners first.

    Parameters
    ----------
    size : [m] of the opening, along and across
    count : [-] bolts, four or more

    Returns
    -------
    [m] from its middle, along and across, (bolts, 2)
    """
    along, across = size[0] / 2, size[1] / 2
    corners = [(-along, -across), (along, -across), (along, across), (-along, across)]
    more = [np.linspace(corners[n], corners[(n + 1) % 4], 2 + (count - 4 + 3 - n) // 4)[1:-1] for n in range(4)]
    return np.concatenate([np.array(corners), *more])
