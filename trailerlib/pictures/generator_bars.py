"""Generator classes side by side: what each gives where the trailer stands, against what is asked."""

from __future__ import annotations

from trailerlib.pictures.canvas import Axis, Ink, Sheet, legend, round_up, ticks
from trailerlib.studies.answer import Answer
from trailerlib.studies.generator import ClassBar, GeneratorPicture
from trailerlib.units import figures

WIDTH, HEIGHT = 520.0, 330.0
LEFT, RIGHT, TOP = 140.0, 470.0, 58.0


def generator_bars(answer: Answer, ghost: Answer | None = None, ink: Ink = "screen") -> str:
    """Running and starting power of each class here; lines for what runs together and for the worst start.

    Parameters
    ----------
    answer : the answer of the generator study
    ghost : the answer before the last move, its asked power drawn thin
    ink : ``screen`` or ``paper``
    """
    picture: GeneratorPicture = answer.picture
    sheet = Sheet(WIDTH, HEIGHT, "Generator classes against what is asked", ink)
    row = min(40.0, (HEIGHT - TOP - 56) / max(len(picture.bars), 1))
    bottom = TOP + row * len(picture.bars)
    longest = max([picture.running_va, picture.start_va, *(bar.starting_w or 0.0 for bar in picture.bars)])
    axis = Axis(0.0, round_up(1.02 * longest), LEFT, RIGHT)
    for value in ticks(0.0, axis.high):
        sheet.line([(axis(value), TOP - 4), (axis(value), bottom)], "grid")
        sheet.text(axis(value), bottom + 17, f"{value:g}", 12, anchor="middle")
    sheet.text((LEFT + RIGHT) / 2, bottom + 35, "power where the trailer stands [W]", 12, anchor="middle")
    for place, bar in enumerate(picture.bars):
        _class(sheet, axis, bar, TOP + place * row, row)
    if ghost is not None:
        sheet.line([(axis(ghost.picture.running_va), TOP - 4), (axis(ghost.picture.running_va), bottom)], "ghost", 1.4)
        sheet.line(
            [(axis(ghost.picture.start_va), TOP - 4), (axis(ghost.picture.start_va), bottom)], "ghost", 1.4, "5 3"
        )
    _asked(sheet, axis, picture, bottom)
    for place, bar in enumerate(picture.bars):
        _words(sheet, axis, bar, TOP + place * row, row)
    legend(
        sheet,
        10,
        12,
        [
            ("bar", "holds", "runs"),
            ("ghost", "ink", "for a moment"),
            ("line", "stop", "runs together"),
            ("dash", "stop", "worst start"),
        ],
    )
    return sheet.svg()


def _class(sheet: Sheet, axis: Axis, bar: ClassBar, y: float, row: float) -> None:
    sheet.text(LEFT - 8, y + row / 2 + 4, bar.name, 13, anchor="end", bold=bar.chosen)
    if bar.running_w is None or bar.starting_w is None:
        sheet.text(LEFT + 6, y + row / 2 + 4, "not checked: height or heat is missing", 12, "ghost")
        return
    tint = "holds" if bar.does else "watch"
    sheet.box(axis(0), y + 6, axis(bar.running_w) - axis(0), row - 12, tint, opacity=1.0 if bar.chosen else 0.4)
    sheet.box(axis(0), y + 6, axis(bar.starting_w) - axis(0), row - 12, None, "ink", dash="3 2")


def _words(sheet: Sheet, axis: Axis, bar: ClassBar, y: float, row: float) -> None:
    if bar.running_w is not None and bar.starting_w is not None:
        words = f"{figures(bar.running_w)} W" + ("  ✓" if bar.does else "  too small")
        sheet.text(axis(bar.starting_w) + 6, y + row / 2 + 4, words, 12, bold=bar.chosen, halo=True)


def _asked(sheet: Sheet, axis: Axis, picture: GeneratorPicture, bottom: float) -> None:
    run, start = axis(picture.running_va), axis(picture.start_va)
    sheet.line([(run, TOP - 6), (run, bottom)], "stop", 2.2)
    together = f"runs together {figures(picture.running_va)}"
    if start - run > 3:
        sheet.line([(start, TOP - 6), (start, bottom)], "stop", 1.8, "5 3")
        words = f"{picture.hardest} starts {figures(picture.start_va)}"
        if start > (LEFT + RIGHT) / 2:
            sheet.text(start - 4, TOP - 24, words, 12, "stop", "end", halo=True)
        else:
            sheet.text(start + 4, TOP - 24, words, 12, "stop", halo=True)
    sheet.text(run, TOP - 10, together, 12, "stop", "middle" if run > LEFT + 60 else "start", halo=True)
