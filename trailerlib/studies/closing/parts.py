"""Everything in the way of the current on the battery side, one piece each, out and back."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from trailerlib.studies import feeder as dc

Sort = Literal["battery", "lug", "main fuse", "disconnect", "fuse", "terminal", "wire"]
Where = Literal["source", "out", "back"]


@dataclass(frozen=True)
class Piece:
    """One thing the current goes through: number, branch it lies in, resistance as drawn [ohm].

    ``run`` is the circuit whose wire it is ("feeder" for the feeder's), "" for contacts and fuses.
    """

    number: int
    name: str
    says: str
    way: Where
    sort: Sort
    branch: int
    ohm: float
    circuit: str
    run: str = ""
    tap: int = -1


@dataclass(frozen=True)
class Pieces:
    """All pieces of the battery side, by number."""

    every: tuple[Piece, ...]

    @property
    def feeder(self) -> tuple[Piece, ...]:
        """Those between battery and fuse block, as the current meets them."""
        return tuple(p for p in self.every if p.circuit == "feeder")

    def feeder_stretch(self, side: str) -> tuple[int, ...]:
        """Numbers of the pieces between two spots that probes reach: from the disconnect on, or the whole way back."""
        here = [p for p in self.feeder if p.way == side]
        last = max((k for k, p in enumerate(here) if p.sort in ("main fuse", "disconnect")), default=-1)
        return tuple(p.number for p in here[last + 1 :])

    def of(self, circuit: str, side: str, way: tuple[int, ...]) -> tuple[int, ...]:
        """Numbers of the pieces of a circuit on one side of the way to a tap: ``out``, ``back`` or ``fuse``."""
        return tuple(
            p.number
            for p in self.on_way(circuit, way)
            if (p.sort == "fuse") == (side == "fuse") and (side == "fuse" or p.way == side)
        )

    def on_way(self, circuit: str, way: tuple[int, ...]) -> Iterator[Piece]:
        """Pieces of a circuit that the current of one tap goes through."""
        return (p for p in self.every if p.circuit == circuit and (p.tap < 0 or p.tap in way))


def pieces_of(net: dc.Network, temperature_c: float) -> Pieces:
    """Every piece of the battery side, its wire at one temperature.

    Parameters
    ----------
    net : shape of the battery side
    temperature_c : [°C] of all wire
    """
    return Pieces(tuple(_pieces(net, temperature_c)))


SIDES: tuple[Where, ...] = ("out", "back")
SORTS: dict[str, Sort] = {"main fuse": "main fuse", "disconnect": "disconnect"}


def _pieces(net: dc.Network, temperature_c: float) -> Iterator[Piece]:
    number = 0
    for part in dc.feeder_parts(net.design, temperature_c):
        sort: Sort = SORTS.get(part.name, "lug" if part.kind == "contact" else "wire")
        side: Where = "out" if part.way == "out" else "back"
        name = f"{part.name} {side}" if sort == "lug" else part.name
        says = {
            "main fuse": "the main fuse, stud to stud",
            "disconnect": "the disconnect, stud to stud",
            "wire": f"the feeder's wire {side}, barrel to barrel",
            "lug": f"the {part.name} on the way {side}, barrel to stud",
        }[sort]
        run = "feeder" if sort == "wire" else ""
        yield Piece(number, name, says, side, sort, dc.BLOCK_NODE, part.ohm, "feeder", run)
        number += 1
    for circuit, taps in net.taps.items():
        for piece in _run(circuit, taps, temperature_c, number):
            yield piece
            number += 1


def _run(circuit: str, taps: dc.Taps, temperature_c: float, number: int) -> Iterator[Piece]:
    per_m = dc.ohm_per_m(taps.circuit.wire, temperature_c)
    first = taps.nodes[0]
    fuse, spade, spade_back = dc.end_parts(taps.circuit.protection)
    if taps.circuit.protection is not None:
        says = f"the fuse of {circuit} and its holder"
        yield Piece(number, f"fuse of {circuit}", says, "out", "fuse", first, fuse.ohm, circuit)
        number += 1
    block = "the fuse block" if taps.circuit.protection is not None else "the bus"
    says = f"the terminal of {circuit} at {block}, wire to blade"
    yield Piece(number, f"terminal of {circuit} out", says, "out", "terminal", first, spade.ohm, circuit)
    says = f"the terminal of {circuit} at the negative bus, wire to bus"
    yield Piece(number + 1, f"terminal of {circuit} back", says, "back", "terminal", first, spade_back.ohm, circuit)
    number += 2
    for tap, (length, node) in enumerate(zip(taps.lengths_m, taps.nodes, strict=True)):
        part = f" part {tap + 1}" if len(taps.nodes) > 1 else ""
        for side in SIDES:
            name = f"wire of {circuit}{part} {side}"
            says = f"the wire of {circuit}{part and ', ' + part.strip()}, on the way {side}, with its splices"
            yield Piece(number, name, says, side, "wire", node, per_m * length, circuit, circuit, tap)
            number += 1
