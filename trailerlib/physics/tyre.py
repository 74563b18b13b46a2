"""What a tyre carries at the air that is in it: the load on the side wall holds at the pressure beside it only."""

from __future__ import annotations

from trailerlib.physics.formula import Number, formula

GROWS = 0.65  # how the load goes with the air; with charts for trailer tyres 0.54 to 0.64, this errs on the safe side
_CHART = "load tables of trailer tyres go with the pressure to the power 0.54 to 0.64; 0.65 errs on the safe side"


@formula(
    r"@{rated_kg} \, \left( \frac{@{pressure_pa}}{@{full_pa}} \right)^{0.65}",
    symbols={"rated_kg": "m_{t}", "pressure_pa": "p", "full_pa": "p_{t}"},
    units={"rated_kg": "kg", "pressure_pa": "Pa", "full_pa": "Pa", "return": "kg"},
    result="m",
    title="What a tyre carries at its air",
    source=_CHART,
)
def carries_kg(rated_kg: Number, pressure_pa: Number, full_pa: Number) -> Number:
    """What a tyre carries with less air in it than on its side wall.

    Parameters
    ----------
    rated_kg : [kg] on its side wall
    pressure_pa : [Pa] cold, up to ``full_pa``
    full_pa : [Pa] on its side wall, beside the load

    Returns
    -------
    [kg] broadcast shape

    Source
    ------
    A chart of load against pressure for trailer tyres, seen in a copy of the source; checked in ``tests/outside``.
    """
    return rated_kg * (pressure_pa / full_pa) ** GROWS


@formula(
    r"@{full_pa} \, \left( \frac{@{load_kg}}{@{rated_kg}} \right)^{\frac{1}{0.65}}",
    symbols={"load_kg": "m", "rated_kg": "m_{t}", "full_pa": "p_{t}"},
    units={"load_kg": "kg", "rated_kg": "kg", "full_pa": "Pa", "return": "Pa"},
    result="p",
    title="Air that a wheel needs",
    source=_CHART,
)
def needs_pa(load_kg: Number, rated_kg: Number, full_pa: Number) -> Number:
    """The air a tyre needs for what its wheel carries.

    Parameters
    ----------
    load_kg : [kg] on the wheel
    rated_kg : [kg] on its side wall
    full_pa : [Pa] on its side wall, beside the load

    Returns
    -------
    [Pa] cold, above ``full_pa`` where the tyre is too small; broadcast shape

    Source
    ------
    As in ``carries_kg``, turned round.
    """
    return full_pa * (load_kg / rated_kg) ** (1.0 / GROWS)
