"""The trip: its stays above, charge over the days with its floor, and below what comes in and what the loads take."""

from __future__ import annotations

import numpy as np

from trailerlib import times, units
from trailerlib.pictures.canvas import Axis, Ink, Sheet, legend
from trailerlib.pictures.lettering import broken
from trailerlib.pictures.lowest_point import lowest_point, over_floor
from trailerlib.pictures.trip_flows import flows
from trailerlib.pictures.trip_scale import days_and_hours, stays
from trailerlib.studies.answer import Answer
from trailerlib.studies.trip.result import TripPicture

WIDTH, HEIGHT = 520.0, 305.0
LEFT, RIGHT = 46.0, 510.0
STAYS, FLOWS, FOOT = (23.0, 53.0), (206.0, 262.0), 264.0  # [px] top and bottom of the bands, and the foot of the chart
CHARGE_FOOT = 182.0
MOST_COLUMNS = 232  # of two pixels


def trip_picture(answer: Answer, ghost: Answer | None = None, ink: Ink = "screen") -> str:
    """The trip of an answer, or in words why there is none.

    Parameters
    ----------
    answer : the answer about the trip
    ghost : the answer before the last move
    ink : ``screen`` or ``paper``
    """
    if answer.picture is None:
        return no_trip(answer.sentence.removeprefix("Not checked: ").rstrip("."), ink=ink)
    return trip_curve(answer.picture, None if ghost is None else ghost.picture, ink=ink)


def trip_curve(picture: TripPicture, ghost: TripPicture | None = None, *, ink: Ink = "screen") -> str:
    """Charge over the days of a trip.

    Parameters
    ----------
    picture : the trip
    ghost : the trip before the last move, its charge drawn thin
    ink : ``screen`` or ``paper``
    """
    sheet = Sheet(WIDTH, HEIGHT, "Charge over the trip", ink)
    across = Axis(float(picture.edges_h[0]), float(picture.edges_h[-1]), LEFT, RIGHT)
    key_lines = stays(sheet, across, picture.spans, STAYS)
    top = STAYS[1] + 10 + 13 * key_lines
    up = Axis(0.0, 1.0, CHARGE_FOOT, top)
    days_and_hours(sheet, across, top, FOOT)
    _shares(sheet, up)
    flows(sheet, across, picture, FLOWS)
    _curve(sheet, across, up, picture, ghost)
    tint = _tint(picture)
    keys = [("line", tint, _words(picture)), ("dash", "stop", f"usable floor {100 * picture.floor:g} %")]
    legend(sheet, 8, 11, [*keys, ("line", "ghost", "before")] if ghost is not None else keys)
    return sheet.svg()


def no_trip(reason: str, *, ink: Ink = "screen") -> str:
    """The place of the trip where it could not be worked out, with the reason in words.

    Parameters
    ----------
    reason : what is missing, as a part of a sentence
    ink : ``screen`` or ``paper``
    """
    sheet = Sheet(WIDTH, HEIGHT, "Charge over the trip", ink)
    for number, line in enumerate(broken(f"Not checked: {reason}.", 14, WIDTH - 60, 5)):
        sheet.text(WIDTH / 2, HEIGHT / 2 - 30 + 20 * number, line, 14, "ghost", "middle")
    return sheet.svg()


def _tint(picture: TripPicture) -> str:
    return "stop" if float(np.min(picture.charge)) < picture.floor - 1e-9 else "holds"


def _words(picture: TripPicture) -> str:
    """From where to where the charge goes, and whether the trip can be repeated."""
    first, last = (f"{units.figures(100 * float(picture.charge[k]))} %" for k in (0, -1))
    return f"charge, {first} to {last}: {'even' if picture.starts_even else 'not even'}"


def _shares(sheet: Sheet, up: Axis) -> None:
    for share in (0, 0.25, 0.5, 0.75, 1.0):
        sheet.line([(LEFT, up(share)), (RIGHT, up(share))], "grid")
        sheet.text(LEFT - 6, up(share) + 4, f"{100 * share:g} %", 11.5, anchor="end")


def _curve(sheet: Sheet, across: Axis, up: Axis, picture: TripPicture, ghost: TripPicture | None) -> None:
    tint = _tint(picture)
    floor = [(LEFT, up(picture.floor)), (RIGHT, up(picture.floor))]
    earlier = [] if ghost is None else _points(across, up, ghost)
    points = _points(across, up, picture)
    over_floor(sheet, points, earlier, floor, CHARGE_FOOT, tint)
    k = int(np.argmin(picture.charge))
    at = across(float(picture.edges_h[k])), up(float(picture.charge[k]))
    words = f"{units.figures(100 * float(picture.charge[k]))} %, {times.clock(float(picture.edges_h[k]))}"
    lowest_point(sheet, at, words, tint, (points, floor, earlier), (LEFT, up(1.0), RIGHT + 8, CHARGE_FOOT + 4))


def _points(across: Axis, up: Axis, picture: TripPicture) -> list[tuple[float, float]]:
    """Highest and lowest of every column [px], so that no turn is lost; a ghost as far as this trip reaches."""
    time, charge = np.asarray(picture.edges_h), np.asarray(picture.charge)
    each = -(-len(time) // MOST_COLUMNS)
    spare = -len(time) % each
    columns = np.append(charge, np.full(spare, charge[-1])).reshape(-1, each)
    begins = each * np.arange(len(columns))
    keep = np.concatenate([begins + columns.argmin(axis=1), begins + columns.argmax(axis=1), [0, len(time) - 1]])
    keep = np.unique(np.minimum(keep, len(time) - 1))
    keep = keep[(time[keep] >= across.low - 1e-9) & (time[keep] <= across.high + 1e-9)]
    return [(across(t), up(c)) for t, c in zip(time[keep].tolist(), charge[keep].tolist(), strict=True)]
