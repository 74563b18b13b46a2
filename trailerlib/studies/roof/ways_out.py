"""The ways out of a sleeping space: openings of a stated size that a person can climb through."""

from __future__ import annotations

from trailerlib.design.design import Design
from trailerlib.design.model import Opening
from trailerlib.rules.openings import EXIT_M


def clear_of(opening: Opening) -> tuple[float, float] | None:
    """What a person can climb through, the longer side first [m]; a door is as wide as its hole unless it is said.

    None where a window or hatch does not say how far it opens.
    """
    if opening.kind in ("roof fan", "roof cooler"):
        return 0.0, 0.0
    size = opening.size if opening.clear is None and opening.kind == "door" else opening.clear
    return None if size is None else (max(size), min(size))


def is_way_out(opening: Opening) -> bool | None:
    """Whether a person can get out of it; None where it is not said how far it opens."""
    clear = clear_of(opening)
    if clear is None:
        return None if min(opening.size) >= EXIT_M[1] - 1e-9 and max(opening.size) >= EXIT_M[0] - 1e-9 else False
    return clear[0] >= EXIT_M[0] - 1e-9 and clear[1] >= EXIT_M[1] - 1e-9


def count(design: Design) -> float | None:
    """How many ways out there are; None where too few are known and one more may be.

    A window in a door is not one more.
    """
    own = [o for o in design.openings if not any(door.holds(o) for door in design.openings)]
    said = [is_way_out(opening) for opening in own]
    known = float(sum(1 for one in said if one))
    return None if known < 2.0 and None in said else known
