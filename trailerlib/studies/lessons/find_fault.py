"""Lesson 8: find the fault before the wall is closed."""

from __future__ import annotations

from trailerlib import units
from trailerlib.design.design import Design
from trailerlib.physics.formula import worked
from trailerlib.physics.ohm import extra_ohm, heat_w, lost_v
from trailerlib.studies import battery_side
from trailerlib.studies.lessons.lesson import Lesson, Seen
from trailerlib.studies.lessons.making import Dice, Draft, Kind

CRIMP_OHM = 0.06  # of the story: a crimp that holds the wire by its insulation. Common practice, no source


def see(design: Design) -> Seen:
    """What the meter shows, and what the test sheet says it should show."""
    amps, expected, measured = _readings(design, "work lights")
    show, system = units.show, design.units
    return (
        ("Current of the work lights", show(amps, "current", system)),
        ("Lost from the fuse block to the lights and back", show(measured, "voltage", system)),
        ("The test sheet expects", show(expected, "voltage", system)),
    )


def ask(design: Design) -> Draft:
    """The resistance that should not be there."""
    return _bad(design, "work lights")


def transfer(design: Design) -> Draft:
    """The same on the way to another trailer's lamp."""
    return _bad(design, "lamp")


def _readings(design: Design, circuit: str) -> tuple[float, float, float]:
    """Current [A], drop expected and drop measured with a bad crimp in it [V], as a meter of three figures "
    "shows them."""
    side = battery_side.solve(design)
    assert side.block_v is not None
    amps = float(f"{side.current_a[circuit]:.3g}")
    expected = float(f"{side.block_v - side.end_v[circuit]:.3g}")
    return amps, expected, float(f"{expected + amps * CRIMP_OHM:.3g}")


def _bad(design: Design, circuit: str) -> Draft:
    amps, expected, measured = _readings(design, circuit)
    return _extra(f"on the way to the {circuit} of “{design.title}”", amps, expected, measured)


def _extra(where: str, amps: float, expected: float, measured: float) -> Draft:
    show = units.show
    words = (
        f"{show(amps, 'current')} flows {where}. From the fuse block to the end and back the meter finds "
        f"{show(measured, 'voltage')} lost; the sheet expects {show(expected, 'voltage')}. One joint is bad. "
        "How many milliohms are there too many?"
    )
    step = worked(extra_ohm, measured_v=measured, expected_v=expected, current_a=amps)
    return Draft(words, "resistance", (step,), {"all of the drop": measured / amps})


def a_bad_joint(dice: Dice, system: units.System) -> Draft:
    """Resistance too many, from two drops."""
    amps, expected = dice.between(2.0, 12.0, 0.5), dice.between(0.1, 0.6, 0.05)
    measured = round(expected + dice.between(0.1, 0.9, 0.05), 3)
    where = dice.pick(("to the pump", "to the fridge", "to the fan", "to the lights"))
    return _extra(where, amps, expected, measured)


def a_warm_joint(dice: Dice, system: units.System) -> Draft:
    """Heat in a bad joint."""
    amps, milliohms = dice.between(3.0, 25.0, 1.0), dice.between(20.0, 150.0, 10.0)
    words = (
        f"A loose screw has {milliohms:g} mΩ and carries {units.show(amps, 'current')}. "
        "How many watts of heat does it make, behind the wall?"
    )
    step = worked(heat_w, current_a=amps, ohm=milliohms / 1000.0)
    return Draft(words, "power", (step,), {"not squared": amps * milliohms / 1000.0})


def two_joints(dice: Dice, system: units.System) -> Draft:
    """Voltage lost in a poor joint at each end."""
    amps, milliohms = dice.between(2.0, 20.0, 1.0), dice.between(10.0, 90.0, 5.0)
    words = (
        f"The wire to a pump has a poor crimp at each end, {milliohms:g} mΩ each. "
        f"The pump draws {units.show(amps, 'current')}. How many volts are lost in the crimps?"
    )
    step = worked(lost_v, current_a=amps, ohm=2.0 * milliohms / 1000.0)
    slips = {"one joint of two": step.value / 2.0, "resistance for drop": 2.0 * milliohms / 1000.0}
    return Draft(words, "voltage", (step,), slips)


LESSON = Lesson(
    key="L8",
    title="Where is the fault?",
    notebook="L8_find_fault.ipynb",
    trailer="fen-survey",
    other="one-lamp",
    see=see,
    ask=ask,
    transfer=transfer,
    why=(
        "Every wire loses what it should lose. What is lost beyond that is lost in one place, and that place has a "
        "resistance of its own. Divide what is lost too much by the current, and you know how bad the joint is.",
        "One reading says that something is wrong. The next one halves the way, and says in which half it is. "
        "Halve again and again, and few readings are enough.",
        "A bad joint does not only dim the lamp. All that it loses becomes heat, in one spot, behind a closed wall.",
    ),
    watch="Find the fault on the bench with as few readings as you can.",
    rule="Measure under load, halve the way, and mend the joint before the wall is closed.",
    recalls=("volts", "amperes", "ohms", "watts", "drop", "fuse", "fuse block", "loads", "mains"),
    kinds=(
        Kind("resistance too many", a_bad_joint, 0.005, 0.6),
        Kind("heat in a joint", a_warm_joint, 0.1, 110.0),
        Kind("two poor crimps", two_joints, 0.03, 4.0),
    ),
)
