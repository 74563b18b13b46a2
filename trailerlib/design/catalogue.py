"""Generic classes a design may name: appliances, and what a class weighs.

A class has a range, not one figure; the name plate of the real thing always wins.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from trailerlib import reference


@dataclass(frozen=True)
class Appliance:
    """One class of load: power low, typical and high [W], duty [-], start multiple [-], lowest voltage [V].

    ``start_s`` is how long the start takes [s], 0 where there is none; ``thermostat`` whether it switches itself.
    ``cooling_w`` is the cold a cooler makes at its rating [W], None of anything else. ``fastened`` is what is built in
    even where it has a plug.
    """

    name: str
    system: str
    kind: str
    power_low_w: float
    power_w: float
    power_high_w: float
    power_factor: float
    duty: float
    start_multiple: float
    soft_start_multiple: float
    lowest_v: float | None
    continuous: bool
    thermostat: bool
    start_s: float
    cooling_w: float | None
    fastened: bool
    source: str


def refuse(text: str, what: str, names: Iterable[str]) -> ValueError:
    """What to raise for a name that no class has: one sentence that offers the nearest."""
    offer = list(names)
    near = difflib.get_close_matches(text, offer, n=3, cutoff=0.4) or offer[:6]
    from trailerlib.units import shorten

    return ValueError(f'"{shorten(text)}" is not {what}; did you mean {_or(near)}?')


def _or(names: list[str]) -> str:
    quoted = [f'"{name}"' for name in names]
    return quoted[0] if len(quoted) == 1 else ", ".join(quoted[:-1]) + " or " + quoted[-1]


@lru_cache(maxsize=1)
def appliances() -> dict[str, Appliance]:
    """Every appliance class by name, in catalogue order.

    Raises
    ------
    TableError
        When a row lacks a number or says what no class may say; the text names row, column and what it takes.
    """
    return {row["class"]: _appliance(row) for row in reference.catalogue("appliances").rows}


SAID = {
    "system": ("dc", "mains"),
    "kind": ("resistive", "constant power", "constant current", "motor"),
    **dict.fromkeys(("continuous", "thermostat", "fastened"), ("yes", "no")),
}  # the columns that take a word, and which


def _appliance(row: Mapping[str, str]) -> Appliance:
    for column, words in SAID.items():
        if row[column] not in words:
            raise _wrong(row, column, _or(list(words)))
    return Appliance(
        name=row["class"],
        system=row["system"],
        kind=row["kind"],
        power_low_w=_number(row, "power_low_w"),
        power_w=_number(row, "power_w"),
        power_high_w=_number(row, "power_high_w"),
        power_factor=_number(row, "power_factor"),
        duty=_number(row, "duty"),
        start_multiple=_number(row, "start_multiple"),
        soft_start_multiple=_number(row, "soft_start_multiple"),
        lowest_v=_number(row, "lowest_v") if row["lowest_v"] else None,
        continuous=row["continuous"] == "yes",
        thermostat=row["thermostat"] == "yes",
        start_s=_number(row, "start_s"),
        cooling_w=_number(row, "cooling_w") if row["cooling_w"] else None,
        fastened=row["fastened"] == "yes",
        source=f"{row['source']} ({row['confidence']})",
    )


def _number(row: Mapping[str, str], column: str) -> float:
    try:
        return float(row[column])
    except ValueError:
        raise _wrong(row, column, "a number") from None


def _wrong(row: Mapping[str, str], column: str, wanted: str) -> reference.TableError:
    written = f'is "{row[column]}"' if row[column] else "is empty"
    return reference.TableError(
        f'data/catalogue/appliances.csv, class "{row["class"]}": {column} {written}; it takes {wanted}.'
    )


def appliance(name: str) -> Appliance:
    """One appliance class.

    Raises
    ------
    ValueError
        When there is no such class; the text offers the nearest names.
    """
    try:
        return appliances()[name]
    except KeyError:
        raise refuse(name, "an appliance class", appliances()) from None


@dataclass(frozen=True)
class MassClass:
    """What a class weighs: low, typical and high [kg], of one piece or for each ``per`` ("", "Ah", "W" or "m2")."""

    name: str
    per: str
    low_kg: float
    mass_kg: float
    high_kg: float
    source: str


@lru_cache(maxsize=1)
def masses() -> dict[str, MassClass]:
    """What each class weighs, by its name."""
    return {
        row["class"]: MassClass(
            row["class"],
            row["per"],
            float(row["mass_low_kg"]),
            float(row["mass_kg"]),
            float(row["mass_high_kg"]),
            f"{row['source']} ({row['confidence']})",
        )
        for row in reference.catalogue("masses").rows
    }


def mass_kg(name: str) -> float | None:
    """Typical mass of a class [kg], for each piece, amp-hour, watt or square metre; None where there is none."""
    known = masses().get(name)
    return None if known is None else known.mass_kg
