"""How much of its time on a load runs, all that is known of the design asked: a cooler by the heat of its box, a fridge
by the air inside."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

import numpy as np

from trailerlib import units
from trailerlib.design.design import Design
from trailerlib.design.model import Load, Stay
from trailerlib.studies.answer import names
from trailerlib.studies.cooling import case as heat
from trailerlib.studies.cooling.picture import Floats
from trailerlib.studies.cooling.stay_duty import air_inside_c, cooler_duty
from trailerlib.studies.cooling.stay_run import lacks
from trailerlib.studies.duty import LEAST_INSIDE_C, duty_share, keeps_cold
from trailerlib.studies.kept import Kept
from trailerlib.studies.timetable import hours_on

_SHARES: Kept[float] = Kept()


def running_in(design: Design, load: Load, stay: Stay, air_c: float | None = None) -> float:
    """Share of the time a load runs while it is switched on in a stay [-].

    A stated duty wins; a cooler goes by the heat of the box, a fridge by the air inside where these are known; all
    else, and a fridge in a box that is not known, as ``duty_share`` says of the air outside.

    Parameters
    ----------
    design : the design whose box it is
    load : one of its loads, or the same load changed
    stay : one of its stays, or the same stay of another length
    air_c : [degC] air outside where the stay does not say
    """
    if load.duty is None and load.cooling_w is not None:
        worked_out = cooler_duty(design, load, stay)
        if worked_out is not None:
            return worked_out
    outside_c = air_c if stay.ambient is None else stay.ambient
    if load.duty is not None or not keeps_cold(load):
        return load.duty_share
    rests_on = (load, stay, outside_c, design.comfort, *heat.rests_on(design))
    return _SHARES.of(rests_on, lambda: _by_its_air(design, load, stay, outside_c))


def _by_its_air(design: Design, load: Load, stay: Stay, outside_c: float | None) -> float:
    round_it = _round_it_c(design, load, stay, outside_c)
    if round_it is None:
        return float(duty_share(load, outside_c))
    return float(np.mean(duty_share(load, round_it, -math.inf)))


def _round_it_c(design: Design, load: Load, stay: Stay, outside_c: float | None) -> Floats | None:
    """Air round a fridge while it is on [degC]; None of all else, and where the air inside is not known."""
    if load.duty is not None or outside_c is None or not keeps_cold(load) or hours_on(stay, load) <= 0.0:
        return None
    inside = air_inside_c(design, load, stay, outside_c)
    return None if inside is None else np.maximum(inside, warmed_c(design, stay))


def warmed_c(design: Design, stay: Stay) -> float:
    """What the air inside is not let fall under in a stay [degC]: the warmth asked for, else that of a box lived in.

    With nobody in it, or nothing to warm it with, it falls as it will: -inf.

    Parameters
    ----------
    design : the design
    stay : one of its stays
    """
    if stay.people == 0 or design.comfort.heater == "none":
        return -math.inf
    return LEAST_INSIDE_C if design.comfort.heat_to is None else design.comfort.heat_to


def by_what_air(design: Design, stays: Iterable[Stay], air_c: float | None = None) -> Iterator[str]:
    """By what air the fridges are reckoned that run in some stays, in words; nothing of a duty that is stated.

    Parameters
    ----------
    design : the design
    stays : some of its stays
    air_c : [degC] air outside where a stay does not say
    """
    chosen = {stay.name: stay for stay in stays}.values()
    for load in design.loads:
        if load.duty is None and load.on and keeps_cold(load):
            runs = [stay for stay in chosen if hours_on(stay, load) > 0.0]
            yield from _by_what_air(design, load, runs, air_c)


def _by_what_air(design: Design, load: Load, stays: Sequence[Stay], air_c: float | None) -> Iterator[str]:
    inside: list[str] = []
    for stay in stays:
        outside_c = air_c if stay.ambient is None else stay.ambient
        found = _round_it_c(design, load, stay, outside_c)
        if found is not None:
            ends = (units.show(float(end), "temperature", design.units) for end in (found.min(), found.max()))
            inside.append(f"{' to '.join(dict.fromkeys(ends))} in “{stay.name}”")
        elif outside_c is None:
            yield f"the {load.name} in “{stay.name}” runs as its class does: how warm it is there is not given"
        else:
            why = names(lacks(design, stay)) or "where it stands is outside"
            yield f"the {load.name} in “{stay.name}” runs by the air outside, the one inside is not worked out: {why}"
    if inside:
        yield f"the {load.name} runs by the air inside, {names(inside)}"
