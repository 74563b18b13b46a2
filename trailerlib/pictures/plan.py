"""The trailer from above, to scale: box, openings, what stands where, and the wires to it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trailerlib.design.design import Design
from trailerlib.design.model import Circuit, Opening
from trailerlib.pictures.canvas import Ink, Sheet, legend
from trailerlib.pictures.lanes import lanes
from trailerlib.pictures.lettering import fit, text_width
from trailerlib.pictures.wires import paths, thick
from trailerlib.rules.finding import MARKS, Severity
from trailerlib.studies.answer import Assessment

WIDTH = 480.0
MARGIN, TOP = 14.0, 34.0
LINE = 17.0
WALL = 4.0
SEVERITY_TINT: dict[Severity, str] = {
    "stop": "stop",
    "fix": "watch",
    "note": "ink",
    "not checked": "ghost",
    "holds": "holds",
}


@dataclass(frozen=True)
class _Scale:
    """From metres in the trailer (from the nose wall, from the left wall) to pixels on the sheet.

    Seen from above with the nose on the left, the left wall is the lower one: ``zero_y`` is its place.
    """

    px_per_m: float
    zero_x: float
    zero_y: float

    def __call__(self, x: float, y: float, lane: float = 0.0) -> tuple[float, float]:
        return self.zero_x + x * self.px_per_m + lane, self.zero_y - y * self.px_per_m - lane


@dataclass(frozen=True)
class _Spot:
    """One marked place: number, where [m], its words, its side."""

    number: int
    at: tuple[float, float]
    words: str
    side: str
    place: str


def plan(design: Design, assessment: Assessment | None = None, ink: Ink = "screen", focus: str | None = None) -> str:
    """The trailer from above; the nose is on the left, so the road side is below.

    Parameters
    ----------
    design : the design
    assessment : when given, places whose circuit has a finding are marked with its severity
    ink : ``screen`` or ``paper``
    focus : name of a circuit to draw strongly
    """
    box = design.trailer
    front, back = box.nose + box.tongue, 0.6
    scale = (WIDTH - 2 * MARGIN) / (front + box.length + back)
    height = box.width * scale
    spots = list(_spots(design))
    rows = max(sum(len(lines) for _, lines in column) for column in _columns(spots))
    total = TOP + height + 56 + rows * LINE + 8
    sheet = Sheet(WIDTH, total, f"Plan of {design.title}", ink)
    at = _Scale(scale, MARGIN + front * scale, TOP + 22 + height)
    _box(sheet, at, design)
    for opening in design.openings:
        _opening(sheet, at, design, opening)
    _wires(sheet, at, design, focus)
    for spot in spots:
        _spot(sheet, at, spot)
    _list(sheet, spots, _worst_by_place(design, assessment), TOP + height + 62)
    legend(
        sheet,
        MARGIN,
        12,
        [
            ("line", "dc", "12 V" if design.battery is None else design.battery.nominal),
            ("line", "mains", "mains"),
            ("ghost", "ink", "in the roof"),
            ("dash", "ink", "door, window"),
        ],
    )
    _ruler(sheet, at, design, TOP + height + 34)
    return sheet.svg()


def from_above(
    sheet: Sheet, design: Design, left: float, top: float, across: float, room: float, focus: str | None = None
) -> _Scale:
    """Box, openings and wires alone, to scale, the nose on the left; returns where a place [m] lies on the sheet [px].

    Parameters
    ----------
    sheet : where to draw
    design : the design
    left : [px] left edge
    top : [px] upper edge
    across : [px] most width
    room : [px] most height
    focus : name of a circuit to draw strongly
    """
    box = design.trailer
    front, back = box.nose + box.tongue, 0.6
    px = min(across / (front + box.length + back), room / box.width)
    at = _Scale(px, left + front * px, top + box.width * px)
    _box(sheet, at, design)
    for opening in design.openings:
        _opening(sheet, at, design, opening)
    _wires(sheet, at, design, focus)
    return at


def _box(sheet: Sheet, at: _Scale, design: Design) -> None:
    box = design.trailer
    corners = [at(0, 0), at(box.length, 0), at(box.length, box.width), at(0, box.width)]
    outline = [*corners, at(-box.nose, box.width / 2), corners[0]] if box.nose > 0 else [*corners, corners[0]]
    sheet.area(outline, "grid", 0.35)
    sheet.line(outline, "ink", WALL)
    tip = at(-box.nose, box.width / 2)
    ball = at(-box.nose - box.tongue, box.width / 2)
    for start in (at(0, box.width * 0.22), at(0, box.width * 0.78)) if box.nose == 0 else (tip,):
        sheet.line([start, ball], "ink", 2)
    sheet.dot(*ball, 4, "ink")
    for number in range(box.axles):
        middle = box.length * 0.58 + (number - (box.axles - 1) / 2) * 0.85
        for y in (-0.06, box.width + 0.24):
            x, top = at(middle - 0.33, y)
            sheet.box(x, top, 0.66 * at.px_per_m, 0.18 * at.px_per_m, "ink", round_=3)
    for x, y, words in side_words(at, design):
        sheet.text(x, y, words, 11, "ghost")


def side_words(at: _Scale, design: Design) -> tuple[tuple[float, float, str], ...]:
    """The names of both sides with their left end and base line [px].

    Parameters
    ----------
    at : where a place lies on the sheet
    design : the design
    """
    x, top = at(design.trailer.length * 0.04, design.trailer.width)
    bottom = at(0.0, 0.0)[1]
    return (x, top - 14, "curb side"), (x, bottom + 15, "road side")  # wires beside each other reach over the wall


def _opening(sheet: Sheet, at: _Scale, design: Design, opening: Opening) -> None:
    box, (first, second), (w, h) = design.trailer, opening.at, opening.size
    if opening.wall == "roof":
        x, y = at(first - w / 2, second + h / 2)
        sheet.box(x, y, w * at.px_per_m, h * at.px_per_m, None, "ink", dash="4 3", width=1.4)
        return
    if opening.wall in ("curb", "road"):
        y = box.width if opening.wall == "curb" else 0.0
        ends = [at(first - w / 2, y), at(first + w / 2, y)]
    else:
        x = box.length if opening.wall == "rear" else 0.0
        ends = [at(x, first - w / 2), at(x, first + w / 2)]
    sheet.line(ends, "paper", WALL + 2)
    sheet.line(ends, "ink", 2, "5 4")


def _spots(design: Design) -> Iterator[_Spot]:
    """One spot a place, with all that is there; the places of the electrics first."""
    words: dict[str, list[str]] = {}
    side: dict[str, str] = {}
    if design.battery is not None and design.battery.place:
        words.setdefault(design.battery.place, []).append("battery")
    for block, called in ((design.fuse_block, "fuse block"), (design.panel, "mains panel")):
        if block:
            words.setdefault(block, []).append(called)
            side[block] = "dc" if called == "fuse block" else "mains"
    for load in design.loads:
        if load.place:
            words.setdefault(load.place, []).append(f"{load.name} ×{load.count}" if load.count > 1 else load.name)
            side.setdefault(load.place, load.typical.system)
    for supply in design.supplies:
        if supply.place:
            words.setdefault(supply.place, []).append(supply.name)
            side.setdefault(supply.place, "mains")
    for number, (place, what) in enumerate(words.items(), start=1):
        x, y, _ = design.place(place).at
        yield _Spot(number, (x, y), _title(place, what), side.get(place, "dc"), place)


def _title(place: str, what: list[str]) -> str:
    return place if what == [place] else ", ".join(what) if place in what else f"{place}: {', '.join(what)}"


def _spot(sheet: Sheet, at: _Scale, spot: _Spot) -> None:
    """Its mark; what stands farther away than the picture reaches has it at the edge, with an arrow."""
    x, y = at(*spot.at)
    edge = min(max(x, MARGIN), WIDTH - MARGIN)
    if edge != x:
        way = 1.0 if x > edge else -1.0
        tip = edge + way * (MARGIN - 2)
        sheet.area([(tip, y), (edge + way * 7, y - 5), (edge + way * 7, y + 5)], spot.side, 1.0)
        x = edge
    sheet.dot(x, y, 8.5, spot.side, "paper")
    sheet.text(x, y + 4, str(spot.number), 11, "paper", "middle", bold=True)


def _wires(sheet: Sheet, at: _Scale, design: Design, focus: str | None) -> None:
    """Each circuit along the way it is laid; where that is not known, as a thin broken line straight to its ends."""
    routes = design.layout.routes
    offset = lanes(tuple((name, route.legs) for name, route in routes.items()), at.px_per_m)
    for circuit in design.circuits:
        tint = circuit.system if focus in (None, circuit.name) else "ghost"
        lane = offset.get(circuit.name, 0.0)
        for path in paths(routes[circuit.name]):
            sheet.line([at(x, y, lane) for x, y, _ in path], tint, thick(circuit.wire))
        if not routes[circuit.name].legs:
            _straight(sheet, at, design, circuit, tint)


def _straight(sheet: Sheet, at: _Scale, design: Design, circuit: Circuit, tint: str) -> None:
    start = design.fuse_block if circuit.system == "dc" else design.panel
    if start is None:
        return
    for end in sorted(_ends(design, circuit.name)):
        sheet.line([at(*design.place(start).at[:2]), at(*design.place(end).at[:2])], tint, 1.2, "5 4")


def _worst_by_place(design: Design, assessment: Assessment | None) -> dict[str, Severity]:
    """The worst finding of the circuits that end at each place."""
    if assessment is None:
        return {}
    names = {f'circuit "{circuit.name}"': circuit.name for circuit in design.circuits}
    by_circuit: dict[str, Severity] = {}
    for finding in assessment.finding_list:
        if finding.subject in names:
            by_circuit.setdefault(names[finding.subject], finding.severity)
    found: dict[str, Severity] = {}
    for name, severity in by_circuit.items():
        for place in sorted(_ends(design, name)):
            found.setdefault(place, severity)
    return found


def _ends(design: Design, circuit: str) -> set[str]:
    """The places a circuit leads to."""
    ends = {load.place for load in design.loads_on(circuit)} | {design.circuit(circuit).to}
    return {place for place in ends if place is not None}


def _columns(spots: list[_Spot]) -> tuple[list[tuple[_Spot, list[str]]], list[tuple[_Spot, list[str]]]]:
    """The list of places in two columns about equally long."""
    entries = [(spot, _lines(spot.words, WIDTH / 2 - 54)) for spot in spots]
    half, total, left = sum(len(lines) for _, lines in entries) / 2, 0, 0
    while left < len(entries) and total < half:
        total += len(entries[left][1])
        left += 1
    return entries[:left], entries[left:]


def _list(sheet: Sheet, spots: list[_Spot], worst: dict[str, Severity], top: float) -> None:
    """The places by number; a mark says that a circuit which ends there has a finding."""
    for column, entries in enumerate(_columns(spots)):
        x, y = MARGIN + 8 + column * (WIDTH - MARGIN) / 2, top
        for spot, lines in entries:
            sheet.dot(x, y, 7.5, spot.side)
            sheet.text(x, y + 4, str(spot.number), 10, "paper", "middle", bold=True)
            severity = worst.get(spot.place)
            if severity is not None:
                sheet.text(x + 13, y + 4, MARKS[severity], 12, SEVERITY_TINT[severity], bold=True)
            for line in lines:
                sheet.text(x + (28 if severity is not None else 13), y + 4, line, 12)
                y += LINE


def _lines(words: str, width: float) -> list[str]:
    """A text broken between words into lines that are no wider than there is room."""
    lines = [""]
    for word in words.split():
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and text_width(longer, 12) > width:
            lines.append(word)
        else:
            lines[-1] = longer
    return [fit(line, 12, width) for line in lines]


def _ruler(sheet: Sheet, at: _Scale, design: Design, y: float) -> None:
    """A scale to measure by: five feet or two metres."""
    length, words = (5 * 0.3048, "5 ft") if design.units == "us" else (2.0, "2 m")
    right = WIDTH - MARGIN
    left = right - length * at.px_per_m
    sheet.line([(left, y), (right, y)], "ink", 1.4)
    for x in (left, right):
        sheet.line([(x, y - 4), (x, y + 4)], "ink", 1.4)
    sheet.text((left + right) / 2, y + 15, words, 12, anchor="middle")
