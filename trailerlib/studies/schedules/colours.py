"""Which colour each conductor has, in words, and by which clause: only as the code or standard gives it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from trailerlib import reference
from trailerlib.design.design import Design
from trailerlib.studies.answer import Column
from trailerlib.studies.schedules.schedule import Schedule

Role = Literal["plus", "minus", "hot", "second hot", "neutral", "ground", "bond"]
BESIDE_MAINS = "minus beside mains"
COLUMNS = (
    Column("role", "Conductor"), Column("colour", "Colour"), Column("others", "Allowed as well"),
    Column("source", "By"), Column("confidence", "How sure"),
)  # fmt: skip
SIDES = {"dc": "battery side", "mains": "mains side"}


@dataclass(frozen=True)
class Colour:
    """The colour of one conductor in words, what else is allowed, the clause, and how sure that is."""

    system: str
    role: str
    words: str
    others: str
    source: str
    confidence: str


def colour_of(design: Design, system: str, role: Role) -> Colour:
    """The colour of a conductor by the practice of a design.

    Black as minus could be taken for the hot wire of a mains side in the same trailer: there minus is yellow.

    Parameters
    ----------
    design : the design
    system : ``dc`` or ``mains``
    role : what it is
    """
    beside = role == "minus" and design.practice == "north-america" and bool(design.circuits_of("mains"))
    row = reference.table("conductor_colours").row(
        practice=design.practice, system=system, role=BESIDE_MAINS if beside else role
    )
    return Colour(system, role, row["colour"], row["others"], row["source"], row["confidence"])


def legend(colours: Iterable[Colour]) -> Schedule:
    """Every colour that is used, once, with its clause.

    Parameters
    ----------
    colours : those of all pieces
    """
    rows = [
        {"role": f"{one.role}, {SIDES[one.system]}", "colour": one.words, "others": one.others or "–",
         "source": one.source, "confidence": one.confidence}
        for one in dict.fromkeys(colours)
    ]  # fmt: skip
    return Schedule("colours", "Colours of the conductors", COLUMNS, tuple(rows))
