"""In which order to switch on, so that no step asks for more than is given."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

SLACK = 1e-9


@dataclass(frozen=True)
class Startable:
    """One thing to switch on: its name, what it draws running and in the moment it starts [VA], lagging positive."""

    name: str
    running_va: complex
    start_va: complex

    @property
    def peak_va(self) -> complex:
        """The more of the two [VA]."""
        return max(self.running_va, self.start_va, key=abs)


@dataclass(frozen=True)
class OrderStep:
    """One thing switched on: what runs before, and what all ask for while it starts and after, sizes [VA]."""

    name: str
    before_va: float
    at_start_va: float
    after_va: float


@dataclass(frozen=True)
class StartOrder:
    """An order of switching on. ``blocked`` is what must stay off, "" when nothing; ``why`` says whether the running
    power or the starting power stands in its way, ``blocked_va`` what all would ask for [VA]. The steps are those of
    the rest.
    """

    steps: tuple[OrderStep, ...]
    blocked: tuple[str, ...] = ()
    why: Literal["", "running", "starting"] = ""
    blocked_va: float = 0.0

    @property
    def works(self) -> bool:
        """Whether all can be switched on."""
        return not self.blocked

    @property
    def names(self) -> tuple[str, ...]:
        """What is switched on, first to last."""
        return tuple(step.name for step in self.steps)


def start_order(things: Sequence[Startable], gives_va: float, surge_va: float) -> StartOrder:
    """An order that works, found from its end; when there is none, what to leave off.

    What can start last with all the rest running may as well be last: the others then start with less beside them,
    and lagging currents only ever add. When nothing can be last, nothing can: there is no order.

    Parameters
    ----------
    things : what is to run together
    gives_va : [VA] what the supply gives running
    surge_va : [VA] what it gives for a moment

    Returns
    -------
    StartOrder
        Where several could be last, the one whose start stands least above its running. Where none can, the one with
        the greatest start is left off; where too much runs together, the largest.
    """
    rest, blocked, last = list(things), list[str](), list[Startable]()
    why: Literal["", "running", "starting"] = ""
    most = 0.0
    while rest and abs(_sum(rest)) > gives_va * (1 + SLACK):
        why, most = why or "running", most or abs(_sum(rest))
        out = max(rest, key=lambda thing: abs(thing.running_va))
        rest.remove(out)
        blocked.append(out.name)
    while rest:
        whole = _sum(rest)
        can = [t for t in rest if abs(whole - t.running_va + t.peak_va) <= surge_va * (1 + SLACK)]
        if can:
            chosen = min(reversed(can), key=lambda thing: abs(thing.peak_va) - abs(thing.running_va))
            last.append(chosen)
        else:
            chosen = max(rest, key=lambda thing: abs(thing.peak_va))
            why, most = why or "starting", most or abs(whole - chosen.running_va + chosen.peak_va)
            blocked.append(chosen.name)
        rest.remove(chosen)
    return StartOrder(_steps(last[::-1]), tuple(blocked), why, most)


def _sum(things: Sequence[Startable]) -> complex:
    return sum((thing.running_va for thing in things), 0j)


def _steps(ordered: Sequence[Startable]) -> tuple[OrderStep, ...]:
    steps, before = [], 0j
    for thing in ordered:
        after = before + thing.running_va
        steps.append(OrderStep(thing.name, abs(before), abs(before + thing.peak_va), abs(after)))
        before = after
    return tuple(steps)
