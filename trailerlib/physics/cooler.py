"""A cooler away from its rating: less cold and more power when it is hot outside, and what stopping often costs.

A rating is taken at 35 degC outside (95 degF) with air of 26.7 degC and a wet bulb of 19.4 degC inside (80/67 degF).
"""

from __future__ import annotations

import numpy as np

from trailerlib.physics.formula import Number, formula

WET_BULB_RANGE_C = (12.78, 23.89)
OUTSIDE_RANGE_C = (18.0, 46.11)
SOURCE = "EnergyPlus example curves of a window unit, as repeated in several public simulation libraries"


@formula(
    r"0.942587793 + 0.009543347 \, @{wet_bulb_c} + 0.00068377 \, @{wet_bulb_c}^{2} - 0.011042676 \, @{outside_c} "
    r"+ 0.000005249 \, @{outside_c}^{2} - 0.00000972 \, @{wet_bulb_c} \, @{outside_c}",
    symbols={"wet_bulb_c": r"\theta_{w}", "outside_c": r"\theta_{o}"},
    units={"wet_bulb_c": "°C", "outside_c": "°C", "return": "-"},
    result="f_{Q}",
    title="Cold against the rating",
    source=SOURCE,
)
def capacity_curve(wet_bulb_c: Number, outside_c: Number) -> Number:
    """What a small cooler makes of its rated cold.

    Parameters
    ----------
    wet_bulb_c : [degC] of the air that enters it, 12.78 to 23.89
    outside_c : [degC] air outside, 18 to 46.11

    Returns
    -------
    [-] share of the rated cold, broadcast shape

    Source
    ------
    Example curves of a window unit that come with a public building simulation; 1.000 at the rating.
    """
    x, y = wet_bulb_c, outside_c
    return 0.942587793 + 0.009543347 * x + 0.00068377 * x**2 - 0.011042676 * y + 0.000005249 * y**2 - 0.00000972 * x * y


@formula(
    r"0.342414409 + 0.034885008 \, @{wet_bulb_c} - 0.0006237 \, @{wet_bulb_c}^{2} + 0.004977216 \, @{outside_c} "
    r"+ 0.000437951 \, @{outside_c}^{2} - 0.000728028 \, @{wet_bulb_c} \, @{outside_c}",
    symbols={"wet_bulb_c": r"\theta_{w}", "outside_c": r"\theta_{o}"},
    units={"wet_bulb_c": "°C", "outside_c": "°C", "return": "-"},
    result="f_{e}",
    title="Power for the same cold, against the rating",
    source=SOURCE,
)
def input_curve(wet_bulb_c: Number, outside_c: Number) -> Number:
    """How much more power a small cooler needs for the same cold than at its rating.

    Parameters
    ----------
    wet_bulb_c : [degC] of the air that enters it, 12.78 to 23.89
    outside_c : [degC] air outside, 18 to 46.11

    Returns
    -------
    [-] against the rating, broadcast shape

    Source
    ------
    As ``capacity_curve``.
    """
    x, y = wet_bulb_c, outside_c
    return 0.342414409 + 0.034885008 * x - 0.0006237 * x**2 + 0.004977216 * y + 0.000437951 * y**2 - 0.000728028 * x * y


def cooling_w(rated_w: Number, wet_bulb_c: Number, outside_c: Number) -> Number:
    """Cold a cooler makes, water it takes out included.

    Parameters
    ----------
    rated_w : [W] of cold at the rating
    wet_bulb_c : [degC] of the air that enters it
    outside_c : [degC] air outside

    Returns
    -------
    [W] broadcast shape; outside of the range of the curve its edge stands

    Source
    ------
    ``capacity_curve``.
    """
    return rated_w * capacity_curve(*_within(wet_bulb_c, outside_c))


def drawn_w(rated_w: Number, wet_bulb_c: Number, outside_c: Number) -> Number:
    """Electric power of a cooler while it runs.

    Parameters
    ----------
    rated_w : [W] electric power at the rating
    wet_bulb_c : [degC] of the air that enters it
    outside_c : [degC] air outside

    Returns
    -------
    [W] broadcast shape; outside of the range of the curves their edge stands

    Source
    ------
    ``capacity_curve`` times ``input_curve``.
    """
    at = _within(wet_bulb_c, outside_c)
    return rated_w * capacity_curve(*at) * input_curve(*at)


def _within(wet_bulb_c: Number, outside_c: Number) -> tuple[Number, Number]:
    return np.clip(wet_bulb_c, *WET_BULB_RANGE_C), np.clip(outside_c, *OUTSIDE_RANGE_C)


@formula(
    r"\min \left( 1 , \frac{@{load_share}}{0.85 + 0.15 \, @{load_share}} \right)",
    symbols={"load_share": r"\lambda"},
    units={"load_share": "-", "return": "-"},
    result="t_{on}",
    title="Share of the time a cooler runs, starts counted",
    source="EnergyPlus example part-load curve of a window unit: 0.85 + 0.15 × load",
)
def running_share(load_share: Number) -> Number:
    """Share of the time a cooler runs to carry part of what it could: each start costs some cold.

    Parameters
    ----------
    load_share : [-] load against what it could carry, 0 to 1

    Returns
    -------
    [-] same shape, at most 1

    Source
    ------
    Part-load curve 0.85 + 0.15 × load, from the same set of example curves.
    """
    return np.minimum(1.0, load_share / (0.85 + 0.15 * load_share))
