"""Wires and fuses for every circuit at once: consistent with one another, with few sizes to buy."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any

from trailerlib.design.design import Design
from trailerlib.design.wire_sizes import wire as wire_size
from trailerlib.studies import battery_side, mains_side, runs
from trailerlib.studies.runs import Run
from trailerlib.studies.wire_choice import Option

MOST_SIZES = 3  # spools a small shop likes to buy for one system
ROUNDS = 6  # a thicker wire lets the others' voltage rise a little; two rounds settle it as a rule


@dataclass(frozen=True)
class Fitted:
    """One circuit as proposed: the wire, its fuse [A], and what they were. ``reason`` says why there is none."""

    circuit: str
    wire: str | None
    fuse_a: float | None
    was_wire: str
    was_fuse_a: float | None
    reason: str = ""

    @property
    def changes(self) -> bool:
        """Whether the proposal differs from what is fitted."""
        return self.wire is not None and (self.wire != self.was_wire or self.fuse_a != self.was_fuse_a)


@dataclass(frozen=True)
class Fit:
    """The proposal for every circuit, the design with it, and the sizes to buy."""

    circuits: tuple[Fitted, ...]
    design: Design
    sizes: tuple[str, ...]

    @property
    def sentence(self) -> str:
        """What it comes to, in words."""
        changed = sum(one.changes for one in self.circuits)
        none = [one.circuit for one in self.circuits if one.wire is None]
        words = f"{changed} of {len(self.circuits)} circuits change; sizes to buy: {', '.join(self.sizes) or 'none'}."
        return words + (f" No wire does for {', '.join(none)}." if none else "")


def fit(design: Design, most_sizes: int = MOST_SIZES) -> Fit:
    """A wire and a fuse for every circuit that satisfy every rule together, with few sizes to buy.

    Parameters
    ----------
    design : the design
    most_sizes : [-] how many sizes may be bought for each system; more where fewer cannot do it

    Returns
    -------
    Fit
        Among all sets of so many sizes the one with the least copper, every circuit taking the thinnest of the set
        that does for it.
    """
    now, sizes = design, set[str]()
    for _ in range(ROUNDS):
        before, sizes = now, set()
        worked = runs.runs(now, battery_side.solve(now), mains_side.sides(now))
        changes: dict[tuple[str, ...], Any] = {}
        for system in ("dc", "mains"):
            asked = [run for run in worked if run.circuit.system == system and run.choice.pair is not None]
            chosen = _few(asked, most_sizes)
            sizes |= {option.wire for option in chosen}
            for run, option in zip(asked, chosen, strict=True):
                changes |= _change(run, option)
        now = now.replace_all(changes) if changes else now
        if now.model_dump() == before.model_dump():
            break
    return Fit(tuple(_fitted(design, now, run) for run in worked), now, tuple(sorted(sizes, key=_area)))


def _change(run: Run, option: Option) -> dict[tuple[str, ...], Any]:
    name, circuit = run.circuit.name, run.circuit
    changes: dict[tuple[str, ...], Any] = {}
    if circuit.wire != option.wire:
        changes["circuit", name, "wire"] = option.wire
    if circuit.protection != option.fuse_a and option.fuse_a is not None:
        changes["circuit", name, "protection"] = f"{option.fuse_a:g} A"
    return changes


def _fitted(design: Design, now: Design, run: Run) -> Fitted:
    was, name = design.circuit(run.circuit.name), run.circuit.name
    if run.choice.pair is None:
        return Fitted(name, None, None, was.wire, was.protection, run.choice.pair_binding)
    new = now.circuit(name)
    return Fitted(name, new.wire, new.protection, was.wire, was.protection)


def _few(asked: Sequence[Run], most: int) -> list[Option]:
    """For every circuit an option that does, all out of the set of sizes that takes the least copper."""
    doing = [{option.wire: option for option in run.choice.options if option.forbidden is None} for run in asked]
    names = sorted({wire for does in doing for wire in does}, key=_area)
    for count in range(min(most, len(names)), len(names) + 1):
        best = min(
            (found for chosen in combinations(names, count) if (found := _out_of(doing, chosen)) is not None),
            key=lambda found: _copper(asked, found),
            default=None,
        )
        if best is not None:
            return best
    return []


def _out_of(doing: Sequence[Mapping[str, Option]], chosen: Sequence[str]) -> list[Option] | None:
    found = [next((does[wire] for wire in chosen if wire in does), None) for does in doing]
    return None if any(option is None for option in found) else [option for option in found if option is not None]


def _copper(asked: Sequence[Run], options: Sequence[Option]) -> float:
    return sum((run.route.wire_m or 0.0) * _area(option.wire) for run, option in zip(asked, options, strict=True))


def _area(wire: str) -> float:
    return wire_size(wire).area_m2
