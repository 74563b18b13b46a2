"""Does the battery stay even: the answer about a trip of several days."""

from __future__ import annotations

from trailerlib import times, units
from trailerlib.design.design import Design
from trailerlib.studies.answer import Answer, Beside, Quantity, mapping, names
from trailerlib.studies.trip import of
from trailerlib.studies.trip.beside import trip_words
from trailerlib.studies.trip.checks import findings
from trailerlib.studies.trip.result import Trip
from trailerlib.studies.trip.rows import COLUMNS, rows_of

TITLE = "Does it stay even over the trip?"


def answer(design: Design) -> Answer:
    """How far the charge falls over a trip, whether it ends as full as it began, and what came from where.

    Parameters
    ----------
    design : the design; its trip names the stays in the order they are lived, else each is lived once
    """
    trip = of(design)
    return Answer(
        question="trip",
        title=TITLE,
        system=design.units,
        sentence=_sentence(design, trip),
        numbers=mapping(**_numbers(trip)),
        columns=COLUMNS,
        show_rows=lambda: rows_of(trip),
        checks=tuple(findings(design, trip)),
        show_beside=lambda: Beside("", (), (), trip_words(trip)),
        picture=trip.picture,
    )


def _sentence(design: Design, trip: Trip) -> str:
    if trip.picture is None:
        return f"Not checked: {trip.missing}."
    show = units.show
    low, at = show(trip.lowest, "fraction", design.units), times.clock(trip.lowest_at_h)
    day = int(trip.lowest_at_h // 24) + 1
    begin, end = (show(share, "fraction", design.units) for share in (trip.begin, trip.end))
    starved = [name for name, lost in trip.unmet_wh.items() if lost > 1e-6]
    cut = f" Its voltage cuts off {names(starved)}." if starved else ""
    even = "as full as it began" if trip.even else "less full than it began"
    return f"It falls to {low} at {at} on day {day} and ends {even}: {end} of full, after {begin}.{cut}"


def _numbers(trip: Trip) -> dict[str, Quantity]:
    known = trip.picture is not None
    return {
        "lowest": Quantity("Lowest charge", trip.lowest if known else None, "fraction"),
        "end": Quantity("Of full at the end", trip.end if known else None, "fraction"),
        "used_wh": Quantity("Used", trip.wh("loads", "pad") if known else None, "energy"),
        "charger_wh": Quantity("From the charger", trip.wh("charger") if known else None, "energy"),
        "sun_wh": Quantity("From the sun", trip.wh("solar") if known and not trip.left_out else None, "energy"),
        "tow_wh": Quantity("On the road", trip.wh("tow", "converter") if known else None, "energy"),
        "mains_h": Quantity("On shore or generator a day", trip.mains_h_a_day if known else None, "duration"),
    }
