"""The run-together card for the screen: large letters, the largest sets, the worst that does not hold."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from trailerlib.pictures.canvas import Sheet
from trailerlib.pictures.lettering import broken, cut, wide
from trailerlib.pictures.together_rows import HEATS, MOST_PAIRS, dead_words, idle_words, rows_on_paper
from trailerlib.studies.answer import names
from trailerlib.studies.together import Combination, Forbidden, Switch, Together
from trailerlib.units import figures

WIDTH, HEIGHT = 520.0, 305.0
LEFT, GUTTER, ROOM = 10.0, 30.0, 500.0
SMALL, SIZE = 11.5, 13.0
ROW, LINE, COLUMN = 18.0, 15.0, 88.0
MOST_COLUMNS, MOST_STARTS = 7, 2
# Rows that hold for good, rows under three hours, sets not together: the first that has room is drawn.
FILLS = ((3, 2, 2), (3, 2, 1), (3, 1, 1), (2, 1, 1), (1, 1, 1), (1, 0, 1), (1, 0, 0), (0, 0, 0))


class _Card(Sheet):
    """A sheet that is filled from the top; ``y`` is where the next line begins [px]."""

    y: float = 4.0

    def marked(self, sign: str, tint: str, lines: Iterable[str], size: float = SMALL, bold: bool = False) -> None:
        """Lines behind a sign."""
        self.text(LEFT, self.y + LINE - 3, sign, SIZE, tint, bold=True)
        for line in lines:
            self.y += LINE
            self.text(LEFT + 18, self.y - 3, cut(line, size, ROOM - 18, bold=bold), size, bold=bold)
        self.y += 1


def together_screen(found: Together) -> str:
    """The card of one supply as it stands on the bench; what is left out is counted.

    Parameters
    ----------
    found : what may run together on it
    """
    for good, short, pairs in FILLS:
        card = _filled(found, good, short, pairs)
        if card.y <= HEIGHT:
            break
    return card.svg()


def _filled(found: Together, good: int, short: int, pairs: int) -> _Card:
    card = _Card(WIDTH, HEIGHT, f"What may run together on {found.supply}")
    _title(card, found)
    _gaps(card, found)
    if found.dead:
        card.marked("●", "ink", broken(dead_words(found), SMALL, ROOM - 18, 2))
    if found.not_starting:
        card.marked("▲", "watch", broken(idle_words(found), SMALL, ROOM - 18, 2))
    if not found.too_many:
        _all_at_once(card, found)
        _free(card, found)
        if found.deciding:
            _rows(card, found, found.for_good[:good], found.under_three_hours[:short])
        if found.forbidden:
            _not_together(card, found, pairs)
    return card


def _title(card: _Card, found: Together) -> None:
    taken = f"{found.kind}, {found.volts_words}"
    card.y += 15
    card.text(WIDTH - LEFT, card.y, taken, 12, anchor="end")
    room = ROOM - wide(taken, 12) - 14
    card.text(LEFT, card.y, cut(f"On “{found.supply}”", 14, room, bold=True), 14, bold=True)
    card.y += 4


def _gaps(card: _Card, found: Together) -> None:
    gaps = [*found.gaps, *([found.too_many] if found.too_many else [])]
    if not gaps:
        return
    lines = broken(f"Not checked: {gaps[0]}.", SMALL, ROOM - 18, 3)
    more = len(gaps) - 1
    card.marked("○", "watch", [*lines, *([f"and {more} more not checked, on paper"] if more else [])])


def _all_at_once(card: _Card, found: Together) -> None:
    if not found.switches:
        card.marked("○", "watch", ["Nothing is in use on the mains side."], SIZE)
    elif found.everything is not None:
        said = _opens("All on: ", found.everything)
        card.marked(
            "■",
            "stop",
            [*broken(said, SMALL, ROOM - 18, 2), _counted("switch off ", found.everything.switch_off, ", then ")],
        )
    elif found.checked:
        card.marked("✓", "holds", ["Everything on holds: nothing opens."], SIZE, bold=True)
    else:
        card.marked("○", "watch", ["Everything on passes no limit that is known."])


def _opens(head: str, one: Forbidden) -> str:
    """What opens first and about when, with what heats meanwhile, in as many words as a line takes."""
    first, room = one.first, ROOM - 18
    if first.stop:
        return head + f"stop: {first.limit.name}, {first.load}: it overheats, nothing opens"
    either = " or ".join(dict.fromkeys(trip.limit.what for trip in one.together_with))
    leg = "" if first.limit.leg is None else f", leg {first.limit.leg}"
    hot = names(dict.fromkeys(HEATS[t.limit.kind] for t in one.stops))
    heats = f"; stop: {hot} too hot" if hot else ""
    overload = first.limit.kind in ("generator", "power")
    when = "it stalls or opens" if overload else first.when
    ways = (
        f"{head}{either}{leg}, {first.load}: {first.when}{heats}",
        f"{head}{first.limit.name}, {first.load}: {first.when}{heats}",
        f"{head}{first.limit.name}, {first.load}: {when}{heats}",
        f"{head}{first.limit.name}: {when}{heats}",
    )
    return next((way for way in ways if wide(way, SMALL) <= room), ways[-1])


def _counted(head: str, parts: Sequence[str], joint: str = ", ", room: float = ROOM - 18, tail: str = "") -> str:
    """A list on one line; what has no room is counted, never cut."""
    for kept in range(len(parts), 0, -1):
        more = f" and {len(parts) - kept} more" if kept < len(parts) else ""
        words = f"{head}{joint.join(parts[:kept])}{more}{tail}"
        if wide(words, SMALL) <= room:
            return words
    return f"{head}{len(parts)} of the loads{tail}"


def _free(card: _Card, found: Together) -> None:
    if not found.always:
        return
    head = "Always fine" if found.deciding else "Always fine, all together"
    sign, tint = ("✓", "holds") if found.checked else ("○", "watch")
    if not found.checked:
        head = "Never decide, by what is known"
    tail = "" if found.free_lasts else "; all at once: under 3 h"
    parts = [s.name for s in found.free]
    if found.deciding:
        card.marked(sign, tint, [_counted(f"{head}: ", parts, tail=tail)])
        return
    sized = ", ".join(f"{s.name} {figures(s.size_a, 2)} A" for s in found.always)
    card.marked(sign, tint, broken(f"{head}: {sized}{tail}.", SMALL, ROOM - 18, 12))


def _rows(card: _Card, found: Together, good: Sequence[Combination], short: Sequence[Combination]) -> None:
    columns = len(found.deciding) <= MOST_COLUMNS
    if columns and (good or short):
        _heads(card, found.deciding)
    known, tint = ("", "holds") if found.checked else (" by what is known: not checked", "watch")
    shown = [*good, *short]
    paper = rows_on_paper(found)
    for title, colour, rows, count, printed, first in (
        (f"Hold for good{known}", tint, good, found.for_good_count, len(paper[0]), 1),
        (f"Hold under 3 h{known}", "watch", short, found.under_three_hours_count, len(paper[1]), 1 + len(good)),
    ):
        if count:
            _group_head(card, title, colour, _rest(count, len(rows), printed))
        for number, row in enumerate(rows, first):
            card.line([(LEFT, card.y), (WIDTH - LEFT, card.y)], "grid")
            _row(card, row, found.deciding, colour, number, columns)
    _starts(card, shown)


def _group_head(card: _Card, title: str, tint: str, rest: str) -> None:
    card.y += 16
    card.text(LEFT, card.y, title, 12, tint, bold=True)
    if rest:
        card.text(LEFT + wide(title, 12, bold=True) + 10, card.y, rest, SMALL)
    card.y += 4


def _rest(count: int, shown: int, printed: int) -> str:
    """How many more there are, and how many of them the printed card has; empty when all are shown."""
    more, there = count - shown, max(printed - shown, 0)
    if more <= 0:
        return ""
    return f"and {more} more" + (" on paper" if there >= more else f", {there} of them on paper" if there else "")


def _step(deciding: Sequence[Switch]) -> float:
    return min(COLUMN, (ROOM - GUTTER) / len(deciding))


def _heads(card: _Card, deciding: Sequence[Switch]) -> None:
    step = _step(deciding)
    heads = [[cut(line, SMALL, step - 4) for line in broken(s.name, SMALL, step - 4, 2)] for s in deciding]
    deep = max(map(len, heads))
    for k, (switch, lines) in enumerate(zip(deciding, heads, strict=True)):
        middle = LEFT + GUTTER + (k + 0.5) * step
        for row, line in enumerate(lines):
            card.text(middle, card.y + 13 * (row + 1 + deep - len(lines)), line, SMALL, anchor="middle")
        amps = f"{figures(switch.size_a)} A"
        card.text(middle, card.y + 13 * (deep + 1), amps, SMALL, "mains", "middle", bold=True)
    card.y += 13 * (deep + 1) - 2


def _row(card: _Card, row: Combination, deciding: Sequence[Switch], tint: str, number: int, columns: bool) -> None:
    y = card.y + ROW / 2
    card.text(LEFT, y + 4, f"{number} ▲" if row.starts else str(number), 12)
    if columns:
        step = _step(deciding)
        for k, switch in enumerate(deciding):
            middle = LEFT + GUTTER + (k + 0.5) * step
            if switch.name in row.on:
                card.dot(middle - 10, y, 5.5, tint)
                card.text(middle, y + 4, "on", 12, bold=True)
            else:
                card.text(middle, y + 4, "–", 12, "ghost", "middle")
    else:
        off = [switch.name for switch in deciding if switch.name not in row.on]
        head, parts = ("", row.on) if len(row.on) <= len(off) else ("all but ", off)
        card.text(LEFT + GUTTER, y + 4, _counted(head, list(parts), room=ROOM - GUTTER), SMALL)
    card.y += ROW


def _starts(card: _Card, shown: Sequence[Combination]) -> None:
    """What to start first, once for all the rows it is true of."""
    said: dict[str, list[str]] = {}
    for number, row in enumerate(shown, 1):
        for start in row.starts:
            said.setdefault(start.words, []).append(str(number))
    for words, numbers in list(said.items())[:MOST_STARTS]:
        lines = broken(f"{', '.join(numbers)}: {words}", SMALL, ROOM - 18, 2)
        card.marked("▲", "watch", lines)
    if len(said) > MOST_STARTS:
        card.marked("▲", "watch", [f"and {len(said) - MOST_STARTS} more to mind at the start, on paper"])


def _not_together(card: _Card, found: Together, pairs: int) -> None:
    shown = min(pairs, len(found.forbidden))
    head = "Not together" if found.checked else "Not together, by what is known"
    _group_head(card, head, "stop", _rest(found.forbidden_count, shown, min(len(found.forbidden), MOST_PAIRS)))
    for one in found.forbidden[:pairs]:
        card.line([(LEFT, card.y), (WIDTH - LEFT, card.y)], "grid")
        loads = _whole(one.on)
        line = _opens(f"{loads}: ", one) if loads else ""
        if loads and wide(line, SMALL) <= ROOM - 18:
            card.marked("■", "stop", [line])
        else:
            lines = broken(" + ".join(one.on), SMALL, ROOM - 18, 6)
            card.marked("■", "stop", [*lines, *broken(_opens("", one), SMALL, ROOM - 18, 2)])


def _whole(on: Sequence[str]) -> str:
    """The set on one line with room for what happens behind it, or nothing."""
    words = " + ".join(on)
    return words if wide(words, SMALL) <= 0.5 * ROOM else ""
