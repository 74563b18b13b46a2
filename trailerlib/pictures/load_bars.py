"""What runs: a bar a load, with what it draws when it starts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from trailerlib.pictures.canvas import Axis, Ink, Sheet, legend, round_up, ticks
from trailerlib.pictures.lettering import text_width
from trailerlib.studies.answer import Answer
from trailerlib.studies.loads import LoadBar, LoadsPicture

WIDTH, TOP, ROW = 520.0, 34.0, 18.0
SCALE = 42.0
MOST = 16
SIDES = {"dc": "battery side", "mains": "mains side"}


def load_bars(answer: Answer, ghost: Answer | None = None, ink: Ink = "screen", focus: str | None = None) -> str:
    """Running power of every load, largest first; each side has its own scale, or the lights would vanish.

    Parameters
    ----------
    answer : the answer of the loads study
    ghost : the answer before the last move, drawn as outlines
    ink : ``screen`` or ``paper``
    focus : name of the load under the slider
    """
    picture: LoadsPicture = answer.picture
    bars = _chosen(picture.bars, focus)
    before = {bar.name: bar for bar in ghost.picture.bars} if ghost is not None else {}
    groups = {side: [bar for bar in bars if bar.side == side] for side in SIDES}
    used = {side: group for side, group in groups.items() if group}
    height = TOP + len(bars) * ROW + max(len(used), 1) * SCALE
    sheet = Sheet(WIDTH, height, "Power of every load", ink)
    left = min(200.0, max((text_width(_label(bar), 13) for bar in bars), default=0.0) + 14)
    left = max(left, text_width("battery side [W]", 12) + 20)
    legend(sheet, 10, 14, [("bar", side, SIDES[side]) for side in used] + [("tick", "watch", "when it starts")])
    top = TOP
    for side, group in used.items():
        top = _group(sheet, side, group, before, top, left, focus)
    if not bars:
        sheet.text(WIDTH / 2, TOP + ROW, "no load yet", 14, "ghost", "middle")
    return sheet.svg()


def _group(
    sheet: Sheet,
    side: str,
    bars: list[LoadBar],
    before: Mapping[str, LoadBar],
    top: float,
    left: float,
    focus: str | None,
) -> float:
    """The bars of one side over their scale; where the next group begins."""
    longest = max(max(bar.running_w, before[bar.name].running_w if bar.name in before else 0.0) for bar in bars)
    axis = Axis(0.0, round_up(longest), left, WIDTH - 162)
    bottom = top + len(bars) * ROW
    for value in ticks(axis.low, axis.high):
        x = axis(value)
        sheet.line([(x, top - 2), (x, bottom + 2)], "grid")
        sheet.text(x, bottom + 16, f"{value:g}", 12, anchor="middle")
    sheet.text(left - 8, bottom + 16, f"{SIDES[side]} [W]", 12, side, "end", bold=True)
    for place, bar in enumerate(bars):
        _bar(sheet, axis, bar, before.get(bar.name), top + place * ROW, bar.name == focus)
    return bottom + SCALE


def _chosen(bars: Sequence[LoadBar], focus: str | None) -> list[LoadBar]:
    ordered = sorted(bars, key=lambda bar: (-bar.running_w, bar.name))
    kept = ordered[:MOST]
    if focus is not None and focus not in {bar.name for bar in kept}:
        kept[-1:] = [bar for bar in ordered if bar.name == focus] or kept[-1:]
    return kept


def _label(bar: LoadBar) -> str:
    name = bar.name if len(bar.name) <= 26 else bar.name[:25] + "…"
    return name if bar.on else f"{name} (off)"


def _bar(sheet: Sheet, axis: Axis, bar: LoadBar, before: LoadBar | None, y: float, focus: bool) -> None:
    sheet.text(axis.start - 8, y + 13, _label(bar), 13, "ink" if bar.on else "ghost", "end", bold=focus)
    if before is not None and before.running_w != bar.running_w:
        sheet.box(axis(0), y + 2, axis(before.running_w) - axis(0), ROW - 5, None, "ghost", dash="3 2")
    sheet.box(axis(0), y + 3, max(axis(bar.running_w) - axis(0), 1.0), ROW - 7, bar.side)
    end, words = axis(bar.running_w), f"{_three(bar.running_w)} W"
    if bar.on and bar.start_w > 1.2 * bar.running_w:
        end = axis(min(bar.start_w, axis.high))
        beyond = bar.start_w > axis.high
        sheet.line([(axis(bar.running_w), y + 9), (end, y + 9)], "watch", 1.4, "2 2")
        sheet.line(
            [(end - 4, y + 5), (end, y + 9), (end - 4, y + 13)] if beyond else [(end, y + 3), (end, y + ROW - 4)],
            "watch",
            2.2,
        )
        words += f", starts {_three(bar.start_w)} VA"
    if bar.on:
        sheet.text(end + 6, y + 13, words, 12)


def _three(watts: float) -> str:
    from trailerlib.units import figures

    return figures(watts)
