"""Facts about a trailer that is wrong in ten places: which of them are mistakes, and what mends each.

A fact names the rule that looks at it. Whether it is a mistake is asked of the studies, never written down here.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from trailerlib import units
from trailerlib.design.design import Design
from trailerlib.rules.finding import Finding
from trailerlib.studies import assess
from trailerlib.studies.lessons.making import Dice

TRAILER = "ten-mistakes"
HURTS = ("stop", "fix")
Changes = Mapping[tuple[str, ...], Any]
AS_IT_IS: Changes = MappingProxyType({})
WAY = (
    ("The battery", ("fuse distance", "feeder", "disconnect", "strap", "battery box")),
    ("Its wires", ("usb fuse", "reading lights", "ceiling lights")),
    ("The mains side", ("outdoor outlet", "neutral", "main", "cord", "bench outlets", "charger")),
    ("What people breathe", ("heater", "alarm", "window")),
    ("What can move on the road", ("press", "paper", "bunk")),
)


@dataclass(frozen=True)
class Mend:
    """One thing that could be done: its words, and what it changes in the design."""

    words: str
    changes: Changes


@dataclass(frozen=True)
class Fact:
    """Something that can be seen: its words, the rule that looks at it and words of that rule's subject.

    ``mends`` are what could be done, some of which help.
    """

    key: str
    words: Callable[[Design], str]
    rule: str
    subject: str
    mends: tuple[Mend, ...] = field(default=())

    def looked_at(self, found: Finding) -> bool:
        """Whether a finding is about this fact."""
        return found.rule == self.rule and self.subject in found.subject


def checks_of(design: Design) -> tuple[Finding, ...]:
    """Every check of every study of a design."""
    return tuple(check for answer in assess(design).answers.values() for check in answer.checks)


def wrong(facts: tuple[Fact, ...], checks: tuple[Finding, ...]) -> dict[str, Finding]:
    """The facts that are mistakes, by their key, each with the finding that says so."""
    bad = [found for found in checks if found.severity in HURTS]
    pairs = ((fact.key, next((found for found in bad if fact.looked_at(found)), None)) for fact in facts)
    return {key: found for key, found in pairs if found is not None}


def left_over(facts: tuple[Fact, ...], checks: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """What is wrong and belongs to none of the facts: a mend that makes something else worse."""
    bad = dict.fromkeys(found for found in checks if found.severity in HURTS)
    return tuple(found for found in bad if not any(fact.looked_at(found) for fact in facts))


def along_the_way(facts: tuple[Fact, ...]) -> tuple[tuple[str, tuple[Fact, ...]], ...]:
    """The facts as the current goes, by the heads of ``WAY``; under each in an order that tells nothing."""
    dice, by_key = Dice(TRAILER), {fact.key: fact for fact in facts}
    found = []
    for head, keys in WAY:
        rest, here = [by_key[key] for key in keys], list[Fact]()
        while rest:
            here.append(rest.pop(int(dice.between(0, len(rest) - 1, 1))))
        found.append((head, tuple(here)))
    return tuple(found)


def shuffled(facts: tuple[Fact, ...]) -> tuple[Fact, ...]:
    """The facts in the order in which they stand on the page."""
    return tuple(fact for _, here in along_the_way(facts) for fact in here)


def _circuit(name: str, words: str) -> Callable[[Design], str]:
    """Run, wire and fuse of a circuit in a sentence with places for them."""

    def said(design: Design) -> str:
        circuit = design.circuit(name)
        run = units.show(design.run_m(circuit), "length", design.units)
        fuse = units.show(circuit.protection, "current", design.units)
        return words.format(run=run, wire=circuit.wire, fuse=fuse)

    return said


def _cargo(name: str, words: str) -> Callable[[Design], str]:
    def said(design: Design) -> str:
        thing = next(one for one in design.cargo if one.name == name)
        mass, at = (units.show(v, k, design.units) for v, k in ((thing.mass, "mass"), (thing.at[0], "length")))
        return words.format(mass=mass, at=at, bolts=thing.bolts)

    return said


def _feeder(words: str) -> Callable[[Design], str]:
    def said(design: Design) -> str:
        feeder = design.feeder
        assert feeder is not None
        far = units.show(feeder.fuse_from_battery, "small length", design.units)
        return words.format(far=far, wire=feeder.wire, fuse=units.show(feeder.protection, "current", design.units))

    return said


def _supply(words: str) -> Callable[[Design], str]:
    def said(design: Design) -> str:
        supply = design.supplies[0]
        run = units.show(supply.cord_run, "length", design.units)
        main = units.show(design.mains.main, "current", design.units)
        return words.format(run=run, wire=supply.cord, main=main, inlet=design.mains.inlet)

    return said


def _says(words: str) -> Callable[[Design], str]:
    return lambda design: words


def _to(*path: str, **choices: Any) -> tuple[Mend, ...]:
    """One place in the design, and several values for it by their words."""
    return tuple(Mend(words.replace("_", " "), {path: value}) for words, value in choices.items())


FACTS: tuple[Fact, ...] = (
    Fact(
        "fuse distance",
        _feeder("The main fuse sits {far} of wire from the battery's post."),
        "main-fuse-distance",
        "main",
        _to("feeder", "fuse_from_battery", a_little_nearer="30 in", beside_the_post="4 in", at_the_fuse_block="6 ft"),
    ),
    Fact(
        "usb fuse",
        _circuit("usb", "The USB sockets hang on {wire} behind {fuse}."),
        "fuse-guards-wire",
        '"usb"',
        _to("circuit", "usb", "protection", a_larger_fuse="40 A", a_fuse_of_15_A="15 A", a_fuse_of_25_A="25 A"),
    ),
    Fact(
        "press",
        _cargo("book press", "The book press, {mass}, stands {at} behind the nose."),
        "tongue-too-light",
        "trailer",
        tuple(
            Mend(words, {("cargo", "book press", "at"): [at, "1 ft 6 in", "2 ft"]})
            for words, at in (
                ("against the rear doors", "11 ft 6 in"),
                ("over the axle", "7 ft"),
                ("as far forward as it fits", "1 ft"),
            )
        ),
    ),
    Fact(
        "battery box",
        _says("The battery's box has a tight lid and no vent."),
        "battery-gas",
        "battery box",
        _to("safety", "battery_vented", leave_the_lid_off_the_latch=False, vent_it_to_the_outside=True),
    ),
    Fact(
        "outdoor outlet",
        _says("The outlet under the awning is on a plain breaker."),
        "receptacle-gfci",
        "outdoor outlet",
        _to("circuit", "outdoor outlet", "gfci", put_a_cover_on_it=False, protect_it_against_ground_faults=True),
    ),
    Fact(
        "neutral",
        _says("The neutral bar is screwed to the panel's box."),
        "neutral-isolated",
        "neutral",
        _to("mains", "neutral_isolated", tighten_the_screw=False, take_the_bonding_screw_out=True),
    ),
    Fact(
        "heater",
        _says("A gas heater without a flue warms the bunk."),
        "open-flame-heater",
        "heater",
        _to("comfort", "heater", a_smaller_flame="open flame", one_with_a_flue_of_its_own="sealed flame"),
    ),
    Fact(
        "alarm",
        _says("A smoke alarm is over the bunk, and no other alarm."),
        "carbon-monoxide-alarm",
        "sleeping",
        _to("safety", "co_alarm", a_second_smoke_alarm=False, a_carbon_monoxide_alarm=True),
    ),
    Fact(
        "paper",
        _cargo("paper and board", "Paper and board, {mass}, are stacked on the floor."),
        "thing-held",
        "paper",
        (
            Mend("a wedge in front", {("cargo", "paper and board", "bolts"): 0}),
            Mend(
                "two straps over it, and a kerb round it",
                {
                    ("cargo", "paper and board", "straps"): 2,
                    ("cargo", "paper and board", "strap_limit"): "1000 lb",
                    ("cargo", "paper and board", "strap_angle"): 45,
                    ("cargo", "paper and board", "strap_way"): "over",
                    ("cargo", "paper and board", "contained"): True,
                },
            ),
        ),
    ),
    Fact(
        "reading lights",
        _circuit("reading lights", "The reading light hangs on {run} of {wire}, one way."),
        "wire-drop",
        "reading lights",
        _to(
            "circuit",
            "reading lights",
            "wire",
            thinner_wire="20 AWG",
            one_size_thicker="16 AWG",
            much_thicker_wire="12 AWG",
        ),
    ),
    Fact(
        "ceiling lights",
        _circuit("ceiling lights", "The ceiling lights hang on {run} of {wire} behind {fuse}."),
        "wire-drop",
        "ceiling lights",
    ),
    Fact(
        "bench outlets",
        _circuit("bench outlets", "The outlets at the bench hang on {wire} behind {fuse}."),
        "fuse-guards-wire",
        "bench outlets",
    ),
    Fact(
        "feeder",
        _feeder("From the battery to the fuse block runs {wire} behind {fuse}."),
        "fuse-guards-wire",
        "main fuse",
    ),
    Fact(
        "disconnect",
        _says("A switch takes the battery off the fuse block."),
        "battery-disconnect",
        "",
    ),
    Fact(
        "strap",
        _says("The battery is strapped down, and its box holds its foot."),
        "battery-held",
        "battery",
    ),
    Fact(
        "main",
        _supply("The inlet is {inlet}, the main breaker {main}."),
        "main-breaker-inlet",
        "",
    ),
    Fact(
        "cord",
        _supply("The cord is {run} of {wire}."),
        "supply-cord",
        "market pedestal",
    ),
    Fact(
        "charger",
        _circuit("charger", "The charger hangs on {wire} behind {fuse}."),
        "fuse-guards-wire",
        "charger",
    ),
    Fact(
        "bunk",
        _cargo("bunk", "{bolts} bolts hold the bunk of {mass}."),
        "thing-held",
        "bunk",
    ),
    Fact(
        "window",
        _says("The window over the bunk stands open a hand's breadth at night."),
        "air-carbon-dioxide",
        "",
    ),
)
