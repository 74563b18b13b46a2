"""The working: coupler and wheels, the place of one thing, the air in the tyres, the straps of the heaviest thing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trailerlib.design.design import Design
from trailerlib.design.model import Restrained, Trailer
from trailerlib.physics import balance, restraint, tyre
from trailerlib.physics.formula import Worked, worked
from trailerlib.rules import road
from trailerlib.studies.towing import hold
from trailerlib.studies.towing.lie import Lie
from trailerlib.studies.towing.result import Strip, Thing, TowingPicture


def working(
    design: Design, lie: Lie | None, focus: Strip | None, picture: TowingPicture, held: Sequence[hold.Held]
) -> Iterator[Worked]:
    """The steps to coupler, wheels and sides, to the place of the thing in focus, to the tyres' air and to the straps.

    Parameters
    ----------
    design : the design
    lie : the forces under it; None where they are not known
    focus : where one thing may stand; None where none is looked at
    picture : what is drawn
    held : what has to be held
    """
    if lie is None:
        return
    yield from _lies(design.trailer, lie)
    thing = next((t for t in picture.things if focus is not None and t.name == focus.name), None)
    if thing is not None:
        yield from _stands(design.trailer, lie, thing)
    if picture.wheels:
        yield from _air(design.trailer, max(wheel.load_kg for wheel in picture.wheels))
    if held:
        yield from _holds(max(held, key=lambda one: (one.loose is False, one.mass_kg)))


def _lies(box: Trailer, lie: Lie) -> Iterator[Worked]:
    about = {"gross_kg": lie.gross_kg, "centre_m": lie.centre[0] - box.coupler_x, "axle_m": lie.arm_m}
    if box.coupler_scale is not None and box.axle_scale is not None:
        told = {"wheels_kg": box.axle_scale, "coupler_kg": box.coupler_scale}
        yield worked(balance.centre_from_scale_m, **told, axle_m=lie.arm_m)
    yield worked(balance.tongue_kg, **about)
    yield worked(balance.wheels_kg, **about)
    if box.track is not None:
        across = {"ball_m": box.width / 2, "left_m": (box.width - box.track) / 2, "track_m": box.track}
        loads = {"coupler_kg": lie.tongue_kg, "wheels_kg": lie.wheels_kg}
        yield worked(balance.right_wheels_kg, gross_kg=lie.gross_kg, centre_m=lie.centre[1], **loads, **across)


def _stands(box: Trailer, lie: Lie, thing: Thing) -> Iterator[Worked]:
    own = float(balance.tongue_kg(thing.mass_kg, thing.at[0] - box.coupler_x, lie.arm_m))
    for share in (road.TONGUE_MOST, road.TONGUE_LEAST):
        wanted = {"wanted_kg": share * lie.gross_kg, "without_kg": lie.tongue_kg - own, "mass_kg": thing.mass_kg}
        yield worked(balance.place_for_tongue_m, axle_m=lie.arm_m, **wanted)


def _air(box: Trailer, load_kg: float) -> Iterator[Worked]:
    """What air the heaviest wheel needs, and what a tyre carries at the air that is in it."""
    if box.tyre_rating is None or box.tyre_full is None:
        return
    rated = {"rated_kg": box.tyre_rating, "full_pa": box.tyre_full}
    yield worked(tyre.needs_pa, load_kg=load_kg, **rated)
    if box.tyre_pressure is not None:
        yield worked(tyre.carries_kg, pressure_pa=min(box.tyre_pressure, box.tyre_full), **rated)


def _holds(heaviest: hold.Held) -> Iterator[Worked]:
    """What the heaviest thing asks for when braking, and what its straps give: along the floor, down, by friction."""
    yield worked(restraint.asked_kg, mass_kg=heaviest.mass_kg, share=hold.share("forward"))
    part = heaviest.by
    if not part.straps or part.strap_limit is None or part.strap_angle is None:
        return
    yield from _straps(part, part.straps, part.strap_limit, part.strap_angle)


def _straps(part: Restrained, straps: int, limit: float, angle: float) -> Iterator[Worked]:
    over = part.strap_way == "over"
    down = {"ends": float(hold.OVER * straps if over else straps), "tension_kg": hold.practice("tension") * limit}
    if not over and straps // 2:
        yield worked(restraint.straps_along_kg, straps=float(straps // 2), limit_kg=limit, angle_deg=angle)
    pressed = worked(restraint.straps_down_kg, **down, angle_deg=angle)
    yield pressed
    if over or not straps // 2:
        yield worked(restraint.friction_kg, pressed_kg=pressed.value, friction=hold.practice("friction"))
    counted = {"part": 1.0 if over else 0.5, "bolts_kg": hold.bolts_kg(part) or 0.0}
    yield worked(restraint.counted_kg, straps=float(straps), limit_kg=limit, **counted)
