"""What is asked of a generator: what runs together, the hardest start, the order that works, the charger's share."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trailerlib.design.design import Design
from trailerlib.design.model import Load, Supply
from trailerlib.physics.motor import LOCKED_POWER_FACTOR, SOFT_POWER_FACTOR
from trailerlib.studies.circuits import charger_name, charger_va, lagging_va, load_va
from trailerlib.studies.legs import arriving_legs
from trailerlib.studies.mains import Moment, everything, moments
from trailerlib.studies.start_order import Startable
from trailerlib.studies.timetable import stays_on

LEAST_MULTIPLE = 3.0  # [-] below it no induction motor of these sizes stands still (from memory)
WAYS: tuple[bool | None, ...] = (None, True, False)  # a soft starter: as fitted, on all that take one, on none
FITTED, SOFT, BARE = range(len(WAYS))

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Asked:
    """What is asked: the busiest moment and what it draws [VA]; the moment of the hardest start, its load and all that
    is drawn then [VA]; the same with and without a soft starter on everything that takes one; what the charger draws
    [VA]. ``moments`` are those of the stays, or everything at once where ``has_stay`` is false.
    """

    peak: Moment
    running_va: float
    at: Moment
    hardest: str
    start_va: float
    soft_va: float
    bare_va: float
    charger_va: float
    moments: tuple[Moment, ...]
    has_stay: bool

    def beside(self, load: str) -> Moment:
        """The moment in which a load starts with the most beside it; the busiest when it is in none."""
        return max((m for m in self.moments if load in m.on), key=lambda m: m.va, default=self.peak)

    def has(self, load: str) -> bool:
        """Whether a load runs in some moment."""
        return any(load in m.on for m in self.moments)


def asked_of(design: Design, chosen: Supply | None, charger: bool = True) -> Asked:
    """What the stays on a supply ask of it; without a stay, everything at once.

    The hardest start need not fall into the busiest moment.

    Parameters
    ----------
    design : the design
    chosen : the supply, or None
    charger : whether the battery charger is counted
    """
    stays = stays_on(design, chosen.name) if chosen is not None else ()
    arriving = 1 if chosen is None else arriving_legs(design, chosen)
    found = tuple(m for stay in stays for m in moments(design, stay, arriving, mean=True))
    has_stay, found = bool(found), found or (everything(design, arriving),)
    extra = charger_va(design) if charger and charger_name(design) in found[0].on else 0j
    names, most, running = _hardest(design, found, extra)
    row, peak = int(most[:, FITTED].argmax()), int(running.argmax())
    return Asked(
        found[peak],
        float(running[peak]),
        found[row],
        names[row],
        float(most[row, FITTED]),
        float(most[:, SOFT].max()),
        float(most[:, BARE].max()),
        abs(extra),
        found,
        has_stay,
    )


def _hardest(design: Design, found: Sequence[Moment], charger: complex) -> tuple[list[str], Floats, Floats]:
    """Of every moment the load of the hardest start; what is drawn then, (moments, ways), and running [VA]."""
    loads = [load for load in design.loads if load.typical.system == "mains"]
    running = np.array([*(load_va(load) for load in loads), charger])
    starts = [[starting_va(load, way) for way in WAYS] for load in loads]
    start = np.array([*starts, [charger] * len(WAYS)])
    names = [*(load.name for load in loads), charger_name(design)]
    on = np.array([[name in m.on for m in found] for name in names], dtype=float)
    whole = on.T @ running
    at_start = np.abs(whole[:, None] + on[:, :, None] * (start - running[:, None])[:, None, :])
    index = np.where(on > 0.0, at_start[:, :, FITTED], -1.0).argmax(axis=0).tolist()  # only what is on can start
    return [names[k] if m.on else "" for m, k in zip(found, index, strict=True)], at_start.max(axis=0), np.abs(whole)


def startables(design: Design, at: Moment, soft: bool | None = None) -> list[Startable]:
    """What is switched on in a moment, each with what it draws running and starting.

    Parameters
    ----------
    design : the design
    at : the moment
    soft : whether everything that takes a soft starter has one; None is as fitted
    """
    on = [load for load in design.loads if load.name in at.on]
    things = [Startable(load.name, load_va(load), starting_va(load, soft)) for load in on]
    charger, name = charger_va(design), charger_name(design)
    return [*things, Startable(name, charger, charger)] if name in at.on and charger else things


def starting_va(load: Load, soft: bool | None = None) -> complex:
    """What a load draws while one of its pieces starts and the others run [VA], lagging positive.

    Parameters
    ----------
    load : the load
    soft : whether it has a soft starter; None is as fitted
    """
    rest = load_va(load) * (load.count - 1) / load.count
    size = piece_start_va(load, soft)
    fitted = load.soft_start if soft is None else soft
    factor = load.typical.power_factor
    if is_motor(load):
        factor = SOFT_POWER_FACTOR if fitted and takes_soft_starter(load) else LOCKED_POWER_FACTOR
    return rest + lagging_va(size * factor, factor)


def piece_start_va(load: Load, soft: bool | None = None) -> float:
    """What one piece draws in the moment it starts [VA].

    The name plate's locked-rotor current wins over the class's multiple; behind a soft starter it is not drawn.

    Parameters
    ----------
    load : the load
    soft : whether it has a soft starter; None is as fitted
    """
    fitted = load.soft_start if soft is None else soft
    typical = load.typical
    if not (fitted and takes_soft_starter(load)) and load.locked_rotor is not None:
        return load.locked_rotor * load.circuit_v
    if load.starting is not None and fitted is load.soft_start:
        return load.start_w / typical.power_factor
    multiple = typical.soft_start_multiple if fitted else typical.start_multiple
    return multiple * abs(load_va(load)) / load.count


def is_motor(load: Load) -> bool:
    """Whether a load of the mains side is an induction motor, which draws much more standing still."""
    if load.typical.system != "mains" or load.typical.kind != "motor":
        return False
    return piece_start_va(load, False) >= LEAST_MULTIPLE * abs(load_va(load)) / load.count


def takes_soft_starter(load: Load) -> bool:
    """Whether a soft starter does anything for a load."""
    return load.typical.soft_start_multiple < load.typical.start_multiple
