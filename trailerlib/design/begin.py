"""A trailer of one's own from a dozen answers: a whole design file, every line that was not asked marked as assumed.

What is assumed is common practice of a small box trailer, no source: each such line ends in ``# assumed`` and wants to
be looked at. What would be a guess with consequences (masses, ratings, what a plate says) is left out instead, so that
what depends on it reads "not checked".
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from trailerlib import units
from trailerlib.design import catalogue
from trailerlib.design.design import Design, Origin, design_from
from trailerlib.design.errors import DesignError
from trailerlib.design.keeping import digest, keep, parse
from trailerlib.design.model import plain_text

MARK = "assumed"
NONE = "none"
SMALL_INLET = "TT-30"  # NFPA 70 551.46: for a trailer on 30 A
SMALLEST_M = (2.4, 1.4, 1.4)
Chemistry = Literal["flooded", "agm", "gel", "lfp"]


@dataclass(frozen=True)
class Answers:
    """What is asked. Lengths [m], temperatures [°C], elevation [m], capacity [Ah].

    ``supply`` is a kind of shore or household supply, ``generator`` a class, ``cooler`` a class of roof cooler; each
    may be "none". ``lights`` are ceiling lights, ``outlets`` mains outlets at the bench, ``outside`` outlets outside.
    """

    title: str = "My trailer"
    system: units.System = "us"
    length: float = 4.2672
    width: float = 2.1336
    height: float = 1.9812
    sleepers: int = 1
    hottest: float = 35.0
    coldest: float = 0.0
    elevation: float = 304.8
    chemistry: Chemistry = "agm"
    capacity: float = 100.0
    supply: str = "shore 30 A"
    generator: str = NONE
    cooler: str = NONE
    fan: bool = True
    fridge: bool = True
    lights: int = 4
    outlets: int = 2
    outside: int = 0

    @property
    def has_mains(self) -> bool:
        """Whether there is anything to feed a mains side from."""
        return self.supply != NONE or self.generator != NONE


def begun(answers: Answers) -> str:
    """The text of a design file.

    Parameters
    ----------
    answers : what was asked

    Raises
    ------
    DesignError
        When an answer makes no trailer.
    """
    _sound(answers)
    text = "\n".join(_Writer(answers).lines()) + "\n"
    design_from(parse(text))
    return text


def begin(answers: Answers, file: Path, before: Design | None) -> Design:
    """Write a begun design to a file; the design that was there goes into the history, never lost.

    Parameters
    ----------
    answers : what was asked
    file : where
    before : the design that is open there; None when there is no file yet

    Raises
    ------
    DesignError
        When an answer makes no trailer, or the file has changed on disk since it was opened.
    """
    body = begun(answers)

    def render(_: str | None, revision: int) -> str:
        return body.replace("revision = 1", f"revision = {revision}", 1)

    text = keep(
        file.resolve(), None if before is None else before.origin, 1 if before is None else before.revision, render
    )
    made = design_from(parse(text))
    made._origin = Origin(str(file.resolve()), digest(text))
    return made


def assumed_lines(text: str) -> int:
    """How many lines of a design file are still marked as assumed.

    Parameters
    ----------
    text : the file
    """
    return sum(line.rstrip().endswith(f"# {MARK}") for line in text.splitlines())


def _sound(answers: Answers) -> None:
    try:
        plain_text(answers.title)
    except ValueError as error:
        raise DesignError(f"the name of the trailer: {error}") from None
    if not answers.title.strip():
        raise DesignError("the trailer has no name yet; write one, such as My trailer.")
    show = [units.show(one, "length", answers.system) for one in SMALLEST_M]
    for words, value, least, least_shown in zip(
        ("length", "width", "height"), (answers.length, answers.width, answers.height), SMALLEST_M, show, strict=True
    ):
        if value < least:
            raise DesignError(
                f"the {words} of the box is under {least_shown}; nobody works in less. Measure it inside."
            )
    if answers.coldest > answers.hottest:
        raise DesignError("the coldest night is warmer than the hottest day; exchange the two.")
    if answers.cooler != NONE and not answers.has_mains:
        raise DesignError("a roof cooler wants a supply or a generator; pick one, or no cooler.")


class _Writer:
    """The lines of the file, part by part."""

    def __init__(self, answers: Answers) -> None:
        self.ask = answers
        plug = _inlet(answers)
        self.legs = 1 if plug is None else catalogue.plug(plug).legs
        self.inlet = plug
        self._leg = 0

    def lines(self) -> Iterator[str]:
        """The whole file."""
        yield f"# {self.ask.title}: begun from a dozen answers."
        yield f"# A line that ends in “{MARK}” was not asked: look at it, measure, change it, then take the mark away."
        yield "# Masses, ratings and what stands on plates are left out: what depends on them reads “not checked”."
        yield ""
        yield f"title = {json.dumps(self.ask.title, ensure_ascii=False)}"
        yield "revision = 1"
        yield f'units = "{self.ask.system}"'
        yield self._kept("practice", '"north-america"')
        yield 'fuse_block = "fuse block"'
        if self.ask.has_mains:
            yield 'panel = "mains panel"'
        for part in (self._who, self._box, self._places, self._raceways, self._battery, self._battery_loads):
            yield from part()
        if self.ask.has_mains:
            yield from self._mains()
        for part in (self._stays, self._shell, self._openings):
            yield from part()

    def _kept(self, key: str, value: str) -> str:
        return f"{key} = {value}  # {MARK}"

    def _length(self, metres: float) -> str:
        return (
            f'"{units.written(round(units.outside(metres, "length", self.ask.system), 2), "length", self.ask.system)}"'
        )

    def _small(self, inches: float) -> str:
        system = self.ask.system
        value = units.outside(inches * 0.0254, "small length", system)
        return f'"{units.written(round(value, 3 if system == "us" else 0), "small length", system)}"'

    def _quantity(self, value: float, kind: str) -> str:
        return f'"{units.written(round(units.outside(value, kind, self.ask.system), 1), kind, self.ask.system)}"'

    def _at(self, *metres: float) -> str:
        return f"[{', '.join(self._length(one) for one in metres)}]"

    def _who(self) -> Iterator[str]:
        yield from ("", "[use]", f"sleepers = {self.ask.sleepers}", "", "[site]")
        yield f"elevation = {self._quantity(self.ask.elevation, 'elevation')}"
        yield self._kept("latitude", "40.0")
        yield self._kept("day", '"07-21"')
        yield f"hottest = {self._quantity(self.ask.hottest, 'temperature')}"
        yield f"coldest = {self._quantity(self.ask.coldest, 'temperature')}"
        yield self._kept("dew_point", self._quantity(min(16.0, self.ask.hottest - 8.0), "temperature"))

    def _box(self) -> Iterator[str]:
        yield from ("", "[trailer]  # the box, inside")
        for key in ("length", "width", "height"):
            yield f"{key} = {self._length(getattr(self.ask, key))}"
        yield self._kept("axles", "2" if self.ask.length > 3.9 else "1")

    def _places(self) -> Iterator[str]:
        yield from ("", "# where things are: [from the nose wall, from the left (road side) wall, above the floor]")
        for name, at in self._spots().items():
            yield from ("", "[[place]]", f'name = "{name}"', self._kept("at", self._at(*at)))

    def _spots(self) -> dict[str, tuple[float, float, float]]:
        long, wide, high = self.ask.length, self.ask.width, self.ask.height
        spots = {
            "battery box": (0.15, 0.45, 0.15),
            "fuse block": (0.3, 0.2, 0.9),
            "ceiling": (0.6 * long, wide / 2, high - 0.05),
            "side door": (0.3 * long, wide, high - 0.15),
            "bench": (0.45 * long, wide - 0.1, 0.9),
        }
        if self.ask.sleepers:
            spots["bunk"] = (0.8 * long, 0.3, 0.9)
        if self.ask.fan:
            spots["roof fan"] = (0.76 * long, wide / 2, high)
        if self.ask.fridge:
            spots["fridge"] = (0.9, wide - 0.3, 0.3)
        if self.ask.has_mains:
            spots |= {"mains panel": (0.6, 0.08, 1.2), "inlet": (0.9, -0.05, 0.4)}
        if self.ask.outside:
            spots["outside wall"] = (0.6 * long, wide + 0.05, 0.9)
        if self.ask.cooler != NONE:
            spots["roof cooler"] = (0.42 * long, wide / 2, high)
        if self.ask.generator != NONE:
            spots["generator"] = (-6.0, wide / 2, 0.0)
        return spots

    def _raceways(self) -> Iterator[str]:
        long, wide, trim = self.ask.length - 0.03, self.ask.width - 0.03, self.ask.height - 0.15
        beside = self.ask.width / 2 - 0.45  # of the holes for fan and cooler
        over = self.ask.height - 0.02
        yield from ("", "[routing]", self._kept("service_loop", self._small(6.0)))
        ways = {
            "trim, road side": ("trim gap", "dc", [(0.03, 0.03, trim), (long, 0.03, trim)]),
            "trim, curb side": ("trim gap", "dc", [(0.03, 0.03, trim), (0.03, wide, trim), (long, wide, trim)]),
            "ceiling": ("ceiling cavity", "dc", [(0.03, beside, trim), (0.03, beside, over), (long, beside, over)]),
        }
        if self.ask.has_mains:
            ways["floor, to the curb side"] = (
                "floor chase",
                "mains",
                [(0.6, 0.08, 0.0), (0.6, wide, 0.0), (long, wide, 0.0)],
            )
        if self.ask.cooler != NONE:
            way = [(0.6, 0.08, 1.2), (0.6, 0.08, over), (0.42 * self.ask.length, 0.08, over)]
            ways["conduit to the cooler"] = ("conduit", "mains", [*way, (0.42 * self.ask.length, wide / 2, over)])
        for name, (kind, carries, path) in ways.items():
            yield from (
                "",
                "[[raceway]]",
                f'name = "{name}"',
                self._kept("kind", f'"{kind}"'),
                f'carries = "{carries}"',
            )
            yield self._kept("path", f"[{', '.join(self._at(*point) for point in path)}]")

    def _battery(self) -> Iterator[str]:
        yield from ("", "[battery]", f'chemistry = "{self.ask.chemistry}"', f'capacity = "{self.ask.capacity:g} Ah"')
        yield self._kept("hour_rate", '"5 h"' if self.ask.chemistry == "lfp" else '"20 h"')
        yield 'place = "battery box"'
        yield from ("", "[feeder]  # battery to fuse block")
        yield self._kept("wire", '"6 AWG"')
        yield self._kept("insulation", '"105 C"')
        yield self._kept("run", self._length(1.2))
        yield self._kept("protection", '"80 A"')
        yield self._kept("device", '"class t"')
        yield self._kept("fuse_from_battery", self._small(4.0))
        yield self._kept("disconnect", "true")

    def _battery_loads(self) -> Iterator[str]:
        yield from self._dc(
            "lights", "14 AWG", 10, "10 %", [("ceiling lights", "led ceiling light", "ceiling", self.ask.lights)]
        )
        alarm = [("CO alarm", "carbon monoxide alarm", "bunk", 1)] if self.ask.sleepers else []
        yield from self._dc("entry", "14 AWG", 10, "10 %", [("entry light", "led entry light", "side door", 1), *alarm])
        yield from self._dc("usb", "12 AWG", 15, "10 %", [("usb outlet", "usb outlet", "bench", 1)])
        if self.ask.fan:
            yield from self._dc("roof fan", "12 AWG", 10, "3 %", [("roof fan", "roof fan medium", "roof fan", 1)])
        if self.ask.fridge:
            yield from self._dc("fridge", "10 AWG", 15, "3 %", [("fridge", "compressor fridge", "fridge", 1)])

    def _dc(self, name: str, wire: str, fuse: int, limit: str, loads: list[tuple[str, str, str, int]]) -> Iterator[str]:
        if not any(count for *_, count in loads):
            return
        yield from ("", "[[circuit]]", f'name = "{name}"', 'system = "dc"')
        yield self._kept("wire", f'"{wire}"')
        yield self._kept("insulation", '"105 C"')
        yield self._kept("protection", f'"{fuse} A"')
        yield self._kept("drop_limit", f'"{limit}"')
        for load in loads:
            yield from self._load(name, *load)

    def _load(self, circuit: str, name: str, kind: str, place: str, count: int) -> Iterator[str]:
        if count:
            yield from ("", "[[load]]", f'name = "{name}"', self._kept("class", f'"{kind}"'), f'circuit = "{circuit}"')
            yield from (f'place = "{place}"', f"count = {count}")

    def _mains(self) -> Iterator[str]:
        rating = catalogue.plug(str(self.inlet)).rating_a
        yield from ("", "[mains]", self._kept("inlet", f'"{self.inlet}"'), self._kept("main", f'"{rating:g} A"'))
        yield self._kept("inlet_wire", '"6 AWG"' if rating > 30 else '"10 AWG"')
        yield from (self._kept("inlet_insulation", '"90 C"'), 'inlet_place = "inlet"')
        yield self._kept("transfer", '"single inlet"')
        yield self._kept("neutral_isolated", "true")
        yield self._kept("frame_bond", '"6 AWG"' if rating > 30 else '"8 AWG"')
        if self.ask.supply != NONE:
            kind = catalogue.supply_kinds()[self.ask.supply]
            yield from ("", "[[supply]]", 'name = "shore"', f'kind = "{self.ask.supply}"', 'place = "inlet"')
            yield self._kept("cord", f'"{kind.cord}"')
            yield self._kept("cord_run", self._length(kind.cord_run_m))
            yield from self._adapted(kind.plug)
        if self.ask.generator != NONE:
            yield from self._generator()
        yield from self._charger()
        if self.ask.cooler != NONE:
            yield from self._branch("roof cooler", "12 AWG", 20)
            yield from self._load("roof cooler", "roof cooler", self.ask.cooler, "roof cooler", 1)
        if self.ask.outlets:
            yield from self._branch("bench outlets", "12 AWG", 20, "bench", self.ask.outlets)
            yield from self._load("bench outlets", "laptop", "laptop charger", "bench", 1)
        if self.ask.outside:
            yield from self._branch("outside outlets", "12 AWG", 20, "outside wall", self.ask.outside)

    def _generator(self) -> Iterator[str]:
        yield from ("", "[[supply]]", 'name = "generator"', f'kind = "{self.ask.generator}"', 'place = "generator"')
        yield self._kept("cord", '"10 AWG"')
        yield self._kept("cord_run", self._length(7.6))
        yield from self._adapted(catalogue.generator_kinds()[self.ask.generator].plug)

    def _adapted(self, plug: str) -> Iterator[str]:
        if plug != self.inlet:
            yield self._kept("adapters", f'["{plug} to {self.inlet}"]')

    def _charger(self) -> Iterator[str]:
        amps = 10 if self.ask.capacity <= 60 else 20
        yield from ("", "[charger]", self._kept("current", f'"{amps} A"'), 'circuit = "charger"')
        yield from self._branch("charger", "14 AWG", 15, "battery box")

    def _branch(self, name: str, wire: str, breaker: int, to: str = "", outlets: int = 0) -> Iterator[str]:
        yield from ("", "[[circuit]]", f'name = "{name}"', 'system = "mains"')
        yield self._kept("wire", f'"{wire}"')
        yield self._kept("insulation", '"90 C"')
        yield self._kept("protection", f'"{breaker} A"')
        yield 'device = "breaker"'
        if to:
            yield f'to = "{to}"'
        if outlets:
            yield self._kept("receptacle", f'"5-{breaker}"')
            yield f"outlets = {outlets}"
            yield self._kept("gfci", "true")
        if self.legs == 2:
            self._leg += 1
            yield self._kept("leg", f"{1 + self._leg % 2}")

    def _stays(self) -> Iterator[str]:
        night = {
            "ceiling lights": "19:00-22:30",
            "CO alarm": "all",
            "roof fan": "all",
            "fridge": "all",
            "usb outlet": "19:00-23:00",
        }
        yield from self._stay(
            "night", "battery", "19:00", "07:00", self.ask.coldest, self.ask.sleepers, "asleep", night
        )
        if self.ask.has_mains:
            day = {"roof cooler": "10:00-18:00", "laptop": "09:00-17:00", "fridge": "all"}
            supply = "shore" if self.ask.supply != NONE else "generator"
            people = max(1, self.ask.sleepers)
            yield from self._stay(
                "working day", supply, "08:00", "19:00", self.ask.hottest, people, "light bench work", day
            )

    def _stay(
        self, name: str, supply: str, start: str, end: str, air: float, people: int, activity: str, on: dict[str, str]
    ) -> Iterator[str]:
        yield from ("", "[[stay]]", f'name = "{name}"', f'supply = "{supply}"')
        yield from (self._kept("from", f'"{start}"'), self._kept("to", f'"{end}"'))
        yield f"ambient = {self._quantity(air, 'temperature')}"
        yield f"people = {people}"
        if people:
            yield self._kept("activity", f'"{activity}"')
        there = self._names()
        for load, when in on.items():
            if load in there:
                yield self._kept(f'on."{load}"', f'"{when}"')

    def _names(self) -> set[str]:
        wanted = {"ceiling lights": self.ask.lights, "CO alarm": self.ask.sleepers, "roof fan": self.ask.fan,
                  "fridge": self.ask.fridge, "usb outlet": 1, "roof cooler": self.ask.cooler != NONE,
                  "laptop": self.ask.has_mains and self.ask.outlets}  # fmt: skip
        return {name for name, there in wanted.items() if there}

    def _shell(self) -> Iterator[str]:
        yield from ("", "[envelope]", self._kept("skin", '"white paint"'))
        yield from (self._kept("heading", "90"), self._kept("leakage", "0.7"))
        foam = {"walls": 1.0, "roof": 1.5, "door": 0.75}
        for name in ("walls", "roof", "floor", "door"):
            skin, board = f'["aluminium", {self._small(0.03)}]', f'["plywood", {self._small(0.25)}]'
            layers = [f'["plywood", {self._small(0.75)}]']
            if name in foam:
                layers = [skin, f'["extruded polystyrene", {self._small(foam[name])}]', board]
            yield from ("", "[[face]]", f'name = "{name}"', self._kept("layers", f"[{', '.join(layers)}]"))
        yield from ("", "[comfort]")
        if self.ask.cooler != NONE:
            yield self._kept("set_point", self._quantity(25.0, "temperature"))
        yield self._kept("heat_to", self._quantity(15.0, "temperature"))

    def _openings(self) -> Iterator[str]:
        long, wide = self.ask.length, self.ask.width
        door = min(1.7, self.ask.height - 0.25)  # under the trim
        yield from self._hole("side door", "door", "curb", (0.3 * long, door / 2 + 0.02), (0.8, door))
        yield from self._hole("window", "window", "road", (0.6 * long, 0.6 * self.ask.height), (0.7, 0.5))
        yield self._kept("glazing", '"single acrylic"')
        yield self._kept("gap", self._small(3.0))
        if self.ask.fan:
            yield from self._hole("roof fan", "roof fan", "roof", (0.76 * long, wide / 2), (0.3556, 0.3556))
        if self.ask.cooler != NONE:
            yield from self._hole("roof cooler", "roof cooler", "roof", (0.42 * long, wide / 2), (0.3556, 0.3556))

    def _hole(
        self, name: str, kind: str, wall: str, at: tuple[float, float], size: tuple[float, float]
    ) -> Iterator[str]:
        yield from ("", "[[opening]]", f'name = "{name}"', f'kind = "{kind}"', f'wall = "{wall}"')
        yield from (self._kept("at", self._at(*at)), self._kept("size", self._at(*size)))


def _inlet(answers: Answers) -> str | None:
    """The plug type of the inlet; what is smaller is plugged into it by an adapter."""
    if not answers.has_mains:
        return None
    shore = catalogue.supply_kinds().get(answers.supply)
    return shore.plug if shore is not None and catalogue.plug(shore.plug).rating_a >= 30.0 else SMALL_INLET
