"""What the three drawings of this question need: heat by face, the hot day, the air of the night."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Side = Literal["roof", "floor", "road", "curb", "nose", "rear", "inside"]


@dataclass(frozen=True)
class HeatPart:
    """One way heat comes in at the worst hour: its name, the side of the box it comes through, how much [W].

    ``inside`` is what people and loads set free; below zero is heat that leaves. ``skin_c`` is the sol-air temperature
    on that side [degC], None of what is inside.
    """

    name: str
    side: Side
    watts: float
    skin_c: float | None = None


@dataclass(frozen=True)
class HeatFlows:
    """All ways at the worst hour ``hour_h`` [h after midnight], air outside and inside [degC].

    ``heading`` is where the nose points, in degrees from north; ``size_m`` is length, width and height of the box [m].
    """

    parts: tuple[HeatPart, ...]
    hour_h: float
    outside_c: float
    inside_c: float
    heading: float
    size_m: tuple[float, float, float]

    @property
    def total_w(self) -> float:
        """What has to be taken out again [W]."""
        return sum(part.watts for part in self.parts)


@dataclass(frozen=True)
class HotDay:
    """One day, the last of the run, all of shape (points,): hours after midnight, rising from 0 to 24, and temperatures
    [degC]. ``held_c`` is with the cooler, None without one; ``on_h`` are its spans, from and to [h].
    """

    hour_h: Floats
    outside_c: Floats
    roof_c: Floats
    free_c: Floats
    held_c: Floats | None
    set_c: float | None
    on_h: tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class NightAir:
    """Carbon dioxide of one night, shape (points,): hours from the midnight before it (22 to 31) and [ppm].

    ``fan_ppm`` is as the timetable has the fan and the openings, None without a fan; ``shut_ppm`` with the fan off and
    all shut; ``mark_ppm`` is asked for, None is not said. ``stay`` names the night, ``people`` sleep in it.
    """

    hour_h: Floats
    fan_ppm: Floats | None
    shut_ppm: Floats
    mark_ppm: float | None
    stay: str
    people: int


@dataclass(frozen=True)
class CoolingPicture:
    """What can be drawn; where a part is None, ``missing`` says by its name (heat, day, night) what is not known."""

    heat: HeatFlows | None
    day: HotDay | None
    night: NightAir | None
    missing: dict[str, str]
