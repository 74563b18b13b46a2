"""Two metrics against each other: candidates as dots, what nothing beats stands out, the present design is marked."""

from __future__ import annotations

from trailerlib import units
from trailerlib.pictures.canvas import Axis, Ink, Sheet, legend, ticks
from trailerlib.pictures.trade_marks import Scale, others_drawn, title_of, unbeaten_drawn, unit_of
from trailerlib.studies.answer import Answer
from trailerlib.studies.trade_offs.metrics import words_of
from trailerlib.studies.trade_offs.question import Trade

WIDTH, HEIGHT = 520.0, 290.0
LEFT, RIGHT, TOP, BOTTOM = 64.0, 16.0, 44.0, 248.0


def trade_scatter(
    answer: Answer,
    ghost: Answer | None = None,
    ink: Ink = "screen",
    focus: int | None = None,
    across: str = "cost",
    up: str = "reserve_h",
) -> str:
    """Candidates as dots over two metrics.

    Parameters
    ----------
    answer : the answer about a sweep
    ghost : the answer before the last move; its present design is drawn as an outline
    ink : ``screen`` or ``paper``
    focus : [-] number of the candidate in focus
    across : the metric from left to right
    up : the metric from below to above
    """
    trade: Trade = answer.picture
    sheet = Sheet(WIDTH, HEIGHT, f"{title_of(up)} over {title_of(across)}", ink)
    legend(
        sheet, 6, 12,
        [("bar", "holds", "nothing beats it"), ("bar", "grid", "allowed"), ("bar", "ink", "as it is"),
         ("bar", "watch", f"candidate {focus}" if focus is not None else "none picked"), ("line", "stop", "limit")],
    )  # fmt: skip
    spans = Scale.of(trade, across), Scale.of(trade, up)
    x, y = spans[0].axis(LEFT, WIDTH - RIGHT), spans[1].axis(BOTTOM, TOP)
    _frame(sheet, trade, x, y, across, up)
    for row in others_drawn(trade, spans):
        _dot(sheet, trade, row, x, y, across, up, 2.5, "ghost")
    for row in unbeaten_drawn(trade):
        _dot(sheet, trade, row, x, y, across, up, 4.0, "holds")
    if ghost is not None and ghost.picture.here is not trade.here:
        _spot(sheet, x, y, ghost.picture.here.get(across), ghost.picture.here.get(up), 5.0, "ghost")
    _spot(sheet, x, y, trade.here[across], trade.here[up], 6.0, "ink")
    if focus is not None:
        _dot(sheet, trade, focus, x, y, across, up, 6.5, "watch")
    return sheet.svg()


def _frame(sheet: Sheet, trade: Trade, x: Axis, y: Axis, across: str, up: str) -> None:
    for value in _ticks(trade, across, x):
        sheet.line([(x(value), TOP), (x(value), BOTTOM)], "grid")
        sheet.text(x(value), BOTTOM + 16, _number(trade, across, value), 12, anchor="middle")
    for value in _ticks(trade, up, y):
        sheet.line([(LEFT, y(value)), (WIDTH - RIGHT, y(value))], "grid")
        sheet.text(LEFT - 8, y(value) + 4, _number(trade, up, value), 12, anchor="end")
    sheet.text((LEFT + WIDTH - RIGHT) / 2, BOTTOM + 34, _named(trade, across), 12, anchor="middle", bold=True)
    sheet.text(LEFT, TOP - 5, _named(trade, up), 12, bold=True, halo=True)
    for key, scale, upright in ((across, x, False), (up, y, True)):
        for end in trade.limits.get(key, ()):
            if end is not None and scale.low <= end <= scale.high:
                at = scale(end)
                ends = [(LEFT, at), (WIDTH - RIGHT, at)] if upright else [(at, TOP), (at, BOTTOM)]
                sheet.line(ends, "stop", 2.0, "6 4")


def _ticks(trade: Trade, key: str, scale: Axis) -> list[float]:
    """Round values in the shown unit, in the inside one."""
    kind, system = words_of(key)[1], trade.result.base.units
    if kind not in units.KINDS:
        return ticks(scale.low, scale.high)
    zero, one = (units.outside(value, kind, system) for value in (0.0, 1.0))
    low, high = (units.outside(value, kind, system) for value in (scale.low, scale.high))
    return [(value - zero) / (one - zero) for value in ticks(low, high)]


def _number(trade: Trade, key: str, value: float) -> str:
    kind = words_of(key)[1]
    if kind in units.KINDS:
        value = units.outside(value, kind, trade.result.base.units)
    return f"{round(value, 9):g}"


def _named(trade: Trade, key: str) -> str:
    unit, way = unit_of(trade.result, key), trade.result.better(key)
    return f"{title_of(key)}{f' [{unit}]' if unit else ''}, {way} is better"


def _dot(
    sheet: Sheet, trade: Trade, row: int, x: Axis, y: Axis, across: str, up: str, radius: float, tint: str
) -> None:
    _spot(sheet, x, y, float(trade.result.metrics[across][row]), float(trade.result.metrics[up][row]), radius, tint)


def _spot(sheet: Sheet, x: Axis, y: Axis, at: float | None, height: float | None, radius: float, tint: str) -> None:
    if at is not None and height is not None and at == at and height == height:
        sheet.dot(x(at), y(height), radius, tint, "paper")
