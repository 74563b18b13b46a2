"""One circuit with every wire size in turn: what is lost on the way, and which sizes may not be used at all."""

from __future__ import annotations

import math
from dataclasses import dataclass

from trailerlib.pictures.canvas import Axis, Ink, Sheet, legend, ticks
from trailerlib.pictures.lettering import text_width
from trailerlib.studies.answer import Answer
from trailerlib.studies.runs import Run
from trailerlib.studies.wiring import WiringPicture
from trailerlib.units import show

WIDTH, HEIGHT = 520.0, 340.0
LEFT, RIGHT, TOP, BOTTOM = 52.0, 464.0, 66.0, 282.0
GAP = 12.0  # between two bars
LABEL = 14.0  # letter height of the drop
CROSS = 16.0  # letter height of the mark of a size over which nothing arrives


def wire_chart(answer: Answer, ghost: Answer | None = None, ink: Ink = "screen", circuit: str | None = None) -> str:
    """Voltage lost on one circuit for each wire size, the limit as a line.

    Parameters
    ----------
    answer : the answer of the wiring study
    ghost : the answer before the last move, drawn as outlines
    ink : ``screen`` or ``paper``
    circuit : which circuit; default is the one with the least room
    """
    picture: WiringPicture = answer.picture
    run = _run(picture, circuit)
    sheet = Sheet(WIDTH, HEIGHT, "Voltage lost by wire size", ink)
    if run is None or not run.choice.drops_by_wire:
        sheet.text(
            WIDTH / 2, HEIGHT / 2, "nothing to draw: the circuit cannot be worked out yet", 14, "ghost", "middle"
        )
        return sheet.svg()
    before = _run(ghost.picture, run.circuit.name) if ghost is not None else None
    limit = run.circuit.drop_limit
    top = max(2.2 * limit, min(4 * limit, 1.25 * (run.drop or 0.0)), 0.01)
    up = Axis(0.0, top * 100, BOTTOM, TOP)
    _frame(sheet, up, run)
    slots = _slots(up, run, before)
    for slot in slots:
        _bar(sheet, run, slot)
    _limit(sheet, up(limit * 100), limit)
    _value(sheet, up(limit * 100), run, slots)
    keys = [
        ("bar", "holds", "does"),
        ("bar", "watch", "loses too much"),
        ("bar", "stop", "too thin for its fuse or load"),
    ]
    legend(sheet, 10, 14, [*keys, ("ghost", "ghost", "before")] if before is not None else keys)
    return sheet.svg()


@dataclass(frozen=True)
class _Slot:
    """One wire size: its drop [-], left and right end of its bar [px], top of the bar and of the one before [px]."""

    wire: str
    drop: float
    left: float
    right: float
    top: float
    old: float | None

    @property
    def middle(self) -> float:
        return (self.left + self.right) / 2

    @property
    def highest(self) -> float:
        return self.top if self.old is None else min(self.top, self.old)


def _slots(up: Axis, run: Run, before: Run | None) -> list[_Slot]:
    width = (RIGHT - LEFT) / len(run.choice.drops_by_wire)
    slots = []
    for place, (wire, drop) in enumerate(run.choice.drops_by_wire.items()):
        old = before.choice.drops_by_wire.get(wire, math.nan) if before is not None else math.nan
        x = LEFT + place * width
        top = BOTTOM - CROSS - 8 if math.isnan(drop) else up(drop * 100)
        moved = not math.isnan(old) and not abs(old - drop) <= 1e-6
        slots.append(_Slot(wire, drop, x + GAP / 2, x + width - GAP / 2, top, up(old * 100) if moved else None))
    return slots


def _run(picture: WiringPicture, name: str | None) -> Run | None:
    return max(
        (run for run in picture.runs if name in (None, run.circuit.name)), key=lambda run: run.strain, default=None
    )


def _unit(run: Run) -> str:
    return "AWG" if run.circuit.wire.endswith("AWG") else "mm²"


def _frame(sheet: Sheet, up: Axis, run: Run) -> None:
    for value in ticks(0.0, up.high):
        sheet.line([(LEFT, up(value)), (RIGHT, up(value))], "grid")
        sheet.text(LEFT - 7, up(value) + 4, f"{value:g} %", 12, anchor="end")
    sheet.text(LEFT + 4, 36, "share of the voltage lost on the way", 12, "ghost")
    words = f"wire size on “{run.circuit.name}”, thin to thick [{_unit(run)}]"
    sheet.text(WIDTH / 2, BOTTOM + 54, words, 12, anchor="middle")


def _bar(sheet: Sheet, run: Run, slot: _Slot) -> None:
    chosen, width = slot.wire == run.circuit.wire, slot.right - slot.left
    if slot.old is not None:
        sheet.box(slot.left, slot.old, width, BOTTOM - slot.old, None, "ghost", dash="3 2")
    if math.isnan(slot.drop):
        sheet.text(slot.middle, BOTTOM - 8, "✗", CROSS, "stop", "middle", bold=True)
    else:
        tint = _tint(run, slot.wire, slot.drop)
        sheet.box(slot.left, slot.top, width, BOTTOM - slot.top, tint, opacity=1.0 if chosen else 0.45)
    name = slot.wire.split()[0]
    sheet.text(slot.middle, BOTTOM + 17, name, 13 if len(name) < 4 else 11, "ink", "middle", bold=chosen)
    if chosen:
        sheet.text(slot.middle, BOTTOM + 34, "▲ fitted", 12, "ink", "middle", bold=True)


def _limit(sheet: Sheet, y: float, limit: float) -> None:
    """The line, and what it is, beyond the last bar where nothing can lie under the words."""
    sheet.line([(LEFT, y), (RIGHT, y)], "stop", 1.8, "5 3")
    sheet.text(RIGHT + 5, y - 2, f"{limit * 100:g} %", 12, "stop")
    sheet.text(RIGHT + 5, y + 12, "allowed", 12, "stop")


def _value(sheet: Sheet, limit_y: float, run: Run, slots: list[_Slot]) -> None:
    """The drop of the fitted wire, above every bar that it reaches over and clear of the limit's line.

    It starts at its own bar and reaches over thicker wires, whose bars are lower; only at the right end it turns back.
    """
    fitted = next((slot for slot in slots if slot.wire == run.circuit.wire), None)
    if fitted is None or math.isnan(fitted.drop):
        return
    words = show(fitted.drop, "fraction")
    width = text_width(words, LABEL, bold=True)
    left = min(fitted.left, RIGHT - width)
    under = [slot.highest for slot in slots if slot.left < left + width + 3 and slot.right > left - 3]
    base = min(under) - 6
    if base - LABEL < limit_y < base + 6:
        base = limit_y - 6
    sheet.text(left, base, words, LABEL, _tint(run, fitted.wire, fitted.drop), bold=True, halo=True)


def _tint(run: Run, wire: str, drop: float) -> str:
    if wire in run.choice.unguarded:
        return "stop"
    return "holds" if drop <= run.circuit.drop_limit else "watch"
