"""Many designs side by side: an upright axis for each metric, a line for each candidate; lower is better."""

from __future__ import annotations

from trailerlib.pictures.canvas import Axis, Ink, Sheet, legend
from trailerlib.pictures.lettering import broken, cut, text_width, wide
from trailerlib.pictures.trade_marks import Scale, end_words, note_of, others_drawn, title_of, unbeaten_drawn, unit_of
from trailerlib.studies.answer import Answer
from trailerlib.studies.trade_offs.choose import shown
from trailerlib.studies.trade_offs.metrics import words_of
from trailerlib.studies.trade_offs.question import Trade

WIDTH, HEIGHT = 520.0, 290.0
LEFT, RIGHT, TOP, BOTTOM = 40.0, 40.0, 72.0, 250.0


def trade_axes(answer: Answer, ghost: Answer | None = None, ink: Ink = "screen", focus: int | None = None) -> str:
    """The candidates that nothing beats, the limits, the present design, and the candidate in focus.

    Parameters
    ----------
    answer : the answer about a sweep
    ghost : the answer before the last move; its limits are drawn as outlines
    ink : ``screen`` or ``paper``
    focus : [-] number of the candidate in focus
    """
    trade: Trade = answer.picture
    sheet = Sheet(WIDTH, HEIGHT, "Candidates side by side", ink)
    legend(
        sheet, 6, 12,
        [("line", "holds", "nothing beats it"), ("line", "grid", "allowed"), ("line", "ink", "as it is"),
         ("line", "watch", f"candidate {focus}" if focus is not None else "none picked"), ("tick", "stop", "limit")],
    )  # fmt: skip
    spans = [Scale.of(trade, key) for key in trade.by]
    scales = {span.key: _upright(span, trade) for span in spans}
    places = _places(list(scales))
    for row in others_drawn(trade, spans):
        _line(sheet, trade, row, scales, places, "grid", 1.0)
    for row in unbeaten_drawn(trade):
        _line(sheet, trade, row, scales, places, "holds", 1.2, opacity=0.55)
    before = None if ghost is None else ghost.picture
    for key, scale in scales.items():
        _axis(sheet, trade, key, scale, places[key], before)
    now = [(places[key], scale(trade.here[key])) for key, scale in scales.items() if trade.here[key] == trade.here[key]]
    sheet.line(now, "ink", 2.6)
    for x, y in now:
        sheet.dot(x, y, 3.5, "ink")
    if focus is not None:
        _line(sheet, trade, focus, scales, places, "watch", 3.0)
        _values(sheet, trade, focus, scales, places)
    return sheet.svg()


def _places(keys: list[str]) -> dict[str, float]:
    gap = (WIDTH - LEFT - RIGHT) / max(1, len(keys) - 1)
    return {key: LEFT + k * gap for k, key in enumerate(keys)}


def _upright(scale: Scale, trade: Trade) -> Axis:
    """The better end below."""
    less = trade.result.better(scale.key) == "less"
    return scale.axis(BOTTOM, TOP) if less else scale.axis(TOP, BOTTOM)


def _line(
    sheet: Sheet,
    trade: Trade,
    row: int,
    scales: dict[str, Axis],
    places: dict[str, float],
    tint: str,
    width: float,
    opacity: float = 1.0,
) -> None:
    """A candidate; it breaks off where a metric is not known."""
    values = {key: float(trade.result.metrics[key][row]) for key in scales}
    points = [(places[key], scale(values[key])) for key, scale in scales.items() if values[key] == values[key]]
    if len(points) > 1:
        sheet.line(points, tint, width, opacity=opacity, note=note_of(trade, row))


def _axis(sheet: Sheet, trade: Trade, key: str, scale: Axis, x: float, before: Trade | None) -> None:
    room = (WIDTH - LEFT - RIGHT) / max(1, len(trade.by) - 1) - 8
    sheet.line([(x, TOP - 4), (x, BOTTOM + 4)], "ink", 1.2)
    lines = broken(title_of(key), 12, room, 2)
    unit = unit_of(trade.result, key)
    words = [*lines[:-1], f"{lines[-1]} [{unit}]" if unit else lines[-1]]
    if unit and wide(words[-1], 12, True) > room:
        words = [*lines, f"[{unit}]"]
    for k, line in enumerate(words):
        sheet.text(_kept(x, line), 36 + 14 * k, cut(line, 12, 150), 12, anchor="middle", bold=k < len(lines))
    worse, better = (scale.high, scale.low) if trade.result.better(key) == "less" else (scale.low, scale.high)
    sheet.text(x, TOP - 8, end_words(trade.result, key, worse), 11, "ghost", "middle", halo=True)
    sheet.text(x, BOTTOM + 18, end_words(trade.result, key, better), 11, "ghost", "middle")
    sheet.text(x, BOTTOM + 32, "better", 11, "ghost", "middle")
    if before is not None and before.limits.get(key) != trade.limits.get(key):
        _limit(sheet, scale, x, before.limits.get(key), "ghost")
    _limit(sheet, scale, x, trade.limits.get(key), "stop")


def _kept(x: float, words: str) -> float:
    """The middle of a text so that it stays on the sheet."""
    half = text_width(words, 12, True) / 2 + 2
    return min(max(x, half), WIDTH - half)


def _limit(sheet: Sheet, scale: Axis, x: float, ends: tuple[float | None, float | None] | None, tint: str) -> None:
    for end in ends or ():
        if end is not None and scale.low <= end <= scale.high:
            y = scale(end)
            sheet.line([(x - 11, y), (x + 11, y)], tint, 3.0)


def _values(sheet: Sheet, trade: Trade, row: int, scales: dict[str, Axis], places: dict[str, float]) -> None:
    """The numbers of the candidate in focus beside its line."""
    last = list(scales)[-1]
    for key, scale in scales.items():
        value = float(trade.result.metrics[key][row])
        if value != value:
            continue
        x, y = places[key], scale(value)
        words = shown(trade.result, key, value) if words_of(key)[1] else end_words(trade.result, key, value)
        sheet.dot(x, y, 4, "watch", "paper")
        end = key == last
        sheet.text(x - 8 if end else x + 8, y - 6, words, 12, "watch", "end" if end else "start", bold=True, halo=True)
