"""The loaded trailer to scale, from the side and from above: every mass, the balance point, what carries it."""

from __future__ import annotations

from trailerlib import units
from trailerlib.pictures import mark_names
from trailerlib.pictures.balance_scene import (
    HEIGHT,
    LOAD_SIZE,
    MARGIN,
    ROAD,
    SKY,
    TINTS,
    WIDTH,
    Scene,
    band_words,
    draw_aside,
    draw_centre,
    draw_ghosts,
    draw_strip,
    draw_things,
    force_lines,
    heading,
    unnamed,
)
from trailerlib.pictures.canvas import Ink, Sheet
from trailerlib.pictures.lettering import broken, cut, wide
from trailerlib.rules.finding import MARKS
from trailerlib.studies.towing.result import Force, TowingPicture

WHEEL_M = 0.34  # [m] radius of a wheel as drawn
TOP, BOTTOM = 72.0, 268.0  # [px] what the view from above may fill

Flat = tuple[float, float]


def balance_side(
    told: TowingPicture, before: TowingPicture | None = None, *, focus: str | None = None, ink: Ink = "screen"
) -> str:
    """The trailer from its road side, the nose to the left.

    Parameters
    ----------
    told : what is drawn
    before : the same before the last move
    focus : name of what stands out, with the strip where it may stand
    ink : ``screen`` or ``paper``
    """
    scene, ghost = Scene(told, focus), None if before is None else Scene(before, focus)
    sheet = Sheet(WIDTH, HEIGHT, f"Balance of {told.title}, from the side", ink)
    floor = ROAD - scene.box.floor * scene.px_per_m
    lines = _outline(sheet, scene, floor)
    if scene.told.missing:
        _not_known(sheet, f"it is not said {scene.told.missing}")
    draw_strip(sheet, scene, SKY - 12)
    moved = draw_ghosts(sheet, scene, ghost, (0, 2), (floor, -1.0))
    marks, spots = draw_things(sheet, scene, (0, 2), (floor, -1.0))
    taken = _balance_point(sheet, scene, ghost, floor)
    if scene.told.coupler is not None:
        left, (begin, end) = _coupler(sheet, scene), _axles(sheet, scene)
        _band_words(sheet, scene, ((left, begin), (end, WIDTH - 2)))
    edges = (MARGIN, SKY - 2, WIDTH - 4, floor - 1)
    placed = mark_names.names(marks, mark_names.Ground(edges, tuple(taken), tuple(lines), tuple(spots)))
    mark_names.draw(sheet, placed)
    heading(sheet, scene, moved)
    foot = unnamed(scene, [one.mark.words for one in placed])
    sheet.text(MARGIN, HEIGHT - 4, cut(foot, 10, WIDTH - 2 * MARGIN), 10, "ghost")
    return sheet.svg()


def _not_known(sheet: Sheet, words: str) -> None:
    for number, line in enumerate(broken(f"○ not checked: {words}.", 12, WIDTH - 2 * MARGIN, 3)):
        sheet.text(MARGIN, ROAD + 26 + 15 * number, line, 12, "ghost")


def _outline(sheet: Sheet, scene: Scene, floor: float) -> list[tuple[Flat, Flat]]:
    """Box, nose, tongue, wheels, openings and the road; returns the lines that names keep clear of."""
    box, x = scene.box, scene.x
    roof = floor - box.height * scene.px_per_m
    front, nose, back = x(-box.nose), x(0.0), x(box.length)
    sheet.area([(front, roof), (back, roof), (back, floor), (front, floor)], "grid", 0.28)
    for opening in box.openings:
        if opening.wall == "curb":
            (along, up), (w, h) = opening.at, opening.size
            sheet.box(
                x(along - w / 2), floor - (up + h / 2) * scene.px_per_m, w * scene.px_per_m, h * scene.px_per_m,
                None, "grid", width=1.2,
            )  # fmt: skip
    edge = [(front, roof), (back, roof), (back, floor), (front, floor), (front, roof)]
    sheet.line(edge, "ink", 2)
    if box.nose > 0:
        sheet.line([(nose, roof), (nose, floor)], "grid", 1.2)
    sheet.line([(x(box.coupler_x), floor + 4), (front, floor + 4), (x(box.length), floor + 4)], "ink", 3)
    sheet.dot(x(box.coupler_x), floor + 4, 4.5, "ink")
    sheet.line([(MARGIN, ROAD), (WIDTH - MARGIN, ROAD)], "ghost", 1)
    for axle in box.axles:
        size = WHEEL_M * scene.px_per_m
        sheet.dot(x(axle), ROAD - size, size, "paper", "ink")
        sheet.dot(x(axle), ROAD - size, size * 0.45, "grid")
    return [*zip(edge[:-1], edge[1:], strict=True)]


def _arrow(sheet: Sheet, x: float, y: float, tint: str, length: float = 17.0) -> None:
    """A push from below, its tip at x, y [px]."""
    sheet.line([(x, y + length), (x, y + 5)], tint, 3)
    sheet.area([(x, y), (x - 5, y + 8), (x + 5, y + 8)], tint, 1.0)


def _balance_point(sheet: Sheet, scene: Scene, ghost: Scene | None, floor: float) -> list[mark_names.Box]:
    """The point itself, its plumb line to the road, and the stretch of road it should stand over."""
    if scene.told.band is not None:
        a, b = (scene.x(value) for value in scene.told.band)
        sheet.line([(a, ROAD + 6), (b, ROAD + 6)], "holds", 5)
    if scene.told.centre is None:
        return []
    x = scene.x(scene.told.centre[0])
    if ghost is not None and ghost.told.centre is not None and abs(scene.x(ghost.told.centre[0]) - x) > 0.5:
        before = scene.x(ghost.told.centre[0])
        sheet.line([(before, floor), (before, ROAD + 11)], "ghost", 1.4, "2 2")
    sheet.line([(x, floor), (x, ROAD + 11)], "ink", 1.4, "4 2")
    draw_centre(sheet, x, floor)
    return [(x - 9, floor - 9, x + 9, ROAD)]


def _coupler(sheet: Sheet, scene: Scene) -> float:
    """Arrow and words at the coupler; returns where the words end [px]."""
    force = scene.told.coupler
    if force is None:
        return MARGIN
    x, ball = scene.x(force.x), ROAD - scene.box.floor * scene.px_per_m + 10
    _arrow(sheet, x, ball, TINTS[force.word], ROAD - ball - 4)
    share = "" if scene.told.share is None else f", {units.show(scene.told.share, 'fraction', scene.system)}"
    lines, tint = force_lines(force, scene.system, share), TINTS[force.word]
    sheet.text(MARGIN - 6, ROAD + 40, lines[0], LOAD_SIZE, tint, bold=True)
    sheet.text(MARGIN - 6, ROAD + 53, lines[1], 11)
    return MARGIN - 6 + max(wide(lines[0], LOAD_SIZE, bold=True), wide(lines[1], 11))


def _axles(sheet: Sheet, scene: Scene) -> tuple[float, float]:
    """An arrow under each axle, its words drawn apart from those of the next; returns where they begin and end [px]."""
    words = [force_lines(force, scene.system) for force in scene.told.axles]
    across = [max(wide(a, LOAD_SIZE, bold=True), wide(b, 11)) for a, b in words]
    lefts = [scene.x(force.x) - w / 2 for force, w in zip(scene.told.axles, across, strict=True)]
    for k in range(1, len(lefts)):
        overlap = lefts[k - 1] + across[k - 1] + 8 - lefts[k]
        if overlap > 0:
            lefts[:k] = [left - overlap / 2 for left in lefts[:k]]
            lefts[k] += overlap / 2
    for force, lines, left in zip(scene.told.axles, words, lefts, strict=True):
        tint = TINTS[force.word]
        _arrow(sheet, scene.x(force.x), ROAD + 12, tint, 15.0)
        sheet.text(left, ROAD + 40, lines[0], LOAD_SIZE, tint, bold=True)
        sheet.text(left, ROAD + 53, lines[1], 11)
    return (lefts[0], lefts[-1] + across[-1]) if lefts else (WIDTH - MARGIN, WIDTH - MARGIN)


def _band_words(sheet: Sheet, scene: Scene, free: tuple[tuple[float, float], tuple[float, float]]) -> None:
    """What the green stretch of road means, in the wider of the two gaps between what is written below the road."""
    left, right = max(free, key=lambda gap: gap[1] - gap[0])
    for number, line in enumerate(broken(band_words(scene), 11, right - left - 16, 3)):
        sheet.text(left + 8, ROAD + 27 + 13 * number, line, 11)


def balance_above(
    told: TowingPicture, before: TowingPicture | None = None, *, focus: str | None = None, ink: Ink = "screen"
) -> str:
    """The trailer from above, the nose to the left, so the road side below; what each wheel carries.

    Parameters
    ----------
    told : what is drawn
    before : the same before the last move
    focus : name of what stands out, with the strip where it may stand
    ink : ``screen`` or ``paper``
    """
    scene, ghost = Scene(told, focus), None if before is None else Scene(before, focus)
    sheet = Sheet(WIDTH, HEIGHT, f"Balance of {told.title}, from above", ink)
    middle = (TOP + BOTTOM) / 2
    top = middle - scene.box.width / 2 * scene.px_per_m
    left_wall = top + scene.box.width * scene.px_per_m
    lines = _plan(sheet, scene, top)
    draw_strip(sheet, scene, SKY - 12)
    lines += draw_aside(sheet, scene, left_wall)
    moved = draw_ghosts(sheet, scene, ghost, (0, 1), (left_wall, -1.0))
    marks, spots = draw_things(sheet, scene, (0, 1), (left_wall, -1.0))
    taken: list[mark_names.Box] = []
    if scene.told.centre is not None:
        x, y = scene.x(scene.told.centre[0]), left_wall - scene.told.centre[1] * scene.px_per_m
        draw_centre(sheet, x, y)
        taken.append((x - 9, y - 9, x + 9, y + 9))
    for force in scene.told.wheels:
        _wheel(sheet, scene, force, top)
    _sides(sheet, scene, top)
    edges = (MARGIN, top + 1, WIDTH - 4, left_wall - 1)
    placed = mark_names.names(marks, mark_names.Ground(edges, tuple(taken), tuple(lines), tuple(spots)))
    mark_names.draw(sheet, placed)
    heading(sheet, scene, moved)
    rest = unnamed(scene, [one.mark.words for one in placed])
    foot = f"not checked: it is not said {scene.told.missing}" if scene.told.missing else rest
    sheet.text(MARGIN, HEIGHT - 4, cut(foot, 10, WIDTH - 2 * MARGIN), 10, "ghost")
    return sheet.svg()


def _plan(sheet: Sheet, scene: Scene, top: float) -> list[tuple[Flat, Flat]]:
    box, x = scene.box, scene.x
    bottom, middle = top + box.width * scene.px_per_m, top + box.width / 2 * scene.px_per_m
    corners = [(x(0.0), top), (x(box.length), top), (x(box.length), bottom), (x(0.0), bottom)]
    edge = [*corners, (x(-box.nose), middle), corners[0]] if box.nose > 0 else [*corners, corners[0]]
    ball = (x(box.coupler_x), middle)
    starts = [(x(0.0), top + (bottom - top) * share) for share in (0.22, 0.78)] if box.nose == 0 else [edge[-2]]
    tongue = [(start, ball) for start in starts]
    for start, end in tongue:
        sheet.line([start, end], "ink", 3)
    sheet.area(edge, "grid", 0.28)
    sheet.line(edge, "ink", 2)
    sheet.dot(*ball, 4.5, "ink")
    for axle in box.axles:
        for side in (-1, 1):
            y = middle + side * box.track / 2 * scene.px_per_m
            sheet.box(x(axle - WHEEL_M), y - 6, 2 * WHEEL_M * scene.px_per_m, 12, "grid", "ink", round_=4)
    return [*zip(edge[:-1], edge[1:], strict=True), *tongue]


def _wheel(sheet: Sheet, scene: Scene, force: Force, right_wall: float) -> None:
    """What one wheel carries, outside the box and its wheel."""
    lines, tint = force_lines(force, scene.system), TINTS[force.word]
    left = _words_at(scene, force)
    top, bottom = _outer(scene, right_wall)
    y = bottom + 15 if force.y < scene.box.width / 2 else top - 18
    sheet.text(left, y, lines[0], LOAD_SIZE, tint, bold=True)
    sheet.text(left, y + 12, lines[1], 11)


def _words_at(scene: Scene, force: Force) -> float:
    """Where the words of a wheel begin, apart from those of the next [px]."""
    lines = force_lines(force, scene.system)
    across = max(wide(lines[0], LOAD_SIZE, True), wide(lines[1], 11))
    middle = sum(wheel.x for wheel in scene.told.wheels) / len(scene.told.wheels)
    odd = any(abs(wheel.x - middle) < 1e-9 for wheel in scene.told.wheels)  # then the words in the middle have room
    apart = max(0.0, (across + 8 if odd else across / 2 + 4) - abs(scene.x(force.x) - scene.x(middle)))
    shift = -apart if force.x < middle - 1e-9 else apart if force.x > middle + 1e-9 else 0.0
    return scene.x(force.x) - across / 2 + shift


def _outer(scene: Scene, right_wall: float) -> Flat:
    """Top and bottom of box and wheels together [px]."""
    out = max(0.0, (scene.box.track - scene.box.width) / 2 * scene.px_per_m + 6)
    return right_wall - out, right_wall + scene.box.width * scene.px_per_m + out


def _sides(sheet: Sheet, scene: Scene, right_wall: float) -> None:
    """What each side carries of the load on the wheels, left of the words at the wheels, or right of them."""
    if scene.told.left_share is None:
        return
    shares = (scene.told.left_share, 1.0 - scene.told.left_share)
    heavier = 0 if shares[0] >= shares[1] else 1
    top, bottom = _outer(scene, right_wall)
    room = min((_words_at(scene, force) for force in scene.told.wheels), default=WIDTH) - MARGIN - 6
    for side, (words, share) in enumerate(zip(("road side", "curb side"), shares, strict=True)):
        flag = scene.told.side_word if side == heavier else "holds"
        mark, tint = ("", "ink") if flag == "holds" else (f"{MARKS[flag]} ", TINTS[flag])
        told = f"{mark}{words} carries {units.show(share, 'fraction', scene.system)}"
        fits = wide(told, 12) <= room
        y = bottom + 15 if side == 0 else top - 6
        sheet.text(MARGIN if fits else WIDTH - MARGIN, y, told, 12, tint, "start" if fits else "end")
