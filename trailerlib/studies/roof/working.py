"""The working behind the numbers: the busiest bow, the cut one, the worst bolt, the spacer frame."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.model import Opening
from trailerlib.physics import bolts, cut_bow, sections, spacer, strength
from trailerlib.physics.formula import Worked, worked
from trailerlib.studies.roof import build_up, carry
from trailerlib.studies.roof.frame import G_M_S2, Framing
from trailerlib.studies.roof.result import Result

SIDES = 4  # of a hole; as many bolts on each make an even group


def working(design: Design, found: Result, focus: Opening | None) -> Iterator[Worked]:
    """The steps to the stress of the busiest bow, to its neighbours, to the worst bolt, and to the spacer frame.

    Parameters
    ----------
    design : the design
    found : what has been worked out
    focus : the opening that is looked at; None where there is none
    """
    framing, one = found.framing, None if focus is None else found.carried.get(focus.name)
    if framing is not None and design.roof.section == "tube" and design.roof.wall is not None:
        hole = framing.width_m - 2 * design.roof.wall, framing.depth_m - 2 * design.roof.wall
        yield worked(
            sections.box_second_m4, width_m=framing.width_m, depth_m=framing.depth_m, hole_width_m=hole[0],
            hole_depth_m=hole[1],
        )  # fmt: skip
    if framing is not None and one is not None:
        yield from _stress(design, framing, one)
        yield from _neighbour(one)
    if focus is not None:
        yield from _bolt(design, focus)
        yield from _spacer(design, found, focus)


def _stress(design: Design, framing: Framing, one: carry.Carrying) -> Iterator[Worked]:
    if one.stress_pa is None or design.roof.shock is None:
        return
    yield worked(strength.shaken_n, weight_n=one.mass_kg * G_M_S2, shock=design.roof.shock)
    modulus = float(framing.section.modulus_m3)
    moment = max(one.stress_pa) * modulus / design.roof.shock
    yield worked(strength.bending_stress_pa, moment_nm=moment, modulus_m3=modulus, shock=design.roof.shock)
    strong = framing.metal.strength_pa(welded=design.roof.welded is not False)
    yield worked(strength.allowable_stress_pa, yield_pa=strong, safety=framing.metal.safety)


def _neighbour(one: carry.Carrying) -> Iterator[Worked]:
    """What the bow before the hole gets of a single cut one: both trimmers hand on what its two ends lean on them."""
    (at, *more) = one.cut or (None,)
    leaning = float(np.maximum(-one.leans_n, 0.0).sum())
    if at is not None and not more and leaning > 0.0:
        yield worked(cut_bow.neighbour_load_n, force_n=leaning, near_m=at - one.span[0], other_m=one.span[1] - at)


def _bolt(design: Design, focus: Opening) -> Iterator[Worked]:
    """The worst bolt where every side of the hole has as many."""
    push = carry.pushes_n(design, focus)
    if push is None or focus.bolts is None or focus.bolts % SIDES or focus.height is None:
        return
    at = carry.bolts_m(focus.size, focus.bolts)
    ways = [(push[1 + way], float(np.max(at[:, way])), float(np.sum(at[:, way] ** 2))) for way in (0, 1)]
    level, arm, squares = max(ways, key=lambda way: way[0] * way[1] / way[2])
    yield worked(
        bolts.even_bolt_n, lift_n=push[0], bolts=focus.bolts, push_n=level, height_m=focus.height, arm_m=arm,
        squares_m2=squares,
    )  # fmt: skip


def _spacer(design: Design, found: Result, focus: Opening) -> Iterator[Worked]:
    """What is missing, and what the saw makes of the last board."""
    actual, lacks = build_up.thickness_m(design, focus), build_up.missing_m(design, focus)
    if focus.made_for is None or actual is None or not lacks:
        return
    yield worked(spacer.spacer_m, made_for_m=focus.made_for[0 if lacks > 0.0 else 1], actual_m=actual)
    frame = next((frame for frame in found.frames if frame.opening is focus), None)
    board = None if frame is None else next((b for b in design.boards if b.name == frame.board), None)
    if frame is None or board is None or frame.of_last is None or frame.left_m is None or design.shop.kerf is None:
        return
    ripped = {"board_m": board.width, "count": frame.of_last, "strip_m": frame.strip_m}
    yield worked(spacer.strips, board_m=board.width, strip_m=frame.strip_m, kerf_m=design.shop.kerf)
    yield worked(spacer.left_over_m, **ripped, kerf_m=design.shop.kerf)
    yield worked(spacer.sawdust_m, **ripped, left_m=frame.left_m)
