"""Lesson 3: the fuse protects the wire, not the lamp; and the fuse that does not blow."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from trailerlib import units
from trailerlib.design.design import Design
from trailerlib.design.wire_sizes import wire as wire_size
from trailerlib.physics.formula import Worked, worked
from trailerlib.physics.protection import (
    adiabatic_seconds,
    prospective_current_a,
    required_rating_a,
)
from trailerlib.physics.time_current import band
from trailerlib.physics.wire_damage import temperature_after_c
from trailerlib.studies import battery_side
from trailerlib.studies import feeder as dc
from trailerlib.studies.feeder import Floats
from trailerlib.studies.guard import Guard
from trailerlib.studies.lessons import copper
from trailerlib.studies.lessons.lesson import Lesson, Seen, Told, Turn
from trailerlib.studies.lessons.making import Dice, Draft, Kind
from trailerlib.studies.lessons.one_lamp import HOT_C, LAMP
from trailerlib.studies.wiring import answer

WIRE, RUN_FT, FUSE_A = "18 AWG", 25, 30
PVC_K = 115.0  # IEC 60364-5-54 table A.54.4: PVC on copper up to 300 mm², from 70 to 160 °C
SECONDS = (0, 2, 5, 10, 20, 40, 60, 120, 300, 600)
HOUR_S = 3600.0


def setup(design: Design) -> Design:
    """Somebody pulled thin wire to the lamp, and put in the fuse that was at hand."""
    return design.replace_all(
        {
            ("circuit", LAMP, "wire"): WIRE,
            ("circuit", LAMP, "run"): f"{RUN_FT} ft",
            ("circuit", LAMP, "protection"): f"{FUSE_A} A",
        }
    )


def see(design: Design) -> Seen:
    """What hangs on this fuse."""
    changed = setup(design)
    circuit, guard = changed.circuit(LAMP), _guard(changed)
    side, show, system = battery_side.solve(changed), units.show, design.units
    return (
        ("Battery at rest, half full", show(side.emf_v, "voltage", system)),
        ("Current of the lamp", show(side.current_a[LAMP], "current", system)),
        ("Wire, one way", f"{RUN_FT} ft of {circuit.wire}"),
        ("This wire may carry", show(None if guard.wire is None else guard.wire.ampacity_a, "current", system)),
        ("Fuse in the fuse block", show(circuit.protection, "current", system)),
    )


def ask(design: Design) -> Draft:
    """The current of a dead short at the lamp."""
    return _short(design, LAMP, "at the lamp a screw goes through both wires")


def transfer(design: Design) -> Draft:
    """The same at the end of the entry circuit of another trailer."""
    return _short(design, "entry and alarm", "at the far end of the entry circuit both wires touch")


def _short(design: Design, name: str, event: str) -> Draft:
    side, circuit = battery_side.solve(design), design.circuit(name)
    amps = battery_side.far_end_a(design, side, name)
    assert amps is not None and side.emf_v is not None and side.ohm is not None
    inside, show = float(side.ohm[dc.BATTERY_NODE]), units.show
    way = side.emf_v / amps - inside
    words = (
        f"The battery stands at {show(side.emf_v, 'voltage')} and has {show(inside, 'resistance')} inside. The "
        "whole way "
        f"out and back has {show(way, 'resistance')}, the wire being warm. The fuse is "
        f"{show(circuit.protection, 'current')}. "
        f"Now {event}. How many amperes flow?"
    )
    slips = _slips(side.emf_v, inside, way, circuit.protection)
    return Draft(words, "current", (_short_step(side.emf_v, inside, way),), slips)


def _short_step(emf_v: float, inside: float, way: float) -> Worked:
    return worked(prospective_current_a, emf_v=emf_v, source_ohm=inside, path_ohm=way)


def _slips(emf_v: float, inside: float, way: float, fuse_a: float | None) -> dict[str, float]:
    found = {
        "one way": float(prospective_current_a(emf_v, inside, way / 2.0)),
        "battery left out": float(prospective_current_a(emf_v, 0.0, way)),
    }
    return found if fuse_a is None else {"fuse for fault": fuse_a, **found}


def a_short(dice: Dice, system: units.System) -> Draft:
    """Current of a short at the far end."""
    size, emf_v = copper.size(dice, system), dice.pick((12.2, 12.4, 12.6, 12.8))
    run_m = dice.quantity("length", system, (4.0, 20.0, 1.0), (1.5, 6.0, 0.5))
    inside, fuse_a = dice.pick((0.02, 0.03, 0.04, 0.06)), dice.pick((5.0, 10.0, 15.0, 20.0))
    per_m = copper.ohm_per_m(size, HOT_C)
    way, show = 2.0 * per_m.value * run_m, units.show
    words = (
        f"A battery of {show(emf_v, 'voltage')} has {show(inside, 'resistance')} inside. "
        f"{show(run_m, 'length', system)} "
        f"of {copper.in_words(size)} behind a fuse of {show(fuse_a, 'current')} ends in a short. One warm wire "
        f"resists {copper.per_length(per_m.value, system)}; nothing else resists. How many amperes flow?"
    )
    return Draft(words, "current", (per_m, _short_step(emf_v, inside, way)), _slips(emf_v, inside, way, fuse_a))


def a_survival(dice: Dice, system: units.System) -> Draft:
    """How long a wire stands a short."""
    size, amps = copper.size(dice, system), dice.between(200.0, 1500.0, 50.0)
    area_mm2 = round(wire_size(size).area_m2 * 1e6, 2)
    words = (
        f"A short drives {units.show(amps, 'current')} through {copper.in_words(size)}, {area_mm2:g} mm² of "
        f"copper. Work out {PVC_K:g} × area / current, and square it: so many seconds the plastic stands that. "
        "How many seconds is that?"
    )
    step = worked(adiabatic_seconds, area_mm2=area_mm2, current_a=amps, k=PVC_K)
    return Draft(words, "duration", (step,), {"not squared": step.value**0.5 / HOUR_S}, "s")


def a_rating(dice: Dice, system: units.System) -> Draft:
    """Least rating of a fuse for loads that run short and long."""
    long_a, other_a = dice.between(4.0, 16.0, 0.5), dice.between(2.0, 9.0, 0.5)
    words = (
        f"One circuit feeds {units.show(long_a, 'current')} that runs all evening and {units.show(other_a, 'current')} "
        "that runs for minutes. What runs for three hours or more counts 125 %. Which rating must its fuse have "
        "at least?"
    )
    step = worked(required_rating_a, continuous_a=long_a, other_a=other_a)
    slips = {"no extra for long": long_a + other_a, "extra on all": 1.25 * (long_a + other_a)}
    return Draft(words, "current", (step,), slips)


@dataclass(frozen=True)
class Warming:
    """A wire after a short: times [s] and temperatures [°C] of the curve, the moment and its temperature now, what the
    insulation stands [°C], and when the fuse opens at the soonest and at the latest [s], inf for never.
    """

    seconds: Floats
    wire_c: Floats
    now_s: float
    now_c: float
    limit_c: float
    current_a: float
    fuse_a: float
    least_s: float
    most_s: float
    system: units.System

    @property
    def opened(self) -> bool:
        """Whether the fuse has opened for sure."""
        return self.now_s >= self.most_s


def warming(design: Design, now_s: float) -> Warming:
    """The wire so many seconds after a dead short at the lamp, beginning at the air's temperature.

    Parameters
    ----------
    design : the design of the lesson
    now_s : [s] after the short
    """
    guard = _guard(design)
    assert guard.wire is not None and guard.device is not None and guard.far_end is not None
    wire, amps = guard.wire, guard.far_end.current_a
    times = np.linspace(0.0, float(SECONDS[-1]), 241)
    now = np.append(times, now_s)
    hot = temperature_after_c(amps, now, wire.area_m2, wire.ampacity_a, wire.ambient_c, wire.rating_c, wire.ambient_c)
    least, most = band(guard.device, amps)
    curve = np.asarray(hot)
    return Warming(
        times, curve[:-1], now_s, float(curve[-1]), wire.short_c, amps, guard.device.rating_a, float(least),
        float(most), design.units,
    )  # fmt: skip


def _guard(design: Design) -> Guard:
    focus = answer(design, LAMP).picture.focus
    guard: Guard = focus.guard
    return guard


def _tells(design: Design, seconds: int) -> Told:
    now, show = warming(design, float(seconds)), units.show
    fails = now.now_c > now.limit_c
    fuse = "has opened" if now.opened else "holds, and need never open" if np.isinf(now.least_s) else "holds"
    words = (
        f"{units.figures(float(seconds))} s after the short {show(now.current_a, 'current')} flows. The wire is at "
        f"{show(now.now_c, 'temperature', now.system)}; the fuse of {show(now.fuse_a, 'current')} {fuse}."
    )
    end = f" Above {show(now.limit_c, 'temperature', now.system)} the insulation runs off the copper."
    return Told(words + end if fails else words, "the wire is the fuse" if fails else "warming", fails)


LESSON = Lesson(
    key="L3",
    title="What does the fuse protect?",
    notebook="L3_fuse.ipynb",
    trailer="one-lamp",
    other="fen-survey",
    setup=setup,
    see=see,
    ask=ask,
    transfer=transfer,
    why=(
        "A **short** (plus and minus touching, with nothing between them) leaves only the wire and the battery to "
        "resist. The current is the voltage divided by all the resistance on the way, there and back.",
        "The fuse does not limit that current. It waits, and the more flows, the sooner it opens. "
        "At its rating it must hold forever. A little above, it may still hold for very long.",
        "The lamp needs no fuse: it takes what it takes. The fuse is there for the wire. "
        "A long thin wire may let too little through to open a big fuse, and yet enough to cook itself.",
    ),
    watch="Let the time run after the short. Watch the wire, and the fuse beside it.",
    rule="The fuse guards the wire: never larger than the thinnest wire behind it can carry.",
    recalls=("volts", "amperes", "ohms", "AWG"),
    kinds=(
        Kind("current of a short", a_short, 5.0, 900.0),
        Kind("how long a wire stands it", a_survival, 0.02 / HOUR_S, 40.0 / HOUR_S),
        Kind("least rating of a fuse", a_rating, 5.0, 40.0),
    ),
    turn=Turn(
        "Time after the short",
        tuple((f"{s} s", s) for s in SECONDS),
        0,
        lambda design, seconds: design,
        _tells,
        lambda design, seconds: warming(design, float(seconds)),
    ),
)
