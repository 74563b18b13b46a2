"""From which spool each piece of wire is cut, so that little is bought: solved for each size and colour."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from trailerlib import reference, units
from trailerlib.design import wire_sizes
from trailerlib.design.design import Design
from trailerlib.physics.cutting import CuttingError, Proof, Stock, left_share, plan
from trailerlib.physics.formula import worked
from trailerlib.studies.answer import Column, Quantity, mapping
from trailerlib.studies.schedules.pieces import Piece
from trailerlib.studies.schedules.schedule import EXACT, Schedule, TapeColumn, step_m, steps_down, tape

BY_LENGTH_M2 = 13e-6  # 6 AWG and thicker is sold off the roll by the foot or metre: common practice, no source
A_SPOOL = 1000  # steps of length count so much more than one spool more: first buy little, then cut into few
SOLD_BY_M = {"us": 0.3048, "metric": 1.0}
COLUMNS = (
    Column("wire", "Wire"), Column("colour", "Colour"), Column("insulation", "Insulation"), Column("spool", "Cut from"),
    Column("pieces", "Pieces, longest first"), TapeColumn("used_m", "Used", "length"),
    TapeColumn("left_m", "Left", "length"), Column("left", "Left", "fraction"),
)  # fmt: skip
NOTE = (
    "For each size and colour the lengths to buy are as short as they can be together, of those as few as can be, and "
    "what lies on the shelf goes first."
)
PROOFS: dict[Proof, str] = {
    "bound": "",
    "solver": "",
    "none": "the solver ran out of time: a shorter purchase is not ruled out",
}


@dataclass(frozen=True)
class Spool:
    """One spool as it is cut into: its name, length [m], whether it is bought, its pieces, what is left [m]."""

    name: str
    length_m: float
    bought: bool
    pieces: tuple[Piece, ...]
    left_m: float


@dataclass(frozen=True)
class Group:
    """All wire of one size, insulation and colour: its spools; ``problem`` says why there is no plan."""

    wire: str
    insulation: str
    colour: str
    pieces: tuple[Piece, ...]
    spools: tuple[Spool, ...]
    proof: Proof
    problem: str = ""

    @property
    def bought_m(self) -> float:
        """What is bought [m]."""
        return sum(spool.length_m for spool in self.spools if spool.bought)


def groups(design: Design, pieces: Sequence[Piece]) -> tuple[Group, ...]:
    """The plan of every size and colour, thin wire first.

    Parameters
    ----------
    design : the design
    pieces : all conductors to cut
    """
    ordered = sorted(pieces, key=lambda p: (wire_sizes.wire(p.wire).area_m2, p.kind))
    return tuple(_group(design, kind, list(part)) for kind, part in groupby(ordered, key=lambda p: p.kind))


def spool_plan(design: Design, found: Sequence[Group]) -> Schedule:
    """The spool plan as a schedule.

    Parameters
    ----------
    design : the design
    found : the plan of every size and colour
    """
    spools = [spool for group in found for spool in group.spools]
    stock, used = sum(s.length_m for s in spools), sum(p.cut_m for s in spools for p in s.pieces)
    bought = sum(group.bought_m for group in found)
    sums = mapping(
        bought_m=Quantity("To buy", bought, "length"),
        used_m=Quantity("Of all that is cut into, used", used, "length"),
        left_m=Quantity("Left over", stock - used, "length"),
        left=Quantity("Left over, share", (stock - used) / stock if stock else None, "fraction"),
    )
    rows = tuple(row for group in found for row in _rows(group, design.units))
    unproved = [f"{g.wire} {g.colour}: {g.problem or PROOFS[g.proof]}." for g in found if g.problem or PROOFS[g.proof]]
    shown = (worked(left_share, stock_m=stock, cut_m=used),) if stock else ()
    return Schedule("spools", "Spool plan", COLUMNS, rows, NOTE, sums, tuple(unproved), shown)


def _rows(group: Group, system: units.System) -> Iterator[dict[str, object]]:
    for spool in group.spools:
        yield {
            "wire": group.wire, "insulation": group.insulation, "colour": group.colour, "spool": spool.name,
            "pieces": "; ".join(f"{p.tag} {tape(p.cut_m, system)}" for p in spool.pieces),
            "used_m": spool.length_m - spool.left_m, "left_m": spool.left_m, "left": spool.left_m / spool.length_m,
        }  # fmt: skip


def _group(design: Design, kind: tuple[str, str, str], pieces: Sequence[Piece]) -> Group:
    wire, insulation, colour = kind
    shelf = [
        (f"shelf: {spool.name}", spool.length, spool.count)
        for spool in design.spools if spool.wire == wire and spool.count is not None and spool.colour == colour
    ]  # fmt: skip
    problem = ""
    for lengths, count in _offers(design, wire, colour, pieces, sum(length * n for _, length, n in shelf)):
        new = [(f"new, {tape(length, design.units)}", length, count) for length in lengths]
        try:
            return _planned(design, kind, pieces, [*shelf, *new], len(shelf))
        except CuttingError as error:
            problem = f"no plan, {str(error).rstrip('.')}"
    return Group(wire, insulation, colour, tuple(pieces), (), "none", problem)


def _planned(
    design: Design, kind: tuple[str, str, str], pieces: Sequence[Piece],
    stock: Sequence[tuple[str, float, int | None]], on_shelf: int,
) -> Group:  # fmt: skip
    steps = [steps_down(length, design.units) for _, length, _ in stock]
    weights = [1 if n < on_shelf else length * A_SPOOL + 1 for n, length in enumerate(steps)]
    stocks = [Stock(n, weight, count) for n, weight, (_, _, count) in zip(steps, weights, stock, strict=True)]
    found = plan([piece.steps for piece in pieces], stocks)
    spools = []
    for cut in sorted(found.cuts, key=lambda cut: (cut.stock, cut.pieces)):
        name, length, _ = stock[cut.stock]
        taken = tuple(sorted((pieces[n] for n in cut.pieces), key=lambda p: -p.steps))
        left = length - sum(p.steps for p in taken) * step_m(design.units)
        spools.append(Spool(name, length, cut.stock >= on_shelf, taken, max(0.0, left)))
    return Group(*kind, tuple(pieces), tuple(spools), found.proof)


def _offers(
    design: Design, wire: str, colour: str, pieces: Sequence[Piece], shelf_m: float
) -> Iterator[tuple[list[float], int | None]]:
    """What can be bought: lengths [m] and how many of each, the first that does is taken.

    The lengths the design says, else those that are common; of thick wire one length off the roll, as short as does.
    """
    said = [s for s in design.spools if s.wire == wire and s.count is None and s.colour in (None, colour)]
    if said:
        yield sorted({spool.length for spool in said}), None
    elif wire_sizes.wire(wire).area_m2 < BY_LENGTH_M2:
        common = reference.catalogue("spool_lengths").where(units=design.units).floats("length_m")
        yield sorted(float(length) for length in common), None
    else:
        step = SOLD_BY_M[design.units]
        asked = sum(piece.steps for piece in pieces) * step_m(design.units)
        most = math.ceil(asked / step - EXACT)
        for whole in range(max(0, math.ceil((asked - shelf_m) / step - EXACT)), most + 1):
            yield ([whole * step] if whole else []), 1
