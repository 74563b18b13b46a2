"""What the two drawings of the balance show: masses, loads with their limits, the strip for one thing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, pi, sin, sqrt

from trailerlib import units
from trailerlib.pictures.canvas import Sheet, legend
from trailerlib.pictures.lettering import cut
from trailerlib.pictures.mark_names import Box as Area
from trailerlib.pictures.mark_names import Mark
from trailerlib.rules import road
from trailerlib.rules.finding import MARKS, Severity
from trailerlib.studies.towing.result import Box, Force, Point, Strip, Thing, TowingPicture

WIDTH, HEIGHT = 520.0, 305.0
MARGIN = 12.0
BEYOND_M = 0.22  # [m] of road in front of the coupler and behind the box
RADIUS_PX = 1.35  # of a mark of one kilogram; its area goes with the mass
SMALL_KG = 4.0  # lighter things are spots without a name of their own
LOAD_SIZE = 12.0
SKY, ROAD = 52.0, 230.0  # [px] highest roof, and the road
TINTS: dict[Severity, str] = {"stop": "stop", "fix": "watch", "note": "watch", "not checked": "ghost", "holds": "holds"}


@dataclass(frozen=True)
class Scene:
    """A balance as it is drawn: its scale, what is in focus, and the strip of that."""

    told: TowingPicture
    focus: str | None = None

    @property
    def box(self) -> Box:
        """The trailer."""
        return self.told.box

    @property
    def system(self) -> units.System:
        """Units of the words."""
        return self.told.system

    @property
    def strip(self) -> Strip | None:
        """Where what is in focus may stand."""
        return self.told.strip_of(self.focus)

    @property
    def px_per_m(self) -> float:
        """Scale of both drawings [px/m]."""
        box = self.box
        tall = max(box.height + box.floor, box.width, 1.07 * box.track)  # words of the wheels lie outside
        return min((WIDTH - 2 * MARGIN) / (box.length - box.coupler_x + 2 * BEYOND_M), (ROAD - SKY) / tall)

    def x(self, metres: float) -> float:
        """Where a place along the trailer is drawn [px]."""
        return MARGIN + (metres - self.box.coupler_x + BEYOND_M) * self.px_per_m


def force_lines(force: Force, system: units.System, after: str = "") -> tuple[str, str]:
    """A load with its mark, and what it is held against.

    Parameters
    ----------
    force : what is carried
    system : ``us`` or ``metric``
    after : words after the load
    """
    mark = "" if force.word == "holds" else f"{MARKS[force.word]} "
    limit = "rating not known" if force.rating_kg is None else f"of {units.show(force.rating_kg, 'mass', system)}"
    return f"{mark}{units.show(force.load_kg, 'mass', system)}{after}", limit


def band_words(scene: Scene) -> str:
    """What the green stretch of road means."""
    told = scene.told
    if told.centre is None:
        return ""
    where = units.show(told.centre[0] - scene.box.coupler_x, "length", scene.system)
    low, high = (units.whole(100 * share) for share in (road.TONGUE_LEAST, road.TONGUE_MOST))
    return f"balance point {where} behind the coupler; green: {low} to {high} % on it"


def radius(thing: Thing) -> float:
    """Radius of a thing's mark [px]."""
    return max(1.2, RADIUS_PX * sqrt(thing.mass_kg))


def groups(things: tuple[Thing, ...]) -> list[Thing]:
    """Things that stand at one place as one mark, the heaviest first; its name says all of them."""
    found: dict[tuple[bool, Point], list[Thing]] = {}
    for thing in things:
        x, y, z = (round(value, 2) for value in thing.at)
        found.setdefault((thing.bare, (x, y, z)), []).append(thing)
    joined = [_joined(sorted(group, key=lambda t: -t.mass_kg)) for group in found.values()]
    return sorted(joined, key=lambda thing: (-thing.mass_kg, thing.name))


def _joined(group: list[Thing]) -> Thing:
    first = group[0]
    return Thing(", ".join(t.name for t in group), sum(t.mass_kg for t in group), first.at, first.bare)


def named(scene: Scene) -> list[Thing]:
    """What gets a name beside its mark: the one in focus, then from heavy to light; the keys name the bare trailer."""
    heavy = [thing for thing in groups(scene.told.things) if thing.mass_kg >= SMALL_KG or _holds_focus(scene, thing)]
    return sorted((t for t in heavy if not t.bare), key=lambda thing: not _holds_focus(scene, thing))


def _holds_focus(scene: Scene, thing: Thing) -> bool:
    return scene.focus is not None and scene.focus in thing.name.split(", ")


def draw_things(
    sheet: Sheet, scene: Scene, flat: tuple[int, int], at: tuple[float, float]
) -> tuple[list[Mark], list[Area]]:
    """The marks of all masses; returns those that want a name, and where the others are [px].

    Parameters
    ----------
    sheet : where to draw
    scene : what is drawn
    flat : [-] which of the three numbers of a place go across and down; down is measured upward when it is height
    at : [px] where nought of the second number lies, and its direction as 1 or -1
    """
    zero, way = at
    marks: dict[Thing, Mark] = {}
    for thing in sorted(groups(scene.told.things), key=lambda thing: _holds_focus(scene, thing)):
        x, y = scene.x(thing.at[flat[0]]), zero + way * thing.at[flat[1]] * scene.px_per_m
        size = radius(thing)
        focus = _holds_focus(scene, thing)
        if thing.bare:
            sheet.box(x - size, y - size, 2 * size, 2 * size, None, "ghost", round_=size, dash="4 3", width=1.2)
        else:
            sheet.dot(x, y, size, "mains" if focus else "dc", "paper" if size > 3 else None)
            marks[thing] = Mark(x, y, size, thing.name, bold=focus)
    wanted = [marks.pop(thing) for thing in named(scene)]
    return wanted, [(m.x - m.radius, m.y - m.radius, m.x + m.radius, m.y + m.radius) for m in marks.values()]


def draw_ghosts(
    sheet: Sheet, scene: Scene, before: Scene | None, flat: tuple[int, int], at: tuple[float, float]
) -> bool:
    """Where things stood before the last move, as empty rings; says whether there were any.

    Parameters
    ----------
    sheet : where to draw
    scene : what is drawn
    before : the same before the last move
    flat : [-] which of the three numbers of a place go across and down
    at : [px] where nought of the second number lies, and its direction as 1 or -1
    """
    if before is None:
        return False
    now = {(t.name, t.at, t.mass_kg) for t in scene.told.things}
    moved = [t for t in before.told.things if not t.bare and (t.name, t.at, t.mass_kg) not in now]
    for thing in moved:
        x, y, size = scene.x(thing.at[flat[0]]), at[0] + at[1] * thing.at[flat[1]] * scene.px_per_m, radius(thing)
        sheet.box(x - size, y - size, 2 * size, 2 * size, None, "ghost", round_=size, dash="2 2", width=1.2)
    return bool(moved)


def draw_strip(sheet: Sheet, scene: Scene, y: float) -> None:
    """Where the thing in focus may stand: a bar along the trailer, and a mark where it stands now.

    Parameters
    ----------
    sheet : where to draw
    scene : what is drawn
    y : [px] middle of the bar
    """
    strip = scene.strip
    if strip is None:
        return
    tint = "holds" if strip.stands_well else "stop"
    sheet.text(MARGIN, y - 8, cut(strip.words, 12, WIDTH - 2 * MARGIN), 12, tint)
    sheet.line([(scene.x(place), y) for place in strip.reach], "grid", 5)
    if strip.span is not None:
        sheet.line([(scene.x(place), y) for place in strip.span], "holds", 5)
    x = scene.x(strip.at)
    sheet.area([(x, y + 3), (x - 5, y + 11), (x + 5, y + 11)], tint, 1.0)


BEHIND = 15.0  # [px] from the rear wall to the bar across


def draw_aside(sheet: Sheet, scene: Scene, wall: float) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Where across the thing in focus may stand: a bar behind the rear wall; returns what names keep off.

    Parameters
    ----------
    sheet : where to draw
    scene : what is drawn, from above
    wall : [px] where the road side is drawn
    """
    strip = scene.strip
    if strip is None or scene.told.left_share is None:
        return []
    x = min(scene.x(scene.box.length) + BEHIND, WIDTH - MARGIN - 6)
    ends = [(x, wall - place * scene.px_per_m) for place in (0.0, scene.box.width)]
    sheet.line(ends, "grid", 5)
    if strip.aside is not None:
        sheet.line([(x, wall - place * scene.px_per_m) for place in strip.aside], "holds", 5)
    y, tint = wall - strip.across * scene.px_per_m, "holds" if strip.shift_aside == 0.0 else "stop"
    sheet.area([(x + 3, y), (x + 11, y - 5), (x + 11, y + 5)], tint, 1.0)
    return [(ends[0], ends[1])]


def draw_centre(sheet: Sheet, x: float, y: float, size: float = 8.0) -> None:
    """The sign of a balance point: a round of four quarters, two of them filled.

    Parameters
    ----------
    sheet : where to draw
    x : [px] middle
    y : [px] middle
    size : [px] radius
    """
    sheet.dot(x, y, size, "paper", "ink")
    for first in (0, 2):
        sheet.area(_quarter(x, y, size, first), "ink", 1.0)


def _quarter(x: float, y: float, size: float, first: int) -> list[tuple[float, float]]:
    turns = [(first + k / 8) * pi / 2 for k in range(9)]
    return [(x, y), *((x + size * cos(turn), y + size * sin(turn)) for turn in turns)]


def heading(sheet: Sheet, scene: Scene, ghost: bool) -> None:
    """The keys."""
    bare = sum(thing.mass_kg for thing in scene.told.things if thing.bare)
    keys = [("bar", "dc", "mass, by area")]
    if bare:
        keys.append(("ghost", "ghost", f"bare trailer {units.show(bare, 'mass', scene.system)}"))
    if ghost:
        keys.append(("ghost", "ghost", "before the last move"))
    legend(sheet, MARGIN, 11, keys)


def unnamed(scene: Scene, found: Sequence[str]) -> str:
    """What has a mark but no name beside it, in a line.

    Parameters
    ----------
    scene : what is drawn
    found : what has its name beside it
    """
    rest = [t for t in groups(scene.told.things) if not t.bare and t.name not in found]
    if not rest:
        return ""
    total = units.show(sum(t.mass_kg for t in rest), "mass", scene.system)
    return f"marks without a name, {total} together: {', '.join(t.name for t in rest)}"
