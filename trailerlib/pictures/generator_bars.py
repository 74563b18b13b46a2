"""Generator classes side by side: what each gives where the trailer stands, against what is asked."""

from __future__ import annotations

from trailerlib.pictures.canvas import Axis, Ink, Sheet, legend, round_up, ticks
from trailerlib.pictures.lettering import fit
from trailerlib.studies.answer import Answer
from trailerlib.studies.generator import ClassBar, GeneratorPicture
from trailerlib.units import System, show

WIDTH, HEIGHT = 520.0, 330.0
LEFT, RIGHT, TOP = 132.0, 388.0, 62.0
WORDS = RIGHT + 12  # beyond every line, so that none can cross what is written here
SAME = 1e-6  # [-] a start this much above what runs is no start worth a line


def generator_bars(answer: Answer, ghost: Answer | None = None, ink: Ink = "screen") -> str:
    """Running and starting power of each class here; lines for what runs together and for the worst start.

    Parameters
    ----------
    answer : the answer of the generator study
    ghost : the answer before the last move, its asked power drawn thin
    ink : ``screen`` or ``paper``
    """
    picture: GeneratorPicture = answer.picture
    before: GeneratorPicture | None = None if ghost is None else ghost.picture
    sheet = Sheet(WIDTH, HEIGHT, "Generator classes against what is asked", ink)
    row = min(40.0, (HEIGHT - TOP - 56) / max(len(picture.bars), 1))
    bottom = TOP + row * len(picture.bars)
    longest = max([picture.running_va, picture.start_va, *(bar.starting_w or 0.0 for bar in picture.bars)])
    axis = Axis(0.0, round_up(1.02 * longest), LEFT, RIGHT)
    _frame(sheet, axis, bottom)
    for place, bar in enumerate(picture.bars):
        _class(sheet, axis, bar, TOP + place * row, row, answer.system)
    if before is not None:
        _lines(sheet, axis, before, bottom, "ghost")
    _lines(sheet, axis, picture, bottom, "stop")
    _asked(sheet, axis, picture, answer.system)
    keys = [("bar", "holds", "gives to run on, at right"), ("ghost", "ink", "for a moment")]
    moved = before is not None and _shown(before) != _shown(picture)
    legend(sheet, 10, 12, [*keys, ("line", "ghost", "asked before")] if moved else keys)
    return sheet.svg()


def _frame(sheet: Sheet, axis: Axis, bottom: float) -> None:
    for value in ticks(0.0, axis.high, 5):
        sheet.line([(axis(value), TOP - 4), (axis(value), bottom)], "grid")
        sheet.text(axis(value), bottom + 17, f"{value:g}", 12, anchor="middle")
    sheet.text((LEFT + RIGHT) / 2, bottom + 35, "power where the trailer stands [W]", 12, anchor="middle")


def _class(sheet: Sheet, axis: Axis, bar: ClassBar, y: float, row: float, system: System) -> None:
    base = y + row / 2 + 4
    sheet.text(LEFT - 8, base, bar.name, 13, anchor="end", bold=bar.chosen)
    if bar.running_w is None or bar.starting_w is None:
        sheet.text(WORDS, base, "○ not checked", 12, "ghost")
        return
    tint = "holds" if bar.does else "watch"
    sheet.box(axis(0), y + 6, axis(bar.running_w) - axis(0), row - 12, tint, opacity=1.0 if bar.chosen else 0.4)
    sheet.box(axis(0), y + 6, axis(bar.starting_w) - axis(0), row - 12, None, "ink", dash="3 2")
    words = f"{show(bar.running_w, 'power', system)} " + ("✓ does" if bar.does else "✗ too small")
    sheet.text(WORDS, base, words, 12, bold=bar.chosen)


def _has_start(picture: GeneratorPicture) -> bool:
    """Whether some start asks for more than what runs together."""
    return picture.start_va > picture.running_va * (1 + SAME)


def _shown(picture: GeneratorPicture) -> tuple[float, float]:
    return round(picture.running_va, 3), round(picture.start_va, 3)


def _lines(sheet: Sheet, axis: Axis, picture: GeneratorPicture, bottom: float, tint: str) -> None:
    run, start = axis(picture.running_va), axis(picture.start_va)
    sheet.line([(run, TOP - 6), (run, bottom)], tint, 2.2 if tint == "stop" else 1.4)
    if _has_start(picture):
        sheet.line([(start, TOP - 6), (start, bottom)], tint, 1.8 if tint == "stop" else 1.4, "5 3")


def _asked(sheet: Sheet, axis: Axis, picture: GeneratorPicture, system: System) -> None:
    """What the lines are, each written over its own."""
    run, start = axis(picture.running_va), axis(picture.start_va)
    together = f"{show(picture.running_va, 'power', system)} runs together"
    sheet.text(max(run - 4, 10), TOP - 11, together, 12, "stop", halo=True)
    if _has_start(picture):
        begins = f"at the start of {picture.hardest}"
        words = f"{show(picture.start_va, 'power', system)} {fit(begins, 12, WIDTH / 2)}"
        left = start < (LEFT + RIGHT) / 2
        sheet.text(start - 4 if left else start + 4, TOP - 26, words, 12, "stop", "start" if left else "end", halo=True)
