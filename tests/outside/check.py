"""The form of an outside check: a value we did not make, its source, and how close we must come and why."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal

import pytest

Kind = Literal["published", "independent", "invariant", "practice", "from memory"]

FT_M = 0.3048
KFT_M = 304.8


@dataclass(frozen=True)
class Check:
    """``ours`` is computed when the test runs; ``value`` is theirs.

    ``within`` is a relative tolerance and ``why`` its reason. ``printed`` is what the source
    prints where that is a known misprint: then ``value`` is the right one.
    """

    name: str
    ours: Callable[[], Any]
    value: float
    within: float
    why: str
    source: str
    kind: Kind = "published"
    printed: float | None = None

    def hold(self) -> None:
        assert float(self.ours()) == pytest.approx(self.value, rel=self.within), f"{self.source}: {self.why}"
        if self.printed is not None:
            assert abs(self.printed / self.value - 1) > self.within, f"{self.source}: no misprint after all"


def each(checks: list[Check]) -> Any:
    """Parametrise a test over checks, named by what they check."""
    return pytest.mark.parametrize("check", checks, ids=[check.name for check in checks])
