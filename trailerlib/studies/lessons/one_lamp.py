"""Lesson 1: volts, amperes and ohms along one wire, there and back."""

from __future__ import annotations

from dataclasses import dataclass

from trailerlib import quantities, units
from trailerlib.design.design import Design
from trailerlib.physics.conductor import loop_drop_v, resistance_per_m, round_area_m2
from trailerlib.physics.formula import worked
from trailerlib.physics.impedance import branch_resistance_ohm
from trailerlib.physics.ohm import light_share
from trailerlib.studies import battery_side
from trailerlib.studies.lessons import copper
from trailerlib.studies.lessons.lesson import Lesson, Seen, Told, Turn
from trailerlib.studies.lessons.making import Dice, Draft, Kind

LAMP = "lamp"
DIM = 0.7  # of its light: the eye sees it at once. Common practice, no source
RUNS_FT = (6, 12, 18, 30, 60, 120, 200)
HOT_C, COOL_C = 75.0, 20.0


def see(design: Design) -> Seen:
    """What a tape and a meter tell before anything is worked out."""
    side, run_m, (per_m, _) = copper.of_circuit(design, LAMP)
    show, system, lamp = units.show, design.units, design.load(LAMP)
    return (
        ("Battery at rest, half full", show(side.emf_v, "voltage", system)),
        ("On the lamp's base", f"{show(lamp.rated_v, 'voltage', system)}, {show(lamp.each_w, 'power', system)}"),
        ("Current the meter shows", show(side.current_a[LAMP], "current", system)),
        ("Wire", copper.in_words(design.circuit(LAMP).wire)),
        ("From the battery to the lamp, by tape", show(run_m, "length", system)),
        ("One wire of this size resists", copper.per_length(per_m.value, system)),
    )


def ask(design: Design) -> Draft:
    """The voltage lost in the lamp's wire."""
    return lost_in(design, LAMP, "The lamp is on.")


def transfer(design: Design) -> Draft:
    """The same for the work lights of another trailer."""
    return lost_in(design, "work lights", "Both work lights are on.")


def lost_in(design: Design, circuit: str, begin: str) -> Draft:
    """The voltage lost in the wire of a circuit, as a problem that begins with these words."""
    side, run_m, steps = copper.of_circuit(design, circuit)
    amps, system = side.current_a[circuit], design.units
    words = (
        f"{begin} {units.show(amps, 'current', system)} flows through {units.show(run_m, 'length', system)} of "
        f"{copper.in_words(design.circuit(circuit).wire)}, {copper.per_length(steps[0].value, system)} for one wire. "
        "How many volts are lost in the wire?"
    )
    return Draft(words, "voltage", steps, _one_way(amps, steps[0].value, run_m))


def _one_way(amps: float, per_m: float, run_m: float) -> dict[str, float]:
    return {
        "one way": float(loop_drop_v(amps, per_m, run_m / 2.0)),
        "resistance for drop": float(loop_drop_v(1.0, per_m, run_m)),
    }


def a_drop(dice: Dice, system: units.System) -> Draft:
    """Volts lost in a run."""
    size, amps = copper.size(dice, system), dice.between(1.5, 9.5, 0.5)
    run_m = dice.quantity("length", system, (6.0, 40.0, 2.0), (2.0, 12.0, 0.5))
    steps = copper.drop(amps, copper.ohm_per_m(size, COOL_C), run_m)
    what = dice.pick(("A pump", "A fan", "A lamp", "A small fridge"))
    words = (
        f"{what} draws {units.show(amps, 'current', system)} at the end of {units.show(run_m, 'length', system)} of "
        f"{copper.in_words(size)}. One wire resists {copper.per_length(steps[0].value, system)}. "
        "How many volts are lost on the way?"
    )
    return Draft(words, "voltage", steps, _one_way(amps, steps[0].value, run_m))


def a_resistance(dice: Dice, system: units.System) -> Draft:
    """Resistance of a run, out and back, from its wire."""
    size = copper.size(dice, system)
    run_m = dice.quantity("length", system, (8.0, 60.0, 2.0), (3.0, 18.0, 0.5))
    per_m = copper.ohm_per_m(size, COOL_C)
    words = (
        f"A lamp hangs at the end of {units.show(run_m, 'length', system)} of {copper.in_words(size)}. One wire "
        "resists "
        f"{copper.per_length(per_m.value, system)}. How much resistance does the current meet in the wire?"
    )
    whole = worked(branch_resistance_ohm, ohm_per_m=per_m.value, run_m=run_m)
    return Draft(words, "resistance", (per_m, whole), {"one way": whole.value / 2.0})


def a_caliper(dice: Dice, system: units.System) -> Draft:
    """Drop of an unmarked wire, from its width."""
    width_mm = dice.between(1.0, 2.6, 0.1)
    amps, run_m = dice.between(2.0, 9.0, 1.0), dice.quantity("length", system, (10.0, 40.0, 5.0), (3.0, 12.0, 1.0))
    width_m = quantities.read(f"{width_mm:g} mm", "small length")
    area = worked(round_area_m2, diameter_m=width_m)
    per_m = worked(resistance_per_m, area_m2=area.value, temperature_c=COOL_C, lay=1.0)
    steps = (area, *copper.drop(amps, per_m, run_m))
    words = (
        f"A solid copper wire without a mark is {width_mm:g} mm wide on the caliper. "
        f"{units.show(amps, 'current', system)} goes through {units.show(run_m, 'length', system)} of it and back. "
        f"At {COOL_C:g} °C copper resists 17.24 mΩ a metre for each mm² of area. How many volts are lost?"
    )
    double = float(resistance_per_m(round_area_m2(2.0 * width_m), COOL_C, 1.0))
    slips = {
        "one way": float(loop_drop_v(amps, per_m.value, run_m / 2.0)),
        "radius for diameter": float(loop_drop_v(amps, double, run_m)),
    }
    return Draft(words, "voltage", steps, slips)


@dataclass(frozen=True)
class LampLine:
    """A lamp at the end of its run: voltages [V], one-way length [m], and its light as a share of the rated [-]."""

    source_v: float
    load_v: float
    current_a: float
    run_m: float
    wire: str
    light: float
    dim: float
    system: units.System


def lamp_line(design: Design) -> LampLine:
    """What the picture of the lamp shows."""
    side, circuit, lamp = battery_side.solve(design), design.circuit(LAMP), design.load(LAMP)
    run_m, volts = design.run_m(circuit), side.load_v[LAMP]
    assert run_m is not None and side.source_v is not None
    light = float(light_share(volts, lamp.rated_v))
    return LampLine(side.source_v, volts, side.current_a[LAMP], run_m, circuit.wire, light, DIM, design.units)


def _longer(design: Design, feet: int) -> Design:
    return design.replace("circuit.lamp.run", f"{feet} ft")


def _tells(design: Design, feet: int) -> Told:
    line, show = lamp_line(_longer(design, feet)), units.show
    fails = line.light < DIM
    words = (
        f"{show(line.run_m, 'length', line.system)} away the lamp gets {show(line.load_v, 'voltage', line.system)} "
        f"and gives {show(line.light, 'fraction')} of its light."
    )
    return Told(f"{words} The customer sees a dim lamp." if fails else words, "dim" if fails else "bright", fails)


LESSON = Lesson(
    key="L1",
    title="How much arrives at the lamp?",
    notebook="L1_one_lamp.ipynb",
    trailer="one-lamp",
    other="fen-survey",
    see=see,
    ask=ask,
    transfer=transfer,
    why=(
        "The current goes out through one wire and comes back through the other. Both are copper, and copper resists. "
        "So the wire takes its share of the voltage twice over, and the lamp gets what is left.",
        "Ohm's law says how much: the **drop** (voltage lost on the way, there and back) is the current times the "
        "resistance. Twice the length loses twice the voltage. Twice the current does as well.",
    ),
    watch="Carry the lamp away from the battery, one stop at a time. Look at the lamp, not at the volts.",
    rule="A run counts twice: the current also has to come back.",
    kinds=(
        Kind("volts lost in a run", a_drop, 0.02, 20.0),
        Kind("resistance of a run", a_resistance, 0.005, 2.0),
        Kind("an unmarked wire", a_caliper, 0.005, 10.0),
    ),
    turn=Turn(
        "How far away",
        tuple((f"{feet} ft", feet) for feet in RUNS_FT),
        2,
        _longer,
        _tells,
        lambda design, feet: lamp_line(_longer(design, feet)),
    ),
)
