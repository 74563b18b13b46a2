"""What an opening is clamped through, and the frame that makes the wall thick enough."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from trailerlib.design.box import Face
from trailerlib.design.design import Design
from trailerlib.design.model import Opening
from trailerlib.physics import spacer

EXACT_M = 1e-9  # a wall as thick as the range says needs no frame for a rounding


@dataclass(frozen=True)
class Frame:
    """A spacer frame: ``thick_m`` [m] lies between ``range_m`` [m]; the board it comes from, None where none will do;
    ``pieces`` from the strips of ``strip_m`` [m]; ``strips`` [-] one board gives and ``screws_m`` [m] long screws.

    ``plane_m`` [m] is what has to be taken off the board. ``ripped`` strips [-] are wanted of ``boards``; of the
    width of the last board ``left_m`` [m] is left and ``dust_m`` [m] goes to the saw.
    """

    opening: Opening
    thick_m: float
    range_m: tuple[float, float]
    board: str | None
    plane_m: float
    strip_m: float
    pieces: tuple[spacer.Piece, ...]
    strips: int | None
    boards: int | None
    screws_m: float | None
    ripped: int | None = None
    left_m: float | None = None
    dust_m: float | None = None

    @property
    def outer(self) -> tuple[float, float]:
        """Outer size, along and up [m]."""
        along, up = (float(spacer.outer_m(size, self.strip_m)) for size in self.opening.size)
        return along, up

    @property
    def of_last(self) -> int | None:
        """How many strips are ripped from the last board [-]; None where that is not known."""
        if self.ripped is None or self.boards is None or self.strips is None:
            return None
        return self.ripped - self.strips * (self.boards - 1)


def face_at(design: Design, opening: Opening) -> Face | None:
    """The face an opening is cut into: a window in a door sits in the door; None where its layers are not given."""
    name = "roof" if opening.wall == "roof" else "walls"
    if any(door.holds(opening) for door in design.openings):
        name = "door"
    return next((face for face in design.faces if face.name == name and face.layers), None)


def thickness_m(design: Design, opening: Opening) -> float | None:
    """Skin, wall and lining together [m]; None where they are not given."""
    face = face_at(design, opening)
    return None if face is None else sum(size for _, size in face.layers or ())


def missing_m(design: Design, opening: Opening) -> float | None:
    """Thickness that is missing for an opening [m]: below zero is too thick, 0 fits; None where it is not known."""
    actual = thickness_m(design, opening)
    if actual is None or opening.made_for is None:
        return None
    thin, thick = opening.made_for
    if thin - EXACT_M <= actual <= thick + EXACT_M:
        return 0.0
    return float(spacer.spacer_m(thin if actual < thin else thick, actual))


def frames(design: Design) -> Iterator[Frame]:
    """The spacer frames that have to be made, one for each opening in too thin a wall."""
    for opening in design.openings:
        lacks, actual = missing_m(design, opening), thickness_m(design, opening)
        if lacks is None or lacks <= 0.0 or actual is None or opening.made_for is None:
            continue
        thin, thick = (float(spacer.spacer_m(end, actual)) for end in opening.made_for)
        yield _frame(design, opening, (thin, thick))


def _frame(design: Design, opening: Opening, range_m: tuple[float, float]) -> Frame:
    """From the board that needs the least planing; without one, as thick as the middle of the range."""
    shop, fits = design.shop, [b for b in design.boards if b.thickness >= range_m[0] - EXACT_M]
    board = min(fits, key=lambda b: (max(0.0, b.thickness - range_m[1]), b.thickness), default=None)
    thick = sum(range_m) / 2 if board is None else min(board.thickness, range_m[1])
    strip = shop.strip or 0.0
    pieces: tuple[spacer.Piece, ...] = ()
    if strip > 0:
        pieces = spacer.frame_pieces(*opening.size, strip, shop.corner)
    strips = boards = ripped = None
    if board is not None and strip > 0 and shop.kerf is not None:
        strips = int(spacer.strips(board.width, strip, shop.kerf))
        ripped = _ripped(pieces, board.length, shop.kerf)
        boards = None if ripped is None or strips < 1 else -(-ripped // strips)
    actual = thickness_m(design, opening) or 0.0
    screws = None
    if shop.bite is not None and opening.flange_thickness is not None:
        screws = float(spacer.fastener_m(actual + thick, opening.flange_thickness, shop.bite))
    frame = Frame(
        opening, thick, range_m, None if board is None else board.name,
        0.0 if board is None else max(0.0, board.thickness - thick), strip, pieces, strips, boards, screws, ripped,
    )  # fmt: skip
    if board is None or frame.of_last is None or shop.kerf is None:
        return frame
    left = float(spacer.left_over_m(board.width, frame.of_last, strip, shop.kerf))
    dust = float(spacer.sawdust_m(board.width, frame.of_last, strip, left))
    return replace(frame, left_m=left, dust_m=dust)


def _ripped(pieces: tuple[spacer.Piece, ...], length_m: float, kerf_m: float) -> int | None:
    """How many strips the pieces take, the long ones cut first; None where a piece is longer than a board."""
    lengths = sorted((p.length_m for p in pieces for _ in range(p.count)), reverse=True)
    left: list[float] = []
    for length in lengths:
        if length > length_m + EXACT_M:
            return None
        fit = next((n for n, room in enumerate(left) if room >= length - EXACT_M), None)
        if fit is None:
            left.append(length_m - length - kerf_m)
        else:
            left[fit] -= length + kerf_m
    return len(left)
