"""The mains panel from the front: main on top, branches in two columns, each with its load against its rating."""

from __future__ import annotations

from collections.abc import Sequence

from trailerlib.pictures.breaker_marks import (
    BODY_W,
    TWO_POLES,
    breaker_body,
    by_leg,
    load_bar,
    load_tint,
    load_words,
    second_pole,
)
from trailerlib.pictures.canvas import Ink, Sheet
from trailerlib.pictures.lettering import cut, wide
from trailerlib.pictures.panel_screen import panel_screen
from trailerlib.studies.breakers import Breaker
from trailerlib.studies.panel import Panel

WIDTH, HEIGHT = 800.0, 282.0
EDGE, GAP = 8.0, 14.0
TOP, FOOT = 62.0, 22.0  # the main breaker above, the key below
ROW = 44.0
NAME_W, BAR_W, BODY_H = 148.0, 80.0, 30.0
Cell = Breaker | None


def panel_front(whole: Panel, ghost: Panel | None = None, ink: Ink = "screen") -> str:
    """The panel with the load of every breaker as a bar against its rating.

    Parameters
    ----------
    whole : the panel as the study gives it
    ghost : the panel before the last move, its loads as outlines
    ink : ``screen`` (one size, the fullest breakers) or ``paper`` (every breaker, as tall as its rows)
    """
    if ink == "screen":
        return panel_screen(whole, ghost)
    across, columns = _across(whole), _columns(whole)
    height = max(HEIGHT, TOP + FOOT + 2 * EDGE + (len(across) + max(map(len, columns))) * ROW)
    sheet = Sheet(WIDTH, height, "Mains panel from the front", ink)
    sheet.box(1, 1, WIDTH - 2, height - FOOT - 2, "wash", "ink", width=1.6, round_=6)
    _main(sheet, whole, ghost)
    before = {} if ghost is None else {b.name: b for b in ghost.breakers}
    for place, breaker in enumerate(across):
        _two_poles(sheet, breaker, before.get(breaker.name), TOP + EDGE + place * ROW)
    for side, column in enumerate(columns):
        for place, breaker in enumerate(column, len(across)):
            x, y = EDGE + side * (WIDTH / 2), TOP + EDGE + place * ROW
            _breaker(sheet, breaker, before.get(breaker.name), x, y, len(whole.legs) == 2)
    if not whole.breakers:
        sheet.text(WIDTH / 2, TOP + 70, "No circuit hangs on this panel.", 14, anchor="middle")
    _key(sheet, height, whole, ghost)
    return sheet.svg()


def _across(whole: Panel) -> list[Breaker]:
    """What stands on both legs, across both columns."""
    return [b for b in whole.breakers if b.two_pole and len(whole.legs) == 2]


def _columns(whole: Panel) -> tuple[list[Breaker], list[Breaker]]:
    """One leg fills both columns in turn; two legs have a column each, what has no leg the shorter one."""
    if len(whole.legs) == 1:
        return list(whole.breakers[0::2]), list(whole.breakers[1::2])
    return by_leg(whole.breakers)


def _main(sheet: Sheet, whole: Panel, ghost: Panel | None) -> None:
    """The main breaker in the middle of the top; on two legs a bar for each, one to each side."""
    middle = WIDTH / 2
    breaker_body(sheet, middle - 46, 12, 92, 40, whole.main_a, 15)
    before = {} if ghost is None else {leg.number: leg.now_a for leg in ghost.legs}
    two = len(whole.legs) == 2
    for leg in whole.legs:
        x = EDGE + 8 if leg.number == 1 else middle + 60
        title = f"Leg {leg.number} of the main" if two else "Main"
        sheet.text(x, 26, title, 13, bold=True)
        bar = x + wide(title, 13, bold=True) + 8
        end = middle - 58 if leg.number == 1 else WIDTH - EDGE - 8
        length = end - bar
        load_bar(sheet, leg.now_a, before.get(leg.number), whole.main_a, bar, 15, length, 13)
        sheet.text(x, 47, cut(load_words(leg.now_a, whole.main_a), 12, end - x), 12, load_tint(leg.now_a, whole.main_a))
    words = whole.asked
    if not two:
        sheet.text(middle + 60, 26, cut(words[:1].upper() + words[1:], 13, middle - 80), 13, bold=True)
        sheet.text(middle + 60, 47, cut(_advice(whole), 12, middle - 80), 12)
    sheet.line([(EDGE, TOP), (WIDTH - EDGE, TOP)], "grid")
    below = TOP + 6 + len(_across(whole)) * ROW
    sheet.line([(middle - GAP / 2, below), (middle - GAP / 2, sheet.height - FOOT - 10)], "grid")


def _advice(whole: Panel) -> str:
    over = [b.name for b in whole.breakers if b.rating_a is not None and b.now_a > b.rating_a + 1e-9]
    if over:
        return f"over its rating: {', '.join(over)}"
    if whole.main_a is not None and whole.worst_leg.now_a > whole.main_a + 1e-9:
        return "the main is over its rating, no branch is"
    return "no branch is over its rating"


def _breaker(sheet: Sheet, b: Breaker, before: Cell, x: float, y: float, two_legs: bool) -> None:
    breaker_body(sheet, x, y + (ROW - BODY_H) / 2, BODY_W, BODY_H, b.rating_a, 12)
    name_x, bar_x = x + BODY_W + 8, x + BODY_W + 8 + NAME_W
    name = b.name
    if two_legs and b.leg is None:
        name = f"{b.name} (leg ?)"
    elif b.two_pole and not two_legs:
        name = f"{b.name} (dead)"
    middle = y + ROW / 2
    sheet.text(name_x, middle - 3, cut(name, 13, NAME_W - 8, bold=True), 13, bold=True)
    sheet.text(name_x, middle + 13, cut(f"{b.wire}, {b.receptacles}", 11, NAME_W - 8), 11)
    load_bar(sheet, b.now_a, None if before is None else before.now_a, b.rating_a, bar_x, middle - 8, BAR_W, 16)
    room = WIDTH / 2 - GAP - (BODY_W + 8 + NAME_W + BAR_W + 8)
    first, _, second = load_words(b.now_a, b.rating_a).partition(", ")
    sheet.text(bar_x + BAR_W + 8, middle - 3, cut(first, 12, room), 12)
    tint = load_tint(b.now_a, b.rating_a)
    sheet.text(bar_x + BAR_W + 8, middle + 13, cut(second, 12, room, bold=True), 12, tint, bold=True)


def _two_poles(sheet: Sheet, b: Breaker, before: Cell, y: float) -> None:
    """A breaker on both legs: its load in the left column, its second pole in the right one."""
    _breaker(sheet, b, before, EDGE, y, True)
    x, top = EDGE + WIDTH / 2, y + (ROW - BODY_H) / 2
    second_pole(sheet, x, top, BODY_W, BODY_H, b.rating_a, 12, EDGE, y + ROW - 3.5)
    first, second = TWO_POLES
    sheet.text(x + BODY_W + 8, y + ROW / 2 - 3, first[:1].upper() + first[1:], 13, bold=True)
    sheet.text(x + BODY_W + 8, y + ROW / 2 + 13, second, 11)


def _key(sheet: Sheet, height: float, whole: Panel, ghost: Panel | None) -> None:
    y, x = height - FOOT / 2 + 1, 4.0
    moved = ghost is not None and [b.now_a for b in ghost.breakers] != [b.now_a for b in whole.breakers]
    keys: Sequence[tuple[str, str, str]] = [
        ("bar", "holds", f"load, {whole.asked}"),
        ("dash", "ink", "80 %: most for three hours (210.20)"),
        ("line", "stop", "100 %: the rating"),
        *([("ghost", "ghost", "before")] if moved else []),
    ]
    for mark, tint, words in keys:
        if mark == "bar":
            sheet.box(x, y - 5, 16, 10, tint, opacity=0.9)
        elif mark == "ghost":
            sheet.box(x, y - 5, 16, 10, None, tint, dash="3 2")
        else:
            sheet.line([(x + 8, y - 7), (x + 8, y + 7)], tint, 1.2 if mark == "dash" else 2.4, "2 2" * (mark == "dash"))
        said = cut(words, 12, 230)
        sheet.text(x + 22, y + 4, said, 12)
        x += 40 + wide(said, 12)
