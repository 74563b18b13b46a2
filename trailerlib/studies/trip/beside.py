"""What switching one load down buys, the smallest battery that lasts, and the trip's balance in words."""

from __future__ import annotations

import math
from typing import Any

from trailerlib import times, units
from trailerlib.design import catalogue
from trailerlib.design.catalogue import Appliance
from trailerlib.design.design import Design
from trailerlib.design.model import Battery, Load, Stay
from trailerlib.physics.battery_gas import hydrogen_flow_m3_h, vent_opening_cm2
from trailerlib.studies import cells
from trailerlib.studies.answer import Beside, Column, Quantity, names
from trailerlib.studies.discharge import Discharge
from trailerlib.studies.legs import fed
from trailerlib.studies.running import by_what_air
from trailerlib.studies.timetable import hours_on
from trailerlib.studies.trip.result import Trip

GAINED_DIGITS = 9  # of an hour: millionths of a second
TRADE_STEP_AH = 5.0
LARGEST_AH = 400.0
MARGIN = 0.2  # of what may be used should be left in the morning; common practice, no source
VENT_LEAST_CM2 = 11.0  # 1.7 in², 552.10(D); from memory
SIZES = ("low", "medium", "high")
SOURCES = {
    "charger": "the charger",
    "sun": "the sun (mean of day and night)",
    "tow": "the tow wire",
    "together": "all together",
}

COLUMNS = (
    Column("name", "Load"),
    Column("step", "One step down"),
    Column("gained_h", "Reserve gained", "duration"),
    Column("lowest", "Lowest charge then", "fraction"),
)


def vent_number(battery: Battery | None) -> Quantity:
    """The vent of a battery as the hole it makes."""
    area = None if battery is None else vent_cm2(battery)
    bore_m = None if area is None else math.sqrt(4.0 * area / math.pi) * 1e-2
    return Quantity("Gas vent low and high, a hole of", bore_m, "small length")


def vent_cm2(battery: Battery) -> float | None:
    """Vent opening low and again high [cm2]: by IEC 62485-2, at least that of 552.10(D); None where there is no gas."""
    gas = cells.limits(battery, "gas_boost_ma_per_ah")
    if not gas > 0.0:
        return None
    flow = hydrogen_flow_m3_h(6 * battery.blocks, gas, battery.bank_ah)
    return max(VENT_LEAST_CM2, float(vent_opening_cm2(flow)))


def smallest_ah(design: Design, battery: Battery, stay: Stay) -> float | None:
    """Smallest battery of this chemistry that leaves a fifth of what may be used, in steps of 5 Ah.

    Returns
    -------
    [Ah] at its hour rate; None when 400 Ah do not do
    """
    low, high = 0, int(LARGEST_AH / TRADE_STEP_AH)
    if not _lasts(design, battery, stay, high):
        return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if _lasts(design, battery, stay, middle) else (middle, high)
    return high * TRADE_STEP_AH


def _lasts(design: Design, battery: Battery, stay: Stay, steps: int) -> bool:
    size_ah = steps * TRADE_STEP_AH
    own = None if battery.resistance is None else battery.resistance / battery.count * battery.bank_ah / size_ah
    run = Discharge(design, battery.model_copy(update={"capacity": size_ah, "count": 1, "resistance": own}), stay)
    return bool(run.solved and run.lowest >= run.floor + MARGIN * (1.0 - run.floor) - 1e-12)


def smaller_class(load: Load) -> Appliance | None:
    """The next smaller class of the same family, as ``roof fan medium`` under ``roof fan high``; None without."""
    family, _, size = load.appliance.rpartition(" ")
    if load.power is not None or not family or not (size in SIZES or size.isdigit()):
        return None
    smaller = [
        other
        for name, other in catalogue.appliances().items()
        if name.rpartition(" ")[0] == family and other.power_w < load.typical.power_w
    ]
    return max(smaller, key=lambda other: other.power_w, default=None)


def stepped_down(design: Design, load: Load, duty: float) -> tuple[Design, str]:
    """The design with one load a step down, and that step in words: a smaller class, else half the hours.

    Half the hours is reckoned as half the duty: when it is off does not matter for the morning.

    Parameters
    ----------
    design : the design
    load : the load
    duty : [-] share of the time it runs as it is
    """
    smaller = smaller_class(load)
    if smaller is not None:
        return design.replace(("load", load.name, "class"), smaller.name), smaller.name
    return design.replace(("load", load.name, "duty"), f"{50.0 * duty:.9g} %"), "half the hours"


def switching_down(run: Discharge) -> tuple[dict[str, Any], ...]:
    """For each load of the night one step down: reserve gained [h] and the lowest charge then [-], the best first."""
    rows = [
        row
        for load in run.net.loads
        if hours_on(run.stay, load) > 0.0 and (row := _row(run, load)) is not None
    ]  # fmt: skip
    return tuple(sorted(rows, key=lambda row: -row["gained_h"]))


def _row(run: Discharge, load: Load) -> dict[str, Any] | None:
    design, step = stepped_down(run.design, load, run.duty(load))
    then = Discharge(design, run.battery, run.stay, run.box)
    if not then.solved:
        return None
    # the last digits of a difference of two long times are those of the machine, not of the trailer
    gained = round(then.reserve_h - run.reserve_h, GAINED_DIGITS) if math.isfinite(run.reserve_h) else math.nan
    return {"name": load.name, "step": step, "gained_h": gained, "lowest": then.lowest}


def beside(run: Discharge) -> Beside:
    """The table "What switching down buys"; under it the smallest battery that lasts, and by what air a fridge runs."""
    dead = [load for load in run.design.loads if hours_on(run.stay, load) > 0.0 and not fed(run.design, load, run.stay)]
    also = [*by_what_air(run.design, (run.stay,), run.ambient_c)]
    also += [f"no inverter is in the design, so nothing here feeds {names(load.name for load in dead)}"] if dead else []
    note = " ".join((_smallest_words(run), *(f"{words[:1].upper()}{words[1:]}." for words in also)))
    return Beside("What switching down buys", COLUMNS, switching_down(run), note)


def trip_words(trip: Trip) -> str:
    """What has to be looked for: hours that keep it even, days without mains, hours to full; and what was taken."""
    return " ".join(_trip_words(trip))


def _smallest_words(run: Discharge) -> str:
    found = smallest_ah(run.design, run.battery, run.stay)
    size = "None up to 400 Ah leaves" if found is None else f"The smallest battery is {found:.0f} Ah: it leaves"
    return f"{size} a fifth of what may be used (common practice)."


def _trip_words(trip: Trip) -> list[str]:
    if trip.picture is None:
        return [f"The trip is not checked: {trip.missing}."]
    words = [_even_words(trip), _days_words(trip)]
    if trip.full_h:
        words.append(f"Full from its lowest: {_full_words(trip)}.")
    if trip.left_out:
        words.append(f"Not checked: {trip.left_out}.")
    return [*words, f"Taken: {'; '.join(trip.said)}."]


def _even_words(trip: Trip) -> str:
    hours, now = trip.even_h_a_day, times.span(trip.mains_h_a_day)
    if hours is None:
        return "Without a charger, no hours on mains keep the trip even."
    if math.isinf(hours):
        return f"The trip has {now} on mains a day; not even the charger all day keeps it even."
    return f"The trip has {now} on mains a day; {_charging(hours)} of charging keep it even."


def _charging(hours: float) -> str:
    return "no hours" if hours == 0.0 else times.span(hours)


def _days_words(trip: Trip) -> str:
    days = trip.days_without_mains
    if math.isinf(days):
        return "Lived again and again without mains, it stays above what should stay for sixty days."
    return f"Lived again and again without mains, it falls to what should stay after {units.figures(days, 2)} days."


def _full_words(trip: Trip) -> str:
    return ", ".join(
        f"{SOURCES[name]} {'not within five days' if math.isinf(hours) else 'in ' + times.span(hours)}"
        for name, hours in trip.full_h.items()
    )
