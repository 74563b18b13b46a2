"""The way of the current on the battery side, spot by spot: what a probe should read, and how far it may be off."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from trailerlib.design.design import Design
from trailerlib.studies import feeder as dc
from trailerlib.studies.closing import meters
from trailerlib.studies.closing.battery_case import Case, Rows, case_of, rows_of, slopes, solve
from trailerlib.studies.closing.battery_faults import Change
from trailerlib.studies.closing.battery_lines import ALL, MILLIVOLTS
from trailerlib.studies.closing.block import Floats
from trailerlib.studies.closing.line import Expected
from trailerlib.studies.closing.parts import Piece
from trailerlib.studies.closing.sheet import COVER, Sheet
from trailerlib.studies.path import Kind, Path, Step, Way

KINDS: dict[str, Kind] = {"wire": "wire", "fuse": "fuse", "main fuse": "fuse"}


@dataclass(frozen=True)
class Part:
    """One thing in the way, and the spot at its end that is farther from the battery.

    ``volts`` is what should be read there against the negative post [V]; ``low`` and ``high`` are the ends of the band
    [V] when the voltage between the posts is taken as known: what may be lost on the way, and no more.
    """

    piece: Piece
    way: Way
    kind: Kind
    lost_v: float
    volts: float
    low: float
    high: float

    @property
    def name(self) -> str:
        """Its name."""
        return self.piece.name


@dataclass(frozen=True)
class Drop:
    """A voltage drop as a line of the sheet asks for it: over which parts of one side, counted from the battery.

    ``first`` and ``last`` are numbers in the parts of ``way``; ``read`` is the reading [V], None when there is none.
    """

    expected: Expected
    way: Way
    first: int
    last: int
    read: float | None


@dataclass(frozen=True)
class Spot:
    """Where the readings put the voltage: behind how many parts of a side, counted from the battery, and how high [V].

    ``assumed`` says that no probe was there: what lies before it is taken as drawn.
    """

    behind: int
    volts: float
    assumed: bool


@dataclass(frozen=True)
class Along:
    """The way from post to post: as a path, its parts from the battery outwards, the drops that are measured on it."""

    path: Path
    post_v: float
    out: tuple[Part, ...]
    back: tuple[Part, ...]
    drops: tuple[Drop, ...]

    def spots(self, way: Way) -> tuple[Spot, ...]:
        """Where the readings put the voltage on one side; empty when nothing was read on it.

        Parameters
        ----------
        way : ``out`` or ``back``
        """
        parts = self.out if way == "out" else self.back
        drops = [drop for drop in self.drops if drop.way == way and drop.read is not None]
        return tuple(_chain(parts, drops, self.post_v if way == "out" else 0.0, -1.0 if way == "out" else 1.0))


def _chain(parts: Sequence[Part], drops: Sequence[Drop], start: float, sign: float) -> list[Spot]:
    """From the post outwards: a drop that was read moves from spot to spot; between them, what is drawn."""
    if not drops:
        return []
    found = {0: Spot(0, start, False)}
    for behind in range(len(parts) + 1):
        if behind not in found:
            if any(drop.first < behind <= drop.last for drop in drops):
                continue  # inside a stretch that was read as a whole
            last = max(found)
            lost = sum(part.lost_v for part in parts[last:behind])
            found[behind] = Spot(behind, found[last].volts + sign * lost, True)
        for drop in drops:
            if drop.first == behind and drop.read is not None and drop.last + 1 not in found:
                found[drop.last + 1] = Spot(drop.last + 1, found[behind].volts + sign * drop.read, False)
    return [found[behind] for behind in sorted(found)]


def along(design: Design, sheet: Sheet, readings: Mapping[str, float], state: str, load: str | None) -> Along | None:
    """The way of the current to a load, or to the fuse block, in one state of the switches; None where it is not known.

    Parameters
    ----------
    design : the design
    sheet : its test sheet
    readings : [inside unit] by key
    state : ``all``, or ``alone/`` and the load that is on
    load : which load it leads to; None for the fuse block
    """
    case = case_of(design)
    if case is None or state not in case.states or load in case.net.unplaced:
        return None
    rows = rows_of(case, Change(), (state,))
    solved = solve(case, rows)
    _, by_piece = slopes(case, rows, solved)
    out, back = _pieces(case, load)
    drop = solved.drop[0]
    post = float(solved.volt[0, dc.BATTERY_NODE])
    sides = (
        _side(out, "out", drop, by_piece[0], post, -1.0),
        _side(back, "back", drop, by_piece[0], 0.0, 1.0),
    )
    path = _path(case, rows, solved.amps[0], out, back, post)
    return Along(path, post, *sides, tuple(_drops(sheet, readings, state, *sides)))


def _pieces(case: Case, load: str | None) -> tuple[list[Piece], list[Piece]]:
    """What lies on the way out and on the way back, each from the battery outwards."""
    pieces = list(case.pieces.feeder)
    if load is not None:
        circuit = case.net.design.load(load).circuit
        pieces += case.pieces.on_way(circuit, case.net.taps[circuit].way_to(case.net.load_node[load]))
    feeder_back = [p for p in pieces if p.way == "back" and p.circuit == "feeder"]
    return [p for p in pieces if p.way == "out"], [
        *reversed(feeder_back),
        *(p for p in pieces if p.way == "back" and p.circuit != "feeder"),
    ]


def _side(
    pieces: Sequence[Piece], way: Way, drop: Floats, slope: Floats, start: float, sign: float
) -> tuple[Part, ...]:
    numbers = [piece.number for piece in pieces]
    lost = np.cumsum(drop[numbers])
    spread = np.sqrt((np.cumsum(slope[numbers], axis=0) ** 2).sum(axis=-1))
    spread = np.hypot(spread, meters.uncertainty((MILLIVOLTS,) * len(pieces), lost))
    return tuple(
        Part(
            piece, way, KINDS.get(piece.sort, "contact"), float(drop[piece.number]), start + sign * float(lost[k]),
            start + sign * float(lost[k]) - COVER * float(spread[k]),
            start + sign * float(lost[k]) + COVER * float(spread[k]),
        )
        for k, piece in enumerate(pieces)
    )  # fmt: skip


def _path(case: Case, rows: Rows, amps: Floats, out: Sequence[Piece], back: Sequence[Piece], post: float) -> Path:
    inside = Step("battery, inside", "source", "battery", float(rows.inside_ohm[0]), float(amps[dc.BATTERY_NODE]))
    steps = [_step(piece, "out", amps) for piece in out] + [_step(piece, "back", amps) for piece in reversed(back)]
    lost = sum(step.lost_v for step in steps)
    return Path(case.emf_v, (inside, *steps), post - lost)


def _step(piece: Piece, way: Way, amps: Floats) -> Step:
    return Step(piece.name, way, KINDS.get(piece.sort, "contact"), piece.ohm, float(amps[piece.branch]))


def _drops(
    sheet: Sheet, readings: Mapping[str, float], state: str, out: tuple[Part, ...], back: tuple[Part, ...]
) -> list[Drop]:
    """Lines of the sheet whose two probes lie on this way, in this state."""
    found = []
    for one in sheet.expected:
        if one.line.stage == "battery" and one.line.key.startswith(f"{state}/"):
            for way, parts in (("out", out), ("back", back)):
                here = _covered(one.line.key, [part.piece for part in parts], way)
                if here:
                    read = readings.get(one.line.key)
                    found.append(Drop(one, way, here[0], here[-1], read))  # type: ignore[arg-type]
    return found


def _covered(key: str, pieces: Sequence[Piece], way: str) -> list[int]:
    """Which of the pieces a line measures over."""
    what = key.split("/")[-1]
    if "/part/" in key:
        return [k for k, piece in enumerate(pieces) if key.endswith(f"/part/{piece.name}")]
    if key == f"{ALL}/{what}" and what in ("main fuse drop", "disconnect drop"):
        return [k for k, piece in enumerate(pieces) if f"{piece.sort} drop" == what]
    if key == f"{ALL}/{what}" and what in ("feeder feed drop", "feeder return drop"):
        if (what == "feeder feed drop") is not (way == "out"):
            return []
        feeder = [k for k, piece in enumerate(pieces) if piece.circuit == "feeder"]
        ends = [k for k in feeder if pieces[k].sort in ("main fuse", "disconnect")]
        return [k for k in feeder if not ends or k > ends[-1]]
    own = [k for k, piece in enumerate(pieces) if piece.circuit != "feeder"]
    if what == "fuse drop":
        return [k for k in own if pieces[k].sort == "fuse"]
    if what in ("feed drop", "return drop") and (what == "feed drop") is (way == "out"):
        return [k for k in own if pieces[k].sort != "fuse"]
    return []
