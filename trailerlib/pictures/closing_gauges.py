"""Lines of the test sheet as gauges: the band that is accepted, what is expected, what was read; and the suspects."""

from __future__ import annotations

import math
from collections.abc import Sequence

from trailerlib.pictures.canvas import Sheet
from trailerlib.pictures.lettering import broken, cut, wide
from trailerlib.studies.closing import words
from trailerlib.studies.closing.drawn import Gauge, Picture, Suspect

SIZE = 12.0
MARKS = {"agrees": "✓", "differs": "✗", "not measured": "–", "not checked": "?"}
TINTS = {"agrees": "holds", "differs": "stop", "not measured": "ghost", "not checked": "ghost"}
INSIDE = (0.3, 0.7)  # share of a gauge where its band lies
THICK = 11.0  # [px] of a band
SUSPECT = "▲"
GAP = 14.0  # [px] between two gauges beside each other


def told(gauge: Gauge) -> str:
    """The reading and its verdict, or the band while there is none."""
    asks = gauge.line.asks
    mark = f"{MARKS[gauge.verdict]} {gauge.verdict}"
    if gauge.read is not None:
        return f"{words.reading(gauge.read, asks)}  {mark}"
    if gauge.expected.value is None:
        return f"{MARKS['not checked']} not checked"
    return f"{band(gauge)}  {mark}"


def band(gauge: Gauge) -> str:
    """The band that is accepted, in words.

    Parameters
    ----------
    gauge : a line of the sheet
    """
    one, asks = gauge.expected, gauge.line.asks
    if one.value is None or one.low is None or one.high is None:
        return "–"
    if asks == "yes or no":
        return words.reading(one.value, asks)
    if math.isinf(one.high):
        return f"at least {words.reading(one.low, asks)}"
    if one.low <= 0.0 and asks == "resistance":
        return f"at most {words.reading(one.high, asks)}"
    low, high = words.reading(one.low, asks), words.reading(one.high, asks)
    same = low.split(" ")[-1] == high.split(" ")[-1]
    return f"{low.split(' ')[0] if same else low} to {high}"


def place(gauge: Gauge, value: float) -> float:
    """Where a value lies on its gauge, 0 to 1; the band from 0.3 to 0.7, what lies far off at an end.

    Parameters
    ----------
    gauge : a line of the sheet that has a band
    value : [inside unit] what to place
    """
    low, high = gauge.expected.low, gauge.expected.high
    assert low is not None and high is not None
    start, end = INSIDE
    if math.isinf(high):  # the band has no upper end: up to its lower one evenly, above it ever more slowly
        share = start * value / low if value < low else start + (0.96 - start) * (1.0 - low / value)
    else:
        share = start + (end - start) * (value - low) / ((high - low) or 1.0)
    return min(max(share, 0.02), 0.98)


def gauge_row(sheet: Sheet, gauge: Gauge, x: float, y: float, width: float) -> None:
    """One gauge: its band as a bar, the expected as a tick, the reading as a spot.

    Parameters
    ----------
    sheet : where to draw
    gauge : the line
    x : [px] left end
    y : [px] middle
    width : [px] of the whole scale
    """
    sheet.line([(x, y), (x + width, y)], "grid", 1.4)
    one = gauge.expected
    if one.low is None or one.high is None or one.value is None:
        return
    start = INSIDE[0]
    end = 1.0 if math.isinf(one.high) else INSIDE[1]
    sheet.box(x + start * width, y - THICK / 2, (end - start) * width, THICK, "holds", opacity=0.3)
    at = x + place(gauge, one.value) * width
    sheet.line([(at, y - THICK / 2), (at, y + THICK / 2)], "ink", 1.6)
    if gauge.read is not None:
        sheet.dot(x + place(gauge, gauge.read) * width, y, 5.0, TINTS[gauge.verdict], "paper")


def gauges(
    sheet: Sheet, found: Sequence[Gauge], box: tuple[float, float, float, float], columns: int, focus: str | None
) -> float:
    """Gauges two lines high: what is measured, and under it the scale with the reading; returns where they end [px].

    Parameters
    ----------
    sheet : where to draw
    found : the lines
    box : [px] left, top, right end, and height of one row
    columns : [-] how many stand beside each other
    focus : key of the line that stands out
    """
    left, top, right, pitch = box
    room = (right - left - GAP * (columns - 1)) / columns
    scale = min(150.0, 0.26 * room)
    for number, gauge in enumerate(found):
        row, column = divmod(number, columns)
        x, y = left + column * (room + GAP), top + row * pitch
        strong = gauge.line.key == focus
        sheet.text(x, y + 12, shortened(_where(gauge), room, strong), SIZE, bold=strong)
        gauge_row(sheet, gauge, x, y + 23, scale)
        said = told(gauge)
        if gauge.read is None and wide(said, SIZE) > room - scale - 8:
            said = f"{MARKS[gauge.verdict]} {gauge.verdict}"  # the bar shows the band
        sheet.text(x + scale + 8, y + 27, cut(said, SIZE, room - scale - 8), SIZE, _tint(gauge))
    return top + pitch * -(-len(found) // columns)


def suspects_list(sheet: Sheet, picture: Picture, left: float, top: float, right: float, most: int) -> None:
    """What the readings accuse: mark, letter, words, how likely, and its heat at full load.

    Parameters
    ----------
    sheet : where to draw
    picture : what is drawn, with its suspects
    left : [px] left end
    top : [px] first base line
    right : [px] right end
    most : [-] lines there is room for
    """
    y, left_over = top, most
    for number, suspect in enumerate(picture.suspects):
        rest = len(picture.suspects) - number - 1
        lines = broken(_accused(suspect, picture.known), SIZE, right - left - 34, max(1, min(5, left_over - rest)))
        if left_over < 1:
            return
        sheet.text(left, y, f"{SUSPECT} {suspect.letter}", SIZE, "stop", bold=True)
        for line in lines:
            sheet.text(left + 34, y, line, SIZE)
            y += 15.0
        left_over -= len(lines)


def _accused(suspect: Suspect, known: bool) -> str:
    hot = f", {words.heat(suspect.heat_w)} of heat at full load" if suspect.heat_w is not None else ""
    return f"{suspect.named}{hot}" + ("" if known else f" ({words.share(suspect.share)})")


def suspect_heading(picture: Picture) -> str:
    """Words over the list of suspects."""
    if picture.known:
        return "It was"
    return "Suspected" if picture.claimed else "May be, not yet sure"


def heading(sheet: Sheet, title: str, state: str, room: float) -> None:
    """Where the person stands and how the switches are.

    Parameters
    ----------
    sheet : where to draw
    title : where
    state : how the switches are
    room : [px] width
    """
    sheet.text(8, 16, cut(title, 13, room, bold=True), 13, bold=True)
    sheet.text(8, 33, cut(state, SIZE, room), SIZE)


def _where(gauge: Gauge) -> str:
    under = "Under load: " if gauge.line.key.startswith("load/") else ""
    where = gauge.line.where
    return under + where if under else where[:1].upper() + where[1:]


def shortened(said: str, room: float, bold: bool = False) -> str:
    """A text that keeps within so much room; what is left out is left out of its middle, for its end tells most.

    Parameters
    ----------
    said : the text
    room : [px] room
    bold : whether the letters are heavy
    """
    if wide(said, SIZE, bold) <= room:
        return said
    tail, words_ = "", said.split(" ")
    while words_ and wide(f"{words_[-1]} {tail}", SIZE, bold) < 0.5 * room:
        tail = f"{words_.pop()} {tail}".strip()
    return f"{cut(' '.join(words_), SIZE, room - wide(f' {tail}', SIZE, bold), bold)} {tail}".strip()


def _tint(gauge: Gauge) -> str:
    return TINTS[gauge.verdict]
