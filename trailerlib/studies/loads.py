"""What must it run: every load, alone and together, by circuit, side and stay."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from trailerlib import units
from trailerlib.design.design import Design
from trailerlib.design.model import Load, Stay
from trailerlib.design.voltages import nominal_v
from trailerlib.physics.formula import Worked, worked
from trailerlib.physics.starting import running_va, start_va
from trailerlib.rules import safety as rules
from trailerlib.rules import wiring as wiring_rules
from trailerlib.rules.finding import Finding
from trailerlib.studies.answer import Answer, Column, Later, Quantity, mapping, names
from trailerlib.studies.legs import fed
from trailerlib.studies.running import running_in
from trailerlib.studies.timetable import hours_on


@dataclass(frozen=True)
class LoadBar:
    """One bar of the picture: running and starting power [W], side, whether it is on."""

    name: str
    side: str
    running_w: float
    start_w: float
    on: bool


@dataclass(frozen=True)
class LoadsPicture:
    """What the drawing needs: a bar a load, and the totals of each side [W]."""

    bars: tuple[LoadBar, ...]
    dc_w: float
    mains_w: float


def side_volts(design: Design, side: str) -> float:
    """Nominal voltage of one side [V]; on the mains side that of one leg to neutral."""
    return nominal_v(side, design.practice, None if design.battery is None else design.battery.nominal)


def running_current_a(load: Load) -> float:
    """Current of all pieces of a load at its circuit's nominal voltage [A]; mains loads by their power factor."""
    return float(running_va(load.running_w, load.typical.power_factor)) / load.circuit_v


def start_power_va(load: Load) -> float:
    """What all but one piece draw running plus what one piece draws when it starts [VA]."""
    one = load.running_w / load.count
    return (load.running_w - one) / load.typical.power_factor + load.start_w / load.typical.power_factor


def answer(design: Design) -> Answer:
    """Connected, running and starting power and current per load, circuit, side and stay.

    Raises
    ------
    DesignError
        Never for a valid design; a trailer without loads is answered as such.
    """
    dc_w, mains_w = (_together_w(design, side) for side in ("dc", "mains"))
    rows = cache(lambda: tuple(_row(design, load) for load in design.loads))
    return Answer(
        question="loads",
        title="What must it run?",
        system=design.units,
        sentence=_sentence(design, dc_w, mains_w),
        numbers=Later(lambda: _numbers(design, dc_w, mains_w, rows())),
        columns=_columns(design),
        show_rows=rows,
        checks=tuple(_checks(design)),
        show_working=lambda: _working(design),
        picture=LoadsPicture(tuple(_bar(load) for load in design.loads), dc_w, mains_w),
    )


def _numbers(design: Design, dc_w: float, mains_w: float, rows: tuple[dict[str, Any], ...]) -> Mapping[str, Quantity]:
    """All that is on at once, and what each stay uses: the sums of its column."""
    return mapping(
        dc_w=Quantity("All at once, battery side", dc_w, "power"),
        dc_a=Quantity("Current, battery side", dc_w / side_volts(design, "dc"), "current"),
        mains_w=Quantity("All at once, mains side", mains_w, "power"),
        mains_a=Quantity("Current, mains side", _mains_current_a(design), "current"),
        **{
            f"stay_{n}": Quantity(f"Used in “{stay.name}”", sum(row[f"stay_{n}"] for row in rows), "energy")
            for n, stay in enumerate(design.stays)
        },
    )


def _columns(design: Design) -> tuple[Column, ...]:
    return (
        Column("name", "Load"),
        Column("appliance", "Class"),
        Column("circuit", "Circuit"),
        Column("count", "Pieces", "count"),
        Column("each_w", "Each", "power"),
        Column("running_w", "Together", "power"),
        Column("current_a", "Current", "current"),
        Column("start_w", "At start", "power"),
        *(Column(f"stay_{n}", f"In “{stay.name}”", "energy") for n, stay in enumerate(design.stays)),
    )


def _row(design: Design, load: Load) -> dict[str, Any]:
    row: dict[str, Any] = {
        "name": load.name,
        "appliance": load.appliance,
        "circuit": load.circuit,
        "count": load.count if load.on else "off",
        "each_w": load.each_w,
        "running_w": load.running_w if load.on else 0.0,
        "current_a": running_current_a(load) if load.on else 0.0,
        "start_w": start_power_va(load) if load.on else 0.0,
    }
    for n, stay in enumerate(design.stays):
        row[f"stay_{n}"] = _used_wh(design, load, stay)
    return row


def energy_wh(load: Load, hours: float, duty: float) -> float:
    """Energy of a load that is switched on for so long [Wh].

    Parameters
    ----------
    load : the load
    hours : [h] switched on
    duty : [-] share of that time it runs
    """
    return load.running_w * duty * hours


def _used_wh(design: Design, load: Load, stay: Stay) -> float:
    """What a load uses in a stay [Wh]: nothing where no power reaches it."""
    return energy_wh(load, hours_on(stay, load), running_in(design, load, stay)) if fed(design, load, stay) else 0.0


def _together_w(design: Design, side: str) -> float:
    return sum(load.running_w for load in design.loads if load.on and load.typical.system == side)


def _mains_current_a(design: Design) -> float:
    return sum(running_current_a(load) for load in design.loads if load.on and load.typical.system == "mains")


def _bar(load: Load) -> LoadBar:
    return LoadBar(
        load.name,
        load.typical.system,
        load.running_w if load.on else 0.0,
        start_power_va(load) if load.on else 0.0,
        load.on,
    )


def _sentence(design: Design, dc_w: float, mains_w: float) -> str:
    running = [load for load in design.loads if load.on]
    if not running:
        return "Nothing is switched on: there is nothing to run yet."
    parts = []
    for side, watts in (("battery", dc_w), ("mains", mains_w)):
        loads = [load for load in running if load.typical.system == ("dc" if side == "battery" else "mains")]
        if loads:
            biggest = max(loads, key=lambda load: load.running_w)
            parts.append(
                f"{units.show(watts, 'power')} on the {side} side, most of it the {biggest.name}"
                if len(loads) > 1
                else f"{units.show(watts, 'power')} on the {side} side, the {biggest.name}"
            )
    return f"All at once it asks for {names(parts)}."


def _checks(design: Design) -> list[Finding]:
    checks = [
        rules.power_in_class(f'load "{load.name}"', load.each_w, load.typical.power_high_w) for load in design.loads
    ]
    used = {load.circuit for load in design.loads} | ({design.charger.circuit} if design.charger else set())
    checks += [
        wiring_rules.circuit_feeds_something(f'circuit "{circuit.name}"', circuit.name not in used)
        for circuit in design.circuits
    ]
    sleepers = design.use.sleepers
    alarm = design.safety.smoke_alarm
    unsafe = None if sleepers is None or (sleepers > 0 and alarm is None) else sleepers > 0 and not alarm
    return [*checks, rules.smoke_alarm(unsafe)]


def _working(design: Design) -> tuple[Worked, ...]:
    mains = [load for load in design.loads if load.on and load.typical.system == "mains"]
    if not mains:
        return ()
    load = max(mains, key=start_power_va)
    typical = load.typical
    multiple = load.start_w / load.each_w
    return (
        worked(running_va, power_w=load.running_w, power_factor=typical.power_factor),
        worked(start_va, running_w=load.each_w, power_factor=typical.power_factor, start_multiple=multiple),
    )
