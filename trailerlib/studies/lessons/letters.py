"""The letters of a formula in plain words, each with its number, in the learner's own units where those differ."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from trailerlib import units
from trailerlib.physics.formula import Worked
from trailerlib.studies.lessons import copper

# by the title of the formula: letter, and what it stands for
LETTERS: Mapping[str, Mapping[str, str]] = {
    "Resistance of one metre of copper wire": {
        "r": "resistance of one wire, for each metre",
        "S": "area of the copper",
        r"\theta": "temperature of the copper",
        "k_{lay}": "a little more length, because strands are twisted",
    },
    "Voltage drop there and back": {
        r"\Delta V": "voltage lost",
        "I": "current",
        "r": "resistance of one wire, for each metre",
        "L": "length, one way",
    },
    "Resistance of a run, out and back": {
        "R": "resistance of both wires",
        "r": "resistance of one wire, for each metre",
        "L": "length, one way",
        r"\theta_{1}": "temperature at which r is given",
        r"\theta_{2}": "temperature of the wire",
    },
    "Copper area of a round wire": {"S": "area of the copper", "d": "width of the wire"},
    "Drop after a change of gauge": {
        r"\Delta V_{2}": "voltage lost in the new wire",
        r"\Delta V_{1}": "voltage lost in the old wire",
        "n_{1}": "gauge number of the old wire",
        "n_{2}": "gauge number of the new wire",
    },
    "Prospective short-circuit current": {
        "I_{sc}": "current of the short",
        "E": "voltage of the battery at rest",
        "R_{i}": "resistance inside the battery",
        "R_{p}": "resistance of the whole way, out and back",
    },
    "Time a wire survives a short circuit": {
        "t": "time the insulation stands it",
        "S": "area of the copper",
        "I": "current of the short",
        "k": "number that stands for this insulation",
    },
    "Least rating of a protective device": {
        "I_{n}": "least rating",
        "I_{c}": "current that runs for three hours or more",
        "I_{o}": "all other current",
    },
    "Capacity as it is today": {
        "C_{eff}": "amp-hours that can be had",
        "C": "amp-hours on the label",
        r"f_{\theta}": "share that the cold leaves",
        "f_{age}": "share that age leaves",
    },
    "Discharge time by Peukert": {
        "t": "time until it is empty",
        "C": "amp-hours on the label",
        "H": "hours on the label",
        "I": "current",
        "k": "exponent; one would be a battery that does not suffer",
    },
    "Charge that a load takes from the battery": {
        "Q": "amp-hours taken",
        "P": "power while it runs",
        "d": "share of the time that it runs",
        "t": "time",
        "U": "voltage",
    },
    "Voltage dip while a motor starts": {
        r"\Delta V": "voltage that the cord takes",
        "V": "voltage with nothing switched on",
        "R_{s}": "resistance before the cord; here none",
        "R_{p}": "resistance of the cord, out and back",
        "I_{LR}": "current of the motor standing still, at full voltage",
    },
    "Current of a load": {"I": "current", "P": "power", "U": "voltage", r"\lambda": "power factor"},
    "Current of what is on together": {
        "I": "current of all together",
        "P": "power of what heats",
        "U": "voltage",
        "I_{o}": "current of everything else",
    },
    "What may still be switched on for hours": {
        "P": "power that may be added",
        "I_{n}": "rating of the breaker",
        "s": "share of it that may flow for hours",
        "I": "current that flows already",
        "U": "voltage",
    },
    "Carbon dioxide after a long time": {
        "C_{s}": "carbon dioxide inside, in the end",
        "N": "people",
        "G": "carbon dioxide that each gives off",
        "q": "air that comes in",
        "C_{o}": "carbon dioxide of the air outside",
    },
    "Air from outside that keeps carbon dioxide down": {
        "q": "air that has to come in",
        "N": "people",
        "G": "carbon dioxide that each gives off",
        "C": "carbon dioxide that is allowed inside",
        "C_{o}": "carbon dioxide of the air outside",
    },
    "Heater that holds a temperature": {
        r"\Phi_{h}": "heat of the heater",
        "UA": "heat lost for each degree",
        r"\theta_{i}": "temperature inside",
        r"\theta_{o}": "temperature outside",
        r"\Phi_{g}": "heat of people and loads",
    },
    "Resistance that should not be there": {
        "R": "resistance that is too much",
        "U_{m}": "voltage lost, as measured",
        "U_{e}": "voltage lost, as expected",
        "I": "current",
    },
    "Heat made in a resistance": {"P": "heat", "I": "current", "R": "resistance"},
    "Voltage lost in a resistance": {"U": "voltage lost", "I": "current", "R": "resistance"},
    "On the coupler": {
        "T": "weight on the coupler",
        "W": "weight of the thing",
        "x_{c}": "from the coupler to the thing",
        "x_{a}": "from the coupler to the axle",
    },
    "More on the coupler when a thing is moved forward": {
        r"\Delta T": "weight more on the coupler",
        "m": "weight of the thing",
        "d": "how far it is moved",
        "a": "from the coupler to the axle",
    },
}
RAISED = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")
KINDS: Mapping[str, str] = {
    "m": "length", "kg": "mass", "m³/s": "air flow", "°C": "temperature", "Ω": "resistance",
}  # fmt: skip


@dataclass(frozen=True)
class Letter:
    """A letter of a formula as LaTeX, what it stands for, and its number in words."""

    latex: str
    words: str
    value: str


def letters(step: Worked, system: units.System) -> tuple[Letter, ...]:
    """What each letter of a step stands for, its result first.

    Parameters
    ----------
    step : of the working
    system : ``us`` or ``metric``
    """
    known = LETTERS[step.title]
    rows = ((step.result_symbol, step.value, step.unit), *step.inputs)
    return tuple(Letter(latex, known[latex], _value(number, unit, system)) for latex, number, unit in rows)


def _value(number: float, unit: str, system: units.System) -> str:
    """The number as the formula takes it, and after an equals sign as the learner reads it, where that differs."""
    taken = f"{_taken(number)} {'' if unit == '-' else unit}".rstrip()
    read = _read(number, unit, system)
    return taken if read in ("", units.figures(number) + f" {unit}", taken) else f"{taken} = {read}"


def _taken(number: float) -> str:
    """As the formula writes it: four figures, a small one with its power of ten."""
    if number == int(number):
        return f"{number:.0f}".replace("-", "−")
    if abs(number) >= 1e-3:
        return units.figures(number, 4)
    mantissa, power = f"{number:.3e}".split("e")
    return f"{mantissa} · 10{str(int(power)).translate(RAISED)}"


def _read(number: float, unit: str, system: units.System) -> str:
    if number == 0.0:
        return ""
    if unit == "Ω/m":
        return copper.per_length(number, system)
    if unit == "m²":
        return f"{units.figures(number * 1e6)} mm²"
    kind = "small length" if unit == "m" and number < 0.01 else KINDS.get(unit, "")
    return units.show(number, kind, "metric" if kind == "small length" else system) if kind else ""
