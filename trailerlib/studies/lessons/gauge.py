"""Lesson 2: why the gauge matters: a lamp dims, a fan stalls, a wire warms."""

from __future__ import annotations

from trailerlib import units
from trailerlib.design.design import Design
from trailerlib.design.wire_sizes import wire as wire_size
from trailerlib.physics.conductor import drop_of_gauge_v, loop_drop_v
from trailerlib.physics.formula import Worked, worked
from trailerlib.studies import battery_side
from trailerlib.studies.lessons import copper
from trailerlib.studies.lessons.lesson import Bar, Bars, Lesson, Seen, Told, Turn
from trailerlib.studies.lessons.making import Dice, Draft, Kind
from trailerlib.studies.lessons.one_lamp import COOL_C, HOT_C

FAN = "roof fan"
THINNER, THICKER = 4, -4  # gauge numbers up, for the number to commit; down, for the transfer
GAUGES = ("10 AWG", "12 AWG", "14 AWG", "16 AWG", "18 AWG", "20 AWG", "22 AWG")


def setup(design: Design) -> Design:
    """The customer wants the fan on high."""
    return design.replace(("load", FAN, "class"), "roof fan high")


def see(design: Design) -> Seen:
    """The fan on high, its wire, and what its wire loses now."""
    high = setup(design)
    side, run_m, (_, lost) = copper.of_circuit(high, FAN)
    show, system = units.show, design.units
    return (
        ("The fan on high asks for", show(high.load(FAN).running_w, "power", system)),
        ("It stalls below", show(high.load(FAN).lowest_v, "voltage", system)),
        ("Current the meter shows", show(side.current_a[FAN], "current", system)),
        ("Wire, one way", f"{show(run_m, 'length', system)} of {copper.in_words(high.circuit(FAN).wire)}"),
        ("Lost in this wire", show(lost.value, "voltage", system)),
    )


def ask(design: Design) -> Draft:
    """The drop with a wire that is thinner by some numbers."""
    _, _, (_, lost) = copper.of_circuit(design, FAN)
    return _other(lost.value, design.circuit(FAN).wire, "the fan", THINNER, design.units)


def transfer(design: Design) -> Draft:
    """A thicker wire to the ceiling lights of another trailer."""
    name = "ceiling lights"
    _, _, (_, lost) = copper.of_circuit(design, name)
    return _other(lost.value, design.circuit(name).wire, "the ceiling lights", THICKER, design.units)


def _other(lost_v: float, wire: str, what: str, step: int, system: units.System) -> Draft:
    index = int(str(wire_size(wire).awg))
    words = (
        f"The wire to {what} is {wire} and loses {units.show(lost_v, 'voltage', system)}. Only {index + step} AWG "
        "is on the shelf. How many volts would that one lose, at the same current?"
    )
    return Draft(words, "voltage", *_gauge_steps(lost_v, index, index + step))


def _gauge_steps(lost_v: float, index: int, other: int) -> tuple[tuple[Worked], dict[str, float]]:
    after = worked(drop_of_gauge_v, drop_v=lost_v, from_index=index, to_index=other)
    slips = {
        "gauge counted the wrong way": float(drop_of_gauge_v(lost_v, index, 2 * index - other)),
        "width for area": lost_v * (after.value / lost_v) ** 0.5,
    }
    return (after,), slips


def another_gauge(dice: Dice, system: units.System) -> Draft:
    """Drop of the same run in another gauge."""
    index, step = dice.pick((18, 16, 14, 12, 10)), dice.pick((-6, -4, -2, 2, 4))
    lost_v = dice.between(0.15, 0.95, 0.05)
    words = (
        f"A run of {index} AWG loses {units.show(lost_v, 'voltage', system)}. You pull {index + step} AWG "
        "instead, along "
        "the same way, for the same current. How many volts does it lose? "
        "Three gauge numbers change the area by a factor of two."
    )
    return Draft(words, "voltage", *_gauge_steps(lost_v, index, index + step))


def hot_wire(dice: Dice, system: units.System) -> Draft:
    """Drop of a wire that is hot."""
    size, amps = copper.size(dice, system), dice.between(4.0, 14.0, 1.0)
    run_m = dice.quantity("length", system, (8.0, 40.0, 2.0), (2.5, 12.0, 0.5))
    cold = copper.ohm_per_m(size, COOL_C)
    steps = copper.drop(amps, copper.ohm_per_m(size, HOT_C), run_m)
    words = (
        f"A bundle of wires lies under a sunny roof; its copper is at {HOT_C:g} °C. "
        f"One wire of {copper.in_words(size)} resists {copper.per_length(cold.value, system)} at {COOL_C:g} °C, "
        "and 0.393 % more for each °C above. "
        f"It feeds {units.show(amps, 'current', system)} over {units.show(run_m, 'length', system)}. "
        "How many volts are lost on the way?"
    )
    slips = {
        "one way": float(loop_drop_v(amps, steps[0].value, run_m / 2.0)),
        "cold copper": float(loop_drop_v(amps, cold.value, run_m)),
    }
    return Draft(words, "voltage", steps, slips)


def _with(design: Design, gauge: str) -> Design:
    return design.replace(("circuit", FAN, "wire"), gauge)


def _tells(design: Design, gauge: str) -> Told:
    changed = _with(design, gauge)
    side, show, system = battery_side.solve(changed), units.show, design.units
    if FAN not in side.load_v:
        return Told(f"{gauge} cannot deliver it at all: the voltage collapses.", "stalls", True)
    volts, lowest = side.load_v[FAN], changed.load(FAN).lowest_v or 0.0
    fails = volts < lowest
    words = (
        f"Over {gauge} the fan gets {show(volts, 'voltage', system)} and draws "
        f"{show(side.current_a[FAN], 'current', system)}."
    )
    end = f" Below {show(lowest, 'voltage', system)} it stalls." if fails else ""
    return Told(words + end, "stalls" if fails else "runs", fails)


def _bars(design: Design, gauge: str) -> Bars:
    """The fan's voltage over every gauge."""
    system, lowest = design.units, design.load(FAN).lowest_v or 0.0
    volts = {one: battery_side.solve(_with(design, one)).load_v.get(FAN) for one in GAUGES}
    bars = tuple(
        Bar(one, v, "collapses" if v is None else units.show(v, "voltage", system)) for one, v in volts.items()
    )
    words = f"stalls below {units.show(lowest, 'voltage', system)}"
    return Bars("voltage at the fan [V]", bars, gauge, lowest, words, "at least")


LESSON = Lesson(
    key="L2",
    title="Why does the gauge matter?",
    notebook="L2_gauge.ipynb",
    trailer="fen-survey",
    other="kiln-cart",
    setup=setup,
    see=see,
    ask=ask,
    transfer=transfer,
    why=(
        "The gauge says how much copper the current has to go through. Three numbers up, and half of the copper is "
        "left. Ten numbers up, and a tenth is left.",
        "Half the copper resists twice as much, so it loses twice as much. A lamp on it grows dim. "
        "A motor draws even more current as its voltage falls, and so it loses more again.",
        "What is lost does not vanish. It warms the wire along its whole length, inside the wall.",
    ),
    watch="Pull thinner and thinner wire to the same fan. Watch its voltage, and the line below which it stalls.",
    rule="Three gauge numbers up is half the copper and twice the drop.",
    recalls=("volts", "amperes", "ohms", "watts", "run", "AWG", "drop"),
    kinds=(
        Kind("another gauge", another_gauge, 0.02, 4.0),
        Kind("a hot wire", hot_wire, 0.05, 30.0),
    ),
    turn=Turn("Wire on the shelf", tuple((gauge, gauge) for gauge in GAUGES), 2, _with, _tells, _bars),
)
