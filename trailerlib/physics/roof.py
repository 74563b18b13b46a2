"""What stands over an opening, shared by the bows under it: a grillage of parallel bows and two rails across them.

The rails are the sides of a gasket frame, or headers: beams held to the bows. A bow is the flexibility of its span
between two walls at the two rails, both coupled. Solved as it stands; left out are the give of shear and, unless
``twist_nm2`` is given, what a bow resists when a rail twists it. Along the trailer, places are measured from one
point (the coupler), across it from the left wall.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics import beam, rails
from trailerlib.physics.beam import Bow, Loads
from trailerlib.physics.bending import Largest, Pieces, largest_of
from trailerlib.physics.cut_bow import stub_tip_n_m, stubs
from trailerlib.physics.formula import Number
from trailerlib.physics.rails import RailLoads, Rails

Floats = NDArray[np.float64]
_APART_M = 1e-3  # a rail between two bows still nearer would drown in rounding


@dataclass(frozen=True)
class RoofBow:
    """A bow at ``at_m`` [m] along the trailer, with what stands on it itself; ``cut`` between the rails or not.

    ``twist_nm2`` [N·m²] is G times J where its ends cannot turn about its own axis; 0 leaves the rails free to turn.
    """

    at_m: float
    bow: Bow
    own: Loads = field(default_factory=Loads)
    cut: bool = False
    twist_nm2: Number = 0.0


@dataclass(frozen=True)
class Carried:
    """How k bows and two rails carry what stands on them.

    ``onto_n`` [N] (..., k, 2) is what the rails press on each bow, below zero where a bow leans on a rail; ``sag_m``
    [m] (..., k, 2) how far it sags there; ``wall_n`` [N] (..., k, 2) what each wall carries of it; ``bows`` the
    largest along each bow (..., k), places from the left wall; ``rails`` the largest along each rail (..., 2) and
    ``rail_pieces`` (..., 2, pieces), places along the trailer.
    """

    onto_n: Floats
    sag_m: Floats
    wall_n: Floats
    bows: Largest
    rails: Largest
    rail_pieces: Pieces

    @property
    def share(self) -> Floats:
        """What each bow takes of all that the rails hand on [-], shape (..., k)."""
        each = np.sum(self.onto_n, axis=-1)
        return np.asarray(each / np.sum(each, axis=-1, keepdims=True))


@dataclass(frozen=True)
class _Under:
    """A bow as the rails feel it: ``stiff`` times its sag, less ``held``, presses back; ``twist`` holds their slope."""

    stiff: Floats
    held: Floats
    twist: Floats

    def onto(self, sag_m: Floats) -> Floats:
        return np.asarray((self.stiff @ sag_m[..., None])[..., 0] - self.held)


def carry(bows: Sequence[RoofBow], under: Rails, loads: RailLoads) -> Carried:
    """Share what stands on the rails and on the bows among the bows, by stiffness. Only the bows join the two rails.

    Parameters
    ----------
    bows : all of the roof, in any order; those the rails do not reach carry only their own
    under : the rails, whose ends may stand out over the last bow
    loads : what stands on the rails

    Returns
    -------
    Carried

    Raises
    ------
    ValueError
        When fewer than two bows hold the rails, or something lies where nothing is.

    Source
    ------
    Grillage by the displacement method, exact for slender beams.
    """
    felt, spots, moved = _moved(bows, under, loads)
    return _carried(bows, felt, spots, moved, under, loads)


def onto_n(bows: Sequence[RoofBow], under: Rails, loads: RailLoads) -> Floats:
    """What the rails press on each bow; ``onto_n`` of ``carry`` without what else follows from it.

    Parameters
    ----------
    bows : all of the roof, in any order
    under : the rails
    loads : what stands on the rails

    Returns
    -------
    [N] shape (..., k, 2)

    Raises
    ------
    ValueError
        As in ``carry``.

    Source
    ------
    As ``carry``.
    """
    felt, spots, moved = _moved(bows, under, loads)
    return np.stack([_pressed(each, moved, spot) for each, spot in zip(felt, spots, strict=True)], axis=-2)


def _moved(bows: Sequence[RoofBow], under: Rails, loads: RailLoads) -> tuple[list[_Under | None], list[int], Floats]:
    """Each bow as the rails feel it, where its node lies among the moves, and how far each node sinks and turns."""
    felt = _felt(bows, under, loads)
    node = np.sort([one.at_m for one, each in zip(bows, felt, strict=True) if each])
    force, rail = rails.pressed(node, loads), rails.stiffness(node, under.ei_nm2)
    held = [each for each in felt if each]
    lead = np.broadcast_shapes(
        force.shape[:-2], rail.shape[:-2], *(each.stiff.shape[:-2] for each in held),
        *(each.held.shape[:-1] for each in held), *(each.twist.shape[:-2] for each in held),
    )  # fmt: skip
    size = 2 * node.size
    stiff, force = np.zeros((*lead, 2, size, 2, size)), np.broadcast_to(force, (*lead, 2, size)).copy()
    stiff[..., 0, :, 0, :] = stiff[..., 1, :, 1, :] = rail
    spots = [2 * int(np.searchsorted(node, one.at_m)) for one in bows]
    for spot, each in zip(spots, felt, strict=True):
        if each:
            stiff[..., :, spot, :, spot] += each.stiff
            stiff[..., :, spot + 1, :, spot + 1] += each.twist
            force[..., :, spot] += each.held
    flat = np.linalg.solve(stiff.reshape(*lead, 2 * size, 2 * size), force.reshape(*lead, 2 * size, 1))
    moved: Floats = np.asarray(flat, dtype=np.float64).reshape(*lead, 2, size)
    return felt, spots, moved


def _pressed(each: _Under | None, moved: Floats, spot: int) -> Floats:
    return each.onto(moved[..., spot]) if each else np.zeros(moved.shape[:-1])


def _carried(
    bows: Sequence[RoofBow], felt: list[_Under | None], spots: list[int], moved: Floats, under: Rails, loads: RailLoads
) -> Carried:
    lead = moved.shape[:-1]
    turned, up = np.zeros((*lead, moved.shape[-1] // 2)), np.zeros((*lead, moved.shape[-1] // 2))
    onto, sag = [], [moved[..., spot] if each else np.zeros(lead) for each, spot in zip(felt, spots, strict=True)]
    for each, spot in zip(felt, spots, strict=True):
        onto.append(_pressed(each, moved, spot))
        if each:
            up[..., spot // 2] = onto[-1]
            turned[..., spot // 2] = (each.twist @ moved[..., spot + 1, None])[..., 0]
    node = np.sort([one.at_m for one, each in zip(bows, felt, strict=True) if each])
    pieces = rails.bent(under, loads, node, moved, up, turned)
    alone = list(_each_alone(bows, onto, sag, under))
    *most, along_rails = largest_of([*(part for one in alone for part in one.pieces), pieces])
    found: dict[int, tuple[Floats, Floats, Largest]] = {}
    for one in alone:
        own, most = most[: len(one.pieces)], most[len(one.pieces) :]
        found |= dict(zip(one.numbers, zip(one.sag_m, one.wall_n, one.told(*own), strict=True), strict=True))
    sags, walls, each_most = zip(*(found[n] for n in range(len(bows))), strict=True)
    onto_n, sag_m, wall_n = (np.stack(part, axis=-2) for part in (onto, sags, walls))
    return Carried(onto_n, sag_m, wall_n, Largest.side_by_side(each_most), along_rails, pieces)


def _felt(bows: Sequence[RoofBow], under: Rails, loads: RailLoads) -> list[_Under | None]:
    """Each bow as the rails feel it, none where they do not reach; all of it looked at first."""
    rails.looked_at(under, loads)
    near, far = under.across_m
    reached = [under.begin_m - rails.SAME_M <= one.at_m <= under.end_m + rails.SAME_M for one in bows]
    for one, here in zip(bows, reached, strict=True):
        if here and not (0.0 < near < far and np.all(far < np.asarray(one.bow.span_m))):
            raise ValueError("Rails: both must lie between the walls, the first nearer the left one.")
        if one.cut and not here:
            raise ValueError(f"Roof: the cut bow at {one.at_m:g} m has no rail that carries its ends.")
    if sum(here and _holds(one) for one, here in zip(bows, reached, strict=True)) < 2:
        raise ValueError("Roof: at least two bows that are not cut must lie under the rails.")
    if np.any(np.diff(np.sort([one.at_m for one in bows])) < _APART_M):
        raise ValueError("Roof: two bows lie in one place; bows must be at least 1 mm apart.")
    alike: dict[tuple[int, int, int, bool], _Under] = {}
    found: list[_Under | None] = []
    for one, here in zip(bows, reached, strict=True):
        what = (id(one.bow), id(one.own), id(one.twist_nm2), one.cut)
        if here and what not in alike:
            alike[what] = _under(one, under)
        found.append(alike[what] if here else None)
    return found


def _holds(one: RoofBow) -> bool:
    return not one.cut or all(bool(np.all(np.asarray(end) > 0.0)) for end in (one.bow.left, one.bow.right))


def _under(one: RoofBow, under: Rails) -> _Under:
    near, far = under.across_m
    at, gj = np.array(under.across_m), np.asarray(one.twist_nm2, dtype=float)
    between = 0.0 * gj if one.cut else gj / (far - near)
    twist = _two_by_two(gj / near + between, -between, between + gj / (np.asarray(one.bow.span_m) - far))
    if one.cut:
        ends = stubs(one.bow, one.own, at)
        left, right = (stub_tip_n_m(bow.ei_nm2, bow.left, bow.span_m) for bow, _ in ends)
        held = np.broadcast_arrays(*(beam.solved(bow, own).reactions_n()[1] for bow, own in ends))
        return _Under(_two_by_two(left, 0.0, right), np.stack(held, axis=-1), twist)
    stiff: Floats = np.asarray(np.linalg.inv(beam.flexibility_m_n(one.bow, at)), dtype=np.float64)
    return _Under(stiff, (stiff @ beam.solved(one.bow, one.own).deflection_m(at)[..., None])[..., 0], twist)


def _two_by_two(first: Number, both: Number, second: Number) -> Floats:
    a, b, d = np.broadcast_arrays(first, both, second)
    return np.stack([np.stack([a, b], axis=-1), np.stack([b, d], axis=-1)], axis=-2)


class _Alone(NamedTuple):
    """Some bows solved by themselves: their numbers, sag at the rails [m], what their walls carry [N], the pieces they
    bend in, and what the largest of these pieces say of each bow.
    """

    numbers: Sequence[int]
    sag_m: Sequence[Floats]
    wall_n: Sequence[Floats]
    pieces: tuple[Pieces, ...]
    told: Callable[..., Sequence[Largest]]


def _each_alone(
    bows: Sequence[RoofBow], onto_n: Sequence[Floats], rail_sag_m: Sequence[Floats], under: Rails
) -> Iterator[_Alone]:
    """Each bow under its own and what the rails press on it; those that are whole and alike in one go."""
    alike: dict[tuple[int, int], list[int]] = {}
    for n, one in enumerate(bows):
        if one.cut:
            yield _cut(n, one, rail_sag_m[n], under)
        else:
            alike.setdefault((id(one.bow), one.own.force_n.shape[-1]), []).append(n)
    for numbers in alike.values():
        yield _whole(numbers, [bows[n] for n in numbers], [onto_n[n] for n in numbers], under)


def _whole(numbers: Sequence[int], bows: Sequence[RoofBow], onto_n: Sequence[Floats], under: Rails) -> _Alone:
    """Bows that are one and the same but for what is on them."""
    at = np.array(under.across_m)
    found = beam.solved(bows[0].bow, _on([one.own for one in bows], onto_n, at))
    sag, walls = found.deflection_m(at), np.stack(found.reactions_n(), axis=-1)
    return _Alone(
        numbers, list(sag), list(walls), (found.pieces(),), lambda most: [most.of(n) for n in range(len(numbers))]
    )


def _on(own: Sequence[Loads], more_n: Sequence[Floats], at_m: Floats) -> Loads:
    """What is on bows with as many forces each, and more of them at the same places, fields of shape (bows, ...)."""
    shapes = [(*(part.shape[:-1] for part in (one.force_n, one.at_m)), np.shape(one.per_m_n)) for one in own]
    lead = np.broadcast_shapes(*{shape for each in shapes for shape in each}, *{more.shape[:-1] for more in more_n})
    count = own[0].force_n.shape[-1]
    force, at = np.empty((2, len(own), *lead, count + at_m.size))
    per_m = np.empty((len(own), *lead))
    for n, (one, more) in enumerate(zip(own, more_n, strict=True)):
        force[n, ..., :count], force[n, ..., count:] = one.force_n, more
        at[n, ..., :count], at[n, ..., count:] = one.at_m, at_m
        per_m[n] = one.per_m_n
    return Loads(force, at, per_m)


def _cut(number: int, one: RoofBow, rail_sag_m: Floats, under: Rails) -> _Alone:
    """What is left of a cut bow, the larger of its two stubs."""
    ends = zip(stubs(one.bow, one.own, np.array(under.across_m)), (0, 1), strict=True)
    left, right = (beam.solved(replace(bow, sunk_m=rail_sag_m[..., n]), own) for (bow, own), n in ends)
    wall = np.stack([left.reactions_n()[0], right.reactions_n()[0]], axis=-1)
    span = np.asarray(one.bow.span_m)
    return _Alone(
        [number], [rail_sag_m], [wall], (left.pieces(), right.pieces()),
        lambda most, from_right: [most.larger(from_right.mirrored(span))],
    )  # fmt: skip
