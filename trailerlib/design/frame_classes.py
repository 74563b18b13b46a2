"""Metals that bows and headers may be of."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from trailerlib import reference
from trailerlib.design.catalogue import refuse


@dataclass(frozen=True)
class Metal:
    """What a bow is of: stiffness and yield [Pa], yield beside a weld [Pa], density [kg/m³], safety factor [-]."""

    name: str
    modulus_pa: float
    yield_pa: float
    welded_pa: float
    density: float
    safety: float
    source: str

    def strength_pa(self, *, welded: bool) -> float:
        """Stress at which it begins to stay bent [Pa]."""
        return self.welded_pa if welded else self.yield_pa


@lru_cache(maxsize=1)
def metals() -> dict[str, Metal]:
    """Every metal by name."""
    return {
        row["metal"]: Metal(
            row["metal"],
            float(row["modulus_pa"]),
            float(row["yield_pa"]),
            float(row["welded_yield_pa"]),
            float(row["density_kg_per_m3"]),
            float(row["safety"]),
            f"{row['source']} ({row['confidence']})",
        )
        for row in reference.table("metals").rows
    }


def metal(name: str) -> Metal:
    """One metal.

    Raises
    ------
    ValueError
        When there is no such metal; the text offers the nearest names.
    """
    try:
        return metals()[name]
    except KeyError:
        raise refuse(name, "a metal", metals()) from None
