"""The way of the current, step by step: from inside the battery to the load, and back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Way = Literal["source", "out", "back"]
Kind = Literal["battery", "contact", "fuse", "wire"]


@dataclass(frozen=True)
class Step:
    """One thing the current goes through: resistance [ohm], current [A], voltage lost in it [V], heat [W]."""

    name: str
    way: Way
    kind: Kind
    ohm: float
    current_a: float

    @property
    def lost_v(self) -> float:
        """Voltage lost [V]."""
        return self.ohm * self.current_a

    @property
    def heat_w(self) -> float:
        """Heat made [W]."""
        return self.lost_v * self.current_a


@dataclass(frozen=True)
class Path:
    """The whole way of one circuit: voltage at rest [V], the steps as the current meets them, what arrives [V].

    The load stands between the last step out and the first step back.
    """

    emf_v: float
    steps: tuple[Step, ...]
    load_v: float

    @property
    def lost_v(self) -> float:
        """All that is lost [V]."""
        return sum(step.lost_v for step in self.steps)

    @property
    def costliest(self) -> Step | None:
        """The step that loses the most."""
        return max(self.steps, key=lambda step: step.lost_v, default=None)
