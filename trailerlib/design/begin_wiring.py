"""The wiring of a begun trailer: bank, feeder and battery circuits; inlet, supplies, charger and mains branches."""

from __future__ import annotations

from collections.abc import Iterator

from trailerlib.design import plug_types, supply_classes
from trailerlib.design.begin_answers import NONE, Answers
from trailerlib.design.begin_pen import Pen

SMALL_INLET = "TT-30"  # NFPA 70 551.46: for a trailer on 30 A


class WiringLines(Pen):
    """What is said of battery and mains."""

    def __init__(self, answers: Answers) -> None:
        super().__init__(answers)
        plug = _inlet(answers)
        self.legs = 1 if plug is None else plug_types.plug(plug).legs
        self.inlet = plug
        self._leg = 0

    def battery(self) -> Iterator[str]:
        """The bank and its feeder."""
        yield from ("", "[battery]", f'chemistry = "{self.ask.chemistry}"', f'capacity = "{self.ask.capacity:g} Ah"')
        yield self.kept("hour_rate", '"5 h"' if self.ask.chemistry == "lfp" else '"20 h"')
        yield 'place = "battery box"'
        yield from ("", "[feeder]  # battery to fuse block")
        yield self.kept("wire", '"6 AWG"')
        yield self.kept("insulation", '"105 C"')
        yield self.kept("run", self.length(1.2))
        yield self.kept("protection", '"80 A"')
        yield self.kept("device", '"class t"')
        yield self.kept("fuse_from_battery", self.small(4.0))
        yield self.kept("disconnect", "true")

    def battery_loads(self) -> Iterator[str]:
        """Circuits and loads of the battery side."""
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
        yield self.kept("wire", f'"{wire}"')
        yield self.kept("insulation", '"105 C"')
        yield self.kept("protection", f'"{fuse} A"')
        yield self.kept("drop_limit", f'"{limit}"')
        for load in loads:
            yield from self._load(name, *load)

    def _load(self, circuit: str, name: str, kind: str, place: str, count: int) -> Iterator[str]:
        if count:
            yield from ("", "[[load]]", f'name = "{name}"', self.kept("class", f'"{kind}"'), f'circuit = "{circuit}"')
            yield from (f'place = "{place}"', f"count = {count}")

    def mains(self) -> Iterator[str]:
        """The mains side: inlet, supplies, charger, branches."""
        rating = plug_types.plug(str(self.inlet)).rating_a
        yield from ("", "[mains]", self.kept("inlet", f'"{self.inlet}"'), self.kept("main", f'"{rating:g} A"'))
        yield self.kept("inlet_wire", '"6 AWG"' if rating > 30 else '"10 AWG"')
        yield from (self.kept("inlet_insulation", '"90 C"'), 'inlet_place = "inlet"')
        yield self.kept("transfer", '"single inlet"')
        yield self.kept("neutral_isolated", "true")
        yield self.kept("frame_bond", '"6 AWG"' if rating > 30 else '"8 AWG"')
        if self.ask.supply != NONE:
            kind = supply_classes.supply_kinds()[self.ask.supply]
            yield from ("", "[[supply]]", 'name = "shore"', f'kind = "{self.ask.supply}"', 'place = "inlet"')
            yield self.kept("cord", f'"{kind.cord}"')
            yield self.kept("cord_run", self.length(kind.cord_run_m))
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
        yield self.kept("cord", '"10 AWG"')
        yield self.kept("cord_run", self.length(7.6))
        yield from self._adapted(supply_classes.generator_kinds()[self.ask.generator].plug)

    def _adapted(self, plug: str) -> Iterator[str]:
        if plug != self.inlet:
            yield self.kept("adapters", f'["{plug} to {self.inlet}"]')

    def _charger(self) -> Iterator[str]:
        amps = 10 if self.ask.capacity <= 60 else 20
        yield from ("", "[charger]", self.kept("current", f'"{amps} A"'), 'circuit = "charger"')
        yield from self._branch("charger", "14 AWG", 15, "battery box")

    def _branch(self, name: str, wire: str, breaker: int, to: str = "", outlets: int = 0) -> Iterator[str]:
        yield from ("", "[[circuit]]", f'name = "{name}"', 'system = "mains"')
        yield self.kept("wire", f'"{wire}"')
        yield self.kept("insulation", '"90 C"')
        yield self.kept("protection", f'"{breaker} A"')
        yield 'device = "breaker"'
        if to:
            yield f'to = "{to}"'
        if outlets:
            yield self.kept("receptacle", f'"5-{breaker}"')
            yield f"outlets = {outlets}"
            yield self.kept("gfci", "true")
        if self.legs == 2:
            self._leg += 1
            yield self.kept("leg", f"{1 + self._leg % 2}")


def _inlet(answers: Answers) -> str | None:
    """The plug type of the inlet; what is smaller is plugged into it by an adapter."""
    if not answers.has_mains:
        return None
    shore = supply_classes.supply_kinds().get(answers.supply)
    return shore.plug if shore is not None and plug_types.plug(shore.plug).rating_a >= 30.0 else SMALL_INLET
