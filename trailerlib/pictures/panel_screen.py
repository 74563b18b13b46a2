"""The mains panel from the front, for the screen: large letters, the fullest breakers, the others in one line."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from trailerlib.pictures.breaker_marks import (
    TWO_POLES,
    breaker_body,
    by_leg,
    load_bar,
    load_tint,
    load_words,
    second_pole,
)
from trailerlib.pictures.canvas import Sheet
from trailerlib.pictures.lettering import broken, cut, wide
from trailerlib.studies.breakers import Breaker
from trailerlib.studies.panel import Panel
from trailerlib.units import figures

WIDTH, HEIGHT = 520.0, 305.0
EDGE, MIDDLE = 10.0, WIDTH / 2
TOP, FOOT, MORE = 68.0, 24.0, 17.0  # the main above, the key below, the line on what is not shown
MAIN_W, MAIN_H = 76.0, 38.0
BODY_W, BODY_H = 42.0, 30.0
MOST, MOST_IN_COLUMN = 8, 4
ROW_MOST = 58.0
SMALL, SIZE = 12.0, 13.0


def panel_screen(whole: Panel, ghost: Panel | None = None) -> str:
    """The panel as it stands on the bench; the breakers nearest to their rating where not all have room.

    Parameters
    ----------
    whole : the panel as the study gives it
    ghost : the panel before the last move, its loads as outlines
    """
    sheet = Sheet(WIDTH, HEIGHT, "Mains panel from the front")
    sheet.box(1, 1, WIDTH - 2, HEIGHT - FOOT - 2, "wash", "ink", width=1.6, round_=6)
    _main(sheet, whole, ghost)
    shown, hidden = _parted(whole.breakers)
    _branches(sheet, whole, shown, {} if ghost is None else {b.name: b.now_a for b in ghost.breakers}, bool(hidden))
    if hidden:
        sheet.text(EDGE, HEIGHT - FOOT - 9, cut(_more(hidden), SMALL, WIDTH - 2 * EDGE), SMALL)
    if not whole.breakers:
        sheet.text(MIDDLE, TOP + 80, "No circuit hangs on this panel.", 14, anchor="middle")
    _key(sheet, whole, ghost)
    return sheet.svg()


def _parted(breakers: Sequence[Breaker]) -> tuple[list[Breaker], list[Breaker]]:
    """The fullest and the rest, each in the order of the panel; what is not known counts as full, so that it shows.

    What stands on both legs takes the room of two.
    """
    share = [1.0 if b.share is None else b.share for b in breakers]
    kept, room = set[int](), MOST
    for k in sorted(range(len(breakers)), key=lambda k: -share[k]):
        room -= 2 if breakers[k].two_pole else 1
        if room < 0:
            break
        kept.add(k)
    return [b for k, b in enumerate(breakers) if k in kept], [b for k, b in enumerate(breakers) if k not in kept]


def _more(hidden: Sequence[Breaker]) -> str:
    """How many are not shown and how full the fullest of them is."""
    known = [b.share for b in hidden if b.share is not None]
    unknown = len(hidden) - len(known)
    under = f", all under {math.floor(100 * max(known)) + 1} % of their rating" if known else ""
    if unknown:
        under = f"{under.replace('all', 'those known')}, {unknown} not checked"
    return f"and {len(hidden)} more{under}"


def _columns(whole: Panel, shown: Sequence[Breaker]) -> tuple[bool, tuple[list[Breaker], list[Breaker]]]:
    """Whether each leg has its column, and the columns; a leg with too many for one column takes both in turn."""
    if len(whole.legs) == 2:
        legs, single = by_leg(shown), [b for b in shown if not b.two_pole]
        if max(map(len, legs)) + len(shown) - len(single) <= MOST_IN_COLUMN:
            return True, legs
        return False, (single[0::2], single[1::2])
    return False, (list(shown[0::2]), list(shown[1::2]))


def _main(sheet: Sheet, whole: Panel, ghost: Panel | None) -> None:
    """The main in the middle of the top; on two legs the load of each over its column."""
    breaker_body(sheet, MIDDLE - MAIN_W / 2, 9, MAIN_W, MAIN_H, whole.main_a, 15)
    before = {} if ghost is None else {leg.number: leg.now_a for leg in ghost.legs}
    two, room = len(whole.legs) == 2, MIDDLE - MAIN_W / 2 - EDGE - 12
    right = MIDDLE + MAIN_W / 2 + 12
    for leg in whole.legs:
        x = EDGE if leg.number == 1 else right
        title = f"Leg {leg.number}" if two else "Main"
        sheet.text(x, 24, title, SIZE, bold=True)
        bar = x + wide(title, SIZE, bold=True) + 6
        load_bar(sheet, leg.now_a, before.get(leg.number), whole.main_a, bar, 13, x + room - bar, 13)
        said = cut(load_words(leg.now_a, whole.main_a), SIZE, room)
        sheet.text(x, 44, said, SIZE, load_tint(leg.now_a, whole.main_a))
    asked = whole.asked[:1].upper() + whole.asked[1:]
    if not two:
        for number, line in enumerate(broken(asked, SIZE, room / 1.12, 2)):
            sheet.text(right, 24 + 20 * number, line, SIZE, bold=True)
    said = _advice(whole)
    sheet.text(EDGE, 62, cut(f"{asked}: {said}" if two else said, SMALL, WIDTH - 2 * EDGE), SMALL)
    sheet.line([(EDGE, TOP), (WIDTH - EDGE, TOP)], "grid")


def _advice(whole: Panel) -> str:
    """What is over its rating, and what could not be looked at."""
    over = [b.name for b in whole.breakers if b.rating_a is not None and b.now_a > b.rating_a + 1e-9]
    gaps = "; ".join(_gaps(whole))
    if over:
        said = f"over {'its' if len(over) == 1 else 'their'} rating: {', '.join(over)}"
    elif whole.main_a is not None and whole.worst_leg.now_a > whole.main_a + 1e-9:
        said = "the main is over its rating, no branch that is known" if gaps else _MAIN_ALONE
    else:
        said = "nothing that is known is over its rating" if gaps else "no branch is over its rating"
    return f"{gaps}; {said}" if gaps else said


_MAIN_ALONE = "the main is over its rating, no branch is"


def _gaps(whole: Panel) -> Iterator[str]:
    if whole.breakers and (whole.main_a is None or any(b.rating_a is None for b in whole.breakers)):
        yield "not every rating is known"
    if len(whole.legs) == 2 and any(b.leg is None for b in whole.breakers):
        yield f"{figures(whole.unplaced_a)} A on no given leg, in no sum"


def _branches(sheet: Sheet, whole: Panel, shown: Sequence[Breaker], before: Mapping[str, float], more: bool) -> None:
    told, columns = _columns(whole, shown)
    across = [b for b in shown if b.two_pole and len(whole.legs) == 2]
    room = HEIGHT - FOOT - TOP - 6 - (MORE if more else 0.0)
    row = min(ROW_MOST, room / max(len(across) + max(map(len, columns)), 1))
    for place, b in enumerate(across):
        _two_poles(sheet, b, before.get(b.name), TOP + 2 + place * row, row)
    for x, column in zip((EDGE, MIDDLE + 8), columns, strict=True):
        for place, b in enumerate(column, len(across)):
            _breaker(sheet, b, before.get(b.name), x, TOP + 2 + place * row, row, _leg(whole, b, told))
    if any(columns):
        sheet.line([(MIDDLE, TOP + 6 + len(across) * row), (MIDDLE, TOP + room)], "grid")


def _leg(whole: Panel, b: Breaker, told: bool) -> str:
    """What is said of its leg behind the name; nothing where the column tells."""
    if len(whole.legs) == 1:
        return "dead" if b.two_pole else ""
    return "leg ?" if b.leg is None else "" if told else f"leg {b.leg}"


def _two_poles(sheet: Sheet, b: Breaker, before_a: float | None, y: float, row: float) -> None:
    """A breaker on both legs: its load in the left column, its second pole in the right one."""
    _breaker(sheet, b, before_a, EDGE, y, row, "")
    middle, x = y + row / 2, MIDDLE + 8
    second_pole(sheet, x, middle - BODY_H / 2, BODY_W, BODY_H, b.rating_a, SIZE, EDGE, y + row - 1.5)
    for line, words in enumerate(TWO_POLES):
        sheet.text(x + BODY_W + 8, middle - 2 + 16 * line, cut(words, SMALL, MIDDLE - EDGE - BODY_W - 18), SMALL)


def _breaker(sheet: Sheet, b: Breaker, before_a: float | None, x: float, y: float, row: float, leg: str) -> None:
    """Body and handle, beside it name, bar and words one under the other."""
    middle, left, room = y + row / 2, x + BODY_W + 8, MIDDLE - EDGE - BODY_W - 18
    breaker_body(sheet, x, middle - BODY_H / 2, BODY_W, BODY_H, b.rating_a, SIZE)
    tail = f" ({leg})" if leg else ""
    name = cut(b.name, SIZE, room - wide(tail, SIZE, bold=True), bold=True) + tail
    sheet.text(left, middle - 11, name, SIZE, bold=True)
    load_bar(sheet, b.now_a, before_a, b.rating_a, left, middle - 6, room, 11)
    words = cut(load_words(b.now_a, b.rating_a), SMALL, room)
    sheet.text(left, middle + 19, words, SMALL, load_tint(b.now_a, b.rating_a))


def _key(sheet: Sheet, whole: Panel, ghost: Panel | None) -> None:
    y, x = HEIGHT - FOOT / 2 + 1, 4.0
    moved = ghost is not None and [b.now_a for b in ghost.breakers] != [b.now_a for b in whole.breakers]
    sheet.box(x, y - 5, 16, 10, "holds", opacity=0.9)
    x = _keyed(sheet, x, y, "load")
    sheet.line([(x + 8, y - 7), (x + 8, y + 7)], "ink", 1.2, "2 2")
    x = _keyed(sheet, x, y, "80 %: for 3 h or more (210.20)")
    sheet.line([(x + 8, y - 7), (x + 8, y + 7)], "stop", 2.4)
    x = _keyed(sheet, x, y, "100 %: the rating")
    if moved:
        sheet.box(x, y - 5, 16, 10, None, "ghost", dash="3 2")
        _keyed(sheet, x, y, "before")


def _keyed(sheet: Sheet, x: float, y: float, words: str) -> float:
    """The words of a key; gives where the next begins."""
    sheet.text(x + 22, y + 4, words, SMALL)
    return x + 36 + wide(words, SMALL)
