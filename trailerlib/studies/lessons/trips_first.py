"""Lesson 6: what trips first, and when."""

from __future__ import annotations

from trailerlib import units
from trailerlib.design.design import Design
from trailerlib.physics.formula import worked
from trailerlib.physics.ohm import room_w, together_a
from trailerlib.studies import together
from trailerlib.studies.answer import names
from trailerlib.studies.circuits import load_va
from trailerlib.studies.legs import leg_volts
from trailerlib.studies.lessons.lesson import Bar, Bars, Lesson, Seen, Told, Turn
from trailerlib.studies.lessons.making import Dice, Draft, Kind
from trailerlib.studies.mains import rating_a

CORD = "household"
ONE_BY_ONE = ("laptops", "dryer road side", "kettle", "roof cooler")
HEATERS, COOLER = ("kettle", "dryer road side"), "roof cooler"
LONG_SHARE = 0.8  # of a breaker's rating for three hours or more, 210.20(A)


def see(design: Design) -> Seen:
    """What stands on the plates, and what the house gives."""
    show, system, supply = units.show, design.units, design.supply(CORD)
    return (
        (
            "At the house",
            f"{show(leg_volts(supply), 'voltage', system)}, breaker {show(rating_a(supply), 'current', system)}",
        ),
        *((name.capitalize(), show(design.load(name).each_w, "power", system)) for name in HEATERS),
        (f"{COOLER.capitalize()}, running", show(design.load(COOLER).rated_current, "current", system)),
    )


def ask(design: Design) -> Draft:
    """Current at the house with kettle, dryer and cooler on."""
    supply, cooler = design.supply(CORD), design.load(COOLER)
    kettle, dryer = (design.load(name).each_w for name in HEATERS)
    volts, other = leg_volts(supply), cooler.rated_current or 0.0
    words = (
        f"The trailer hangs on a cord from the house. The kettle of {units.show(kettle, 'power')} and a dryer of "
        f"{units.show(dryer, 'power')} are on at {units.show(volts, 'voltage')}, and the cooler runs with "
        f"{units.show(other, 'current')}. How many amperes go through the breaker at the house?"
    )
    return all_on(words, kettle + dryer, volts, other, {"largest alone": other})


def transfer(design: Design) -> Draft:
    """The current of one leg on a trailer that has two."""
    volts, show = design.circuit("front cooler"), units.show
    leg_v = design.volts_of(volts)
    cooler, rear = (design.load(name).rated_current or 0.0 for name in ("front cooler", "rear cooler"))
    kettle, heater = (design.load(name).each_w for name in ("kettle", "drying heater"))
    words = (
        f"“{design.title}” has two legs of {show(leg_v, 'voltage')}. On leg 1 the front cooler runs with "
        f"{show(cooler, 'current')}, the kettle takes {show(kettle, 'power')} and the drying heater "
        f"{show(heater, 'power')}. On leg 2 the rear cooler runs with {show(rear, 'current')}. "
        "How many amperes does leg 1 carry?"
    )
    return all_on(words, kettle + heater, leg_v, cooler, {"all on one leg": (kettle + heater) / leg_v + cooler + rear})


def all_on(words: str, watts: float, volts: float, other_a: float, slips: dict[str, float]) -> Draft:
    """The current of all that is on together, as a problem.

    Parameters
    ----------
    words : the question
    watts : [W] of all that heats
    volts : [V] of the circuit
    other_a : [A] of everything else
    slips : [A] values of the known wrong ways, by their names
    """
    step = worked(together_a, power_w=watts, volts=volts, other_a=other_a)
    return Draft(words, "current", (step,), {**slips, "both legs for one": watts / (2.0 * volts) + other_a})


def a_leg(dice: Dice, system: units.System) -> Draft:
    """What one leg of two carries, or one circuit."""
    volts = 120.0 if system == "us" else 230.0
    heat, other = dice.between(600.0, 2400.0, 100.0), dice.between(2.0, 13.0, 0.5)
    if system == "us":
        far = dice.between(4.0, 14.0, 1.0)
        words = (
            f"A panel has two legs of {volts:g} V. On leg 1 heaters of {units.show(heat, 'power')} and a motor of "
            f"{units.show(other, 'current')} are on, on leg 2 a motor of {units.show(far, 'current')}. "
            "How many amperes does leg 1 carry?"
        )
        return all_on(words, heat, volts, other, {"all on one leg": heat / volts + other + far})
    words = (
        f"On one inlet of {volts:g} V a heater of {units.show(heat, 'power')} and a motor of "
        f"{units.show(other, 'current')} are on. How many amperes does its breaker carry?"
    )
    step = worked(together_a, power_w=heat, volts=volts, other_a=other)
    return Draft(words, "current", (step,), {"largest alone": max(heat / volts, other)})


def a_room(dice: Dice, system: units.System) -> Draft:
    """How many watts may still be switched on for hours."""
    volts = 120.0 if system == "us" else 230.0
    rating = dice.pick((15.0, 20.0, 30.0) if system == "us" else (10.0, 13.0, 16.0))
    drawn = dice.between(1.0, 0.6 * rating, 0.5)
    words = (
        f"A breaker of {units.show(rating, 'current')} at {volts:g} V may carry 80 % of its rating for hours. "
        f"{units.show(drawn, 'current')} flows already. How many watts of heating may be switched on for the whole day?"
    )
    step = worked(room_w, rating_a=rating, share=LONG_SHARE, drawn_a=drawn, volts=volts)
    slips = {"whole rating": (rating - drawn) * volts, "nothing on yet": LONG_SHARE * rating * volts}
    return Draft(words, "power", (step,), slips)


def _on(count: int) -> frozenset[str]:
    return frozenset(ONE_BY_ONE[:count])


def _tells(design: Design, count: int) -> Told:
    """What the breaker does, in fewer words than the bench, which tells of every limit."""
    broken, on = together.ask(design, CORD, _on(count)), names(ONE_BY_ONE[:count])
    if broken is None:
        lasts = together.of(design, CORD).holds_for_good(_on(count))
        held = "as long as you like" if lasts else "less than three hours"
        return Told(f"With {on} on, the breaker at the house holds for {held}.", "holds", False)
    first = broken.first
    through = f"the breaker of {first.limit.name}" if first.limit.kind == "breaker" else first.limit.name
    flows = f"{units.show(first.value, 'current')} goes through {through}"
    return Told(f"With {on} on, {flows}. It {first.when}. Switch off {names(broken.switch_off)}.", "trips", True)


def _bars(design: Design, count: int) -> Bars:
    """Current through the breaker at the house, as one thing after the other is switched on."""
    supply = design.supply(CORD)
    limit, bars, va = rating_a(supply), list[Bar](), 0j
    for number, name in enumerate(ONE_BY_ONE, start=1):
        va += load_va(design.load(name))
        amps = abs(va) / leg_volts(supply)
        bars.append(Bar(_stop(number), amps, f"{units.whole(amps)} A"))
    words = f"breaker at the house: {units.show(limit, 'current', design.units)}"
    return Bars("current on the cord from the house [A]", tuple(bars), _stop(count), limit, words, "at most")


def _stop(number: int) -> str:
    """What the slider says of the number of things that are on."""
    return ("+ " if number > 1 else "") + ONE_BY_ONE[number - 1]


LESSON = Lesson(
    key="L6",
    title="What trips first?",
    notebook="L6_trips_first.ipynb",
    trailer="fen-survey",
    other="kiln-cart",
    see=see,
    ask=ask,
    transfer=transfer,
    why=(
        "Everything that is on together draws through one breaker at the house. Currents add up: so many amperes for "
        "the kettle, so many for the dryer, so many for the cooler.",
        "A breaker does not open at its rating. A little above it, that may take an hour; at twice the rating, "
        "a minute or two. It opens at once only for a short. So one kettle often boils before anything trips, and the "
        "next one does not.",
        "A **leg** (one of the two live wires of a large supply) carries only what hangs on it. "
        "What runs for hours may use only a part of the rating.",
    ),
    watch="Switch on one thing after the other, as a crew does in the morning. Watch the breaker at the house.",
    rule="Add up what is on together before you plug in, and let the big ones take turns.",
    recalls=("volts", "amperes", "watts", "rating", "short", "mains"),
    kinds=(
        Kind("what a leg carries", a_leg, 3.0, 40.0),
        Kind("what may still be on", a_room, 40.0, 3500.0),
    ),
    turn=Turn(
        "On now",
        tuple((_stop(n), n) for n in range(1, len(ONE_BY_ONE) + 1)),
        0,
        lambda design, count: design,
        _tells,
        _bars,
    ),
)
