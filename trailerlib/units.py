"""Units of quantities: what each kind is inside, in which unit it is shown, and SI as a person reads it.

Inside the library every number is in one unit per kind (metres, watts, °C, amp-hours,
hours, litres). Here is the only place where feet, inches, °F and gallons exist.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

System = Literal["us", "metric"]


class UnitError(ValueError):
    """A text that is not the quantity it should be, with an example of one that is."""


@dataclass(frozen=True)
class Kind:
    """One kind of quantity: the unit used inside, the unit shown in each system, an example.

    ``words`` maps what a person may write to the unit name the unit library knows.
    """

    name: str
    inside: str
    us: str
    metric: str
    example: str
    words: dict[str, str]

    def shown(self, system: System) -> str:
        """The unit word used on screen and paper in the given system."""
        return self.us if system == "us" else self.metric


_LENGTH = {
    "ft": "foot",
    "foot": "foot",
    "feet": "foot",
    "'": "foot",
    "in": "inch",
    "inch": "inch",
    "inches": "inch",
    '"': "inch",
    "m": "meter",
    "cm": "centimeter",
    "mm": "millimeter",
    "yd": "yard",
}
_TEMPERATURE = {"°F": "degF", "F": "degF", "°C": "degC", "C": "degC"}
_STEP = {"°F": "delta_degF", "F": "delta_degF", "°C": "kelvin", "C": "kelvin", "K": "kelvin"}

KINDS = {
    kind.name: kind
    for kind in (
        Kind("length", "meter", "ft", "m", '"14 ft", "5 ft 6 in" or "4.2 m"', _LENGTH),
        Kind("small length", "meter", "in", "mm", '"14 in", "7/8 in" or "22 mm"', _LENGTH),
        Kind("elevation", "meter", "ft", "m", '"5200 ft" or "1600 m"', _LENGTH),
        Kind("mass", "kilogram", "lb", "kg", '"68 lb" or "31 kg"', {"lb": "pound", "lbs": "pound", "kg": "kilogram"}),
        Kind("power", "watt", "W", "W", '"60 W" or "1.5 kW"', {"W": "watt", "kW": "kilowatt", "watts": "watt"}),
        Kind(
            "current",
            "ampere",
            "A",
            "A",
            '"15 A"',
            {"A": "ampere", "mA": "milliampere", "kA": "kiloampere", "amps": "ampere"},
        ),
        Kind("voltage", "volt", "V", "V", '"12 V" or "120 V"', {"V": "volt", "mV": "millivolt", "volts": "volt"}),
        Kind(
            "resistance",
            "ohm",
            "mΩ",
            "mΩ",
            '"4 mohm"',
            {
                "ohm": "ohm",
                "mohm": "milliohm",
                "kohm": "kiloohm",
                "Mohm": "megaohm",
                "Ω": "ohm",
                "mΩ": "milliohm",
                "kΩ": "kiloohm",
                "MΩ": "megaohm",
            },
        ),
        Kind("charge", "ampere_hour", "Ah", "Ah", '"100 Ah"', {"Ah": "ampere_hour"}),
        Kind("energy", "watt_hour", "Wh", "Wh", '"1200 Wh"', {"Wh": "watt_hour", "kWh": "kilowatt_hour"}),
        Kind(
            "duration",
            "hour",
            "h",
            "h",
            '"20 h" or "30 min"',
            {"h": "hour", "hours": "hour", "min": "minute", "s": "second"},
        ),
        Kind("volume", "liter", "gal", "L", '"1.2 gal" or "4.5 L"', {"gal": "gallon", "L": "liter", "l": "liter"}),
        Kind(
            "fuel rate",
            "liter/hour",
            "gal/h",
            "L/h",
            '"0.3 gal/h"',
            {"gal/h": "gallon/hour", "L/h": "liter/hour", "l/h": "liter/hour"},
        ),
        Kind("temperature", "degC", "°F", "°C", '"95 °F" or "35 °C"', _TEMPERATURE),
        Kind("temperature step", "kelvin", "°F", "°C", '"2 °F" or "1 °C"', _STEP),
        Kind(
            "cooling power",
            "watt",
            "Btu/h",
            "W",
            '"13500 Btu/h" or "3.9 kW"',
            {"Btu/h": "Btu/hour", "BTU/h": "Btu/hour", "W": "watt", "kW": "kilowatt"},
        ),
        Kind(
            "air flow",
            "meter**3/second",
            "cfm",
            "L/s",
            '"400 cfm" or "190 L/s"',
            {"cfm": "foot**3/minute", "L/s": "liter/second", "m³/h": "meter**3/hour"},
        ),
        Kind("area", "meter**2", "ft²", "m²", '"12 ft²" or "1.1 m²"', {"ft²": "foot**2", "m²": "meter**2"}),
        Kind(
            "transmittance",
            "watt/meter**2/kelvin",
            "Btu/h·ft²·°F",
            "W/m²·K",
            '"0.2 Btu/h·ft²·°F" or "1.1 W/m²·K"',
            {"Btu/h·ft²·°F": "Btu/hour/foot**2/delta_degF", "W/m²·K": "watt/meter**2/kelvin"},
        ),
        Kind(
            "conductance",
            "watt/kelvin",
            "Btu/h·°F",
            "W/K",
            '"150 Btu/h·°F" or "80 W/K"',
            {"Btu/h·°F": "Btu/hour/delta_degF", "W/K": "watt/kelvin"},
        ),
        Kind(
            "stress",
            "pascal",
            "psi",
            "MPa",
            '"27500 psi" or "190 MPa"',
            {"psi": "psi", "ksi": "ksi", "MPa": "megapascal"},
        ),
        Kind(
            "pressure",
            "pascal",
            "psi",
            "kPa",
            '"50 psi" or "345 kPa"',
            {"psi": "psi", "kPa": "kilopascal", "bar": "bar"},
        ),
        Kind("concentration", "ppm", "ppm", "ppm", '"1000 ppm"', {"ppm": "ppm"}),
        Kind("rate", "1/hour", "/h", "/h", '"0.5 /h"', {"/h": "1/hour"}),
        Kind("fraction", "percent", "%", "%", '"80 %"', {"%": "percent"}),
    )
}


@lru_cache(maxsize=1)
def _registry():  # type: ignore[no-untyped-def]
    import pint

    return pint.UnitRegistry()


@lru_cache(maxsize=256)
def line(unit: str, inside: str) -> tuple[float, float]:
    """Slope and offset from one unit to another, asked of the unit library once."""
    quantity = _registry().Quantity
    zero = float(quantity(0.0, unit).to(inside).magnitude)
    return float(quantity(1.0, unit).to(inside).magnitude) - zero, zero


def outside(value: float, kind: str, system: System) -> float:
    """An inside number in the unit that is shown.

    Parameters
    ----------
    value : [inside unit of the kind] number
    kind : one of the names in ``KINDS``
    system : ``us`` or ``metric``
    """
    rule = KINDS[kind]
    word = rule.shown(system)
    scale = 100.0 if kind == "fraction" else 1.0
    slope, offset = line(rule.words[word], rule.inside)
    return (value * scale - offset) / slope


def unit(kind: str, system: System) -> str:
    """The unit word shown for a kind."""
    return KINDS[kind].shown(system)


def whole(value: float) -> str:
    """A number without decimals, and never a minus before nought.

    Parameters
    ----------
    value : [-] number
    """
    return f"{round(value):d}".replace("-", "−")


def figures(value: float, digits: int = 3) -> str:
    """A number at so many significant figures, without exponent: 0.0123, 14.0, 1230.

    Parameters
    ----------
    value : [-] number
    digits : [-] significant figures
    """
    if not math.isfinite(value):
        return "–"
    if value == 0:
        return "0"
    rounded = float(f"{value:.{digits}g}")
    decimals = max(0, digits - 1 - math.floor(math.log10(abs(rounded))))
    return f"{rounded:.{decimals}f}".replace("-", "−")


def show(value: float | None, kind: str, system: System = "metric", digits: int = 3) -> str:
    """A quantity as a person reads it: three significant figures and the unit.

    Parameters
    ----------
    value : [inside unit of the kind] number, or None when it is not known
    kind : one of the names in ``KINDS``
    system : ``us`` or ``metric``
    digits : [-] significant figures
    """
    if value is None or not math.isfinite(value):
        return "–"
    if kind == "temperature":
        return f"{whole(outside(value, kind, system))} {unit(kind, system)}"
    return f"{figures(outside(value, kind, system), digits)} {unit(kind, system)}"


def written(value: float, kind: str, system: System) -> str:
    """A quantity as it stands in a design file, in the shown unit, such as ``14.5 ft``.

    Parameters
    ----------
    value : [shown unit of the kind] number
    kind : one of the names in ``KINDS``
    system : ``us`` or ``metric``
    """
    number = f"{value:.6f}".rstrip("0").rstrip(".")
    return f"{'0' if number == '-0' else number} {unit(kind, system).replace('Ω', 'ohm')}"


def shorten(text: str, limit: int = 60) -> str:
    """The text on one line, cut so that a message stays one sentence.

    Parameters
    ----------
    text : any text
    limit : [characters] the longest that is kept
    """
    line = "".join(c if c.isprintable() else "?" for c in " ".join(text.split()))
    return line if len(line) <= limit else line[: limit - 1] + "…"
