"""The balance over a trip of several days: the stays in the order they are lived, everything that uses and charges."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from trailerlib.design.design import Design
from trailerlib.studies.kept import Kept
from trailerlib.studies.running import by_what_air, running_in
from trailerlib.studies.trip.case import Case, case
from trailerlib.studies.trip.result import Trip, TripPicture
from trailerlib.studies.trip.rows import COLUMNS as COLUMNS
from trailerlib.studies.trip.search import is_even
from trailerlib.studies.trip.timeline import order, unknown_air

_KEPT = Kept[Trip]()
ONCE = "no trip is given: every stay once, from the first one on the battery"
AT_ITS_POSTS = "loads meet the battery at its posts, at their mean power: the loss in their wires is not counted"


def of(design: Design) -> Trip:
    """The trip of a design; the same object again while nothing it rests on has changed."""
    return _KEPT.of(_rests_on(design), lambda: _work_out(design))


def _rests_on(design: Design) -> Iterator[Any]:
    yield from (design.battery, design.charger, design.tow_charge, design.site, design.units)
    yield from ("\n".join(design.trip.stays), *_air(design))
    yield from design.solar
    yield from design.stays
    for load in design.loads:
        if load.typical.system == "dc":
            yield load
            yield from (running_in(design, load, stay, design.site.coldest) for stay in design.stays)


def _air(design: Design) -> tuple[str, ...]:
    return tuple(by_what_air(design, order(design), design.site.coldest))


def _missing(design: Design) -> str | None:
    if design.battery is None:
        return "the design has no battery"
    if not order(design):
        return "the design has no stay"
    return unknown_air(design)


def _work_out(design: Design) -> Trip:
    missing, battery = _missing(design), design.battery
    if missing is not None or battery is None:
        return Trip(None, missing or "")
    try:
        made = case(design, battery)
        week = made.march()
    except ValueError as error:
        return Trip(None, str(error).rstrip("."))
    said = (*(() if design.trip.stays else (ONCE,)), AT_ITS_POSTS, *_air(design), *made.charge.said)
    flows = week.flows_w
    picture = TripPicture(
        made.timeline.edges_h, np.asarray(week.charge), made.floor, flows["loads"] + flows["pad"], flows["solar"],
        flows["charger"], flows["tow"] + flows["converter"], made.timeline.spans, is_even(made, week),
    )  # fmt: skip
    return Trip(picture, "", said, made.charge.left_out, made, week)


__all__ = ["COLUMNS", "Case", "Trip", "TripPicture", "of"]
