"""Where openings lie on their side, and what they meet: edges, bows and studs, each other, raceways, cabinets."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from trailerlib.design.design import Design
from trailerlib.design.model import Opening, Trailer
from trailerlib.studies.roof.picture import Wall

NEAR_M = 0.15  # a raceway or cabinet no farther from a side than this lies behind it
TIGHT_M = 1e-9
AXES = {"roof": (0, 1, 2), "road": (0, 2, 1), "curb": (0, 2, 1), "nose": (1, 2, 0), "rear": (1, 2, 0)}

Rect = tuple[float, float, float, float]  # low x, low y, high x, high y on a side [m]


@dataclass(frozen=True)
class Conflict:
    """Something that an opening meets: at which place of its side [m], in words; ``rule`` says of which kind it is."""

    opening: str
    wall: Wall
    x: float
    y: float
    words: str
    rule: str


def size_of(box: Trailer, wall: Wall) -> tuple[float, float]:
    """Length and height of a side [m]."""
    if wall == "roof":
        return box.length, box.width
    return (box.length if wall in ("road", "curb") else box.width), box.height


def hole(opening: Opening) -> Rect:
    """The hole itself."""
    return _about(opening, opening.size)


def cover(opening: Opening) -> Rect:
    """All that it takes outside: flange and shroud."""
    flange = 2.0 * (opening.flange or 0.0)
    sizes = [tuple(size + flange for size in opening.size), opening.shroud or (0.0, 0.0)]
    return _about(opening, (max(s[0] for s in sizes), max(s[1] for s in sizes)))


def flange(opening: Opening) -> Rect:
    """The hole with its flange."""
    wide = 2.0 * (opening.flange or 0.0)
    return _about(opening, (opening.size[0] + wide, opening.size[1] + wide))


def _about(opening: Opening, size: tuple[float, float]) -> Rect:
    (x, y), (along, up) = opening.at, size
    return x - along / 2, y - up / 2, x + along / 2, y + up / 2


def room_to_edge_m(box: Trailer, opening: Opening) -> float:
    """Least room between flange or cover and the edge of the side [m]; doors may reach the floor."""
    low_x, low_y, high_x, high_y = cover(opening)
    length, height = size_of(box, opening.wall)
    sides = [low_x, length - high_x, height - high_y]
    return min(sides if opening.kind == "door" and opening.wall != "roof" else [*sides, low_y])


def conflicts(design: Design) -> tuple[Conflict, ...]:
    """Everything that two things want the same place for; edges and bows are judged apart."""
    return (*_each_other(design), *_raceways(design), *_cabinets(design))


def _each_other(design: Design) -> Iterator[Conflict]:
    for one, other in itertools.combinations(design.openings, 2):
        if one.wall != other.wall or one.holds(other) or other.holds(one):
            continue
        shared = _overlap(cover(one), cover(other))
        if shared is not None:
            words = f'"{one.name}" and "{other.name}" overlap, flange and cover counted'
            yield Conflict(one.name, one.wall, *_middle(shared), words, "opening-in-the-way")


def behind(design: Design, wall: Wall) -> tuple[tuple[str, tuple[tuple[float, float], ...]], ...]:
    """Raceways that lie behind a side, as points on it; a way that leaves the side is cut there."""
    found = []
    for raceway in design.raceways:
        for part in _stretches(design.trailer, raceway.path, wall):
            found.append((raceway.name, part))
    return tuple(found)


def _stretches(
    box: Trailer, path: tuple[tuple[float, float, float], ...], wall: Wall
) -> Iterator[tuple[tuple[float, float], ...]]:
    across, up, away = AXES[wall]
    plane = {"roof": box.height, "road": 0.0, "curb": box.width, "nose": 0.0, "rear": box.length}[wall]
    now: list[tuple[float, float]] = []
    for point in path:
        if abs(point[away] - plane) <= NEAR_M:
            now.append((point[across], point[up]))
            continue
        if len(now) > 1:
            yield tuple(now)
        now = []
    if len(now) > 1:
        yield tuple(now)


def _raceways(design: Design) -> Iterator[Conflict]:
    for opening in design.openings:
        for name, points in behind(design, opening.wall):
            if any(_lies_in(hole(opening), end) for end in (points[0], points[-1])):
                continue  # it ends there: it feeds what sits in the hole
            met, screwed = _met(hole(opening), points), _met(flange(opening), points)
            if met is not None:
                words = f'"{opening.name}" is cut through the raceway "{name}"'
                yield Conflict(opening.name, opening.wall, *met, words, "opening-in-the-way")
            elif screwed is not None:
                words = f'"{opening.name}" is screwed through its flange into the raceway "{name}"'
                yield Conflict(opening.name, opening.wall, *screwed, words, "opening-in-the-way")


def _met(rect: Rect, points: Sequence[tuple[float, float]]) -> tuple[float, float] | None:
    """The middle of the first stretch of a way that lies in a rectangle."""
    crossed = (_crossing(rect, first, last) for first, last in itertools.pairwise(points))
    return next((met for met in crossed if met is not None), None)


def against(design: Design, wall: Wall) -> tuple[tuple[str, float, float, float, float], ...]:
    """Cabinets that stand against a side, each with its low and high corner on it [m]."""
    found = []
    box = design.trailer
    far = {"roof": box.height, "road": 0.0, "curb": box.width, "nose": 0.0, "rear": box.length}[wall]
    across, up, away = AXES[wall]
    for cabinet in design.cabinets:
        low, high = cabinet.at, tuple(a + s for a, s in zip(cabinet.at, cabinet.size, strict=True))
        if min(abs(low[away] - far), abs(high[away] - far)) <= NEAR_M or low[away] <= far <= high[away]:
            found.append((cabinet.name, low[across], low[up], high[across], high[up]))
    return tuple(found)


def _cabinets(design: Design) -> Iterator[Conflict]:
    for opening in design.openings:
        for name, *corners in against(design, opening.wall):
            stands = (corners[0], corners[1], corners[2], corners[3])
            shared, ring = _overlap(hole(opening), stands), _overlap(flange(opening), stands)
            if shared is not None:
                words = f'"{opening.name}" opens into the cabinet "{name}"'
                yield Conflict(opening.name, opening.wall, *_middle(shared), words, "opening-in-the-way")
            elif ring is not None:
                words = f'"{opening.name}" has no room inside for its clamp ring beside the cabinet "{name}"'
                yield Conflict(opening.name, opening.wall, *_middle(ring), words, "opening-in-the-way")


def studs(design: Design, wall: Wall) -> tuple[float, ...]:
    """Where the studs of a long wall stand [m from the nose wall]; none where that is not known."""
    face = next((f for f in design.faces if f.name == "walls"), None)
    if wall not in ("road", "curb") or face is None or face.stud_first is None or face.stud_spacing is None:
        return ()
    if face.stud_first > design.trailer.length:
        return ()
    count = int((design.trailer.length - face.stud_first) / face.stud_spacing + 1e-9) + 1
    return tuple(face.stud_first + face.stud_spacing * n for n in range(count))


def asks_for_studs(design: Design, opening: Opening) -> bool:
    """Whether an opening can cut studs: a door has its own frame, and so has a window in it."""
    in_door = opening.kind == "door" or any(door.holds(opening) for door in design.openings)
    return opening.wall != "roof" and not in_door


def studs_cut(design: Design, opening: Opening) -> tuple[float, ...]:
    """Studs that an opening of a wall cuts [m from the nose wall]."""
    face = next((f for f in design.faces if f.name == "walls"), None)
    if face is None or not asks_for_studs(design, opening):
        return ()
    reach = 0.5 * (opening.size[0] + (face.stud_width or 0.0))
    return tuple(at for at in studs(design, opening.wall) if abs(at - opening.at[0]) < reach - TIGHT_M)


def asks_for_hinge(opening: Opening) -> bool:
    """Whether the wind of the road can get under it: lids on the roof, and what is said to hang on a long wall."""
    if opening.wall == "roof":
        return opening.kind in ("roof fan", "hatch", "window")
    return opening.wall in ("road", "curb") and opening.hinge is not None


def hangs_wrong(opening: Opening) -> bool | None:
    """Whether it opens into the wind: on the rear edge, on the roof on any but the front one; None is not known."""
    if opening.hinge is None:
        return None
    return opening.hinge != "front" if opening.wall == "roof" else opening.hinge == "rear"


def _overlap(one: Rect, other: Rect) -> Rect | None:
    low_x, low_y = max(one[0], other[0]), max(one[1], other[1])
    high_x, high_y = min(one[2], other[2]), min(one[3], other[3])
    return (low_x, low_y, high_x, high_y) if high_x - low_x > TIGHT_M and high_y - low_y > TIGHT_M else None


def _lies_in(rect: Rect, point: tuple[float, float]) -> bool:
    return rect[0] <= point[0] <= rect[2] and rect[1] <= point[1] <= rect[3]


def _middle(rect: Rect) -> tuple[float, float]:
    return (rect[0] + rect[2]) / 2, (rect[1] + rect[3]) / 2


def _crossing(rect: Rect, first: tuple[float, float], last: tuple[float, float]) -> tuple[float, float] | None:
    """Middle of the part of a line that lies in a rectangle; None where none does."""
    low, high = 0.0, 1.0
    for axis in (0, 1):
        start, step = first[axis], last[axis] - first[axis]
        if abs(step) < TIGHT_M:
            if not rect[axis] < start < rect[axis + 2]:
                return None
            continue
        ends = sorted(((rect[axis] - start) / step, (rect[axis + 2] - start) / step))
        low, high = max(low, ends[0]), min(high, ends[1])
    if high - low <= TIGHT_M:
        return None
    t = (low + high) / 2
    return first[0] + t * (last[0] - first[0]), first[1] + t * (last[1] - first[1])
