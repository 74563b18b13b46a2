"""The run-together card: what a client may switch on at one time, by supply, and what to do when it opens."""

from __future__ import annotations

from collections.abc import Sequence

from trailerlib.pictures.canvas import Ink, Sheet
from trailerlib.pictures.lettering import broken, cut, wide
from trailerlib.pictures.together_rows import HEATS, MOST_PAIRS, dead_words, idle_words, rows_on_paper
from trailerlib.pictures.together_screen import together_screen
from trailerlib.studies.answer import names
from trailerlib.studies.together import Combination, Forbidden, Switch, Together
from trailerlib.studies.together.result import REST_MIN, share_words
from trailerlib.units import figures

WIDTH = 860.0
LEFT, GUTTER = 14.0, 30.0
LOAD_END = 606.0  # the columns of the loads end here, what limits a row stands beside
ROW, LINE = 24.0, 15.0
MOST_COLUMNS = 12
COLUMN = 88.0
NOT_AT, OFF_AT = 258.0, 664.0  # columns of what does not go together


class _Card(Sheet):
    """A sheet that is filled from the top; ``y`` is where the next line begins [px]."""

    y: float = 0.0

    def lines(self, words: str, size: float = 13, tint: str = "ink", bold: bool = False, x: float = LEFT) -> None:
        """A text over as many lines as it takes."""
        for line in broken(words, size, (WIDTH - LEFT - x) / (1.12 if bold else 1.0), 20):
            self.y += size + 5
            self.text(x, self.y, line, size, tint, bold=bold)

    def mark(self, sign: str, tint: str, words: str, bold: bool = False) -> None:
        """A text behind a sign."""
        self.text(LEFT, self.y + 18, sign, 13, tint, bold=True)
        self.lines(words, 13, bold=bold, x=LEFT + 20)
        self.y += 3


def run_together(found: Together, ink: Ink = "screen") -> str:
    """The card of one supply.

    Parameters
    ----------
    found : what may run together on it
    ink : ``screen`` (one size, what has room) or ``paper`` (as tall as it is)
    """
    if ink == "screen":
        return together_screen(found)
    card = _Card(WIDTH, 100.0, f"What may run together on {found.supply}", ink)
    _title(card, found)
    for gap in (*found.gaps, *((found.too_many,) if found.too_many else ())):
        card.mark("○", "watch", f"Not checked: {gap}.")
    if found.dead:
        card.mark("●", "ink", dead_words(found))
    if found.not_starting:
        card.mark("▲", "watch", idle_words(found))
    if not found.too_many:
        _all_at_once(card, found)
        _free(card, found)
        _rows(card, found)
        _not_together(card, found)
        _if_it_opens(card, found)
    card.height = card.y + 12.0
    return card.svg()


def _title(card: _Card, found: Together) -> None:
    taken = f"{found.kind}, {found.volts_words}"
    card.y = 25.0
    card.text(WIDTH - LEFT, card.y, taken, 12, anchor="end")
    room = WIDTH - 2 * LEFT - wide(taken, 12) - 16
    card.text(LEFT, card.y, cut(f"What may run together on “{found.supply}”", 17, room, bold=True), 17, bold=True)
    card.y += 5


def _all_at_once(card: _Card, found: Together) -> None:
    if not found.switches:
        card.mark("○", "watch", "Nothing is in use on the mains side.")
    elif found.everything is not None:
        words = f"Everything at once: {_opens(found.everything)}. Switch off {_in_turn(found.everything)}."
        card.mark("■", "stop", words)
    elif found.checked:
        card.mark("✓", "holds", "Everything at once holds: nothing opens.")
    else:
        card.mark("○", "watch", "Everything at once passes no limit that is known.")


def _in_turn(forbidden: Forbidden) -> str:
    return ", then ".join(forbidden.switch_off)


def _opens(forbidden: Forbidden) -> str:
    """What opens first and about when, with what heats meanwhile."""
    first, heats = forbidden.first, names(dict.fromkeys(HEATS[t.limit.kind] for t in forbidden.stops))
    if first.stop:
        return f"stop: {first.limit.name}, {first.load}: it overheats and nothing opens"
    either = " or ".join(dict.fromkeys(trip.limit.what for trip in forbidden.together_with))
    leg = "" if first.limit.leg is None else f", leg {first.limit.leg}"
    return f"{either}{leg}, {first.load}: {first.when}" + (f"; stop: {heats} overheating" if heats else "")


def _free(card: _Card, found: Together) -> None:
    if not found.always:
        return
    words = ", ".join(f"{s.name} {figures(s.size_a, 2)} A" for s in found.always)
    head = "Always fine, with anything below" if found.deciding else "Always fine, all together"
    if not found.checked:
        head = "Never decide, by what is known"
    lasting = "" if found.free_lasts else " All of these at once: under 3 hours."
    card.mark("✓" if found.checked else "○", "holds" if found.checked else "watch", f"{head}: {words}.{lasting}")


def _rows(card: _Card, found: Together) -> None:
    if not found.deciding:
        return
    good, short = rows_on_paper(found)
    columns = len(found.deciding) <= MOST_COLUMNS
    if columns:
        _heads(card, found.deciding)
    known, tint = ("", "holds") if found.checked else (" by what is known: not checked", "watch")
    if good:
        _group(card, f"Hold for good{known}", tint, good, found, columns, found.for_good_count)
    if short:
        _group(card, f"Hold under 3 hours{known}", "watch", short, found, columns, found.under_three_hours_count)


def _column(deciding: Sequence[Switch]) -> float:
    return min(COLUMN, (LOAD_END - LEFT - GUTTER) / len(deciding))


def _heads(card: _Card, deciding: Sequence[Switch]) -> None:
    step = _column(deciding)
    heads = [broken(switch.name, 11, step - 5, 3) for switch in deciding]
    deep = max(map(len, heads))
    card.y += 6
    for k, (switch, lines) in enumerate(zip(deciding, heads, strict=True)):
        middle = LEFT + GUTTER + (k + 0.5) * step
        for row, line in enumerate(lines):
            card.text(middle, card.y + 13 * (row + 1 + deep - len(lines)), line, 11, anchor="middle", bold=False)
        card.text(middle, card.y + 13 * (deep + 1), f"{figures(switch.size_a)} A", 11, "mains", "middle", bold=True)
    card.text(LOAD_END + 10, card.y + 13 * (deep + 1), "least room at", 11)
    card.y += 13 * (deep + 1) + 4


def _group(
    card: _Card, title: str, tint: str, rows: Sequence[Combination], found: Together, columns: bool, count: int
) -> None:
    card.y += 19
    card.text(LEFT, card.y, title, 13, tint, bold=True)
    if count > len(rows):
        more = f"and {count - len(rows)} more, none with more watts"
        card.text(LEFT + wide(title, 13, bold=True) + 12, card.y, more, 12)
    card.y += 5
    for number, row in enumerate(rows, 1):
        card.line([(LEFT, card.y), (WIDTH - LEFT, card.y)], "grid")
        top = card.y
        if columns:
            _marks(card, row, found.deciding, tint, number)
        else:
            _in_words(card, row, found.deciding, number)
        _room(card, row, top)


def _marks(card: _Card, row: Combination, deciding: Sequence[Switch], tint: str, number: int) -> None:
    step, y = _column(deciding), card.y + ROW / 2
    card.text(LEFT + 2, y + 4, str(number), 12)
    for k, switch in enumerate(deciding):
        middle = LEFT + GUTTER + (k + 0.5) * step
        if switch.name in row.on:
            card.dot(middle - 10, y, 6, tint)
            card.text(middle, y + 4, "on", 12, bold=True)
        else:
            card.text(middle - 8, y + 4, "off", 11, "ghost")
    card.y += ROW


def _in_words(card: _Card, row: Combination, deciding: Sequence[Switch], number: int) -> None:
    """What is on, or what is off where that is shorter."""
    off = [switch.name for switch in deciding if switch.name not in row.on]
    words = names(row.on) if len(row.on) <= len(off) else f"all but {names(off)}"
    lines = broken(words, 12, LOAD_END - LEFT - GUTTER, 20)
    card.text(LEFT + 2, card.y + 16, str(number), 12)
    for k, line in enumerate(lines):
        card.text(LEFT + GUTTER, card.y + 16 + LINE * k, line, 12)
    card.y += max(ROW, LINE * len(lines) + 8)


def _room(card: _Card, row: Combination, top: float) -> None:
    """Beside a row what limits it, under it what to start first."""
    lines = broken(f"{row.limit.name}: {share_words(row.limit, row.value)}", 11, WIDTH - LEFT - LOAD_END - 10, 2)
    for k, line in enumerate(lines):
        card.text(LOAD_END + 10, top + 16 + 12 * k, line, 11)
    card.y = max(card.y, top + ROW + 12 * (len(lines) - 1))
    for start in row.starts:
        for line in broken(f"▲ {start.words} ({start.limit})", 11, WIDTH - 2 * LEFT - GUTTER, 3):
            card.y += 14
            card.text(LEFT + GUTTER, card.y - 6, line, 11, "watch")


def _not_together(card: _Card, found: Together) -> None:
    if not found.forbidden:
        return
    shown = found.forbidden[:MOST_PAIRS]
    card.y += 22
    head = "Not together" if found.checked else "Not together, by what is known"
    card.text(LEFT, card.y, head, 13, "stop", bold=True)
    card.text(NOT_AT, card.y, "what happens", 11)
    card.text(OFF_AT, card.y, "switch off", 11)
    card.y += 5
    for one in shown:
        _pair(card, one)
    if found.forbidden_count > len(shown):
        card.y += 14
        card.text(LEFT, card.y, f"and {found.forbidden_count - len(shown)} more that are too much", 12)


def _pair(card: _Card, one: Forbidden) -> None:
    card.line([(LEFT, card.y), (WIDTH - LEFT, card.y)], "grid")
    cells = (
        (LEFT, broken(" + ".join(one.on), 12, NOT_AT - LEFT - 12, 20)),
        (NOT_AT, broken(_opens(one), 12, OFF_AT - NOT_AT - 12, 20)),
        (OFF_AT, broken(_in_turn(one), 12, WIDTH - LEFT - OFF_AT, 20)),
    )
    for x, lines in cells:
        for k, line in enumerate(lines):
            card.text(x, card.y + 15 + LINE * k, line, 12)
    card.y += LINE * max(len(lines) for _, lines in cells) + 6


def _if_it_opens(card: _Card, found: Together) -> None:
    card.y += 4
    if any(limit.kind == "power" for limit in found.limits):
        words = (
            "If it stalls or its breaker opens: switch everything off, get it going, then switch on one after another."
            " If it stops again at once, leave it off and have it looked at."
        )
    elif found.forbidden:
        words = "If a breaker opens: switch off what stands above, wait a minute, push the handle fully off, then on."
        words += " If it opens again at once, leave it off and have it looked at."
    else:
        return
    if any(switch.compressor for switch in found.switches):
        words += f" A compressor rests {REST_MIN:g} minutes before it starts again."
    card.mark("●", "ink", words, bold=True)
    if any(one.stops for one in found.forbidden) or (found.everything is not None and found.everything.stops):
        card.mark("■", "stop", "Stop: a cord or a plug over its rating opens nothing, it overheats. Do not try it out.")
