"""Lesson 7: air and heat at night."""

from __future__ import annotations

from trailerlib import times, units
from trailerlib.design import box_classes
from trailerlib.design.design import Design
from trailerlib.design.model import Stay
from trailerlib.physics.airflow import leakage_m3_s
from trailerlib.physics.enclosure import heater_w
from trailerlib.physics.engine import standard_pressure_pa
from trailerlib.physics.formula import worked
from trailerlib.physics.indoor_air import co2_at_height_m3_s, co2_steady_ppm, flow_for_co2_m3_s
from trailerlib.studies import cooling
from trailerlib.studies.answer import Answer
from trailerlib.studies.cooling import shell, sleep
from trailerlib.studies.lessons.lesson import Lesson, Seen, Told, Turn
from trailerlib.studies.lessons.making import Dice, Draft, Kind

WINDOW, NIGHT = "door window", "night"
GAPS = ("3 in", "2 in", "1 in", "3/4 in", "1/2 in", "1/4 in", "0 in")
OUTSIDE_PPM = 420.0  # the usual value of the formula; NOAA, global mean of the 2020s, from memory


def see(design: Design) -> Seen:
    """Who sleeps aboard, and what comes in with all shut."""
    stay, show, system = design.stay(NIGHT), units.show, design.units
    return (
        ("Asleep aboard", f"{stay.people} people for {times.span(stay.hours)}"),
        ("Air that comes in through leaks", show(_leaks(design), "air flow", system)),
        ("Each gives off, of carbon dioxide", show(_each(design, stay), "air flow", system)),
        ("In the air outside, of carbon dioxide", f"{OUTSIDE_PPM:g} ppm"),
    )


def _leaks(design: Design) -> float:
    return float(leakage_m3_s(design.envelope.leakage or 0.0, shell.volume_m3(design.trailer)))


def _each(design: Design, stay: Stay) -> float:
    pressure = float(standard_pressure_pa(design.site.elevation or 0.0))
    return float(co2_at_height_m3_s(box_classes.activity(str(stay.activity)).co2_m3_s, pressure))


def ask(design: Design) -> Draft:
    """Carbon dioxide after a long night, everything shut."""
    return _shut(design, design.stay(NIGHT), "asleep, and everything is shut")


def transfer(design: Design) -> Draft:
    """The same for a class that works with the doors shut."""
    return _shut(design, design.stay("small yard"), "at the benches, and the doors stay shut")


def _shut(design: Design, stay: Stay, what: str) -> Draft:
    return _steady(stay.people or 0, what, _each(design, stay), _leaks(design), design.units)


def _steady(people: int, what: str, each: float, flow: float, system: units.System) -> Draft:
    show = units.show
    words = (
        f"{people} people are {what}. Each gives off {show(each, 'air flow', system)} of carbon dioxide. "
        f"{show(flow, 'air flow', system)} of air comes in, with {OUTSIDE_PPM:g} ppm in it. "
        "How many ppm does the air inside come to in the end?"
    )
    step = worked(co2_steady_ppm, people=people, each_m3_s=each, flow_m3_s=flow, outside_ppm=OUTSIDE_PPM)
    slips = {
        "one sleeper": float(co2_steady_ppm(1.0, each, flow, OUTSIDE_PPM)),
        "outside air is clean": step.value - OUTSIDE_PPM,
    }
    return Draft(words, "concentration", (step,), slips)


def _sleeper(dice: Dice, system: units.System) -> float:
    """What one sleeper gives off [m3/s], within what is measured of people at rest."""
    return dice.quantity("air flow", system, (0.0065, 0.009, 0.0005), (0.003, 0.0045, 0.0005))


def a_stuffy_night(dice: Dice, system: units.System) -> Draft:
    """Where carbon dioxide ends."""
    each = _sleeper(dice, system)
    flow = dice.quantity("air flow", system, (5.0, 25.0, 1.0), (2.0, 12.0, 0.5))
    return _steady(dice.pick((2, 3, 4)), "asleep", each, flow, system)


def a_fresh_night(dice: Dice, system: units.System) -> Draft:
    """Air that keeps under a mark."""
    people, mark = dice.pick((2, 3, 4)), dice.between(700.0, 1600.0, 50.0)
    each = _sleeper(dice, system)
    show = units.show
    words = (
        f"{people} people sleep aboard; each gives off {show(each, 'air flow', system)} of carbon dioxide. The "
        "air outside "
        f"has {OUTSIDE_PPM:g} ppm. How much air from outside keeps the inside at {mark:g} ppm?"
    )
    step = worked(flow_for_co2_m3_s, people=people, each_m3_s=each, target_ppm=mark, outside_ppm=OUTSIDE_PPM)
    slips = {
        "one sleeper": step.value / people,
        "outside air is clean": float(flow_for_co2_m3_s(people, each, mark, 0.0)),
    }
    return Draft(words, "air flow", (step,), slips)


def a_cold_night(dice: Dice, system: units.System) -> Draft:
    """Heat that a cold night asks for."""
    loss = dice.between(20.0, 90.0, 5.0)
    inside = dice.quantity("temperature", system, (59.0, 68.0, 9.0), (15.0, 20.0, 1.0))
    outside = dice.quantity("temperature", system, (5.0, 32.0, 9.0), (-15.0, 0.0, 1.0))
    gains = dice.between(100.0, 300.0, 20.0)
    show = units.show
    words = (
        f"The box loses {loss:g} W for each °C between inside and outside. Inside it shall stay at "
        f"{show(inside, 'temperature', system)}, outside it has {show(outside, 'temperature', system)}. People "
        "and loads "
        f"give {show(gains, 'power')}. How many watts must the heater give?"
    )
    step = worked(heater_w, ua_w_per_k=loss, inside_c=inside, outside_c=outside, gains_w=gains)
    slips = {"gains left out": step.value + gains}
    if system == "us":
        slips["Fahrenheit steps"] = 1.8 * (step.value + gains) - gains
    return Draft(words, "power", (step,), slips)


def _cracked(design: Design, gap: str) -> Design:
    return design.replace(("opening", WINDOW, "gap"), gap)


def _tells(design: Design, gap: str) -> Told:
    changed = _cracked(design, gap)
    night, mark = sleep.night(changed), design.comfort.co2 or 0.0
    ppm, show = float(night.lasting[-1]), units.show
    moved = show(night.moved_m3_s, "air flow", design.units)
    fails = ppm > mark
    window = "shut" if gap == GAPS[-1] else f"{gap} open"
    words = f"With the window {window} the fan moves {moved}. By morning the air has {show(ppm, 'concentration')}."
    end = f" Over {show(mark, 'concentration')} it is stuffy." if fails else ""
    return Told(words + end, "stuffy" if fails else "fresh", fails)


def _drawn(design: Design, gap: str) -> Answer:
    return cooling.answer(_cracked(design, gap))


LESSON = Lesson(
    key="L7",
    title="What do the sleepers breathe?",
    notebook="L7_night_air.ipynb",
    trailer="fen-survey",
    other="kiln-cart",
    see=see,
    ask=ask,
    transfer=transfer,
    why=(
        "Everybody aboard breathes out carbon dioxide. Air from outside thins it, and brings a little of it along.",
        "In the end as much goes out as is breathed out. The more sleepers, the more there is inside. "
        "The less air comes in, the more there is too. The size of the trailer only says how soon.",
        "A fan that blows out can bring in no more than the openings let through. "
        "So a window that is open by a crack is half of the fan. The same air carries warmth away, and a cold night "
        "costs heat.",
    ),
    watch="Close the window a little more at each stop, the fan on low all night. Watch the air by morning.",
    rule="A fan needs a window open by a crack, and sleepers need both, all night.",
    recalls=("watts", "loads"),
    kinds=(
        Kind("a stuffy night", a_stuffy_night, 600.0, 9000.0),
        Kind("a fresh night", a_fresh_night, 0.002, 0.1),
        Kind("a cold night", a_cold_night, 100.0, 4000.0),
    ),
    turn=Turn("Window open by", tuple((gap, gap) for gap in GAPS), 0, _cracked, _tells, _drawn),
)
