"""Generic kinds of supply a design may name: inlets and cords of both practices, classes of portable generator."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from trailerlib import reference
from trailerlib.design.catalogue import refuse


@dataclass(frozen=True)
class SupplyKind:
    """One kind of supply: rating [A], voltage [V], legs, the usual cord, and the type of its receptacle."""

    name: str
    rating_a: float
    volts: float
    legs: int
    cord: str
    cord_run_m: float
    plug: str


@dataclass(frozen=True)
class GeneratorKind:
    """One class of portable generator: running and starting power [W] at sea level, fuel line, tank, receptacle.

    ``alternator`` is its type in the table of alternators.
    """

    name: str
    running_w: float
    starting_w: float
    volts: float
    tank_l: float
    idle_l_per_h: float
    slope_l_per_kwh: float
    plug: str
    alternator: str


@lru_cache(maxsize=1)
def supply_kinds() -> dict[str, SupplyKind]:
    """Every kind of inlet or cord of North American practice by name."""
    return _supplies("supplies")


@lru_cache(maxsize=1)
def iec_supplies() -> dict[str, SupplyKind]:
    """Every kind of inlet of IEC practice by name."""
    return _supplies("iec_supplies")


@lru_cache(maxsize=1)
def every_supply() -> dict[str, SupplyKind]:
    """Every kind of inlet or cord that a design may name, of either practice."""
    return {**supply_kinds(), **iec_supplies()}


def _supplies(name: str) -> dict[str, SupplyKind]:
    return {
        row["kind"]: SupplyKind(
            row["kind"],
            float(row["rating_a"]),
            float(row["volts"]),
            int(row["legs"]),
            row["cord"],
            float(row["cord_run_m"]),
            row["plug"],
        )
        for row in reference.catalogue(name).rows
    }


@lru_cache(maxsize=1)
def generator_kinds() -> dict[str, GeneratorKind]:
    """Every generator class by name, from small to large."""
    return {
        row["class"]: GeneratorKind(
            row["class"],
            float(row["running_w"]),
            float(row["starting_w"]),
            float(row["volts"]),
            float(row["tank_l"]),
            float(row["idle_l_per_h"]),
            float(row["slope_l_per_kwh"]),
            row["plug"],
            row["alternator"],
        )
        for row in reference.catalogue("generators").rows
    }


def is_generator(kind: str) -> bool:
    """Whether a supply kind is one of the generator classes."""
    return kind in generator_kinds()


def check_supply(kind: str) -> str:
    """The kind itself when it is an inlet, a cord or a generator class.

    Raises
    ------
    ValueError
        When it is none of them.
    """
    if kind in every_supply() or kind in generator_kinds():
        return kind
    raise refuse(kind, "a kind of supply", [*every_supply(), *generator_kinds()])
