"""What a wire may carry as it is laid: the table of its side, the air, the bundle, the terminals."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from trailerlib import reference
from trailerlib.design import wire_sizes
from trailerlib.physics.conductor import ambient_factor

TABLES = {"dc": "cfr183_ampacity", "mains": "nec_310_16_ampacity"}
BUNDLES = {"dc": "marine_bundling", "mains": "nec_bundling"}
METRIC, METRIC_C = "iec_52_ampacity", 70.0  # PVC; insulation that stands more is taken as this, on the safe side
METRIC_CORD = "bs7671_cord"
METHODS = {"dc": "e_a", "mains": "a2_a"}  # in free air as the boat table; enclosed in an insulating wall, the least
TERMINAL = "a_60c"  # 110.14(C): 100 A and less, unless the terminals are marked for more


@dataclass(frozen=True)
class Ampacity:
    """What a wire may carry [A], and the three factors it comes from; ``amps`` is None when no table lists it.

    ``cap_a`` is the largest fuse the small-conductor rule allows [A], if any.
    """

    amps: float | None
    table_a: float | None
    ambient: float | None
    bundle: float | None
    cap_a: float | None
    rating_c: float
    source: str

    @property
    def guarded_a(self) -> float | None:
        """The largest protection this wire may have behind it [A]."""
        if self.amps is None:
            return None
        return self.amps if self.cap_a is None else min(self.amps, self.cap_a)


@lru_cache(maxsize=8192)
def ampacity(wire: str, insulation: str, system: str, ambient_c: float | None, conductors: int | None) -> Ampacity:
    """What a wire may carry as laid.

    Parameters
    ----------
    wire : size such as ``12 AWG``
    insulation : rating such as ``75 C``
    system : ``dc`` (free air, low voltage table of public boat law) or ``mains`` (310.16)
    ambient_c : [°C] air around the wire, or None when it is not known
    conductors : [-] current-carrying conductors in the bundle, or None when it is not known

    Returns
    -------
    Ampacity
        With ``amps`` None when the table does not list the wire, or the air or the bundle is not known. Metric sizes
        are those of PVC at 70 °C, whatever better insulation they have.

    Source
    ------
    310.16, 310.15(B)(1), 310.15(C)(1), 110.14(C), 240.4(D); 33 CFR 183.425 table 5; metric sizes: IEC 60364-5-52
    tables B.52.2, B.52.10, B.52.14 (as its formula) and B.52.17, from memory.
    """
    if wire_sizes.wire(wire).awg is None:
        return _metric(wire, float(insulation.split()[0]), system, ambient_c, conductors)
    rating_c = float(insulation.split()[0])
    row = _row(TABLES[system], wire)
    table_a = _cell(row, f"a_{int(rating_c)}c") if row else None
    factor = None if ambient_c is None else float(ambient_factor(rating_c, ambient_c))
    bundle = None if conductors is None else _bundle(BUNDLES[system], conductors)
    amps = None if table_a is None or factor is None or bundle is None else table_a * factor * bundle
    if amps is not None and system == "mains" and row is not None:
        amps = min(amps, _cell(row, TERMINAL) or amps)
    cap = _cell(row, "max_protection_a") if row and system == "mains" else None
    return Ampacity(amps, table_a, factor, bundle, cap, rating_c, row["source"] if row else "")


def _metric(wire: str, insulation_c: float, system: str, ambient_c: float | None, conductors: int | None) -> Ampacity:
    """The same for a metric size: a circuit of a bundle is two of its conductors."""
    row = _metric_row(wire) if insulation_c >= METRIC_C else None
    table_a = _cell(row, METHODS[system]) if row else None
    factor = None if ambient_c is None else float(ambient_factor(METRIC_C, ambient_c))
    bundle = None if conductors is None else _bunched(math.ceil(conductors / 2))
    amps = None if table_a is None or factor is None or bundle is None else table_a * factor * bundle
    return Ampacity(
        amps, table_a, factor, bundle, None, METRIC_C if row else insulation_c, row["source"] if row else ""
    )


@lru_cache(maxsize=256)
def _metric_row(wire: str, table: str = METRIC) -> Mapping[str, str] | None:
    nominal = round(wire_sizes.wire(wire).area_m2 * 1e6, 3)
    return next((row for row in reference.table(table).rows if float(row["nominal_mm2"]) == nominal), None)


@lru_cache(maxsize=256)
def _bunched(circuits: int) -> float:
    rows = reference.table("iec_bunched").rows
    found = (
        float(row["factor"]) for row in rows if float(row["circuits_from"]) <= circuits <= float(row["circuits_to"])
    )
    return next(found, 1.0)


@lru_cache(maxsize=1024)
def _row(table: str, wire: str) -> Mapping[str, str] | None:
    awg = wire_sizes.wire(wire).awg
    if awg is None:
        return None
    rows = reference.table(table).where(awg=awg).rows
    return rows[0] if rows else None


def _cell(row: Mapping[str, str], column: str) -> float | None:
    text = row.get(column, "")
    return float(text) if text else None


@lru_cache(maxsize=256)
def _bundle(table: str, conductors: int) -> float:
    rows = reference.table(table)
    for low, high, factor in zip(rows.floats("ccc_from"), rows.floats("ccc_to"), rows.floats("factor"), strict=True):
        if low <= conductors <= high:
            return float(factor)
    return 1.0 if conductors < 3 else float(rows.floats("factor").min())


@lru_cache(maxsize=64)
def low_voltage_table_a(wire: str) -> float | None:
    """Largest fuse the low-voltage overcurrent table gives for a wire [A]; None where it lists none."""
    row = _row("low_voltage_protection", wire)
    return _cell(row, "max_a") if row is not None else None


@lru_cache(maxsize=64)
def cord_a(wire: str) -> float | None:
    """What a flexible cord with two current-carrying conductors may carry [A]; None where no table lists it.

    Source
    ------
    NFPA 70 table 400.5(A)(1); metric sizes up to 4 mm²: BS 7671 table 4F3A, which stands for 60 °C in air at 30 °C too.
    """
    gauged = wire_sizes.wire(wire).awg is not None
    row = _row("nec_400_5_cord", wire) if gauged else _metric_row(wire, METRIC_CORD)
    return _cell(row, "a_2_conductors") if row is not None else None


@lru_cache(maxsize=16)
def ratings(device: str, practice: str = "north-america") -> tuple[float, ...]:
    """The standard ratings of a protective device [A], small to large.

    Parameters
    ----------
    device : kind of device, as a circuit names it
    practice : ``north-america`` or ``iec``
    """
    european = practice == "iec" and device == "breaker"
    rows = (
        reference.table("iec_breaker_ratings")
        if european
        else reference.table("protection_ratings").where(device=device)
    )
    return tuple(sorted(float(a) for a in rows.floats("rating_a")))
