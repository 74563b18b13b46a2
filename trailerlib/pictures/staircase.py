"""Voltage along the way of the current: a staircase from the source down to the load, and on down on the way back."""

from __future__ import annotations

import math
from collections.abc import Sequence

from trailerlib.pictures.canvas import Ink, Sheet
from trailerlib.pictures.lettering import broken, cut, wide
from trailerlib.pictures.stair_axes import ground, tint_of
from trailerlib.pictures.stair_labels import SIZE, Label, labels, stacked, volts
from trailerlib.pictures.stair_layout import (
    BOTTOM,
    BREAK,
    LEAST_SPAN,
    LEFT,
    LOAD,
    RIGHT,
    TOP,
    Drawn,
    Scale,
    Stair,
    inside,
    laid,
    levels,
    scaled,
)
from trailerlib.pictures.stair_limits import EDGE, Limit, limit_base, limit_boxes, limits_of, lines_of
from trailerlib.studies.path import Path
from trailerlib.units import show, whole

WIDTH, HEIGHT = 520.0, 346.0
LIMIT_WORDS = 16.0  # [px] of the cut, for the words of a limit
LEAST_TOLD = 0.05  # share of what is lost that is worth a word
WITHIN = 2.0  # a limit or a ghost farther off than so many times the loss does not stretch the scale


def staircase(
    path: Path,
    ghost: Path | None = None,
    *,
    title: str = "",
    limit_v: float | None = None,
    lowest_v: float | None = None,
    ink: Ink = "screen",
) -> str:
    """Voltage along the way of the current, magnified; the same volts are as tall on the way out as on the way back.

    Parameters
    ----------
    path : the steps from inside the source to the load and back
    ghost : the path before the last move, drawn pale
    title : what the way leads to
    limit_v : [V] what may be lost in all, or None
    lowest_v : [V] least voltage the load works at, or None
    ink : ``screen`` or ``paper``
    """
    sheet = Sheet(WIDTH, HEIGHT, f"Voltage along the way, {title}" if title else "Voltage along the way", ink)
    reason = _reason(path)
    if reason:
        for number, line in enumerate(broken(f"Nothing to draw. {reason}", 14, WIDTH - 60, 5)):
            sheet.text(WIDTH / 2, HEIGHT / 2 - 20 + 20 * number, line, 14, "ghost", "middle")
        return sheet.svg()
    now = laid(path)
    before = laid(ghost) if ghost is not None and ghost != path and not _reason(ghost) else None
    _heading(sheet, now, before, title)
    limits = limits_of(path, limit_v, lowest_v)
    scale, names = _arranged(now, before, limits)
    ground(sheet, now, scale)
    if before is not None:
        _line(sheet, before, scale, ghost=True)
    for limit, y in lines_of(limits, now, scale):
        _limit(sheet, now, limit, y, scale)
    _line(sheet, now, scale)
    for side, found in zip((1, -1), names, strict=True):
        for label in found:
            _name(sheet, label, side)
    _load(sheet, now, scale, limits)
    _strip(sheet, now)
    return sheet.svg()


def _reason(path: Path) -> str:
    """Why a path cannot be drawn; empty when it can."""
    if not path.steps:
        return "The way of the current is not known yet: a wire, its run or its source is missing."
    if not all(math.isfinite(v) for v in (path.emf_v, path.load_v, *(s.lost_v for s in path.steps))):
        return "The load cannot be fed, so there is no voltage along the way."
    return "" if path.emf_v > 0.0 else "The source has no voltage."


def _arranged(
    now: Stair, before: Stair | None, limits: Sequence[Limit]
) -> tuple[Scale, tuple[list[Label], list[Label]]]:
    """The scale, and the words of both sides; room is made for the words above and below, or the least are left out."""
    head = foot = 4.0
    dropped = 0
    while True:
        scale = _scale(now, before, limits, head, foot)
        names = _named(now, before, scale, limits, dropped)
        over = [TOP - label.box(1)[1] for label in names[0]]
        under = [label.box(-1)[3] - BOTTOM for label in names[1]]
        if max([0.0, *over, *under]) <= 0.5:
            return scale, names
        head, foot = head + max([0.0, *over]), foot + max([0.0, *under])
        if head + foot > 0.4 * (BOTTOM - TOP - BREAK):
            head = foot = 4.0
            dropped += 1


def _scale(now: Stair, before: Stair | None, limits: Sequence[Limit], head: float, foot: float) -> Scale:
    feed, back = now.heights_v()
    lost = max(max(feed) - min(feed) + max(back) - min(back), LEAST_SPAN * now.path.emf_v)
    near = [limit.load_v + now.minus_v for limit in limits if now.path.emf_v - limit.load_v <= WITHIN * lost]
    feed = [*feed, *(at for at in near if at <= max(feed))]
    if before is not None:
        was = before.heights_v()
        both = [*feed, *was[0]], [*back, *was[1]]
        if sum(max(side) - min(side) for side in both) <= (1.0 + WITHIN) * lost:
            feed, back = both
    return scaled(now, feed, back, head, foot)


def _named(
    now: Stair, before: Stair | None, scale: Scale, limits: Sequence[Limit], dropped: int
) -> tuple[list[Label], list[Label]]:
    """Words of the way out and of the way back, placed; the least are left out when there is no room for them."""

    def above(x: float) -> float:
        seen = levels(now.out, x, 1) + (levels(before.out, x, 1) if before is not None else [])
        return max(scale.feed(max(seen)), scale.top)

    def below(x: float) -> float:
        seen = levels(now.back, x, -1) + (levels(before.back, x, -1) if before is not None else [])
        return min(scale.back(min(seen)), scale.bottom)

    lost, best = now.path.lost_v, now.costliest
    out = labels(now.out, scale.feed, above, 1, EDGE, lost, best) if best is not None else []
    back = labels(now.back, scale.back, below, -1, 8.0, lost, best) if best is not None else []
    keep = sorted([*out, *back], key=lambda label: (label.strong, abs(label.lost_v)))[dropped:]
    taken = [box for limit, y in lines_of(limits, now, scale) for box in limit_boxes(now, limit, y, scale)]
    return (
        stacked([label for label in out if label in keep], 1, taken),
        stacked([label for label in back if label in keep], -1, []),
    )


def _heading(sheet: Sheet, now: Stair, before: Stair | None, title: str) -> None:
    room = EDGE - 8.0
    if before is not None:
        words = f"before: {show(before.path.load_v, 'voltage')} at the load"
        left = EDGE - wide(words)
        sheet.line([(left - 24, 12), (left - 7, 12)], "ghost", 1.8, "5 3")
        sheet.text(EDGE, 16, words, SIZE, "ghost", "end")
        room = left - 44
    sheet.text(8, 16, cut(title or "Voltage along the way", 13, room, bold=True), 13, bold=True)
    sheet.text(8, 33, cut(_said(now), SIZE, EDGE - 8), SIZE)


def _said(now: Stair) -> str:
    """Who takes how much of what is lost."""
    lost = now.path.lost_v
    if now.costliest is None:
        return "Nothing is lost on the way: no current flows."
    takes: dict[str, list[float]] = {}
    for drawn in (*now.out, *now.back):
        word = drawn.name.split(",")[0] if drawn.inner else drawn.kind
        takes.setdefault(word, []).append(drawn.lost_v)
    shares = sorted(((sum(lost_v) / lost, word) for word, lost_v in takes.items()), reverse=True)
    (most, word), *rest = shares
    first = _called(word, len(takes[word]))
    part, verb = whole(100 * most), "take" if first.endswith("s") else "takes"
    told = [(_called(word, len(takes[word])), share) for share, word in rest[:2] if share >= LEAST_TOLD]
    more = "".join(f", the {name} {whole(100 * share)} %" for name, share in told)
    return f"The {first} {verb} {part} % of the {volts(lost)} lost{more}."


def _called(word: str, count: int) -> str:
    return f"{word}s" if word in ("contact", "fuse") and count > 1 else word


def _line(sheet: Sheet, stair: Stair, scale: Scale, *, ghost: bool = False) -> None:
    """The stair itself, thing by thing; the one from before is pale and kept within the panels."""
    best, tint = stair.costliest, tint_of(stair.path)
    upper, lower = (scale.top, scale.cut[0] + 8), (scale.cut[1] - 2, scale.bottom)
    for steps, height, panel in ((stair.out, scale.feed, upper), (stair.back, scale.back, lower)):
        for drawn in steps:
            points = [(x, height(v)) for x, v in drawn.corners()]
            note = f"{drawn.name}: {volts(drawn.lost_v)} at {show(drawn.current_a, 'current')}"
            if ghost:
                for piece in inside(points, *panel):
                    sheet.line(piece, "ghost", 1.8, "5 3", note=f"before: {note}")
            else:
                strong = drawn is best
                sheet.line(points, tint if strong else "ink", 4.5 if strong else 2.2, note=note)


def _limit(sheet: Sheet, now: Stair, limit: Limit, y: float | None, scale: Scale) -> None:
    if y is not None:
        sheet.line([(now.load - LOAD / 2, y), (EDGE, y)], "stop", 1.8, "5 3")
        sheet.text(EDGE, limit_base(now, y, scale), limit.said, SIZE, "stop", "end")


def _name(sheet: Sheet, label: Label, side: int) -> None:
    far = label.y - label.base if side > 0 else label.base - 0.8 * SIZE - label.y
    if far > 9:
        end = label.base - 0.7 * SIZE if side > 0 else label.base
        sheet.line([(label.x, label.y), (label.x, end)], "ghost", 0.9)
    left, _, right, _ = label.box(side)
    if side > 0:
        sheet.text(left, label.base, label.words, SIZE, bold=label.strong, halo=True)
    else:
        sheet.text(right, label.base, label.words, SIZE, anchor="end", bold=label.strong, halo=True)


def _load(sheet: Sheet, now: Stair, scale: Scale, limits: Sequence[Limit]) -> None:
    """The load's own drop, cut in the middle, with what arrives beside it and the limits that lie far off."""
    top, low = scale.feed(now.plus_v), scale.back(now.minus_v)
    middle = (scale.cut[0] + LIMIT_WORDS + scale.cut[1]) / 2
    for end, gap in ((top, middle - 5), (low, middle + 5)):
        sheet.line([(now.load, end), (now.load, gap)], "ink", 2.2)
        sheet.line([(now.load + x, gap + y) for x, y in ((-9, 4), (-3, -4), (3, 4), (9, -4))])
    for x, y in ((now.load - LOAD / 2, top), (now.load + LOAD / 2, low)):
        sheet.line([(x, y), (now.load, y)], "ink", 2.2)
        sheet.dot(now.load, y, 4, "ink", "paper")
    tint = "stop" if any(limit.broken for limit in limits) else "holds" if limits else "ink"
    words = f"{show(now.path.load_v, 'voltage')} at the load"
    part = f"{show(now.path.load_v / now.path.emf_v, 'fraction')} arrives"
    far = [limit.said for limit, y in lines_of(limits, now, scale) if y is None]
    sheet.text(now.load + 16, middle, words, 15, tint, bold=True)
    sheet.text(now.load + 16, middle + 16, part, SIZE, tint)
    for number, line in enumerate(far):
        room = now.load - 24
        sheet.text(now.load - 16, middle + 16 * number, cut(line, SIZE, room), SIZE, "stop", "end")


def _strip(sheet: Sheet, now: Stair) -> None:
    """The things themselves under the stair, each under its own step."""
    y = BOTTOM + 15
    sheet.line([(LEFT, y), (RIGHT, y)], "ghost", 1.4)
    for drawn in (*now.out, *now.back):
        _MARKS[drawn.kind if not drawn.inner else "source"](sheet, drawn, y)
    sheet.dot(now.load, y, 8, "paper", "ink")
    for sign in (-1, 1):
        sheet.line([(now.load - 5, y - 5 * sign), (now.load + 5, y + 5 * sign)], "ink", 1.4)
    sheet.text(LEFT, y + 22, "way out →", SIZE)
    sheet.text(now.load, y + 22, "load", SIZE, anchor="middle", bold=True)
    sheet.text(RIGHT, y + 22, "→ way back", SIZE, anchor="end")
    key = "what the current goes through, in order: dot a contact, box a fuse, bar a wire"
    sheet.text((LEFT + RIGHT) / 2, y + 35, key, 11, "ghost", "middle")


def _source(sheet: Sheet, drawn: Drawn, y: float) -> None:
    """Two plates for a battery, a ring for anything else."""
    if drawn.kind != "battery":
        sheet.dot(drawn.middle, y, 5, "paper", "ink")
        return
    for x, half in ((drawn.middle - 3, 4), (drawn.middle + 3, 8)):
        sheet.line([(x, y - half), (x, y + half)], "ink", 2)


def _fuse(sheet: Sheet, drawn: Drawn, y: float) -> None:
    sheet.box(drawn.middle - 6, y - 4, 12, 8, "paper", "ink", width=1.4)


def _wire(sheet: Sheet, drawn: Drawn, y: float) -> None:
    sheet.line([(drawn.left + 3, y), (drawn.right - 3, y)], "ink", 3.4)


def _contact(sheet: Sheet, drawn: Drawn, y: float) -> None:
    sheet.dot(drawn.middle, y, 3, "ink")


_MARKS = {"source": _source, "battery": _source, "fuse": _fuse, "wire": _wire, "contact": _contact}
