"""The rotational spring that stands for the hold of a bow's end, and back.

Definition of the end-fixity factor of members with springs at their ends: k = 3 E I f / (L (1 - f)) (from memory).
"""

from __future__ import annotations

from typing import Any


def end_spring_nm(ei_nm2: Any, span_m: Any, fixity: Any) -> Any:
    """Stiffness [N m/rad] of an end that is held from 0 (pinned) to anything below 1, broadcast shape."""
    return 3.0 * ei_nm2 * fixity / (span_m * (1.0 - fixity))


def fixity_of_spring(spring_nm: Any, ei_nm2: Any, span_m: Any) -> Any:
    """How an end is held that a spring [N m/rad] holds: 0 pinned to 1 clamped, broadcast shape."""
    return spring_nm * span_m / (spring_nm * span_m + 3.0 * ei_nm2)
