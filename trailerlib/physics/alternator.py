"""What stands behind a supply's terminals when a motor starts: a voltage, an impedance, a limit, a regulator."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from trailerlib.physics.formula import Number, formula
from trailerlib.physics.impedance import Phasor


@dataclass(frozen=True)
class Source:
    """A supply as a starting motor meets it; every field a number or an array that broadcasts with the others.

    ``volts`` [V] is what it holds: a set with a regulator (``recovery_s`` [s], finite) at its terminals, any other
    inside, behind ``ohm`` [ohm]. The regulator may raise the inner voltage to ``ceiling`` times ``volts`` [-].
    Above ``limit_a`` [A] the voltage gives way; after ``hold_s`` [s] of that the set switches off.
    """

    volts: Number
    ohm: Phasor
    limit_a: Number = math.inf
    hold_s: Number = math.inf
    recovery_s: Number = math.inf
    ceiling: Number = 1.0


@formula(
    r"@{per_unit} \, \frac{@{volts}^{2}}{@{rating_va}}",
    symbols={"per_unit": "x_{d}", "volts": "V", "rating_va": "S"},
    units={"per_unit": "-", "volts": "V", "rating_va": "VA", "return": "Ω"},
    result="X_{d}",
    title="Reactance inside a generator while a motor starts",
    source="definition of the per-unit value on the set's own rating",
)
def transient_ohm(per_unit: Number, volts: Number, rating_va: Number) -> Number:
    """Impedance inside a set from its per-unit value, transient reactance or resistance alike.

    Parameters
    ----------
    per_unit : [-] on the set's own rating
    volts : [V] rated voltage
    rating_va : [VA] rated apparent power

    Returns
    -------
    [ohm] impedance, broadcast shape

    Source
    ------
    Definition of the per-unit value.
    """
    return per_unit * volts**2 / rating_va


def wound_set(
    volts: Number,
    rating_va: Number,
    resistance_pu: Number,
    reactance_pu: Number,
    recovery_s: Number,
    ceiling: Number,
) -> Source:
    """A set with a wound alternator: it dips at once behind its transient reactance, then its regulator recovers.

    Parameters
    ----------
    volts : [V] rated voltage, held at the terminals
    rating_va : [VA] rated apparent power
    resistance_pu : [-] resistance on that rating
    reactance_pu : [-] transient reactance on that rating
    recovery_s : [s] in which the regulator closes most of a gap in the voltage
    ceiling : [-] most inner voltage over rated voltage

    Source
    ------
    Voltage behind transient reactance, with a first-order regulator: textbooks of electrical machines.
    """
    reactance = np.asarray(transient_ohm(reactance_pu, volts, rating_va))
    ohm = np.asarray(transient_ohm(resistance_pu, volts, rating_va) + 1j * reactance, dtype=complex)
    return Source(volts, ohm, recovery_s=recovery_s, ceiling=ceiling)


def inverter_set(volts: Number, rating_va: Number, surge_va: Number, resistance_pu: Number, hold_s: Number) -> Source:
    """A set with an inverter: it holds its voltage up to its surge rating, gives way above it, then switches off.

    Parameters
    ----------
    volts : [V] rated voltage
    rating_va : [VA] rated apparent power
    surge_va : [VA] most it gives for a moment
    resistance_pu : [-] resistance on its rating
    hold_s : [s] how long it bears more than it can give

    Source
    ------
    Common practice, no source: makers give a surge rating and seconds.
    """
    ohm = np.asarray(transient_ohm(resistance_pu, volts, rating_va), dtype=complex)
    return Source(volts, ohm, limit_a=surge_va / volts, hold_s=hold_s)


def pedestal(volts: Number, ohm: Number) -> Source:
    """A pedestal: its voltage at no load behind the impedance a loop tester finds.

    Parameters
    ----------
    volts : [V] at no load, one leg to neutral
    ohm : [ohm] loop impedance, taken as resistance; 0 holds the voltage whatever is drawn

    Source
    ------
    Ohm's law; that it is all resistance: common practice, no source.
    """
    return Source(volts, np.asarray(ohm, dtype=complex))
