"""What one has to look for: hours of charging that keep a trip even, hours to full, days without mains."""

from __future__ import annotations

import math

import numpy as np

from trailerlib.physics.battery_week import Week, hours_to_full
from trailerlib.studies.feeder import Floats
from trailerlib.studies.trip.case import Case
from trailerlib.studies.trip.charge import DAY_H, together

EVEN = 0.01  # of full: the end of a charge is slow, a hundredth short counts as even (common practice, no source)
STEPS_AN_HOUR = 12
LOOKED_AT_H = 120.0
LOOKED_AT_DAYS = 60.0


def stored_share(case: Case, share: float, step: int) -> float:
    """Charge as a share of full, which is the same in any weather [-].

    Parameters
    ----------
    case : the trip
    share : [-] share of what can be drawn
    step : [-] number of the step whose air it stands in
    """
    factor = float(case.bank.at(case.timeline.air_c[step])[0])
    return 1.0 - factor * (1.0 - share)


def stored_at_end(case: Case, week: Week) -> float:
    """What is in the battery at the end, as a share of full [-]."""
    return stored_share(case, float(week.last), -1)


def of_full(share: float) -> float:
    """A share of full as it is told [-]: in the heat a battery gives a little more than full holds, and is then empty.

    Parameters
    ----------
    share : [-] as ``stored_share`` gives it
    """
    return max(0.0, share)


def is_even(case: Case, week: Week) -> bool:
    """Whether a trip that was marched ends with what it began with, within a hundredth of full."""
    return of_full(stored_at_end(case, week)) >= of_full(stored_share(case, case.start, 0)) - EVEN


def daily_charger_a(case: Case, hours: float) -> Floats:
    """Current of the charger when it runs the last hours of every day, counted back from the end of the trip.

    Parameters
    ----------
    case : the trip
    hours : [h] a day

    Returns
    -------
    [A] mean of each step, shape (steps,)
    """
    left = case.timeline.edges_h[-1] - case.timeline.edges_h
    run = np.floor(left / DAY_H) * hours + np.minimum(left % DAY_H, hours)
    return np.asarray(np.maximum(-np.diff(run), 0.0) / case.timeline.step_h * case.charge.charger_a)


def ends_even(case: Case, hours: float) -> bool:
    """Whether so many hours of charging a day keep the trip even.

    Parameters
    ----------
    case : the trip
    hours : [h] a day
    """
    week = case.march(daily_charger_a(case, hours), curves=False)
    return is_even(case, week)


def even_hours(case: Case) -> float | None:
    """Hours of charging a day that keep the trip even [h], to five minutes.

    Infinite when none do, None without a charger. In one piece at the end of each day, whatever supply the stays name;
    of a trip under a day, hours of that trip.
    """
    if case.charge.charger_a <= 0.0:
        return None
    low, high = -1, math.floor(min(DAY_H, case.timeline.hours) * STEPS_AN_HOUR + 1e-9)
    if not ends_even(case, high / STEPS_AN_HOUR):
        return math.inf
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if ends_even(case, middle / STEPS_AN_HOUR) else (middle, high)
    return high / STEPS_AN_HOUR


def full_hours(case: Case, lowest: float, step: int) -> dict[str, float]:
    """Hours to full from the lowest charge with everything off: from each source alone and from all together.

    Parameters
    ----------
    case : the trip
    lowest : [-] charge at the begin
    step : [-] number of the step whose air it stands in
    """
    air = float(case.timeline.air_c[step])
    alone = case.charge.steady
    every = {**alone, "together": together(alone)} if len(alone) > 1 else alone
    return {
        name: float(hours_to_full(case.bank, sources, lowest, air, limit_h=LOOKED_AT_H))
        for name, sources in every.items()
    }


def days_without_mains(case: Case) -> float:
    """Days until the floor when the trip is lived again and again without the charger [d]; infinite when it never is.

    The sun of the same days comes again; looked at for sixty days.
    """
    quiet, start, gone_h = np.zeros(len(case.timeline.which)), case.start, 0.0
    while gone_h < LOOKED_AT_DAYS * DAY_H:
        week = case.march(quiet, start)
        below = np.flatnonzero(np.asarray(week.charge) < case.floor - 1e-12)
        if len(below):
            return (gone_h + _crossing_h(case, np.asarray(week.charge), int(below[0]))) / DAY_H
        end = _carried(case, week)
        if end >= start - 1e-6:
            return math.inf
        start, gone_h = end, gone_h + case.timeline.hours
    return math.inf


def _carried(case: Case, week: Week) -> float:
    """The charge at the end, as a share of what can be drawn in the air of the begin [-]."""
    factor = float(case.bank.at(case.timeline.air_c[0])[0])
    return min(1.0, max(0.0, 1.0 - (1.0 - stored_at_end(case, week)) / factor))


def _crossing_h(case: Case, charge: Floats, at: int) -> float:
    """When the charge passes the floor, after the begin of the trip [h]."""
    clock = case.timeline.edges_h - case.timeline.edges_h[0]
    if at == 0:
        return 0.0
    above, below = float(charge[at - 1]), float(charge[at])
    part = (above - case.floor) / (above - below)
    return float(clock[at - 1] + part * (clock[at] - clock[at - 1]))
