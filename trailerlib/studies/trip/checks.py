"""What can be found wrong with a trip."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.model import Battery
from trailerlib.rules import battery as rules
from trailerlib.rules import towing_charge as tow_rules
from trailerlib.rules.finding import Finding
from trailerlib.studies import cells
from trailerlib.studies.trip.case import Case, pad_of
from trailerlib.studies.trip.charge import tow_may_carry
from trailerlib.studies.trip.result import Trip
from trailerlib.studies.trip.search import EVEN

FREEZING_C = 0.0
SUBJECT = "the trip"


def findings(design: Design, trip: Trip) -> tuple[Finding, ...]:
    """The rules a trip is held against; "not checked" where it, or all that charges, is not known."""
    return (*_balance(design, trip), *_cut_offs(design, trip), *_cold(design, trip), *_tow(design, trip))


def _balance(design: Design, trip: Trip) -> Iterator[Finding]:
    """Depth and evenness. Where part of what charges is left out neither is known."""
    known = trip.picture is not None and not trip.left_out
    yield rules.trip_depth(SUBJECT, *((trip.lowest, trip.lived[0].floor) if known else (None, None)))
    if design.trip.stays or _charges(design):
        yield rules.trip_even("The trip", *((trip.end, trip.begin - EVEN) if known else (None, None)))


def _charges(design: Design) -> bool:
    """Whether anything is there to charge with; a single night on a full battery is no round trip."""
    return bool(design.charger or design.solar or design.tow_charge)


def _cut_offs(design: Design, trip: Trip) -> Iterator[Finding]:
    """One for each load of the battery side that is on; a load of unknown lowest voltage is not checked."""
    unmet = {} if trip.picture is None or trip.left_out else trip.unmet_wh
    lived = {name for stay in design.stays for name in stay.on}
    for load in design.loads:
        if load.typical.system == "dc" and load.on and load.name in lived:
            known = unmet.get(load.name) if load.lowest_v is not None else None
            if known is None and unmet and load.name not in unmet:
                continue  # it is on in a stay that is not part of this trip
            yield rules.load_cut_off(f'load "{load.name}" on the trip', known)


def _cold(design: Design, trip: Trip) -> Iterator[Finding]:
    """For a battery that must not be charged in frost: each stay in which something would."""
    battery = design.battery
    if battery is None or not _charges(design):
        return
    lowest_c = cells.limits(battery, "charge_min_c")
    if lowest_c < FREEZING_C:
        return
    if trip.picture is None:
        yield rules.charge_below_freezing(SUBJECT, None, lowest_c)
        return
    case = trip.lived[0]
    for number, subject in _subjects(case):
        cold = _coldest_charge_c(design, battery, case, number, bool(trip.left_out))
        if cold is not None:
            yield rules.charge_below_freezing(subject, None if cold != cold else cold, lowest_c)


def _subjects(case: Case) -> Iterator[tuple[int, str]]:
    """Each stay once, by the number of its first span; -1 is between the stays."""
    seen: set[str] = set()
    for number, span in enumerate(case.timeline.spans):
        if span.name not in seen:
            seen.add(span.name)
            yield number, f'stay "{span.name}"'
    if -1 in case.timeline.span_of:
        yield -1, "the hours between the stays"


def _coldest_charge_c(design: Design, battery: Battery, case: Case, number: int, left_out: bool) -> float | None:
    """Coldest the cells are while a source is there [degC]; None where nothing charges, NaN where that is not known."""
    lived, sources = case.timeline, case.charge.sources
    name = lived.spans[number].name if number >= 0 else None
    here = lived.steps_of(
        tuple((lived.spans[n].name if n >= 0 else None) == name for n in lived.span_of)
    )  # every time this stay is lived
    come = sources.charger_a + sources.solar_w + sources.solar_a + sources.converter_a + sources.tow_v
    charged = (here > 0.0) & (np.asarray(come) > 0.0)
    if not charged.any():
        return float("nan") if left_out and design.solar else None
    return _warmed_c(battery, float(lived.air_c[charged].min()))


def _warmed_c(battery: Battery, air_c: float) -> float:
    """What the heating pad holds the cells at in so cold an air [degC]; the air itself without one."""
    pad = pad_of(battery)
    if pad is None:
        return air_c
    return max(air_c, min(float(pad.heated_to_c), air_c + float(pad.power_w) / float(pad.loss_w_per_k)))


def _tow(design: Design, trip: Trip) -> Iterator[Finding]:
    tow, battery = design.tow_charge, design.battery
    if tow is None:
        return
    feed, carry = None if trip.case is None else trip.case.charge.feed, tow_may_carry(design, tow).amps
    asked = None if feed is None else feed.asked_a
    yield tow_rules.fuse_guards_wire(tow.limit, carry)
    if feed is not None and asked is None:
        yield tow_rules.wire_delivers(True)
    else:
        yield tow_rules.wire_delivers(None if feed is None else False)
        yield tow_rules.fuse_holds(asked, tow.limit)
        yield tow_rules.wire_carries(asked, carry)
    if tow.converter is None:
        full_v = None if battery is None else cells.limits(battery, "absorption_v") * battery.blocks
        yield rules.tow_never_full(tow.source, full_v)
