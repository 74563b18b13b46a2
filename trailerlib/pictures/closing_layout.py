"""Where the spots of the closing-in test lie on a staircase: counted from the battery, on the way out and back."""

from __future__ import annotations

from collections.abc import Callable

from trailerlib.pictures.stair_layout import LEAST_SPAN, Drawn, Scale, Stair
from trailerlib.studies.closing.along import Along, Part
from trailerlib.studies.path import Way

FAR_OFF = 3.0  # a reading farther off than so many times what is lost does not stretch the scale


def sides(way: Along) -> tuple[Way, ...]:
    """The sides there are."""
    return ("out", "back") if way.back else ("out",)


def drawn_of(stair: Stair, side: Way) -> list[Drawn]:
    """The things of one side as drawn, from the battery outwards; without the battery's inside.

    Parameters
    ----------
    stair : the stair
    side : ``out`` or ``back``
    """
    return [drawn for drawn in stair.out if not drawn.inner] if side == "out" else list(reversed(stair.back))


def across(stair: Stair, side: Way, behind: int) -> float:
    """Where the spot behind so many things lies [px].

    Parameters
    ----------
    stair : the stair
    side : ``out`` or ``back``
    behind : [-] things between it and the battery
    """
    things = drawn_of(stair, side)
    if behind == 0:
        return (things[0].left if side == "out" else things[0].right) if things else stair.load
    return things[behind - 1].right if side == "out" else things[behind - 1].left


def height_of(scale: Scale, side: Way) -> Callable[[float], float]:
    """From volts to the sheet [px], on one side."""
    return scale.feed if side == "out" else scale.back


def parts_of(way: Along, side: Way) -> tuple[Part, ...]:
    """The parts of one side, from the battery outwards."""
    return way.out if side == "out" else way.back


def start_v(way: Along, side: Way) -> float:
    """Voltage of the post at which a side begins [V]."""
    return way.post_v if side == "out" else 0.0


def kept(value: float, way: Along, side: Way) -> float:
    """A reading that lies far off, brought to the edge of what is drawn [V].

    Parameters
    ----------
    value : [V] where the readings put a spot
    way : the way of the current
    side : ``out`` or ``back``
    """
    far = FAR_OFF * max(way.path.lost_v, LEAST_SPAN * way.path.emf_v)
    start = start_v(way, side)
    return min(max(value, start - far), start + far)
