"""Types of plug and receptacle, and the adapters between them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from trailerlib import reference
from trailerlib.design.catalogue import refuse


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
