"""One circuit with every wire size in turn: what is lost on the way, and which sizes may not be used at all."""

from __future__ import annotations

import math

from trailerlib.pictures.canvas import Axis, Ink, Sheet, legend, ticks
from trailerlib.studies.answer import Answer
from trailerlib.studies.wiring import Run, WiringPicture

WIDTH, HEIGHT = 520.0, 340.0
LEFT, RIGHT, TOP, BOTTOM = 52.0, 508.0, 52.0, 282.0


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
    _frame(sheet, up)
    width = (RIGHT - LEFT) / len(run.choice.drops_by_wire)
    for place, (wire, drop) in enumerate(run.choice.drops_by_wire.items()):
        old = before.choice.drops_by_wire.get(wire) if before is not None else None
        _bar(sheet, up, run, wire, drop, old, LEFT + place * width, width)
    sheet.line([(LEFT, up(limit * 100)), (RIGHT, up(limit * 100))], "stop", 1.8, "5 3")
    sheet.text(RIGHT, up(limit * 100) - 6, f"{limit * 100:g} % allowed", 12, "stop", "end", halo=True)
    sheet.text(
        (LEFT + RIGHT) / 2,
        BOTTOM + 54,
        f"wire size on “{run.circuit.name}”, thin to thick [{_unit(run)}]",
        12,
        anchor="middle",
    )
    keys = [
        ("bar", "holds", "does"),
        ("bar", "watch", "loses too much"),
        ("bar", "stop", "too thin for its fuse or load"),
    ]
    legend(sheet, 10, 14, [*keys, ("ghost", "ghost", "before")] if before is not None else keys)
    return sheet.svg()


def _run(picture: WiringPicture, name: str | None) -> Run | None:
    return max(
        (run for run in picture.runs if name in (None, run.circuit.name)), key=lambda run: run.strain, default=None
    )


def _unit(run: Run) -> str:
    return "AWG" if run.circuit.wire.endswith("AWG") else "mm²"


def _frame(sheet: Sheet, up: Axis) -> None:
    for value in ticks(0.0, up.high):
        sheet.line([(LEFT, up(value)), (RIGHT, up(value))], "grid")
        sheet.text(LEFT - 7, up(value) + 4, f"{value:g} %", 12, anchor="end")
    sheet.text(LEFT + 4, TOP - 10, "share of the voltage lost on the way", 12, "ghost")


def _bar(sheet: Sheet, up: Axis, run: Run, wire: str, drop: float, old: float | None, x: float, width: float) -> None:
    middle, chosen = x + width / 2, wire == run.circuit.wire
    bar = width - 12
    if old is not None and not math.isnan(old) and abs(old - drop) > 1e-6:
        sheet.box(x + 6, up(old * 100), bar, BOTTOM - up(old * 100), None, "ghost", dash="3 2")
    tint = _tint(run, wire, drop)
    if math.isnan(drop):
        sheet.text(middle, BOTTOM - 8, "✗", 16, "stop", "middle", bold=True)
    else:
        y = up(drop * 100)
        sheet.box(x + 6, y, bar, BOTTOM - y, tint, opacity=1.0 if chosen else 0.45)
        if chosen:
            near_limit = 0 < y - up(100 * run.circuit.drop_limit) < 22
            sheet.text(
                middle,
                up(100 * run.circuit.drop_limit) - 6 if near_limit else y - 6,
                f"{_three(drop * 100)} %",
                14,
                tint,
                "middle",
                bold=True,
                halo=True,
            )
    name = wire.split()[0]
    sheet.text(middle, BOTTOM + 17, name, 13 if len(name) < 4 else 11, "ink", "middle", bold=chosen)
    if chosen:
        sheet.text(middle, BOTTOM + 34, "▲ fitted", 12, "ink", "middle", bold=True)


def _tint(run: Run, wire: str, drop: float) -> str:
    if wire in run.choice.unguarded:
        return "stop"
    return "holds" if drop <= run.circuit.drop_limit else "watch"


def _three(value: float) -> str:
    from trailerlib.units import figures

    return figures(value)
