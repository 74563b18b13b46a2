"""A schedule: what a person builds or buys from, row by row, in the shape every page, sheet and snapshot takes."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from trailerlib import units
from trailerlib.physics.formula import Worked
from trailerlib.studies.answer import Column, Quantity

INCH_M, CENTIMETRE_M = 0.0254, 0.01
EXACT = 1e-6  # of a step: a length that is a whole step is not rounded up for the last digit of a float


@dataclass(frozen=True)
class Schedule:
    """Rows under columns, the few numbers that sum them up, what is to be known of them, and the working.

    ``question`` is where its figures come from; ``missing`` says, one sentence each, what could not be put in.
    """

    key: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[Mapping[str, Any], ...]
    note: str = ""
    numbers: Mapping[str, Quantity] = field(default_factory=dict)
    missing: tuple[str, ...] = ()
    working: tuple[Worked, ...] = ()


class TapeColumn(Column):
    """A length as it is marked with a tape: feet and inches, or metres and centimetres."""

    written_out = True

    def cell(self, value: Any, system: units.System) -> str:
        """A length as text, unit and all; a dash where it is not known."""
        return "–" if value is None or value != value else tape(float(value), system)


class MoneyColumn(Column):
    """An amount of money with two decimals, in whatever the builder reckons."""

    def cell(self, value: Any, system: units.System) -> str:
        """An amount as text; a dash where there is none."""
        return "–" if value is None or value != value else f"{value:.2f}"


class AmountColumn(Column):
    """How many or how much, without more decimals than it has."""

    def cell(self, value: Any, system: units.System) -> str:
        """An amount as text; a dash where there is none."""
        return "–" if value is None or value != value else f"{value:.10g}"


class Money(Quantity):
    """A sum of money."""

    def text(self, system: units.System) -> str:
        """The sum with two decimals."""
        return "–" if self.value is None else f"{self.value:.2f}"


def step_m(system: units.System) -> float:
    """The step a length is marked in [m]: an inch or a centimetre.

    Parameters
    ----------
    system : ``us`` or ``metric``
    """
    return INCH_M if system == "us" else CENTIMETRE_M


def steps_up(length_m: float, system: units.System) -> int:
    """A length in whole steps, never too short [-].

    Parameters
    ----------
    length_m : [m] not negative
    system : ``us`` or ``metric``
    """
    return math.ceil(length_m / step_m(system) - EXACT)


def steps_down(length_m: float, system: units.System) -> int:
    """A length in whole steps, never more than there is [-].

    Parameters
    ----------
    length_m : [m] not negative
    system : ``us`` or ``metric``
    """
    return math.floor(length_m / step_m(system) + EXACT)


def tape(length_m: float, system: units.System) -> str:
    """A length as it is marked: ``24 ft 7 in`` or ``7.49 m``.

    Parameters
    ----------
    length_m : [m] not negative
    system : ``us`` or ``metric``
    """
    steps = round(length_m / step_m(system))
    if system == "metric":
        return f"{steps / 100:.2f} m"
    feet, inches = divmod(steps, 12)
    return " ".join(
        part for part in (f"{feet} ft" if feet else "", f"{inches} in" if inches or not feet else "") if part
    )
