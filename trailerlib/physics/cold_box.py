"""A fridge in warm and in cool air: how much of the time its compressor runs."""

from __future__ import annotations

import numpy as np

from trailerlib.physics.formula import Number, formula


@formula(
    r"\min \left( 1 , @{rated_duty} \, \frac{\max \left( 0 , @{air_c} - @{inside_c} \right)}{@{rated_c} - @{inside_c}} "
    r"\, \frac{\max \left( 0 , @{air_c} - @{inside_c} \right) + 2 \, @{approach_k}}"
    r"{@{rated_c} - @{inside_c} + 2 \, @{approach_k}} \right)",
    symbols={
        "rated_duty": "d_{r}", "rated_c": r"\theta_{r}", "inside_c": r"\theta_{i}", "air_c": r"\theta",
        "approach_k": r"\Delta",
    },
    units={"rated_duty": "-", "rated_c": "°C", "inside_c": "°C", "air_c": "°C", "approach_k": "K", "return": "-"},
    result="d",
    title="Share of the time a fridge runs",
    source="heat balance; a fixed share of Carnot’s efficiency (from memory)",
)  # fmt: skip
def fridge_duty(
    rated_duty: Number, rated_c: Number, inside_c: Number, air_c: Number, approach_k: Number = 10.0
) -> Number:
    """Share of the time a compressor fridge runs in air of another temperature than it is rated in.

    What leaks in grows with the difference to the air; the cold that one watt of compressor makes falls with the lift
    from evaporator to condenser, each ``approach_k`` beyond what it cools or is cooled by.

    Parameters
    ----------
    rated_duty : [-] share of the time in air of ``rated_c``
    rated_c : [degC] air in which it is rated, above ``inside_c``
    inside_c : [degC] kept inside
    air_c : [degC] air around it
    approach_k : [K] evaporator under the inside, condenser over the air; common practice, no source

    Returns
    -------
    [-] broadcast shape; 0 in air no warmer than its inside, 1 where it never stops

    Source
    ------
    Heat balance; efficiency as a fixed share of Carnot's T/(T_hot - T_cold), from memory. Opening the door and warm
    food are not counted beyond what the rated duty holds.
    """
    warmer, rated = np.maximum(0.0, np.subtract(air_c, inside_c)), np.subtract(rated_c, inside_c)
    lift = (warmer + 2.0 * np.asarray(approach_k)) / (rated + 2.0 * np.asarray(approach_k))
    return np.minimum(1.0, rated_duty * warmer / rated * lift)[()]
