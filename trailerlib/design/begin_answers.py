"""What is asked of somebody who begins a trailer of one's own: a dozen answers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from trailerlib import units

NONE = "none"
Chemistry = Literal["flooded", "agm", "gel", "lfp"]


@dataclass(frozen=True)
class Answers:
    """What is asked. Lengths [m], temperatures [°C], elevation [m], capacity [Ah].

    ``supply`` is a kind of shore or household supply, ``generator`` a class, ``cooler`` a class of roof cooler; each
    may be "none". ``lights`` are ceiling lights, ``outlets`` mains outlets at the bench, ``outside`` outlets outside.
    """

    title: str = "My trailer"
    system: units.System = "us"
    length: float = 4.2672
    width: float = 2.1336
    height: float = 1.9812
    sleepers: int = 1
    hottest: float = 35.0
    coldest: float = 0.0
    elevation: float = 304.8
    chemistry: Chemistry = "agm"
    capacity: float = 100.0
    supply: str = "shore 30 A"
    generator: str = NONE
    cooler: str = NONE
    fan: bool = True
    fridge: bool = True
    lights: int = 4
    outlets: int = 2
    outside: int = 0

    @property
    def has_mains(self) -> bool:
        """Whether there is anything to feed a mains side from."""
        return self.supply != NONE or self.generator != NONE
