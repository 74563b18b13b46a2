"""Lesson 9: weight on the tongue."""

from __future__ import annotations

from typing import Any

from trailerlib import quantities, units
from trailerlib.design.design import Design
from trailerlib.design.model import Cargo
from trailerlib.physics.balance import moved_tongue_kg, tongue_kg
from trailerlib.physics.formula import worked
from trailerlib.rules.road import TONGUE_LEAST
from trailerlib.studies import towing
from trailerlib.studies.lessons.lesson import Lesson, Seen, Told, Turn
from trailerlib.studies.lessons.making import Dice, Draft, Kind

CLAY, FORWARD_FT = "clay", 4
PLACES_FT = (2, 4, 6, 8, 10, 12, 14)


def see(design: Design) -> Seen:
    """What a tape and a scale tell."""
    show, system = units.show, design.units
    return (
        ("The clay weighs", show(_cargo(design, CLAY).mass, "mass", system)),
        ("From the coupler to the nose of the box", show(_nose_m(design), "length", system)),
        ("From the nose to the middle of the axles", show(_axle_m(design) - _nose_m(design), "length", system)),
        ("From the nose to where the clay is put", f"{FORWARD_FT} ft"),
    )


def _cargo(design: Design, name: str) -> Cargo:
    return next(thing for thing in design.cargo if thing.name == name)


def _nose_m(design: Design) -> float:
    """How far the nose wall is behind the coupler [m]."""
    return design.trailer.nose + design.trailer.tongue


def _axle_m(design: Design) -> float:
    """How far the middle of the axles is behind the coupler [m]."""
    assert design.trailer.axle is not None
    return _nose_m(design) + design.trailer.axle


def ask(design: Design) -> Draft:
    """How much of the clay the coupler carries at its new place."""
    return _part(design, _cargo(design, CLAY), quantities.read(f"{FORWARD_FT} ft", "length"))


def transfer(design: Design) -> Draft:
    """The same for the plant presses of another trailer, where they stand."""
    thing = _cargo(design, "field kit")
    return _part(design, thing, thing.at[0])


def _part(design: Design, thing: Cargo, behind_m: float) -> Draft:
    nose, show, system = _nose_m(design), units.show, design.units
    words = (
        f"The {thing.name} of “{design.title}”, {show(thing.mass, 'mass', system)}, stands "
        f"{show(behind_m, 'length', system)} behind the nose of the box. The coupler is "
        f"{show(nose, 'length', system)} in front of the nose, the middle of the axles "
        f"{show(_axle_m(design) - nose, 'length', system)} behind it. How much of it does the coupler carry?"
    )
    return _lever(words, thing.mass, nose + behind_m, _axle_m(design), nose)


def _lever(words: str, mass: float, behind_m: float, axle_m: float, nose_m: float) -> Draft:
    step = worked(tongue_kg, gross_kg=mass, centre_m=behind_m, axle_m=axle_m)
    slips = {
        "wheels for coupler": mass - step.value,
        "from the nose": float(tongue_kg(mass, behind_m - nose_m, axle_m - nose_m)),
        "whole weight": mass,
    }
    return Draft(words, "mass", (step,), slips)


def a_thing(dice: Dice, system: units.System) -> Draft:
    """What of a thing the coupler carries."""
    mass = dice.quantity("mass", system, (80.0, 600.0, 20.0), (40.0, 280.0, 10.0))
    nose = dice.quantity("length", system, (3.0, 6.0, 0.5), (1.0, 1.8, 0.1))
    axle = dice.quantity("length", system, (8.0, 12.0, 0.5), (2.4, 3.6, 0.1))
    behind = dice.quantity("length", system, (0.5, 6.0, 0.5), (0.2, 1.8, 0.1))
    what, show = dice.pick(("generator", "tool chest", "water tank", "kiln")), units.show
    words = (
        f"A {what} of {show(mass, 'mass', system)} stands {show(behind, 'length', system)} behind the nose of the box. "
        f"The coupler is {show(nose, 'length', system)} in front of the nose, the axle {show(axle, 'length', system)} "
        "behind it. How much of it does the coupler carry?"
    )
    return _lever(words, mass, nose + behind, nose + axle, nose)


def a_move(dice: Dice, system: units.System) -> Draft:
    """How much more the coupler carries after a move."""
    mass = dice.quantity("mass", system, (80.0, 600.0, 20.0), (40.0, 280.0, 10.0))
    nose = dice.quantity("length", system, (3.0, 6.0, 0.5), (1.0, 1.8, 0.1))
    axle = dice.quantity("length", system, (8.0, 12.0, 0.5), (2.4, 3.6, 0.1))
    forward = dice.quantity("length", system, (1.0, 6.0, 0.5), (0.3, 1.8, 0.1))
    show = units.show
    words = (
        f"A chest of {show(mass, 'mass', system)} is moved forward by {show(forward, 'length', system)}. The "
        "coupler is "
        f"{show(nose, 'length', system)} in front of the nose of the box, the axle {show(axle, 'length', system)} "
        "behind "
        "the nose. How much more does the coupler carry then?"
    )
    step = worked(moved_tongue_kg, mass_kg=mass, forward_m=forward, axle_m=nose + axle)
    slips = {
        "whole weight": mass,
        "moved the wrong way": -step.value,
        "from the nose": float(moved_tongue_kg(mass, forward, axle)),
    }
    return Draft(words, "mass", (step,), slips)


def _moved(design: Design, feet: int) -> Design:
    at = list(design.get(f"cargo.{CLAY}.at"))
    return design.replace(("cargo", CLAY, "at"), [f"{feet} ft", *at[1:]])


def _tells(design: Design, feet: int) -> Told:
    found, show = towing.answer(_moved(design, feet), CLAY), units.show
    share = found.value("share")
    fails = share < TONGUE_LEAST
    words = (
        f"With the clay {feet} ft behind the nose {show(found.value('tongue_kg'), 'mass', design.units)} are on the "
        f"coupler, {show(share, 'fraction')} of all."
    )
    end = " That is too little: it can begin to sway, and not stop." if fails else ""
    return Told(words + end, "may sway" if fails else "follows", fails)


def _drawn(design: Design, feet: int) -> Any:
    return towing.answer(_moved(design, feet), CLAY).picture


LESSON = Lesson(
    key="L9",
    title="Why does it sway?",
    notebook="L9_tongue.ipynb",
    trailer="kiln-cart",
    other="fen-survey",
    see=see,
    ask=ask,
    transfer=transfer,
    why=(
        "A trailer rests on its coupler and on its wheels, like a plank on two trestles. "
        "A thing over the axle presses on the wheels alone. A thing at the coupler presses on the coupler alone.",
        "In between both carry a share, by the lengths of the levers. The lever begins at the coupler, not at the "
        "nose. What stands behind the axle lifts the coupler.",
        "The **tongue weight** (what the coupler carries) holds the trailer straight. With too little of it, a "
        "gust or a bump starts a swing that grows. With too much, the tow vehicle is pressed down behind.",
    ),
    watch="Carry the clay from the nose to the tail, one stop at a time. Watch the share on the coupler.",
    rule="Heavy things go forward of the axle; then measure with a scale.",
    kinds=(
        Kind("a thing on the coupler", a_thing, 5.0, 260.0),
        Kind("a thing that is moved", a_move, 3.0, 160.0),
    ),
    turn=Turn("Clay behind the nose", tuple((f"{feet} ft", feet) for feet in PLACES_FT), 0, _moved, _tells, _drawn),
)
