"""What the answer says: the sentence, the numbers, the table of where heat comes in, and what a change buys."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np

from trailerlib import times, units
from trailerlib.design.design import Design
from trailerlib.physics.airflow import air_changes_per_h
from trailerlib.physics.fan import reversed_flow_m3_s
from trailerlib.rules.finding import Finding
from trailerlib.studies.answer import Beside, Column, Quantity, mapping, names
from trailerlib.studies.cooling import buys, gains, hold, shell, starts, weather
from trailerlib.studies.cooling.picture import HeatFlows
from trailerlib.studies.cooling.result import AMP_HOURS_AT_V, Result, fan_amps, smallest_class
from trailerlib.studies.cooling.shell import WALL

COLUMNS = (
    Column("name", "Where heat comes in"),
    Column("side", "Side"),
    Column("area", "Area", "area"),
    Column("u", "U", "transmittance"),
    Column("skin_c", "As air of", "temperature"),
    Column("watts", "At the worst hour", "power"),
    Column("method", "Studs by"),
)
MOST_LACKS = 2
SEEN_K, SEEN_W = 0.005, 0.5  # a change that makes it worse by more than this is said
WALLS = {"road": "road side", "curb": "curb side", "nose": "nose", "rear": "rear"}
BUYS = (
    Column("change", "What it buys"),
    Column("peak_c", "No power", "temperature"),
    Column("saves_k", "Cooler by", "temperature step"),
    Column("cold_w", "To take out", "power"),
    Column("saves_w", "Less by", "power"),
)
NIGHT = {
    "fan_flow": ("Air the fan moves", "air flow"),
    "fan_back": ("Blown in when it is reversed", "air flow"),
    "changes": ("Air changes with the fan", "rate"),
    "fan_a": ("Current of the fan", "current"),
    "co2_ppm": ("Carbon dioxide by waking", "concentration"),
    "shut_ppm": ("The same shut in, fan off", "concentration"),
    "passed_h": ("Shut in, the mark is passed after", "duration"),
    "needed_flow": ("Air that keeps the mark", "air flow"),
    "leaks": ("Comes in through leaks", "air flow"),
    "gap_m": ("Crack a window for it", "small length"),
    "dew_c": ("Dew point inside on the coldest night", "temperature"),
}


def sentence(found: Result, design: Design, checks: Sequence[Finding]) -> str:
    """The verdict: is it held, and is there air."""
    return f"{_heat(found, design)} {_air(found, design, checks)}"


def _heat(found: Result, design: Design) -> str:
    if found.lacks["heat"]:
        return f"Heat is not checked, it needs {_shortened(found.lacks['heat'])}."
    assert found.asked is not None and found.free_c is not None and found.case is not None
    system = design.units
    peak = units.show(float(found.free_c.max()), "temperature", system)
    need = units.show(found.asked.rated_w, "cooling power", system)
    at = times.clock(found.asked.worst + 0.5)
    if found.cooler is None:
        return f"It gets {peak} inside and there is no cooler; one of {need} would hold it."
    wanted = units.show(design.comfort.set_point, "temperature", system)
    enough = found.asked.rated_w <= found.cooler.rated_w
    if found.cooler.warmest_c > hold.top_c(float(design.comfort.set_point or 0.0), design.comfort.band):
        warm = units.show(found.cooler.warmest_c, "temperature", system)
        more = "" if enough else f", and would take a cooler of {need}"
        return f"{wanted} is not held: it gets {warm} by {at}{more}."
    people = " as far as people are counted" if any(gains.left_out(design)) else ""
    if not enough:
        return f"{wanted} is held within its band{people}: the worst hour, {at}, takes all that the cooler has."
    share = units.show(found.asked.rated_w / found.cooler.rated_w, "fraction", system)
    return f"{wanted} is held{people}: the worst hour, {at}, takes {share} of the cooler."


def _shortened(lacks: tuple[str, ...]) -> str:
    """The first of what is missing, and how much more there is."""
    more = len(lacks) - MOST_LACKS
    return names(lacks) if more <= 1 else f"{', '.join(lacks[:MOST_LACKS])} and {more} things more"


def _air(found: Result, design: Design, checks: Sequence[Finding]) -> str:
    stop = next((f for f in checks if f.severity == "stop"), None)
    if stop is not None:
        return stop.text(design.units)
    if design.use.sleepers == 0:
        return "Nobody sleeps in it."
    if found.night is None:
        return f"The air is not checked, it needs {_shortened(found.lacks['night'])}."
    ppm = units.figures(float(found.night.lasting.max()))
    if found.night.moved_m3_s is None:
        return f"Shut, the sleepers wake in {ppm} ppm of carbon dioxide."
    if not found.night.runs:
        return f"The fan is not on at night: the sleepers wake in {ppm} ppm of carbon dioxide."
    return f"With the fan the sleepers wake in {ppm} ppm of carbon dioxide."


def numbers(found: Result, volts: float) -> Mapping[str, Quantity]:
    """Every number of the answer.

    Parameters
    ----------
    found : what has been worked out
    volts : [V] of the battery side
    """
    return mapping(**_hot(found), **_cold(found), **_night(found, volts))


def _hot(found: Result) -> dict[str, Quantity]:
    need, cooler = found.asked, found.cooler
    fit = None if need is None else smallest_class(need.rated_w)
    peak = None if found.free_c is None else float(found.free_c.max())
    return {
        "ua": Quantity("Heat it passes for each degree", None if found.case is None else found.case.ua, "conductance"),
        "free_c": Quantity("Hottest inside without power", peak, "temperature"),
        "worst_h": Quantity("Worst hour", None if need is None else need.worst + 0.5, "clock"),
        "asked_w": Quantity("To take out then", None if need is None else need.worst_w, "power"),
        "needed_w": Quantity("Rating that holds it", None if need is None else need.rated_w, "cooling power"),
        "smallest_w": Quantity(
            "Smallest class that does" + ("" if fit is None else f", {fit[0]}"),
            None if fit is None else fit[1],
            "cooling power",
        ),
        "held_c": Quantity("Warmest hour with the cooler", None if cooler is None else cooler.warmest_c, "temperature"),
        "duty": Quantity("Of the day the cooler runs", None if cooler is None else cooler.duty, "fraction"),
        "starts": Quantity("Starts in its busiest hour", None if cooler is None else cooler.starts_per_h, "rate"),
        "day_wh": Quantity("Energy of the cooler a day", None if cooler is None else cooler.day_wh, "energy"),
        "day_ah": Quantity("The same from 12 V", None if cooler is None else cooler.day_wh / AMP_HOURS_AT_V, "charge"),
    }


def _cold(found: Result) -> dict[str, Quantity]:
    cold = found.cold
    return {"heater_w": Quantity("Heat that holds the coldest night", None if cold is None else cold.needed_w, "power")}


def _night(found: Result, volts: float) -> dict[str, Quantity]:
    night = found.night
    if night is None:
        return {key: Quantity(title, None, kind) for key, (title, kind) in NIGHT.items()}
    moved, fan = night.moved_m3_s, night.fan
    noise = None if fan is None or fan.fan is None else fan.fan.noise_db
    values = {
        "fan_flow": moved,
        "fan_back": None if moved is None else abs(float(reversed_flow_m3_s(moved))),
        "changes": None if moved is None else float(air_changes_per_h(moved, night.volume_m3)),
        "fan_a": None if fan is None else fan_amps(fan, volts),
        "co2_ppm": float(night.lasting[-1]),
        "shut_ppm": float(night.shut_ppm[-1]),
        "passed_h": night.passed_h if night.passed_h is not None and np.isfinite(night.passed_h) else None,
        "needed_flow": night.needed_m3_s,
        "leaks": night.leaks_m3_s,
        "gap_m": night.gap_m if night.gap_m is not None and np.isfinite(night.gap_m) else None,
        "dew_c": night.dew_c,
    }
    found_words = {key: Quantity(title, values[key], kind) for key, (title, kind) in NIGHT.items()}
    loud = "" if noise is None else f", {noise:g} dB"
    found_words["fan_flow"] = Quantity(NIGHT["fan_flow"][0] + loud, moved, "air flow")
    found_words["gap_m"] = Quantity(_window_words(night.window), values["gap_m"], "small length")
    return found_words


def _window_words(window: str | None) -> str:
    return "Crack a window for it" if window is None else f"Crack {window} for it"


def rows(flows: HeatFlows | None, found: Result) -> Iterator[Mapping[str, Any]]:
    """Every way heat comes in at the worst hour, the largest first."""
    if flows is None or found.case is None:
        return
    skins: dict[tuple[str, str], shell.Surface] = {(s.name, s.side): s for s in found.case.surfaces}
    for part in sorted(flows.parts, key=lambda part: -part.watts):
        surface = skins.get((part.name, part.side))
        area = sum(s.area_m2 for s in found.case.surfaces if (s.name, s.side) == (part.name, part.side))
        yield {
            "name": f"{WALLS[part.side]} wall" if part.name == WALL else part.name,
            "side": part.side,
            "area": None if surface is None else area,
            "u": None if surface is None else surface.u,
            "skin_c": part.skin_c,
            "watts": part.watts,
            "method": "" if surface is None else surface.method,
        }


def beside(found: Result, design: Design) -> Beside | None:
    """What a change buys, and what the day rests on."""
    if found.case is None:
        return None
    rows = buys.rows(design, design.comfort.set_point)
    return Beside("What a change buys", BUYS, rows, " ".join(filter(None, (_backwards(rows), note(design)))))


def _backwards(rows: Sequence[Mapping[str, Any]]) -> str:
    """Which changes make it hotter without power or ask for more cold, and why; empty where all help."""
    hotter = [row["change"] for row in rows if (row["saves_k"] or 0.0) < -SEEN_K]
    dearer = [row["change"] for row in rows if (row["saves_w"] or 0.0) < -SEEN_W]
    keeps = "what keeps heat out also keeps it in"
    said = []
    if hotter:
        said.append(f"Without power it gets hotter with {names(hotter)}: {keeps}, and it is hotter inside than out.")
    if dearer:
        said.append(f"More is to be taken out with {names(dearer)}: {keeps}, and outside is under the set point.")
    return " ".join(said)


def note(design: Design) -> str:
    """What the figures rest on, in a few sentences."""
    taken = [*weather.basis(design.site, design.units), *(f"not counted: {words}" for words in gains.left_out(design))]
    if design.site.dew_point is None:
        taken.append("not counted: water that comes in with the air (site.dew_point)")
    first = "; ".join(taken)
    return (
        f"{first[:1].upper()}{first[1:]}. Wind, the lift of warm air, the charger's losses and what a metal skin "
        "gathers from farther along are left out; no power means shut and still, with people and loads as they are. "
        f"{starts.rests_on(design)} A fan is no protection against carbon monoxide."
    )
