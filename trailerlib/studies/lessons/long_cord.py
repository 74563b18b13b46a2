"""Lesson 5: watts, volt-amperes, and starting a compressor at the end of a long cord."""

from __future__ import annotations

from trailerlib import units
from trailerlib.design.design import Design
from trailerlib.design.model import Supply
from trailerlib.physics.formula import Worked, worked
from trailerlib.physics.impedance import branch_resistance_ohm
from trailerlib.physics.ohm import drawn_a
from trailerlib.physics.starting import start_dip_v
from trailerlib.studies.generator import StartCase
from trailerlib.studies.generator.start_case import start_case
from trailerlib.studies.legs import leg_volts
from trailerlib.studies.lessons import copper
from trailerlib.studies.lessons.lesson import Lesson, Seen, Told, Turn
from trailerlib.studies.lessons.making import Dice, Draft, Kind
from trailerlib.studies.lessons.one_lamp import COOL_C

COOLER, CORD = "roof cooler", "household"
THIN, LONG_FT = "14 AWG", 100
CORDS_FT = (10, 15, 25, 35, 50, 75, 100, 150)


def setup(design: Design) -> Design:
    """The cooler alone on a thin cord from a house."""
    others = [load for load in design.loads if load.typical.system == "mains" and load.name != COOLER]
    return design.replace_all(
        {
            ("supply", CORD, "cord"): THIN,
            ("supply", CORD, "cord_run"): f"{LONG_FT} ft",
            **{("load", load.name, "on"): False for load in others},
        }
    )


def see(design: Design) -> Seen:
    """What stands on the plate of the cooler and on the tag of the cord."""
    changed, show, system = setup(design), units.show, design.units
    supply, cooler = changed.supply(CORD), changed.load(COOLER)
    return (
        ("At the house, nothing plugged in", show(leg_volts(supply), "voltage", system)),
        ("Cooler's plate, running", show(cooler.rated_current, "current", system)),
        ("Cooler's plate, locked rotor", show(cooler.locked_rotor, "current", system)),
        ("Cord, one way", f"{show(supply.cord_run, 'length', system)} of {supply.cord}"),
        ("One wire of this size resists", copper.per_length(copper.ohm_per_m(str(supply.cord), COOL_C).value, system)),
    )


def ask(design: Design) -> Draft:
    """The voltage lost on the cord in the moment of the start."""
    return _of_supply(design, design.supply(CORD), COOLER)


def transfer(design: Design) -> Draft:
    """The same on the school's corridor outlet of another trailer."""
    return _of_supply(design, design.supply("school wall"), "front cooler")


def _of_supply(design: Design, supply: Supply, cooler: str) -> Draft:
    volts = leg_volts(supply) if supply.voltage is None else supply.voltage
    locked = design.load(cooler).locked_rotor
    assert locked is not None and supply.cord is not None and supply.cord_run is not None
    return _start(volts, locked, supply.cord, supply.cord_run, f"the {cooler}", design.units)


def _start(volts: float, locked_a: float, wire: str, run_m: float, what: str, system: units.System) -> Draft:
    per_m = copper.ohm_per_m(wire, COOL_C)
    loop = worked(branch_resistance_ohm, ohm_per_m=per_m.value, run_m=run_m, from_c=COOL_C, to_c=COOL_C)
    dip = _dip(volts, loop.value, locked_a)
    words = (
        f"While {what} stands still it draws {units.show(locked_a, 'current')} at {units.show(volts, 'voltage')}, "
        f"as a plain resistance would. It hangs on {units.show(run_m, 'length', system)} of {copper.in_words(wire)}, "
        f"{copper.per_length(per_m.value, system)} for one wire; nothing else resists. How many volts does the "
        "cord take in the moment of the start?"
    )
    slips = {
        "one way": _dip(volts, loop.value / 2.0, locked_a).value,
        "full current while it sags": locked_a * loop.value,
    }
    return Draft(words, "voltage", (per_m, loop, dip), slips)


def _dip(volts: float, loop_ohm: float, locked_a: float) -> Worked:
    return worked(start_dip_v, source_v=volts, source_ohm=0.0, path_ohm=loop_ohm, start_a=locked_a)


def a_start(dice: Dice, system: units.System) -> Draft:
    """A motor that stands still at the end of a cord."""
    volts = {"us": dice.pick((114.0, 118.0, 120.0)), "metric": dice.pick((224.0, 230.0, 236.0))}[system]
    locked = dice.between(40.0, 70.0, 2.0) if system == "us" else dice.between(20.0, 40.0, 1.0)
    wire = dice.pick(("16 AWG", "14 AWG", "12 AWG") if system == "us" else ("0.75 mm2", "1 mm2", "1.5 mm2", "2.5 mm2"))
    run_m = dice.quantity("length", system, (50.0, 200.0, 25.0), (20.0, 60.0, 5.0))
    return _start(volts, locked, wire, run_m, dice.pick(("a compressor", "a pump", "a saw")), system)


def a_draw(dice: Dice, system: units.System) -> Draft:
    """Current of a load with a poor power factor."""
    volts = 120.0 if system == "us" else 230.0
    watts, factor = dice.between(200.0, 1800.0, 50.0), dice.between(0.55, 0.9, 0.05)
    what = dice.pick(("battery charger", "motor", "lamp driver", "welder"))
    words = (
        f"A {what} takes {units.show(watts, 'power')} at {units.show(volts, 'voltage')} with a power factor of "
        f"{factor:g}. How many amperes flow in its cord?"
    )
    step = worked(drawn_a, power_w=watts, volts=volts, power_factor=factor)
    slips = {"watts for volt-amperes": watts / volts, "factor the wrong way": watts * factor / volts}
    return Draft(words, "current", (step,), slips)


def _longer(design: Design, feet: int) -> Design:
    return design.replace(("supply", CORD, "cord_run"), f"{feet} ft")


def case(design: Design, feet: int) -> StartCase:
    """The start on a cord of a length.

    Parameters
    ----------
    design : the design of the lesson
    feet : [ft] of cord, one way
    """
    changed = _longer(design, feet)
    return start_case(changed, changed.supply(CORD), COOLER)


def _tells(design: Design, feet: int) -> Told:
    found, show = case(design, feet), units.show
    dip = f"{feet} ft of cord leave it {show(found.dip_v, 'voltage', design.units)} in the first moment."
    if found.stalls:
        return Told(f"{dip} It stands, hums and heats until its protector opens.", "stalls", True)
    return Told(f"{dip} It is up to speed after {units.figures(found.reached_s or 0.0)} s.", "starts", False)


LESSON = Lesson(
    key="L5",
    title="Why won't the compressor start?",
    notebook="L5_long_cord.ipynb",
    trailer="fen-survey",
    other="kiln-cart",
    setup=setup,
    see=see,
    ask=ask,
    transfer=transfer,
    why=(
        "A motor that stands still is almost a short. For a moment it draws several times its running current. "
        "The cord takes its share of the voltage from that, there and back.",
        "So the motor and the cord share the voltage, like two resistances in a row. The longer the cord, the less is "
        "left to turn the motor. Below a certain voltage it only hums, and gets hot.",
        "What runs asks for watts. The wires feel **volt-amperes** (volts times amperes, whatever becomes of them). "
        "The **power factor** (watts divided by volt-amperes) of a motor or a charger is less than one. "
        "So its current is larger than its watts suggest.",
    ),
    watch="Give the cooler a longer and longer cord. Watch the voltage, and whether it gets up to speed.",
    rule="Short thick cord to anything that starts; when it hums, switch off.",
    recalls=("volts", "amperes", "ohms", "watts", "AWG", "short"),
    kinds=(
        Kind("a start on a cord", a_start, 2.0, 110.0),
        Kind("current with a power factor", a_draw, 1.0, 40.0),
    ),
    turn=Turn("Cord, one way", tuple((f"{feet} ft", feet) for feet in CORDS_FT), 1, _longer, _tells, case),
)
