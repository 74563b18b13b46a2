"""All that is worked out for this question, each part None where something it needs is not known."""

from __future__ import annotations

from dataclasses import dataclass

from trailerlib.design.design import Design
from trailerlib.design.model import Load
from trailerlib.physics.thermostat import Cycles
from trailerlib.studies.cooling import case as heat
from trailerlib.studies.cooling import cold, hold, sleep
from trailerlib.studies.cooling.picture import Floats
from trailerlib.studies.kept import Kept

AMP_HOURS_AT_V = 12.0


@dataclass(frozen=True)
class Cooler:
    """How the coolers of the design live through the hot day: ``running`` [-] and ``drawn_w`` [W] in each step."""

    names: tuple[str, ...]
    rated_w: float
    warmest_c: float
    cycles: Cycles
    running: Floats
    drawn_w: Floats

    @property
    def day_wh(self) -> float:
        """Energy of the day [Wh]."""
        return float(self.drawn_w.mean()) * 24.0

    @property
    def duty(self) -> float:
        """Share of the day it runs [-]."""
        return float(self.running.mean())

    @property
    def starts_per_h(self) -> float:
        """Starts in the busiest hour [1/h]."""
        return self.cycles.starts_per_h(hold.STEP_S)


@dataclass(frozen=True)
class Result:
    """``lacks`` says by part (heat, day, night) what is not known, in words; empty where all is."""

    case: heat.Case | None
    free_c: Floats | None
    asked: hold.Asked | None
    cooler: Cooler | None
    cold: cold.Cold | None
    night: sleep.Night | None
    lacks: dict[str, tuple[str, ...]]


_RESULTS: Kept[Result] = Kept()


def result_of(design: Design) -> Result:
    """The hot day, the cold night and the air of a design, kept while nothing they rest on changes."""
    return _RESULTS.of((*heat.rests_on(design), design.comfort), lambda: _result(design))


def _result(design: Design) -> Result:
    day, night = heat.missing(design), tuple(sleep.missing(design))
    lacks = {"day": day, "night": night}
    case = None if day else heat.case_of(design)
    set_c = design.comfort.set_point
    lacks["heat"] = day if set_c is not None else (*day, "the temperature to hold (comfort.set_point)")
    need = None if case is None or set_c is None else hold.asked(case, set_c)
    return Result(
        case,
        None if case is None else hold.free_c(case),
        need,
        None if case is None or need is None or set_c is None else cooler_of(design, case, need, set_c),
        cold.cold_of(design),
        None if night else sleep.night(design),
        lacks,
    )


def cooler_of(design: Design, case: heat.Case, need: hold.Asked, set_c: float) -> Cooler | None:
    """The coolers of a design through its hot day; None without one.

    Parameters
    ----------
    design : the design
    case : its hot day
    need : what the set point takes
    set_c : [degC] set point
    """
    fitted = hold.coolers(design)
    if not fitted:
        return None
    rated = sum(load.cooling_w or 0.0 for load in fitted)
    running = need.running(rated)
    power = sum(load.running_w for load in fitted)
    return Cooler(
        tuple(load.name for load in fitted),
        rated,
        hold.warmest_c(case, need, set_c, rated),
        hold.cycles(case, need, set_c, design.comfort.band, rated),
        running,
        power * hold.drawn_share(case, set_c) * running,
    )


def smallest_class(rated_w: float) -> tuple[str, float] | None:
    """The smallest class of cooler that gives so much at its rating, and what it gives [W]; None when none does.

    Parameters
    ----------
    rated_w : [W] asked for at the rating
    """
    from trailerlib.design.catalogue import appliances

    fit = [(kind.cooling_w, kind.name) for kind in appliances().values() if (kind.cooling_w or 0.0) >= rated_w]
    found = min(((watts, name) for watts, name in fit if watts is not None), default=None)
    return None if found is None else (found[1], found[0])


def fan_amps(load: Load, volts: float) -> float:
    """What a fan draws from the battery [A].

    Parameters
    ----------
    load : the fan
    volts : [V] of the battery side
    """
    return load.running_w / volts
