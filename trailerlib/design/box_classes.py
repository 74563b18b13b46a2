"""What a box may be made of and who is in it: materials, skins, glazing, activities, fans, each by its class."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import TypeVar

from trailerlib import reference
from trailerlib.design.catalogue import refuse

Row = Mapping[str, str]
Class = TypeVar("Class")


@dataclass(frozen=True)
class Material:
    """What a layer or a stud is of: conductivity [W/(m K)], density [kg/m³], heat [J/(kg K)].

    ``between_studs``: studs interrupt it. ``fixed_r`` [m² K/W] is that of an air space, which goes by no thickness.
    """

    name: str
    conductivity: float
    density: float
    specific_heat: float
    between_studs: bool
    fixed_r: float | None
    source: str

    @property
    def heat_j_per_m3k(self) -> float:
        """What a cubic metre holds [J/(m³ K)]."""
        return self.density * self.specific_heat

    def conductivity_of(self, thickness_m: float) -> float:
        """What passes through a layer of this thickness [W/(m K)]; differs from ``conductivity`` for an air space."""
        return self.conductivity if self.fixed_r is None else thickness_m / self.fixed_r


@dataclass(frozen=True)
class Skin:
    """A colour of the skin: what it takes up of the sun [-] and how well it sends out warmth [-]."""

    name: str
    absorptance: float
    emittance: float
    source: str


@dataclass(frozen=True)
class Glazing:
    """A kind of window: heat it passes, air to air [W/(m² K)], and what it lets in of the sun [-]."""

    name: str
    u: float
    solar: float
    source: str


@dataclass(frozen=True)
class Activity:
    """What one person gives off: warmth and that of water [W], carbon dioxide [m³/s]."""

    name: str
    sensible_w: float
    latent_w: float
    co2_m3_s: float
    source: str


@dataclass(frozen=True)
class Fan:
    """A roof fan: free air [m³/s] and shut-off pressure [Pa] at full speed in air of 1.2041 kg/m³; its speed [-]."""

    name: str
    free_flow_m3_s: float
    shut_off_pa: float
    speed: float
    noise_db: float | None
    source: str


def _source(row: Row) -> str:
    return f"{row['source']} ({row['confidence']})"


def _pick(name: str, what: str, known: Callable[[], dict[str, Class]]) -> Class:
    try:
        return known()[name]
    except KeyError:
        raise refuse(name, what, known()) from None


@lru_cache(maxsize=1)
def materials() -> dict[str, Material]:
    """Every material by name."""
    return {
        row["material"]: Material(
            row["material"],
            float(row["conductivity_w_per_mk"]),
            float(row["density_kg_per_m3"]),
            float(row["specific_heat_j_per_kgk"]),
            row["between_studs"] == "yes",
            float(row["resistance_m2k_per_w"]) if row["resistance_m2k_per_w"] else None,
            _source(row),
        )
        for row in reference.table("materials").rows
    }


@lru_cache(maxsize=1)
def skins() -> dict[str, Skin]:
    """Every colour of a skin by name, from light to dark."""
    return {
        row["skin"]: Skin(row["skin"], float(row["absorptance"]), float(row["emittance"]), _source(row))
        for row in reference.table("skin_colours").rows
    }


@lru_cache(maxsize=1)
def glazings() -> dict[str, Glazing]:
    """Every kind of window by name."""
    return {
        row["glazing"]: Glazing(
            row["glazing"], float(row["u_w_per_m2k"]), float(row["solar_transmittance"]), _source(row)
        )
        for row in reference.table("glazing").rows
    }


@lru_cache(maxsize=1)
def activities() -> dict[str, Activity]:
    """What people may be doing, by name."""
    return {
        row["activity"]: Activity(
            row["activity"],
            float(row["sensible_w"]),
            float(row["latent_w"]),
            float(row["co2_l_per_s"]) * 1e-3,
            _source(row),
        )
        for row in reference.table("people").rows
    }


@lru_cache(maxsize=1)
def fans() -> dict[str, Fan]:
    """Every class of appliance that is a fan, with its curve, from fast to slow."""
    return {
        row["fan"]: Fan(
            row["fan"],
            float(row["free_flow_m3_s"]),
            float(row["shut_off_pa"]),
            float(row["speed_share"]),
            float(row["noise_db"]) if row["noise_db"] else None,
            _source(row),
        )
        for row in reference.catalogue("fans").rows
    }


def material(name: str) -> Material:
    """One material.

    Raises
    ------
    ValueError
        When there is no such material; the text offers the nearest names.
    """
    return _pick(name, "a material", materials)


def skin(name: str) -> Skin:
    """One colour of the skin.

    Raises
    ------
    ValueError
        When there is no such colour; the text offers the nearest names.
    """
    return _pick(name, "a colour of the skin", skins)


def glazing(name: str) -> Glazing:
    """One kind of window.

    Raises
    ------
    ValueError
        When there is no such kind; the text offers the nearest names.
    """
    return _pick(name, "a kind of glazing", glazings)


def activity(name: str) -> Activity:
    """What people are doing.

    Raises
    ------
    ValueError
        When there is no such activity; the text offers the nearest names.
    """
    return _pick(name, "an activity", activities)


def fan_of(appliance: str) -> Fan | None:
    """The curve of an appliance class that is a fan; None of anything else."""
    return fans().get(appliance)
