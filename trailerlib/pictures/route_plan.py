"""The trailer from above and from the road side, to scale, with every wire along the way it is laid."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from trailerlib import units
from trailerlib.design.design import Design
from trailerlib.design.layout import Route
from trailerlib.design.raceways import Point
from trailerlib.pictures.canvas import Ink, Sheet, legend
from trailerlib.pictures.lanes import GAP_PX, Flat, lanes
from trailerlib.pictures.lettering import fit, text_width
from trailerlib.pictures.wires import paths, thick
from trailerlib.rules.finding import MARKS
from trailerlib.studies.answer import Answer
from trailerlib.studies.runs import Run
from trailerlib.studies.wiring import WiringPicture

WIDTH = 620.0
MARGIN, TOP, BETWEEN = 12.0, 44.0, 34.0
AIR_M = 0.25  # around what is drawn
WHEEL_M, HUB_M = 0.33, -0.05
PALE = 0.4
LONGEST_NAME = 104.0  # px
BLOCK = 9.0  # half the side of a block's mark

Box = tuple[float, float, float, float]  # left, top, right, bottom [px]


@dataclass(frozen=True)
class _View:
    """From metres in the trailer to pixels in one of the two views; ``top`` is the upper edge of what it shows [px]."""

    px_per_m: float
    zero: tuple[float, float]
    top: float
    down: Callable[[Point], float]
    lanes_down: float = 1.0

    def __call__(self, point: Point, lane: float = 0.0) -> Flat:
        return (
            self.zero[0] + point[0] * self.px_per_m + lane,
            self.zero[1] + self.down(point) * self.px_per_m + self.lanes_down * lane,
        )


def route_plan(
    answer: Answer, ghost: Answer | None, design: Design, *, circuit: str | None = None, ink: Ink = "screen"
) -> str:
    """Every circuit along its way, thick wire drawn thick, with what is lost at its far end.

    Parameters
    ----------
    answer : the answer of the wiring study
    ghost : the answer before the last move; the former way and wire of the circuit are drawn beside it
    design : the design, for its box, raceways and blocks
    circuit : the circuit to draw strongly; default is all alike
    ink : ``screen`` or ``paper``
    """
    picture: WiringPicture = answer.picture
    before = next((r for r in ghost.picture.runs if r.circuit.name == circuit), None) if ghost is not None else None
    runs = sorted(picture.runs, key=lambda run: run.circuit.name == circuit)
    above, beside, height = _views(design, [run.route for run in runs])
    sheet = Sheet(WIDTH, height, f"Wires of {design.title}", ink)
    offset = lanes(tuple((r.circuit.name, r.route.legs) for r in runs), above.px_per_m)
    taken = [_box_above(sheet, above, design), _box_beside(sheet, beside, design)]
    for view in (above, beside):
        _raceways(sheet, view, design, runs, offset)
        if before is not None:
            _former(sheet, view, before, next(r for r in runs if r.circuit.name == circuit), offset)
        for run in runs:
            _wire(sheet, view, run, answer, offset.get(run.circuit.name, 0.0), circuit)
        _blocks(sheet, view, design)
    _labels(sheet, above, design, runs, offset, circuit, before, [box for boxes in taken for box in boxes])
    volts = "12 V" if design.battery is None else design.battery.nominal
    keys = [("line", "dc", volts), ("line", "mains", "mains"), ("bar", "grid", "raceway")]
    legend(sheet, MARGIN, 13, [*keys, ("dash", "ghost", "before")] if before is not None else keys)
    _foot(sheet, above, design, runs, height)
    return sheet.svg()


def _views(design: Design, routes: Sequence[Route]) -> tuple[_View, _View, float]:
    """Both views on one scale, one under the other, and the height of the sheet [px]."""
    box = design.trailer
    points = [point for route in routes for leg in route.legs for point in (leg.start, leg.end)]
    points += [point for raceway in design.raceways for point in raceway.path]
    left = min([-box.nose, *(x for x, _, _ in points)]) - AIR_M
    right = max([box.length, *(x for x, _, _ in points)]) + AIR_M
    front, back = (edge([end, *(y for _, y, _ in points)]) for edge, end in ((min, 0.0), (max, box.width)))
    low = min([HUB_M - WHEEL_M, *(z for _, _, z in points)])
    high = max([box.height, *(z for _, _, z in points)])
    scale = (WIDTH - 2 * MARGIN) / (right - left)
    x = MARGIN - left * scale
    above = _View(scale, (x, TOP + 12 + back * scale), TOP + 12, lambda point: -point[1], -1.0)
    under = TOP + 12 + (back - front) * scale + BETWEEN
    beside = _View(scale, (x, under + high * scale), under, lambda point: -point[2])
    return above, beside, under + (high - low) * scale + 44


def _box_above(sheet: Sheet, view: _View, design: Design) -> list[Box]:
    box = design.trailer
    corners: list[Point] = [(0, 0, 0), (box.length, 0, 0), (box.length, box.width, 0), (0, box.width, 0)]
    nose: list[Point] = [(-box.nose, box.width / 2, 0)] if box.nose > 0 else []
    outline = [view(point) for point in (*corners, *nose)]
    sheet.area(outline, "grid", 0.3)
    sheet.line([*outline, outline[0]], "ink", 2.5)
    for opening in design.openings:
        (first, second), (w, h) = opening.at, opening.size
        if opening.wall == "roof":
            x, y = view((first - w / 2, second + h / 2, 0))
            sheet.box(x, y, w * view.px_per_m, h * view.px_per_m, None, "ghost", dash="4 3")
        elif opening.wall in ("curb", "road"):
            y_m = box.width if opening.wall == "curb" else 0.0
            _gap(sheet, [view((first - w / 2, y_m, 0)), view((first + w / 2, y_m, 0))])
        else:
            x_m = box.length if opening.wall == "rear" else 0.0
            _gap(sheet, [view((x_m, first - w / 2, 0)), view((x_m, first + w / 2, 0))])
    return _caption(sheet, view, "from above, curb side on top")


def _box_beside(sheet: Sheet, view: _View, design: Design) -> list[Box]:
    box = design.trailer
    for number in range(box.axles):
        x = box.length * 0.58 + (number - (box.axles - 1) / 2) * 0.85
        sheet.dot(*view((x, 0, HUB_M)), WHEEL_M * view.px_per_m, "ghost")
        sheet.dot(*view((x, 0, HUB_M)), WHEEL_M * 0.5 * view.px_per_m, "paper")
    ends = (-box.nose, box.length)
    outline = [view((x, 0, z)) for x, z in zip((*ends, *reversed(ends)), (0, 0, box.height, box.height), strict=True)]
    sheet.area(outline, "paper", 1.0)
    sheet.area(outline, "grid", 0.3)
    sheet.line([*outline, outline[0]], "ink", 2.5)
    if box.nose > 0:
        sheet.line([view((0, 0, 0)), view((0, 0, box.height))], "ghost", 1, "4 3")
    return _caption(sheet, view, "from the road side")


def _caption(sheet: Sheet, view: _View, words: str) -> list[Box]:
    x, y = MARGIN, view.top - 15
    sheet.text(x, y, words, 12, "ghost")
    return [(x, y - 10, x + text_width(words, 12), y + 3)]


def _gap(sheet: Sheet, ends: list[Flat]) -> None:
    sheet.line(ends, "paper", 4)
    sheet.line(ends, "ink", 1.4, "5 4")


def _raceways(sheet: Sheet, view: _View, design: Design, runs: Sequence[Run], offset: dict[str, float]) -> None:
    """A pale band as wide as what lies in it."""
    for raceway in design.raceways:
        inside = [
            offset[run.circuit.name] for run in runs if any(leg.along == raceway.name for leg in run.route.legs)
        ] or [0.0]
        middle, spread = (max(inside) + min(inside)) / 2, max(inside) - min(inside)
        tint = raceway.carries if raceway.carries != "both" else "ink"
        sheet.line(
            [view(point, middle) for point in raceway.path], tint, spread + 8, opacity=0.13,
            note=f"{raceway.name} ({raceway.kind})",
        )  # fmt: skip


def _wire(sheet: Sheet, view: _View, run: Run, answer: Answer, lane: float, focus: str | None) -> None:
    tint, strong = run.circuit.system, focus in (None, run.circuit.name)
    for path in paths(run.route):
        sheet.line(
            [view(point, lane) for point in path], tint, thick(run.circuit.wire),
            opacity=1.0 if strong else PALE, note=_note(run, answer),
        )  # fmt: skip
    for end in _ends(run.route):
        sheet.dot(*view(end, lane), 3.6 if strong else 2.6, tint, "paper")


def _ends(route: Route) -> Iterator[Point]:
    """Where the wire ends."""
    parents = {leg.parent for leg in route.legs}
    return (leg.end for number, leg in enumerate(route.legs) if number not in parents)


def _note(run: Run, answer: Answer) -> str:
    show = units.show
    current = show(run.current_a, "current") if run.current_a is not None else "current not checked"
    lost = f"{show(run.drop, 'fraction')} lost" if run.drop is not None else "drop not checked"
    return f"{run.circuit.name}: {run.circuit.wire}, {show(run.run_m, 'length', answer.system)}, {current}, {lost}"


def _former(sheet: Sheet, view: _View, before: Run, now: Run, offset: dict[str, float]) -> None:
    """The way and the wire before the last move, beside those of now."""
    if before.route.legs == now.route.legs and before.circuit.wire == now.circuit.wire:
        return
    lane = offset.get(now.circuit.name, 0.0) + GAP_PX + 1.0
    for path in paths(before.route):
        sheet.line([view(point, lane) for point in path], "ghost", thick(before.circuit.wire), "7 5")


def _blocks(sheet: Sheet, view: _View, design: Design) -> None:
    for block, tint in ((design.fuse_block, "dc"), (design.panel, "mains")):
        if block is not None:
            x, y = view(design.place(block).at)
            sheet.box(x - BLOCK, y - BLOCK, 2 * BLOCK, 2 * BLOCK, "paper", tint, width=2, round_=3)
            sheet.text(x, y + 4, "F" if tint == "dc" else "P", 12, tint, "middle", bold=True)


def _labels(
    sheet: Sheet,
    view: _View,
    design: Design,
    runs: Sequence[Run],
    offset: dict[str, float],
    focus: str | None,
    before: Run | None,
    taken: list[Box],
) -> None:
    """Name and drop at the far end of each wire, where there is room; the circuit in focus chooses first."""
    for block in (design.fuse_block, design.panel):
        if block is not None:
            x, y = view(design.place(block).at)
            taken.append((x - BLOCK, y - BLOCK, x + BLOCK, y + BLOCK))
    wires = [box for run in runs for box in _strokes(view, run, offset)]
    (left, road), (right, curb) = view((0, 0, 0)), view((design.trailer.length, design.trailer.width, 0))
    wires += [(left, road - 2, right, road + 2), (left, curb - 2, right, curb + 2), (right - 2, curb, right + 2, road)]
    for run in reversed(runs):
        if run.route.far_leg is None:
            continue
        strong = run.circuit.name == focus
        size = 13.0 if strong else 11.0
        x, y = view(run.route.legs[run.route.far_leg].end, offset[run.circuit.name])
        words = f"{fit(run.circuit.name, size, LONGEST_NAME)} {_percent(run)}"
        if strong and before is not None and before.drop is not None and before.drop != run.drop:
            words += f" (was {units.show(before.drop, 'fraction')})"
        wide = text_width(words, size, strong)
        place = _room(x, y, wide, size, [*taken, *wires], 3) or _room(x, y, wide, size, taken, 6)
        if place is None:
            continue
        left, base = place
        taken.append((left, base - 0.8 * size, left + wide, base + 0.25 * size))
        sheet.text(left, base, words, size, _tint(run, strong), bold=strong, halo=True)


def _strokes(view: _View, run: Run, offset: dict[str, float]) -> Iterator[Box]:
    """The pieces of a wire as boxes that a label should not cover."""
    lane = offset.get(run.circuit.name, 0.0)
    for leg in run.route.legs:
        (x0, y0), (x1, y1) = view(leg.start, lane), view(leg.end, lane)
        if abs(x1 - x0) + abs(y1 - y0) > 1.0:
            yield min(x0, x1) - 1, min(y0, y1) - 1, max(x0, x1) + 1, max(y0, y1) + 1


def _percent(run: Run) -> str:
    if run.drop is None:
        return f"{MARKS['not checked']} not checked"
    mark = f" {MARKS['fix']}" if run.drop > run.circuit.drop_limit else ""
    return f"{units.show(run.drop, 'fraction')}{mark}"


def _tint(run: Run, strong: bool) -> str:
    if run.drop is not None and run.drop > run.circuit.drop_limit:
        return "watch"
    return run.circuit.system if strong else "ink"


def _room(x: float, y: float, wide: float, size: float, taken: Sequence[Box], rings: int) -> tuple[float, float] | None:
    """A free spot for a text near a point: its left end and base line [px]."""
    for far in range(rings):
        for left, base in _around(x, y, wide, size, 6.0 + 9.0 * far):
            box = (left, base - 0.8 * size, left + wide, base + 0.25 * size)
            inside = box[0] >= 4 and box[2] <= WIDTH - 4 and box[1] >= 24
            if inside and not any(_covers(box, other) for other in taken):
                return left, base
    return None


def _around(x: float, y: float, wide: float, size: float, far: float) -> Iterable[tuple[float, float]]:
    level = y + 0.3 * size
    return (
        (x + far, level), (x - far - wide, level), (x - wide / 2, y - far), (x - wide / 2, y + far + 0.8 * size),
        (x + far, level - far), (x - far - wide, level - far), (x + far, level + far), (x - far - wide, level + far),
    )  # fmt: skip


def _covers(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _foot(sheet: Sheet, view: _View, design: Design, runs: Sequence[Run], height: float) -> None:
    """A scale to measure by, and the circuits whose way is not known."""
    length, words = (5 * 0.3048, "5 ft") if design.units == "us" else (2.0, "2 m")
    right, y = WIDTH - MARGIN, height - 24
    left = right - length * view.px_per_m
    sheet.line([(left, y), (right, y)], "ink", 1.4)
    for x in (left, right):
        sheet.line([(x, y - 4), (x, y + 4)], "ink", 1.4)
    sheet.text((left + right) / 2, y + 15, words, 12, anchor="middle")
    lost = [run.circuit.name for run in runs if not run.route.legs]
    room = left - 2 * MARGIN
    if lost:
        sheet.text(MARGIN, y + 4, fit(f"way not known, not drawn: {', '.join(lost)}", 12, room), 12, "ghost")
    sheet.text(MARGIN, y + 19, fit("F fuse block, P mains panel; ▲ loses more than is allowed", 11, room), 11, "ghost")
