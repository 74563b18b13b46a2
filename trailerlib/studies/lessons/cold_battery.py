"""Lesson 4: amp-hours in the cold, and what the label on a battery means."""

from __future__ import annotations

from trailerlib import quantities, units
from trailerlib.design.design import Design
from trailerlib.design.model import Battery
from trailerlib.physics.battery import effective_capacity_ah, peukert_hours
from trailerlib.physics.formula import worked
from trailerlib.physics.ohm import taken_ah
from trailerlib.studies import cells, night
from trailerlib.studies.answer import Answer
from trailerlib.studies.lessons.lesson import Lesson, Seen, Told, Turn
from trailerlib.studies.lessons.making import Dice, Draft, Kind

AGE, COLD_F = "80 %", 10
STAY = "night"
AIR_F = (77, 60, 46, 32, 20, 10, 0)
MADE_OF = {"flooded": "wet lead", "agm": "AGM lead", "gel": "gel lead", "lfp": "lithium"}


def setup(design: Design) -> Design:
    """The battery is some winters old, and this night is colder than those before."""
    return design.replace_all({("battery", "age"): AGE, ("stay", STAY, "ambient"): f"{COLD_F} °F"})


def see(design: Design) -> Seen:
    """What the label, the thermometer and the last test of the battery say."""
    changed = setup(design)
    battery, show, system = _battery(changed), units.show, design.units
    kind = MADE_OF[battery.chemistry]
    return (
        ("On the label", f"{show(battery.capacity, 'charge')} in {battery.hour_rate:g} h, {kind}"),
        ("Age has left of that, by the last test", show(battery.age, "fraction")),
        ("Air tonight", show(changed.stay(STAY).ambient, "temperature", system)),
        ("In such air such a battery keeps", show(_factor(changed, STAY), "fraction")),
    )


def ask(design: Design) -> Draft:
    """The amp-hours that can be had tonight."""
    return _tonight(design, STAY)


def transfer(design: Design) -> Draft:
    """The lithium battery of another trailer, in its coldest air."""
    battery, show = _battery(design), units.show
    coldest = design.site.coldest
    assert coldest is not None
    factor, age = cells.temperature_factor(battery, coldest), 0.9
    return _cold(battery.bank_ah, factor, age, (
        f"The {MADE_OF[battery.chemistry]} battery of “{design.title}” has {show(battery.bank_ah, 'charge')} on its "
        f"label. Age has left {show(age, 'fraction')} of that. Where it is kept it gets as cold as "
        f"{show(coldest, 'temperature', design.units)}, and such a battery then keeps {show(factor, 'fraction')}. "
        "How many amp-hours can it give there?"
    ))  # fmt: skip


def _battery(design: Design) -> Battery:
    assert design.battery is not None
    return design.battery


def _factor(design: Design, stay: str) -> float:
    ambient = design.stay(stay).ambient
    assert ambient is not None
    return cells.temperature_factor(_battery(design), ambient)


def _tonight(design: Design, stay: str) -> Draft:
    battery, show, factor = _battery(design), units.show, _factor(design, stay)
    words = (
        f"The label says {show(battery.bank_ah, 'charge')}. Age has left {show(battery.age, 'fraction')} of that, "
        "and at "
        f"{show(design.stay(stay).ambient, 'temperature', design.units)} a battery of this kind keeps "
        f"{show(factor, 'fraction')}. How many amp-hours can it give tonight until it is empty?"
    )
    return _cold(battery.bank_ah, factor, battery.age, words)


def _cold(capacity_ah: float, factor: float, age: float, words: str) -> Draft:
    step = worked(effective_capacity_ah, capacity_ah=capacity_ah, temperature_factor=factor, age_factor=age)
    slips = {"warm battery": capacity_ah * age, "new battery": capacity_ah * factor}
    return Draft(words, "charge", (step,), slips)


def a_cold_battery(dice: Dice, system: units.System) -> Draft:
    """What cold and age leave."""
    capacity, show = dice.between(50.0, 240.0, 10.0), units.show
    factor, age = dice.between(0.45, 0.9, 0.05), dice.between(0.6, 0.95, 0.05)
    words = (
        f"A label says {show(capacity, 'charge')}. Age has left {show(age, 'fraction')} of that, and in tonight's cold "
        f"the battery keeps {show(factor, 'fraction')}. How many amp-hours can it give?"
    )
    return _cold(capacity, factor, age, words)


def a_fast_discharge(dice: Dice, system: units.System) -> Draft:
    """Hours at a current far above that of the label."""
    capacity, amps = dice.between(60.0, 220.0, 20.0), dice.between(12.0, 60.0, 2.0)
    rate, exponent = dice.pick((10.0, 20.0)), dice.pick((1.1, 1.15, 1.2, 1.25, 1.3))
    words = (
        f"A lead battery is marked {units.show(capacity, 'charge')} in {rate:g} h. A pump takes "
        f"{units.show(amps, 'current')} from it without a stop. It lasts the hours of its label, times (amperes of the "
        f"label / amperes taken) to the power of {exponent:g}. How many hours is that?"
    )
    step = worked(peukert_hours, capacity_ah=capacity, hour_rate_h=rate, current_a=amps, exponent=exponent)
    slips = {"hours rate": capacity / amps, "label is one hour": float(peukert_hours(capacity, 1.0, amps, exponent))}
    return Draft(words, "duration", (step,), slips)


def a_night(dice: Dice, system: units.System) -> Draft:
    """Amp-hours that a thermostat load takes overnight."""
    watts, hours = dice.between(30.0, 90.0, 5.0), dice.between(6.0, 16.0, 1.0)
    duty, volts = dice.between(0.2, 0.7, 0.1), dice.pick((12.0, 24.0))
    what = dice.pick(("fridge", "cold box", "furnace blower"))
    words = (
        f"A {what} draws {units.show(watts, 'power')} while it runs, and it runs {units.show(duty, 'fraction')} of the "
        f"time. The battery has {volts:g} V. How many amp-hours does it take in {hours:g} h?"
    )
    step = worked(taken_ah, power_w=watts, duty=duty, hours=hours, volts=volts)
    slips = {"watt-hours for amp-hours": watts * duty * hours, "always on": float(taken_ah(watts, 1.0, hours, volts))}
    return Draft(words, "charge", (step,), slips)


def _colder(design: Design, fahrenheit: int) -> Design:
    return design.replace(("stay", STAY, "ambient"), f"{fahrenheit} °F")


def _tells(design: Design, fahrenheit: int) -> Told:
    found = night.answer(_colder(design, fahrenheit), STAY)
    fails = bool(found.value("reserve_h") < 0.0)
    shown = units.show(quantities.read(f"{fahrenheit} °F", "temperature"), "temperature", design.units)
    return Told(
        f"At {shown} it {found.sentence[:1].lower()}{found.sentence[1:]}",
        "dark before morning" if fails else "lasts",
        fails,
    )


def _drawn(design: Design, fahrenheit: int) -> Answer:
    return night.answer(_colder(design, fahrenheit), STAY)


LESSON = Lesson(
    key="L4",
    title="How much is in it tonight?",
    notebook="L4_cold_battery.ipynb",
    trailer="fen-survey",
    other="kiln-cart",
    setup=setup,
    see=see,
    ask=ask,
    transfer=transfer,
    why=(
        "The label speaks of a new battery in a warm room. Age takes a share away for good. "
        "Cold takes another share, until the battery warms up again. So multiply the label by what each of them "
        "leaves.",
        "The label also names hours. Divide its amp-hours by them, and you have the current that the label means. "
        "Draw more, and the battery gives less than its label says: lead much less, lithium a little.",
        "Not all of it should be used. A lead battery that is often emptied dies young. "
        "And lithium must never be charged below freezing.",
    ),
    watch="Let the night get colder, one stop at a time. Watch the charge cross the **floor** (the least that "
    "should be left in it).",
    rule="Read the label for a new, warm, slow battery; plan for an old, cold, busy one.",
    recalls=("volts", "amperes", "watts"),
    kinds=(
        Kind("cold and age", a_cold_battery, 10.0, 220.0),
        Kind("a fast discharge", a_fast_discharge, 0.3, 24.0),
        Kind("a night's amp-hours", a_night, 1.0, 110.0),
    ),
    turn=Turn("Air tonight", tuple((f"{f} °F", f) for f in AIR_F), 2, _colder, _tells, _drawn),
)
