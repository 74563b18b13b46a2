"""Sums made by hand from the raw file and the raw tables, in plain Python, to hold the studies against.

Nothing here uses the library but the folder where its tables lie.
"""

from __future__ import annotations

import csv
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from trailerlib.reference import data_root

Raw = Mapping[str, Any]
DAY_MIN = 24 * 60
UNITS = {"ft": 0.3048, "in": 0.0254, "m": 1.0, "W": 1.0, "kW": 1000.0, "A": 1.0, "kA": 1000.0, "Ah": 1.0, "h": 1.0, "%": 0.01,
         "V": 1.0, "mohm": 0.001}  # fmt: skip


def number(text: str) -> float:
    """``5 ft 6 in``, ``85 %`` or ``96 °F`` in metres, shares, °C and so on."""
    if text.endswith("°F"):
        return (float(text[:-2]) - 32.0) * 5.0 / 9.0
    if text.endswith("°C"):
        return float(text[:-2])
    return sum(float(value) * UNITS[word] for value, word in re.findall(r"([-\d.]+) ([A-Za-z%]+)", text))


@cache
def rows(path: str) -> tuple[dict[str, str], ...]:
    with (data_root() / f"{path}.csv").open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


def cell(path: str, column: str, **where: str) -> float:
    (found,) = [row for row in rows(path) if all(row[key] == value for key, value in where.items())]
    return float(found[column])


def curve(path: str, x: str, y: str, chemistry: str, at: float) -> float:
    """A straight line between the two rows on either side; the end value outside."""
    points = sorted((float(row[x]), float(row[y])) for row in rows(path) if row["chemistry"] == chemistry)
    if at <= points[0][0]:
        return points[0][1]
    for (x0, y0), (x1, y1) in zip(points, points[1:], strict=False):
        if at <= x1:
            return y0 + (y1 - y0) * (at - x0) / (x1 - x0)
    return points[-1][1]


def appliance(load: Raw) -> dict[str, str]:
    (found,) = [row for row in rows("catalogue/appliances") if row["class"] == load["class"]]
    return found


def watts(load: Raw) -> float:
    """Running power of all pieces [W]."""
    each = number(load["power"]) if "power" in load else float(appliance(load)["power_w"])
    if "rated_current" in load and "power" not in load:
        each = number(load["rated_current"]) * 120.0 * factor(load)
    return each * int(load.get("count", 1))


def duty(load: Raw, air: float | None = None) -> float:
    """Share of the time it runs; a fridge by what leaks in over what one hour of compressor takes out again.

    Inside 4 °C; evaporator at -6 °C, condenser 10 K over the air; the class's duty is that in air of 25 °C. The
    compressor takes the same power, so the heat it moves goes as T / (condenser - evaporator). Never colder around it
    than 15 °C: it stands in a box with people in it.
    """
    if "duty" in load:
        return number(load["duty"])
    rated = float(appliance(load)["duty"])
    if "fridge" not in load["class"] or air is None:
        return rated

    def leak_over_moved(outside: float) -> float:
        return (outside - 4.0) / (267.15 / ((outside + 10.0) - (-6.0)))

    return min(1.0, rated * leak_over_moved(max(air, 15.0)) / leak_over_moved(25.0))


def volt_amperes(load: Raw) -> float:
    return watts(load) / factor(load)


def factor(load: Raw) -> float:
    return float(appliance(load)["power_factor"])


def start_volt_amperes(load: Raw) -> float:
    """All pieces but one running, one starting [VA]."""
    factor, count = float(appliance(load)["power_factor"]), int(load.get("count", 1))
    each = watts(load) / count
    if "locked_rotor" in load and "starting" not in load and not load.get("soft_start"):
        return (watts(load) - each) / factor + number(load["locked_rotor"]) * 120.0
    multiple = float(appliance(load)["soft_start_multiple" if load.get("soft_start") else "start_multiple"])
    start = number(load["starting"]) if "starting" in load else each * multiple
    return (each * (count - 1) + start) / factor


def is_dc(load: Raw) -> bool:
    return appliance(load)["system"] == "dc"


def named(raw: Raw, key: str, name: str) -> Raw:
    (found,) = [part for part in raw[key] if part["name"] == name]
    return found  # type: ignore[no-any-return]


def minute(text: str) -> int:
    hours, minutes = text.strip().split(":")
    return int(hours) * 60 + int(minutes)


def minutes_of(stay: Raw) -> range:
    """The minutes of a stay, counted from midnight of its first day."""
    first, last = minute(stay["from"]), minute(stay["to"])
    return range(first, last if last > first else last + DAY_MIN)


def on_at(text: str, at: int) -> bool:
    """Whether a load with this timetable is on in the minute that begins here."""
    if text.strip() == "all":
        return True
    for part in filter(str.strip, text.split(",")):
        first, last = (minute(end) for end in part.split("-"))
        now = at % DAY_MIN
        if (first <= now < last) if last > first else (now >= first or now < last):
            return True
    return False


def running(raw: Raw, stay: Raw, at: int) -> list[Raw]:
    """The loads that are on in a minute of a stay."""
    return [load for load in raw["load"]
            if load.get("on", True) and load["name"] in stay.get("on", {}) and on_at(stay["on"][load["name"]], at)]  # fmt: skip


def charger_w(raw: Raw) -> float:
    """What the charger draws at full current [W]."""
    if "charger" not in raw or "battery" not in raw:
        return 0.0
    blocks = 2 if raw["battery"].get("nominal") == "24 V" else 1
    volts = cell("tables/battery_limits", "absorption_v", chemistry=raw["battery"]["chemistry"]) * blocks
    return number(raw["charger"]["current"]) * volts / number(raw["charger"].get("efficiency", "85 %"))


def charger_va(raw: Raw) -> float:
    return charger_w(raw) / number(raw["charger"].get("power_factor", "70 %")) if charger_w(raw) else 0.0


def lagging(va: float, power_factor: float) -> complex:
    """Apparent power as a vector."""
    return va * complex(power_factor, math.sqrt(1.0 - power_factor**2))


def mains_vector(raw: Raw, loads: list[Raw]) -> complex:
    """What mains loads and the charger draw together, lagging positive [VA]."""
    each = [lagging(volt_amperes(load), factor(load)) for load in loads if not is_dc(load)]
    return sum(each) + lagging(charger_va(raw), number(raw.get("charger", {}).get("power_factor", "70 %")))


def mains_va(raw: Raw, loads: list[Raw]) -> float:
    """Vectors of different power factors do not add up like numbers."""
    return abs(mains_vector(raw, loads))


def mains_w(raw: Raw, loads: list[Raw]) -> float:
    return mains_vector(raw, loads).real


def mains_mean_w(raw: Raw, loads: list[Raw]) -> float:
    """With what switches itself by the share of the time it runs."""
    rests = sum(watts(load) * (1.0 - duty(load)) for load in loads if not is_dc(load))
    return mains_w(raw, loads) - rests


# ── how far it is ─────────────────────────────────────────────────────────────────────────────────────────

# The runs of the demo as they are where its file does not state them, added up by hand from its places and raceways, in inches: loop,
# then piece by piece from the block, loop. The trims lie at 68 in, the ceiling cavity at 79, the conduit at 76.
LAID_IN = {
    # up, to the nose wall, across, up, along the roof, across to the lights, down
    "ceiling lights": 6 + 32 + 11 + 22 + 11 + 119 + 12 + 3 + 6,
    "entry light": 6 + 32 + 11 + 75 + 53 + 1 + 4 + 6,  # up, to the nose wall, across, along the curb side, to the light
    "CO alarm": 6 + 32 + 7 + 126 + 11 + 32 + 6,  # up, to the trim, along the road side, to the bunk, down
    "work lights": 6 + 32 + 11 + 22 + 11 + 161 + 8 + 30 + 7 + 6,  # as the ceiling lights, to the end, out, across, down
    "roof fan": 6 + 32 + 11 + 22 + 11 + 131 + 12 + 1 + 6,  # as the ceiling lights
    "fridge": 6 + 36 + 64 + 24 + 12 + 6,  # down the nose chase, across, along, up
    "USB at the bunk": 6 + 32 + 7 + 126 + 11 + 32 + 6,
    "USB at the bench": 6 + 32 + 11 + 75 + 71 + 3 + 32 + 6,
    "roof cooler": 6 + 28 + 48 + 39 + 2 + 6,  # up the conduit, along, across, up
    "outdoor road side": 6 + 28 + 84 + 40 + 5 + 6,  # up the conduit, along, down, out
    "outdoor curb side": 6 + 48 + 78 + 96 + 5 + 36 + 6,  # down, across the floor, along, out, up
    "bench outlets": 6 + 48 + 78 + 48 + 1 + 36 + 6,
    "charger": 6 + 42 + 18 + 15 + 6,  # down the conduit, across to the battery box
}
TAPPED = {"entry and alarm": ("entry light", "CO alarm"), "usb": ("USB at the bunk", "USB at the bench")}
TRUNK_IN = 6 + 32  # what the two wires of a tapped circuit share: loop, up to the trim; one then goes across, one along


def run_m(circuit: Raw) -> float:
    """One-way length of a run [m]: stated, else the way to its far end."""
    if "run" in circuit:
        return number(circuit["run"])
    return max(LAID_IN[name] for name in TAPPED.get(circuit["name"], (circuit["name"],))) * 0.0254


def load_m(circuit: Raw, load: Raw) -> float:
    """How far along its circuit a load hangs [m]: stated, else at the end of a stated run, else as laid."""
    if "run" in load:
        return number(load["run"])
    if "run" in circuit or circuit["name"] not in TAPPED:
        return run_m(circuit)
    return LAID_IN[load["name"]] * 0.0254


# ── the battery side ──────────────────────────────────────────────────────────────────────────────────


def ohm_per_m(wire: str, celsius: float) -> float:
    """Copper of IEC 60028 (1.7241e-8 ohm m at 20 °C, 0.00393 a kelvin), strands two per cent longer."""
    area_m2 = cell("tables/wire_awg", "area_mm2", awg=wire.removesuffix(" AWG")) * 1e-6
    return 1.02 * 1.7241e-8 * (1.0 + 0.00393 * (celsius - 20.0)) / area_m2


def contact(name: str) -> float:
    return cell("catalogue/contacts", "resistance_ohm", contact=name)


def battery_ohm(raw: Raw) -> float:
    battery = raw["battery"]
    capacity = number(battery["capacity"]) * battery.get("count", 1)
    return (
        cell("tables/battery_limits", "resistance_mohm_per_100ah", chemistry=battery["chemistry"])
        / 1000.0
        * 100.0
        / capacity
    )


def feeder_ohm(raw: Raw, celsius: float) -> float:
    """Out and back, four lugs, the main fuse and the disconnect."""
    feeder = raw["feeder"]
    ohm = 2.0 * number(feeder["run"]) * ohm_per_m(feeder["wire"], celsius) + 4 * contact("lug")
    ohm += contact("main fuse") if "protection" in feeder else 0.0
    return ohm + (contact("disconnect") if feeder.get("disconnect") else 0.0)


def ends_ohm(circuit: Raw) -> float:
    """The fuse and the terminals at both ends of a run."""
    fuse = contact("fuse_drop_at_rating_v") / number(circuit["protection"]) if "protection" in circuit else 0.0
    return fuse + 2 * contact("spade")


def run_ohm(circuit: Raw, celsius: float) -> float:
    return 2.0 * run_m(circuit) * ohm_per_m(circuit["wire"], celsius) + ends_ohm(circuit)


def dc_ampacity(wire: str, insulation: str, air_c: float, bundle: int) -> float:
    """33 CFR 183.425 table 5, corrected for the air and the bundle."""
    rating = float(insulation.split()[0])
    table = cell("tables/cfr183_ampacity", f"a_{rating:.0f}c", awg=wire.removesuffix(" AWG"))
    (factor,) = [
        float(row["factor"])
        for row in rows("tables/marine_bundling")
        if int(row["ccc_from"]) <= bundle <= int(row["ccc_to"])
    ]
    return table * math.sqrt(max(rating - air_c, 0.0) / (rating - 30.0)) * factor


def heat_c(current: float, ampacity: float, air_c: float, rating_c: float) -> float:
    """The rise over the air grows with the square of the current; at the ampacity it reaches the rating."""
    return air_c + (rating_c - air_c) * (current / ampacity) ** 2


def battery_side(
    raw: Raw, emf: float, drawn: Mapping[str, float], wire_c: float | Mapping[str, float], feeder_c: float
) -> dict[str, float]:
    """Voltages with loads of so many watts: ``battery``, ``block`` and every load by name; ``amps`` from the battery.

    Found by going round: currents from voltages, voltages from currents, until nothing moves.
    """
    volts = {load["name"]: emf for load in raw["load"] if is_dc(load)}
    inside, feed = battery_ohm(raw), feeder_ohm(raw, feeder_c)
    battery = block = emf
    amps = 0.0
    for _ in range(500):
        current = {name: drawn_a(named(raw, "load", name), drawn.get(name, 0.0), v) for name, v in volts.items()}
        before, amps = amps, sum(current.values())
        battery, block = emf - amps * inside, emf - amps * (inside + feed)
        for circuit in raw["circuit"]:
            if circuit["system"] == "dc":
                warm = wire_c if isinstance(wire_c, float) else wire_c[circuit["name"]]
                _down_the_run(raw, circuit, block, current, volts, warm)
        if abs(amps - before) < 1e-13:
            break
    return {**volts, "battery": battery, "block": block, "amps": amps}


def drawn_a(load: Raw, power: float, volts: float) -> float:
    kind = appliance(load)["kind"]
    if kind == "resistive":
        return power / 12.0**2 * volts
    return power / 12.0 if kind == "constant current" else power / volts


@dataclass(frozen=True)
class Piece:
    """One piece of a circuit's wire: the number of the piece that feeds it, -1 at the block; metres; loads at its end."""

    parent: int
    metres: float
    loads: tuple[str, ...]


def pieces(raw: Raw, circuit: Raw) -> list[Piece]:
    """A circuit as a tree: a stated run holds its loads one behind the other, a laid one forks where its ways part."""
    loads = [load for load in raw["load"] if load["circuit"] == circuit["name"]]
    if "run" in circuit or circuit["name"] not in TAPPED:
        at = {load["name"]: load_m(circuit, load) for load in loads}
        stops = [0.0, *sorted(set(at.values()) | {run_m(circuit)})]
        return [
            Piece(k - 1, stop - before, tuple(name for name, metres in at.items() if metres == stop))
            for k, (before, stop) in enumerate(zip(stops, stops[1:], strict=False))
        ]
    assert all("run" not in load for load in loads), "a tapped load with a stated distance is not worked by hand"
    spurs = [Piece(0, (LAID_IN[load["name"]] - TRUNK_IN) * 0.0254, (load["name"],)) for load in loads]
    return [Piece(-1, TRUNK_IN * 0.0254, ()), *spurs]


def _down_the_run(
    raw: Raw, circuit: Raw, block: float, current: Mapping[str, float], volts: dict[str, float], wire_c: float
) -> None:
    tree, per_m = pieces(raw, circuit), ohm_per_m(circuit["wire"], wire_c)
    in_piece = [sum(current[name] for name in piece.loads) for piece in tree]
    for k in range(len(tree) - 1, 0, -1):  # a piece carries what hangs at its end and all that is fed from there
        in_piece[tree[k].parent] += in_piece[k]
    end: list[float] = []
    for k, piece in enumerate(tree):
        start = end[piece.parent] if piece.parent >= 0 else block - in_piece[k] * ends_ohm(circuit)
        end.append(start - in_piece[k] * 2.0 * piece.metres * per_m)
        volts.update(dict.fromkeys(piece.loads, end[k]))
