"""The trailer from above with the places where the suspects of the closing-in test are to be looked for."""

from __future__ import annotations

from collections.abc import Sequence

from trailerlib.design.design import Design
from trailerlib.pictures.canvas import Ink, Sheet
from trailerlib.pictures.closing_gauges import SIZE, SUSPECT, suspect_heading, suspects_list
from trailerlib.pictures.lettering import broken, cut, wide
from trailerlib.pictures.plan import from_above, side_words
from trailerlib.studies.closing.drawn import Picture

WIDTH, HEIGHT = 520.0, 480.0
ACROSS, UNDER = 504.0, 58.0  # [px] width of the trailer, from its lower side to the words
TOP, ROOM = 52.0, 240.0  # [px] upper edge of the trailer, and the height there is for it
LIFT = 15.0  # [px] a mark stands over its place


def closing_plan(picture: Picture, design: Design, *, ink: Ink = "screen") -> str:
    """Where to look: each suspect with its mark and letter at its places, its circuit drawn strongly.

    Parameters
    ----------
    picture : what is drawn, with its suspects
    design : the design, for its box, openings and wires
    ink : ``screen`` or ``paper``
    """
    sheet = Sheet(WIDTH, HEIGHT, f"Where to look, {design.title}", ink)
    sheet.text(8, 16, "Where to look, from above; nose on the left, curb side on top", 13, bold=True)
    focus = picture.suspects[0].circuit if picture.suspects else None
    at = from_above(sheet, design, 8.0, TOP, ACROSS, ROOM, focus)
    spots: dict[str, str] = {}
    for suspect in picture.suspects:
        for place in suspect.places:
            spots[place] = spots.get(place, "") + suspect.letter
    known = [(place, letters) for place, letters in spots.items() if place in {one.name for one in design.places}]
    sides = [(x, y - 10, x + wide(words, 11), y + 3) for x, y, words in side_words(at, design)]
    _marks(sheet, [(at(*design.place(place).at[:2]), place, letters) for place, letters in known], sides)
    _words(sheet, picture, at(0.0, 0.0)[1] + UNDER)
    return sheet.svg()


Marked = tuple[tuple[float, float], str, str]
Box = tuple[float, float, float, float]


def _marks(sheet: Sheet, spots: Sequence[Marked], sides: Sequence[Box]) -> None:
    """A ring at each place and its mark with the letters and the name of the place beside it, off the sides' names."""
    taken: list[Box] = list(sides)
    for (x, y), place, letters in spots:
        words = f"{SUSPECT}{letters} {place}"
        across = wide(words, SIZE, True)
        left = min(max(x - across / 2, 6.0), ACROSS - across)
        for base in (y - LIFT, y + LIFT + 8, y - 2 * LIFT, y + 2 * LIFT + 8, y - 3 * LIFT, y + 3 * LIFT + 8):
            box = (left, base - 10, left + across, base + 3)
            if not any(box[0] < b[2] and b[0] < box[2] and box[1] < b[3] and b[1] < box[3] for b in taken):
                break
        taken += [box, (x - 9, y - 9, x + 9, y + 9)]
        sheet.dot(x, y, 9.0, "stop", "paper")
        sheet.text(x, y + 4, letters[:1], 11, "paper", "middle", bold=True)
        sheet.text(left, base, words, SIZE, "stop", bold=True, halo=True)


def _words(sheet: Sheet, picture: Picture, top: float) -> None:
    room = WIDTH - 16
    if not picture.suspects:
        nothing = "Nothing is suspected: no reading speaks against the drawing so far."
        for number, line in enumerate(broken(nothing, SIZE, room, 2)):
            sheet.text(8, top + 16 * number, line, SIZE)
        return
    sheet.text(8, top, suspect_heading(picture), SIZE, bold=True)
    suspects_list(sheet, picture, 8, top + 18, WIDTH - 8, 8)
    lost = [one.letter for one in picture.suspects if not one.places]
    if lost:
        words = f"{SUSPECT} {', '.join(lost)}: the design names no place for it."
        sheet.text(8, HEIGHT - 5, cut(words, SIZE, room), SIZE, "ghost")
