"""What each bow, cut end and trimmer carries, so that the sums can be followed down to the walls."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from trailerlib import units
from trailerlib.studies.answer import Beside, Column, names
from trailerlib.studies.roof.carry import Carrying
from trailerlib.studies.roof.frame import G_M_S2, Framing
from trailerlib.studies.roof.result import Result

COLUMNS = (
    Column("what", "Under"),
    Column("bow", "Bow"),
    Column("at_m", "From the nose", "length"),
    Column("own_kg", "Its roof and others", "mass"),
    Column("gets_kg", "From the trimmers", "mass"),
    Column("hands_kg", "To the trimmers", "mass"),
    Column("walls_kg", "On its two walls", "mass"),
)
SUMS = ("own_kg", "gets_kg", "hands_kg", "walls_kg")
NOTE = "Standing still; on its walls lies what a bow bears itself, with what it gets and without what it hands on."


@dataclass(frozen=True)
class Bears:
    """One bow under an opening, weights [kg]: ``own_kg`` skin, ceiling, itself and other openings, ``gets_kg`` from the
    trimmers, ``hands_kg`` to them where its cut ends lean on them, ``walls_kg`` on both walls.
    """

    name: str
    at_m: float
    cut: bool
    own_kg: float
    gets_kg: float
    hands_kg: float
    walls_kg: float


def bears(framing: Framing, one: Carrying) -> tuple[Bears, ...]:
    """The bows that the trimmers of an opening reach, from the nose back.

    Parameters
    ----------
    framing : the bows
    one : how the opening is carried
    """
    reached = framing.reached_by(one.opening)
    return tuple(
        Bears(
            f"bow {number + 1}", at, at in one.cut, float(one.own_n[number]) / G_M_S2,
            float(np.maximum(one.leans_n[number], 0.0).sum()) / G_M_S2,
            float(np.maximum(-one.leans_n[number], 0.0).sum()) / G_M_S2, float(one.walls_n[number]) / G_M_S2,
        )
        for number, at in enumerate(framing.at_m)
        if at in reached
    )  # fmt: skip


def trimmers_kg(one: Carrying) -> tuple[float, float]:
    """What the trimmer on the road side and that on the curb side carry [kg]: half of it, and what leans on them."""
    leans = np.maximum(-one.leans_n, 0.0).sum(axis=0) / G_M_S2
    return one.mass_kg / 2 + float(leans[0]), one.mass_kg / 2 + float(leans[1])


def besides(found: Result, system: units.System) -> Beside | None:
    """The bows under every opening, each opening with its sum and a sentence; None where nothing is carried."""
    framing = found.framing
    if framing is None or not found.carried:
        return None
    rows = tuple(row for name, one in found.carried.items() for row in _rows(name, bears(framing, one)))
    said = [_sentence(name, one, bears(framing, one), system) for name, one in found.carried.items()]
    return Beside("What each bow carries", COLUMNS, rows, " ".join([*said, NOTE]))


def _rows(name: str, told: tuple[Bears, ...]) -> Iterator[Mapping[str, Any]]:
    for bow in told:
        called = f"{bow.name}, cut" if bow.cut else bow.name
        yield {"what": name, "bow": called, "at_m": bow.at_m, **{key: getattr(bow, key) for key in SUMS}}
    yield {"what": name, "bow": "together", **{key: sum(getattr(bow, key) for bow in told) for key in SUMS}}


def _sentence(name: str, one: Carrying, told: tuple[Bears, ...], system: units.System) -> str:
    """What comes onto the trimmers and where they hand it."""

    def show(kg: float) -> str:
        return units.show(kg, "mass", system)

    leaning = [
        f"{show(bow.hands_kg)} of {bow.name}, whose cut ends lean on them" for bow in told if bow.hands_kg > 1e-6
    ]
    taking = [f"{show(b.gets_kg)} to {'the cut ends of ' if b.cut else ''}{b.name}" for b in told if b.gets_kg > 1e-6]
    near, far = trimmers_kg(one)
    what = names([f"its {show(one.mass_kg)}", *leaning])
    return (
        f"{name}: the trimmers carry {what}, {show(near)} on the road side and {show(far)} on the curb side; they hand "
        f"{names(taking)}."
    )
