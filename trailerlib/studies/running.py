"""How much of its time on a load runs, all that is known of the design asked: a cooler by the heat of its box."""

from __future__ import annotations

from trailerlib.design.design import Design
from trailerlib.design.model import Load, Stay
from trailerlib.studies.cooling.stay_duty import cooler_duty
from trailerlib.studies.duty import duty_in


def running_in(design: Design, load: Load, stay: Stay) -> float:
    """Share of the time a load runs while it is switched on in a stay [-].

    A stated duty wins; a cooler goes by the heat of the box where that is known; all else as ``duty_in`` says.
    """
    if load.duty is None and load.cooling_w is not None:
        worked_out = cooler_duty(design, load, stay)
        if worked_out is not None:
            return worked_out
    return duty_in(load, stay)
