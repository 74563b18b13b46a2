"""Supplies side by side: what each gives against what is asked of it."""

from __future__ import annotations

from trailerlib.pictures.canvas import Axis, Ink, Sheet, legend, round_up, ticks
from trailerlib.pictures.lettering import fit
from trailerlib.studies.answer import Answer
from trailerlib.units import figures

Bar = tuple[str, float, float, float]
WIDTH = 520.0
LEFT, RIGHT, TOP, ROW = 96.0, 370.0, 40.0, 52.0


def mains_bars(answer: Answer, ghost: Answer | None = None, ink: Ink = "screen") -> str:
    """Current of the busiest moment and of everything at once, against the rating of each supply.

    Parameters
    ----------
    answer : the answer of the mains study
    ghost : the answer before the last move, drawn as outlines
    ink : ``screen`` or ``paper``
    """
    bars = answer.picture.bars
    sheet = Sheet(WIDTH, TOP + ROW * max(len(bars), 1) + 44, "Supplies against what is asked", ink)
    bottom = TOP + ROW * len(bars)
    axis = Axis(0.0, round_up(1.05 * max((max(bar[1:]) for bar in bars), default=1.0)), LEFT, RIGHT)
    for value in ticks(0.0, axis.high):
        sheet.line([(axis(value), TOP - 4), (axis(value), bottom)], "grid")
        sheet.text(axis(value), bottom + 17, f"{value:g}", 12, anchor="middle")
    sheet.text((LEFT + RIGHT) / 2, bottom + 35, "current [A]", 12, anchor="middle")
    before = {bar[0]: bar for bar in ghost.picture.bars} if ghost is not None else {}
    for place, bar in enumerate(bars):
        _supply(sheet, axis, bar, before.get(bar[0]), TOP + place * ROW)
    legend(
        sheet,
        10,
        14,
        [
            ("bar", "mains", "busiest moment of its stays"),
            ("ghost", "mains", "everything at once"),
            ("tick", "stop", "what it gives"),
        ],
    )
    return sheet.svg()


def _supply(sheet: Sheet, axis: Axis, bar: Bar, before: Bar | None, y: float) -> None:
    name, rating, everything, busiest = bar
    sheet.text(LEFT - 8, y + 28, fit(name, 13, LEFT - 14), 13, anchor="end")
    sheet.box(axis(0), y + 8, axis(everything) - axis(0), 30, None, "mains", dash="3 2")
    sheet.box(axis(0), y + 12, axis(busiest) - axis(0), 22, "mains", opacity=0.85)
    if before is not None and before[3] != busiest:
        sheet.box(axis(0), y + 10, axis(before[3]) - axis(0), 26, None, "ghost")
    sheet.line([(axis(rating), y + 3), (axis(rating), y + 43)], "stop", 3)
    word = "trips" if busiest > rating else "holds"
    sheet.text(
        axis(max(everything, rating)) + 6, y + 28, f"{figures(busiest)} A of {rating:g} A, {word}", 12, halo=True
    )
