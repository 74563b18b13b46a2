"""Sets that hold while they run, but in which a motor does not get going with everything else on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from trailerlib.design import supply_classes
from trailerlib.design.design import Design
from trailerlib.design.model import Supply
from trailerlib.physics.together import SLACK
from trailerlib.studies.generator import site_factors
from trailerlib.studies.together.limits import Limit
from trailerlib.studies.together.result import Start
from trailerlib.studies.together.switches import Switch

MAGNETIC = 10.0  # times the rating a breaker opens at once; common practice, no source


@dataclass(frozen=True)
class Surge:
    """What a start may draw for a moment [A], and which switches lie behind it."""

    name: str
    amps: float
    on: tuple[bool, ...]


def surges(design: Design, supply: Supply, rows: Sequence[Limit], volts: float) -> tuple[Surge, ...]:
    """The limits of a start: the magnetic part of every breaker, and what a generator gives for a moment.

    Parameters
    ----------
    design : the design
    supply : what feeds the mains side
    rows : the limits of what runs
    volts : [V] of a leg to neutral
    """
    found = [Surge(row.name, MAGNETIC * row.rating, row.on) for row in rows if row.kind == "breaker"]
    if supply.is_generator:
        kind, left = supply_classes.generator_kinds()[supply.kind], site_factors(design).formula
        power = (supply.starting or kind.starting_w) * (1.0 if left is None else left)
        every = next(row.on for row in rows if row.kind == "power")
        found.append(Surge("generator’s starting power", power / volts, every))
    return tuple(found)


def starts(found: Sequence[Switch], on: Sequence[int], limits: Sequence[Surge]) -> tuple[Start, ...]:
    """The motors of a set that do not start with all the rest of it on.

    A start is added to the rest as if in phase, which overstates it a little.

    Parameters
    ----------
    found : what can be switched
    on : [-] places of those that are on
    limits : what a start may draw
    """
    return tuple(_hard(found, on, limits))


def never_start(found: Sequence[Switch], limits: Sequence[Surge]) -> tuple[int, ...]:
    """Places of the motors that do not start even with everything else off.

    Parameters
    ----------
    found : what can be switched
    limits : what a start may draw
    """
    return tuple(i for i, one in enumerate(found) if one.start_a is not None and _stopped(found, (), i, limits))


def _hard(found: Sequence[Switch], on: Sequence[int], limits: Sequence[Surge]) -> Iterator[Start]:
    motors = [i for i in on if found[i].start_a is not None]
    hard = {i: name for i in motors if (name := _stopped(found, [k for k in on if k != i], i, limits))}
    if not hard:
        return
    order = sorted(motors, key=lambda i: found[i].size_a - (found[i].start_a or 0.0))
    works = not any(_stopped(found, order[:k], i, limits) for k, i in enumerate(order))
    for i, name in hard.items():
        first = tuple(found[k].name for k in order[: order.index(i) + 1]) if works else ()
        yield Start(found[i].name, name, first, found[i].thermostat)


def _stopped(found: Sequence[Switch], rest: Sequence[int], motor: int, limits: Sequence[Surge]) -> str:
    """The limit that a start passes with the rest running; empty when it goes."""
    for limit in limits:
        if limit.on[motor]:
            others = abs(sum((found[k].amps for k in rest if limit.on[k]), 0j))
            if others + (found[motor].start_a or 0.0) > limit.amps * (1.0 + SLACK):
                return limit.name
    return ""
