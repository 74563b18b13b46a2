"""Weight on coupler and wheels, and tie-downs, against what this project did not write."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from check import Check, each

import trailerlib as tl
from trailerlib import reference
from trailerlib.design.catalogue import masses
from trailerlib.design.model import Cargo
from trailerlib.physics import balance, restraint, tyre
from trailerlib.rules import road, tyres
from trailerlib.studies.towing import aboard, hold

LB, IN, FT, G = 0.45359237, 0.0254, 0.3048, 9.80665

# six masses [lb] behind the coupler [in], the axle 132 in behind it: worked apart from this project
POUNDS = np.array([1800.0, 99.0, 65.0, 300.0, 400.0, 150.0])
INCHES = np.array([116.0, 96.0, 70.0, 60.0, 140.0, 180.0])
TOTAL, CENTRE = balance.centre_of_mass(POUNDS, INCHES)
BOOK = "six masses on one axle, moments taken in a script of its own"


def share_of(pounds: float, share: float) -> float:
    return float(restraint.asked_kg(pounds, share))


def working(direction: str) -> float:
    return hold.share(direction)


def strap(**keys: Any) -> Cargo:
    return Cargo.model_validate({"name": "a", "mass": "500 lb", "at": ["1 ft", "1 ft", "1 ft"], **keys})


G_BOOK = 9.8  # of that book
PHYSICS = (
    "Giancoli, Physics: Principles with Applications, 7th edition, the problem with figure 9-61, as worked on a page of "
    "solutions: 2500 kg, 5.5 m behind the support, the tyres 2.5 m behind that"
)
CHART = "load limits of trailer tyres at 35, 50, 65 and 80 psi, a tyre maker's chart as posted on a boating forum"
# size: the load [lb] on the side wall and its pressure [psi], and what the chart gives at less
TYRES = {
    "ST175/80-13 at 35 psi": (1360.0, 50.0, 1100.0, 35.0), "ST185/80-13 at 35 psi": (1480.0, 50.0, 1200.0, 35.0),
    "ST205/75-15 at 35 psi": (1820.0, 50.0, 1480.0, 35.0), "ST225/75-15 at 35 psi": (2150.0, 50.0, 1760.0, 35.0),
    "ST225/75-15 at 50 psi": (2540.0, 65.0, 2150.0, 50.0), "ST225/75-15 at 65 psi": (2840.0, 80.0, 2540.0, 65.0),
}  # fmt: skip


def chart_lb(name: str) -> float:
    rated, full, _, pressure = TYRES[name]
    return float(tyre.carries_kg(rated, pressure, full))


EXACT = "statics has no spread; the source prints ten figures"
CHECKS = [
    Check("total of six masses", lambda: TOTAL, 2814.0, 1e-12, EXACT, BOOK, "independent"),
    Check("balance point of six masses", lambda: CENTRE, 115.08670931058991, 1e-12, EXACT, BOOK, "independent"),
    Check("tongue of six masses", lambda: balance.tongue_kg(TOTAL, CENTRE, 132.0), 360.560606060606, 1e-12, EXACT, BOOK,
          "independent"),
    Check("axle of six masses", lambda: balance.wheels_kg(TOTAL, CENTRE, 132.0), 2453.439393939394, 1e-12, EXACT, BOOK,
          "independent"),
    Check("share of six masses", lambda: balance.tongue_kg(TOTAL, CENTRE, 132.0) / TOTAL, 0.12813099007128855, 1e-12,
          EXACT, BOOK, "independent"),
    Check("empty trailer", lambda: balance.tongue_kg(1450.0, 9.6, 10.4), 111.5, 5e-4, "printed to one place",
          "worked by moments about the axle, 1450 lb with its centre 9.6 ft behind the ball, axle 10.4 ft",
          "independent"),
    Check("empty trailer by a scale", lambda: balance.centre_from_scale_m(1450 - 111.5385, 111.5385, 10.4), 9.6, 1e-6,
          "the reading is given to six figures", "the same example, read backwards", "independent"),
    Check("a trailer of 2500 kg, on its support", lambda: G_BOOK * balance.tongue_kg(2500.0, 5.5, 8.0), 7656.0, 1e-4,
          "whole newtons", PHYSICS),
    Check("a trailer of 2500 kg, on its tyres", lambda: G_BOOK * balance.wheels_kg(2500.0, 5.5, 8.0), 16844.0, 1e-4,
          "whole newtons", PHYSICS),
    Check("battery forward, breaking", lambda: 31 * G * _breaking("forward"), 243.20492, 1e-6, "printed to seven figures",
          "31 kg battery at 0.8 g, 49 CFR 393.102(a)(1), worked in a script of its own", "independent"),
    Check("battery rearward, breaking", lambda: 31 * G * _breaking("rearward"), 152.003075, 1e-6,
          "printed to seven figures", "31 kg battery at 0.5 g, 49 CFR 393.102(a)(1), the same script", "independent"),
    Check("battery sideways, breaking", lambda: 31 * G * _breaking("sideways"), 152.003075, 1e-6,
          "printed to seven figures", "31 kg battery at 0.5 g, 49 CFR 393.102(a)(1), the same script", "independent"),
    Check("battery downward", lambda: 31 * G * working("downward"), 60.8, 1e-3, "printed to three figures",
          "31 kg battery at 20 %, 49 CFR 393.102(b), the same script", "independent"),
    Check("forward, working", lambda: working("forward"), 0.435, 1e-12, "a figure of the rule",
          "49 CFR 393.102(a)(2), a copy of the regulation"),
    Check("rearward, working", lambda: working("rearward"), 0.5, 1e-12, "a figure of the rule",
          "49 CFR 393.102(a)(2), a copy of the regulation"),
    Check("sideways, working", lambda: working("sideways"), 0.25, 1e-12, "a figure of the rule",
          "49 CFR 393.102(a)(2), a copy of the regulation"),
    Check("working load limits for a 68 lb battery", lambda: share_of(68, working("aggregate")), 34.0, 1e-12,
          "half the weight", "49 CFR 393.106(d): 34 lb for 68 lb"),
    Check("two unmarked 2 in straps across 500 lb", lambda: (hold.counted_kg(
              strap(straps=2, strap_limit="2000 lb", strap_way="over")) or 0.0) / LB, 4000.0, 1e-9,
          "a sum", "49 CFR 393.106(d) with the table of 393.108: 2 x 2000 lb, asked 250 lb"),
    Check("the same, tied to the thing", lambda: (hold.counted_kg(
              strap(straps=2, strap_limit="2000 lb", strap_way="direct")) or 0.0) / LB, 2000.0, 1e-9,
          "half of each", "49 CFR 393.106(d): half the limit of a tie-down from an anchor to the thing"),
    Check("500 lb asks for half", lambda: share_of(500, working("aggregate")), 250.0, 1e-12, "half the weight",
          "49 CFR 393.106(d): 250 lb for 500 lb"),
    Check("1000 lb, least on the tongue", lambda: 1000 * road.TONGUE_LEAST, 100.0, 1e-12, "a round figure",
          "a small trailer's owner's manual: 100 to 150 lb for 1000 lb loaded"),
    Check("1000 lb, most on the tongue", lambda: 1000 * road.TONGUE_MOST, 150.0, 1e-12, "a round figure",
          "a small trailer's owner's manual: 100 to 150 lb for 1000 lb loaded"),
    Check("7000 lb, most on the tongue", lambda: 7000 * road.TONGUE_MOST, 1050.0, 1e-12, "a round figure",
          "a trailer-safety page: 630 to 1050 lb for 7000 lb"),
    Check("7000 lb, least on the tongue", lambda: 7000 * road.TONGUE_LEAST, 630.0, 0.12,
          "known disagreement: the page begins at 9 %, two owner's manuals and this project at 10 %",
          "a trailer-safety page: 630 to 1050 lb for 7000 lb"),
    *[Check(name, lambda name=name: chart_lb(name), told[2], 0.032, "one exponent for all sizes, on the safe side", CHART)
      for name, told in TYRES.items()],
    Check("tyre reserve", lambda: tyres.TYRE_RESERVE, 0.85, 1e-12, "a rule of thumb", "from memory", "from memory"),
    Check("a gallon of water", lambda: _gallon_lb(), 8.34, 6e-4, "printed to three figures",
          "handbook, from memory: 8.34 lb a US gallon", "from memory"),
]  # fmt: skip


def _breaking(direction: str) -> float:
    return reference.table("restraint").number("of_breaking_g", direction=direction)


def _gallon_lb() -> float:
    tank = [{"name": "t", "volume": "1 gal", "level": "100 %", "at": ["1 ft", "1 ft", "1 ft"]}]
    raw = {"title": "A", "trailer": {"length": "9 ft", "width": "5 ft", "height": "6 ft"}, "tank": tank}
    (thing,) = aboard(tl.design_from(raw))[0]
    return thing.mass_kg / LB


@each(CHECKS)
def test_against_the_source(check: Check) -> None:
    check.hold()


@pytest.mark.parametrize("name", list(TYRES))
def test_less_air_is_never_credited_more_than_the_chart_gives(name: str) -> None:
    assert chart_lb(name) < TYRES[name][2]


def test_there_are_twenty_checks_at_least() -> None:
    assert len(CHECKS) >= 20


@pytest.mark.parametrize(("name", "low", "high"), [("roof cooler 13500", 34, 50), ("roof fan high", 4, 8)])
def test_masses_of_practice(name: str, low: float, high: float) -> None:
    """Common practice, no source: 34 to 50 kg for a roof cooler of 13 500 Btu/h, 4 to 8 kg for a 14 in roof fan."""
    assert (masses()[name].low_kg, masses()[name].high_kg) == (low, high)
