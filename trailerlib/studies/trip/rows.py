"""The trip as a table: a row for each stay."""

from __future__ import annotations

from typing import Any

import numpy as np

from trailerlib.studies.answer import Column
from trailerlib.studies.trip.result import Span, Trip

COLUMNS = (
    Column("name", "Stay"),
    Column("supply", "On"),
    Column("day", "Day", "count"),
    Column("hours", "Lasts", "duration"),
    Column("begin", "Charge at its begin", "fraction"),
    Column("lowest", "Lowest", "fraction"),
    Column("end", "At its end", "fraction"),
    Column("used_wh", "Used", "energy"),
    Column("charger_wh", "From the charger", "energy"),
    Column("sun_wh", "From the sun", "energy"),
    Column("tow_wh", "On the road", "energy"),
)


def rows_of(trip: Trip) -> tuple[dict[str, Any], ...]:
    """A row for each stay, by the keys of ``COLUMNS``; none when the trip could not be worked out."""
    return () if trip.picture is None else tuple(_row(trip, span) for span in trip.picture.spans)


def _row(trip: Trip, span: Span) -> dict[str, Any]:
    picture = trip.picture
    assert picture is not None
    first, last = (int(np.searchsorted(picture.edges_h, hour - 1e-9)) for hour in (span.begin_h, span.end_h))
    within, steps = slice(first, last), np.diff(picture.edges_h)[first:last]
    charge = picture.charge[first : last + 1]
    return {
        "name": span.name,
        "supply": span.supply,
        "day": int((span.begin_h + 1e-9) // 24) + 1,
        "hours": span.end_h - span.begin_h,
        "begin": float(charge[0]),
        "lowest": float(charge.min()),
        "end": float(charge[-1]),
        "used_wh": float(picture.load_w[within] @ steps),
        "charger_wh": float(picture.charger_w[within] @ steps),
        "sun_wh": float(picture.solar_w[within] @ steps),
        "tow_wh": float(picture.tow_w[within] @ steps),
    }
