"""Labels to print: each text set as large as its label allows, or refused with a sentence; a test of fit first."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from trailerlib.buildfile import glyphs, paper
from trailerlib.buildfile.label_sheets import PAPERS_MM, Slot, Stock, slots, stock, stocks
from trailerlib.buildfile.label_texts import LEAST_MM, Label, labels
from trailerlib.buildfile.type_width import POINT_MM, width_mm, wrapped
from trailerlib.design.design import Design
from trailerlib.studies.schedules import Schedule
from trailerlib.units import shorten

TEMPLATE = Path(__file__).with_name("labels.typ")
PAD_MM, BESIDE_MM = 1.6, 1.8  # to the edge; between the mark and the name
LARGEST, SMALLEST, STEP = (
    16.0,
    6.0,
    0.5,
)  # [pt] of a name; smaller is not read in a dim corner (common practice, no source)
SMALL, MARK, LINE = 0.78, 1.35, 1.22  # share of the name's size: small print, mark; height of a line


@dataclass(frozen=True)
class Line:
    """One line of a label: text, left end and baseline from its upper left corner [mm], size [pt], whether bold."""

    text: str
    x: float
    y: float
    size: float
    bold: bool


@dataclass(frozen=True)
class Placed:
    """One label with the place where it lies."""

    label: Label
    slot: Slot
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Sheets:
    """All labels that fit, where they lie, and one sentence for each that does not."""

    stock: Stock
    placed: tuple[Placed, ...]
    refused: tuple[str, ...]


def sheets(design: Design, schedules: Mapping[str, Schedule], name: str | None = None, skip: int = 0) -> Sheets:
    """The labels of a trailer on sheets.

    Parameters
    ----------
    design : the design
    schedules : what is built from, by key
    name : of the sheet; None is plain paper
    skip : [-] labels of the first sheet that are used already

    Raises
    ------
    DesignError
        When there is no such sheet.
    """
    sheet = stock(name, design.units)
    fitted = [(label, fit(label, *sheet.size_of(label.kind))) for label in labels(design, schedules)]
    good = [(label, lines) for label, lines in fitted if lines is not None]
    places = slots(sheet, [label for label, _ in good], skip)
    placed = tuple(Placed(label, slot, lines) for (label, lines), slot in zip(good, places, strict=True))
    return Sheets(sheet, placed, tuple(refusal(label, sheet) for label, lines in fitted if lines is None))


def fit(label: Label, width: float, height: float) -> tuple[Line, ...] | None:
    """The lines of a label in the largest type that fits.

    Parameters
    ----------
    label : the label
    width : [mm] of the label
    height : [mm] of the label

    Returns
    -------
    tuple of Line or None
        None when it does not fit in the smallest type, holds what the fonts cannot draw, or must be larger by a rule.
    """
    least = LEAST_MM.get(label.kind, (0.0, 0.0))
    if glyphs.undrawable(f"{label.mark}{label.name}{label.small}") or width < least[0] or height < least[1]:
        return None
    steps = int((LARGEST - SMALLEST) / STEP)
    tries = (_set(label, LARGEST - STEP * n, width, height) for n in range(steps + 1))
    return next((lines for lines in tries if lines is not None), None)


def _set(label: Label, size: float, width: float, height: float) -> tuple[Line, ...] | None:
    mark = size * MARK
    beside = width_mm(label.mark, mark, True) + BESIDE_MM if label.mark else 0.0
    room = width - 2 * PAD_MM - beside
    if room < 0.0:
        return None
    told = [(label.name, size, True), (label.small, max(SMALLEST, size * SMALL), False)]
    rows: list[tuple[str, float, bool]] = []
    for text, points, bold in told:
        lines = wrapped(text, points, room, bold)
        if lines is None:
            return None
        rows += [(line, points, bold) for line in lines]
    heights = [points * LINE * POINT_MM for _, points, _ in rows]
    if sum(heights) > height - 2 * PAD_MM or mark * POINT_MM > height - 2 * PAD_MM:
        return None
    return tuple(_lines(label.mark, mark, rows, heights, beside, height))


def _lines(
    mark: str, mark_pt: float, rows: Sequence[tuple[str, float, bool]], heights: Sequence[float], beside: float,
    height: float,
) -> Iterator[Line]:  # fmt: skip
    """The mark in the middle at the left, the rows beside it; the baseline lies a fourth of the type above the foot."""
    if mark:
        yield Line(mark, PAD_MM, height / 2 + 0.36 * mark_pt * POINT_MM, mark_pt, True)
    top = (height - sum(heights)) / 2
    for (text, points, bold), tall in zip(rows, heights, strict=True):
        yield Line(text, PAD_MM + beside, top + tall / 2 + 0.36 * points * POINT_MM, points, bold)
        top += tall


def refusal(label: Label, sheet: Stock) -> str:
    """Why a label is not printed: which, how long its text is, and what would do.

    Parameters
    ----------
    label : a label that does not fit
    sheet : the sheet it does not fit on
    """
    width, height = sheet.size_of(label.kind)
    said = shorten(" ".join(part for part in (label.name, label.small) if part), 60)
    strange = glyphs.undrawable(f"{label.mark}{label.name}{label.small}")
    if strange:
        points = " ".join(f"U+{ord(c):04X}" for c in strange[:4])
        shown = glyphs.marked(said)
        return f"{label.called}: “{shown}” holds what the shipped type cannot draw ({points}); write it by hand."
    least = LEAST_MM.get(label.kind, (0.0, 0.0))
    if width < least[0] or height < least[1]:
        return (
            f"{label.called}: it has to be at least {least[0]:g} by {least[1]:g} mm and these are {width:g} by "
            f"{height:g} mm; {_would_do(label, sheet)}"
        )
    long = max(width_mm(label.name, SMALLEST, True), width_mm(label.small, SMALLEST))
    return (
        f"{label.called}: “{said}” is {long:.0f} mm long in the smallest type of {SMALLEST:g} pt and does not fit on "
        f"{width:g} by {height:g} mm; {_would_do(label, sheet)}"
    )


def _would_do(label: Label, sheet: Stock) -> str:
    """The smallest sheet of the same paper that takes it, else the name that would."""
    others = [one for one in stocks().values() if one.paper == sheet.paper and one is not sheet]
    sized = sorted(others, key=lambda one: one.size_of(label.kind)[0] * one.size_of(label.kind)[1])
    found = next((one for one in sized if fit(label, *one.size_of(label.kind)) is not None), None)
    if found is not None:
        width, height = found.size_of(label.kind)
        return f"“{found.name}” would do, {width:g} by {height:g} mm."
    return "no sheet there is takes it: give it a shorter name, in words with spaces between."


def printed(found: Sheets, title: str) -> bytes:
    """The labels as PDF: the test of fit with what was refused, then the sheets.

    Parameters
    ----------
    found : the labels on their sheets
    title : title of the design

    Returns
    -------
    bytes
        The same labels give the same bytes.
    """
    pages: dict[int, list[dict[str, Any]]] = {}
    for one in found.placed:
        pages.setdefault(one.slot.page, []).append(_placed(one))
    paper_mm = PAPERS_MM[found.stock.paper]
    grid = [vars(slot) for slot in slots(found.stock, [Label("fuse", "", "")] * found.stock.across * found.stock.down)]
    data = {
        "title": glyphs.marked(title), "stock": found.stock.name, "plain": found.stock.plain, "width": paper_mm[0],
        "height": paper_mm[1], "round": found.stock.round, "grid": grid, "refused": list(found.refused),
        "pages": [pages[number] for number in sorted(pages)], "count": len(found.placed),
    }  # fmt: skip
    return paper.compiled(TEMPLATE, {"data": json.dumps(data, ensure_ascii=False)})


def _placed(one: Placed) -> dict[str, Any]:
    return {**vars(one.slot), "kind": one.label.kind, "lines": [vars(line) for line in one.lines]}
