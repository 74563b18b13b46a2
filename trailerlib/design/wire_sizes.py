"""Sizes of copper wire that are made, and the ratings of their insulation."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from trailerlib import reference
from trailerlib.design.catalogue import refuse


@dataclass(frozen=True)
class WireSize:
    """One size of copper wire: conductor area [m²]; resistance at 20 °C [Ω/m] where its standard gives one."""

    name: str
    area_m2: float
    ohm_per_m_20c: float | None
    awg: str | None


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
