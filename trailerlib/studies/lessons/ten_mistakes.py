"""Lesson 10: find and mend ten mistakes."""

from __future__ import annotations

from trailerlib import units
from trailerlib.design.design import Design
from trailerlib.physics.formula import worked
from trailerlib.physics.ohm import drawn_a
from trailerlib.studies.lessons import (
    cold_battery,
    find_fault,
    fuse,
    gauge,
    long_cord,
    night_air,
    one_lamp,
    tongue,
    trips_first,
)
from trailerlib.studies.lessons.lesson import Lesson, Seen
from trailerlib.studies.lessons.making import Draft
from trailerlib.studies.lessons.mistakes import FACTS, TRAILER

ROOMS = (one_lamp, gauge, fuse, cold_battery, long_cord, trips_first, night_air, find_fault, tongue)


def see(design: Design) -> Seen:
    """What kind of trailer it is, and how much there is to look at."""
    show, system, box = units.show, design.units, design.trailer
    size = " by ".join(show(length, "length", system) for length in (box.length, box.width))
    return (
        ("The box, inside", size),
        ("Asleep aboard", f"{design.use.sleepers}"),
        ("Circuits", f"{len(design.circuits)}"),
        ("Facts on the list", f"{len(FACTS)}"),
    )


def ask(design: Design) -> Draft:
    """One of the twenty facts, in numbers: what the reading light's wire loses."""
    return one_lamp.lost_in(design, "reading lights", "The reading light over the bunk is on.")


def transfer(design: Design) -> Draft:
    """The current of a press motor on another trailer, by its power factor."""
    motor, show = design.load("press motor"), units.show
    volts, factor = motor.circuit_v, motor.typical.power_factor
    words = (
        f"On the “{design.title}” a press motor takes {show(motor.each_w, 'power')} at {show(volts, 'voltage')}, "
        "with a "
        f"power factor of {factor:g}. How many amperes does its breaker feel?"
    )
    step = worked(drawn_a, power_w=motor.each_w, volts=volts, power_factor=factor)
    slips = {"watts for volt-amperes": motor.each_w / volts, "factor the wrong way": motor.each_w * factor / volts}
    return Draft(words, "current", (step,), slips)


LESSON = Lesson(
    key="L10",
    title="Can you find all ten mistakes?",
    notebook="L10_ten_mistakes.ipynb",
    trailer=TRAILER,
    other="type-wagon",
    see=see,
    ask=ask,
    transfer=transfer,
    why=(
        "A number decides, not a feeling. A wire may lose a share of its voltage. Above that share the same "
        "wire, just as neat, is a mistake.",
        "Go through a trailer the way the current goes: battery, main fuse, fuse block, each wire with its fuse. "
        "Then the mains side: inlet, main breaker, each outlet. Then what people breathe, and what can move on "
        "the road.",
        "What is not known is not in order: it is not checked. And most mistakes are no wrong numbers. "
        "They are things that nobody looked at.",
    ),
    watch="Tick what is wrong, commit, and mend each one.",
    rule="Go the way the current goes, list in hand, and trust nothing that nobody looked at.",
    recalls=(
        "volts",
        "amperes",
        "ohms",
        "watts",
        "run",
        "AWG",
        "gauge",
        "fuse",
        "fuse block",
        "rating",
        "short",
        "amp-hours",
        "loads",
        "compressor",
        "mains",
        "power factor",
        "breaker",
        "panels",
        "leg",
        "carbon dioxide",
        "ppm",
        "cfm",
        "crimp",
        "joint",
        "coupler",
        "nose",
    ),
    kinds=tuple(kind for room in ROOMS for kind in room.LESSON.kinds),
)
