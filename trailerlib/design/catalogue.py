"""Generic classes a design may name: appliances, supplies, generators, wires, insulation.

A class has a range, not one figure; the name plate of the real thing always wins.
"""

from __future__ import annotations

import difflib
import re
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


@dataclass(frozen=True)
class WireSize:
    """One size of copper wire: conductor area [m²]; resistance at 20 °C [Ω/m] where its standard gives one."""

    name: str
    area_m2: float
    ohm_per_m_20c: float | None
    awg: str | None


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


@dataclass(frozen=True)
class PlugType:
    """One type of plug and receptacle: rating [A], volts of one leg to neutral [V], legs, whether it has a neutral."""

    name: str
    rating_a: float
    leg_volts: float
    legs: int
    neutral: bool

    def enters(self, receptacle: str) -> bool:
        """Whether this plug goes into a receptacle of a type; the 20 A one of 125 V takes the 15 A plug as well."""
        return receptacle == self.name or (self.name == "5-15" and receptacle == "5-20")


@dataclass(frozen=True)
class AdapterKind:
    """A change of plug: what is plugged in on the supply's side, what it offers on the trailer's side."""

    plug: PlugType
    receptacle: PlugType

    @property
    def name(self) -> str:
        """How it is written in a design file."""
        return f"{self.plug.name} to {self.receptacle.name}"


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


@lru_cache(maxsize=1)
def wires() -> dict[str, WireSize]:
    """Every wire size by name (``12 AWG``, ``2.5 mm2``), AWG from thin to thick, then metric."""
    return {**_awg_sizes(), **_metric_sizes()}


def _awg_sizes() -> dict[str, WireSize]:
    sizes = {}
    for row in reference.table("wire_awg").rows:
        name = f"{row['awg']} AWG"
        sizes[name] = WireSize(name, float(row["area_mm2"]) * 1e-6, None, row["awg"])
    return sizes


def _metric_sizes() -> dict[str, WireSize]:
    sizes = {}
    for row in reference.table("wire_iec60228").rows:
        name = f"{float(row['nominal_mm2']):g} mm2"
        sizes[name] = WireSize(
            name, float(row["nominal_mm2"]) * 1e-6, float(row["class5_plain_ohm_per_km"]) * 1e-3, None
        )
    return sizes


@lru_cache(maxsize=512)
def wire(text: str) -> WireSize:
    """One wire size.

    Raises
    ------
    ValueError
        When no such size is made; the text offers the nearest.
    """
    words = " ".join(text.replace("mm²", "mm2").replace("awg", "AWG").split())
    match = re.fullmatch(r"(\S+?) ?(AWG|mm2)", words)
    name = f"{match[1]} {match[2]}" if match else words
    try:
        return wires()[name]
    except KeyError:
        raise refuse(name, 'a wire size that is made (write it as "12 AWG" or "2.5 mm2")', wires()) from None


INSULATIONS = ("60 C", "75 C", "90 C", "105 C")


def insulation(text: str) -> str:
    """The temperature rating of an insulation, ``75 C``.

    Raises
    ------
    ValueError
        When there is no ampacity column for it.
    """
    name = text.replace("°", "").strip()
    if name not in INSULATIONS:
        raise refuse(text, "an insulation rating", INSULATIONS)
    return name


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


@lru_cache(maxsize=1)
def plugs() -> dict[str, PlugType]:
    """Every type of plug of North American practice by its name in the standard."""
    return _plugs("nema_plugs")


@lru_cache(maxsize=1)
def every_plug() -> dict[str, PlugType]:
    """Every type of plug that a design may name, of either practice."""
    return {**plugs(), **_plugs("iec_plugs")}


def _plugs(name: str) -> dict[str, PlugType]:
    return {
        row["plug"]: PlugType(
            row["plug"], float(row["rating_a"]), float(row["leg_volts"]), int(row["legs"]), row["neutral"] == "yes"
        )
        for row in reference.table(name).rows
    }


def plug(text: str) -> PlugType:
    """One type of plug.

    Raises
    ------
    ValueError
        When there is no such type; the text offers the nearest.
    """
    try:
        return every_plug()[text.strip()]
    except KeyError:
        raise refuse(text, "a type of plug", every_plug()) from None


def adapter(text: str) -> AdapterKind:
    """One change of plug, ``5-15 to TT-30``.

    Raises
    ------
    ValueError
        When it is not two types of plug with "to" between them.
    """
    ends = text.split(" to ")
    if len(ends) != 2:
        raise refuse(text, "an adapter", ["5-15 to TT-30", "TT-30 to 14-50"])
    return AdapterKind(plug(ends[0]), plug(ends[1]))


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
