"""Ohm's law at one spot: what a load draws, what a resistance loses, and what a lamp makes of its voltage."""

from __future__ import annotations

from trailerlib.physics.formula import Number, formula

LIGHT_POWER = 3.4  # incandescent lamps near their rated voltage; handbooks give 3.2 to 3.6, from memory


@formula(
    r"\frac{@{power_w}}{@{volts} \, @{power_factor}}",
    symbols={"power_w": "P", "volts": "U", "power_factor": r"\lambda"},
    units={"power_w": "W", "volts": "V", "power_factor": "-", "return": "A"},
    result="I",
    title="Current of a load",
    source="definition of power and power factor",
)
def drawn_a(power_w: Number, volts: Number, power_factor: Number = 1.0) -> Number:
    """Current that a load draws.

    Parameters
    ----------
    power_w : [W] real power
    volts : [V] at the load
    power_factor : [-] above 0, at most 1; 1 for direct current and for what heats

    Returns
    -------
    [A] current, broadcast shape

    Source
    ------
    Definition of power and of power factor.
    """
    return power_w / (volts * power_factor)


@formula(
    r"\frac{@{power_w}}{@{volts}} + @{other_a}",
    symbols={"power_w": "P", "volts": "U", "other_a": "I_{o}"},
    units={"power_w": "W", "volts": "V", "other_a": "A", "return": "A"},
    result="I",
    title="Current of what is on together",
    source="Kirchhoff's current law; what heats and what turns taken as in step, a little on the safe side",
)
def together_a(power_w: Number, volts: Number, other_a: Number = 0.0) -> Number:
    """Current of heaters and of what is known by its amperes, all on together.

    Parameters
    ----------
    power_w : [W] of all that heats
    volts : [V] of the circuit
    other_a : [A] of everything else, by its name plates

    Returns
    -------
    [A] current, broadcast shape; taken as in step, so never too small

    Source
    ------
    Kirchhoff's current law.
    """
    return power_w / volts + other_a


@formula(
    r"@{current_a} \, @{ohm}",
    symbols={"current_a": "I", "ohm": "R"},
    units={"current_a": "A", "ohm": "Ω", "return": "V"},
    result="U",
    title="Voltage lost in a resistance",
    source="Ohm's law",
)
def lost_v(current_a: Number, ohm: Number) -> Number:
    """Voltage across a resistance.

    Parameters
    ----------
    current_a : [A] current
    ohm : [ohm] resistance

    Returns
    -------
    [V] broadcast shape

    Source
    ------
    Ohm's law.
    """
    return current_a * ohm


@formula(
    r"@{current_a}^{2} \, @{ohm}",
    symbols={"current_a": "I", "ohm": "R"},
    units={"current_a": "A", "ohm": "Ω", "return": "W"},
    result="P",
    title="Heat made in a resistance",
    source="Joule's law",
)
def heat_w(current_a: Number, ohm: Number) -> Number:
    """Heat that a resistance makes.

    Parameters
    ----------
    current_a : [A] current
    ohm : [ohm] resistance

    Returns
    -------
    [W] broadcast shape

    Source
    ------
    Joule's law.
    """
    return current_a**2 * ohm


@formula(
    r"\frac{@{measured_v} - @{expected_v}}{@{current_a}}",
    symbols={"measured_v": "U_{m}", "expected_v": "U_{e}", "current_a": "I"},
    units={"measured_v": "V", "expected_v": "V", "current_a": "A", "return": "Ω"},
    result="R",
    title="Resistance that should not be there",
    source="Ohm's law",
)
def extra_ohm(measured_v: Number, expected_v: Number, current_a: Number) -> Number:
    """Resistance beyond what was expected, from two drops under the same current.

    Parameters
    ----------
    measured_v : [V] drop that is measured
    expected_v : [V] drop of the same way in good order
    current_a : [A] current, not zero

    Returns
    -------
    [ohm] broadcast shape

    Source
    ------
    Ohm's law.
    """
    return (measured_v - expected_v) / current_a


@formula(
    r"\frac{@{power_w} \, @{duty} \, @{hours}}{@{volts}}",
    symbols={"power_w": "P", "duty": "d", "hours": "t", "volts": "U"},
    units={"power_w": "W", "duty": "-", "hours": "h", "volts": "V", "return": "Ah"},
    result="Q",
    title="Charge that a load takes from the battery",
    source="definition of charge",
)
def taken_ah(power_w: Number, duty: Number, hours: Number, volts: Number) -> Number:
    """Amp-hours that a load takes.

    Parameters
    ----------
    power_w : [W] while it runs
    duty : [-] share of the time it runs, 0..1
    hours : [h] switched on
    volts : [V] of the battery

    Returns
    -------
    [Ah] broadcast shape

    Source
    ------
    Charge is current times time; the current is the power over the voltage.
    """
    return power_w * duty * hours / volts


@formula(
    r"\left( @{share} \, @{rating_a} - @{drawn_a} \right) \, @{volts}",
    symbols={"rating_a": "I_{n}", "share": "s", "drawn_a": "I", "volts": "U"},
    units={"rating_a": "A", "share": "-", "drawn_a": "A", "volts": "V", "return": "W"},
    result="P",
    title="What may still be switched on for hours",
    source="share of a breaker's rating for three hours or more, NFPA 70 210.20(A)",
)
def room_w(rating_a: Number, share: Number, drawn_a: Number, volts: Number) -> Number:
    """Power of something that heats, which a breaker still carries for hours.

    Parameters
    ----------
    rating_a : [A] of the breaker
    share : [-] of the rating it may carry for three hours or more, 0.8
    drawn_a : [A] that flows already
    volts : [V] of the circuit

    Returns
    -------
    [W] broadcast shape; below zero when too much is on already

    Source
    ------
    NFPA 70 (2023) 210.20(A): the rating not below 125 % of what lasts three hours, so 80 % of the rating.
    """
    return (share * rating_a - drawn_a) * volts


@formula(
    r"\left( \frac{@{volts}}{@{rated_v}} \right)^{3.4}",
    symbols={"volts": "U", "rated_v": "U_{r}"},
    units={"volts": "V", "rated_v": "V", "return": "-"},
    result=r"\frac{\Phi}{\Phi_{r}}",
    title="Light of a filament lamp",
    source="lamp makers' exponent, from memory",
)
def light_share(volts: Number, rated_v: Number) -> Number:
    """Light of a filament lamp, as a share of what it gives at its rated voltage.

    Parameters
    ----------
    volts : [V] at the lamp, not below zero
    rated_v : [V] rated voltage

    Returns
    -------
    [-] broadcast shape

    Source
    ------
    Light grows with about the 3.4th power of the voltage near the rating; lamp makers' data, from memory.
    """
    return (volts / rated_v) ** LIGHT_POWER
