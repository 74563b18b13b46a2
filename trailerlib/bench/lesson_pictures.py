"""Which picture goes with the slider of which lesson; bars against a limit need no line here."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from trailerlib.pictures import balance_side, night_air, night_curve, start_curve
from trailerlib.pictures.against_limit import against_limit
from trailerlib.pictures.lamp_light import lamp_light
from trailerlib.pictures.warming_wire import warming_wire
from trailerlib.studies.lessons.lesson import Bars

_DRAW: dict[str, Callable[[Any], str]] = {
    "L1": lamp_light,
    "L3": warming_wire,
    "L4": night_curve,
    "L5": start_curve,
    "L7": night_air,
    "L9": balance_side,
}


def draw(key: str, drawn: Any) -> str:
    """The picture of a lesson as SVG text.

    Parameters
    ----------
    key : of the lesson
    drawn : what its turn hands to the picture
    """
    return against_limit(drawn) if isinstance(drawn, Bars) else _DRAW[key](drawn)
